//! Heat by month.

use crate::experiment::{GLUE_WANTS, HOUSE, HeatFindings, MoistureFindings, MonthHeat, Units};
use crate::report::about;
use crate::report::figure::fixed;
use crate::report::measures::{kilowatts, temperature};
use crate::report::tables::{note, table as grid, text};
use crate::report::tape::{Rounding, tape};
use crate::scenario::printable_name;
use crate::units::customary::INCH;

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
    let wood = heat
        .moisture
        .as_ref()
        .map_or(String::new(), |of| wood(heat, of, units));
    Some(format!(
        "{}{}",
        text(table),
        note(&format!("{remark}{wood}"), width)
    ))
}

/// " Outdoor air of 28 °F, taken to be 80 % damp, is at 22 % at 62 °F, where wood settles at 4.9 %. …"
fn wood(heat: &HeatFindings, of: &MoistureFindings, units: Units) -> String {
    let percent = |share: f64| format!("{} %", fixed(100.0 * share, 1));
    let outside = heat.coldest().map_or(heat.open, |month| month.outside);
    let moved = of.widest.as_ref().map_or(String::new(), |widest| {
        let how = match widest.grows < 0.0 {
            true => "shrinks",
            false => "grows",
        };
        format!(
            " There the {}, {} wide, {how} by {} if it is flat-sawn red oak, half as much or less if quartered: leave it room.",
            printable_name(&widest.name),
            tape(units, widest.width, Rounding::Nearest),
            small(units, widest.grows.abs()),
        )
    });
    format!(
        " Outdoor air of {}, taken to be {} % damp, is at {} % at {}, where wood settles at {}; in a house of {} and {} % it settles at {}, in weeks.{moved}",
        temperature(units, outside),
        fixed(100.0 * of.outdoors, 0),
        fixed(100.0 * of.humidity, 0),
        temperature(units, heat.open),
        percent(of.in_shop),
        temperature(units, HOUSE.0),
        fixed(100.0 * HOUSE.1, 0),
        percent(of.in_house),
    )
}

/// A movement, in hundredths of an inch or tenths of a millimetre.
fn small(units: Units, length: f64) -> String {
    match units {
        Units::Imperial => format!("{} in", fixed(length / INCH, 2)),
        Units::Metric => format!("{} mm", fixed(1000.0 * length, 1)),
    }
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
