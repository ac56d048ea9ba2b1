//! What `shopstride check` says of each layout.

mod changes;
mod feeding;
mod gaps;
mod handling;
mod hazards;
mod heights;
mod indoors;
mod kept;
mod machines;
mod names;
mod open_time;
mod people;
mod phrase;
mod placing;
mod said;
mod short;
mod takes;
mod text;
mod told;
mod walls;

pub use changes::FoundChanges;
pub use phrase::{Phrase, Wording, Writer};
pub use text::{Depth, text};
pub use told::{Told, told};

use names::ShopNames;
use serde_json::{Map, Value, json};

use super::figure::mass;
use super::tape::{Rounding, fine, tape};
use super::typical;
use crate::experiment::{Candidate, Study, TypicalValues, Units};
use crate::floor::{FindingLevel, IndoorWay, MachineCapacity, MachineWay, RuleId, StockSizes};

/// What the checks are, and what they are not.
pub const CAUTION: &str = "These are planning figures, not an inspection: local codes and the makers' manuals come \
     first, wiring is an electrician's work, and guards stay on.";

/// What no rule asks.
pub const NOT_LOOKED_AT: &str = "Not looked at: dust pipes, heat, light, noise and power (`run` says what the \
     file says enough of, `shopstride size` what they take).";

/// Behind a finding with a number that stands nowhere on a plan, since it is about what goes in and out.
pub const NOT_ON_PLAN: &str = " (not marked on the plan)";

/// What is said of a room in which nothing stands.
pub const NO_PLACES: &str =
    "Only what comes in and goes out was looked at: no station has a place.";

/// What is said where no rule finds a fault.
pub const NO_FAULT: &str = "no fault found by these rules; not an inspection";

/// A candidate and what the rules have to say about it.
pub struct Checked<'a> {
    pub candidate: &'a Candidate,
    pub findings: Vec<Told>,
    /// How pieces get through the room.
    pub ways: Vec<IndoorWay>,
    /// So many pieces were not tried.
    pub untried: usize,
    /// How machines come in.
    pub machines: Vec<MachineWay>,
    /// So many machines were not tried.
    pub machines_untried: usize,
    /// What each machine takes where it stands.
    pub takes: Vec<MachineCapacity>,
}

/// What is asked for at each machine, as the reader of a study buys it.
pub fn stock_sizes(units: Units) -> StockSizes {
    match units {
        Units::Metric => StockSizes::METRIC,
        Units::Imperial => StockSizes::IMPERIAL,
    }
}

/// What a level is called.
pub fn level_name(level: FindingLevel) -> &'static str {
    match level {
        FindingLevel::Fault => "fault",
        FindingLevel::Warning => "warning",
        FindingLevel::Note => "note",
    }
}

impl Checked<'_> {
    fn count(&self, level: FindingLevel) -> usize {
        let of_level = self
            .findings
            .iter()
            .filter(|finding| finding.level == level);
        of_level.count()
    }

    fn names(&self) -> ShopNames<'_> {
        let plan = self.candidate.plan.as_ref();
        ShopNames {
            shop: &self.candidate.shop,
            room: plan.and_then(|plan| plan.room.as_ref()),
        }
    }

    /// Whether anything does not fit.
    pub fn has_fault(&self) -> bool {
        self.count(FindingLevel::Fault) > 0
    }
}

/// Faults and warnings by index, with their numbers from 1 on: faults first; within a level what comes first by its rule,
/// and then what costs most, by the length that is missing. A fault without one, such as a place that nothing leads to,
/// comes before all others, a warning without one behind them; what costs the same is in the order of the rules. Notes
/// have no number.
pub fn numbered(findings: &[Told]) -> impl Iterator<Item = (usize, usize)> + '_ {
    let levels = [
        (FindingLevel::Fault, f64::INFINITY),
        (FindingLevel::Warning, f64::NEG_INFINITY),
    ];
    let indices = levels.into_iter().flat_map(move |(level, unmeasured)| {
        let cost = |index: &usize| findings[*index].missing.unwrap_or(unmeasured);
        let of_level = (0..findings.len()).filter(|&index| findings[index].level == level);
        let mut of_level: Vec<usize> = of_level.collect();
        of_level.sort_by(|one, other| {
            let by_rule = is_later(findings[*one].rule).cmp(&is_later(findings[*other].rule));
            by_rule.then(cost(other).total_cmp(&cost(one)))
        });
        of_level
    });
    indices
        .enumerate()
        .map(|(before, index)| (before + 1, index))
}

/// Whether a rule waits for others: what stands in the wall or in something else has to be mended first and is mostly why
/// other things are missing, and what may hurt somebody is more than a narrow way.
fn is_later(rule: RuleId) -> bool {
    !matches!(
        rule,
        RuleId::Overlap | RuleId::Walls | RuleId::InTheWay | RuleId::TooHigh | RuleId::Kickback
    )
}

/// What a finding says, in the units of the reader.
pub fn written(finding: &Told, units: Units) -> String {
    finding.sentence(Quantities::of(units).writer())
}

/// What would help, if anything is known that does.
pub fn advised(finding: &Told, units: Units) -> Option<String> {
    finding.advice(Quantities::of(units).writer())
}

/// The same in a few words, with how much is missing.
pub fn in_short(finding: &Told, units: Units) -> String {
    finding.briefly(Quantities::of(units).writer())
}

type QuantityFormat = Box<dyn Fn(f64) -> String>;

/// How lengths from metres and masses from kilograms are written for the reader of a study.
struct Quantities {
    /// To the nearest mark, down and up.
    lengths: [QuantityFormat; 3],
    fine: QuantityFormat,
    mass: QuantityFormat,
}

impl Quantities {
    fn of(units: Units) -> Quantities {
        let length =
            |rounding| -> QuantityFormat { Box::new(move |metres| tape(units, metres, rounding)) };
        Quantities {
            lengths: [Rounding::Nearest, Rounding::Down, Rounding::Up].map(length),
            fine: Box::new(move |metres| fine(units, metres)),
            mass: Box::new(move |kilograms| mass(units, kilograms)),
        }
    }

    fn writer(&self) -> Writer<'_> {
        let [length, at_most, at_least] = &self.lengths;
        Writer {
            length,
            at_most,
            at_least,
            fine: &self.fine,
            mass: &self.mass,
        }
    }
}

/// All layouts as JSON: lengths in metres, masses in kilograms.
pub fn json(study: &Study, checked: &[Checked]) -> Value {
    let layouts: Vec<Value> = checked
        .iter()
        .map(|layout| {
            let findings: Vec<Value> = (layout.findings.iter())
                .map(|finding| one(study, finding))
                .collect();
            let ways = layout.ways.iter();
            let ways: Vec<Value> = ways.map(|way| indoors::json(layout.names(), way)).collect();
            let machines = layout.machines.iter();
            let machines: Vec<Value> = machines
                .map(|way| machines::json(layout.names(), way))
                .collect();
            let takes = layout.takes.iter();
            let takes: Vec<Value> = takes.map(|one| takes::json(layout.names(), one)).collect();
            let mut data = json!({
                "name": layout.candidate.name,
                "faults": layout.count(FindingLevel::Fault),
                "warnings": layout.count(FindingLevel::Warning),
                "notes": layout.count(FindingLevel::Note),
                "findings": findings,
                "ways": ways,
                "ways_untried": layout.untried,
                "machine_ways": machines,
                "machine_ways_untried": layout.machines_untried,
                "takes": takes,
            });
            let walls = walls::of(layout.candidate);
            if !walls.is_empty() {
                data["walls"] = walls::json(&walls);
            }
            data
        })
        .collect();
    let mut document = json!({
        "scenario": study.title,
        "layouts": layouts,
        "caution": format!("{NOT_LOOKED_AT} {CAUTION}"),
    });
    if let Some(typical) = typical::json(&typical_values(checked)) {
        document["typical"] = typical;
    }
    document
}

/// Sizes alone: no rule asks how long anything takes.
fn typical_values(checked: &[Checked]) -> TypicalValues {
    TypicalValues {
        times: Vec::new(),
        ..TypicalValues::of(checked.iter().map(|layout| layout.candidate))
    }
}

fn one(study: &Study, finding: &Told) -> Value {
    let quantities = Quantities::of(study.units);
    let writer = quantities.writer();
    let figures: Map<String, Value> = (finding.figures.iter())
        .map(|(name, value)| ((*name).to_owned(), json!(value)))
        .collect();
    let mut data = json!({
        "level": level_name(finding.level),
        "rule": finding.rule.name(),
        "subject": finding.subject,
        "other": finding.other,
        "at_m": finding.at.map(|at| [at.x, at.y]),
        "missing_m": finding.missing,
        "figures": figures,
        "short": finding.short,
        "says": finding.sentence(writer),
        "help": finding.advice(writer),
        "source": finding.source(),
    });
    if let Some(when) = &finding.when {
        data["when"] = json!(when);
    }
    data
}
