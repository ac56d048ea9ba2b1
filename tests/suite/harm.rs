//! What the program must not do to anybody's files: lose, expose, overwrite, leave behind.

use std::fs;
use std::path::Path;
use std::process::Command;

use crate::support::command::{done, folder, names, refused, shopstride, text};

/// A shop of two layouts, whose charts bear these names.
pub fn write_shop(folder: &Path, file: &str, layouts: [&str; 2]) {
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

/// Whose charts are gone is said, once, whatever the scenarios are called within; not where a scenario has been changed.
#[test]
fn whose_charts_were_replaced_is_said() {
    let folder = folder();
    for file in ["mine.yaml", "yours.yaml"] {
        write_shop(folder.path(), file, ["alder", "birch"]);
    }
    let said = |arguments: &[&str]| {
        let output = shopstride(arguments, folder.path());
        assert!(output.status.success(), "{arguments:?}");
        text(&output.stderr)
    };
    let first = said(&["compare", "mine.yaml"]);
    assert!(!first.contains("take the place"), "{first}");
    write_shop(folder.path(), "mine.yaml", ["cedar", "dogwood"]);
    let again = said(&["compare", "./mine.yaml"]);
    assert!(!again.contains("take the place"), "{again}");
    let other = said(&["compare", "yours.yaml"]);
    assert!(
        other.contains("They take the place of charts of mine.yaml; --charts names a folder"),
        "{other}"
    );
    let again = said(&["compare", "yours.yaml"]);
    assert!(!again.contains("take the place"), "{again}");
    let apart = said(&["compare", "mine.yaml", "--charts", "apart"]);
    assert!(!apart.contains("take the place"), "{apart}");
}

/// A file that has the name of a chart, and that no list has, may be anybody's.
#[test]
fn a_file_of_a_chart_s_name_that_is_not_ours_is_not_drawn_over() {
    let folder = folder();
    write_shop(folder.path(), "shop.yaml", ["alder", "birch"]);
    let charts = folder.path().join("shopstride-charts");
    fs::create_dir(&charts).expect("made");
    let mine = charts.join("walking.svg");
    fs::write(&mine, "mine").expect("written");
    let arguments = [
        "compare",
        "shop.yaml",
        "-q",
        "--json",
        "all.json",
        "--csv",
        "tables",
    ];
    let refused = shopstride(&arguments, folder.path());
    let errors = text(&refused.stderr);
    assert_eq!(refused.status.code(), Some(2), "{errors}");
    // However its lines are broken.
    let words: Vec<&str> = errors.split_whitespace().collect();
    assert!(
        (words.join(" "))
            .contains("walking.svg is there already, and this program did not draw it"),
        "{errors}"
    );
    assert_eq!(names(&charts), ["walking.svg"]);
    assert_eq!(fs::read(&mine).expect("there"), b"mine");
    assert!(!folder.path().join("all.json").exists());
    assert!(names(&folder.path().join("tables")).is_empty());
    // One that is not drawn now is in nobody's way.
    fs::rename(&mine, charts.join("walking.json")).expect("renamed");
    done(&arguments, folder.path());
    assert_eq!(
        fs::read(charts.join("walking.json")).expect("there"),
        b"mine"
    );
    // What is drawn there already is the same.
    fs::remove_file(charts.join(LIST)).expect("removed");
    done(&arguments, folder.path());
}

/// Somebody has drawn an arrow into a chart: the next answer leaves it, whichever scenario it is of, and says what to do.
#[test]
fn a_chart_that_has_been_changed_is_not_drawn_over() {
    let folder = folder();
    write_shop(folder.path(), "shop.yaml", ["alder", "birch"]);
    write_shop(folder.path(), "other.yaml", ["cedar", "dogwood"]);
    let charts = folder.path().join("shopstride-charts");
    done(&["compare", "shop.yaml", "-q"], folder.path());
    let drawn = names(&charts);
    let walking = charts.join("walking.svg");
    let ours = fs::read(&walking).expect("there");
    let theirs = [&ours[..], b"<!-- an arrow -->"].concat();
    fs::write(&walking, &theirs).expect("written");
    for (scenario, all) in [("shop.yaml", "all.json"), ("other.yaml", "other.json")] {
        let output = shopstride(&["compare", scenario, "-q", "--json", all], folder.path());
        let errors = text(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{errors}");
        let words: Vec<&str> = errors.split_whitespace().collect();
        assert!(
            words.join(" ").contains(
                "walking.svg has been changed since it was drawn: rename it to keep it, delete it to have it drawn \
                 again, or name another folder"
            ),
            "{errors}"
        );
        assert_eq!(names(&charts), drawn);
        assert_eq!(fs::read(&walking).expect("there"), theirs);
        assert!(!folder.path().join(all).exists());
    }
    fs::rename(&walking, charts.join("mine.svg")).expect("renamed");
    done(&["compare", "shop.yaml", "-q"], folder.path());
    assert_eq!(fs::read(&walking).expect("there"), ours);
    assert_eq!(fs::read(charts.join("mine.svg")).expect("there"), theirs);
    // Charts that nobody has touched are drawn again, also when they come out different.
    write_shop(folder.path(), "shop.yaml", ["elm", "fir"]);
    done(&["compare", "shop.yaml", "-q"], folder.path());
    assert_ne!(fs::read(&walking).expect("there"), ours);
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

    const STATIONS_CSV: &str = "candidate,station,utilisation,running_s,setup_s,curing_s,reserved_s,idle_s,\
                                queue_mean,queue_max,wait_mean_s,lots\n";

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
            // A chart that is replaced was drawn by the program.
            if arguments.contains(&"--charts") {
                let listed = format!("{:016x} 3 stations.svg\n", fnv1a(b"old"));
                fs::write(folder.path().join(LIST), listed).expect("written");
            }
            // A table is replaced by a table with the same headings.
            if arguments.contains(&"--csv") {
                fs::write(&file, STATIONS_CSV).expect("written");
            }
            let before = fs::read(&file).expect("there");
            let output = shopstride(&replications(arguments), folder.path());
            // A check finds faults in the built-in garage.
            assert!(output.status.code() < Some(2), "{}", text(&output.stderr));
            assert_eq!(mode(&file), 0o600, "{arguments:?}");
            assert_ne!(fs::read(&file).expect("there"), before, "{arguments:?}");
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
        (
            &["run", "--threads", "-1"],
            "it must be a whole number from 1 to 1024",
        ),
        (
            &["run", "--replications", "-1"],
            "it must be a whole number from 1 to 1000000",
        ),
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
