//! Dates in the tables for a spreadsheet, and in the full answer.

use std::fs;

use super::{EVENINGS, STARTS, data, said};
use crate::support::command::{done, folder};

/// A board of 240 min comes first and is done on the second evening, after 240 of 270 min; a box of 480 min is then done
/// after 720 min, on the sixth.
fn board_and_box(more: &str) -> String {
    format!(
        "title: Two\nhandling: {{pick up: 0, put down: 0}}\n\
         stations: {{bench: {{does: {{plane: {{per lot: 240 min}}, glue: {{per lot: 480 min}}}}}}}}\n\
         projects: {{board: {{route: [plane]}}, box: {{route: [glue]}}}}\n\
         orders: [{{project: board}}, {{project: box}}]\nlayouts: {{here: {{distances: 0}}}}\n{more}"
    )
}

fn table(scenario: &str, name: &str) -> Vec<Vec<String>> {
    let folder = folder();
    fs::write(folder.path().join("shop.yaml"), scenario).expect("written");
    let arguments = [
        "compare",
        "--quiet",
        "--no-charts",
        "--csv",
        "tables",
        "shop.yaml",
    ];
    done(&arguments, folder.path());
    let text = fs::read_to_string(folder.path().join("tables").join(name)).expect("a table");
    let cells = |line: &str| line.split(',').map(str::to_owned).collect();
    text.lines().map(cells).collect()
}

#[test]
fn each_project_has_its_date_in_the_tables() {
    let yaml = board_and_box(&format!("{EVENINGS}{STARTS}"));
    let projects = table(&yaml, "projects.csv");
    let column = |name: &str| {
        let at = projects[0].iter().position(|heading| heading == name);
        at.unwrap_or_else(|| panic!("{name} in {:?}", projects[0]))
    };
    let cells = |name: &str| [1, 2].map(|row: usize| projects[row][column(name)].clone());
    assert_eq!(cells("project"), ["board", "box"]);
    assert_eq!(cells("done_p50_session"), ["2", "6"]);
    assert_eq!(cells("done_p50_date"), ["2026-12-03", "2026-12-17"]);
    assert_eq!(cells("done_p90_date"), cells("done_p50_date"));
    // The same as in the JSON.
    let found = &data(&["compare", "--no-charts"], &yaml)["candidates"][0];
    for (row, of) in [(1, &found["projects"][0]), (2, &found["projects"][1])] {
        let seconds: f64 = projects[row][column("done_p50_s")]
            .parse()
            .expect("a number");
        assert_eq!(of["done_at"]["p50_s"], seconds);
    }
    let all = table(&yaml, "candidates.csv");
    let at = all[0]
        .iter()
        .position(|heading| heading == "done_p50_date")
        .expect("a date");
    assert_eq!(all[1][at], "2026-12-17");
    let said = said(&["run", "--details"], &yaml);
    let expected = "By project, in half of the runs or before: board on the second evening, Thu 3 Dec; box on the sixth \
                    evening, Thu 17 Dec.";
    assert!(said.contains(expected), "{said}");
}

#[test]
fn without_hours_or_a_date_there_is_none() {
    let always = table(&board_and_box(""), "projects.csv");
    assert!(
        !always[0].iter().any(|heading| heading.starts_with("done_")),
        "{:?}",
        always[0]
    );
    let no_start = table(&board_and_box(EVENINGS), "projects.csv");
    let at = no_start[0]
        .iter()
        .position(|heading| heading == "done_p50_date")
        .expect("a column");
    assert_eq!(no_start[1][at], "");
    assert_eq!(no_start[1][at - 1], "2");
}
