//! A drawing divided into pages of one shape.

use super::canvas::Drawn;
use super::scene::{Align, Area, ChartScene, Outline, SceneItem, Text};
use super::style::{FAINT, MARGIN, SMALL};

/// Room left free at the foot of a page, and of one of several, which have their numbers there.
const FOOT: f64 = 8.0;
pub const NUMBERED_FOOT: f64 = 20.0;

/// Rims and the descents of letters may reach so far beyond their part.
const TOUCHING: f64 = 2.0;

/// Where a part of a drawing begins and ends, from its top: in the units of the drawing.
type Heights = (f64, f64);

/// The drawing as pages, or as one page that is as high as what is in it.
///
/// Every page begins with the heading and the legend. What has no room below them goes to the next page as far as the
/// drawing may be broken; what has no room on a page of its own makes its page larger, in the same shape, so that all of
/// it is shown smaller.
pub fn pages(drawn: Drawn, height: Option<f64>) -> Vec<ChartScene> {
    let Some(page) = height else {
        return vec![drawn.scene];
    };
    let Drawn {
        scene,
        header,
        breaks,
    } = drawn;
    let bounds: Vec<Option<Heights>> = scene.items.iter().map(extent).collect();
    // Nothing is cut in two.
    let may_break = |y: &f64| {
        *y > header
            && bounds
                .iter()
                .flatten()
                .all(|(top, end)| *end <= *y + TOUCHING || *top >= *y - TOUCHING)
    };
    let mut breaks: Vec<f64> = breaks.into_iter().filter(may_break).collect();
    breaks.sort_by(f64::total_cmp);
    // A margin below the last of it asks for no page.
    let ends = bounds.iter().flatten().map(|(_, end)| *end);
    let end = ends.fold(header, f64::max);
    breaks.retain(|y| *y < end - 1.0);
    let whole = parts(header, &breaks, end, page - FOOT);
    let (parts, foot) = match whole.len() {
        1 => (whole, 0.0),
        _ => (
            parts(header, &breaks, end, page - NUMBERED_FOOT),
            NUMBERED_FOOT,
        ),
    };
    let ratio = scene.width / page;
    let count = parts.len();
    let pages = parts.into_iter().enumerate().map(|(index, (top, bottom))| {
        let up = top - header;
        let items = scene
            .items
            .iter()
            .zip(&bounds)
            .filter_map(|(item, extent)| {
                let (from, to) = (*extent)?;
                let middle = (from + to) / 2.0;
                if middle <= header {
                    return Some(item.clone());
                }
                let is_here = middle > top && middle <= bottom;
                is_here.then(|| lifted(item, up))
            });
        let needed = bottom - up + foot;
        let wide = (needed * ratio).max(scene.width);
        let number = (count > 1).then(|| number((index + 1, count), (wide, wide / ratio)));
        let id = match index {
            0 => scene.id.clone(),
            _ => format!("{}-page-{}", scene.id, index + 1),
        };
        let title = match count {
            1 => scene.title.clone(),
            _ => format!("{} ({} of {count})", scene.title, index + 1),
        };
        ChartScene {
            id,
            title,
            description: scene.description.clone(),
            width: wide,
            height: wide / ratio,
            scale: scene.scale * scene.width / wide,
            items: items.chain(number).collect(),
        }
    });
    pages.collect()
}

/// Which of how many pages it is, in the lower right corner of a page of so much width and height.
fn number((page, of): (usize, usize), (width, height): (f64, f64)) -> SceneItem {
    let text = format!("{page} of {of}");
    SceneItem::Text(Text {
        width: super::text::width(&text, SMALL, false),
        text,
        at: (width - MARGIN, height - NUMBERED_FOOT / 2.0 + SMALL / 4.0),
        size: SMALL,
        bold: false,
        colour: FAINT,
        align: Align::Right,
        upward: false,
    })
}

/// As much on each page as has room above its foot.
fn parts(header: f64, breaks: &[f64], end: f64, room: f64) -> Vec<Heights> {
    let mut parts = Vec::new();
    let mut top = header;
    let ends: Vec<f64> = breaks.iter().copied().chain([end]).collect();
    let mut last = None;
    for &at in &ends {
        let has_room = header + (at - top) <= room;
        if let Some(before) = last.filter(|_| !has_room) {
            parts.push((top, before));
            top = before;
        }
        last = Some(at);
    }
    parts.push((top, end));
    parts
}

/// Where something begins and ends; nothing if it is empty.
fn extent(item: &SceneItem) -> Option<Heights> {
    let join = |one: Heights, other: Heights| (one.0.min(other.0), one.1.max(other.1));
    match item {
        SceneItem::Group(group) => group.items.iter().filter_map(extent).reduce(join),
        SceneItem::Text(text) => {
            let (_, y) = text.start();
            Some(match text.upward {
                false => (y - text.size, y + text.size * 0.25),
                true => (y - text.width, y),
            })
        }
        SceneItem::Shape(shape) => match &shape.outline {
            Outline::Rectangle(Area { y, height, .. }) => Some((*y, y + height)),
            Outline::Circle { centre, radius } => Some((centre.1 - radius, centre.1 + radius)),
            Outline::Path { points, .. } => points.iter().map(|&(_, y)| (y, y)).reduce(join),
        },
    }
}

/// The same farther up.
fn lifted(item: &SceneItem, up: f64) -> SceneItem {
    let mut item = item.clone();
    lift(&mut item, up);
    item
}

fn lift(item: &mut SceneItem, up: f64) {
    match item {
        SceneItem::Group(group) => group.items.iter_mut().for_each(|item| lift(item, up)),
        SceneItem::Text(text) => text.at.1 -= up,
        SceneItem::Shape(shape) => match &mut shape.outline {
            Outline::Rectangle(area) => area.y -= up,
            Outline::Circle { centre, .. } => centre.1 -= up,
            Outline::Path { points, .. } => points.iter_mut().for_each(|point| point.1 -= up),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn as_much_is_on_a_page_as_has_room() {
        // A heading of 100, and parts that end at 200, 300, 500 and 620, where pages have 320 above their feet.
        let found = parts(100.0, &[200.0, 300.0, 500.0], 620.0, 320.0);
        assert_eq!(found, [(100.0, 300.0), (300.0, 500.0), (500.0, 620.0)]);
        // What has no room anywhere has a page of its own.
        let found = parts(100.0, &[200.0, 900.0], 1_000.0, 320.0);
        assert_eq!(found, [(100.0, 200.0), (200.0, 900.0), (900.0, 1_000.0)]);
        assert_eq!(parts(100.0, &[], 200.0, 320.0), [(100.0, 200.0)]);
    }
}
