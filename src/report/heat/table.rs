//! Heat by month.

use crate::experiment::{GLUE_WANTS, HeatFindings, MonthHeat, Units};
use crate::report::about;
use crate::report::figure::fixed;
use crate::report::measures::{kilowatts, temperature};
use crate::report::tables::{note, table as grid, text};

/// Nothing where nobody says how cold it is outdoors.
pub fn table(heat: Option<&HeatFindings>, units: Units, width: u16) -> Option<String> {
    let heat = heat?;
    let header = [
        "month",
        "outdoors",
        "to keep\nit warm",
        "warming\nup",
        "boards at\nopening",
        "a night\nlater",
        "warm for\nglue",
    ];
    let mut table = grid(&header, 1, width);
    for month in &heat.months {
        table.add_row(row(month, units));
    }
    let sum: f64 = heat.losses.iter().map(|(_, loss)| loss).sum();
    let parts: Vec<String> = (heat.losses.iter())
        .map(|(name, loss)| format!("{name} {} %", fixed(100.0 * loss / sum, 0)))
        .collect();
    let remark = format!(
        "From {} while it is shut to {} while it is open, in a week like the one before; boards, glue and iron follow the air. Lost by {}. Glue is warm enough above {}, for so long after closing. An estimate: circuits are an electrician's work, fuel, flues and exhaust those of licensed people; no solvent finish in the air of a flame.",
        temperature(units, heat.shut),
        temperature(units, heat.open),
        parts.join(", "),
        temperature(units, GLUE_WANTS),
    );
    Some(format!("{}{}", text(table), note(&remark, width)))
}

fn row(month: &MonthHeat, units: Units) -> [String; 7] {
    let none = || "–".to_owned();
    let week = month.week.as_ref();
    let warming = week.map(|week| week.warm_up.map_or("never".to_owned(), about::time));
    let glue = week.map(|week| week.stays_warm.map_or("all of it".to_owned(), about::time));
    [
        month.month.to_owned(),
        temperature(units, month.outside),
        kilowatts(month.loss),
        warming.unwrap_or_else(none),
        week.map_or_else(none, |week| temperature(units, week.opening[1])),
        week.map_or_else(none, |week| temperature(units, week.night_mass)),
        glue.unwrap_or_else(none),
    ]
}
