//! Signs that stand as near to their place as there is room, with lines that lead there and run through no name.

use super::areas::{LineEnds, around, contains, is_in, is_run_through, lengthened};
use super::canvas::Area;
use super::labels::{DIRECTIONS, Labels};

/// How far from its place a label is looked for: rings of so many units.
const RINGS: u32 = 40;
const STEP: f64 = 5.0;
/// So many rings farther out is where something better is still preferred.
const FARTHER: u32 = 12;
/// So many rings farther out one would rather go than with a line to the sign that runs through a name.
const ON_NAME: u32 = 12;

impl Labels<'_> {
    /// The middle of an area of so much width and height, as near to a place as there is room, which it takes; nothing if
    /// there is none.
    pub fn near(&mut self, at: (f64, f64), size: (f64, f64)) -> Option<(f64, f64)> {
        self.best_near(at, size, |_, _| Some(0))
    }

    /// Likewise for a sign whose middle is so much above that of the area. A little farther away is better than with a
    /// line to its place that runs through a name. One with a figure has no room on lines or in a zone.
    pub fn for_sign(
        &mut self,
        at: (f64, f64),
        size: (f64, f64),
        (rise, has_figure): (f64, bool),
    ) -> Option<(f64, f64)> {
        self.best_near(at, size, |labels, place| {
            let leader = ((place.0, place.1 - rise), at);
            let area = around(place, size.0, size.1);
            let is_in_zone = || (labels.zones.iter()).any(|zone| overlaps(zone, area));
            let is_legible = !has_figure || (labels.is_clear(area) && !is_in_zone());
            is_legible.then(|| ON_NAME * labels.names_on(leader))
        })
    }

    /// The free place with the least against it, of which one is to be a ring farther away than the nearest one; none where
    /// nothing that is near will do.
    fn best_near(
        &mut self,
        at: (f64, f64),
        (width, height): (f64, f64),
        against: impl Fn(&Self, (f64, f64)) -> Option<u32>,
    ) -> Option<(f64, f64)> {
        let places = (0..RINGS).flat_map(|ring| {
            let far = STEP * f64::from(ring);
            DIRECTIONS.map(|(x, y)| (ring, (at.0 + x * far, at.1 + y * far)))
        });
        let is_free = |(_, place): &(u32, (f64, f64))| self.is_free(around(*place, width, height));
        let mut free = places.filter(is_free).peekable();
        let &(ring, _) = free.peek()?;
        let near = free.take_while(|(other, _)| *other <= ring + FARTHER);
        let weighed =
            near.filter_map(|(other, place)| Some((against(self, place)? + other - ring, place)));
        let (_, best) = weighed.min_by_key(|(weight, _)| *weight)?;
        self.taken.push(around(best, width, height));
        Some(best)
    }

    /// How many labels a line runs through that are neither at its beginning nor at its end.
    fn names_on(&self, line: LineEnds) -> u32 {
        let (from, to) = line;
        let run_through = self.taken.iter().filter(|name| {
            !is_in(**name, from) && !is_in(**name, to) && is_run_through(**name, line)
        });
        run_through.count() as u32
    }

    /// Says that floor has a meaning which signs with figures leave to be seen if they can.
    pub fn leave_seen(&mut self, outline: Vec<(f64, f64)>) {
        self.zones.push(outline);
    }

    /// Where a line from the middle of a label to a place ends, so that it runs into no other label: nothing where it would
    /// be no line any more.
    pub fn line_to(&self, at: (f64, f64), from: (f64, f64)) -> Option<(f64, f64)> {
        const SHORTEST: f64 = 4.0;
        let Some(name) = self.name_at(at).filter(|name| !is_in(*name, from)) else {
            return Some(at);
        };
        let share = [
            (name.x - from.0) / (at.0 - from.0),
            (name.x + name.width - from.0) / (at.0 - from.0),
            (name.y - from.1) / (at.1 - from.1),
            (name.y + name.height - from.1) / (at.1 - from.1),
        ];
        let to = |share: f64| {
            (
                from.0 + (at.0 - from.0) * share,
                from.1 + (at.1 - from.1) * share,
            )
        };
        let enters = share
            .into_iter()
            .filter(|share| (0.0..=1.0).contains(share));
        let enters = enters.filter(|&share| is_in(lengthened(name, (0.5, 0.5)), to(share)));
        let end = to(enters.fold(1.0, f64::min));
        ((end.0 - from.0).hypot(end.1 - from.1) > SHORTEST).then_some(end)
    }

    /// The label that lies over a place.
    pub(super) fn name_at(&self, at: (f64, f64)) -> Option<Area> {
        self.taken.iter().copied().find(|taken| is_in(*taken, at))
    }
}

/// Whether an outline and an area have anything in common.
fn overlaps(outline: &[(f64, f64)], area: Area) -> bool {
    let next = outline.iter().cycle().skip(1);
    let mut edges = outline.iter().zip(next);
    edges.any(|(from, to)| is_run_through(area, (*from, *to))) || contains(outline, area.middle())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_strip_through_a_label_is_found_though_no_corner_lies_in_it() {
        let upright = [(-2.0, -50.0), (2.0, -50.0), (2.0, 50.0), (-2.0, 50.0)];
        assert!(overlaps(&upright, around((0.0, 0.0), 20.0, 10.0)));
        assert!(overlaps(&upright, around((0.0, 0.0), 1.0, 1.0)));
        assert!(overlaps(&upright, around((0.0, 54.0), 20.0, 10.0)));
        assert!(!overlaps(&upright, around((13.0, 0.0), 20.0, 10.0)));
    }
}
