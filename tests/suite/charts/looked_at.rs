//! What charts have to be to the eye: explained where they are read, whole, and without one thing taken for another.

use std::collections::{BTreeMap, BTreeSet};

use shopstride::experiment::{
    Activity, ResourceKind, Timeline, TimelineBar as Bar, TimelineKind as Kind,
    TimelineOpening as Opening, TimelineRow as Row,
};
use shopstride::floor::{HeightRange, Placement};
use shopstride::report::charts::scene::paint::Colour;
use shopstride::report::charts::scene::{Align, Area, Outline, SceneItem, Text};
use shopstride::report::charts::{self, ALL, Layout, Picture};
use shopstride::shop::StationId;

use super::drawing::{Drawing, Measured, place};
use super::fixtures::{LARGE, SMALL, findings};
use super::floors::station;
use super::on_the_floor::{drawn, layout, way};
use super::reliefs;
use super::sheets::paged;
use super::{SCALES, subject};

/// Of the bottleneck alone.
const ALONE: Colour = (30, 30, 30);
const MINUS: char = '−';

fn pages_of<'a>(stem: &str, pages: &'a [Picture]) -> Vec<&'a Picture> {
    let of = |page: &&Picture| page.stem == stem || page.stem.starts_with(&format!("{stem}-page"));
    pages.iter().filter(of).collect()
}

/// Letters in the middle of things, and those of the key, which stand to the left of their names.
fn letters(drawing: &Drawing, align: Align) -> BTreeSet<String> {
    let is_letter = |text: &&Text| {
        let is_capital = text.text.chars().all(|letter| letter.is_ascii_uppercase());
        text.bold && is_capital && text.align == align
    };
    let letters = drawing.texts.iter().filter(is_letter);
    letters.map(|text| text.text.clone()).collect()
}

#[test]
fn every_page_has_the_key_of_the_letters_on_it_and_the_scale() {
    let mut seen = 0;
    for scale in [1.0, 2.0] {
        let pages = paged(&LARGE, scale);
        for stem in ["string", "stays", "summary"] {
            for page in pages_of(stem, &pages) {
                let drawing = Drawing::of(page);
                if drawing.groups("station").is_empty() {
                    continue;
                }
                let about = format!("{} at {scale}", page.stem);
                let used = letters(&drawing, Align::Middle);
                let key = letters(&drawing, Align::Right);
                assert!(used.is_subset(&key), "{about}: {used:?} {key:?}");
                // Circles leave no room for some letters.
                assert!(stem == "stays" || used == key, "{about}: {used:?} {key:?}");
                let is_scale = |text: &Text| {
                    let figure = text.text.strip_suffix(" m");
                    figure.is_some_and(|figure| figure.parse::<f64>().is_ok())
                };
                assert!(drawing.texts.iter().any(is_scale), "{about}");
                seen += used.len();
            }
        }
    }
    assert!(seen > 20, "{seen} letters");
}

/// Whether two texts are one name, which may be cut in its middle.
fn is_the_same(one: &str, other: &str) -> bool {
    let begin = |text: &str| text.split('…').next().unwrap_or_default().to_owned();
    let (one, other) = (begin(one), begin(other));
    one.starts_with(&other) || other.starts_with(&one)
}

/// Who has learnt a letter in one picture finds the same thing behind it in the next one, of whatever size.
#[test]
fn a_letter_stands_for_the_same_thing_in_every_picture() {
    let mut known = BTreeMap::new();
    let mut told = 0;
    for scale in [1.0, 2.0, 3.0] {
        let pages = paged(&LARGE, scale);
        for stem in ["plan", "string", "stays", "summary"] {
            for page in pages_of(stem, &pages) {
                let texts = Drawing::of(page).texts;
                for two in texts.windows(2) {
                    let [letter, name] = two else { continue };
                    let is_capital = letter.text.chars().all(|sign| sign.is_ascii_uppercase());
                    if letter.bold && is_capital && letter.align == Align::Right {
                        let before = known.insert(letter.text.clone(), name.text.clone());
                        let is_same = before.is_none_or(|before| is_the_same(&before, &name.text));
                        assert!(is_same, "{} at {scale}: {letter:?} {name:?}", page.stem);
                        told += 1;
                    }
                }
            }
        }
    }
    let names: BTreeSet<&String> = known.values().collect();
    assert_eq!(names.len(), known.len(), "{known:?}");
    assert!(
        told > 2 * known.len() && known.len() > 4,
        "{told} of {known:?}"
    );
}

#[test]
fn pages_are_numbered_where_there_are_several() {
    let pages = paged(&LARGE, 2.0);
    let mut several = 0;
    for chart in ALL {
        let pages = pages_of(chart.stem, &pages);
        for (index, page) in pages.iter().enumerate() {
            let number = format!("{} of {}", index + 1, pages.len());
            let drawing = Drawing::of(page);
            let found = drawing.texts.iter().find(|text| text.text == number);
            assert_eq!(found.is_some(), pages.len() > 1, "{}", page.stem);
            let Some(found) = found else { continue };
            let (width, height) = (page.scene.width, page.scene.height);
            let at = place(found);
            assert!(at.x > width * 0.8 && at.y > height - 30.0, "{}", page.stem);
            several += 1;
        }
    }
    assert!(several > 4, "{several}");
}

#[test]
fn no_change_has_a_name_that_is_cut() {
    let mut wrapped = 0;
    for scale in SCALES {
        let found = reliefs::reliefs(findings(&LARGE), &reliefs::many(), true);
        let drawing = Drawing::of(&charts::relief_pictures(&found, scale)[0]);
        drawing.check("relief");
        for text in &drawing.texts {
            assert!(!text.text.contains('…'), "{scale}: {}", text.text);
        }
        let mut texts = drawing.texts.iter();
        wrapped += usize::from(texts.any(|text| text.text.starts_with("windows")));
    }
    assert!(wrapped > 0, "large letters need further lines");
}

/// Changes of a week down to 20 min: all have the digits of the first, and what these would write as nothing is counted.
#[test]
fn changes_have_digits_alike() {
    const DAY: f64 = 86_400.0;
    let changes = [-7.0 * DAY, -0.3 * DAY, 1_200.0];
    let mut found = reliefs::reliefs(findings(&SMALL), &changes, false);
    for relief in &mut found.list {
        let paired = relief.lead_time.as_mut().unwrap();
        paired.base_mean = 14.0 * DAY;
        let difference = &mut paired.difference;
        difference.interval = Some((difference.mean - 1.0, difference.mean + 1.0));
        difference.half_width = Some(1.0);
    }
    let drawing = Drawing::of(&charts::relief_pictures(&found, 1.0)[0]);
    let figures = drawing.texts.iter();
    let figures: Vec<&str> = figures
        .filter_map(|text| text.text.split_once(" d (").map(|(figure, _)| figure))
        .collect();
    assert_eq!(
        figures,
        ["7.0", "0.3"].map(|figure| format!("{MINUS}{figure}"))
    );
    // The sentence goes on in a further line.
    let written: Vec<&str> = drawing.texts.iter().map(|text| &text.text[..]).collect();
    let written = written.join(" ");
    let left_out = "Not drawn: 1 with a change of less than 0.05 d";
    assert!(written.contains(left_out), "{written}");
    assert_eq!(
        drawing.bold("longer"),
        None,
        "nothing is drawn that would be"
    );
}

/// A saw that is the bottleneck for 20 s of every 25.
fn now_and_then() -> Timeline {
    let bars = |what| -> Vec<Bar> {
        let begins = (0..40).map(|turn| 25.0 * f64::from(turn));
        let bar = |from_s| Bar {
            from_s,
            to_s: from_s + 20.0,
            what,
        };
        begins.map(bar).collect()
    };
    let row = |kind, bars| Row {
        name: "Saw".to_owned(),
        kind,
        bars,
    };
    let opening = |from_s| Opening { from_s, weekday: 0 };
    Timeline {
        candidate: "as it grew".to_owned(),
        replication: 1,
        openings: vec![opening(0.0), opening(495.0)],
        weeks: None,
        spells: Vec::new(),
        queues: Vec::new(),
        currents: Vec::new(),
        end_s: 1_000.0,
        rows: vec![
            row(Kind::Station, bars(Activity::Running)),
            row(
                Kind::Bottleneck(ResourceKind::Station),
                bars(Activity::Sole),
            ),
        ],
    }
}

/// The name in the row of the bottleneck hides no pause: what is dark is a stretch of it. No line runs through the name.
#[test]
fn where_nothing_is_the_bottleneck_nothing_is_dark() {
    let (found, timeline) = (findings(&SMALL), now_and_then());
    let chart = ALL.iter().find(|chart| chart.stem == "timeline").unwrap();
    // Larger letters leave no room for pauses that are told apart.
    let picture = &charts::pictures(chart, &subject(&found, Some(&timeline), &[]), 1.0)[0];
    let drawing = Drawing::of(picture);
    let bars = drawing.bars(ALONE);
    assert_eq!(bars.len(), 40, "{bars:?}");
    let wide = bars[0].width;
    assert!(
        bars.iter().all(|bar| (bar.width - wide).abs() < 0.1),
        "{bars:?}"
    );
    let name = drawing.texts.iter().filter(|text| text.text == "Saw");
    let named: Vec<Area> = name.map(place).collect();
    let strip = named.iter().find(|name| name.x >= bars[0].x);
    let strip = *strip.expect("a name in the row of the bottleneck");
    let mut order = Vec::new();
    picture.scene.visit(&mut |item| match item {
        SceneItem::Shape(shape) => {
            let bounds = shape.bounds();
            let is_upright = bounds.width == 0.0 && bounds.height > 30.0;
            if matches!(shape.outline, Outline::Rectangle(area) if covers(area, strip)) {
                order.push("plate");
            } else if is_upright && (strip.x..strip.x + strip.width).contains(&bounds.x) {
                order.push("line");
            }
        }
        SceneItem::Text(text) if place(text) == strip => order.push("name"),
        _ => {}
    });
    assert!(order.ends_with(&["line", "plate", "name"]), "{order:?}");
}

fn covers(area: Area, other: Area) -> bool {
    area.x <= other.x
        && area.y <= other.y
        && area.x + area.width >= other.x + other.width
        && area.y + area.height >= other.y + other.height
}

/// A rack hangs over the left half of a bench, and two cupboards stand side by side.
#[test]
fn names_keep_off_lines_and_off_each_other() {
    let mut layout = layout("As it grew");
    let mut rack = station((0.9, 2.0), (1.2, 3.0), 0.0);
    rack.heights = HeightRange {
        bottom: 2.0,
        ..HeightRange::default()
    };
    let placements: Vec<Placement> = vec![
        station((1.6, 1.5), (2.8, 1.0), 0.0),
        rack,
        station((3.5, 3.0), (0.9, 0.5), 0.0),
        station((4.4, 3.0), (0.9, 0.5), 0.0),
    ];
    layout.plan.placements = placements.into_iter().map(Some).collect();
    layout.stations = vec![
        "bench".to_owned(),
        "rack".to_owned(),
        "cupboard a".to_owned(),
        "cupboard b".to_owned(),
    ];
    layout.units = vec![1; 4];
    let drawing = &drawn("plan", &findings(&SMALL), &[layout])[0];
    drawing.check("plan");
    // The right edge of the rack lies near the middle of the bench.
    let bodies = drawing.groups("station");
    let mut racks = bodies
        .iter()
        .filter(|group| group.title.as_deref() == Some("rack"));
    let rack = match &racks.next().unwrap().items[0] {
        SceneItem::Shape(shape) => shape.bounds(),
        other => panic!("{other:?}"),
    };
    let edge = rack.x + rack.width;
    let bench = drawing.texts.iter().find(|text| text.text == "bench");
    let bench = place(bench.unwrap());
    assert!(
        bench.x > edge || bench.x + bench.width < edge,
        "{bench:?} {edge}"
    );
    let names = drawing
        .texts
        .iter()
        .filter(|text| text.text.starts_with("cupboard"));
    let names: Vec<Area> = names.map(place).collect();
    assert_eq!(names.len(), 2, "{:?}", drawing.texts);
    let beside = names[1].x - names[0].x - names[0].width;
    assert!(names[0].y != names[1].y || beside >= 4.0, "{names:?}");
}

/// An overhead door that is open and a station of no known size are explained wherever they are drawn.
#[test]
fn a_legend_explains_what_is_drawn_of_a_floor() {
    let mut layout = layout("As it grew");
    let door = &mut layout.plan.room.as_mut().unwrap().doors[0];
    (door.overhead, door.height, door.swings_in) = (true, Some(2.0), false);
    layout.plan.placements[StationId(1)].as_mut().unwrap().size = (0.0, 0.0);
    layout.worked_s = vec![60.0, 60.0];
    layout.paths = vec![way(0, 1, &[(1.5, 0.5), (4.5, 2.0)], 3.0, 3.0)];
    let other = Layout {
        name: "Working order".to_owned(),
        ..layout.clone()
    };
    let both = [layout, other];
    for stem in ["plan", "string", "stays", "summary"] {
        let drawing = &drawn(stem, &findings(&SMALL), &both)[0];
        drawing.expect("overhead door when open", stem);
        drawing.expect("station without a size", stem);
    }
}
