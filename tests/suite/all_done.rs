//! What an answer says of several orders, and of a sooner layout in which people walk more: small shops by hand.

use std::fs;

use crate::support::command::{done, folder, text};

/// What a command says of a scenario, in one line.
fn said(command: &[&str], scenario: &str) -> String {
    let folder = folder();
    fs::write(folder.path().join("shop.yaml"), scenario).expect("written");
    let arguments = [command, &["--quiet", "shop.yaml"]].concat();
    let answer = text(&done(&arguments, folder.path()).stdout);
    answer.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn boxes(orders: &str) -> String {
    format!(
        "title: Boxes\nstations: {{bench: {{does: {{glue: {{per lot: 10 min}}}}}}}}\n\
         projects: {{box: {{route: [glue]}}}}\norders: [{orders}]\nlayouts: {{here: {{distances: 0}}}}\n"
    )
}

/// Two boxes of 10 min each by one person: done after 10 and 20 min, on average 15.
#[test]
fn of_several_orders_it_is_said_when_all_are_done() {
    let two = said(&["run"], &boxes("{project: box, count: 2}"));
    assert!(two.contains("15 min from start to finish"), "{two}");
    assert!(two.contains("Both orders are done after 20 min."), "{two}");
    let three = said(&["run"], &boxes("{project: box}, {project: box, count: 2}"));
    assert!(
        three.contains("All 3 orders are done after 30 min."),
        "{three}"
    );
    // Of one there is nothing to add, and of those that come one after another it says when the last came.
    for others in [
        "{project: box}",
        "{project: box, every: 1 h, count: 2}",
        "{project: box, count: 1}, {project: box, first: 1 h, every: 1 h, count: 1}",
    ] {
        let one = said(&["run"], &boxes(others));
        assert!(!one.contains("done after"), "{one}");
    }
}

/// 10 m more walking for each of two boxes, of 10 m that were walked; 4 min less at the bench.
#[test]
fn what_a_sooner_layout_costs_in_walking_is_said() {
    let shop = "title: Boxes\nhandling: {pick up: 0, put down: 0}\n\
                stations: {rack: {}, bench: {does: {glue: {per lot: 10 min}}}}\n\
                projects: {box: {material at: rack, route: [glue]}}\norders: [{project: box}]\n\
                layouts:\n  near: {distances: {rack: {bench: 10 m}}}\n  far: {distances: {rack: {bench: 20 m}}}\n\
                candidates:\n  far with a press:\n    layout: far\n    \
                change: {stations: {bench: {does: {glue: {per lot: 6 min}}}}}\n";
    let answer = said(&["compare", "--no-charts"], shop);
    assert!(answer.contains("is done 3¾ min sooner"), "{answer}");
    assert!(answer.contains("But it takes"), "{answer}");
    assert!(!answer.contains("no layout with less walking"), "{answer}");
}
