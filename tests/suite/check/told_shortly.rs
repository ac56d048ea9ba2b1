//! What the first screen of `check` says: one gap is one fault, what is told of another layout is not told again, and the
//! order in which things are to be mended.

use shopstride::floor::FindingLevel;
use shopstride::report::check::numbered;

use super::scenes::{FT, Scene, briefly, ft, said};
use crate::check_command::{check, words};

/// A room of 20 by 10 ft that is parted at 8 ft, but for a gap of 1 ft; a rack on one side, five stations on the other.
fn parted() -> Scene {
    let mut scene = Scene::room(20.0, 10.0);
    scene.station("rack", (3.0, 6.0), (1.0, 1.0));
    for (index, name) in ["saw", "bench", "vice", "sander", "lathe"]
        .into_iter()
        .enumerate()
    {
        scene.station(name, (9.5 + 2.0 * index as f64, 6.0), (1.0, 1.0));
    }
    for station in 0..6 {
        scene.piece("piece", station, super::scenes::inches(10.0, 2.0, 1.0));
    }
    let wall = |low: f64, high: f64| [(7.9, low), (8.1, low), (8.1, high), (7.9, high)];
    scene.thing("shelf", &wall(0.0, 4.5));
    scene.thing("cupboard", &wall(5.5, 10.0));
    scene
}

#[test]
fn one_gap_that_is_too_narrow_is_one_fault() {
    let finding = parted().only("reachable");
    assert_eq!(finding.level, FindingLevel::Fault);
    // The widest way is found to a tenth of a millimetre.
    let missing = finding.missing.expect("something is missing");
    assert!((missing - (0.5 - FT)).abs() < 1e-4, "{missing}");
    assert_eq!(
        finding.short,
        "no way from rack to saw, bench, vice and 2 more"
    );
    let brief = briefly(&finding);
    assert!(
        brief.contains("between cupboard and shelf, where a person takes"),
        "{brief}"
    );
    assert!(
        said(&finding).contains("wide between cupboard and shelf"),
        "{}",
        said(&finding)
    );
    // Those that do not reach one another either are cut off by something else.
    let mut scene = parted();
    let wall = |low: f64, high: f64| [(16.4, low), (16.6, low), (16.6, high), (16.4, high)];
    scene.thing("stove", &wall(0.0, 10.0));
    assert_eq!(scene.of("reachable").len(), 2);
}

/// Who stands before a bench looks at it: a turned bench is as wide to its left as before.
#[test]
fn sides_are_called_as_one_stands_at_them() {
    use shopstride::floor::Side;
    let with = |side: Side, turn: f64, stand: Option<(f64, f64)>| {
        let mut scene = Scene::room(20.0, 20.0);
        let bench = scene.station("bench", (10.0, 10.0), (4.0, 2.0));
        bench.turn = turn;
        bench.reach_from[side as usize] = true;
        if let Some((x, y)) = stand {
            bench.stand = ft(x, y);
        }
        let bench = scene.plan.placements[shopstride::shop::StationId(0)].expect("placed");
        let half = match side {
            Side::PlusX | Side::MinusX => 2.0,
            _ => 1.0,
        };
        let post = bench.at + bench.turned(side.direction()) * ((half + 0.6) * FT);
        let (x, y) = (post.x / FT, post.y / FT);
        scene.thing(
            "post",
            &[
                (x - 0.1, y - 0.1),
                (x + 0.1, y - 0.1),
                (x + 0.1, y + 0.1),
                (x - 0.1, y + 0.1),
            ],
        );
        let finding = scene.only("reach");
        assert_eq!(finding.level, FindingLevel::Warning);
        finding.short
    };
    for turn in [0.0, 90.0, 210.0] {
        for (side, from) in [
            (Side::PlusY, "from behind"),
            (Side::MinusY, "from the front"),
            (Side::MinusX, "from its left"),
            (Side::PlusX, "from its right"),
        ] {
            let says = with(side, turn, None);
            assert_eq!(says, format!("bench cannot be reached {from}"), "{turn}");
        }
    }
    // Who stands at its right end has the front on the left.
    let at_the_end = Some((3.5, 0.0));
    assert!(with(Side::MinusX, 0.0, at_the_end).ends_with("from behind"));
    assert!(with(Side::MinusY, 0.0, at_the_end).ends_with("from its left"));
}

#[test]
fn what_stands_in_the_wall_or_in_the_throw_comes_first() {
    let mut scene = parted();
    scene.station("press", (19.8, 2.0), (1.0, 1.0));
    let findings = scene.findings();
    let first = numbered(&findings).next().expect("there are some").1;
    assert_eq!(findings[first].short, "press is in the wall");
    assert!(
        findings
            .iter()
            .any(|found| found.missing > findings[first].missing)
    );
}

const LIKE: &str = "
title: Two that are much alike
show: imperial
room: {size: [16 ft, 12 ft], doors: [{name: door, between: [[0, 4 ft], [0, 7 ft]]}]}
stations:
  rack: {size: [2 ft, 1 ft]}
  saw: {size: [3 ft, 3 ft], feed toward: +y, kickback: true, does: {rip: {per piece: 1 min}}}
  planer: {size: [2 ft, 2 ft], feed toward: +x, does: {plane: {per piece: 1 min}}}
  jointer: {size: [6 ft, 20 in], feed toward: -x, does: {joint: {per piece: 1 min}}}
projects: {board: {pieces: 1, rough: [8 ft, 6 in, 1 in], material at: rack, route: [rip, plane, joint]}}
orders: [{project: board}]
layouts:
  as it is: {at: {rack: [1 ft, 11 ft], saw: [6 ft, 6 ft], planer: [13 ft, 3 ft], jointer: [11 ft, 10 ft]}}
  rack elsewhere: {like: as it is, at: {rack: [1 ft, 9 ft]}}
";

#[test]
fn what_is_told_of_one_layout_is_not_told_again_of_another() {
    let said = words(&check(&["-"], Some(LIKE)).stdout);
    let second = &said[said.find("rack elsewhere:").expect("it is told")..];
    assert!(
        second.contains(
            "found in \"as it is\" too (in brackets its number there, if that is another): 1"
        ),
        "{second}"
    );
    for machine in ["saw", "planer", "jointer"] {
        let says = format!("too little room to feed work at {machine}");
        assert_eq!(said.matches(&says).count(), 1, "{said}");
    }
    assert!(
        second.contains("takes planer and jointer as in \"as it is\""),
        "{second}"
    );
    // Whoever asks for details gets all of them.
    let details = words(&check(&["-", "--details"], Some(LIKE)).stdout);
    assert_eq!(
        details.matches("planer: board at plane").count(),
        2,
        "{details}"
    );
    assert!(
        said.contains(
            "Not looked at: dust pipes, heat, light, noise and power (`run` says what the"
        ),
        "{said}"
    );
}

/// A gap is as wide on Sunday as on Monday: what a layout lacks does not hang on who walks which way when.
#[test]
fn when_the_shop_is_open_does_not_change_what_fits() {
    let shop = |sessions: &str| {
        format!(
            "
title: Hours
room: {{size: [6 m, 6 m], doors: [{{name: door, between: [[0, 4 m], [0, 5 m]]}}]}}
stations:
  rack: {{size: [50 cm, 50 cm]}}
  saw: {{size: [1 m, 1 m], does: {{rip: {{per piece: 30 min}}}}}}
  bench: {{size: [1 m, 2 m], does: {{sand: {{per piece: 50 min}}}}}}
projects:
  shelf: {{pieces: 2, material at: rack, route: [rip, sand], deliver to: door}}
  box: {{pieces: 3, material at: rack, route: [sand, rip], deliver to: door}}
orders: [{{project: shelf, count: 3}}, {{project: box, count: 2}}]
layouts:
  placed: {{at: {{rack: [5 m, 50 cm], saw: [1.6 m, 2.2 m], bench: [3.2 m, 3.5 m]}}}}
{sessions}"
        )
    };
    let faults = |sessions: &str| {
        let said = check(&["-", "--json", "-"], Some(&shop(sessions))).stdout;
        let data: serde_json::Value = serde_json::from_slice(&said).expect("JSON");
        data["layouts"][0]["faults"].as_u64()
    };
    let always = faults("");
    assert!(always.is_some_and(|faults| faults > 0));
    for sessions in [
        "open: \"19:00\", close: \"21:00\"",
        "open: \"8:00\", close: \"12:00\"",
    ] {
        let sessions = format!("sessions: [{{days: [mon, wed, sat], {sessions}}}]");
        assert_eq!(faults(&sessions), always, "{sessions}");
    }
}
