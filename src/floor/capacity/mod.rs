//! What each machine through which work is fed takes where it stands, whatever is sent there.
//!
//! A board or a sheet passes where the rule about feeding finds no fault with it: straight floor before and behind the
//! cutter, in a strip as wide as the piece with some room beside it. A sheet lies beside the blade of a saw, with its whole
//! width on one side of it, and in the middle of any other machine. Where the height of the table is known, they are taken
//! to be 3/4 in thick, and pass over what is low enough.

mod kept_pieces;
mod shifts;

pub use kept_pieces::{KeptPiece, kept_pieces, pieces_refused};
pub use shifts::StationShift;

use super::access::INCH_M;
use super::bisection::largest;
use super::check::{Scene, at_table, passing_run};
use super::handling::Holding;
use super::passing::off_level;
use super::strips::{
    Allowances, Fit, FreeRun, LyingAcross, SHEETS_M, StationExtent, Strip, before_and_behind, need,
};
use super::{Flow, Obstacle, Placement, Plan, Point, SAME_POINT_M, Side, Site};
use crate::shop::{Size, StationId};
use shifts::Shifts;

/// A board and a sheet as they are sold, and in what steps a machine is moved, in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StockSizes {
    pub board: f64,
    /// Length and width.
    pub sheet: (f64, f64),
    pub step: f64,
}

impl StockSizes {
    /// Boards of 8 ft, sheets of 8 by 4 ft.
    pub const IMPERIAL: StockSizes = StockSizes {
        board: 96.0 * INCH_M,
        sheet: (96.0 * INCH_M, 48.0 * INCH_M),
        step: INCH_M,
    };
    /// Boards of 2.4 m, sheets of 2440 by 1220 mm.
    pub const METRIC: StockSizes = StockSizes {
        board: 2.4,
        sheet: (2.44, 1.22),
        step: 0.01,
    };
}

/// How thick boards and sheets are that sag over what they pass, in metres.
const THICKNESS_M: f64 = 0.75 * INCH_M;

/// Where a sheet of full width does not pass, others are looked for down to this share of it, which is no board yet.
const LEAST_SHARE: f64 = 0.25;

/// What a machine takes where it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct MachineCapacity {
    pub station: StationId,
    /// The longest board in metres; nothing if there is no end to it, 0 if not even the shortest passes.
    pub board: Option<f64>,
    /// The same with room for whoever walks around behind it to take it, where one does; nothing at other machines.
    pub walked: Option<Option<f64>>,
    /// What the machine with room to stand lacks for the shortest board, in metres; 0 if nothing.
    pub lacks: f64,
    pub sheet: SheetCapacity,
    /// Of a board and a sheet as they are sold, those that do not pass.
    pub short: Vec<Shortfall>,
}

/// What sheets a machine takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SheetCapacity {
    /// Sheets are no work for it.
    NoSheetWork,
    /// None that is wider than a board.
    TooLittleRoom,
    /// Up to this length and width in metres: of full width as long as can be, or else a square's length as wide as can
    /// be.
    UpTo(f64, f64),
    /// None of full width, but halves of them, up to this length and of this width in metres.
    Halves(f64, f64),
}

/// A board or a sheet that does not pass, and what it lacks.
#[derive(Debug, Clone, PartialEq)]
pub struct Shortfall {
    pub is_sheet: bool,
    /// In metres.
    pub length: f64,
    pub width: f64,
    /// In metres, before and behind the cutter; 0 where nothing is missing.
    pub missing: [f64; 2],
    /// What ends the strip there, where something is missing.
    pub ends: [Option<Obstacle>; 2],
    /// The width in metres that is left where something stands beside the cutter; of a sheet at a saw, on one side of the
    /// blade.
    pub beside: Option<f64>,
    pub lying: LyingAcross,
    /// How much lower than the machine's table that is, in metres; nothing where no height is known.
    pub lower: [Option<f64>; 2],
    /// What would help, of all that was tried.
    pub shift: Option<StationShift>,
}

/// A machine through which work is fed.
struct FedMachine<'s, 'a> {
    scene: &'s Scene<'a>,
    station: StationId,
    placement: &'s Placement,
    side: Side,
    /// Of length 1, the way the work goes.
    toward: Point,
    allowances: Allowances,
}

/// A piece in a machine: what it needs, and how far its strip is free.
struct Fed {
    fit: Fit,
    runs: [FreeRun; 2],
    lying: LyingAcross,
}

impl Fed {
    /// The better of two: with something beside the cutter there is nothing to shorten.
    fn better(self, other: Fed) -> Fed {
        let cost = |fed: &Fed| (fed.is_beside(), fed.fit.missing());
        match cost(&other) < cost(&self) {
            true => other,
            false => self,
        }
    }

    fn fits(&self) -> bool {
        self.fit.missing() <= SAME_POINT_M
    }

    fn is_beside(&self) -> bool {
        let at_once = |run: &FreeRun| run.free.is_some_and(|free| free <= SAME_POINT_M);
        self.runs.iter().all(at_once)
    }
}

impl<'s, 'a> FedMachine<'s, 'a> {
    /// Nothing for a station past which nothing is fed, or that does not stand in the room.
    fn new(scene: &'s Scene<'a>, station: StationId) -> Option<FedMachine<'s, 'a>> {
        let placement = scene.plan.placements[station].as_ref()?;
        let side = placement.feed?;
        scene
            .room()?
            .outline
            .contains(placement.at)
            .then(|| FedMachine {
                scene,
                station,
                placement,
                side,
                toward: placement.turned(side.direction()),
                allowances: Allowances::at(placement, scene.limits()),
            })
    }

    /// The same machine, with room behind the end of what has been fed through where one walks around to take it; nothing
    /// at other machines.
    fn walked_around(&self) -> Option<FedMachine<'s, 'a>> {
        let limits = self.scene.limits();
        let station = &self.scene.shop().stations[self.station];
        Holding::of(station).is_walked_around().then(|| FedMachine {
            allowances: Allowances {
                outfeed: limits.planer_walk.max(limits.outfeed_walk),
                ..self.allowances
            },
            ..*self
        })
    }

    /// A piece as it lies best.
    fn fed(&self, length: f64, width: f64, is_sheet: bool) -> Fed {
        let lyings = LyingAcross::at(self.placement, is_sheet).iter();
        let all = lyings.map(|&lying| self.lying(length, width, lying));
        // There is always a way to lie.
        all.reduce(Fed::better)
            .unwrap_or_else(|| self.lying(length, width, LyingAcross::InTheMiddle))
    }

    fn lying(&self, length: f64, width: f64, lying: LyingAcross) -> Fed {
        let allowances = self.allowances;
        let body = StationExtent::of(self.placement, self.side);
        let mut need = need(length, width, body, allowances);
        if lying != LyingAcross::InTheMiddle {
            need.width = lying
                .reach(width, body.across, allowances.side)
                .iter()
                .sum();
        }
        let size = Size {
            length,
            width,
            thickness: THICKNESS_M,
        };
        let work = at_table(self.scene, self.placement, size, body, allowances);
        let strips = self.strips(width, lying);
        let runs = [0, 1].map(|side| match &work {
            None => self.scene.run(strips[side], self.station),
            Some(work) => passing_run(self.scene, strips[side], self.station, &work[side]).0,
        });
        Fed {
            fit: Fit {
                run_in: runs[0].free,
                run_out: runs[1].free,
                need,
                allowances,
                body,
            },
            runs,
            lying,
        }
    }

    /// Before the cutter and behind it, for a piece of some width.
    fn strips(&self, width: f64, lying: LyingAcross) -> [Strip; 2] {
        let body = StationExtent::of(self.placement, self.side);
        let reach = lying.reach(width, body.across, self.allowances.side);
        before_and_behind(self.placement.at, self.toward, reach)
    }

    /// The longest piece of this width that passes, in metres, of those no longer than `at_most`, however it lies best;
    /// nothing if there is no end to it.
    fn longest(&self, width: f64, at_most: f64, is_sheet: bool) -> Option<f64> {
        let lyings = LyingAcross::at(self.placement, is_sheet).iter();
        let mut longest = Some(0.0);
        for &lying in lyings {
            let so = self.longest_lying(width, at_most, lying);
            longest = longest.zip(so).map(|(one, other)| f64::max(one, other));
        }
        longest
    }

    /// At the height of a table pieces are tried from the longest down: what a piece passes over depends on how long it
    /// is, and whoever feeds it may find room behind a longer one and none behind a shorter.
    fn longest_lying(&self, width: f64, at_most: f64, lying: LyingAcross) -> Option<f64> {
        /// In metres: what passes for a shorter stretch of lengths may be missed.
        const STEP_M: f64 = 3.0 * INCH_M;
        /// Halvings of a step: to a hundredth of a millimetre.
        const HALVINGS: u32 = 13;
        let shortest = self.lying(0.0, width, lying).fit;
        if self.placement.table.is_none() {
            return match shortest.longest_here() {
                None if at_most.is_infinite() => None,
                longest => Some(longest.map_or(at_most, |longest| longest.min(at_most))),
            };
        }
        let [strip_in, strip_out] = self.strips(width, lying);
        let to_wall = |strip: Strip, room: f64| {
            let wall = self.scene.to_wall(strip);
            wall.map_or(f64::INFINITY, |wall| wall - room)
        };
        let allowances = shortest.allowances;
        let most =
            to_wall(strip_in, allowances.operator).min(to_wall(strip_out, allowances.outfeed));
        let most = most.min(at_most).max(0.0);
        if most.is_infinite() {
            return shortest.longest_here();
        }
        let passes = |length: f64| self.lying(length, width, lying).fits().then_some(());
        let steps = (most / STEP_M) as u32;
        let lengths = (0..=steps).rev().map(|step| f64::from(step) * STEP_M);
        let tried = std::iter::once(most).chain(lengths);
        let found = tried.scan(most, |longer, length| {
            let too_long = std::mem::replace(longer, length);
            Some((length, too_long))
        });
        let found = found
            .into_iter()
            .find(|&(length, _)| passes(length).is_some());
        Some(found.map_or(0.0, |lengths| largest(lengths, (), HALVINGS, passes).0))
    }

    /// How wide a piece of this length may be at most, up to a width with which it does not pass; nothing if it does not
    /// pass however narrow it is.
    fn widest(&self, length: f64, too_wide: f64, is_sheet: bool) -> Option<f64> {
        /// Halvings of the width: to a tenth of a millimetre.
        const HALVINGS: u32 = 16;
        let passes = |width: f64| self.fed(length, width, is_sheet).fits().then_some(());
        passes(0.0)?;
        Some(largest((0.0, too_wide), (), HALVINGS, passes).0)
    }

    fn sheet(&self, (length, width): (f64, f64)) -> SheetCapacity {
        let longest = |width: f64| self.longest(width, length, true).unwrap_or(length);
        let whole = longest(width);
        if whole >= width {
            return SheetCapacity::UpTo(whole, width);
        }
        let half = longest(width / 2.0);
        if self.placement.kickback && half >= width {
            return SheetCapacity::Halves(half, width / 2.0);
        }
        match self.widest(width, width, true) {
            Some(widest) if widest > LEAST_SHARE * width => SheetCapacity::UpTo(width, widest),
            _ => SheetCapacity::TooLittleRoom,
        }
    }

    /// What a piece lacks; nothing if it passes.
    fn shortfall(&self, is_sheet: bool, length: f64, width: f64) -> Option<Shortfall> {
        let fed = self.fed(length, width, is_sheet);
        if fed.fits() {
            return None;
        }
        let needs = [fed.fit.need.infeed, fed.fit.need.outfeed];
        let missing = [0, 1].map(|end| {
            let lacks = fed.runs[end].free.map_or(0.0, |free| needs[end] - free);
            if lacks > SAME_POINT_M { lacks } else { 0.0 }
        });
        let strip = fed.fit.need.width;
        let width_left = || {
            let side = self.allowances.side;
            let widest = self.widest(0.0, width, is_sheet);
            if fed.lying != LyingAcross::InTheMiddle {
                return widest.map_or(0.0, |widest| widest + side);
            }
            let body = StationExtent::of(self.placement, self.side).across;
            widest.map_or(0.0, |widest| (widest + 2.0 * side).max(body).min(strip))
        };
        Some(Shortfall {
            is_sheet,
            length,
            width,
            missing,
            ends: [0, 1].map(|end| fed.runs[end].end.filter(|_| missing[end] > 0.0)),
            beside: fed.is_beside().then(width_left),
            lying: fed.lying,
            lower: [0, 1].map(|end| {
                let top = self.scene.heights_of(fed.runs[end].end?).top;
                let tolerance = self.scene.limits().table_tolerance;
                (self.placement.table).and_then(|table| off_level(table, top, tolerance))
            }),
            shift: None,
        })
    }

    /// Whether sheets are fed here: to a saw that may throw back what it rips, and wherever a route sends any.
    fn has_sheet_work(&self) -> bool {
        let pieces = &self.scene.site.fed[self.station.index()];
        let is_sheet = |length: f64, width: f64| length.min(width) >= SHEETS_M - SAME_POINT_M;
        self.placement.kickback
            || (pieces.iter()).any(|piece| is_sheet(piece.size.length, piece.size.width))
    }

    fn capacity(&self, sizes: StockSizes) -> MachineCapacity {
        // What is no wider is carried, and fed, as a board.
        let board_width = self.scene.limits().board_width;
        let board = self.fed(0.0, board_width, false).fit;
        let (length, width) = sizes.sheet;
        let has_sheets = self.has_sheet_work();
        let of_board = self.shortfall(false, sizes.board, board_width);
        let of_sheet = (has_sheets).then(|| self.shortfall(true, length, width));
        let longest = self.longest(board_width, f64::INFINITY, false);
        let walked = self.walked_around();
        MachineCapacity {
            station: self.station,
            board: longest,
            walked: walked.map(|walked| walked.longest(board_width, f64::INFINITY, false)),
            lacks: match longest {
                Some(0.0) => board.machine_lacks(),
                _ => 0.0,
            },
            sheet: match has_sheets {
                true => self.sheet(sizes.sheet),
                false => SheetCapacity::NoSheetWork,
            },
            short: of_board.into_iter().chain(of_sheet.flatten()).collect(),
        }
    }
}

/// What the machines of a layout take where they stand, in the file's order.
pub fn machine_capacities(site: &Site<'_>, plan: &Plan, sizes: StockSizes) -> Vec<MachineCapacity> {
    if !has_machines(plan) {
        return Vec::new();
    }
    let scene = Scene::new(site, plan, &[]);
    let machines = plan.placements.ids();
    let machines = machines.filter_map(|station| FedMachine::new(&scene, station));
    machines.map(|machine| machine.capacity(sizes)).collect()
}

/// Whether work is fed through anything that stands in a room.
fn has_machines(plan: &Plan) -> bool {
    let mut placements = plan.placements.iter().flatten();
    plan.room.is_some() && placements.any(|placement| placement.feed.is_some())
}

/// The same; and for boards and sheets that do not pass, what would help without making anything worse by any rule, with people walking as the flow says.
pub fn capacities(
    site: &Site<'_>,
    plan: &Plan,
    flow: &Flow,
    sizes: StockSizes,
) -> Vec<MachineCapacity> {
    if !has_machines(plan) {
        return Vec::new();
    }
    let scene = Scene::new(site, plan, &[]);
    let mut shifts = Shifts::new(site, plan, flow, sizes.step);
    let machines = plan.placements.ids();
    let machines = machines.filter_map(|station| FedMachine::new(&scene, station));
    let capacities = machines.map(|machine| {
        let mut capacity = machine.capacity(sizes);
        for short in &mut capacity.short {
            short.shift = shifts.helping(&machine, short);
        }
        capacity
    });
    capacities.collect()
}
