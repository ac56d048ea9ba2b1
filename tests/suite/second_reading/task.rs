//! A task is begun: what it takes is taken, and all of it is known to its end.

use super::carry::Leg;
use super::clock::{Spans, Times, both, union, without};
use super::fits::Verdict;
use super::plan::{Doing, Plan, WorkPlan};
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
        match (&plan.work, plan.take_off) {
            (Some(work), _) => self.begin_work(&plan, work),
            (None, Some(time)) => self.begin_take_off(&plan, time),
            (None, None) => self.begin_delivery(&plan),
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
            self.note_rolled_in(&plan.rolled_in, done + 1, at);
            if let Some((cart, legs)) = plan.cart
                && done + 1 == legs
            {
                self.carts[cart].free = false;
                self.carts[cart].place = plan.here;
                self.agenda.push((at, Ending::CartInUse(cart)));
            }
            for &(lot, _) in plan.picked_up.iter().filter(|up| up.1 == done + 1) {
                self.agenda.push((at, Ending::PickedUp { lot }));
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

    /// What a cure has tied up stays so until it is taken off: its unit blocked until somebody does it, and running then.
    fn begin_take_off(&mut self, plan: &Plan, time: i64) {
        let (lot, station) = (plan.lot, plan.place);
        let person = plan.chooser.expect("somebody takes it off");
        let times = self.times_of(&[person], None);
        let begin = self.fetch(plan, &times);
        let end = times.after(begin, time);
        self.record
            .person(person, Phase::Working, times.between(begin, end));
        self.people[person].idle = false;
        self.people[person].place = plan.here;
        let tied = std::mem::take(&mut self.lots[lot].tied);
        if let Some(unit) = tied.unit {
            self.blocked(station, self.lots[lot].since, begin);
            self.record
                .station(station, Phase::TakingOff, times.between(begin, end));
            let open = self.shop.hours.open.clone();
            let standing = paused(&open, &times, begin, end);
            self.record.station(station, Phase::LeftStanding, standing);
            self.agenda
                .push((end, Ending::Finished { lot, station, unit }));
        }
        self.set_state(lot, LotState::Taken);
        self.record.lot(lot, LotPhase::TakenOff, self.now, end);
        for (kind, amount) in tied.gear {
            self.agenda.push((end, Ending::GearTaken(kind, amount)));
        }
        self.agenda.push((end, Ending::PersonBusy(person)));
        self.agenda.push((end, Ending::Operation { lot }));
    }

    fn begin_work(&mut self, plan: &Plan, of: &WorkPlan) {
        let (lot, station, now) = (plan.lot, plan.place, self.now);
        let work = self
            .work_at(lot, station)
            .expect("the station does the operation");
        let helpers = of.helpers.iter().map(|helper| helper.person);
        let team: Vec<usize> = plan.chooser.into_iter().chain(helpers).collect();

        // Claims. A unit that the lot, or something that it is made of, has not left is taken as it is.
        let things = self.things(lot);
        for &thing in &things {
            if let Some((at, unit, since)) = self.lots[thing].blocks
                && (at, unit) == (station, of.unit)
            {
                self.lots[thing].blocks = None;
                self.blocked(station, since, now);
            }
        }
        let unit = &mut self.units[station][of.unit];
        unit.free = false;
        unit.last_work = Some(of.last_work.clone());
        unit.worn = of.worn.clone();
        for (upkeep, &worn) in self.shop.stations[station].upkeep.iter().zip(&of.worn) {
            if let Some(name) = &upkeep.shared {
                self.worn.insert(name.clone(), worn);
            }
        }
        for &person in &team {
            self.people[person].idle = false;
            self.people[person].last_station = Some(station);
        }
        for (kind, amount) in work.gear_for(self.lots[lot].pieces) {
            self.take_gear(kind, amount);
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
                let mut at = now;
                for helper in of.helpers.iter().filter(|helper| helper.person == person) {
                    for (done, leg) in helper.legs.iter().enumerate() {
                        at = self.go(leg, at, &times);
                        self.note_rolled_in(&helper.rolled_in, done + 1, at);
                    }
                }
                at
            };
            standing.extend(paused(&open, &times, now, arrives));
            begin = begin.max(arrives);
            let helper = of.helpers.iter().find(|helper| helper.person == person);
            self.people[person].place = helper.map_or(plan.here, |helper| helper.place);
        }
        let standing = union(standing);
        let reserved = without(&open.between(now, begin), &standing);
        self.record.station(station, Phase::Reserved, reserved);
        self.record.station(station, Phase::LeftStanding, standing);
        self.record.lot(lot, LotPhase::Brought, now, begin);
        for thing in things {
            if plan.picked_up.iter().all(|&(picked, _)| picked != thing) {
                self.agenda.push((begin, Ending::PickedUp { lot: thing }));
            }
        }

        self.out = self.out_at_work(station, plan.chooser);
        let end = self.work(plan, of, &team, begin);
        self.record.lot(lot, LotPhase::Worked, begin, end);
        if work.after_hours && !of.manned {
            let shut = without(&vec![(begin, end)], &open.between(begin, end));
            self.record.after_hours(lot, shut);
        }
        self.agenda.push((end, Ending::Run { station }));
        for &person in &team {
            let busy = if of.manned { end } else { begin };
            self.agenda.push((busy, Ending::PersonBusy(person)));
        }
        self.cure(plan, of, work, end);
    }

    /// Setup, run, upkeep and tear-down, with those whom each needs, or on the calendar; says when that is over.
    fn work(&mut self, plan: &Plan, of: &WorkPlan, team: &[usize], begin: i64) -> i64 {
        let station = plan.place;
        let open = self.shop.hours.open.clone();
        let after_hours = self
            .work_at(plan.lot, station)
            .is_some_and(|work| work.after_hours);
        let mut at = begin;
        for bit in &of.bits {
            let from = at;
            let workers: Vec<usize> = match (bit.doing, of.manned) {
                (_, false) => Vec::new(),
                (Doing::Service | Doing::WalkAround, true) => plan.chooser.into_iter().collect(),
                (_, true) => team.to_vec(),
            };
            let times = if after_hours && !of.manned {
                Times::always()
            } else {
                self.times_of(&workers, Some(station))
            };
            for leg in &bit.legs {
                at = self.go(leg, at, &times);
            }
            let there = at;
            at = times.after(there, bit.time);
            for &person in &workers {
                self.record
                    .person(person, Phase::Working, times.between(there, at));
            }
            let phase = match bit.doing {
                Doing::Setup => Phase::Setup,
                Doing::Run | Doing::WalkAround | Doing::Teardown => Phase::Running,
                Doing::Service => Phase::Serviced,
            };
            let spans = both(&times.between(from, at), &open.between(from, at));
            self.record.station(station, phase, spans);
            let standing = paused(&open, &times, from, at);
            self.record.station(station, Phase::LeftStanding, standing);
        }
        at
    }

    /// The cure, with what it ties up, on the calendar.
    fn cure(&mut self, plan: &Plan, of: &WorkPlan, work: &Work, end: i64) {
        let (lot, station, unit) = (plan.lot, plan.place, of.unit);
        let cured = self.cured(work.cure, work.least, end);
        self.take_slots(lot, station, end, cured);
        let ties_unit = work.cure_ties_station;
        let unit_free = if ties_unit { cured } else { end };
        let open = self.shop.hours.open.between(end, unit_free);
        self.record.station(station, Phase::Curing, open);
        self.record.lot(lot, LotPhase::Curing, end, cured);
        let takes_off = work.take_off.is_some();
        if takes_off && ties_unit {
            self.lots[lot].tied.unit = Some(unit);
        } else {
            self.agenda
                .push((unit_free, Ending::Finished { lot, station, unit }));
        }
        for (kind, amount) in work.gear_for(self.lots[lot].pieces) {
            let ties = work.cure_ties_gear.contains(&kind);
            if takes_off && ties {
                self.lots[lot].tied.gear.push((kind, amount));
            } else {
                let back = if ties { cured } else { end };
                self.agenda.push((back, Ending::GearTaken(kind, amount)));
            }
        }
        let after = if takes_off {
            Ending::Cured { lot }
        } else {
            Ending::Operation { lot }
        };
        self.agenda.push((cured, after));
        self.lots[lot].place = Some(plan.here);
    }
}

/// Open time in which a phase that goes on in these times does not go on.
fn paused(open: &Times, times: &Times, from: i64, to: i64) -> Spans {
    without(&open.between(from, to), &times.between(from, to))
}
