//! What racks, walls and floors carry, against worked cases.

use shopstride::services::storage::{
    FLOOR_DESIGNED_FOR, RackLevel, WallLengths, floor_load, sheets_on_edge,
};
use shopstride::units::customary::{BOARD_FOOT, FOOT, INCH, POUND, SQUARE_FOOT};

use super::case::{Case, number};

pub fn rack(case: &Case) {
    let level = RackLevel {
        arm: case.number("arm_in") * INCH,
        stack: case.number("stack_in") * INCH,
        length: case.number("length_in") * INCH,
        arms: case.number("arms") as u32,
    };
    assert_eq!(case.number("fill"), 0.8);
    let found = level.load(case.number("lb_per_bf") * POUND / BOARD_FOOT, false);
    case.near("bf", found.wood / BOARD_FOOT);
    case.near("lb", found.mass / POUND);
    case.near("lb_per_arm_mean", found.on_mean_arm / POUND);
    case.near("middle_arm_lb", found.on_middle_arm / POUND);
    case.near("moment_middle_in_lb", found.moment / (POUND * INCH));
}

/// The floor carries the sheets on a footprint as deep as the rack and 8 ft long.
pub fn sheets(case: &Case) {
    let depth = case.number("depth_in") * INCH;
    let found = sheets_on_edge(
        depth,
        case.number("slot_waste_in") * INCH,
        case.number("thickness_in") * INCH,
        case.number("gap_in") * INCH,
    );
    let mass = f64::from(found) * case.number("lb") * POUND;
    case.near("sheets", f64::from(found));
    case.near("lb", mass / POUND);
    let area = depth * 8.0 * FOOT;
    case.near("psf", floor_load(mass, area) / (POUND / SQUARE_FOOT));
}

pub fn floor(case: &Case) {
    let mass = case.number("bf") * case.number("lb_per_bf") * POUND;
    let sides = case.numbers("footprint_ft");
    let found = floor_load(mass, sides[0] * sides[1] * SQUARE_FOOT);
    case.near("lb", mass / POUND);
    case.near("psf", found / (POUND / SQUARE_FOOT));
    let is_over = case.expected("over_40psf").as_bool();
    case.same("over", Some(found > FLOOR_DESIGNED_FOR), is_over);
}

pub fn walls(case: &Case) {
    let feet = |key: &str| number(case.input(key)) * FOOT;
    let walls = WallLengths {
        perimeter: feet("perimeter_ft"),
        openings: feet("overhead_ft") + feet("door_ft") + feet("panel_ft"),
        windows: feet("window_ft"),
        corners: feet("corner_loss_ft_each") * case.number("corners_used"),
    };
    case.near("tall_wall_ft", walls.tall() / FOOT);
    case.near("low_wall_ft", walls.low() / FOOT);
}

/// A board over three supports that carries the same everywhere leaves 5/8 to the middle one, and two boards that meet
/// there a half: three-moment equation, from memory.
#[test]
fn the_middle_arm_carries_most() {
    let level = |arms| RackLevel {
        arm: 0.4,
        stack: 0.2,
        length: 2.4,
        arms,
    };
    let share = |arms, is_cut_short| {
        let load = level(arms).load(600.0, is_cut_short);
        load.on_middle_arm / load.mass
    };
    assert!((share(3, false) - 0.625).abs() < 1e-12);
    assert!((share(3, true) - 0.5).abs() < 1e-12);
    assert!((share(4, false) - 0.25).abs() < 1e-12);
    assert_eq!(sheets_on_edge(0.02, 0.05, 0.018, 0.004), 0);
}
