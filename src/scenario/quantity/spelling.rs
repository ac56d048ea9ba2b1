//! Quantities in signs that a word processor or a keyboard gives and that are not read, so that a hint can say what is
//! meant.

use super::SPELLINGS;

/// The fractions that have a sign of their own and are found on rules and in answers.
const FRACTIONS: [(char, &str); 9] = [
    ('½', "1/2"),
    ('⅓', "1/3"),
    ('⅔', "2/3"),
    ('¼', "1/4"),
    ('¾', "3/4"),
    ('⅛', "1/8"),
    ('⅜', "3/8"),
    ('⅝', "5/8"),
    ('⅞', "7/8"),
];

/// What a comma between digits may mean.
#[derive(Debug, PartialEq)]
pub enum CommaBetweenDigits {
    /// Decimals.
    Sure(String),
    /// Three digits follow, so it may part thousands as well.
    OrThousands { point: String, thousands: String },
}

/// A text with one comma, between digits.
pub fn comma_between_digits(text: &str) -> Option<CommaBetweenDigits> {
    let (before, after) = text.split_once(',')?;
    let digits = after.bytes().take_while(u8::is_ascii_digit).count();
    let is_one = !after.contains(',') && digits > 0;
    if !is_one || !before.ends_with(|letter: char| letter.is_ascii_digit()) {
        return None;
    }
    let point = format!("{before}.{after}");
    Some(match digits {
        3 => CommaBetweenDigits::OrThousands {
            point,
            thousands: format!("{before}{after}"),
        },
        _ => CommaBetweenDigits::Sure(point),
    })
}

pub fn with_a_point(number: &str) -> String {
    format!("decimals are written with a point: `{number}`")
}

/// The text without quotation marks around it, with fractions as `1-1/2` and, in lengths, with units instead of marks
/// for feet and inches.
pub(super) fn in_plain_signs(text: &str, is_length: bool) -> String {
    let unquoted = text
        .strip_prefix(['“', '„', '”'])
        .and_then(|rest| rest.strip_suffix(['”', '“']));
    let mut plain = String::new();
    for sign in unquoted.unwrap_or(text).trim().chars() {
        if let Some((_, fraction)) = FRACTIONS.iter().find(|(known, _)| *known == sign) {
            let number = plain.trim_end().len();
            if plain[..number].ends_with(|letter: char| letter.is_ascii_digit()) {
                plain.truncate(number);
                plain.push('-');
            }
            plain.push_str(fraction);
        } else {
            match sign {
                '\'' | '′' | '’' if is_length => plain.push_str(" ft "),
                '"' | '″' | '”' if is_length => plain.push_str(" in "),
                other => plain.push(other),
            }
        }
    }
    let words: Vec<&str> = plain.split_whitespace().collect();
    words.join(" ")
}

/// In small letters, with the short names of units instead of signs and long names.
pub fn in_units(text: &str) -> String {
    let plain = in_plain_signs(text, true).to_lowercase();
    let mut out = String::new();
    let mut rest = &plain[..];
    while let Some(first) = rest.chars().next() {
        let end = rest
            .find(|letter: char| letter.is_alphabetic() != first.is_alphabetic())
            .unwrap_or(rest.len());
        let (word, after) = rest.split_at(end);
        let short = SPELLINGS.iter().find(|(spelling, _)| *spelling == word);
        out.push_str(short.map_or(word, |&(_, unit)| unit));
        rest = after;
    }
    // The hyphen of `6'-8"`.
    out.replace(" ft -", " ft ").trim().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_that_are_not_read_are_spelled_out() {
        for (text, is_length, expected) in [
            ("24'6\"", true, "24 ft 6 in"),
            ("6’ 8½”", true, "6 ft 8-1/2 in"),
            ("7 ¾ in", true, "7-3/4 in"),
            ("½ h", false, "1/2 h"),
            ("“1 min”", false, "1 min"),
            ("5'", false, "5'"),
        ] {
            assert_eq!(in_plain_signs(text, is_length), expected);
        }
    }

    #[test]
    fn a_comma_before_three_digits_may_part_thousands() {
        let sure = |text: &str| Some(CommaBetweenDigits::Sure(text.to_owned()));
        assert_eq!(comma_between_digits("1,5 min"), sure("1.5 min"));
        assert_eq!(comma_between_digits("0,25 m"), sure("0.25 m"));
        assert_eq!(
            comma_between_digits("2,400 mm"),
            Some(CommaBetweenDigits::OrThousands {
                point: "2.400 mm".to_owned(),
                thousands: "2400 mm".to_owned(),
            })
        );
        for text in ["1, 5 min", ",5 min", "1,2,3 m", "1 m"] {
            assert_eq!(comma_between_digits(text), None, "{text}");
        }
    }
}
