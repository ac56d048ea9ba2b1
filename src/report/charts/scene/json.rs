//! A scene as JSON, for pages that draw it themselves and put something to it.

use serde_json::{Map, Value, json};

use super::paint::{Hatch, Paint, hex};
use super::{Align, ChartScene, Group, Outline, SceneItem, SceneShape, Text};

impl ChartScene {
    /// The picture as JSON: measures in units of the picture to a thousandth, ids as in the SVG.
    pub fn json(&self) -> Value {
        json!({
            "id": self.id,
            "title": self.title,
            "description": self.description,
            "width": figure(self.width),
            "height": figure(self.height),
            "scale": self.scale,
            "font": {"family": "Inter"},
            "items": self.items(&self.items),
        })
    }

    fn items(&self, items: &[SceneItem]) -> Value {
        let items = items.iter().map(|item| match item {
            SceneItem::Group(group) => self.group_json(group),
            SceneItem::Shape(shape) => self::shape(shape),
            SceneItem::Text(text) => self::text(text),
        });
        items.collect()
    }

    fn group_json(&self, group: &Group) -> Value {
        let mut value = Map::new();
        value.insert("group".to_owned(), group.class.into());
        if let Some(id) = &group.id {
            value.insert("id".to_owned(), format!("{}-{id}", self.id).into());
        }
        if let Some(title) = &group.title {
            value.insert("title".to_owned(), title.as_str().into());
        }
        value.insert("items".to_owned(), self.items(&group.items));
        value.into()
    }
}

fn shape(shape: &SceneShape) -> Value {
    let mut value = match &shape.outline {
        Outline::Rectangle(area) => json!({
            "rectangle": ([area.x, area.y, area.width, area.height].map(figure)),
        }),
        Outline::Circle { centre, radius } => json!({
            "circle": ([centre.0, centre.1, *radius].map(figure)),
        }),
        Outline::Path { points, closed } => {
            let points: Vec<_> = points.iter().map(|(x, y)| [*x, *y].map(figure)).collect();
            json!({"path": points, "closed": closed})
        }
    };
    if let Some(fill) = shape.fill {
        value["fill"] = paint(fill);
    }
    if let Some(stroke) = &shape.stroke {
        let dashes: Vec<_> = stroke.dashes.iter().map(|length| figure(*length)).collect();
        value["stroke"] =
            json!({"colour": hex(stroke.colour), "width": figure(stroke.width), "dashes": dashes});
    }
    value
}

fn paint(paint: Paint) -> Value {
    let mut value = json!({"colour": hex(paint.colour)});
    if paint.opacity < 1.0 {
        value["opacity"] = figure(paint.opacity);
    }
    if paint.hatch != Hatch::Plain {
        value["hatch"] = paint.hatch.name().into();
        value["fine"] = paint.fine.into();
    }
    value
}

fn text(text: &Text) -> Value {
    let align = match text.align {
        Align::Left => "left",
        Align::Middle => "middle",
        Align::Right => "right",
    };
    json!({
        "text": text.text,
        "at": ([text.at.0, text.at.1].map(figure)),
        "width": figure(text.width),
        "size": figure(text.size),
        "bold": text.bold,
        "colour": hex(text.colour),
        "align": align,
        "upward": text.upward,
    })
}

/// A number to a thousandth, without digits behind the point if it needs none.
fn figure(value: f64) -> Value {
    let rounded = (value * 1000.0).round() / 1000.0 + 0.0;
    match rounded.fract() == 0.0 && rounded.abs() < 1e15 {
        true => (rounded as i64).into(),
        false => rounded.into(),
    }
}
