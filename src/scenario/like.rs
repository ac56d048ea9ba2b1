//! Layouts that are like another one: the tree of each with what it takes from the other.

use std::borrow::Cow;
use std::collections::BTreeMap;

use super::names::Names;
use super::problem::{Problem, Sink};
use super::reader::text;
use super::tree::{MapEntry, YamlNode, YamlValue};

/// The key by which a layout names the other one.
pub const LIKE: &str = "like";

/// Layouts that stand behind one another; nobody follows more by eye.
const MOST_BEHIND: usize = 50;

/// The layout with all that it takes from the one that it is like; `None` if that cannot be found, which then has been
/// reported.
pub fn whole<'t>(layouts: &'t [MapEntry], index: usize, sink: &Sink) -> Option<Cow<'t, MapEntry>> {
    let layout = &layouts[index];
    if layout.node.entry(LIKE).is_none() {
        return Some(Cow::Borrowed(layout));
    }
    let chain = chain(layouts, index, sink)?;
    let mut levels = chain.iter().rev().map(|&index| &layouts[index].node);
    let mut node = levels.next()?.clone();
    for level in levels {
        lay_over(&mut node, level);
    }
    if let YamlValue::Map(entries) = &mut node.value {
        entries.retain(|entry| entry.key.text != LIKE);
    }
    let key = layout.key.clone();
    Some(Cow::Owned(MapEntry { key, node }))
}

/// The layout, the one that it is like, the one that this is like, and so on.
fn chain(layouts: &[MapEntry], index: usize, sink: &Sink) -> Option<Vec<usize>> {
    let names = Names::of("layout", layouts.iter().map(|layout| &layout.key));
    let mut chain = vec![index];
    let mut last = index;
    while let Some(like) = layouts[last].node.entry(LIKE) {
        let name = text(&like.node, "the name of another layout", sink)?;
        let next = names.find_text(name, &like.node.span, sink)?;
        if let Some(start) = chain.iter().position(|&met| met == next) {
            circle(layouts, &chain[start..], sink);
            return None;
        }
        chain.push(next);
        last = next;
        if chain.len() > 1 + MOST_BEHIND {
            let first = layouts[index].node.entry(LIKE)?;
            let what = format!(
                "more than {MOST_BEHIND} layouts stand behind `{}`",
                layouts[index].key.text
            );
            let hint = "name a layout that says more itself";
            sink.report(Problem::error(&first.node.span, what).hint(hint));
            return None;
        }
    }
    Some(chain)
}

/// Reports a circle at the first of its layouts in the file, so that it is told once.
fn circle(layouts: &[MapEntry], circle: &[usize], sink: &Sink) {
    let first = circle.iter().copied().min().unwrap_or_default();
    let Some(like) = layouts[first].node.entry(LIKE) else {
        return;
    };
    let start = circle.iter().position(|&index| index == first).unwrap_or(0);
    let around = circle[start..]
        .iter()
        .chain(&circle[..start])
        .chain([&first]);
    let names: Vec<String> = around
        .map(|&index| format!("`{}`", layouts[index].key.text))
        .collect();
    let what = match circle.len() {
        1 => format!("the layout {} is like itself", names[0]),
        _ => format!(
            "these layouts are like each other: {}",
            names.join(" is like ")
        ),
    };
    sink.report(
        Problem::error(&like.node.span, what)
            .hint("one of them has to say itself where everything stands"),
    );
}

/// Lays what `above` says over `below`: mappings are put together, everything else is replaced. Keys stand where they
/// were written last, so that a problem points at the line that caused it.
fn lay_over(below: &mut YamlNode, above: &YamlNode) {
    let (YamlValue::Map(given), YamlValue::Map(changes)) = (&mut below.value, &above.value) else {
        *below = above.clone();
        return;
    };
    let places: BTreeMap<String, usize> = given
        .iter()
        .enumerate()
        .map(|(place, entry)| (entry.key.text.clone(), place))
        .collect();
    for change in changes {
        match places.get(&change.key.text) {
            Some(&place) => {
                given[place].key = change.key.clone();
                lay_over(&mut given[place].node, &change.node);
            }
            None => given.push(change.clone()),
        }
    }
    below.span = above.span.clone();
}

#[cfg(test)]
mod tests {
    use super::super::reader::entries;
    use super::super::tree::{MapKey, parse};
    use super::*;

    const LAYOUTS: &str = "\
a: {walk: straight, at: {saw: [0, 0], rack: {at: [1 m, 0], turn: 90}}}
b: {like: a, at: {saw: [2 m, 0]}}
c: {like: b, at: {rack: {turn: 0}, bench: [3 m, 0]}}
";

    /// The tree without its positions.
    fn bare(node: &YamlNode) -> YamlNode {
        let value = match &node.value {
            YamlValue::List(items) => YamlValue::List(items.iter().map(bare).collect()),
            YamlValue::Map(entries) => {
                let entries = entries.iter().map(|entry| MapEntry {
                    key: MapKey {
                        span: 0..0,
                        text: entry.key.text.clone(),
                    },
                    node: bare(&entry.node),
                });
                YamlValue::Map(entries.collect())
            }
            other => other.clone(),
        };
        YamlNode { span: 0..0, value }
    }

    #[test]
    fn what_differs_stands_over_what_is_alike_through_a_chain() {
        let tree = parse(LAYOUTS).expect("valid");
        let sink = Sink::default();
        let layout = whole(entries(&tree), 2, &sink).expect("found").into_owned();
        let expected = parse(
            "{walk: straight, at: {saw: [2 m, 0], rack: {at: [1 m, 0], turn: 0}, bench: [3 m, 0]}}",
        );
        assert_eq!(bare(&layout.node), bare(&expected.expect("valid")));
        assert!(!sink.has_errors());
        let saw = layout
            .node
            .get("at")
            .and_then(|at| at.entry("saw"))
            .expect("placed");
        assert_eq!(&LAYOUTS[saw.key.span.clone()], "saw");
        assert!(saw.key.span.start > LAYOUTS.find("\nb:").expect("there"));
    }
}
