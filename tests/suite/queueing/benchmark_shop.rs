//! The benchmark shop against another program's figures.

use serde_json::Value;
use shopstride::experiment::Replications;

use super::{Ratio, number, ratio};
use crate::support::{data, record, records, study};

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
