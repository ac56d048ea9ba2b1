//! Names that may well be new ones, but look like a misspelling of one that there is.

use crate::scenario::problem::{Problem, Sink, meant, nearest_within};
use crate::scenario::reader::entries;
use crate::scenario::tree::{MapEntry, YamlNode};

/// The name of which `word`, that may well be a name of its own, looks like a misspelling; numbered things are none of each
/// other.
pub fn misspelt<'a>(word: &str, names: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let number = |name: &str| -> String { name.chars().filter(char::is_ascii_digit).collect() };
    let alike = (names.into_iter()).filter(|name| *name != word && number(name) == number(word));
    nearest_within(word, alike, 1 + word.chars().count() / 6)
}

/// Says of stations that a change names, and that nobody could tell from a new one, what they are a misspelling of.
pub fn misspells_a_station(tree: &YamlNode, change: &YamlNode, sink: &Sink) -> bool {
    /// What a station that is new would say of itself.
    const OF_A_NEW_ONE: [&str; 3] = ["kind", "size", "does"];
    let known = stations(tree);
    let names = || known.iter().map(|station| &*station.key.text);
    let mut found = false;
    for touched in stations(change) {
        let name = &*touched.key.text;
        let is_new = (OF_A_NEW_ONE.iter()).any(|key| touched.node.get(key).is_some());
        if is_new || names().any(|known| known == name) {
            continue;
        }
        let Some(near) = misspelt(name, names()) else {
            continue;
        };
        sink.report(
            Problem::error(
                &touched.key.span,
                format!("there is no station `{name}` to change"),
            )
            .hint(format!(
                "{} A station that comes with the change says its `kind`, or its `size` or what it `does`",
                meant(near)
            )),
        );
        found = true;
    }
    found
}

fn stations(of: &YamlNode) -> &[MapEntry] {
    of.get("stations").map(entries).unwrap_or_default()
}
