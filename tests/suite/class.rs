//! The layouts of a class on one page. What is walked is reckoned by hand: places stand on a line, 1 m before each
//! station, so that a way is the difference of their x.

use std::fs;
use std::path::Path;

use crate::support::command::{done, folder, names, refused, shopstride, text};

/// A shop in a room of 12 by 6 m whose bench stands at `bench`, with more layouts.
///
/// Four pieces are carried one at a time from the rack at x = 1 to the saw at x = 4 and on to the bench.
fn scenario(bench: &str, more: &str) -> String {
    format!(
        "title: Class
room: {{size: [12 m, 6 m], doors: [{{name: door, between: [[5 m, 0 m], [6 m, 0 m]]}}]}}
stations:
  rack: {{size: [1 m, 50 cm], stand: [0 m, -1 m]}}
  saw: {{size: [1 m, 1 m], stand: [0 m, -1 m], does: {{cut: {{per lot: 1 min}}}}}}
  bench: {{size: [1 m, 50 cm], stand: [0 m, -1 m], does: {{plane: {{per lot: 1 min}}}}}}
handling: {{walking speed: 1 m/s, loaded speed: 1 m/s, pick up: 0, put down: 0, carry: {{pieces: 1}}}}
crew: {{maker: {{}}}}
projects: {{box: {{parts: {{side: {{pieces: 4, material at: rack, route: [cut, plane]}}}}}}}}
orders: [{{project: box}}]
layouts:
  as it was: {{walk: straight, at: {{rack: {{at: [1 m, 4 m]}}, saw: {{at: [4 m, 4 m]}}, bench: {{at: [11 m, 4 m]}}}}}}
  mine: {{walk: straight, at: {{rack: {{at: [1 m, 4 m]}}, saw: {{at: [4 m, 4 m]}}, bench: {{at: [{bench}, 4 m]}}}}}}
{more}"
    )
}

/// A folder with these files of a class.
fn class(files: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = folder();
    fs::create_dir(folder.path().join("class")).expect("a folder");
    for (name, contents) in files {
        fs::write(folder.path().join("class").join(name), contents).expect("written");
    }
    folder
}

/// The lines of the ranking: place, and what stands behind it.
fn ranking(said: &str) -> Vec<(String, String)> {
    let lines = said.lines().filter(|line| line.starts_with(' '));
    lines
        .filter_map(|line| line.trim_start().split_once("  "))
        .map(|(place, rest)| (place.to_owned(), rest.trim_start().to_owned()))
        .collect()
}

fn page(folder: &Path) -> String {
    fs::read_to_string(folder.join("class.html")).expect("a page")
}

const MAKE: [&str; 4] = ["class", "class", "--out", "class.html"];

/// The maker begins at the rack. Four boards to the saw: 4 × 3 m loaded, 3 × 3 m back. Then four to the bench, over d:
/// the maker stands at the saw, so 4 d loaded and 3 d back. So 21 + 7 d metres: d = 3 for Ada and 3.02 for Ben, which is
/// less than 1 % more, and 6 for Cleo.
#[test]
fn places_are_as_reckoned_by_hand_and_shared_where_it_does_not_matter() {
    let folder = class(&[
        ("ada.yaml", &scenario("7 m", "")),
        ("ben.yaml", &scenario("702 cm", "")),
        ("cleo.yml", &scenario("10 m", "")),
        ("notes.txt", "not a scenario"),
        ("._ada.yaml", "what a system puts beside a file"),
    ]);
    let said = text(&done(&MAKE, folder.path()).stdout);
    let expected = [
        ("1", "ada: mine: 42 m"),
        ("1", "ben: mine: about 42 m"),
        ("3", "cleo: mine: 63 m"),
        ("handed out", "as it was: 70 m"),
    ];
    let expected = expected.map(|(place, what)| (place.to_owned(), what.to_owned()));
    assert_eq!(ranking(&said), expected, "{said}");
    assert!(
        said.starts_with("3 layouts ranked by walking, from 3 files"),
        "{said}"
    );
    let page = page(folder.path());
    for shown in ["ada", "ben", "cleo", "as it was", "63 m", "Walking per box"] {
        assert!(page.contains(shown), "{shown} is not on the page");
    }
    assert_eq!(page.matches("<svg").count(), 4, "a plan of each layout");
}

/// By time it is the same order here, since nothing but walking differs: 4 min of work and 1 s for each metre.
#[test]
fn it_can_be_ranked_by_time() {
    let files = [
        ("ada.yaml", scenario("10 m", "")),
        ("ben.yaml", scenario("7 m", "")),
    ];
    let files = files.each_ref().map(|(name, text)| (*name, text.as_str()));
    let folder = class(&files);
    let said = text(&done(&[&MAKE[..], &["--by", "time"]].concat(), folder.path()).stdout);
    let places: Vec<String> = ranking(&said).into_iter().map(|(place, _)| place).collect();
    assert_eq!(places, ["1", "2", "handed out"], "{said}");
    assert!(
        said.contains("ranked by time from start to finish"),
        "{said}"
    );
}

#[test]
fn the_same_place_is_shown_once_and_what_has_faults_has_none() {
    // Dora's bench stands in the saw; Eli has Ada's layout under another name and nothing else of his own.
    let ada = scenario("7 m", "");
    let eli = ada.replace("mine:", "by the saw:");
    let folder = class(&[
        ("ada.yaml", &ada),
        ("dora.yaml", &scenario("430 cm", "")),
        ("eli.yaml", &eli),
        ("fay.yaml", &scenario("11 m", "")),
    ]);
    let said = text(&done(&MAKE, folder.path()).stdout);
    let lines = ranking(&said);
    assert_eq!(
        lines[0],
        ("1".to_owned(), "mine: 42 m".to_owned()),
        "{said}"
    );
    let dora = lines.iter().find(|(_, what)| what.starts_with("dora"));
    let (place, what) = dora.expect("it is told");
    assert_eq!(place, "mend first", "{said}");
    assert!(what.contains("fault"), "{said}");
    assert!(
        said.contains("Only what everybody started from: fay."),
        "{said}"
    );
    assert!(page(folder.path()).contains("ada and eli"));
}

#[test]
fn another_shop_is_not_ranked_and_it_is_told_what_differs() {
    let slower = scenario("7 m", "").replace("cut: {per lot: 1 min}", "cut: {per lot: 2 min}");
    let smaller =
        scenario("7 m", "").replace("rack: {size: [1 m, 50 cm]", "rack: {size: [50 cm, 50 cm]");
    let wider = scenario("7 m", "").replace("size: [12 m, 6 m]", "size: [12 m, 7 m]");
    let folder = class(&[
        ("ada.yaml", &slower),
        ("ben.yaml", &scenario("9 m", "")),
        ("cleo.yaml", &scenario("10 m", "")),
        ("dora.yaml", &smaller),
        ("eli.yaml", &wider),
    ]);
    let said = text(&done(&MAKE, folder.path()).stdout);
    for told in [
        "Not ranked: ada, where projects or operations are not as in the others",
        "Not ranked: dora, where stations or their sizes are not as in the others",
        "Not ranked: eli, where room and doors are not as in the others",
    ] {
        assert!(said.contains(told), "{told}\n{said}");
    }
    // What was handed out decides, where it is known.
    fs::write(folder.path().join("given.yaml"), &slower).expect("written");
    let said = text(
        &done(
            &[&MAKE[..], &["--given", "given.yaml"]].concat(),
            folder.path(),
        )
        .stdout,
    );
    assert!(
        said.contains("Not ranked: ben, where projects or operations"),
        "{said}"
    );
    assert!(!said.contains("Not ranked: ada"), "{said}");
}

/// With times that vary: the same bytes for any number of threads, others for another seed.
#[test]
fn the_same_seed_gives_the_same_page() {
    let varied = |bench: &str| {
        scenario(bench, "").replace(
            "per lot: 1 min",
            "per lot: {triangular: [1 min, 2 min, 4 min]}",
        )
    };
    let folder = class(&[("ada.yaml", &varied("7 m")), ("ben.yaml", &varied("8 m"))]);
    let on = |arguments: &[&str]| {
        done(
            &[&MAKE[..], &["--replications", "30"], arguments].concat(),
            folder.path(),
        );
        page(folder.path())
    };
    let once = on(&["--threads", "1"]);
    assert_eq!(once, on(&["--threads", "3"]));
    assert!(once.contains("played 30 times with the same luck"));
    let by_time = on(&["--by", "time"]);
    assert_ne!(by_time, on(&["--by", "time", "--seed", "9"]));
}

#[test]
fn all_that_is_wrong_is_said_at_once_and_nothing_is_written() {
    let folder = class(&[
        ("ada.yaml", &scenario("7 m", "")),
        ("ben.yaml", "stations: [\n"),
        ("cleo.yaml", &scenario("7 meters", "")),
    ]);
    let before = names(folder.path());
    let output = shopstride(&MAKE, folder.path());
    let errors = text(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{errors}");
    for said in [
        "class/ben.yaml",
        "class/cleo.yaml",
        "something is wrong in 2 of 3 files: ben and cleo",
        "--leave-out",
    ] {
        assert!(errors.contains(said), "{said}\n{errors}");
    }
    assert_eq!(names(folder.path()), before);
    let said = text(&done(&[&MAKE[..], &["--leave-out"]].concat(), folder.path()).stdout);
    assert!(
        said.contains("Not read, since something is wrong in them: ben and cleo."),
        "{said}"
    );
    assert!(page(folder.path()).contains("ben and cleo"));
}

#[test]
fn what_is_no_class_is_refused() {
    let folder = class(&[]);
    refused(&MAKE, folder.path(), "no scenario is in class");
    refused(
        &["class", "none", "--out", "a.html"],
        folder.path(),
        "none cannot be read",
    );
    fs::write(folder.path().join("class/ada.yaml"), scenario("7 m", "")).expect("written");
    refused(
        &["class", "class/ada.yaml", "--out", "a.html"],
        folder.path(),
        "class/ada.yaml is a file: a class has a folder",
    );
    refused(
        &["class", "class", "--out", "class/ada.yaml"],
        folder.path(),
        "class/ada.yaml",
    );
}

#[test]
fn names_are_shown_and_never_obeyed() {
    let hostile =
        scenario("7 m", "").replace("title: Class", "title: \"<script>alert(1)</script>\"");
    let hostile = hostile.replace("mine:", "\"<img src=x onerror=alert(2)>\":");
    let folder = class(&[
        ("<b>ada.yaml", &hostile),
        ("ben.yaml", &hostile.replace("[7 m", "[9 m")),
    ]);
    done(&MAKE, folder.path());
    let page = page(folder.path());
    // The name of the language of pictures is no address that is asked for.
    let page = page.replace("http://www.w3.org/2000/svg", "");
    for obeyed in [
        "<script", "<img", "<b>", "http:", "https:", "href=", "@import",
    ] {
        assert!(!page.contains(obeyed), "{obeyed} is on the page");
    }
    assert!(page.contains("&lt;script&gt;alert(1)"));
    assert!(page.contains("default-src 'none'"));
}
