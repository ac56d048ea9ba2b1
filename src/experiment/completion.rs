//! When all that was ordered is done: the date that somebody waits for.

use super::comparison::CompletionChange;
use super::findings::Completion;
use crate::metrics::Record;
use crate::shop::{Arrivals, Calendar, ProjectId, Shop};
use crate::units::Moment;

/// When the last of some orders was done, by replication; None where one of them was not.
#[derive(Debug, Clone, Default)]
pub(super) struct DoneMoments(Vec<Option<Moment>>);

impl DoneMoments {
    fn add(&mut self, all_done: Option<Moment>) {
        self.0.push(all_done);
    }

    /// None if anything was left undone in some replication: then nobody can say when it is done.
    fn all(&self) -> Option<Vec<Moment>> {
        self.0.iter().copied().collect()
    }

    fn completion(&self, calendar: &Calendar) -> Option<Completion> {
        let mut moments = self.all().filter(|moments| !moments.is_empty())?;
        let sessions = moments
            .iter()
            .map(|&moment| sessions_until(calendar, moment));
        let sessions = sessions.sum::<u64>() as f64 / moments.len() as f64;
        moments.sort_unstable();
        // Definition 1 of Hyndman and Fan, as for lead times: what at least the share p of all runs does not exceed.
        let percentile = |percent: usize| {
            let rank = (percent * moments.len()).div_ceil(100);
            moments[rank.max(1) - 1]
        };
        Some(Completion {
            runs: moments.len() as u64,
            sessions,
            p05: percentile(5),
            p50: percentile(50),
            p90: percentile(90),
            p95: percentile(95),
        })
    }
}

/// How many sessions have had working time by then.
fn sessions_until(calendar: &Calendar, moment: Moment) -> u64 {
    calendar.sessions_between(Moment::START, moment)
}

/// When all orders are done, and all of each project, in a shop that keeps hours and in which they are all there from the
/// start. Where orders come one after another, the last is done when it happened to come.
#[derive(Debug)]
pub(super) struct CompletionSums {
    all: DoneMoments,
    projects: Vec<DoneMoments>,
}

impl CompletionSums {
    pub fn of(shop: &Shop) -> Option<CompletionSums> {
        let mut lines = shop.orders.iter();
        let is_told = !shop.calendar.is_always_open()
            && lines.all(|line| matches!(line.arrivals, Arrivals::AtStart { .. }));
        is_told.then(|| CompletionSums {
            all: DoneMoments::default(),
            projects: vec![DoneMoments::default(); shop.projects.len()],
        })
    }

    pub fn add(&mut self, record: &Record) {
        let last = |project: Option<ProjectId>| {
            let lines = record.lines.iter();
            let lines = lines.filter(|line| project.is_none_or(|project| line.project == project));
            let moments: Option<Vec<Moment>> = lines.map(|line| line.all_done()).collect();
            moments?.into_iter().max()
        };
        self.all.add(last(None));
        for (index, sums) in self.projects.iter_mut().enumerate() {
            sums.add(last(Some(ProjectId(index as u32))));
        }
    }

    pub fn all_done(&self, calendar: &Calendar) -> Option<Completion> {
        self.all.completion(calendar)
    }

    pub fn project_done(&self, project: ProjectId, calendar: &Calendar) -> Option<Completion> {
        self.projects[project.index()].completion(calendar)
    }

    /// How another candidate differs from this one. Where the two do not keep the same sessions, those cannot be told
    /// apart by their numbers, and days decide.
    pub fn change(
        &self,
        calendar: &Calendar,
        (other, others_calendar): (&CompletionSums, &Calendar),
    ) -> Option<CompletionChange> {
        let same_sessions = calendar == others_calendar;
        let nth = |calendar: &Calendar, moment: Moment| match same_sessions {
            true => sessions_until(calendar, moment) as i64,
            false => calendar.day(moment),
        };
        let own = self.all.all()?;
        let pairs = own.into_iter().zip(other.all.all()?);
        let differences =
            pairs.map(|(own, others)| nth(others_calendar, others) - nth(calendar, own));
        let differences: Vec<i64> = differences.collect();
        let runs = differences.len() as f64;
        let share = |is_so: fn(&i64) -> bool| {
            differences
                .iter()
                .filter(|&difference| is_so(difference))
                .count() as f64
                / runs
        };
        (runs > 0.0).then(|| CompletionChange {
            same_sessions,
            mean: differences.iter().sum::<i64>() as f64 / runs,
            sooner: share(|&difference| difference < 0),
            later: share(|&difference| difference > 0),
        })
    }
}
