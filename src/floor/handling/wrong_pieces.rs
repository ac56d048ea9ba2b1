//! Rules about pieces that are wrong for a machine: too short, too thin or too narrow to be held, too wide to go in, or cut
//! too deep in one pass. What a station is says its kind, or else its name.

use crate::floor::finding::{
    Fact, FedPiece, FeedHazard, Finding, FindingLevel, FindingSubject, RuleId,
};
use crate::floor::{Limits, Premises, SAME_POINT_M};
use crate::shop::{Choice, ItemId, Shop, Size, Station, StationId};

/// With one of these words a saw has a table and a fence along which work is ripped.
const TABLE_SAWS: [&str; 6] = [
    "table",
    "cabinet",
    "contractor",
    "hybrid",
    "jobsite",
    "portable",
];

/// With one of these words a saw cuts what lies still along its fence.
const CROSSCUT_SAWS: [&str; 4] = ["miter", "mitre", "chop", "radial"];

/// How a machine holds the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Holding {
    /// Rollers draw it through, under knives.
    planes: bool,
    /// A bench-top planer, which takes less off.
    is_small: bool,
    /// Hands press it onto the bed, over knives.
    joints: bool,
    /// Rollers or a belt draw it through, under a drum.
    sands: bool,
    /// Hands pass it along a fence with a cutter in it.
    routs: bool,
    /// A table saw, whatever its stand.
    rips: bool,
    /// A saw that is drawn or lowered through what lies along its fence.
    cuts_off: bool,
}

impl Holding {
    /// Not of a hand plane, and not of a sled on which pieces are fixed.
    pub fn of(station: &Station) -> Holding {
        Holding::named(station.kind.unwrap_or(&station.name))
    }

    fn named(name: &str) -> Holding {
        let name = name.to_lowercase();
        let words: Vec<&str> = name.split(|letter: char| !letter.is_alphabetic()).collect();
        let has = |word: &str| words.contains(&word);
        let is_machine = !["hand", "sled", "router"].into_iter().any(has);
        let rips = has("saw") && TABLE_SAWS.into_iter().any(has);
        Holding {
            planes: is_machine && (has("planer") || has("thicknesser")),
            is_small: has("bench") || has("benchtop"),
            joints: is_machine && has("jointer"),
            sands: is_machine && has("sander") && (has("drum") || has("thickness")),
            rips,
            cuts_off: has("saw") && !rips && CROSSCUT_SAWS.into_iter().any(has),
            routs: has("shaper") || (has("router") && has("table")),
        }
    }

    /// Whether it holds the work without anybody's help until it has passed.
    pub fn is_roller_fed(self) -> bool {
        self.planes || self.sands
    }

    /// Whether one walks around it to take what has been fed through: at a planer. A jointer in one with a planer is open
    /// on both sides.
    pub fn is_walked_around(self) -> bool {
        self.planes && !self.joints
    }

    fn least_length(self, limits: &Limits) -> Option<f64> {
        if self.planes || self.joints {
            Some(limits.short_piece)
        } else if self.sands {
            Some(limits.short_sanded)
        } else {
            self.routs.then_some(limits.short_routed)
        }
    }

    /// The deepest cut, in metres; for one that planes as well as joints, that of planing.
    fn deepest(self, limits: &Limits) -> Option<f64> {
        match self {
            Holding {
                planes: true,
                is_small: true,
                ..
            } => Some(limits.small_planer_cut),
            Holding { planes: true, .. } => Some(limits.planer_cut),
            Holding { joints: true, .. } => Some(limits.jointer_cut),
            Holding { sands: true, .. } => Some(limits.sander_cut),
            _ => None,
        }
    }
}

/// What these rules find.
#[derive(Debug)]
pub struct WrongPieces {
    pub short: Vec<Finding>,
    pub thin: Vec<Finding>,
    pub narrow: Vec<Finding>,
    pub wide: Vec<Finding>,
    pub deep: Vec<Finding>,
}

/// A piece that orders bring to a machine.
struct Passing {
    piece: FedPiece,
    /// Its length, even where it is fed along its width: hands guide it by that edge.
    guided: f64,
    /// In which thickness it leaves, in metres.
    thickness: f64,
    /// What a pass takes off, where it is known, in metres.
    bite: Option<f64>,
}

/// Of each machine, the piece that is the most wrong by each of these rules.
pub fn wrong_pieces(premises: Premises<'_>) -> WrongPieces {
    let limits = premises.limits;
    let machines = premises.shop.stations.enumerate();
    let machines = machines.map(|(id, station)| (id, Holding::of(station), station.widest));
    let machines = machines.filter(|(_, holding, widest)| {
        holding.rips || holding.least_length(limits).is_some() || widest.is_some()
    });
    let machines: Vec<MachineWork> = machines
        .map(|(id, holding, widest)| MachineWork {
            id,
            holding,
            widest,
            passing: passing(premises, id),
        })
        .collect();
    let is_called = |piece: &FedPiece, name: &str| {
        let operation = &premises.shop.operations[piece.operation];
        operation.split(' ').any(|word| word == name)
    };
    let find_at = |rule: RuleId, judge: &dyn Fn(&MachineWork, &Passing) -> Option<Misfit>| {
        let findings = machines.iter().filter_map(|machine| {
            let wrong = (machine.passing.iter()).filter_map(|passing| judge(machine, passing));
            // Of the first of those that are equally wrong.
            let worst = wrong.reduce(|worst, other| match other.by > worst.by {
                true => other,
                false => worst,
            })?;
            let subject = FindingSubject::Place(machine.id.into());
            let fact = Fact::FeedHazard(worst.fact);
            let finding = Finding::new(FindingLevel::Warning, rule, subject, fact);
            Some(match worst.is_told_as_missing {
                true => finding.missing(worst.by),
                false => finding,
            })
        });
        findings.collect::<Vec<Finding>>()
    };
    let find = |rule: RuleId, judge: &dyn Fn(Holding, &Passing) -> Option<Misfit>| {
        find_at(rule, &|machine, passing| judge(machine.holding, passing))
    };
    let is_held = |holding: Holding| holding.planes || holding.joints;
    WrongPieces {
        short: find_at(RuleId::ShortPiece, &|machine, passing| {
            let mut piece = passing.piece;
            if machine.holding.routs {
                piece.size.length = passing.guided;
            }
            let is_ripped = machine.holding.rips && is_called(&piece, "rip");
            let of_saw = is_ripped.then_some(limits.short_ripped);
            let least = machine.holding.least_length(limits).or(of_saw)?;
            let fact = FeedHazard::Short { piece, least };
            Misfit::by(least - piece.size.length, fact, true)
        }),
        thin: find(RuleId::ThinPiece, &|holding, passing| {
            let (piece, thickness) = (passing.piece, passing.thickness);
            let least = is_held(holding).then_some(limits.thin_piece)?;
            let fact = FeedHazard::Thin {
                piece,
                thickness,
                least,
            };
            Misfit::by(least - thickness, fact, false)
        }),
        narrow: find(RuleId::NarrowPiece, &|holding, &Passing { piece, .. }| {
            let least = is_held(holding).then_some(limits.narrow_piece)?;
            let fact = FeedHazard::Narrow { piece, least };
            Misfit::by(least - piece.size.width, fact, false)
        }),
        wide: find_at(RuleId::WidePiece, &|machine, &Passing { piece, .. }| {
            let most = machine.widest?;
            // A board that stands on its edge takes its thickness.
            let width = match is_called(&piece, "edge") {
                true => piece.size.thickness,
                false => piece.size.width,
            };
            Misfit::by(width - most, FeedHazard::Wide { piece, most }, true)
        }),
        deep: find(RuleId::DeepCut, &|holding, passing| {
            let (bite, most) = passing.bite.zip(holding.deepest(limits))?;
            let piece = passing.piece;
            let fact = FeedHazard::Deep { piece, bite, most };
            Misfit::by(bite - most, fact, false)
        }),
    }
}

/// A machine for which a piece may be wrong.
struct MachineWork {
    id: StationId,
    holding: Holding,
    /// In metres.
    widest: Option<f64>,
    passing: Vec<Passing>,
}

/// How wrong a piece is.
struct Misfit {
    /// In metres.
    by: f64,
    fact: FeedHazard,
    /// Whether that is a length for a tape measure; thicknesses and depths are said in the sentence.
    is_told_as_missing: bool,
}

impl Misfit {
    fn by(by: f64, fact: FeedHazard, is_told_as_missing: bool) -> Option<Misfit> {
        (by > SAME_POINT_M).then_some(Misfit {
            by,
            fact,
            is_told_as_missing,
        })
    }
}

/// Whether a piece lies across a station and slides sideways past its cutter.
pub fn lies_across(shop: &Shop, choice: &Choice) -> bool {
    choice.work.is_crosscut && !Holding::of(&shop.stations[choice.station]).cuts_off
}

/// Whether a piece goes through a station along its width: not what lies still along a fence while the saw is drawn across.
pub fn goes_along_width(shop: &Shop, choice: &Choice) -> bool {
    choice.work.along_width && !Holding::of(&shop.stations[choice.station]).cuts_off
}

/// All pieces whose sizes are known that orders bring to a station, in the file's order.
fn passing(premises: Premises<'_>, station: StationId) -> Vec<Passing> {
    let mut all = Vec::new();
    for (project, of) in premises.ordered() {
        for (item, of) in (0..).map(ItemId).zip(&of.items) {
            for (index, step) in of.route.iter().enumerate() {
                let choice = step.choices.iter().find(|choice| choice.station == station);
                let (Some(choice), Some(size)) = (choice, step.piece) else {
                    continue;
                };
                let after = of.route.get(index + 1).and_then(|next| next.piece);
                let after = after.or(of.finished).unwrap_or(size);
                let turned = Size {
                    length: size.width,
                    width: size.length,
                    ..size
                };
                all.push(Passing {
                    piece: FedPiece {
                        project,
                        item,
                        operation: choice.work.operation,
                        is_across: lies_across(premises.shop, choice),
                        size: match goes_along_width(premises.shop, choice) {
                            true => turned,
                            false => size,
                        },
                    },
                    guided: size.length,
                    thickness: after.thickness.min(size.thickness),
                    bite: choice.work.bite,
                });
            }
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn machines_are_known_by_their_names() {
        let holds = |name: &str| {
            Holding::named(name)
                .least_length(&Limits::default())
                .is_some()
        };
        let are = [
            "planer",
            "Jointer (8 in)",
            "planer-thicknesser",
            "planer 2",
            "drum sander",
        ];
        let are_not = [
            "hand planer",
            "router planer sled",
            "bench",
            "joint table",
            "planerium",
            "disc sander",
        ];
        assert!(are.into_iter().all(holds));
        assert!(!are_not.into_iter().any(holds));
        assert!(Holding::named("bench-top planer").is_small);
        assert!(
            ["miter saw", "radial-arm saw"]
                .into_iter()
                .all(|saw| Holding::named(saw).cuts_off)
        );
        assert!(
            ["table saw", "miter table"]
                .into_iter()
                .all(|other| !Holding::named(other).cuts_off)
        );
        assert!(!Holding::named("jointer 6 in").is_roller_fed());
        assert!(Holding::named("jointer-planer").is_roller_fed());
        let is_routed = |name: &str| Holding::named(name).routs;
        assert!(Holding::named("cabinet saw").rips && !Holding::named("band saw").rips);
        assert!(is_routed("router table") && is_routed("shaper"));
        assert!(!is_routed("router planer sled") && !is_routed("shape table"));
    }
}
