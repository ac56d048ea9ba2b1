//! Charts into files, and the font that they are written with.

use std::fs;

use shopstride::report::charts::{self, Format};

use super::fixtures::{SMALL, findings, nothing, timeline};
use super::{pictures, subject};

#[test]
fn files_are_written_whole_and_named() {
    let folder = tempfile::tempdir().unwrap();
    let inside = folder.path().join("charts");
    let files = charts::write(
        &subject(&findings(&SMALL), Some(&timeline(&SMALL)), &[]),
        &inside,
        1.0,
        Format::ALL,
    )
    .unwrap()
    .files;
    let names: Vec<_> = files
        .iter()
        .filter(|file| file.extension().unwrap() == "svg")
        .map(|file| file.file_stem().unwrap().to_str().unwrap())
        .collect();
    let expected = [
        "summary",
        "walking",
        "stations",
        "people",
        "waits",
        "bottlenecks",
        "from-to-1-as-it-grew",
        "from-to-2-working-order",
        "timeline",
        "queues",
        "lead-time",
        "legs",
    ];
    assert_eq!(names, expected);
    // And the list of them.
    assert_eq!(fs::read_dir(&inside).unwrap().count(), files.len() + 1);
    let written = fs::read_to_string(inside.join("walking.svg")).unwrap();
    let drawn = &pictures(&findings(&SMALL), None)[1];
    assert_eq!(written, drawn.scene.svg());
}

/// That names are drawn with boxes is said, with the letters and the texts in which they stand, by what draws them.
#[test]
fn letters_that_are_drawn_as_boxes_are_named() {
    let mut found = findings(&SMALL);
    let folder = tempfile::tempdir().unwrap();
    let draw = |found: &_, formats: &[Format]| {
        let subject = subject(found, None, &[]);
        charts::write(&subject, folder.path(), 1.0, formats).unwrap()
    };
    assert_eq!(draw(&found, Format::ALL).missing.note(), None);
    found.candidates[0].name = "near 鋸".to_owned();
    let missing = draw(&found, Format::ALL).missing;
    assert_eq!(Vec::from_iter(&missing.letters), [&'鋸']);
    assert!(
        missing.texts.iter().all(|text| text.contains('鋸')),
        "{missing:?}"
    );
    assert!(
        missing.texts.iter().any(|text| text == "near 鋸"),
        "{missing:?}"
    );
    assert_eq!(draw(&found, &[Format::Json]).missing.note(), None);
}

#[test]
fn an_error_names_the_file() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("taken");
    fs::write(&file, "").unwrap();
    let error =
        charts::write(&subject(&nothing(), None, &[]), &file, 1.0, Format::ALL).unwrap_err();
    assert!(error.to_string().contains("taken"), "{error}");
}

/// The renderer reads the font itself, and so is a witness for the table of widths.
#[test]
fn widths_are_those_of_the_font() {
    use resvg::usvg::{Node, Options, Tree};
    let mut options = Options::default();
    for font in ["Inter-Regular.ttf", "Inter-Bold.ttf"] {
        let file = format!(
            "{}/src/report/charts/font/{font}",
            env!("CARGO_MANIFEST_DIR")
        );
        options.fontdb_mut().load_font_data(fs::read(file).unwrap());
    }
    let letters: Vec<char> = ('!'..='~')
        .chain('¡'..='ſ')
        .chain("αΩ–—…→±−×≤≥▲◆●■".chars())
        .collect();
    for bold in [false, true] {
        let weight = if bold { "bold" } else { "normal" };
        let mut checked = 0;
        // The soft hyphen does not show, and U+0149 is deprecated and not in the font.
        for letter in letters
            .iter()
            .filter(|letter| !['\u{AD}', '\u{149}'].contains(letter))
        {
            let svg = format!(
                "<svg xmlns='http://www.w3.org/2000/svg' width='9000' height='4000'>\
                 <text x='0' y='2000' font-family='Inter' font-weight='{weight}' font-size='2048'>&#{};</text></svg>",
                *letter as u32
            );
            let tree = Tree::from_str(&svg, &options).unwrap();
            let Some(Node::Text(text)) = tree.root().children().first() else {
                panic!("{letter} is no text")
            };
            let drawn = f64::from(text.bounding_box().width());
            let known = charts::text::width(&letter.to_string(), 2048.0, bold);
            assert!(
                (drawn - known).abs() < 1.0,
                "{letter}: {drawn} drawn, {known} known"
            );
            checked += 1;
        }
        assert!(checked > 300);
    }
}
