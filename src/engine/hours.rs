//! What a shop's hours mean for each task: when it goes on, and how long it can go on at the most.
//!
//! Closing, people who come and go, and times of silence are the same every week, so all of that is known beforehand.
//! A shop in which nothing but closing interrupts anything, and all work may pause, keeps nothing of it.

use std::collections::BTreeMap;

use crate::shop::{Interruptions, OperationId, PersonId, Shop, StationId, WeeklyTimes, Work};
use crate::units::{Span, Time};

/// What interrupts tasks, and how long they go on without an interruption at the most.
#[derive(Debug, Default)]
pub(super) struct PreparedHours {
    /// Whether anybody has hours of their own.
    pub people_come_and_go: bool,
    /// At whose beginnings and ends it has to be asked again what may begin.
    changing: Vec<WeeklyTimes>,
    /// When each station must not be run, by its number among the silences; the first is none.
    silence_of: Vec<usize>,
    silences: Vec<Option<WeeklyTimes>>,
    /// When each person goes on with what they do at a station with each silence: `goes_on[person * silences + silence]`;
    /// None if always.
    goes_on: Vec<Option<WeeklyTimes>>,
    /// By choice.
    choices: Vec<ChoiceHours>,
    /// The longest that somebody who delivers is there.
    pub delivery: Span,
}

/// How long a choice of a step can go on without an interruption, wherever in the week it begins.
#[derive(Debug, Clone)]
pub(super) struct ChoiceHours {
    pub by: Interruptions,
    /// By as many people as the work takes, by one of them, and by nobody.
    pub together: Span,
    pub by_one: Span,
    pub alone: Span,
    /// By one of them who takes off what its cure ties up.
    pub take_off: Span,
}

/// Whether work at a station, and what is brought for it, is never interrupted where it should not be.
pub(super) fn always_fits(shop: &Shop, station: StationId, work: &Work) -> bool {
    let Interruptions { may_pause, silence } = shop.interruptions(station, work);
    let mut skilled = (shop.crew.iter()).filter(|person| person.can_do(work.operation));
    may_pause && silence.is_none() && !skilled.any(|person| person.hours.is_some())
}

impl PreparedHours {
    /// Of a shop in which there is any work that may not fit.
    pub fn new<'a>(
        shop: &Shop,
        choices: impl Iterator<Item = (StationId, &'a Work)>,
    ) -> PreparedHours {
        let mut silences = vec![None];
        let mut silence_of = Vec::new();
        for station in shop.stations.ids() {
            let silence = shop.silence(station);
            let known = silences.iter().position(|known| *known == silence);
            silence_of.push(known.unwrap_or(silences.len()));
            if known.is_none() {
                silences.push(silence);
            }
        }
        let hours = || shop.crew.iter().map(|person| person.hours.as_ref());
        let goes_on = hours().flat_map(|hours| {
            let silences = silences.iter();
            silences.map(move |silence| going_on(hours, silence.as_ref()))
        });
        let goes_on = goes_on.collect();
        let mut changing: Vec<WeeklyTimes> = Vec::new();
        for times in hours().flatten().chain(silences.iter().flatten()) {
            if !changing.contains(times) {
                changing.push(times.clone());
            }
        }
        let everybody: Vec<Option<PersonId>> = shop.crew.ids().map(Some).collect();
        PreparedHours {
            people_come_and_go: hours().any(|hours| hours.is_some()),
            delivery: shop.longest_stretch(&everybody, 1, &Interruptions::NONE),
            changing,
            silence_of,
            silences,
            goes_on,
            choices: hours_of_choices(shop, choices),
        }
    }

    pub fn of_choice(&self, number: u32) -> &ChoiceHours {
        &self.choices[number as usize]
    }

    /// When somebody goes on with what they do for work at a station, or for none; None if always.
    pub fn goes_on(&self, person: PersonId, station: Option<StationId>) -> Option<&WeeklyTimes> {
        let silence = station.map_or(0, |station| self.silence_of[station.index()]);
        self.goes_on[person.index() * self.silences.len() + silence].as_ref()
    }

    /// When all of these people go on with work at a station; None if always.
    pub fn go_on_together(&self, people: &[PersonId], station: StationId) -> Option<WeeklyTimes> {
        let silence = self.silences[self.silence_of[station.index()]].as_ref();
        let alone = going_on(None, silence);
        let times = people
            .iter()
            .map(|person| self.goes_on(*person, Some(station)).cloned());
        times.fold(alone, |all, one| match (all, one) {
            (Some(all), Some(one)) => Some(all.and(&one)),
            (all, one) => all.or(one),
        })
    }

    /// When somebody next comes or goes, or a silence begins or ends; never if none of that happens.
    pub fn change_after(&self, time: Time) -> Time {
        let changes = self.changing.iter().map(|times| times.change_after(time));
        changes.min().unwrap_or(Time::NEVER)
    }
}

/// When somebody with these hours goes on while there is no silence; None if always.
fn going_on(hours: Option<&WeeklyTimes>, silence: Option<&WeeklyTimes>) -> Option<WeeklyTimes> {
    match (hours, silence) {
        (Some(hours), Some(silence)) => Some(hours.and(&silence.other_times())),
        (hours, None) => hours.cloned(),
        (None, Some(silence)) => Some(silence.other_times()),
    }
}

fn hours_of_choices<'a>(
    shop: &Shop,
    choices: impl Iterator<Item = (StationId, &'a Work)>,
) -> Vec<ChoiceHours> {
    // Many steps take the same people, at stations that keep the same hours.
    type Known = BTreeMap<(OperationId, u32, bool, StationId), ChoiceHours>;
    let mut known = Known::new();
    let of_choice = |(station, work): (StationId, &Work)| {
        let key = (work.operation, work.people, work.pausable, station);
        let hours = known.entry(key).or_insert_with(|| {
            let by = shop.interruptions(station, work);
            let skilled = shop.skilled(work.operation);
            let longest = |people: u32| shop.longest_stretch(&skilled, people.max(1) as usize, &by);
            ChoiceHours {
                together: longest(work.people),
                by_one: longest(1),
                alone: shop.longest_stretch(&[None], 1, &by),
                take_off: shop.longest_stretch(&skilled, 1, &Interruptions::NONE),
                by,
            }
        });
        hours.clone()
    };
    choices.map(of_choice).collect()
}
