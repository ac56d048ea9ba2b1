//! Layouts that are added to the text of a scenario, with everything else kept as it is written.

use super::new_shop::taped;
use super::splice::{added_to, spliced};
use super::tree;
use super::yaml_name::yaml_name;
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
pub fn place_yaml(pose: Pose, units: Units) -> String {
    let [x, y] = [pose.at.x, pose.at.y].map(|metres| coordinate_yaml(metres, units));
    format!("{{at: [{x}, {y}], turn: {}}}", pose.turn)
}

/// A length on the floor plan, which may lie on either side of the origin.
pub fn coordinate_yaml(metres: f64, units: Units) -> String {
    match metres < 0.0 {
        true => format!("{metres:.4} m"),
        false => taped(metres, units),
    }
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
    let in_block = |indent| {
        let layouts = layouts.iter();
        layouts
            .map(|layout| layout_yaml(layout, units, indent))
            .collect()
    };
    let in_braces = || {
        let layouts = layouts.iter();
        let layouts: Vec<String> = layouts
            .map(|layout| layout_in_braces(layout, units))
            .collect();
        layouts.join(", ")
    };
    let added = added_to(text, entry, &in_block, &in_braces)?;
    Some(spliced(text, vec![added]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::floor::Point;
    use crate::scenario::tree::YamlValue;

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
