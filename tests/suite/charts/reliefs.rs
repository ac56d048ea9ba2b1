//! Charts of what holds the work up: reliefs, shares as the bottleneck, and the momentary bottleneck.

use shopstride::experiment::{
    Activity, BottleneckSpell, Timeline, TimelineBar as Bar, TimelineKind as Kind,
    TimelineRow as Row,
};
use shopstride::experiment::{Edit, Findings, Goal, Relief, Reliefs, ResourceKind, Trial};
use shopstride::report::charts::bottlenecks::{self, CandidateShares, Share};
use shopstride::report::charts::scene::Area;
use shopstride::report::charts::scene::paint::Colour;
use shopstride::report::charts::{self, ALL, Picture};
use shopstride::shop::StationId;
use shopstride::statistics::{Estimate, Paired};

use super::drawing::{Drawing, place as place_of};
use super::fixtures::{LARGE, SMALL, findings, nothing, place, timeline};
use super::{SCALES, drawing, subject};

/// Of the bottleneck, alone and shifting.
const ALONE: Colour = (30, 30, 30);
const SHARED: Colour = (200, 200, 200);
const GREY: Colour = (240, 240, 240);
const BLACK: Colour = (0, 0, 0);
const LESS: Colour = (0, 84, 130);
const MORE: Colour = (230, 159, 0);

fn paired(base_mean: f64, mean: f64, half_width: Option<f64>) -> Paired {
    let difference = Estimate {
        mean,
        half_width,
        interval: half_width.map(|half_width| (mean - half_width, mean + half_width)),
        n: 200,
        level: 0.95,
    };
    Paired {
        base_mean,
        difference,
        percent: (base_mean > 0.0).then(|| difference.scaled(100.0 / base_mean)),
    }
}

/// Changes of stations, best first: lead time by so many seconds, each ± a tenth of an hour.
pub fn reliefs(mut findings: Findings, seconds: &[f64], long: bool) -> Reliefs {
    findings.candidates.truncate(1);
    let list = seconds.iter().enumerate().map(|(index, &seconds)| Relief {
        trial: Trial {
            edit: [
                Edit::OneMoreUnit(StationId(index as u32)),
                Edit::Times(StationId(index as u32), 50),
                Edit::NoSetup(StationId(index as u32)),
            ][index % 3],
            resource: Some(place(index, long)),
            part: None,
            price: None,
            mostly_cure: Vec::new(),
            station_kind: None,
            gear_count: None,
            nothing_is_due: true,
        },
        lead_time: Some(paired(
            36_000.0,
            seconds,
            Some(if seconds == 0.0 { 0.0 } else { 360.0 }),
        )),
        sessions: None,
        throughput: paired(0.5, -seconds / 72_000.0, Some(0.005)),
        walking: paired(800.0, 0.0, Some(0.0)),
        hands_on: paired(9_000.0, 0.0, Some(0.0)),
        against_expectation: None,
        projects: Vec::new(),
    });
    Reliefs {
        findings,
        goal: Goal::LeadTime,
        list: list.collect(),
        untried: Vec::new(),
        orders_a_year: None,
        has_prices: false,
        in_question: vec![0, 1],
    }
}

/// Halving the time, half of that, hardly anything, nothing, and half of it to the worse.
const FEW: [f64; 5] = [-7_200.0, -3_600.0, 100.0, 0.0, 3_600.0];

pub fn many() -> Vec<f64> {
    (0..40)
        .map(|index| f64::from(index) * 700.0 - 14_350.0)
        .collect()
}

fn all() -> Vec<(&'static str, Reliefs)> {
    let mut by_throughput = reliefs(findings(&LARGE), &many(), true);
    by_throughput.goal = Goal::Throughput;
    let mut unmeasured = reliefs(findings(&SMALL), &FEW, false);
    unmeasured
        .list
        .iter_mut()
        .for_each(|relief| relief.lead_time = None);
    vec![
        ("few", reliefs(findings(&SMALL), &FEW, false)),
        ("many", reliefs(findings(&LARGE), &many(), true)),
        ("throughput", by_throughput),
        ("none", reliefs(nothing(), &[], false)),
        ("no effect", reliefs(nothing(), &[0.0, 0.0], false)),
        ("unmeasured", unmeasured),
        ("tiny", reliefs(findings(&SMALL), &[-1e-300, 1e-300], false)),
        ("huge", reliefs(findings(&SMALL), &[-1e300, 1e300], false)),
    ]
}

fn ranking(reliefs: &Reliefs) -> Drawing {
    Drawing::of(&charts::relief_pictures(reliefs, 1.0)[0])
}

#[test]
fn no_text_of_a_ranking_leaves_its_picture_or_lies_on_another() {
    for (name, reliefs) in all() {
        for scale in SCALES {
            let pictures = charts::relief_pictures(&reliefs, scale);
            let stems: Vec<&str> = pictures.iter().map(|picture| &picture.stem[..]).collect();
            // Nothing holds anything up where nothing happens.
            let happens = (reliefs.findings.candidates[0].stations.iter())
                .any(|station| station.held.active > 0.0);
            let expected = ["relief", "stations", "people", "bottlenecks"];
            assert_eq!(stems, expected[..3 + usize::from(happens)], "{name}");
            for picture in &pictures {
                let about = format!("{name}/{} at {scale}", picture.stem);
                Drawing::of(picture).check(&about);
            }
            assert_eq!(pictures, charts::relief_pictures(&reliefs.clone(), scale));
        }
    }
}

/// 5 s of 10 h are 0.01 %: no share is written that is 0 with a sign before it.
#[test]
fn next_to_nothing_has_no_share() {
    let drawn = charts::relief_pictures(&reliefs(findings(&SMALL), &[-7_200.0, -5.0], false), 1.0);
    let scene = format!("{:?}", drawn[0].scene);
    assert!(scene.contains("20 %)"), "{scene}");
    let zeros = ["(−0 %)", "(+0 %)"].map(|zero| scene.contains(zero));
    assert_eq!(zeros, [false; 2], "{scene}");
}

#[test]
fn a_ranking_has_bars_to_both_sides_of_zero() {
    let drawn = ranking(&reliefs(findings(&SMALL), &FEW, false));
    let (better, worse) = (drawn.bars(LESS), drawn.bars(MORE));
    assert_eq!((better.len(), worse.len()), (2, 1));
    let right = |bar: &Area| bar.x + bar.width;
    assert!((right(&better[0]) - worse[0].x).abs() <= 1.0, "one zero");
    assert!((better[0].width - 2.0 * better[1].width).abs() <= 2.0);
    assert!((worse[0].width - better[1].width).abs() <= 2.0);
    assert!(better[0].width > 200.0, "{}", better[0].width);
    assert!(better[0].y < better[1].y && better[1].y < worse[0].y);
    drawn.expect("−2.0 h (−20 %)", "relief");
    drawn.expect("lead time, which is 10.0 h", "relief");
    drawn.expect("95 % interval", "relief");
    drawn.expect("not shown to differ from zero", "relief");
    drawn.expect("Not drawn: 1 with a change of less than", "relief");
    let hour = better[1].width;
    assert_eq!(drawn.level_lines(0.2 * hour), 4, "a whisker for each bar");
    // What may be the best stands bold on grey.
    assert_eq!(drawn.bold("Rack: one more"), Some(true));
    assert_eq!(drawn.bold("Table saw: half the time"), Some(true));
    assert_eq!(drawn.bold("Jointer: no setup"), Some(false));
    assert_eq!(drawn.bars(GREY).len(), 2);
}

#[test]
fn more_orders_are_to_the_right_where_throughput_ranks() {
    let mut found = reliefs(findings(&SMALL), &FEW, false);
    found.goal = Goal::Throughput;
    let drawn = ranking(&found);
    let (better, worse) = (drawn.bars(LESS), drawn.bars(MORE));
    assert!(worse[0].x + worse[0].width <= better[0].x + 1.0);
    // A tenth of an order an hour is 2.4 a day.
    drawn.expect("+2.4 /d (+20 %)", "relief");
    drawn.expect("more", "relief");
}

#[test]
fn only_so_many_changes_are_drawn_and_the_others_counted() {
    let drawn = ranking(&reliefs(findings(&LARGE), &many(), true));
    let bars = drawn.bars(LESS).len() + drawn.bars(MORE).len();
    let whites = drawn.bars((255, 255, 255)).len();
    assert_eq!(bars + whites, 25, "{bars} shown and {whites} not");
    drawn.expect("Not drawn: 15", "relief");
    drawn.expect("14 shown to be longer", "relief");
}

fn shares(candidate: &str, list: &[(&str, ResourceKind, f64, f64)]) -> CandidateShares {
    let list = list.iter().map(|&(name, kind, sole, shifting)| Share {
        name: name.to_owned(),
        kind,
        sole,
        shifting,
    });
    CandidateShares {
        candidate: candidate.to_owned(),
        list: list.collect(),
    }
}

fn bottleneck_shares(all: &[CandidateShares], scale: f64) -> Vec<Picture> {
    let chart = ALL
        .iter()
        .find(|chart| chart.stem == "bottlenecks")
        .unwrap();
    bottlenecks::draw(chart, &findings(&SMALL), all, scale)
}

#[test]
fn bottleneck_bars_are_as_long_as_the_shares() {
    use ResourceKind::{Gear, Person, Station};
    let all = [
        shares(
            "As it grew",
            &[
                ("Saw", Station, 0.1, 0.2),
                ("Planer", Station, 0.0, 0.0),
                ("Maker", Person, 0.5, 0.2),
            ],
        ),
        shares(
            "Working order",
            &[("Saw", Station, 0.4, 0.0), ("Clamps", Gear, 0.0, 0.1)],
        ),
    ];
    let drawn = Drawing::of(&bottleneck_shares(&all, 1.0)[0]);
    let alone = drawn.bars(ALONE);
    let widths: Vec<f64> = alone.iter().map(|bar| bar.width).collect();
    assert_eq!(alone.len(), 3, "{widths:?}");
    let whole = widths[0] / 0.5;
    assert!(whole > 200.0);
    for (width, share) in widths.iter().zip([0.5, 0.1, 0.4]) {
        assert!((width - whole * share).abs() <= 2.0, "{widths:?}");
    }
    let shifting: Vec<f64> = drawn.bars(SHARED).iter().map(|bar| bar.width).collect();
    for (width, share) in shifting.iter().zip([0.2, 0.2, 0.1]) {
        assert!((width - whole * share).abs() <= 2.0, "{shifting:?}");
    }
    drawn.expect("Maker (person)", "bottlenecks");
    drawn.expect("Clamps (gear)", "bottlenecks");
    assert_eq!(["Planer", "0 %"].map(|text| drawn.bold(text)), [None; 2]);
    let top = |name: &str| {
        let text = drawn.texts.iter().find(|text| text.text == name);
        place_of(text.unwrap()).y
    };
    assert!(top("Maker (person)") < top("Saw") && top("Saw") < top("Clamps (gear)"));
}

#[test]
fn any_shares_can_be_read() {
    let names: Vec<String> = (0..40).map(|index| place(index, true)).collect();
    let list: Vec<_> = (names.iter().enumerate())
        .map(|(index, name)| {
            let share = 0.3 / (index + 1) as f64;
            (&name[..], ResourceKind::Station, share, share / 3.0)
        })
        .collect();
    let many = vec![shares("As it is, with all that was ever bought", &list); 6];
    let one = vec![shares("", &[("", ResourceKind::Gear, 0.6, 0.0)])];
    for (index, all) in [many, one].iter().enumerate() {
        for scale in SCALES {
            let pictures = bottleneck_shares(all, scale);
            Drawing::of(&pictures[0]).check(&format!("{index} at {scale}"));
            assert_eq!(pictures, bottleneck_shares(all, scale));
        }
    }
    // Where nothing is ever active, or one thing all the time, there is nothing to compare.
    let nothing = [shares("As it is", &[])];
    let full = shares("", &[("Saw", ResourceKind::Station, 1.0, 0.0)]);
    for all in [&[], &nothing[..], &[full.clone(), full]] {
        assert!(bottleneck_shares(all, 1.0).is_empty());
    }
}

fn spell(name: &str, kind: ResourceKind, from_s: f64, to_s: f64) -> BottleneckSpell {
    BottleneckSpell {
        name: name.to_owned(),
        kind,
        from_s,
        to_s,
    }
}

/// The saw holds everything up alone for a quarter, then shares it, and the person takes over for the second half.
fn marked() -> Timeline {
    let bar = |from_s, to_s, what| Bar { from_s, to_s, what };
    let row = |name: &str, kind, bars: &[Bar]| Row {
        name: name.to_owned(),
        kind,
        bars: bars.to_vec(),
    };
    Timeline {
        candidate: "as it grew".to_owned(),
        replication: 1,
        openings: Vec::new(),
        weeks: None,
        spells: vec![
            spell("Saw", ResourceKind::Station, 0.0, 500.0),
            spell("Maker", ResourceKind::Person, 250.0, 1_000.0),
        ],
        queues: Vec::new(),
        currents: Vec::new(),
        end_s: 1_000.0,
        rows: vec![
            row("Saw", Kind::Station, &[bar(0.0, 600.0, Activity::Running)]),
            row(
                "Maker",
                Kind::Person,
                &[bar(250.0, 1_000.0, Activity::Handling)],
            ),
            row(
                "Saw",
                Kind::Bottleneck(ResourceKind::Station),
                &[
                    bar(0.0, 250.0, Activity::Sole),
                    bar(250.0, 500.0, Activity::Shifting),
                ],
            ),
            row(
                "Maker",
                Kind::Bottleneck(ResourceKind::Person),
                &[bar(500.0, 1_000.0, Activity::Sole)],
            ),
        ],
    }
}

#[test]
fn the_momentary_bottleneck_is_marked() {
    let drawn = drawing("timeline", &findings(&SMALL), Some(&marked()));
    let alone = drawn.bars(ALONE);
    let shared: Vec<_> = (drawn.bars(SHARED).into_iter())
        .filter(|bar| bar.y == alone[0].y)
        .collect();
    assert_eq!((alone.len(), shared.len()), (2, 1));
    assert!((shared[0].x - alone[0].x - alone[0].width).abs() <= 1.0);
    assert!((alone[1].x - shared[0].x - shared[0].width).abs() <= 1.0);
    assert!((alone[1].width - 2.0 * alone[0].width).abs() <= 2.0);
    // Written in the strip and at the left.
    let written = |name: &str| drawn.texts.iter().filter(|text| text.text == name).count();
    assert_eq!((written("Saw"), written("Maker")), (2, 2));
    drawn.expect("Bottleneck", "timeline");
    // While both share it, both have a line: of half the time and of three quarters.
    let lines = drawn.bars(BLACK);
    assert_eq!(lines.len(), 2, "one below each row");
    let whole = 4.0 * alone[0].width;
    for (line, [from, to]) in lines.iter().zip([[0.0, 0.5], [0.25, 1.0]]) {
        assert!((line.x - alone[0].x - from * whole).abs() <= 1.0);
        assert!((line.width - (to - from) * whole).abs() <= 2.0);
    }
    assert!(lines[1].y > lines[0].y);
    let without = drawing("timeline", &findings(&SMALL), Some(&timeline(&SMALL)));
    assert!(without.texts.iter().all(|text| text.text != "Bottleneck"));
}

#[test]
fn very_many_stretches_make_no_very_large_file() {
    let stretches = |first: u32, what| -> Vec<Bar> {
        let turns = (0..100_000).map(|turn| f64::from(2 * turn + first));
        turns
            .map(|from_s| Bar {
                from_s,
                to_s: from_s + 1.0,
                what,
            })
            .collect()
    };
    let mut timeline = marked();
    timeline.end_s = 200_000.0;
    timeline.rows[2].bars = stretches(0, Activity::Sole);
    timeline.rows[3].bars = stretches(1, Activity::Shifting);
    let chart = ALL.iter().find(|chart| chart.stem == "timeline").unwrap();
    let found = findings(&SMALL);
    let picture = &charts::pictures(chart, &subject(&found, Some(&timeline), &[]), 1.0)[0];
    let svg = picture.scene.svg();
    assert!(svg.len() < 1_000_000, "{} bytes", svg.len());
    Drawing::of(picture).check("many stretches");
}
