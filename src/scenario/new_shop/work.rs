//! From a cut list to parts and assemblies with usual routes, as far as the stations can do them.

use super::abilities::Abilities;
use super::joinery::{UsualJoint, usual_joinery};
use super::length::{INCH, sized, taped};
use super::machines::unused;
use super::parts::{CutProject, CutRow, Stuff};
use super::stock::{StockToBuy, WIDER_M, board_widths, bought, kerf};
use crate::experiment::Units;
use crate::scenario::yaml_name::yaml_name;

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
    /// Stations that some step may be done at, by their index.
    pub busy: Vec<usize>,
    /// What has to be bought, in words.
    pub to_buy: Vec<String>,
    /// Whether nothing is known of how parts are joined.
    pub lacks_joinery: bool,
}

/// A panel is glued up from boards no wider than this.
const PANEL_BOARD_M: f64 = 5.5 * INCH;

/// Less than this is told in millimetres rather than in metres.
const SMALL_M: f64 = 1.0;

/// So many cuts of each piece of stock are written into a route at the most.
const MOST_CUTS: u32 = 12;

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
        material: Vec::new(),
        parts: Vec::new(),
        assemblies: Vec::new(),
        joined: Vec::new(),
        without_tenon: Vec::new(),
        ripped_first: false,
        names: Vec::new(),
    };
    planner.cut(project);
    let inputs: Vec<String> = project
        .rows
        .iter()
        .map(|row| yaml_name(&row.part))
        .collect();
    let name = unused(&project.name, |name| planner.is_called(name));
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

pub struct Planner<'a> {
    pub abilities: &'a Abilities<'a>,
    longest: f64,
    pub units: Units,
    pub planned: PlannedProject,
    material: Vec<String>,
    parts: Vec<String>,
    assemblies: Vec<String>,
    /// Parts that get a joint, each with its operation.
    pub joined: Vec<String>,
    /// Parts that would have tenons if any other one took them.
    without_tenon: Vec<String>,
    /// Whether blanks are ripped before they are jointed.
    pub ripped_first: bool,
    /// What parts, material and assemblies are called.
    names: Vec<String>,
}

impl Planner<'_> {
    /// Writes the parts of a project, what they are cut from, and the panels that are glued up from some of them.
    fn cut(&mut self, project: &CutProject) {
        let joinery = usual_joinery(&project.rows);
        let without = joinery.without_tenon.into_iter();
        self.without_tenon = without.map(str::to_owned).collect();
        let mut rows = Vec::new();
        for (row, joints) in project.rows.iter().zip(&joinery.joints) {
            rows.push(match self.board_of_panel(row, project) {
                Some(board) => {
                    self.panel(row, &board, joints);
                    board
                }
                None => row.clone(),
            });
        }
        let all = rows.iter().chain(&project.rows);
        self.names.extend(all.map(|row| row.part.clone()));
        let (stock, of_part) = bought(&rows, self.longest, self.units);
        let mut names: Vec<String> = Vec::new();
        for stock in &stock {
            let name = unused(&stock.called, |name| self.is_called(name));
            self.material(stock, &name);
            self.names.push(name.clone());
            names.push(name);
        }
        for ((row, of), joints) in rows.iter().zip(of_part).zip(&joinery.joints) {
            let is_of_panel = !project.rows.contains(row);
            let joints = if is_of_panel { &[] } else { &joints[..] };
            self.part(row, (&stock[of], &names[of]), joints);
        }
    }

    fn is_called(&self, name: &str) -> bool {
        self.names.iter().any(|known| known == name)
    }

    /// The boards from which a part is glued up that is wider than any, or than the jointer takes.
    fn board_of_panel(&self, row: &CutRow, project: &CutProject) -> Option<CutRow> {
        let [length, width, thickness] = row.size;
        let jointed = self.abilities.jointer_width().unwrap_or(f64::INFINITY);
        let widest = board_widths(self.units)[2].min(jointed) - WIDER_M;
        let is_panel = row.stuff == Stuff::Boards && width > widest + 1e-9;
        if !is_panel || !self.abilities.can("glue-up") {
            return None;
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
        Some(CutRow {
            part: name,
            quantity: row.quantity.saturating_mul(boards as u32),
            size: [length, of_board, thickness],
            ..row.clone()
        })
    }

    fn panel(&mut self, row: &CutRow, board: &CutRow, joints: &[&UsualJoint]) {
        let mut steps: Vec<String> = self.step(&["glue-up"]).into_iter().collect();
        if self.abilities.can("drum sand") {
            steps.extend(self.step(&["drum sand"]));
        }
        steps.extend(self.joints(row, joints));
        let pieces = match row.quantity {
            1 => String::new(),
            many => format!("pieces: {many}, "),
        };
        self.assemblies.push(format!(
            "{}: {{{pieces}made of: [{}], finished: [{}], route: [{}]}}",
            yaml_name(&row.part),
            yaml_name(&board.part),
            self.size(row.size),
            steps.join(", "),
        ));
    }

    fn size(&self, size: [f64; 3]) -> String {
        size.map(|side| sized(side, self.units)).join(", ")
    }

    /// Writes what is bought and cut here, and says how much is bought in any case.
    fn material(&mut self, stock: &StockToBuy, name: &str) {
        let packing = stock.packing;
        let thing = match (stock.stuff, packing.stock) {
            (Stuff::Boards, 1) => "board",
            (Stuff::Boards, _) => "boards",
            (Stuff::Sheets, 1) => "sheet",
            (Stuff::Sheets, _) => "sheets",
        };
        let side = |metres: f64| match (self.units, metres < SMALL_M) {
            (Units::Metric, true) => sized(metres, self.units),
            _ => taped(metres, self.units),
        };
        let size = |size: [f64; 3]| size.map(side).join(" × ");
        let bought = match stock.glued_up(self.units) {
            None => format!(
                "{} {thing} of {} for {name} (at least {} by area)",
                packing.stock,
                size(stock.size),
                packing.least,
            ),
            Some((count, width)) => format!(
                "{} boards of {} for {name}, {count} at a time glued up to a width of {}",
                packing.stock.saturating_mul(count),
                size([stock.size[0], width, stock.size[2]]),
                side(stock.size[1]),
            ),
        };
        let is_longer = stock.stuff == Stuff::Boards && stock.size[0] > self.longest + 1e-9;
        self.planned.to_buy.push(match is_longer {
            true => format!(
                "{bought}, longer than the {} that boards have here (`--longest`), since a part is",
                taped(self.longest, self.units)
            ),
            false => bought,
        });
        if !self.abilities.is_cut_here(stock.stuff) {
            return;
        }
        let cuts = packing.strips.div_ceil(packing.stock.max(1));
        let cut = match stock.stuff {
            Stuff::Boards => self.crosscut(),
            Stuff::Sheets if self.abilities.has_horses() => self.step(&["rip sheet"]),
            Stuff::Sheets => (self.abilities.sheet_saw()).map(|saw| self.step_on("rip", saw)),
        };
        let steps = vec![cut.unwrap_or_default(); cuts.min(MOST_CUTS) as usize];
        let at = self
            .abilities
            .lies_elsewhere(stock.stuff)
            .map_or(String::new(), |place| format!("at: {}, ", yaml_name(place)));
        let what = match stock.stuff {
            Stuff::Sheets => "rip",
            Stuff::Boards => "crosscut",
        };
        let mut said = format!(
            "{} {thing} by this packing, at least {} by area; {cuts} {what}{} each",
            packing.stock,
            packing.least,
            if cuts == 1 { "" } else { "s" },
        );
        if cuts > MOST_CUTS {
            said.push_str(&format!(", of which {MOST_CUTS} are in the route"));
        }
        if stock.lies_across {
            said.push_str("; the grain runs across the longest");
        }
        self.material.push(format!(
            "{}: {{pieces: {}, stock: [{}], {at}route: [{}]}} # {said}",
            yaml_name(name),
            packing.stock,
            self.size(stock.size),
            steps.join(", "),
        ));
    }

    fn part(
        &mut self,
        row: &CutRow,
        (stock, material): (&StockToBuy, &str),
        joints: &[&UsualJoint],
    ) {
        let mut steps = match row.stuff {
            Stuff::Boards => self.board_route(stock),
            Stuff::Sheets => self.sheet_route(),
        };
        steps.extend(self.joints(row, joints));
        let route = match steps.is_empty() {
            true => String::new(),
            false => format!(", route: [{}]", steps.join(", ")),
        };
        let from = match self.abilities.is_cut_here(row.stuff) {
            true => format!("cut from: {}, ", yaml_name(material)),
            false => {
                let has_none = steps.is_empty() && !self.abilities.has_board_rack();
                let nowhere = has_none.then_some(self.abilities.door);
                let lies = self.abilities.lies_elsewhere(row.stuff).or(nowhere);
                lies.map_or(String::new(), |place| {
                    format!("material at: {}, ", yaml_name(place))
                })
            }
        };
        self.parts.push(format!(
            "{}: {{pieces: {}, {from}finished: [{}]{route}}}",
            yaml_name(&row.part),
            row.quantity,
            self.size(row.size),
        ));
    }

    fn finish(mut self, project: &CutProject) -> PlannedProject {
        let has = |stuff: Stuff| project.rows.iter().any(|row| row.stuff == stuff);
        self.planned.lacks_joinery = self.joined.is_empty();
        let mut said = Vec::new();
        if has(Stuff::Boards) && !self.abilities.is_cut_here(Stuff::Boards) {
            said.push(match self.abilities.boards_come_cut {
                true => "boards come cut to length: there is no straight floor to feed whole ones"
                    .to_owned(),
                false => "boards come cut to length".to_owned(),
            });
        }
        if has(Stuff::Sheets) {
            match (self.abilities.has_horses(), self.abilities.sheet_saw()) {
                (true, _) => {}
                (_, Some(saw)) => said.push(format!(
                    "whole sheets are fed through the {}, with somebody to help: alone one breaks them down on sheet horses",
                    self.abilities.stations[saw].name
                )),
                _ => {
                    said.push("sheets come cut to size: nothing here takes a whole one".to_owned())
                }
            }
        }
        if self.ripped_first {
            said.push(match self.abilities.can("bandsaw") {
                true => "blanks are ripped before the jointer, on the band saw, for their edges are rough",
                false => "blanks are ripped before the jointer: a rough edge needs a sled or a straight edge at the saw",
            }.to_owned());
        }
        if !self.joined.is_empty() {
            said.push(format!(
                "joints are guessed from names, by common practice: {}",
                self.joined.join(", ")
            ));
        }
        if !self.without_tenon.is_empty() {
            said.push(format!(
                "no tenons on {}: no leg, post, stile or solid side takes them",
                self.without_tenon.join(", ")
            ));
        }
        let lines = &mut self.planned.lines;
        if !self.material.is_empty() {
            lines.push(format!(
                "material: # how many is a guess: parts laid in strips with cuts of {}, no knots or splits counted",
                sized(kerf(self.units), self.units)
            ));
            lines.extend(self.material.iter().map(|material| format!("  {material}")));
        }
        lines.push(match said.is_empty() {
            true => "parts:".to_owned(),
            false => format!("parts: # {}", said.join("; ")),
        });
        lines.extend(self.parts.iter().map(|part| format!("  {part}")));
        lines.push("assemblies:".to_owned());
        lines.extend(self.assemblies.iter().map(|part| format!("  {part}")));
        self.planned
    }
}
