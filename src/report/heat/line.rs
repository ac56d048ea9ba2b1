//! What an answer says of heat: the coldest month.

use crate::experiment::{CandidateFindings, ExhaustHeat, HeatFindings, MonthHeat, Units, WeekHeat};
use crate::report::about;
use crate::report::measures::{airflow, kilowatts, temperature};
use crate::report::sentence::{capital, with_the};

pub const HEAT: &str = "Heat";

/// Whether the heater does not warm the shop in the coldest month, or does not keep it warm.
pub fn is_too_cold(found: &CandidateFindings) -> bool {
    let heat = found.heat.as_ref();
    let coldest = heat.and_then(|heat| Some((heat, heat.coldest()?)));
    coldest.is_some_and(|(heat, month)| {
        month.loss > heat.heater || month.week.is_some_and(|week| week.warm_up.is_none())
    })
}

/// The line of an answer; nothing where nobody asks for it.
pub fn line(found: &CandidateFindings, units: Units) -> Option<String> {
    let heat = found.heat.as_ref()?;
    let month = heat.coldest()?;
    let mut says = vec![keeps(heat, month, units)];
    if let Some(week) = &month.week {
        says.push(warms(heat, week, units));
        says.push(overnight(week, units));
    }
    says.extend(heat.exhausts.iter().map(|of| thrown_out(heat, of, units)));
    says.push("Estimates, and what stands in the shop is a guess: one evening's thermometer sets it right.".to_owned());
    Some(says.join(" "))
}

/// "With 28 °F outdoors (jan) it takes 1.2 kW to keep it at 62 °F, 34 % of it for the walls."
fn keeps(heat: &HeatFindings, month: &MonthHeat, units: Units) -> String {
    if month.loss <= 0.0 {
        return "It is no colder outdoors than inside.".to_owned();
    }
    let sum: f64 = heat.losses.iter().map(|(_, loss)| loss).sum();
    let most = heat.losses.first().map_or(String::new(), |(name, loss)| {
        let share = loss / sum;
        match share > 0.5 {
            true => format!(", most of it for {name}"),
            false => format!(", {} of it for {name}", about::share(share)),
        }
    });
    let enough = match heat.heater {
        h if h <= 0.0 => ", and nothing heats".to_owned(),
        h if h < month.loss => format!(", more than the {} of its heaters", kilowatts(h)),
        h => format!("; its heaters give {}", kilowatts(h)),
    };
    format!(
        "With {} outdoors ({}) it takes {} to keep it at {}{most}{enough}.",
        temperature(units, month.outside),
        month.month,
        kilowatts(month.loss),
        temperature(units, heat.open)
    )
}

fn warms(heat: &HeatFindings, week: &WeekHeat, units: Units) -> String {
    let pause = heat.pause.map_or(String::new(), |pause| {
        format!(" after {} shut", about::time(pause))
    });
    let boards = format!(
        "boards, glue and iron are at {}",
        temperature(units, week.opening[1])
    );
    match week.warm_up {
        Some(0.0) => format!("It is still warm enough{pause}, and {boards}."),
        Some(seconds) => format!(
            "Warming up takes {}{pause}, and {boards} then.",
            about::time(seconds)
        ),
        None if week.reaches >= heat.open => {
            format!("Warming up takes longer than it is shut; without it {boards} when it opens.")
        }
        None => format!(
            "It never gets as warm as that: its heaters bring it to {} in the end, and {boards} when it opens{pause}.",
            temperature(units, week.reaches)
        ),
    }
}

fn overnight(week: &WeekHeat, units: Units) -> String {
    let limit = temperature(units, crate::experiment::GLUE_WANTS);
    let night = temperature(units, week.night_mass);
    match week.stays_warm {
        None => {
            format!("Overnight they fall to {night}, which most glue stands (from {limit} on).")
        }
        Some(0.0) => format!(
            "Most glue wants {limit}, which they do not have when it closes: it does not set, and finish dries slowly."
        ),
        Some(seconds) => format!(
            "Overnight they fall to {night}; they stay above the {limit} that most glue wants for {} after closing.",
            about::time(seconds)
        ),
    }
}

fn thrown_out(heat: &HeatFindings, of: &ExhaustHeat, units: Units) -> String {
    let against = match of.loss > heat.heater {
        true => ", more than its heaters give",
        false => "",
    };
    capital(&format!(
        "{} throws out up to {} for {} in a run: while it is on all that is lost is {}{against}. Make-up air has to come in somewhere, and no flame may burn in the same air.",
        with_the(&of.collector),
        airflow(units, of.airflow),
        about::time(of.seconds),
        kilowatts(of.loss)
    ))
}
