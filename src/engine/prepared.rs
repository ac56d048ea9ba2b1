//! A candidate made ready to be played: a prepared shop, and how long its ways take.

use std::sync::Arc;

use super::prepared_shop::PreparedShop;
use super::travel_times::TravelTimes;
use crate::floor::Distances;
use crate::shop::Shop;

/// A shop on its walking table, ready to be played any number of times, by any number of threads.
#[derive(Debug, Clone)]
pub struct Prepared<'a> {
    pub(super) shop: Arc<PreparedShop<'a>>,
    pub(super) travel: TravelTimes,
    /// As which shop it is played, see [`PreparedShop`].
    pub(super) is_plain: bool,
    pub(super) in_turn: bool,
}

impl<'a> Prepared<'a> {
    pub fn new(shop: &'a Shop, walks: &Distances) -> Prepared<'a> {
        Prepared::on(Arc::new(PreparedShop::new(shop)), walks)
    }

    /// A shop that has been prepared, on this walking table: costs no more than the table.
    pub fn on(shop: Arc<PreparedShop<'a>>, walks: &Distances) -> Prepared<'a> {
        Prepared {
            travel: TravelTimes::new(&shop, walks),
            is_plain: shop.is_plain,
            in_turn: shop.in_turn,
            shop,
        }
    }

    /// Whether one person does everything in the order in which it became ready, and nothing is needed besides.
    pub fn is_in_turn(&self) -> bool {
        self.in_turn
    }

    /// What is the same wherever the stations stand.
    pub fn shop(&self) -> &Arc<PreparedShop<'a>> {
        &self.shop
    }
}
