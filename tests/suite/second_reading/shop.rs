//! The shop of a scenario as plain lists, with names resolved to positions.

use super::clock::{Spans, Times};
use super::distances::Distances;
use super::quantity::round_micros;

pub struct Shop {
    /// Stations and operations for which one stands elsewhere.
    pub stands: Vec<(usize, String)>,
    pub stations: Vec<Station>,
    pub gear: Vec<Gear>,
    pub crew: Vec<Person>,
    pub handling: Handling,
    pub projects: Vec<Project>,
    pub orders: Vec<OrderLine>,
    pub rules: Rules,
    /// The instant at which a run with a horizon ends.
    pub horizon: Option<i64>,
    pub layouts: Vec<Layout>,
    pub hours: Hours,
    /// Warmth in °C while the shop is open and while it is shut.
    pub heat: Option<(f64, f64)>,
    pub not_together: Vec<Group>,
}

/// Things of which only some go on at once.
pub struct Group {
    pub stations: Vec<usize>,
    pub operations: Vec<String>,
    /// Operations whose cures are meant.
    pub cures: Vec<String>,
    pub at_most: i64,
}

/// When the shop is open, in weeks that begin with the run.
pub struct Hours {
    /// Working time of each session of a week, after what is set up and before what is tidied up.
    pub sessions: Spans,
    /// All of them together: the time in which work can be done.
    pub open: Times,
    /// When loud stations are silent.
    pub quiet: Times,
    /// When stations with a blade stand still.
    pub rested: Times,
}

impl Hours {
    /// Reading: the first opening, where nothing says when an order comes, is the first moment at which work can be done.
    pub fn first_opening(&self) -> i64 {
        self.open.begin_from(0).expect("the shop opens")
    }
}

pub struct Station {
    pub name: String,
    pub count: usize,
    pub loud: bool,
    pub blade: bool,
    /// How many lots that were finished here have room; nothing: all.
    pub set_down: Option<usize>,
    /// How long it takes to roll it out of where it is parked, and back.
    pub rolling: Option<(i64, i64)>,
    pub upkeep: Vec<Upkeep>,
    /// Setup time from what stands first in a row to each of the others.
    pub setup_from: Vec<(String, Vec<(String, i64)>)>,
}

pub struct Upkeep {
    pub every: Every,
    pub time: i64,
    pub fetch_from: Option<usize>,
    /// The name of the one thing that several stations share.
    pub shared: Option<String>,
}

#[derive(Clone, Copy)]
pub enum Every {
    RunTime(i64),
    Length(i64),
    /// Picolitres.
    Chips(i64),
}

pub struct Gear {
    pub count: i64,
    pub stored_at: Option<usize>,
}

pub struct Person {
    pub name: String,
    /// Nothing: everything.
    pub can: Option<Vec<String>>,
    pub speed: f64,
    pub starts_at: usize,
    /// Nothing: whenever the shop is open.
    pub hours: Option<Times>,
}

pub struct Handling {
    pub loaded_speed: f64,
    pub pick_up: i64,
    pub put_down: i64,
    pub carry_kg: f64,
    pub carry_pieces: Option<i64>,
    pub carts: Option<Carts>,
}

pub struct Carts {
    pub count: usize,
    pub stored_at: usize,
    pub pieces: i64,
    pub speed: f64,
    pub at_least: i64,
    pub load: i64,
    pub unload: i64,
}

pub struct Project {
    pub name: String,
    /// Material in the file's order, then parts, then assemblies.
    pub lines: Vec<Line>,
}

pub struct Line {
    pub name: String,
    pub pieces: i64,
    pub batch: Option<i64>,
    pub is_material: bool,
    /// Lines of the inputs of an assembly, as listed; empty for others.
    pub made_of: Vec<usize>,
    /// The line of the material that a part is cut from.
    pub cut_from: Option<usize>,
    /// Where material lies, or that of a part which is not cut from any.
    pub material_at: Option<usize>,
    pub route: Vec<Step>,
    pub deliver_to: Option<usize>,
    /// Mass of a piece in kg, where sizes are known: before each step of the route, and after the last one.
    pub piece_kg: Vec<Option<f64>>,
}

pub struct Step {
    pub op: String,
    /// What a unit has to be set to, where the step says so.
    pub setting: Option<String>,
    /// Who can do it, in the file's order of stations, and what it takes there.
    pub at: Vec<(usize, Work)>,
}

#[derive(Clone)]
pub struct Work {
    /// Where one stands for it, if that is not where one stands at the station.
    pub stands_at: Option<usize>,
    pub setup: i64,
    pub teardown: i64,
    pub per_piece_s: f64,
    pub per_lot_s: f64,
    pub people: usize,
    /// Whether two lift what is too heavy for one.
    pub lifts_together: bool,
    pub cure: i64,
    pub cure_ties_station: bool,
    pub cure_ties_gear: Vec<usize>,
    /// The least warmth in °C at which it cures.
    pub least: Option<f64>,
    pub take_off: Option<i64>,
    pub gear: Vec<(usize, Amount)>,
    pub fetch_from: Option<usize>,
    /// Where what comes out is taken, and after how many passes of each piece.
    pub catches: Option<(usize, i64)>,
    pub pausable: bool,
    pub after_hours: bool,
    /// How long after the work nothing dusty may begin.
    pub tacky: Option<i64>,
    pub dusty: bool,
    /// What one piece lengthens the way of a blade by.
    pub length_cut: i64,
    /// What one piece leaves in chips, in picolitres as they lie loose.
    pub chips: i64,
}

#[derive(Clone, Copy)]
pub enum Amount {
    OfLot(i64),
    OfPiece(i64),
}

impl Work {
    /// How long the run of a lot of so many pieces takes: one phase, rounded once.
    pub fn run(&self, pieces: i64) -> i64 {
        round_micros(self.per_piece_s * pieces as f64 + self.per_lot_s)
    }

    pub fn gear_for(&self, pieces: i64) -> Vec<(usize, i64)> {
        let amount = |amount: Amount| match amount {
            Amount::OfLot(n) => n,
            Amount::OfPiece(n) => n * pieces,
        };
        self.gear
            .iter()
            .map(|&(kind, n)| (kind, amount(n)))
            .collect()
    }
}

pub struct OrderLine {
    pub project: usize,
    pub count: Option<i64>,
    pub every: Option<i64>,
    pub first: i64,
    pub until: Option<i64>,
    pub in_progress: Option<i64>,
    pub due: Option<i64>,
    pub together: i64,
}

#[derive(Clone, Copy, PartialEq)]
pub enum QueueRule {
    Fifo,
    Spt,
    Lpt,
    Mwkr,
    Edd,
}

#[derive(Clone, Copy, PartialEq)]
pub enum ChooseRule {
    FirstCome,
    Nearest,
    LongestQueue,
    ShortestWork,
    MostWorkLeft,
    DueDate,
}

pub struct Rules {
    pub queue: QueueRule,
    pub stay_while_queue: bool,
    pub choose: ChooseRule,
    pub cures_last: bool,
}

pub struct Layout {
    pub name: String,
    /// Of stations as they are parked, after them of the same as they are rolled out, and then of where one stands for
    /// single operations.
    pub distances: Distances,
    /// Which of them are parked, and rolled out to be used.
    pub parked: Vec<bool>,
    /// Pairs of stations of which one is rolled out to floor that the other needs.
    pub shared_floor: Vec<(usize, usize)>,
    /// From the door by which people come and go to where they stand, on layouts with a plan and a door.
    pub from_door: Option<Vec<i64>>,
}
