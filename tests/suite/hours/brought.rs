//! What runs alone and must not be interrupted is never begun where whoever brings it is always there too late.

use crate::stops::refused::says;
use crate::support::command::{folder, refused, shopstride, text};

/// A kiln that needs nobody, and Ann, who is there for the last three hours of each Monday and can bring a tile to it.
fn kiln(fire: &str, at: &str, quiet: &str) -> String {
    format!(
        "title: x
sessions: {{when: [{{days: [mon], open: \"8:00\", close: \"18:00\"}}]{quiet}}}
crew: {{ann: {{starts at: kiln, hours: [{{days: [mon], open: \"15:00\", close: \"18:00\"}}]}}}}
stations: {{rack: {{}}, kiln: {{loud: true, does: {{fire: {{people: 0, {fire}}}}}}}}}
handling: {{walking speed: 1 m/s, loaded speed: 1 m/s, pick up: 0, put down: 0}}
projects: {{tile: {{pieces: 1, material at: {at}, route: [fire]}}}}
orders: [{{project: tile}}]
layouts: {{x: {{distances: {{rack: {{kiln: 30 m}}}}}}}}
"
    )
}

fn said(fire: &str, at: &str, quiet: &str) -> String {
    let yaml = kiln(fire, at, quiet);
    match shopstride::scenario::load("x.yaml", yaml.as_bytes()) {
        Ok(_) => "loaded".to_owned(),
        Err(problems) => problems.render(false),
    }
}

#[test]
fn what_is_always_brought_too_late_is_told_before_it_is_played() {
    let told = said("per lot: 4 h, pausable: false", "rack", "");
    says(
        &told,
        &[
            "x.yaml:7:20",
            "`fire` of `tile` takes 4.0 h, and nobody is there to bring it when it can run for so long",
            "3.0 h at the most are left then",
            "write longer `hours` under `crew`, a smaller `batch`, or `pausable: true`",
        ],
    );
    // Bringing it 30 m takes half a minute of the three hours.
    says(
        &said("per lot: 179.6 min, pausable: false", "rack", ""),
        &["`fire` of `tile` takes 3.0 h"],
    );
    for fire in [
        "per lot: 179 min, pausable: false",
        "per lot: 4 h",
        "per lot: 4 h, after hours: true",
        "per lot: 2 h, setup: 50 min, pausable: false",
    ] {
        let fire = fire.replace(", after hours", ", pausable: true, after hours");
        let quiet_kiln = kiln(&fire, "rack", "").replace("loud: true, ", "");
        let loaded = shopstride::scenario::load("x.yaml", quiet_kiln.as_bytes());
        assert!(loaded.is_ok(), "{fire}");
    }
    // What lies at the kiln needs nobody, and is fired from eight o'clock on.
    says(
        &said("per lot: 4 h, pausable: false", "kiln", ""),
        &["loaded"],
    );
}

/// From the rack to where one stands to fire are 30 m along and 30 m across, 42.4 s, and to the kiln's usual place 30 s:
/// 179.4 min and that are more than 180 min with the one way alone.
#[test]
fn it_is_brought_to_where_one_stands_for_that_operation() {
    let yaml = kiln("per lot: 179.4 min, pausable: false", "rack", "")
        .replace("loud: true,", "loud: true, stand: {fire: [0, 30 m]},")
        .replace(
            "distances: {rack: {kiln: 30 m}}",
            "at: {rack: {at: [0, 0], stand: [0, 0]}, kiln: [30 m, 0]}",
        );
    let Err(problems) = shopstride::scenario::load("x.yaml", yaml.as_bytes()) else {
        panic!("it loads");
    };
    says(
        &problems.render(false),
        &["and nobody is there to bring it when it can run for so long"],
    );
    let usual = yaml.replace(" stand: {fire: [0, 30 m]},", " stand: [0, 0],");
    assert!(shopstride::scenario::load("x.yaml", usual.as_bytes()).is_ok());
}

#[test]
fn what_silence_would_always_interrupt_is_told_too() {
    // It is quiet until 10:00 and from 17:00: seven hours in between, of which Ann is there for two.
    let quiet = ", quiet: {from: \"17:00\", to: \"10:00\"}";
    let told = said("per lot: 4 h", "rack", quiet);
    says(
        &told,
        &[
            "`fire` of `tile` takes 4.0 h, and nobody is there to bring it when it can run for so long",
            "2.0 h at the most are left then",
            "change `quiet` and `rested`",
        ],
    );
    says(&said("per lot: 119 min", "rack", quiet), &["loaded"]);
}

#[test]
fn a_run_in_which_it_is_brought_too_late_all_the_same_says_so() {
    // Ann comes from the kiln: to the rack and back she needs a minute, and only forty seconds are to spare.
    let yaml = kiln("per lot: 10760 s, pausable: false", "rack", "");
    let folder = folder();
    std::fs::write(folder.path().join("x.yaml"), yaml).expect("it is written");
    let arguments = ["run", "x.yaml", "--quiet"];
    refused(&arguments, folder.path(), "run 1 of \"x\" is stuck after");
    let told = text(&shopstride(&arguments, folder.path()).stderr);
    let told: Vec<&str> = told.split_whitespace().collect();
    says(
        &told.join(" "),
        &[
            "1 lot waits for fire at kiln, first tile of tile",
            "it takes 180.3 min and must not be interrupted, but 180.0 min at the most are left when somebody is there who \
             can bring it",
            "write longer `hours` under `crew`",
        ],
    );
}
