//! The page for a browser, read without one: what stands in it is what the program says elsewhere, and nothing in it can
//! do anything but what it is made for.

mod replays;

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use resvg::usvg::roxmltree::{Document, ParsingOptions};
use serde_json::Value;
use sha2::{Digest, Sha256};

use crate::support;
use crate::support::command::{done, folder, refused, text};

const GARAGE: &str = "scenarios/garage.yaml";

fn scenario(name: &str) -> String {
    format!("{}/{name}", env!("CARGO_MANIFEST_DIR"))
}

/// What a command writes to standard output.
fn said(arguments: &[&str]) -> String {
    let folder = folder();
    text(&done(arguments, folder.path()).stdout)
}

/// A page of few runs.
fn page(file: &str, more: &[&str]) -> String {
    let few = ["page", file, "--quiet", "--out", "-", "--replications", "5"];
    said(&[&few[..], more].concat())
}

/// What stands between the first of two texts and the next of the other.
fn between<'a>(page: &'a str, from: &str, to: &str) -> &'a str {
    let (_, rest) = page.split_once(from).expect("it begins");
    rest.split_once(to).expect("it ends").0
}

fn script(page: &str) -> &str {
    between(page, "<script>", "</script>")
}

fn style(page: &str) -> &str {
    between(page, "<style>", "</style>")
}

fn data(page: &str) -> Value {
    let text = between(page, "id=\"page-data\">", "</script>");
    serde_json::from_str(text).expect("it is JSON")
}

/// The elements of a page, which is written so that XML can be read from it once scripts and style are taken out.
fn without_scripts(page: &str) -> String {
    [
        script(page),
        style(page),
        between(page, "id=\"page-data\">", "</script>"),
    ]
    .iter()
    .fold(page.to_owned(), |page, text| page.replace(text, ""))
}

fn parsed(page: &str) -> Document<'_> {
    let options = ParsingOptions {
        allow_dtd: true,
        ..ParsingOptions::default()
    };
    Document::parse_with_options(page, options).expect("it can be read")
}

/// The largest page, of the scenario that is built in and of one with thousands of orders, in bytes.
const LARGEST: usize = 2_000_000;
const LARGEST_OF_MANY_ORDERS: usize = 4_000_000;

/// Every scenario that comes with the program has a page that can be read, is small, refers to nothing beside it and
/// permits exactly its own script and style.
#[test]
fn every_scenario_has_a_page_that_stands_alone() {
    let files = support::yaml_files("scenarios");
    assert!(files.len() > 9);
    for file in files {
        let file = file.to_string_lossy().into_owned();
        let page = page(&file, &[]);
        let largest = match file.ends_with("queue.yaml") {
            true => LARGEST_OF_MANY_ORDERS,
            false => LARGEST,
        };
        assert!(page.len() < largest, "{file}: {}", page.len());
        let elements = without_scripts(&page);
        let document = parsed(&elements);
        let mut ids = BTreeMap::new();
        for element in document.descendants().filter(|node| node.is_element()) {
            if let Some(id) = element.attribute("id") {
                *ids.entry(id).or_insert(0) += 1;
            }
            for attribute in element.attributes() {
                let name = attribute.name();
                assert!(!name.starts_with("on") && name != "style", "{file}: {name}");
                let refers = ["src", "href", "action", "srcset"].contains(&name);
                assert!(!refers, "{file}: {name} = {}", attribute.value());
            }
        }
        let twice: Vec<_> = ids.iter().filter(|(_, count)| **count > 1).collect();
        assert!(twice.is_empty(), "{file}: {twice:?}");
        let policy = between(&page, "Content-Security-Policy\" content=\"", "\"");
        let policy = policy.replace("&#x27;", "'").replace("&#x2f;", "/");
        for (directive, what) in [("script-src", script(&page)), ("style-src", style(&page))] {
            let hash = STANDARD.encode(Sha256::digest(what));
            let allowed = format!("{directive} 'sha256-{hash}';");
            assert!(policy.contains(&allowed), "{file}: {policy}");
        }
        assert!(policy.starts_with("default-src 'none';"), "{policy}");
        assert!(
            !policy.contains("unsafe") && !policy.contains('*'),
            "{policy}"
        );
        for part in [
            "http://",
            "https://",
            "@import",
            "url(http",
            "eval(",
            "innerHTML",
            "import(",
        ] {
            let found = [script(&page), style(&page)].iter().any(|text| {
                text.replace("http://www.w3.org/2000/svg", "")
                    .contains(part)
            });
            assert!(!found, "{file}: {part}");
        }
    }
}

/// SHA-256 of "abc", from the examples of FIPS 180-4 (published by NIST).
#[test]
fn the_hash_is_that_of_the_standard() {
    let expected = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
    let found: String = Sha256::digest("abc")
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect();
    assert_eq!(found, expected);
}

/// All that `compare --json` has of the layouts stands in the page, to the last digit.
#[test]
fn the_figures_are_those_of_the_json() {
    for name in [GARAGE, "scenarios/class.yaml"] {
        let file = scenario(name);
        let page = page(&file, &[]);
        let compared = said(&[
            "compare",
            &file,
            "--quiet",
            "--no-charts",
            "--replications",
            "5",
            "--json",
            "-",
        ]);
        let compared: Value = serde_json::from_str(&compared).expect("it is JSON");
        let found = &data(&page)["findings"];
        for key in ["candidates", "comparisons", "seed", "replications", "best"] {
            assert!(!found[key].is_null(), "{key}");
            assert_eq!(found[key], compared[key], "{name}: {key}");
        }
        // Cells of tables as well: the mean walking of each layout.
        for candidate in compared["candidates"].as_array().expect("a list") {
            let mean = &candidate["walking"]["mean_m"];
            let cell = format!("<data value=\"{mean}\">");
            assert!(page.contains(&cell), "{name}: {cell}");
        }
    }
}

fn list<'a>(value: &'a Value, key: &str) -> &'a Vec<Value> {
    value[key]
        .as_array()
        .unwrap_or_else(|| panic!("{key} is a list"))
}

const HOSTILE: &str = "\
title: '<img src=x onerror=alert(1)> \"two\" & 😀'
stations:
  '</script><script>alert(2)</script>': {}
  'saw {{ 7*7 }}': {does: {'rip <!-- --> </style>': {per piece: 1 min}}}
  'منشار': {does: {glue: {per lot: 10 min}}}
projects:
  'box'' onload=''alert(3)':
    pieces: 4
    material at: '</script><script>alert(2)</script>'
    route: ['rip <!-- --> </style>', glue]
orders: [{project: 'box'' onload=''alert(3)'}]
layouts:
  '<svg onload=alert(4)>': {distances: {'</script><script>alert(2)</script>': {'saw {{ 7*7 }}': 8 m, 'منشار': 6 m}, 'saw {{ 7*7 }}': {'منشار': 5 m}}}
  near: {distances: {'</script><script>alert(2)</script>': {'saw {{ 7*7 }}': 3 m, 'منشار': 4 m}, 'saw {{ 7*7 }}': {'منشار': 2 m}}}
";

/// Names of tags, quotes, braces, emoji and Arabic letters stay names.
#[test]
fn names_stay_text() {
    let folder = folder();
    fs::write(folder.path().join("shop.yaml"), HOSTILE).expect("written");
    let output = done(
        &[
            "page",
            "shop.yaml",
            "-q",
            "--out",
            "-",
            "--replications",
            "5",
        ],
        folder.path(),
    );
    let page = text(&output.stdout);
    let elements = without_scripts(&page);
    let document = parsed(&elements);
    let names = |tag: &str| {
        document
            .descendants()
            .filter(|node| node.has_tag_name(tag))
            .count()
    };
    assert_eq!((names("img"), names("script")), (0, 2));
    assert_eq!(page.matches("<script").count(), 2);
    assert_eq!(page.matches("</style>").count(), 1);
    assert!(!page.contains("<!-- -->"));
    let data = data(&page);
    assert_eq!(
        data["findings"]["scenario"],
        "<img src=x onerror=alert(1)> \"two\" & 😀"
    );
    let title = document
        .descendants()
        .find(|node| node.has_tag_name("title"));
    let title = title.and_then(|node| node.text());
    assert_eq!(title, Some("<img src=x onerror=alert(1)> \"two\" & 😀"));
    let shown = |name: &str| {
        document
            .descendants()
            .any(|node| node.is_text() && node.text() == Some(name))
    };
    for name in [
        "<svg onload=alert(4)>",
        "منشار",
        "saw {{ 7*7 }}",
        "</script><script>alert(2)</script>",
    ] {
        assert!(shown(name), "{name}");
    }
}

/// The same bytes each time, whatever number of threads plays the runs.
#[test]
fn the_same_seed_gives_the_same_page() {
    let file = scenario(GARAGE);
    let one = page(&file, &["--threads", "1"]);
    assert_eq!(one, page(&file, &["--threads", "2"]));
    assert_ne!(one, page(&file, &["--seed", "99"]));
}

/// Any run can be replayed, and any two layouts beside each other.
#[test]
fn runs_and_layouts_can_be_chosen() {
    let file = scenario(GARAGE);
    let third = data(&page(
        &file,
        &["--replication", "3", "--base", "working order"],
    ));
    let replays = list(&third, "replays");
    let shown: Vec<&Value> = replays.iter().map(|replay| &replay["candidate"]).collect();
    assert_eq!(shown, ["working order", "as it grew"]);
    assert_eq!(replays[0]["replication"], 3);
    let yaml = fs::read_to_string(&file).expect("readable");
    let study = support::study(&yaml);
    let record = support::record(&study, 1, study.settings.seed, 2);
    assert_eq!(
        replays[0]["figures"]["walking_m"],
        record.walking().metres()
    );
}

/// What cannot be done is refused before anything is written.
#[test]
fn what_is_asked_wrongly_is_refused() {
    let folder = folder();
    let shop = folder.path().join("shop.yaml");
    fs::copy(Path::new(&scenario("scenarios/minimal.yaml")), &shop).expect("copied");
    let refuse = |more: &[&str], words: &str| {
        refused(
            &[&["page", "shop.yaml"], more].concat(),
            folder.path(),
            words,
        );
    };
    refuse(&["--out", "shop.yaml"], "that is the scenario itself");
    refuse(&["--out", "no/such.html"], "no");
    refuse(
        &["--out", "a.html", "--layout", "nowhere"],
        "there is no layout `nowhere`",
    );
    refuse(
        &[
            "--out",
            "a.html",
            "--replications",
            "2",
            "--replication",
            "3",
        ],
        "there are only 2 runs",
    );
    refuse(&[], "--out");
}
