//! A task is begun: what it takes is taken, and all of it is known to its end.

use super::clock::{Spans, Times, both, union, without};
use super::fits::Verdict;
use super::plan::{Leg, Plan, WorkPlan};
use super::play::Play;
use super::record::{LotPhase, Phase};
use super::shop::Work;
use super::state::{Ending, LotState};

impl Play<'_> {
    /// Begins a task that may be begun.
    pub fn begin(&mut self, plan: Plan) {
        let verdict = self.verdict(&plan).expect("it is offered");
        if verdict == Verdict::Forced {
            self.record.forced += 1;
        }
        match &plan.work {
            Some(work) => self.begin_work(&plan, work),
            None => self.begin_delivery(&plan),
        }
    }

    /// The times in which a phase goes on that needs these people: the shop is open, they are there, and the station need
    /// not be silent.
    fn times_of(&self, people: &[usize], station: Option<usize>) -> Times {
        let there = people.iter().map(|&person| &self.there[person]);
        let times = there.fold(self.shop.hours.open.clone(), |all, one| all.and(one));
        match station {
            Some(station) => times.but(&self.silence(station)),
            None => times,
        }
    }

    /// The chooser brings all that is needed; says when that is over.
    fn fetch(&mut self, plan: &Plan, times: &Times) -> i64 {
        let mut at = self.now;
        for (done, leg) in plan.legs.iter().enumerate() {
            at = self.go(leg, at, times);
            if let Some((cart, legs)) = plan.cart
                && done + 1 == legs
            {
                self.carts[cart].free = false;
                self.carts[cart].place = plan.place;
                self.agenda.push((at, Ending::CartInUse(cart)));
            }
        }
        at
    }

    /// One walk or handling; says when it is over.
    fn go(&mut self, leg: &Leg, from: i64, times: &Times) -> i64 {
        let end = times.after(from, leg.time);
        let phase = match &leg.walk {
            Some(walk) => {
                self.record.walk(leg.person, walk, end);
                Phase::Walking
            }
            None => Phase::Handling,
        };
        self.record
            .person(leg.person, phase, times.between(from, end));
        end
    }

    fn begin_delivery(&mut self, plan: &Plan) {
        let (lot, to) = (plan.lot, plan.place);
        let person = plan.chooser.expect("somebody delivers");
        let times = self.times_of(&[person], None);
        let end = self.fetch(plan, &times);
        self.people[person].idle = false;
        self.people[person].place = to;
        self.set_state(lot, LotState::Taken);
        self.record.lot(lot, LotPhase::Brought, self.now, end);
        self.lots[lot].place = Some(to);
        self.agenda.push((end, Ending::PersonBusy(person)));
        self.agenda.push((end, Ending::Delivery { lot }));
    }

    fn begin_work(&mut self, plan: &Plan, of: &WorkPlan) {
        let (lot, station, now) = (plan.lot, plan.place, self.now);
        let work = self
            .work_at(lot, station)
            .expect("the station does the operation");
        let helpers = of.helpers.iter().map(|helper| helper.person);
        let team: Vec<usize> = plan.chooser.into_iter().chain(helpers).collect();

        // Claims.
        self.units[station][of.unit].free = false;
        self.units[station][of.unit].last_work = Some(of.key.clone());
        for &person in &team {
            self.people[person].idle = false;
            self.people[person].last_station = Some(station);
        }
        for &(kind, amount) in &work.gear {
            self.gear[kind] -= amount;
        }
        self.record.wait_is_over(lot, now);
        self.set_state(lot, LotState::Taken);

        // Fetching. Everybody's walks pause for themselves; what of open time they pause, the unit is left standing.
        let open = self.shop.hours.open.clone();
        let mut begin = now;
        let mut standing = Vec::new();
        for &person in &team {
            let times = self.times_of(&[person], Some(station));
            let arrives = if Some(person) == plan.chooser {
                self.fetch(plan, &times)
            } else {
                let helper = of.helpers.iter().find(|helper| helper.person == person);
                let walk = helper.and_then(|helper| helper.walk.as_ref());
                walk.map_or(now, |leg| self.go(leg, now, &times))
            };
            standing.extend(paused(&open, &times, now, arrives));
            begin = begin.max(arrives);
            self.people[person].place = station;
        }
        let standing = union(standing);
        let reserved = without(&open.between(now, begin), &standing);
        self.record.station(station, Phase::Reserved, reserved);
        self.record.station(station, Phase::LeftStanding, standing);
        self.record.lot(lot, LotPhase::Brought, now, begin);

        // Work, with those that it needs, or on the calendar.
        let workers = match work.people {
            0 => Vec::new(),
            _ => team.clone(),
        };
        let times = if work.after_hours {
            Times::always()
        } else {
            self.times_of(&workers, Some(station))
        };
        let setup_end = times.after(begin, of.setup);
        let end = times.after(setup_end, of.run + of.teardown);
        for (phase, from, to) in [
            (Phase::Setup, begin, setup_end),
            (Phase::Running, setup_end, end),
        ] {
            let spans = both(&times.between(from, to), &open.between(from, to));
            self.record.station(station, phase, spans);
        }
        self.record.station(
            station,
            Phase::LeftStanding,
            paused(&open, &times, begin, end),
        );
        self.record.lot(lot, LotPhase::Worked, begin, end);
        if work.after_hours {
            self.record
                .after_hours(lot, without(&vec![(begin, end)], &open.between(begin, end)));
        }
        self.agenda.push((end, Ending::Run { station }));
        for &person in &team {
            let busy = if workers.contains(&person) {
                self.record
                    .person(person, Phase::Working, times.between(begin, end));
                end
            } else {
                begin
            };
            self.agenda.push((busy, Ending::PersonBusy(person)));
        }
        self.cure(plan, of, work, end);
    }

    /// The cure, with what it ties up, on the calendar.
    fn cure(&mut self, plan: &Plan, of: &WorkPlan, work: &Work, end: i64) {
        let (lot, station) = (plan.lot, plan.place);
        let cured = end + work.cure;
        let unit_free = if work.cure_ties_station { cured } else { end };
        let open = self.shop.hours.open.between(end, unit_free);
        self.record.station(station, Phase::Curing, open);
        self.record.lot(lot, LotPhase::Curing, end, cured);
        let unit = of.unit;
        self.agenda
            .push((unit_free, Ending::UnitTaken { station, unit }));
        for &(kind, amount) in &work.gear {
            let back = if work.cure_ties_gear.contains(&kind) {
                cured
            } else {
                end
            };
            self.agenda.push((back, Ending::GearTaken(kind, amount)));
        }
        self.agenda.push((cured, Ending::Operation { lot }));
        self.lots[lot].place = Some(station);
    }
}

/// Open time in which a phase that goes on in these times does not go on.
fn paused(open: &Times, times: &Times, from: i64, to: i64) -> Spans {
    without(&open.between(from, to), &times.between(from, to))
}
