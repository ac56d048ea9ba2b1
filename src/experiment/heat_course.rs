//! How warm a shop is from hour to hour of a week that is like the one before.

use crate::services::heat::{HeatPlan, Reaches, TwoLumps};
use crate::shop::Calendar;
use crate::units::Moment;

/// After so many weeks a week is like the one before: what stands in a shop follows its air within days.
const WEEKS: i64 = 8;
/// Between two figures, in s.
const STEP: f64 = 900.0;
/// The beginning of warming up is found to the second in a week.
const HALVINGS: u32 = 20;
const DAY: f64 = 86_400.0;

/// Temperatures over a week in °C, and seconds from the midnight before its first session.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatCourse {
    /// From 0, Monday: the day with which it begins.
    pub weekday: u32,
    pub places: Vec<HeatPlace>,
    /// When it opens and closes.
    pub sessions: Vec<(f64, f64)>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeatPlace {
    pub at_s: f64,
    pub air: f64,
    /// Of boards, glue and iron.
    pub mass: f64,
}

/// In the month in which it is so cold outdoors; nothing of a shop that is never shut.
pub fn heat_course(heat: &HeatPlan, outside: f64, calendar: &Calendar) -> Option<HeatCourse> {
    course_in_steps(heat, outside, calendar, STEP)
}

fn course_in_steps(
    heat: &HeatPlan,
    outside: f64,
    calendar: &Calendar,
    step: f64,
) -> Option<HeatCourse> {
    let lumps = heat.lumps(outside);
    let in_week = calendar.opening_times().len() as i64;
    let first = calendar.session_numbered(WEEKS * in_week)?;
    let midnight = calendar.day(first.opens) as f64 * DAY;
    let at = |moment: Moment| (moment - Moment::START).seconds() - midnight;
    let mut walk = HeatWalk {
        heat,
        lumps,
        now: [heat.open; 2],
        step,
        places: Vec::new(),
    };
    let mut sessions = Vec::new();
    for number in 1..=(WEEKS + 1) * in_week {
        let session = calendar.session_numbered(number)?;
        let before = calendar.session_numbered(number - 1)?;
        let (opens, closes) = (at(session.opens), at(session.closes));
        walk.shut(at(before.closes), opens);
        walk.open(opens, closes);
        if number >= WEEKS * in_week {
            sessions.push((opens, closes));
        }
    }
    let week = 7.0 * DAY;
    let mut places = walk.places;
    places.retain(|place| (0.0..=week).contains(&place.at_s));
    sessions.retain(|session| session.0 < week);
    Some(HeatCourse {
        weekday: calendar.weekday(first.opens),
        places,
        sessions,
    })
}

struct HeatWalk<'a> {
    heat: &'a HeatPlan,
    lumps: TwoLumps,
    /// Air and mass.
    now: [f64; 2],
    /// Between two figures, in s.
    step: f64,
    places: Vec<HeatPlace>,
}

impl HeatWalk<'_> {
    /// Goes on from a time to another one, with figures every `step`.
    fn along(&mut self, (from, to): (f64, f64), after: impl Fn([f64; 2], f64) -> [f64; 2]) {
        let start = self.now;
        let steps = ((to - from) / self.step).ceil().max(0.0) as u32;
        for step in 0..=steps {
            let at_s = (from + self.step * f64::from(step)).min(to);
            let [air, mass] = after(start, at_s - from);
            self.now = [air, mass];
            self.places.push(HeatPlace { at_s, air, mass });
        }
    }

    /// Cools, and warms up so early that it is warm when it opens, where the heater brings that about.
    fn shut(&mut self, closed: f64, opens: f64) {
        let (lumps, heat) = (self.lumps, self.heat);
        let start = self.now;
        let cooled = |seconds: f64| lumps.overnight(start, heat.shut, seconds);
        let is_warm_after =
            |seconds: f64| match lumps.air_warms_to(cooled(seconds), heat.open, heat.heater) {
                Reaches::After(warming) => seconds + warming <= opens - closed,
                Reaches::Never => false,
            };
        // The latest beginning, if any is early enough.
        let mut begin = opens - closed;
        if is_warm_after(0.0) && !is_warm_after(begin) {
            let (mut early, mut late) = (0.0, begin);
            for _ in 0..HALVINGS {
                let middle = (early + late) / 2.0;
                match is_warm_after(middle) {
                    true => early = middle,
                    false => late = middle,
                }
            }
            begin = early;
        }
        self.along((closed, closed + begin), |start, seconds| {
            lumps.overnight(start, heat.shut, seconds)
        });
        if closed + begin < opens {
            self.along((closed + begin, opens), |start, seconds| {
                lumps.after(start, heat.heater, seconds)
            });
        }
    }

    /// Heats all it can up to the thermostat, which keeps it there.
    fn open(&mut self, opens: f64, closes: f64) {
        let (lumps, heat) = (self.lumps, self.heat);
        let warming = match lumps.air_warms_to(self.now, heat.open, heat.heater) {
            Reaches::After(seconds) => seconds.min(closes - opens),
            Reaches::Never => closes - opens,
        };
        if warming > 0.0 {
            self.along((opens, opens + warming), |start, seconds| {
                lumps.after(start, heat.heater, seconds)
            });
        }
        if opens + warming < closes {
            self.along((opens + warming, closes), |start, seconds| {
                lumps.overnight(start, heat.open, seconds)
            });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::services::heat::{Envelope, HeatPart, MonthOutside, UsualContents};
    use crate::shop::{OpeningTime, WeeklySessions};
    use crate::units::Span;

    const HOUR: i64 = 3_600_000_000;

    /// Mondays and Thursdays from 19 to 22 h.
    fn evenings() -> Calendar {
        let time = |weekday| OpeningTime {
            weekday,
            open: Span::from_micros(19 * HOUR),
            close: Span::from_micros(22 * HOUR),
            set_up: Span::ZERO,
            tidy_up: Span::ZERO,
        };
        WeeklySessions::new(&[time(0), time(3)], 0)
            .map(Calendar::Weekly)
            .expect("two evenings")
    }

    fn heat(heater: f64) -> HeatPlan {
        HeatPlan {
            open: 17.0,
            shut: 7.0,
            months: vec![MonthOutside {
                month: 0,
                outside: -2.0,
            }],
            envelope: Envelope {
                parts: vec![HeatPart {
                    area: 80.0,
                    conductance: 0.5,
                }],
                slab_edge: 15.0,
                leakage: 0.01,
                exhaust: 0.0,
            },
            names: vec!["walls".to_owned()],
            contents: UsualContents::of(25.0),
            heater,
        }
    }

    /// What stands there takes up G (air − mass) / C of what the air is warmer: summed by small steps over the course, which
    /// is worked out in closed forms, that is its change from place to place.
    #[test]
    fn the_mass_follows_the_air() {
        let heat = heat(4000.0);
        // Air turns fast where a heater begins or ends, and a line between two figures has to follow it.
        let step = 20.0;
        let course = course_in_steps(&heat, -2.0, &evenings(), step).expect("it keeps hours");
        let lumps = heat.lumps(-2.0);
        let (mut steps, mut worst) = (0, 0.0_f64);
        for two in course.places.windows(2) {
            let lasts = two[1].at_s - two[0].at_s;
            assert!((0.0..=step + 1e-9).contains(&lasts), "{lasts}");
            let apart = |place: &HeatPlace| place.air - place.mass;
            let mean = (apart(&two[0]) + apart(&two[1])) / 2.0;
            let change = lumps.between / lumps.mass * mean * lasts;
            let found = two[1].mass - two[0].mass;
            worst = worst.max((found - change).abs());
            steps += 1;
        }
        assert!(worst < 1e-4, "{worst} K in a step");
        assert!(steps > 30_000, "{steps}");
    }

    /// 4 kW warm 75 W/K by 53 K in the end: it is warm at each opening, and as warm as the night's thermostat before.
    #[test]
    fn it_is_warm_when_it_opens() {
        let course = heat_course(&heat(4000.0), -2.0, &evenings()).expect("it keeps hours");
        assert_eq!(course.weekday, 0);
        let opens = [19.0 * 3600.0, (3.0 * 24.0 + 19.0) * 3600.0];
        let closes = opens.map(|at| at + 3.0 * 3600.0);
        let found: Vec<(f64, f64)> = opens.into_iter().zip(closes).collect();
        assert_eq!(course.sessions, found);
        for opens in opens {
            let at = course.places.iter().find(|place| place.at_s >= opens);
            let at = at.expect("a place");
            assert!((at.air - 17.0).abs() < 0.01, "{at:?}");
            assert!(at.mass < at.air, "{at:?}");
        }
        let least = course
            .places
            .iter()
            .map(|place| place.air)
            .fold(f64::INFINITY, f64::min);
        assert!((least - 7.0).abs() < 1e-9, "{least}");
        let most = course
            .places
            .iter()
            .map(|place| place.air)
            .fold(0.0, f64::max);
        assert!((most - 17.0).abs() < 0.01, "{most}");
    }

    /// 500 W warm it by 7 K at most.
    #[test]
    fn a_weak_heater_never_warms_it() {
        let heat = heat(500.0);
        let course = heat_course(&heat, -2.0, &evenings()).expect("it keeps hours");
        let most = course
            .places
            .iter()
            .map(|place| place.air)
            .fold(0.0, f64::max);
        assert!(most < 10.0, "{most}");
        assert_eq!(heat_course(&heat, -2.0, &Calendar::AlwaysOpen), None);
    }
}
