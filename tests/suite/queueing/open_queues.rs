//! Queues to which orders come from outside, and lines with rework.

use super::{
    alone, assert_orders_are_lead_times, assert_queues_are_waits, busy, check, exponential,
    lead_time, number, queue, reference, service, throughput, wait,
};
use crate::support::{records, study};

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
