//! Out of a corridor through a doorway in its side.
//!
//! In plan: the corridor's far wall is the line y = 0, the wall with the doorway lies between y = c and y = c + T, the
//! opening between x = -d/2 and x = d/2, and beyond is open floor.

use std::collections::VecDeque;
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
    /// Longer than the simple rule allows, and not shown to be stuck.
    Unknown,
    Stuck,
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

    /// The longest piece of a thickness that surely passes: at the first angle, it just lies between the far wall of
    /// the corridor and the far face of the doorway. `L = (c + T - w cos t) / sin t`.
    pub fn sure_limit(&self, thickness: f64) -> Option<f64> {
        let angle = self.first_angle(thickness)?;
        if thickness > self.corridor {
            return None;
        }
        let sin = libm::sin(angle);
        if sin <= 0.0 {
            return Some(f64::INFINITY);
        }
        let depth = self.corridor + self.wall - thickness * libm::cos(angle);
        Some((depth / sin).max(0.0))
    }

    /// Whether a piece gets from the corridor through the door: by the rule for what surely passes, else by a search
    /// whether it is stuck for sure.
    pub fn verdict(&self, length: f64, thickness: f64) -> Verdict {
        let quick = self.quick_verdict(length, thickness);
        if quick != Verdict::Unknown {
            return quick;
        }
        let (length, thickness) = (length.max(thickness), length.min(thickness));
        let steps = Steps::fine(self, length);
        if self.way_through(length, thickness, steps, steps.error(length, thickness)) {
            Verdict::Unknown
        } else {
            Verdict::Stuck
        }
    }

    /// The same without the search: more is unknown.
    pub fn quick_verdict(&self, length: f64, thickness: f64) -> Verdict {
        let (length, thickness) = (length.max(thickness), length.min(thickness));
        let square_on = length <= self.corridor && thickness <= self.door;
        let sideways = length <= self.door && thickness <= self.corridor;
        let sure = self
            .sure_limit(thickness)
            .is_some_and(|limit| length <= limit);
        if square_on || sideways || sure {
            Verdict::Passes
        } else if thickness > self.door || thickness > self.corridor {
            Verdict::Stuck
        } else {
            Verdict::Unknown
        }
    }

    /// Whether a grid of angles and distances from the far wall holds a way through, with all walls thinner by `give`.
    ///
    /// For an angle and a distance the free places along the wall are one interval, whose ends are exact; the search
    /// goes from node to node where neighbouring intervals overlap. With `give` at least as great as the movement
    /// within half a cell, whatever really passes has a way through the grid.
    fn way_through(&self, length: f64, thickness: f64, steps: Steps, give: f64) -> bool {
        let beyond = self.corridor + self.wall;
        let reach = libm::hypot(length, thickness) / 2.0;
        let angles = steps.angles as usize + 1;
        let rows = ((beyond + reach) / steps.distance).min(1e5) as usize + 2;
        let (near, far) = (
            self.corridor + give,
            (beyond - give).max(self.corridor + give),
        );
        let half_door = self.door / 2.0 + give;
        let interval = |angle: usize, row: usize| -> Option<(f64, f64)> {
            let turn = FRAC_PI_2 * angle as f64 / f64::from(steps.angles);
            let y = row as f64 * steps.distance;
            let shape = Turned::new(length, thickness, turn);
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
        let free: Vec<Option<(f64, f64)>> = (0..angles)
            .flat_map(|angle| (0..rows).map(move |row| (angle, row)))
            .map(|(angle, row)| interval(angle, row))
            .collect();
        let up: Vec<f64> = (0..angles)
            .map(|angle| {
                let turn = FRAC_PI_2 * angle as f64 / f64::from(steps.angles);
                Turned::new(length, thickness, turn).up
            })
            .collect();
        let mut seen = vec![false; free.len()];
        let mut open = VecDeque::new();
        for angle in 0..angles {
            for row in 0..rows {
                let top = row as f64 * steps.distance + up[angle];
                if free[angle * rows + row].is_some() && top <= near {
                    seen[angle * rows + row] = true;
                    open.push_back((angle, row));
                }
            }
        }
        while let Some((angle, row)) = open.pop_front() {
            let Some(here) = free[angle * rows + row] else {
                continue;
            };
            if row as f64 * steps.distance - up[angle] >= far {
                return true;
            }
            for next_angle in angle.saturating_sub(1)..=(angle + 1).min(angles - 1) {
                for next_row in row.saturating_sub(1)..=(row + 1).min(rows - 1) {
                    let index = next_angle * rows + next_row;
                    let Some(there) = free[index].filter(|_| !seen[index]) else {
                        continue;
                    };
                    if here.0.max(there.0) < here.1.min(there.1) {
                        seen[index] = true;
                        open.push_back((next_angle, next_row));
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
    /// Fine enough that the error stays at about half a hundredth of the door's width, and coarse enough to take little time.
    fn fine(doorway: &Doorway, length: f64) -> Steps {
        let error = doorway.door / 200.0;
        let angles = (FRAC_PI_2 * length / 2.0 / error).clamp(90.0, 900.0);
        Steps {
            angles: angles as u32,
            distance: error.max(length / 2000.0),
        }
    }

    /// The most that any point of a piece moves within half a cell.
    fn error(self, length: f64, thickness: f64) -> f64 {
        let turning =
            libm::hypot(length, thickness) / 2.0 * FRAC_PI_2 / f64::from(self.angles) / 2.0;
        self.distance / 2.0 + turning
    }
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
            let steps = Steps::fine(&doorway, length);
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
            assert!(most < surely * 1.06, "{thickness}: {most}");
        }
    }
}
