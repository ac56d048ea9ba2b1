//! How large a heater.

use super::{ASSUMED, CAUTION, line};
use crate::report::figure::{exact_time, fixed};
use crate::report::lines::Line;
use crate::report::measures::{kilowatts, length, temperature};
use crate::report::power::amps;
use crate::scenario::sizing::SizedRoom;
use crate::services::heat::LossPart;
use crate::services::power::{conductor_ampacity, resistive_amps};
use crate::services::sizing::{HeaterProposal, RoomToHeat};

/// What is asked for.
#[derive(Debug, Clone)]
pub struct HeatQuestion {
    pub room: SizedRoom,
    pub asked: RoomToHeat,
    /// Of each part of the envelope.
    pub names: Vec<String>,
    /// Each an hour.
    pub air_changes: f64,
}

/// Larger plug-in heaters are not sold for 120 V.
const PLUG_IN: f64 = 1500.0;

/// The answer in lines.
pub fn heat(question: &HeatQuestion, found: &HeaterProposal) -> Vec<Line> {
    let units = question.room.units;
    let asked = &question.asked;
    let [inside, outside] = [asked.inside, asked.outside].map(|at| temperature(units, at));
    if found.warms <= 0.0 {
        return vec![line(
            "Heater",
            format!("None: with {outside} outdoors it is no colder than {inside} inside."),
        )];
    }
    let time = exact_time(asked.warm_within);
    let mut lines = vec![line(
        "Heater",
        format!(
            "{} keeps it at {inside} with {outside} outdoors, and {} warms its air from {} to that in {time}.",
            kilowatts(found.holds),
            kilowatts(found.warms),
            temperature(units, asked.start),
        ),
    )];
    lines.push(line(
        "Boards, glue",
        format!(
            "They follow the air slowly: about {} after {time}. Glue and finish go by that, not by the thermometer.",
            temperature(units, found.mass_then),
        ),
    ));
    lines.push(line("Where it goes", where_it_goes(question, found)));
    lines.push(line("Current", current(found)));
    lines.push(line(ASSUMED, assumed(question)));
    lines.push(line(
        CAUTION,
        "An estimate for planning: circuits are an electrician's work, fuel, flues and exhaust those of licensed people. A collector or fan that vents outdoors can draw the exhaust of a flame into the room; no solvent finish in the air of a flame.",
    ));
    lines
}

/// Each part's share, the largest first.
fn where_it_goes(question: &HeatQuestion, found: &HeaterProposal) -> String {
    let sum = found.loss.sum();
    let parts = found.loss.parts.iter().zip(&question.names);
    let mut shares: Vec<(&str, f64)> = parts.map(|(&loss, name)| (name.as_str(), loss)).collect();
    shares.push(("the edge of the slab", found.loss.slab_edge));
    let air = match question.asked.envelope.exhaust > question.asked.envelope.leakage {
        true => "air that is thrown out",
        false => "air that leaks in",
    };
    shares.push((air, found.loss.air));
    shares.retain(|&(_, loss)| loss > 0.0);
    shares.sort_by(|one, other| other.1.total_cmp(&one.1));
    let told: Vec<String> = (shares.iter())
        .map(|(name, loss)| format!("{name} {} %", fixed(100.0 * loss / sum, 0)))
        .collect();
    let next = match found.loss.largest() {
        LossPart::Part(_) => "; insulating the first of them wins most",
        LossPart::SlabEdge => "; insulating the slab's edge wins most",
        LossPart::Air => "; closing cracks, or bringing filtered air back, wins most",
    };
    format!("{}{next}.", told.join(", "))
}

fn current(found: &HeaterProposal) -> String {
    let at = |volts: f64| resistive_amps(found.warms, volts);
    match found.warms <= PLUG_IN {
        true => format!(
            "{} at 120 V, for hours: conductors for {} at least, hardly with a machine on the same circuit.",
            amps(at(120.0)),
            amps(conductor_ampacity(at(120.0)))
        ),
        false => format!(
            "{} at 240 V, for hours: conductors for {} at least, over both legs. At 120 V a plug carries no more than {}.",
            amps(at(240.0)),
            amps(conductor_ampacity(at(240.0))),
            kilowatts(PLUG_IN)
        ),
    }
}

fn assumed(question: &HeatQuestion) -> String {
    let ceiling = match question.room.is_ceiling_guessed {
        true => format!(
            " A ceiling at {}.",
            length(question.room.units, question.room.size[2])
        ),
        false => String::new(),
    };
    format!(
        "{} an hour, the largest doubt (an old garage door 1 to 2, a sealed one 0.3 to 0.7, a basement 0.2 to 0.5).{ceiling} What stands in it as in a garage with 8 lb of iron and wood and an inch of slab for each 1.5 ft² of floor: a guess, which one evening's thermometer sets right. No sun, nobody's own warmth.",
        air_changes(question.air_changes)
    )
}

fn air_changes(number: f64) -> String {
    match number {
        1.0 => "1 air change".to_owned(),
        _ => format!("{number} air changes"),
    }
}
