//! What charts have in common around their figures: headings and legends.

use super::canvas::{Align, Area, Canvas, Font};
use super::meaning::Meaning;
use super::style::{BODY, EDGE, FAINT, MARGIN, TITLE};
use super::text::{clean, wrap};
use crate::experiment::{CandidateFindings, Findings};
use crate::report::sentence::{listed, plural, without_article};

/// Lines of notes at most: more than any chart has to say, unless a name in them is very long.
const NOTES: usize = 12;
/// Lines of a title at most: a question, and the name of a layout.
const TITLE_LINES: usize = 3;

/// Writes the title, the scenario's title and what is to be seen; returns where the chart begins.
///
/// The scenario's title stands beside that of the chart if there is room, else below it.
pub fn heading(canvas: &mut Canvas, title: &str, scenario: &str, notes: &str) -> f64 {
    const GAP: f64 = 24.0;
    let inner = canvas.inner();
    let mut y = MARGIN + TITLE / 2.0;
    let font = Font::BODY.size(TITLE).bold(true);
    let lines = wrap(title, font.size, true, inner, TITLE_LINES);
    let mut used = 0.0;
    for (nth, line) in lines.iter().enumerate() {
        y += if nth > 0 { TITLE + 4.0 } else { 0.0 };
        used = canvas.text(line, (MARGIN, y), inner, font);
    }
    let font = Font::BODY.size(BODY + 1.0).colour(FAINT);
    let beside = inner - used - GAP;
    let needed = font.width(&clean(scenario));
    if needed <= beside {
        let at = (canvas.right(), y);
        canvas.text(scenario, at, beside, font.align(Align::Right));
        y += TITLE / 2.0 + 12.0;
    } else {
        y += TITLE / 2.0 + 11.0;
        for line in wrap(scenario, font.size, false, inner, TITLE_LINES) {
            canvas.text(&line, (MARGIN, y), inner, font);
            y += BODY + 5.0;
        }
        y += 2.0;
    }
    let font = Font::BODY.colour(FAINT);
    for line in wrap(notes, font.size, false, inner, NOTES) {
        canvas.text(&line, (MARGIN, y), inner, font);
        y += BODY + 4.0;
    }
    y + 4.0
}

/// Room for the longest of the names and a gap, but no more than `most`.
pub fn names_width<'a>(names: impl Iterator<Item = &'a str>, font: Font, most: f64) -> f64 {
    const LEAST: f64 = 70.0;
    let widest = names
        .map(|name| font.width(&clean(name)))
        .fold(0.0, f64::max);
    (widest + 20.0).clamp(LEAST, most)
}

/// How often the layouts were simulated.
pub fn played(findings: &Findings) -> String {
    match findings.replications {
        1 => "one run".to_string(),
        many => format!("mean of {many} runs"),
    }
}

/// Likewise, where only the first runs were looked into.
pub fn looked_into(findings: &Findings) -> String {
    match findings.replications > findings.diagnosed {
        true => format!(
            "mean of the first {} of {} runs",
            findings.diagnosed, findings.replications
        ),
        false => played(findings),
    }
}

/// What a run is about, where that is the same in every layout: "16 peg rails", "2 stools and 1 table".
pub fn orders(findings: &Findings) -> String {
    const NAMED: usize = 3;
    const LONGEST: usize = 40;
    let of = |found: &CandidateFindings| -> Option<String> {
        let done = found
            .projects
            .iter()
            .filter(|project| project.orders_done > 0.0);
        let named: Vec<String> = done
            .map(|project| {
                let name = without_article(&project.name);
                match project.orders_done {
                    1.0 => Some(format!("1 {name}")),
                    whole if whole.fract() == 0.0 => Some(format!("{whole} {}", plural(name))),
                    _ => None,
                }
            })
            .collect::<Option<_>>()?;
        (1..=NAMED)
            .contains(&named.len())
            .then(|| listed(&named, "and"))
    };
    let mut each = findings.candidates.iter().map(of);
    let first = each.next().flatten();
    match first {
        Some(first)
            if first.len() <= LONGEST && each.all(|other| other.as_ref() == Some(&first)) =>
        {
            first
        }
        _ => "all orders of a run".to_owned(),
    }
}

/// Draws what a legend explains into an area of [`SIGN`].
pub type Sign<'a> = &'a dyn Fn(&mut Canvas, Area);

/// How large the sign of a legend's entry is.
const SIGN: (f64, f64) = (22.0, 12.0);

/// A row of boxes with their names; further rows where they do not fit. Returns where it ends.
pub fn legend(canvas: &mut Canvas, top: f64, entries: &[Meaning]) -> f64 {
    let boxes: Vec<_> = (entries.iter())
        .map(|meaning| {
            move |canvas: &mut Canvas, area: Area| {
                canvas.hatched(area, meaning.fill);
                canvas.outline(area, EDGE, 0.75);
            }
        })
        .collect();
    let signs: Vec<(Sign, &str)> = (boxes.iter().zip(entries))
        .map(|(draw, meaning)| (draw as Sign, meaning.words))
        .collect();
    let room = canvas.inner();
    signs_in(canvas, (MARGIN, top), room, &signs)
}

/// Signs with their names in a room, below each other where they do not fit beside each other. Returns where it ends.
pub fn signs_in(
    canvas: &mut Canvas,
    (left, top): (f64, f64),
    room: f64,
    entries: &[(Sign, &str)],
) -> f64 {
    const GAP: f64 = 18.0;
    let font = Font::BODY;
    let (mut x, mut y) = (left, top + BODY / 2.0);
    for (draw, name) in entries {
        let width = SIGN.0 + 6.0 + font.width(name);
        if x > left && x + width > left + room {
            x = left;
            y += BODY + 8.0;
        }
        let area = Area {
            x,
            y: y - SIGN.1 / 2.0,
            width: SIGN.0,
            height: SIGN.1,
        };
        draw(canvas, area);
        let text = (x + SIGN.0 + 6.0, y);
        canvas.text(name, text, room - SIGN.0 - 6.0, font);
        x += width + GAP;
    }
    y + BODY / 2.0 + 10.0
}
