//! Out of a corridor through a doorway in its side.
//!
//! In plan: the corridor's far wall is the line y = 0, the wall with the doorway lies between y = c and y = c + T, the
//! opening between x = -d/2 and x = d/2, and beyond is open floor.

use std::f64::consts::FRAC_PI_2;

/// A doorway in the side of a corridor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Doorway {
    /// Width of the corridor.
    pub corridor: f64,
    /// Clear width of the door.
    pub door: f64,
    /// Thickness of the wall.
    pub wall: f64,
}

/// What can be said of a piece and a doorway.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    Passes,
    /// Nearer to the limit than the search can tell.
    Unknown,
    Stuck,
}

/// How fine a search is; a coarse one leaves more unknown and takes a sixteenth of the time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Effort {
    Fine,
    Coarse,
}

impl Doorway {
    /// The angle to the wall at which a piece of a thickness first lies within the opening, in radians: the solution of
    /// `d sin t - T cos t = w`; nothing if it is thicker than the door is wide.
    pub fn first_angle(&self, thickness: f64) -> Option<f64> {
        if thickness > self.door || self.door <= 0.0 {
            return None;
        }
        // d sin t - T cos t = R sin(t - u) with R = sqrt(d^2 + T^2) and tan u = T / d.
        let radius = libm::hypot(self.door, self.wall);
        let angle = libm::asin((thickness / radius).min(1.0)) + libm::atan2(self.wall, self.door);
        Some(angle.min(FRAC_PI_2))
    }

    /// The longest piece that turns to the first angle within the corridor and then goes straight through:
    /// `(c - w cos t) / sin t`. Whatever is no longer, and longer than the corridor's width, surely passes.
    fn turned_in_corridor(&self, thickness: f64) -> Option<f64> {
        let angle = self.first_angle(thickness)?;
        if thickness > self.corridor {
            return None;
        }
        let (sin, cos) = (libm::sin(angle), libm::cos(angle));
        if sin <= 0.0 {
            return Some(f64::INFINITY);
        }
        Some(((self.corridor - thickness * cos) / sin).max(0.0))
    }

    /// Whether a piece gets from the corridor through the door.
    ///
    /// What does not simply pass is searched twice: a way past walls that are thicker by the error of the search is a
    /// way, and where there is none even past thinner walls, there is none.
    pub fn verdict(&self, length: f64, thickness: f64, effort: Effort) -> Verdict {
        let (length, thickness) = (length.max(thickness), length.min(thickness));
        let square_on = length <= self.corridor && thickness <= self.door;
        let sideways = length <= self.door && thickness <= self.corridor;
        if square_on || sideways || self.turns_in_corridor(length, thickness) {
            return Verdict::Passes;
        }
        if thickness > self.door || thickness > self.corridor {
            return Verdict::Stuck;
        }
        let steps = Steps::of(self, length, effort);
        let error = steps.error(length, thickness);
        if self.way_through(length, thickness, steps, -error) {
            Verdict::Passes
        } else if self.way_through(length, thickness, steps, error) {
            Verdict::Unknown
        } else {
            Verdict::Stuck
        }
    }

    /// Whether a piece turns to the first angle in the corridor: up to the angle of its diagonal it only gets wider.
    fn turns_in_corridor(&self, length: f64, thickness: f64) -> bool {
        let within = |limit: f64| length <= limit;
        let to_diagonal = libm::atan2(length, thickness);
        self.turned_in_corridor(thickness).is_some_and(within)
            && self
                .first_angle(thickness)
                .is_some_and(|angle| angle <= to_diagonal)
    }

    /// The longest piece of a thickness, up to a length, that the search shows to pass.
    pub fn passes_up_to(&self, length: f64, thickness: f64) -> f64 {
        longest(length, |length, effort| {
            self.verdict(length, thickness, effort) == Verdict::Passes
        })
    }

    /// Whether a grid of angles and distances from the far wall holds a way through, with all walls thinner by `give`.
    ///
    /// For an angle and a distance the free places along the wall are one interval, whose ends are exact; the search
    /// goes from node to node where neighbouring intervals overlap. With `give` at least as great as the movement
    /// within half a cell, whatever really passes has a way through the grid.
    fn way_through(&self, length: f64, thickness: f64, steps: Steps, give: f64) -> bool {
        let beyond = self.corridor + self.wall;
        let reach = libm::hypot(length, thickness) / 2.0;
        let rows = ((beyond + reach) / steps.distance).min(1e5) as usize + 2;
        let (near, far) = (
            self.corridor + give,
            (beyond - give).max(self.corridor + give),
        );
        let half_door = self.door / 2.0 + give;
        let shapes: Vec<Turned> = (0..=steps.angles)
            .map(|step| FRAC_PI_2 * f64::from(step) / f64::from(steps.angles))
            .map(|turn| Turned::new(length, thickness, turn))
            .collect();
        let height = |row: usize| row as f64 * steps.distance;
        let interval = |shape: &Turned, row: usize| -> Option<(f64, f64)> {
            let y = height(row);
            if y - shape.up < -give {
                return None;
            }
            match shape.extent_between(near - y, far - y) {
                None => Some((f64::NEG_INFINITY, f64::INFINITY)),
                Some((left, right)) => {
                    let free = (-half_door - left, half_door - right);
                    (free.0 < free.1).then_some(free)
                }
            }
        };
        let mut seen = vec![false; shapes.len() * rows];
        let mut open = Vec::new();
        for (angle, shape) in shapes.iter().enumerate() {
            let within = (0..rows).take_while(|&row| height(row) + shape.up <= near);
            for row in within {
                // A piece that lies free in the corridor is a start, and those whose neighbours all do, too, lead nowhere.
                seen[angle * rows + row] = true;
                let beside = &shapes[angle.saturating_sub(1)..(angle + 2).min(shapes.len())];
                let last = beside.iter().any(|shape| height(row + 1) + shape.up > near);
                if let Some(free) = interval(shape, row).filter(|_| last) {
                    open.push((angle, row, free));
                }
            }
        }
        while let Some((angle, row, here)) = open.pop() {
            if height(row) - shapes[angle].up >= far {
                return true;
            }
            let first = angle.saturating_sub(1);
            for (next, shape) in shapes
                .iter()
                .enumerate()
                .skip(first)
                .take(angle + 2 - first)
            {
                for next_row in row.saturating_sub(1)..=(row + 1).min(rows - 1) {
                    let index = next * rows + next_row;
                    if seen[index] {
                        continue;
                    }
                    let Some(there) = interval(shape, next_row) else {
                        seen[index] = true;
                        continue;
                    };
                    if here.0.max(there.0) < here.1.min(there.1) {
                        seen[index] = true;
                        open.push((next, next_row, there));
                    }
                }
            }
        }
        false
    }
}

/// How fine a search is.
#[derive(Debug, Clone, Copy)]
struct Steps {
    /// Steps in a right angle.
    angles: u32,
    /// Between rows.
    distance: f64,
}

impl Steps {
    /// So that the error is about a hundredth of the door's width, or four, and the grid does not grow without bound.
    fn of(doorway: &Doorway, length: f64, effort: Effort) -> Steps {
        let (share, most) = match effort {
            Effort::Fine => (200.0, 900.0),
            Effort::Coarse => (50.0, 225.0),
        };
        let error = doorway.door / share;
        let angles = (FRAC_PI_2 * length / 2.0 / error).clamp(90.0, most);
        Steps {
            angles: angles as u32,
            distance: error.max(length / (most * 2.0)),
        }
    }

    /// The most that any point of a piece moves within half a cell.
    fn error(self, length: f64, thickness: f64) -> f64 {
        let turning =
            libm::hypot(length, thickness) / 2.0 * FRAC_PI_2 / f64::from(self.angles) / 2.0;
        self.distance / 2.0 + turning
    }
}

/// The greatest length, up to one, that passes by searches: coarse ones to find about where, then fine ones.
pub fn longest(most: f64, passes: impl Fn(f64, Effort) -> bool) -> f64 {
    let halve = |mut low: f64, mut high: f64, steps: u32, effort: Effort| {
        for _ in 0..steps {
            let middle = (low + high) / 2.0;
            if passes(middle, effort) {
                low = middle;
            } else {
                high = middle;
            }
        }
        low
    };
    let about = halve(0.0, most, 10, Effort::Coarse);
    // A coarse search lacks less than a tenth of what passes in doors as they are built.
    halve(about, (1.2 * about).min(most), 6, Effort::Fine)
}

/// A rectangle around the origin, turned from lying along the wall.
struct Turned {
    corners: [(f64, f64); 4],
    /// Half of its extent square to the wall.
    up: f64,
}

impl Turned {
    fn new(length: f64, thickness: f64, turn: f64) -> Turned {
        let (sin, cos) = (libm::sin(turn), libm::cos(turn));
        let (l, w) = (length / 2.0, thickness / 2.0);
        let at = |x: f64, y: f64| (x * cos - y * sin, x * sin + y * cos);
        Turned {
            corners: [at(-l, -w), at(l, -w), at(l, w), at(-l, w)],
            up: l * sin + w * cos,
        }
    }

    /// The least and the greatest x of the part between two heights; nothing if there is none.
    fn extent_between(&self, low: f64, high: f64) -> Option<(f64, f64)> {
        if self.up <= low || -self.up >= high {
            return None;
        }
        let mut extent: Option<(f64, f64)> = None;
        let mut take = |x: f64| {
            let (left, right) = extent.unwrap_or((x, x));
            extent = Some((left.min(x), right.max(x)));
        };
        for i in 0..4 {
            let ((ax, ay), (bx, by)) = (self.corners[i], self.corners[(i + 1) % 4]);
            if ay >= low && ay <= high {
                take(ax);
            }
            for level in [low, high] {
                if (ay < level) != (by < level) {
                    take(ax + (level - ay) / (by - ay) * (bx - ax));
                }
            }
        }
        extent
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The longest piece that the search lets through, in inches, for a corridor of 36 in, a door of 32 in and a wall
    /// of 6 in, with walls thinner by so many times the search's error.
    fn searched(thickness: f64, errors: f64) -> f64 {
        let doorway = Doorway {
            corridor: 36.0,
            door: 32.0,
            wall: 6.0,
        };
        let (mut low, mut high) = (20.0, 300.0);
        while high - low > 0.25 {
            let length = (low + high) / 2.0;
            let steps = Steps::of(&doorway, length, Effort::Fine);
            let give = errors * steps.error(length, thickness);
            if doorway.way_through(length, thickness, steps, give) {
                low = length;
            } else {
                high = length;
            }
        }
        low
    }

    /// A plain search on a grid of 0.15 in and 0.15 degrees in both coordinates and the angle, another program written
    /// for the purpose, let 131 in by 4 in and 76 in by 12 in through walls that were 0.2 and 0.17 in thicker: these
    /// surely pass. The practice notes give about 127 and about 78 in from a coarser grid, which agree from below.
    #[test]
    fn the_search_finds_limits_a_little_above_the_rule() {
        for (thickness, rule, surely) in [(4.0, 125.77, 131.0), (12.0, 59.69, 76.0)] {
            let [least, found, most] = [-1.0, 0.0, 1.0].map(|errors| searched(thickness, errors));
            assert!(
                rule < least && least < found && found < most,
                "{thickness}: {least} {found} {most}"
            );
            assert!(found >= surely, "{thickness}: {found}");
            assert!(most < surely * 1.1, "{thickness}: {most}");
        }
    }

    /// The rule of practice would let 52 in by 23.5 in through a door of 24 in from a corridor of 48 in: it lies at nearly a
    /// right angle between the corridor's far wall and the far face of the doorway. But it gets there only by entering
    /// the opening at nearly a right angle, for which the corridor is 4 in too narrow. A plain search on a grid of
    /// 0.15 in past walls 0.15 in thinner, another program, finds no way either.
    #[test]
    fn the_rule_of_practice_is_not_safe_for_pieces_as_wide_as_the_door() {
        let doorway = Doorway {
            corridor: 48.0,
            door: 24.0,
            wall: 6.0,
        };
        let angle = doorway.first_angle(23.5).expect("fits");
        let rule = (48.0 + 6.0 - 23.5 * libm::cos(angle)) / libm::sin(angle);
        assert!(rule > 52.0, "{rule}");
        assert_eq!(doorway.verdict(52.0, 23.5, Effort::Fine), Verdict::Stuck);
        assert_eq!(doorway.verdict(48.0, 23.5, Effort::Fine), Verdict::Passes);
    }

    /// What turns in the corridor and then goes straight through needs no search, and the search agrees.
    #[test]
    fn what_turns_in_the_corridor_is_let_through_by_the_search_too() {
        let doorway = Doorway {
            corridor: 36.0,
            door: 32.0,
            wall: 6.0,
        };
        for thickness in [4.0, 8.0, 12.0, 16.0] {
            let length = doorway.turned_in_corridor(thickness).expect("fits") * 0.98;
            let steps = Steps::of(&doorway, length, Effort::Fine);
            let error = steps.error(length, thickness);
            assert!(doorway.turns_in_corridor(length, thickness), "{thickness}");
            assert!(
                doorway.way_through(length, thickness, steps, -error),
                "{thickness}"
            );
        }
    }
}
