//! What `run --details` prints of a queue, against queueing theory: `scenarios/queue.yaml`, by hand.

use std::path::Path;

use crate::relief::{assert_untried, lead_time, named, relief_of};
use crate::support::command::{done, text};
use crate::support::study;

/// A mean over 200 runs may be so many standard errors away from the truth; half of an interval of 95 % is 1.97.
const STANDARD_ERRORS: f64 = 4.0;
const HALF_WIDTH: f64 = 1.97;
/// An interval that is wider than this share of the truth would not be worth much.
const MOST_HALF_WIDTH: f64 = 0.04;

/// The table row that begins with these words, without them.
fn row(answer: &str, begins: &str) -> String {
    let row = answer
        .lines()
        .find_map(|line| line.trim_start().strip_prefix(begins));
    row.unwrap_or_else(|| panic!("no row {begins}:\n{answer}"))
        .to_owned()
}

/// Mean and half-width of the figures that are written with one.
fn estimates(row: &str) -> Vec<(f64, f64)> {
    let words: Vec<&str> = row.split_whitespace().collect();
    let number = |word: &str| -> f64 { word.parse().expect("a number") };
    (words.windows(3))
        .filter(|words| words[1] == "±")
        .map(|words| (number(words[0]), number(words[2])))
        .collect()
}

fn assert_near(what: &str, truth: f64, (mean, half_width): (f64, f64)) {
    let off = (mean - truth).abs() / (half_width / HALF_WIDTH);
    assert!(
        off <= STANDARD_ERRORS,
        "{what}: {mean} ± {half_width}, not {truth}"
    );
    assert!(
        half_width <= MOST_HALF_WIDTH * truth,
        "{what}: ± {half_width} of {truth}"
    );
}

/// λ = 3/h, μ = 4/h, ρ = 3/4. Waiting: ρ²/(1 − ρ) lots where service is exponential (Kleinrock, Queueing Systems I,
/// 1975, section 3.2), half of that where it is fixed (Pollaczek and Khinchine; ibid., section 5.6). With the one at
/// work that is L, and W = L/λ (Little 1961).
fn assert_queue(layout: &str, waiting: f64) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let output = done(
        &[
            "run",
            "queue.yaml",
            "--layout",
            layout,
            "--details",
            "--quiet",
        ],
        &folder,
    );
    let answer = text(&output.stdout);
    let (rate, busy) = (3.0, 0.75);
    let in_shop = waiting + busy;
    let only = |begins: &str| {
        let row = row(&answer, begins);
        let estimates = estimates(&row);
        assert_eq!(estimates.len(), 1, "{row}");
        estimates[0]
    };
    let (orders, done, time) = (
        only("in the shop (L)"),
        only("done (λ)"),
        only("start to finish (W)"),
    );
    assert_near("L", in_shop, orders);
    assert_near("λ", rate, done);
    assert_near("W in hours", in_shop / rate, time);
    assert!(
        row(&answer, "done (λ)").ends_with(" /h")
            && row(&answer, "start to finish (W)").ends_with(" h")
    );
    // By hand, from what is printed: the few orders that the ends of the measured time cut through matter less than the
    // ratio of means in place of a mean of ratios, and both less than 1 %.
    let product = done.0 * time.0;
    assert!(
        (product / orders.0 - 1.0).abs() < 0.01,
        "{product} {}",
        orders.0
    );
    let station = answer
        .lines()
        .find(|line| line.starts_with(" sharpening bench") && line.contains('±'));
    let station = estimates(station.expect("queue and wait have intervals"));
    let [queue, wait] = station[..] else {
        panic!("{station:?}");
    };
    assert_near("queue", waiting, queue);
    assert_near("wait in minutes", waiting / rate * 60.0, wait);
    // 1000 of the 1100 hours are measured.
    let said = answer.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        said.contains("Shares and means are of the 1000 h of a run that follow 100 h of warm-up."),
        "{said}"
    );
    assert!(
        said.contains("sharpening bench 75 % 75 % 0 % 0 % 0 % 25 %"),
        "{said}"
    );
}

#[test]
fn a_queue_before_one_server_with_exponential_service() {
    assert_queue("as they come", 0.75 * 0.75 / 0.25);
}

/// The figures that the README reckons with are those that the program prints.
#[test]
fn the_readme_reckons_with_what_is_printed() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let readme = std::fs::read_to_string(root.join("README.md")).expect("readable");
    let output = done(
        &["run", "queue.yaml", "--details", "--quiet"],
        &root.join("scenarios"),
    );
    let answer = text(&output.stdout);
    for begins in ["in the shop (L)", "done (λ)", "start to finish (W)"] {
        let (printed, shown) = (row(&answer, begins), row(&readme, begins));
        assert_eq!(printed.trim(), shown.trim(), "{begins}");
    }
}

#[test]
fn a_queue_before_one_server_with_fixed_service() {
    assert_queue("each 15 minutes", 0.75 * 0.75 / 0.25 / 2.0);
}

/// A second bench together with a second person, of which neither helps without the other: W = 1/(μ(1 − ρ²/4)) with two
/// servers (Kleinrock, Queueing Systems I, 1975, section 3.5), as the bottleneck analysis has it and as a layout says it.
#[test]
fn one_more_bench_with_a_person_is_tried_where_each_alone_brings_nothing() {
    let (arrivals, served, busy) = (3.0, 4.0, 0.75);
    let alone = 1.0 / (served - arrivals);
    let both = 1.0 / (served * (1.0 - busy * busy / 4.0));
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/queue.yaml");
    let queue = study(&std::fs::read_to_string(path).expect("readable"));
    let reliefs = relief_of(&queue, "one more, with a person");
    let relief = named(&reliefs, "sharpening bench", "one more, with a person");
    let difference = relief.lead_time.expect("orders are done").difference;
    assert_near(
        "minutes saved",
        (alone - both) * 60.0,
        (
            -difference.mean / 60.0,
            difference.half_width.expect("runs differ") / 60.0,
        ),
    );
    let person = relief_of(&queue, "one more");
    let changes = person.list.iter().map(lead_time).collect::<Vec<_>>();
    assert_eq!(changes, [0.0], "a person without a bench");
    assert_untried(
        &person,
        "sharpening bench",
        "one more",
        "there is already one for each person",
    );
    let output = done(
        &[
            "run",
            "queue.yaml",
            "--layout",
            "two benches, two people",
            "--details",
            "--quiet",
        ],
        &Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios"),
    );
    let printed = estimates(&row(&text(&output.stdout), "in the shop (L)"));
    assert_near("L", arrivals * both, printed[0]);
}

/// With faster work a blade fewer of three thousand is done before the run ends: that is where the end cuts, and no cost that
/// makes help of no account.
#[test]
fn an_order_at_the_end_of_a_run_is_no_cost() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let of = ["--layout", "each 15 minutes", "--replications", "50"];
    let output = done(
        &[&["bottleneck", "queue.yaml", "--quiet"], &of[..]].concat(),
        &folder,
    );
    let answer = text(&output.stdout);
    let answer = answer.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        answer.contains("At hand") && !answer.contains("does not count as help"),
        "{answer}"
    );
}
