//! Text from a scenario as a terminal may show it.
//!
//! A scenario may come from anybody. A name with escapes in it would write to the reader's screen, title or clipboard,
//! and one with marks of the reading direction would look like another; so they are shown and not obeyed.

use std::borrow::Cow;

/// The text with every control character but the end of a line, and every character that turns the reading direction
/// or breaks a line, written as an escape such as `\u{1b}`.
pub fn printable(text: &str) -> Cow<'_, str> {
    escaped(text, |letter| letter != '\n' && is_obeyed(letter))
}

/// The same of a name, which stands on one line.
pub fn printable_name(name: &str) -> Cow<'_, str> {
    escaped(name, is_obeyed)
}

/// A JSON text with all of these characters as JSON writes them, such as `\u009b`: the strings mean the same.
///
/// Between its strings, JSON has none of them but ends of lines.
pub fn printable_json(json: &str) -> Cow<'_, str> {
    let is_meant = |letter: char| letter != '\n' && is_obeyed(letter);
    if !json.contains(is_meant) {
        return Cow::Borrowed(json);
    }
    let mut text = String::with_capacity(json.len() + 8);
    for letter in json.chars() {
        match is_meant(letter) {
            // None of them is beyond the characters that four digits can name.
            true => text.push_str(&format!("\\u{:04x}", u32::from(letter))),
            false => text.push(letter),
        }
    }
    Cow::Owned(text)
}

/// Whether a terminal does something at this character instead of showing it, or shows nothing where it stands: controls,
/// the separators of lines and paragraphs, the marks, embeddings, overrides and isolates of UAX #9, and spaces and joiners
/// without width, with which two names would look alike. What joins letters of a word or signs of an emoji
/// (U+200C, U+200D) is shown by what it joins.
fn is_obeyed(letter: char) -> bool {
    let turns = matches!(letter, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    let marks = matches!(letter, '\u{61c}' | '\u{200e}' | '\u{200f}');
    let is_unseen = matches!(letter, '\u{200b}' | '\u{2060}' | '\u{feff}');
    let separates = matches!(letter, '\u{2028}' | '\u{2029}');
    turns || marks || is_unseen || separates || letter.is_control()
}

fn escaped(text: &str, is_meant: impl Fn(char) -> bool + Copy) -> Cow<'_, str> {
    if !text.contains(is_meant) {
        return Cow::Borrowed(text);
    }
    let mut shown = String::with_capacity(text.len() + 8);
    for letter in text.chars() {
        match is_meant(letter) {
            true => shown.extend(letter.escape_default()),
            false => shown.push(letter),
        }
    }
    Cow::Owned(shown)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_would_be_obeyed_is_shown() {
        let name = "saw\u{1b}]52;c;aGk=\u{7}\u{9b}2J\u{202e}was\u{2069}\r\tend\u{2028}\u{200b}\u{200e}\u{61c}";
        let shown = "saw\\u{1b}]52;c;aGk=\\u{7}\\u{9b}2J\\u{202e}was\\u{2069}\\r\\tend\\u{2028}\\u{200b}\\u{200e}\\u{61c}";
        assert_eq!(printable(name), shown);
        assert_eq!(printable("two\nlines\0"), "two\nlines\\u{0}");
        assert_eq!(printable_name("two\nlines"), "two\\nlines");
    }

    #[test]
    fn what_people_write_stays() {
        for name in [
            "Säge 日本",
            "משור",
            "منشار",
            "½ in × 3′",
            "a\u{a0}b",
            "👩‍🔧",
            "",
        ] {
            assert!(matches!(printable(name), Cow::Borrowed(same) if same == name));
        }
    }

    #[test]
    fn json_means_the_same() {
        let name = "saw\u{1b}\u{7f}\u{9b}\u{202e}\u{2028}\"\\\n";
        let written = format!("{:#}\n", serde_json::json!({ "name": name }));
        let safe = printable_json(&written);
        assert!(safe.chars().all(|c| c == '\n' || !is_obeyed(c)), "{safe}");
        let read: serde_json::Value = serde_json::from_str(&safe).expect("JSON");
        assert_eq!(read["name"], name);
    }
}
