//! A scene as an SVG file (W3C, Scalable Vector Graphics 1.1), with the letters that it needs of the font.

use std::fmt::Write as _;

use super::embedded_font::font_faces;
use super::paint::{Hatch, Paint, hex};
use super::{Align, ChartScene, Group, Outline, SceneItem, SceneShape, Stroke, Text};

/// Why a result of writing is not handed on.
const INFALLIBLE: &str = "writing into a string cannot fail";

/// Families that stand in where a program does not load the embedded font.
const FAMILIES: &str = "Inter, Arial, sans-serif";

impl ChartScene {
    /// The picture as SVG. It needs nothing beside it, and none of its ids occurs in a picture of another id.
    pub fn svg(&self) -> String {
        let style = format!("<style>{}</style>\n", font_faces(std::iter::once(self)));
        self.written(&style)
    }

    /// The same for a page that loads the letters of all its pictures itself, by [`font_faces`].
    pub fn svg_in_page(&self) -> String {
        self.written("")
    }

    fn written(&self, style: &str) -> String {
        let mut svg = String::with_capacity(64 * 1024);
        let (width, height) = (figure(self.width), figure(self.height));
        let (wide, high) = (
            figure(self.width * self.scale),
            figure(self.height * self.scale),
        );
        let id = escaped(&self.id);
        writeln!(
            svg,
            "<svg width=\"{wide}\" height=\"{high}\" viewBox=\"0 0 {width} {height}\" \
             xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" aria-labelledby=\"{id}-title {id}-desc\" \
             font-family=\"{FAMILIES}\">\n\
             <title id=\"{id}-title\">{}</title>\n<desc id=\"{id}-desc\">{}</desc>",
            escaped(&self.title),
            escaped(&self.description),
        )
        .expect(INFALLIBLE);
        self.definitions(&mut svg, style);
        write!(
            svg,
            "<rect width=\"{width}\" height=\"{height}\" fill=\"#FFFFFF\"/>"
        )
        .expect(INFALLIBLE);
        self.write_all(&mut svg, &self.items);
        svg.push_str("\n</svg>\n");
        svg
    }

    /// The letters and the hatches that occur.
    fn definitions(&self, svg: &mut String, style: &str) {
        let mut hatched: Vec<Paint> = Vec::new();
        self.visit(&mut |item| {
            if let SceneItem::Shape(SceneShape {
                fill: Some(fill), ..
            }) = item
                && fill.hatch != Hatch::Plain
                && !hatched.contains(fill)
            {
                hatched.push(*fill);
            }
        });
        svg.push_str("<defs>\n");
        svg.push_str(style);
        for paint in hatched {
            svg.push_str(&pattern(&self.pattern(paint), paint));
            svg.push('\n');
        }
        svg.push_str("</defs>\n");
    }

    /// The id of a hatch.
    fn pattern(&self, paint: Paint) -> String {
        let fine = if paint.fine { "-fine" } else { "" };
        let colour = hex(paint.colour);
        format!(
            "{}-hatch-{}-{}{fine}",
            escaped(&self.id),
            paint.hatch.name(),
            &colour[1..]
        )
    }

    fn write_all(&self, svg: &mut String, items: &[SceneItem]) {
        for item in items {
            svg.push('\n');
            match item {
                SceneItem::Group(group) => self.group(svg, group),
                SceneItem::Shape(shape) => self.shape(svg, shape),
                SceneItem::Text(text) => self::text(svg, text),
            }
        }
    }

    fn group(&self, svg: &mut String, group: &Group) {
        write!(svg, "<g class=\"{}\"", group.class).expect(INFALLIBLE);
        if let Some(id) = &group.id {
            write!(svg, " id=\"{}-{}\"", escaped(&self.id), escaped(id)).expect(INFALLIBLE);
        }
        svg.push('>');
        if let Some(title) = &group.title {
            write!(svg, "<title>{}</title>", escaped(title)).expect(INFALLIBLE);
        }
        self.write_all(svg, &group.items);
        svg.push_str("</g>");
    }

    fn shape(&self, svg: &mut String, shape: &SceneShape) {
        match &shape.outline {
            Outline::Rectangle(area) => write!(
                svg,
                "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"",
                figure(area.x),
                figure(area.y),
                figure(area.width),
                figure(area.height)
            ),
            Outline::Circle { centre, radius } => write!(
                svg,
                "<circle cx=\"{}\" cy=\"{}\" r=\"{}\"",
                figure(centre.0),
                figure(centre.1),
                figure(*radius)
            ),
            Outline::Path { points, closed } => {
                svg.push_str("<path d=\"");
                for (index, (x, y)) in points.iter().enumerate() {
                    svg.push(if index == 0 { 'M' } else { 'L' });
                    write!(svg, "{} {}", figure(*x), figure(*y)).expect(INFALLIBLE);
                }
                write!(svg, "{}\"", if *closed { "Z" } else { "" })
            }
        }
        .expect(INFALLIBLE);
        match shape.fill {
            Some(paint) if paint.hatch != Hatch::Plain => {
                write!(svg, " fill=\"url(#{})\"", self.pattern(paint)).expect(INFALLIBLE);
            }
            Some(paint) => {
                write!(svg, " fill=\"{}\"", hex(paint.colour)).expect(INFALLIBLE);
                if paint.opacity < 1.0 {
                    write!(svg, " fill-opacity=\"{}\"", figure(paint.opacity)).expect(INFALLIBLE);
                }
            }
            None => svg.push_str(" fill=\"none\""),
        }
        if let Some(stroke) = &shape.stroke {
            self::stroke(svg, stroke);
        }
        svg.push_str("/>");
    }
}

/// The definition of a hatch, by the id with which it is referred to.
pub fn pattern(id: &str, paint: Paint) -> String {
    let transform = match paint.fine {
        true => " patternTransform=\"scale(0.5)\"",
        false => "",
    };
    let mut lines = String::new();
    for [from, to] in paint.hatch.lines() {
        write!(lines, "M{} {}L{} {}", from.0, from.1, to.0, to.1).expect(INFALLIBLE);
    }
    format!(
        "<pattern id=\"{id}\" width=\"{tile}\" height=\"{tile}\" patternUnits=\"userSpaceOnUse\"{transform}>\
         <rect width=\"{tile}\" height=\"{tile}\" fill=\"{}\"/>\
         <path d=\"{lines}\" stroke=\"#000000\" stroke-width=\"{}\" fill=\"none\"/></pattern>",
        hex(paint.colour),
        Hatch::STROKE,
        tile = Hatch::TILE,
    )
}

fn stroke(svg: &mut String, stroke: &Stroke) {
    write!(
        svg,
        " stroke=\"{}\" stroke-width=\"{}\"",
        hex(stroke.colour),
        figure(stroke.width)
    )
    .expect(INFALLIBLE);
    if !stroke.dashes.is_empty() {
        let dashes: Vec<String> = stroke.dashes.iter().map(|length| figure(*length)).collect();
        write!(svg, " stroke-dasharray=\"{}\"", dashes.join(" ")).expect(INFALLIBLE);
    }
}

/// Says how long the text is, so that a program without the font keeps it to its room.
fn text(svg: &mut String, text: &Text) {
    let (x, y) = (figure(text.at.0), figure(text.at.1));
    write!(
        svg,
        "<text x=\"{x}\" y=\"{y}\" font-size=\"{}\"",
        figure(text.size)
    )
    .expect(INFALLIBLE);
    match text.align {
        Align::Left => {}
        Align::Middle => svg.push_str(" text-anchor=\"middle\""),
        Align::Right => svg.push_str(" text-anchor=\"end\""),
    }
    if text.bold {
        svg.push_str(" font-weight=\"bold\"");
    }
    if text.upward {
        write!(svg, " transform=\"rotate(270 {x} {y})\"").expect(INFALLIBLE);
    }
    if text.width > 0.0 {
        write!(
            svg,
            " textLength=\"{}\" lengthAdjust=\"spacingAndGlyphs\"",
            figure(text.width)
        )
        .expect(INFALLIBLE);
    }
    write!(
        svg,
        " fill=\"{}\">{}</text>",
        hex(text.colour),
        escaped(&text.text)
    )
    .expect(INFALLIBLE);
}

/// A number to a hundredth of a unit, which no screen shows.
fn figure(value: f64) -> String {
    let rounded = (value * 100.0).round() / 100.0;
    // Minus zero is zero.
    format!("{}", rounded + 0.0)
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}
