//! Charts of findings made by hand: what is in them, and that it stays readable.
//!
//! Drawings are read back with the parser and the renderer that the PNG files need.

mod bars;
mod built_in;
mod drawing;
mod files;
pub mod fixtures;
mod floors;
mod looked_at;
mod on_the_floor;
mod played;
mod reliefs;
mod sheets;
mod told_of_floors;
mod walked_floors;
mod writers;

use std::fs;

use drawing::{Drawing, place as place_of};
use fixtures::{LARGE, SMALL, Size, findings, nothing, place, timeline};
use shopstride::experiment::{Activity, Timeline};
use shopstride::experiment::{Findings, Units};
use shopstride::report::charts::{self, ALL, Format, Layout, Picture, Subject};
use shopstride::statistics::Histogram;

/// The least, the usual, the projector's and the most.
const SCALES: [f64; 4] = [0.5, 1.0, 2.0, 3.0];

/// Drawn only of shops of which somebody says what feeds them.
const OF_SERVICES: [&str; 3] = ["ducts", "currents", "temperature"];

fn pictures(findings: &Findings, timeline: Option<&Timeline>) -> Vec<Picture> {
    scaled(findings, timeline, 1.0)
}

fn scaled(findings: &Findings, timeline: Option<&Timeline>, scale: f64) -> Vec<Picture> {
    let layouts = floors::layouts(findings);
    ALL.iter()
        .flat_map(|chart| charts::pictures(chart, &subject(findings, timeline, &layouts), scale))
        .collect()
}

fn subject<'a>(
    findings: &'a Findings,
    timeline: Option<&'a Timeline>,
    layouts: &'a [Layout],
) -> Subject<'a> {
    Subject {
        findings,
        answer: &[],
        timelines: timeline.map_or(&[], std::slice::from_ref),
        layouts,
    }
}

fn drawing(stem: &str, findings: &Findings, timeline: Option<&Timeline>) -> Drawing {
    let chart = ALL.iter().find(|chart| chart.stem == stem).unwrap();
    let layouts = floors::layouts(findings);
    Drawing::of(&charts::pictures(chart, &subject(findings, timeline, &layouts), 1.0)[0])
}

fn fixtures() -> Vec<(&'static str, Findings, Timeline)> {
    vec![
        ("small", findings(&SMALL), timeline(&SMALL)),
        ("large", findings(&LARGE), timeline(&LARGE)),
        ("nothing", nothing(), Timeline::default()),
    ]
}

#[test]
fn no_text_leaves_its_picture_or_lies_on_another() {
    for (name, findings, timeline) in fixtures() {
        for scale in SCALES {
            for picture in scaled(&findings, Some(&timeline), scale) {
                let stem = format!("{name}/{} at {scale}", picture.stem);
                let drawing = Drawing::of(&picture);
                drawing.check(&stem);
                drawing.check_ids(&stem);
            }
        }
    }
}

#[test]
fn every_chart_says_what_it_is_about() {
    for (name, findings, timeline) in fixtures() {
        let title = findings.title.chars().take(20).collect::<String>();
        let layouts = floors::layouts(&findings);
        for chart in ALL {
            for picture in
                charts::pictures(chart, &subject(&findings, Some(&timeline), &layouts), 1.0)
            {
                let drawing = Drawing::of(&picture);
                drawing.expect(chart.title, name);
                drawing.expect(&title, name);
            }
        }
    }
}

#[test]
fn charts_hold_the_names_and_figures() {
    let found = findings(&SMALL);
    let walking = drawing("walking", &found, None);
    walking.expect("As it grew", "walking");
    walking.expect("Working order", "walking");
    walking.expect("± 28 m", "walking");
    walking.expect("95 % interval", "walking");

    let stations = drawing("stations", &found, None);
    for index in 0..SMALL.stations {
        stations.expect(&place(index, false), "stations");
    }
    stations.expect("◆ Table saw 18 %", "stations");
    assert_eq!(stations.bold("Table saw"), Some(true));
    assert_eq!(stations.bold("Planer"), Some(false));

    let people = drawing("people", &found, None);
    people.expect("◆ you 84 %", "people");
    assert_eq!(people.bold("Person 1"), Some(true));

    let waits = drawing("waits", &found, None);
    for words in [
        "Side table",
        "waiting for a station",
        "waiting for you",
        "for other parts",
        "none done",
    ] {
        waits.expect(words, "waits");
    }
    waits.expect("mean of the first 100 of 200 runs", "waits");
    // Where a station is in use only while somebody works at it who is alone, it is they who are waited for.
    let mut alone = found.clone();
    for candidate in &mut alone.candidates {
        candidate.crew[0].working = 1e6;
    }
    let waits_alone = drawing("waits", &alone, None);
    waits_alone.expect("waiting for you", "waits");
    assert_eq!(waits_alone.bold("waiting for a station"), None);
    let lead_time = found.candidates[0].projects[0]
        .lead_time
        .expect("done")
        .mean;
    waits.expect(&format!("{:.1} min", lead_time / 60.0), "waits");

    let matrix = drawing("from-to", &found, None);
    let metres: f64 = found.candidates[0]
        .legs
        .iter()
        .map(|leg| leg.metres)
        .fold(0.0, f64::max);
    // So that all of it adds up, a figure may be the whole one below or above, never a further one.
    let next_to = [metres.floor(), metres.ceil()].map(|metres| format!("{metres:.0}"));
    let is_there = |text: &String| matrix.texts.iter().any(|shown| shown.text == *text);
    assert!(next_to.iter().any(is_there), "{next_to:?}");

    let bars = drawing("timeline", &found, Some(&timeline(&SMALL)));
    let elsewhere = [
        Activity::Taken,
        Activity::Blocked,
        Activity::Serviced,
        Activity::LeftStanding,
        Activity::Away,
        Activity::Sole,
        Activity::Shifting,
    ];
    for activity in Activity::ALL
        .iter()
        .filter(|what| !elsewhere.contains(what))
    {
        bars.expect(activity.name(), "timeline");
    }
    drawing("lead-time", &found, None).expect("median", "lead-time");
    drawing("legs", &found, None).expect("\"Working order\" compared with \"As it grew\"", "legs");
}

#[test]
fn lengths_are_in_feet_where_feet_are_read() {
    let mut found = findings(&SMALL);
    found.units = Units::Imperial;
    // 705.3 m; a foot is 0.3048 m.
    let feet = found.candidates[0].walking.mean / 0.3048;
    let walking = drawing("walking", &found, None);
    walking.expect(&format!("{feet:.0} ± "), "walking");
    walking.expect(" ft", "walking");
    drawing("from-to", &found, None).expect("Feet walked", "from-to");
}

#[test]
fn a_legend_names_only_what_occurs() {
    let mut found = findings(&SMALL);
    let serviced = |found: &Findings| {
        let drawn = drawing("stations", found, None);
        drawn.texts.iter().any(|text| text.text == "serviced")
    };
    assert!(serviced(&found));
    for candidate in &mut found.candidates {
        candidate
            .stations
            .iter_mut()
            .for_each(|station| station.serviced = 0.0);
        candidate.walked.pushing = 0.0;
    }
    assert!(!serviced(&found));
    let walking = drawing("walking", &found, None);
    walking.expect("carrying", "walking");
    assert!(
        walking
            .texts
            .iter()
            .all(|text| !text.text.contains("pushing"))
    );
}

#[test]
fn the_same_findings_give_the_same_bytes() {
    for (_, findings, timeline) in fixtures() {
        let once = pictures(&findings, Some(&timeline));
        assert_eq!(once, pictures(&findings.clone(), Some(&timeline.clone())));
    }
}

#[test]
fn odd_names_make_good_files() {
    let names = [
        "a<b>&\"c'",
        "\u{0}\u{7}\u{1B}[31m\n",
        "]]><!--",
        "שלום \u{202E}x",
        "日本語🪚",
        "",
        "../../etc",
    ];
    let mut found = findings(&Size {
        candidates: names.len(),
        ..SMALL
    });
    found.title = names.join(" ");
    for (candidate, name) in found.candidates.iter_mut().zip(names) {
        candidate.name = name.to_string();
        candidate.stations[0].name = name.to_string();
        candidate.crew[0].name = name.to_string();
        candidate.legs[0].from = name.to_string();
    }
    for picture in pictures(&found, None) {
        let stem = &picture.stem;
        Drawing::of(&picture).check(stem);
        assert!(
            stem.bytes()
                .all(|letter| letter == b'-' || letter.is_ascii_alphanumeric()),
            "{stem}"
        );
    }
    drawing("walking", &found, None).expect("a<b>&\"c'", "walking");
}

#[test]
fn extreme_figures_are_drawn() {
    for figure in [1e-300, 1e-9, 0.004, 123_456_789.0, 1e12, 1e300] {
        let mut found = findings(&SMALL);
        for (index, candidate) in found.candidates.iter_mut().enumerate() {
            candidate.walking.mean = figure;
            candidate.walking.half_width = Some(2.0 * figure);
            candidate.walking.interval = Some((-figure, 3.0 * figure));
            candidate.walked.empty = figure;
            for station in &mut candidate.stations {
                station.running = figure;
                station.utilisation = 1.0;
            }
            candidate.crew[0].working = figure;
            candidate
                .legs
                .iter_mut()
                .for_each(|leg| leg.metres = figure * (index + 1) as f64);
            candidate.lead_times = Histogram::new();
            candidate.lead_times.record(figure as i64);
        }
        let timeline = Timeline {
            candidate: "as it grew".to_owned(),
            replication: 1,
            openings: Vec::new(),
            weeks: None,
            spells: Vec::new(),
            queues: Vec::new(),
            currents: Vec::new(),
            end_s: figure,
            ..timeline(&SMALL)
        };
        for picture in pictures(&found, Some(&timeline)) {
            Drawing::of(&picture).check(&format!("{figure:e}/{}", picture.stem));
        }
    }
}

#[test]
fn nothing_is_drawn_of_what_is_not_there() {
    let stems = |findings, timeline| {
        let pictures = pictures(findings, timeline);
        pictures
            .into_iter()
            .map(|picture| picture.stem)
            .collect::<Vec<_>>()
    };
    let without = stems(&nothing(), None);
    for stem in [
        "timeline",
        "waits",
        "bottlenecks",
        "lead-time",
        "legs",
        "string",
        "stays",
        "walking",
        "from-to",
    ] {
        assert!(!without.contains(&stem.to_string()), "{stem}");
    }
    // Stations, people and one plan: nobody walks.
    assert_eq!(without.len(), 3, "{without:?}");
    let found = findings(&SMALL);
    for chart in ALL {
        let drawn = charts::pictures(chart, &subject(&found, None, &[]), 1.0);
        let floor = ["timeline", "queues", "calendar", "plan", "string", "stays"];
        let is_without = floor.contains(&chart.stem) || OF_SERVICES.contains(&chart.stem);
        assert_eq!(drawn.is_empty(), is_without, "{}", chart.stem);
    }
}

/// At twice the scale a letter is twice as large, and the picture 1.28 times as wide: relative to it, and so on a
/// projector that shows all of it, texts are 1.56 times as large.
#[test]
fn a_scale_enlarges_texts_more_than_the_picture() {
    let found = findings(&SMALL);
    // The shop of these findings is always open, and nobody says what feeds it.
    let is_drawn =
        |chart: &&charts::Chart| chart.stem != "calendar" && !OF_SERVICES.contains(&chart.stem);
    for chart in ALL.iter().filter(is_drawn) {
        let drawn = |scale| {
            let (timeline, layouts) = (timeline(&SMALL), floors::layouts(&found));
            let subject = subject(&found, Some(&timeline), &layouts);
            let pictures = charts::pictures(chart, &subject, scale);
            Drawing::of(&pictures[0])
        };
        let (once, twice) = (drawn(1.0), drawn(2.0));
        let wide = |drawing: &Drawing| drawing.scene.width * drawing.scene.scale;
        assert_eq!((wide(&once), wide(&twice)), (1_000.0, 1_280.0));
        let largest = |drawing: &Drawing| {
            let texts = drawing.texts.iter().filter(|text| text.text == chart.title);
            let height = texts.map(|text| place_of(text).height).fold(0.0, f64::max);
            height * drawing.scene.scale
        };
        let shown = (largest(&once), largest(&twice));
        if !["from-to", "plan"].contains(&chart.stem) {
            assert!(shown.0 > 10.0, "{}: {shown:?}", chart.stem);
        }
        assert!(
            (shown.1 - 2.0 * shown.0).abs() < 1e-9,
            "{}: {shown:?}",
            chart.stem
        );
    }
    let folder = tempfile::tempdir().unwrap();
    for scale in [0.0, -1.0, 0.25, 1e9, f64::NAN, f64::INFINITY] {
        let error = charts::write(
            &subject(&found, None, &[]),
            folder.path(),
            scale,
            Format::ALL,
        )
        .unwrap_err();
        assert_eq!(error.kind(), std::io::ErrorKind::InvalidInput);
    }
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
}
