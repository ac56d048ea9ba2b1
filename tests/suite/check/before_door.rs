//! What stands before the only door.

use super::people::used;
use super::scenes::{helped, said};

/// Nothing else keeps anybody from the only door, so that the cabinet before it is what has to go.
#[test]
fn what_stands_before_the_only_door_is_named() {
    let mut scene = used((10.0, 6.0));
    scene.door("house door", (0.0, 4.0), (0.0, 7.0));
    scene.station("cabinet", (1.0, 5.5), (2.0, 3.5));
    let finding = scene.only("way out");
    assert!(
        said(&finding).contains("no way out leads from bench"),
        "{}",
        said(&finding)
    );
    assert!(
        helped(&finding).starts_with("cabinet stands before house door: move it away"),
        "{}",
        helped(&finding)
    );
}
