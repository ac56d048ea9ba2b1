//! Every random number of a run, by its name. Nothing else in the engine draws.

use super::prepared_shop::PreparedChoice;
use crate::random::{Distribution, Key};
use crate::shop::{OrderLineId, ProjectId, Shop, Work};
use crate::units::Span;

/// What a duration or a lot is for; part of the name of its random number.
#[derive(Debug, Clone, Copy)]
pub(super) enum Purpose {
    PerPiece,
    PerLot,
    Setup,
    Teardown,
    Cure,
    Spoiled,
    TakeOff,
}

/// The keys of one replication.
///
/// Projects and items are known by their names, so that adding or moving one leaves the luck of the others alone.
#[derive(Debug)]
pub(super) struct Draws {
    projects: Vec<Key>,
    lines: Vec<Key>,
}

impl Draws {
    pub fn new(shop: &Shop, seed: u64, replication: u32) -> Draws {
        let replication = Key::from_seed(seed).with(u64::from(replication));
        let work = replication.with_name("work");
        let arrivals = replication.with_name("arrivals");
        let projects = shop
            .projects
            .iter()
            .map(|project| work.with_name(&project.name))
            .collect();
        let mut lines = Vec::new();
        for line in &shop.orders {
            let project = &shop.projects[line.project].name;
            // Lines of one project are told apart by their place among the lines of that project.
            let nth = shop
                .orders
                .iter()
                .take(lines.len())
                .filter(|other| other.project == line.project)
                .count();
            lines.push(arrivals.with_name(project).with(nth as u64));
        }
        Draws { projects, lines }
    }

    /// The `nth` order of a project.
    #[inline]
    pub fn order(&self, project: ProjectId, nth: u64) -> Key {
        self.projects[project.index()].with(nth)
    }

    /// The time before the `nth` release of an order line.
    #[inline]
    pub fn gap(&self, line: OrderLineId, nth: u64, every: &Distribution) -> Span {
        Span::from_seconds(every.draw(self.lines[line.index()].with(nth)))
    }
}

/// The key of one lot: of an order, the item's hashed name and the batch.
#[inline]
pub(super) fn lot(order: Key, item: Key, batch: u32) -> Key {
    order.with(item.bits().wrapping_add(u64::from(batch)))
}

/// The key of the lot that replaces spoiled pieces of `lot`.
pub(super) fn replacement(lot: Key, step: u32) -> Key {
    purpose(lot, step, Purpose::Spoiled).with_name("replacement")
}

#[inline]
fn purpose(lot: Key, step: u32, purpose: Purpose) -> Key {
    lot.with(u64::from(step) * 8 + purpose as u64)
}

/// The setup of a step, by whichever of its times.
#[inline]
pub(super) fn setup(duration: &Distribution, lot: Key, step: u32) -> Span {
    Span::from_seconds(duration.draw(purpose(lot, step, Purpose::Setup)))
}

/// A duration that is drawn once for a lot and a step.
#[inline]
pub(super) fn once(duration: &Option<Distribution>, lot: Key, step: u32, what: Purpose) -> Span {
    match duration {
        Some(duration) => Span::from_seconds(duration.draw(purpose(lot, step, what))),
        None => Span::ZERO,
    }
}

/// What it takes to take off what a step's cure has tied up.
pub(super) fn take_off(duration: &Distribution, lot: Key, step: u32) -> Span {
    Span::from_seconds(duration.draw(purpose(lot, step, Purpose::TakeOff)))
}

/// The cure of a step.
pub(super) fn cure(duration: &Distribution, lot: Key, step: u32) -> Span {
    Span::from_seconds(duration.draw(purpose(lot, step, Purpose::Cure)))
}

/// The run of a lot: per lot, and per piece drawn for each piece and added up; rounded once.
#[inline(always)]
pub(super) fn run(choice: &PreparedChoice, lot: Key, pieces: u32) -> Span {
    let work = choice.work;
    let key = |what| purpose(lot, choice.step, what);
    if let Some(per_lot) = &choice.one_draw {
        return Span::from_seconds(per_lot.draw(key(Purpose::PerLot)));
    }
    let mut seconds = f64::from(pieces) * work.by_size;
    if let Some(per_lot) = &work.per_lot {
        seconds += per_lot.draw(key(Purpose::PerLot));
    }
    if let Some(per_piece) = &work.per_piece {
        if per_piece.is_fixed() {
            seconds += f64::from(pieces) * per_piece.mean();
        } else {
            let key = key(Purpose::PerPiece);
            for piece in 0..pieces {
                seconds += per_piece.draw(key.with(u64::from(piece)));
            }
        }
    }
    Span::from_seconds(seconds)
}

/// After how much of the run each piece is done: the time per lot comes before the first one.
pub(super) fn run_by_piece(choice: &PreparedChoice, lot: Key, pieces: u32) -> Vec<Span> {
    let work = choice.work;
    let per_lot = work.per_lot.as_ref().map_or(0.0, |per_lot| {
        per_lot.draw(purpose(lot, choice.step, Purpose::PerLot))
    });
    let key = purpose(lot, choice.step, Purpose::PerPiece);
    let mut drawn = 0.0;
    let ends = (1..=pieces).map(|piece| {
        let done = f64::from(piece);
        drawn = match &work.per_piece {
            None => 0.0,
            Some(time) if time.is_fixed() => done * time.mean(),
            Some(time) => drawn + time.draw(key.with(u64::from(piece - 1))),
        };
        Span::from_seconds(done * work.by_size + per_lot + drawn)
    });
    let mut ends: Vec<Span> = ends.collect();
    // The last one ends with the run, to the last digit.
    if let Some(last) = ends.last_mut() {
        *last = run(choice, lot, pieces);
    }
    ends
}

/// How many of the pieces are spoiled.
pub(super) fn spoiled(work: &Work, lot: Key, step: u32, pieces: u32) -> u32 {
    if work.spoils <= 0.0 {
        return 0;
    }
    let key = purpose(lot, step, Purpose::Spoiled);
    (0..pieces)
        .filter(|&piece| key.with(u64::from(piece)).uniform() < work.spoils)
        .count() as u32
}
