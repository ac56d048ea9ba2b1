//! Work at the height of a machine's table: what it passes over, what carries it, and what frees a strip.

use shopstride::floor::{FindingLevel, HeightRange, Side};
use shopstride::report::check::Told;
use shopstride::shop::StationId;

use super::scenes::{FT, IN, Scene, helped, inches, said};

/// A saw whose table is 34 in high and reaches 22 in beyond its cutter on both sides, in the middle of a room of 30 by
/// 20 ft, fed toward +x with a piece of 3/4 in.
fn saw(length: f64, width: f64) -> Scene {
    let mut scene = Scene::room(30.0, 20.0);
    let saw = scene.feed("saw", (15.0, 10.0), (44.0 / 12.0, 3.0), Side::PlusX);
    saw.table = Some(34.0 * IN);
    scene.piece("rail", 0, inches(length, width, 0.75));
    scene
}

/// Something on the way of the work from so many inches behind the cutter to so many, and so high; before it where these
/// are negative.
fn with_bench(mut scene: Scene, (near, far): (f64, f64), top: f64) -> Scene {
    let (x, size) = (15.0 + (near + far) / 24.0, (far - near) / 12.0);
    let bench = scene.station("bench", (x, 10.0), (size, 3.0));
    bench.heights = HeightRange {
        bottom: 0.0,
        top: top * IN,
    };
    scene
}

fn figure(finding: &Told, name: &str) -> f64 {
    finding.value(name).expect("given") / IN
}

/// A piece of 70 in hangs 48 in beyond the table. w l^4 / (8 E I) of oak of 3/4 in: 0.20025 in; with 1/16 in the bench may
/// be 33.73725 in high, the worked case of a bench of 33.5 in under a table of 34 in passing.
#[test]
fn work_passes_over_a_bench_that_is_low_enough() {
    for (top, passes) in [(33.5, true), (33.737, true), (33.738, false)] {
        let finding = with_bench(saw(70.0, 6.0), (40.0, 80.0), top).only("feed");
        let is_note = finding.level == FindingLevel::Note;
        assert_eq!(is_note, passes, "{top}: {}", said(&finding));
        assert_eq!(said(&finding).contains("it passes over bench"), passes);
        if !passes {
            assert!((finding.missing.expect("it is") / IN - 30.0).abs() < 1e-6);
        }
    }
}

/// Without heights everything ends a strip, as it did.
#[test]
fn what_nobody_has_measured_is_passed_over_by_nothing() {
    let mut scene = with_bench(saw(70.0, 6.0), (40.0, 80.0), 20.0);
    assert_eq!(scene.only("feed").level, FindingLevel::Note);
    let placed = |scene: &mut Scene, index: u32, change: fn(&mut shopstride::floor::Placement)| {
        change(
            scene.plan.placements[StationId(index)]
                .as_mut()
                .expect("placed"),
        );
    };
    let mut no_table = scene.clone();
    placed(&mut no_table, 0, |saw| saw.table = None);
    let finding = no_table.lacks("feed", FindingLevel::Fault, 30.0);
    assert!(
        helped(&finding).contains("say so by `height` and `table`"),
        "{}",
        helped(&finding)
    );
    placed(&mut scene, 1, |bench| {
        bench.heights = HeightRange::default();
    });
    scene.lacks("feed", FindingLevel::Fault, 30.0);
}

/// A bench of 35 in under a table of 34 in: lowered by 1 in, it carries the work; 33.5 in, lowered by 1 in it would be
/// passed over, and so on.
#[test]
fn lowering_by_what_was_tried_frees_the_strip() {
    let advice = |top: f64| {
        let finding = with_bench(saw(70.0, 6.0), (22.0, 80.0), top).only("feed");
        assert_eq!(finding.level, FindingLevel::Fault, "{top}");
        helped(&finding)
    };
    assert!(
        advice(35.0).starts_with("lower bench by 0.1 ft, level with the table"),
        "{}",
        advice(35.0)
    );
    // Between 33.737 in and the table it neither carries the work nor lets it pass: 1/8 in lower it is passed over, and
    // where it is 0.1 in below the table, it is nearer to carry it.
    let (passed, carries) = (advice(33.85), advice(33.9));
    let over = "lower bench by 0.0 ft, so that the work passes over it";
    assert!(passed.starts_with(over), "{passed}");
    let level = "raise bench by 0.0 ft, level with the table";
    assert!(carries.starts_with(level), "{carries}");
    // Nobody saws 10 in off a bench.
    assert!(!advice(44.0).contains("lower bench"), "{}", advice(44.0));
    let freed = |top: f64| with_bench(saw(70.0, 6.0), (22.0, 80.0), top).only("feed");
    assert!(said(&freed(33.85 - 0.125)).contains("it passes over bench"));
    for (top, by) in [(35.0, 1.0), (33.9, -0.1), (37.5, 3.5)] {
        let level = freed(top - by);
        assert_eq!(level.level, FindingLevel::Note, "{}", said(&level));
        assert!(said(&level).contains("it is carried by bench"));
    }
}

/// A saw alone carries 44-in boards; an 8-ft board needs 26 in more, one of 10 ft 38 in, one of 12 ft 50 in.
#[test]
fn a_piece_is_carried_up_to_its_middle() {
    for (length, lacks) in [(96.0, 26.0), (120.0, 38.0), (144.0, 50.0)] {
        let mut scene = saw(length, 6.0);
        scene.the_room().doors.clear();
        scene.lacks("tipping", FindingLevel::Note, lacks);
        let table = |far: f64| with_bench(scene.clone(), (22.0, 22.0 + far), 34.0 - 1.0 / 16.0);
        assert!(table(lacks).of("tipping").is_empty());
        table(lacks - 1.0).lacks("tipping", FindingLevel::Note, 1.0);
        // A table that is lower than that carries nothing.
        with_bench(scene, (22.0, 22.0 + lacks), 33.0).lacks("tipping", FindingLevel::Note, lacks);
    }
    assert!(saw(44.0, 6.0).of("tipping").is_empty());
    let mut two = saw(96.0, 6.0);
    let items = &mut two.shop.projects[shopstride::shop::ProjectId(0)].items;
    items[0].route[0].choices[0].work.people = 2;
    assert!(two.of("tipping").is_empty(), "the second one takes it");
}

/// Where it is fed in, somebody holds the end: it sags 5/48 of what a free end does, and whoever holds it does not stand
/// in the bench.
#[test]
fn before_the_cutter_it_is_held() {
    let under = |near: f64, far: f64, top: f64| {
        let scene = with_bench(saw(94.0, 6.0), (-far, -near), top);
        scene.only("feed")
    };
    // 72 in between the table and the hands: 1.01376 x 5/48 = 0.1056 in in the middle.
    assert_eq!(under(40.0, 80.0, 33.83).level, FindingLevel::Note);
    assert_eq!(under(40.0, 80.0, 33.84).level, FindingLevel::Fault);
    let stands_in_it = under(60.0, 100.0, 30.0);
    assert_eq!(stands_in_it.level, FindingLevel::Fault);
    let run = figure(&stands_in_it, "run_in_m");
    assert!((run - 94.0).abs() < 1e-6, "{run}");
    assert!((stands_in_it.missing.expect("it is") / IN - 30.0).abs() < 1e-6);
}

#[test]
fn a_sheet_passes_over_what_is_beside_the_saw_on_its_whole_width() {
    let beside = |top: f64| {
        let mut scene = saw(96.0, 48.0);
        // From 20 in beside the line of the cutter, where the strip takes 26.
        let shelf = scene.station("shelf", (15.0, 10.0 + 20.0 / 12.0 + 0.5), (1.0, 1.0));
        shelf.heights = HeightRange {
            bottom: 0.0,
            top: top * IN,
        };
        scene.only("feed")
    };
    assert_eq!(beside(34.0).level, FindingLevel::Note);
    assert_eq!(beside(33.9).level, FindingLevel::Note);
    let higher = beside(36.0);
    assert_eq!(higher.level, FindingLevel::Fault);
    assert!(
        said(&higher).contains("shelf stands beside the cutter"),
        "{}",
        said(&higher)
    );
    assert!(
        helped(&higher).starts_with("lower shelf by 0.2 ft, level with the table"),
        "{}",
        helped(&higher)
    );
}

/// Of two pieces of one length and width the thinner one sags more: 1/4 in thick nine times as much as 3/4 in.
#[test]
fn the_thinnest_piece_decides() {
    let mut scene = with_bench(saw(70.0, 6.0), (40.0, 80.0), 33.5);
    assert_eq!(scene.only("feed").level, FindingLevel::Note);
    scene.piece("slat", 0, inches(70.0, 6.0, 0.25));
    let finding = scene.only("feed");
    assert_eq!(finding.level, FindingLevel::Fault);
    assert!(said(&finding).contains("slat"), "{}", said(&finding));
}

/// Found by trying, and just as long as passes: a wall 15 ft behind the cutter.
#[test]
fn the_longest_piece_over_an_out_feed_table_was_tried() {
    let scene = with_bench(saw(70.0, 6.0), (22.0, 120.0), 34.0);
    let finding = scene.only("feed");
    assert!(said(&finding).contains("carried by bench"));
    // Before the cutter 15 ft less 30 in for the operator.
    let longest = figure(&finding, "longest_here_m");
    assert!((longest - 150.0).abs() < 0.01, "{longest}");
    let longer = with_bench(saw(longest + 0.1, 6.0), (22.0, 120.0), 34.0);
    assert_eq!(longer.only("feed").level, FindingLevel::Fault);
}

#[test]
fn a_full_panel_is_backed_by_what_is_level_with_the_saw() {
    let panel = |top: f64| {
        let mut scene = with_bench(saw(96.0, 48.0), (22.0, 60.0), top);
        let saw = scene.plan.placements[StationId(0)].as_mut();
        saw.expect("placed").kickback = true;
        scene.of("full panel").len()
    };
    assert_eq!(panel(34.0), 0);
    assert_eq!(panel(30.0), 1);
    assert_eq!(panel(36.0), 1, "higher than the table");
}

/// Work passes below a shelf that leaves 6 in for hands above it.
#[test]
fn work_passes_below_a_shelf() {
    let below = |bottom: f64| {
        let mut scene = saw(70.0, 6.0);
        let shelf = scene.station("shelf", (20.0, 10.0), (1.0, 8.0));
        shelf.heights = HeightRange {
            bottom: bottom * IN,
            top: 80.0 * IN,
        };
        shelf.stand = shopstride::floor::Point::new(0.0, -6.0 * FT);
        scene.only("feed").level
    };
    assert_eq!(below(40.75), FindingLevel::Note);
    assert_eq!(below(40.7), FindingLevel::Fault);
}
