//! How hard a sheet is: what is the same on all sheets of a level, and the bands within which the rest is drawn.

/// One of the three levels.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LessonLevel {
    /// From 1.
    pub number: u32,
    /// Places in the first and in the third lesson, that of the material among them.
    pub places: usize,
    /// Parts of the product whose ways are counted.
    pub parts: usize,
    /// Filled cells of the from–to chart, at least and at most.
    pub cells: (usize, usize),
    /// Whether the last carry of a part may be less than a whole one.
    pub rounds_up: bool,
    /// Whether a part may go back to a station before the last one.
    pub goes_back: bool,
    /// Orders and machines in line.
    pub orders: usize,
    pub machines: usize,
    /// Whether each of the two ways of the second product has one step more.
    pub more_steps: bool,
    /// Squares of the room that is laid out anew, and mistakes in it.
    pub squares: (i64, i64),
    pub mistakes: usize,
    /// Pairs of places between which loads go there.
    pub loads: usize,
}

pub const LEVELS: [LessonLevel; 3] = [
    LessonLevel {
        number: 1,
        places: 4,
        parts: 2,
        cells: (4, 5),
        rounds_up: false,
        goes_back: false,
        orders: 4,
        machines: 2,
        more_steps: false,
        squares: (7, 5),
        mistakes: 1,
        loads: 4,
    },
    LessonLevel {
        number: 2,
        places: 5,
        parts: 3,
        cells: (6, 7),
        rounds_up: true,
        goes_back: false,
        orders: 5,
        machines: 3,
        more_steps: true,
        squares: (8, 6),
        mistakes: 2,
        loads: 5,
    },
    LessonLevel {
        number: 3,
        places: 6,
        parts: 4,
        cells: (8, 10),
        rounds_up: true,
        goes_back: true,
        orders: 6,
        machines: 3,
        more_steps: true,
        squares: (9, 7),
        mistakes: 3,
        loads: 7,
    },
];

/// The better of two layouts saves so many percent of the ways with a load.
pub const SAVED: (i64, i64) = (15, 40);
/// The busiest machine of the line is in use for so many percent of the time, and every other one for so many percent
/// of the time less.
pub const BUSIEST_IN_LINE: (i64, i64) = (60, 95);
pub const BUSIER_BY: i64 = 10;
/// So many percent of the time that orders spend in the line is waiting.
pub const WAITED: (i64, i64) = (15, 60);
/// A second one of what holds the line up takes at least so many percent off the mean lead time, and twice as much as a
/// second one of anything else.
pub const RELIEVED: i64 = 15;
/// Of the second product, what is busiest is in use for so many percent of the time, its way has so many percent of the
/// time to spare, and drying in half the time saves so many.
pub const BUSIEST_BESIDE: (i64, i64) = (40, 75);
pub const SPARE: (i64, i64) = (8, 30);
pub const SAVED_BY_DRYING: (i64, i64) = (8, 40);
/// The plan that is to be laid out anew has so many percent more to walk than the one in the key, at least.
pub const WORSE_BY: i64 = 30;
