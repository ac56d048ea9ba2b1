//! Orders in process, how many are done and how long each takes, by which Little's law can be checked.

use super::grid::{note, table, text};
use crate::experiment::{CandidateFindings, ProjectFindings};
use crate::report::figure::{FROM_HOURS, Shown, fixed, rate_unit, time_unit};
use crate::statistics::Estimate;

/// The three figures of Little's law (J. D. C. Little, A proof for the queuing formula L = λW, Operations Research 9
/// (1961) 383-387). Orders of several projects have no time in common, so that each project has its own rate and time; where
/// orders come faster than they are built the time says how long the run is, and is left out.
pub fn flow(found: &CandidateFindings, width: u16) -> String {
    const ORDERS: Shown = Shown {
        per_unit: 1.0,
        sign: "",
    };
    let mut table = table(&["orders", heading(found)], 1, width);
    let in_shop = ORDERS.estimate(&found.work_in_process);
    let rate = found.throughput_per_hour;
    let has_no_time = found.overload.is_some() || found.builds_several_projects();
    let lead_time = found.lead_time.filter(|_| !has_no_time);
    // Each project has its own, where there are several and their times say anything.
    let projects: Vec<&ProjectFindings> = match found.overload {
        None if found.builds_several_projects() => found.projects_done().collect(),
        _ => Vec::new(),
    };
    let times = lead_time
        .into_iter()
        .chain(projects.iter().filter_map(|one| one.lead_time));
    let longest = times.map(|time| time.mean).reduce(f64::max);
    let unit = longest.map_or(rate_unit(rate.mean), |longest| per(unit_of(longest)));
    table.add_row(["in the shop (L)", in_shop.trim_end()]);
    if found.released_per_hour >= (1.0 + MORE_COME) * rate.mean {
        table.add_row(["come", &unit.with_unit(found.released_per_hour)]);
    }
    table.add_row(["done (λ)", &rate_in(unit, &rate)]);
    if let Some(lead_time) = lead_time {
        let time = unit_of(lead_time.mean).estimate(&lead_time);
        table.add_row(["start to finish (W)", &time]);
    }
    for project in &projects {
        let (Some(time), Some(longest)) = (project.lead_time, longest) else {
            continue;
        };
        let of_it = Estimate {
            half_width: None,
            interval: None,
            ..rate.scaled(project.orders_done / found.orders_done)
        };
        table.add_row([
            &format!("done, {} (λ)", project.name),
            &rate_in(unit, &of_it),
        ]);
        let time = unit_of(longest).estimate(&time);
        table.add_row([&format!("start to finish, {} (W)", project.name), &time]);
    }
    let of = measured_time(found, exactly);
    let law = match (lead_time, &projects[..]) {
        (Some(_), _) => {
            " L = λW (Little's law) in each run, but for orders that are not done within that time; between means over runs of unequal length nearly."
        }
        (None, [_, ..]) => {
            " L is the sum of λW over the projects (Little's law) in each run, but for orders that are not done within that time; between means over runs of unequal length nearly."
        }
        (None, []) => "",
    };
    format!("{}{}", text(table), note(&format!("{of}{law}"), width))
}

/// Over which runs the figures are means; where one run says it all, none are.
fn heading(found: &CandidateFindings) -> &'static str {
    match found.work_in_process.n {
        1 => "",
        _ => "mean",
    }
}

/// From this share on it is told how many more orders come than are done.
const MORE_COME: f64 = 0.02;

/// A rate; of a small one without an interval as many digits as of any other figure, so that L = λW can be reckoned.
fn rate_in(unit: Shown, rate: &Estimate) -> String {
    let value = rate.mean / unit.per_unit;
    let is_exact = rate
        .half_width
        .is_none_or(|half_width| half_width <= 1e-6 * rate.mean);
    match is_exact && value > 0.0 && value < 0.1 {
        true => {
            let digits = 2 - value.log10().floor() as i32;
            format!("{} {}", fixed(value, digits as usize), unit.sign)
        }
        false => unit.estimate(rate),
    }
}

/// The unit of a time and, the other way round, of a rate, so that the two can be multiplied as they stand. Rates have
/// digits that count: few orders are done in a minute.
fn unit_of(seconds: f64) -> Shown {
    match time_unit(seconds) {
        Shown { sign: "min", .. } if seconds >= 600.0 => time_unit(FROM_HOURS),
        unit => unit,
    }
}

/// A measured time with three digits; in hours as long as that is how a shop counts them.
pub(super) fn exactly(seconds: f64) -> String {
    const LONGEST: f64 = 10_000.0 * 3_600.0;
    match seconds < LONGEST {
        true => time_unit(seconds.min(86_400.0)).with_unit(seconds),
        false => time_unit(seconds).with_unit(seconds),
    }
}

/// What an hourly rate is shown in, where times are shown in this unit.
fn per(time: Shown) -> Shown {
    Shown {
        per_unit: 3_600.0 / time.per_unit,
        sign: match time.sign {
            "d" => "/d",
            "h" => "/h",
            "min" => "/min",
            _ => "/s",
        },
    }
}

/// Of what time shares and means are.
pub(super) fn measured_time(found: &CandidateFindings, shown: impl Fn(f64) -> String) -> String {
    let whole = found.makespan;
    let measured = found
        .hours
        .as_ref()
        .map_or(found.measured, |hours| hours.measured_on_calendar);
    let left_out = whole.mean - measured;
    let on_average = match whole.half_width {
        Some(half_width) if half_width > 1e-6 * whole.mean => " on average",
        _ => "",
    };
    let of = match left_out > 1e-6 * whole.mean {
        true => format!(
            "Shares and means are of the {} of a run{on_average} that follow {} of warm-up.",
            shown(measured),
            shown(left_out)
        ),
        false => format!(
            "Shares and means are of the whole run, {}{on_average}.",
            shown(whole.mean)
        ),
    };
    match &found.hours {
        Some(_) => format!(
            "{of} The shop is open for {} of that, which is the whole for stations, people, queues and waits.",
            shown(found.measured)
        ),
        None => of,
    }
}
