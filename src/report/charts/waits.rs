//! What the lead time of each project goes into, in hours on one scale.

use super::axes::{FigureAxis, RowAxis};
use super::canvas::{Align, Area, Canvas, Font};
use super::elements::{Bar, Label};
use super::frame::{heading, legend, looked_into, names_width};
use super::meaning::{
    CARRYING, DRYING, FOR_GEAR, FOR_PARTS, FOR_PERSON, FOR_STATION, KEPT_APART, Meaning, WORKING,
};
use super::plot::{AxisMarks, BELOW, draw as draw_all, plot};
use super::quantity::decimals;
use super::style::{BODY, Fill, MARGIN, SMALL, ink};
use super::text::fit_apart;
use super::{Chart, ChartSize, Picture, one};
use crate::experiment::{CandidateFindings, Findings};
use crate::metrics::LeadTimeComponents;
use crate::report::figure::{Shown, fixed, number, time_unit};
use crate::report::lead_time_parts::{are_in_use_together, as_told};

const ROW: f64 = 24.0;
const BAR: f64 = 16.0;
/// Room for the names of layouts at most.
const NAMES: f64 = 230.0;
/// Room for the figure beside a bar; with the time behind it in which the shop is shut.
const FIGURE: f64 = 70.0;
const FIGURE_AND_SHUT: f64 = 140.0;

/// A part of a lead time, in seconds.
type Part = fn(&LeadTimeComponents<f64>) -> f64;

/// All but the time in which the shop is shut and nothing dries: beside weeks of that nothing else could be read.
const PARTS: [(Meaning, Part); 8] = [
    (WORKING.called("worked on"), |split| split.worked),
    (CARRYING.called("carried"), |split| split.carried),
    (DRYING, |split| split.curing),
    (FOR_STATION, |split| split.waiting_station),
    (KEPT_APART, |split| split.kept_apart),
    (FOR_GEAR, |split| split.waiting_gear),
    (FOR_PERSON, |split| split.waiting_person),
    (FOR_PARTS, |split| split.waiting_parts),
];

/// The same, where whoever is alone in the shop is "you", and where a lot waits for a station and a person alike.
fn parts(findings: &Findings) -> [(Meaning, Part); 8] {
    let is_alone = |found: &CandidateFindings| found.crew.len() == 1;
    let is_tied = |found: &CandidateFindings| !is_alone(found) && are_in_use_together(found);
    let for_whom = if findings.candidates.iter().all(is_alone) {
        "waiting for you"
    } else if findings.candidates.iter().any(is_tied) {
        "waiting for a person, or for a person and a station in use together"
    } else {
        FOR_PERSON.words
    };
    PARTS.map(|(meaning, of)| match meaning == FOR_PERSON {
        true => (meaning.called(for_whom), of),
        false => (meaning, of),
    })
}

/// A project on a layout; without a time if none was done in the runs that were looked into.
struct Row<'a> {
    layout: &'a str,
    split: Option<LeadTimeComponents<f64>>,
}

/// A project and how it fares on every layout, below one another.
struct ProjectRows<'a> {
    project: &'a str,
    rows: Vec<Row<'a>>,
}

/// Nothing is drawn where no order was done.
pub fn draw(chart: &Chart, findings: &Findings, size: ChartSize) -> Vec<Picture> {
    let panels = panels(findings);
    let splits = || {
        panels
            .iter()
            .flat_map(|panel| &panel.rows)
            .filter_map(|row| row.split)
    };
    let most = splits().map(|split| whole(&split)).fold(0.0, f64::max);
    if splits().next().is_none() {
        return Vec::new();
    }
    one(chart, size, |canvas| {
        let is_shut = splits().any(|split| split.shop_shut > 0.0);
        let while_open = match is_shut {
            true => {
                " While the shop is open or something dries; how long it is shut besides stands behind."
            }
            false => "",
        };
        let of_all = match findings.replications > findings.diagnosed {
            true => " The times of the summary are means of all runs.",
            false => "",
        };
        let notes = format!(
            "From start to finish of an order (lead time), {}, averaged over the parts of an order.{of_all}{while_open}",
            looked_into(findings)
        );
        let y = heading(canvas, chart.title, &findings.title, &notes);
        let occurs =
            |of: fn(&LeadTimeComponents<f64>) -> f64| splits().any(|split| of(&split) > 0.0);
        let shown = parts(findings).into_iter().filter(|(_, of)| occurs(*of));
        let shown: Vec<Meaning> = shown.map(|(meaning, _)| meaning).collect();
        let mut y = legend(canvas, y, &shown);
        canvas.header_ends(y);
        let unit = time_unit(most);
        let layouts = findings.candidates.iter().map(|found| found.name.as_str());
        let names = names_width(layouts, Font::BODY, NAMES);
        let last = panels.len().saturating_sub(1);
        for (index, panel) in panels.iter().enumerate() {
            // Every page needs its axis, and so every panel that may be the last of one.
            let is_last = index == last || canvas.page.is_some();
            let figure = if is_shut { FIGURE_AND_SHUT } else { FIGURE };
            y = panel.draw(canvas, y, (names, figure), (most, unit), is_last);
            canvas.may_break(y);
        }
        y + MARGIN / 2.0
    })
}

fn panels(findings: &Findings) -> Vec<ProjectRows<'_>> {
    let mut panels: Vec<ProjectRows> = Vec::new();
    for found in &findings.candidates {
        for project in &found.projects {
            let row = Row {
                layout: &found.name,
                split: (project.lead_time_split)
                    .filter(|_| project.lead_time.is_some())
                    .map(|split| as_told(found, split)),
            };
            match panels
                .iter_mut()
                .find(|panel| panel.project == project.name)
            {
                Some(panel) => panel.rows.push(row),
                None => panels.push(ProjectRows {
                    project: &project.name,
                    rows: vec![row],
                }),
            }
        }
    }
    panels
}

fn whole(split: &LeadTimeComponents<f64>) -> f64 {
    PARTS.iter().map(|(_, of)| of(split)).sum()
}

/// "9.3 h", or "9.3 h + 13.7 d shut"
fn whole_in_words(split: &LeadTimeComponents<f64>, unit: Shown) -> String {
    let written = |seconds: f64, unit: Shown| {
        format!("{}\u{a0}{}", number(seconds / unit.per_unit), unit.sign)
    };
    let whole = written(whole(split), unit);
    match split.shop_shut > 0.0 {
        true => {
            let shut = written(split.shop_shut, time_unit(split.shop_shut));
            format!("{whole} + {shut} shut")
        }
        false => whole,
    }
}

impl ProjectRows<'_> {
    fn draw(
        &self,
        canvas: &mut Canvas,
        top: f64,
        (names, figure): (f64, f64),
        (most, unit): (f64, Shown),
        is_last: bool,
    ) -> f64 {
        let bold = Font::BODY.bold(true);
        let room = canvas.inner();
        canvas.text(self.project, (MARGIN, top + BODY / 2.0), room, bold);
        let area = Area {
            x: MARGIN + names,
            y: top + BODY + 4.0,
            width: canvas.inner() - names - figure,
            height: ROW * self.rows.len() as f64,
        };
        let axis = FigureAxis::new(most, unit);
        // One more than the whole would have, since there are small parts.
        let digits = (decimals(most / unit.per_unit) + 1).min(2);
        let layouts: Vec<&str> = self.rows.iter().map(|row| row.layout).collect();
        let written = fit_apart(&layouts, Font::BODY.shape(), names - 10.0);
        let (mut bars, mut plates, mut labels) = (Vec::new(), Vec::new(), Vec::new());
        let small = Font::BODY.size(SMALL);
        for (row, (name, of)) in written.iter().zip(&self.rows).enumerate() {
            let middle = area.y + ROW * (row as f64 + 0.5);
            canvas.text(name, (MARGIN, middle), names - 10.0, Font::BODY);
            let whole = of.split.as_ref().map(whole);
            let text = of.split.as_ref().map(|split| whole_in_words(split, unit));
            let text = text.unwrap_or_else(|| "none done".to_owned());
            canvas.describe(&format!("{} in \"{}\": {text}.", self.project, of.layout));
            labels.push(Label {
                place: [(whole.unwrap_or(0.0), row as f64 + 0.5)],
                aside: (8.0, 0.0),
                text,
                room: figure - 8.0,
                font: small.bold(true),
            });
            let Some(split) = of.split else { continue };
            let mut before = 0.0;
            for (meaning, seconds) in PARTS.iter().map(|(meaning, of)| (meaning, of(&split))) {
                let from = before;
                before += seconds;
                bars.push(Bar::level((from, before), row, BAR / ROW, meaning.fill));
                let text = fixed(seconds / unit.per_unit, digits);
                let font = Font::BODY.size(9.0);
                let needed = font.width(&text) + 4.0;
                let wide = (axis.share(before) - axis.share(from)) * area.width;
                if seconds <= 0.0 || wide < needed + 8.0 {
                    continue;
                }
                let (middle, half) = ((from + before) / 2.0, needed / area.width * most / 2.0);
                let plate = meaning.fill.plate();
                let ends = (middle - half, middle + half);
                plates.push(Bar {
                    edge: 0.0,
                    ..Bar::level(ends, row, (BAR - 4.0) / ROW, Fill::plain(plate))
                });
                labels.push(Label {
                    place: [(middle, row as f64 + 0.5)],
                    aside: (0.0, 0.0),
                    text,
                    room: needed,
                    font: font.colour(ink(plate)).align(Align::Middle),
                });
            }
        }
        let figures = format!("{} from start to finish", unit.sign);
        let marks = AxisMarks {
            figures: if is_last { &figures } else { "" },
            mesh: true,
            ..AxisMarks::default()
        };
        let below = if is_last { BELOW } else { 8.0 };
        plot(
            canvas,
            area,
            (axis, RowAxis(self.rows.len())),
            marks,
            |plot| {
                draw_all(plot, bars);
                draw_all(plot, plates);
                draw_all(plot, labels);
            },
        );
        area.y + area.height + below
    }
}
