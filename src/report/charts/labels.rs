//! Names on a floor plan: in their places where they fit, else letters that a key explains. Numbers are for findings.

use super::canvas::{Align, Area, Canvas, Font};
use super::style::{BODY, Colour, FAINT, SMALL, WHITE};
use super::text::{clean, wrap};
use crate::floor::{Point, Polygon};

pub use super::letter_key::{LetterKey, letters};

/// Font sizes of names, the best first.
const SIZES: [f64; 3] = [BODY, SMALL, 9.0];
/// Room between a name and the edge of its area.
const PAD: f64 = 3.0;

/// Where to look for room around a place.
const DIRECTIONS: [(f64, f64); 8] = [
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

/// The centre and the radius of a disc of the picture.
pub type Disc = ((f64, f64), f64);

/// Whether a disc reaches into an area.
fn covers(((x, y), radius): Disc, area: Area) -> bool {
    let near = |at: f64, from: f64, length: f64| at - at.clamp(from, from + length);
    let (dx, dy) = (near(x, area.x, area.width), near(y, area.y, area.height));
    dx.hypot(dy) < radius
}

/// Places of a picture where texts already are.
pub struct Labels<'a> {
    key: &'a mut LetterKey,
    /// No label lies outside of it.
    paper: Area,
    taken: Vec<Area>,
    /// What a letter beside something better does not cover.
    drawn: Vec<Area>,
    /// Whether what lies below a label shows through between its letters.
    bare: bool,
}

impl Labels<'_> {
    pub fn new(key: &mut LetterKey, paper: Area) -> Labels<'_> {
        Labels {
            key,
            paper,
            taken: Vec::new(),
            drawn: Vec::new(),
            bare: false,
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

    fn is_free(&self, area: Area) -> bool {
        let paper = self.paper;
        let inside = area.x >= paper.x
            && area.y >= paper.y
            && area.x + area.width <= paper.x + paper.width
            && area.y + area.height <= paper.y + paper.height;
        inside && self.taken.iter().all(|taken| are_apart(area, *taken))
    }

    /// Names an area of the picture, given by its corners, in its inside if the name or its letter fits there.
    pub fn inside(
        &mut self,
        canvas: &mut Canvas,
        corners: &[(f64, f64)],
        name: &str,
        (plate, cover): (Colour, f64),
    ) {
        let bounds = bounds(corners);
        let centre = (
            bounds.x + bounds.width / 2.0,
            bounds.y + bounds.height / 2.0,
        );
        let whole = clean(name);
        if whole.is_empty() {
            return;
        }
        for size in SIZES {
            let font = Font::BODY.size(size).align(Align::Middle);
            for count in 1..=3 {
                let lines = wrap(&whole, size, false, bounds.width - 2.0 * PAD, count);
                let wide = lines
                    .iter()
                    .map(|line| font.width(line))
                    .fold(0.0, f64::max);
                let line = size + 2.0;
                let area = around(centre, wide, line * lines.len() as f64);
                if lines.join(" ") == whole && self.fits(area, corners, (PAD, 0.0)) {
                    let rim = around(centre, wide + 4.0, area.height);
                    canvas.wash(&outline(rim), plate, self.cover(rim, cover));
                    for (index, text) in lines.iter().enumerate() {
                        let y = area.y + line * (index as f64 + 0.5);
                        canvas.text(text, (centre.0, y), wide + 1.0, font);
                    }
                    self.taken.push(area);
                    return;
                }
            }
            let area = around(centre, size + 2.0, font.width(&whole));
            if self.fits(area, corners, (0.0, PAD)) {
                canvas.wash(&outline(area), plate, self.cover(area, cover));
                canvas.text_upward(&whole, centre, area.height + 1.0, font);
                self.taken.push(area);
                return;
            }
        }
        let letter = self.key.letters(&whole);
        for size in SIZES {
            let font = Font::BODY.size(size).bold(true).align(Align::Middle);
            let area = around(centre, font.width(&letter) + 2.0, size);
            // Something hatched has to be seen to be so.
            let pad = if cover < 1.0 { 0.0 } else { PAD };
            if self.fits(area, corners, (pad, pad)) {
                canvas.wash(&outline(area), plate, self.cover(area, cover));
                canvas.text(&letter, centre, area.width, font);
                self.taken.push(area);
                return;
            }
        }
        self.beside(canvas, centre, &letter, bounds);
    }

    /// Says that something is drawn there, which letters of other things keep off if they can.
    pub fn is_drawn(&mut self, corners: &[(f64, f64)]) {
        self.drawn.push(bounds(corners));
    }

    /// Keeps a mark of the drawing readable.
    pub fn keep_clear(&mut self, at: (f64, f64), wide: f64) {
        self.taken.push(around(at, wide, wide));
    }

    /// The middle of an area of so much width and height, as near to a place as there is room, which it takes; nothing if
    /// there is none.
    pub fn near(&mut self, at: (f64, f64), (width, height): (f64, f64)) -> Option<(f64, f64)> {
        const RINGS: u32 = 40;
        const STEP: f64 = 5.0;
        let places = (0..RINGS).flat_map(|ring| {
            let far = STEP * f64::from(ring);
            DIRECTIONS.map(|(x, y)| (at.0 + x * far, at.1 + y * far))
        });
        let mut free = places.filter(|place| self.is_free(around(*place, width, height)));
        let best = free.next()?;
        self.taken.push(around(best, width, height));
        Some(best)
    }

    /// Where a line from the middle of a label to a place ends, so that it runs into no other label: nothing where it would
    /// be no line any more.
    pub fn line_to(&self, at: (f64, f64), from: (f64, f64)) -> Option<(f64, f64)> {
        const SHORTEST: f64 = 4.0;
        let Some(name) = self.name_at(at).filter(|name| !is_in(*name, from)) else {
            return Some(at);
        };
        let share = [
            (name.x - from.0) / (at.0 - from.0),
            (name.x + name.width - from.0) / (at.0 - from.0),
            (name.y - from.1) / (at.1 - from.1),
            (name.y + name.height - from.1) / (at.1 - from.1),
        ];
        let to = |share: f64| {
            (
                from.0 + (at.0 - from.0) * share,
                from.1 + (at.1 - from.1) * share,
            )
        };
        let enters = share
            .into_iter()
            .filter(|share| (0.0..=1.0).contains(share));
        let enters = enters.filter(|&share| is_in(widened(name, 0.5), to(share)));
        let end = to(enters.fold(1.0, f64::min));
        ((end.0 - from.0).hypot(end.1 - from.1) > SHORTEST).then_some(end)
    }

    /// The label that lies over a place.
    fn name_at(&self, at: (f64, f64)) -> Option<Area> {
        self.taken.iter().copied().find(|taken| is_in(*taken, at))
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
            let mut free = areas.filter(|(_, area)| labels.is_free(*area));
            free.next()
        };
        if let Some((at, area)) = free(self, size).filter(|_| along <= LONGEST) {
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
                canvas.wash(&outline(area), WHITE, 1.0);
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
            && outline(padded)
                .iter()
                .all(|corner| contains(corners, *corner))
    }
}

/// Where a line from the middle of an area to a place outside of it leaves the area, a little before its edge: what is
/// written inside stays readable.
fn just_inside(bounds: Area, centre: (f64, f64), to: (f64, f64)) -> (f64, f64) {
    const INSIDE: f64 = 3.0;
    let (x, y) = (to.0 - centre.0, to.1 - centre.1);
    let share = |half: f64, far: f64| match far == 0.0 {
        true => f64::INFINITY,
        false => ((half - INSIDE) / far.abs()).max(0.0),
    };
    let share = share(bounds.width / 2.0, x).min(share(bounds.height / 2.0, y));
    let share = share.min(1.0);
    (centre.0 + x * share, centre.1 + y * share)
}

/// Whether an edge of an outline runs through an area, or a corner of the outline lies in it.
fn is_crossed(area: Area, corners: &[(f64, f64)]) -> bool {
    let inside = |corner: &&(f64, f64)| contains(corners, **corner);
    let of_area = outline(area);
    let within = of_area.iter().filter(inside).count();
    let has_corner = corners.iter().any(|corner| is_in(area, *corner));
    has_corner || (within != 0 && within != of_area.len())
}

fn is_in(area: Area, (x, y): (f64, f64)) -> bool {
    (area.x..=area.x + area.width).contains(&x) && (area.y..=area.y + area.height).contains(&y)
}

fn widened(area: Area, by: f64) -> Area {
    Area {
        x: area.x - by,
        y: area.y - by,
        width: area.width + 2.0 * by,
        height: area.height + 2.0 * by,
    }
}

fn are_apart(one: Area, other: Area) -> bool {
    one.x + one.width <= other.x
        || other.x + other.width <= one.x
        || one.y + one.height <= other.y
        || other.y + other.height <= one.y
}

fn around((x, y): (f64, f64), width: f64, height: f64) -> Area {
    Area {
        x: x - width / 2.0,
        y: y - height / 2.0,
        width,
        height,
    }
}

fn outline(area: Area) -> [(f64, f64); 4] {
    let (right, bottom) = (area.x + area.width, area.y + area.height);
    [
        (area.x, area.y),
        (right, area.y),
        (right, bottom),
        (area.x, bottom),
    ]
}

fn bounds(corners: &[(f64, f64)]) -> Area {
    let fold = |of: fn(&(f64, f64)) -> f64| {
        let values = corners.iter().map(of);
        values.fold(
            (f64::INFINITY, f64::NEG_INFINITY),
            |(least, most), value| (least.min(value), most.max(value)),
        )
    };
    let (left, right) = fold(|corner| corner.0);
    let (top, bottom) = fold(|corner| corner.1);
    Area {
        x: left,
        y: top,
        width: right - left,
        height: bottom - top,
    }
}

/// Whether a point lies inside of an outline.
fn contains(corners: &[(f64, f64)], (x, y): (f64, f64)) -> bool {
    let corners: Vec<Point> = corners.iter().map(|&(x, y)| Point::new(x, y)).collect();
    Polygon::new(&corners).is_ok_and(|outline| outline.contains(Point::new(x, y)))
}
