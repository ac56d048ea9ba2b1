//! How much memory a study takes at once, before it is played: an answer that ends with the memory is lost.

use std::collections::BTreeSet;

use super::run::{BATCH, FIRST, MOST};
use super::{Candidate, LOOKS, Replications, Study, relief};
use crate::shop::{Arrivals, Item, OrderLine, PlaceId, Project, Shop};

/// Bytes that a lot takes from its release until its order is done, with all that looks into a replication: measured
/// with a million lots at once, 640.
const OPEN_LOT: u64 = 700;

/// Bytes of the record of one replication without its lead times: measured with a thousand candidates, 1900.
const RECORD: u64 = 2 << 10;

/// Bytes of the lead times of one replication: measured 1300 for each of two orders, 620 for each of twenty, and 24 000
/// where any number of them follow each other.
const LEAD_TIME: u64 = 1500;
const LEAD_TIMES: u64 = 24 << 10;

/// Bytes for each person at each station, in all that is kept of a replication: measured with a thousand people at 400
/// stations, 25.
const PERSON_AT_STATION: u64 = 25;

/// Bytes of the figures that a candidate keeps of every replication, a change of a shop, and each project.
const FIGURES: u64 = 24;
const FIGURE: u64 = 8;
const PROJECT_FIGURES: u64 = 32;

/// Bytes that the system gives at once: of a large table only the parts that are used count.
const PAGE: u64 = 4096;

/// Orders that follow each other sooner than this are released at once.
const AT_ONCE: f64 = 1e-6;

/// Bytes that a study takes at the same time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Memory {
    /// Of the lots that are open at once, on all threads.
    pub lots: u64,
    /// Of the records of replications that have been played and not yet been added up.
    pub records: u64,
    /// Of what is kept of all candidates, and of changes of one, to the end.
    pub candidates: u64,
}

impl Memory {
    /// What playing a study takes on so many threads, its candidate also in `variants - 1` changed forms.
    ///
    /// An estimate: orders that come faster than they are built pile up to what nobody knows beforehand, and are not
    /// in it.
    pub fn of(study: &Study, variants: u64, threads: u64) -> Memory {
        let each = |of_one: fn(&Candidate) -> u64| study.candidates.iter().map(of_one);
        let sum = |of_one| each(of_one).fold(0, u64::saturating_add);
        let most = |of_one| each(of_one).max().unwrap_or(0);
        let (replications, precise) = match study.settings.replications {
            _ if !study.varies() => (1, false),
            Replications::Fixed(count) => (u64::from(count), false),
            Replications::Sufficient => (u64::from(LOOKS[LOOKS.len() - 1]), false),
            Replications::Precision(_) => (u64::from(MOST), true),
        };
        let candidates = study.candidates.len() as u64;
        let jobs = candidates.saturating_mul(replications);
        let at_once = match precise {
            true => candidates.saturating_mul(u64::from(FIRST)),
            false => jobs.min(u64::from(BATCH)),
        };
        let changes = variants.saturating_sub(1);
        // Only a few numbers are taken from a replication of a changed shop.
        let changed_at_once = changes.min(relief::AT_ONCE as u64);
        let lots_on = threads.min(at_once.max(changed_at_once.saturating_mul(replications)));
        let of_changes = (most(walks).saturating_mul(changed_at_once))
            .saturating_add(replications.saturating_mul(FIGURE).saturating_mul(changes));
        Memory {
            lots: (most(|one| released(&one.shop)))
                .saturating_mul(OPEN_LOT)
                .saturating_mul(lots_on),
            records: match precise {
                true => sum(record).saturating_mul(u64::from(FIRST)),
                false => most(record).saturating_mul(at_once),
            },
            candidates: sum(|one| walks(one) + record(one))
                .saturating_add(jobs.saturating_mul(FIGURES))
                .saturating_add(sum(figures_of_projects).saturating_mul(replications))
                .saturating_add(of_changes),
        }
    }

    /// All of it, in bytes.
    pub fn total(&self) -> u64 {
        self.lots
            .saturating_add(self.records)
            .saturating_add(self.candidates)
    }
}

/// Bytes of the figures of a candidate's projects in one replication.
fn figures_of_projects(candidate: &Candidate) -> u64 {
    PROJECT_FIGURES * candidate.shop.projects.len() as u64
}

fn square(number: usize) -> u64 {
    (number as u64).saturating_mul(number as u64)
}

/// Bytes of the tables of how far it is and how long it takes between all places.
fn walks(candidate: &Candidate) -> u64 {
    16 * square(candidate.walks.places())
}

/// Bytes of the record of one replication.
fn record(candidate: &Candidate) -> u64 {
    let shop = &candidate.shop;
    let trips = 3 * square(walked_to(shop)) * PAGE;
    let trips = trips.min(24 * square(candidate.walks.places()));
    let people = (shop.crew.len() * shop.stations.len()) as u64 * PERSON_AT_STATION;
    trips + people + RECORD + lead_times(shop)
}

fn lead_times(shop: &Shop) -> u64 {
    let orders = shop.orders.iter().map(|line| match line.arrivals {
        Arrivals::AtStart { count } => count,
        _ => u64::MAX,
    });
    let orders = orders.fold(0, u64::saturating_add);
    // Each project has its own.
    orders
        .saturating_mul(LEAD_TIME)
        .min(LEAD_TIMES * shop.projects.len() as u64)
}

/// Places to which somebody may walk.
fn walked_to(shop: &Shop) -> usize {
    let mut places = BTreeSet::<PlaceId>::new();
    for item in shop.projects.iter().flat_map(|project| &project.items) {
        places.extend(item.lies_at());
        places.extend(item.deliver_to);
        for choice in item.route.iter().flat_map(|step| &step.choices) {
            places.insert(choice.place());
            places.extend(choice.work.fetch_from);
            places.extend(choice.work.catches.map(|catching| catching.at));
            let upkeep = shop.stations[choice.station].upkeep.iter();
            places.extend(upkeep.filter_map(|upkeep| upkeep.fetch_from));
        }
    }
    places.extend(shop.gear.iter().filter_map(|gear| gear.stored_at));
    places.extend(shop.handling.carts.as_ref().map(|carts| carts.stored_at));
    places.extend(shop.crew.iter().map(|person| person.starts_at));
    places.len()
}

/// Lots that are released at the same instant, at the most.
fn released(shop: &Shop) -> u64 {
    let of_line = |line: &OrderLine| {
        let project = &shop.projects[line.project];
        let orders = match &line.arrivals {
            Arrivals::AtStart { count } => *count,
            Arrivals::InProgress { count } => u64::from(*count),
            Arrivals::Every { every, count, .. } if every.mean() < AT_ONCE => count.unwrap_or(1),
            Arrivals::Every { .. } => 1,
        };
        orders.saturating_mul(lots(project, line.together))
    };
    shop.orders.iter().map(of_line).fold(0, u64::saturating_add)
}

/// Lots of one order.
fn lots(project: &Project, together: u32) -> u64 {
    let pieces = |item: &Item| u64::from(item.pieces) * u64::from(together);
    let items = project.items.iter();
    items.map(|item| item.lots(pieces(item))).sum()
}
