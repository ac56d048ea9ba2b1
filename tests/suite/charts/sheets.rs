//! The sheet that answers first, and pages of one shape.

use shopstride::report::Line;
use shopstride::report::charts::layout::DrawnFinding;
use shopstride::report::charts::scene::{Area, Outline, SceneItem};
use shopstride::report::charts::{self, ALL, ChartSize, PageShape, Picture, Subject};

use super::drawing::{Drawing, place};
use super::fixtures::{LARGE, SMALL, findings, timeline};
use super::{fixtures, floors};

fn summary(findings: &shopstride::experiment::Findings, answer: &[Line]) -> Vec<Picture> {
    let layouts = floors::layouts(findings);
    let subject = Subject {
        findings,
        answer,
        timelines: &[],
        layouts: &layouts,
    };
    let chart = ALL.iter().find(|chart| chart.stem == "summary").unwrap();
    charts::pictures(chart, &subject, 1.0)
}

/// The answer stands above the layouts, these above their figures, and what does not fit below.
#[test]
fn the_first_sheet_says_what_decides() {
    let found = findings(&SMALL);
    let lines = [
        ("Worth it?", "Working order saves 12 m."),
        ("Does it fit?", "It fits."),
        ("In the way", "Nothing is."),
        ("Busiest", "You are the bottleneck."),
    ];
    let lines = lines.map(|(heading, says)| Line {
        heading,
        says: says.to_owned(),
        is_fault: false,
    });
    let drawing = Drawing::of(&summary(&found, &lines)[0]);
    drawing.check("summary");
    drawing.check_ids("summary");
    let at = |words: &str| {
        let text = drawing.texts.iter().find(|text| text.text == words);
        let text = text.unwrap_or_else(|| panic!("no {words:?} in {:?}", drawing.texts));
        (place(text), text.bold)
    };
    // What is in the way is numbered in the plans.
    assert_eq!(drawing.bold("In the way"), None);
    let [worth, fit, _, busiest] = &lines;
    let told = [worth, fit, busiest];
    let answers = told.map(|line| at(&line.says));
    for line in told {
        let (heading, says) = (at(line.heading).0, at(&line.says).0);
        assert!(heading.y == says.y && heading.x + heading.width < says.x);
    }
    assert!(
        answers.windows(2).all(|two| two[0].0.y < two[1].0.y),
        "{answers:?}"
    );
    assert_eq!(
        answers.map(|answer| answer.1),
        [true, false, false],
        "the first one decides"
    );
    // Both layouts side by side, with the ways walked and numbers at what was found.
    let stations = drawing.groups("station");
    assert_eq!(stations.len(), 2 * SMALL.stations);
    assert!(!drawing.groups("walk").is_empty());
    let signs: Vec<&str> = drawing
        .groups("finding")
        .iter()
        .filter_map(|group| group.id.as_deref())
        .collect();
    assert_eq!(
        signs,
        [
            "layout-1-finding-1",
            "layout-1-finding-2",
            "layout-2-finding-1",
            "layout-2-finding-2"
        ]
    );
    // Widths of gaps that are only warned of stand on the plans.
    assert_eq!(drawing.bold("61.5 cm"), None);
    let (figures, faults) = (
        at("start to finish").0,
        at("Faults and warnings of \"As it grew\" and \"Working order\"").0,
    );
    assert!(answers_end(&drawing, &told) < figures.y && figures.y < faults.y);
    drawing.expect("1 fault, 2 warnings", "summary");
    for found in &found.candidates {
        drawing.expect(&format!("{:.0} ± ", found.walking.mean), "summary");
    }
}

/// Of a long answer the five lines that decide, and every one about a fault; of the others it is said what they are about.
#[test]
fn a_long_answer_is_five_lines_on_the_sheet() {
    let found = findings(&SMALL);
    let headings = [
        "Worth it?",
        "Does it fit?",
        "Dust",
        "Room to feed",
        "Busiest",
        "Would help",
        "First move",
        "Typical",
    ];
    let told = |fault: &str| {
        let lines = headings.map(|heading| Line {
            heading,
            says: format!("Of {heading}."),
            is_fault: heading == fault,
        });
        let drawing = Drawing::of(&summary(&found, &lines)[0]);
        drawing.check("summary");
        let is_told = |heading: &&str| {
            let says = format!("Of {heading}.");
            drawing.texts.iter().any(|text| text.text == says)
        };
        let told: Vec<&str> = headings
            .iter()
            .copied()
            .filter(|heading| is_told(heading))
            .collect();
        let mut more = drawing.texts.iter().map(|text| text.text.clone());
        (
            told,
            more.find(|text| text.starts_with("More of the answer")),
        )
    };
    let (five, more) = told("none");
    assert_eq!(
        five,
        [
            "Worth it?",
            "Does it fit?",
            "Busiest",
            "Would help",
            "First move"
        ]
    );
    let more = more.expect("it is said");
    assert_eq!(
        more,
        "More of the answer, by shopstride compare: dust, room to feed and typical."
    );
    // What is wrong has its line, whatever it is about.
    let (five, _) = told("Dust");
    assert_eq!(
        five,
        [
            "Worth it?",
            "Does it fit?",
            "Dust",
            "Would help",
            "First move"
        ]
    );
}

fn answers_end(drawing: &Drawing, lines: &[&Line]) -> f64 {
    let texts = drawing
        .texts
        .iter()
        .filter(|text| lines.iter().any(|line| line.says == text.text));
    texts
        .map(|text| place(text).y + place(text).height)
        .fold(0.0, f64::max)
}

/// As many as a layout may have before they are only counted, and three more.
#[test]
fn no_fault_is_left_out_without_a_word() {
    let found = findings(&SMALL);
    let mut layouts = floors::layouts(&found);
    let fault = layouts[0].findings[0].clone();
    layouts[0].findings = (1..=15)
        .map(|number| DrawnFinding {
            number,
            is_fault: true,
            short: format!("fault {number} of this layout"),
            ..fault.clone()
        })
        .collect();
    let subject = Subject {
        findings: &found,
        answer: &[],
        timelines: &[],
        layouts: &layouts,
    };
    let chart = ALL.iter().find(|chart| chart.stem == "summary").unwrap();
    let drawing = Drawing::of(&charts::pictures(chart, &subject, 1.0)[0]);
    for number in 1..=12 {
        drawing.expect(&format!("Fault {number} of this layout"), "summary");
    }
    drawing.expect("3 more: see shopstride check.", "summary");
}

#[test]
fn there_is_no_sheet_of_one_layout() {
    let mut found = findings(&SMALL);
    assert_eq!(summary(&found, &[]).len(), 1);
    found.candidates.truncate(1);
    assert!(summary(&found, &[]).is_empty());
}

const PAGE: &str = "16:9";

pub fn paged(size: &fixtures::Size, scale: f64) -> Vec<Picture> {
    let found = findings(size);
    let (layouts, timeline) = (floors::layouts(&found), timeline(size));
    let subject = Subject {
        findings: &found,
        answer: &[Line {
            heading: "Worth it?",
            says: "One of them is better than the other.".to_owned(),
            is_fault: false,
        }],
        timelines: &[timeline],
        layouts: &layouts,
    };
    let size = ChartSize {
        scale,
        page: Some(PAGE.parse::<PageShape>().unwrap()),
    };
    ALL.iter()
        .flat_map(|chart| charts::pictures(chart, &subject, size))
        .collect()
}

/// Every page has the shape and the width in pixels, all of it is in the page, and no id occurs twice.
#[test]
fn pages_have_one_shape_and_hold_what_is_on_them() {
    for size in [&SMALL, &LARGE] {
        for scale in [1.0, 2.0] {
            let pages = paged(size, scale);
            let mut stems: Vec<&str> = pages.iter().map(|page| &page.stem[..]).collect();
            stems.sort_unstable();
            let count = stems.len();
            stems.dedup();
            assert_eq!(stems.len(), count);
            for page in &pages {
                let about = format!("{} at {scale}", page.stem);
                let scene = &page.scene;
                assert!(
                    (scene.width / scene.height - 16.0 / 9.0).abs() < 1e-9,
                    "{about}"
                );
                let wide = 1_000.0 * (1.0 + 0.28 * (scale - 1.0));
                assert!((scene.width * scene.scale - wide).abs() < 1.0, "{about}");
                let drawing = Drawing::of(page);
                drawing.check(&about);
                drawing.check_ids(&about);
                let lowest = drawing
                    .shapes
                    .iter()
                    .filter_map(|shape| match shape.outline {
                        Outline::Rectangle(Area { y, height, .. }) => Some(y + height),
                        _ => None,
                    });
                assert!(lowest.fold(0.0, f64::max) <= scene.height + 1e-6, "{about}");
            }
        }
    }
}

/// Pages together hold everything that the one picture does, and the heading is on each.
#[test]
fn nothing_is_lost_between_pages() {
    let count = |pages: &[Picture], words: &str| {
        let mut found = 0;
        for page in pages {
            page.scene.visit(&mut |item| {
                if let SceneItem::Text(text) = item {
                    found += usize::from(text.text == words);
                }
            });
        }
        found
    };
    let found = findings(&LARGE);
    let of = |stem: &str, pages: &[Picture]| -> Vec<Picture> {
        let of =
            |page: &&Picture| page.stem == stem || page.stem.starts_with(&format!("{stem}-page-"));
        pages.iter().filter(of).cloned().collect()
    };
    let pages = of("stations", &paged(&LARGE, 2.0));
    assert!(pages.len() > 1, "{}", pages.len());
    let whole = {
        let chart = ALL.iter().find(|chart| chart.stem == "stations").unwrap();
        charts::pictures(chart, &super::subject(&found, None, &[]), 2.0)
    };
    let mut words: Vec<String> = Vec::new();
    whole[0].scene.visit(&mut |item| {
        if let SceneItem::Text(text) = item {
            words.push(text.text.clone());
        }
    });
    for text in &words {
        assert!(count(&pages, text) >= count(&whole, text), "{text}");
    }
    let title = ALL
        .iter()
        .find(|chart| chart.stem == "stations")
        .unwrap()
        .title;
    assert_eq!(count(&pages, title), pages.len());
}
