//! What stands within braces and brackets of a text, seen as letters: no more of YAML is known here than is needed to find
//! where a value ends.

use super::problem::Bytes;

/// A letter that opens, parts or closes something, and how deep it lies: 1 for the first pair itself.
struct Mark {
    at: usize,
    letter: char,
    depth: usize,
}

/// The braces, brackets and commas of the value that begins there, outside of quotation marks and comments, to the end of
/// that value; nothing where it has none.
fn marks(text: &str, opens: usize) -> Option<Vec<Mark>> {
    let mut marks = Vec::new();
    let mut depth = 0_usize;
    let mut quote = None;
    let mut in_comment = false;
    // What a quotation mark has to follow to be one, and not an apostrophe within a word.
    let mut last = ' ';
    let mut begins = true;
    for (at, letter) in text.get(opens..)?.char_indices() {
        match (quote, letter) {
            _ if in_comment => in_comment = letter != '\n',
            (Some(mark), _) => quote = quote.filter(|_| letter != mark || last == '\\'),
            (None, '"' | '\'') if begins => quote = Some(letter),
            (None, '#') if last.is_whitespace() => in_comment = true,
            (None, '{' | '[') => {
                depth += 1;
                marks.push(Mark {
                    at: opens + at,
                    letter,
                    depth,
                });
            }
            (None, ',') => marks.push(Mark {
                at: opens + at,
                letter,
                depth,
            }),
            (None, '}' | ']') => {
                marks.push(Mark {
                    at: opens + at,
                    letter,
                    depth,
                });
                depth = depth.checked_sub(1)?;
            }
            (None, _) => {}
        }
        if depth == 0 {
            return (!marks.is_empty()).then_some(marks);
        }
        if !letter.is_whitespace() && !in_comment {
            begins = matches!(letter, '{' | '[' | ',' | ':');
        }
        last = letter;
    }
    None
}

/// Where the brace or bracket is closed that opens there.
pub fn closing(text: &str, opens: usize) -> Option<usize> {
    Some(marks(text, opens)?.last()?.at)
}

/// The bytes from the brace or bracket that opens there to the one that closes it.
pub fn braced(text: &str, opens: usize) -> Option<Bytes> {
    Some(opens..closing(text, opens)? + 1)
}

/// What has to go so that the entry is gone in which this byte lies: with the comma behind it, or that before it where it
/// is the last one.
pub fn entry_around(text: &str, opens: usize, byte: usize) -> Option<Bytes> {
    let marks = marks(text, opens)?;
    let own = marks
        .iter()
        .filter(|mark| mark.depth == 1 && matches!(mark.letter, ',' | '}' | ']' | '{' | '['));
    let ends: Vec<usize> = own.map(|mark| mark.at).collect();
    let behind = ends.iter().position(|&end| end > byte)?;
    let before = *ends.get(behind.checked_sub(1)?)?;
    let end = ends[behind];
    let is_last = behind + 1 == ends.len();
    let is_first = behind == 1;
    Some(match (is_first, is_last) {
        (true, true) => before + 1..end,
        (_, true) => before..end,
        (true, false) => before + 1..end + 1 + spaces(&text[end + 1..]),
        (false, false) => before + 1..end + 1,
    })
}

fn spaces(text: &str) -> usize {
    text.len() - text.trim_start_matches(' ').len()
}
