//! What stands in the shop as somebody says it: `table saw, 2 workbenches, big lathe: lathe`.

use super::Complaint;
use crate::scenario::kinds::{self, StationKind};

/// A station that is wanted.
#[derive(Debug, Clone)]
pub struct SaidStation {
    pub name: String,
    pub kind: &'static StationKind,
    /// Whether the kind is only the usual one of what was said, as of a table saw.
    pub is_kind_guessed: bool,
    /// Whether nobody listed it, and the work asks for it.
    pub is_added: bool,
}

/// More than any small shop has.
const MOST: usize = 60;

/// The stations of a shop of which nobody says what is in it: enough to build something of boards.
pub const USUAL: &str = "lumber rack, miter saw, table saw, jointer, planer, workbench, assembly table, clamp rack, \
                         finishing bench";

/// How many, and of what: `2 workbenches`, `2x workbench`.
fn counted(said: &str) -> (usize, &str) {
    let digits = said.bytes().take_while(u8::is_ascii_digit).count();
    let count = said[..digits].parse().ok();
    let rest = said[digits..].trim_start();
    let of = rest
        .strip_prefix(['x', '×'])
        .filter(|of| of.starts_with(' '));
    let rest = of.map_or(&said[digits..], |of| of);
    // Neither the 10 of `10 in table saw` nor the 3 of `3 hp planer` is a number of machines.
    const UNITS: [&str; 11] = [
        "in", "inch", "inches", "ft", "mm", "cm", "m", "hp", "kw", "volt", "amp",
    ];
    let first = kinds::words(rest);
    let is_size = (first.split(' ').next()).is_some_and(|word| UNITS.contains(&word));
    match (count, rest.starts_with(' ') && !is_size) {
        (Some(count), true) => (count, rest.trim()),
        _ => (1, said),
    }
}

/// What is joined by "and" or "&", each by itself: no kind is called by such a word.
fn one_by_one(said: &str) -> impl Iterator<Item = &str> {
    let joins = |word: &str| word.eq_ignore_ascii_case("and") || word == "&";
    let mut parts = Vec::new();
    let mut begins = 0;
    let mut at = 0;
    for word in said.split_inclusive(char::is_whitespace) {
        if joins(word.trim()) {
            parts.push(&said[begins..at]);
            begins = at + word.len();
        }
        at += word.len();
    }
    parts.push(&said[begins..]);
    parts
        .into_iter()
        .map(str::trim)
        .filter(|part| !part.is_empty())
}

/// Reads a list of machines and furniture.
///
/// # Errors
/// All that is no kind of station, each with what may be meant.
pub fn read_stations(text: &str) -> Result<Vec<SaidStation>, Vec<Complaint>> {
    let mut stations: Vec<SaidStation> = Vec::new();
    let mut complaints = Vec::new();
    for said in text.split([',', ';', '\n']).flat_map(one_by_one) {
        let (name, said) = match said.split_once(':') {
            Some((name, kind)) => (Some(name.trim()), kind.trim()),
            None => (None, said),
        };
        // The 6 of `6 in jointer` is no number of jointers.
        let (count, of) = match kinds::called(said) {
            Some(_) => (1, said),
            None => counted(said),
        };
        let called = kinds::called(of).or_else(|| kinds::called_at_the_end(of));
        let Some(called) = called else {
            complaints.push(Complaint {
                what: format!("there is no kind of station called `{of}`"),
                hint: Some(kinds::hint_of_called(of)),
            });
            continue;
        };
        if !(1..=MOST).contains(&count) || stations.len() + count > MOST {
            complaints.push(Complaint {
                what: format!("`{said}` are more stations than are accepted"),
                hint: Some(format!("there may be 1 to {MOST} of them together")),
            });
            continue;
        }
        let name = name.filter(|name| !name.is_empty()).unwrap_or(&called.name);
        for _ in 0..count {
            let name = unused(name, |name| stations.iter().any(|known| known.name == name));
            stations.push(SaidStation {
                name,
                kind: called.kind,
                is_kind_guessed: called.is_one_of_several,
                is_added: false,
            });
        }
    }
    if stations.is_empty() && complaints.is_empty() {
        complaints.push(Complaint {
            what: "there is no machine in the list".to_owned(),
            hint: Some("write for example `table saw, planer, workbench`".to_owned()),
        });
    }
    match complaints.is_empty() {
        true => Ok(stations),
        false => Err(complaints),
    }
}

/// A name that is not used yet: itself, or with a number.
pub fn unused(name: &str, is_used: impl Fn(&str) -> bool) -> String {
    let numbered = (2..).map(|number| format!("{name} {number}"));
    let mut all = std::iter::once(name.to_owned()).chain(numbered);
    all.find(|name| !is_used(name)).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_usual_stations_are_known() {
        assert!(read_stations(USUAL).is_ok());
    }
}
