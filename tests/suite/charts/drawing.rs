//! Reads a drawing back.

/// Steps of the drawing in a unit of its size.
pub const STEPS: f64 = 8.0;

pub struct Drawing {
    /// Width and height as they are shown.
    pub size: (f64, f64),
    /// Width and height in steps.
    pub view: (f64, f64),
    pub texts: Vec<Text>,
    rects: Vec<(String, Rect)>,
    pub shapes: Vec<Shape>,
    /// Straight lines: both ends.
    lines: Vec<[(f64, f64); 2]>,
}

/// A filled outline, or a path that is not filled.
#[derive(Debug, Clone)]
pub struct Shape {
    /// Of the filling, or else of the stroke.
    pub colour: String,
    pub filled: bool,
    pub stroke: f64,
    pub points: Vec<(f64, f64)>,
}

impl Shape {
    pub fn width(&self) -> f64 {
        self.span(|point| point.0)
    }

    pub fn height(&self) -> f64 {
        self.span(|point| point.1)
    }

    fn span(&self, of: fn(&(f64, f64)) -> f64) -> f64 {
        let values = || self.points.iter().map(of);
        values().fold(0.0, f64::max) - values().fold(f64::INFINITY, f64::min)
    }
}

#[derive(Debug, Clone, Copy)]
pub struct Rect {
    pub x: f64,
    pub y: f64,
    pub width: f64,
    pub height: f64,
}

#[derive(Debug)]
pub struct Text {
    pub text: String,
    pub bold: bool,
    pub place: Rect,
}

impl Drawing {
    /// Fails if it is not well-formed.
    pub fn of(svg: &str) -> Drawing {
        let elements = elements(svg);
        let number = |element: &Element, name: &str| -> f64 {
            let value = element.attribute(name);
            value
                .unwrap_or_else(|| panic!("no {name}"))
                .parse()
                .unwrap()
        };
        let root = &elements[0];
        let view: Vec<f64> = root
            .attribute("viewBox")
            .unwrap()
            .split(' ')
            .map(|number| number.parse().unwrap())
            .collect();
        let rects = elements
            .iter()
            .filter(|element| element.name == "rect" && element.attribute("x").is_some())
            .map(|element| {
                let place = Rect {
                    x: number(element, "x"),
                    y: number(element, "y"),
                    width: number(element, "width"),
                    height: number(element, "height"),
                };
                (element.attribute("fill").unwrap().to_string(), place)
            });
        let texts = elements
            .iter()
            .filter(|element| element.name == "text")
            .map(|element| {
                let length = number(element, "textLength");
                let size = number(element, "font-size");
                let (x, y) = (number(element, "x"), number(element, "y"));
                let before = match element.attribute("text-anchor") {
                    Some("start") => 0.0,
                    Some("middle") => length / 2.0,
                    Some("end") => length,
                    other => panic!("{other:?} is no anchor"),
                };
                // The point is at the top; capitals end 0.76 font sizes below it and are 0.73 high.
                let place = match element.attribute("transform") {
                    None => Rect {
                        x: x - before,
                        y,
                        width: length,
                        height: 0.76 * size,
                    },
                    Some(turned) => {
                        assert!(turned.starts_with("rotate(270"), "{turned}");
                        Rect {
                            x,
                            y: y - length + before,
                            width: 0.76 * size,
                            height: length,
                        }
                    }
                };
                Text {
                    text: element.text.trim().to_string(),
                    bold: element.attribute("font-weight") == Some("bold"),
                    place,
                }
            });
        let lines = elements.iter().filter(|element| element.name == "line");
        let lines = lines.map(|element| {
            [("x1", "y1"), ("x2", "y2")].map(|(x, y)| (number(element, x), number(element, y)))
        });
        Drawing {
            lines: lines.collect(),
            size: (number(root, "width"), number(root, "height")),
            view: (view[2], view[3]),
            rects: rects.collect(),
            shapes: elements.iter().filter_map(shape).collect(),
            texts: texts.collect(),
        }
    }

    pub fn expect(&self, text: &str, about: &str) {
        let found = self.texts.iter().any(|drawn| drawn.text.contains(text));
        let texts: Vec<_> = self.texts.iter().map(|drawn| &drawn.text).collect();
        assert!(found, "{about}: no {text:?} in {texts:?}");
    }

    /// Whether the first such text is bold, if there is one.
    pub fn bold(&self, text: &str) -> Option<bool> {
        self.texts
            .iter()
            .find(|drawn| drawn.text == text)
            .map(|drawn| drawn.bold)
    }

    /// Bars of a colour, in the order of drawing: without the boxes of the legend, which are 22 units wide,
    /// and the plates under figures, which are 11 units high.
    pub fn bars(&self, colour: &str) -> Vec<Rect> {
        let bars = self.rects.iter().filter(|(fill, place)| {
            let legend = place.width == 22.0 * STEPS && place.height == 12.0 * STEPS;
            fill == colour && !legend && place.height != 11.0 * STEPS
        });
        bars.map(|(_, place)| *place).collect()
    }

    /// How many level lines are so long, to two steps.
    pub fn level_lines(&self, length: f64) -> usize {
        let lines = self.lines.iter();
        lines
            .filter(|[from, to]| from.1 == to.1 && (to.0 - from.0 - length).abs() <= 2.0)
            .count()
    }

    /// Every text lies in the picture, on no other text, and no figure is cut.
    pub fn check_texts(&self, about: &str) {
        assert!(!self.texts.is_empty());
        for (index, text) in self.texts.iter().enumerate() {
            let Rect {
                x,
                y,
                width,
                height,
            } = text.place;
            assert!(
                x >= 0.0 && y >= 0.0 && x + width <= self.view.0 && y + height <= self.view.1,
                "{about}: {text:?} leaves {:?}",
                self.view
            );
            let figure = text.text.trim_start_matches(['−', '+']);
            assert!(
                !figure.starts_with(|letter: char| letter.is_ascii_digit())
                    || !figure.ends_with('…'),
                "{about}: {text:?} is cut"
            );
            for other in &self.texts[index + 1..] {
                let apart = |from: f64, long: f64, to: f64, wide: f64| {
                    from + long <= to + 1.0 || to + wide <= from + 1.0
                };
                assert!(
                    apart(x, width, other.place.x, other.place.width)
                        || apart(y, height, other.place.y, other.place.height),
                    "{about}: {text:?} lies on {other:?}"
                );
            }
        }
        for (fill, place) in &self.rects {
            assert!(
                place.x >= 0.0 && place.width >= 0.0 && place.x + place.width <= self.view.0,
                "{about}: {fill} {place:?} leaves {:?}",
                self.view
            );
        }
    }
}

fn shape(element: &Element) -> Option<Shape> {
    let filled = match element.name.as_str() {
        "polygon" => true,
        "polyline" => false,
        _ => return None,
    };
    let colour = if filled { "fill" } else { "stroke" };
    let stroke = element.attribute("stroke-width");
    let points = element.attribute("points")?.split_whitespace();
    let points = points.map(|point| {
        let (x, y) = point.split_once(',').unwrap();
        (x.parse().unwrap(), y.parse().unwrap())
    });
    Some(Shape {
        colour: element.attribute(colour)?.to_string(),
        filled,
        stroke: stroke.map_or(0.0, |stroke| stroke.parse().unwrap()),
        points: points.collect(),
    })
}

struct Element {
    name: String,
    attributes: Vec<(String, String)>,
    text: String,
}

impl Element {
    fn attribute(&self, name: &str) -> Option<&str> {
        let found = self.attributes.iter().find(|attribute| attribute.0 == name);
        found.map(|attribute| attribute.1.as_str())
    }
}

/// All elements in document order.
fn elements(svg: &str) -> Vec<Element> {
    let document = resvg::usvg::roxmltree::Document::parse(svg).unwrap();
    let elements = document.descendants().filter(|node| node.is_element());
    elements
        .map(|node| Element {
            name: node.tag_name().name().to_string(),
            attributes: node
                .attributes()
                .map(|attribute| (attribute.name().to_string(), attribute.value().to_string()))
                .collect(),
            text: node.text().unwrap_or_default().to_string(),
        })
        .collect()
}
