//! A shop and its room, wherever the stations stand.

use super::{Door, Limits, Plan, Room};
use crate::shop::{PlaceId, Project, ProjectId, Shop};

/// What a layout is drawn in, and what is done there.
#[derive(Debug, Clone, Copy)]
pub struct Premises<'a> {
    pub shop: &'a Shop,
    pub room: Option<&'a Room>,
    pub limits: &'a Limits,
}

impl<'a> Premises<'a> {
    /// The shop in the room of a plan.
    pub fn new(shop: &'a Shop, plan: &'a Plan, limits: &'a Limits) -> Premises<'a> {
        Premises {
            shop,
            room: plan.room.as_ref(),
            limits,
        }
    }

    /// The projects that some order asks for, in the file's order.
    pub fn ordered(self) -> impl Iterator<Item = (ProjectId, &'a Project)> {
        self.shop.ordered_projects()
    }

    pub fn doors(self) -> &'a [Door] {
        self.room.map_or(&[], |room| &room.doors)
    }

    /// The place that is the opening of a door of the room.
    pub fn door_place(self, door: usize) -> PlaceId {
        PlaceId((self.shop.stations.len() + door) as u32)
    }
}
