//! The floors of scenarios that come along, at the sizes at which they are looked at.

use shopstride::experiment::{LayoutFindings, checked_legs};
use shopstride::report::charts::scene::{Area, Group, Outline, SceneItem, Text};
use shopstride::report::charts::{ChartSize, Floors, Layout, PageShape, Picture, floor_pictures};

use super::drawing::{Drawing, place};
use crate::support::study;

const SCENARIOS: [&str; 3] = [
    include_str!("../../../scenarios/garage.yaml"),
    include_str!("../../../scenarios/kinds-garage.yaml"),
    include_str!("../../../scenarios/class.yaml"),
];

fn plans(yaml: &str, size: ChartSize) -> Vec<Picture> {
    let study = study(yaml);
    let legs = checked_legs(&study).unwrap_or_else(|failure| panic!("{failure:?}"));
    let found = study.candidates.iter().zip(&legs);
    let layouts: Vec<Layout> = found
        .filter_map(|(candidate, legs)| LayoutFindings::checked(candidate, legs))
        .map(|found| Layout::of(&found, study.units))
        .collect();
    let floors = Floors {
        title: "A shop",
        units: study.units,
        layouts: &layouts,
    };
    floor_pictures(&floors, size)
}

fn sizes() -> [ChartSize; 3] {
    let page: PageShape = "4:3".parse().expect("a shape");
    [
        ChartSize::from(1.0),
        ChartSize::from(2.0),
        ChartSize {
            scale: 2.0,
            page: Some(page),
        },
    ]
}

/// Both ends of a line.
type Ends = [(f64, f64); 2];

/// The line from a sign to its place, and the texts of the sign.
fn leader(sign: &Group) -> (Option<Ends>, Vec<&Text>) {
    let texts = sign.items.iter().filter_map(|item| match item {
        SceneItem::Text(text) => Some(text),
        _ => None,
    });
    let line = sign.items.iter().find_map(|item| match item {
        SceneItem::Shape(shape) => match &shape.outline {
            Outline::Path { points, .. } => Ends::try_from(&points[..]).ok(),
            _ => None,
        },
        _ => None,
    });
    (line, texts.collect())
}

/// Whether some point of a line lies well inside an area: a thousand of them are looked at.
fn runs_through(area: &Area, [from, to]: Ends) -> bool {
    const RIM: f64 = 1.5;
    (0..=1_000).any(|step| {
        let share = f64::from(step) / 1_000.0;
        let (x, y) = (
            from.0 + (to.0 - from.0) * share,
            from.1 + (to.1 - from.1) * share,
        );
        x > area.x + RIM
            && x < area.x + area.width - RIM
            && y > area.y + RIM
            && y < area.y + area.height - RIM
    })
}

#[test]
fn no_line_of_a_sign_runs_through_a_name() {
    let mut lines = 0;
    for yaml in SCENARIOS {
        for size in sizes() {
            for picture in plans(yaml, size) {
                let drawing = Drawing::of(&picture);
                for sign in drawing.groups("finding") {
                    let (Some(line), own) = leader(sign) else {
                        continue;
                    };
                    lines += 1;
                    let others = drawing.texts.iter().filter(|text| !own.contains(text));
                    for text in others {
                        assert!(
                            !runs_through(&place(text), line),
                            "{} of {}: {:?} runs through {:?}",
                            sign.id.as_deref().unwrap_or_default(),
                            picture.stem,
                            line,
                            text.text
                        );
                    }
                }
            }
        }
    }
    assert!(lines > 20, "{lines} lines");
}

/// Where findings are listed on a page of their own, a small plan beside them has their signs again.
#[test]
fn findings_stand_beside_the_plan_that_they_are_about() {
    let [.., paged] = sizes();
    let mut pages = 0;
    for picture in SCENARIOS.iter().flat_map(|yaml| plans(yaml, paged)) {
        let drawing = Drawing::of(&picture);
        let is_listed = |text: &&Text| text.text.starts_with("The way between");
        if drawing.texts.iter().any(|text| is_listed(&text)) {
            assert!(!drawing.groups("station").is_empty(), "{}", picture.stem);
            assert!(!drawing.groups("finding").is_empty(), "{}", picture.stem);
            pages += 1;
        }
    }
    assert!(pages >= 4, "{pages}");
}
