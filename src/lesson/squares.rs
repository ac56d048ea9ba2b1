//! A room of squares a metre wide, and what stands on them.

use std::collections::BTreeSet;

use super::dice::LessonDice;

/// A square by its corner nearest to that of the room, in metres.
pub type Square = (i64, i64);

/// A rectangular room with a door in its front wall and an electrical panel on the wall to its right.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SquareRoom {
    pub width: i64,
    pub depth: i64,
    /// The square before the door, along the front wall, and the one before the panel, along the right wall.
    pub door: i64,
    pub panel: i64,
}

/// Where something stands: its first square, the one that somebody faces who works at it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PieceSpot {
    pub first: Square,
    /// Counter-clockwise; without one, one stands toward the front wall and the other squares lie to the right.
    pub quarter_turns: i64,
}

/// A rule that a place breaks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Mistake {
    pub rule: BrokenRule,
    pub place: usize,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum BrokenRule {
    /// It stands before the electrical panel.
    Panel,
    /// Nobody can stand where one works at it.
    Standing,
    /// Somebody could stand there, but there is no way to it from the door.
    CutOff,
}

impl PieceSpot {
    fn turned(&self, (x, y): Square) -> Square {
        let (x, y) = match self.quarter_turns {
            0 => (x, y),
            1 => (-y, x),
            2 => (-x, -y),
            _ => (y, -x),
        };
        (self.first.0 + x, self.first.1 + y)
    }

    /// The squares that something so wide covers.
    pub fn squares(&self, wide: i64) -> impl Iterator<Item = Square> {
        (0..wide).map(|nth| self.turned((nth, 0)))
    }

    /// Where somebody stands who works there.
    pub fn stand(&self) -> Square {
        self.turned((0, -1))
    }

    /// The middle of its footprint, in metres.
    pub fn middle(&self, wide: i64) -> (f64, f64) {
        let last = self.turned((wide - 1, 0));
        let half = |one: i64, other: i64| (one + other + 1) as f64 / 2.0;
        (half(self.first.0, last.0), half(self.first.1, last.1))
    }
}

impl SquareRoom {
    pub fn draw((width, depth): (i64, i64), dice: &mut LessonDice) -> SquareRoom {
        SquareRoom {
            width,
            depth,
            door: dice.whole(1, width - 3),
            panel: dice.whole(1, depth - 2),
        }
    }

    fn contains(&self, (x, y): Square) -> bool {
        (0..self.width).contains(&x) && (0..self.depth).contains(&y)
    }

    pub fn before_door(&self) -> Square {
        (self.door, 0)
    }

    pub fn before_panel(&self) -> Square {
        (self.width - 1, self.panel)
    }

    /// Things of these widths where chance puts them; nothing if two of them share a square, or one leaves the room or
    /// stands in the door.
    pub fn place(&self, widths: &[i64], dice: &mut LessonDice) -> Option<Vec<PieceSpot>> {
        let mut covered = BTreeSet::from([self.before_door()]);
        let mut spots = Vec::with_capacity(widths.len());
        for &wide in widths {
            let spot = PieceSpot {
                first: (dice.whole(0, self.width - 1), dice.whole(0, self.depth - 1)),
                quarter_turns: dice.whole(0, 3),
            };
            let fits =
                (spot.squares(wide)).all(|square| self.contains(square) && covered.insert(square));
            if !fits {
                return None;
            }
            spots.push(spot);
        }
        Some(spots)
    }

    /// Which rules are broken by which place, by counting squares; nothing where several places are cut off from the door,
    /// since it can be said in several ways which of them are cut off from which. Plans are chosen by it: the answers are
    /// what the rules of the floor find.
    pub fn mistakes(&self, widths: &[i64], spots: &[PieceSpot]) -> Option<BTreeSet<Mistake>> {
        let of = spots.iter().zip(widths);
        let covered: BTreeSet<Square> = of
            .clone()
            .flat_map(|(spot, &wide)| spot.squares(wide))
            .collect();
        let is_free = |square: Square| self.contains(square) && !covered.contains(&square);
        let reached = self.reached(is_free);
        let mut mistakes = BTreeSet::new();
        for (place, (spot, &wide)) in of.enumerate() {
            if (spot.squares(wide)).any(|square| square == self.before_panel()) {
                let rule = BrokenRule::Panel;
                mistakes.insert(Mistake { rule, place });
            }
            if !is_free(spot.stand()) {
                let rule = BrokenRule::Standing;
                mistakes.insert(Mistake { rule, place });
            } else if !reached.contains(&spot.stand()) {
                let rule = BrokenRule::CutOff;
                mistakes.insert(Mistake { rule, place });
            }
        }
        let cut_off = mistakes
            .iter()
            .filter(|mistake| mistake.rule == BrokenRule::CutOff);
        (cut_off.count() <= 1).then_some(mistakes)
    }

    /// Squares to which somebody gets from the door, from side to side.
    fn reached(&self, is_free: impl Fn(Square) -> bool) -> BTreeSet<Square> {
        let mut reached = BTreeSet::new();
        let mut next = vec![self.before_door()];
        while let Some((x, y)) = next.pop() {
            if is_free((x, y)) && reached.insert((x, y)) {
                next.extend([(x + 1, y), (x - 1, y), (x, y + 1), (x, y - 1)]);
            }
        }
        reached
    }
}
