//! Where the widest way between two places is too narrow for a person.

use super::bisection::largest;
use super::tolerance::CLOSED_M;
use super::{Going, Obstacle, Obstruction, Plan, Point};
use crate::shop::PlaceId;

/// The tightest place of the widest way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChokePoint {
    /// In metres: of the widest body that gets through.
    pub width: f64,
    pub at: Point,
    /// What stands on both sides.
    pub between: [Obstacle; 2],
}

/// Halvings of the interval in which the width lies: a body's width to less than a tenth of a millimetre.
const HALVINGS: u32 = 13;

impl Plan {
    /// The gap that keeps a person from getting from one place to another where people walk around things: of all
    /// ways the one is looked for that the widest body can take. Nothing if a person gets there, or if all is closed.
    pub fn choke_point(&self, from: PlaceId, to: PlaceId) -> Option<ChokePoint> {
        if self.going != Going::Around {
            return None;
        }
        let way = |radius: f64| self.path(&self.ground(radius), from, to);
        let sticks = self.body_width / 2.0;
        let narrow = way(0.0)?;
        if way(sticks).is_some() {
            return None;
        }
        let (fits, widest) = largest((0.0, sticks), narrow, HALVINGS, way);
        if 2.0 * fits < CLOSED_M {
            return None;
        }
        // It is passed wherever the way begins and ends.
        let (led, beyond) = self.through_doors(&widest, [from, to], 0.0);
        let narrowest = self.passages().narrowest(&led, beyond)?;
        let of = self.obstacles_by_index();
        Some(ChokePoint {
            width: 2.0 * fits,
            at: narrowest.at,
            between: narrowest.between.map(of),
        })
    }

    /// What an obstruction of the plan's grounds is.
    pub fn obstacles_by_index(&self) -> impl Fn(Obstruction) -> Obstacle {
        let obstacles: Vec<Obstacle> = self.obstacles().map(|(obstacle, _)| obstacle).collect();
        move |obstruction| match obstruction {
            Obstruction::Wall(_) => Obstacle::Wall,
            Obstruction::Obstacle(index) => obstacles[index],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Placement, Polygon, Room, Thing};
    use super::*;
    use crate::shop::Table;

    /// A room of 6 m by 4 m with two standing places on both sides of a wall of things at x = 3 m, which leaves gaps
    /// of these widths, each of them from one thing to the next.
    fn parted(gaps: &[f64]) -> Plan {
        let closed = (4.0 - gaps.iter().sum::<f64>()) / (gaps.len() + 1) as f64;
        let mut low = 0.0;
        let things = (0..=gaps.len()).map(|index| {
            let middle = Point::new(3.0, low + closed / 2.0);
            low += closed + gaps.get(index).unwrap_or(&0.0);
            Thing {
                name: format!("shelf {index}"),
                outline: Polygon::rectangle(middle, (0.5, closed), 0.0).expect("it has a size"),
                heights: Default::default(),
            }
        });
        let corners = [(0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0)];
        let outline = Polygon::new(&corners.map(|(x, y)| Point::new(x, y))).expect("a rectangle");
        let room = Room {
            outline,
            ceiling: None,
            doors: Vec::new(),
            blocked: things.collect(),
            parks: Vec::new(),
            panels: Vec::new(),
            ways: Vec::new(),
            stock: Vec::new(),
            kept: Vec::new(),
        };
        let at = |x: f64| {
            Some(Placement {
                stand: Point::ORIGIN,
                ..Placement::new(Point::new(x, 2.0), 0.0, (0.0, 0.0))
            })
        };
        Plan {
            room: Some(room),
            placements: [at(1.0), at(5.0)].into_iter().collect::<Table<_, _>>(),
            work_stands: Vec::new(),
            rolled_out: Vec::new(),
            going: Going::Around,
            body_width: 0.5,
            cart_width: 0.5,
            head_room: 2.0,
        }
    }

    #[test]
    fn the_widest_of_several_gaps_is_told_with_what_stands_beside_it() {
        let choke = parted(&[0.3, 0.42, 0.2]).choke_point(PlaceId(0), PlaceId(1));
        let choke = choke.expect("all gaps are too narrow for 0.5 m");
        assert!((choke.width - 0.42).abs() < 1e-4, "{choke:?}");
        assert!((choke.at.x - 3.0).abs() <= 0.26, "{choke:?}");
        let mut between = choke.between;
        between.sort();
        assert_eq!(between, [Obstacle::Thing(1), Obstacle::Thing(2)]);
    }

    #[test]
    fn where_a_person_gets_through_or_nobody_does_there_is_no_choke_point() {
        assert_eq!(parted(&[0.6]).choke_point(PlaceId(0), PlaceId(1)), None);
        assert_eq!(parted(&[]).choke_point(PlaceId(0), PlaceId(1)), None);
    }
}
