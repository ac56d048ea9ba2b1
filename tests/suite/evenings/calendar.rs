//! The calendar of a run: which evening built what, and where it dried overnight.

use shopstride::experiment::{play_timeline, run};
use shopstride::report::charts::scene::paint::{Colour, Hatch};
use shopstride::report::charts::scene::{Align, Outline, SceneItem};
use shopstride::report::charts::{ALL, Picture, Subject, pictures};

use super::{EVENINGS, STARTS, shop};
use crate::support::study;

/// The calendar of a run of the only layout.
fn calendar(scenario: &str, scale: f64) -> Vec<Picture> {
    let study = study(scenario);
    let findings = run(&study, 0, &|_| ()).expect("it ends");
    let timelines = [play_timeline(&study, 0, 0).expect("it ends")];
    let subject = Subject {
        findings: &findings,
        answer: &[],
        timelines: &timelines,
        layouts: &[],
    };
    let chart = ALL
        .iter()
        .find(|chart| chart.stem == "calendar")
        .expect("a chart");
    pictures(chart, &subject, scale)
}

/// Shows everything that is drawn, whatever groups it stands in.
fn look(items: &[SceneItem], see: &mut impl FnMut(&SceneItem)) {
    for item in items {
        match item {
            SceneItem::Group(group) => look(&group.items, see),
            item => see(item),
        }
    }
}

/// Widths of all rectangles of a filling that are so high.
fn widths(picture: &Picture, colour: Colour, hatch: Hatch, high: f64) -> Vec<f64> {
    let mut found = Vec::new();
    look(&picture.scene.items, &mut |item| {
        if let SceneItem::Shape(shape) = item
            && let (Outline::Rectangle(area), Some(fill)) = (&shape.outline, &shape.fill)
            && (fill.colour, area.height) == (colour, high)
            && (fill.hatch == hatch || area.width < 3.0)
        {
            found.push(area.width);
        }
    });
    found
}

/// The room for one of seven days beside the names of the weeks, 62 wide, in 960 units.
const BOX: f64 = (960.0 - 62.0) / 7.0 - 6.0;
const BLUE: Colour = (86, 180, 233);
const GREEN: Colour = (0, 158, 115);
const WHITE: Colour = (255, 255, 255);

/// Five whole evenings and 45 of 135 min, in bands 20 high; 15 thinner ones of the 21 days of three weeks are shut.
#[test]
fn the_calendar_shows_what_each_evening_built() {
    let boxes = shop("{per lot: 720 min}", "{project: box}", STARTS);
    let pictures = calendar(&boxes, 1.0);
    let [picture] = &pictures[..] else {
        panic!("{} pictures", pictures.len())
    };
    let worked = widths(picture, BLUE, Hatch::Plain, 20.0);
    assert_eq!(worked.len(), 6);
    let evenings = worked.iter().sum::<f64>() / BOX;
    assert!((evenings - (5.0 + 45.0 / 135.0)).abs() < 1e-9, "{evenings}");
    assert_eq!(widths(picture, WHITE, Hatch::Upright, 8.0).len(), 15);
    let told = &picture.scene.description;
    for expected in [
        "Week 1: Tue 1 Dec glue; Thu 3 Dec glue.",
        "Week 3: Tue 15 Dec glue; Thu 17 Dec glue, with which box is done.",
    ] {
        assert!(told.contains(expected), "{expected}: {told}");
    }
    // The tick stands in the box of the day, the fourth of its week, and in the legend.
    let mut ticks = Vec::new();
    look(&picture.scene.items, &mut |item| {
        if let SceneItem::Shape(shape) = item
            && let (Outline::Path { points, .. }, Some(_)) = (&shape.outline, &shape.stroke)
            && points.len() == 3
        {
            ticks.push(points[1].0);
        }
    });
    let thursday = 20.0 + 62.0 + 3.0 * (BOX + 6.0);
    let in_box = ticks
        .iter()
        .filter(|x| (thursday..thursday + BOX).contains(x));
    assert_eq!((ticks.len(), in_box.count()), (2, 1), "{ticks:?}");
    let always = boxes.replace(EVENINGS, "");
    assert!(calendar(&always, 1.0).is_empty());
}

/// A minute of an evening of 135 would be less than a unit wide.
#[test]
fn the_calendar_shows_what_took_a_moment_only() {
    let short = shop("{per lot: 1 min}", "{project: box}", STARTS);
    let worked = widths(&calendar(&short, 1.0)[0], BLUE, Hatch::Plain, 20.0);
    assert!(1.0 / 135.0 * BOX < 1.0 && worked == [2.0], "{worked:?}");
}

/// From Tuesday 19:50 for a day: 250 min of Tuesday and the rest of Wednesday.
#[test]
fn the_calendar_shows_where_it_dries_overnight() {
    let glued = "{per lot: 45 min, cure: {time: 24 h, ties up: []}}";
    let pictures = calendar(&shop(glued, "{project: box}", STARTS), 1.0);
    let dried = widths(&pictures[0], GREEN, Hatch::Level, 7.0);
    let days: Vec<f64> = dried.iter().map(|wide| wide / BOX).collect();
    assert_eq!(days.len(), 2, "{days:?}");
    assert!((days[0] - 250.0 / 1440.0).abs() < 1e-9, "{days:?}");
    assert!((days[1] - 1190.0 / 1440.0).abs() < 1e-9, "{days:?}");
    let told = &pictures[0].scene.description;
    let expected = "Week 1: Tue 1 Dec glue, and something dries; Wed 2 Dec shut, and something dries, \
                    with which box is done;";
    assert!(told.contains(expected), "{told}");
}

/// 40 evenings are twenty weeks.
#[test]
fn of_a_long_run_the_calendar_says_what_it_leaves_out() {
    let long = shop("{per lot: 5400 min}", "{project: box}", "");
    for scale in [1.0, 2.0] {
        let pictures = calendar(&long, scale);
        let texts = format!("{:?}", pictures[0].scene.items);
        assert!(texts.contains("of 20 weeks"), "{texts}");
        // A date has room in its box, in the next year too.
        let dated = calendar(&format!("{long}{STARTS}"), scale);
        assert!(format!("{:?}", dated[0].scene.items).contains("\"Tue 5 Jan\""));
        let worked = widths(&pictures[0], BLUE, Hatch::Plain, 20.0).len();
        assert_eq!(worked, 32);
        let scene = &pictures[0].scene;
        let mut read = 0;
        look(&scene.items, &mut |item| {
            if let SceneItem::Text(text) = item
                && matches!(text.align, Align::Left)
            {
                read += 1;
                let (left, right) = (text.at.0, text.at.0 + text.width);
                assert!(left >= 0.0 && right <= scene.width, "{text:?}");
            }
        });
        // A date for each day and what was done on each evening, at the least.
        assert!(read >= 16 * 7 + 32, "{read} texts");
    }
}
