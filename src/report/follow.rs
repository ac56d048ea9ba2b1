//! One run, decision by decision, in words.

use std::collections::BTreeMap;

use super::days::Days;
use super::sentence::listed;
use crate::engine::Job;
use crate::experiment::Study;
use crate::metrics::{DecisionInstant, TakenLot, WaitsFor};
use crate::scenario::printable_name;
use crate::shop::{CHOICES, ItemKind, QUEUE_RULES, RuleRow, Shop};
use crate::units::Moment;

/// More lots than so many that wait for the same are counted, not named.
const MOST_NAMED: usize = 3;

/// The words for what one candidate's people decide.
pub struct DecisionWords<'a> {
    shop: &'a Shop,
    days: Option<Days<'a>>,
}

impl<'a> DecisionWords<'a> {
    pub fn new(study: &'a Study, candidate: usize) -> DecisionWords<'a> {
        let shop = &*study.candidates[candidate].shop;
        let keeps_hours = !shop.calendar.is_always_open();
        DecisionWords {
            shop,
            days: keeps_hours.then(|| Days::new(&shop.calendar, study.settings.starts)),
        }
    }

    /// By which rules it is decided.
    pub fn rules(&self) -> String {
        let rules = &self.shop.rules;
        let [chosen, offered] = [
            meaning(CHOICES, rules.choose),
            meaning(QUEUE_RULES, rules.queue),
        ];
        let rule = match chosen == offered {
            true => format!("Everybody takes {chosen}."),
            false => format!("A station offers {offered}; of these, people take {chosen}."),
        };
        format!(
            "{rule} What is equal is decided by what has been ready longest, the order released first, the line in the file \
             and the batch."
        )
    }

    /// What is decided at one instant, on one line.
    pub fn instant(&self, instant: &DecisionInstant) -> String {
        let taken = (instant.taken.iter()).map(|lot| self.taken(lot, instant.now));
        let done = (instant.done.iter()).map(|&(project, order)| {
            let name = printable_name(&self.shop.projects[project].name);
            format!("{name} {} is done", order + 1)
        });
        let mut says: Vec<String> = done.chain(taken).collect();
        says.extend(self.waiting(&instant.waiting));
        format!("{} {}", self.clock(instant.now), says.join("; "))
    }

    fn taken(&self, lot: &TakenLot, now: Moment) -> String {
        let what = self.lot(&lot.job);
        let station = lot
            .station
            .map(|station| printable_name(&self.shop.stations[station].name));
        let station = station.unwrap_or_default();
        let people: Vec<_> = (lot.people.iter())
            .map(|&person| printable_name(&self.shop.crew[person].name))
            .collect();
        let (who, s) = (
            listed(&people, "and"),
            if people.len() == 1 { "s" } else { "" },
        );
        let operation = lot
            .job
            .operation
            .map(|operation| printable_name(&self.shop.operations[operation]));
        let from = lot
            .carried_from
            .map(|from| printable_name(self.shop.place_name(from)));
        let does = match (&operation, &from) {
            _ if lot.job.takes_off => format!("{who} take{s} {what} off at {station}"),
            (None, _) => format!("{who} deliver{s} {what}"),
            (Some(operation), _) if people.is_empty() => {
                format!("{station} begins {what} by itself: {operation}")
            }
            (Some(operation), Some(_)) if self.is_put_together(&lot.job) => {
                format!("{who} bring{s} what {what} is made of to {station}: {operation}")
            }
            (Some(operation), Some(from)) => {
                format!("{who} take{s} {what} from {from} to {station}: {operation}")
            }
            (Some(operation), None) => format!("{who} work{s} on {what} at {station}: {operation}"),
        };
        let [until, since] = [lot.until, lot.ready_since].map(|moment| self.clock_at(now, moment));
        format!("{does} until {until}, ready since {since}")
    }

    /// Whether a lot is an assembly of which the parts lie where they were made.
    fn is_put_together(&self, job: &Job) -> bool {
        let item = &self.shop.projects[job.project].items[job.item.index()];
        job.step == 0 && matches!(item.kind, ItemKind::Assembly { .. })
    }

    /// What lots wait for, those that wait for the same together.
    fn waiting(&self, waiting: &[(Job, WaitsFor)]) -> Vec<String> {
        let mut by_reason: BTreeMap<String, Vec<String>> = BTreeMap::new();
        for (job, waits_for) in waiting {
            let lots = by_reason.entry(self.reason(job, *waits_for)).or_default();
            lots.push(self.lot(job));
        }
        let said = by_reason
            .into_iter()
            .map(|(reason, lots)| match lots.len() {
                1 => format!("{} waits for {reason}", lots[0]),
                count if count > MOST_NAMED => format!("{count} lots wait for {reason}"),
                _ => format!("{} wait for {reason}", listed(&lots, "and")),
            });
        said.collect()
    }

    fn reason(&self, job: &Job, waits_for: WaitsFor) -> String {
        match waits_for {
            WaitsFor::Station => self.stations(job),
            WaitsFor::CureAtStation => format!("what dries at {}", self.stations(job)),
            WaitsFor::KeptApart => {
                format!(
                    "something to be over that does not go together with {}",
                    self.work(job)
                )
            }
            WaitsFor::Gear(gear) => {
                let gear = printable_name(&self.shop.gear[gear].name);
                format!("{gear} for {}", self.work(job))
            }
            WaitsFor::Person if job.operation.is_none() => "somebody to deliver it".to_owned(),
            WaitsFor::Person => format!("somebody for {}", self.work(job)),
        }
    }

    fn work(&self, job: &Job) -> String {
        let operation = job
            .operation
            .map(|operation| &self.shop.operations[operation]);
        operation.map_or_else(String::new, |name| printable_name(name).into_owned())
    }

    /// Where the next step of a lot can be done.
    fn stations(&self, job: &Job) -> String {
        let item = &self.shop.projects[job.project].items[job.item.index()];
        let choices = item.route.get(job.step as usize).map(|step| &step.choices);
        let mut names: Vec<_> = (choices.into_iter().flatten())
            .map(|choice| printable_name(&self.shop.stations[choice.station].name))
            .collect();
        names.dedup();
        listed(&names, "or")
    }

    fn lot(&self, job: &Job) -> String {
        lot_in_words(self.shop, job)
    }

    /// The same, without a day that has just been named.
    fn clock_at(&self, now: Moment, moment: Moment) -> String {
        let calendar = &self.shop.calendar;
        match self.days.is_some() && calendar.day(now) == calendar.day(moment) {
            true => time_of_day(moment),
            false => self.clock(moment),
        }
    }

    /// From the beginning of the run, or by the calendar of a shop that keeps hours.
    fn clock(&self, moment: Moment) -> String {
        match &self.days {
            Some(days) => format!("{} {}", days.short_date(moment), time_of_day(moment)),
            None => hours_minutes_seconds(moment.seconds()),
        }
    }
}

/// "apron of side table 2", with its batch where there are several.
pub fn lot_in_words(shop: &Shop, job: &Job) -> String {
    let project = &shop.projects[job.project];
    let item = &project.items[job.item.index()];
    let batch = match item.lots(item.pieces.into()) > 1 {
        true => format!(", batch {}", job.batch + 1),
        false => String::new(),
    };
    let (of, name) = (printable_name(&project.name), printable_name(&item.name));
    match item.name == project.name {
        true => format!("{of} {}{batch}", job.order + 1),
        false => format!("{name} of {of} {}{batch}", job.order + 1),
    }
}

fn time_of_day(moment: Moment) -> String {
    /// Seconds in a day.
    const DAY: f64 = 86_400.0;
    hours_minutes_seconds(moment.seconds().rem_euclid(DAY))
}

fn hours_minutes_seconds(seconds: f64) -> String {
    let seconds = seconds.round() as i64;
    let (minutes, seconds) = (seconds / 60, seconds % 60);
    format!("{}:{:02}:{seconds:02}", minutes / 60, minutes % 60)
}

fn meaning<R: PartialEq>(rows: &[RuleRow<R>], rule: R) -> &'static str {
    let mut rows = rows.iter();
    rows.find(|row| row.rule == rule)
        .map_or("", |row| row.meaning)
}
