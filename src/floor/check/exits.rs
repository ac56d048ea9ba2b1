//! The rule that there is a way out.

use super::first_step::FirstStep;
use super::{Missing, Scene};
use crate::floor::bisection::largest;
use crate::floor::finding::{Fact, Finding, FindingLevel, FindingSubject, RuleId};
use crate::floor::{
    Door, FreeSpace, Going, Obstacle, Path, Plan, Point, SAME_POINT_M, nearest_on_segment,
};
use crate::shop::PlaceId;

/// From every place that somebody works at, a way as wide as the limit leads to some door.
///
/// One stands nearer to a bench than a wide body gets, so the way begins where that body fits, a short step away that a
/// person can go.
pub fn way_out_tell(scene: &Scene<'_>) -> Vec<Finding> {
    let shut_in = shut_in(scene);
    shut_in
        .iter()
        .filter_map(|shut| finding(scene, shut))
        .collect()
}

pub fn way_out_judge(scene: &Scene<'_>) -> Missing {
    let mut missing = Missing::default();
    for _ in shut_in(scene) {
        missing.add(FindingLevel::Fault, scene.site.way_out());
    }
    missing
}

/// Places that have no way out and can come together.
struct ShutIn {
    /// The first of them.
    place: PlaceId,
    others: usize,
}

/// The groups of places without a way out, in two looks at what can be reached: most people get out from the first
/// place where a wide body fits.
fn shut_in(scene: &Scene<'_>) -> Vec<ShutIn> {
    if scene.site.going != Going::Around || scene.doors().is_empty() {
        return Vec::new();
    }
    let exit = Exit::new(scene.plan, scene.site.way_out(), scene.wide());
    let standing: Vec<(PlaceId, Point)> = work_places(scene)
        // That nobody can stand there is another rule's matter.
        .filter(|&(_, standing)| scene.person().is_free(standing).is_ok())
        .collect();
    let first: Vec<Vec<Point>> = standing
        .iter()
        .map(|&(place, standing)| match scene.first_step(place) {
            Some(step) => vec![step.at],
            None => exit.steps(scene.person(), standing).take(1).collect(),
        })
        .collect();
    let get_out = exit.get_out(&first).0;
    let left: Vec<(PlaceId, Point)> = (standing.into_iter().zip(get_out))
        .filter_map(|(place, gets_out)| (!gets_out).then_some(place))
        .collect();
    if left.is_empty() {
        return Vec::new();
    }
    let steps: Vec<Vec<Point>> = left
        .iter()
        .map(|&(_, standing)| exit.steps(scene.person(), standing).collect())
        .collect();
    let (get_out, reached) = exit.get_out(&steps);
    let mut shut_in: Vec<(ShutIn, Vec<usize>)> = Vec::new();
    for (index, &(place, _)) in left.iter().enumerate() {
        if get_out[index] {
            continue;
        }
        // Those who can come together lack the same.
        let together = |(_, others): &&mut (ShutIn, Vec<usize>)| {
            reached[index].iter().any(|at| others.contains(at))
        };
        match shut_in.iter_mut().find(together) {
            Some((shut, _)) => shut.others += 1,
            None => shut_in.push((ShutIn { place, others: 0 }, reached[index].clone())),
        }
    }
    shut_in.into_iter().map(|(shut, _)| shut).collect()
}

/// Stations at which somebody works, and where they stand there.
fn work_places<'s>(scene: &'s Scene<'_>) -> impl Iterator<Item = (PlaceId, Point)> + 's {
    let used = scene.used();
    let used = used.filter(|&place| scene.plan.station_at(place).is_some());
    used.filter_map(|place| Some((place, scene.plan.standing(place)?)))
}

/// The first steps of all places that somebody works at, by place.
pub fn first_steps(scene: &Scene<'_>) -> Vec<FirstStep> {
    if scene.site.going != Going::Around || scene.doors().is_empty() {
        return Vec::new();
    }
    let (width, body) = (scene.site.way_out(), scene.site.body_width);
    let steps = work_places(scene).filter_map(|(place, standing)| {
        let known = scene.first_step(place);
        known.or_else(|| {
            first_step(
                place,
                standing,
                (scene.person(), body),
                (scene.wide(), width),
            )
        })
    });
    steps.collect()
}

fn first_step(
    place: PlaceId,
    standing: Point,
    (person, body): (&FreeSpace, f64),
    (wide, width): (&FreeSpace, f64),
) -> Option<FirstStep> {
    let at = wide.nearest_free(standing)?;
    let away = at.distance(standing);
    let walked = match away > 0.0 {
        true if !is_near(away, width) => return None,
        true => person.path(standing, at)?.length,
        false => 0.0,
    };
    // The step is the same until something moves within this distance of where one stands: a wide body that fits nearer
    // would be within `away` and its radius, and a shorter walk there within `walked` and that of a person.
    let reach = (away + width / 2.0).max(walked + body / 2.0);
    is_near(walked, width).then_some(FirstStep { place, at, reach })
}

/// Whether a step is short for a body of some width.
fn is_near(step: f64, width: f64) -> bool {
    step <= 2.0 * width
}

fn finding(scene: &Scene<'_>, shut: &ShutIn) -> Option<Finding> {
    let &ShutIn { place, others } = shut;
    let standing = scene.plan.standing(place)?;
    let wanted = scene.site.way_out();
    let found = |widest, at| {
        let fact = Fact::WayOut {
            others,
            wanted,
            widest,
            closed: match widest {
                Some(_) => None,
                None => closed_door(scene),
            },
        };
        let subject = FindingSubject::Place(place);
        Finding::new(FindingLevel::Fault, RuleId::WayOut, subject, fact).at(at)
    };
    let Some((width, path)) = widest(scene.plan, scene.person(), standing, wanted) else {
        return Some(found(None, standing));
    };
    let out = door_of(scene, &path).unwrap_or(place);
    let (led, beyond) = scene.plan.through_doors(&path, [place, out], 0.0);
    let narrowest = scene.plan.passages().narrowest(&led, beyond);
    let obstacle = scene.plan.obstacles_by_index();
    let between = narrowest.map(|narrowest| {
        let sides = narrowest.between.map(obstacle);
        scene.between(sides, narrowest.at)
    });
    let at = narrowest.map_or(standing, |narrowest| narrowest.at);
    Some(found(Some((width, between)), at).missing(wanted - width))
}

/// The first door before which something stands, with that.
fn closed_door(scene: &Scene<'_>) -> Option<(PlaceId, Obstacle)> {
    let mut doors = scene.doors().iter().enumerate();
    doors.find_map(|(index, door)| {
        let what = scene.plan.stands_before(door)?;
        Some((scene.site.premises.door_place(index), what))
    })
}

/// The door in whose opening a way out ends.
fn door_of(scene: &Scene<'_>, path: &Path) -> Option<PlaceId> {
    let end = path.pieces.last()?.at(1.0);
    let is_in_it = |door: &Door| nearest_on_segment(end, door.between).distance(end) < SAME_POINT_M;
    let door = scene.doors().iter().position(is_in_it)?;
    Some(scene.site.premises.door_place(door))
}

/// The widest way out that a person can go, and its width in metres; nothing if there is none.
fn widest(plan: &Plan, person: &FreeSpace, standing: Point, wanted: f64) -> Option<(f64, Path)> {
    /// Halvings of the difference between a person and what is wanted: to a thousandth of a millimetre.
    const HALVINGS: u32 = 18;
    let way = |width: f64| {
        let ground = plan.ground(width / 2.0);
        Exit::new(plan, width, &ground).way(person, standing)
    };
    let least = way(plan.body_width)?;
    Some(largest((plan.body_width, wanted), least, HALVINGS, way))
}

/// The floor for a body of some width, and where it can stand in the doors.
struct Exit<'a> {
    width: f64,
    ground: &'a FreeSpace,
    doors: Vec<Point>,
}

impl<'a> Exit<'a> {
    fn new(plan: &Plan, width: f64, ground: &'a FreeSpace) -> Exit<'a> {
        /// Places in the opening of a door that are tried, but for the first.
        const TRIED: u32 = 8;
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
    fn steps(&self, person: &FreeSpace, standing: Point) -> impl Iterator<Item = Point> {
        /// Ways in which to step aside.
        const AROUND: u32 = 8;
        let is_free = self.ground.is_free(standing).is_ok();
        let around = (0..AROUND).map(move |turn| {
            let angle = std::f64::consts::TAU * f64::from(turn) / f64::from(AROUND);
            standing + Point::new(libm::cos(angle), libm::sin(angle)) * self.width
        });
        let around = around.take(if is_free { 0 } else { AROUND as usize });
        let places = [standing].into_iter().chain(around);
        let mut steps: Vec<Point> = Vec::new();
        let is_step = move |&step: &Point| {
            if is_free {
                return true;
            }
            let near = is_near(step.distance(standing), self.width);
            let known = steps
                .iter()
                .any(|known| known.distance(step) <= SAME_POINT_M);
            if !near || known {
                return false;
            }
            let path = person.path(standing, step);
            let is_short = path.is_some_and(|path| is_near(path.length, self.width));
            if is_short {
                steps.push(step);
            }
            is_short
        };
        places
            .filter_map(|place| self.ground.nearest_free(place))
            .filter(is_step)
    }

    /// For each list of places, whether the body gets from one of them to a door, and what can be reached from them:
    /// lists with a number in common lead to each other.
    fn get_out(&self, steps: &[Vec<Point>]) -> (Vec<bool>, Vec<Vec<usize>>) {
        let places = self.doors.iter().chain(steps.iter().flatten());
        let places: Vec<Point> = places.copied().collect();
        let reached = self.ground.components(&places);
        let (doors, mut rest) = reached.split_at(self.doors.len());
        let mut get_out = Vec::with_capacity(steps.len());
        let mut reach = Vec::with_capacity(steps.len());
        for steps in steps {
            let (of_steps, others) = rest.split_at(steps.len());
            rest = others;
            let to_door = |at: &Option<usize>| at.is_some() && doors.contains(at);
            get_out.push(of_steps.iter().any(to_door));
            reach.push(of_steps.iter().copied().flatten().collect());
        }
        (get_out, reach)
    }

    /// The shortest way to a door, from the step on.
    fn way(&self, person: &FreeSpace, standing: Point) -> Option<Path> {
        let steps: Vec<Point> = self.steps(person, standing).collect();
        let ways = steps.into_iter().flat_map(|step| {
            let ways = self.doors.iter();
            ways.filter_map(move |&door| self.ground.path(step, door))
        });
        ways.min_by(|one, other| one.length.total_cmp(&other.length))
    }
}
