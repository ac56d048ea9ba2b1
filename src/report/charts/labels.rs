//! Names on a floor plan: in their places where they fit, else letters that a key explains. Numbers are for findings.

use super::areas::{
    Disc, LineEnds, are_apart, around, bounds, contains, covers, is_crossed, is_run_through,
    just_inside, lengthened,
};
use super::canvas::{Align, Area, Canvas, Font};
use super::style::{BODY, Colour, FAINT, SMALL, WHITE};
use super::text::{clean, wrap};

pub use super::letter_key::{LetterKey, letters};

/// Font sizes of names, the best first.
const SIZES: [f64; 3] = [BODY, SMALL, 9.0];
/// Room between a name and the edge of its area.
const PAD: f64 = 3.0;
/// Names beside each other are so far apart at least: nearer ones would be read as one.
const SPACE: f64 = 4.0;
/// So far away from a name a line does not disturb it.
const CLEAR: f64 = 1.0;
/// Where in an area a name may stand, as shares of the room beside it, the best first.
const SHIFTS: [f64; 5] = [0.0, -0.5, 0.5, -1.0, 1.0];

/// Where to look for room around a place.
pub(super) const DIRECTIONS: [(f64, f64); 8] = [
    (1.0, 0.0),
    (-1.0, 0.0),
    (0.0, -1.0),
    (0.0, 1.0),
    (0.7, -0.7),
    (-0.7, -0.7),
    (0.7, 0.7),
    (-0.7, 0.7),
];

/// The corners of things in a picture.
type Polylines<'a> = &'a [Vec<(f64, f64)>];

/// Places of a picture where texts already are.
pub struct Labels<'a> {
    key: &'a mut LetterKey,
    /// No label lies outside of it.
    paper: Area,
    pub(super) taken: Vec<Area>,
    /// What a letter beside something better does not cover.
    drawn: Vec<Area>,
    /// What no label is written over where it has another place.
    lines: Vec<LineEnds>,
    /// Whether what lies below a label shows through between its letters.
    bare: bool,
    /// Floor that means something, on which no sign with a figure stands where it has another place.
    pub(super) zones: Vec<Vec<(f64, f64)>>,
}

impl Labels<'_> {
    pub fn new(key: &mut LetterKey, paper: Area) -> Labels<'_> {
        Labels {
            key,
            paper,
            taken: Vec::new(),
            drawn: Vec::new(),
            lines: Vec::new(),
            bare: false,
            zones: Vec::new(),
        }
    }

    /// Labels are written on what is drawn, without a plate that would cover some of it.
    pub fn spare(&mut self) {
        self.bare = true;
    }

    /// How much the plate below a label covers.
    fn cover(&self, area: Area, cover: f64) -> f64 {
        let is_drawn_on = self.drawn.iter().any(|drawn| !are_apart(area, *drawn));
        if self.bare && is_drawn_on { 0.0 } else { cover }
    }

    pub(super) fn is_free(&self, area: Area) -> bool {
        let paper = self.paper;
        let inside = area.x >= paper.x
            && area.y >= paper.y
            && area.x + area.width <= paper.x + paper.width
            && area.y + area.height <= paper.y + paper.height;
        // Before and behind it, as it is read.
        let spaced = match area.width > area.height {
            true => lengthened(area, (SPACE, 0.0)),
            false => lengthened(area, (0.0, SPACE)),
        };
        inside && self.taken.iter().all(|taken| are_apart(spaced, *taken))
    }

    /// Whether nothing that labels keep off runs through an area.
    pub(super) fn is_clear(&self, area: Area) -> bool {
        let area = lengthened(area, (CLEAR, CLEAR));
        !self.lines.iter().any(|line| is_run_through(area, *line))
    }

    /// Says that lines are drawn there, which labels keep off if they can.
    pub fn keep_off(&mut self, corners: &[(f64, f64)], closed: bool) {
        let ends = corners.windows(2).map(|ends| (ends[0], ends[1]));
        self.lines.extend(ends);
        if let (true, Some(&first), Some(&last)) = (closed, corners.first(), corners.last()) {
            self.lines.push((last, first));
        }
    }

    /// Names an area of the picture, given by its corners, in its inside if the name or its letter fits there; at best where
    /// no line runs through it.
    pub fn inside(
        &mut self,
        canvas: &mut Canvas,
        corners: &[(f64, f64)],
        name: &str,
        plate: (Colour, f64),
    ) {
        let whole = clean(name);
        if whole.is_empty() {
            return;
        }
        if self.name_inside(canvas, corners, &whole, plate, true) {
            return;
        }
        // Where it would lie under something see-through, a letter that does not is better.
        if !self.bare && self.name_inside(canvas, corners, &whole, plate, false) {
            return;
        }
        let letter = self.key.letters(&whole);
        let mut is_written = |labels: &mut Self, clear: bool| {
            labels.letter_inside(canvas, corners, &letter, plate, clear)
        };
        if is_written(self, true) || is_written(self, false) {
            return;
        }
        self.beside(canvas, bounds(corners).middle(), &letter, bounds(corners));
    }

    /// Whether there is room for a name in an area, where it is written then: in some lines, or upward.
    fn name_inside(
        &mut self,
        canvas: &mut Canvas,
        corners: &[(f64, f64)],
        name: &str,
        (plate, cover): (Colour, f64),
        clear: bool,
    ) -> bool {
        let bounds = bounds(corners);
        for size in SIZES {
            let font = Font::BODY.size(size).align(Align::Middle);
            for count in 1..=3 {
                let lines = wrap(name, size, false, bounds.width - 2.0 * PAD, count);
                if lines.join(" ") != name {
                    continue;
                }
                let widths = lines.iter().map(|line| font.width(line));
                let wide = widths.fold(0.0, f64::max);
                let high = (size + 2.0) * lines.len() as f64;
                let Some(at) = self.seat(corners, (wide, high), (PAD, 0.0), clear) else {
                    continue;
                };
                let rim = around(at, wide + 4.0, high);
                canvas.wash(&rim.corners(), plate, self.cover(rim, cover));
                for (index, text) in lines.iter().enumerate() {
                    let y = rim.y + (size + 2.0) * (index as f64 + 0.5);
                    canvas.text(text, (at.0, y), wide + 1.0, font);
                }
                self.taken.push(around(at, wide, high));
                return true;
            }
            let long = font.width(name);
            if let Some(at) = self.seat(corners, (size + 2.0, long), (0.0, PAD), clear) {
                let area = around(at, size + 2.0, long);
                canvas.wash(&area.corners(), plate, self.cover(area, cover));
                canvas.text_upward(name, at, long + 1.0, font);
                self.taken.push(area);
                return true;
            }
        }
        false
    }

    /// Whether there is room for a letter in an area, where it is written then.
    fn letter_inside(
        &mut self,
        canvas: &mut Canvas,
        corners: &[(f64, f64)],
        letter: &str,
        (plate, cover): (Colour, f64),
        clear: bool,
    ) -> bool {
        // Something hatched has to be seen to be so.
        let pad = if cover < 1.0 { 0.0 } else { PAD };
        for size in SIZES {
            let font = Font::BODY.size(size).bold(true).align(Align::Middle);
            let needed = (font.width(letter) + 2.0, size);
            if let Some(at) = self.seat(corners, needed, (pad, pad), clear) {
                let area = around(at, needed.0, needed.1);
                canvas.wash(&area.corners(), plate, self.cover(area, cover));
                canvas.text(letter, at, needed.0, font);
                self.taken.push(area);
                return true;
            }
        }
        false
    }

    /// The middle of so much width and height in an outline, as near to its middle as there is room, with some more to the
    /// sides and above and below; where no line runs through it, if it is to be clear.
    fn seat(
        &self,
        corners: &[(f64, f64)],
        (width, height): (f64, f64),
        pad: (f64, f64),
        clear: bool,
    ) -> Option<(f64, f64)> {
        let bounds = bounds(corners);
        let (x, y) = bounds.middle();
        // Not quite to the edge, which is a line too.
        let free = |long: f64, needed: f64| ((long - needed) / 2.0 - 2.0 * CLEAR).max(0.0);
        let aside = free(bounds.width, width + 2.0 * pad.0);
        let below = free(bounds.height, height + 2.0 * pad.1);
        let shifts = SHIFTS.iter();
        let places =
            shifts.flat_map(|down| SHIFTS.map(|right| (x + right * aside, y + down * below)));
        let mut places = places.filter(|at| {
            let area = around(*at, width, height);
            self.fits(area, corners, pad) && (!clear || self.is_clear(area))
        });
        places.next()
    }

    /// Says that something is drawn there, which letters of other things keep off if they can.
    pub fn is_drawn(&mut self, corners: &[(f64, f64)]) {
        self.drawn.push(bounds(corners));
    }

    /// Keeps a mark of the drawing readable.
    pub fn keep_clear(&mut self, at: (f64, f64), wide: f64) {
        self.taken.push(around(at, wide, wide));
    }

    /// The first of some places at which there is room for so much width and height, which it takes.
    pub fn take(
        &mut self,
        places: &[(f64, f64)],
        (width, height): (f64, f64),
    ) -> Option<(f64, f64)> {
        let mut places = places.iter().copied();
        let best = places.find(|place| self.is_free(around(*place, width, height)))?;
        self.taken.push(around(best, width, height));
        Some(best)
    }

    /// Likewise right beside the one of several discs with this index: below, above, right or left of it, or in between,
    /// on none of the other discs. At best where no edge of bodies or walls runs through the area and no body contains it.
    pub fn beside_disc(
        &mut self,
        (discs, own): (&[Disc], usize),
        (width, height): (f64, f64),
        (bodies, walls): (Polylines, Polylines),
    ) -> Option<(f64, f64)> {
        let ((x, y), radius) = discs[own];
        const ASIDE: f64 = 1.0;
        const RINGS: [f64; 2] = [1.0, 1.2];
        const SIDES: [(f64, f64); 8] = [
            (0.0, 1.0),
            (0.0, -1.0),
            (1.0, 0.0),
            (-1.0, 0.0),
            (0.8, 0.8),
            (-0.8, 0.8),
            (0.8, -0.8),
            (-0.8, -0.8),
        ];
        let (far_x, far_y) = (
            radius + width / 2.0 + 2.0 * ASIDE,
            radius + height / 2.0 + ASIDE,
        );
        let around_disc = |ring: f64| {
            SIDES.map(|(side_x, side_y)| (x + side_x * far_x * ring, y + side_y * far_y * ring))
        };
        let is_clear = |place: &(f64, f64)| {
            let area = around(*place, width, height);
            let inside = |body: &Vec<(f64, f64)>| contains(body, *place);
            let mut edges = bodies.iter().chain(walls);
            !bodies.iter().any(inside) && !edges.any(|outline| is_crossed(area, outline))
        };
        let is_bare = |place: &(f64, f64)| {
            let area = around(*place, width, height);
            let mut others = discs.iter().enumerate().filter(|(index, _)| *index != own);
            self.is_free(area) && !others.any(|(_, disc)| covers(*disc, area))
        };
        let bare = || RINGS.into_iter().flat_map(around_disc).filter(is_bare);
        let best = bare().find(is_clear).or_else(|| bare().next())?;
        self.taken.push(around(best, width, height));
        Some(best)
    }

    /// Likewise in a disc: in its middle, or as near to that as no edge of bodies runs through the area.
    pub fn in_disc(
        &mut self,
        ((x, y), radius): Disc,
        (width, height): (f64, f64),
        bodies: Polylines,
    ) -> Option<(f64, f64)> {
        const STEPS: i32 = 4;
        // How far it may be moved along itself until its corners leave the disc.
        let free = |along: f64, across: f64| {
            let chord = (radius * radius - across * across / 4.0).max(0.0).sqrt();
            (chord - along / 2.0).max(0.0)
        };
        let (across, down) = (free(width, height), free(height, width));
        let shifts = (1..=STEPS).flat_map(|step| {
            let share = f64::from(step) / f64::from(STEPS);
            let (across, down) = (across * share, down * share);
            [(across, 0.0), (-across, 0.0), (0.0, down), (0.0, -down)]
        });
        let places = std::iter::once((0.0, 0.0)).chain(shifts);
        let mut places = places.map(|(right, below)| (x + right, y + below));
        let best = places.find(|place| {
            let area = around(*place, width, height);
            self.is_free(area) && !bodies.iter().any(|body| is_crossed(area, body))
        })?;
        self.taken.push(around(best, width, height));
        Some(best)
    }

    /// Writes a name at the first of these places that is free, or its letter at one of them or near the first.
    pub fn at(&mut self, canvas: &mut Canvas, places: &[(f64, f64)], name: &str, upward: bool) {
        const LONGEST: f64 = 130.0;
        let whole = clean(name);
        let Some(&first) = places.first().filter(|_| !whole.is_empty()) else {
            return;
        };
        let font = Font::BODY.size(SMALL).align(Align::Middle);
        let (along, across) = (font.width(&whole) + 4.0, SMALL + 2.0);
        let size = if upward {
            (across, along)
        } else {
            (along, across)
        };
        let free = |labels: &Self, size: (f64, f64)| {
            let areas = places.iter().map(|at| (*at, around(*at, size.0, size.1)));
            let free: Vec<_> = areas.filter(|(_, area)| labels.is_free(*area)).collect();
            let mut clear = free.iter().filter(|(_, area)| labels.is_clear(*area));
            clear.next().or(free.first()).copied()
        };
        if let Some((at, area)) = free(self, size).filter(|_| along <= LONGEST) {
            if !self.is_clear(area) {
                canvas.wash(&area.corners(), WHITE, self.cover(area, 0.8));
            }
            match upward {
                true => canvas.text_upward(&whole, at, along, font),
                false => canvas.text(&whole, at, along, font),
            };
            self.taken.push(area);
            return;
        }
        let letter = self.key.letters(&whole);
        let font = Font::BODY.bold(true).align(Align::Middle);
        let size = (font.width(&letter) + 2.0, BODY);
        match free(self, size) {
            Some((at, area)) => {
                canvas.text(&letter, at, size.0, font);
                self.taken.push(area);
            }
            None => self.beside(canvas, first, &letter, around(first, 0.0, 0.0)),
        }
    }

    /// Writes a letter as near to an area as there is room, with a line to its edge.
    fn beside(&mut self, canvas: &mut Canvas, centre: (f64, f64), letter: &str, bounds: Area) {
        const RINGS: u32 = 12;
        let font = Font::BODY.bold(true).align(Align::Middle);
        let width = font.width(letter) + 4.0;
        let reach = (
            (bounds.width + width) / 2.0 + 3.0,
            (bounds.height + BODY) / 2.0 + 3.0,
        );
        let places = (0..RINGS).flat_map(|ring| {
            let far = 7.0 * f64::from(ring);
            DIRECTIONS.map(|(x, y)| {
                let beyond = (x * (reach.0 + far), y * (reach.1 + far));
                (centre.0 + beyond.0, centre.1 + beyond.1)
            })
        });
        let free: Vec<_> = places
            .map(|at| (at, around(at, width, BODY + 2.0)))
            .filter(|(_, area)| self.is_free(*area))
            .collect();
        let blank = |area: Area| self.drawn.iter().all(|drawn| are_apart(area, *drawn));
        let best = free.iter().find(|(_, area)| blank(*area));
        if let Some(&(at, area)) = best.or(free.first()) {
            let is_blank = blank(area);
            let end = just_inside(bounds, centre, at);
            // A line that ends in another name would be read as a part of it.
            if self.name_at(end).is_none() {
                canvas.line(end, at, FAINT, 0.75);
            }
            if !self.bare || is_blank {
                canvas.wash(&area.corners(), WHITE, 1.0);
            }
            canvas.text(letter, at, width, font);
            self.taken.push(area);
        }
    }

    /// Whether a free area lies in an outline, with some room to the sides and above and below.
    fn fits(&self, area: Area, corners: &[(f64, f64)], pad: (f64, f64)) -> bool {
        let padded = around(
            (area.x + area.width / 2.0, area.y + area.height / 2.0),
            area.width + 2.0 * pad.0,
            area.height + 2.0 * pad.1,
        );
        self.is_free(area)
            && padded
                .corners()
                .iter()
                .all(|corner| contains(corners, *corner))
    }
}
