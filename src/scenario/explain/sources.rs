//! Where defaults come from. What has none in this table has no default, or one that says that nothing is there.

use crate::experiment::Units;
use crate::floor::{LIMITS, LimitUnit};
use crate::scenario::keys::{
    BRANCH, CARRY, CARTS, CHECK, CIRCUIT, COLLECTOR, HANDLING, Keys, LAMP, LIGHT, MACHINE_NOISE,
    MAIN, MATERIAL, MOTOR, OPERATION, ORDER, PERSON, PLACE, RULES, RUN, SCENARIO, STAIR, STATION,
};
use crate::scenario::new_shop::sized;

const PLAIN: &str = "the simplest case: whoever says nothing means one, or none";

/// The source of the default of a key.
pub fn of(keys: &'static Keys, name: &str) -> Option<&'static str> {
    if std::ptr::eq(keys, &CHECK) {
        let limit = LIMITS.iter().find(|limit| limit.key == name)?;
        return Some(limit.source);
    }
    let found = SOURCES
        .iter()
        .find(|(of, key, _)| std::ptr::eq(*of, keys) && *key == name);
    found.map(|(_, _, source)| *source)
}

/// The default of a figure by which the checks judge, as it is usually given.
pub fn figure(keys: &'static Keys, name: &str) -> Option<String> {
    let checks = std::ptr::eq(keys, &CHECK);
    let limit = LIMITS.iter().find(|limit| checks && limit.key == name)?;
    Some(match limit.unit {
        LimitUnit::Length if limit.default == 0.0 => "0".to_owned(),
        LimitUnit::Length => sized(limit.default, Units::Imperial),
        LimitUnit::Mass => format!("{} kg", (limit.default * 10.0).round() / 10.0),
    })
}

type Source = (&'static Keys, &'static str, &'static str);

/// By mapping and key.
static SOURCES: &[Source] = &[
    (&SCENARIO, "show", "most of the world measures in metres"),
    (&SCENARIO, "crew", "most home shops have one person"),
    (
        &STATION,
        "kind",
        "`shopstride kinds NAME` says of every figure where it comes from",
    ),
    (
        &STATION,
        "stand",
        "common practice: one stands a foot before a bench or a table",
    ),
    (
        &PLACE,
        "stand",
        "common practice: one stands a foot before a bench or a table",
    ),
    (&STATION, "count", PLAIN),
    (
        &STATION,
        "continuous",
        "NEC article 100: what is on for 3 h or more; of heaters article 424 (from memory)",
    ),
    (
        &MOTOR,
        "amps",
        "0.72 of V × A at full load is ours (0.85 × 0.85); ranges of kinds are common practice",
    ),
    (
        &CIRCUIT,
        "volts",
        "a supply of 120 and 240 V as in North America",
    ),
    (
        &CIRCUIT,
        "leg",
        "circuits of 120 V stand on the legs in turn in most panels",
    ),
    (&COLLECTOR, "run on", PLAIN),
    (
        &COLLECTOR,
        "vents",
        "most collectors of small shops have bags or filters indoors",
    ),
    (
        &MAIN,
        "wye",
        "the angle of the wyes that are sold for collectors",
    ),
    (&BRANCH, "pipe", "common practice in small shops"),
    (&BRANCH, "flexible", "common practice"),
    (
        &BRANCH,
        "flex factor",
        "ours, between straight hose (ACGIH) and the 2 to 3 of trade pages for ribs and slack",
    ),
    (&BRANCH, "port height", "common practice"),
    (&BRANCH, "gate", "most gates are pushed by hand"),
    (
        &OPERATION,
        "on in",
        "a machine is set up and cleaned while it is off",
    ),
    (&MATERIAL, "pieces", PLAIN),
    (&OPERATION, "people", PLAIN),
    (&OPERATION, "passes", PLAIN),
    (
        &OPERATION,
        "along",
        "boards are fed along their length; the `dado` of a kind runs across the grain, and they along their width",
    ),
    (&PERSON, "starts at", "the first station of the file"),
    (
        &HANDLING,
        "walking speed",
        "between the 1.11 m/s of MTM-UAS and the 1.27 to 1.46 m/s of gait studies (Bohannon 1997)",
    ),
    (
        &HANDLING,
        "loaded speed",
        "ISO 11228-1 reckons with 0.5 to 1.0 m/s while 3 kg or more are carried",
    ),
    (
        &HANDLING,
        "pick up",
        "MTM-2: to get and to put a part of 5 kg takes 2.1 s from the height of the waist, 4.3 s from the floor",
    ),
    (&HANDLING, "put down", "MTM-2, together with picking up"),
    (
        &HANDLING,
        "density",
        "between softwoods of about 400 and dense hardwoods of about 750 kg/m3 (Wood Handbook)",
    ),
    (
        &HANDLING,
        "body width",
        "common practice: what somebody takes who walks with arms at the sides",
    ),
    (
        &CARRY,
        "mass",
        "common practice, below the 23 kg of NIOSH 94-110 for one lift under the best conditions",
    ),
    (
        &STATION,
        "noise",
        "trade ranges for ordinary machines of the kind, no data: measure yours",
    ),
    (&MACHINE_NOISE, "idle", "trade ranges for the kind"),
    (&MACHINE_NOISE, "cutting", "trade ranges for the kind"),
    (&PERSON, "protection", "the cautious case"),
    (
        &LIGHT,
        "surfaces",
        "the middle of the usual 0.4 to 0.8 of the lumen method",
    ),
    (
        &LIGHT,
        "wanted",
        "EN 12464-1, work at machines that shape wood (from memory)",
    ),
    (&LAMP, "count", PLAIN),
    (&LAMP, "height", "most lamps of home shops hang there"),
    (&CARTS, "count", PLAIN),
    (&CARTS, "pieces", "common practice"),
    (
        &CARTS,
        "speed",
        "common practice: a cart is pushed no faster than a load is carried",
    ),
    (&CARTS, "at least", "common practice"),
    (&CARTS, "load", "as picking up"),
    (&CARTS, "unload", "as putting down"),
    (&ORDER, "count", PLAIN),
    (
        &RULES,
        "queue",
        "first come, first served, as people do unless told otherwise",
    ),
    (
        &RULES,
        "switch station",
        "a person looks around after each lot",
    ),
    (&RULES, "choose next", "first come, first served"),
    (&RULES, "cures", "like other work"),
    (
        &RUN,
        "replications",
        "as many as suffice for the mean of skewed figures: Cochran's rule (Sampling Techniques, 1977)",
    ),
    (
        &RUN,
        "seed",
        "any number does; the same one gives the same figures",
    ),
    (&RUN, "confidence", "the usual level of intervals"),
    (&STAIR, "riser", "IRC R311.7.5.1: at most 7-3/4 in"),
    (&STAIR, "tread", "IRC R311.7.5.2: at least 10 in"),
];
