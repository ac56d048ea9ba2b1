//! What is built: the lines of a cut list, and projects for those who have none at hand.

use super::length::INCH;
use crate::experiment::Units;

/// A line of a cut list, in metres.
#[derive(Debug, Clone, PartialEq)]
pub struct CutRow {
    pub part: String,
    pub quantity: u32,
    /// Length, width and thickness when it is finished.
    pub size: [f64; 3],
    pub stuff: Stuff,
    /// What it is made of, as the list says it.
    pub material: String,
}

/// What something is cut from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stuff {
    Boards,
    Sheets,
}

/// A project with the lines of its cut list.
#[derive(Debug, Clone, PartialEq)]
pub struct CutProject {
    pub name: String,
    pub rows: Vec<CutRow>,
    /// As what lengths were read for which neither they themselves nor their heading says a unit, if there are any.
    pub bare_lengths: Option<&'static str>,
}

/// A part, how many of it, its size in inches, and what it is cut from.
type Invented = (&'static str, u32, [f64; 3], Stuff);

use Stuff::{Boards, Sheets};

/// Invented projects, the first of which is built where nobody names one.
const INVENTED: [(&str, &[Invented]); 3] = [
    (
        "side table",
        &[
            ("leg", 4, [24.0, 1.5, 1.5], Boards),
            ("rail", 4, [14.0, 4.0, 0.75], Boards),
            ("top", 1, [20.0, 16.0, 0.75], Boards),
        ],
    ),
    (
        "bookcase",
        &[
            ("side", 2, [60.0, 11.0, 0.75], Sheets),
            ("shelf", 5, [30.0, 11.0, 0.75], Sheets),
            ("back", 1, [60.0, 31.0, 0.25], Sheets),
        ],
    ),
    (
        "tool chest",
        &[
            ("panel", 4, [24.0, 14.0, 0.75], Sheets),
            ("bottom", 1, [24.0, 24.0, 0.25], Sheets),
            ("lid frame", 4, [25.0, 2.5, 0.75], Boards),
            ("lid panel", 1, [21.0, 21.0, 0.25], Sheets),
        ],
    ),
];

/// The names of the invented projects.
pub fn invented_names() -> impl Iterator<Item = &'static str> + Clone {
    INVENTED.iter().map(|(name, _)| *name)
}

/// The invented project of a name, in sizes that are round in these units.
pub fn invented(name: &str, units: Units) -> Option<CutProject> {
    let (name, rows) = INVENTED.iter().find(|(known, _)| *known == name)?;
    let rounded = |inches: f64| match units {
        Units::Imperial => inches * INCH,
        // Fives for what is long, and for the rest what is met in shops.
        Units::Metric if inches > 1.0 => (inches * INCH * 200.0).round() / 200.0,
        Units::Metric if inches > 0.5 => 0.018,
        Units::Metric => 0.006,
    };
    let rows = rows.iter().map(|&(part, quantity, size, stuff)| CutRow {
        part: part.to_owned(),
        quantity,
        size: size.map(rounded),
        stuff,
        material: String::new(),
    });
    Some(CutProject {
        name: (*name).to_owned(),
        rows: rows.collect(),
        bare_lengths: None,
    })
}

/// A sheet as it is bought, in metres.
pub fn sheet(units: Units) -> [f64; 2] {
    match units {
        Units::Imperial => [96.0 * INCH, 48.0 * INCH],
        Units::Metric => [2.44, 1.22],
    }
}
