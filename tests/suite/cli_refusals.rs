//! What is typed or written where it must not be: refused with 2, and nothing is written.

use std::process::Command;

use serde_json::Value;

use crate::support::command::{folder, names, shopstride, text};

/// Wrong input: what is typed, and words of what is said.
const WRONG: [(&[&str], &[&str]); 26] = [
    (
        &["compare", "missing.yaml"],
        &["missing.yaml cannot be read", "shopstride new"],
    ),
    (&["compare", "."], &["cannot be read"]),
    (
        &["compare", "--base", "workng order"],
        &["no layout `workng order`", "did you mean `working order`?"],
    ),
    (
        &["run", "--layout", "nothing like it"],
        &["there are: `as it grew`, `working order`"],
    ),
    (&["run", "--replications", "0"], &["--replications"]),
    (
        &["bottleneck", "--csv", "tables"],
        &["tip: --csv is an option of `compare` and `run`"],
    ),
    (
        &["compare", "--layout", "working order"],
        &["--layout is an option of ", "`run`", "`compare` has --base"],
    ),
    (
        &["compare", "--layuot", "working order"],
        &["--layout is an option of ", "`compare` has --base"],
    ),
    (&["run", "--layuot", "x"], &["similar", "--layout"]),
    (
        &["garage.yaml"],
        &[
            "no command says what to do",
            "shopstride compare garage.yaml",
        ],
    ),
    (
        &["run", "--doubt=20%"],
        &["tip: --doubt is an option of `compare`"],
    ),
    (
        &["compare", "--chart-scale", "99"],
        &["it must lie between"],
    ),
    (&["run", "--chart-scale", "2"], &["--charts <DIR>"]),
    (
        &["run", "--replication", "2"],
        &[
            "--replication 2 says which run to draw, to write or to tell",
            "`--replications 2` plays 2 runs",
        ],
    ),
    (
        &["compare", "--no-charts", "--chart-scale", "2"],
        &["cannot be used with"],
    ),
    (
        &["compare", "--seed", "abc"],
        &["it must be a whole number from 0"],
    ),
    (
        &["compare", "--json", "no/such/folder.json"],
        &["there is no folder no/such"],
    ),
    (
        &["run", "--json", "-", "--trace", "-"],
        &["only one of --json and --trace"],
    ),
    (
        &[
            "run",
            "--replications",
            "3",
            "--replication",
            "4",
            "--trace",
            "-",
        ],
        &["there are only 3 runs"],
    ),
    (&["new", "-"], &["name a file"]),
    (
        &["compare", "--doubt", "101%"],
        &["more than 0% and at most 100%"],
    ),
    (
        &["compare", "--doubt", "0%"],
        &["more than 0% and at most 100%"],
    ),
    (
        &["compare", "broken.yaml", "broken.yaml"],
        &[
            "error: broken.yaml is one file too many: each command reads one scenario",
            "below `layouts`",
        ],
    ),
    (
        &["compare", "one.yaml", "other.yml"],
        &["error: other.yml is one file too many"],
    ),
    (
        &["run", "broken.yaml", "nonsense"],
        &["unexpected argument 'nonsense' found"],
    ),
    (
        &["compare", "broken.yaml"],
        &["broken.yaml:2:", "did you mean `stations`?"],
    ),
];

#[test]
fn wrong_input_ends_with_2_and_writes_nothing() {
    for (arguments, said) in WRONG {
        let folder = folder();
        std::fs::write(
            folder.path().join("broken.yaml"),
            "title: Broken\nstatoins: {}\n",
        )
        .expect("written");
        let output = shopstride(arguments, folder.path());
        let errors = text(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {errors}");
        for words in said {
            assert!(errors.contains(words), "{arguments:?} says:\n{errors}");
        }
        assert!(output.stdout.is_empty(), "{arguments:?}");
        assert_eq!(names(folder.path()), ["broken.yaml"], "{arguments:?}");
    }
}

/// A folder with a small scenario of one's own and a link to it.
#[cfg(unix)]
fn folder_with_a_link() -> tempfile::TempDir {
    let folder = folder();
    let scenario = include_bytes!("../../scenarios/minimal.yaml");
    std::fs::write(folder.path().join("mine.yaml"), scenario).expect("written");
    std::os::unix::fs::symlink("mine.yaml", folder.path().join("link.yaml")).expect("linked");
    folder
}

#[test]
#[cfg(unix)]
fn nothing_is_written_over_the_scenario_or_twice_to_one_file() {
    let wrong: [(&[&str], &str); 9] = [
        (
            &["run", "mine.yaml", "--json", "mine.yaml"],
            "that is the scenario itself",
        ),
        (
            &["run", "mine.yaml", "--trace", "./link.yaml"],
            "that is the scenario itself",
        ),
        (
            &["compare", "link.yaml", "--no-charts", "--json", "mine.yaml"],
            "that is the scenario itself",
        ),
        (
            &["bottleneck", "mine.yaml", "--json", "link.yaml"],
            "that is the scenario itself",
        ),
        (
            &["check", "mine.yaml", "--json", "link.yaml"],
            "that is the scenario itself",
        ),
        (
            &["run", "mine.yaml", "--json", "out", "--trace", "./out"],
            "--json and --trace ./out: both name the same file",
        ),
        (
            &["run", "--json", "mine.yaml", "--trace", "link.yaml"],
            "both name the same file",
        ),
        (
            &["run", "--json", "crew.csv", "--csv", "."],
            "--csv writes such files to the same folder",
        ),
        (
            &["compare", "--json", "legs.svg", "--charts", "."],
            "--charts writes such files to the same folder",
        ),
    ];
    for (arguments, said) in wrong {
        let folder = folder_with_a_link();
        let before = std::fs::read(folder.path().join("mine.yaml")).expect("there");
        let output = shopstride(arguments, folder.path());
        let errors = text(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {errors}");
        assert!(errors.contains(said), "{arguments:?} says:\n{errors}");
        assert!(output.stdout.is_empty(), "{arguments:?}");
        assert_eq!(names(folder.path()), ["link.yaml", "mine.yaml"]);
        let after = std::fs::read(folder.path().join("mine.yaml")).expect("there");
        assert!(before == after, "{arguments:?}");
    }
}

#[test]
#[cfg(unix)]
fn output_goes_through_links_and_into_what_is_no_file() {
    use std::os::unix::fs::FileTypeExt;
    let folder = folder_with_a_link();
    let at = |name: &str| folder.path().join(name);
    std::fs::create_dir(at("results")).expect("made");
    // One link to a file, one to nothing yet.
    std::fs::write(at("results/old.json"), "old").expect("written");
    std::os::unix::fs::symlink("results/old.json", at("to-old")).expect("linked");
    std::os::unix::fs::symlink("results/new.jsonl", at("to-new")).expect("linked");
    let arguments = [
        "run",
        "mine.yaml",
        "--quiet",
        "--json",
        "to-old",
        "--trace",
        "to-new",
    ];
    let output = shopstride(&arguments, folder.path());
    assert!(output.status.success(), "{}", text(&output.stderr));
    assert!(at("to-old").is_symlink() && at("to-new").is_symlink());
    assert_eq!(names(&at("results")), ["new.jsonl", "old.json"]);
    let written = std::fs::read(at("results/old.json")).expect("written");
    serde_json::from_slice::<Value>(&written).expect("it is JSON");

    let made = Command::new("mkfifo").arg(at("pipe")).status();
    assert!(made.expect("mkfifo runs").success());
    let reader = {
        let pipe = at("pipe");
        std::thread::spawn(move || std::fs::read(pipe).expect("readable"))
    };
    let arguments = ["run", "mine.yaml", "--quiet", "--json", "pipe"];
    let output = shopstride(&arguments, folder.path());
    assert!(output.status.success(), "{}", text(&output.stderr));
    let kind = std::fs::symlink_metadata(at("pipe")).expect("there");
    assert!(kind.file_type().is_fifo());
    assert!(reader.join().expect("it reads") == written);

    let arguments = [
        "run",
        "mine.yaml",
        "--json",
        "/dev/null",
        "--trace",
        "/dev/null",
    ];
    assert!(shopstride(&arguments, folder.path()).status.success());
    let arguments = ["run", "mine.yaml", "--quiet", "--json", "/dev/full"];
    let output = shopstride(&arguments, folder.path());
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("/dev/full cannot be written"));
}

/// /proc takes no files of anybody, not even of those who may do everything.
#[test]
#[cfg(target_os = "linux")]
fn a_folder_that_takes_no_files_is_found_before_anything_is_played() {
    let folder = folder();
    let wrong: [&[&str]; 4] = [
        &["run", "--json", "/proc/answer.json"],
        &["compare", "--json", "/proc/answer.json"],
        &["compare", "--charts", "/proc"],
        &["run", "--csv", "/proc"],
    ];
    for arguments in wrong {
        let output = shopstride(arguments, folder.path());
        let errors = text(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {errors}");
        assert!(errors.contains("cannot be written"), "{errors}");
        assert!(!errors.contains(".shopstride-"), "{errors}");
        assert!(output.stdout.is_empty(), "{arguments:?}");
        assert_eq!(names(folder.path()), [""; 0], "{arguments:?}");
    }
}

#[test]
fn a_table_replaces_a_table_and_nothing_else() {
    let folder = folder();
    let tables = folder.path().join("tables");
    let arguments = [
        "run",
        "--replications",
        "2",
        "--csv",
        "tables",
        "--json",
        "answer.json",
    ];
    let run = || shopstride(&arguments, folder.path());
    assert!(run().status.success());
    // One of an earlier run, with other rows.
    let crew = tables.join("crew.csv");
    let written = std::fs::read_to_string(&crew).expect("it was written");
    let headings = written.lines().next().expect("it has headings");
    std::fs::write(&crew, format!("{headings}\nearlier\n")).expect("the folder takes files");
    assert!(run().status.success());
    assert_eq!(
        std::fs::read_to_string(&crew).expect("it was written"),
        written
    );
    // Somebody's own list of people.
    let theirs = "name,telephone\nmaker,12\n";
    std::fs::write(&crew, theirs).expect("the folder takes files");
    std::fs::remove_file(folder.path().join("answer.json")).expect("it was written");
    std::fs::remove_file(tables.join("candidates.csv")).expect("it was written");
    let refused = run();
    let errors = text(&refused.stderr);
    assert_eq!(refused.status.code(), Some(2), "{errors}");
    assert!(
        errors.contains("it is no table of this program"),
        "{errors}"
    );
    assert_eq!(
        std::fs::read_to_string(&crew).expect("it is theirs"),
        theirs
    );
    assert_eq!(names(folder.path()), ["tables"]);
    assert!(!tables.join("candidates.csv").exists());
}

/// What a step takes does not depend on where things stand, but for the way of what is carried.
#[test]
fn times_are_told_where_nobody_can_stand() {
    let folder = folder();
    let shop = "title: x\nroom: {size: [4 m, 4 m]}\n\
                stations: {saw: {size: [1 m, 1 m], does: {rip: {per lot: 7 min}}}}\n\
                projects: {box: {pieces: 4, material at: saw, route: [rip]}}\norders: [{project: box}]\n\
                layouts: {a: {at: {saw: [2 m, 50 cm]}}}\n";
    std::fs::write(folder.path().join("shop.yaml"), shop).expect("the folder takes files");
    let run = shopstride(&["run", "shop.yaml"], folder.path());
    assert!(text(&run.stderr).contains("nobody can stand at `saw`"));
    let times = shopstride(&["times", "shop.yaml"], folder.path());
    assert!(times.status.success(), "{}", text(&times.stderr));
    let told = text(&times.stdout).replace('\n', " ");
    assert!(told.contains("rip at saw: 7.00 min"), "{told}");
    assert!(told.contains("carries go straight here"), "{told}");
    let free = shop.replace("[2 m, 50 cm]", "[2 m, 2 m]");
    std::fs::write(folder.path().join("shop.yaml"), free).expect("the folder takes files");
    let times = shopstride(&["times", "shop.yaml"], folder.path());
    assert!(!text(&times.stdout).contains("straight"));
}
