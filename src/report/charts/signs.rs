//! Faults and warnings on a floor: signs with numbers, and the sentences behind them.

use super::canvas::{Align, Canvas, Font};
use super::capital;
use super::labels::Labels;
use super::layout::{DrawnFinding, DrawnGap, Layout};
use super::sheet::Sheet;
use super::style::{BLACK, SMALL, WHITE};
use super::text::wrap;
use crate::floor::Point;

/// Where the line of a sign ends in its place.
const LEADER_END: f64 = 1.75;
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

/// The sign of a gap on which walking hangs, which is no finding to be mended and has no number.
pub fn gap_sign(canvas: &mut Canvas, at: (f64, f64)) {
    let diamond = |half: f64| {
        let (x, y) = at;
        [(x, y - half), (x + half, y), (x, y + half), (x - half, y)]
    };
    canvas.wash(&diamond(SIGN + 1.5), WHITE, 1.0);
    canvas.wash(&diamond(SIGN), BLACK, 1.0);
    canvas.wash(&diamond(SIGN - 2.5), WHITE, 1.0);
}

/// What has a sign on the floor.
struct Signed<'a> {
    at: Point,
    /// How wide a gap is.
    width: Option<&'a str>,
    id: String,
    words: &'a str,
    draw: &'a dyn Fn(&mut Canvas, (f64, f64)),
}

/// Signs of findings where they belong, with the width of a gap that is too narrow below, for those of which it is to be
/// told; those that stand elsewhere for lack of room have a line to their place.
pub fn on_floor(
    canvas: &mut Canvas,
    sheet: &Sheet,
    layout: &Layout,
    labels: &mut Labels,
    has_width: fn(&DrawnFinding) -> bool,
) {
    for finding in &layout.findings {
        let Some(at) = finding.at else { continue };
        let signed = Signed {
            at,
            width: finding.gap.as_deref().filter(|_| has_width(finding)),
            id: format!("finding-{}", finding.number),
            words: &finding.words,
            draw: &|canvas, at| sign(canvas, at, finding.number, finding.is_fault),
        };
        at_place(canvas, sheet, labels, &signed);
    }
}

/// Signs of the gaps on which walking hangs, with their widths.
pub fn gaps_on_floor(canvas: &mut Canvas, sheet: &Sheet, layout: &Layout, labels: &mut Labels) {
    for (index, gap) in layout.near_gaps.iter().enumerate() {
        let signed = Signed {
            at: gap.at,
            width: Some(&gap.width),
            id: format!("gap-{}", index + 1),
            words: &gap.words,
            draw: &gap_sign,
        };
        at_place(canvas, sheet, labels, &signed);
    }
}

fn at_place(canvas: &mut Canvas, sheet: &Sheet, labels: &mut Labels, signed: &Signed<'_>) {
    let font = Font::BODY.size(SMALL).align(Align::Middle);
    const GAP_TEXT: f64 = 12.0;
    let at = sheet.at(signed.at);
    // Without the width where there is no room for it; where there is none at all, the list has to do.
    let size = |gap: Option<&str>| {
        let wide = gap.map_or(0.0, |gap| font.width(gap)).max(2.0 * SIGN);
        let high = 2.0 * SIGN + if gap.is_some() { GAP_TEXT } else { 0.0 };
        (wide, high)
    };
    let mut place = |gap: Option<&'_ str>| {
        let (wide, high) = size(gap);
        let rise = high / 2.0 - SIGN;
        labels.for_sign(at, (wide + 2.0, high + 2.0), (rise, gap.is_some()))
    };
    let with_gap = place(signed.width);
    let gap = signed.width.filter(|_| with_gap.is_some());
    let Some((x, y)) = with_gap.or_else(|| place(None)) else {
        return;
    };
    let (wide, high) = size(gap);
    let centre = (x, y - high / 2.0 + SIGN);
    let is_aside = (centre.0 - at.0).hypot(centre.1 - at.1) > SIGN;
    // What is seen of a shorter one looks like dirt.
    const SHORTEST: f64 = 5.0;
    let reach = |end: &(f64, f64)| (end.0 - centre.0).hypot(end.1 - centre.1) > SIGN + SHORTEST;
    let line_to = (is_aside.then(|| labels.line_to(at, centre)).flatten()).filter(reach);
    let id = format!("{}{}", sheet.id, signed.id);
    let titled = (Some(id), Some(signed.words.to_owned()));
    canvas.group("finding", titled, |canvas| {
        if let Some(end) = line_to {
            canvas.line(centre, end, BLACK, 0.75);
            canvas.disc(end, LEADER_END, BLACK);
        }
        (signed.draw)(canvas, centre);
        if let Some(gap) = gap {
            let below = (x, centre.1 + SIGN + GAP_TEXT / 2.0);
            canvas.plate(below, (font.width(gap) + 3.0, 11.0));
            canvas.text(gap, below, wide + 2.0, font);
        }
    });
}

/// A line of the list of findings.
const LINE: f64 = 15.0;
/// Room for a sign before its sentence.
const INDENT: f64 = 24.0;
/// A sentence has so many lines at most.
const LINES: usize = 8;

/// A line of the list: what the sign is, and what it means here.
#[derive(Clone, Copy)]
pub enum Listed<'a> {
    Finding(&'a DrawnFinding),
    NearGap(&'a DrawnGap),
}

impl Listed<'_> {
    fn words(&self) -> &str {
        match self {
            Listed::Finding(finding) => &finding.short,
            Listed::NearGap(gap) => &gap.words,
        }
    }

    fn sign(&self, canvas: &mut Canvas, at: (f64, f64)) {
        match self {
            Listed::Finding(finding) => sign(canvas, at, finding.number, finding.is_fault),
            Listed::NearGap(_) => gap_sign(canvas, at),
        }
    }
}

/// Writes the findings with their signs, the worst first, in as many columns as are readable, and returns where they
/// end. Where some have no room above `bottom`, it is said how many.
pub fn list(
    canvas: &mut Canvas,
    (x, y): (f64, f64),
    room: f64,
    bottom: f64,
    findings: &[Listed<'_>],
) -> f64 {
    const GAP: f64 = 20.0;
    const NARROWEST: f64 = 300.0;
    let across = (((room + GAP) / (NARROWEST + GAP)) as usize).clamp(1, findings.len().max(1));
    let width = (room - GAP * (across - 1) as f64) / across as f64;
    let font = Font::BODY;
    let each = findings.iter().map(|finding| {
        let words = capital(finding.words());
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
        finding.sign(canvas, (left + SIGN + 1.0, first));
        for (nth, line) in lines.iter().enumerate() {
            let at = (left + INDENT, first + LINE * nth as f64);
            canvas.text(line, at, width - INDENT, font);
        }
        top += high(lines);
        end = end.max(top);
    }
    end
}
