//! Layouts beside each other at one scale, with something drawn over them.

use super::Subject;
use super::canvas::{Canvas, Font};
use super::floor::{self, AROUND};
use super::labels::{Labels, NumberKey};
use super::layout::Layout;
use super::sheet::{self, Extent, Sheet};
use super::style::{BODY, MARGIN};
use crate::experiment::{CandidateFindings, Units};

/// So many layouts are beside each other at most.
const ACROSS: usize = 2;
const GAP: f64 = 24.0;
/// The height of a layout at most, in widths of the picture.
const HIGHEST: f64 = 0.5;

/// What is drawn over a layout; it may tell the labels what to spare.
pub type Over<'a> = &'a dyn Fn(&mut Canvas, &Sheet, &Layout, &mut Labels);

/// What is said of a candidate beside its name.
pub type About = fn(&CandidateFindings, Units) -> String;

/// Layouts as they lie in a picture.
pub struct Panels<'a> {
    shown: Vec<(&'a Layout, Extent)>,
    across: usize,
    /// Of one layout.
    width: f64,
    /// Units of the picture in a metre, the same for all.
    pub metre: f64,
}

impl<'a> Panels<'a> {
    /// All layouts of which something is placed, in a picture of this width; None if there are none.
    pub fn of(subject: &Subject<'a>, picture: f64) -> Option<Panels<'a>> {
        let shown: Vec<(&Layout, Extent)> = (subject.layouts.iter())
            .filter_map(|layout| Some((layout, sheet::shown(layout)?)))
            .collect();
        let across = shown.len().clamp(1, ACROSS);
        let gaps = GAP * (across - 1) as f64;
        let width = (picture - 2.0 * MARGIN - gaps) / across as f64;
        let metres = shown.iter().map(|(_, extent)| {
            let wide = (width - 2.0 * AROUND) / extent.width();
            wide.min(picture * HIGHEST / extent.height())
        });
        let metre = metres.reduce(f64::min)?;
        Some(Panels {
            shown,
            across,
            width,
            metre,
        })
    }

    /// Draws them, their scale and the key of their numbers; returns where they end.
    pub fn draw(
        &self,
        canvas: &mut Canvas,
        top: f64,
        subject: &Subject,
        about: Option<About>,
        over: Over,
    ) -> f64 {
        let &Panels {
            across,
            width,
            metre,
            ..
        } = self;
        let about = |layout: &Layout| {
            let mut candidates = subject.findings.candidates.iter();
            let found = candidates.find(|found| found.name == layout.name)?;
            Some(about?(found, subject.findings.units))
        };
        let mut key = NumberKey::default();
        let mut y = top;
        let mut nth = 0;
        for band in self.shown.chunks(across) {
            let mut end = y;
            for (index, (layout, extent)) in band.iter().enumerate() {
                let x = MARGIN + (width + GAP) * index as f64;
                let begin = title(canvas, (x, y), width, layout, about(layout));
                nth += 1;
                let mut sheet = Sheet::new(extent, (x + AROUND, begin + AROUND), metre);
                sheet.id = format!("layout-{nth}-");
                floor::draw(canvas, &sheet, layout);
                floor::stations(canvas, &sheet, layout);
                let mut labels = Labels::new(&mut key, sheet.with_strip(AROUND));
                over(canvas, &sheet, layout, &mut labels);
                floor::names(canvas, &sheet, layout, &mut labels);
                end = end.max(sheet.area.y + sheet.area.height + AROUND);
            }
            y = end + 8.0;
        }
        let at = (MARGIN + AROUND, y + 6.0);
        floor::scale_bar(canvas, at, metre, subject.findings.units);
        let room = canvas.inner();
        key.draw(canvas, (MARGIN, y + 22.0), room) + MARGIN / 2.0
    }
}

/// The candidate's name and what is said of it, below it if there is no room beside it; returns where they end.
fn title(
    canvas: &mut Canvas,
    (x, y): (f64, f64),
    width: f64,
    layout: &Layout,
    about: Option<String>,
) -> f64 {
    let y = y + BODY / 2.0;
    let used = canvas.text(&layout.name, (x, y), width, Font::BODY.bold(true));
    let Some(about) = about else {
        return y + BODY / 2.0;
    };
    let beside = used + 12.0 + Font::BODY.width(&about) <= width;
    let at = match beside {
        true => (x + used + 12.0, y),
        false => (x, y + BODY + 4.0),
    };
    canvas.text(&about, at, width, Font::BODY);
    at.1 + BODY / 2.0
}
