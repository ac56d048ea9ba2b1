//! What is found for many places at once, against what is found for each pair of them alone, to the last bit.

use std::f64::consts::FRAC_PI_2;

use proptest::prelude::*;
use shopstride::floor::Point;

use super::pairs;
use super::scenes::{Scene, polygon, scene};
use crate::support::drawn;

fn is_equal_to_each_pair(scene: &Scene) -> Result<(), TestCaseError> {
    let ground = scene.ground();
    let places = &scene.places;
    let all = ground.all_pairs(places);
    let sets = scene.ground().components(places);
    prop_assert_eq!(&sets, &ground.components(places), "with and without lines");
    for (i, j) in pairs(places.len()) {
        let path = ground.path(places[i], places[j]);
        prop_assert_eq!(sets[i].is_some() && sets[i] == sets[j], path.is_some());
        prop_assert_eq!(&all.path(i, j), &path);
        prop_assert_eq!(all.length(i, j), path.map(|path| path.length));
    }
    Ok(())
}

/// The first place lies on the tangent of two corners, so that one can walk by the nearer corner or past it: two ways
/// of the same length, but for the last digit, which is another one at the other places to which both lead.
#[test]
fn of_ways_that_differ_by_a_rounding_the_same_is_found_for_many_places_and_for_two() {
    let bench = polygon(&[
        (4.25, 2.0),
        (4.5, 2.0),
        (4.5, 2.125),
        (4.375, 2.125),
        (4.375, 2.25),
        (4.25, 2.25),
    ]);
    let scene = Scene {
        room: None,
        obstacles: vec![bench],
        radius: 0.5,
        places: vec![
            Point::new(4.25, 1.5),
            Point::new(0.0, 0.0),
            Point::new(6.881580106533243, 2.653831249347038),
            Point::new(5.30563113158169, 4.523186195260726),
        ],
    };
    is_equal_to_each_pair(&scene).expect("the same ways");
    // Along the bench, around its corner and on by the tangent.
    let (corner, to) = (Point::new(4.5, 2.0), scene.places[3]);
    let (away, ahead) = (corner.distance(to), to - corner);
    let turn = ahead.y.atan2(ahead.x) - (0.5 / away).acos() + FRAC_PI_2;
    let expected = 0.25 + 0.5 * turn + (away * away - 0.25).sqrt();
    let length = scene.ground().path(scene.places[0], to);
    let length = length.expect("there is a way").length;
    assert!((length - expected).abs() < 1e-12, "{length} {expected}");
}

proptest! {
    #![proptest_config(drawn(2000))]

    #[test]
    fn what_is_found_for_many_places_is_what_is_found_for_each_pair(scene in scene()) {
        is_equal_to_each_pair(&scene)?;
        let (ground, places) = (scene.ground(), &scene.places);
        let all = ground.all_pairs(places);
        let (from, to) = places.split_at(2);
        let lengths = pairs(places.len()).filter(|&(i, j)| i < 2 && j >= 2);
        let least = lengths.filter_map(|(i, j)| all.length(i, j)).min_by(f64::total_cmp);
        let shortest = ground.shortest(from, to);
        prop_assert_eq!(shortest.is_some(), least.is_some());
        if let (Some(([i, j], path)), Some(least)) = (shortest, least) {
            prop_assert!((path.from, path.to) == (from[i], to[j]));
            prop_assert!((path.length - least).abs() <= 1e-9 * least, "{} {}", path.length, least);
        }
    }
}
