//! Noise as data: dB(A), s, and shares of what is allowed in a day.

use serde_json::{Value, json};

use crate::experiment::{
    DayDoses, HeardMachine, HouseNoise, LoudestNoise, NoiseFindings, PersonNoise,
};
use crate::services::noise::eight_hour_level;

/// The `noise` of a candidate.
pub fn json(noise: &NoiseFindings) -> Value {
    json!({
        "runs": noise.runs,
        "distances_known": noise.is_placed,
        "people": noise.people.iter().map(person).collect::<Vec<Value>>(),
        "machines": noise.machines.iter().map(machine).collect::<Vec<Value>>(),
        "starting_by_themselves": noise.untimed,
        "house": noise.house.as_ref().map(house),
    })
}

fn person(person: &PersonNoise) -> Value {
    let protected = person.protected.as_ref();
    json!({
        "name": person.name,
        "days": person.days,
        "loudest_db": person.peak,
        "above_85_db_a_day_s": person.above_limit,
        "unprotected": doses(&person.bare),
        "protection_db": protected.map(|(protection, _)| protection),
        "protected": protected.map(|(_, of)| doses(of)),
    })
}

fn doses(doses: &DayDoses) -> Value {
    json!({
        "dose_share": doses.mean.mean,
        "dose_share_low": doses.mean.low(),
        "dose_share_high": doses.mean.high(),
        "eight_hour_level_db": eight_hour_level(doses.mean.mean),
        "worst_day_dose_share": doses.worst,
        "worst_day_eight_hour_level_db": eight_hour_level(doses.worst),
    })
}

fn machine(machine: &HeardMachine) -> Value {
    json!({
        "station": machine.name,
        "idle_db": machine.idle,
        "cutting_db": machine.cutting,
        "typical": machine.is_typical,
        "on_s": machine.on,
        "cutting_s": machine.cuts,
    })
}

fn house(house: &HouseNoise) -> Value {
    let level = |loudest: &Option<LoudestNoise>| loudest.as_ref().map(|loudest| loudest.level);
    let of = |loudest: &Option<LoudestNoise>| match loudest {
        Some(loudest) => json!(loudest.of),
        None => json!([]),
    };
    json!({
        "reduction_db": house.reduction,
        "loudest_db": level(&house.loudest),
        "loudest_of": of(&house.loudest),
        "quiet": house.quiet.as_ref().map(|quiet| json!({
            "loudest_db": level(&quiet.loudest),
            "loudest_of": of(&quiet.loudest),
            "time_s": quiet.seconds,
        })),
    })
}
