//! Charts of findings made by hand: what is in them, and that it stays readable.
//!
//! Drawings are read back with the parser and the renderer that the PNG files need.

mod drawing;
pub mod fixtures;
mod floors;
mod on_the_floor;
mod reliefs;
mod writers;

use std::fs;

use drawing::{Drawing, place as place_of};
use fixtures::{LARGE, SMALL, Size, findings, nothing, place, timeline};
use shopstride::experiment::{
    Activity, Timeline, TimelineBar as Bar, TimelineKind as Kind, TimelineRow as Row,
};
use shopstride::experiment::{Findings, Units};
use shopstride::report::charts::scene::Area;
use shopstride::report::charts::scene::paint::Colour;
use shopstride::report::charts::{self, ALL, Format, Layout, Picture, Subject};
use shopstride::statistics::Histogram;

const YELLOW: Colour = (240, 228, 66);
const ORANGE: Colour = (230, 159, 0);
const VERMILLION: Colour = (213, 94, 0);
const BLUE: Colour = (0, 114, 178);

/// The least, the usual, the projector's and the most.
const SCALES: [f64; 4] = [0.5, 1.0, 2.0, 3.0];

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
        timeline,
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
    stations.expect("◆ station, 18 %: Table saw", "stations");
    assert_eq!(stations.bold("Table saw"), Some(true));
    assert_eq!(stations.bold("Planer"), Some(false));

    let people = drawing("people", &found, None);
    people.expect("◆ person, 84 %: Person 1", "people");
    assert_eq!(people.bold("Person 1"), Some(true));

    let waits = drawing("waits", &found, None);
    for words in [
        "Side table",
        "waiting for a station",
        "for other parts",
        "–",
    ] {
        waits.expect(words, "waits");
    }
    waits.expect("mean of the first 100 of 200 replications", "waits");
    let lead_time = found.candidates[0].projects[0].lead_time.expect("done");
    waits.expect(&format!("{:.1}\u{202F}min", lead_time / 60.0), "waits");

    let matrix = drawing("from-to", &found, None);
    let metres: f64 = found.candidates[0]
        .legs
        .iter()
        .map(|leg| leg.metres)
        .fold(0.0, f64::max);
    matrix.expect(&format!("{metres:.0}"), "from-to");

    let bars = drawing("timeline", &found, Some(&timeline(&SMALL)));
    let (of_rows, _) = Activity::ALL.split_at(9);
    for activity in of_rows {
        bars.expect(activity.name(), "timeline");
    }
    drawing("lead-time", &found, None).expect("median", "lead-time");
    drawing("legs", &found, None).expect("\"Working order\" against \"As it grew\"", "legs");
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
fn walking_bars_are_as_long_as_the_figures() {
    let found = findings(&SMALL);
    let walking = drawing("walking", &found, None);
    let manners = [YELLOW, ORANGE, VERMILLION].map(|colour| walking.bars(colour));
    let mut metre = None;
    for (index, candidate) in found.candidates.iter().enumerate() {
        let walked = candidate.walked;
        for (bars, metres) in manners
            .iter()
            .zip([walked.empty, walked.carrying, walked.pushing])
        {
            assert_eq!(bars.len(), found.candidates.len());
            let length = bars[index].width / metres;
            let expected = *metre.get_or_insert(length);
            // Both ends are rounded to a step.
            assert!(
                (length - expected).abs() * metres <= 2.0,
                "{length} {expected}"
            );
        }
    }
}

#[test]
fn station_bars_are_as_long_as_the_shares() {
    let found = findings(&SMALL);
    let stations = drawing("stations", &found, None);
    // The columns one after the other, as the candidates are.
    let mut running = stations.bars(BLUE);
    running.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    assert_eq!(running.len(), 12);
    let expected = found
        .candidates
        .iter()
        .flat_map(|candidate| &candidate.stations)
        .map(|station| station.running / 28_800.0);
    let whole = running[0].width / (found.candidates[0].stations[0].running / 28_800.0);
    assert!(whole > 200.0, "a bar of {whole} steps cannot be read");
    for (bar, share) in running.iter().zip(expected) {
        assert!((bar.width - whole * share).abs() <= 2.0 + whole * 1e-2 * share);
    }
}

#[test]
fn saved_legs_go_left_and_added_legs_right() {
    let mut found = findings(&SMALL);
    let legs = found.candidates[0].legs.clone();
    found.candidates[1].legs = legs;
    found.candidates[1].legs[0].metres += 30.0;
    found.candidates[1].legs[1].metres = 0.0;
    found.candidates[0].legs[1].metres = 15.0;
    let drawn = drawing("legs", &found, None);
    let (saved, added) = (drawn.bars(BLUE), drawn.bars(ORANGE));
    assert_eq!((saved.len(), added.len()), (1, 1));
    assert!((added[0].width / saved[0].width - 2.0).abs() < 0.01);
    assert!((saved[0].x + saved[0].width - added[0].x).abs() <= 1.0);
    assert!(added[0].y < saved[0].y, "the largest comes first");
    drawn.expect("+30.0", "legs");
    drawn.expect("−15.0", "legs");
}

#[test]
fn panels_of_legs_have_one_scale() {
    let found = findings(&LARGE);
    let drawn = drawing("legs", &found, None);
    let mut zeros: Vec<f64> = drawn.bars(ORANGE).iter().map(|bar| bar.x).collect();
    zeros.sort_by(f64::total_cmp);
    zeros.dedup_by(|a, b| (*a - *b).abs() <= 1.0);
    assert_eq!(
        zeros.len(),
        1,
        "long names need all of the width: {zeros:?}"
    );
}

/// Places that differ at their ends only, as numbered benches do.
#[test]
fn different_legs_have_different_labels() {
    let mut found = findings(&SMALL);
    for (index, leg) in found.candidates[1].legs.iter_mut().enumerate() {
        leg.from =
            format!("student workbench in the hall beside the window to the yard, row {index}");
        leg.to = "finishing booth with the large fan and the filters of last year".to_owned();
    }
    let chart = ALL.iter().find(|chart| chart.stem == "legs").unwrap();
    for scale in SCALES {
        let drawn = Drawing::of(&charts::pictures(chart, &subject(&found, None, &[]), scale)[0]);
        let mut labels: Vec<&str> = (drawn.texts.iter())
            .map(|text| text.text.as_str())
            .filter(|text| text.starts_with("stud"))
            .collect();
        let all = labels.len();
        labels.sort_unstable();
        labels.dedup();
        assert!(all > 4, "{all} labels at {scale}");
        assert_eq!(labels.len(), all, "at {scale}: {labels:?}");
    }
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

/// Times from 20 to 21 hours on an axis from 0 would be a line upright at the right.
#[test]
fn lead_times_far_from_zero_fill_their_chart() {
    let mut found = findings(&SMALL);
    for candidate in &mut found.candidates {
        candidate.lead_times = Histogram::new();
        for minute in 0..60 {
            candidate
                .lead_times
                .record((72_000 + 60 * minute) * 1_000_000);
        }
    }
    let drawn = drawing("lead-time", &found, None);
    drawn.expect("20.2", "lead-time");
    drawn.expect("does not begin at 0", "lead-time");
    assert!(drawn.texts.iter().all(|text| text.text != "0"));
    // The small fixture has times from 1 to 4 hours, which fit an axis from 0.
    let whole = drawing("lead-time", &findings(&SMALL), None);
    assert!(whole.texts.iter().any(|text| text.text == "0"));
}

#[test]
fn a_matrix_says_what_all_of_it_comes_to() {
    let found = findings(&SMALL);
    let matrix = drawing("from-to", &found, None);
    let all: f64 = found.candidates[0].legs.iter().map(|leg| leg.metres).sum();
    let texts: Vec<_> = (matrix.texts.iter())
        .filter(|text| text.text == format!("{all:.0}"))
        .collect();
    let corner = |of: fn(&Area) -> f64| {
        matrix
            .texts
            .iter()
            .map(|text| of(&place_of(text)))
            .fold(0.0, f64::max)
    };
    let lowest = corner(|place| place.y);
    assert!(
        texts.iter().any(|text| place_of(text).y == lowest),
        "{all}: {texts:?}"
    );
}

#[test]
fn timeline_bars_lie_where_they_belong() {
    let bar = |from_s, to_s| Bar {
        from_s,
        to_s,
        what: Activity::Running,
    };
    let timeline = Timeline {
        candidate: "as it grew".to_owned(),
        replication: 1,
        end_s: 1_000.0,
        rows: vec![Row {
            name: "Saw".to_string(),
            kind: Kind::Station,
            bars: vec![bar(500.0, 1_000.0), bar(0.0, 250.0), bar(600.0, 700.0)],
        }],
    };
    let drawn = drawing("timeline", &findings(&SMALL), Some(&timeline));
    let bars = drawn.bars(BLUE);
    let find = |share: f64| {
        let width = bars.iter().map(|bar| bar.width).fold(0.0, f64::max);
        bars.iter()
            .find(|bar| (bar.width - 2.0 * width * share).abs() <= 2.0)
            .unwrap()
    };
    let (half, quarter, tenth) = (find(0.5), find(0.25), find(0.1));
    assert!((half.x - quarter.x - half.width).abs() <= 2.0);
    // The two that overlap in time are above each other.
    assert!(tenth.y >= half.y + half.height - 1.0);
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
            end_s: figure,
            ..timeline(&SMALL)
        };
        for picture in pictures(&found, Some(&timeline)) {
            Drawing::of(&picture).check(&format!("{figure:e}/{}", picture.stem));
        }
    }
}

#[test]
fn very_many_bars_make_no_very_large_file() {
    let bars = (0..200_000)
        .map(|index| Bar {
            from_s: f64::from(index),
            to_s: f64::from(index) + 0.9,
            what: Activity::ALL[index as usize % Activity::ALL.len()],
        })
        .collect();
    let timeline = Timeline {
        candidate: "as it grew".to_owned(),
        replication: 1,
        end_s: 200_000.0,
        rows: vec![Row {
            name: "Saw".to_string(),
            kind: Kind::Station,
            bars,
        }],
    };
    let chart = ALL.iter().find(|chart| chart.stem == "timeline").unwrap();
    let picture = &charts::pictures(
        chart,
        &subject(&findings(&SMALL), Some(&timeline), &[]),
        1.0,
    )[0];
    let svg = picture.scene.svg();
    assert!(svg.len() < 1_000_000, "{} bytes", svg.len());
}

#[test]
fn very_many_places_are_put_together() {
    let found = findings(&Size {
        candidates: 1,
        stations: 44,
        ..LARGE
    });
    let matrix = drawing("from-to", &found, None);
    matrix.expect("15 other places", "from-to");
    matrix.check("from-to");
}

#[test]
fn files_are_written_whole_and_named() {
    let folder = tempfile::tempdir().unwrap();
    let inside = folder.path().join("charts");
    let files = charts::write(
        &subject(&findings(&SMALL), Some(&timeline(&SMALL)), &[]),
        &inside,
        1.0,
        Format::ALL,
    )
    .unwrap();
    let names: Vec<_> = files
        .iter()
        .filter(|file| file.extension().unwrap() == "svg")
        .map(|file| file.file_stem().unwrap().to_str().unwrap())
        .collect();
    let expected = [
        "walking",
        "stations",
        "people",
        "waits",
        "bottlenecks",
        "from-to-1-as-it-grew",
        "from-to-2-working-order",
        "timeline",
        "lead-time",
        "legs",
    ];
    assert_eq!(names, expected);
    // And the list of them.
    assert_eq!(fs::read_dir(&inside).unwrap().count(), files.len() + 1);
    let written = fs::read_to_string(inside.join("walking.svg")).unwrap();
    let drawn = &pictures(&findings(&SMALL), None)[0];
    assert_eq!(written, drawn.scene.svg());
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
    for stem in ["timeline", "waits", "legs", "string", "stays"] {
        assert!(!without.contains(&stem.to_string()), "{stem}");
    }
    // Walking, stations, people, bottlenecks, one matrix, lead time, and one plan.
    assert_eq!(without.len(), 7);
    let found = findings(&SMALL);
    for chart in ALL {
        let drawn = charts::pictures(chart, &subject(&found, None, &[]), 1.0);
        let floor = ["timeline", "plan", "string", "stays"].contains(&chart.stem);
        assert_eq!(drawn.is_empty(), floor, "{}", chart.stem);
    }
}

/// At twice the scale a letter is twice as large, and the picture 1.28 times as wide: relative to it, and so on a
/// projector that shows all of it, texts are 1.56 times as large.
#[test]
fn a_scale_enlarges_texts_more_than_the_picture() {
    let found = findings(&SMALL);
    for chart in ALL {
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

#[test]
fn an_error_names_the_file() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("taken");
    fs::write(&file, "").unwrap();
    let error =
        charts::write(&subject(&nothing(), None, &[]), &file, 1.0, Format::ALL).unwrap_err();
    assert!(error.to_string().contains("taken"), "{error}");
}

/// The renderer reads the font itself, and so is a witness for the table of widths.
#[test]
fn widths_are_those_of_the_font() {
    use resvg::usvg::{Node, Options, Tree};
    let mut options = Options::default();
    for font in ["Inter-Regular.ttf", "Inter-Bold.ttf"] {
        let file = format!(
            "{}/src/report/charts/font/{font}",
            env!("CARGO_MANIFEST_DIR")
        );
        options.fontdb_mut().load_font_data(fs::read(file).unwrap());
    }
    let letters: Vec<char> = ('!'..='~')
        .chain('¡'..='ſ')
        .chain("αΩ–—…→±−×≤≥▲◆●■".chars())
        .collect();
    for bold in [false, true] {
        let weight = if bold { "bold" } else { "normal" };
        let mut checked = 0;
        // The soft hyphen does not show, and U+0149 is deprecated and not in the font.
        for letter in letters
            .iter()
            .filter(|letter| !['\u{AD}', '\u{149}'].contains(letter))
        {
            let svg = format!(
                "<svg xmlns='http://www.w3.org/2000/svg' width='9000' height='4000'>\
                 <text x='0' y='2000' font-family='Inter' font-weight='{weight}' font-size='2048'>&#{};</text></svg>",
                *letter as u32
            );
            let tree = Tree::from_str(&svg, &options).unwrap();
            let Some(Node::Text(text)) = tree.root().children().first() else {
                panic!("{letter} is no text")
            };
            let drawn = f64::from(text.bounding_box().width());
            let known = charts::text::width(&letter.to_string(), 2048.0, bold);
            assert!(
                (drawn - known).abs() < 1.0,
                "{letter}: {drawn} drawn, {known} known"
            );
            checked += 1;
        }
        assert!(checked > 300);
    }
}
