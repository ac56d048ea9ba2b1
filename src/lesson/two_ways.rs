//! The second lesson, second half: a product on two ways, of which the one with the busiest machine is not the longer.

use super::by_hand::{is_share, is_whole_percent};
use super::dice::LessonDice;
use super::level::{BUSIER_BY, BUSIEST_BESIDE, LessonLevel, SAVED_BY_DRYING, SPARE};
use super::played::{LessonError, play, study};

const MOST_TRIES: usize = 1_000_000;

/// What is printed, in whole minutes: a lid that is glued, dries and perhaps is planed, and ends that are shaped and
/// perhaps sanded, before both are put together.
#[derive(Debug, Clone, PartialEq)]
pub struct TwoWaysExercise {
    pub glue: i64,
    pub dry: i64,
    pub plane: Option<i64>,
    pub shape: i64,
    pub sand: Option<i64>,
    pub join: i64,
}

/// What is right.
#[derive(Debug, Clone, PartialEq)]
pub struct TwoWaysAnswer {
    /// Minutes until the product is done: as it is, shaping in half the time, drying in half the time.
    pub done: f64,
    pub shaped_sooner: f64,
    pub dried_sooner: f64,
    /// In percent, of the stations in the order of the exercise: glue, plane, shape, sand, join.
    pub utilisation: Vec<f64>,
}

impl TwoWaysExercise {
    pub fn draw(
        level: &LessonLevel,
        dice: &mut LessonDice,
    ) -> Result<TwoWaysExercise, LessonError> {
        let drawn = (0..MOST_TRIES).map(|_| TwoWaysExercise::any(level, dice));
        let mut fitting = drawn.filter(TwoWaysExercise::fits);
        fitting.next().ok_or(LessonError::NoNumbers("two ways"))
    }

    fn any(level: &LessonLevel, dice: &mut LessonDice) -> TwoWaysExercise {
        TwoWaysExercise {
            glue: dice.whole(5, 20),
            dry: 2 * dice.whole(15, 45),
            plane: level.more_steps.then(|| dice.whole(5, 20)),
            shape: 2 * dice.whole(15, 45),
            sand: level.more_steps.then(|| dice.whole(5, 20)),
            join: dice.whole(5, 20),
        }
    }

    /// Minutes of work at each station, in the order of the exercise.
    pub fn work(&self) -> Vec<i64> {
        let TwoWaysExercise {
            glue,
            plane,
            shape,
            sand,
            join,
            ..
        } = *self;
        let all = [Some(glue), plane, Some(shape), sand, Some(join)];
        all.into_iter().flatten().collect()
    }

    /// Which of these stations shapes.
    pub fn shaping(&self) -> usize {
        1 + usize::from(self.plane.is_some())
    }

    /// Whether it can be worked by hand, and its answer is clear.
    fn fits(&self) -> bool {
        let TwoWaysExercise {
            glue,
            dry,
            plane,
            shape,
            sand,
            join,
        } = *self;
        let lid = glue + dry + plane.unwrap_or(0);
        let ends = shape + sand.unwrap_or(0);
        let done = lid.max(ends) + join;
        let sooner = (lid - dry / 2).max(ends) + join;
        let shaping = self.shaping();
        let work = self.work();
        let is_busiest = (work.iter().enumerate()).all(|(station, minutes)| {
            station == shaping || 100 * (shape - minutes) >= BUSIER_BY * done
        });
        is_busiest
            && work.iter().all(|&minutes| is_whole_percent(minutes, done))
            && is_share(shape, done, BUSIEST_BESIDE)
            && is_share(lid - ends, done, SPARE)
            && is_share(done - sooner, done, SAVED_BY_DRYING)
    }

    /// The answer, as the shop plays it.
    ///
    /// # Errors
    /// If the scenario behind it is wrong, which the tests would show.
    pub fn answer(&self) -> Result<TwoWaysAnswer, LessonError> {
        let found = play(&study(&self.scenario())?)?;
        let done = |candidate: usize| found.candidates[candidate].makespan.mean / 60.0;
        // The first station is where the material lies.
        let stations = &found.candidates[0].stations[1..];
        Ok(TwoWaysAnswer {
            done: done(0),
            shaped_sooner: done(1),
            dried_sooner: done(2),
            utilisation: stations.iter().map(|of| 100.0 * of.utilisation).collect(),
        })
    }

    /// Nothing is carried, there is somebody for each thing that can go on at once, and the table is free while the
    /// glue dries.
    pub fn scenario(&self) -> String {
        let TwoWaysExercise {
            glue,
            dry,
            plane,
            shape,
            sand,
            join,
        } = self;
        let mut stations = format!(
            "  s0: {{}}\n  table: {{does: {{glue: {{per lot: {glue} min, cure: {{time: {dry} min, ties up: []}}}}}}}}\n"
        );
        let (mut lid, mut ends) = (vec!["glue"], vec!["shape"]);
        if let Some(minutes) = plane {
            stations.push_str(&format!(
                "  planer: {{does: {{plane: {{per lot: {minutes} min}}}}}}\n"
            ));
            lid.push("plane");
        }
        stations.push_str(&format!(
            "  shaper: {{does: {{shape: {{per lot: {shape} min}}}}}}\n"
        ));
        if let Some(minutes) = sand {
            stations.push_str(&format!(
                "  sander: {{does: {{sand: {{per lot: {minutes} min}}}}}}\n"
            ));
            ends.push("sand");
        }
        let (lid, ends) = (lid.join(", "), ends.join(", "));
        format!(
            "stations:\n{stations}  bench: {{does: {{join: {{per lot: {join} min}}}}}}\n\
             handling: {{pick up: 0, put down: 0}}\n\
             crew: {{a: {{}}, b: {{}}}}\n\
             projects:\n  product:\n    parts:\n\
             \x20     lid: {{pieces: 1, material at: s0, route: [{lid}]}}\n\
             \x20     ends: {{pieces: 1, material at: s0, route: [{ends}]}}\n\
             \x20   assemblies:\n\
             \x20     whole: {{made of: [lid, ends], route: [join]}}\n\
             orders: [{{project: product}}]\n\
             layouts: {{shop: {{distances: 0}}}}\n\
             candidates:\n\
             \x20 shaped sooner: {{layout: shop, change: {{stations: {{shaper: {{does: {{shape: {{per lot: {} min}}}}}}}}}}}}\n\
             \x20 dried sooner: {{layout: shop, change: {{stations: {{table: {{does: {{glue: {{cure: {{time: {} min}}}}}}}}}}}}}}\n",
            shape / 2,
            dry / 2,
        )
    }
}
