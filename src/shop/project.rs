//! What is built: material that becomes parts, and parts that are joined into assemblies, each with its route.

use std::sync::Arc;

use super::{ItemId, PlaceId, SettingId, StationId, TimeSources, Work};
use crate::units::Mass;

/// Something that is built again and again.
#[derive(Debug, Clone, PartialEq)]
pub struct Project {
    pub name: String,
    /// Material in the file's order, then parts, then assemblies.
    pub items: Vec<Item>,
}

impl Project {
    /// Where an item may lie when its route begins, as far as that is known before it is built: nowhere for an
    /// assembly.
    pub fn begins_at(&self, item: &Item) -> Vec<PlaceId> {
        match &item.kind {
            ItemKind::Part {
                comes_from: PartSource::CutFrom(material),
            } => self.items[material.index()].ends_at(),
            _ => item.lies_at().into_iter().collect(),
        }
    }
}

/// A line of a project: material, a part or an assembly.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    pub name: String,
    pub kind: ItemKind,
    /// Pieces in one order that is not built `together` with others.
    pub pieces: u32,
    /// Size of a transfer batch; all pieces move together without one.
    pub batch: Option<u32>,
    pub route: Vec<Step>,
    /// Where the finished lot is carried.
    pub deliver_to: Option<PlaceId>,
    /// Mass of one piece, where the sizes that it follows from are given: of material as it is bought, of a part in its
    /// rough size, of an assembly of what has been finished by then.
    pub mass: Option<Mass>,
    /// Rough and finished sizes, where given; the rough size of material is that in which it is bought.
    pub rough: Option<Size>,
    pub finished: Option<Size>,
    /// The assembly that this goes into, if any.
    pub goes_into: Option<ItemId>,
}

impl Item {
    /// Where it lies when an order is released; nothing for what begins later.
    pub fn lies_at(&self) -> Option<PlaceId> {
        match self.kind {
            ItemKind::Material { lies_at, .. }
            | ItemKind::Part {
                comes_from: PartSource::LiesAt(lies_at),
            } => Some(lies_at),
            ItemKind::Part { .. } | ItemKind::Assembly { .. } => None,
        }
    }

    /// Lots of so many of its pieces: the batches of a part, one of everything else.
    pub fn lots(&self, pieces: u64) -> u64 {
        match (&self.kind, self.batch) {
            (ItemKind::Part { .. }, Some(batch)) => pieces.div_ceil(u64::from(batch.max(1))),
            _ => 1,
        }
    }

    /// Pieces of the largest lot of so many of its pieces.
    pub fn largest_lot(&self, pieces: u32) -> u32 {
        self.batch.map_or(pieces, |batch| batch.min(pieces))
    }

    /// Where it may lie when its route is over, if that is not empty or it lies somewhere at the release.
    pub fn ends_at(&self) -> Vec<PlaceId> {
        match self.route.last() {
            Some(last) => {
                let mut places: Vec<PlaceId> = (last.choices.iter()).map(Choice::place).collect();
                places.dedup();
                places
            }
            None => self.lies_at().into_iter().collect(),
        }
    }

    /// Mass of one piece when it comes to a step of its route: what has been cut off before is gone.
    pub fn mass_at(&self, step: &Step) -> Option<Mass> {
        self.mass_in(step.piece)
    }

    /// Mass of one piece when its route is over.
    pub fn finished_mass(&self) -> Option<Mass> {
        self.mass_in(self.finished)
    }

    /// A part in this size; of the stock that it is cut from, a piece is what becomes the part. Whatever happens to an
    /// assembly takes hardly anything off.
    fn mass_in(&self, size: Option<Size>) -> Option<Mass> {
        let mass = self.mass?;
        let left = match (&self.kind, size, self.rough) {
            (ItemKind::Part { .. }, Some(size), Some(rough)) => {
                rough.lesser(size).volume() / rough.volume()
            }
            _ => 1.0,
        };
        // A part without any volume has no mass that could become less.
        let left = if left.is_finite() { left } else { 1.0 };
        Some(Mass::from_kilograms(mass.kilograms() * left))
    }
}

#[derive(Debug, Clone, PartialEq)]
pub enum ItemKind {
    /// Boards or sheets that become parts when the route of all of them is over.
    Material {
        lies_at: PlaceId,
        /// The parts, in the file's order.
        becomes: Vec<ItemId>,
    },
    Part {
        comes_from: PartSource,
    },
    /// Made of these items, as listed.
    Assembly {
        made_of: Vec<ItemId>,
    },
}

/// Where the pieces of a part come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PartSource {
    /// What they are made of lies there at the release.
    LiesAt(PlaceId),
    /// They are cut from material: they are ready where that is when its route is over.
    CutFrom(ItemId),
}

/// Length, width and thickness in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Size {
    pub length: f64,
    pub width: f64,
    pub thickness: f64,
}

impl Size {
    /// Surface of the block: 2 (lw + lt + wt), in square metres.
    pub fn surface(self) -> f64 {
        2.0 * (self.length * self.width
            + self.length * self.thickness
            + self.width * self.thickness)
    }

    /// What two blocks have in common that lie on each other corner to corner.
    pub fn lesser(self, other: Size) -> Size {
        Size {
            length: self.length.min(other.length),
            width: self.width.min(other.width),
            thickness: self.thickness.min(other.thickness),
        }
    }

    /// In cubic metres.
    pub fn volume(self) -> f64 {
        self.length * self.width * self.thickness
    }
}

/// One operation of a route.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Stations that can do it, in the file's order; never empty.
    pub choices: Vec<Choice>,
    /// Size of a piece when it comes to this step, as far as the file tells.
    pub piece: Option<Size>,
    /// What a unit has to be set to; to the operation and the item, if nothing is said.
    pub setting: Option<SettingId>,
}

/// One station that can do a step, and what the step takes there.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    pub station: StationId,
    pub work: Work,
    /// Where the times of the work were given; shared by all shops that an edit makes of one.
    pub sources: Arc<TimeSources>,
}

impl Choice {
    /// Where one stands for it.
    #[inline]
    pub fn place(&self) -> PlaceId {
        self.work.place_at(self.station)
    }
}
