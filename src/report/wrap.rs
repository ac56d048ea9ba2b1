//! Paragraphs in lines of a given width.

use crate::scenario::printable;

/// Lines of at most so many columns, where no word is longer: the first after one indent, the others after another.
pub fn wrap(text: &str, columns: usize, first: &str, others: &str) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = first.to_owned();
    let mut empty = true;
    for word in text.split_whitespace() {
        let word = printable(word);
        let wanted = line.chars().count() + usize::from(!empty) + word.chars().count();
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
}
