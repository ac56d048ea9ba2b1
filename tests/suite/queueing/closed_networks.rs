//! Shops in which always the same jobs go round.

use super::{
    alone, busy, check, exponential, lead_time, number, queue, reference, throughput, wait,
};
use crate::support::{records, study};

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
