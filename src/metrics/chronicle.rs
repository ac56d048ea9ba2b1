//! Puts what is told ahead into the order of time.
//!
//! The engine tells all phases of a task when the task is chosen, so they lie in the future. The chronicle keeps what
//! is still to come and tells its witness of every beginning and every end when it is due. It is the one place in
//! which that is kept, and in which what lies beyond the end of the run is cut off.

use std::cmp::Reverse;

use super::due::Due;
use crate::engine::{
    Doing, Interruption, Job, Occupied, OrderDone, OrderReleased, Phase, Recorder, StopKind,
    StopTimes, WorkPhase,
};
use crate::shop::{PersonId, StationId};
use crate::units::{Length, Moment, Time};

/// Hears what happens in the order of time. Nothing is heard of what begins after the end of the run.
pub trait Witness {
    /// A phase begins, now; it belongs to a task.
    fn begins(&mut self, _phase: &Phase, _job: &Job) {}
    /// A phase ends, or the run does while it lasts.
    fn ends(&mut self, _phase: &Phase, _job: &Job, _now: Time) {}

    /// A task was chosen.
    fn task(&mut self, _job: &Job, _now: Time) {}
    fn ready(&mut self, _job: &Job, _moment: Moment) {}
    fn queued(&mut self, _station: StationId, _now: Time) {}
    fn unqueued(&mut self, _station: StationId, _since: Time, _now: Time) {}
    fn released(&mut self, _order: &OrderReleased) {}
    fn done(&mut self, _order: &OrderDone) {}
    fn end(&mut self, _now: Time, _moment: Moment) {}
}

/// What happens later to a phase that is kept, by its place.
#[derive(Debug, Clone, Copy)]
enum Change {
    Begins(u32),
    Ends(u32),
}

/// Tells a witness what happens, in the order of time.
#[derive(Debug, Clone)]
pub struct Chronicle<W> {
    witness: W,
    now: Time,
    due: Due<Change>,
    /// What the task that is being told is about.
    job: Option<Job>,
    /// When what is told next of the task does not go on, as something else is seen to or it stands still: by their
    /// beginnings, the longest first.
    gaps: Vec<(Occupied, Time, Time)>,
    /// Phases that have not ended, and free places among them.
    phases: Vec<(Phase, Job)>,
    free: Vec<u32>,
    /// Those that have begun and of which the end is not certain.
    open: Vec<u32>,
}

impl<W: Witness> Chronicle<W> {
    pub fn new(witness: W) -> Chronicle<W> {
        Chronicle {
            witness,
            now: Time::START,
            due: Due::new(),
            job: None,
            gaps: Vec::new(),
            phases: Vec::new(),
            free: Vec::new(),
            open: Vec::new(),
        }
    }

    pub fn into_witness(self) -> W {
        self.witness
    }

    /// Goes on to an instant, and tells what is due up to it.
    #[inline]
    fn pass(&mut self, now: Time) {
        self.now = now;
        while let Some((at, change)) = self.due.pop_until(now) {
            self.tell(change, at);
        }
    }

    fn tell(&mut self, change: Change, at: Time) {
        match change {
            Change::Begins(place) => {
                let (phase, job) = &self.phases[place as usize];
                self.witness.begins(phase, job);
                match phase.end {
                    Some(end) => self.due.push(end, Change::Ends(place)),
                    None => self.open.push(place),
                }
            }
            Change::Ends(place) => {
                let (phase, job) = &self.phases[place as usize];
                self.witness.ends(phase, job, at);
                self.free.push(place);
            }
        }
    }

    /// The parts of a phase between which it does not go on. The metres of a walk belong to the last one.
    #[cold]
    fn keep_around_gaps(&mut self, phase: &Phase) {
        let mut start = phase.start;
        for nth in 0..self.gaps.len() {
            let (of, from, to) = self.gaps[nth];
            if of == phase.of && from >= start && phase.end >= Some(to) {
                if from > start {
                    self.keep(&Phase {
                        start,
                        end: Some(from),
                        doing: without_metres(phase.doing),
                        ..*phase
                    });
                }
                start = to;
            }
        }
        if phase.end > Some(start) {
            self.keep(&Phase { start, ..*phase });
        }
    }

    fn add_gaps(&mut self, gaps: impl Iterator<Item = (Occupied, Time, Time)>) {
        self.gaps.extend(gaps);
        self.gaps.sort_by_key(|&(_, from, to)| (from, Reverse(to)));
    }

    /// Where the phase stands among the open ones that is about this. As much of some gear may be taken for several
    /// lots: then it is that of the lot that was named last.
    fn open_phase(&self, of: Occupied) -> Option<usize> {
        let is_named = |job: &Job| self.job.is_some_and(|named| named.lot_slot == job.lot_slot);
        let phase = |place: u32| &self.phases[place as usize];
        let same = |&place: &u32| phase(place).0.of == of;
        let of_lot = |place: &u32| same(place) && is_named(&phase(*place).1);
        let open = &self.open;
        (open.iter().position(of_lot)).or_else(|| open.iter().position(same))
    }

    fn keep(&mut self, phase: &Phase) {
        let Some(job) = self.job else {
            return;
        };
        let place = match self.free.pop() {
            Some(place) => {
                self.phases[place as usize] = (*phase, job);
                place
            }
            None => {
                self.phases.push((*phase, job));
                (self.phases.len() - 1) as u32
            }
        };
        if phase.start <= self.now {
            self.tell(Change::Begins(place), phase.start);
        } else {
            self.due.push(phase.start, Change::Begins(place));
        }
    }
}

fn without_metres(doing: Doing) -> Doing {
    match doing {
        Doing::Walk {
            manner, from, to, ..
        } => Doing::Walk {
            manner,
            from,
            to,
            distance: Length::ZERO,
        },
        other => other,
    }
}

impl<W: Witness> Recorder for Chronicle<W> {
    #[inline]
    fn task(&mut self, job: &Job, now: Time) {
        self.pass(now);
        self.witness.task(job, now);
        self.job = Some(*job);
        self.gaps.clear();
    }

    fn phase(&mut self, phase: &Phase) {
        match phase.doing {
            Doing::Cure | Doing::Taken | Doing::Blocked => self.keep(phase),
            _ if self.gaps.is_empty() => self.keep(phase),
            _ => self.keep_around_gaps(phase),
        }
    }

    fn interrupted(&mut self, interruption: &Interruption) {
        let &Interruption { of, start, end, .. } = interruption;
        if let Occupied::Unit(..) = of {
            self.keep(&Phase::closed(of, Doing::LeftStanding, start, end));
        }
        self.add_gaps([(of, start, end)].into_iter());
    }

    fn stopped(&mut self, times: &StopTimes, server: PersonId, others: &[PersonId]) {
        let &StopTimes {
            kind,
            station,
            unit,
            start,
            served_from,
            end,
        } = times;
        let people = others.iter().chain([&server]);
        let people = people.map(|&person| Occupied::Person(person));
        let mut pausing: Vec<Occupied> = people.collect();
        if kind == StopKind::Upkeep {
            let unit = Occupied::Unit(station, unit);
            let phase = |of, doing, start| Phase::closed(of, doing, start, end);
            self.keep_around_gaps(&phase(unit, Doing::Serviced, start));
            let work = Doing::Work {
                phase: WorkPhase::Service,
                at: station,
            };
            self.keep_around_gaps(&phase(Occupied::Person(server), work, served_from));
            pausing.push(unit);
        }
        self.add_gaps(pausing.into_iter().map(|of| (of, start, end)));
    }

    fn about(&mut self, job: &Job) {
        self.job = Some(*job);
    }

    fn ends(&mut self, of: Occupied, now: Time) {
        self.pass(now);
        if let Some(nth) = self.open_phase(of) {
            let place = self.open.remove(nth);
            self.tell(Change::Ends(place), now);
        }
    }

    #[inline]
    fn ready(&mut self, job: &Job, now: Time, moment: Moment) {
        self.pass(now);
        self.witness.ready(job, moment);
    }

    #[inline]
    fn queued(&mut self, station: StationId, now: Time) {
        self.pass(now);
        self.witness.queued(station, now);
    }

    #[inline]
    fn unqueued(&mut self, station: StationId, since: Time, now: Time) {
        self.pass(now);
        self.witness.unqueued(station, since, now);
    }

    #[inline]
    fn released(&mut self, order: &OrderReleased) {
        self.pass(order.now);
        self.witness.released(order);
    }

    #[inline]
    fn done(&mut self, order: &OrderDone) {
        self.pass(order.now);
        self.witness.done(order);
    }

    fn end(&mut self, now: Time, moment: Moment) {
        self.pass(now);
        while let Some((_, change)) = self.due.pop_until(Time::NEVER) {
            if let Change::Ends(_) = change {
                self.tell(change, now);
            }
        }
        for place in std::mem::take(&mut self.open) {
            self.tell(Change::Ends(place), now);
        }
        self.witness.end(now, moment);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::{ItemId, OperationId, ProjectId};

    /// Writes down what it hears.
    #[derive(Default)]
    struct Heard(Vec<(String, i64)>);

    impl Witness for Heard {
        fn begins(&mut self, phase: &Phase, _: &Job) {
            let what = format!("{:?} begins", phase.doing);
            self.0.push((what, phase.start.micros()));
        }

        fn ends(&mut self, phase: &Phase, _: &Job, now: Time) {
            self.0
                .push((format!("{:?} ends", phase.doing), now.micros()));
        }
    }

    /// A unit is reserved from 2 to 5, works, and then stays seized until something makes room for its lot, at 20.
    fn told(end: i64, closed: Option<i64>) -> Vec<(String, i64)> {
        let at = Time::from_micros;
        let station = StationId(0);
        let mut chronicle = Chronicle::new(Heard::default());
        let job = Job {
            project: ProjectId(0),
            order: 0,
            item: ItemId(0),
            batch: 0,
            pieces: 1,
            operation: Some(OperationId(0)),
            step: 0,
            takes_off: false,
            lot_slot: 0,
            order_slot: 0,
        };
        chronicle.task(&job, at(2));
        let phase = |doing, start, end| Phase {
            of: Occupied::Unit(station, 0),
            doing,
            start: at(start),
            end,
            moments: None,
        };
        let work = Doing::Work {
            phase: WorkPhase::Run,
            at: station,
        };
        chronicle.phase(&phase(Doing::Reserved, 2, Some(at(5))));
        chronicle.phase(&phase(work, 5, Some(at(9))));
        chronicle.phase(&phase(Doing::Reserved, 9, None));
        chronicle.told();
        if let Some(closed) = closed {
            chronicle.ends(Occupied::Unit(station, 0), at(closed));
        }
        chronicle.end(at(end), Moment::from_micros(end));
        chronicle.into_witness().0
    }

    #[test]
    fn a_phase_without_an_end_lasts_until_it_is_closed() {
        let heard = told(30, Some(20));
        let run = "Work { phase: Run, at: StationId(0) }";
        let expected = [
            ("Reserved begins", 2),
            ("Reserved ends", 5),
            (&format!("{run} begins"), 5),
            (&format!("{run} ends"), 9),
            ("Reserved begins", 9),
            ("Reserved ends", 20),
        ];
        let mut expected: Vec<(String, i64)> = (expected.iter())
            .map(|&(what, at)| (what.to_owned(), at))
            .collect();
        let mut sorted = heard.clone();
        sorted.sort_by_key(|&(_, at)| at);
        assert_eq!(sorted, heard, "told in the order of time");
        // What falls on one instant may come in any order.
        let (mut heard, by) = (heard, |one: &(String, i64)| (one.1, one.0.clone()));
        heard.sort_by_key(by);
        expected.sort_by_key(by);
        assert_eq!(heard, expected);
    }

    #[test]
    fn the_end_of_the_run_cuts_what_lasts_and_what_is_still_to_come() {
        let last = |heard: Vec<(String, i64)>| heard.last().cloned();
        let open = last(told(15, None));
        assert_eq!(open, Some(("Reserved ends".to_owned(), 15)));
        let early = told(4, None);
        assert_eq!(last(early.clone()), Some(("Reserved ends".to_owned(), 4)));
        assert_eq!(early.len(), 2, "{early:?}");
    }
}
