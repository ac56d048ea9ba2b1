//! What the program must not do to anybody's machine: take all of its threads or memory.

use std::fs;
use std::process::Command;

use crate::support::command::{folder, names, text};

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
            &["are for what is kept of 900 layouts", "fewer layouts"],
        ),
        (
            "bottleneck",
            shop(
                &format!("{saw}, {racks}"),
                1,
                one,
                "crew: {p: {count: 1000}}\nrun: {replications: 100}",
            ),
            &["are for what is kept of runs", "smaller shop"],
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
        // However its lines are broken.
        let errors: Vec<String> = text(&ran.stderr)
            .split_whitespace()
            .map(str::to_owned)
            .collect();
        let errors = errors.join(" ");
        assert_eq!(ran.status.code(), Some(2), "{command}: {errors}");
        // What the program takes by itself is no longer free.
        let free = errors.split(" MB are free").next().expect("a part");
        let free = free.rsplit(' ').next().and_then(|free| free.parse().ok());
        assert!(
            free.is_some_and(|free: u32| (200..512).contains(&free)),
            "{errors}"
        );
        for words in said {
            assert!(errors.contains(words), "{command}: {errors}");
        }
        assert!(ran.stdout.is_empty());
        assert_eq!(names(folder.path()), ["large.yaml"]);
    }
}

/// A limit below what the program itself needs is told before it begins, not by an end in the middle of an answer.
#[test]
#[cfg(target_os = "linux")]
fn a_limit_of_memory_below_what_the_program_needs_is_told() {
    let folder = folder();
    for kilobytes in [100_000, 150_000, 190_000] {
        let limited = format!("ulimit -v {kilobytes}; exec \"$0\" \"$@\"");
        let ran = Command::new("sh")
            .args(["-c", &limited])
            .arg(env!("CARGO_BIN_EXE_shopstride"))
            .args(["compare", "--threads", "2"])
            .current_dir(folder.path())
            .output()
            .expect("it runs");
        let errors = text(&ran.stderr);
        assert_eq!(ran.status.code(), Some(2), "{kilobytes}: {errors}");
        assert!(
            errors.contains("of memory, and needs 201 MB to start"),
            "{errors}"
        );
        assert!(errors.contains("ulimit -v"), "{errors}");
        assert!(ran.stdout.is_empty() && names(folder.path()).is_empty());
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
