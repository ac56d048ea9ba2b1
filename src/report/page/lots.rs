//! The lots of a replay, by number, as they come up.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::engine::Job;
use crate::report::follow::lot_in_words;
use crate::shop::Shop;

#[derive(Debug, Serialize)]
pub struct ReplayedLot {
    pub name: String,
    pub pieces: u32,
    pub project: String,
    /// Counted from 1.
    pub order: u64,
    /// With its order, and its batch where there are several.
    pub called: String,
}

/// Order, item, batch and pieces: what is built once more after it was spoiled has fewer.
type LotOfOrder = (u64, u32, u32, u32);

#[derive(Debug, Default)]
pub struct ReplayedLots {
    all: Vec<ReplayedLot>,
    numbers: BTreeMap<LotOfOrder, usize>,
}

impl ReplayedLots {
    pub fn number(&mut self, shop: &Shop, job: &Job) -> usize {
        let key = (job.order, job.item.0, job.batch, job.pieces);
        *self.numbers.entry(key).or_insert_with(|| {
            let project = &shop.projects[job.project];
            self.all.push(ReplayedLot {
                name: project.items[job.item.index()].name.clone(),
                pieces: job.pieces,
                project: project.name.clone(),
                order: job.order + 1,
                called: lot_in_words(shop, job),
            });
            self.all.len() - 1
        })
    }

    /// In the order of their numbers.
    pub fn all(self) -> Vec<ReplayedLot> {
        self.all
    }
}
