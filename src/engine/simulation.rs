//! The loop: first everything that ends or arrives at an instant, then decisions until nothing more can start.

use std::marker::PhantomData;

use super::agenda::{Event, PackedEvent};
use super::bitset::{BitSet, BitSet64, Set};
use super::draws::Draws;
use super::prepared::Prepared;
use super::prepared_shop::PreparedShop;
use super::recorder::Recorder;
use super::specialization::{AllFeatures, Plain, SinglePersonFifo, Specialization};
use super::state::State;
use super::stuck::Stuck;
use super::travel_times::TravelTimes;
use crate::units::{Moment, Span, Time};

/// Which replication is played, and how long.
#[derive(Debug, Clone, Copy)]
pub struct Run {
    pub seed: u64,
    /// From 0.
    pub replication: u32,
    /// Without a horizon the run ends when all orders are done.
    pub until: Option<Moment>,
}

/// So many rounds at one instant are taken for a run that never ends.
const MOST_ROUNDS_AT_ONCE: u64 = 10_000_000;

/// The memory of a replication, to be used again by the next one, of whichever candidate.
#[derive(Debug, Default)]
pub struct Workspace {
    small: State<BitSet64>,
    large: State<BitSet>,
}

/// The last moment before [`Moment::NEVER`].
const LAST: Moment = Moment::from_micros(Moment::NEVER.micros() - 1);

/// Plays one replication and tells the recorder what happens. Returns the shop time at which it ended.
///
/// The engine is compiled once for all recorders of single runs. For each kind that is told of many runs, by
/// [`simulate_in`], it is compiled anew.
///
/// # Errors
/// [`Stuck`] if orders are open and nothing can ever happen again.
pub fn simulate(
    prepared: &Prepared,
    run: &Run,
    recorder: &mut dyn Recorder,
) -> Result<Time, Stuck> {
    simulate_in(&mut Workspace::default(), prepared, run, recorder)
}

/// Likewise, in memory that an earlier replication may have used.
///
/// # Errors
/// [`Stuck`] if orders are open and nothing can ever happen again.
pub fn simulate_in<R: Recorder + ?Sized>(
    workspace: &mut Workspace,
    prepared: &Prepared,
    run: &Run,
    recorder: &mut R,
) -> Result<Time, Stuck> {
    match prepared.shop.keeps_hours {
        false => simulate_on::<R, false>(workspace, prepared, run, recorder),
        true => simulate_on::<R, true>(workspace, prepared, run, recorder),
    }
}

/// Likewise, for a recorder that hears of shops [in turn](Prepared::is_in_turn) and of no others.
///
/// # Errors
/// [`Stuck`] if orders are open and nothing can ever happen again.
///
/// # Panics
/// If the shop is played otherwise.
pub fn simulate_in_turn<R: Recorder>(
    workspace: &mut Workspace,
    prepared: &Prepared,
    run: &Run,
    recorder: &mut R,
) -> Result<Time, Stuck> {
    assert!(prepared.in_turn, "the shop is not played in turn");
    let state = &mut workspace.small;
    match prepared.shop.keeps_hours {
        false => play::<R, SinglePersonFifo<false>>(state, prepared, run, recorder),
        true => play::<R, SinglePersonFifo<true>>(state, prepared, run, recorder),
    }
}

fn simulate_on<R: Recorder + ?Sized, const HOURS: bool>(
    workspace: &mut Workspace,
    prepared: &Prepared,
    run: &Run,
    recorder: &mut R,
) -> Result<Time, Stuck> {
    let Workspace { small, large } = workspace;
    if prepared.in_turn {
        play::<R, SinglePersonFifo<HOURS>>(small, prepared, run, recorder)
    } else if prepared.is_plain && prepared.shop.is_small {
        play::<R, Plain<BitSet64, HOURS>>(small, prepared, run, recorder)
    } else if prepared.is_plain {
        play::<R, Plain<BitSet, HOURS>>(large, prepared, run, recorder)
    } else if prepared.shop.has_stops {
        play::<R, AllFeatures<HOURS, true>>(large, prepared, run, recorder)
    } else {
        play::<R, AllFeatures<HOURS, false>>(large, prepared, run, recorder)
    }
}

fn play<R: Recorder + ?Sized, S: Specialization>(
    state: &mut State<S::Set>,
    prepared: &Prepared,
    run: &Run,
    recorder: &mut R,
) -> Result<Time, Stuck> {
    state.begin(prepared);
    let shop = &*prepared.shop;
    let mut simulation = Simulation::<R, S> {
        prepared: shop,
        travel: &prepared.travel,
        draws: Draws::new(shop.shop, run.seed, run.replication),
        state: std::mem::take(state),
        until: run.until,
        recorder,
        specialization: PhantomData,
    };
    let end = simulation.play();
    *state = simulation.state;
    end
}

pub(super) struct Simulation<'s, 'a, R: ?Sized, S: Specialization> {
    pub(super) prepared: &'s PreparedShop<'a>,
    pub(super) travel: &'s TravelTimes,
    pub(super) draws: Draws,
    pub(super) state: State<S::Set>,
    until: Option<Moment>,
    pub(super) recorder: &'s mut R,
    specialization: PhantomData<S>,
}

impl<R: Recorder + ?Sized, S: Specialization> Simulation<'_, '_, R, S> {
    fn play(&mut self) -> Result<Time, Stuck> {
        self.let_come_and_go();
        self.open_order_lines();
        self.handle_events_of_now();
        // Without a horizon, the last instant at which anything can happen.
        let last = self.until.unwrap_or(LAST).min(LAST);
        // Rounds one after another at one instant, and at which.
        let (mut rounds, mut rounds_at) = (0, Moment::START);
        // When something last ended or came.
        let mut active = Moment::START;
        // Whether something would have gone on at an opening behind the horizon.
        let mut ends_while_shut = false;
        loop {
            self.release_due_orders();
            self.set_down();
            if self.is_open() {
                self.decide();
            }
            if self.has_little_room() && self.is_at_a_standstill() {
                let change = self.next_change_of_hours();
                if change == Moment::NEVER || change > active + Span::WEEK {
                    if self.put_aside() {
                        active = self.state.now;
                        continue;
                    }
                } else if change > last {
                    ends_while_shut = true;
                    break;
                } else {
                    self.go_on_to(change);
                    continue;
                }
            }
            let chance = self.next_chance();
            if S::HOURS && chance < self.state.agenda.next_time() {
                if chance > last {
                    ends_while_shut = true;
                    break;
                }
                let nothing_comes = self.state.agenda.next_time() == Moment::NEVER;
                // What cannot start at any time of a week never starts.
                if nothing_comes && chance > active + Span::WEEK {
                    return Err(self.stuck(false));
                }
                self.go_on_to(chance);
                continue;
            }
            let Some((next, event)) = self.take_until(last) else {
                break;
            };
            if next == self.state.now {
                rounds = match rounds_at == next {
                    true => rounds + 1,
                    false => 1,
                };
                rounds_at = next;
                if rounds > MOST_ROUNDS_AT_ONCE {
                    return Err(self.stuck(true));
                }
            }
            active = next;
            self.go_on_to(next);
            self.handle(event);
            self.handle_events_of_now();
        }
        let nothing_comes = self.state.agenda.next_time() == Moment::NEVER && !ends_while_shut;
        if nothing_comes && self.state.orders_open > 0 {
            return Err(self.stuck(false));
        }
        // What is still tacky does not matter any more.
        let end = self.until.unwrap_or(match S::STOPS {
            false => self.state.now,
            true => self.state.last_done,
        });
        let time = self.time_of(end);
        self.recorder.end(time, end);
        Ok(time)
    }

    /// Whether nothing is under way or to come, while lots have not left their units.
    fn is_at_a_standstill(&self) -> bool {
        self.state.orders_open > 0
            && !self.state.blocking.is_empty()
            && self.state.agenda.next_time() == Moment::NEVER
    }

    /// Who waits for what, told by queue.
    #[cold]
    fn stuck(&mut self, endless: bool) -> Stuck {
        while let Some((rank, lot)) = self.state.single_queue.peek_unchecked() {
            self.state.single_queue.pop_uncounted();
            let queue = self.prepared.choice_at(self.state.lots[lot].at).queue;
            self.state.queues[queue].push(rank, lot, self.state.lots[lot].stamp);
        }
        let (mut stuck, heads) = Stuck::now(self.prepared, &mut self.state, endless);
        for (waiting, (lot, station)) in stuck.waiting.iter_mut().zip(heads) {
            waiting.too_late = self.comes_too_late(lot, station);
        }
        stuck
    }

    /// Handles every other event of this instant.
    #[inline(always)]
    fn handle_events_of_now(&mut self) {
        let now = self.state.now;
        // Where one person works, taking the next one costs no more than asking when it is.
        while (S::IN_TURN || self.state.agenda.next_time() == now)
            && let Some((_, event)) = self.take_until(now)
        {
            self.handle(event);
        }
    }

    /// Takes the next event up to an instant, if one is planned.
    #[inline(always)]
    fn take_until(&mut self, last: Moment) -> Option<(Moment, PackedEvent)> {
        match S::IN_TURN {
            true => self.state.agenda.take_in_turn_until(last),
            false => self.state.agenda.take_until(last),
        }
    }

    #[inline(always)]
    fn handle(&mut self, event: PackedEvent) {
        // Where one person works, nothing else happens but releases.
        if S::IN_TURN
            && let Some(task) = event.ended_task()
        {
            self.task_ends(task);
            return;
        }
        match event.unpack() {
            Event::TaskEnds(task) => self.task_ends(task),
            Event::Release(line) => {
                let orders = match S::HOURS {
                    true => self.released_together(line),
                    false => 1,
                };
                self.release_is_due(line, orders);
            }
            Event::CarrierFree(person) => self.release_person(person),
            // In a plain shop nothing cures, and there is neither cart nor delivery.
            _ if S::PLAIN => {}
            Event::CureEnds(task) => self.cure_ends(task),
            Event::RunEnds(task) => self.run_ends(task),
            Event::SlotFree(slot) => self.slot_is_free(slot),
            Event::TakenOff(task) => self.taken_off(task),
            Event::PickedUp(lot) => self.picked_up(lot),
            Event::RolledIn(station) => self.rolled_in(station),
            Event::CartFree(cart) => self.state.carts_free.insert(cart as usize),
            Event::Delivered(task) => self.delivered(task),
        }
    }
}
