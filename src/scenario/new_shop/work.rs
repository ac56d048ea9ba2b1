//! From a cut list to parts and assemblies with usual routes, as far as the stations can do them.

use super::length::{INCH, sized, taped};
use super::machines::unused;
use super::parts::{CutProject, CutRow, Stuff, sheet};
use crate::experiment::Units;
use crate::scenario::kinds::{Keeps, StationKind};

/// What the stations of a shop can do.
pub struct Abilities<'a> {
    pub stations: Vec<AbleStation<'a>>,
    /// The first door, by which comes in what is kept nowhere.
    pub door: &'a str,
    /// Nobody feeds whole sheets through a saw: they come cut to size.
    pub sheets_come_cut: bool,
    /// Boards come cut to rough length.
    pub boards_come_cut: bool,
}

/// A station with what its kind does.
pub struct AbleStation<'a> {
    pub name: &'a str,
    pub kind: &'static StationKind,
    /// Whether it stands nowhere.
    pub is_out: bool,
}

/// A project as lines of a file, and what has to be said about it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct PlannedProject {
    pub name: String,
    /// With their comments, indented below the project's name.
    pub lines: Vec<String>,
    /// Operations in the routes.
    pub used: Vec<&'static str>,
    /// Steps that no station does, each once.
    pub missing: Vec<&'static str>,
    /// Operations of stations that shall not do them, by the station's index.
    pub never: Vec<(usize, &'static str)>,
}

/// What boards are sold as, in metres.
fn board_widths(units: Units) -> [f64; 3] {
    match units {
        Units::Imperial => [7.0, 9.0, 11.0].map(|inches| inches * INCH),
        Units::Metric => [0.18, 0.23, 0.28],
    }
}

fn board_thicknesses(units: Units) -> [f64; 7] {
    match units {
        Units::Imperial => [1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0].map(|inches| inches * INCH),
        Units::Metric => [0.026, 0.033, 0.04, 0.052, 0.065, 0.08, 0.105],
    }
}

/// What is taken off a rough board when it is made ready, as the loader takes it: see the table of kinds.
const LONGER_M: f64 = 1.5 * INCH;
const WIDER_M: f64 = 3.0 / 8.0 * INCH;
const THICKER_M: f64 = 3.0 / 16.0 * INCH;

/// A panel is glued up from boards no wider than this.
const PANEL_BOARD_M: f64 = 5.5 * INCH;

/// The project as the stations can build it, from boards so long.
pub fn planned(
    project: &CutProject,
    abilities: &Abilities<'_>,
    longest: f64,
    units: Units,
) -> PlannedProject {
    let mut planner = Planner {
        abilities,
        longest,
        units,
        planned: PlannedProject {
            name: project.name.clone(),
            ..PlannedProject::default()
        },
        assemblies: Vec::new(),
        parts: Vec::new(),
        feeds_sheets: false,
    };
    let has_sheets = project.rows.iter().any(|row| row.stuff == Stuff::Sheets);
    planner.feeds_sheets = has_sheets && !planner.has_horses() && planner.sheet_saw().is_some();
    let mut inputs = Vec::new();
    for row in &project.rows {
        inputs.push(planner.part(row, project));
    }
    let name = unused(&project.name, |name| {
        project.rows.iter().any(|row| row.part == name)
    });
    let route = planner.assembly_route();
    planner.assemblies.push(format!(
        "{}: {{made of: [{}], {}deliver to: {}}}",
        yaml_name(&name),
        inputs.join(", "),
        route.map_or(String::new(), |route| format!("route: [{route}], ")),
        yaml_name(abilities.door),
    ));
    planner.finish(project)
}

struct Planner<'a> {
    abilities: &'a Abilities<'a>,
    longest: f64,
    units: Units,
    planned: PlannedProject,
    parts: Vec<String>,
    assemblies: Vec<String>,
    /// Whether whole sheets are fed through a saw, which then cuts across as well.
    feeds_sheets: bool,
}

impl Planner<'_> {
    fn doers(&self, operation: &str) -> Vec<usize> {
        let mut doers = self.all_doers(operation);
        if operation == "crosscut" {
            doers.retain(|&saw| !self.never_crosscuts(saw));
        }
        doers
    }

    fn all_doers(&self, operation: &str) -> Vec<usize> {
        let stations = self.abilities.stations.iter().enumerate();
        stations
            .filter(|(_, station)| {
                let mut does = station.kind.does.iter();
                !station.is_out && does.any(|does| does.name == operation)
            })
            .map(|(index, _)| index)
            .collect()
    }

    /// The first of these operations that some station does; without one the first is missing.
    fn step(&mut self, operations: &[&'static str]) -> Option<String> {
        let mut known = operations.iter().copied();
        let Some(operation) = known.find(|operation| !self.doers(operation).is_empty()) else {
            let first = operations[0];
            if !self.planned.missing.contains(&first) {
                self.planned.missing.push(first);
            }
            return None;
        };
        self.note(operation);
        Some(operation.to_owned())
    }

    fn note(&mut self, operation: &'static str) {
        if !self.planned.used.contains(&operation) {
            self.planned.used.push(operation);
        }
    }

    /// A step at one station of several that could do it.
    fn step_on(&mut self, operation: &'static str, station: usize) -> String {
        self.note(operation);
        match self.doers(operation).len() {
            1 => operation.to_owned(),
            _ => {
                let name = self.abilities.stations[station].name;
                format!("{{op: {operation}, on: {}}}", yaml_name(name))
            }
        }
    }

    /// Saws on which boards lie still, before which long ones need no straight floor.
    fn chop_saw(&self) -> Option<usize> {
        let crosscut = self.all_doers("crosscut");
        crosscut.into_iter().find(|&saw| !self.rips(saw))
    }

    /// Whether a saw shall not cut across, since there is one on which long boards lie still.
    fn never_crosscuts(&self, saw: usize) -> bool {
        self.rips(saw) && self.chop_saw().is_some() && !self.feeds_sheets
    }

    fn rips(&self, saw: usize) -> bool {
        let does = self.abilities.stations[saw].kind.does;
        does.iter().any(|does| does.name == "rip")
    }

    /// The saw through which whole sheets are fed.
    fn sheet_saw(&self) -> Option<usize> {
        let rip = self.doers("rip").into_iter();
        let mut both = rip.filter(|saw| self.all_doers("crosscut").contains(saw));
        both.next().filter(|_| !self.abilities.sheets_come_cut)
    }

    fn has_horses(&self) -> bool {
        !self.doers("rip sheet").is_empty()
    }

    /// Writes a part and gives the name of what goes into the whole.
    fn part(&mut self, row: &CutRow, project: &CutProject) -> String {
        let can_glue = !self.doers("glue-up").is_empty();
        let [length, width, thickness] = row.size;
        let widest = board_widths(self.units)[2] - WIDER_M;
        let is_panel = row.stuff == Stuff::Boards && width > widest + 1e-9 && can_glue;
        if !is_panel {
            self.write_part(&row.part, row);
            return yaml_name(&row.part);
        }
        let boards = (width / PANEL_BOARD_M - 1e-9).ceil().max(2.0);
        let unit = match self.units {
            Units::Imperial => INCH / 8.0,
            Units::Metric => 0.001,
        };
        let of_board = (width / boards / unit - 1e-9).ceil() * unit;
        let name = unused(&format!("{} board", row.part), |name| {
            project.rows.iter().any(|row| row.part == name)
        });
        let board = CutRow {
            part: name.clone(),
            quantity: (row.quantity).saturating_mul(boards as u32),
            size: [length, of_board, thickness],
            stuff: row.stuff,
            further: &[],
        };
        self.write_part(&name, &board);
        let mut steps = vec!["glue-up".to_owned()];
        self.note("glue-up");
        if !self.doers("drum sand").is_empty() {
            self.note("drum sand");
            steps.push("drum sand".to_owned());
        }
        steps.extend(self.further(row));
        let pieces = match row.quantity {
            1 => String::new(),
            many => format!("pieces: {many}, "),
        };
        let size = row.size.map(|side| sized(side, self.units)).join(", ");
        self.assemblies.push(format!(
            "{}: {{{pieces}made of: [{}], finished: [{size}], route: [{}]}}",
            yaml_name(&row.part),
            yaml_name(&name),
            steps.join(", "),
        ));
        yaml_name(&row.part)
    }

    fn write_part(&mut self, name: &str, row: &CutRow) {
        let (stock, steps) = match row.stuff {
            Stuff::Boards => (self.board(row), self.board_route()),
            Stuff::Sheets => (self.sheet(row), self.sheet_route()),
        };
        let mut steps = steps;
        steps.extend(self.further(row));
        let size = row.size.map(|side| sized(side, self.units)).join(", ");
        let stock = stock.map_or(String::new(), |stock| {
            let stock = stock.map(|side| sized(side, self.units)).join(", ");
            format!("stock: [{stock}], ")
        });
        let route = match steps.is_empty() {
            true => String::new(),
            false => format!(", route: [{}]", steps.join(", ")),
        };
        let has_none = steps.is_empty() && !self.has_keeper();
        let nowhere = has_none.then_some(self.abilities.door);
        let lies = self
            .keeper(row.stuff)
            .or(nowhere)
            .map_or(String::new(), |place| {
                format!(", material at: {}", yaml_name(place))
            });
        self.parts.push(format!(
            "{}: {{pieces: {}, {stock}finished: [{size}]{lies}{route}}}",
            yaml_name(name),
            row.quantity,
        ));
    }

    fn has_keeper(&self) -> bool {
        let mut stations = self.abilities.stations.iter();
        stations.any(|station| station.kind.keeps == Some(Keeps::Boards))
    }

    /// Where the material of a part lies, where the station that would usually keep it stands nowhere.
    fn keeper(&self, stuff: Stuff) -> Option<&str> {
        let first = |keeps: Keeps| {
            let mut stations = self.abilities.stations.iter();
            stations.find(|station| station.kind.keeps == Some(keeps))
        };
        let usual = match stuff {
            Stuff::Sheets => first(Keeps::Sheets).or_else(|| first(Keeps::Boards)),
            Stuff::Boards => first(Keeps::Boards),
        };
        usual?.is_out.then_some(self.abilities.door)
    }

    fn further(&mut self, row: &CutRow) -> Vec<String> {
        let done = row.further.iter().filter_map(|&operation| {
            let doer = *self.doers(operation).first()?;
            Some((operation, doer))
        });
        let done: Vec<(&'static str, usize)> = done.collect();
        done.into_iter()
            .map(|(operation, doer)| self.step_on(operation, doer))
            .collect()
    }

    fn board(&self, row: &CutRow) -> Option<[f64; 3]> {
        let [length, width, thickness] = row.size;
        if self.abilities.boards_come_cut {
            return None;
        }
        let foot = match self.units {
            Units::Imperial => 12.0 * INCH,
            Units::Metric => 0.3,
        };
        let least = length + LONGER_M;
        let long = match least <= self.longest + 1e-9 {
            true => self.longest,
            false => (least / foot - 1e-9).ceil() * foot,
        };
        let wide = board_widths(self.units).into_iter();
        let wide = wide.chain([width + WIDER_M]);
        let mut wide = wide.filter(|wide| *wide >= width + WIDER_M - 1e-9);
        let thick = board_thicknesses(self.units).into_iter();
        let thick = thick.chain([thickness + THICKER_M]);
        let mut thick = thick.filter(|thick| *thick >= thickness + THICKER_M - 1e-9);
        Some([long, wide.next()?, thick.next()?])
    }

    fn sheet(&self, row: &CutRow) -> Option<[f64; 3]> {
        let [length, width, thickness] = row.size;
        let [long, wide] = sheet(self.units);
        if !self.has_horses() && self.sheet_saw().is_none() {
            return None;
        }
        Some(match length <= long && width <= wide {
            true => [long, wide, thickness],
            false => [wide, long, thickness],
        })
    }

    fn board_route(&mut self) -> Vec<String> {
        let mut steps = Vec::new();
        let crosscut = |planner: &mut Self| match planner.chop_saw() {
            Some(saw) => Some(planner.step_on("crosscut", saw)),
            None => planner.step(&["crosscut"]),
        };
        if !self.abilities.boards_come_cut {
            steps.extend(crosscut(self));
        }
        steps.extend(self.step(&["joint"]));
        steps.extend(self.step(&["plane", "plane by hand"]));
        steps.extend(self.step(&["rip", "bandsaw"]));
        steps.extend(crosscut(self));
        steps
    }

    fn sheet_route(&mut self) -> Vec<String> {
        if self.has_horses() {
            let steps = ["rip sheet", "crosscut sheet"];
            return steps.iter().filter_map(|step| self.step(&[step])).collect();
        }
        match self.sheet_saw() {
            Some(saw) => vec![self.step_on("rip", saw), self.step_on("crosscut", saw)],
            None => Vec::new(),
        }
    }

    fn assembly_route(&mut self) -> Option<String> {
        let mut steps = Vec::new();
        if !self.doers("dry fit").is_empty() {
            steps.extend(self.step(&["dry fit"]));
        }
        steps.extend(self.step(&["glue-up", "assemble"]));
        steps.extend(self.step(&["sand"]));
        steps.extend(self.step(&["finish"]));
        (!steps.is_empty()).then(|| steps.join(", "))
    }

    fn finish(mut self, project: &CutProject) -> PlannedProject {
        let has = |stuff: Stuff| project.rows.iter().any(|row| row.stuff == stuff);
        let uses_sheets = has(Stuff::Sheets);
        let mut others = self.all_doers("crosscut");
        others.retain(|&saw| self.never_crosscuts(saw));
        let never = others.into_iter().map(|saw| (saw, "crosscut"));
        self.planned.never.extend(never);
        let mut said = Vec::new();
        if has(Stuff::Boards) {
            said.push(match self.abilities.boards_come_cut {
                true => "boards come cut to length: there is no straight floor to feed whole ones"
                    .to_owned(),
                false => format!(
                    "a guess: boards of {}, and the stock that each part needs",
                    taped(self.longest, self.units)
                ),
            });
        }
        if uses_sheets {
            said.push(match (self.has_horses(), self.sheet_saw()) {
                (true, _) => "sheets are broken down one part at a time".to_owned(),
                (_, Some(saw)) => format!(
                    "whole sheets are fed through the {}: sheet horses would do",
                    self.abilities.stations[saw].name
                ),
                _ => "sheets come cut to size: nothing here takes a whole one".to_owned(),
            });
        }
        let lines = &mut self.planned.lines;
        lines.push(format!("parts: # {}", said.join("; ")));
        lines.extend(self.parts.iter().map(|part| format!("  {part}")));
        lines.push("assemblies:".to_owned());
        lines.extend(self.assemblies.iter().map(|part| format!("  {part}")));
        self.planned
    }
}

/// A name as YAML has it, within a flow mapping as well.
pub fn yaml_name(name: &str) -> String {
    const RESERVED: [&str; 9] = ["y", "n", "yes", "no", "true", "false", "on", "off", "null"];
    let is_plain = name.starts_with(|letter: char| letter.is_ascii_alphabetic())
        && !name.ends_with(' ')
        && (name.chars())
            .all(|letter| letter.is_alphanumeric() || [' ', '-', '_'].contains(&letter))
        && !RESERVED.contains(&name.to_lowercase().as_str());
    match is_plain {
        true => name.to_owned(),
        false => serde_json::Value::from(name).to_string(),
    }
}
