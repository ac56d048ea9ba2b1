//! What a kind of machine or furniture is usually like, in the units in which it is sold: inches, pounds, feet a minute.

pub use super::figure::{Figure, FigureSource, about, just};
use crate::floor::Side;

/// A kind of machine or furniture.
#[derive(Debug, Clone, Copy)]
pub struct StationKind {
    pub name: &'static str,
    pub about: &'static str,
    /// Along x and along y in inches, as one stands before it.
    pub size: [Figure; 2],
    /// Whether it hangs above the floor, so that something else may stand below it.
    pub hangs: bool,
    /// Whether nothing stands above its table, so that work passes over it at that height.
    pub is_flat: bool,
    pub height: Option<Height>,
    /// Of all of a machine with a table: how high its guard, fence, head or column reaches, in inches.
    pub overall: Option<Figure>,
    /// Whether it is made as high as the table of the saw, if there is one.
    pub follows_saw: bool,
    /// In pounds.
    pub mass: Option<Figure>,
    /// The widest piece that it takes, in inches: of a planer or a jointer its knives, of a miter saw its cut.
    pub widest: Option<Figure>,
    pub stand: Stand,
    pub feed: Option<Side>,
    pub kickback: bool,
    /// In the order of [`Side::ALL`].
    pub reach_from: [bool; 4],
    /// What material lies there.
    pub keeps: Option<Keeps>,
    pub dust: Option<Dust>,
    pub motor: Option<Motor>,
    pub noise: Option<Noise>,
    pub does: &'static [KindOperation],
    /// What is dangerous there beside what the figures tell.
    pub caution: Option<&'static str>,
}

/// Heights above the floor, in inches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Height {
    /// Of the table or bed on which the work lies.
    Table(Figure),
    /// Of the whole thing.
    Body(Figure),
    /// Of what hangs or is fixed on a wall.
    Between { bottom: f64, top: f64 },
}

impl Height {
    /// Of the table, if there is one.
    pub fn table(&self) -> Option<Figure> {
        match *self {
            Height::Table(table) => Some(table),
            _ => None,
        }
    }

    pub fn bottom(&self) -> Option<Figure> {
        match *self {
            Height::Between { bottom, .. } => Some(just(bottom)),
            _ => None,
        }
    }

    pub fn top(&self) -> Option<Figure> {
        match *self {
            Height::Between { top, .. } => Some(just(top)),
            _ => None,
        }
    }
}

/// Where one stands: so many inches along the middle of a side, to the right as one looks at it from there; 12 in off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stand {
    pub side: Side,
    pub along: f64,
}

/// How far off the body one stands, in inches.
pub const OFF: f64 = 12.0;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Keeps {
    Boards,
    Sheets,
}

/// The port in inches, and cubic feet a minute.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dust {
    pub port: Figure,
    pub airflow: Figure,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Motor {
    pub horsepower: Option<Figure>,
    pub volts: &'static [u32],
    pub amps: Figure,
    /// A brush motor, which is as loud idling as cutting.
    pub universal: bool,
}

/// In dB(A) where one stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Noise {
    pub idle: Figure,
    pub cutting: Figure,
}

impl StationKind {
    pub const fn new(name: &'static str, about: &'static str, size: [Figure; 2]) -> StationKind {
        StationKind {
            name,
            about,
            size,
            hangs: false,
            is_flat: false,
            height: None,
            overall: None,
            follows_saw: false,
            mass: None,
            widest: None,
            stand: Stand {
                side: Side::MinusY,
                along: 0.0,
            },
            feed: None,
            kickback: false,
            reach_from: [false; 4],
            keeps: None,
            dust: None,
            motor: None,
            noise: None,
            does: &[],
            caution: None,
        }
    }

    pub const fn hangs(mut self, bottom: f64, top: f64) -> StationKind {
        self.hangs = true;
        self.between(bottom, top)
    }

    pub const fn between(mut self, bottom: f64, top: f64) -> StationKind {
        self.height = Some(Height::Between { bottom, top });
        self
    }

    pub const fn table(mut self, height: Figure) -> StationKind {
        self.height = Some(Height::Table(height));
        self
    }

    /// How high a machine with a table is, with all that rises above it: guard, fence, head or column.
    pub const fn overall(mut self, height: Figure) -> StationKind {
        self.overall = Some(height);
        self
    }

    /// A table above which nothing stands.
    pub const fn flat(mut self, height: Figure) -> StationKind {
        self.is_flat = true;
        self.table(height)
    }

    /// As high as the saw.
    pub const fn follows_saw(mut self) -> StationKind {
        self.follows_saw = true;
        self
    }

    pub const fn body(mut self, height: Figure) -> StationKind {
        self.height = Some(Height::Body(height));
        self
    }

    pub const fn mass(mut self, pounds: Figure) -> StationKind {
        self.mass = Some(pounds);
        self
    }

    pub const fn widest(mut self, inches: Figure) -> StationKind {
        self.widest = Some(inches);
        self
    }

    pub const fn stand(mut self, side: Side, along: f64) -> StationKind {
        self.stand = Stand { side, along };
        self
    }

    pub const fn feed(mut self, toward: Side) -> StationKind {
        self.feed = Some(toward);
        self
    }

    pub const fn kickback(mut self) -> StationKind {
        self.kickback = true;
        self
    }

    pub const fn reach_from(mut self, sides: &[Side]) -> StationKind {
        let mut next = 0;
        while next < sides.len() {
            self.reach_from[sides[next] as usize] = true;
            next += 1;
        }
        self
    }

    pub const fn keeps(mut self, what: Keeps) -> StationKind {
        self.keeps = Some(what);
        self
    }

    /// Port and airflow are taken from lists of several makers and an industrial table, and rounded to sizes of ducts
    /// and to 50 cfm.
    pub const fn dust(mut self, port: f64, airflow: f64) -> StationKind {
        self.dust = Some(Dust {
            port: just(port).published(),
            airflow: just(airflow).published(),
        });
        self
    }

    pub const fn motor(
        mut self,
        horsepower: Figure,
        volts: &'static [u32],
        amps: Figure,
    ) -> StationKind {
        self.motor = Some(Motor {
            horsepower: Some(horsepower),
            volts,
            amps,
            universal: false,
        });
        self
    }

    /// A brush motor, of which the amps are known.
    pub const fn universal_motor(mut self, amps: Figure) -> StationKind {
        self.motor = Some(Motor {
            horsepower: None,
            volts: &[120],
            amps,
            universal: true,
        });
        self
    }

    pub const fn noise(mut self, idle: Figure, cutting: Figure) -> StationKind {
        self.noise = Some(Noise { idle, cutting });
        self
    }

    pub const fn caution(mut self, caution: &'static str) -> StationKind {
        self.caution = Some(caution);
        self
    }

    pub const fn does(mut self, operations: &'static [KindOperation]) -> StationKind {
        self.does = operations;
        self
    }
}

/// What an operation usually takes at such a machine. Of times that have a range the usual one is the most likely.
#[derive(Debug, Clone, Copy)]
pub struct KindOperation {
    pub name: &'static str,
    /// Seconds.
    pub setup: Option<Figure>,
    pub per_piece: Option<Figure>,
    pub per_lot: Option<Figure>,
    pub cure: Option<Figure>,
    /// Feet a minute.
    pub feed: Option<Figure>,
    pub passes: Option<Figure>,
    /// Inches.
    pub depth: Option<Figure>,
    /// Square feet a minute.
    pub area_rate: Option<Figure>,
    /// Which sizes of a piece it cuts: 0 length, 1 width, 2 thickness.
    pub cuts: &'static [usize],
    /// Whether it runs across the grain, so that a piece is fed along its width.
    pub is_across: bool,
    /// Whether it is not left half done when the shop closes: glue and finish do not wait.
    pub is_unbroken: bool,
}

const MINUTE: f64 = 60.0;
const HOUR: f64 = 3600.0;

const fn times(figure: Figure, unit: f64) -> Figure {
    Figure {
        usual: figure.usual * unit,
        least: figure.least * unit,
        most: figure.most * unit,
        source: figure.source,
    }
}

impl KindOperation {
    pub const fn new(name: &'static str) -> KindOperation {
        KindOperation {
            name,
            setup: None,
            per_piece: None,
            per_lot: None,
            cure: None,
            feed: None,
            passes: None,
            depth: None,
            area_rate: None,
            cuts: &[],
            is_across: false,
            is_unbroken: false,
        }
    }

    pub const fn setup_min(mut self, minutes: Figure) -> KindOperation {
        self.setup = Some(times(minutes, MINUTE));
        self
    }

    pub const fn piece_s(mut self, seconds: Figure) -> KindOperation {
        self.per_piece = Some(seconds);
        self
    }

    pub const fn piece_min(mut self, minutes: Figure) -> KindOperation {
        self.per_piece = Some(times(minutes, MINUTE));
        self
    }

    pub const fn lot_min(mut self, minutes: Figure) -> KindOperation {
        self.per_lot = Some(times(minutes, MINUTE));
        self
    }

    pub const fn cure_min(mut self, minutes: Figure) -> KindOperation {
        self.cure = Some(times(minutes, MINUTE));
        self
    }

    pub const fn cure_h(mut self, hours: Figure) -> KindOperation {
        self.cure = Some(times(hours, HOUR));
        self
    }

    pub const fn feed(mut self, feet_a_minute: Figure) -> KindOperation {
        self.feed = Some(feet_a_minute);
        self
    }

    pub const fn passes(mut self, passes: Figure) -> KindOperation {
        self.passes = Some(passes);
        self
    }

    pub const fn depth(mut self, inches: Figure) -> KindOperation {
        self.depth = Some(inches);
        self
    }

    pub const fn area_rate(mut self, square_feet_a_minute: Figure) -> KindOperation {
        self.area_rate = Some(square_feet_a_minute);
        self
    }

    pub const fn cuts(mut self, sizes: &'static [usize]) -> KindOperation {
        self.cuts = sizes;
        self
    }

    pub const fn across(mut self) -> KindOperation {
        self.is_across = true;
        self
    }

    pub const fn unbroken(mut self) -> KindOperation {
        self.is_unbroken = true;
        self
    }
}
