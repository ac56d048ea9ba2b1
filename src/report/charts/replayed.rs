//! What a page replays runs on: the plan of each layout without heading and lists, all at one scale, and the fillings
//! by which it says what goes on.

use super::canvas::{Canvas, picture};
use super::floor::{self, AROUND};
use super::labels::{Labels, LetterKey};
use super::layout::Layout;
use super::meaning::{Meaning, NO_ROOM_TO_FEED, OBSTACLE, ROOM_TO_FEED, STATION, THROWN};
use super::plan::{described, zones};
use super::scene::paint::{Hatch, Paint, hex};
use super::scene::{ChartScene, pattern};
use super::sheet::{self, Extent, Sheet};
use super::signs;
use super::size::ChartSize;
use super::style::MARGIN;
use crate::experiment::{Activity, Units};
use crate::floor::{Going, Placement, Plan, Point};
use crate::shop::Shop;

/// Texts are this much larger than in a chart: a plan takes half of a page, or all of a phone.
const ENLARGED: f64 = 2.6;
/// The height of a plan at most, in widths of its picture.
const HIGHEST: f64 = 1.1;
/// Free on the left and on the right.
const ASIDE: f64 = 6.0;

/// A plan, and where its places are in the picture.
pub struct ReplayedPlan {
    pub scene: ChartScene,
    /// Units of the picture in a metre.
    pub metre: f64,
    /// Where the origin of the floor lies in the picture. Y goes up on the floor and down in the picture.
    pub origin: (f64, f64),
}

/// The plans of these layouts, numbered from 1 in their ids; nothing for one that places nothing.
pub fn replayed_plans(layouts: &[Layout], units: Option<Units>) -> Vec<Option<ReplayedPlan>> {
    let size = ChartSize::from(ENLARGED);
    let extents: Vec<Option<Extent>> = layouts.iter().map(sheet::shown).collect();
    let room = size.width() - 2.0 * (ASIDE + AROUND);
    // One scale for all, so that they can be compared.
    let metres = extents
        .iter()
        .flatten()
        .map(|extent| (room / extent.width()).min(size.width() * HIGHEST / extent.height()));
    let metre = metres.fold(f64::INFINITY, f64::min);
    let drawn = layouts.iter().zip(&extents).enumerate();
    let drawn = drawn.map(|(index, (layout, extent))| {
        let extent = extent.as_ref()?;
        let left = (size.width() - extent.width() * metre) / 2.0;
        let sheet = Sheet::new(extent, (left, AROUND), metre);
        let id = format!("plan-{}", index + 1);
        let drawn = picture((&id, &layout.name), size, |canvas| {
            canvas.describe(&described(layout));
            body(canvas, &sheet, (layout, LetterKey::of(layouts)), units)
        });
        Some(ReplayedPlan {
            scene: drawn.scene,
            metre,
            origin: sheet.at(Point::ORIGIN),
        })
    });
    drawn.collect()
}

/// Without units it is no plan to scale.
fn body(
    canvas: &mut Canvas,
    sheet: &Sheet,
    (layout, mut key): (&Layout, LetterKey),
    units: Option<Units>,
) -> f64 {
    floor::draw(canvas, sheet, layout);
    zones(canvas, sheet, layout);
    floor::stations(canvas, sheet, layout);
    floor::feeds(canvas, sheet, layout);
    floor::standing(canvas, sheet, layout);
    let mut labels = Labels::new(&mut key, sheet.with_strip(AROUND));
    for (from, to) in floor::feed_arrows(sheet, layout) {
        labels.keep_off(&[from, to], false);
    }
    for zone in layout.zones() {
        labels.leave_seen(sheet.points(zone.corners()));
    }
    floor::names(canvas, sheet, layout, &mut labels);
    signs::on_floor(canvas, sheet, layout, &mut labels, |_| true);
    let mut y = sheet.area.y + sheet.area.height + AROUND;
    if let Some(units) = units {
        y += MARGIN / 2.0;
        floor::scale_bar(canvas, (ASIDE, y), sheet.metre, units);
        y += MARGIN / 2.0;
    }
    key.draw(canvas, (ASIDE, y), canvas.width - 2.0 * ASIDE) + ASIDE
}

/// A layout that says only how far it is, with its places in rows: nothing in it is to scale.
pub fn schematic(name: &str, shop: &Shop) -> Layout {
    const CELL: (f64, f64) = (3.0, 2.4);
    const SIZE: (f64, f64) = (2.3, 1.0);
    let places = shop.places();
    let across = (1..).find(|across| across * across >= places).unwrap_or(1);
    let placements = (0..places).map(|place| {
        let (column, row) = ((place % across) as f64, (place / across) as f64);
        let at = Point::new(column * CELL.0, -row * CELL.1);
        Some(Placement::new(at, 0.0, SIZE))
    });
    let stations = shop.stations.iter();
    let (names, counts): (Vec<&String>, Vec<u32>) = stations
        .map(|station| (&station.name, station.count))
        .unzip();
    let stands = shop.work_stands.iter().map(|stand| &stand.name);
    Layout {
        name: name.to_owned(),
        plan: Plan {
            room: None,
            placements: placements.collect(),
            work_stands: Vec::new(),
            rolled_out: Vec::new(),
            going: Going::Straight,
            body_width: 0.0,
            cart_width: 0.0,
            head_room: 0.0,
        },
        stations: names
            .into_iter()
            .chain(&shop.doors)
            .chain(stands)
            .cloned()
            .collect(),
        units: counts,
        strips: Vec::new(),
        keep_free: Vec::new(),
        throws: Vec::new(),
        findings: Vec::new(),
        near_gaps: Vec::new(),
        paths: Vec::new(),
        worked_s: Vec::new(),
    }
}

/// What stands for something that goes on.
pub struct StateSign {
    pub activity: Activity,
    pub words: &'static str,
    /// As SVG has it: a colour, or a reference to the pattern.
    pub fill: String,
    /// The definition that the filling refers to.
    pub pattern: Option<String>,
}

/// Of all that goes on in a run, with the fillings that it has in all charts.
pub fn state_signs() -> Vec<StateSign> {
    let shown = Activity::ALL.into_iter();
    let shown = shown.filter(|what| !matches!(what, Activity::Sole | Activity::Shifting));
    let signs = shown.enumerate().map(|(index, activity)| {
        let meaning = activity.meaning();
        let (fill, pattern) = filling(&format!("state-{}", index + 1), meaning);
        StateSign {
            activity,
            words: meaning.words,
            fill,
            pattern,
        }
    });
    signs.collect()
}

/// How a page fills what has this meaning, and the definition that this refers to, if any.
fn filling(id: &str, Meaning { fill, .. }: Meaning) -> (String, Option<String>) {
    let paint = Paint {
        colour: fill.colour,
        opacity: 1.0,
        hatch: fill.hatch,
        fine: false,
    };
    match fill.hatch {
        Hatch::Plain => (hex(fill.colour), None),
        _ => (format!("url(#{id})"), Some(pattern(id, paint))),
    }
}

/// What a filling on a plan stands for.
pub struct FloorSign {
    pub words: &'static str,
    pub fill: String,
    pub pattern: Option<String>,
}

/// What a plan has to explain.
pub fn floor_signs() -> Vec<FloorSign> {
    let all = [STATION, OBSTACLE, ROOM_TO_FEED, NO_ROOM_TO_FEED, THROWN];
    let signs = all.into_iter().enumerate().map(|(index, meaning)| {
        let (fill, pattern) = filling(&format!("floor-{}", index + 1), meaning);
        FloorSign {
            words: meaning.words,
            fill,
            pattern,
        }
    });
    signs.collect()
}
