//! Changes to a scenario: a JSON Merge Patch (RFC 7396) on the tree, in which every node keeps its position.

use std::collections::BTreeMap;

use super::tree::{MapEntry, YamlNode, YamlValue};

/// The target with the patch applied: mappings are merged, everything else is replaced, null removes.
pub fn merge(target: &YamlNode, patch: &YamlNode) -> YamlNode {
    let YamlValue::Map(changes) = &patch.value else {
        return patch.clone();
    };
    let (span, given) = match &target.value {
        YamlValue::Map(entries) => (target.span.clone(), &entries[..]),
        _ => (patch.span.clone(), &[][..]),
    };
    let places: BTreeMap<&str, usize> = given
        .iter()
        .enumerate()
        .map(|(place, entry)| (&*entry.key.text, place))
        .collect();
    let mut entries: Vec<Option<MapEntry>> = given.iter().cloned().map(Some).collect();
    for change in changes {
        let place = places.get(&*change.key.text).copied();
        match (&change.node.value, place) {
            (YamlValue::Null, Some(place)) => entries[place] = None,
            (YamlValue::Null, None) => {}
            (_, Some(place)) => {
                entries[place] = Some(MapEntry {
                    key: given[place].key.clone(),
                    node: merge(&given[place].node, &change.node),
                });
            }
            (_, None) => entries.push(Some(MapEntry {
                key: change.key.clone(),
                node: merge(&nothing(&change.node), &change.node),
            })),
        }
    }
    YamlNode {
        span,
        value: YamlValue::Map(entries.into_iter().flatten().collect()),
    }
}

/// A target that is not there, for a patch that adds something: its nulls must not stay.
fn nothing(patch: &YamlNode) -> YamlNode {
    YamlNode {
        span: patch.span.clone(),
        value: YamlValue::Null,
    }
}

#[cfg(test)]
mod tests {
    use super::super::tree::parse;
    use super::*;

    /// Without positions, and mappings by key: RFC 7396 knows no order.
    fn plain(node: &YamlNode) -> String {
        match &node.value {
            YamlValue::Null => "null".to_owned(),
            YamlValue::Scalar(text) => format!("{text:?}"),
            YamlValue::List(items) => {
                let items: Vec<String> = items.iter().map(plain).collect();
                format!("[{}]", items.join(","))
            }
            YamlValue::Map(entries) => {
                let mut fields: Vec<String> = entries
                    .iter()
                    .map(|entry| format!("{:?}:{}", entry.key.text, plain(&entry.node)))
                    .collect();
                fields.sort();
                format!("{{{}}}", fields.join(","))
            }
        }
    }

    /// The table of test cases of RFC 7396, appendix A. Numbers are kept as their text.
    const APPENDIX_A: &[(&str, &str, &str)] = &[
        (r#"{"a":"b"}"#, r#"{"a":"c"}"#, r#"{"a":"c"}"#),
        (r#"{"a":"b"}"#, r#"{"b":"c"}"#, r#"{"a":"b","b":"c"}"#),
        (r#"{"a":"b"}"#, r#"{"a":null}"#, r#"{}"#),
        (r#"{"a":"b","b":"c"}"#, r#"{"a":null}"#, r#"{"b":"c"}"#),
        (r#"{"a":["b"]}"#, r#"{"a":"c"}"#, r#"{"a":"c"}"#),
        (r#"{"a":"c"}"#, r#"{"a":["b"]}"#, r#"{"a":["b"]}"#),
        (
            r#"{"a":{"b":"c"}}"#,
            r#"{"a":{"b":"d","c":null}}"#,
            r#"{"a":{"b":"d"}}"#,
        ),
        (r#"{"a":[{"b":"c"}]}"#, r#"{"a":[1]}"#, r#"{"a":[1]}"#),
        (r#"["a","b"]"#, r#"["c","d"]"#, r#"["c","d"]"#),
        (r#"{"a":"b"}"#, r#"["c"]"#, r#"["c"]"#),
        (r#"{"a":"foo"}"#, r#"null"#, r#"null"#),
        (r#"{"a":"foo"}"#, r#""bar""#, r#""bar""#),
        (r#"{"e":null}"#, r#"{"a":1}"#, r#"{"e":null,"a":1}"#),
        (r#"[1,2]"#, r#"{"a":"b","c":null}"#, r#"{"a":"b"}"#),
        (
            r#"{}"#,
            r#"{"a":{"bb":{"ccc":null}}}"#,
            r#"{"a":{"bb":{}}}"#,
        ),
    ];

    #[test]
    fn the_cases_of_the_standard() {
        for (target, patch, expected) in APPENDIX_A {
            let tree = |text: &str| parse(text).expect("JSON is YAML");
            let merged = merge(&tree(target), &tree(patch));
            assert_eq!(plain(&merged), plain(&tree(expected)), "{target} {patch}");
        }
    }

    #[test]
    fn what_is_changed_stands_where_the_change_stands() {
        let target = parse("a: {b: 1, c: 2}").expect("valid");
        let text = "#\n#\n#\na: {b: 3}";
        let merged = merge(&target, &parse(text).expect("valid"));
        let inner = merged.get("a").expect("kept");
        let changed = inner.get("b").expect("changed");
        assert_eq!(&text[changed.span.clone()], "3");
        assert_eq!(inner.get("c").expect("kept").span, 13..14);
    }
}
