//! Whether orders come faster than they are built.

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

/// Mean work in process by thirds of the measured time, of replications that end at a horizon.
#[derive(Debug, Clone, Default)]
pub(super) struct OverloadSums {
    thirds: [Summary; 3],
    growth: Summary,
    /// Growth beyond that of a queue that can just keep up.
    excess: Summary,
}

impl OverloadSums {
    /// Of one replication.
    pub fn add(&mut self, thirds: [f64; 3]) {
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

    /// Whether work in process is shown to grow to the end and as steadily as where orders come faster than they are
    /// built, beyond chance; where no time varies, whether it does. `run` and `lead_time` are seconds; without a lead
    /// time there is none to be wrong about.
    pub fn is_overloaded(
        &self,
        (run, lead_time): (f64, Option<f64>),
        varies: bool,
        method: IntervalMethod,
    ) -> bool {
        let is_shown = |summary: &Summary| match Estimate::by(summary, LEVEL, method) {
            None => false,
            Some(estimate) => match estimate.low() {
                Some(low) => low > 0.0,
                None => !varies && estimate.mean > 0.0,
            },
        };
        let is_long = lead_time.is_some_and(|lead_time| run >= LEAD_TIMES * lead_time);
        let grows = (self.growth.mean()).is_some_and(|growth| growth >= LEAST_GROWTH);
        grows && is_long && is_shown(&self.growth) && is_shown(&self.excess)
    }
}
