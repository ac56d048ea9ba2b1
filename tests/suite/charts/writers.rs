//! The files that become of a scene: SVG against the scene, PNG against another renderer's picture of the SVG.

use std::collections::BTreeSet;
use std::fs;
use std::sync::Arc;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use resvg::tiny_skia::{Color, Pixmap, Transform};
use resvg::usvg::roxmltree::{Document, Node};
use resvg::usvg::{Options, Tree, fontdb};
use serde_json::Value;
use shopstride::report::charts::scene::paint::hex;
use shopstride::report::charts::scene::{ChartScene, Outline, SceneItem};
use shopstride::report::charts::{self, ALL, Format};
use skrifa::instance::{LocationRef, Size};
use skrifa::outline::{DrawSettings, OutlinePen};
use skrifa::{FontRef, MetadataProvider};

use super::fixtures::{LARGE, SMALL, findings, timeline};
use super::{SCALES, floors, scaled, subject};

/// The writers round to a hundredth of a unit.
const ROUNDED: f64 = 0.005_001;

fn number(node: Node, name: &str) -> f64 {
    let value = node
        .attribute(name)
        .unwrap_or_else(|| panic!("no {name} in {node:?}"));
    value.parse().unwrap()
}

fn near(found: f64, expected: f64) {
    // Very large measures have no hundredths.
    let allowed = ROUNDED.max(1e-12 * expected.abs());
    assert!(
        (found - expected).abs() <= allowed,
        "{found} is not {expected}"
    );
}

/// Holds everything that is drawn against the scene, in its order.
fn check_svg(scene: &ChartScene, about: &str) {
    let svg = scene.svg();
    let document = Document::parse(&svg).unwrap_or_else(|error| panic!("{about}: {error}"));
    let root = document.root_element();
    assert_eq!(root.attribute("role"), Some("img"));
    near(number(root, "width"), scene.width * scene.scale);
    near(number(root, "height"), scene.height * scene.scale);
    let drawn = document.descendants().filter(|node| {
        let is_drawn = ["rect", "path", "circle", "text"].contains(&node.tag_name().name());
        is_drawn
            && node
                .ancestors()
                .all(|around| around.tag_name().name() != "defs")
    });
    // The first is the white ground.
    let mut drawn = drawn.skip(1);
    scene.visit(&mut |item| {
        let node = drawn
            .next()
            .unwrap_or_else(|| panic!("{about}: {item:?} is missing"));
        match item {
            SceneItem::Group(_) => unreachable!("groups are not visited"),
            SceneItem::Text(text) => {
                assert_eq!(node.text(), Some(&text.text[..]), "{about}");
                near(number(node, "x"), text.at.0);
                near(number(node, "y"), text.at.1);
                near(number(node, "font-size"), text.size);
                near(number(node, "textLength"), text.width);
                assert_eq!(node.attribute("font-weight").is_some(), text.bold);
                assert_eq!(node.attribute("transform").is_some(), text.upward);
            }
            SceneItem::Shape(shape) => {
                match &shape.outline {
                    Outline::Rectangle(area) => {
                        for (name, value) in [
                            ("x", area.x),
                            ("y", area.y),
                            ("width", area.width),
                            ("height", area.height),
                        ] {
                            near(number(node, name), value);
                        }
                    }
                    Outline::Circle { centre, radius } => {
                        for (name, value) in [("cx", centre.0), ("cy", centre.1), ("r", *radius)] {
                            near(number(node, name), value);
                        }
                    }
                    Outline::Path { points, closed } => {
                        let data = node.attribute("d").unwrap();
                        assert_eq!(data.ends_with('Z'), *closed, "{about}");
                        let read = data.trim_end_matches('Z').split(['M', 'L']).skip(1);
                        let read: Vec<&str> = read.collect();
                        assert_eq!(read.len(), points.len(), "{about}");
                        for (read, point) in read.iter().zip(points) {
                            let (x, y) = read.split_once(' ').unwrap();
                            near(x.parse().unwrap(), point.0);
                            near(y.parse().unwrap(), point.1);
                        }
                    }
                }
                let stroke = shape.stroke.as_ref();
                let colour = stroke.map(|stroke| hex(stroke.colour));
                assert_eq!(node.attribute("stroke"), colour.as_deref(), "{about}");
                let is_dashed = stroke.is_some_and(|stroke| !stroke.dashes.is_empty());
                assert_eq!(
                    node.attribute("stroke-dasharray").is_some(),
                    is_dashed,
                    "{about}"
                );
            }
        }
    });
    assert!(
        drawn.next().is_none(),
        "{about}: more is drawn than there is"
    );
    check_ids(scene, &document, about);
}

/// Every id begins with the picture's, occurs once, and whatever is referred to is there.
fn check_ids(scene: &ChartScene, document: &Document, about: &str) {
    let ids: Vec<&str> = document
        .descendants()
        .filter_map(|node| node.attribute("id"))
        .collect();
    let once: BTreeSet<&str> = ids.iter().copied().collect();
    assert_eq!(ids.len(), once.len(), "{about}: {ids:?}");
    let prefix = format!("{}-", scene.id);
    assert!(
        ids.iter().all(|id| id.starts_with(&prefix)),
        "{about}: {ids:?}"
    );
    let root = document.root_element();
    let labels = root.attribute("aria-labelledby").unwrap().split(' ');
    assert!(labels.into_iter().all(|id| once.contains(id)), "{about}");
    let fills = document
        .descendants()
        .filter_map(|node| node.attribute("fill"));
    for fill in fills.filter_map(|fill| fill.strip_prefix("url(#")) {
        assert!(
            once.contains(fill.trim_end_matches(')')),
            "{about}: no {fill}"
        );
    }
    let said = |name: &str| {
        let nodes = root.children().filter(|node| node.has_tag_name(name));
        nodes.filter_map(|node| node.text()).collect::<String>()
    };
    assert_eq!(said("title"), scene.title, "{about}");
    assert_eq!(said("desc"), scene.description, "{about}");
}

#[test]
fn svg_files_hold_the_scene() {
    for size in [&SMALL, &LARGE] {
        for scale in SCALES {
            for picture in scaled(&findings(size), Some(&timeline(size)), scale) {
                check_svg(&picture.scene, &format!("{} at {scale}", picture.stem));
            }
        }
    }
}

/// Letters of names that mean something in XML, and some that the font lacks.
#[test]
fn odd_letters_are_written() {
    let mut found = findings(&SMALL);
    found.candidates[0].name = "a<b>&\"c' 日本語🪚".to_owned();
    let chart = &ALL[0];
    let scene = charts::pictures(chart, &subject(&found, None, &[]), 1.0)
        .swap_remove(0)
        .scene;
    check_svg(&scene, "odd");
}

/// The data hold as many shapes, texts and groups as the scene, and the same ids as the SVG.
#[test]
fn json_files_hold_the_scene() {
    fn count(items: &Value, found: &mut (usize, BTreeSet<String>)) {
        for item in items.as_array().expect("a list") {
            if item.get("group").is_some() {
                found.1.extend(item["id"].as_str().map(str::to_owned));
                count(&item["items"], found);
            } else {
                let kinds = ["rectangle", "path", "circle", "text"];
                let is_known = |kind: &&&str| item.get(**kind).is_some();
                assert_eq!(kinds.iter().filter(is_known).count(), 1, "{item}");
                found.0 += 1;
            }
        }
    }
    for picture in scaled(&findings(&SMALL), Some(&timeline(&SMALL)), 1.0) {
        let json = picture.scene.json();
        // Read back as a page would.
        let json: Value = serde_json::from_str(&json.to_string()).unwrap();
        let mut found = (0, BTreeSet::new());
        count(&json["items"], &mut found);
        let mut drawn = 0;
        picture.scene.visit(&mut |_| drawn += 1);
        assert_eq!(found.0, drawn, "{}", picture.stem);
        let svg = picture.scene.svg();
        for id in &found.1 {
            assert!(svg.contains(&format!("id=\"{id}\"")), "{id}");
        }
        assert_eq!(json["title"], picture.scene.title);
        assert_eq!(json["width"].as_f64(), Some(picture.scene.width));
    }
}

/// The two weights of the font that an SVG brings along.
fn embedded(svg: &str) -> Vec<Vec<u8>> {
    let parts = svg.split("base64,").skip(1);
    parts
        .map(|part| STANDARD.decode(part.split(')').next().unwrap()).unwrap())
        .collect()
}

/// Writes an outline down.
#[derive(Default, PartialEq, Debug)]
struct Written(Vec<String>);

impl OutlinePen for Written {
    fn move_to(&mut self, x: f32, y: f32) {
        self.0.push(format!("M{x} {y}"));
    }
    fn line_to(&mut self, x: f32, y: f32) {
        self.0.push(format!("L{x} {y}"));
    }
    fn quad_to(&mut self, cx0: f32, cy0: f32, x: f32, y: f32) {
        self.0.push(format!("Q{cx0} {cy0} {x} {y}"));
    }
    fn curve_to(&mut self, cx0: f32, cy0: f32, cx1: f32, cy1: f32, x: f32, y: f32) {
        self.0.push(format!("C{cx0} {cy0} {cx1} {cy1} {x} {y}"));
    }
    fn close(&mut self) {
        self.0.push("Z".to_owned());
    }
}

fn outline(font: &FontRef, letter: char) -> Option<(Written, Option<f32>)> {
    let glyph = font.charmap().map(letter)?;
    let mut written = Written::default();
    let settings = DrawSettings::unhinted(Size::unscaled(), LocationRef::default());
    font.outline_glyphs()
        .get(glyph)?
        .draw(settings, &mut written)
        .ok()?;
    let advance = font
        .glyph_metrics(Size::unscaled(), LocationRef::default())
        .advance_width(glyph);
    Some((written, advance))
}

fn whole_font(bold: bool) -> Vec<u8> {
    let weight = if bold { "Bold" } else { "Regular" };
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/src/report/charts/font");
    fs::read(format!("{folder}/Inter-{weight}.ttf")).unwrap()
}

/// Each letter that is written is in the font that comes along, looks as in the whole one, and no other letter is.
#[test]
fn the_embedded_font_has_the_letters_of_the_picture() {
    let mut found = findings(&SMALL);
    found.candidates[0].name = "Äußerste Ordnung – čšž ½″".to_owned();
    for picture in charts::pictures(&ALL[0], &subject(&found, None, &[]), 1.0) {
        let fonts = embedded(&picture.scene.svg());
        assert_eq!(fonts.len(), 2);
        for (bold, bytes) in [false, true].into_iter().zip(&fonts) {
            let mut letters = BTreeSet::new();
            picture.scene.visit(&mut |item| {
                if let SceneItem::Text(text) = item
                    && text.bold == bold
                {
                    letters.extend(text.text.chars());
                }
            });
            let whole = whole_font(bold);
            let (whole, cut) = (FontRef::new(&whole).unwrap(), FontRef::new(bytes).unwrap());
            for letter in
                ('\0'..='\u{FFFF}').filter(|letter| whole.charmap().map(*letter).is_some())
            {
                match letters.contains(&letter) {
                    true => assert_eq!(outline(&cut, letter), outline(&whole, letter), "{letter}"),
                    false => assert_eq!(cut.charmap().map(letter), None, "{letter}"),
                }
            }
            assert!(bytes.len() < 16_000, "{} bytes", bytes.len());
        }
    }
}

/// Width and height stand in bytes 16 to 23 of a PNG file (W3C, Portable Network Graphics, section 11.2.1).
#[test]
fn png_files_are_half_as_large_again_as_svg() {
    let folder = tempfile::tempdir().unwrap();
    for (scale, wide) in [(1.0, 1_500), (2.0, 1_920)] {
        let files = charts::write(
            &subject(&findings(&SMALL), None, &[]),
            folder.path(),
            scale,
            Format::ALL,
        )
        .unwrap()
        .files;
        let mut seen = 0;
        for file in files
            .iter()
            .filter(|file| file.extension().unwrap() == "png")
        {
            let bytes = fs::read(file).unwrap();
            let number = |at: usize| u32::from_be_bytes(bytes[at..at + 4].try_into().unwrap());
            let svg = fs::read_to_string(file.with_extension("svg")).unwrap();
            let document = Document::parse(&svg).unwrap();
            let pixels =
                |name: &str| (self::number(document.root_element(), name) * 1.5).round() as u32;
            assert_eq!(&bytes[1..4], b"PNG");
            assert_eq!(
                (number(16), number(20)),
                (pixels("width"), pixels("height"))
            );
            assert_eq!(number(16), wide);
            seen += 1;
        }
        assert_eq!(seen, 10);
    }
}

/// Another renderer reads the SVG, lays its texts out itself and draws it: the PNG is nearly the same picture.
///
/// It kerns texts, stretches them to their length, and draws hatches otherwise, so single pixels along edges differ.
#[test]
fn png_and_svg_are_the_same_picture() {
    let mut fonts = fontdb::Database::new();
    for bold in [false, true] {
        fonts.load_font_data(whole_font(bold));
    }
    let options = Options {
        fontdb: Arc::new(fonts),
        ..Options::default()
    };
    let (found, timeline) = (findings(&SMALL), timeline(&SMALL));
    let layouts = floors::layouts(&found);
    let mut seen = 0;
    for chart in ALL {
        for picture in charts::pictures(chart, &subject(&found, Some(&timeline), &layouts), 1.0) {
            let bytes = picture.scene.png().unwrap();
            let ours = Pixmap::decode_png(&bytes).unwrap();
            let tree = Tree::from_str(&picture.scene.svg(), &options).unwrap();
            let mut theirs = Pixmap::new(ours.width(), ours.height()).unwrap();
            theirs.fill(Color::WHITE);
            resvg::render(&tree, Transform::from_scale(1.5, 1.5), &mut theirs.as_mut());
            let (mut off, mut drawn) = (0, 0);
            for (one, other) in ours.pixels().iter().zip(theirs.pixels()) {
                let parts = |pixel: &resvg::tiny_skia::PremultipliedColorU8| {
                    [pixel.red(), pixel.green(), pixel.blue()]
                };
                let (one, other) = (parts(one), parts(other));
                let most = one
                    .iter()
                    .zip(other)
                    .map(|(a, b)| a.abs_diff(b))
                    .max()
                    .unwrap();
                drawn += u32::from(other != [255; 3]);
                off += u32::from(most > 96);
            }
            let share = f64::from(off) / f64::from(drawn);
            assert!(
                drawn > 10_000 && share < 0.04,
                "{}: {off} of {drawn} pixels differ",
                picture.stem
            );
            seen += 1;
        }
    }
    assert!(seen >= 13, "{seen} pictures");
}
