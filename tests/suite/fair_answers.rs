//! What an answer must not suggest: shares of hardly any orders, help that stands in the table as something else, ways
//! that are never spoken of, and moves that are larger than they need be.

use crate::first_minute::{line, said};

const QUICK: [&str; 3] = ["bottleneck", "--quiet", "--details"];

/// A shop in which a box takes 30 min of work at the saw and 30 at the bench, `far` metres apart, by one person at 1 m/s.
fn shop(far: &str, run: &str, orders: &str) -> String {
    format!(
        "title: Boxes
stations:
  saw: {{does: {{cut: {{per lot: 30 min}}}}}}
  bench: {{does: {{glue: {{per lot: 30 min}}}}}}
handling: {{walking speed: 1 m/s, loaded speed: 1 m/s, pick up: 0, put down: 0}}
projects: {{box: {{pieces: 1, material at: saw, route: [cut, glue]}}}}
orders: [{{{orders}}}]
layouts: {{shop: {{distances: {{saw: {{bench: {far}}}}}}}}}
run: {{{run}}}
"
    )
}

/// One box is always in progress. One is done after 60 min and one after 120; at half the time for cutting after 45, 90
/// and 135 min.
#[test]
fn more_orders_are_counted_where_there_are_hardly_any() {
    let shop = shop("0", "until: 140 min", "project: box, in progress: 1");
    let run = said(&["run", "--quiet"], &shop);
    let help = line(&run, "Would help").expect("something helps");
    assert!(help.contains("finishes 3 orders instead of 2."), "{help}");
    let most = said(&QUICK, &shop);
    assert!(most.contains("(3 orders instead of 2)"), "{most}");
    let short = said(&["bottleneck", "--quiet"], &shop);
    let table = short.split("throughput").last().expect("a table");
    let rows = table.split("more changes").next().expect("rows");
    assert!(
        rows.contains("half the time") && !rows.contains("50 %"),
        "{rows}"
    );
    // Ten are enough to speak of shares: 20 h for 20 boxes.
    let long = shop.replace("140 min", "20 h");
    let help = said(&["run", "--quiet"], &long);
    let help = line(&help, "Would help").expect("something helps");
    assert!(help.contains(" % more orders."), "{help}");
}

#[test]
fn a_table_without_rows_is_a_sentence() {
    let nothing = shop("0", "until: 20 min", "project: box");
    let text = said(&["bottleneck", "--quiet"], &nothing);
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("No order is finished, so there is nothing to compare changes by."),
        "{text}"
    );
    assert!(!text.contains("───"), "{text}");
    // A shop in which somebody has something to gain has its table.
    let some = shop("0", "until: done", "project: box");
    assert!(said(&["bottleneck", "--quiet"], &some).contains("───"));
}

/// A box is carried 600 m at 1 m/s, which is 10 min of 70.
#[test]
fn ways_are_spoken_of_where_they_are_long() {
    let help = |far: &str| {
        let run = said(
            &["run", "--quiet"],
            &shop(far, "until: done", "project: box"),
        );
        line(&run, "Would help").expect("something helps")
    };
    let long = help("600 m");
    assert!(
        long.ends_with(
            "Shorter ways can bring at most 10 min from start to finish, which is what no walking at all would."
        ),
        "{long}"
    );
    // 2 min of 62 are less than 5 %.
    let short = help("120 m");
    assert!(!short.contains("ways"), "{short}");
}

#[test]
fn one_more_person_is_not_a_helper_who_can_do_less() {
    let shop = "title: Two benches
stations:
  saw: {count: 2, does: {cut: {per lot: 30 min}}}
  bench: {count: 2, does: {sand: {per lot: 10 min}}}
projects: {box: {pieces: 1, material at: saw, route: [cut, sand]}}
orders: [{project: box, count: 6}]
layouts: {alone: {distances: {saw: {bench: 2 m}}}}
candidates: {helper: {layout: alone, change: {crew: {maker: {}, helper: {can: [sand]}}}}}
";
    let run = said(&["run", "--quiet"], shop);
    let help = line(&run, "Would help").expect("something helps");
    assert!(
        help.starts_with("One more person who can do all that you do saves "),
        "{help}"
    );
    let compare = said(&["compare", "--quiet", "--no-charts"], shop);
    let row = |begins: &str| {
        let row = compare
            .lines()
            .find(|row| row.trim_start().starts_with(begins));
        row.unwrap_or_else(|| panic!("{begins}: {compare}"))
            .to_owned()
    };
    // Who is alone in the shop is the reader; with a helper people are called by their names.
    assert!(row("alone ").contains(" you "), "{compare}");
    assert!(row("helper ").contains(" maker "), "{compare}");
}

/// The bench stands 10 cm into the wall. "turned round" puts it out of the way with shorter ways and moves it by 1.5 m;
/// "nudged" moves it by 20 cm.
fn three_layouts(nudged: &str) -> String {
    format!(
        "title: A bench in the wall
room: {{size: [6 m, 6 m], doors: [{{name: door, between: [[0, 4 m], [0, 5 m]]}}]}}
stations:
  rack: {{size: [1 m, 40 cm]}}
  bench: {{size: [1.5 m, 60 cm], does: {{saw: {{per lot: 30 min}}}}}}
projects: {{box: {{pieces: 1, material at: rack, route: [saw], deliver to: rack}}}}
orders: [{{project: box}}]
layouts:
  as it is: {{at: {{rack: [1.5 m, 2 m], bench: [4 m, 5.8 m]}}}}
  turned round: {{at: {{rack: [1.5 m, 2 m], bench: [3.1 m, 2.5 m]}}}}
  nudged: {{at: {{rack: [1.5 m, 2 m], bench: [4 m, {nudged}]}}}}
run: {{replications: 1}}
"
    )
}

#[test]
fn a_small_move_that_mends_as_much_is_named() {
    let worth = |nudged: &str| {
        let text = said(
            &["compare", "--quiet", "--no-charts"],
            &three_layouts(nudged),
        );
        line(&text, "Worth it?").expect("an answer")
    };
    let named = worth("5.6 m");
    assert!(named.contains("\"turned round\" saves"), "{named}");
    assert!(
        named.contains(
            "\"nudged\" mends as many faults and moves nothing by more than 20 cm, with "
        ),
        "{named}"
    );
    // One that moves as far, or that leaves the fault, is not.
    for not in ["3 m", "5.75 m"] {
        let worth = worth(not);
        assert!(!worth.contains("mends as many"), "{not}: {worth}");
    }
}

/// A saw in the middle of 20 ft, with room to stand of 30 in: 7 ft 6 in before the cutter. The router table stands in a
/// corner, 18 in from its middle to the wall behind whoever feeds it.
const CUT_FROM_8_FT: &str = "title: Boxes
show: imperial
room: {size: [20 ft, 12 ft]}
stations:
  rack: {size: [1 ft, 1 ft]}
  chop saw: {size: [2 ft, 2 ft], does: {crosscut: {per piece: 1 min, cuts: length}}}
  saw: {size: [3 ft, 3 ft], feed toward: +x, kickback: true, does: {rip: {per piece: 1 min}}}
  router table: {size: [2 ft, 2 ft], feed toward: +x, kickback: true, does: {rout: {per piece: 1 min}}}
projects:
  box:
    parts:
      side: {pieces: 1, stock: [96 in, 6 in, 1 in], finished: [20 in, 5 in, 3/4 in], material at: rack, route: [crosscut, rip]}
      knob: {pieces: 1, material at: rack, route: [rout]}
    assemblies: {box: {made of: [side, knob], route: [crosscut]}}
orders: [{project: box}]
layouts:
  shop:
    at: {rack: [19 ft, 11 ft], chop saw: [15 ft, 10 ft], saw: [10 ft, 5 ft], router table: [18 in, 10 ft]}
";

/// It fits, since every piece of which a size is known is cut before; and yet nothing can be routed where it is done, and
/// what one buys cannot be ripped.
#[test]
fn an_answer_says_which_machines_do_not_take_what_comes_to_them() {
    let says = |yaml: &str| line(&said(&["run", "--quiet"], yaml), "Room to feed");
    assert_eq!(
        says(CUT_FROM_8_FT).as_deref(),
        Some(
            "\"shop\": saw takes boards to 7 ft 6 in, router table takes nothing. Longer stock is cut before."
        )
    );
    // It is the same whether the part itself or its material is bought so long.
    let part = "side: {pieces: 1, stock: [96 in, 6 in, 1 in], finished: [20 in, 5 in, 3/4 in], material at: rack, route: [crosscut, rip]}";
    let of_board = "side: {pieces: 1, cut from: board, rough: [21 in, 6 in, 1 in], finished: [20 in, 5 in, 3/4 in], route: [rip]}";
    assert!(CUT_FROM_8_FT.contains(part));
    let material = "    material: {board: {pieces: 1, stock: [96 in, 6 in, 1 in], at: rack, route: [crosscut]}}\n    parts:\n";
    let bought = CUT_FROM_8_FT.replace(part, of_board);
    let bought = bought.replace("    parts:\n", material);
    assert_eq!(says(&bought), says(CUT_FROM_8_FT));
    // Whoever buys 7 ft, or has nothing to rout, need not hear of it.
    let short = CUT_FROM_8_FT.replace("[96 in, 6 in", "[84 in, 6 in");
    let short = short.replace(
        "      knob: {pieces: 1, material at: rack, route: [rout]}\n",
        "",
    );
    assert_eq!(says(&short.replace("[side, knob]", "[side]")), None);
}
