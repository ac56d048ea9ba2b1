//! Faults and warnings on a floor: signs with numbers, and the sentences behind them.

use super::canvas::{Align, Canvas, Font};
use super::capital;
use super::labels::Labels;
use super::layout::{DrawnFinding, Layout};
use super::sheet::Sheet;
use super::style::{BLACK, SMALL, WHITE};
use super::text::wrap;

/// Half the size of a finding's sign.
pub const SIGN: f64 = 8.0;

/// The sign of a finding: white on black for a fault, black on white for a warning.
pub fn sign(canvas: &mut Canvas, at: (f64, f64), number: usize, is_fault: bool) {
    let (ink, ground) = if is_fault {
        (WHITE, BLACK)
    } else {
        (BLACK, WHITE)
    };
    canvas.disc(at, SIGN + 1.0, WHITE);
    canvas.disc(at, SIGN, BLACK);
    canvas.disc(at, SIGN - 1.25, ground);
    let font = Font::BODY
        .size(SMALL)
        .bold(true)
        .colour(ink)
        .align(Align::Middle);
    canvas.text(&number.to_string(), at, 2.0 * SIGN, font);
}

/// Signs of findings where they belong, with the width of a gap that is too narrow below; those that stand elsewhere
/// for lack of room have a line to their place.
pub fn on_floor(canvas: &mut Canvas, sheet: &Sheet, layout: &Layout, labels: &mut Labels) {
    let font = Font::BODY.size(SMALL).align(Align::Middle);
    const GAP_TEXT: f64 = 12.0;
    for finding in &layout.findings {
        let Some(at) = finding.at.map(|at| sheet.at(at)) else {
            continue;
        };
        // Without the width where there is no room for it; where there is none at all, the list has to do.
        let size = |gap: Option<&str>| {
            let wide = gap.map_or(0.0, |gap| font.width(gap)).max(2.0 * SIGN);
            let high = 2.0 * SIGN + if gap.is_some() { GAP_TEXT } else { 0.0 };
            (wide, high)
        };
        let mut place = |gap: Option<&'_ str>| {
            let (wide, high) = size(gap);
            labels.near(at, (wide + 2.0, high + 2.0))
        };
        let gap = finding.gap.as_deref();
        let with_gap = place(gap);
        let gap = gap.filter(|_| with_gap.is_some());
        let Some((x, y)) = with_gap.or_else(|| place(None)) else {
            continue;
        };
        let (wide, high) = size(gap);
        let centre = (x, y - high / 2.0 + SIGN);
        let id = format!("{}finding-{}", sheet.id, finding.number);
        canvas.group(
            "finding",
            (Some(id), Some(finding.words.clone())),
            |canvas| {
                if (centre.0 - at.0).hypot(centre.1 - at.1) > SIGN {
                    canvas.line(centre, at, BLACK, 0.75);
                }
                sign(canvas, centre, finding.number, finding.is_fault);
                if let Some(gap) = gap {
                    let below = (x, centre.1 + SIGN + GAP_TEXT / 2.0);
                    let half = font.width(gap) / 2.0 + 1.5;
                    canvas.wash(
                        &[
                            (x - half, below.1 - 5.5),
                            (x + half, below.1 - 5.5),
                            (x + half, below.1 + 5.5),
                            (x - half, below.1 + 5.5),
                        ],
                        WHITE,
                        0.8,
                    );
                    canvas.text(gap, below, wide + 2.0, font);
                }
            },
        );
    }
}

/// A line of the list of findings.
const LINE: f64 = 15.0;
/// Room for a sign before its sentence.
const INDENT: f64 = 24.0;
/// A sentence has so many lines at most.
const LINES: usize = 8;

/// Writes the findings with their signs, the worst first, in as many columns as are readable, and returns where they
/// end. Where some have no room above `bottom`, it is said how many.
pub fn list(
    canvas: &mut Canvas,
    (x, y): (f64, f64),
    room: f64,
    bottom: f64,
    findings: &[DrawnFinding],
) -> f64 {
    const GAP: f64 = 20.0;
    const NARROWEST: f64 = 300.0;
    let across = (((room + GAP) / (NARROWEST + GAP)) as usize).clamp(1, findings.len().max(1));
    let width = (room - GAP * (across - 1) as f64) / across as f64;
    let font = Font::BODY;
    let each = findings.iter().map(|finding| {
        let words = capital(&finding.words);
        wrap(&words, font.size, false, width - INDENT, LINES)
    });
    let each: Vec<Vec<String>> = each.collect();
    let high = |lines: &Vec<String>| LINE * lines.len() as f64 + 6.0;
    let all: f64 = each.iter().map(high).sum();
    let (mut left, mut top) = (x, y);
    let (mut end, mut column) = (y, 0);
    for (index, (finding, lines)) in findings.iter().zip(&each).enumerate() {
        let is_full = top - y + high(lines) / 2.0 > all / across as f64;
        if top > y && is_full && column + 1 < across {
            (left, top) = (left + width + GAP, y);
            column += 1;
        }
        let is_last = index + 1 == findings.len();
        let needed = high(lines) + if is_last { 0.0 } else { LINE };
        if top + needed > bottom && column + 1 == across {
            let more = findings.len() - index;
            let text = format!("{more} more: see shopstride check.");
            canvas.text(
                &text,
                (left + INDENT, top + LINE / 2.0),
                width - INDENT,
                font,
            );
            return end.max(top + LINE);
        }
        let first = top + LINE / 2.0;
        sign(
            canvas,
            (left + SIGN + 1.0, first),
            finding.number,
            finding.is_fault,
        );
        for (nth, line) in lines.iter().enumerate() {
            let at = (left + INDENT, first + LINE * nth as f64);
            canvas.text(line, at, width - INDENT, font);
        }
        top += high(lines);
        end = end.max(top);
    }
    end
}
