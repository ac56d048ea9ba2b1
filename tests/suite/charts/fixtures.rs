//! Findings made by hand: invented figures that are easy to check in a picture.

use shopstride::experiment::{
    ActiveShares, CandidateFindings, Comparison, DiagnosedTime, Findings, Leg, PersonFindings,
    ProjectFindings, Resource, ResourceKind, StationFindings, Units, WalkedMetres,
};
use shopstride::experiment::{
    Activity, Timeline, TimelineBar as Bar, TimelineKind as Kind, TimelineRow as Row, WaitingLots,
};
use shopstride::floor::Manner;
use shopstride::metrics::LeadTimeComponents;
use shopstride::shop::PlaceId;
use shopstride::statistics::{Estimate, Histogram, IntervalMethod, Paired};

/// How large a fixture is.
pub struct Size {
    pub candidates: usize,
    pub stations: usize,
    pub people: usize,
    pub long_names: bool,
}

pub const SMALL: Size = Size {
    candidates: 2,
    stations: 6,
    people: 1,
    long_names: false,
};
pub const LARGE: Size = Size {
    candidates: 6,
    stations: 25,
    people: 10,
    long_names: true,
};

const SHORT: [&str; 6] = [
    "Rack",
    "Table saw",
    "Jointer",
    "Planer",
    "Bench",
    "Finishing",
];

pub fn place(index: usize, long: bool) -> String {
    let short = SHORT[index % SHORT.len()];
    match (long, index / SHORT.len()) {
        (false, 0) => short.to_string(),
        (false, again) => format!("{short} {}", again + 1),
        (true, again) => format!("{short} no. {} by the wall with two windows", again + 1),
    }
}

fn candidate_name(index: usize, long: bool) -> String {
    match (long, index) {
        (false, 0) => "As it grew".to_string(),
        (false, 1) => "Working order".to_string(),
        (false, index) => format!("Plan {index}"),
        (true, index) => format!("Plan {index}, saws & sanders <together>, door shut"),
    }
}

fn estimate(mean: f64, half_width: Option<f64>) -> Estimate {
    Estimate {
        mean,
        half_width,
        interval: half_width.map(|half_width| (mean - half_width, mean + half_width)),
        n: 200,
        level: 0.95,
    }
}

/// Whole numbers that look irregular and are always the same.
fn spread(seed: usize, below: usize) -> usize {
    (seed.wrapping_mul(2_654_435_761) >> 7) % below
}

/// A third of them never hold anything up.
fn held(index: usize) -> ActiveShares {
    match index % 3 {
        2 => ActiveShares::default(),
        _ => ActiveShares {
            active: 0.5,
            sole: 0.2 / (index + 1) as f64,
            shifting: spread(index, 100) as f64 / 2_000.0,
            average_period: Some(600.0),
        },
    }
}

fn station(index: usize, candidate: usize, long: bool) -> StationFindings {
    let open = 28_800.0;
    let running = 2_000.0 + spread(index + 31 * candidate, 16_000) as f64;
    let most = [1_900.0, 1_500.0, 700.0, 400.0, 900.0, 300.0];
    let [setup, curing, reserved, serviced, blocked, left_standing] =
        most.map(|most: f64| spread(index * 7 + candidate + most as usize, most as usize) as f64);
    let curing = if index % 3 == 2 { 4.0 * curing } else { 0.0 };
    StationFindings {
        name: place(index, long),
        count: 1,
        utilisation: (running + setup + curing) / open,
        running,
        setup,
        curing,
        reserved,
        serviced,
        blocked,
        left_standing,
        idle: open - running - setup - curing - reserved - serviced - blocked - left_standing,
        queue: estimate(0.4, None),
        queue_max: 2.0,
        wait: Some(estimate(120.0, None)),
        lots: 14.0,
        held: held(index + candidate),
    }
}

fn person(index: usize, candidate: usize, long: bool) -> PersonFindings {
    let walking = 900.0 + 300.0 * candidate as f64 + 50.0 * index as f64;
    let (handling, working) = (3_100.0, 20_000.0 - 900.0 * index as f64);
    PersonFindings {
        name: match long {
            true => format!("Person {} who mostly works at the far end", index + 1),
            false => format!("Person {}", index + 1),
        },
        group: format!("Person {}", index + 1),
        walking,
        handling,
        working,
        waiting: 28_800.0 - walking - handling - working,
        away: 0.0,
        walked: WalkedMetres {
            empty: 300.0,
            carrying: 200.0,
            pushing: 50.0,
        },
        working_at: Vec::new(),
        held: held(5 * index + candidate),
        diagnosed: DiagnosedTime::default(),
        utilisation: (walking + handling + working) / 28_800.0,
    }
}

fn lead_times(candidate: usize, project: usize) -> Histogram {
    let mut times = Histogram::new();
    for order in 0..200 {
        let spread = spread((order + 200 * project) * 13 + candidate, 9_000) as i64;
        times.record((3_600 + 900 * candidate as i64 + spread) * 1_000_000);
    }
    times
}

fn projects(size: &Size, candidate: usize) -> Vec<ProjectFindings> {
    let names = match size.long_names {
        true => [
            "Chest with carved sides and a lid of three boards",
            "Stool",
            "Box <small> & plain",
        ],
        false => ["Side table", "Stool", "Box"],
    };
    let projects = names.iter().enumerate().map(|(index, name)| {
        let part = |nth: usize| spread(index * 5 + candidate * 3 + nth, 1_500) as f64;
        let parts = [0, 1, 2, 3, 4, 5, 6].map(part);
        let [worked, carried, curing, station, gear, person, others] = parts;
        let parts = [
            worked, carried, curing, station, 0.0, gear, person, others, 0.0,
        ];
        // The last one was never done.
        let split = (index < 2).then(|| LeadTimeComponents::of_parts(parts));
        ProjectFindings {
            name: (*name).to_string(),
            orders_done: 2.0,
            lead_time: split.map(|split| estimate(split.parts().iter().sum(), None)),
            lead_times: match split {
                Some(_) => lead_times(candidate, index),
                None => Histogram::new(),
            },
            walking_per_order: None,
            hands_on_per_order: None,
            lead_time_split: split,
            hours: None,
        }
    });
    projects.collect()
}

fn legs(size: &Size, candidate: usize) -> Vec<Leg> {
    let mut legs = Vec::new();
    for from in 0..size.stations {
        for to in 0..size.stations {
            let trips = spread(from * 41 + to * 3 + 1, 12) as f64;
            if from == to || trips < 6.0 {
                continue;
            }
            let way = 2.0 + spread(from * to + candidate * 17, 90) as f64 / 10.0;
            legs.push(Leg {
                from: place(from, size.long_names),
                to: place(to, size.long_names),
                places: (PlaceId(from as u32), PlaceId(to as u32)),
                manner: Manner::ALL[(from + to) % 3],
                trips,
                metres: trips * way,
            });
        }
    }
    legs
}

fn candidate(size: &Size, index: usize) -> CandidateFindings {
    let legs = legs(size, index);
    let of = |manner: Manner| {
        legs.iter()
            .filter(|leg| leg.manner == manner)
            .map(|leg| leg.metres)
            .sum()
    };
    let walked = WalkedMetres {
        empty: of(Manner::Empty),
        carrying: of(Manner::Carrying),
        pushing: of(Manner::Pushing),
    };
    let projects = projects(size, index);
    let mut lead_times = Histogram::new();
    projects
        .iter()
        .for_each(|project| lead_times.merge(&project.lead_times));
    let stations: Vec<_> = (0..size.stations)
        .map(|at| station(at, index, size.long_names))
        .collect();
    let crew: Vec<_> = (0..size.people)
        .map(|at| person(at, index, size.long_names))
        .collect();
    let bottleneck = match index % 2 {
        0 => Resource {
            name: stations[1].name.clone(),
            kind: ResourceKind::Station,
            utilisation: stations[1].utilisation,
        },
        _ => Resource {
            name: crew[0].name.clone(),
            kind: ResourceKind::Person,
            utilisation: crew[0].utilisation,
        },
    };
    CandidateFindings {
        name: candidate_name(index, size.long_names),
        walking: estimate(walked.total(), Some(walked.total() * 0.04)),
        walked,
        walking_per_order: Some(walked.total() / 4.0),
        lead_time: Some(estimate(7_200.0, Some(300.0))),
        lead_times,
        makespan: estimate(28_000.0, Some(400.0)),
        hands_on: 23_000.0,
        orders_done: 4.0,
        built_per_order: 1.0,
        put_aside: 0.0,
        measured: 28_000.0,
        throughput_per_hour: estimate(0.5, None),
        released_per_hour: 0.5,
        work_in_process: estimate(1.5, None),
        in_process_by_third: None,
        overload: None,
        at_capacity: None,
        projects,
        stations,
        gear: Vec::new(),
        crew,
        checked_legs: Vec::new(),
        legs,
        bottleneck: Some(bottleneck),
        hours: None,
        in_time: Vec::new(),
        power: None,
        heat: None,
        light: None,
        noise: None,
        dust: Vec::new(),
    }
}

pub fn findings(size: &Size) -> Findings {
    let candidates: Vec<_> = (0..size.candidates)
        .map(|index| candidate(size, index))
        .collect();
    let comparisons = (1..size.candidates)
        .map(|other| {
            let base = candidates[0].walking.mean;
            let difference = estimate(candidates[other].walking.mean - base, Some(9.0));
            Comparison {
                base: 0,
                other,
                walking: Paired {
                    base_mean: base,
                    difference,
                    percent: Some(difference.scaled(100.0 / base)),
                },
                lead_time: None,
                projects: Vec::new(),
                completion: None,
            }
        })
        .collect();
    Findings {
        walks_least: None,
        soonest: None,
        soonest_by_project: Vec::new(),
        title: match size.long_names {
            true => {
                "Twelve kinds of projects in the shop behind the house, as it is and as it may be"
                    .to_string()
            }
            false => "Two side tables".to_string(),
        },
        units: Units::Metric,
        seed: 1,
        replications: 200,
        diagnosed: 100,
        confidence: 0.95,
        varies: true,
        horizon: false,
        precision_reached: None,
        suffices: None,
        intervals: IntervalMethod::Student,
        candidates,
        comparisons,
    }
}

/// One candidate, played once, in which nothing ever happened.
pub fn nothing() -> Findings {
    let mut findings = findings(&Size {
        candidates: 1,
        ..SMALL
    });
    findings.replications = 1;
    findings.varies = false;
    let candidate = &mut findings.candidates[0];
    candidate.walking = estimate(0.0, None);
    candidate.walked = WalkedMetres::default();
    candidate.lead_time = None;
    candidate.lead_times = Histogram::new();
    candidate.makespan = estimate(0.0, None);
    candidate.legs.clear();
    candidate.projects.clear();
    candidate.bottleneck = None;
    for station in &mut candidate.stations {
        *station = StationFindings {
            held: ActiveShares::default(),
            name: station.name.clone(),
            count: 1,
            utilisation: 0.0,
            running: 0.0,
            setup: 0.0,
            curing: 0.0,
            reserved: 0.0,
            serviced: 0.0,
            blocked: 0.0,
            left_standing: 0.0,
            idle: 0.0,
            queue: estimate(0.0, None),
            queue_max: 0.0,
            wait: None,
            lots: 0.0,
        };
    }
    for person in &mut candidate.crew {
        *person = PersonFindings {
            name: person.name.clone(),
            group: person.group.clone(),
            walking: 0.0,
            handling: 0.0,
            working: 0.0,
            waiting: 0.0,
            away: 0.0,
            walked: WalkedMetres::default(),
            working_at: Vec::new(),
            held: ActiveShares::default(),
            diagnosed: DiagnosedTime::default(),
            utilisation: 0.0,
        };
    }
    findings
}

fn queue(index: usize, long_names: bool) -> WaitingLots {
    let level = |turn: usize| spread(index + turn, 9) as u32;
    let levels = (0..16).map(|turn| (1_700.0 * turn as f64, level(turn)));
    WaitingLots {
        station: place(index, long_names),
        levels: levels.collect(),
    }
}

/// Stations that set up and run, the first with two units, and people who walk, handle, work and wait.
pub fn timeline(size: &Size) -> Timeline {
    let bar = |from: f64, length: f64, what| Bar {
        from_s: from,
        to_s: from + length,
        what,
    };
    let mut rows = Vec::new();
    for index in 0..size.stations {
        let mut bars = Vec::new();
        for turn in 0..8 {
            let at = 3_400.0 * turn as f64 + spread(index + 9 * turn, 900) as f64;
            bars.push(bar(at, 120.0, Activity::Reserved));
            bars.push(bar(at + 120.0, 400.0, Activity::SettingUp));
            let what = [Activity::Running, Activity::Running, Activity::Curing][index % 3];
            bars.push(bar(at + 520.0, 1_500.0, what));
            if index == 0 {
                bars.push(bar(at + 900.0, 1_500.0, Activity::Running));
            }
        }
        rows.push(Row {
            name: place(index, size.long_names),
            kind: Kind::Station,
            bars,
        });
    }
    for index in 0..size.people {
        let mut bars = Vec::new();
        for turn in 0..24 {
            let at = 1_190.0 * turn as f64 + spread(index + 5 * turn, 100) as f64;
            let way = [Activity::Walking, Activity::Carrying, Activity::Pushing][turn % 3];
            bars.push(bar(at, 60.0, way));
            bars.push(bar(at + 60.0, 130.0, Activity::Handling));
            bars.push(bar(at + 190.0, 700.0, Activity::Running));
            bars.push(bar(at + 890.0, 150.0, Activity::Waiting));
        }
        rows.push(Row {
            name: person(index, 0, size.long_names).name,
            kind: Kind::Person,
            bars,
        });
    }
    Timeline {
        candidate: "as it grew".to_owned(),
        replication: 1,
        openings: Vec::new(),
        weeks: None,
        spells: Vec::new(),
        currents: Vec::new(),
        queues: (0..size.stations)
            .map(|index| queue(index, size.long_names))
            .collect(),
        end_s: 28_800.0,
        rows,
    }
}
