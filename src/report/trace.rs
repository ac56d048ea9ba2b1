//! A replication as JSON lines: every phase, complete enough to check a run by hand.

use serde_json::{Value, json};

use crate::engine::{Doing, Handling, Job, Occupied, WorkPhase};
use crate::metrics::{TraceLine, What};
use crate::shop::Shop;

/// One JSON object, with the end of the line.
pub fn json_line(shop: &Shop, line: &TraceLine) -> String {
    let mut value = json!({"start_s": line.start.seconds(), "end_s": line.end.seconds()});
    if line.cut.is_some() {
        value["cut"] = json!(true);
    }
    describe(shop, line, &mut value);
    if let Some(job) = &line.job {
        add_job(shop, job, &mut value);
    }
    format!("{value}\n")
}

fn add_job(shop: &Shop, job: &Job, value: &mut Value) {
    let project = &shop.projects[job.project];
    value["order"] = json!(job.order + 1);
    value["project"] = json!(project.name);
    value["item"] = json!(project.items[job.item.index()].name);
    value["batch"] = json!(job.batch + 1);
    value["pieces"] = json!(job.pieces);
    value["operation"] = json!(job.operation.map(|operation| &shop.operations[operation]));
}

fn describe(shop: &Shop, line: &TraceLine, value: &mut Value) {
    match &line.what {
        What::Released { project, order } => {
            value["what"] = json!("order released");
            value["order"] = json!(order + 1);
            value["project"] = json!(shop.projects[*project].name);
        }
        What::Done {
            project,
            line,
            order,
        } => {
            value["what"] = json!("order done");
            value["order"] = json!(order + 1);
            value["project"] = json!(shop.projects[*project].name);
            value["order_line"] = json!(line.0 + 1);
        }
        What::Chosen => value["what"] = json!("task chosen"),
        What::Phase { of, doing } => describe_phase(shop, *of, *doing, share(line), value),
        What::Queued { station } => {
            value["what"] = json!("lot joins queue");
            value["station"] = json!(shop.stations[*station].name);
        }
        What::Unqueued { station, waited } => {
            value["what"] = json!("lot leaves queue");
            value["station"] = json!(shop.stations[*station].name);
            value["waited_s"] = json!(waited.seconds());
        }
        What::End => value["what"] = json!("end"),
    }
}

/// The share of a phase that lies before the end of the run: who walks then has come so far.
fn share(line: &TraceLine) -> f64 {
    let Some(whole) = line.cut else { return 1.0 };
    (line.end - line.start).seconds() / (whole - line.start).seconds()
}

fn describe_phase(shop: &Shop, of: Occupied, doing: Doing, share: f64, value: &mut Value) {
    value["what"] = json!(match (of, doing) {
        (_, Doing::Walk { .. }) => "walk",
        (_, Doing::Handle { what, .. }) => match what {
            Handling::PickUp => "pick up",
            Handling::PutDown => "put down",
            Handling::Load => "load",
            Handling::Unload => "unload",
            Handling::RollOut => "roll out",
            Handling::RollIn => "roll in",
        },
        (Occupied::Unit(..), Doing::Work { phase, .. }) => match phase {
            WorkPhase::Setup => "station setup",
            WorkPhase::Run => "station run",
            WorkPhase::Teardown => "station teardown",
            WorkPhase::TakeOff => "station unloaded",
            WorkPhase::Service => "station serviced",
        },
        (_, Doing::Work { phase, .. }) => match phase {
            WorkPhase::Setup => "setup",
            WorkPhase::Run => "run",
            WorkPhase::Teardown => "teardown",
            WorkPhase::TakeOff => "take off",
            WorkPhase::Service => "service",
        },
        (_, Doing::Blocked) => "station blocked",
        (_, Doing::Serviced) => "station serviced",
        (_, Doing::Reserved) => "station reserved",
        (Occupied::SetAside(_), _) => "lot curing, set aside",
        (_, Doing::Cure) => "station curing",
        (_, Doing::LeftStanding) => "station left standing",
        (_, Doing::Taken) => "gear taken",
    });
    match of {
        Occupied::Person(person) => value["person"] = json!(shop.crew[person].name),
        Occupied::Unit(station, unit) => {
            value["station"] = json!(shop.stations[station].name);
            value["unit"] = json!(unit + 1);
        }
        Occupied::SetAside(station) => value["station"] = json!(shop.stations[station].name),
        Occupied::Gear(gear, amount) => {
            value["gear"] = json!(shop.gear[gear].name);
            value["amount"] = json!(amount);
        }
    }
    match doing {
        Doing::Walk {
            manner,
            from,
            to,
            distance,
        } => {
            value["manner"] = json!(manner.name());
            value["from"] = json!(shop.place_name(from));
            value["to"] = json!(shop.place_name(to));
            value["metres"] = json!(distance.metres() * share);
        }
        Doing::Handle { at, .. } => value["at"] = json!(shop.place_name(at)),
        Doing::Work { at, .. } if matches!(of, Occupied::Person(_)) => {
            value["at"] = json!(shop.stations[at].name);
        }
        _ => {}
    }
}
