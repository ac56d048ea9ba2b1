//! Machines that bore, rout, shape and turn.

use super::kind::{KindOperation, StationKind, about, just};
use crate::floor::Side;

/// One hole; a piece with four takes four times as long.
const DRILL: KindOperation = KindOperation::new("drill")
    .setup_min(about(2.5, 1.0, 4.0))
    .piece_s(about(14.0, 8.0, 20.0));

const BORE: KindOperation = KindOperation {
    name: "bore",
    ..DRILL
};

/// Two passes with 6 s of handling each.
const ROUT: KindOperation = KindOperation::new("rout")
    .setup_min(about(6.5, 3.0, 10.0))
    .feed(about(8.0, 5.0, 12.0))
    .passes(about(2.0, 1.0, 3.0))
    .piece_s(just(12.0).reckoned());

const fn spindle(name: &'static str) -> KindOperation {
    KindOperation::new(name)
        .setup_min(about(20.0, 10.0, 30.0))
        .feed(about(16.0, 10.0, 25.0))
        .piece_s(just(6.0))
}

pub static SHAPING: [StationKind; 8] = [
    StationKind::new(
        "drill press",
        "drill press that stands on the floor",
        [just(18.0), just(28.0)],
    )
    .table(about(36.0, 10.0, 48.0))
    .overall(about(67.0, 62.0, 72.0))
    .mass(about(240.0, 150.0, 330.0))
    .dust(2.5, 350.0)
    .motor(about(1.0, 0.75, 1.5), &[120], about(10.0, 6.0, 14.0))
    .noise(about(73.0, 68.0, 78.0), about(78.0, 70.0, 85.0))
    .does(&[DRILL, BORE]),
    StationKind::new(
        "bench drill press",
        "drill press on a bench or a stand",
        [just(14.0), just(22.0)],
    )
    .table(about(43.0, 36.0, 50.0))
    .overall(about(72.0, 64.0, 78.0))
    .mass(about(80.0, 50.0, 110.0))
    .dust(2.0, 300.0)
    .motor(about(0.5, 0.33, 0.75), &[120], about(4.0, 3.0, 6.0))
    .noise(about(71.0, 66.0, 76.0), about(78.0, 70.0, 85.0))
    .does(&[DRILL]),
    StationKind::new(
        "router table",
        "router under a table with a fence",
        [about(32.0, 28.0, 36.0), about(24.0, 20.0, 27.0)],
    )
    .table(about(36.0, 34.0, 38.0))
    .overall(about(42.0, 38.0, 46.0))
    .mass(about(95.0, 60.0, 130.0))
    .feed(Side::MinusX)
    .dust(2.5, 250.0)
    .universal_motor(about(14.0, 12.0, 15.0))
    .noise(about(94.0, 88.0, 100.0), about(100.0, 95.0, 105.0))
    .does(&[
        ROUT,
        KindOperation {
            name: "mould",
            ..ROUT
        },
        KindOperation {
            name: "dado",
            is_across: true,
            ..ROUT
        },
    ]),
    StationKind::new(
        "shaper",
        "spindle shaper",
        [about(34.0, 28.0, 40.0), about(29.0, 26.0, 32.0)],
    )
    .table(about(35.0, 34.0, 36.0))
    .overall(about(44.0, 40.0, 50.0))
    .mass(about(350.0, 250.0, 450.0))
    .feed(Side::MinusX)
    .dust(4.0, 500.0)
    .motor(about(2.5, 2.0, 3.0), &[240], about(15.0, 12.0, 18.0))
    .noise(
        about(83.0, 78.0, 88.0),
        about(98.0, 95.0, 100.0).published(),
    )
    .does(&[spindle("mould"), spindle("rabbet")]),
    StationKind::new(
        "small lathe",
        "lathe, 10 to 14 in swing, on a bench or a stand",
        [just(36.0), just(15.0)],
    )
    .table(about(42.0, 40.0, 44.0))
    .overall(about(52.0, 48.0, 56.0))
    .mass(about(115.0, 80.0, 150.0))
    .caution("Nobody stands opposite the work; a face shield, no gloves or loose sleeves.")
    .dust(4.0, 400.0)
    .motor(about(0.75, 0.5, 1.0), &[120], about(8.0, 5.0, 10.0))
    .noise(about(70.0, 65.0, 75.0), about(78.0, 70.0, 85.0))
    .does(&[KindOperation::new("turn")
        .setup_min(about(6.0, 2.0, 10.0))
        .piece_min(about(30.0, 5.0, 60.0))]),
    StationKind::new(
        "lathe",
        "lathe, 16 to 20 in swing",
        [about(72.0, 60.0, 84.0), about(24.0, 20.0, 28.0)],
    )
    .table(about(43.0, 40.0, 46.0))
    .overall(about(52.0, 48.0, 58.0))
    .mass(about(475.0, 300.0, 650.0))
    .caution("Nobody stands opposite the work; a face shield, no gloves or loose sleeves.")
    .dust(4.0, 400.0)
    .motor(about(2.0, 1.5, 3.0), &[120, 240], about(12.0, 9.0, 14.0))
    .noise(about(70.0, 65.0, 75.0), about(80.0, 72.0, 88.0))
    .does(&[KindOperation::new("turn")
        .setup_min(about(6.0, 2.0, 10.0))
        .piece_min(about(60.0, 10.0, 120.0))]),
    StationKind::new(
        "mortiser",
        "hollow-chisel mortiser on a bench or a stand",
        [just(18.0), just(22.0)],
    )
    .table(about(39.0, 36.0, 42.0))
    .overall(about(62.0, 56.0, 70.0))
    .mass(about(70.0, 50.0, 90.0))
    .motor(about(0.75, 0.5, 1.0), &[120], about(7.0, 5.0, 9.0))
    .noise(about(73.0, 70.0, 76.0), about(80.0, 76.0, 85.0))
    .does(&[KindOperation::new("mortise")
        .setup_min(about(3.5, 2.0, 5.0))
        .piece_s(about(75.0, 30.0, 120.0))]),
    StationKind::new(
        "scroll saw",
        "scroll saw on a stand",
        [just(14.0), just(30.0)],
    )
    .table(about(39.0, 34.0, 44.0))
    .overall(about(52.0, 46.0, 58.0))
    .mass(about(60.0, 30.0, 90.0))
    .dust(1.5, 150.0)
    .universal_motor(about(1.5, 1.0, 2.0))
    .noise(about(70.0, 65.0, 75.0), about(75.0, 70.0, 80.0))
    .does(&[KindOperation::new("scroll")
        .setup_min(about(2.5, 1.0, 4.0))
        .feed(about(1.0, 0.5, 2.0))]),
];
