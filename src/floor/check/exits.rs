//! The rule that there is a way out.

use super::finding::{at_least, metres, wording};
use super::{Finding, Level, Scene};
use crate::floor::bisection::largest;
use crate::floor::{Door, FreeSpace, Going, Path, Plan, Point, SAME_POINT_M, nearest_on_segment};
use crate::shop::PlaceId;

/// From every place that somebody works at, a way as wide as the limit leads to some door.
///
/// One stands nearer to a bench than a wide body gets, so the way begins where that body fits, a short step away that a
/// person can go.
pub fn way_out(scene: &Scene<'_>) -> Vec<Finding> {
    if scene.plan.going != Going::Around || scene.doors().is_empty() {
        return Vec::new();
    }
    let body = scene.plan.body_width;
    let wanted = scene.limits.way_out.max(body);
    let person = scene.plan.ground(body / 2.0);
    let wide = Exit::new(scene.plan, wanted);
    let stations = scene.plan.placements.len();
    let mut shut_in: Vec<(PlaceId, Vec<Point>, usize)> = Vec::new();
    for place in scene.used() {
        let Some(standing) = scene.plan.standing(place) else {
            continue;
        };
        // That nobody can stand there is another rule's matter.
        if place.index() >= stations || person.is_free(standing).is_err() {
            continue;
        }
        let steps = wide.steps(&person, standing);
        let gets_out = |step: &Point| {
            wide.doors
                .iter()
                .any(|&door| wide.ground.reachable(*step, door))
        };
        if steps.iter().any(gets_out) {
            continue;
        }
        // Those who can come together lack the same.
        let together = |(_, others, _): &&mut (PlaceId, Vec<Point>, usize)| {
            let pairs = others
                .iter()
                .flat_map(|other| steps.iter().map(move |step| (other, step)));
            let mut pairs = pairs;
            pairs.any(|(&other, &step)| wide.ground.reachable(other, step))
        };
        match shut_in.iter_mut().find(together) {
            Some((_, _, others)) => *others += 1,
            None => shut_in.push((place, steps, 0)),
        }
    }
    let findings = shut_in.iter();
    let findings =
        findings.filter_map(|&(place, _, others)| finding(scene, &person, wanted, (place, others)));
    findings.collect()
}

fn finding(
    scene: &Scene<'_>,
    person: &FreeSpace,
    wanted: f64,
    (place, others): (PlaceId, usize),
) -> Option<Finding> {
    let name = scene.place_name(place);
    let standing = scene.plan.standing(place)?;
    let more = match others {
        0 => String::new(),
        1 => " and from another place".to_owned(),
        more => format!(" and from {more} other places"),
    };
    let Some((width, path)) = widest(scene.plan, person, standing, wanted) else {
        let says = wording![format!("no way out leads from {name}{more} to any door")];
        let finding = Finding::new(Level::Fault, "way out", name, says).at(standing);
        return Some(finding.help(wording!["move what closes the way, or open another door"]));
    };
    let says = wording![
        format!("the widest way out from {name}{more} is "),
        metres(width)
    ];
    let out = door_of(scene, &path).unwrap_or(place);
    let (led, beyond) = scene.plan.through_doors(&path, [place, out], 0.0);
    let narrowest = scene.plan.passages().narrowest(&led, beyond);
    let obstacle = scene.plan.obstacles_by_index();
    let (says, at) = match narrowest {
        Some(narrowest) => {
            let between = narrowest.between.map(obstacle);
            let between = scene.between(between, narrowest.at);
            (says.and(wording![format!(" wide {between}")]), narrowest.at)
        }
        None => (says.and(wording![" wide"]), standing),
    };
    let missing = wanted - width;
    let finding = Finding::new(
        Level::Fault,
        "way out",
        name,
        says.and(wording!["; ", metres(wanted), " is the least on a way out"]),
    );
    Some(
        finding
            .at(at)
            .missing(missing)
            .figure("width_m", width)
            .help(wording![
                "widen it by ",
                at_least(missing),
                ", or open another way"
            ]),
    )
}

/// The door in whose opening a way out ends.
fn door_of(scene: &Scene<'_>, path: &Path) -> Option<PlaceId> {
    let end = path.pieces.last()?.at(1.0);
    let is_in_it = |door: &Door| nearest_on_segment(end, door.between).distance(end) < SAME_POINT_M;
    let door = scene.doors().iter().position(is_in_it)?;
    Some(PlaceId((scene.plan.placements.len() + door) as u32))
}

/// The widest way out that a person can go, and its width in metres; nothing if there is none.
fn widest(plan: &Plan, person: &FreeSpace, standing: Point, wanted: f64) -> Option<(f64, Path)> {
    /// Halvings of the difference between a person and what is wanted: to a thousandth of a millimetre.
    const HALVINGS: u32 = 18;
    let way = |width: f64| Exit::new(plan, width).way(person, standing);
    let least = way(plan.body_width)?;
    Some(largest((plan.body_width, wanted), least, HALVINGS, way))
}

/// The floor for a body of some width, and where it can stand in the doors.
struct Exit {
    width: f64,
    ground: FreeSpace,
    doors: Vec<Point>,
}

impl Exit {
    fn new(plan: &Plan, width: f64) -> Exit {
        /// Places in the opening of a door that are tried, but for the first.
        const TRIED: u32 = 8;
        let ground = plan.ground(width / 2.0);
        let mut doors = Vec::new();
        for door in plan.room.iter().flat_map(|room| &room.doors) {
            let play = door.width() - width;
            if play < -SAME_POINT_M || door.width() <= 0.0 {
                continue;
            }
            let along = (door.between.1 - door.between.0) * (1.0 / door.width());
            // From the middle to both ends.
            let places = (0..=TRIED).map(|place| {
                let share = f64::from(place) / f64::from(TRIED) - 0.5;
                door.middle() + along * (play.max(0.0) * share)
            });
            doors.extend(places.filter(|&place| ground.is_free(place).is_ok()));
        }
        Exit {
            width,
            ground,
            doors,
        }
    }

    /// Where the body fits a short step from where a person stands, which the person can go.
    fn steps(&self, person: &FreeSpace, standing: Point) -> Vec<Point> {
        /// Ways in which to step aside.
        const AROUND: u32 = 8;
        if self.ground.is_free(standing).is_ok() {
            return vec![standing];
        }
        let around = (0..AROUND).map(|turn| {
            let angle = std::f64::consts::TAU * f64::from(turn) / f64::from(AROUND);
            standing + Point::new(libm::cos(angle), libm::sin(angle)) * self.width
        });
        let places = [standing].into_iter().chain(around);
        let mut steps: Vec<Point> = Vec::new();
        for step in places.filter_map(|place| self.ground.nearest_free(place)) {
            let near = step.distance(standing) <= 2.0 * self.width;
            let known = steps
                .iter()
                .any(|known| known.distance(step) <= SAME_POINT_M);
            if !near || known {
                continue;
            }
            let path = person.path(standing, step);
            if path.is_some_and(|path| path.length <= 2.0 * self.width) {
                steps.push(step);
            }
        }
        steps
    }

    /// The shortest way to a door, from the step on.
    fn way(&self, person: &FreeSpace, standing: Point) -> Option<Path> {
        let steps = self.steps(person, standing).into_iter();
        let ways = steps.flat_map(|step| {
            let ways = self.doors.iter();
            ways.filter_map(move |&door| self.ground.path(step, door))
        });
        ways.min_by(|one, other| one.length.total_cmp(&other.length))
    }
}
