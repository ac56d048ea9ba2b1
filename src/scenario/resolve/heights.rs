//! How high things are: of stations as the file says and as is usual for their kind, and of what is in the way.

use super::geometry::positive;
use super::usual::INCH;
use crate::floor::HeightRange;
use crate::scenario::fields::Fields;
use crate::scenario::kinds::{Height, StationKind};
use crate::scenario::problem::Problem;
use crate::scenario::quantity::Dimension;

/// Between which heights a station is, and how high its table is.
#[derive(Default)]
pub struct StationHeights {
    pub body: HeightRange,
    pub table: Option<f64>,
}

impl StationHeights {
    /// As is usual for a kind.
    pub fn of(kind: &StationKind) -> StationHeights {
        let mut heights = StationHeights::default();
        match kind.height {
            Some(Height::Table(table)) => {
                heights.table = Some(table.usual * INCH);
                let top = if kind.is_flat {
                    Some(table)
                } else {
                    kind.overall
                };
                if let Some(top) = top {
                    heights.body.top = top.usual * INCH;
                }
            }
            Some(Height::Body(body)) => heights.body.top = body.usual * INCH,
            Some(Height::Between { bottom, top }) => {
                heights.body = HeightRange {
                    bottom: bottom * INCH,
                    top: top * INCH,
                };
            }
            None => {}
        }
        heights
    }

    /// As the file says; the rest is as usual, as far as it goes with that.
    pub fn read(fields: &Fields, kind: Option<&StationKind>) -> StationHeights {
        let usual = kind.map_or_else(StationHeights::default, StationHeights::of);
        let is_flat = kind.is_some_and(|kind| kind.is_flat);
        let (given, table) = (given(fields), positive(fields, "table"));
        let mut heights = usual;
        if let Some(table) = table {
            // What stands on a table goes up and down with it.
            let above = heights.table.map(|usual| heights.body.top - usual);
            heights.body.top = above.map_or(heights.body.top, |above| table + above);
            heights.table = Some(table);
        }
        let high = heights.body.top - heights.body.bottom;
        if let Some(bottom) = given.bottom {
            // A cabinet that hangs elsewhere is as high as before; of a rack only the lowest arm is elsewhere.
            let goes_along = kind.is_some_and(|kind| kind.hangs);
            heights.body.bottom = bottom;
            if goes_along {
                heights.body.top = bottom + high;
            }
        }
        if let Some(top) = given.top {
            heights.body.top = top;
            match (table, heights.table) {
                (None, Some(_)) if is_flat => heights.table = Some(top),
                (None, Some(usual)) if usual > top => heights.table = Some(top),
                _ => {}
            }
        }
        check(fields, heights.body, kind);
        let of_table = table.zip(fields.entry("table"));
        if let Some((table, entry)) = of_table
            && let Some((what, limit)) = beyond(table, heights.body)
        {
            let limit = fields.sink.length(limit);
            fields.sink.report(
                Problem::error(
                    &entry.node.span,
                    format!("the table lies {what} of the station, {limit} above the floor"),
                )
                .hint("`height` is that of the whole station, `table` that of the work on it"),
            );
        }
        heights
    }
}

/// Where a table lies that is not between bottom and top, and how high that end is.
fn beyond(table: f64, body: HeightRange) -> Option<(&'static str, f64)> {
    match table {
        _ if table > body.top => Some(("above the top", body.top)),
        _ if table < body.bottom => Some(("below the bottom", body.bottom)),
        _ => None,
    }
}

/// What the file says of both ends.
#[derive(Default)]
struct GivenHeights {
    bottom: Option<f64>,
    top: Option<f64>,
}

fn given(fields: &Fields) -> GivenHeights {
    let bottom = fields.quantity("bottom", Dimension::Length);
    GivenHeights {
        bottom: bottom.map(|bottom| bottom.value),
        top: positive(fields, "height"),
    }
}

/// Between which heights something in the way is.
pub fn of_thing(fields: &Fields) -> HeightRange {
    let given = given(fields);
    let usual = HeightRange::default();
    let heights = HeightRange {
        bottom: given.bottom.unwrap_or(usual.bottom),
        top: given.top.unwrap_or(usual.top),
    };
    check(fields, heights, None);
    heights
}

/// Reports what ends below where it begins.
fn check(fields: &Fields, body: HeightRange, kind: Option<&StationKind>) {
    if body.top > body.bottom {
        return;
    }
    let at = ["height", "bottom"].map(|key| fields.entry(key));
    let Some(entry) = at.into_iter().flatten().next() else {
        return;
    };
    let bottom = fields.sink.length(body.bottom);
    let usual = match (fields.entry("bottom"), kind) {
        (None, Some(kind)) => format!(", as is usual for a {}", kind.name),
        _ => String::new(),
    };
    fields.sink.report(
        Problem::error(
            &entry.node.span,
            format!(
                "it ends no higher than it begins: its bottom is {bottom} above the floor{usual}"
            ),
        )
        .hint("`height` is that of its upper end above the floor, `bottom` that of its lower end"),
    );
}
