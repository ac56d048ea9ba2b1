//! The table of a comparison as a decision needs it.

use comfy_table::CellAlignment;

use super::above;
use super::grid::{table, text};
use super::people::called;
use crate::experiment::{
    CandidateFindings, Comparison, DustFindings, Findings, ResourceKind, Units, duct_figures,
};
use crate::report::about;
use crate::report::days;
use crate::report::difference::{is_none, is_shown};
use crate::report::figure::{Shown, fixed, length_unit, time_unit};
use crate::report::in_time;
use crate::report::measures::{length, velocity};
use crate::report::overload::{GROWING, is_growing};
use crate::statistics::{Estimate, Paired};

/// One row for each candidate as a decision needs it: each difference from the base below its figure, with one digit of
/// its interval; what is busiest, and whether it fits. Each project has a row of its own below, where there are several.
pub fn layouts(findings: &Findings, fits: &[String], width: u16) -> String {
    let is_one_order = |found: &CandidateFindings| found.orders_done == 1.0;
    let walking = match findings.candidates.iter().all(is_one_order) {
        true => "walking",
        false => "walking,\nall orders",
    };
    let is_wanted = (findings.candidates.iter()).any(|found| !found.in_time.is_empty());
    let shows_fits = fits.iter().any(|fit| !fit.is_empty());
    let keeps_hours = findings
        .candidates
        .iter()
        .any(|found| found.hours.is_some());
    let finish = if keeps_hours {
        "done"
    } else {
        "start to\nfinish"
    };
    let mut header = vec!["layout", walking, finish, "busiest"];
    if is_wanted {
        header.insert(3, "in time");
    }
    let shows_dust = (findings.candidates.iter()).any(|found| !found.dust.is_empty());
    if shows_dust {
        header.splice(3..3, ["ducts", "slowest\nair"]);
    }
    if shows_fits {
        header.push("fits");
    }
    let mut table = table(&header, 1, width);
    for column in header.len() - 1 - usize::from(shows_fits)..header.len() {
        if let Some(column) = table.column_mut(column) {
            column.set_cell_alignment(CellAlignment::Left);
        }
    }
    let length = length_unit(findings.units);
    let longest = (findings.candidates.iter())
        .filter_map(|found| found.lead_time)
        .map(|estimate| estimate.mean)
        .fold(0.0, f64::max);
    let time = time_unit(longest);
    let several = findings.has_several_projects();
    let lead_time =
        |found: &CandidateFindings, own: Option<Estimate>, unit: Shown, paired: Option<Paired>| {
            if own.is_some() && found.overload.is_some() {
                return GROWING.to_owned();
            }
            let own = own.map_or_else(
                || NONE_FINISHED.to_owned(),
                |estimate| unit.brief(&estimate),
            );
            let against =
                |paired: Paired| briefly_against(&paired, time_unit(paired.difference.mean));
            above(own, paired.map(against))
        };
    for (index, found) in findings.candidates.iter().enumerate() {
        let compared = (findings.comparisons.iter()).find(|compared| compared.other == index);
        let walking = compared.map(|compared| briefly_against(&compared.walking, length));
        let grows = compared.is_some_and(|compared| is_growing(findings, compared));
        let of_all = compared.and_then(|compared| compared.lead_time.filter(|_| !grows));
        let mut row = vec![
            found.name.clone(),
            above(length.brief(&found.walking), walking),
            match several {
                true => all_done(found, compared).unwrap_or_default(),
                false => all_done(found, compared)
                    .unwrap_or_else(|| lead_time(found, found.lead_time, time, of_all)),
            },
            briefly_busiest(found),
        ];
        if is_wanted {
            row.insert(3, in_time::briefly(found));
        }
        if shows_dust {
            row.splice(3..3, ducts(&found.dust, findings.units));
        }
        if shows_fits {
            row.push(fits[index].clone());
        }
        table.add_row(row);
        for project in found.projects.iter().filter(|_| several) {
            let paired = compared.and_then(|compared| compared.project(&project.name)?.lead_time);
            let paired = paired.filter(|_| !grows);
            let unit = project.lead_time.map_or(time, |own| time_unit(own.mean));
            // No-break spaces indent a cell.
            table.add_row([
                format!("\u{a0}\u{a0}{}", project.name),
                String::new(),
                (days::briefly(found, Some(project)).filter(|_| found.overload.is_none()))
                    .unwrap_or_else(|| lead_time(found, project.lead_time, unit, paired)),
            ]);
        }
    }
    text(table)
}

/// Of rigid pipe in all, and the least velocity in a section of gates that were open for 1 % of the time.
fn ducts(all: &[DustFindings], units: Units) -> [String; 2] {
    let [pipe, slowest] = duct_figures(all);
    [
        pipe.map_or_else(String::new, |pipe| length(units, pipe)),
        slowest.map_or_else(String::new, |slowest| velocity(units, slowest)),
    ]
}

const NONE_FINISHED: &str = "no order finished";

/// On which evening all is done in a shop that keeps hours, above how that differs from the base.
fn all_done(found: &CandidateFindings, compared: Option<&Comparison>) -> Option<String> {
    let own = days::briefly(found, None).filter(|_| found.overload.is_none())?;
    let change = compared.and_then(|compared| compared.completion);
    let against = change.and_then(|change| days::against(found, &change));
    Some(above(own, against))
}

/// The name and the share, which stay together in a narrow column.
pub(in crate::report) fn briefly_busiest(found: &CandidateFindings) -> String {
    let resource = found.bottleneck.as_ref();
    resource.map_or_else(String::new, |resource| {
        let share = about::share(resource.utilisation);
        let name = match resource.kind {
            ResourceKind::Person => called(found, &resource.name),
            ResourceKind::Station | ResourceKind::Gear => resource.name.clone(),
        };
        format!("{name} {}", share.replace(' ', "\u{a0}"))
    })
}

/// A difference from the base, with one digit of its interval.
pub(in crate::report) fn briefly_against(paired: &Paired, unit: Shown) -> String {
    let difference = &paired.difference;
    if is_none(paired) {
        return "the same".to_owned();
    }
    if !is_shown(difference) {
        return "no difference shown".to_owned();
    }
    let most = difference.farthest();
    if most < NEGLIGIBLE * paired.base_mean {
        return format!("the same within {}", rounded_up(most, unit));
    }
    let sign = if difference.mean > 0.0 { "+" } else { "" };
    format!("{sign}{}", unit.brief(difference))
}

/// A difference that is surely less than this share of the base changes no decision.
const NEGLIGIBLE: f64 = 2e-3;

/// In two significant digits: "140 s".
fn rounded_up(size: f64, unit: Shown) -> String {
    let value = size / unit.per_unit;
    let step = 10_f64.powf(value.log10().floor() - 1.0);
    let digits = (-step.log10().round()).max(0.0) as usize;
    // What is round already stays as it is.
    let rounded = (value / step - 1e-6).ceil() * step;
    format!("{}\u{a0}{}", fixed(rounded, digits), unit.sign)
}
