//! What pictures of floors say to those who look things up by ids and titles, and to those who do not see them.

use shopstride::floor::Point;
use shopstride::report::charts::layout::{DrawnGap, DrawnStrip};
use shopstride::report::charts::{self, ALL};

use super::drawing::Drawing;
use super::fixtures::{SMALL, findings};
use super::floors::{finding, rectangle};
use super::on_the_floor::{drawn, layout, way};
use super::subject;

/// A page finds stations, walks, stays and findings by their classes and ids, and says their titles.
#[test]
fn what_a_page_looks_for_has_a_group() {
    let mut layout = layout("As it grew");
    layout.findings = vec![finding(1, false, Some((3.0, 2.5)), None)];
    layout.throws = vec![rectangle((3.0, 3.0), (2.0, 1.0))];
    let fits = |fits| DrawnStrip {
        outline: rectangle((4.5, 3.7), (0.5, 0.4)),
        fits,
    };
    layout.strips = vec![fits(false), fits(true)];
    layout.paths = vec![
        way(0, 1, &[(1.0, 0.5), (5.0, 0.5)], 6.0, 20.0),
        way(1, 0, &[(5.0, 0.5), (1.0, 0.5)], 5.0, 0.0),
    ];
    layout.worked_s = vec![3_600.0, 0.0];
    let found = findings(&SMALL);
    let titles = |drawing: &Drawing, class: &str| -> Vec<(String, String)> {
        let groups = drawing.groups(class).into_iter();
        let named = groups.map(|group| (group.id.clone().unwrap(), group.title.clone().unwrap()));
        named.collect()
    };
    let pair = |id: &str, title: &str| (id.to_owned(), title.to_owned());
    let plan = &drawn("plan", &found, &[layout.clone()])[0];
    assert_eq!(
        titles(plan, "station"),
        [pair("station-1", "bench"), pair("station-2", "saw")]
    );
    assert_eq!(
        titles(plan, "finding"),
        [
            pair("strip-1", "no room for the longest piece"),
            pair("throw-1", "a piece may be thrown here"),
            pair("finding-1", &layout.findings[0].words),
        ]
    );
    assert_eq!(titles(plan, "strip").len(), 1);
    let mut other = layout.clone();
    other.units[0] = 2;
    let string = &drawn("string", &found, &[layout.clone(), other])[0];
    assert_eq!(
        titles(string, "walk"),
        [
            pair(
                "layout-1-walk-1-2-empty",
                "bench – saw: 11 trips empty-handed"
            ),
            pair(
                "layout-1-walk-1-2-loaded",
                "bench – saw: 20 trips with a load"
            ),
            pair(
                "layout-2-walk-1-2-empty",
                "bench – saw: 11 trips empty-handed"
            ),
            pair(
                "layout-2-walk-1-2-loaded",
                "bench – saw: 20 trips with a load"
            ),
        ]
    );
    let stays = &drawn("stays", &found, &[layout])[0];
    assert_eq!(
        titles(stays, "stay"),
        [pair("layout-1-stay-1", "bench: 1 h")]
    );
}

/// A gap on which walking hangs has a sign, its width, a line in the list and a name in the legend; it is no fault.
#[test]
fn a_gap_to_measure_again_is_marked() {
    let mut layout = layout("As it grew");
    let gap = DrawnGap {
        at: Point::new(3.0, 2.5),
        width: "49.1 cm".to_owned(),
        words: "the gap between bench and saw is 0.9 cm too narrow for a person".to_owned(),
    };
    layout.near_gaps = vec![gap.clone()];
    let found = findings(&SMALL);
    let plan = &drawn("plan", &found, &[layout.clone()])[0];
    let marked: Vec<_> = (plan.groups("finding").into_iter())
        .map(|group| (group.id.clone().unwrap(), group.title.clone().unwrap()))
        .collect();
    assert_eq!(marked, [("gap-1".to_owned(), gap.words.clone())]);
    let texts: String = plan
        .texts
        .iter()
        .map(|text| format!("{} ", text.text))
        .collect();
    for said in [
        "49.1 cm",
        "gap to measure again, as listed",
        "The gap between bench and saw",
    ] {
        assert!(texts.contains(said), "{said}: {texts}");
    }
    let said = &plan.scene.description;
    assert!(
        said.contains("no fault is marked. Measure again: the gap between bench and saw"),
        "{said}"
    );
    layout.near_gaps.clear();
    let without = &drawn("plan", &found, &[layout])[0];
    assert!(without.groups("finding").is_empty());
    assert!(!without.scene.description.contains("Measure again"));
}

/// Who does not see a picture is told what it says.
#[test]
fn a_picture_says_what_is_in_it() {
    let mut layout = layout("As it grew");
    layout.findings = vec![finding(1, false, Some((3.0, 2.5)), None)];
    layout.worked_s = vec![3_600.0, 900.0];
    let found = findings(&SMALL);
    let said = |stem: &str| {
        let drawing = &drawn(stem, &found, std::slice::from_ref(&layout))[0];
        drawing.scene.description.clone()
    };
    assert!(
        said("plan").contains("2 stations. Warning 1: something is the matter here"),
        "{}",
        said("plan")
    );
    assert!(
        said("stays").ends_with("longest at bench, 1 h."),
        "{}",
        said("stays")
    );
    let walking = said("walking");
    let metres = found.candidates[0].walking.mean;
    assert!(
        walking.contains(&format!("\"As it grew\": {metres:.0} ±")),
        "{walking}"
    );
    for chart in ALL {
        for picture in charts::pictures(chart, &subject(&found, None, &[layout.clone()]), 1.0) {
            let description = picture.scene.description;
            assert!(
                description.len() > chart.about.len() + 10,
                "{}: {description}",
                chart.stem
            );
        }
    }
}
