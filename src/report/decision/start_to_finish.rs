//! How the time from start to finish changes with another candidate, in sentences.

use crate::experiment::LITTLE;
use crate::report::about;
use crate::report::difference::is_shown;
use crate::report::sentence::{capital, listed};
use crate::statistics::Paired;

/// How long orders of one project take from start to finish.
pub struct StartToFinish {
    /// "a side table"
    pub order: String,
    /// Seconds less than in the base, if the runs show any difference.
    sooner: Option<f64>,
    /// Seconds in the base.
    lead_time: f64,
}

impl StartToFinish {
    pub fn new(order: String, paired: &Paired) -> StartToFinish {
        let difference = Some(paired.difference).filter(is_shown);
        StartToFinish {
            order,
            sooner: difference.map(|difference| -difference.mean),
            lead_time: paired.base_mean,
        }
    }

    pub fn share(&self) -> f64 {
        match self.lead_time > 0.0 {
            true => self.sooner.unwrap_or(0.0) / self.lead_time,
            false => 0.0,
        }
    }

    fn is_changed(&self) -> bool {
        self.share().abs() >= LITTLE
    }

    /// As a sentence, after so many seconds of hands-on time that are saved have been told.
    pub fn says(&self, told: f64) -> String {
        let order = &self.order;
        match self.is_changed() {
            true if self.share() > 0.0 => format!("{} {}.", capital(order), self.done_sooner()),
            true => format!("But {order} {}.", self.takes_longer()),
            false => {
                let within = within(std::slice::from_ref(self));
                // "99 s" once is enough.
                let saved = about::time(told);
                let within = match self.share() > 0.0 && within == to_within(&saved) {
                    true => format!(", but for these {saved}"),
                    false => within,
                };
                let whole = about::time(self.lead_time);
                format!("Start to finish it takes {whole} in both{within}.")
            }
        }
    }

    fn takes_longer(&self) -> String {
        format!(
            "takes {} longer from start to finish, of {}",
            about::time(self.sooner.unwrap_or(0.0).abs()),
            about::time(self.lead_time)
        )
    }

    /// "is done 13 min sooner (8 % of 2½ h)"
    pub fn done_sooner(&self) -> String {
        format!(
            "is done {} sooner ({} of {})",
            about::time(self.sooner.unwrap_or(0.0)),
            about::share(self.share()),
            about::time(self.lead_time)
        )
    }
}

/// From this share of its time on, it is told by how much an order differs that takes nearly the same.
const VISIBLE: f64 = 1e-3;

/// ", to within 3 min": by how much times differ that are called the same, where that shows in a table.
fn within(all: &[StartToFinish]) -> String {
    let visible = all.iter().filter(|one| one.share().abs() >= VISIBLE);
    let differences = visible.filter_map(|one| Some(one.sooner?.abs()));
    match differences.reduce(f64::max) {
        Some(most) => to_within(&about::time(most)),
        None => String::new(),
    }
}

fn to_within(time: &str) -> String {
    format!(", to within {time}")
}

/// So many projects are named at most.
const NAMED: usize = 3;

/// The same where there are several projects, those first that change most.
pub fn of_projects(all: &[StartToFinish]) -> String {
    let mut changed: Vec<&StartToFinish> = all.iter().filter(|one| one.is_changed()).collect();
    changed.sort_by(|a, b| b.share().abs().total_cmp(&a.share().abs()));
    if changed.is_empty() {
        let times = all.iter().take(NAMED);
        let times: Vec<String> = times
            .map(|one| format!("{} {}", one.order, about::time(one.lead_time)))
            .collect();
        let more = if all.len() > NAMED { ", …" } else { "" };
        let times = times.join(", ");
        let within = within(all);
        return format!(
            "Start to finish every project takes the same in both{within}: {times}{more}."
        );
    }
    let clauses = changed
        .iter()
        .take(NAMED)
        .map(|one| match one.share() > 0.0 {
            true => format!("{} {}", one.order, one.done_sooner()),
            false => format!("{} {}", one.order, one.takes_longer()),
        });
    let clauses: Vec<String> = clauses.collect();
    let but = match changed.iter().any(|one| one.share() > 0.0) {
        true => capital(&listed(&clauses, "and")),
        false => format!("But {}", listed(&clauses, "and")),
    };
    let rest = match (changed.len() > NAMED, changed.len() < all.len()) {
        (true, _) => "; more projects change less",
        (false, true) => "; the other projects take as long as before",
        (false, false) => "",
    };
    format!("{but}{rest}.")
}
