//! Benches and tables, where most of the time goes by hand.

use super::kind::{KindOperation, StationKind, about, just};
use crate::floor::Side;

const ASSEMBLE: KindOperation = KindOperation::new("assemble")
    .setup_min(about(5.0, 1.0, 10.0))
    .lot_min(about(20.0, 10.0, 40.0).guess());

/// What is spread must be closed within the open time of the glue; the clamps come off long before it has all its
/// strength.
const GLUE_UP: KindOperation = KindOperation::new("glue-up")
    .setup_min(about(5.0, 1.0, 10.0))
    .lot_min(about(10.0, 5.0, 15.0).reckoned())
    .cure_min(about(60.0, 30.0, 90.0).published())
    .unbroken();

/// One grit.
const SAND: KindOperation = KindOperation::new("sand")
    .setup_min(about(0.5, 0.0, 1.0))
    .area_rate(about(0.5, 0.3, 0.8));

const fn coat(name: &'static str) -> KindOperation {
    KindOperation::new(name)
        .setup_min(about(5.0, 2.0, 10.0))
        .area_rate(about(1.0, 0.5, 1.5))
        .unbroken()
}

pub static BENCHES: [StationKind; 6] = [
    StationKind::new(
        "workbench",
        "bench with a vice, for work by hand",
        [about(72.0, 60.0, 84.0), about(26.0, 22.0, 30.0)],
    )
    .flat(about(35.0, 33.0, 38.0))
    .mass(about(275.0, 150.0, 400.0))
    .noise(about(60.0, 50.0, 70.0), about(80.0, 75.0, 85.0))
    .does(&[
        KindOperation::new("mark out").piece_s(about(45.0, 30.0, 60.0).guess()),
        KindOperation::new("plane by hand")
            .setup_min(about(0.5, 0.0, 1.0))
            .piece_min(about(3.0, 1.0, 8.0).guess()),
        KindOperation::new("joinery")
            .setup_min(about(0.5, 0.0, 1.0))
            .piece_min(about(4.0, 2.0, 8.0).guess()),
        ASSEMBLE.setup_min(about(0.5, 0.0, 1.0)),
        SAND,
    ]),
    StationKind::new(
        "assembly table",
        "table that is walked around, for gluing and assembling",
        [about(72.0, 48.0, 96.0), about(39.0, 30.0, 48.0)],
    )
    .flat(about(29.0, 24.0, 34.0))
    .mass(about(190.0, 80.0, 300.0))
    .reach_from(&Side::ALL)
    .does(&[
        KindOperation::new("dry fit").lot_min(about(12.0, 8.0, 20.0)),
        GLUE_UP,
        ASSEMBLE,
    ]),
    StationKind::new(
        "out-feed table",
        "table behind a saw, level with it or up to 1/16 in lower",
        [about(64.0, 44.0, 84.0), about(45.0, 30.0, 60.0)],
    )
    .flat(about(35.0, 33.0, 36.0))
    .follows_saw()
    .mass(about(155.0, 60.0, 250.0))
    .stand(Side::PlusX, 0.0)
    .reach_from(&[Side::PlusX, Side::MinusX, Side::PlusY])
    .does(&[ASSEMBLE, GLUE_UP, SAND]),
    StationKind::new(
        "finishing bench",
        "bench for oil, varnish and other finishes",
        [about(60.0, 48.0, 72.0), about(30.0, 24.0, 36.0)],
    )
    .flat(about(33.0, 30.0, 36.0))
    .mass(about(100.0, 50.0, 150.0))
    .caution("Vapours: no flame, spark or sanding near, fresh air; oily rags catch fire by themselves, so spread them out.")
    .does(&[
        coat("oil").cure_h(about(12.0, 6.0, 24.0).published()),
        coat("varnish").cure_h(about(16.0, 8.0, 24.0).published()),
        // Waterborne.
        coat("finish").cure_h(about(4.0, 2.0, 6.0).published()),
    ]),
    StationKind::new(
        "sheet horses",
        "low horses or a panel on the floor, where sheets are broken down",
        [just(60.0), just(108.0)],
    )
    .flat(about(24.0, 18.0, 30.0))
    .mass(about(40.0, 20.0, 60.0))
    .stand(Side::PlusX, 0.0)
    .reach_from(&[Side::PlusX, Side::MinusX])
    .dust(1.5, 100.0)
    .universal_motor(about(12.0, 9.0, 15.0))
    .noise(about(92.0, 88.0, 95.0), about(98.0, 93.0, 102.0))
    .does(&[
        KindOperation::new("rip sheet")
            .setup_min(about(2.0, 1.0, 3.0))
            .piece_min(about(2.0, 1.0, 3.0))
            .cuts(&[1]),
        KindOperation::new("crosscut sheet")
            .setup_min(about(2.0, 1.0, 3.0))
            .piece_min(about(2.0, 1.0, 3.0))
            .cuts(&[0]),
    ]),
    StationKind::new(
        "sharpening station",
        "stones or a grinder, near water and light",
        [about(39.0, 30.0, 48.0), about(21.0, 18.0, 24.0)],
    )
    .table(about(38.0, 36.0, 40.0))
    .overall(about(48.0, 44.0, 52.0))
    .mass(about(70.0, 40.0, 100.0))
    .caution("Sparks stay away from dust and finishes; eyes need protection.")
    .motor(about(0.33, 0.25, 0.5), &[120], about(3.0, 1.0, 5.0))
    .noise(about(68.0, 60.0, 75.0), about(78.0, 70.0, 85.0))
    .does(&[KindOperation::new("sharpen")
        .setup_min(about(1.5, 0.5, 3.0))
        .piece_min(about(4.0, 2.0, 6.0))]),
];
