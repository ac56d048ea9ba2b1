//! What each number of moves saves, as a table.

use super::{PlacementsAnswer, PlayedLayout};
use crate::floor::FindingLevel;
use crate::report::figure::percent;
use crate::report::sentence::listed;
use crate::report::tables;

/// So many stations are named in a row.
const MOST_NAMED: usize = 3;

impl PlacementsAnswer<'_> {
    pub(super) fn curve_table(&self, width: u16) -> String {
        let header = ["moved", "which", "walking", "saves", "faults", "warnings"];
        let mut table = tables::table(&header, 2, width);
        table.add_row(self.row("none", "as it is now", self.now));
        for layout in self.curve {
            let many = layout.moved.len().to_string();
            table.add_row(self.row(&many, &which(layout), layout));
        }
        tables::text(table)
    }

    fn row(&self, many: &str, which: &str, layout: &PlayedLayout) -> [String; 6] {
        let unit = self.unit();
        let walked = self.walked_m(layout);
        let now = self.walked_m(self.now);
        let saves = walked
            .zip(now)
            .filter(|_| layout.candidate != self.now.candidate);
        [
            many.to_owned(),
            which.to_owned(),
            walked.map_or_else(|| "no way".to_owned(), |metres| unit.with_unit(metres)),
            saves.map_or_else(String::new, |(walked, now)| {
                format!(
                    "{} ({})",
                    unit.with_unit(now - walked),
                    percent((now - walked) / now)
                )
            }),
            layout.count(FindingLevel::Fault).to_string(),
            layout.count(FindingLevel::Warning).to_string(),
        ]
    }
}

/// The stations that are moved, as far as they can be named in a row.
fn which(layout: &PlayedLayout) -> String {
    let moved = &layout.moved;
    match moved.len() > MOST_NAMED {
        true => format!(
            "{} and {} more",
            moved[..MOST_NAMED - 1].join(", "),
            moved.len() + 1 - MOST_NAMED
        ),
        false => listed(moved, "and"),
    }
}
