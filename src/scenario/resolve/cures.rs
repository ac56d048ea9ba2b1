//! The cure that follows an operation, and what it keeps from other work.

use super::spec::{CureSpec, Tie};
use crate::scenario::names::Names;
use crate::scenario::problem::{Problem, Sink, hint_at};
use crate::shop::{Cure, GearCount, GearId};

impl CureSpec {
    /// With what is kept from other work, of the gear that the operation takes.
    pub(super) fn build(
        &self,
        gear: &[(GearId, GearCount)],
        names: &Names,
        operation: &str,
        sink: &Sink,
    ) -> Cure {
        let all = || gear.iter().map(|&(id, _)| id).collect();
        let Some(ties) = &self.ties_up else {
            return Cure {
                ties_up_station: true,
                ties_up_gear: all(),
                ..self.untied()
            };
        };
        let mut ties_up_gear = Vec::new();
        for (tie, span, name) in ties {
            let Tie::Gear(id) = *tie else { continue };
            if gear.iter().any(|&(taken, _)| taken == id) {
                ties_up_gear.push(id);
            } else {
                let taken = gear.iter().map(|&(id, _)| names.name(id.index()));
                sink.report(
                    Problem::warning(
                        span,
                        format!("the cure ties up `{name}`, which `{operation}` does not take"),
                    )
                    .hint(
                        hint_at(name, taken.collect::<Vec<_>>()).unwrap_or_else(|| {
                            format!("add `gear: {{{name}: 1}}` to the operation")
                        }),
                    ),
                );
            }
        }
        Cure {
            ties_up_station: ties.iter().any(|(tie, ..)| *tie == Tie::Station),
            ties_up_gear,
            ..self.untied()
        }
    }

    /// Without what it ties up.
    fn untied(&self) -> Cure {
        Cure {
            time: self.time.clone(),
            ties_up_station: false,
            ties_up_gear: Vec::new(),
            least: self.least,
            take_off: self.take_off.clone(),
        }
    }
}
