//! Cut lists: a table with a line for each part.

use super::length::{read_length, sized, units_of};
use super::list_units::{ListUnits, in_bare_unit, other_unit, plural, units_called, unlikely};
use super::machines::unused;
use super::parts::{CutProject, CutRow, Stuff, sheet};
use super::table::{CsvColumn, CsvTable};
use crate::experiment::Units;
use crate::scenario::csv_lines::CsvRow;
use crate::scenario::problem::{Bytes, Problem, Problems};

const PART: usize = 0;
const QUANTITY: usize = 1;
const LENGTH: usize = 2;
const WIDTH: usize = 3;
const THICKNESS: usize = 4;
const MATERIAL: usize = 5;

const COLUMNS: [CsvColumn; 6] = [
    CsvColumn {
        name: "part",
        called: &[
            "part name",
            "part names",
            "parts",
            "name",
            "description",
            "piece",
            "item",
            "component",
            "label",
        ],
    },
    CsvColumn {
        name: "quantity",
        called: &["qty", "count", "pieces", "pcs", "number", "no", "q", "#"],
    },
    CsvColumn {
        name: "length",
        called: &["l", "len", "long"],
    },
    CsvColumn {
        name: "width",
        called: &["w", "wide", "breadth"],
    },
    CsvColumn {
        name: "thickness",
        called: &["t", "th", "thick", "thk", "height", "depth"],
    },
    CsvColumn {
        name: "material",
        called: &["stock", "wood", "species", "stuff", "mat"],
    },
];

/// Words for what comes in sheets.
const SHEETS: [&str; 17] = [
    "plywood",
    "ply",
    "mdf",
    "hdf",
    "sheet",
    "panel",
    "particleboard",
    "particle",
    "chipboard",
    "hardboard",
    "osb",
    "melamine",
    "blockboard",
    "multiplex",
    "fibreboard",
    "fiberboard",
    "laminate",
];

/// As many pieces of a part as are accepted, and as many lines.
const MOST_PIECES: u32 = 1000;
const MOST_LINES: usize = 500;

/// Nothing is smaller or longer, in metres.
const SIZES: (f64, f64) = (0.0005, 12.0);

/// Reads a cut list; `name` is how problems call it.
///
/// # Errors
/// All that is wrong in it, each with its line and column.
pub fn read_cut_list(name: &str, bytes: &[u8], units: ListUnits) -> Result<CutProject, Problems> {
    let table = CsvTable::read(name, bytes, &COLUMNS)?;
    let text = String::from_utf8_lossy(bytes);
    let heads = &text[table.heading.clone()];
    let needed = [PART, LENGTH, WIDTH, THICKNESS];
    let mut problems = table.missing(&COLUMNS, &needed, heads);
    let mut rows: Vec<CutRow> = Vec::new();
    let mut has_bare_lengths = false;
    if problems.is_empty() {
        let reading = ListReading {
            table: &table,
            units,
        };
        let read: Vec<ReadRow> = table.rows.iter().map(|row| reading.row(row)).collect();
        problems.extend(reading.in_another_unit(&read));
        for read in read {
            has_bare_lengths |= read.has_bare_lengths;
            problems.extend(read.wrong);
            if let Some(row) = read.row {
                add(&mut rows, row);
            }
        }
        problems.extend(wrong_count(&table, rows.len()));
    }
    match problems.is_empty() {
        true => Ok(CutProject {
            name: project_name(name),
            rows,
            bare_lengths: has_bare_lengths.then_some(units.bare_unit()),
        }),
        false => Err(Problems::new(name, &text, problems)),
    }
}

/// Adds a part to those that are known: to its like, or under a name of its own.
fn add(rows: &mut Vec<CutRow>, row: CutRow) {
    let same = |known: &&mut CutRow| {
        known.part == row.part && known.size == row.size && known.material == row.material
    };
    match rows.iter_mut().find(same) {
        Some(known) => known.quantity += row.quantity,
        None => {
            let part = unused(&row.part, |name| rows.iter().any(|row| row.part == name));
            rows.push(CutRow { part, ..row });
        }
    }
}

/// That there is no part, or that there are too many.
fn wrong_count(table: &CsvTable, parts: usize) -> Option<Problem> {
    if table.rows.is_empty() {
        let problem = Problem::error(&table.heading, "no part follows below the heading");
        return Some(
            problem.hint("write a line for each part, such as `side,2,30,11,3/4,plywood`"),
        );
    }
    (parts > MOST_LINES).then(|| {
        let what = format!("there are {parts} parts; at most {MOST_LINES} are accepted");
        Problem::error(&table.heading, what)
    })
}

/// A line of a list, as it was read.
struct ReadRow {
    /// Nothing where something is wrong in it.
    row: Option<CutRow>,
    wrong: Vec<Problem>,
    has_bare_lengths: bool,
    /// A size that cannot well be meant in the unit in which it is read.
    unlikely: Option<Unlikely>,
}

/// A size that cannot well be meant in the unit in which it is read.
struct Unlikely {
    span: Bytes,
    /// In metres.
    read_as: f64,
    /// The unit that the heading of its column says, if it says one.
    headed: Option<&'static str>,
}

/// A size in its cell, in metres as far as it can be read.
struct SizeCell<'t> {
    said: &'t str,
    span: &'t Bytes,
    is_bare: bool,
    /// The unit of the column's heading, where the number itself has none.
    headed: Option<&'static str>,
    read: Result<f64, String>,
}

struct ListReading<'t> {
    table: &'t CsvTable,
    units: ListUnits,
}

impl<'t> ListReading<'t> {
    fn row(&self, row: &'t CsvRow) -> ReadRow {
        let at = |column: usize| self.table.cell(row, column);
        let mut wrong = Vec::new();
        let part = at(PART).map(|(part, _)| part.to_owned());
        if part.is_none() {
            wrong.push(
                Problem::error(&row.span, "this line does not name its part")
                    .hint("write what the part is called, such as `side`"),
            );
        }
        let mut quantity = 1;
        if let Some((said, span)) = at(QUANTITY) {
            match read_quantity(said) {
                Some(count) => quantity = count,
                None => wrong.push(
                    Problem::error(span, format!("`{said}` is no number of pieces"))
                        .hint(format!("it must be a whole number from 1 to {MOST_PIECES}")),
                ),
            }
        }
        let material = at(MATERIAL).map_or("", |(said, _)| said);
        let stuff = stuff(material);
        let cells = [LENGTH, WIDTH, THICKNESS].map(|column| self.size(row, column));
        let unlikely = self.unlikely(&cells, stuff);
        let mut sizes = [0.0; 3];
        for (side, cell) in cells.iter().enumerate() {
            let what = COLUMNS[LENGTH + side].name;
            match cell.as_ref().map(|cell| (cell, &cell.read)) {
                None => wrong.push(
                    Problem::error(&row.span, format!("this line has no {what}"))
                        .hint(format!("each part needs a {what}")),
                ),
                Some((_, Ok(size))) if (SIZES.0..=SIZES.1).contains(size) => sizes[side] = *size,
                // What is in another unit need not be possible in this one.
                Some((cell, Ok(_)))
                    if (cell.is_bare || cell.headed.is_some()) && unlikely.is_some() => {}
                Some((cell, read)) => {
                    let hint = match (read, cell.is_bare) {
                        (Err(hint), _) => hint.clone(),
                        (Ok(_), false) => "a part has at least 0.5 mm and at most 12 m".to_owned(),
                        (Ok(_), true) => format!(
                            "a part has at least 0.5 mm and at most 12 m, and what has no unit is read as {}",
                            plural(self.units.bare_unit())
                        ),
                    };
                    let what = format!("`{}` is no {what} of a part", cell.said);
                    wrong.push(Problem::error(cell.span, what).hint(hint));
                }
            }
        }
        if wrong.is_empty()
            && unlikely.is_none()
            && stuff == Stuff::Sheets
            && !fits_a_sheet(sizes, self.units.sold)
        {
            wrong.push(no_sheet_so_large(&row.span, self.units.sold));
        }
        let row = part.filter(|_| wrong.is_empty() && unlikely.is_none());
        ReadRow {
            row: row.map(|part| CutRow {
                part,
                quantity,
                size: sizes,
                stuff,
                material: material.to_owned(),
            }),
            wrong,
            has_bare_lengths: cells.iter().flatten().any(|cell| cell.is_bare),
            unlikely,
        }
    }

    fn size(&self, row: &'t CsvRow, column: usize) -> Option<SizeCell<'t>> {
        let (said, span) = self.table.cell(row, column)?;
        let bare = self.table.bare(column, self.units.bare_unit());
        Some(SizeCell {
            said,
            span,
            is_bare: self.table.unit(column).is_none() && units_of(said).is_none(),
            headed: (self.table.unit(column)).filter(|_| units_of(said).is_none()),
            read: read_length(said, bare),
        })
    }

    /// By the unit of the room and, where its column has one, by that of the heading.
    fn unlikely(&self, cells: &[Option<SizeCell<'t>>; 3], stuff: Stuff) -> Option<Unlikely> {
        let bare = |cell: &&SizeCell<'_>| cell.is_bare;
        let metric = |cell: &&SizeCell<'_>| cell.headed.map(units_called) == Some(Units::Metric);
        let imperial =
            |cell: &&SizeCell<'_>| cell.headed.map(units_called) == Some(Units::Imperial);
        let among = |are_meant: &dyn Fn(&&SizeCell<'t>) -> bool, units: Units| {
            let numbers = cells.each_ref().map(|cell| {
                let cell = cell.as_ref().filter(are_meant)?;
                let metres = *cell.read.as_ref().ok()?;
                Some((cell.said, in_bare_unit(metres, units)))
            });
            let side = unlikely(numbers, stuff, units)?;
            let cell = cells[side].as_ref()?;
            Some(Unlikely {
                span: cell.span.clone(),
                read_as: cell.read.clone().ok()?,
                headed: cell.headed,
            })
        };
        among(&bare, self.units.bare)
            .or_else(|| among(&metric, Units::Metric))
            .or_else(|| among(&imperial, Units::Imperial))
    }

    /// That the bare numbers of a list look like another unit than the one in which they are read: said once, at the
    /// first of them.
    fn in_another_unit(&self, read: &[ReadRow]) -> Option<Problem> {
        let mut unlikely = read.iter().filter_map(|read| read.unlikely.as_ref());
        let first = unlikely.next()?;
        let others = unlikely.count();
        let also = match others {
            0 => String::new(),
            1 => ", and one more line is like it".to_owned(),
            many => format!(", and {many} more lines are like it"),
        };
        if let Some(unit) = first.headed {
            return Some(headed_otherwise(first, unit, &also));
        }
        let (unit, other) = (self.units.bare_unit(), other_unit(self.units.bare));
        let heads = [LENGTH, WIDTH, THICKNESS].into_iter();
        // Where another heading has a unit, these are likely meant in that one.
        let said = heads.clone().find_map(|column| self.table.unit(column));
        let other = said.unwrap_or(other);
        let heads: Vec<String> = heads
            .filter(|&column| self.table.unit(column).is_none())
            .map(|column| format!("`{} ({other})`", COLUMNS[column].name))
            .collect();
        let read_as = sized(first.read_as, self.units.bare);
        let (room, looks) = match self.units.bare {
            Units::Imperial => ("feet", "mm"),
            Units::Metric => ("metres", "inches or cm"),
        };
        let what = format!(
            "this has no unit and is read as {read_as}, for the room is in {room}; it looks like {looks}{also}"
        );
        Some(Problem::error(&first.span, what).hint(format!(
            "if these are {}, write {} in the heading; what is meant in {} has its unit beside it: `{read_as}`",
            plural(other),
            heads.join(", "),
            plural(unit),
        )))
    }
}

/// That a number is not well meant in the unit that the heading of its column says.
fn headed_otherwise(size: &Unlikely, unit: &str, also: &str) -> Problem {
    let units = units_called(unit);
    let looks = match units {
        Units::Imperial => "mm",
        Units::Metric => "inches or metres",
    };
    let read_as = sized(size.read_as, units);
    let what = format!(
        "by its heading this is in {unit}, which makes {read_as}; it looks like {looks}{also}"
    );
    Problem::error(&size.span, what).hint(format!(
        "write the unit that is meant in the heading, or beside the number: `{read_as}` if it is right"
    ))
}

fn read_quantity(said: &str) -> Option<u32> {
    let read = said.trim_end_matches(['x', '×']).trim().parse::<u32>();
    read.ok().filter(|count| (1..=MOST_PIECES).contains(count))
}

fn no_sheet_so_large(span: &Bytes, units: Units) -> Problem {
    Problem::error(span, "no sheet is as large as this part").hint(match units {
        Units::Imperial => "a sheet is 96 in by 48 in: part it, or say another material",
        Units::Metric => "a sheet is 2440 mm by 1220 mm: part it, or say another material",
    })
}

fn stuff(material: &str) -> Stuff {
    let plain = material.to_lowercase();
    let mut words = plain.split(|letter: char| !letter.is_alphanumeric());
    match words.any(|word| SHEETS.contains(&word) || word.ends_with("plywood")) {
        true => Stuff::Sheets,
        false => Stuff::Boards,
    }
}

fn fits_a_sheet([length, width, _]: [f64; 3], units: Units) -> bool {
    let [long, wide] = sheet(units).map(|side| side + 1e-6);
    (length <= long && width <= wide) || (length <= wide && width <= long)
}

/// The project is called as the file is.
fn project_name(file: &str) -> String {
    let stem = std::path::Path::new(file).file_stem();
    let stem = stem.map_or(String::new(), |stem| stem.to_string_lossy().into_owned());
    let words = stem.replace(['-', '_', '.'], " ");
    let words: Vec<&str> = words.split_whitespace().collect();
    // "18 m of walking per mm" would be read as a length.
    const UNITS: [&str; 7] = ["mm", "cm", "m", "in", "inch", "inches", "ft"];
    match &words[..] {
        [] => "project".to_owned(),
        [unit] if UNITS.contains(&&unit.to_lowercase()[..]) => format!("project in {unit}"),
        words => words.join(" "),
    }
}
