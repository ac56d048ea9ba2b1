//! `shopstride size`: what it answers, in which units, and what it refuses.

use std::path::Path;

use crate::support::command::{folder, refused, shopstride, text};

fn said(arguments: &[&str]) -> String {
    let all: Vec<&str> = ["size"].iter().chain(arguments).copied().collect();
    let output = shopstride(&all, Path::new("."));
    assert!(output.status.success(), "{}", text(&output.stderr));
    let said = text(&output.stdout);
    for line in said.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
    said
}

/// A text without the breaks of its lines.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

const GARAGE: &str = "12 ft x 22 ft x 8 ft";

/// 500 lx x 24.53 m² / (4500 lm x 0.6 x 0.7) are 6.49 lamps, so 7. They hang 56 in above the plane, so that rows stand at
/// most 7.5 ft apart: at least 2 by 3, and the fewest that are 7 or more are 2 by 4.
#[test]
fn lamps_with_their_places_and_what_they_assume() {
    let light = flat(&said(&["light", "--room", GARAGE]));
    assert!(
        light.starts_with("Lamps 8 lamps of 4500 lm in 4 rows of 2: "),
        "{light}"
    );
    assert!(
        light.contains("The light alone would take 7; rows stand at most 7.5 ft apart"),
        "{light}"
    );
    assert!(
        light.contains("60 % of all light reaches the plane"),
        "{light}"
    );
    assert!(light.contains("Wiring is an electrician's work"), "{light}");
    let bright = flat(&said(&[
        "light",
        "--room",
        GARAGE,
        "--reflects",
        "80 %, 50 %, 20 %",
    ]));
    assert!(bright.contains("by the surfaces that you gave"), "{bright}");
    let metric = flat(&said(&["light", "--room", "6 m x 4 m"]));
    assert!(metric.contains("a ceiling at 2.4 m"), "{metric}");
}

/// The saw and the collector of the notes on electrics: 15 and 14 A run together, and a circuit of 20 A has one of them.
#[test]
fn circuits_with_headroom_and_the_word_electrician() {
    let power = said(&[
        "power",
        "--load",
        "saw: 1.5 hp, 120 V, 15 A",
        "--load",
        "collector: 120 V, 14 A, along",
        "--load",
        "heater: 4 kW, 240 V, continuous",
    ]);
    let flat_power = flat(&power);
    assert!(
        flat_power.contains("2 circuits of 20 A at 120 V and 1 circuit at 240 V"),
        "{power}"
    );
    assert!(flat_power.contains("licensed electrician"), "{power}");
    // 16.7 A on both legs, and the saw on one of them.
    assert!(
        flat_power.contains("At most 31.7 A run over its greater leg"),
        "{power}"
    );
    let row = power
        .lines()
        .find(|line| line.contains("saw") && line.contains("leg"));
    let row = row.expect("a row of the saw");
    assert!(
        row.contains("15 A") && row.contains("25 A") && row.contains("5 A"),
        "{row}"
    );
    // The heater of the notes on electrics: 12.5 A, and 15.6 A with a quarter more, though nobody says that it is continuous.
    let heater = said(&["power", "--load", "heater: 1.5 kW"]);
    let row = heater.lines().find(|line| line.contains("(leg a)"));
    let row = row.expect("a row of the heater");
    assert!(row.contains("12.5 A") && row.contains("15.6 A"), "{row}");
    // Lamps and heaters are on whatever somebody works at; lamps hang on a circuit of their own.
    let lit = said(&[
        "power",
        "--load",
        "table saw: 120 V, 15 A",
        "--load",
        "lights: 400 W",
        "--load",
        "fan heater: 1.5 kW",
    ]);
    let rows: Vec<&str> = lit.lines().filter(|line| line.contains("(leg ")).collect();
    assert_eq!(rows.len(), 3, "{lit}");
    assert!(
        rows.iter()
            .any(|row| row.contains("lights") && row.contains("3.3 A")),
        "{lit}"
    );
    assert!(
        flat(&lit).contains("lights and fan heater run along with whatever else does"),
        "{lit}"
    );
    assert!(
        flat(&lit).contains("Lamps share no circuit with machines"),
        "{lit}"
    );
    // Amps of a nameplate are planned with, and not what is usual for a machine of that name: 16 A and a quarter more.
    let rated = said(&["power", "--load", "table saw: 16 A, 230 V"]);
    let row = rated.lines().find(|line| line.contains("(240 V)"));
    assert!(
        row.is_some_and(|row| row.contains("16 A") && row.contains("20 A")),
        "{rated}"
    );
    // A saw in kW is no heater: whoever works at it works nowhere else.
    let saw = flat(&said(&["power", "--load", "table saw: 2.2 kW, 230 V"]));
    assert!(
        saw.contains("nothing runs along with whatever else does"),
        "{saw}"
    );
    // A circuit that carries nothing is not said to.
    let large = flat(&said(&["power", "--load", "table saw: 3 hp"]));
    assert!(
        large.starts_with(
            "Circuits None of 20 A at 120 V would carry this. Too much table saw alone"
        ),
        "{large}"
    );
    assert!(
        large.contains("120 V, since nothing else is said: table saw"),
        "{large}"
    );
    let typical = flat(&said(&["power", "--load", "small dust collector"]));
    assert!(
        typical.contains("Typical currents, the upper end: small dust collector"),
        "{typical}"
    );
}

/// The one-car garage: with doors of 9 x 7 and 3 x 7 ft its walls are 460 ft², nearly the worked case's.
#[test]
fn a_heater_with_where_the_heat_goes() {
    let heat = flat(&said(&[
        "heat",
        "--room",
        GARAGE,
        "--outside",
        "22 F",
        "--door",
        "9 ft x 7 ft, r 5",
        "--door",
        "3 ft x 7 ft, r 2.7",
        "--air-changes",
        "0.7",
    ]));
    assert!(
        heat.starts_with("Heater 1.7 kW keeps it at 62 °F with 22 °F outdoors, and "),
        "{heat}"
    );
    assert!(
        heat.contains("Where it goes the edge of the slab 3"),
        "{heat}"
    );
    assert!(
        heat.contains("no solvent finish in the air of a flame"),
        "{heat}"
    );
    let venting = flat(&said(&[
        "heat",
        "--room",
        GARAGE,
        "--outside",
        "22 F",
        "--exhaust",
        "500 cfm",
    ]));
    assert!(
        venting.contains("Where it goes air that is thrown out"),
        "{venting}"
    );
    let warm = flat(&said(&["heat", "--room", "6 m x 4 m", "--outside", "25 C"]));
    assert!(warm.contains("None: with 25 °C outdoors"), "{warm}");
}

#[test]
fn a_main_with_and_without_a_curve() {
    let ports = [
        "--port",
        "table saw: 4 in, 350 cfm, 8 ft",
        "--port",
        "planer: 4 in, 400 cfm, 20 ft",
    ];
    let without: Vec<&str> = ["dust"].iter().chain(&ports).copied().collect();
    let dust = flat(&said(&without));
    // 350 cfm are 4010 ft/min in 4-in pipe, and 2567 in 5-in.
    assert!(
        dust.starts_with("Main A straight main of 4-in pipe, 20 ft from the collector"),
        "{dust}"
    );
    assert!(
        dust.contains("One that moves 400 cfm and still leaves"),
        "{dust}"
    );
    assert!(dust.contains("is not clean air"), "{dust}");
    let with: Vec<&str> = without
        .iter()
        .chain(&[
            "--curve",
            "0 cfm 8.5 inH2O, 400 cfm 7 inH2O, 700 cfm 4.5 inH2O, 1000 cfm 0",
        ])
        .copied()
        .collect();
    let clean = flat(&said(&with));
    assert!(clean.contains("gets"), "{clean}");
    let dirty: Vec<&str> = with
        .iter()
        .chain(&["--filter", "1 inH2O at 600 cfm", "--dirt", "3"])
        .copied()
        .collect();
    let dirty = flat(&said(&dirty));
    assert!(
        dirty.contains("as dirty as you said") && dirty != clean,
        "{dirty}"
    );
    // More than collectors pull: it is said, with what the next size of pipe needs. With the area 25/16 as large, the
    // velocity pressure falls to (16/25)^2 = 0.41 and friction farther.
    let hard = flat(&said(&[
        "dust",
        "--port",
        "planer: 4 in, 600 cfm, 25 ft",
        "--port",
        "jointer: 4 in, 350 cfm, 10 ft",
    ]));
    assert!(
        hard.starts_with("Main None does all that is wanted, as it is given."),
        "{hard}"
    );
    let needed = |before: &str| -> f64 {
        let (_, after) = hard.split_once(before).expect("so it is said");
        let number = after.split_whitespace().next().expect("a figure");
        number.parse().expect("a number")
    };
    let (four, five) = (
        needed("still leaves "),
        needed("all the way from the planer it would be "),
    );
    assert!(
        four > 12.0 && five < 0.41 * four && five > 0.25 * four,
        "{hard}"
    );
    // A main is no narrower than a port that it serves.
    let wide = flat(&said(&["dust", "--port", "planer: 5 in, 400 cfm, 8 ft"]));
    assert!(wide.contains("main of 5-in pipe"), "{wide}");
    let metric = flat(&said(&["dust", "--port", "planer: 100 mm, 800 m3/h, 6 m"]));
    assert!(
        metric.contains("m³/h") && metric.contains(" Pa"),
        "{metric}"
    );
}

#[test]
fn what_cannot_be_read_is_refused() {
    let here = folder();
    let wrong: [(&[&str], &str); 10] = [
        (&["size", "light", "--room", "12 x 22"], "says no unit"),
        (
            &["size", "light", "--room", GARAGE, "--lumens", "0 lm"],
            "more than 0",
        ),
        (
            &[
                "size",
                "light",
                "--room",
                GARAGE,
                "--below-ceiling",
                "5 ft 6 in",
            ],
            "no higher than the bench",
        ),
        (
            &["size", "power", "--load", "saw: 15 A, 400 V"],
            "neither 120 V",
        ),
        (&["size", "power"], "--load"),
        (
            &["size", "heat", "--room", GARAGE, "--outside", "cold"],
            "is not a temperature",
        ),
        (
            &["size", "dust", "--port", "planer"],
            "how far along the main",
        ),
        (
            &[
                "size",
                "dust",
                "--port",
                "planer: 25 ft",
                "--curve",
                "1200 cfm 0 Pa",
            ],
            "two points at least",
        ),
        (&["size"], "light"),
        (
            &["size", "light", "garage.yaml"],
            "`size` reads no file, so garage.yaml is one too many",
        ),
    ];
    for (arguments, says) in wrong {
        refused(arguments, here.path(), says);
    }
}
