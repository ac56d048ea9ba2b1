//! How many sheets and boards a cut list takes, by hand; how parts are joined, and what no route uses.

use shopstride::experiment::Units;
use shopstride::scenario::new_shop::{
    CutPiece, CutProject, ListUnits, NewShop, Packing, lay_out, packed, read_cut_list,
};

use super::{loaded, wish};

const KERF: f64 = 0.125;

fn piece(along: f64, across: f64, count: u32) -> CutPiece {
    CutPiece {
        along,
        across,
        count,
    }
}

fn sheets(pieces: &[CutPiece]) -> Packing {
    packed((96.0, 48.0), KERF, pieces).expect("each fits a sheet")
}

/// A bookcase of two sides and five shelves, all 11 in wide: 60 + 1/8 + 30 = 90-1/8 in of two strips of a sheet, and
/// three times 30 and two cuts = 90-1/4 in of a third one; 3 × 11 and two cuts are 33-1/4 in of 48. By area it is
/// 11 × (2 × 60 + 5 × 30) = 2970 of 4608 square inches.
#[test]
fn a_bookcase_of_strips_comes_from_one_sheet() {
    let packing = sheets(&[piece(60.0, 11.0, 2), piece(30.0, 11.0, 5)]);
    let one = Packing {
        least: 1,
        stock: 1,
        strips: 3,
    };
    assert_eq!(packing, one);
}

/// Four strips of 12 in are 48 in of wood and three cuts: without a kerf one sheet would do.
#[test]
fn cuts_take_wood() {
    let strips = [piece(96.0, 12.0, 4)];
    assert_eq!(sheets(&strips).stock, 2);
    let without = packed((96.0, 48.0), 0.0, &strips).expect("they fit");
    assert_eq!((without.least, without.stock), (1, 1));
    // Three of 32 in and two cuts are longer than 96 in as well; of 31-7/8 in they are 95-7/8 in long.
    assert_eq!(sheets(&[piece(32.0, 24.0, 3)]).strips, 2);
    assert_eq!(sheets(&[piece(31.875, 24.0, 3)]).strips, 1);
}

/// Two of 30 by 60 in find no place on one sheet, though by area they would be 3600 of 4608 square inches: 30 + 30 is
/// more than 48, and 60 + 60 more than 96.
#[test]
fn area_alone_promises_too_much() {
    let two = sheets(&[piece(60.0, 30.0, 2)]);
    assert_eq!((two.least, two.stock, two.strips), (1, 2, 2));
}

/// The wide ones first: 24 in leaves 23-7/8 in beside it, where two strips of 11 in and a cut are 22-1/8 in. What is
/// narrower goes into what is left of a strip: 96 - 90 - 1/8 in is 5-7/8 in long.
#[test]
fn narrow_pieces_fill_up_strips_of_wide_ones() {
    let packing = sheets(&[
        piece(5.875, 5.0, 3),
        piece(90.0, 11.0, 2),
        piece(90.0, 24.0, 1),
    ]);
    let one = Packing {
        least: 1,
        stock: 1,
        strips: 3,
    };
    assert_eq!(packing, one);
}

#[test]
fn what_is_larger_than_a_sheet_has_no_packing() {
    assert_eq!(packed((96.0, 48.0), KERF, &[piece(97.0, 10.0, 1)]), None);
    assert_eq!(packed((96.0, 48.0), KERF, &[piece(50.0, 49.0, 1)]), None);
    let whole = sheets(&[piece(96.0, 48.0, 7)]);
    assert_eq!((whole.least, whole.stock, whole.strips), (7, 7, 7));
}

/// Between the area and a sheet for each piece, whatever the sizes; and never fewer when there is more to cut.
#[test]
fn a_packing_lies_between_the_area_and_one_sheet_each() {
    let mut state = 7_u64;
    let mut next = |most: u64| {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        ((state >> 33) % most + 1) as f64
    };
    for _ in 0..300 {
        let pieces: Vec<CutPiece> = (0..4)
            .map(|_| piece(next(96), next(48), next(9) as u32))
            .collect();
        let packing = sheets(&pieces);
        let count: u32 = pieces.iter().map(|piece| piece.count).sum();
        assert!(packing.least <= packing.stock, "{pieces:?}: {packing:?}");
        assert!(packing.stock <= packing.strips && packing.strips <= count);
        let cut: f64 = pieces
            .iter()
            .map(|piece| piece.along * piece.across * f64::from(piece.count))
            .sum();
        assert!(f64::from(packing.stock) * 96.0 * 48.0 >= cut);
    }
}

fn list(name: &str, rows: &str) -> CutProject {
    let text = format!("part,qty,length,width,thickness,material\n{rows}");
    read_cut_list(name, text.as_bytes(), ListUnits::all(Units::Imperial))
        .unwrap_or_else(|problems| panic!("{problems}"))
}

/// What a project of boards and sheets needs, and no more: how it is laid out does not matter here.
const FEW: &str =
    "lumber rack, sheet rack, miter saw, table saw, jointer, planer, drill press, workbench";

fn built(with: &str, projects: Vec<CutProject>) -> NewShop {
    let mut wish = wish(
        "24 ft x 24 ft",
        &["3 ft in the right wall, 3 ft from the back"],
        with,
        "side table",
    );
    wish.projects = projects;
    let shop = lay_out(&wish).expect("it is laid out");
    loaded(&shop);
    shop
}

fn has(shop: &NewShop, lines: &[&str]) {
    for line in lines {
        assert!(shop.text.contains(line), "{line} in\n{}", shop.text);
    }
}

fn says(shop: &NewShop, what: &str) -> bool {
    shop.said.iter().any(|said| said.contains(what))
}

/// Rough, an apron is 41-1/2 by 4-3/8 in, so that a board of 7 in takes one beside the other never, and one of 8 ft two
/// of them with a cut: 83-1/8 in. It is wider than a jointer of 6 in, so that it is ripped first. Legs are 29-1/2 by 2-1/8 in:
/// three abreast are 6-5/8 in with two cuts, the fourth one is another crosscut of the same board.
#[test]
fn boards_follow_from_rough_sizes() {
    let table = list(
        "table.csv",
        "leg,4,28,1 3/4,1 3/4,oak\napron,4,40,4,3/4,oak\n",
    );
    let shop = built(FEW, vec![table]);
    has(
        &shop,
        &[
            "oak board 2 in: {pieces: 1, stock: [96 in, 7 in, 2 in], route: [crosscut, crosscut]} # 1 board by this packing, at least 1 by area; 2 crosscuts each",
            "oak board 1 in: {pieces: 2, stock: [96 in, 7 in, 1 in], route: [crosscut, crosscut]}",
            "leg: {pieces: 4, cut from: oak board 2 in, finished: [28 in, 1-3/4 in, 1-3/4 in], route: [{op: rip, cuts: []}, joint, plane, rip, crosscut, bore]}",
            "apron: {pieces: 4, cut from: oak board 1 in, finished: [40 in, 4 in, 3/4 in], route: [{op: rip, cuts: []}, joint, plane, rip, crosscut, tenon]}",
            "joints are guessed from names, by common practice: leg bore, apron tenon",
        ],
    );
    assert!(
        says(&shop, "2 boards of 8 ft × 7 in × 1 in for oak board 1 in"),
        "{:?}",
        shop.said
    );
}

/// Of the box, both sides of 10 in lie in the strip of 16 in of its lid: 20 + 20 + 20 in and two cuts.
#[test]
fn each_list_is_a_project_and_sheets_are_bought_by_thickness() {
    let case = list(
        "book-case.csv",
        "side,2,60,11,3/4,birch ply\nshelf,5,30,11,3/4,Birch Ply\nback,1,60,31,1/4,birch ply\n",
    );
    let box_ = list(
        "box.csv",
        "side,2,20,10,1/2,birch ply\nlid,1,20,16,1/2,birch ply\n",
    );
    let with = format!("{FEW}, sheet horses, finishing bench");
    let shop = built(&with, vec![case, box_]);
    has(
        &shop,
        &[
            "  book case:\n",
            "\"birch ply 3/4 in\": {pieces: 1, stock: [96 in, 48 in, 3/4 in], route: [rip sheet, rip sheet, rip sheet]}",
            "\"birch ply 1/4 in\": {pieces: 1, stock: [96 in, 48 in, 1/4 in], route: [rip sheet]}",
            "  box:\n",
            "birch ply: {pieces: 1, stock: [96 in, 48 in, 1/2 in], route: [rip sheet]}",
            "orders: [{project: book case}, {project: box}]",
        ],
    );
}

/// A sheet of 3/4 in is heavier than one person lifts.
#[test]
fn a_whole_sheet_is_told_to_be_heavy() {
    let shop = built(FEW, vec![list("a.csv", "side,2,60,11,3/4,birch ply\n")]);
    assert!(
        says(
            &shop,
            "Lengths without a unit in the cut list of a are read as inches; others need"
        ),
        "{:?}",
        shop.said
    );
    let study = loaded(&shop);
    let heavy = super::findings(&study).iter().all(|findings| {
        findings
            .iter()
            .any(|finding| finding.rule.name() == "lifting")
    });
    assert!(heavy, "{}", shop.text);
}

#[test]
fn machines_of_no_use_and_routes_without_joinery_are_told() {
    let with = format!("{FEW}, sheet horses, band saw, router table, finishing bench");
    let shop = built(&with, vec![list("a.csv", "thing,2,30,3,3/4,oak\n")]);
    assert!(says(
        &shop,
        "No route uses drill press, sheet horses, router table"
    ));
    assert!(says(&shop, "No joinery is in the routes of a"));
    has(
        &shop,
        &[
            "drill press: {kind: drill press} # no route uses it yet",
            "  a: # the routes have no joinery",
        ],
    );
    // A part that has a usual joint which nothing makes is among what is missing.
    let bare = built(
        "lumber rack, miter saw",
        vec![list("a.csv", "leg,4,30,2,2,oak\n")],
    );
    assert!(says(&bare, "or mortise"), "{:?}", bare.said);
}

/// Rails of 2-7/8 in rough lie two abreast in a board of 7 in, and one of 5-3/4 in alone: both are ripped before a jointer
/// of 6 in, the first before one of 8 in as well, and neither where no board is jointed. A rough edge runs on the band saw
/// where there is one.
#[test]
fn blanks_are_ripped_before_the_jointer_takes_them() {
    let two = "rail,2,30,2 1/2,3/4,oak\n";
    let one = "rail,2,30,5 3/8,3/4,oak\n";
    let shop = |jointer: &str, row: &str, saw: &str| {
        let with = format!("lumber rack, miter saw, table saw, {jointer}planer, workbench{saw}");
        built(&with, vec![list("a.csv", row)])
    };
    for (jointer, row, first) in [
        ("jointer 6 in, ", two, "{op: rip, cuts: []}, joint"),
        ("jointer 6 in, ", one, "{op: rip, cuts: []}, joint"),
        ("jointer 8 in, ", two, "{op: rip, cuts: []}, joint"),
        ("jointer 8 in, ", one, "joint"),
        ("", two, "plane"),
    ] {
        has(&shop(jointer, row, ""), &[&format!("route: [{first}, ")]);
    }
    let on_band_saw = shop("jointer 6 in, ", two, ", band saw");
    has(
        &on_band_saw,
        &[
            "route: [{op: bandsaw, cuts: []}, joint, plane, rip, crosscut]",
            "blanks are ripped before the jointer, on the band saw, for their edges are rough",
            "no tenons on rail: no leg, post, stile or solid side takes them",
        ],
    );
}

/// Nobody feeds 81 lb alone over a saw with nothing behind it (layout practice: 70 to 97 lb a sheet of 3/4 in).
#[test]
fn whole_sheets_are_broken_down_before_the_saw() {
    let plywood = || vec![list("a.csv", "side,2,60,11,3/4,birch ply\n")];
    let alone = built(FEW, plywood());
    has(
        &alone,
        &[
            "sheet horses: {kind: sheet horses, size: [0, 0]} # a guess: a whole sheet is too much for one person",
            "route: [rip sheet, rip sheet]}",
            "route: [crosscut sheet, dado]}",
        ],
    );
    assert!(says(&alone, "Added sheet horses"), "{:?}", alone.said);
    let with_table = built(&format!("{FEW}, out-feed table"), plywood());
    assert!(
        !with_table.text.contains("sheet horses:"),
        "{}",
        with_table.text
    );
    has(
        &with_table,
        &["whole sheets are fed through the table saw, with somebody to help"],
    );
    let of_boards = built(FEW, vec![list("a.csv", "leg,4,28,1 3/4,1 3/4,oak\n")]);
    assert!(
        !of_boards.text.contains("sheet horses"),
        "{}",
        of_boards.text
    );
}

/// A shelf stands across a side: its dado is as long as that is wide, 11 in. A long side goes over the open saw, a short one
/// past the fence of the router table, in two passes at 8 ft/min over the rough width of 11-3/8 in.
#[test]
fn a_dado_runs_across() {
    let with = format!("{FEW}, router table");
    let side = |length: u32| list("a.csv", &format!("side,2,{length},11,3/4,birch ply\n"));
    let long = built(&with, vec![side(60)]);
    has(
        &long,
        &["route: [crosscut sheet, {op: dado, on: table saw}]"],
    );
    let short = built(&with, vec![side(18)]);
    has(
        &short,
        &["route: [crosscut sheet, {op: dado, on: router table}]"],
    );
    let study = loaded(&short);
    let played = &study.candidates[0].shop;
    let dado = played
        .ordered_work()
        .map(|(_, work)| work)
        .find(|work| played.operations[work.operation] == *"dado")
        .expect("sides have dados");
    let seconds = 2.0 * 11.375 / 12.0 / 8.0 * 60.0;
    assert!((dado.by_size - seconds).abs() < 1e-6, "{} s", dado.by_size);
}
