//! Finds, in the tables of keys, the mapping to which a misplaced key belongs.

use super::keys::{CALLED_OTHERWISE, Keys, SCENARIO, ValueShape};

/// A key of more kinds of mapping than this, such as `count`, does not tell where it was meant to stand.
const MOST_HOMES: usize = 3;

/// A hint at the mapping to which a key belongs that is not one of this mapping.
pub fn hint(key: &str, here: &'static Keys) -> Option<String> {
    let otherwise = CALLED_OTHERWISE.iter().find(|(theirs, _)| *theirs == key);
    if let Some((_, ours)) = otherwise.filter(|(_, ours)| here.find(ours).is_some()) {
        return Some(format!("it is called `{ours}`"));
    }
    // A mapping inside this one is a likelier place than one elsewhere.
    [here, &SCENARIO].into_iter().find_map(|top| {
        let homes = homes(top, key);
        let told: Vec<String> = homes
            .iter()
            .map(|(of, written)| format!("{of}, as in `{written}`"))
            .collect();
        let named = (1..=MOST_HOMES).contains(&told.len());
        named.then(|| format!("`{key}` is a key of {}", told.join(", or of ")))
    })
}

/// The kinds of mapping with such a key, and how it is written from `top` on, the shortest first.
fn homes(top: &'static Keys, name: &str) -> Vec<(&'static str, String)> {
    let mut found = Vec::new();
    let mut met: Vec<&'static Keys> = Vec::new();
    let mut next = vec![KeyPath {
        keys: top,
        before: String::new(),
        after: String::new(),
    }];
    while !next.is_empty() {
        let mut deeper = Vec::new();
        for way in next {
            if met.iter().any(|keys| std::ptr::eq(*keys, way.keys)) {
                continue;
            }
            met.push(way.keys);
            if way.keys.offered().any(|key| key.name == name) {
                let written = format!("{}{name}: ...{}", way.before, way.after);
                found.push((way.keys.of, written));
            }
            for key in way.keys.iter() {
                let before = format!("{}{}: ", way.before, key.name);
                inside(&key.shape, before, way.after.clone(), &mut deeper);
            }
        }
        next = deeper;
    }
    found
}

/// A kind of mapping, and what is written around its keys from the top on.
struct KeyPath {
    keys: &'static Keys,
    before: String,
    after: String,
}

/// The mappings that a value of this shape has in it.
fn inside(shape: &'static ValueShape, before: String, after: String, ways: &mut Vec<KeyPath>) {
    match shape {
        ValueShape::Mapping(keys) => ways.push(KeyPath {
            keys,
            before: before + "{",
            after: format!("}}{after}"),
        }),
        ValueShape::Named(of) => inside(of, before + "{NAME: ", format!("}}{after}"), ways),
        ValueShape::List(of) => inside(of, before + "[", format!("]{after}"), ways),
        ValueShape::Either(shapes) => {
            for shape in *shapes {
                inside(shape, before.clone(), after.clone(), ways);
            }
        }
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::super::keys::{PROJECT, STATION};
    use super::*;

    #[test]
    fn every_other_word_stands_for_a_key_and_is_none_beside_it() {
        for (theirs, ours) in CALLED_OTHERWISE {
            assert!(!homes(&SCENARIO, ours).is_empty(), "{ours} is no key");
            assert!(homes(&SCENARIO, theirs).is_empty(), "{theirs} is a key");
        }
    }

    #[test]
    fn what_stands_further_in_is_found_before_what_stands_elsewhere() {
        assert_eq!(
            hint("density", &PROJECT).as_deref(),
            Some("`density` is a key of handling, as in `handling: {density: ...}`")
        );
        assert_eq!(
            hint("per piece", &STATION).as_deref(),
            Some("`per piece` is a key of an operation, as in `does: {NAME: {per piece: ...}}`")
        );
        assert_eq!(hint("count", &PROJECT), None);
        assert_eq!(hint("colour", &PROJECT), None);
    }
}
