//! Rules about pieces and places that are wrong for a machine: each broken by a known amount, and just kept.

use shopstride::floor::{FindingLevel, Point, Side};
use shopstride::shop::{OperationId, ProjectId, StationId};

use super::scenes::{FT, IN, Scene, helped, inches, said};

/// 12 in is the usual least of makers' manuals.
#[test]
fn a_piece_that_is_too_short_for_a_planer_or_a_jointer_is_a_warning() {
    let of = |machine: &str, length: f64| {
        let mut scene = Scene::room(20.0, 12.0);
        scene.station(machine, (10.0, 6.0), (2.0, 2.0));
        scene.piece("knob", 0, inches(length, 2.0, 1.0));
        scene.piece("rail", 0, inches(30.0, 2.0, 1.0));
        scene
    };
    for machine in ["planer", "jointer", "Jointer (8 in)"] {
        let finding = of(machine, 10.0).lacks("short piece", FindingLevel::Warning, 2.0);
        assert_eq!(finding.subject, machine);
        assert!(said(&finding).starts_with("knob at "), "{}", said(&finding));
        assert!(helped(&finding).contains("cut it last"));
        assert!(finding.source().contains("common practice"));
        assert!(of(machine, 12.0).of("short piece").is_empty());
    }
    for machine in ["saw", "hand planer", "bench"] {
        assert!(of(machine, 10.0).of("short piece").is_empty(), "{machine}");
    }
    // Drum sanders take shorter ones: of the 2-3/8 to 9 in of manuals the safe end.
    of("drum sander", 8.0).lacks("short piece", FindingLevel::Warning, 1.0);
    assert!(of("drum sander", 9.0).of("short piece").is_empty());
    assert!(of("disc sander", 4.0).of("short piece").is_empty());
}

/// What is ripped along a fence is 12 in long at least, and what hands pass along the fence of a router table 8 in: common
/// practice of school shops, from memory. A piece that is cut off lies against something that slides with it.
#[test]
fn what_hands_pass_along_a_fence_is_not_too_short() {
    let of = |machine: &str, operation: &str, length: f64| {
        let mut scene = Scene::room(20.0, 12.0);
        scene.station(machine, (10.0, 6.0), (2.0, 2.0));
        scene.piece("cleat", 0, inches(length, 3.0, 0.75));
        scene.shop.operations[OperationId(0)] = operation.into();
        scene
    };
    for saw in ["table saw", "cabinet saw", "jobsite saw 2"] {
        of(saw, "rip", 10.5).lacks("short piece", FindingLevel::Warning, 1.5);
        assert!(of(saw, "rip", 12.0).of("short piece").is_empty());
        assert!(of(saw, "crosscut", 6.0).of("short piece").is_empty());
    }
    assert!(of("band saw", "rip", 6.0).of("short piece").is_empty());
    for table in ["router table", "shaper"] {
        of(table, "rout", 6.0).lacks("short piece", FindingLevel::Warning, 2.0);
        assert!(of(table, "rout", 8.0).of("short piece").is_empty());
    }
}

/// 1/4 in is left at least, as is common practice.
#[test]
fn what_gets_too_thin_under_a_planer_or_on_a_jointer_is_a_warning() {
    let of = |machine: &str, finished: f64| {
        let mut scene = Scene::room(20.0, 12.0);
        scene.station(machine, (10.0, 6.0), (2.0, 2.0));
        let lid = scene.piece("lid", 0, inches(30.0, 5.0, 0.75));
        lid.finished = Some(inches(30.0, 5.0, finished));
        scene
    };
    for machine in ["planer", "jointer"] {
        let finding = of(machine, 0.1875).only("thin piece");
        assert_eq!(finding.level, FindingLevel::Warning);
        let left = finding.value("thickness_m").expect("it is given");
        assert!((left - 0.1875 * IN).abs() < 1e-9);
        let says = said(&finding);
        assert!(
            says.contains("leaves") && says.contains("0.1875 in thick"),
            "{says}"
        );
        assert!(helped(&finding).contains("flat board"));
        assert!(of(machine, 0.25).of("thin piece").is_empty());
    }
    // Sanding under a drum is for what is thin.
    assert!(of("drum sander", 0.125).of("thin piece").is_empty());
    // It gets thin in a later step, at another machine.
    let mut later = of("planer", 0.125);
    later.station("drum sander", (15.0, 6.0), (2.0, 2.0));
    let lid = &mut later.shop.projects[ProjectId(0)].items[0];
    let mut sanding = lid.route[0].clone();
    sanding.choices[0].station = StationId(1);
    sanding.piece = Some(inches(30.0, 5.0, 0.25));
    lid.route.push(sanding);
    assert!(later.of("thin piece").is_empty());
}

/// 3/4 in at least, as is common practice.
#[test]
fn what_is_too_narrow_for_a_planer_or_a_jointer_is_a_warning() {
    let of = |machine: &str, width: f64| {
        let mut scene = Scene::room(20.0, 12.0);
        scene.station(machine, (10.0, 6.0), (2.0, 2.0));
        scene.piece("bead", 0, inches(30.0, width, 0.5));
        scene
    };
    let finding = of("jointer", 0.5).only("narrow piece");
    assert_eq!(finding.level, FindingLevel::Warning);
    assert!(
        said(&finding).contains("0.5000 in wide"),
        "{}",
        said(&finding)
    );
    assert!(helped(&finding).contains("rip it last"));
    assert!(of("jointer", 0.75).of("narrow piece").is_empty());
    assert_eq!(of("planer", 0.7).of("narrow piece").len(), 1);
    assert!(of("saw", 0.2).of("narrow piece").is_empty());
}

/// Makers' manuals: 1/8 in at floor planers, 1/16 in at bench-top ones; teaching shops: 1/16 in at jointers, 1/64 in at
/// drum sanders.
#[test]
fn a_pass_that_takes_off_more_than_is_usual_is_a_warning() {
    let of = |machine: &str, bite: Option<f64>| {
        let mut scene = Scene::room(20.0, 12.0);
        scene.station(machine, (10.0, 6.0), (2.0, 2.0));
        for (name, share) in [("rail", 0.5), ("post", 1.0)] {
            let part = scene.piece(name, 0, inches(30.0, 5.0, 1.0));
            part.route[0].choices[0].work.bite = bite.map(|bite| share * bite * IN);
        }
        scene
    };
    let usual = [
        ("planer", 1.0 / 8.0),
        ("bench-top planer", 1.0 / 16.0),
        ("jointer", 1.0 / 16.0),
        ("jointer-planer", 1.0 / 8.0),
        ("drum sander", 1.0 / 64.0),
    ];
    for (machine, most) in usual {
        let finding = of(machine, Some(1.5 * most)).only("deep cut");
        assert_eq!(finding.level, FindingLevel::Warning);
        // The deepest is told of.
        assert!(
            said(&finding).contains("off post in one pass"),
            "{}",
            said(&finding)
        );
        assert!((finding.value("bite_m").expect("given") - 1.5 * most * IN).abs() < 1e-9);
        assert!((finding.value("most_m").expect("given") - most * IN).abs() < 1e-9);
        assert!(helped(&finding).contains("more passes"));
        assert!(
            of(machine, Some(most)).of("deep cut").is_empty(),
            "{machine}"
        );
        assert!(of(machine, None).of("deep cut").is_empty());
    }
    assert!(of("router table", Some(0.5)).of("deep cut").is_empty());
}

/// 1-1/4 in down to 3/4 in by at most 3/16 in are three passes of 1/6 in, on both faces six of 1/12 in; two passes of
/// the sander for the last 1/8 in, as the sizes of the steps have it, take 1/16 in each.
#[test]
fn how_deep_a_pass_is_follows_from_sizes_and_passes() {
    let found = |planing: &str| {
        let text = format!(
            "title: t
room: {{size: [20 ft, 20 ft]}}
stations:
  planer: {{size: [2 ft, 2 ft], does: {{plane: {planing}}}}}
  drum sander:
    size: [2 ft, 2 ft]
    does: {{sand: {{feed speed: 5 ft/min, passes: 2, cuts: thickness}}}}
projects:
  top:
    rough: [40 in, 10 in, 1-1/4 in]
    finished: [39 in, 9 in, 3/4 in]
    material at: planer
    route: [{{op: plane, piece: [40 in, 10 in, 1-1/4 in]}}, {{op: sand, piece: [40 in, 10 in, 7/8 in]}}]
orders: [{{project: top}}]
layouts: {{here: {{at: {{planer: [5 ft, 10 ft], drum sander: [15 ft, 10 ft]}}}}}}
"
        );
        let loaded = shopstride::scenario::load_to_check("deep.yaml", text.as_bytes());
        let study = loaded.map(|loaded| loaded.study).expect("it loads");
        let work = study.candidates[0].shop.ordered_work();
        let bites = work.map(|(_, work)| work.bite.map(|metres| (metres / IN * 48.0).round()));
        bites.collect::<Vec<_>>()
    };
    let sanded = Some(3.0);
    for (planing, expected) in [
        (
            "{feed speed: 16 ft/min, depth per pass: 3/16 in}",
            Some(8.0),
        ),
        (
            "{feed speed: 16 ft/min, depth per pass: 3/16 in, faces: 2}",
            Some(4.0),
        ),
        ("{per piece: 1 min}", None),
        ("{feed speed: 16 ft/min, passes: 3}", None),
        (
            "{feed speed: 16 ft/min, passes: 3, cuts: thickness}",
            Some(8.0),
        ),
    ] {
        assert_eq!(found(planing)[0], expected, "{planing}");
    }
    assert_eq!(found("{per piece: 1 min}")[1], sanded);
}

/// A saw of 3 ft carries 18 in behind the cutter in its middle: enough for boards of 36 in, whose middle then lies on
/// the edge.
#[test]
fn a_board_whose_middle_passes_the_last_support_tips() {
    let with = |length: f64, people: u32, table: Option<(f64, f64)>| {
        let mut scene = saw(-8.0);
        let part = scene.piece("rail", 0, inches(length, 5.0, 1.0));
        part.route[0].choices[0].work.people = people;
        if let Some((gap, long)) = table {
            scene.station(
                "out-feed table",
                (20.0, 21.5 + (gap + long / 2.0) / 12.0),
                (3.0, long / 12.0),
            );
        }
        scene
    };
    let finding = with(96.0, 1, None).lacks("tipping", FindingLevel::Note, 30.0);
    assert!(
        said(&finding).starts_with("rail at saw is "),
        "{}",
        said(&finding)
    );
    assert!((finding.value("carried_m").expect("given") - 18.0 * IN).abs() < 1e-9);
    assert!(helped(&finding).contains("trained"));
    assert!(with(36.0, 1, None).of("tipping").is_empty());
    assert_eq!(with(36.1, 1, None).of("tipping").len(), 1);
    assert!(
        with(96.0, 2, None).of("tipping").is_empty(),
        "a helper takes it"
    );
    // A table of 30 in right behind it carries the middle of 8 ft, one of 24 in lacks 6 in; with a gap of 10 in it still
    // carries, and its end counts; 2 ft away it does not.
    assert!(with(96.0, 1, Some((0.0, 30.0))).of("tipping").is_empty());
    with(96.0, 1, Some((0.0, 24.0))).lacks("tipping", FindingLevel::Note, 6.0);
    assert!(with(96.0, 1, Some((10.0, 20.0))).of("tipping").is_empty());
    with(96.0, 1, Some((24.0, 60.0))).lacks("tipping", FindingLevel::Note, 30.0);
    // Rollers hold what is planed or sanded.
    for (name, tips) in [
        ("planer", 0),
        ("drum sander", 0),
        ("jointer", 1),
        ("router table", 1),
    ] {
        let mut scene = with(96.0, 1, None);
        scene.shop.stations[StationId(0)].name = name.to_owned();
        assert_eq!(scene.of("tipping").len(), tips, "{name}");
    }
}

/// A saw that feeds toward +y in the middle of a room.
fn saw(aside: f64) -> Scene {
    let mut scene = Scene::room(40.0, 40.0);
    let saw = scene.feed("saw", (20.0, 20.0), (3.0, 3.0), Side::PlusY);
    saw.kickback = true;
    saw.stand = Point::new(aside * IN, -30.0 * IN);
    scene
}

#[test]
fn who_stands_in_the_line_of_the_blade_is_told() {
    let with_work = |aside: f64| {
        let mut scene = saw(aside);
        scene.piece("rail", 0, inches(30.0, 2.0, 1.0));
        scene
    };
    for aside in [0.0, 5.9, -5.9] {
        let finding = with_work(aside).only("blade line");
        assert_eq!(finding.level, FindingLevel::Note);
        let found = finding.value("aside_m").expect("it is given");
        assert!((found - aside.abs() * IN).abs() < 1e-9);
    }
    for aside in [6.0, -8.0] {
        assert!(with_work(aside).of("blade line").is_empty());
    }
    // Nobody works there, or it throws nothing.
    assert!(saw(0.0).of("blade line").is_empty());
    let mut gentle = with_work(0.0);
    let placement = &mut gentle.plan.placements[shopstride::shop::StationId(0)];
    placement.as_mut().expect("placed").kickback = false;
    assert!(gentle.of("blade line").is_empty());
}

#[test]
fn a_full_panel_is_not_fed_alone_with_nothing_behind_the_saw() {
    let with = |width: f64, people: u32, table: Option<f64>| {
        let mut scene = saw(-8.0);
        let part = scene.piece("side", 0, inches(96.0, width, 0.75));
        part.route[0].choices[0].work.people = people;
        if let Some(gap) = table {
            scene.station("out-feed table", (20.0, 21.5 + gap + 1.5), (3.0, 3.0));
        }
        scene
    };
    let finding = with(48.0, 1, None).only("full panel");
    assert_eq!(finding.level, FindingLevel::Note);
    assert!(
        said(&finding).starts_with("one person feeds side of "),
        "{}",
        said(&finding)
    );
    assert!(helped(&finding).contains("trained"));
    assert_eq!(with(47.0, 1, None).of("full panel").len(), 1);
    assert!(with(46.9, 1, None).of("full panel").is_empty());
    assert!(with(48.0, 2, None).of("full panel").is_empty());
    // A table that begins 10 in behind the saw carries it, one that begins 2 ft behind does not.
    assert!(with(48.0, 1, Some(10.0 / 12.0)).of("full panel").is_empty());
    assert_eq!(
        with(48.0, 1, Some(24.0 * IN / FT)).of("full panel").len(),
        1
    );
}

#[test]
fn a_planer_is_known_by_its_kind_whatever_it_is_called() {
    let finds = |name: &str, kind: Option<&'static str>| {
        let mut scene = Scene::room(40.0, 40.0);
        scene.feed(name, (20.0, 20.0), (3.0, 3.0), Side::PlusY);
        scene.shop.stations[StationId(0)].kind = kind;
        scene.piece("block", 0, inches(8.0, 3.0, 1.0));
        !scene.of("short piece").is_empty()
    };
    assert!(finds("big green one", Some("bench-top planer")));
    assert!(finds("old one", Some("jointer 6 in")));
    assert!(finds("planer", None));
    assert!(!finds("planer corner", Some("workbench")));
    assert!(!finds("big green one", None));
}

/// A panel of plywood, 1/4 in thick and 48 in long, that is carried 24 in behind the cutter hangs 24 in free. It does not
/// tip, but sags w l^4 / (8 E I) = 1.5 p l^4 / (E t^2): with p of 34 lb a cubic foot and E of 1.2 million psi 0.131 in, and
/// with 3/4 in a ninth of that.
#[test]
fn the_free_end_of_a_thin_piece_sags() {
    let with = |length: f64, thickness: f64, most: f64| {
        let mut scene = Scene::room(40.0, 20.0);
        scene.feed("saw", (20.0, 10.0), (4.0, 3.0), Side::PlusX);
        scene.piece("panel", 0, inches(length, 24.0, thickness));
        scene.limits.free_end = most * IN;
        scene.of("tipping")
    };
    let sag = 1.5 * 34.0 / 1728.0 * 24.0_f64.powi(4) / (1.2e6 * 0.25 * 0.25);
    assert!((sag - 0.1306).abs() < 1e-4, "{sag}");
    assert!(with(48.0, 0.25, sag + 0.01).is_empty());
    let found = with(48.0, 0.25, sag - 0.01);
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].level, FindingLevel::Note);
    assert!((found[0].value("sag_m").expect("given") / IN - sag).abs() < 1e-6);
    assert!((found[0].value("free_m").expect("given") / IN - 24.0).abs() < 1e-6);
    assert!(with(48.0, 0.75, sag / 9.0 + 0.01).is_empty());
    assert_eq!(with(48.0, 0.75, sag / 9.0 - 0.01).len(), 1);
    // What tips falls before it sags, and is told so.
    let tips = with(60.0, 0.25, 0.01);
    assert_eq!(tips.len(), 1);
    assert!(
        said(&tips[0]).contains("it tips when"),
        "{}",
        said(&tips[0])
    );
}
