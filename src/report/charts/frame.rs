//! What charts have in common around their figures: headings, legends and axes.

use super::canvas::{Align, Area, Canvas, Font};
use super::quantity::{Unit, mark, marks};
use super::style::{BODY, EDGE, FAINT, Fill, GRID, MARGIN, SMALL, TEXT, TITLE, WHITE};
use super::text::{clean, wrap};
use crate::experiment::Findings;

/// Lines of notes at most: more than any chart has to say, unless a name in them is very long.
const NOTES: usize = 12;

/// Writes the title, what was played and what is to be seen; returns where the chart begins.
///
/// What was played stands beside the title if there is room, else below it.
pub fn heading(canvas: &mut Canvas, title: &str, findings: &Findings, notes: &str) -> f64 {
    const GAP: f64 = 24.0;
    let inner = canvas.inner();
    let mut y = MARGIN + TITLE / 2.0;
    let font = Font::BODY.size(TITLE).bold(true);
    let used = canvas.text(title, (MARGIN, y), inner, font);
    let font = Font::BODY.size(BODY + 1.0).colour(FAINT);
    let beside = inner - used - GAP;
    let needed = font.width(&clean(&findings.title));
    if needed <= beside {
        let at = (canvas.right(), y);
        canvas.text(&findings.title, at, beside, font.align(Align::Right));
        y += TITLE / 2.0 + 12.0;
    } else {
        y += TITLE / 2.0 + 11.0;
        canvas.text(&findings.title, (MARGIN, y), inner, font);
        y += BODY + 7.0;
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

/// How often the candidates were played.
pub fn played(findings: &Findings) -> String {
    match findings.replications {
        1 => "one replication".to_string(),
        many => format!("mean of {many} replications"),
    }
}

/// Draws what a legend explains into an area of [`SIGN`].
pub type Sign<'a> = &'a dyn Fn(&mut Canvas, Area);

/// How large the sign of a legend's entry is.
const SIGN: (f64, f64) = (22.0, 12.0);

/// A row of boxes with their names; further rows where they do not fit. Returns where it ends.
pub fn legend(canvas: &mut Canvas, top: f64, entries: &[(Fill, &str)]) -> f64 {
    let boxes: Vec<_> = (entries.iter())
        .map(|(fill, _)| {
            move |canvas: &mut Canvas, area: Area| {
                canvas.hatched(area, *fill);
                canvas.outline(area, EDGE, 0.75);
            }
        })
        .collect();
    let signs: Vec<(Sign, &str)> = (boxes.iter().zip(entries))
        .map(|(draw, (_, name))| (draw as Sign, *name))
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

/// Draws an interval over a bar, with ends of so much height above and below its middle.
pub fn whisker(canvas: &mut Canvas, (low, high): (f64, f64), middle: f64, half: f64) {
    // A light rim keeps it apart from the hatch below it.
    for (colour, width) in [(WHITE, 5.0), (TEXT, 2.0)] {
        let rim = (width - 2.0) / 2.0;
        canvas.line((low - rim, middle), (high + rim, middle), colour, width);
        for end in [low, high] {
            let (top, bottom) = (middle - half - rim, middle + half + rim);
            canvas.line((end, top), (end, bottom), colour, width);
        }
    }
}

/// A horizontal axis over an area: lines upright in it, figures below it.
pub struct Axis {
    pub area: Area,
    /// The ends in the unit that is shown; the second is the larger one.
    least: f64,
    most: f64,
    unit: Unit,
}

impl Axis {
    /// An axis for figures from 0 to `most` metres or seconds.
    pub fn new(area: Area, most: f64, unit: Unit) -> Axis {
        let most = most * unit.factor;
        let most = if most.is_normal() && most > 0.0 {
            most
        } else {
            1.0
        };
        Axis {
            area,
            least: 0.0,
            most,
            unit,
        }
    }

    /// An axis for figures from `least` to `most` metres or seconds, both positive. It begins at 0 unless that would
    /// leave a third of it empty.
    pub fn from(area: Area, least: f64, most: f64, unit: Unit) -> Axis {
        const EMPTY: f64 = 1.0 / 3.0;
        let whole = Axis::new(area, most, unit);
        let least = least * unit.factor;
        // Figures that are nearly alike still get an axis that shows their size.
        let room = ((whole.most - least) * 0.05).max(whole.most * 0.01);
        if least < whole.most * EMPTY {
            return whole;
        }
        Axis {
            least: least - room,
            most: whole.most + room,
            ..whole
        }
    }

    /// An axis for differences, the least not above 0 and the most not below it, with a little room on both sides for
    /// the ends of whiskers.
    pub fn around_zero(area: Area, (least, most): (f64, f64), unit: Unit) -> Axis {
        let room = ((most - least) * unit.factor * 0.02).max(f64::MIN_POSITIVE);
        let (least, most) = (least * unit.factor - room, most * unit.factor + room);
        let (least, most) = match (most - least).is_normal() {
            true => (least, most),
            false => (-1.0, 1.0),
        };
        Axis {
            area,
            least,
            most,
            unit,
        }
    }

    /// Whether it does not begin at 0.
    pub fn is_cut(&self) -> bool {
        self.least > 0.0
    }

    /// Where a figure in metres or seconds lies.
    pub fn at(&self, value: f64) -> f64 {
        let share = (value * self.unit.factor - self.least) / (self.most - self.least);
        self.area.x + share.clamp(0.0, 1.0) * self.area.width
    }

    /// Draws the marks about a hundred units apart and returns where the axis ends below.
    pub fn draw(&self, canvas: &mut Canvas) -> f64 {
        let Area {
            x,
            y,
            width,
            height,
        } = self.area;
        let bottom = y + height;
        let mut wanted = (width / 100.0) as usize;
        let (mut marked, mut step) = marks(self.least, self.most, wanted);
        // Zero alone in the middle would not say how long anything is.
        while self.least < 0.0 && marked.len() < 3 && wanted < 6 {
            wanted += 1;
            (marked, step) = marks(self.least, self.most, wanted);
        }
        let font = Font::BODY.size(SMALL).colour(FAINT).align(Align::Middle);
        let mut end = x + width;
        for value in &marked {
            let at = x + (value - self.least) / (self.most - self.least) * width;
            let figure = mark(*value, step);
            canvas.line((at, y), (at, bottom), GRID, 0.75);
            let drawn = canvas.text(&figure, (at, bottom + 10.0), 80.0, font);
            end = end.max(at + drawn / 2.0);
        }
        let zero = self.at(0.0);
        canvas.line((zero, y), (zero, bottom), EDGE, 1.0);
        let at = (end + 8.0, bottom + 10.0);
        canvas.text(self.unit.name, at, 40.0, font.align(Align::Left));
        bottom + 22.0
    }
}
