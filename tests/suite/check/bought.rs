//! What parts are cut from, what nobody orders, and limits that pass as they are written.

use shopstride::floor::FindingLevel;
use shopstride::floor::access::{corner_longest, corner_spare, leaned};
use shopstride::floor::{AccessRoute, Side};
use shopstride::shop::{ItemId, ItemKind, OrderLine, ProjectId, Size, Table};
use shopstride::units::Mass;

use super::scenes::{IN, Scene, helped, inches, said};

/// A room whose only way in leads around a corner of two corridors of 36 in.
fn cellar() -> Scene {
    let mut scene = Scene::room(20.0, 12.0);
    scene.station("bench", (10.0, 6.0), (4.0, 2.0));
    scene.door("door", (0.0, 3.0), (0.0, 9.0));
    scene.the_room().ways.push(AccessRoute {
        name: String::from("cellar"),
        door: 0,
        corners: vec![(36.0 * IN, 36.0 * IN)],
        stair: None,
    });
    scene
}

/// A part of 40 by 4 by 1 in that is cut from something larger, and weighs as beech does.
fn cut_from(scene: &mut Scene, name: &str, stock: Size) {
    let rough = inches(40.0, 4.0, 1.0);
    let part = scene.piece(name, 0, stock);
    part.rough = Some(rough);
    part.mass = Some(Mass::from_kilograms(rough.volume() * 650.0));
}

/// 144 by 8 by 1 in: the corner lets 2 sqrt(2) 36 - 2 = 99.823 in pass (section B7 of the practice notes).
#[test]
fn what_a_part_is_cut_from_must_come_in() {
    let mut scene = cellar();
    cut_from(&mut scene, "rail", inches(144.0, 8.0, 1.0));
    cut_from(&mut scene, "stile", inches(144.0, 8.0, 1.0));
    let finding = scene.lacks(
        "access",
        FindingLevel::Fault,
        144.0 - (2.0 * 2.0_f64.sqrt() * 36.0 - 2.0),
    );
    assert_eq!(finding.subject, "the stock of rail, stile");
    let mut scene = cellar();
    cut_from(&mut scene, "rail", inches(96.0, 8.0, 1.0));
    assert!(scene.of("access").is_empty());
}

/// A sheet of 96 by 48 by 1.5 in weighs 0.11327 m3 x 650 kg/m3 = 73.6 kg.
#[test]
fn what_a_part_is_cut_from_must_be_lifted() {
    let mut scene = cellar();
    cut_from(&mut scene, "rail", inches(96.0, 48.0, 1.5));
    let finding = scene.only("lifting");
    let mass = finding.value("mass_kg").expect("given");
    assert!((mass - 73.62).abs() < 0.02, "{mass}");
    assert_eq!(finding.level, FindingLevel::Warning);
    assert!(
        said(&finding).contains("30.7 kg at most is advised for two people"),
        "{}",
        said(&finding)
    );
}

/// Two rails of 30 kg rough that lose a third are 40 kg together.
#[test]
fn an_assembly_weighs_what_its_finished_parts_weigh() {
    let weighed = |planed: bool| {
        let mut scene = cellar();
        let rail = scene.piece("rail", 0, inches(60.0, 10.0, 3.0));
        rail.pieces = 2;
        rail.mass = Some(Mass::from_kilograms(30.0));
        rail.rough = Some(inches(60.0, 10.0, 3.0));
        rail.finished = planed.then_some(inches(60.0, 10.0, 2.0));
        rail.goes_into = Some(ItemId(1));
        let whole = scene.piece("frame", 0, inches(60.0, 20.0, 3.0));
        whole.kind = ItemKind::Assembly {
            made_of: vec![ItemId(0)],
        };
        whole.mass = Some(Mass::from_kilograms(60.0));
        let findings = scene.of("lifting");
        let frame = findings
            .into_iter()
            .find(|finding| finding.subject == "frame");
        frame.expect("it is heavy")
    };
    let mass = |planed| weighed(planed).value("mass_kg").expect("given");
    assert!((mass(true) - 40.0).abs() < 1e-9, "{}", mass(true));
    assert!(!said(&weighed(true)).contains("about"));
    assert!((mass(false) - 60.0).abs() < 1e-9, "{}", mass(false));
    assert!(said(&weighed(false)).contains("about 60.0 kg, from sizes before planing"));
}

/// A project that nobody orders sends nothing through the saw.
#[test]
fn only_what_is_ordered_is_fed_brought_and_lifted() {
    let mut scene = Scene::room(20.0, 12.0);
    scene.feed("saw", (11.0, 6.0), (3.0, 3.0), Side::PlusX);
    let board = inches(144.0, 6.0, 1.0);
    scene.piece("rail", 0, board).mass = Some(Mass::from_kilograms(50.0));
    assert_eq!(scene.of("feed").len(), 1);
    assert_eq!(scene.of("lifting").len(), 1);
    scene.shop.orders = Table::<_, OrderLine>::new();
    assert!(scene.of("feed").is_empty());
    assert!(scene.of("lifting").is_empty());
    assert_eq!(scene.shop.projects[ProjectId(0)].items.len(), 1);
}

/// What the inverse gives passes with nothing to spare; the corners and pieces are those of section B7.
#[test]
fn the_longest_piece_around_a_corner_is_where_nothing_is_left() {
    for (a, b, thickness, expected) in [
        (36.0, 36.0, 1.0, 99.823),
        (36.0, 36.0, 18.75, 64.323),
        (36.0, 36.0, 4.0, 93.823),
        // Thicker than the one corridor: only straight on, as far as the other is wide.
        (48.0, 36.0, 40.0, 36.0),
    ] {
        let longest = corner_longest(a, b, thickness).expect("some pass");
        assert!((longest - expected).abs() < 1e-3, "{longest}");
        if longest > thickness {
            assert!(corner_spare(a, b, longest, thickness).abs() < 1e-9);
        }
    }
    assert_eq!(corner_longest(36.0, 36.0, 37.0), None);
}

/// 96 by 48 in under 96 in: level it is 96 in long in plan, and up to the angle at which it touches, longer.
#[test]
fn a_sheet_that_no_lean_shortens_is_not_tipped_up() {
    assert_eq!(leaned(96.0, 48.0, 96.0), None);
    let mut scene = cellar();
    scene.the_room().ceiling = Some(96.0 * IN);
    scene.stock("sheet", inches(96.0, 48.0, 0.75), None);
    let finding = scene.only("access");
    assert_eq!(finding.level, FindingLevel::Warning);
    let text = said(&finding);
    assert!(
        text.contains("only pushed around the corner") && !text.contains("tipped"),
        "{text}"
    );
    assert!(text.contains("of length to spare"), "{text}");
    assert!(
        helped(&finding).contains("up to 5.4 ft long it passes"),
        "{}",
        helped(&finding)
    );
}
