//! Paragraphs in lines of a given width.

use unicode_width::UnicodeWidthStr;

use crate::scenario::printable;

/// How many columns a text takes on a terminal: none for a combining mark, two for a wide letter (Unicode Standard
/// Annex #11).
pub fn display_width(text: &str) -> usize {
    text.width()
}

/// Whether a word is a unit, with what may stand behind it in a sentence.
pub fn is_unit(word: &str) -> bool {
    const UNITS: [&str; 12] = [
        "%", "m", "cm", "mm", "ft", "in", "s", "min", "h", "d", "kg", "lb",
    ];
    let bare = word.trim_end_matches(|last| ",.;:)".contains(last));
    UNITS.contains(&bare)
}

/// Lines of at most so many columns, where no word is longer: the first after one indent, the others after another.
pub fn wrap(text: &str, columns: usize, first: &str, others: &str) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = first.to_owned();
    let mut empty = true;
    // A line does not end at a space that binds ("< 1").
    let may_end = |letter: char| letter.is_whitespace() && letter != '\u{a0}';
    let words = text.split(may_end).filter(|word| !word.is_empty());
    let mut words = words.peekable();
    while let Some(word) = words.next() {
        let mut word = printable(word);
        // A figure stays with its unit.
        if word.ends_with(char::is_numeric)
            && let Some(unit) = words.next_if(|next| is_unit(next))
        {
            word = format!("{word} {unit}").into();
        }
        let wanted = display_width(&line) + usize::from(!empty) + display_width(&word);
        if !empty && wanted > columns {
            lines.push(std::mem::replace(&mut line, others.to_owned()));
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(&word);
        empty = false;
    }
    lines.push(line);
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_is_longer_than_it_may_be_and_no_word_is_lost() {
        let lines = wrap("one two three four five", 11, "- ", "  ");
        assert_eq!(lines, ["- one two", "  three", "  four five"]);
        assert_eq!(wrap("", 10, "- ", "  "), ["- "]);
        assert_eq!(wrap("unbreakable", 3, "", ""), ["unbreakable"]);
        assert_eq!(wrap("a \u{1b} b", 8, "", ""), ["a \\u{1b}", "b"]);
    }

    #[test]
    fn a_figure_stays_with_its_unit() {
        assert_eq!(
            wrap("busy 100 % of it", 9, "", ""),
            ["busy", "100 % of", "it"]
        );
        assert_eq!(
            wrap("takes 6¾ h, then", 8, "", ""),
            ["takes", "6¾ h,", "then"]
        );
        assert_eq!(wrap("so (<\u{a0}1 %)", 7, "", ""), ["so", "(<\u{a0}1 %)"]);
        // "in" is also a word.
        assert_eq!(wrap("1 in a row", 4, "", ""), ["1 in", "a", "row"]);
        assert_eq!(wrap("stays in it", 8, "", ""), ["stays in", "it"]);
    }

    /// East_Asian_Width.txt has U+65E5 and U+672C as W; U+0308 is a mark that takes no room (general category Mn).
    #[test]
    fn wide_letters_take_two_columns_and_marks_take_none() {
        assert_eq!(wrap("日本 日本 日本", 9, "", ""), ["日本 日本", "日本"]);
        assert_eq!(wrap("日本 日本 日本", 8, "", "").len(), 3);
        let marked = "sa\u{308}ge sa\u{308}ge";
        assert_eq!(wrap(marked, 9, "", ""), [marked]);
        assert_eq!(["日本", "sa\u{308}ge", "saw"].map(display_width), [4, 4, 3]);
    }
}
