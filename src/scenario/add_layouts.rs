//! Layouts that are added to the text of a scenario, with everything else kept as it is written.

use super::new_shop::{taped, yaml_name};
use super::tree::{self, YamlValue};
use crate::experiment::Units;
use crate::floor::Pose;

/// A layout that is like another one but for where some stations stand.
#[derive(Debug, Clone, PartialEq)]
pub struct AddedLayout {
    pub name: String,
    /// The layout that it is like.
    pub like: String,
    /// What is said of it in a comment, in one line.
    pub about: String,
    /// Stations by their names, with where they stand.
    pub at: Vec<(String, Pose)>,
}

/// A layout as it stands below `layouts`, each line indented by so many spaces.
pub fn layout_yaml(layout: &AddedLayout, units: Units, indent: usize) -> String {
    let margin = " ".repeat(indent);
    let about = layout.about.replace(['\n', '\r'], " ");
    let mut text = format!(
        "{margin}{}:\n{margin}  # {about}\n{margin}  like: {}\n{margin}  at:\n",
        yaml_name(&layout.name),
        yaml_name(&layout.like)
    );
    for (station, pose) in &layout.at {
        text.push_str(&format!(
            "{margin}    {}: {}\n",
            yaml_name(station),
            place_yaml(*pose, units)
        ));
    }
    text
}

/// A place with its turn, which is said in any case: the layout below may have another one.
fn place_yaml(pose: Pose, units: Units) -> String {
    let [x, y] = [pose.at.x, pose.at.y].map(|metres| match metres < 0.0 {
        true => format!("{metres:.4} m"),
        false => taped(metres, units),
    });
    format!("{{at: [{x}, {y}], turn: {}}}", pose.turn)
}

/// The same layout within braces.
fn layout_in_braces(layout: &AddedLayout, units: Units) -> String {
    let places = layout.at.iter();
    let places: Vec<String> = places
        .map(|(station, pose)| format!("{}: {}", yaml_name(station), place_yaml(*pose, units)))
        .collect();
    format!(
        "{}: {{like: {}, at: {{{}}}}}",
        yaml_name(&layout.name),
        yaml_name(&layout.like),
        places.join(", ")
    )
}

/// The text with layouts added below its own; nothing where it has no place for them.
pub fn add_layouts(text: &str, layouts: &[AddedLayout], units: Units) -> Option<String> {
    let tree = tree::parse(text).ok()?;
    let entry = tree.entry("layouts")?;
    let YamlValue::Map(known) = &entry.node.value else {
        return None;
    };
    let first = known.first()?;
    let behind_key = text.get(entry.key.span.end..)?;
    let value = behind_key.trim_start_matches([' ', ':', '\n', '\r']);
    let (place, added) = match value.starts_with('{') {
        true => {
            let opens = text.len() - value.len();
            let before = &text[..opens + closing_brace(value)?];
            let separator = match before.trim_end().ends_with(',') {
                true => " ",
                false => ", ",
            };
            let layouts = layouts.iter();
            let layouts: Vec<String> = layouts
                .map(|layout| layout_in_braces(layout, units))
                .collect();
            let place = before.trim_end().len();
            (place, format!("{separator}{}", layouts.join(", ")))
        }
        false => {
            let column = |at: usize| at - text[..at].rfind('\n').map_or(0, |end| end + 1);
            let indent = column(first.key.span.start);
            let (place, begins_line) =
                end_of_block(text, entry.key.span.start, column(entry.key.span.start));
            let layouts = layouts.iter();
            let layouts: String = layouts
                .map(|layout| layout_yaml(layout, units, indent))
                .collect();
            (
                place,
                format!("{}{layouts}", if begins_line { "" } else { "\n" }),
            )
        }
    };
    let added = match text.contains("\r\n") {
        true => added.replace('\n', "\r\n"),
        false => added,
    };
    Some(format!("{}{added}{}", &text[..place], &text[place..]))
}

/// Where the brace is closed with which a text begins.
fn closing_brace(text: &str) -> Option<usize> {
    let mut depth = 0;
    let mut quote = None;
    let mut in_comment = false;
    // What a quotation mark has to follow to be one, and not an apostrophe within a word.
    let mut last = ' ';
    let mut begins = true;
    for (at, letter) in text.char_indices() {
        match (quote, letter) {
            _ if in_comment => in_comment = letter != '\n',
            (Some(mark), _) => quote = quote.filter(|_| letter != mark || last == '\\'),
            (None, '"' | '\'') if begins => quote = Some(letter),
            (None, '#') if last.is_whitespace() => in_comment = true,
            (None, '{' | '[') => depth += 1,
            (None, '}' | ']') => depth -= 1,
            (None, _) => {}
        }
        if depth == 0 && letter == '}' {
            return Some(at);
        }
        if !letter.is_whitespace() && !in_comment {
            begins = matches!(letter, '{' | '[' | ',' | ':');
        }
        last = letter;
    }
    None
}

/// Where the block ends whose key stands there, so many columns from the left, behind the last of its lines that says
/// something; and whether a line begins there.
fn end_of_block(text: &str, key: usize, indent: usize) -> (usize, bool) {
    let mut at = key;
    let mut end = key;
    for (nth, line) in text[key..].split_inclusive('\n').enumerate() {
        let said = line.trim_end();
        let own_indent = said.len() - said.trim_start().len();
        let is_comment = said.trim_start().starts_with('#');
        if nth > 0 && !said.is_empty() && own_indent <= indent && !is_comment {
            break;
        }
        at += line.len();
        if nth == 0 || (!said.is_empty() && own_indent > indent) {
            end = at;
        }
    }
    (end, text[..end].ends_with('\n'))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::floor::Point;

    fn added() -> AddedLayout {
        AddedLayout {
            name: "one moved".to_owned(),
            like: "now".to_owned(),
            about: "a try".to_owned(),
            at: vec![(
                "band saw".to_owned(),
                Pose {
                    at: Point::new(1.25, 0.5),
                    turn: 90.0,
                },
            )],
        }
    }

    #[test]
    fn layouts_are_added_behind_the_last_one_with_all_comments_kept() {
        let text = "title: a\nlayouts:   # all\n  now:\n    at:\n      band saw: [1 m, 1 m] # here\n  # an afterthought\n\n# the end\nrun: {seed: 1}\n";
        let expected = "title: a\nlayouts:   # all\n  now:\n    at:\n      band saw: [1 m, 1 m] # here\n  # an afterthought\n  one moved:\n    # a try\n    like: now\n    at:\n      band saw: {at: [1.25 m, 0.5 m], turn: 90}\n\n# the end\nrun: {seed: 1}\n";
        assert_eq!(
            add_layouts(text, &[added()], Units::Metric).as_deref(),
            Some(expected)
        );
    }

    #[test]
    fn a_file_may_end_without_a_line_end_and_have_those_of_other_systems() {
        let text = "title: a\r\nlayouts:\r\n  now: {at: {band saw: [1 m, 1 m]}}";
        let found = add_layouts(text, &[added()], Units::Metric).expect("there is a place");
        assert!(found.starts_with(text));
        assert!(
            found[text.len()..].starts_with("\r\n  one moved:\r\n"),
            "{found:?}"
        );
        assert!(tree::parse(&found).is_ok());
    }

    #[test]
    fn layouts_within_braces_stay_so() {
        for text in [
            "title: a\nlayouts: {now: {at: {band saw: [1 m, 1 m]}}}\n",
            "title: a\nlayouts:\n  {now: {at: {band saw: [1 m, 1 m]}},}\n",
            "title: a\nlayouts: {now: {at: {band saw: [1 m, 1 m]}}, # {it's\n  '}': {like: now}}\nrun: {seed: 1}\n",
        ] {
            let found = add_layouts(text, &[added()], Units::Imperial).expect("there is a place");
            let tree = tree::parse(&found).expect("valid");
            let layouts = tree.get("layouts").expect("there");
            let place = layouts
                .get("one moved")
                .and_then(|layout| layout.get("at")?.get("band saw")?.get("at"));
            let YamlValue::List(place) = &place.expect("placed").value else {
                panic!("two lengths");
            };
            assert_eq!(
                place[0].value,
                YamlValue::Scalar("4 ft 1-7/32 in".to_owned())
            );
            assert!(layouts.get("now").is_some());
        }
    }
}
