//! `shopstride size`: what a shop that has nothing yet would need.

use super::size_options::{
    SizeDustOptions, SizeHeatOptions, SizeLightOptions, SizeOptions, SizePowerOptions, SizeWhat,
};
use super::{Refusal, output};
use crate::experiment::Units;
use crate::report::{Line, size};

use crate::services::air::Collector;
use crate::services::heat::{Envelope, HeatPart, SLAB_EDGE, UsualContents};
use crate::services::power::takes_both_legs;
use crate::services::sizing::{
    METRIC_PIPES, MainRun, PIPES_IN_INCHES, PlannedLoad, PlannedPort, RoomToHeat, RoomToLight,
    propose_circuits, propose_ducts, propose_heater, propose_lamps,
};
use crate::units::customary::celsius;

pub fn size(options: &SizeOptions) -> Result<(), Refusal> {
    let width = output::width();
    let (lines, below) = match &options.what {
        SizeWhat::Light(options) => light(options, width)?,
        SizeWhat::Power(options) => power(options, width)?,
        SizeWhat::Heat(options) => (heat(options), String::new()),
        SizeWhat::Dust(options) => dust(options, width)?,
    };
    // A table stands apart from the lines above it.
    let below = match below.is_empty() {
        true => below,
        false => format!("\n{below}"),
    };
    output::print_answer(&lines, &below)
}

type Answer = (Vec<Line>, String);

fn light(options: &SizeLightOptions, width: u16) -> Result<Answer, Refusal> {
    let room = options.room;
    let asked = RoomToLight {
        size: [room.size[0], room.size[1]],
        lamp_height: room.size[2] - options.below_ceiling,
        lumens: options.lumens,
        illuminance: options.wanted,
        surfaces: options.reflects,
    };
    let found = propose_lamps(&asked).ok_or_else(|| {
        Refusal::with_hint(
            "lamps that hang no higher than the bench, or thousands of them, light no shop",
            "look at the height of the ceiling, at --below-ceiling, --lumens and --wanted",
        )
    })?;
    let question = size::LightQuestion { room, asked };
    Ok(size::light(&question, &found, width))
}

/// More loads than this are a factory's, and too many to try all that can be on together.
const MOST_LOADS: usize = 24;

fn power(options: &SizePowerOptions, width: u16) -> Result<Answer, Refusal> {
    if options.load.len() > MOST_LOADS {
        return Err(Refusal::because(format!(
            "{} loads are more than the {MOST_LOADS} that are looked at together",
            options.load.len()
        )));
    }
    let loads: Vec<PlannedLoad> = (options.load.iter())
        .map(|load| PlannedLoad {
            amps: load.amps,
            table_amps: load.table_amps,
            is_motor: load.is_motor,
            is_continuous: load.is_continuous,
            worked: load.worked,
            takes_both_legs: takes_both_legs(load.volts) == Some(true),
            is_light: load.is_light,
        })
        .collect();
    let question = size::PowerQuestion {
        loads: options.load.clone(),
        people: usize::from(options.people),
        rating: options.rating,
    };
    let found = propose_circuits(&loads, question.people, question.rating);
    Ok(size::power(&question, &found, width))
}

fn heat(options: &SizeHeatOptions) -> Vec<Line> {
    let room = options.room;
    let [length, width, height] = room.size;
    let around = 2.0 * (length + width);
    let doors: f64 = options.door.iter().map(|door| door.area).sum();
    let mut parts = vec![
        HeatPart {
            area: (around * height - doors).max(0.0),
            conductance: options.walls,
        },
        HeatPart {
            area: length * width,
            conductance: options.ceiling,
        },
    ];
    let mut names = vec!["walls".to_owned(), "ceiling".to_owned()];
    for (number, door) in options.door.iter().enumerate() {
        parts.push(HeatPart {
            area: door.area,
            conductance: door.conductance,
        });
        names.push(match options.door.len() {
            1 => "door".to_owned(),
            _ => format!("door {}", number + 1),
        });
    }
    let envelope = Envelope {
        parts,
        slab_edge: SLAB_EDGE * options.slab_edge.unwrap_or(around),
        leakage: options.air_changes * length * width * height / 3600.0,
        exhaust: options.exhaust,
    };
    let usual_start = celsius(45.0).max(options.outside).min(options.inside);
    let asked = RoomToHeat {
        envelope,
        contents: UsualContents::of(length * width),
        outside: options.outside,
        inside: options.inside,
        start: options.start.unwrap_or(usual_start),
        warm_within: options.warm_up,
    };
    let found = propose_heater(&asked);
    let question = size::HeatQuestion {
        room,
        asked,
        names,
        air_changes: options.air_changes,
    };
    size::heat(&question, &found)
}

/// The elbow with which a main leaves a collector.
const ELBOWS: f64 = 1.0;

fn dust(options: &SizeDustOptions, width: u16) -> Result<Answer, Refusal> {
    let ports: Vec<PlannedPort> = (options.port.iter())
        .map(|port| PlannedPort {
            diameter: port.diameter,
            wanted: port.wanted,
            along: port.along,
        })
        .collect();
    let collector = options.curve.as_ref().map(|curve| Collector {
        curve: curve.clone(),
        filter: options.filter,
        dirt: options.dirt,
        separator: options.separator,
    });
    let run = MainRun {
        elbows: ELBOWS,
        branch: options.drop,
        hose: options.hose,
    };
    let is_metric = options.port.iter().all(|port| port.units == Units::Metric);
    let (units, pipes) = match is_metric {
        true => (Units::Metric, METRIC_PIPES),
        false => (Units::Imperial, PIPES_IN_INCHES),
    };
    let found = propose_ducts(&ports, &run, collector.as_ref(), &pipes)
        .ok_or_else(|| Refusal::because("a main needs ports"))?;
    let question = size::DustQuestion {
        ports: options.port.clone(),
        run,
        collector,
        units,
    };
    Ok(size::dust(&question, &found, width))
}
