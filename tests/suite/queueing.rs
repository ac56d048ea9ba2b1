//! The engine against queueing theory, deterministic lines and another program's benchmark shop.
//!
//! `data/queueing` says where the reference values come from. One unit of time there is a minute here.

use crate::support::{data, record, records, study, trace};
use serde_json::Value;
use shopstride::experiment::Replications;
use shopstride::metrics::{Record, What};
use std::fmt::Write;

/// A mean over replications may be so many of its standard errors away from the truth.
const STANDARD_ERRORS: f64 = 4.0;
/// A check with a larger standard error, in proportion to the value, would not be worth much.
const MOST_RELATIVE_ERROR: f64 = 0.04;

const MINUTE: f64 = 60e6;

fn reference(id: &str) -> Value {
    let all: Value =
        serde_json::from_str(&data("queueing/reference.json")).expect("the references are JSON");
    let list = all["records"].as_array().expect("a list of records");
    let found = list.iter().find(|record| record["id"] == id);
    found
        .unwrap_or_else(|| panic!("no record is called {id}"))
        .clone()
}

fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("{value} is not a number"))
}

/// A ratio of two sums over replications, with the standard error of a ratio estimate (from the spread of
/// numerator less ratio times denominator).
struct Ratio {
    value: f64,
    standard_error: f64,
}

fn ratio(records: &[Record], of: impl Fn(&Record) -> (f64, f64)) -> Ratio {
    let pairs: Vec<(f64, f64)> = records.iter().map(of).collect();
    let n = pairs.len() as f64;
    let (above, below): (f64, f64) = pairs
        .iter()
        .fold((0.0, 0.0), |sum, pair| (sum.0 + pair.0, sum.1 + pair.1));
    let value = above / below;
    let squares: f64 = pairs.iter().map(|(a, b)| (a - value * b).powi(2)).sum();
    Ratio {
        value,
        standard_error: (squares / (n - 1.0) / n).sqrt() / (below / n),
    }
}

fn check(what: &str, truth: f64, found: Ratio) {
    let Ratio {
        value,
        standard_error,
    } = found;
    let off = (value - truth) / standard_error;
    println!("{what}: {value:.5} for {truth:.5}, {off:+.2} standard errors of {standard_error:.5}");
    assert!(
        standard_error > 0.0 && standard_error <= MOST_RELATIVE_ERROR * truth,
        "{what}: a standard error of {standard_error} says little of {truth}"
    );
    assert!(
        off.abs() <= STANDARD_ERRORS,
        "{what} is {value}, {off} standard errors away from {truth}"
    );
}

fn measured_minutes(record: &Record) -> f64 {
    record.measured().micros() as f64 / MINUTE
}

/// Mean minutes in a station's queue.
fn wait(records: &[Record], station: usize) -> Ratio {
    ratio(records, |record| {
        let station = &record.stations[station];
        (
            station.waited.micros() as f64 / MINUTE,
            station.waits as f64,
        )
    })
}

/// Mean number in a station's queue.
fn queue(records: &[Record], station: usize) -> Ratio {
    ratio(records, |record| {
        (
            record.stations[station].queue as f64 / MINUTE,
            measured_minutes(record),
        )
    })
}

/// Mean number of units at work.
fn busy(records: &[Record], station: usize) -> Ratio {
    ratio(records, |record| {
        (
            record.stations[station].busy().micros() as f64 / MINUTE,
            measured_minutes(record),
        )
    })
}

/// Orders done in a minute.
fn throughput(records: &[Record]) -> Ratio {
    ratio(records, |record| {
        (record.orders_done() as f64, measured_minutes(record))
    })
}

fn lead_time(records: &[Record]) -> Ratio {
    ratio(records, |record| {
        let sum: i128 = record
            .projects
            .iter()
            .map(|project| project.lead_time)
            .sum();
        (sum as f64 / MINUTE, record.orders_done() as f64)
    })
}

/// Little's law as an identity: whoever counts the lots in a queue over time and whoever adds up the lots' waits
/// count the same area. It holds to the microsecond if the measured time begins with an empty shop.
fn assert_queues_are_waits(records: &[Record]) {
    for record in records {
        assert!(record.from.micros() == 0, "the shop begins empty");
        for station in &record.stations {
            assert_eq!(station.queue, i128::from(station.waited.micros()));
        }
    }
}

/// The same of the whole shop: it begins and ends empty.
fn assert_orders_are_lead_times(records: &[Record]) {
    for record in records {
        let sum: i128 = record
            .projects
            .iter()
            .map(|project| project.lead_time)
            .sum();
        assert_eq!(record.in_process, sum);
    }
}

/// A shop whose stations work alone, one after the other, where nothing has to be carried: name, count and keys of
/// the operation that has the station's name.
fn alone(stations: &[(&str, u64, String)], orders: &str, run: &str) -> String {
    let mut yaml = "title: Queues\nstations:\n".to_string();
    for (name, count, work) in stations {
        writeln!(
            yaml,
            "  {name}: {{count: {count}, does: {{{name}: {{people: 0, {work}}}}}}}"
        )
        .unwrap();
    }
    let route: Vec<&str> = stations.iter().map(|(name, _, _)| *name).collect();
    // One seed for all would give all of them the same arrivals, stretched: then they would be one check, not many.
    let text = format!("{yaml}{orders}{run}");
    let seed = text.bytes().fold(7, |seed, byte| {
        (seed * 31 + u64::from(byte)) % 1_000_000_007
    });
    writeln!(
        yaml,
        "handling: {{pick up: 0, put down: 0}}
projects:
  job: {{pieces: 1, route: [{}]}}
orders:
  - {{project: job, {orders}}}
layouts:
  together: {{distances: 0}}
run: {{seed: {seed}, {run}}}",
        route.join(", ")
    )
    .unwrap();
    yaml
}

fn exponential(mean: f64) -> String {
    format!("per lot: {{exponential: {mean} min}}")
}

fn service(parameters: &Value) -> String {
    let service = &parameters["service"];
    let minutes = |key: &str| format!("{} min", number(&service[key]));
    match service["distribution"].as_str() {
        None => exponential(1.0 / number(&parameters["service_rate"])),
        Some("deterministic") => format!("per lot: {}", minutes("value")),
        Some("triangular") => format!(
            "per lot: {{triangular: [{}, {}, {}]}}",
            minutes("min"),
            minutes("mode"),
            minutes("max")
        ),
        Some("uniform") => format!(
            "per lot: {{uniform: [{}, {}]}}",
            minutes("min"),
            minutes("max")
        ),
        Some(other) => panic!("no service is called {other}"),
    }
}

/// The open queues with one station: the horizon is the time of 12,000 arrivals after a warm-up of 1,000.
fn open_queue(id: &str) {
    let reference = reference(id);
    let parameters = &reference["parameters"];
    let values = &reference["values"];
    let rate = number(&parameters["arrival_rate"]);
    let servers = parameters["servers"].as_u64().unwrap_or(1);
    let yaml = alone(
        &[("server", servers, service(parameters))],
        &format!("every: {{exponential: {} min}}", 1.0 / rate),
        &format!(
            "replications: 60, until: {} min, warm up: {} min",
            13_000.0 / rate,
            1_000.0 / rate
        ),
    );
    let records = records(&study(&yaml), 0);
    check(
        &format!("{id} Wq"),
        number(&values["Wq"]),
        wait(&records, 0),
    );
    check(
        &format!("{id} Lq"),
        number(&values["Lq"]),
        queue(&records, 0),
    );
    check(
        &format!("{id} W"),
        number(&values["W"]),
        lead_time(&records),
    );
    check(&format!("{id} throughput"), rate, throughput(&records));
    let offered = number(&values["rho"]) * servers as f64;
    check(&format!("{id} busy"), offered, busy(&records, 0));
}

#[test]
fn one_server_with_exponential_service() {
    open_queue("mm1-rho50");
    open_queue("mm1-rho80");
}

#[test]
fn several_servers_with_exponential_service() {
    open_queue("mm2-rho75");
    open_queue("mm3-rho80");
}

#[test]
fn one_server_with_fixed_service() {
    open_queue("md1-rho60");
    open_queue("md1-rho90");
}

#[test]
fn one_server_with_triangular_or_uniform_service() {
    open_queue("mg1-tri-a");
    open_queue("mg1-tri-b");
    open_queue("mg1-uni-a");
}

/// A shop that begins empty, looked at from the first order on: there is no warm-up to get wrong.
#[test]
fn the_first_orders_of_an_empty_shop() {
    let reference = reference("mm1-first-n-rho90");
    let parameters = &reference["parameters"];
    let means = &reference["values"]["mean_of_average_wait_of_first_n"];
    for (n, replications) in [(25, 20_000), (100, 8_000)] {
        let yaml = alone(
            &[("server", 1, service(parameters))],
            &format!(
                "count: {n}, every: {{exponential: {} min}}",
                1.0 / number(&parameters["arrival_rate"])
            ),
            &format!("replications: {replications}"),
        );
        let records = records(&study(&yaml), 0);
        assert!(records.iter().all(|record| record.stations[0].waits == n));
        assert_queues_are_waits(&records);
        assert_orders_are_lead_times(&records);
        check(
            &format!("mean wait of the first {n}"),
            number(&means[&n.to_string()]),
            wait(&records, 0),
        );
    }
}

/// Machines are jobs that go round: they run, each for itself, and wait for the one who repairs them.
#[test]
fn machines_and_one_repairer() {
    for id in ["repair-4", "repair-6"] {
        let reference = reference(id);
        let parameters = &reference["parameters"];
        let values = &reference["values"];
        let machines = parameters["machines"].as_u64().expect("a number");
        let up = 1.0 / number(&parameters["failure_rate_per_running_machine"]);
        let down = 1.0 / number(&parameters["repair_rate"]);
        let yaml = alone(
            &[
                ("field", machines, exponential(up)),
                ("repair", 1, exponential(down)),
            ],
            &format!("in progress: {machines}"),
            "replications: 60, until: 30000 min, warm up: 1000 min",
        );
        let records = records(&study(&yaml), 0);
        let name = |what: &str| format!("{id} {what}");
        check(
            &name("Wq"),
            number(&values["Wq_waiting"]),
            wait(&records, 1),
        );
        check(
            &name("Lq"),
            number(&values["Lq_waiting"]),
            queue(&records, 1),
        );
        check(
            &name("repairer"),
            number(&values["repairer_utilisation"]),
            busy(&records, 1),
        );
        check(&name("up"), number(&values["mean_up"]), busy(&records, 0));
        check(
            &name("failures"),
            number(&values["effective_failure_rate"]),
            throughput(&records),
        );
        // With as many places as machines nobody waits to run.
        assert!(records.iter().all(|record| record.stations[0].queue == 0));
    }
}

/// Always so many jobs in progress, for one to six of them, round two or three stations.
#[test]
fn closed_networks() {
    for id in ["cyclic-3", "cyclic-2-balanced"] {
        let reference = reference(id);
        let means: Vec<f64> = reference["parameters"]["mean_service"]
            .as_array()
            .expect("a list of means")
            .iter()
            .map(number)
            .collect();
        let names = ["first", "second", "third"];
        let stations: Vec<(&str, u64, String)> = names
            .iter()
            .zip(&means)
            .map(|(name, &mean)| (*name, 1, exponential(mean)))
            .collect();
        let of_number = reference["values"].as_array().expect("a list by number");
        assert_eq!(of_number.len(), 6);
        for values in of_number {
            let jobs = values["N"].as_u64().expect("a number of jobs");
            let yaml = alone(
                &stations,
                &format!("in progress: {jobs}"),
                "replications: 40, until: 12000 min, warm up: 500 min",
            );
            let records = records(&study(&yaml), 0);
            let name = |what: &str| format!("{id} with {jobs}: {what}");
            check(
                &name("throughput"),
                number(&values["throughput"]),
                throughput(&records),
            );
            check(
                &name("cycle"),
                number(&values["cycle_time"]),
                lead_time(&records),
            );
            for (k, mean) in means.iter().enumerate() {
                let used = number(&values["utilisation"][k]);
                check(&name("utilisation"), used, busy(&records, k));
                if jobs == 1 {
                    assert!(records.iter().all(|record| record.stations[k].queue == 0));
                    continue;
                }
                let waiting = number(&values["queue_length"][k]) - used;
                check(&name("queue"), waiting, queue(&records, k));
                let waits = number(&values["residence"][k]) - mean;
                check(&name("wait"), waits, wait(&records, k));
            }
        }
    }
}

/// Three stations in a line; a tenth of what leaves the last one is spoiled and starts anew at the first. Each
/// station is then an M/M/1 queue of its own (Jackson 1957) with the arrival rate that solves x = 0.5 + 0.1 x.
#[test]
fn a_line_with_rework_is_a_row_of_queues() {
    let arrivals = 0.5 / 0.9;
    let rates = [1.0, 0.8, 1.0];
    let yaml = alone(
        &[
            ("first", 1, exponential(1.0 / rates[0])),
            ("second", 1, exponential(1.0 / rates[1])),
            ("third", 1, exponential(1.0 / rates[2]) + ", spoils: 10 %"),
        ],
        "every: {exponential: 2 min}",
        "replications: 60, until: 26000 min, warm up: 2000 min",
    );
    let records = records(&study(&yaml), 0);
    let mut in_process = 0.0;
    for (k, rate) in rates.iter().enumerate() {
        let rho = arrivals / rate;
        let name = |what: &str| format!("rework, station {k}: {what}");
        check(&name("busy"), rho, busy(&records, k));
        check(&name("Lq"), rho * rho / (1.0 - rho), queue(&records, k));
        check(&name("Wq"), rho / (rate - arrivals), wait(&records, k));
        in_process += rho / (1.0 - rho);
    }
    check("rework: throughput", 0.5, throughput(&records));
    check("rework: W", in_process / 0.5, lead_time(&records));
}

#[test]
fn areas_are_sums_of_times_also_with_rework_and_open_ends() {
    let stations = |spoils: &str| {
        vec![
            ("first", 2, exponential(1.7)),
            ("second", 1, exponential(0.9) + spoils),
        ]
    };
    let orders = "every: {exponential: 1 min}";
    let to_the_end = alone(
        &stations(", spoils: 8 %"),
        &format!("{orders}, count: 300"),
        "replications: 40",
    );
    let records_to_the_end = records(&study(&to_the_end), 0);
    assert_queues_are_waits(&records_to_the_end);
    assert_orders_are_lead_times(&records_to_the_end);
    assert!(
        records_to_the_end
            .iter()
            .any(|record| record.stations[0].lots > 300),
        "nothing was spoiled"
    );
    // At a horizon lots are still waiting: their waits are cut like the area is.
    let cut = alone(&stations(""), orders, "replications: 40, until: 333.3 min");
    let cut = records(&study(&cut), 0);
    assert_queues_are_waits(&cut);
    assert!(
        cut.iter()
            .any(|record| record.stations[0].waits > record.stations[0].lots)
    );
}

/// When the orders are done, in minutes, in the order in which they were released.
fn completions(yaml: &str) -> Vec<f64> {
    let mut done: Vec<(u64, f64)> = trace(&study(yaml), 0, 0)
        .iter()
        .filter_map(|line| match line.what {
            What::Done { order, .. } => Some((order, line.end.micros() as f64 / MINUTE)),
            _ => None,
        })
        .collect();
    done.sort_by_key(|(order, _)| *order);
    done.into_iter().map(|(_, at)| at).collect()
}

fn numbers(value: &Value) -> Vec<f64> {
    let list = value.as_array().expect("a list of numbers");
    list.iter().map(number).collect()
}

#[test]
fn two_machines_in_line_and_identical_jobs() {
    for id in ["line2-slow-second", "line2-transfer"] {
        let reference = reference(id);
        let parameters = &reference["parameters"];
        let values = &reference["values"];
        let minutes = |key: &str| format!("per lot: {} min", number(&parameters[key]));
        let jobs = parameters["jobs"].as_u64().expect("a number of jobs");
        let mut stations = vec![("first", 1, minutes("machine1"))];
        // A transfer that holds up neither machine is a station with room for all jobs.
        if number(&parameters["transfer_time"]) > 0.0 {
            stations.push(("belt", jobs, minutes("transfer_time")));
        }
        stations.push(("second", 1, minutes("machine2")));
        let yaml = alone(&stations, &format!("count: {jobs}"), "replications: 1");
        assert_eq!(completions(&yaml), numbers(&values["completion"]), "{id}");
        let record = record(&study(&yaml), 0, 1, 0);
        let last = &record.stations[stations.len() - 1];
        let minutes = |micros: i64| micros as f64 / MINUTE;
        let makespan = minutes(record.end.micros());
        assert_eq!(makespan, number(&values["makespan"]), "{id}");
        assert_eq!(minutes(last.waited.micros()), number(&values["total_wait"]));
        let used = |busy: i64| minutes(busy) / makespan;
        let first = &record.stations[0];
        assert!((used(first.busy().micros()) - number(&values["utilisation1"])).abs() < 1e-12);
        assert!((used(last.busy().micros()) - number(&values["utilisation2"])).abs() < 1e-12);
        assert_queues_are_waits(std::slice::from_ref(&record));
        assert_orders_are_lead_times(std::slice::from_ref(&record));
    }
}

/// Two machines and jobs that all differ, each a project of its own, released in this order.
fn two_machines(jobs: &[(usize, f64, f64)]) -> String {
    let mut yaml = "title: Two machines
stations:
  first: {does: {shape: {people: 0}}}
  second: {does: {smooth: {people: 0}}}
handling: {pick up: 0, put down: 0}
layouts: {together: {distances: 0}}
run: {replications: 1}
projects:\n"
        .to_string();
    for (job, a, b) in jobs {
        writeln!(
            yaml,
            "  job {job}: {{pieces: 1, route: [{{op: shape, per lot: {a} min}}, {{op: smooth, per lot: {b} min}}]}}"
        )
        .unwrap();
    }
    yaml += "orders:\n";
    for (job, _, _) in jobs {
        writeln!(yaml, "  - {{project: job {job}}}").unwrap();
    }
    yaml
}

fn jobs(parameters: &Value) -> Vec<(usize, f64, f64)> {
    let list = parameters["jobs"].as_array().expect("a list of jobs");
    let pair = |(k, times): (usize, &Value)| (k, number(&times[0]), number(&times[1]));
    list.iter().enumerate().map(pair).collect()
}

#[test]
fn two_machines_and_jobs_that_differ() {
    let unlimited = reference("line2-buffer-a");
    let found = completions(&two_machines(&jobs(&unlimited["parameters"])));
    let wanted = &unlimited["values"]["unlimited"];
    assert_eq!(found, numbers(&wanted["completion"]));

    let johnson = reference("johnson-5");
    let values = &johnson["values"];
    let as_listed = jobs(&johnson["parameters"]);
    let found = completions(&two_machines(&as_listed));
    assert_eq!(found, numbers(&values["index_order_completion"]));
    let best: Vec<(usize, f64, f64)> = numbers(&values["johnson_order"])
        .into_iter()
        .map(|job| as_listed[job as usize])
        .collect();
    let found = completions(&two_machines(&best));
    assert_eq!(
        found.last().copied(),
        Some(number(&values["optimal_makespan"]))
    );
}

/// `data/bench/README.md` says where the figures come from. They are reckoned without rounding; phases here are
/// whole microseconds, 16,000 of them in a row, which moves a lead time by less than 1e-3 seconds.
#[test]
fn the_benchmark_shop_in_which_nothing_varies() {
    let study = study(&data("bench/flow-fixed.yaml"));
    let record = record(&study, 0, study.settings.seed, 0);
    let close = |what: &str, found: f64, wanted: f64, within: f64| {
        assert!(
            (found - wanted).abs() <= within,
            "{what} is {found}, not {wanted}"
        );
    };
    assert_eq!(record.orders_done(), 1000);
    let lead_time = record.mean_lead_time().expect("orders were done");
    close("lead time", lead_time, 3222.4311, 1e-3);
    close("empty", record.walked[0].metres(), 28_614.400, 1e-3);
    close("carrying", record.walked[1].metres(), 42_962.322, 1e-3);
    close("makespan", record.end.seconds(), 2_398_586.47, 1e-2);
}

/// Where times vary, the mean of two programs with different luck may differ by three standard errors of the
/// difference, each program's own being taken from its replications. What is carried does not depend on luck.
#[test]
fn the_benchmark_shop_in_which_times_vary() {
    let other: Value =
        serde_json::from_str(&data("bench/flow-simpy.json")).expect("the figures are JSON");
    let mut study = study(&data("bench/flow.yaml"));
    study.settings.replications = Replications::Fixed(400);
    let records = records(&study, 0);
    let agree = |what: &str, found: Ratio| {
        let mean = number(&other[what]["mean"]);
        let error = number(&other[what]["standard_error"]).hypot(found.standard_error);
        let off = (found.value - mean) / error;
        println!(
            "{what}: {} for {mean}, {off:+.2} standard errors of {error}",
            found.value
        );
        assert!(
            error < 0.03 * mean,
            "{what}: an error of {error} says little"
        );
        assert!(off.abs() <= 3.0, "{what}: {} for {mean}", found.value);
    };
    agree(
        "lead_time_s",
        ratio(&records, |record| {
            (record.mean_lead_time().expect("orders were done"), 1.0)
        }),
    );
    agree(
        "empty_m",
        ratio(&records, |record| (record.walked[0].metres(), 1.0)),
    );
    agree(
        "makespan_s",
        ratio(&records, |record| (record.end.seconds(), 1.0)),
    );
    for record in &records {
        assert_eq!(record.orders_done(), 1000);
        assert!((record.walked[1].metres() - 42_962.322).abs() < 1e-3);
    }
    assert!((number(&other["carrying_m"]["mean"]) - 42_962.322).abs() < 1e-3);
}
