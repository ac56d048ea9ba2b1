//! Every figure as JSON and as CSV: SI units, the unit in the name.

mod dates;
mod hours;
mod spreadsheet;

pub use spreadsheet::{Csv, TABLES, csv};

use serde_json::{Value, json};

use crate::experiment::{
    CandidateFindings, Comparison, Findings, Resource, StationFindings, WaitingFor, WorkAtStation,
};
use crate::metrics::LeadTimeComponents;
use crate::report::{dust, heat, in_time, light, noise, power};
use crate::statistics::{Estimate, Histogram, IntervalMethod, Paired, Selection};

/// The findings as one JSON document.
pub fn json(findings: &Findings) -> Value {
    let mut document = json!({
        "scenario": findings.title,
        "seed": findings.seed,
        "replications": findings.replications,
        "diagnosed": findings.diagnosed,
        "confidence": findings.confidence,
        "intervals": match findings.intervals {
            IntervalMethod::Student => "student",
            IntervalMethod::Hall => "hall",
        },
        "varies": findings.varies,
        "candidates": findings.candidates.iter().map(candidate).collect::<Vec<Value>>(),
        "comparisons":
            findings.comparisons.iter().map(|c| comparison(findings, c)).collect::<Vec<Value>>(),
    });
    if findings.candidates.len() > 1 {
        document["best"] = json!({
            "walking": selection(findings, findings.walks_least.as_ref()),
            "lead_time": selection(findings, findings.soonest.as_ref()),
            "projects": findings.soonest_by_project.iter().map(|of| json!({
                "name": of.name,
                "lead_time": selection(findings, of.soonest.as_ref()),
            })).collect::<Vec<Value>>(),
        });
    }
    if let Some(reached) = findings.precision_reached {
        document["precision_reached"] = json!(reached);
    }
    if let Some(suffices) = findings.suffices {
        document["replications_suffice"] = json!(suffices);
    }
    document
}

/// The best candidate, if one can be named, and all that may be it.
fn selection(findings: &Findings, selection: Option<&Selection>) -> Value {
    let name = |index: usize| &findings.candidates[index].name;
    json!({
        "name": selection.and_then(Selection::best).map(name),
        "in_question": selection.map(|selection| {
            selection.in_question.iter().map(|&index| name(index)).collect::<Vec<_>>()
        }),
    })
}

fn candidate(found: &CandidateFindings) -> Value {
    let lead_time = found.lead_time;
    let mut value = json!({
        "name": found.name,
        "walking": {
            "mean_m": found.walking.mean,
            "half_width_m": found.walking.half_width,
            "low_m": found.walking.low(),
            "high_m": found.walking.high(),
            "empty_m": found.walked.empty,
            "carrying_m": found.walked.carrying,
            "pushing_m": found.walked.pushing,
            "per_order_m": found.walking_per_order,
        },
        "lead_time": {
            "mean_s": lead_time.map(|estimate| estimate.mean),
            "half_width_s": lead_time.and_then(|estimate| estimate.half_width),
            "low_s": lead_time.and_then(|estimate| estimate.low()),
            "high_s": lead_time.and_then(|estimate| estimate.high()),
            "p50_s": quantile(&found.lead_times, 0.5),
            "p90_s": quantile(&found.lead_times, 0.9),
        },
        "makespan": {
            "mean_s": found.makespan.mean,
            "half_width_s": found.makespan.half_width,
            "low_s": found.makespan.low(),
            "high_s": found.makespan.high(),
        },
        "measured_s": found.measured,
        "hands_on_s": found.hands_on,
        "orders_done": found.orders_done,
        "throughput_per_h": found.throughput_per_hour.mean,
        "throughput_low_per_h": found.throughput_per_hour.low(),
        "throughput_high_per_h": found.throughput_per_hour.high(),
        "work_in_process": found.work_in_process.mean,
        "work_in_process_low": found.work_in_process.low(),
        "work_in_process_high": found.work_in_process.high(),
        "work_in_process_by_third": found.in_process_by_third,
        "overloaded": found.overload.is_some(),
        "at_capacity": found.at_capacity.is_some(),
        "saturated": (found.overload.iter().chain(&found.at_capacity).flatten())
            .map(resource)
            .collect::<Vec<Value>>(),
        "projects": found.projects.iter().map(|project| json!({
            "name": project.name,
            "orders_done": project.orders_done,
            "lead_time_s": project.lead_time.map(|e| e.mean),
            "lead_time_half_width_s": project.lead_time.and_then(|e| e.half_width),
            "lead_time_low_s": project.lead_time.and_then(|e| e.low()),
            "lead_time_high_s": project.lead_time.and_then(|e| e.high()),
            "lead_time_p50_s": quantile(&project.lead_times, 0.5),
            "lead_time_p90_s": quantile(&project.lead_times, 0.9),
            "walking_per_order_m": project.walking_per_order.map(|e| e.mean),
            "walking_per_order_half_width_m": project.walking_per_order.and_then(|e| e.half_width),
            "walking_per_order_low_m": project.walking_per_order.and_then(|e| e.low()),
            "walking_per_order_high_m": project.walking_per_order.and_then(|e| e.high()),
            "hands_on_per_order_s": project.hands_on_per_order,
            "lead_time_split_s": project.lead_time_split.as_ref().map(of_split),
        })).collect::<Vec<Value>>(),
        "stations": found.stations.iter().map(of_station).collect::<Vec<Value>>(),
        "crew": found.crew.iter().map(|person| json!({
            "name": person.name,
            "walking_s": person.walking,
            "handling_s": person.handling,
            "working_s": person.working,
            "waiting_s": person.waiting,
            "away_s": person.away,
            "walked_m": person.walked.total(),
            "utilisation": person.utilisation,
            "active_share": person.held.active,
            "sole_bottleneck_share": person.held.sole,
            "shifting_bottleneck_share": person.held.shifting,
            "average_active_period_s": person.held.average_period,
            "waiting_for_s": waiting_for(&person.diagnosed.waiting_for),
            "at_stations": person.diagnosed.at_stations.iter().map(at_station).collect::<Vec<Value>>(),
        })).collect::<Vec<Value>>(),
        "gear": found.gear.iter().map(|gear| json!({
            "name": gear.name,
            "count": gear.count,
            "utilisation": gear.utilisation,
            "active_share": gear.held.active,
            "sole_bottleneck_share": gear.held.sole,
            "shifting_bottleneck_share": gear.held.shifting,
            "average_active_period_s": gear.held.average_period,
        })).collect::<Vec<Value>>(),
        "legs": found.legs.iter().map(|leg| json!({
            "from": leg.from,
            "to": leg.to,
            "manner": leg.manner.name(),
            "trips": leg.trips,
            "metres": leg.metres,
        })).collect::<Vec<Value>>(),
        "bottleneck": found.bottleneck.as_ref().map(resource),
    });
    if found.put_aside > 0.0 {
        value["put_aside_lots"] = json!(found.put_aside);
    }
    if !found.in_time.is_empty() {
        value["in_time"] = found.in_time.iter().map(in_time::json).collect();
    }
    if let Some(power) = &found.power {
        value["power"] = power::json(power);
    }
    if !found.dust.is_empty() {
        value["dust"] = dust::json(&found.dust);
    }
    if let Some(light) = &found.light {
        value["light"] = light::json(light);
    }
    if let Some(heat) = &found.heat {
        value["heat"] = heat::json(heat);
    }
    if let Some(noise) = &found.noise {
        value["noise"] = noise::json(noise);
    }
    if let Some(hours) = &found.hours {
        hours::add(&mut value, found, hours);
    }
    value
}

/// What a lead time goes into; it adds up.
fn of_split(split: &LeadTimeComponents<f64>) -> Value {
    json!({
        "worked": split.worked,
        "carried": split.carried,
        "curing": split.curing,
        "waiting_station": split.waiting_station,
        "kept_apart": split.kept_apart,
        "waiting_gear": split.waiting_gear,
        "waiting_person": split.waiting_person,
        "waiting_parts": split.waiting_parts,
        "shop_shut": split.shop_shut,
    })
}

fn waiting_for(waiting: &WaitingFor) -> Value {
    json!({
        "cure": waiting.cure,
        "station": waiting.station,
        "kept_apart": waiting.kept_apart,
        "gear": waiting.gear,
        "nothing": waiting.nothing,
    })
}

fn at_station(at: &WorkAtStation) -> Value {
    json!({
        "name": at.name,
        "setup_s": at.setting_up,
        "running_s": at.running,
        "servicing_s": at.servicing,
    })
}

fn resource(resource: &Resource) -> Value {
    json!({
        "name": resource.name,
        "kind": resource.kind.name(),
        "utilisation": resource.utilisation,
    })
}

fn quantile(lead_times: &Histogram, p: f64) -> Option<f64> {
    lead_times.quantile(p).map(|micros| micros as f64 / 1e6)
}

fn comparison(findings: &Findings, compared: &Comparison) -> Value {
    let mut value = json!({
        "base": findings.candidates[compared.base].name,
        "other": findings.candidates[compared.other].name,
        "walking": difference(Some(&compared.walking), "m"),
        "lead_time": difference(compared.lead_time.as_ref(), "s"),
        "projects": compared.projects.iter().map(|project| json!({
            "name": project.name,
            "lead_time": difference(project.lead_time.as_ref(), "s"),
            "walking_per_order": difference(project.walking_per_order.as_ref(), "m"),
        })).collect::<Vec<Value>>(),
    });
    if let Some(change) = &compared.completion {
        value["done_at"] = hours::change(change);
    }
    value
}

fn difference(paired: Option<&Paired>, unit: &str) -> Value {
    let percent = paired.and_then(|paired| paired.percent);
    let of = |estimate: Option<Estimate>| {
        let low = estimate.and_then(|e| e.low());
        let high = estimate.and_then(|e| e.high());
        (estimate.map(|e| e.mean), low, high)
    };
    let (mean, low, high) = of(paired.map(|paired| paired.difference));
    let (percent, percent_low, percent_high) = of(percent);
    let mut value = json!({});
    value[format!("difference_{unit}")] = json!(mean);
    value[format!("low_{unit}")] = json!(low);
    value[format!("high_{unit}")] = json!(high);
    value["percent"] = json!(percent);
    value["percent_low"] = json!(percent_low);
    value["percent_high"] = json!(percent_high);
    value
}

fn of_station(station: &StationFindings) -> Value {
    json!({
        "name": station.name,
        "count": station.count,
        "utilisation": station.utilisation,
        "running_s": station.running,
        "setup_s": station.setup,
        "curing_s": station.curing,
        "reserved_s": station.reserved,
        "serviced_s": station.serviced,
        "blocked_s": station.blocked,
        "left_standing_s": station.left_standing,
        "idle_s": station.idle,
        "queue_mean": station.queue.mean,
        "queue_low": station.queue.low(),
        "queue_high": station.queue.high(),
        "queue_max": station.queue_max,
        "wait_mean_s": station.wait.map(|e| e.mean),
        "wait_low_s": station.wait.and_then(|e| e.low()),
        "wait_high_s": station.wait.and_then(|e| e.high()),
        "lots": station.lots,
        "active_share": station.held.active,
        "sole_bottleneck_share": station.held.sole,
        "shifting_bottleneck_share": station.held.shifting,
        "average_active_period_s": station.held.average_period,
    })
}
