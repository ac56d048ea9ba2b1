//! What the program must not do to anybody's files and machine: lose, expose, overwrite, leave behind.

use std::fs;
use std::path::Path;
use std::process::{Command, Output, Stdio};

/// The program with these arguments in this folder.
pub fn shopstride(arguments: &[&str], folder: &Path) -> Output {
    Command::new(env!("CARGO_BIN_EXE_shopstride"))
        .args(arguments)
        .current_dir(folder)
        .stdin(Stdio::null())
        .output()
        .expect("the program runs")
}

pub fn folder() -> tempfile::TempDir {
    tempfile::tempdir().expect("a temporary folder")
}

pub fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// Whatever is in a folder, hidden or not.
pub fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).expect("readable");
    let name = |entry: std::io::Result<fs::DirEntry>| entry.expect("readable").file_name();
    let mut names: Vec<String> = entries
        .map(|entry| name(entry).to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

/// Ends with 2, says these words, and leaves the folder as it was.
fn refused(arguments: &[&str], folder: &Path, said: &str) {
    let before = names(folder);
    let output = shopstride(arguments, folder);
    let errors = text(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{arguments:?}: {errors}");
    assert!(errors.contains(said), "{arguments:?} says:\n{errors}");
    assert!(output.stdout.is_empty(), "{arguments:?}");
    assert_eq!(names(folder), before, "{arguments:?}");
}

fn done(arguments: &[&str], folder: &Path) -> Output {
    let output = shopstride(arguments, folder);
    assert!(output.status.success(), "{}", text(&output.stderr));
    output
}

/// A shop of two layouts, whose charts bear these names.
fn write_shop(folder: &Path, file: &str, layouts: [&str; 2]) {
    let scenario = format!(
        "title: Boxes\nstations: {{saw: {{does: {{rip: {{per piece: 1 min}}}}}}, bench: {{does: {{glue: {{per lot: 1 min}}}}}}}}\n\
         projects: {{box: {{route: [rip, glue]}}}}\norders: [{{project: box}}]\nlayouts:\n  \
         {}: {{distances: {{saw: {{bench: 2 m}}}}}}\n  {}: {{distances: {{saw: {{bench: 3 m}}}}}}\n",
        layouts[0], layouts[1]
    );
    fs::write(folder.join(file), scenario).expect("written");
}

const LIST: &str = ".shopstride-charts";

#[test]
fn charts_of_another_shop_go_and_nothing_else_does() {
    let folder = folder();
    let charts = folder.path().join("shopstride-charts");
    write_shop(folder.path(), "old.yaml", ["alder", "birch"]);
    write_shop(folder.path(), "new.yaml", ["cedar", "dogwood"]);
    done(&["compare", "old.yaml", "-q"], folder.path());
    let old = names(&charts);
    let of_old = |name: &str| name.contains("alder") || name.contains("birch");
    let stale: Vec<&String> = old.iter().filter(|name| of_old(name)).collect();
    assert!(stale.len() >= 2, "{old:?}");
    // What somebody put there, and what somebody has changed.
    fs::write(charts.join("notes.txt"), "mine").expect("written");
    fs::write(charts.join("from-to-9-mine.svg"), "mine").expect("written");
    let changed = stale.first().expect("one at least");
    fs::write(charts.join(changed), "changed").expect("written");

    done(&["compare", "new.yaml", "-q"], folder.path());
    let now = names(&charts);
    let left: Vec<&String> = now.iter().filter(|name| of_old(name)).collect();
    assert_eq!(left, [*changed]);
    assert_eq!(fs::read(charts.join(changed)).expect("there"), b"changed");
    for mine in ["notes.txt", "from-to-9-mine.svg"] {
        assert_eq!(fs::read(charts.join(mine)).expect("there"), b"mine");
    }
    // The same as in a folder of its own, but for these three.
    done(
        &["compare", "new.yaml", "-q", "--charts", "own"],
        folder.path(),
    );
    let own = names(&folder.path().join("own"));
    let ours: Vec<String> = now
        .iter()
        .filter(|name| !["notes.txt", "from-to-9-mine.svg", changed.as_str()].contains(&&***name))
        .cloned()
        .collect();
    assert_eq!(ours, own);
    for name in &own {
        let read = |folder: &Path| fs::read(folder.join(name)).expect("there");
        assert!(
            read(&charts) == read(&folder.path().join("own")),
            "{name} differs"
        );
    }
}

/// The hash of the list: FNV-1a of 64 bits, written once more, so that the forgery below would be believed.
fn fnv1a(bytes: &[u8]) -> u64 {
    let mut hash = 14_695_981_039_346_656_037_u64;
    for &byte in bytes {
        hash ^= u64::from(byte);
        hash = hash.wrapping_mul(1_099_511_628_211);
    }
    hash
}

#[test]
#[cfg(unix)]
fn a_forged_list_removes_nothing_outside_and_links_are_not_followed() {
    use std::os::unix::fs::symlink;
    let folder = folder();
    let charts = folder.path().join("charts");
    fs::create_dir(&charts).expect("made");
    write_shop(folder.path(), "shop.yaml", ["alder", "birch"]);
    let precious = b"precious";
    let outside = ["family.svg", "tax.png", "secret"];
    for name in outside {
        fs::write(folder.path().join(name), precious).expect("written");
    }
    symlink("../family.svg", charts.join("linked.svg")).expect("linked");
    // A chart that leads elsewhere must not be written through, nor may the list be.
    symlink("../secret", charts.join("walking.svg")).expect("linked");
    fs::write(charts.join("stale.svg"), precious).expect("written");
    let absolute = folder.path().join("tax.png");
    let mut list = String::new();
    for name in [
        "../family.svg",
        absolute.to_str().expect("plain"),
        "linked.svg",
        "./../tax.png",
        "stale.svg",
    ] {
        list += &format!("{:016x} {} {name}\n", fnv1a(precious), precious.len());
    }
    fs::write(charts.join(LIST), list).expect("written");
    done(
        &["compare", "shop.yaml", "-q", "--charts", "charts"],
        folder.path(),
    );
    for name in outside {
        let there = fs::read(folder.path().join(name)).expect("still there");
        assert_eq!(there, precious, "{name}");
    }
    // The forger knew the format: what the list may name did go.
    assert!(!charts.join("stale.svg").exists());
    assert!(charts.join("linked.svg").is_symlink());
    assert!(!charts.join("walking.svg").is_symlink());

    fs::remove_file(charts.join(LIST)).expect("removed");
    symlink("../secret", charts.join(LIST)).expect("linked");
    done(
        &["compare", "shop.yaml", "-q", "--charts", "charts"],
        folder.path(),
    );
    assert_eq!(
        fs::read(folder.path().join("secret")).expect("there"),
        precious
    );
    assert!(!charts.join(LIST).is_symlink());
}

#[cfg(unix)]
mod modes {
    use super::*;
    use std::os::unix::fs::PermissionsExt;

    fn mode(file: &Path) -> u32 {
        let file = fs::metadata(file).expect("there");
        file.permissions().mode() & 0o777
    }

    fn put(file: &Path, mode: u32) {
        fs::write(file, "old").expect("written");
        fs::set_permissions(file, fs::Permissions::from_mode(mode)).expect("set");
    }

    const WRITTEN: [(&[&str], &str); 6] = [
        (&["compare", "--no-charts", "--json", "out"], "out"),
        (&["check", "--json", "out"], "out"),
        (&["bottleneck", "--json", "out"], "out"),
        (&["run", "--trace", "out"], "out"),
        (&["run", "--csv", "."], "stations.csv"),
        (&["run", "--charts", "."], "stations.svg"),
    ];

    fn replications(arguments: &[&'static str]) -> Vec<&'static str> {
        let few: &[&str] = match arguments[0] {
            "check" => &[],
            _ => &["--replications", "2"],
        };
        [arguments, few].concat()
    }

    #[test]
    fn what_is_replaced_keeps_its_mode() {
        for (arguments, file) in WRITTEN {
            let folder = folder();
            let file = folder.path().join(file);
            put(&file, 0o600);
            let output = shopstride(&replications(arguments), folder.path());
            // A check finds faults in the built-in garage.
            assert!(output.status.code() < Some(2), "{}", text(&output.stderr));
            assert_eq!(mode(&file), 0o600, "{arguments:?}");
            assert_ne!(fs::read(&file).expect("there"), b"old", "{arguments:?}");
        }
    }

    /// Whoever may do everything could write there, so that the mode has to decide.
    #[test]
    fn what_is_read_only_is_refused_before_anything_is_played() {
        for (arguments, name) in WRITTEN {
            let folder = folder();
            let file = folder.path().join(name);
            put(&file, 0o444);
            let said = format!("{name} cannot be written: it is there already and is read-only");
            refused(&replications(arguments), folder.path(), &said);
            assert_eq!(fs::read(&file).expect("there"), b"old");
            assert_eq!(mode(&file), 0o444);
        }
    }

    #[test]
    fn what_is_new_is_as_the_mask_has_it() {
        let folder = folder();
        let ran = Command::new("sh")
            .args(["-c", "umask 027; exec \"$0\" \"$@\""])
            .arg(env!("CARGO_BIN_EXE_shopstride"))
            .args(["run", "--replications", "2", "-q", "--json", "out"])
            .current_dir(folder.path())
            .output()
            .expect("it runs");
        assert!(ran.status.success());
        assert_eq!(mode(&folder.path().join("out")), 0o640);
    }
}

/// A limit of the size of files stands for a full disk: the name can be made, the contents cannot.
#[test]
#[cfg(unix)]
fn new_leaves_nothing_on_a_full_disk() {
    let folder = folder();
    let ran = Command::new("sh")
        .args(["-c", "trap '' XFSZ; ulimit -f 0; exec \"$0\" new shop.yaml"])
        .arg(env!("CARGO_BIN_EXE_shopstride"))
        .current_dir(folder.path())
        .output()
        .expect("it runs");
    let errors = text(&ran.stderr);
    assert_eq!(ran.status.code(), Some(2), "{errors}");
    assert!(errors.contains("shop.yaml cannot be written"), "{errors}");
    assert!(!errors.contains(".shopstride-"), "{errors}");
    assert_eq!(names(folder.path()), [""; 0]);
}

#[test]
#[cfg(unix)]
fn places_that_cannot_be_are_refused_in_words() {
    use std::os::unix::fs::symlink;
    let folder = folder();
    let at = |name: &str| folder.path().join(name);
    symlink("nowhere", at("lost")).expect("linked");
    symlink("away/nowhere", at("lost far")).expect("linked");
    symlink("round", at("and round")).expect("linked");
    symlink("and round", at("round")).expect("linked");
    fs::create_dir(at("taken")).expect("made");
    fs::create_dir(at("taken/walking.svg")).expect("made");
    let wrong: [(&[&str], &str); 14] = [
        (
            &["run", "--json", "x", "--csv", "x"],
            "--json x: --csv needs a folder of this name",
        ),
        (
            &["run", "--json", "x", "--csv", "./x/"],
            "--csv needs a folder of this name",
        ),
        (
            &["run", "--trace", "x", "--charts", "x/y/z"],
            "--charts needs a folder of this name",
        ),
        (&["run", "--csv", "-"], "--csv writes several files"),
        (
            &["compare", "--charts", "-"],
            "--charts writes several files",
        ),
        (&["run", "--threads", "-1"], "-1 is not in 1..=1024"),
        (&["run", "--replications", "-1"], "-1 is not in 1..=1000000"),
        (&["run", "--seed", "-1"], "it must be a whole number from 0"),
        (
            &["compare", "--doubt", "-5%"],
            "more than 0% and at most 100%",
        ),
        (
            &["compare", "--charts", "lost"],
            "lost is a link to nowhere, which is not there",
        ),
        (
            &["run", "--json", "lost far"],
            "lost far cannot be written: there is no folder away",
        ),
        (
            &["run", "--json", "round"],
            "round cannot be written: it is a link that leads back to itself",
        ),
        (
            &["new", "lost"],
            "lost is a link that leads nowhere, and nothing was written",
        ),
        (
            &["compare", "--charts", "taken"],
            "taken/walking.svg is a folder, not a file",
        ),
    ];
    for (arguments, said) in wrong {
        refused(arguments, folder.path(), said);
    }
    assert!(at("lost").is_symlink() && at("round").is_symlink());
}

#[test]
fn the_list_of_charts_is_not_overwritten_by_an_answer() {
    let folder = folder();
    let arguments = ["compare", "--charts", ".", "--json", LIST];
    refused(
        &arguments,
        folder.path(),
        "--charts writes such files to the same folder",
    );
}

/// So many threads would not start, and would take the memory that the answer needs.
#[test]
fn threads_by_the_hundred_thousand_are_not_started() {
    let folder = folder();
    let of = |threads: &str| {
        Command::new(env!("CARGO_BIN_EXE_shopstride"))
            .args(["compare", "-q", "--replications", "3", "--json", "-"])
            .env("RAYON_NUM_THREADS", threads)
            .current_dir(folder.path())
            .output()
            .expect("the program runs")
    };
    let (few, many) = (of("1"), of("100000"));
    assert!(many.status.success(), "{}", text(&many.stderr));
    assert!(!few.stdout.is_empty() && few.stdout == many.stdout);
}

/// A limit of the address space stands for a small machine.
#[test]
#[cfg(target_os = "linux")]
fn what_takes_more_memory_than_is_free_is_refused_before_it_is_played() {
    let folder = folder();
    let saw = "saw: {does: {rip: {per lot: {exponential: 1 s}}}}";
    let shop = |stations: &str, count: u32, layouts: &str, rest: &str| {
        format!(
            "title: Large\nstations: {{{stations}}}\nprojects: {{box: {{route: [rip]}}}}\n\
             orders: [{{project: box, count: {count}}}]\nlayouts: {{{layouts}}}\n{rest}\n"
        )
    };
    let list = |count: u32, item: &dyn Fn(u32) -> String| {
        (0..count).map(item).collect::<Vec<String>>().join(", ")
    };
    let racks = list(380, &|at| format!("r{at}: {{}}"));
    let many = list(900, &|at| format!("a{at}: {{distances: 0}}"));
    let one = "a: {distances: 0}";
    let cases: [(&str, String, &[&str]); 3] = [
        (
            "run",
            shop(saw, 1_000_000, one, ""),
            &["are for lots that are released at once", "lower `count`"],
        ),
        (
            "compare",
            shop(saw, 100, &many, "run: {replications: 30000}"),
            &["are for what is kept of 900 candidates", "fewer candidates"],
        ),
        (
            "bottleneck",
            shop(
                &format!("{saw}, {racks}"),
                1,
                one,
                "crew: {p: {count: 1000}}\nrun: {replications: 100}",
            ),
            &["are for what is kept of replications", "smaller shop"],
        ),
    ];
    for (command, scenario, said) in cases {
        fs::write(folder.path().join("large.yaml"), scenario).expect("written");
        let ran = Command::new("sh")
            .args(["-c", "ulimit -v 500000; exec \"$0\" \"$@\""])
            .arg(env!("CARGO_BIN_EXE_shopstride"))
            .args([command, "large.yaml", "--threads", "2", "--charts", "drawn"])
            .current_dir(folder.path())
            .output()
            .expect("it runs");
        let errors = text(&ran.stderr);
        assert_eq!(ran.status.code(), Some(2), "{command}: {errors}");
        assert!(errors.contains("512 MB are free"), "{errors}");
        for words in said {
            assert!(errors.contains(words), "{command}: {errors}");
        }
        assert!(ran.stdout.is_empty());
        assert_eq!(names(folder.path()), ["large.yaml"]);
    }
}

/// More threads than there is to do take nothing, and no more replications are held than are played at once.
#[test]
fn memory_grows_with_what_is_asked_for() {
    use shopstride::experiment::{Memory, Replications};
    let scenario = |time: &str, count: u32, layouts: u32| {
        let layouts = (0..layouts).map(|at| format!("a{at}: {{distances: 0}}"));
        format!(
            "title: x\nstations: {{saw: {{does: {{rip: {{per lot: {time}}}}}}}}}\n\
             projects: {{box: {{pieces: 4, batch: 2, route: [rip]}}}}\n\
             orders: [{{project: box, count: {count}}}]\nlayouts: {{{}}}\n",
            layouts.collect::<Vec<String>>().join(", ")
        )
    };
    let of = |count: u32, layouts: u32| {
        let random = "{exponential: 1 s}";
        crate::support::study(&scenario(random, count, layouts))
    };
    let mut study = of(1000, 2);
    let lots = |study: &_, threads| Memory::of(study, 1, threads).lots;
    let one = lots(&study, 1);
    // Two lots an order.
    assert_eq!(lots(&of(500, 2), 1) * 2, one);
    assert_eq!(lots(&study, 4), 4 * one);
    let records = |study: &_, variants| Memory::of(study, variants, 1).records;
    study.settings.replications = Replications::Fixed(2);
    assert_eq!(lots(&study, 1000), 4 * one, "two replications of two");
    let two = records(&study, 1);
    study.settings.replications = Replications::Fixed(32);
    assert_eq!(records(&study, 1), 16 * two, "of four, and of 64");
    study.settings.replications = Replications::Fixed(1000);
    assert_eq!(records(&study, 1), 16 * two, "64 at once");
    assert_eq!(records(&study, 30), 16 * two, "none of changes is kept");
    let mut more = of(1000, 8);
    more.settings.replications = Replications::Fixed(1000);
    assert_eq!(records(&more, 1), 16 * two, "64 of all candidates");
    let kept = |study: &_, variants| Memory::of(study, variants, 1).candidates;
    assert_eq!(kept(&more, 1), 4 * kept(&study, 1));
    // Eight bytes of every replication of a change, besides the walks of those that are played at once.
    let of_changes = |count: u64| kept(&study, 1 + count) - kept(&study, 1);
    assert_eq!(of_changes(30) - of_changes(20), 10 * 8 * 1000);
    // Twenty of each candidate are played before it is looked whether they are enough.
    study.settings.replications = Replications::Precision(0.01);
    more.settings.replications = Replications::Precision(0.01);
    assert_eq!(records(&study, 1), 10 * two);
    assert_eq!(records(&more, 1), 40 * two);
    // Where nothing is left to chance, each candidate is played once.
    let certain = crate::support::study(&scenario("1 s", 1000, 2));
    assert_eq!(lots(&certain, 1000), 2 * one);
}

/// What takes time only by its tear-down, or since something is fetched for it, can always be in progress.
#[test]
fn work_that_only_tears_down_or_fetches_takes_time() {
    let folder = folder();
    let scenario = |operation: &str| {
        format!(
            "title: Boxes\nstations: {{rack: {{}}, saw: {{does: {{rip: {operation}}}}}}}\ngear: {{jig: {{count: 1, stored at: rack}}}}\n\
             projects: {{box: {{material at: saw, route: [rip]}}}}\norders: [{{project: box, in progress: 1}}]\n\
             handling: {{walking speed: 1 m/s, loaded speed: 1 m/s, pick up: 0, put down: 0}}\n\
             layouts: {{a: {{distances: {{rack: {{saw: 5 m}}}}}}}}\nrun: {{until: 1000 s}}\n"
        )
    };
    // Seconds from one order to the next: there and back takes ten.
    let takes: [(&str, f64); 4] = [
        ("{teardown: 20 s}", 20.0),
        ("{fetch from: rack}", 10.0),
        ("{gear: {jig: 1}}", 10.0),
        ("{teardown: 10 s, fetch from: rack}", 20.0),
    ];
    for (operation, seconds) in takes {
        fs::write(folder.path().join("shop.yaml"), scenario(operation)).expect("written");
        let output = done(&["run", "shop.yaml", "-q", "--json", "-"], folder.path());
        let found: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
        let orders = found["candidates"][0]["orders_done"].as_f64();
        let orders = orders.expect("a number");
        assert!(
            (orders - 1000.0 / seconds).abs() <= 1.0,
            "{operation}: {orders} orders"
        );
    }
    for operation in ["{}", "{fetch from: saw}", "{teardown: 0}"] {
        fs::write(folder.path().join("shop.yaml"), scenario(operation)).expect("written");
        refused(&["run", "shop.yaml"], folder.path(), "takes no time");
    }
}

/// A walk of 100 s, and one that is cut after 30 s of it: the metres of walking are those of walks that end.
#[test]
fn a_walk_that_the_horizon_cuts_says_so_and_how_far_it_came() {
    let folder = folder();
    let scenario = "title: Boxes\nstations: {rack: {}, saw: {does: {rip: {per lot: 0}}}}\n\
                    projects: {box: {material at: rack, route: [rip]}}\norders: [{project: box, count: 2}]\n\
                    handling: {walking speed: 1 m/s, loaded speed: 1 m/s, pick up: 0, put down: 0}\n\
                    layouts: {a: {distances: {rack: {saw: 100 m}}}}\nrun: {until: 130 s}\n";
    fs::write(folder.path().join("shop.yaml"), scenario).expect("written");
    let arguments = [
        "run",
        "shop.yaml",
        "-q",
        "--trace",
        "trace.jsonl",
        "--json",
        "-",
    ];
    let output = done(&arguments, folder.path());
    let found: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let trace = fs::read_to_string(folder.path().join("trace.jsonl")).expect("written");
    let lines = trace
        .lines()
        .map(|line| serde_json::from_str::<serde_json::Value>(line).expect("JSON"));
    let walks: Vec<serde_json::Value> = lines.filter(|line| line["what"] == "walk").collect();
    let told: Vec<(f64, f64, bool)> = walks
        .iter()
        .filter(|walk| walk["start_s"] != walk["end_s"])
        .map(|walk| {
            let number = |key: &str| walk[key].as_f64().expect("a number");
            (number("end_s"), number("metres"), walk["cut"] == true)
        })
        .collect();
    assert_eq!(told, [(100.0, 100.0, false), (130.0, 30.0, true)]);
    // An end that falls on the horizon is an end.
    assert_eq!(found["candidates"][0]["walking"]["mean_m"], 100.0);
    let scenario = scenario.replace("130 s", "200 s");
    fs::write(folder.path().join("shop.yaml"), scenario).expect("written");
    let output = done(&arguments, folder.path());
    let found: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    assert_eq!(found["candidates"][0]["walking"]["mean_m"], 200.0);
    let trace = fs::read_to_string(folder.path().join("trace.jsonl")).expect("written");
    // The next one begins at the horizon at the soonest.
    let lines = trace
        .lines()
        .map(|line| serde_json::from_str::<serde_json::Value>(line).expect("JSON"));
    let is_cut = |line: &serde_json::Value| line["what"] == "walk" && line["cut"] == true;
    let came: Vec<f64> = lines
        .filter(is_cut)
        .map(|line| line["metres"].as_f64().expect("a number"))
        .collect();
    assert!(came.iter().all(|metres| *metres == 0.0), "{came:?}");
}
