//! What heating a candidate takes, what glue and finish see while it is shut, and what air that is thrown out takes along.

use super::heat_course::{HeatCourse, heat_course};
use super::wood_moisture::{MoistureFindings, moisture_findings};
use super::{Candidate, DustFindings};
use crate::floor::largest;
use crate::services::heat::{HeatPlan, MONTHS, MonthOutside, Reaches, TwoLumps, exhaust_loss};
use crate::shop::Calendar;
use crate::units::customary::celsius;

/// Most white and yellow glues chalk somewhere between 42 and 55 °F, in °C.
pub const GLUE_WANTS: f64 = celsius(50.0);
/// How long after closing it is told how cold boards are, in s: a night.
const NIGHT: f64 = 12.0 * 3600.0;

/// The heat of one candidate: °C, W, W/K, J and seconds.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatFindings {
    pub open: f64,
    pub shut: f64,
    /// What all heaters together give.
    pub heater: f64,
    /// By part, the largest first.
    pub losses: Vec<(String, f64)>,
    /// The longest time of a week in which it is shut; none where it never is.
    pub pause: Option<f64>,
    pub months: Vec<MonthHeat>,
    pub exhausts: Vec<ExhaustHeat>,
    /// A week of the coldest month, of a shop that keeps hours.
    pub course: Option<HeatCourse>,
    /// Of wood in that month; none of a shop that is heated in none.
    pub moisture: Option<MoistureFindings>,
}

impl HeatFindings {
    /// The month in which it is coldest outdoors.
    pub fn coldest(&self) -> Option<&MonthHeat> {
        let months = self.months.iter();
        months.reduce(|one, other| {
            if other.outside < one.outside {
                other
            } else {
                one
            }
        })
    }
}

#[derive(Debug, Clone, PartialEq)]
pub struct MonthHeat {
    pub month: &'static str,
    pub outside: f64,
    /// What it takes to keep it warm while it is open.
    pub loss: f64,
    /// Of a shop that keeps hours.
    pub week: Option<WeekHeat>,
}

/// The longest pause of a week, in the same week again and again.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeekHeat {
    /// How long it is warmed up before it opens; none where the heater never gets there, or not within the pause.
    pub warm_up: Option<f64>,
    /// As warm as the heater keeps it in the end.
    pub reaches: f64,
    /// Air and mass when warming up begins, and when it opens.
    pub coldest: [f64; 2],
    pub opening: [f64; 2],
    /// The mass when it closes, and a night later.
    pub closing_mass: f64,
    pub night_mass: f64,
    /// For how long after closing the mass is as warm as most glue wants; all of the pause without it.
    pub stays_warm: Option<f64>,
}

/// A collector that throws its air out.
#[derive(Debug, Clone, PartialEq)]
pub struct ExhaustHeat {
    pub collector: String,
    /// The greatest that flows in some set of gates that were open together, in m³/s.
    pub airflow: f64,
    /// Mean seconds in a replication.
    pub seconds: f64,
    /// What all is lost while so much flows, in the coldest month: what is thrown out stands in place of what leaks in.
    pub loss: f64,
    /// What it takes more than without it, in a replication of that month.
    pub energy: f64,
}

/// Nothing where nobody says how cold it is outdoors.
pub(super) fn heat_findings(candidate: &Candidate, dust: &[DustFindings]) -> Option<HeatFindings> {
    let services = candidate.services.as_ref()?;
    let heat = services.heat.as_ref()?;
    let week = shut_times(&candidate.shop.calendar);
    let venting = services
        .collectors
        .iter()
        .filter(|plan| plan.vents_outdoors);
    let venting: Vec<&str> = venting
        .map(|plan| &*candidate.shop.stations[plan.station].name)
        .collect();
    let thrown_out = dust
        .iter()
        .filter(|dust| venting.contains(&&*dust.collector));
    let outside = heat.months.iter().map(|month| month.outside);
    let coldest = outside.reduce(f64::min);
    Some(HeatFindings {
        moisture: coldest.map(|outside| moisture_findings(heat, outside, &candidate.shop)),
        course: coldest.and_then(|outside| heat_course(heat, outside, &candidate.shop.calendar)),
        open: heat.open,
        shut: heat.shut,
        heater: heat.heater,
        losses: losses(heat),
        pause: week.map(|week| week.pause),
        months: (heat.months.iter())
            .map(|&month| of_month(heat, month, week))
            .collect(),
        exhausts: thrown_out.map(|dust| exhaust(heat, dust)).collect(),
    })
}

fn losses(heat: &HeatPlan) -> Vec<(String, f64)> {
    let loss = heat.envelope.loss();
    let parts = heat.names.iter().cloned().zip(loss.parts.iter().copied());
    let others = [
        ("the edge of the slab".to_owned(), loss.slab_edge),
        ("air that leaks in".to_owned(), loss.air),
    ];
    let mut all: Vec<(String, f64)> = parts
        .chain(others)
        .filter(|(_, loss)| *loss > 0.0)
        .collect();
    all.sort_by(|one, other| other.1.total_cmp(&one.1));
    all
}

/// Seconds in which a shop is shut at most, and open at least, between two interruptions.
#[derive(Debug, Clone, Copy)]
struct ShutTimes {
    pause: f64,
    session: f64,
}

fn shut_times(calendar: &Calendar) -> Option<ShutTimes> {
    let in_week = calendar.opening_times().len() as i64;
    let mut found: Option<ShutTimes> = None;
    for number in 0..in_week {
        let session = calendar.session_numbered(number)?;
        let next = calendar.session_numbered(number + 1)?;
        let pause = (next.opens - session.closes).seconds();
        let open = (session.closes - session.opens).seconds();
        found = Some(match found {
            Some(found) => ShutTimes {
                pause: found.pause.max(pause),
                session: found.session.min(open),
            },
            None => ShutTimes {
                pause,
                session: open,
            },
        });
    }
    found.filter(|found| found.pause > 0.0)
}

fn of_month(heat: &HeatPlan, month: MonthOutside, times: Option<ShutTimes>) -> MonthHeat {
    let colder = (heat.open - month.outside).max(0.0);
    let lumps = heat.lumps(month.outside);
    MonthHeat {
        month: MONTHS[month.month],
        outside: month.outside,
        loss: heat.loss(0.0) * colder,
        week: times.map(|times| settled_week(heat, &lumps, times)),
    }
}

/// After so many weeks a week is like the one before: what stands in a shop follows its air within days.
const WEEKS: u32 = 60;

fn settled_week(heat: &HeatPlan, lumps: &TwoLumps, times: ShutTimes) -> WeekHeat {
    let mut closing = [heat.open; 2];
    let mut warming = 0.0;
    let mut week = one_week(heat, lumps, times, (closing, warming));
    for _ in 0..WEEKS {
        closing = week.1;
        warming = week.0.warm_up.unwrap_or(0.0);
        week = one_week(heat, lumps, times, (closing, warming));
    }
    week.0
}

/// From closing to closing, given air and mass then, and how long it is warmed up for; with air and mass at the end.
fn one_week(
    heat: &HeatPlan,
    lumps: &TwoLumps,
    times: ShutTimes,
    (closing, warming): ([f64; 2], f64),
) -> (WeekHeat, [f64; 2]) {
    let after = |seconds: f64| lumps.overnight(closing, heat.shut, seconds);
    let coldest = after((times.pause - warming).max(0.0));
    let warm_up = match lumps.air_warms_to(coldest, heat.open, heat.heater) {
        Reaches::After(seconds) if seconds <= times.pause => Some(seconds),
        Reaches::After(_) | Reaches::Never => None,
    };
    let opening = match warm_up {
        Some(seconds) if seconds > 0.0 => {
            [heat.open, lumps.after(coldest, heat.heater, seconds)[1]]
        }
        // Warm already, or heated from the opening on, for what that is worth.
        Some(_) | None => coldest,
    };
    let closes = match warm_up {
        Some(_) if opening[0] > heat.open => lumps.after(opening, 0.0, times.session),
        Some(_) => held(lumps, heat.open, opening, times.session),
        None => lumps.after(opening, heat.heater, times.session),
    };
    let is_warm = |seconds: f64| after(seconds)[1] >= GLUE_WANTS;
    let week = WeekHeat {
        warm_up,
        reaches: lumps.outside + heat.heater / lumps.loss,
        coldest,
        opening,
        closing_mass: closing[1],
        night_mass: after(NIGHT.min(times.pause))[1],
        stays_warm: (!is_warm(times.pause)).then(|| last_time(times.pause, &is_warm)),
    };
    (week, closes)
}

/// Air and mass after a time in which a thermostat keeps the air as warm as it is.
fn held(lumps: &TwoLumps, open: f64, start: [f64; 2], seconds: f64) -> [f64; 2] {
    let pace = -lumps.between / lumps.mass * seconds;
    [open, open + (start[1] - open) * libm::exp(pace)]
}

/// Until when something holds that does not at the end, and not again once it has ceased.
fn last_time(end: f64, holds: &dyn Fn(f64) -> bool) -> f64 {
    const HALVINGS: u32 = 60;
    largest((0.0, end), (), HALVINGS, |at| holds(at).then_some(())).0
}

fn exhaust(heat: &HeatPlan, dust: &DustFindings) -> ExhaustHeat {
    let outside = heat.months.iter().map(|month| month.outside);
    let colder = (heat.open - outside.fold(f64::INFINITY, f64::min)).max(0.0);
    let flows = || {
        let sets = dust.together.iter();
        sets.map(|gates| (gates.clean.point.airflow, gates.seconds))
    };
    let airflow = flows().map(|(airflow, _)| airflow).fold(0.0, f64::max);
    let more = |airflow: f64| exhaust_loss((airflow - heat.envelope.leakage).max(0.0), colder);
    ExhaustHeat {
        collector: dust.collector.clone(),
        airflow,
        seconds: flows().map(|(_, seconds)| seconds).sum(),
        loss: heat.loss(airflow) * colder,
        energy: flows()
            .map(|(airflow, seconds)| more(airflow) * seconds)
            .sum(),
    }
}
