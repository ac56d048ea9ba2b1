//! Machines that the work comes to and that take less, where they stand, than it is cut from.

use super::{Grounds, LayoutFit};
use crate::floor::{FindingLevel, MachineCapacity, RuleId, StockSizes};
use crate::report::check::stock_sizes;
use crate::report::sentence::{counted, listed};
use crate::report::tape::{Rounding, tape};
use crate::shop::{Item, ItemKind, PartSource, Shop, Size, StationId};

/// So many machines are named.
const NAMED: usize = 3;

/// What is no narrower comes of a sheet, in metres.
const SHEET_M: f64 = 24.0 * 0.0254;

/// What comes of lengths in different units.
const ROUNDING_M: f64 = 1e-6;

/// Of the base and of the chosen candidate, machines that take nothing or not the boards and sheets that the work is cut
/// from; without those of which a fault says so already.
pub fn room_to_feed(grounds: &Grounds<'_>) -> Option<String> {
    let mut told: Vec<(Vec<String>, String)> = Vec::new();
    for (index, takes) in grounds.takes {
        let Some(fit) = &grounds.fits[*index] else {
            continue;
        };
        let Some(says) = of_layout(grounds, *index, fit, takes) else {
            continue;
        };
        let name = grounds.quoted(*index);
        match told.iter_mut().find(|(_, known)| *known == says) {
            Some((names, _)) => names.push(name),
            None => told.push((vec![name], says)),
        }
    }
    let told = told.iter();
    let told = told.map(|(names, says)| format!("{}: {says}", listed(names, "and")));
    let told: Vec<String> = told.collect();
    (!told.is_empty()).then(|| format!("{}. Longer stock is cut before.", told.join("; ")))
}

fn of_layout(
    grounds: &Grounds<'_>,
    index: usize,
    fit: &LayoutFit,
    takes: &[MachineCapacity],
) -> Option<String> {
    let shop = &*grounds.study.candidates[index].shop;
    let units = grounds.findings.units;
    let sizes = stock_sizes(units);
    let is_told = |name: &str| {
        let mut findings = fit.findings.iter();
        findings.any(|found| {
            found.level == FindingLevel::Fault
                && found.rule == RuleId::Feed
                && found.subject == name
        })
    };
    let says = takes.iter().filter_map(|capacity| {
        let name = &shop.stations[capacity.station].name;
        let brought = BroughtToMachine::to(shop, capacity.station, &sizes);
        if is_told(name) || !brought.anything {
            return None;
        }
        let is_short = |of_sheet: bool| capacity.short.iter().any(|one| one.is_sheet == of_sheet);
        match capacity.board {
            _ if capacity.lacks > 0.0 => Some(format!("{name} takes nothing")),
            Some(longest) if brought.boards && is_short(false) => {
                let longest = tape(units, longest, Rounding::Down);
                Some(format!("{name} takes boards to {longest}"))
            }
            _ if brought.sheets && is_short(true) => Some(format!("{name} takes no whole sheet")),
            _ => None,
        }
    });
    let mut says: Vec<String> = says.collect();
    let more = says.len().saturating_sub(NAMED);
    says.truncate(NAMED);
    says.extend((more > 0).then(|| format!("{} take less", counted(more, "other machine"))));
    (!says.is_empty()).then(|| says.join(", "))
}

/// What the orders bring to a machine.
struct BroughtToMachine {
    anything: bool,
    /// Whether any of it is cut from boards as they are sold, at whichever machine.
    boards: bool,
    /// Whether any of it comes as sheets as they are sold.
    sheets: bool,
}

impl BroughtToMachine {
    fn to(shop: &Shop, station: StationId, sizes: &StockSizes) -> BroughtToMachine {
        let mut brought = BroughtToMachine {
            anything: false,
            boards: false,
            sheets: false,
        };
        for (_, project) in shop.ordered_projects() {
            for item in &project.items {
                let mut choices = item.route.iter().flat_map(|step| &step.choices);
                if !choices.any(|choice| choice.station == station) {
                    continue;
                }
                brought.anything = true;
                let whole = bought_piece(item);
                brought.sheets |= whole.is_some_and(|piece| is_sheet(piece, sizes));
                let cut_from = match item.kind {
                    ItemKind::Part {
                        comes_from: PartSource::CutFrom(material),
                    } => bought_piece(&project.items[material.index()]),
                    _ => None,
                };
                let mut pieces = whole.iter().chain(&cut_from);
                brought.boards |= pieces.any(|piece| is_board(*piece, sizes));
            }
        }
        brought
    }
}

/// What comes to the first step of a route.
fn bought_piece(item: &Item) -> Option<Size> {
    item.route.first().and_then(|step| step.piece)
}

fn is_sheet(Size { length, width, .. }: Size, sizes: &StockSizes) -> bool {
    length.min(width) >= SHEET_M - ROUNDING_M && length.max(width) >= sizes.sheet.0 - ROUNDING_M
}

fn is_board(Size { length, width, .. }: Size, sizes: &StockSizes) -> bool {
    length.min(width) < SHEET_M - ROUNDING_M && length.max(width) >= sizes.board - ROUNDING_M
}
