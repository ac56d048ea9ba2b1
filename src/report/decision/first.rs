//! What to move first.

use super::{Grounds, Recommendation};
use crate::experiment::{FirstMove, LITTLE, Rearrangement, Unlike};
use crate::floor::FindingLevel;
use crate::report::about;
use crate::report::check::FoundChanges;
use crate::report::decision::worth::is_worth_moving;
use crate::report::per_order::per_order;
use crate::report::sentence::with_the;
use crate::shop::StationId;

/// The first move towards the chosen candidate, unless it wins nothing.
pub fn first(grounds: &Grounds<'_>, choice: &Recommendation<'_>) -> Option<String> {
    let to = grounds.quoted(choice.chosen);
    let name =
        |station: StationId| &grounds.study.candidates[choice.base].shop.stations[station].name;
    let is_for_faults = grounds.faults(choice.chosen) < grounds.faults(choice.base);
    let is_worth_it = is_for_faults || is_worth_moving(grounds, choice);
    Some(match grounds.rearrangement? {
        Rearrangement::First(first) if first.mended == 0 && !saves_time(grounds, choice, first) => {
            match is_for_faults {
                true => format!(
                    "None: no station that is moved alone to where it stands in {to} mends a fault without making another. `shopstride check` says which small moves would."
                ),
                false if is_worth_it => format!(
                    "None: no station that is moved alone to where it stands in {to} saves more than a little time."
                ),
                // The first line says that it is hardly worth it.
                false => return None,
            }
        }
        Rearrangement::One(_) | Rearrangement::Together(_) | Rearrangement::Unlike(_)
            if !is_worth_it =>
        {
            return None;
        }
        Rearrangement::Unlike(unlike) => {
            format!(
                "None: {to} {}, so moving stations one by one does not lead to it.",
                match unlike {
                    Unlike::Room => "has another room".to_owned(),
                    Unlike::Stations => "has other stations".to_owned(),
                    Unlike::Form(station) => format!(
                        "has {} in another size, or worked at or fed from another side",
                        with_the(name(station))
                    ),
                }
            )
        }
        Rearrangement::One(station) => {
            format!("Only {} stands elsewhere in {to}.", with_the(name(station)))
        }
        Rearrangement::Together(count) => format!(
            "None: {count} stations stand elsewhere in {to}, and none of them can be moved there alone with a gain and without a new fault."
        ),
        Rearrangement::First(FirstMove {
            station,
            metres,
            mended,
            ..
        }) => {
            let found = &grounds.findings.candidates[choice.base];
            let per = per_order(found);
            let walking = about::length(grounds.findings.units, metres / per.orders);
            let mends = match (mended, grounds.faults(choice.base)) {
                (0, _) => None,
                (1, 1) => Some("mends the fault".to_owned()),
                (some, all) => Some(format!(
                    "mends {some} of {all} faults{}",
                    mended_faults(grounds, choice.base)
                )),
            };
            let walks = match metres {
                m if m > 0.0 => Some(format!("saves {walking} of walking {}", per.unit)),
                m if m < 0.0 => Some(format!("costs {walking} of walking {}", per.unit)),
                _ => None,
            };
            let brings: Vec<String> = mends.into_iter().chain(walks).collect();
            let but = match (mended, is_for_faults) {
                (0, true) => {
                    ", but mends no fault: `shopstride check` says which small moves would"
                }
                _ => "",
            };
            format!(
                "Move {} to where it stands in {to}: that alone {}{but}.",
                with_the(name(station)),
                brings.join(" and ")
            )
        }
    })
}

/// In brackets, the faults of the base that are gone after the first move; nothing if that is not known.
fn mended_faults(grounds: &Grounds<'_>, base: usize) -> String {
    let (Some(fit), Some(after)) = (&grounds.fits[base], &grounds.after_first) else {
        return String::new();
    };
    let changes = FoundChanges::between(&fit.findings, after, grounds.findings.units);
    let faults = changes.gone.iter();
    let faults = faults.filter(|told| told.level == FindingLevel::Fault);
    let mut short: Vec<&str> = faults.map(|told| told.short.as_str()).collect();
    short.dedup();
    match short.is_empty() {
        true => String::new(),
        false => format!(" ({})", short.join("; ")),
    }
}

/// Whether what a move saves is more than a little of the hands-on time.
fn saves_time(grounds: &Grounds<'_>, choice: &Recommendation<'_>, first: FirstMove) -> bool {
    let found = &grounds.findings.candidates[choice.base];
    let time: f64 = found.crew.iter().map(|person| person.walking).sum();
    let walked = found.walking.mean;
    walked > 0.0 && first.metres * time / walked >= LITTLE * found.hands_on
}
