//! Cut lists: a table with a line for each part.

use super::length::{read_length, units_of};
use super::machines::unused;
use super::parts::{CutProject, CutRow, Stuff, sheet};
use super::table::{CsvColumn, CsvTable};
use crate::experiment::Units;
use crate::scenario::problem::{Problem, Problems};

const PART: usize = 0;
const QUANTITY: usize = 1;
const LENGTH: usize = 2;
const WIDTH: usize = 3;
const THICKNESS: usize = 4;
const MATERIAL: usize = 5;

const COLUMNS: [CsvColumn; 6] = [
    CsvColumn {
        name: "part",
        called: &["name", "description", "piece", "item", "component", "label"],
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
pub fn read_cut_list(name: &str, bytes: &[u8], units: Units) -> Result<CutProject, Problems> {
    let table = CsvTable::read(name, bytes, &COLUMNS)?;
    let text = String::from_utf8_lossy(bytes);
    let heads = &text[table.heading.clone()];
    let needed = [PART, LENGTH, WIDTH, THICKNESS];
    let mut problems = table.missing(&COLUMNS, &needed, heads);
    let mut rows: Vec<CutRow> = Vec::new();
    let mut has_bare_lengths = false;
    let usual = match units {
        Units::Imperial => "in",
        Units::Metric => "mm",
    };
    if problems.is_empty() {
        for row in &table.rows {
            let at = |column: usize| table.cell(row, column);
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
                let read = said.trim_end_matches(['x', '×']).trim().parse::<u32>();
                match read.ok().filter(|count| (1..=MOST_PIECES).contains(count)) {
                    Some(count) => quantity = count,
                    None => wrong.push(
                        Problem::error(span, format!("`{said}` is no number of pieces"))
                            .hint(format!("it must be a whole number from 1 to {MOST_PIECES}")),
                    ),
                }
            }
            let sizes = [LENGTH, WIDTH, THICKNESS].map(|column| {
                let what = COLUMNS[column].name;
                let Some((said, span)) = at(column) else {
                    wrong.push(
                        Problem::error(&row.span, format!("this line has no {what}"))
                            .hint(format!("each part needs a {what}")),
                    );
                    return 0.0;
                };
                has_bare_lengths |= table.unit(column).is_none() && units_of(said).is_none();
                let read = read_length(said, table.bare(column, usual));
                let read = read.and_then(|size| match (SIZES.0..=SIZES.1).contains(&size) {
                    true => Ok(size),
                    false => Err("a part has at least 0.5 mm and at most 12 m".to_owned()),
                });
                read.unwrap_or_else(|hint| {
                    wrong.push(
                        Problem::error(span, format!("`{said}` is no {what} of a part")).hint(hint),
                    );
                    0.0
                })
            });
            let material = at(MATERIAL);
            let material = material.map_or("", |(said, _)| said);
            let stuff = stuff(material);
            if wrong.is_empty() && stuff == Stuff::Sheets && !fits_a_sheet(sizes, units) {
                wrong.push(
                    Problem::error(&row.span, "no sheet is as large as this part").hint(
                        match units {
                            Units::Imperial => {
                                "a sheet is 96 in by 48 in: part it, or say another material"
                            }
                            Units::Metric => {
                                "a sheet is 2440 mm by 1220 mm: part it, or say another material"
                            }
                        },
                    ),
                );
            }
            let (Some(part), true) = (part, wrong.is_empty()) else {
                problems.extend(wrong);
                continue;
            };
            let same = |known: &&mut CutRow| {
                known.part == part && known.size == sizes && known.material == material
            };
            match rows.iter_mut().find(same) {
                Some(known) => known.quantity += quantity,
                None => rows.push(CutRow {
                    part: unused(&part, |name| rows.iter().any(|row| row.part == name)),
                    quantity,
                    size: sizes,
                    stuff,
                    material: material.to_owned(),
                }),
            }
        }
        if table.rows.is_empty() {
            problems.push(
                Problem::error(&table.heading, "no part follows below the heading")
                    .hint("write a line for each part, such as `side,2,30,11,3/4,plywood`"),
            );
        }
        if rows.len() > MOST_LINES {
            problems.push(Problem::error(
                &table.heading,
                format!(
                    "there are {} parts; at most {MOST_LINES} are accepted",
                    rows.len()
                ),
            ));
        }
    }
    match problems.is_empty() {
        true => Ok(CutProject {
            name: project_name(name),
            rows,
            bare_lengths: has_bare_lengths.then_some(usual),
        }),
        false => Err(Problems::new(name, &text, problems)),
    }
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
    match words.is_empty() {
        true => "project".to_owned(),
        false => words.join(" "),
    }
}
