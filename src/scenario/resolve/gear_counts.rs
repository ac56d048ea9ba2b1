//! How much gear work takes: a number, or as many as its spacing on a piece asks for.

use super::MOST_PIECES;
use super::gear_spec::{GearSpec, nanometres};
use super::sizes::{Reported, Sizes, missing};
use crate::scenario::problem::{Bytes, Problem, Sink};
use crate::shop::{
    Choice, Gear, GearCount, GearId, OperationId, OrderLine, OrderLineId, Project, ProjectId, Table,
};

/// What an operation takes for an item of these sizes, of which a piece is so `long`, if that is known.
pub fn counts(
    specs: &[(GearId, GearSpec)],
    long: Option<f64>,
    (operation, sizes): (&str, &Sizes),
    at: &Bytes,
    sink: &Sink,
) -> Result<Vec<(GearId, GearCount)>, Reported> {
    let mut counts = Vec::new();
    for (id, spec) in specs {
        let (spacing, per_piece) = match spec {
            GearSpec::Number(count) => {
                counts.push((*id, GearCount::PerLot(*count)));
                continue;
            }
            GearSpec::Spaced { spacing, per_piece } => (spacing, *per_piece),
        };
        let Some(long) = long else {
            if sizes.unreadable {
                return Err(Reported);
            }
            let kind = sizes.called(match sizes.is_assembly() {
                true => "finished",
                false => "rough",
            });
            let what = format!("the {kind} length of `{}`", sizes.name);
            return Err(missing(operation, at, &what, kind, sink));
        };
        let (long, space) = (nanometres(long), nanometres(spacing.value));
        let spaces = long / space + i64::from(long % space != 0);
        if spaces >= MOST_PIECES as i64 {
            sink.report(
                Problem::error(
                    &spacing.span,
                    format!("`{}` would take {} of it", sizes.name, spaces + 1),
                )
                .hint(format!(
                    "at most {MOST_PIECES} are accepted; write a wider spacing"
                )),
            );
            return Err(Reported);
        }
        let count = spaces as u32 + 1;
        counts.push((
            *id,
            match per_piece {
                true => GearCount::PerPiece(count),
                false => GearCount::PerLot(count),
            },
        ));
    }
    Ok(counts)
}

/// Reports the first work that takes more gear for its pieces than there is, wherever it is done; `None` if there is one.
pub fn suffices(
    orders: &Table<OrderLineId, OrderLine>,
    spans: &[Bytes],
    projects: &Table<ProjectId, Project>,
    (gear, operations): (&Table<GearId, Gear>, &Table<OperationId, String>),
    sink: &Sink,
) -> Option<()> {
    for (line, span) in orders.iter().zip(spans) {
        for item in &projects[line.project].items {
            let lot = item.largest_lot(item.pieces.saturating_mul(line.together));
            let short = |choice: &Choice| {
                let taken = choice.work.gear.iter().copied();
                let mut per_piece = taken.filter(|(_, count)| count.is_per_piece());
                per_piece.find(|&(id, count)| count.of(lot) > gear[id].count)
            };
            for step in &item.route {
                let mut choices = step.choices.iter();
                let Some(first) = choices.clone().next() else {
                    continue;
                };
                if !choices.all(|choice| short(choice).is_some()) {
                    continue;
                }
                let Some((id, count)) = short(first) else {
                    continue;
                };
                let (kind, name) = (&gear[id], &operations[first.work.operation]);
                let pieces = match lot {
                    1 => "a piece".to_owned(),
                    lot => format!("a lot of {lot} pieces"),
                };
                let what = format!(
                    "`{name}` of `{}` can never start: {pieces} takes {} `{}`, but there are only {}",
                    item.name,
                    count.of(lot),
                    kind.name,
                    kind.count
                );
                let hint = format!(
                    "raise `count` of `{}` under `gear`, write a smaller `batch`, a wider `spacing`, or `per: lot`",
                    kind.name
                );
                sink.report(Problem::error(span, what).hint(hint));
                return None;
            }
        }
    }
    Some(())
}
