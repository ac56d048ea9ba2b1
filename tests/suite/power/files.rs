//! Scenarios in which machines are on when somebody says so, and what the program finds in them.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::support::command::{done, folder, text};

/// A machine with what its station says, and when it is on, in seconds.
pub struct Machine {
    pub name: String,
    pub says: String,
    pub on: Vec<[f64; 2]>,
}

/// A shop in which everything stands together and takes no time to carry, so that each order begins when it is released.
pub fn timed(machines: &[Machine], rest: &str) -> String {
    let (mut stations, mut projects, mut orders) = (String::new(), String::new(), String::new());
    let mut people = 0;
    for machine in machines {
        let name = &machine.name;
        stations.push_str(&format!(
            "  {name}: {{{}, does: {{use {name}: {{}}}}}}\n",
            machine.says
        ));
        for (nth, [from, until]) in machine.on.iter().enumerate() {
            people += 1;
            projects.push_str(&format!(
                "  {name} {nth}: {{route: [{{op: use {name}, per lot: {} s}}]}}\n",
                until - from
            ));
            orders.push_str(&format!(
                "  - {{project: {name} {nth}, first: {from} s, every: 0, count: 1}}\n"
            ));
        }
    }
    format!(
        "title: timed\nstations:\n{stations}projects:\n{projects}orders:\n{orders}crew: {{maker: {{count: {people}}}}}\n\
         handling: {{pick up: 0 s, put down: 0 s}}\nlayouts: {{here: {{distances: 0}}}}\n{rest}"
    )
}

/// The `power` of the first layout of a scenario, as `run` has it in its data.
pub fn power_of(scenario: &str, more: &[&str]) -> Value {
    let folder = folder();
    fs::write(folder.path().join("shop.yaml"), scenario).expect("writable");
    power_in(folder.path(), "shop.yaml", more)
}

pub fn power_in(folder: &Path, file: &str, more: &[&str]) -> Value {
    candidate_in(folder, file, more)["power"].clone()
}

/// All that `run` has of the first layout in its data.
pub fn candidate_of(scenario: &str, more: &[&str]) -> Value {
    let folder = folder();
    fs::write(folder.path().join("shop.yaml"), scenario).expect("writable");
    candidate_in(folder.path(), "shop.yaml", more)
}

fn candidate_in(folder: &Path, file: &str, more: &[&str]) -> Value {
    let arguments = [&["run", file, "--quiet", "--json", "-"], more].concat();
    let output = done(&arguments, folder);
    let data: Value = serde_json::from_str(&text(&output.stdout)).expect("JSON");
    data["candidates"][0].clone()
}
