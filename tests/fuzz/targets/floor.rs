//! Any rectangles and outlines on a floor, touching, overlapping, hair-thin or far away: walks are found or not, and
//! never panic, hang, or come out shorter than a straight line.

#![no_main]

use libfuzzer_sys::fuzz_target;
use shopstride::floor::{FreeSpace, Passages};
use shopstride::floor::{Point, Polygon};

/// Numbers out of bytes; a few special ones come up often.
struct Numbers<'a>(&'a [u8]);

impl Numbers<'_> {
    fn byte(&mut self) -> Option<u8> {
        let (&first, rest) = self.0.split_first()?;
        self.0 = rest;
        Some(first)
    }

    /// Metres: on a coarse grid so that things touch, a tenth of a millimetre beside it, or far away.
    fn length(&mut self) -> Option<f64> {
        let (kind, value) = (self.byte()?, f64::from(self.byte()? as i8));
        Some(match kind % 8 {
            0..=3 => value / 8.0,
            4 => value / 8.0 + 1e-4,
            5 => value / 8.0 - 1e-7,
            6 => value * 100.0,
            _ => value / 1000.0,
        })
    }

    fn point(&mut self) -> Option<Point> {
        Some(Point::new(self.length()?, self.length()?))
    }

    fn outline(&mut self) -> Option<Option<Polygon>> {
        let kind = self.byte()?;
        if kind % 4 > 0 {
            let size = (self.length()?.abs(), self.length()?.abs());
            let turn = if kind % 4 == 1 {
                0.0
            } else {
                f64::from(self.byte()?)
            };
            return Some(Polygon::rectangle(self.point()?, size, turn));
        }
        let corners: Option<Vec<Point>> = (0..3 + kind / 4 % 6).map(|_| self.point()).collect();
        Some(Polygon::new(&corners?).ok())
    }
}

fuzz_target!(|bytes: &[u8]| {
    let mut numbers = Numbers(bytes);
    let mut read = || {
        let radius = numbers.length()?.abs();
        let room = numbers.outline()?;
        let count = numbers.byte()? % 12;
        let mut obstacles = Vec::new();
        for _ in 0..count {
            obstacles.extend(numbers.outline()?);
        }
        let mut points = Vec::new();
        while points.len() < 6 {
            let Some(point) = numbers.point() else { break };
            points.push(point);
        }
        Some((radius, room, obstacles, points))
    };
    let Some((radius, room, obstacles, points)) = read() else {
        return;
    };
    let ground = FreeSpace::new(room.as_ref(), &obstacles, radius);
    let passages = Passages::new(room.as_ref(), &[], &obstacles);
    let table = ground.table(&points);
    for (a, &from) in points.iter().enumerate() {
        for (b, &to) in points.iter().enumerate() {
            let length = table[a * points.len() + b];
            assert_eq!(length, table[b * points.len() + a]);
            let path = ground.path(from, to);
            assert_eq!(path.is_some(), length.is_some());
            if let (Some(path), Some(length)) = (path, length) {
                let straight = from.distance(to);
                assert!(length.is_finite() && length >= straight - 1e-6 * (1.0 + straight));
                assert!((path.length - length).abs() <= 1e-9 * (1.0 + length));
                if let Some(narrowest) = passages.narrowest(&path, [radius; 2]) {
                    assert!(narrowest.width >= 0.0);
                }
            }
        }
        if let Some(free) = ground.nearest_free(from) {
            assert!(free.x.is_finite() && free.y.is_finite());
        }
    }
});
