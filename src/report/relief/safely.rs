//! How time is saved at a station: never by hurry, and what else it takes goes by what stands there.

use crate::experiment::{Edit, Trial};

/// What work is done with, by the kind of the station or, where none is said, by its name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Tool {
    ByHand,
    Machine,
    Saw,
}

/// Parts of names of machines without a blade.
const MACHINES: [&str; 13] = [
    "planer", "jointer", "router", "shaper", "spindle", "mould", "lathe", "drill", "mortis",
    "sander", "grinder", "machine", "mill",
];

impl Tool {
    fn of(trial: &Trial) -> Tool {
        let name = trial.station_kind.or(trial.resource.as_deref());
        let name = name.unwrap_or_default().to_lowercase();
        let name = name.replace("sawhorse", "");
        let is_machine = MACHINES.iter().any(|part| name.contains(part));
        match name.contains("saw") {
            true => Tool::Saw,
            false if is_machine => Tool::Machine,
            false => Tool::ByHand,
        }
    }
}

fn saves_time(trial: &Trial) -> bool {
    matches!(trial.edit, Edit::Times(..) | Edit::NoSetup(_)) && trial.mostly_cure.is_empty()
}

/// What saves the time that these changes save, as one sentence; none if they save none but of cures.
pub fn safely<'a>(trials: impl IntoIterator<Item = &'a Trial>) -> Option<&'static str> {
    let saving = trials.into_iter().filter(|trial| saves_time(trial));
    let mut work = None;
    let mut is_setup_alone = true;
    for trial in saving {
        work = work.max(Some(Tool::of(trial)));
        is_setup_alone &= matches!(trial.edit, Edit::NoSetup(_));
    }
    Some(match work? {
        _ if is_setup_alone => "Jigs and stops do that.",
        Tool::ByHand => "Jigs and stops do that, never haste.",
        Tool::Machine => "Jigs and stops do that, never a faster feed.",
        Tool::Saw => "Jigs, stops and a sharp blade do that, never a faster feed.",
    })
}

/// The same for many changes, below them.
pub fn safely_of_all<'a>(trials: impl IntoIterator<Item = &'a Trial>) -> Option<&'static str> {
    let saving = trials.into_iter().filter(|trial| saves_time(trial));
    Some(match saving.map(Tool::of).max()? {
        Tool::ByHand => "Save time with jigs and stops, never with haste.",
        Tool::Machine => {
            "Save time at a machine with stops and sleds that spare a setup, never with a faster feed."
        }
        Tool::Saw => {
            "Save time at a machine with stops and sleds that spare a setup and with a sharp blade, never with a faster feed."
        }
    })
}
