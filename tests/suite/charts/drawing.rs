//! Reads a picture's scene: what is in it and where.

use shopstride::report::charts::Picture;
use shopstride::report::charts::scene::paint::Colour;
use shopstride::report::charts::scene::{
    Area, ChartScene, Group, Outline, SceneItem, SceneShape, Text,
};

/// Where texts may touch, in units of the picture.
const TOUCHING: f64 = 0.125;
/// How high capitals are, in font sizes.
const CAPITAL: f64 = 0.73;

pub struct Drawing {
    pub scene: ChartScene,
    pub texts: Vec<Text>,
    pub shapes: Vec<SceneShape>,
}

/// What a test asks about a shape.
pub trait Measured {
    fn points(&self) -> Vec<(f64, f64)>;

    fn bounds(&self) -> Area {
        let points = self.points();
        let least =
            |of: fn(&(f64, f64)) -> f64| points.iter().map(of).fold(f64::INFINITY, f64::min);
        let most =
            |of: fn(&(f64, f64)) -> f64| points.iter().map(of).fold(f64::NEG_INFINITY, f64::max);
        let (x, y) = (least(|point| point.0), least(|point| point.1));
        Area {
            x,
            y,
            width: most(|point| point.0) - x,
            height: most(|point| point.1) - y,
        }
    }

    fn width(&self) -> f64 {
        self.bounds().width
    }

    fn height(&self) -> f64 {
        self.bounds().height
    }
}

impl Measured for SceneShape {
    fn points(&self) -> Vec<(f64, f64)> {
        match &self.outline {
            Outline::Path { points, .. } => points.clone(),
            Outline::Rectangle(area) => {
                let (right, bottom) = (area.x + area.width, area.y + area.height);
                vec![
                    (area.x, area.y),
                    (right, area.y),
                    (right, bottom),
                    (area.x, bottom),
                ]
            }
            Outline::Circle { centre, radius } => {
                let (x, y) = *centre;
                vec![
                    (x - radius, y),
                    (x + radius, y),
                    (x, y - radius),
                    (x, y + radius),
                ]
            }
        }
    }
}

/// Width of a shape's line; 0 if it has none.
pub fn stroke(shape: &SceneShape) -> f64 {
    shape.stroke.as_ref().map_or(0.0, |stroke| stroke.width)
}

/// Whether a shape's line is dashed.
pub fn is_dashed(shape: &SceneShape) -> bool {
    shape
        .stroke
        .as_ref()
        .is_some_and(|stroke| !stroke.dashes.is_empty())
}

/// Where a text lies, from its baseline to the top of its capitals.
pub fn place(text: &Text) -> Area {
    let (x, y) = text.start();
    let high = CAPITAL * text.size;
    match text.upward {
        false => Area {
            x,
            y: y - high,
            width: text.width,
            height: high,
        },
        true => Area {
            x: x - high,
            y: y - text.width,
            width: high,
            height: text.width,
        },
    }
}

impl Drawing {
    pub fn of(picture: &Picture) -> Drawing {
        let scene = picture.scene.clone();
        let (mut texts, mut shapes) = (Vec::new(), Vec::new());
        scene.visit(&mut |item| match item {
            SceneItem::Text(text) => texts.push(text.clone()),
            SceneItem::Shape(shape) => shapes.push(shape.clone()),
            SceneItem::Group(_) => {}
        });
        Drawing {
            scene,
            texts,
            shapes,
        }
    }

    /// All groups of a class, in the order of drawing.
    pub fn groups(&self, class: &str) -> Vec<&Group> {
        fn find<'a>(items: &'a [SceneItem], class: &str, found: &mut Vec<&'a Group>) {
            for item in items {
                if let SceneItem::Group(group) = item {
                    if group.class == class {
                        found.push(group);
                    }
                    find(&group.items, class, found);
                }
            }
        }
        let mut found = Vec::new();
        find(&self.scene.items, class, &mut found);
        found
    }

    pub fn expect(&self, text: &str, about: &str) {
        let found = self.texts.iter().any(|drawn| drawn.text.contains(text));
        let texts: Vec<_> = self.texts.iter().map(|drawn| &drawn.text).collect();
        assert!(found, "{about}: no {text:?} in {texts:?}");
    }

    /// Whether the first such text is bold, if there is one.
    pub fn bold(&self, text: &str) -> Option<bool> {
        let found = self.texts.iter().find(|drawn| drawn.text == text);
        found.map(|drawn| drawn.bold)
    }

    /// What is filled with a colour, in the order of drawing.
    pub fn filled(&self, colour: Colour) -> Vec<&SceneShape> {
        let shapes = self.shapes.iter();
        shapes
            .filter(|shape| shape.fill.is_some_and(|fill| fill.colour == colour))
            .collect()
    }

    /// Lines of a colour that is not filled, in the order of drawing.
    pub fn lines(&self, colour: Colour) -> Vec<&SceneShape> {
        let lines = self.shapes.iter().filter(|shape| {
            let is_path = matches!(shape.outline, Outline::Path { .. });
            is_path
                && shape.fill.is_none()
                && shape
                    .stroke
                    .as_ref()
                    .is_some_and(|stroke| stroke.colour == colour)
        });
        lines.collect()
    }

    /// Bars of a colour, in the order of drawing: without the boxes of the legend, which are 22 units wide,
    /// and the plates under figures, which are 11 units high.
    pub fn bars(&self, colour: Colour) -> Vec<Area> {
        // Plotters counts in steps of a thousandth.
        let near = |a: f64, b: f64| (a - b).abs() < 0.002;
        let rectangles = self
            .filled(colour)
            .into_iter()
            .filter_map(|shape| match shape.outline {
                Outline::Rectangle(area) => Some(area),
                _ => None,
            });
        let bars = rectangles.filter(|place| {
            let is_legend = near(place.width, 22.0) && near(place.height, 12.0);
            !is_legend && !near(place.height, 11.0)
        });
        bars.collect()
    }

    /// How many level lines are so long.
    pub fn level_lines(&self, length: f64) -> usize {
        let levels = self.shapes.iter().filter(|shape| match &shape.outline {
            Outline::Path {
                points,
                closed: false,
            } => {
                points.len() == 2
                    && points[0].1 == points[1].1
                    && (points[1].0 - points[0].0 - length).abs() <= 0.01
            }
            _ => false,
        });
        levels.count()
    }

    /// Every text lies in the picture, on no other text, and no figure is cut; everything that is filled lies in the
    /// picture, and all numbers are finite.
    pub fn check(&self, about: &str) {
        assert!(!self.texts.is_empty());
        let whole = (self.scene.width, self.scene.height);
        assert!(
            whole.0.is_finite() && whole.1.is_finite() && whole.1 > 0.0,
            "{about}: {whole:?}"
        );
        for (index, text) in self.texts.iter().enumerate() {
            let Area {
                x,
                y,
                width,
                height,
            } = place(text);
            assert!(
                x >= 0.0 && y >= 0.0 && x + width <= whole.0 && y + height <= whole.1,
                "{about}: {text:?} leaves {whole:?}"
            );
            let figure = text.text.trim_start_matches(['−', '+']);
            assert!(
                !figure.starts_with(|letter: char| letter.is_ascii_digit())
                    || !figure.ends_with('…'),
                "{about}: {text:?} is cut"
            );
            for other in &self.texts[index + 1..] {
                let apart = |from: f64, long: f64, to: f64, wide: f64| {
                    from + long <= to + TOUCHING || to + wide <= from + TOUCHING
                };
                let beside = place(other);
                assert!(
                    apart(x, width, beside.x, beside.width)
                        || apart(y, height, beside.y, beside.height),
                    "{about}: {text:?} lies on {other:?}"
                );
            }
        }
        for shape in &self.shapes {
            for (x, y) in shape.points() {
                assert!(x.is_finite() && y.is_finite(), "{about}: {shape:?}");
            }
            if let Outline::Rectangle(area) = shape.outline {
                assert!(
                    area.width >= 0.0
                        && area.height >= 0.0
                        && area.x >= 0.0
                        && area.x + area.width <= whole.0 + 1e-9,
                    "{about}: {area:?} leaves {whole:?}"
                );
            }
        }
    }

    /// No two groups have the same id.
    pub fn check_ids(&self, about: &str) {
        fn all<'a>(items: &'a [SceneItem], ids: &mut Vec<&'a str>) {
            for item in items {
                if let SceneItem::Group(group) = item {
                    ids.extend(group.id.as_deref());
                    all(&group.items, ids);
                }
            }
        }
        let mut ids = Vec::new();
        all(&self.scene.items, &mut ids);
        let count = ids.len();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), count, "{about}: ids occur twice");
    }
}
