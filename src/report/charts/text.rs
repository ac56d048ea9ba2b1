//! How wide a text is, and how it is cut to the room there is.

use super::widths::{BOLD, REGULAR, Run};

/// Units of the font in one font size.
const EM: f64 = 2048.0;
/// The mark of something left out.
const ELLIPSIS: char = '…';

/// The width of a text in the embedded font, in the unit of `size`.
///
/// A letter that the font lacks counts a full font size, which no ordinary letter exceeds.
pub fn width(text: &str, size: f64, bold: bool) -> f64 {
    text.chars()
        .map(|letter| advance(letter, bold))
        .sum::<f64>()
        * size
        / EM
}

fn advance(letter: char, bold: bool) -> f64 {
    let runs = if bold { BOLD } else { REGULAR };
    known(letter, runs).map_or(EM, f64::from)
}

fn known(letter: char, runs: &[Run]) -> Option<u16> {
    let code = letter as u32;
    let at = runs
        .partition_point(|&(first, _)| first <= code)
        .checked_sub(1)?;
    let (first, advances) = runs[at];
    advances.get((code - first) as usize).copied()
}

/// The text with a box for each letter that the font lacks, which would otherwise leave no trace.
#[cfg(feature = "png")]
pub(super) fn boxed(text: &str) -> String {
    let boxed = |letter: char| match known(letter, REGULAR) {
        None if !letter.is_control() => '□',
        _ => letter,
    };
    text.chars().map(boxed).collect()
}

/// The text without what no XML file may hold, on one line and without marks that turn the reading direction.
pub fn clean(text: &str) -> String {
    let letters = text.chars().map(|letter| match letter {
        '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' | '\u{FFFE}' | '\u{FFFF}' => ' ',
        letter if letter.is_control() || letter.is_whitespace() && letter != '\u{202F}' => ' ',
        letter => letter,
    });
    let spaced: String = letters.collect();
    spaced
        .split(' ')
        .filter(|word| !word.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

/// The text, or as much of its beginning as fits, with a mark of what is left out.
pub fn fit(text: &str, size: f64, bold: bool, room: f64) -> String {
    let text = clean(text);
    if width(&text, size, bold) <= room {
        return text;
    }
    let mut left = room - width(&ELLIPSIS.to_string(), size, bold);
    let mut cut = String::new();
    for letter in text.chars() {
        left -= advance(letter, bold) * size / EM;
        if left < 0.0 {
            break;
        }
        cut.push(letter);
    }
    // A mark after a full stop would look like four.
    cut.truncate(cut.trim_end_matches([' ', '.', ',', ';', ':']).len());
    // Where there is not even room for one letter, a lone mark says nothing.
    if !cut.is_empty() {
        cut.push(ELLIPSIS);
    }
    cut
}

/// Two texts with a joint between them, cut to the room together; what one does not need of its half, the other may use.
pub fn pair(first: &str, second: &str, joint: &str, font: (f64, bool), room: f64) -> String {
    let (size, bold) = font;
    let measure = |text: &str| width(&clean(text), size, bold);
    let room = room - width(joint, size, bold);
    let half = room / 2.0;
    let first_room = half.max(room - measure(second));
    let second_room = half.max(room - measure(first));
    let cut = |text: &str, room: f64| fit(text, size, bold, room);
    format!(
        "{}{joint}{}",
        cut(first, first_room),
        cut(second, second_room)
    )
}

/// The text in at most `lines` lines, broken between words where that is possible; the last one is cut.
pub fn wrap(text: &str, size: f64, bold: bool, room: f64, lines: usize) -> Vec<String> {
    let mut rest = clean(text);
    let mut wrapped = Vec::new();
    while wrapped.len() + 1 < lines && width(&rest, size, bold) > room {
        let broken = rest
            .match_indices(' ')
            .map(|(at, _)| at)
            .take_while(|&at| width(&rest[..at], size, bold) <= room)
            .last();
        let Some(at) = broken else { break };
        wrapped.push(rest[..at].to_string());
        rest = rest[at + 1..].to_string();
    }
    wrapped.push(fit(&rest, size, bold, room));
    wrapped
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cut_text_fits_and_says_that_it_is_cut() {
        let name = "Drum sander with the extra-long outfeed";
        let cut = fit(name, 11.0, false, 100.0);
        assert!(width(&cut, 11.0, false) <= 100.0 && width(&cut, 11.0, false) > 80.0);
        let kept = cut.strip_suffix('…').unwrap();
        assert!(name.starts_with(kept));
        assert_eq!(fit("Saw", 11.0, false, 100.0), "Saw");
        assert_eq!(fit("Saw", 11.0, false, 2.0), "");
    }

    #[test]
    fn lines_break_between_words() {
        let lines = wrap("Saw beside the door", 10.0, false, 60.0, 2);
        assert_eq!(lines.len(), 2);
        assert_eq!(lines[0], "Saw beside");
        assert_eq!(lines[1], "the door");
        assert_eq!(wrap("Saw", 10.0, false, 60.0, 2), ["Saw"]);
    }

    #[cfg(feature = "png")]
    #[test]
    fn letters_that_the_font_lacks_leave_a_trace() {
        assert_eq!(boxed("Säge 日本\n"), "Säge □□\n");
        assert!(known('□', REGULAR).is_some() && known('□', BOLD).is_some());
    }

    #[test]
    fn what_xml_forbids_is_gone() {
        assert_eq!(clean("a\u{0}b\n\tc\u{202E}d\u{FFFF}"), "a b c d");
    }
}
