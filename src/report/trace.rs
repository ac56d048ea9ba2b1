//! A replication as JSON lines: every phase, complete enough to check a run by hand; and as a timeline for a chart.

use serde_json::{Value, json};

use super::charts::timeline::{Activity, Bar, Kind, Row, Timeline};
use crate::engine::{Handling, Job, StationState, WorkPhase};
use crate::experiment::Candidate;
use crate::floor::Manner;
use crate::metrics::{TraceLine, What};
use crate::shop::Shop;

/// One JSON object a line, in the order in which the phases begin.
pub fn json_lines(shop: &Shop, lines: &[TraceLine]) -> String {
    let mut text = String::new();
    for line in lines {
        let mut value = json!({"start_s": line.start.seconds(), "end_s": line.end.seconds()});
        describe(shop, line, &mut value);
        if let Some(job) = &line.job {
            add_job(shop, job, &mut value);
        }
        text.push_str(&value.to_string());
        text.push('\n');
    }
    text
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

fn phase(phase: WorkPhase) -> &'static str {
    match phase {
        WorkPhase::Setup => "setup",
        WorkPhase::Run => "run",
        WorkPhase::Teardown => "teardown",
    }
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
        What::Walk {
            person,
            manner,
            from,
            to,
            distance,
        } => {
            value["what"] = json!("walk");
            value["person"] = json!(shop.crew[*person].name);
            value["manner"] = json!(manner.name());
            value["from"] = json!(shop.place_name(*from));
            value["to"] = json!(shop.place_name(*to));
            value["metres"] = json!(distance.metres());
        }
        What::Handling { person, what, at } => {
            value["what"] = json!(match what {
                Handling::PickUp => "pick up",
                Handling::PutDown => "put down",
                Handling::Load => "load",
                Handling::Unload => "unload",
            });
            value["person"] = json!(shop.crew[*person].name);
            value["at"] = json!(shop.place_name(*at));
        }
        What::Work {
            person,
            phase: what,
            at,
        } => {
            value["what"] = json!(phase(*what));
            value["person"] = json!(shop.crew[*person].name);
            value["at"] = json!(shop.place_name(*at));
        }
        What::Station {
            station,
            unit,
            state,
        } => {
            value["what"] = json!(match state {
                StationState::Reserved => "station reserved",
                StationState::Working(WorkPhase::Setup) => "station setup",
                StationState::Working(WorkPhase::Run) => "station run",
                StationState::Working(WorkPhase::Teardown) => "station teardown",
                StationState::Curing => "station curing",
            });
            value["station"] = json!(shop.stations[*station].name);
            value["unit"] = json!(unit + 1);
        }
        What::SetAside { station } => {
            value["what"] = json!("lot curing, set aside");
            value["station"] = json!(shop.stations[*station].name);
        }
        What::Gear { gear, amount } => {
            value["what"] = json!("gear taken");
            value["gear"] = json!(shop.gear[*gear].name);
            value["amount"] = json!(amount);
        }
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

/// What stations and people do, as rows of bars. Replications are counted from 1 here.
pub fn timeline(candidate: &Candidate, replication: u32, lines: &[TraceLine]) -> Timeline {
    let shop = &candidate.shop;
    let row = |name: &str, kind| Row {
        name: name.to_owned(),
        kind,
        bars: Vec::new(),
    };
    let mut stations: Vec<Row> = shop
        .stations
        .iter()
        .map(|s| row(&s.name, Kind::Station))
        .collect();
    let mut crew: Vec<Row> = shop
        .crew
        .iter()
        .map(|p| row(&p.name, Kind::Person))
        .collect();
    let work = |phase: WorkPhase| match phase {
        WorkPhase::Setup => Activity::SettingUp,
        WorkPhase::Run | WorkPhase::Teardown => Activity::Running,
    };
    for line in lines {
        let (row, what) = match &line.what {
            What::Walk { person, manner, .. } => {
                let what = match manner {
                    Manner::Empty => Activity::Walking,
                    Manner::Carrying => Activity::Carrying,
                    Manner::Pushing => Activity::Pushing,
                };
                (&mut crew[person.index()], what)
            }
            What::Handling { person, .. } => (&mut crew[person.index()], Activity::Handling),
            What::Work { person, phase, .. } => (&mut crew[person.index()], work(*phase)),
            What::Station { station, state, .. } => {
                let what = match state {
                    StationState::Reserved => Activity::Reserved,
                    StationState::Working(phase) => work(*phase),
                    StationState::Curing => Activity::Curing,
                };
                (&mut stations[station.index()], what)
            }
            _ => continue,
        };
        if line.end > line.start {
            row.bars.push(Bar {
                from_s: line.start.seconds(),
                to_s: line.end.seconds(),
                what,
            });
        }
    }
    let end_s = lines
        .iter()
        .map(|line| line.end.seconds())
        .fold(0.0, f64::max);
    stations.retain(|row| !row.bars.is_empty());
    Timeline {
        candidate: candidate.name.clone(),
        replication,
        end_s,
        rows: stations.into_iter().chain(crew).collect(),
    }
}
