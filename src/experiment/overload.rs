//! Whether orders come faster than they are built, or just as fast.

use crate::statistics::{Estimate, IntervalMethod, Summary};

/// The level of the interval that the growth is judged by: many who have no such trouble ask.
const LEVEL: f64 = 0.999;

/// Orders by which work in process grows from the middle third of the measured time to the last, at least: less is where
/// a third happens to begin or end within an order.
const LEAST_GROWTH: f64 = 1.0;

/// How much of the growth from the first third to the middle one is left from there to the last, where a queue can just
/// keep up. Where orders come faster than they are built, work in process grows in proportion to the time, and all of it
/// is left. A queue that can keep up fills ever more slowly: at most with the root of the time, as it does where exactly
/// as much comes as can be built (reflected Brownian motion; Asmussen, Applied Probability and Queues, 2nd ed. 2003,
/// chapter X.8), of which ((1 − a) − (a − b)) / ((a − b) − b) = 0.65 is left with a = (2/3)^1.5 and b = (1/3)^1.5.
const JUST_KEEPS_UP: f64 = 0.65;

/// The shortest run, as a multiple of the mean lead time. Work in process also grows in proportion to the time while the
/// first orders are on their way, such as where everything dries for two days and the run lasts as long. Where orders
/// come faster than they are built, those finished have waited for half of the run at most, on average.
const LEAD_TIMES: f64 = 1.5;

/// Where something is in use all the time, so many more orders than are done, as a share, come faster than they are built.
/// Up to 2 % of its time it may be free, and it may have begun with as much more as it has not ended.
const MORE_COME: f64 = 0.04;

/// The level of the interval that this share is judged by: being in use all the time is evidence of its own, which hardly
/// any shop shows that can keep up, however few the runs.
const LEVEL_OF_SHARE: f64 = 0.99;

/// How fast orders come that pile up to the end of the measured time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum OrderPace {
    FasterThanBuilt,
    /// Or so nearly that the measured time is too short to tell.
    AsFastAsBuilt,
}

/// Mean work in process by thirds of the measured time, of replications that end at a horizon.
#[derive(Debug, Clone, Default)]
pub(super) struct OverloadSums {
    thirds: [Summary; 3],
    growth: Summary,
    /// Growth beyond that of a queue that can just keep up.
    excess: Summary,
    /// Orders that come more than are done, as a share of those done.
    more_come: Summary,
}

impl OverloadSums {
    /// Of one replication: work in process, and how many orders were released and done.
    pub fn add(&mut self, thirds: [f64; 3], (released, done): (f64, f64)) {
        if done > 0.0 {
            self.more_come.add(released / done - 1.0);
        }
        for (sum, third) in self.thirds.iter_mut().zip(thirds) {
            sum.add(third);
        }
        let [first, middle, last] = thirds;
        self.growth.add(last - middle);
        (self.excess).add((last - middle) - JUST_KEEPS_UP * (middle - first));
    }

    /// Mean numbers of orders in process; None where no replication has a horizon.
    pub fn thirds(&self) -> Option<[f64; 3]> {
        let [first, middle, last] = [0, 1, 2].map(|third: usize| self.thirds[third].mean());
        Some([first?, middle?, last?])
    }

    /// Whether work in process is shown to grow to the end, and either as steadily as where orders come faster than they
    /// are built, or in each third while something is in use all the time and more orders come than are done. Shown is
    /// what is beyond chance; where no time varies, what is so. `run` and `lead_time` are seconds; without a lead time there
    /// is none to be wrong about.
    ///
    /// Growth varies from run to run far more than the numbers of orders that come and are done. So a few runs show the
    /// second where the load is not far above what can be done, and the first only after hundreds.
    ///
    /// Where only the growth is shown while something is in use all the time, orders come as fast as they can be built:
    /// their number grows with the root of the time and does not settle. Where the load is so little below that, and the
    /// run so short, that something is in use all the time and the number still grows, the run shows nothing else either.
    pub fn pace(
        &self,
        (run, lead_time): (f64, Option<f64>),
        is_saturated: bool,
        varies: bool,
        method: IntervalMethod,
    ) -> Option<OrderPace> {
        let exceeds = |summary: &Summary, level: f64, least: f64| match Estimate::by(
            summary, level, method,
        ) {
            None => false,
            Some(estimate) => match estimate.low() {
                Some(low) => low > least,
                None => !varies && estimate.mean > least,
            },
        };
        let is_shown = |summary: &Summary| exceeds(summary, LEVEL, 0.0);
        let is_long = lead_time.is_some_and(|lead_time| run >= LEAD_TIMES * lead_time);
        let [first, middle, last] = self.thirds().unwrap_or_default();
        if !is_long || last - middle < LEAST_GROWTH {
            return None;
        }
        let grows = is_shown(&self.growth);
        let grows_throughout = middle - first >= LEAST_GROWTH;
        let more_come = || exceeds(&self.more_come, LEVEL_OF_SHARE, MORE_COME);
        if grows && is_shown(&self.excess) || is_saturated && grows_throughout && more_come() {
            Some(OrderPace::FasterThanBuilt)
        } else if grows && is_saturated {
            Some(OrderPace::AsFastAsBuilt)
        } else {
            None
        }
    }
}
