//! How wide a text is, and how it is cut to the room there is.

use super::font_advances::{AdvanceRun, BOLD, REGULAR};
use crate::report::wrap::is_unit;

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

fn known(letter: char, runs: &[AdvanceRun]) -> Option<u16> {
    let code = letter as u32;
    let at = runs
        .partition_point(|&(first, _)| first <= code)
        .checked_sub(1)?;
    let (first, advances) = runs[at];
    advances.get((code - first) as usize).copied()
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

/// How much of a cut text stands before the mark, the best share first: names mostly differ at one of their ends.
const HEADS: [f64; 7] = [0.5, 0.3, 0.7, 0.15, 0.85, 0.0, 1.0];

/// The text, or as much of both its ends as fits, with a mark of what is left out between them.
pub fn fit(text: &str, size: f64, bold: bool, room: f64) -> String {
    cut(text, (size, bold), room, HEADS[0])
}

/// Likewise, with this share of the room for the beginning.
fn cut(text: &str, (size, bold): (f64, bool), room: f64, head: f64) -> String {
    let text = clean(text);
    if width(&text, size, bold) <= room {
        return text;
    }
    let room = room - width(&ELLIPSIS.to_string(), size, bold);
    let letter = |letter: char| advance(letter, bold) * size / EM;
    let fitting = |letters: &mut dyn Iterator<Item = char>, mut room: f64| {
        let mut bytes = 0;
        for next in letters {
            room -= letter(next);
            if room < 0.0 {
                break;
            }
            bytes += next.len_utf8();
        }
        bytes
    };
    let begin = fitting(&mut text.chars(), room * head);
    // A mark after a full stop would look like four.
    let begin = text[..begin].trim_end_matches([' ', '.', ',', ';', ':']);
    let left = room - width(begin, size, bold);
    let end = fitting(&mut text.chars().rev(), left);
    let end = text[text.len() - end..].trim_start();
    // Where there is not even room for one letter, a lone mark says nothing.
    match begin.len() + end.len() {
        0 => String::new(),
        _ => format!("{begin}{ELLIPSIS}{end}"),
    }
}

/// Two texts with a joint between them, cut to the room together; what one does not need of its half, the other may use.
pub fn pair(first: &str, second: &str, joint: &str, font: (f64, bool), room: f64) -> String {
    cut_pair((first, second), joint, font, room, HEADS[0])
}

fn cut_pair(
    (first, second): (&str, &str),
    joint: &str,
    font: (f64, bool),
    room: f64,
    head: f64,
) -> String {
    let (size, bold) = font;
    let measure = |text: &str| width(&clean(text), size, bold);
    let room = room - width(joint, size, bold);
    let half = room / 2.0;
    let first_room = half.max(room - measure(second));
    let second_room = half.max(room - measure(first));
    let cut = |text: &str, room: f64| cut(text, font, room, head);
    format!(
        "{}{joint}{}",
        cut(first, first_room),
        cut(second, second_room)
    )
}

/// Each of the texts as by [`fit`], but no two different ones alike: where they would be, another part of them is left
/// out, and if that does not help they are numbered.
pub fn fit_apart(texts: &[&str], font: (f64, bool), room: f64) -> Vec<String> {
    apart(texts, font, &|_| room, |text, room, head| {
        cut(text, font, room, head)
    })
}

/// Likewise pairs as by [`pair`], with room for each by its index.
pub fn pairs_apart(
    pairs: &[(&str, &str)],
    joint: &str,
    font: (f64, bool),
    room: &dyn Fn(usize) -> f64,
) -> Vec<String> {
    apart(pairs, font, room, |pair, room, head| {
        cut_pair(*pair, joint, font, room, head)
    })
}

fn apart<T: PartialEq>(
    all: &[T],
    (size, bold): (f64, bool),
    room: &dyn Fn(usize) -> f64,
    cut: impl Fn(&T, f64, f64) -> String,
) -> Vec<String> {
    let mut labels: Vec<String> = (all.iter().enumerate())
        .map(|(index, one)| cut(one, room(index), HEADS[0]))
        .collect();
    let is_taken = |labels: &[String], index: usize, label: &str| {
        let mut others = labels.iter().zip(all);
        others.any(|(other, of)| other == label && *of != all[index])
    };
    for head in HEADS {
        for index in 0..all.len() {
            let other = cut(&all[index], room(index), head);
            if is_taken(&labels, index, &labels[index]) && !is_taken(&labels, index, &other) {
                labels[index] = other;
            }
        }
    }
    let clashing: Vec<bool> = (0..all.len())
        .map(|index| is_taken(&labels, index, &labels[index]))
        .collect();
    for index in 0..all.len() {
        if !clashing[index] {
            continue;
        }
        let numbered = (1..=all.len()).map(|number| {
            let mark = format!(" ({number})");
            let left = room(index) - width(&mark, size, bold);
            cut(&all[index], left, HEADS[0]) + &mark
        });
        let mut free = numbered.filter(|label| !is_taken(&labels, index, label));
        if let Some(label) = free.next() {
            labels[index] = label;
        }
    }
    labels
}

/// A last line shorter than this share of the room takes a word from the line before.
const SHORT: f64 = 0.12;

/// The text in at most `lines` lines, broken between words where that is possible; the last one is cut.
///
/// A figure stays with its unit, and no short word is left alone on the last line, where there is room for that.
pub fn wrap(text: &str, size: f64, bold: bool, room: f64, lines: usize) -> Vec<String> {
    let mut rest = clean(text);
    let mut wrapped = Vec::new();
    let width = |text: &str| width(text, size, bold);
    while wrapped.len() + 1 < lines && width(&rest) > room {
        let mut breaks: Vec<usize> = (rest.match_indices(' ').map(|(at, _)| at))
            .take_while(|&at| width(&rest[..at]) <= room)
            .collect();
        let is_good = |at: &usize| !parts_unit(&rest, *at);
        if breaks.iter().any(is_good) {
            breaks.retain(is_good);
        }
        let Some(mut at) = breaks.pop() else { break };
        if let Some(&before) = breaks.last()
            && width(&rest[at + 1..]) < room * SHORT
            && width(&rest[before + 1..]) <= room
        {
            at = before;
        }
        wrapped.push(rest[..at].to_string());
        rest = rest[at + 1..].to_string();
    }
    wrapped.push(fit(&rest, size, bold, room));
    wrapped
}

/// Whether the space at this byte stands between a figure and its unit, or between feet and inches.
fn parts_unit(text: &str, space: usize) -> bool {
    let before = text[..space].chars().next_back();
    let is_figure = before.is_some_and(|last| last.is_numeric() || last == '±');
    let next = text[space + 1..].split(' ').next().unwrap_or("");
    let is_inches = next.starts_with(|first: char| first.is_ascii_digit());
    (text[..space].ends_with(" ft") && is_inches)
        || is_figure && (is_unit(next) || next == "±" || before == Some('±'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cut_text_fits_and_says_that_it_is_cut() {
        let name = "Drum sander with the extra-long outfeed";
        let cut = fit(name, 11.0, false, 100.0);
        assert!(width(&cut, 11.0, false) <= 100.0 && width(&cut, 11.0, false) > 80.0);
        let (begin, end) = cut.split_once('…').unwrap();
        assert!(name.starts_with(begin) && name.ends_with(end));
        assert!(begin.len() > 4 && end.len() > 4, "{cut}");
        assert_eq!(fit("Saw", 11.0, false, 100.0), "Saw");
        assert_eq!(fit("Saw", 11.0, false, 2.0), "");
    }

    #[test]
    fn different_names_stay_different() {
        let font = (11.0, false);
        let names = [
            "student workbench row A",
            "student workbench row B",
            "student workbench row B",
            "west workbench of a student",
            "east workbench of a student",
            "workbench, student 17, of the second row",
            "workbench, student 18, of the second row",
        ];
        for room in [45.0, 60.0, 80.0, 400.0] {
            let cut = fit_apart(&names, font, room);
            for (label, name) in cut.iter().zip(names) {
                assert!(width(label, 11.0, false) <= room, "{label}");
                for (other, of) in cut.iter().zip(names) {
                    assert_eq!(label == other, name == of, "{room}: {cut:?}");
                }
            }
        }
        let pairs = [
            (names[0], "booth"),
            (names[1], "booth"),
            ("booth", names[5]),
            ("booth", names[6]),
        ];
        let cut = pairs_apart(&pairs, " – ", font, &|_| 110.0);
        for (index, label) in cut.iter().enumerate() {
            assert!(width(label, 11.0, false) <= 110.0, "{label}");
            assert!(!cut[..index].contains(label), "{cut:?}");
        }
    }

    #[test]
    fn lines_break_between_words() {
        let lines = wrap("Saw beside the door", 10.0, false, 60.0, 2);
        assert_eq!(lines.len(), 2);
        assert_eq!(lines[0], "Saw beside");
        assert_eq!(lines[1], "the door");
        assert_eq!(wrap("Saw", 10.0, false, 60.0, 2), ["Saw"]);
    }

    #[test]
    fn a_figure_stays_with_its_unit() {
        let text = "The darkest cell is 81.0 m, and the way is 3 ft 8 in wide.";
        for room in [60.0, 75.0, 90.0, 105.0, 120.0, 150.0, 200.0, 250.0] {
            for line in wrap(text, 10.0, false, room, 12) {
                assert!(width(&line, 10.0, false) <= room, "{line}");
                let first = line.split(' ').next().unwrap();
                assert!(!["m,", "ft", "in"].contains(&first), "{room}: {line}");
                assert!(room < 90.0 || !line.ends_with("ft"), "{room}: {line}");
            }
        }
    }

    #[test]
    fn no_short_word_is_left_alone() {
        let text = "The axis of this picture does not begin at 0.";
        let room = width(text, 10.0, false) - 1.0;
        let lines = wrap(text, 10.0, false, room, 3);
        assert_eq!(lines, ["The axis of this picture does not begin", "at 0."]);
        // Nor is a word taken from a line that has only one.
        let text = "Aaaaaaaaaaaaaaaa b";
        let room = width(text, 10.0, false) - 1.0;
        assert_eq!(wrap(text, 10.0, false, room, 3), ["Aaaaaaaaaaaaaaaa", "b"]);
    }

    #[test]
    fn what_xml_forbids_is_gone() {
        assert_eq!(clean("a\u{0}b\n\tc\u{202E}d\u{FFFF}"), "a b c d");
    }
}
