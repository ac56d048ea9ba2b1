//! What is left of the walls, band by band.

use shopstride::floor::{HeightRange, WallUse, wall_uses};

use super::scenes::{FT, IN, Scene, ft};

/// A room of 20 by 12 ft with a door 3 ft wide in the lower wall, a bench of 6 ft in the middle of the upper one and a
/// cabinet of 3 ft above that.
fn scene() -> Scene {
    let mut scene = Scene::room(20.0, 12.0);
    scene.door("door", (4.0, 0.0), (7.0, 0.0));
    let heights = |bottom: f64, top: f64| HeightRange {
        bottom: bottom * IN,
        top: top * IN,
    };
    scene.station("bench", (10.0, 11.0), (6.0, 2.0)).heights = heights(0.0, 35.0);
    let cabinet = scene.station("cabinet", (10.0, 11.5), (3.0, 1.0));
    (cabinet.heights, cabinet.stand) = (heights(54.0, 84.0), ft(0.0, -2.5));
    scene
}

/// Used and the longest free stretch of each band in feet: up to 34, 54 and 84 in, and above.
fn feet(wall: &WallUse) -> Vec<(f64, f64)> {
    let round = |metres: f64| (metres / FT * 1000.0).round() / 1000.0;
    let bands = wall.bands.iter();
    bands
        .map(|band| {
            assert!((band.used + band.free - wall.length()).abs() < 1e-9);
            (round(band.used), round(band.longest))
        })
        .collect()
}

#[test]
fn what_stands_and_hangs_at_a_wall_is_taken_off_in_its_bands() {
    let scene = scene();
    let walls = wall_uses(&scene.plan, &scene.limits);
    let [lower, right, upper, left] = &walls[..] else {
        panic!("{walls:?}")
    };
    // A bench of 35 in is hardly in the way of a tool board.
    assert_eq!(
        feet(upper),
        [(6.0, 7.0), (0.0, 20.0), (3.0, 8.5), (0.0, 20.0)]
    );
    // A door without a height is as high as people need.
    assert_eq!(
        feet(lower),
        [(3.0, 13.0), (3.0, 13.0), (3.0, 13.0), (0.0, 20.0)]
    );
    for wall in [right, left] {
        assert_eq!(feet(wall), [(0.0, 12.0); 4]);
    }
    assert!(upper.outward().y > 0.999 && right.outward().x > 0.999);
}

#[test]
fn what_is_a_foot_off_the_wall_leaves_it_free() {
    let mut scene = scene();
    let bench = scene.plan.placements[shopstride::shop::StationId(0)].as_mut();
    bench.expect("placed").at = ft(10.0, 9.95);
    let walls = wall_uses(&scene.plan, &scene.limits);
    assert_eq!(feet(&walls[2])[0], (0.0, 20.0));
}

/// NEC 110.26(A): 30 in wide, 78 in high.
#[test]
fn a_panel_keeps_its_wall() {
    let mut scene = Scene::room(20.0, 12.0);
    scene.panel(
        "panel",
        (20.0, 6.0),
        shopstride::floor::Point::new(-1.0, 0.0),
    );
    scene.the_room().ceiling = Some(8.0 * FT);
    let walls = wall_uses(&scene.plan, &scene.limits);
    let right = feet(&walls[1]);
    assert_eq!(right, [(2.5, 4.75), (2.5, 4.75), (2.5, 4.75), (0.0, 12.0)]);
    assert_eq!(walls[1].bands[3].top, Some(8.0 * FT));
}
