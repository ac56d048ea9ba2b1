//! Lines that run along each other, laid side by side.

/// Lines at less than this angle, as its sine, run along each other.
const ALONG: f64 = 0.05;
/// So long a stretch in common is seen, in units of the picture.
const COMMON: f64 = 10.0;
/// A line hides another one if they have this share of the shorter one in common. Less is left as it is, so that few lines
/// leave the ways for which they stand.
const HIDDEN: f64 = 0.5;
/// How far apart the lanes are that are tried, and how far out they reach: a line must not leave the way it stands for.
const STEP: f64 = 1.5;
const STEPS: i32 = 8;
/// Between two lines.
const GAP: f64 = 1.0;

type LanePoint = (f64, f64);

/// A line and all that is drawn along it.
pub struct Band {
    pub points: Vec<LanePoint>,
    pub width: f64,
}

impl Band {
    fn length(&self) -> f64 {
        let steps = self.points.windows(2);
        steps
            .map(|ends| (ends[1].0 - ends[0].0).hypot(ends[1].1 - ends[0].1))
            .sum()
    }
}

/// How far each line is moved to the right of its direction so that it covers none of those before it where both run
/// along each other, and may lie there; 0 for one that finds no room.
pub fn lanes(bands: &[Band], may_lie: &dyn Fn(&Band, f64) -> bool) -> Vec<f64> {
    let mut asides: Vec<f64> = Vec::with_capacity(bands.len());
    for (index, band) in bands.iter().enumerate() {
        let beside: Vec<Beside> = (bands[..index].iter().zip(&asides))
            .flat_map(|(other, &aside)| Beside::all(band, other, aside))
            .collect();
        let tried = (0..=STEPS).flat_map(|step| [f64::from(step) * STEP, f64::from(-step) * STEP]);
        let free = |aside: &f64| {
            let mut beside = beside.iter();
            beside.all(|other| !other.is_covered(*aside))
                && (*aside == 0.0 || may_lie(band, *aside))
        };
        asides.push(tried.into_iter().find(free).unwrap_or(0.0));
    }
    asides
}

/// A stretch along which another line runs.
struct Beside {
    /// The middle of the other one, to the right of this line as it is without being moved.
    at: f64,
    /// How far apart their middles must be.
    apart: f64,
}

impl Beside {
    /// The stretches along which another line would be hidden, or hide this one.
    fn all(band: &Band, other: &Band, aside: f64) -> Vec<Beside> {
        let apart = (band.width + other.width) / 2.0 + GAP;
        let (mut all, mut common) = (Vec::new(), 0.0);
        for own in band.points.windows(2) {
            for its in other.points.windows(2) {
                if let Some((at, length)) = in_common((own[0], own[1]), (its[0], its[1]), aside) {
                    all.push(Beside { at, apart });
                    common += length;
                }
            }
        }
        match common < HIDDEN * band.length().min(other.length()) {
            true => Vec::new(),
            false => all,
        }
    }

    fn is_covered(&self, aside: f64) -> bool {
        (self.at - aside).abs() < self.apart - 1e-9
    }
}

/// How far to the right of a stretch another one lies that is moved aside, and how long they run along each other, if they
/// do.
fn in_common(
    own: (LanePoint, LanePoint),
    its: (LanePoint, LanePoint),
    aside: f64,
) -> Option<(f64, f64)> {
    let between = |from: LanePoint, to: LanePoint| (to.0 - from.0, to.1 - from.1);
    let dot = |a: LanePoint, b: LanePoint| a.0 * b.0 + a.1 * b.1;
    let (along, its_along) = (between(own.0, own.1), between(its.0, its.1));
    let (length, its_length) = (along.0.hypot(along.1), its_along.0.hypot(its_along.1));
    if length < COMMON || its_length < COMMON {
        return None;
    }
    let unit = (along.0 / length, along.1 / length);
    let right = (-unit.1, unit.0);
    if (dot(its_along, right) / its_length).abs() > ALONG {
        return None;
    }
    let [from, to] = [its.0, its.1].map(|end| {
        let end = between(own.0, end);
        (dot(end, unit), dot(end, right))
    });
    let (low, high) = (from.0.min(to.0).max(0.0), from.0.max(to.0).min(length));
    if high - low < COMMON {
        return None;
    }
    let share = ((low + high) / 2.0 - from.0) / (to.0 - from.0);
    let same_way = if to.0 > from.0 { 1.0 } else { -1.0 };
    Some((
        from.1 + share * (to.1 - from.1) + same_way * aside,
        high - low,
    ))
}

/// A line beside a line, to the right of its direction in the picture if `aside` is positive. It begins and ends where that
/// one does: near its ends it comes back to it, so that it leads to the same places.
pub fn beside(points: &[LanePoint], aside: f64) -> Vec<LanePoint> {
    /// How long the line takes to come back, in widths of what it has to come back by, and at least.
    const SLOPE: f64 = 2.5;
    const SHORTEST: f64 = 12.0;
    let line = without_repeats(points);
    let far: Vec<f64> = distances(&line);
    let Some(&length) = far.last().filter(|length| **length > 0.0) else {
        return line;
    };
    let taper = (SLOPE * aside.abs()).max(SHORTEST).min(length / 3.0);
    let (line, far) = with_corners_at(&line, &far, [taper, length - taper]);
    let asides: Vec<f64> = (far.iter())
        .map(|at| aside * (at / taper).min((length - at) / taper).clamp(0.0, 1.0))
        .collect();
    moved(&line, &asides)
}

/// The line without points that lie where the one before them does.
fn without_repeats(points: &[LanePoint]) -> Vec<LanePoint> {
    // Less than this is no corner.
    const SAME: f64 = 1e-6;
    let mut line: Vec<LanePoint> = Vec::with_capacity(points.len());
    for &point in points {
        let far = |last: &LanePoint| (point.0 - last.0).hypot(point.1 - last.1) > SAME;
        if line.last().is_none_or(far) {
            line.push(point);
        }
    }
    line
}

/// How far along the line each of its points lies.
fn distances(line: &[LanePoint]) -> Vec<f64> {
    let mut far = 0.0;
    let steps = line.windows(2).map(|ends| {
        far += (ends[1].0 - ends[0].0).hypot(ends[1].1 - ends[0].1);
        far
    });
    let first = (!line.is_empty()).then_some(0.0);
    first.into_iter().chain(steps).collect()
}

/// The line with points so far along it besides its own, and how far along all of them lie.
fn with_corners_at(line: &[LanePoint], far: &[f64], added: [f64; 2]) -> (Vec<LanePoint>, Vec<f64>) {
    let mut all: Vec<(f64, LanePoint)> = far.iter().copied().zip(line.iter().copied()).collect();
    for at in added {
        let next = all.partition_point(|(far, _)| *far < at).max(1);
        let (Some(&(before, from)), Some(&(after, to))) = (all.get(next - 1), all.get(next)) else {
            continue;
        };
        let share = (at - before) / (after - before);
        let between = |from: f64, to: f64| from + (to - from) * share;
        all.insert(next, (at, (between(from.0, to.0), between(from.1, to.1))));
    }
    all.into_iter().map(|(far, point)| (point, far)).unzip()
}

/// The line with each of its points moved to the right of its direction.
fn moved(line: &[LanePoint], asides: &[f64]) -> Vec<LanePoint> {
    let normal = |from: LanePoint, to: LanePoint| {
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let length = dx.hypot(dy);
        (-dy / length, dx / length)
    };
    let normals: Vec<LanePoint> = line
        .windows(2)
        .map(|pair| normal(pair[0], pair[1]))
        .collect();
    let Some(last) = normals.len().checked_sub(1) else {
        return line.to_vec();
    };
    let corners = line.iter().enumerate().map(|(index, &(x, y))| {
        let (before, after) = (normals[index.saturating_sub(1)], normals[index.min(last)]);
        let sum = (before.0 + after.0, before.1 + after.1);
        // As far from both edges; not farther than twice as much, where the line turns back sharply.
        let square = (sum.0 * sum.0 + sum.1 * sum.1).max(1.0);
        let by = 2.0 * asides[index] / square;
        (x + sum.0 * by, y + sum.1 * by)
    });
    corners.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn band(points: &[LanePoint], width: f64) -> Band {
        Band {
            points: points.to_vec(),
            width,
        }
    }

    /// Whether two lines that are drawn at these places cover each other, measured at one place along both.
    fn covers(one: (f64, f64), other: (f64, f64)) -> bool {
        (one.0 - other.0).abs() < (one.1 + other.1) / 2.0
    }

    #[test]
    fn lines_along_each_other_lie_side_by_side() {
        let bands = [
            band(&[(0.0, 0.0), (100.0, 0.0)], 8.0),
            // The same way back, so that its right is the left of the first.
            band(&[(90.0, 0.0), (20.0, 0.0)], 4.0),
            band(&[(10.0, 0.0), (60.0, 0.0)], 2.0),
        ];
        let asides = lanes(&bands, &|_, _| true);
        assert_eq!(asides[0], 0.0);
        // Below the line of y = 0, as the picture has it.
        let at = [asides[0], -asides[1], asides[2]];
        for (one, other) in [(0, 1), (0, 2), (1, 2)] {
            let [a, b] = [one, other].map(|index| (at[index], bands[index].width));
            assert!(!covers(a, b), "{one} and {other} at {at:?}");
        }
    }

    #[test]
    fn lines_that_cross_or_follow_each_other_stay_where_they_are() {
        let bands = [
            band(&[(0.0, 0.0), (100.0, 0.0)], 8.0),
            band(&[(50.0, -50.0), (50.0, 50.0)], 8.0),
            band(&[(100.0, 0.0), (200.0, 0.0)], 8.0),
            // Along a third of the first only.
            band(&[(70.0, 0.0), (100.0, 0.0), (100.0, 90.0)], 8.0),
        ];
        assert_eq!(lanes(&bands, &|_, _| true), [0.0; 4]);
    }

    #[test]
    fn a_line_is_moved_to_where_it_may_lie() {
        let way = [(0.0, 0.0), (100.0, 0.0)];
        let bands: Vec<Band> = (0..3).map(|_| band(&way, 2.0)).collect();
        let asides = lanes(&bands, &|_, aside| aside <= 0.0);
        assert_eq!(asides, [0.0, -3.0, -6.0]);
    }

    #[test]
    fn a_line_without_room_stays_on_its_way() {
        let way = [(0.0, 0.0), (100.0, 0.0)];
        let bands: Vec<Band> = (0..12).map(|_| band(&way, 9.0)).collect();
        let asides = lanes(&bands, &|_, _| true);
        assert!(
            asides
                .iter()
                .all(|aside| aside.abs() <= STEP * f64::from(STEPS))
        );
        assert_eq!(asides.last(), Some(&0.0));
    }

    #[test]
    fn a_line_beside_a_line_is_as_far_away_all_along_but_leads_to_the_same_places() {
        let line = [(0.0, 0.0), (50.0, 0.0), (50.0, 0.0), (50.0, 50.0)];
        let expected = [
            (0.0, 0.0),
            (12.0, 2.0),
            (48.0, 2.0),
            (48.0, 38.0),
            (50.0, 50.0),
        ];
        assert_eq!(beside(&line, 2.0), expected);
        // A corner so near to the end is followed at a part of the distance.
        let near = beside(&[(0.0, 0.0), (6.0, 0.0), (6.0, 94.0)], 2.0);
        assert_eq!(near[1], (5.0, 1.0));
        assert_eq!(beside(&[(1.0, 1.0)], 2.0), [(1.0, 1.0)]);
        assert_eq!(beside(&[(1.0, 1.0), (1.0, 1.0)], 2.0), [(1.0, 1.0)]);
        let back = beside(&[(0.0, 0.0), (10.0, 0.0), (0.0, 0.0)], 2.0);
        assert!(back.iter().all(|(x, y)| x.abs() <= 14.0 && y.abs() <= 4.0));
    }
}
