//! Saws. Setting up is moving a fence or a stop; another blade takes an operation of its own.

use super::kind::{KindOperation, StationKind, about, just};
use crate::floor::Side;

const RIP: KindOperation = KindOperation::new("rip")
    .setup_min(about(2.0, 1.0, 3.0))
    .cuts(&[1]);

/// Against a stop or on a sled.
const CROSSCUT: KindOperation = KindOperation::new("crosscut")
    .setup_min(about(2.0, 1.0, 3.0))
    .piece_s(about(15.0, 10.0, 25.0))
    .cuts(&[0]);

/// The set of blades is changed. What runs along the grain is a groove.
const DADO: KindOperation = KindOperation::new("dado")
    .across()
    .setup_min(about(8.0, 6.0, 12.0))
    .piece_s(about(15.0, 10.0, 25.0).reckoned());

const TENON: KindOperation = KindOperation::new("tenon")
    .setup_min(about(5.0, 3.0, 6.0).guess())
    .piece_min(about(3.0, 2.0, 5.0).guess());

pub static SAWS: [StationKind; 7] = [
    StationKind::new(
        "portable table saw",
        "table saw on a folding stand",
        [just(26.0), just(30.0)],
    )
    .table(about(35.0, 34.0, 36.0))
    .overall(about(42.0, 38.0, 46.0))
    .mass(about(70.0, 50.0, 90.0))
    .stand(Side::MinusY, -8.0)
    .feed(Side::PlusY)
    .kickback()
    .dust(2.5, 250.0)
    .motor(about(1.75, 1.5, 2.0), &[120], just(15.0))
    .noise(about(98.0, 95.0, 100.0), about(102.0, 98.0, 105.0))
    .does(&[
        RIP.feed(about(10.0, 6.0, 15.0))
            .piece_s(about(8.0, 6.0, 10.0)),
        CROSSCUT,
    ]),
    StationKind::new(
        "contractor saw",
        "table saw on an open stand, rails of 30 in",
        [just(62.0), just(40.0)],
    )
    .table(about(35.0, 34.0, 36.0))
    .overall(about(43.0, 40.0, 47.0))
    .mass(about(275.0, 230.0, 320.0))
    .stand(Side::MinusY, -8.0)
    .feed(Side::PlusY)
    .kickback()
    .dust(4.0, 350.0)
    .motor(about(1.75, 1.5, 2.0), &[120, 240], about(16.0, 15.0, 18.0))
    .noise(about(90.0, 84.0, 95.0), about(97.0, 92.0, 102.0))
    .does(&[
        RIP.feed(about(14.0, 8.0, 20.0))
            .piece_s(about(8.0, 6.0, 10.0)),
        CROSSCUT,
        DADO,
        TENON,
    ]),
    StationKind::new(
        "cabinet saw",
        "table saw with a closed base, rails of 30 to 50 in",
        [about(74.0, 64.0, 84.0), just(40.0)],
    )
    .table(about(35.0, 34.0, 36.0))
    .overall(about(43.0, 40.0, 48.0))
    .mass(about(500.0, 420.0, 600.0))
    .stand(Side::MinusY, -8.0)
    .feed(Side::PlusY)
    .kickback()
    .dust(4.0, 450.0)
    .motor(about(3.0, 3.0, 5.0), &[240], about(18.0, 13.0, 24.0))
    .noise(about(85.0, 80.0, 90.0), about(97.0, 92.0, 102.0))
    .does(&[
        RIP.feed(about(15.0, 10.0, 25.0))
            .piece_s(about(6.0, 5.0, 8.0)),
        CROSSCUT,
        DADO,
        TENON,
    ]),
    StationKind::new(
        "miter saw",
        "miter saw between wings that carry the board",
        [about(120.0, 96.0, 192.0), about(28.0, 24.0, 34.0)],
    )
    .table(about(38.0, 36.0, 40.0))
    .overall(about(65.0, 60.0, 68.0))
    .mass(about(55.0, 40.0, 70.0))
    .widest(about(12.0, 6.0, 14.0).guess())
    .dust(2.0, 500.0)
    .universal_motor(just(15.0))
    .noise(about(100.0, 95.0, 105.0), about(104.0, 100.0, 108.0))
    .does(&[
        KindOperation::new("crosscut")
            .setup_min(about(1.0, 0.3, 2.0))
            .piece_s(about(15.0, 8.0, 20.0))
            .cuts(&[0]),
        KindOperation::new("miter")
            .setup_min(about(1.5, 1.0, 2.0))
            .piece_s(about(15.0, 8.0, 20.0)),
    ]),
    StationKind::new(
        "radial-arm saw",
        "radial-arm saw with its table",
        [about(96.0, 36.0, 192.0), about(40.0, 36.0, 42.0)],
    )
    .table(about(36.0, 34.0, 38.0))
    .overall(about(62.0, 58.0, 68.0))
    .mass(about(275.0, 200.0, 350.0))
    .widest(about(15.0, 12.0, 24.0).guess())
    .stand(Side::MinusY, -12.0)
    .dust(4.0, 500.0)
    .motor(about(1.75, 1.5, 2.0), &[120, 240], about(15.0, 12.0, 18.0))
    .noise(about(90.0, 85.0, 95.0), about(98.0, 95.0, 102.0))
    .does(&[
        KindOperation::new("crosscut")
            .setup_min(about(1.0, 0.5, 2.0))
            .piece_s(about(15.0, 10.0, 20.0))
            .cuts(&[0]),
        DADO,
    ]),
    StationKind::new(
        "band saw 14 in",
        "band saw of the class of 14 in",
        [just(28.0), just(26.0)],
    )
    .table(about(44.0, 42.0, 46.0))
    .overall(about(68.0, 64.0, 72.0))
    .mass(about(220.0, 180.0, 260.0))
    .stand(Side::MinusY, -6.0)
    .feed(Side::PlusY)
    .dust(4.0, 500.0)
    .motor(about(1.25, 1.0, 1.5), &[120, 240], about(12.0, 9.0, 15.0))
    .noise(about(84.0, 78.0, 90.0), about(89.0, 83.0, 95.0))
    .does(&[
        BANDSAW.feed(about(6.0, 4.0, 8.0)),
        RESAW.feed(about(2.0, 1.0, 3.0)),
        CURVE.feed(about(3.5, 2.0, 5.0)),
    ]),
    StationKind::new(
        "band saw 18 in",
        "band saw of the class of 18 in",
        [just(36.0), just(30.0)],
    )
    .table(about(38.0, 36.0, 40.0))
    .overall(about(76.0, 72.0, 80.0))
    .mass(about(425.0, 350.0, 500.0))
    .feed(Side::PlusY)
    .dust(4.0, 550.0)
    .motor(about(2.5, 2.0, 3.0), &[240], about(12.0, 9.0, 14.0))
    .noise(about(82.0, 76.0, 88.0), about(89.0, 83.0, 95.0))
    .does(&[
        BANDSAW.feed(about(8.0, 4.0, 12.0)),
        RESAW.feed(about(4.0, 2.0, 6.0)),
        CURVE.feed(about(3.5, 2.0, 5.0)),
    ]),
];

const BANDSAW: KindOperation = KindOperation::new("bandsaw")
    .setup_min(about(2.0, 1.0, 3.0))
    .cuts(&[1]);

const RESAW: KindOperation = KindOperation::new("resaw")
    .setup_min(about(2.0, 1.0, 3.0))
    .cuts(&[2]);

const CURVE: KindOperation = KindOperation::new("curve").setup_min(about(2.0, 1.0, 3.0));
