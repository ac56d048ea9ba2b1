//! Bars, curves and matrices are as large as their figures.

use shopstride::experiment::{
    Activity, Timeline, TimelineBar as Bar, TimelineKind as Kind, TimelineOpening as Opening,
    TimelineRow as Row,
};
use shopstride::report::charts::scene::Area;
use shopstride::report::charts::scene::paint::Colour;
use shopstride::report::charts::{self, ALL};
use shopstride::statistics::Histogram;

use super::drawing::{Drawing, place as place_of};
use super::fixtures::{LARGE, SMALL, Size, findings};
use super::{SCALES, drawing, subject};

/// What walking, carrying, pushing, working, less and more are drawn in.
const MANNERS: [Colour; 3] = [(0, 114, 178), (213, 94, 0), (230, 159, 0)];
const WORKING: Colour = (86, 180, 233);
const LESS: Colour = (0, 84, 130);
const MORE: Colour = (230, 159, 0);

#[test]
fn walking_bars_are_as_long_as_the_figures() {
    let found = findings(&SMALL);
    let walking = drawing("walking", &found, None);
    let manners = MANNERS.map(|colour| walking.bars(colour));
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
    let mut running = stations.bars(WORKING);
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
    let (saved, added) = (drawn.bars(LESS), drawn.bars(MORE));
    assert_eq!((saved.len(), added.len()), (1, 1));
    assert!((added[0].width / saved[0].width - 2.0).abs() < 0.01);
    assert!((saved[0].x + saved[0].width - added[0].x).abs() <= 1.0);
    assert!(added[0].y < saved[0].y, "the largest comes first");
    drawn.expect("+30 m", "legs");
    drawn.expect("−15 m", "legs");
}

#[test]
fn panels_of_legs_have_one_scale() {
    let found = findings(&LARGE);
    let drawn = drawing("legs", &found, None);
    let mut zeros: Vec<f64> = drawn.bars(MORE).iter().map(|bar| bar.x).collect();
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

/// Times from 20 to 21 hours on an axis from 0 would be a line upright at the right.
#[test]
fn lead_times_far_from_zero_fill_their_chart() {
    let mut found = findings(&SMALL);
    for candidate in &mut found.candidates {
        candidate.projects.truncate(1);
        let times = &mut candidate.projects[0].lead_times;
        *times = Histogram::new();
        for minute in 0..60 {
            times.record((72_000 + 60 * minute) * 1_000_000);
        }
    }
    let drawn = drawing("lead-time", &found, None);
    drawn.expect("20.2", "lead-time");
    drawn.expect("begin at 0", "lead-time");
    assert!(drawn.texts.iter().all(|text| text.text != "0"));
    // The small fixture has times from 1 to 4 hours, which fit an axis from 0.
    let whole = drawing("lead-time", &findings(&SMALL), None);
    assert!(whole.texts.iter().any(|text| text.text == "0"));
}

#[test]
fn a_matrix_says_what_all_of_it_comes_to() {
    let found = findings(&SMALL);
    let matrix = drawing("from-to", &found, None);
    // Rounded once, so that it is what the other charts say.
    let all: f64 = found.candidates[0].legs.iter().map(|leg| leg.metres).sum();
    let trips: f64 = found.candidates[0].legs.iter().map(|leg| leg.trips).sum();
    let find = |words: String| -> Vec<Area> {
        let texts = matrix.texts.iter().filter(|text| text.text == words);
        texts.map(place_of).collect()
    };
    // In the corner at the right: metres, and trips below them.
    let places = matrix.texts.iter().map(place_of);
    let lowest = places
        .map(|place| place.y + place.height)
        .fold(0.0, f64::max);
    let trips = find(format!("{trips:.0}×"));
    let corner = trips
        .iter()
        .find(|place| (place.y + place.height - lowest).abs() < 1e-9);
    let corner = corner.unwrap_or_else(|| panic!("{trips:?}"));
    let above = |place: &Area| place.x == corner.x && (0.0..20.0).contains(&(corner.y - place.y));
    let metres = find(format!("{all:.0}"));
    assert!(metres.iter().any(above), "{all}: {metres:?}");
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
        openings: Vec::new(),
        weeks: None,
        spells: Vec::new(),
        queues: Vec::new(),
        currents: Vec::new(),
        end_s: 1_000.0,
        rows: vec![Row {
            name: "Saw".to_string(),
            kind: Kind::Station,
            bars: vec![bar(500.0, 1_000.0), bar(0.0, 250.0), bar(600.0, 700.0)],
        }],
    };
    let drawn = drawing("timeline", &findings(&SMALL), Some(&timeline));
    let bars = drawn.bars(WORKING);
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

/// Three sessions of 400, 350 and 250 s: lines where the second and the third begin, and the day of each above the bars.
#[test]
fn a_timeline_shows_on_which_days_things_happen() {
    let opening = |from_s, weekday| Opening { from_s, weekday };
    let timeline = Timeline {
        candidate: "as it grew".to_owned(),
        replication: 1,
        weeks: None,
        spells: Vec::new(),
        queues: Vec::new(),
        currents: Vec::new(),
        openings: vec![opening(0.0, 2), opening(400.0, 3), opening(750.0, 5)],
        end_s: 1_000.0,
        rows: vec![Row {
            name: "Saw".to_string(),
            kind: Kind::Station,
            bars: vec![Bar {
                from_s: 0.0,
                to_s: 1_000.0,
                what: Activity::Running,
            }],
        }],
    };
    let drawn = drawing("timeline", &findings(&SMALL), Some(&timeline));
    drawn.check("timeline");
    let bar = drawn.bars(WORKING).into_iter();
    let bar = bar.max_by(|a, b| a.width.total_cmp(&b.width)).unwrap();
    for (day, share) in [("Wed", 0.0), ("Thu", 0.4), ("Sat", 0.75)] {
        let text = drawn.texts.iter().find(|text| text.text == day);
        let place = place_of(text.unwrap_or_else(|| panic!("no {day}")));
        assert!(
            (place.x - 3.0 - bar.x - share * bar.width).abs() < 1.5,
            "{day}"
        );
        assert!(place.y + place.height <= bar.y, "{day}");
    }
    drawn.expect("min of open time from the start", "timeline");
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
        openings: Vec::new(),
        weeks: None,
        spells: Vec::new(),
        queues: Vec::new(),
        currents: Vec::new(),
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
