//! An index type for each kind of thing, and tables that take only their own index type.

use std::marker::PhantomData;
use std::ops::{Index, IndexMut};

/// What a typed index can do.
pub trait Id: Copy {
    fn from_index(index: usize) -> Self;
    fn index(self) -> usize;
}

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident),+ $(,)?) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub u32);

        impl $name {
            #[inline]
            pub fn index(self) -> usize {
                self.0 as usize
            }
        }

        impl Id for $name {
            #[inline]
            fn from_index(index: usize) -> Self {
                $name(index as u32)
            }
            #[inline]
            fn index(self) -> usize {
                self.0 as usize
            }
        }
    )+};
}

ids! {
    /// A station of the shop, in the file's order.
    StationId,
    /// Where something can be: station `i` is place `i`; doors and other places come after the stations.
    PlaceId,
    GearId,
    PersonId,
    OperationId,
    /// What a unit can be set to, as the file names it.
    SettingId,
    ProjectId,
    /// Material, a part or an assembly within its project, in this order, each in the file's.
    ItemId,
    OrderLineId,
}

impl From<StationId> for PlaceId {
    #[inline]
    fn from(station: StationId) -> PlaceId {
        PlaceId(station.0)
    }
}

/// A vector that is indexed by its own kind of id.
#[derive(Debug, Clone, PartialEq)]
pub struct Table<I, T> {
    rows: Vec<T>,
    id: PhantomData<I>,
}

impl<I: Id, T> Table<I, T> {
    pub fn new() -> Self {
        Table {
            rows: Vec::new(),
            id: PhantomData,
        }
    }

    pub fn push(&mut self, row: T) -> I {
        self.rows.push(row);
        I::from_index(self.rows.len() - 1)
    }

    pub fn len(&self) -> usize {
        self.rows.len()
    }

    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    pub fn iter(&self) -> std::slice::Iter<'_, T> {
        self.rows.iter()
    }

    /// Rows with their ids, in order.
    pub fn enumerate(&self) -> impl Iterator<Item = (I, &T)> {
        self.rows
            .iter()
            .enumerate()
            .map(|(index, row)| (I::from_index(index), row))
    }

    pub fn ids(&self) -> impl Iterator<Item = I> + use<I, T> {
        (0..self.rows.len()).map(I::from_index)
    }
}

impl<I: Id, T> Default for Table<I, T> {
    fn default() -> Self {
        Table::new()
    }
}

impl<I: Id, T> FromIterator<T> for Table<I, T> {
    fn from_iter<It: IntoIterator<Item = T>>(rows: It) -> Self {
        Table {
            rows: rows.into_iter().collect(),
            id: PhantomData,
        }
    }
}

impl<I: Id, T> Index<I> for Table<I, T> {
    type Output = T;
    #[inline]
    fn index(&self, id: I) -> &T {
        &self.rows[id.index()]
    }
}

impl<I: Id, T> IndexMut<I> for Table<I, T> {
    #[inline]
    fn index_mut(&mut self, id: I) -> &mut T {
        &mut self.rows[id.index()]
    }
}

impl<'a, I, T> IntoIterator for &'a Table<I, T> {
    type Item = &'a T;
    type IntoIter = std::slice::Iter<'a, T>;
    fn into_iter(self) -> Self::IntoIter {
        self.rows.iter()
    }
}
