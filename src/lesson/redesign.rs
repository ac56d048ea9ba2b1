//! The third lesson: a room of squares that is laid out anew, with rules to keep.

use std::collections::BTreeSet;

use super::dice::LessonDice;
use super::level::{LessonLevel, WORSE_BY};
use super::played::{LessonError, play, study};
use super::squares::{BrokenRule, Mistake, PieceSpot, SquareRoom};
use crate::experiment::{LayoutFindings, Study, checked_legs};
use crate::floor::{Fact, Finding, FindingLevel, FindingSubject, Manner, RuleId};

/// Placements that are tried for the plan of the key and for the one that is printed.
const TRIED: usize = 600;
const MOST_TRIES: usize = 200_000;

/// Loads that go from one place to another for a product.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoadTrips {
    pub from: usize,
    pub to: usize,
    pub trips: i64,
}

/// What is printed.
#[derive(Debug, Clone, PartialEq)]
pub struct RedesignExercise {
    pub room: SquareRoom,
    /// How wide each place is, in squares; all are one deep.
    pub widths: Vec<i64>,
    pub loads: Vec<LoadTrips>,
    pub before: Vec<PieceSpot>,
    /// A plan that keeps all rules, for the key.
    pub after: Vec<PieceSpot>,
}

/// What is found of a plan.
#[derive(Debug, Clone)]
pub struct JudgedPlan {
    /// Metres with a load for one product, by load and in all.
    pub metres: Vec<f64>,
    pub walked_m: f64,
    /// Which rule is broken by which place.
    pub mistakes: Vec<Mistake>,
}

impl RedesignExercise {
    pub fn draw(
        level: &LessonLevel,
        dice: &mut LessonDice,
    ) -> Result<RedesignExercise, LessonError> {
        let nothing = || LessonError::NoNumbers("a plan");
        let room = SquareRoom::draw(level.squares, dice);
        let widths = widths(level, dice);
        let loads = loads(level, dice);
        let metres = |spots: &[PieceSpot]| metres_of(&loads, spots);
        let placed = (0..TRIED).filter_map(|_| room.place(&widths, dice));
        let kept = placed.filter(|spots| room.mistakes(&widths, spots) == Some(BTreeSet::new()));
        let after = kept.min_by_key(|spots| metres(spots)).ok_or_else(nothing)?;
        let least = metres(&after);
        let is_worse = |spots: &Vec<PieceSpot>| {
            let mistakes = room.mistakes(&widths, spots);
            let as_many = mistakes.is_some_and(|mistakes| mistakes.len() == level.mistakes);
            as_many && 100 * metres(spots) >= (100 + WORSE_BY) * least
        };
        let mut placed = (0..MOST_TRIES).filter_map(|_| room.place(&widths, dice));
        let before = placed.find(is_worse).ok_or_else(nothing)?;
        Ok(RedesignExercise {
            room,
            widths,
            loads,
            before,
            after,
        })
    }

    /// What is found of the plan that is printed and of the one in the key.
    ///
    /// # Errors
    /// If the scenario behind it is wrong, which the tests would show.
    pub fn answer(&self) -> Result<[JudgedPlan; 2], LessonError> {
        Ok([self.judge(&self.before)?, self.judge(&self.after)?])
    }

    fn judge(&self, spots: &[PieceSpot]) -> Result<JudgedPlan, LessonError> {
        let (metres, walked_m) = self.walked(spots)?;
        Ok(JudgedPlan {
            metres,
            walked_m,
            mistakes: mistakes(&study(&self.scenario(spots, "around"))?)?,
        })
    }

    /// Along the lines of the grid, as it is counted by hand.
    fn walked(&self, spots: &[PieceSpot]) -> Result<(Vec<f64>, f64), LessonError> {
        let found = play(&study(&self.scenario(spots, "rectilinear"))?)?;
        let legs = &found.candidates[0].legs;
        let metres = |load: &LoadTrips| {
            let mut legs = legs.iter().filter(|leg| leg.manner == Manner::Carrying);
            let is_it = |places: (usize, usize)| places == (load.from, load.to);
            legs.find(|leg| is_it((leg.places.0.index(), leg.places.1.index())))
                .map_or(0.0, |leg| leg.metres)
        };
        let by_load: Vec<f64> = self.loads.iter().map(metres).collect();
        let all = by_load.iter().sum();
        Ok((by_load, all))
    }

    /// Each load goes one piece at a time.
    pub fn scenario(&self, spots: &[PieceSpot], walk: &str) -> String {
        let SquareRoom {
            width,
            depth,
            door,
            panel,
        } = self.room;
        let mut stations = String::new();
        for (place, wide) in self.widths.iter().enumerate() {
            let stand = (1 - wide) as f64 / 2.0;
            stations.push_str(&format!(
                "  s{place}: {{size: [{wide} m, 1 m], stand: [{stand} m, -1 m], does: {{w{place}: {{per lot: 1 min}}}}}}\n"
            ));
        }
        let mut parts = String::new();
        for (number, LoadTrips { from, to, trips }) in self.loads.iter().enumerate() {
            parts.push_str(&format!(
                "      p{number}: {{pieces: {trips}, material at: s{from}, route: [w{to}]}}\n"
            ));
        }
        let mut at = String::new();
        for (place, (spot, wide)) in spots.iter().zip(&self.widths).enumerate() {
            let (x, y) = spot.middle(*wide);
            at.push_str(&format!(
                "      s{place}: {{at: [{x} m, {y} m], turn: {}}}\n",
                90 * spot.quarter_turns
            ));
        }
        format!(
            "room:\n  size: [{width} m, {depth} m]\n\
             \x20 doors: [{{name: door, between: [[{door} m, 0 m], [{} m, 0 m]]}}]\n\
             \x20 panels: [{{name: panel, at: [{width} m, {panel}.5 m], width: 40 cm}}]\n\
             stations:\n{stations}\
             handling: {{walking speed: 1 m/s, loaded speed: 1 m/s, pick up: 0, put down: 0, carry: {{pieces: 1}}}}\n\
             crew: {{maker: {{}}}}\n\
             projects:\n  product:\n    parts:\n{parts}\
             orders: [{{project: product}}]\n\
             layouts:\n  plan:\n    walk: {walk}\n    at:\n{at}",
            door + 1,
        )
    }
}

/// Along the lines of the grid, by which plans are chosen: the answers are those of the shop as it is played.
fn metres_of(loads: &[LoadTrips], spots: &[PieceSpot]) -> i64 {
    let metres = |load: &LoadTrips| {
        let ((x, y), (u, v)) = (spots[load.from].stand(), spots[load.to].stand());
        load.trips * ((x - u).abs() + (y - v).abs())
    };
    loads.iter().map(metres).sum()
}

/// The first is one square wide at level 1, and two are two squares wide above it.
fn widths(level: &LessonLevel, dice: &mut LessonDice) -> Vec<i64> {
    let mut widths = vec![1; level.places];
    let wide = if level.number == 1 { 1 } else { 2 };
    while widths.iter().sum::<i64>() < (level.places + wide) as i64 {
        let at = dice.below(level.places);
        widths[at] = 2;
    }
    widths
}

/// Every place has a load that comes to it or leaves it.
fn loads(level: &LessonLevel, dice: &mut LessonDice) -> Vec<LoadTrips> {
    loop {
        let mut loads: Vec<LoadTrips> = Vec::new();
        while loads.len() < level.loads {
            let load = LoadTrips {
                from: dice.below(level.places),
                to: dice.below(level.places - 1) + 1,
                trips: dice.whole(1, 6),
            };
            let is_known =
                (loads.iter()).any(|other| (other.from, other.to) == (load.from, load.to));
            if load.from != load.to && !is_known {
                loads.push(load);
            }
        }
        let is_used =
            |place: usize| (loads.iter()).any(|load| load.from == place || load.to == place);
        if (0..level.places).all(is_used) {
            loads.sort_by_key(|load| (load.from, load.to));
            return loads;
        }
    }
}

/// The faults that the rules of the floor find, of those that pupils are told to keep.
fn mistakes(study: &Study) -> Result<Vec<Mistake>, LessonError> {
    let legs = checked_legs(study).map_err(LessonError::Stuck)?;
    let candidate = &study.candidates[0];
    let found = LayoutFindings::checked(candidate, legs.first().map_or(&[], |legs| legs));
    let findings = found.map_or_else(Vec::new, |found| found.findings);
    let mut mistakes: Vec<Mistake> = findings.iter().filter_map(mistake).collect();
    mistakes.sort();
    Ok(mistakes)
}

fn mistake(finding: &Finding) -> Option<Mistake> {
    let rule = match finding.rule {
        RuleId::Panel => BrokenRule::Panel,
        RuleId::Standing => BrokenRule::Standing,
        RuleId::Reachable => BrokenRule::CutOff,
        _ => return None,
    };
    // At most one place is cut off, so that where the finding is about several, it is the one that they are cut off from.
    let subject = match (&finding.fact, &finding.other) {
        (Fact::CutOff { others, .. }, Some(from)) if !others.is_empty() => from,
        _ => &finding.subject,
    };
    match (finding.level, subject) {
        (FindingLevel::Fault, FindingSubject::Place(place)) => Some(Mistake {
            rule,
            place: place.index(),
        }),
        _ => None,
    }
}
