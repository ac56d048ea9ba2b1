//! Floor plans made from a few numbers: some orderly, with things that touch, line up and leave gaps that fit
//! exactly, and some as they come.

use proptest::prelude::*;
use shopstride::floor::{FreeSpace, Point, Polygon, nearest_on_segment};
use std::f64::consts::TAU;

#[derive(Debug, Clone)]
pub struct Scene {
    pub room: Option<Polygon>,
    pub obstacles: Vec<Polygon>,
    pub radius: f64,
    /// Wished for; a body need not fit there.
    pub places: Vec<Point>,
}

impl Scene {
    pub fn ground(&self) -> FreeSpace {
        self.ground_for(self.radius)
    }

    pub fn ground_for(&self, radius: f64) -> FreeSpace {
        FreeSpace::new(self.room.as_ref(), &self.obstacles, radius)
    }

    /// The places nearest to those wished for at which a body fits.
    pub fn free_places(&self) -> Vec<Point> {
        let ground = self.ground();
        let fits = self.places.iter().map(|&place| ground.nearest_free(place));
        fits.collect::<Option<Vec<Point>>>().unwrap_or_default()
    }

    pub fn moved(&self, change: impl Fn(Point) -> Point) -> Scene {
        let polygon = |polygon: &Polygon| {
            let corners: Vec<Point> = polygon.corners().iter().map(|&c| change(c)).collect();
            Polygon::new(&corners).expect("still an outline")
        };
        Scene {
            room: self.room.as_ref().map(polygon),
            obstacles: self.obstacles.iter().map(polygon).collect(),
            radius: self.radius,
            places: self.places.iter().map(|&place| change(place)).collect(),
        }
    }

    /// On how many sides of what touches a place there is free floor.
    pub fn sides(&self, place: Point) -> usize {
        const TOUCHING_M: f64 = 1e-6;
        const NEAR_BY_M: f64 = 1e-4;
        let outlines = self.room.iter().chain(&self.obstacles);
        let touching = outlines
            .flat_map(Polygon::edges)
            .filter(|&edge| nearest_on_segment(place, edge).distance(place) <= TOUCHING_M);
        // Edges lead away from it in these directions; between two that follow each other the floor is free or it is not.
        let mut directions: Vec<f64> = touching
            .flat_map(|(a, b)| [a, b])
            .filter(|end| end.distance(place) > TOUCHING_M)
            .map(|end| (end - place).y.atan2((end - place).x))
            .collect();
        directions.sort_by(f64::total_cmp);
        let Some(&first) = directions.first() else {
            return 1;
        };
        directions.push(first + TAU);
        let is_free = |between: &&[f64]| {
            let (sin, cos) = ((between[0] + between[1]) / 2.0).sin_cos();
            self.clearance(place + Point::new(cos, sin) * NEAR_BY_M) > 1e-12
        };
        directions.windows(2).filter(is_free).count()
    }

    /// Clearance of a place, found without the program: negative where something solid is.
    pub fn clearance(&self, place: Point) -> f64 {
        let of_room = self.room.iter().map(|room| {
            let away = room.distance_to_outline(place);
            if room.contains(place) { away } else { -away }
        });
        let of_obstacles = self.obstacles.iter().map(|obstacle| {
            let away = obstacle.distance_to_outline(place);
            if obstacle.contains(place) {
                -away
            } else {
                away
            }
        });
        of_room.chain(of_obstacles).fold(f64::INFINITY, f64::min)
    }
}

pub fn polygon(corners: &[(f64, f64)]) -> Polygon {
    let corners: Vec<Point> = corners.iter().map(|&(x, y)| Point::new(x, y)).collect();
    Polygon::new(&corners).expect("an outline")
}

pub fn rooms() -> [Option<Polygon>; 3] {
    let plain = [(0.0, 0.0), (7.0, 0.0), (7.0, 5.0), (0.0, 5.0)];
    let bent = [
        (0.0, 0.0),
        (7.0, 0.0),
        (7.0, 3.0),
        (4.0, 3.0),
        (4.0, 3.5),
        (3.0, 5.0),
        (0.0, 5.0),
    ];
    [None, Some(polygon(&plain)), Some(polygon(&bent))]
}

pub const RADII: [f64; 5] = [0.0, 0.05, 0.25, 0.3, 0.5];

pub fn obstacle() -> impl Strategy<Value = Polygon> {
    let free = (0.0..7.0, 0.0..5.0, 0.2..2.5, 0.1..1.5, 0.0..360.0)
        .prop_map(|(x, y, w, h, turn)| (x, y, w, h, turn));
    // Multiples of a quarter metre: things touch, line up, and leave gaps of exactly half a metre.
    let orderly = (0..28, 0..20, 1..9, 1..7).prop_map(|(x, y, w, h)| {
        let quarter = |n: i32| f64::from(n) * 0.25;
        let (w, h) = (quarter(w), quarter(h));
        (quarter(x) + w / 2.0, quarter(y) + h / 2.0, w, h, 0.0)
    });
    let rectangle = prop_oneof![free, orderly];
    (rectangle, 0..4).prop_map(|((x, y, w, h, turn), kind)| {
        let at = Point::new(x, y);
        let whole = Polygon::rectangle(at, (w, h), turn).expect("it has an area");
        if kind > 0 {
            return whole;
        }
        // An angle bench: a quarter of the rectangle is cut out.
        let c = whole.corners();
        let middle = |a: Point, b: Point| (a + b) * 0.5;
        let corners = [c[0], c[1], middle(c[1], c[2]), at, middle(c[2], c[3]), c[3]];
        Polygon::new(&corners).expect("an outline")
    })
}

pub fn scene() -> impl Strategy<Value = Scene> {
    let place = prop_oneof![
        (0.0..7.0, 0.0..5.0),
        (0..28, 0..20).prop_map(|(x, y)| (f64::from(x) * 0.25, f64::from(y) * 0.25)),
    ];
    let obstacles = prop::collection::vec(obstacle(), 0..7);
    let places = prop::collection::vec(place, 4..6);
    (0..3_usize, obstacles, 0..RADII.len(), places).prop_map(|(room, obstacles, radius, places)| {
        Scene {
            room: rooms()[room].clone(),
            obstacles,
            radius: RADII[radius],
            places: places.into_iter().map(|(x, y)| Point::new(x, y)).collect(),
        }
    })
}
