//! What is built: parts that are joined into assemblies, each with its route.

use super::{ItemId, PlaceId, StationId, Work};
use crate::units::Mass;

/// Something that is built again and again.
#[derive(Debug, Clone)]
pub struct Project {
    pub name: String,
    /// Parts in the file's order, then assemblies in the file's order.
    pub items: Vec<Item>,
}

/// A line of a project: a part or an assembly.
#[derive(Debug, Clone)]
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
    /// Mass of one piece, where the sizes that it follows from are given: of a part in its rough size, of an assembly
    /// of what has been finished by then.
    pub mass: Option<Mass>,
    /// Rough and finished sizes, where given.
    pub rough: Option<Size>,
    pub finished: Option<Size>,
    /// The assembly that this goes into, if any.
    pub goes_into: Option<ItemId>,
}

impl Item {
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

#[derive(Debug, Clone)]
pub enum ItemKind {
    Part {
        material_at: PlaceId,
    },
    /// Made of these items, as listed.
    Assembly {
        made_of: Vec<ItemId>,
    },
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
#[derive(Debug, Clone)]
pub struct Step {
    /// Stations that can do it, in the file's order; never empty.
    pub choices: Vec<Choice>,
    /// Size of a piece when it comes to this step, as far as the file tells.
    pub piece: Option<Size>,
}

/// One station that can do a step, and what the step takes there.
#[derive(Debug, Clone)]
pub struct Choice {
    pub station: StationId,
    pub work: Work,
}
