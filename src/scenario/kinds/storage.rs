//! Racks, cabinets, bins and what serves the machines: no route's operation is done there.

use super::kind::{Keeps, StationKind, about, just};
use crate::floor::Side;

pub static STORAGE: [StationKind; 8] = [
    StationKind::new(
        "lumber rack",
        "arms on a wall, boards lying along it",
        [about(120.0, 96.0, 144.0), about(20.0, 16.0, 24.0)],
    )
    .between(30.0, 84.0)
    .keeps(Keeps::Boards),
    StationKind::new(
        "upright lumber rack",
        "boards on end in bins",
        [about(60.0, 48.0, 72.0), about(24.0, 18.0, 30.0)],
    )
    .body(about(108.0, 96.0, 120.0))
    .keeps(Keeps::Boards),
    StationKind::new(
        "sheet rack",
        "sheets on their long edge, drawn out at an end",
        [about(99.0, 97.0, 102.0), about(15.0, 10.0, 20.0)],
    )
    .body(about(49.0, 48.0, 50.0))
    // Before the end rather than in its middle: the rack is narrower than a person and stands at a wall.
    .stand(Side::PlusX, -6.0)
    .keeps(Keeps::Sheets),
    StationKind::new(
        "clamp rack",
        "clamps on a wall",
        [about(57.0, 36.0, 78.0), about(11.0, 8.0, 14.0)],
    )
    .between(12.0, 84.0)
    .mass(about(250.0, 100.0, 400.0)),
    StationKind::new(
        "wall cabinet",
        "cabinet on a wall, over a bench",
        [about(36.0, 24.0, 48.0), about(12.0, 9.0, 15.0)],
    )
    .hangs(54.0, 84.0)
    .mass(about(95.0, 40.0, 150.0)),
    StationKind::new(
        "tool board",
        "tools on a wall, behind a bench",
        [about(72.0, 48.0, 96.0), about(4.5, 3.0, 6.0)],
    )
    .hangs(40.0, 80.0)
    .mass(about(65.0, 30.0, 100.0)),
    StationKind::new(
        "offcut bin",
        "bin on castors for offcuts",
        [about(20.0, 16.0, 24.0), about(20.0, 16.0, 24.0)],
    )
    .body(about(30.0, 24.0, 36.0))
    .mass(about(50.0, 20.0, 80.0)),
    StationKind::new(
        "cart",
        "cart that is rolled to the machines",
        [about(27.0, 24.0, 30.0), about(42.0, 36.0, 48.0)],
    )
    .flat(about(32.0, 30.0, 34.0))
    .mass(about(60.0, 40.0, 80.0)),
];

pub static SERVICES: [StationKind; 6] = [
    StationKind::new(
        "small dust collector",
        "dust collector of 1 to 1.5 hp, one stage",
        [just(38.0), just(22.0)],
    )
    .body(about(69.0, 60.0, 78.0))
    .mass(about(115.0, 90.0, 140.0))
    .dust(4.0, 550.0)
    .motor(about(1.25, 1.0, 1.5), &[120], about(13.0, 10.0, 16.0))
    .noise(about(82.0, 78.0, 85.0), about(83.0, 78.0, 88.0)),
    StationKind::new(
        "large dust collector",
        "dust collector of 2 to 3 hp, one stage or a cyclone",
        [about(48.0, 36.0, 60.0), about(32.0, 26.0, 38.0)],
    )
    .body(about(92.0, 75.0, 110.0))
    .mass(about(275.0, 150.0, 400.0))
    .dust(6.0, 950.0)
    .motor(about(2.5, 2.0, 3.0), &[240], about(14.0, 11.0, 17.0))
    .noise(about(80.0, 76.0, 85.0), about(83.0, 78.0, 88.0)),
    StationKind::new(
        "chip separator",
        "drum into which chips fall on their way to the filter",
        [just(24.0), just(24.0)],
    )
    .body(about(41.0, 34.0, 48.0))
    .mass(about(30.0, 20.0, 40.0)),
    StationKind::new(
        "air cleaner",
        "filter with a fan below the ceiling",
        [just(30.0), just(24.0)],
    )
    .hangs(84.0, 96.0)
    .mass(about(55.0, 40.0, 70.0))
    .motor(about(0.3, 0.2, 0.4), &[120], about(2.0, 1.0, 3.0))
    .noise(about(62.0, 55.0, 70.0), about(62.0, 55.0, 70.0)),
    StationKind::new(
        "air compressor",
        "compressor of 6 to 30 gal",
        [about(22.0, 18.0, 26.0), about(21.0, 18.0, 24.0)],
    )
    .body(about(40.0, 20.0, 60.0))
    .mass(about(155.0, 30.0, 280.0))
    .motor(about(1.5, 1.0, 2.0), &[120, 240], about(14.0, 12.0, 16.0))
    .noise(about(81.0, 70.0, 92.0), about(81.0, 70.0, 92.0)),
    StationKind::new(
        "shop vacuum",
        "vacuum cleaner with a hose",
        [just(22.0), just(22.0)],
    )
    .body(about(32.0, 24.0, 40.0))
    .mass(about(28.0, 15.0, 40.0))
    .dust(2.5, 100.0)
    .universal_motor(about(10.0, 8.0, 12.0))
    .noise(about(82.0, 75.0, 90.0), about(82.0, 75.0, 90.0)),
];
