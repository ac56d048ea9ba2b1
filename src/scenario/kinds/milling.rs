//! Jointers, planers and sanders, past whose cutters a whole board goes.

use super::kind::{KindOperation, StationKind, about, just};
use crate::floor::Side;

/// So many passes, with 6 to 10 s of handling for each.
const fn jointing(name: &'static str, passes: f64) -> KindOperation {
    KindOperation::new(name)
        .setup_min(about(1.0, 0.3, 3.0))
        .feed(about(15.0, 10.0, 20.0))
        .passes(about(passes, 2.0, 4.0))
        .piece_s(about(8.0 * passes, 6.0 * passes, 10.0 * passes).reckoned())
}

/// A face and an edge, two passes each.
const JOINTING: &[KindOperation] = &[
    jointing("joint", 4.0),
    jointing("joint face", 2.0),
    jointing("joint edge", 2.0),
];

/// So many passes take a quarter of an inch off; after each one walks around for 8 to 15 s.
const fn planing(depth: f64, least: f64, most: f64, passes: f64) -> KindOperation {
    KindOperation::new("plane")
        .setup_min(about(0.5, 0.3, 1.0))
        .depth(about(depth, least, most).published())
        .piece_s(about(11.0 * passes, 8.0 * passes, 15.0 * passes).reckoned())
        .cuts(&[2])
}

const SHAPING_BY_SANDING: &[KindOperation] = &[
    KindOperation::new("sand end")
        .setup_min(about(0.5, 0.2, 2.0))
        .piece_s(about(20.0, 10.0, 30.0)),
    KindOperation::new("shape")
        .setup_min(about(0.5, 0.2, 2.0))
        .piece_s(about(20.0, 10.0, 30.0)),
];

pub static MILLING: [StationKind; 9] = [
    StationKind::new(
        "jointer 6 in",
        "jointer, knives 6 in wide",
        [about(56.0, 46.0, 66.0), just(22.0)],
    )
    .table(about(32.0, 31.0, 34.0))
    .overall(about(38.0, 36.0, 42.0))
    .mass(about(240.0, 200.0, 280.0))
    .widest(just(6.0))
    .feed(Side::MinusX)
    .dust(4.0, 350.0)
    .motor(about(1.25, 1.0, 1.5), &[120, 240], about(11.0, 7.0, 15.0))
    .noise(about(86.0, 82.0, 90.0), about(93.0, 88.0, 98.0))
    .does(JOINTING),
    StationKind::new(
        "jointer 8 in",
        "jointer, knives 8 in wide",
        [about(76.0, 72.0, 82.0), just(26.0)],
    )
    .table(about(33.0, 32.0, 34.0))
    .overall(about(38.0, 36.0, 42.0))
    .mass(about(450.0, 400.0, 520.0))
    .widest(just(8.0))
    .feed(Side::MinusX)
    .dust(4.0, 450.0)
    .motor(about(2.0, 2.0, 3.0), &[240], about(14.0, 10.0, 17.0))
    .noise(about(86.0, 82.0, 90.0), about(94.0, 88.0, 100.0))
    .does(JOINTING),
    StationKind::new(
        "bench-top planer",
        "thickness planer, 12 to 13 in, on a stand or a cart",
        [just(24.0), about(30.0, 22.0, 40.0)],
    )
    .table(about(30.0, 27.0, 34.0))
    .overall(about(48.0, 44.0, 52.0))
    .mass(about(85.0, 65.0, 105.0))
    .widest(about(12.5, 12.0, 13.0))
    .stand(Side::MinusY, -8.0)
    .feed(Side::PlusY)
    .dust(4.0, 600.0)
    .universal_motor(just(15.0))
    .noise(about(100.0, 95.0, 104.0), about(102.0, 98.0, 106.0))
    .does(&[planing(0.031_25, 0.015_625, 0.0625, 8.0).feed(about(25.0, 20.0, 30.0))]),
    StationKind::new(
        "floor planer",
        "thickness planer, 15 in, on the floor",
        [just(42.0), about(36.0, 28.0, 44.0)],
    )
    .table(about(35.0, 32.0, 38.0))
    .overall(about(44.0, 40.0, 60.0))
    .mass(about(550.0, 450.0, 650.0))
    .widest(just(15.0))
    .stand(Side::MinusY, -8.0)
    .feed(Side::PlusY)
    .dust(6.0, 650.0)
    .motor(just(3.0), &[240], about(14.0, 12.0, 17.0))
    .noise(about(87.0, 82.0, 92.0), about(96.0, 90.0, 102.0))
    .does(&[planing(0.0625, 0.031_25, 0.125, 4.0).feed(about(20.0, 16.0, 30.0).published())]),
    StationKind::new(
        "jointer-planer",
        "jointer and planer in one, 10 to 16 in; planing goes the other way",
        [about(62.0, 54.0, 70.0), about(31.0, 28.0, 34.0)],
    )
    .table(about(35.0, 34.0, 36.0))
    .overall(about(58.0, 55.0, 60.0))
    .mass(about(600.0, 400.0, 800.0))
    .widest(about(13.0, 10.0, 16.0))
    .feed(Side::MinusX)
    .dust(5.0, 650.0)
    .motor(about(3.0, 3.0, 4.0), &[240], about(16.0, 12.0, 20.0))
    .noise(about(86.0, 82.0, 90.0), about(94.0, 88.0, 100.0))
    .does(&[
        jointing("joint", 4.0)
            .setup_min(about(1.0, 0.5, 2.0))
            .feed(about(18.0, 16.0, 20.0)),
        planing(0.0625, 0.031_25, 0.125, 4.0)
            .setup_min(about(1.0, 0.5, 2.0))
            .feed(about(20.0, 16.0, 23.0)),
    ]),
    StationKind::new(
        "drum sander",
        "drum sander, 16 to 22 in, one end open",
        [just(40.0), about(32.0, 24.0, 40.0)],
    )
    .table(about(37.0, 34.0, 40.0))
    .overall(about(50.0, 46.0, 56.0))
    .mass(about(195.0, 140.0, 250.0))
    // Twice its drum, turned around and with the open end free.
    .widest(about(38.0, 32.0, 44.0).reckoned())
    .feed(Side::PlusY)
    .dust(4.0, 650.0)
    .motor(about(1.5, 1.0, 1.75), &[120], about(16.0, 14.0, 20.0))
    .noise(about(82.0, 78.0, 85.0), about(86.0, 82.0, 90.0))
    .does(&[KindOperation::new("drum sand")
        .setup_min(about(1.0, 0.5, 6.0))
        .feed(about(6.0, 2.0, 10.0).published())
        .passes(about(5.0, 3.0, 8.0))
        .piece_s(just(50.0).reckoned())]),
    StationKind::new(
        "edge sander",
        "edge sander, belt of 6 by 80 to 108 in",
        [about(57.0, 48.0, 66.0), about(27.0, 24.0, 30.0)],
    )
    .table(about(38.0, 36.0, 40.0))
    .overall(about(46.0, 42.0, 52.0))
    .mass(about(335.0, 250.0, 420.0))
    .dust(4.0, 600.0)
    .motor(about(2.0, 1.5, 3.0), &[120, 240], about(14.0, 9.0, 18.0))
    .noise(about(82.0, 78.0, 85.0), about(87.0, 82.0, 92.0))
    .does(&[KindOperation::new("edge sand")
        .setup_min(about(0.5, 0.2, 3.0))
        .piece_s(about(20.0, 10.0, 30.0))]),
    StationKind::new(
        "belt-disc sander",
        "belt and disc sander in one",
        [just(24.0), just(22.0)],
    )
    .table(about(39.0, 36.0, 42.0))
    .overall(about(54.0, 44.0, 60.0))
    .mass(about(105.0, 60.0, 150.0))
    .dust(4.0, 400.0)
    .motor(about(1.0, 0.5, 1.5), &[120], about(10.0, 6.0, 14.0))
    .noise(about(78.0, 75.0, 82.0), about(85.0, 80.0, 90.0))
    .does(SHAPING_BY_SANDING),
    StationKind::new(
        "disc sander",
        "disc sander, 12 in",
        [just(18.0), just(20.0)],
    )
    .table(about(40.0, 38.0, 42.0))
    .overall(about(48.0, 44.0, 54.0))
    .mass(about(65.0, 40.0, 90.0))
    .stand(Side::MinusY, -4.0)
    .dust(2.5, 350.0)
    .motor(about(1.0, 0.75, 1.0), &[120], about(10.0, 8.0, 12.0))
    .noise(about(78.0, 75.0, 82.0), about(85.0, 80.0, 90.0))
    .does(SHAPING_BY_SANDING),
];
