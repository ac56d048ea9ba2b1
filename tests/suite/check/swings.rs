//! Nobody stands to work where the leaf of a door swings.

use shopstride::floor::FindingLevel;
use shopstride::report::check::Told;

use super::scenes::{IN, Scene, ft, helped, inches, said};

/// A door of 3 ft in the lower wall whose leaf swings in, from (5, 0) or from (8, 0) ft, and a bench at which one stands
/// at a place. At (6.5, 3.2) ft the middle of a person is sqrt(1.5² + 3.2²) - 3 = 0.534 ft from either quarter circle,
/// and half a person is 25 cm or 0.820 ft: 3.43 in too near. At (6.5, 3.6) ft it is 0.9 ft.
#[test]
fn nobody_stands_to_work_in_the_swing_of_a_door() {
    let standing = |x: f64, y: f64, (swings_in, hangs_at_first): (bool, bool)| {
        let mut scene = Scene::room(20.0, 12.0);
        scene.station("bench", (x, 8.0), (2.0, 1.0)).stand = ft(0.0, y - 8.0);
        scene.piece("rail", 0, inches(20.0, 4.0, 1.0));
        let door = scene.door("door", (5.0, 0.0), (8.0, 0.0));
        (door.swings_in, door.hangs_at_first) = (swings_in, hangs_at_first);
        let found = scene.of("standing").into_iter();
        found
            .filter(|told| told.other.as_deref() == Some("door"))
            .collect::<Vec<Told>>()
    };
    let found = standing(6.5, 3.2, (true, false));
    assert_eq!(found.len(), 1);
    let missing = found[0].missing.expect("it is measured") / IN;
    assert!((missing - 3.43).abs() < 0.15, "{missing}");
    assert_eq!(found[0].level, FindingLevel::Warning);
    assert!(
        said(&found[0]).starts_with("who stands at bench stands in the swing of door by "),
        "{}",
        said(&found[0])
    );
    assert!(
        helped(&found[0]).contains("`swings: out`"),
        "{}",
        helped(&found[0])
    );
    assert!(standing(6.5, 3.6, (true, false)).is_empty());
    assert!(
        standing(6.5, 3.2, (false, false)).is_empty(),
        "it swings out"
    );
    // Half a foot beside its opening one is met by a leaf that hangs at that end alone: nobody knows whether it does.
    assert!(standing(8.5, 2.5, (true, false)).is_empty());
    // 8.2 - 5 = 3.2 ft from hinges at the first end and 1.5 ft up are as far from the circle as before.
    let first = standing(8.2, 1.5, (true, true));
    let missing = first[0].missing.expect("it is measured") / IN;
    assert!((missing - 3.43).abs() < 0.15, "{missing}");
}
