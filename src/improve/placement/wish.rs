//! What is asked of the place of a station, beside what the rules ask.

use super::boxes::side_stood_at;
use crate::floor::{Placement, Plan, Point};
use crate::improve::spots::half_of;
use crate::shop::{AskedDistance, AskedNeighbour, AskedPlace, AskedWall, WALLS};

/// What somebody asks of a station's place; nothing by default.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PlaceWish {
    /// The turns that it may have, in degrees; any that differs by quarters from the present one where there are none.
    pub turns: Vec<f64>,
    pub wall: WallWish,
    /// Two walls are beside it.
    pub in_corner: bool,
    /// Corners of the box along the axes in which all of it stands.
    pub within: Option<(Point, Point)>,
    /// How near to what its middle is, or how far from it.
    pub distances: Vec<AskedDistance>,
    /// Whether somebody asks for it, so that a place is wrong that is not so now.
    pub is_said: bool,
}

/// Whether the back of a station, opposite to where one stands, is to be at a wall.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum WallWish {
    #[default]
    Anywhere,
    AtAny,
    /// At a wall to which this direction points, of length 1.
    Toward(Point),
}

/// What is nearer to a wall than this is at the wall, in metres: 3 in.
const AT_WALL_M: f64 = 3.0 * 0.0254 + 1e-6;

/// Roundings do not put anything off.
const SAME: f64 = 1e-6;

impl PlaceWish {
    /// What is taken for granted of a station: what has its back to a wall now keeps to walls.
    pub fn usual(now: &Plan, placed: &Placement) -> PlaceWish {
        PlaceWish {
            wall: match is_back_at_wall(now, placed) {
                true => WallWish::AtAny,
                false => WallWish::Anywhere,
            },
            ..PlaceWish::default()
        }
    }

    /// What somebody asks of a station, and for the rest what is taken for granted.
    pub fn asked(now: &Plan, placed: &Placement, asked: &AskedPlace) -> PlaceWish {
        let corner = |(x, y): (f64, f64)| Point::new(x, y);
        let usual = PlaceWish::usual(now, placed);
        let wall = match asked.wall {
            AskedWall::Usual => usual.wall,
            AskedWall::Anywhere => WallWish::Anywhere,
            AskedWall::Any => WallWish::AtAny,
            AskedWall::Toward(side) => WALLS
                .get(side)
                .map_or(WallWish::AtAny, |(_, out)| WallWish::Toward(corner(*out))),
        };
        let is_said = !asked.turns.is_empty()
            || matches!(asked.wall, AskedWall::Any | AskedWall::Toward(_))
            || asked.in_corner
            || asked.within.is_some()
            || !asked.distances.is_empty();
        PlaceWish {
            turns: asked.turns.clone(),
            wall,
            in_corner: asked.in_corner,
            within: asked.within.map(|[low, high]| (corner(low), corner(high))),
            distances: asked.distances.clone(),
            is_said,
        }
    }

    /// Whether a station is as near to everything, and as far from it, as it is asked for.
    pub fn holds_distances(&self, plan: &Plan, placed: &Placement) -> bool {
        self.distances.iter().all(|asked| {
            let Some(apart) = apart(plan, placed, asked.of) else {
                // What is not there is neither near nor far.
                return true;
            };
            match asked.is_near {
                true => apart <= asked.metres + SAME,
                false => apart >= asked.metres - SAME,
            }
        })
    }

    /// Whether a place is as it is asked for, without what depends on where other things stand.
    pub fn holds(&self, plan: &Plan, placed: &Placement) -> bool {
        let half = half_of(placed.size, placed.turn);
        let is_turned_so = |turn: &f64| {
            let off = (placed.turn - turn).rem_euclid(360.0);
            off.min(360.0 - off) < SAME
        };
        let is_inside = |(low, high): (Point, Point)| {
            let (least, most) = (placed.at - half, placed.at + half);
            least.x >= low.x - SAME
                && least.y >= low.y - SAME
                && most.x <= high.x + SAME
                && most.y <= high.y + SAME
        };
        let is_at_wall = || match (self.wall, back_of(placed)) {
            (WallWish::Anywhere, _) => true,
            (WallWish::Toward(side), Some(back)) if back.dot(side) < 1.0 - SAME => false,
            _ => is_back_at_wall(plan, placed),
        };
        (self.turns.is_empty() || self.turns.iter().any(is_turned_so))
            && self.within.is_none_or(is_inside)
            && is_at_wall()
            && (!self.in_corner || walls_beside(plan, placed) >= 2)
    }

    pub(super) fn is_pushed(&self) -> bool {
        self.wall != WallWish::Anywhere
    }

    /// The place pushed to the wall behind it, if that is asked for: to the nearest mark of the tape before it. Nothing where
    /// no wall is behind it.
    pub(super) fn pushed(&self, plan: &Plan, placed: Placement, mark: f64) -> Option<Placement> {
        if !self.is_pushed() {
            return Some(placed);
        }
        let back = back_of(&placed)?;
        let room = plan.room.as_ref()?;
        let aside = back.left();
        let lateral = placed.at.dot(aside);
        let half = half_of(placed.size, placed.turn);
        let deep = (half.x * back.x).abs() + (half.y * back.y).abs();
        let behind = room.outline.edges().filter_map(|(from, to)| {
            let away = (from - placed.at).dot(back);
            let is_across = ((to - from).dot(back)).abs() < SAME;
            let ends = (from.dot(aside), to.dot(aside));
            let is_behind = ends.0.min(ends.1) <= lateral && lateral <= ends.0.max(ends.1);
            (is_across && is_behind && away > 0.0).then_some(away)
        });
        let away = behind.min_by(f64::total_cmp)?;
        let wanted = placed.at + back * (away - deep);
        // Toward the middle of the room, so that nothing stands in the wall.
        let marked = |value: f64, out: f64| match out {
            out if out > 0.5 => (value / mark + SAME).floor() * mark,
            out if out < -0.5 => (value / mark - SAME).ceil() * mark,
            _ => value,
        };
        Some(Placement {
            at: Point::new(marked(wanted.x, back.x), marked(wanted.y, back.y)),
            ..placed
        })
    }
}

/// How far the middle of a station is from something, in metres; nothing where that is not in the plan.
fn apart(plan: &Plan, placed: &Placement, of: AskedNeighbour) -> Option<f64> {
    match of {
        AskedNeighbour::Place(place) => {
            let there = match plan.station_at(place) {
                Some(station) => plan.placements[station].as_ref()?.at,
                None => plan.standing(place)?,
            };
            Some(placed.at.distance(there))
        }
        AskedNeighbour::Thing(thing) => {
            let outline = &plan.room.as_ref()?.blocked.get(thing)?.outline;
            Some(match outline.contains(placed.at) {
                true => 0.0,
                false => outline.distance_to_outline(placed.at),
            })
        }
    }
}

/// The direction of the side opposite to where one stands, on the floor; nothing where one stands at no side.
fn back_of(placed: &Placement) -> Option<Point> {
    Some(placed.turned(side_stood_at(placed)?.out) * -1.0)
}

fn is_back_at_wall(plan: &Plan, placed: &Placement) -> bool {
    back_of(placed).is_some_and(|back| is_at_wall(plan, placed, back))
}

/// Whether a wall runs along the whole of one side.
fn is_at_wall(plan: &Plan, placed: &Placement, side: Point) -> bool {
    let Some(room) = &plan.room else {
        return false;
    };
    let aside = side.left();
    let half = half_of(placed.size, placed.turn);
    let reach = |direction: Point| (half.x * direction.x).abs() + (half.y * direction.y).abs();
    let edge = placed.at + side * reach(side);
    let lateral = placed.at.dot(aside);
    let wide = reach(aside);
    room.outline.edges().any(|(from, to)| {
        let ends = (from.dot(aside), to.dot(aside));
        let is_across = ((to - from).dot(side)).abs() < SAME;
        let is_near = (from - edge).dot(side).abs() <= AT_WALL_M;
        is_across
            && is_near
            && ends.0.min(ends.1) <= lateral - wide + AT_WALL_M
            && ends.0.max(ends.1) >= lateral + wide - AT_WALL_M
    })
}

fn walls_beside(plan: &Plan, placed: &Placement) -> usize {
    let sides = [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)];
    let sides = sides.map(|(x, y)| placed.turned(Point::new(x, y)));
    sides
        .iter()
        .filter(|side| is_at_wall(plan, placed, **side))
        .count()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::floor::{Going, Polygon, Room};
    use crate::shop::Table;

    fn room() -> Plan {
        let corners = [(0.0, 0.0), (5.0, 0.0), (5.0, 4.0), (0.0, 4.0)];
        let corners = corners.map(|(x, y)| Point::new(x, y));
        Plan {
            room: Some(Room {
                outline: Polygon::new(&corners).expect("valid"),
                ceiling: None,
                doors: Vec::new(),
                blocked: Vec::new(),
                parks: Vec::new(),
                panels: Vec::new(),
                ways: Vec::new(),
                stock: Vec::new(),
                kept: Vec::new(),
            }),
            placements: Table::new(),
            work_stands: Vec::new(),
            rolled_out: Vec::new(),
            going: Going::Around,
            body_width: 0.5,
            cart_width: 0.5,
            head_room: 2.0,
        }
    }

    /// 2 m wide, 0.6 m deep; one stands below it while it is not turned.
    fn rack(x: f64, y: f64, turn: f64) -> Placement {
        Placement::new(Point::new(x, y), turn, (2.0, 0.6))
    }

    #[test]
    fn a_back_is_at_a_wall_where_one_runs_along_all_of_it() {
        let plan = room();
        let at_wall = |placed: Placement| PlaceWish::usual(&plan, &placed).wall == WallWish::AtAny;
        assert!(at_wall(rack(2.0, 3.7, 0.0)) && at_wall(rack(2.0, 3.65, 0.0)));
        // A foot before the wall, with its face to the wall, and with its side to it.
        assert!(!at_wall(rack(2.0, 3.4, 0.0)));
        assert!(!at_wall(rack(2.0, 3.7, 180.0)) && !at_wall(rack(0.3, 2.0, 270.0)));
        assert!(at_wall(rack(0.3, 2.0, 90.0)) && at_wall(rack(4.7, 2.0, 270.0)));
    }

    #[test]
    fn places_are_pushed_to_the_wall_behind_them() {
        let plan = room();
        let wish = PlaceWish {
            wall: WallWish::AtAny,
            ..PlaceWish::default()
        };
        for (turn, x, y) in [
            (0.0, 2.0, 3.7),
            (90.0, 0.3, 2.0),
            (180.0, 2.0, 0.3),
            (270.0, 4.7, 2.0),
        ] {
            let pushed = wish
                .pushed(&plan, rack(2.0, 2.0, turn), 0.001)
                .expect("a wall");
            assert!(
                pushed.at.distance(Point::new(x, y)) < 1e-9,
                "{turn}: {:?}",
                pushed.at
            );
            assert!(wish.holds(&plan, &pushed));
        }
        let left = PlaceWish {
            wall: WallWish::Toward(Point::new(-1.0, 0.0)),
            ..PlaceWish::default()
        };
        assert!(left.holds(&plan, &rack(0.3, 2.0, 90.0)));
        assert!(!left.holds(&plan, &rack(4.7, 2.0, 270.0)));
    }

    #[test]
    fn corners_turns_and_areas_are_held() {
        let plan = room();
        let corner = PlaceWish {
            in_corner: true,
            ..PlaceWish::default()
        };
        assert!(corner.holds(&plan, &rack(1.0, 3.7, 0.0)));
        assert!(!corner.holds(&plan, &rack(2.0, 3.7, 0.0)));
        let turned = PlaceWish {
            turns: vec![90.0],
            ..PlaceWish::default()
        };
        assert!(turned.holds(&plan, &rack(2.0, 2.0, 450.0)));
        assert!(!turned.holds(&plan, &rack(2.0, 2.0, 0.0)));
        let inside = PlaceWish {
            within: Some((Point::ORIGIN, Point::new(3.0, 4.0))),
            ..PlaceWish::default()
        };
        assert!(inside.holds(&plan, &rack(2.0, 2.0, 0.0)));
        assert!(!inside.holds(&plan, &rack(2.1, 2.0, 0.0)));
    }
}
