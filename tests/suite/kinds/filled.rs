//! What a scenario takes from a kind, and what it says otherwise.

use shopstride::experiment::{Study, doubted};
use shopstride::floor::{Placement, Point, Side};
use shopstride::scenario;
use shopstride::shop::{Choice, GivenLevel, Work};

use crate::support::study;

const INCH: f64 = 0.0254;

/// A contractor saw at which a piece is ripped that is 24 in long when rough: 1-1/2 in longer than finished.
struct Ripping<'a> {
    station: &'a str,
    operations: &'a str,
    sizes: &'a str,
    step: &'a str,
}

impl Default for Ripping<'_> {
    fn default() -> Self {
        Ripping {
            station: "kind: contractor saw",
            operations: "{}",
            sizes: "finished: [22.5 in, 3 in, 3/4 in]",
            step: "rip",
        }
    }
}

impl Ripping<'_> {
    fn study(&self) -> Study {
        study(&format!(
            "title: Ripping\nstations: {{rack: {{}}, saw: {{{}}}}}\noperations: {}\n\
             projects: {{piece: {{{}, material at: rack, route: [{}]}}}}\n\
             orders: [{{project: piece}}]\nlayouts: {{a: {{walk: straight, at: {{rack: [0, 0], saw: [5 m, 5 m]}}}}}}\n",
            self.station, self.operations, self.sizes, self.step
        ))
    }

    fn work(&self) -> Work {
        self.choice().work
    }

    fn choice(&self) -> Choice {
        let study = self.study();
        let project = study.candidates[0]
            .shop
            .projects
            .iter()
            .next()
            .expect("one");
        project.items[0].route[0].choices[0].clone()
    }

    fn placement(&self) -> Placement {
        let study = self.study();
        let plan = study.candidates[0].plan.clone().expect("it is drawn");
        plan.placements
            .iter()
            .nth(1)
            .copied()
            .flatten()
            .expect("it is placed")
    }
}

fn mean(time: &Option<shopstride::random::Distribution>) -> f64 {
    time.as_ref()
        .map_or(0.0, shopstride::random::Distribution::mean)
}

/// Setup 1 to 3 min, most likely 2; 14 ft/min; 6 to 10 s of handling, most likely 8.
#[test]
fn times_are_those_of_the_kind() {
    let Choice { work, sources, .. } = Ripping::default().choice();
    assert_eq!(mean(&work.setup), 120.0);
    assert_eq!(mean(&work.per_piece), 8.0);
    assert!(
        (work.by_size - 2.0 / 14.0 * 60.0).abs() < 1e-9,
        "{}",
        work.by_size
    );
    assert_eq!(sources.setup, GivenLevel::Kind);
    assert_eq!(sources.feed, GivenLevel::Kind);
    assert!(sources.are_usual(&work));
}

#[test]
fn a_time_for_the_whole_work_takes_the_place_of_what_is_usual() {
    for (said, per_piece, per_lot) in [
        ("per piece: 20 s", 20.0, 0.0),
        ("per lot: 5 min", 0.0, 300.0),
    ] {
        let station = format!("kind: contractor saw, does: {{rip: {{{said}}}}}");
        let step = format!("{{op: rip, {said}}}");
        let operations = format!("{{rip: {{{said}}}}}");
        let everywhere = [
            Ripping {
                station: &station,
                ..Ripping::default()
            },
            Ripping {
                step: &step,
                ..Ripping::default()
            },
            Ripping {
                operations: &operations,
                ..Ripping::default()
            },
        ];
        for ripping in everywhere {
            let Choice { work, sources, .. } = ripping.choice();
            assert_eq!(mean(&work.per_piece), per_piece, "{said}");
            assert_eq!(mean(&work.per_lot), per_lot, "{said}");
            assert_eq!(work.by_size, 0.0, "{said}");
            assert_eq!(mean(&work.setup), 120.0, "{said}");
            assert_eq!(sources.setup, GivenLevel::Kind);
            assert_ne!(
                sources.per_piece,
                if per_piece > 0.0 {
                    GivenLevel::Kind
                } else {
                    GivenLevel::Step
                }
            );
        }
    }
}

#[test]
fn any_other_key_replaces_itself_alone() {
    let station = "kind: contractor saw, does: {rip: {feed speed: 12 ft/min}}";
    let Choice { work, sources, .. } = Ripping {
        station,
        ..Ripping::default()
    }
    .choice();
    assert!((work.by_size - 10.0).abs() < 1e-9);
    assert_eq!(mean(&work.per_piece), 8.0);
    assert_eq!(sources.feed, GivenLevel::Station);
    assert_eq!(sources.per_piece, GivenLevel::Kind);
    let Choice { work, sources, .. } = Ripping {
        step: "{op: rip, passes: 2, setup: 30 s}",
        ..Ripping::default()
    }
    .choice();
    assert!((work.by_size - 2.0 * 2.0 / 14.0 * 60.0).abs() < 1e-9);
    assert_eq!(mean(&work.setup), 30.0);
    assert_eq!(sources.setup, GivenLevel::Step);
    let operations = "{rip: {setup: 3 min, people: 2}}";
    let crew = Ripping {
        operations: "{rip: {setup: 3 min}}",
        ..Ripping::default()
    }
    .choice();
    assert_eq!(mean(&crew.work.setup), 180.0);
    assert_eq!(crew.sources.setup, GivenLevel::Operation);
    let problems = scenario::load(
        "two.yaml",
        format!(
            "title: Two\nstations: {{saw: {{kind: contractor saw}}}}\noperations: {operations}\n\
             projects: {{piece: {{finished: [1 m, 10 cm, 2 cm], route: [rip]}}}}\norders: [{{project: piece}}]\n\
             layouts: {{a: {{distances: 0}}}}\n"
        )
        .as_bytes(),
    )
    .expect_err("nobody helps");
    assert!(
        problems.render(false).contains("it takes 2 people"),
        "{problems}"
    );
}

/// 3/16 in is taken off a board whose rough size is not given, 1/32 in at a time.
#[test]
fn passes_follow_from_the_usual_depth_and_from_sizes() {
    let planing = |sizes, step| {
        Ripping {
            station: "kind: bench-top planer",
            sizes,
            step,
            ..Ripping::default()
        }
        .work()
    };
    let once = 2.0 / 25.0 * 60.0;
    let finished = "finished: [22.5 in, 3 in, 3/4 in]";
    let both = "rough: [24 in, 4 in, 1 in], finished: [22.5 in, 3 in, 3/4 in]";
    assert!((planing(finished, "plane").by_size - 6.0 * once).abs() < 1e-9);
    assert!((planing(both, "plane").by_size - 8.0 * once).abs() < 1e-9);
    assert!(
        (planing(both, "{op: plane, depth per pass: 1/8 in}").by_size - 2.0 * once).abs() < 1e-9
    );
    assert!((planing(both, "{op: plane, passes: 3}").by_size - 3.0 * once).abs() < 1e-9);
}

/// Without a kind the size has to be given.
#[test]
fn a_missing_size_is_reckoned_at_stations_of_a_kind_alone() {
    let text = "title: x\nstations: {saw: {does: {rip: {feed speed: 12 ft/min}}}}\n\
                projects: {piece: {finished: [1 m, 10 cm, 2 cm], route: [rip]}}\norders: [{project: piece}]\n\
                layouts: {a: {distances: 0}}\n";
    let problems = scenario::load("x.yaml", text.as_bytes()).expect_err("no rough size");
    assert!(
        problems
            .render(false)
            .contains("the rough length of `piece`"),
        "{problems}"
    );
}

#[test]
fn the_body_is_that_of_the_kind_until_the_file_says_otherwise() {
    let placed = |station| {
        Ripping {
            station,
            ..Ripping::default()
        }
        .placement()
    };
    let near = |found: (f64, f64), inches: (f64, f64)| {
        (found.0 - inches.0 * INCH).abs() < 1e-12 && (found.1 - inches.1 * INCH).abs() < 1e-12
    };
    let stand = |placement: &Placement| (placement.stand.x, placement.stand.y);
    let usual = placed("kind: contractor saw");
    assert!(near(usual.size, (62.0, 40.0)));
    assert!(near(stand(&usual), (-8.0, -32.0)));
    assert_eq!((usual.feed, usual.kickback), (Some(Side::PlusY), true));
    // The standing place keeps its distance from the edge.
    let smaller = placed("kind: contractor saw, size: [44 in, 27 in]");
    assert!(near(smaller.size, (44.0, 27.0)));
    assert!(near(stand(&smaller), (-8.0, -25.5)));
    let moved = placed("kind: contractor saw, stand: [0, -3 ft], feed toward: -y, kickback: false");
    assert_eq!(moved.stand, Point::new(0.0, -3.0 * 0.3048));
    assert_eq!((moved.feed, moved.kickback), (Some(Side::MinusY), false));
    let table = |more| {
        let station = format!("kind: assembly table{more}, does: {{rip: {{per piece: 1 s}}}}");
        Ripping {
            station: &station,
            ..Ripping::default()
        }
        .placement()
        .reach_from
    };
    assert_eq!(table(""), [true; 4]);
    assert_eq!(table(", reach from: [-y, +x]"), [true, false, false, true]);
}

#[test]
fn one_stands_at_the_end_of_what_is_worked_from_there() {
    let placement = Ripping {
        station: "kind: out-feed table, does: {rip: {per piece: 1 s}}",
        ..Ripping::default()
    }
    .placement();
    assert!((placement.stand.x - (32.0 + 12.0) * INCH).abs() < 1e-12);
    assert_eq!(placement.stand.y, 0.0);
}

/// Glue and finish do not wait for the next evening.
#[test]
fn gluing_and_coats_are_not_left_half_done() {
    let pausable = |station: &str, step: &str| -> Vec<bool> {
        let study = study(&format!(
            "title: Closing\nstations: {{table: {{{station}}}}}\n\
             sessions: [{{days: [tue], open: \"9:00\", close: \"17:00\"}}]\n\
             projects: {{box: {{finished: [2 ft, 1 ft, 3/4 in], route: [{step}]}}}}\norders: [{{project: box}}]\n\
             layouts: {{a: {{distances: 0}}}}\n"
        ));
        let project = study.candidates[0].shop.projects.iter().next();
        let items = project.expect("one").items.iter();
        let steps = items.flat_map(|item| &item.route);
        let choices = steps.flat_map(|step| &step.choices);
        choices.map(|choice| choice.work.pausable).collect()
    };
    let table = "kind: assembly table";
    assert_eq!(
        pausable(table, "dry fit, glue-up, assemble"),
        [true, false, true]
    );
    assert_eq!(
        pausable("kind: finishing bench", "oil, varnish, finish"),
        [false; 3]
    );
    assert_eq!(pausable(table, "{op: glue-up, pausable: true}"), [true]);
    let said = "kind: assembly table, does: {glue-up: {pausable: true}}";
    assert_eq!(pausable(said, "glue-up"), [true]);
}

/// Where boards and sheets lie, as their stock tells.
#[test]
fn material_lies_at_the_rack_of_its_kind() {
    let shop = |racks: &str| {
        study(&format!(
            "title: Racks\nstations: {{{racks}saw: {{kind: cabinet saw}}}}\n\
             projects:\n  p:\n    parts:\n\
             \x20     board: {{stock: [8 ft, 7 in, 1 in], finished: [2 ft, 3 in, 3/4 in], route: [rip]}}\n\
             \x20     sheet: {{stock: [8 ft, 4 ft, 3/4 in], finished: [2 ft, 1 ft, 3/4 in], route: [rip]}}\n\
             \x20     wide: {{finished: [3 ft, 24 in, 3/4 in], route: [rip]}}\n\
             \x20     said: {{stock: [8 ft, 4 ft, 3/4 in], finished: [2 ft, 1 ft, 3/4 in], material at: saw, route: [rip]}}\n\
             orders: [{{project: p}}]\nlayouts: {{a: {{distances: 0}}}}\n"
        ))
    };
    let places = |study: &Study| -> Vec<u32> {
        let project = study.candidates[0]
            .shop
            .projects
            .iter()
            .next()
            .expect("one");
        let places = project.items.iter().map(|item| item.lies_at());
        places.map(|place| place.expect("a part").0).collect()
    };
    let both = "lumber: {kind: lumber rack}, sheets: {kind: sheet rack}, more: {kind: upright lumber rack}, ";
    assert_eq!(places(&shop(both)), [0, 1, 1, 3]);
    assert_eq!(places(&shop("lumber: {kind: lumber rack}, ")), [0, 0, 0, 1]);
    assert_eq!(places(&shop("sheets: {kind: sheet rack}, ")), [1, 0, 0, 1]);
    assert_eq!(places(&shop("lumber: {}, ")), [1, 1, 1, 1]);
}

/// Two saws that crosscut, of which one is said not to.
#[test]
fn never_takes_an_operation_from_a_station() {
    let doers = |saw: &str| {
        let study = study(&format!(
            "title: Two\nstations: {{saw: {{kind: cabinet saw{saw}}}, miter: {{kind: miter saw}}}}\n\
             projects: {{p: {{finished: [2 ft, 3 in, 3/4 in], route: [crosscut]}}}}\norders: [{{project: p}}]\n\
             layouts: {{a: {{distances: 0}}}}\n"
        ));
        let project = study.candidates[0]
            .shop
            .projects
            .iter()
            .next()
            .expect("one");
        project.items[0].route[0].choices.len()
    };
    assert_eq!(doers(""), 2);
    assert_eq!(doers(", does: {crosscut: never}"), 1);
}

/// A candidate may change the kind, and keeps what the file says itself.
#[test]
fn a_candidate_may_have_another_kind() {
    let study = study(
        "title: Saws\nstations: {saw: {kind: portable table saw, does: {crosscut: {per piece: 9 s}}}}\n\
         projects: {p: {finished: [22.5 in, 3 in, 3/4 in], route: [rip, crosscut]}}\norders: [{project: p}]\n\
         layouts: {a: {distances: 0}}\n\
         candidates: {better: {layout: a, change: {stations: {saw: {kind: cabinet saw}}}}}\n",
    );
    let works = |candidate: usize| {
        let project = study.candidates[candidate]
            .shop
            .projects
            .iter()
            .next()
            .expect("one");
        let route = &project.items[0].route;
        [0, 1].map(|step| route[step].choices[0].work.clone())
    };
    let ([first, _], [better, crosscut]) = (works(0), works(1));
    assert!((first.by_size - 2.0 / 10.0 * 60.0).abs() < 1e-9);
    assert!((better.by_size - 2.0 / 15.0 * 60.0).abs() < 1e-9);
    assert_eq!(mean(&crosscut.per_piece), 9.0);
}

/// Times of kinds are guesses like any other.
#[test]
fn usual_times_may_be_off() {
    let study = Ripping::default().study();
    let shop = doubted(&study, 0, 0.2, 1, 0);
    let project = shop.projects.iter().next().expect("one");
    let work = &project.items[0].route[0].choices[0].work;
    for (found, usual) in [
        (mean(&work.setup), 120.0),
        (mean(&work.per_piece), 8.0),
        (work.by_size, 2.0 / 14.0 * 60.0),
    ] {
        assert!(
            found != usual && found > usual / 1.2 && found < usual * 1.2,
            "{found}"
        );
    }
}

/// "Out-feed surfaces: level to 1/16 in under, never above": a table behind a saw is as high as that, unless the file says
/// how high it is.
#[test]
fn an_out_feed_table_is_as_high_as_the_saw() {
    let top = |saw: &str, table: &str| {
        let study = study(&format!(
            "title: Behind the saw\nstations: {{rack: {{}}, saw: {{{saw}}}, behind: {{kind: out-feed table{table}}}}}\n\
             projects: {{piece: {{finished: [22 in, 3 in, 3/4 in], material at: rack, route: [rip]}}}}\n\
             orders: [{{project: piece}}]\n\
             layouts: {{a: {{walk: straight, at: {{rack: [0, 0], saw: [5 m, 5 m], behind: [5 m, 8 m]}}}}}}\n"
        ));
        let plan = study.candidates[0].plan.clone().expect("placed");
        let placement = plan.placements[shopstride::shop::StationId(2)].expect("placed");
        assert_eq!(placement.table, Some(placement.heights.top));
        placement.heights.top / INCH
    };
    assert!((top("kind: contractor saw", "") - 35.0).abs() < 1e-9);
    assert!((top("kind: contractor saw, table: 34 in", "") - 34.0).abs() < 1e-9);
    assert!((top("kind: contractor saw, table: 34 in", ", height: 33.5 in") - 33.5).abs() < 1e-9);
}

/// What people call a kind is understood as it is by `new --with`; where several are called so, it is said which is taken.
#[test]
fn a_kind_is_understood_by_what_people_call_it() {
    let loaded = |kind: &str| {
        let text = format!(
            "title: t\nstations: {{rack: {{}}, saw: {{kind: {kind}}}}}\n\
             projects: {{piece: {{finished: [22 in, 3 in, 3/4 in], material at: rack, route: [crosscut]}}}}\n\
             orders: [{{project: piece}}]\nlayouts: {{a: {{distances: 0}}}}\n"
        );
        let loaded = scenario::load("saws.yaml", text.as_bytes()).expect("it loads");
        let kind = loaded.study.candidates[0].shop.stations[shopstride::shop::StationId(1)].kind;
        (kind, loaded.warnings.to_string())
    };
    let (kind, warnings) = loaded("mitre saw");
    assert_eq!(kind, Some("miter saw"));
    assert!(!warnings.contains("taken to be"), "{warnings}");
    let (kind, warnings) = loaded("table saw");
    assert_eq!(kind, Some("contractor saw"));
    assert!(
        warnings.contains("`table saw` is taken to be a contractor saw"),
        "{warnings}"
    );
}

/// A shelf stands across a side of 60 in: over the saw of that shop goes its width of 11 in, and the run it needs is that of
/// the machine itself rather than twice 5 ft.
#[test]
fn the_dado_of_a_kind_runs_across() {
    let study = study(include_str!("../../../scenarios/kinds-garage.yaml"));
    let shop = &study.candidates[0].shop;
    let mut dados = shop
        .ordered_work()
        .filter(|(_, work)| shop.operations[work.operation] == *"dado");
    let (station, work) = dados.next().expect("sides have dados");
    assert_eq!(shop.stations[station].name, "table saw");
    assert!(work.along_width);
    let run = work.length_cut.metres() / INCH;
    assert!((run - 11.375).abs() < 1e-6, "{run} in");
}
