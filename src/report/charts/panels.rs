//! Layouts beside each other at one scale, with something drawn over them.

use super::canvas::{Canvas, Font};
use super::floor::{self, AROUND};
use super::labels::{Labels, LetterKey};
use super::layout::{AlikeLayouts, DrawnFinding, Layout};
use super::sheet::{self, Extent, Sheet};
use super::signs;
use super::style::{BODY, MARGIN};
use super::text::wrap;
use super::{ChartSize, Subject};
use crate::experiment::{CandidateFindings, Units};

const GAP: f64 = 24.0;
/// A layout that shares its row is at least so wide, so that the names on it can be read.
const NARROWEST: f64 = 250.0;

/// How much room layouts have.
#[derive(Clone, Copy)]
pub struct PanelRoom {
    /// So many are beside each other at most.
    pub across: usize,
    /// How high each is at most, in widths of the picture and in heights of a page.
    pub highest: (f64, f64),
}

impl PanelRoom {
    /// For a picture of layouts alone.
    pub const ALONE: PanelRoom = PanelRoom {
        across: 2,
        highest: (0.5, 0.52),
    };
}

/// What is drawn over a layout; it may tell the labels what to spare.
pub type Over<'a> = &'a dyn Fn(&mut Canvas, &Sheet, &Layout, &mut Labels);

/// Explains what is drawn over layouts, below a height; returns where that ends.
pub type Legend<'a> = &'a dyn Fn(&mut Canvas, f64) -> f64;

/// The legend of charts that have it in their headers, on every page.
pub fn in_the_header(_: &mut Canvas, y: f64) -> f64 {
    y
}

/// What is said of a candidate beside its name.
pub type About = fn(&CandidateFindings, Units) -> String;

/// Layouts as they lie in a picture.
pub struct Panels<'a> {
    shown: Vec<(AlikeLayouts<'a>, Extent)>,
    across: usize,
    /// Of one layout.
    width: f64,
    /// Units of the picture in a metre, the same for all.
    pub metre: f64,
    /// Whether faults and warnings are marked.
    with_signs: bool,
}

impl<'a> Panels<'a> {
    /// All layouts of which something is placed, those that are the same together, in a picture of this size; None if
    /// there are none.
    pub fn of(
        subject: &Subject<'a>,
        size: ChartSize,
        same: fn(&Layout, &Layout) -> bool,
        room: PanelRoom,
    ) -> Option<Panels<'a>> {
        let shown: Vec<(AlikeLayouts, Extent)> = AlikeLayouts::all(subject.layouts, same)
            .into_iter()
            .filter_map(|alike| {
                let extent = sheet::shown(alike.first)?;
                Some((alike, extent))
            })
            .collect();
        let inner = size.width() - 2.0 * MARGIN;
        let readable = ((inner + GAP) / (NARROWEST + GAP)) as usize;
        let across = shown.len().min(readable).clamp(1, room.across);
        let gaps = GAP * (across - 1) as f64;
        let width = (inner - gaps) / across as f64;
        let metres = shown.iter().map(|(_, extent)| {
            let wide = (width - 2.0 * AROUND) / extent.width();
            wide.min(size.high(room.highest.0, room.highest.1) / extent.height())
        });
        let metre = metres.reduce(f64::min)?;
        Some(Panels {
            shown,
            across,
            width,
            metre,
            with_signs: false,
        })
    }

    /// The same with faults and warnings marked.
    pub fn with_signs(self) -> Panels<'a> {
        Panels {
            with_signs: true,
            ..self
        }
    }

    /// Draws them with the legend above, their scale and the key of their letters, on pages for each row of layouts; returns
    /// where they end.
    pub fn draw(
        &self,
        canvas: &mut Canvas,
        top: f64,
        subject: &Subject,
        about: Option<About>,
        (legend, over): (Legend, Over),
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
        let mut key = LetterKey::of(subject.layouts);
        let mut y = top;
        let mut nth = 0;
        for (row, band) in self.shown.chunks(across).enumerate() {
            if row == 0 || canvas.page.is_some() {
                y = legend(canvas, y);
            }
            let mut end = y;
            let left = |index: usize| MARGIN + (width + GAP) * index as f64;
            // Side by side they begin at one height, however long their titles are.
            let begin = (band.iter().enumerate()).fold(y, |begin, (index, (alike, _))| {
                let (name, about) = (alike.name(), about(alike.first));
                begin.max(title(canvas, (left(index), y), width, &name, about))
            });
            for (index, (alike, extent)) in band.iter().enumerate() {
                let layout = alike.first;
                let x = left(index);
                nth += 1;
                let mut sheet = Sheet::new(extent, (x + AROUND, begin + AROUND), metre);
                sheet.id = format!("layout-{nth}-");
                floor::draw(canvas, &sheet, layout);
                floor::stations(canvas, &sheet, layout);
                let mut labels = Labels::new(&mut key, sheet.with_strip(AROUND));
                over(canvas, &sheet, layout, &mut labels);
                floor::names(canvas, &sheet, layout, &mut labels);
                if self.with_signs {
                    // Widths of all gaps stand on the plan of each layout.
                    let has_width = |finding: &DrawnFinding| finding.is_fault;
                    signs::on_floor(canvas, &sheet, layout, &mut labels, has_width);
                }
                end = end.max(sheet.area.y + sheet.area.height + AROUND);
            }
            y = end + 8.0;
            // What is on a page is explained there.
            if canvas.page.is_some() {
                y = self.explain(canvas, y, &mut key, subject.findings.units);
            }
            canvas.may_break(y);
        }
        match canvas.page {
            Some(_) => y,
            None => self.explain(canvas, y, &mut key, subject.findings.units),
        }
    }

    /// Draws the scale and the key of the letters that have been written since the last time; returns where they end.
    fn explain(&self, canvas: &mut Canvas, top: f64, key: &mut LetterKey, units: Units) -> f64 {
        let at = (MARGIN + AROUND, top + 6.0);
        floor::scale_bar(canvas, at, self.metre, units);
        let room = canvas.inner();
        key.draw(canvas, (MARGIN, top + 22.0), room) + MARGIN / 2.0
    }
}

/// The candidate's name and what is said of it, below it if there is no room beside it; returns where they end.
fn title(
    canvas: &mut Canvas,
    (x, y): (f64, f64),
    width: f64,
    name: &str,
    about: Option<String>,
) -> f64 {
    const LINES: usize = 2;
    let bold = Font::BODY.bold(true);
    let mut y = y + BODY / 2.0;
    let mut used = 0.0;
    for (nth, line) in wrap(name, bold.size, true, width, LINES).iter().enumerate() {
        y += if nth > 0 { BODY + 4.0 } else { 0.0 };
        used = canvas.text(line, (x, y), width, bold);
    }
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
