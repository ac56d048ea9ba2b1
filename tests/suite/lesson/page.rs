//! What stands on the pages, and what must not.

use shopstride::lesson::{LEVELS, LessonLevel, LessonNames, lesson_sheets};
use shopstride::report::lesson::{LessonSet, html};

use crate::support;
use crate::support::command::{done, folder, refused, shopstride, text};

/// The pages of a set, made from a scenario whose names try to be more than names.
pub fn set(level: &LessonLevel, seed: u64, pupils: u32) -> String {
    let study = support::study(HOSTILE);
    let sheets = lesson_sheets(level, seed, pupils).expect("sheets");
    let set = LessonSet {
        title: &study.title,
        names: &LessonNames::of(&study),
        level,
        seed,
    };
    html(&set, &sheets).expect("pages")
}

const HOSTILE: &str = r#"
title: "<script>alert(1)</script> & \"more\""
stations:
  "<img onerror=alert(2)>": {}
  "saw & <b>": {does: {cut: {per lot: 1 min}}}
  "'bench'": {does: {"{{ 7 * 7 }}": {per lot: 1 min, cure: {time: 5 min, ties up: []}}}}
handling: {pick up: 0, put down: 0}
crew: {maker: {}}
projects:
  "</section><svg/onload=alert(3)>": {pieces: 1, material at: "<img onerror=alert(2)>", route: [cut, "{{ 7 * 7 }}"]}
orders: [{project: "</section><svg/onload=alert(3)>"}]
layouts: {here: {distances: 0}}
"#;

#[test]
fn names_are_shown_and_never_obeyed() {
    for level in &LEVELS {
        let page = set(level, 1, 2);
        for obeyed in [
            "<script",
            "<img",
            "<b>saw",
            "<svg/",
            "alert(1)</script",
            "saw & <b>",
        ] {
            assert!(!page.contains(obeyed), "{obeyed} is on the page");
        }
        assert!(page.contains("&lt;script&gt;alert(1)"));
        assert!(page.contains("saw &amp; &lt;b&gt;"));
        assert!(page.contains("&lt;svg"));
        // Nothing is fetched, and nothing could be.
        for fetched in [
            "http:", "https:", "src=", "href=", "url(", "@import", "<link",
        ] {
            assert!(!page.contains(fetched), "{fetched} is on the page");
        }
        assert!(page.contains("default-src 'none'"));
    }
}

#[test]
fn the_same_seed_gives_the_same_bytes_and_each_pupil_another_sheet() {
    const PUPILS: u32 = 8;
    for level in &LEVELS {
        let page = set(level, 7, PUPILS);
        assert_eq!(page, set(level, 7, PUPILS));
        assert_ne!(page, set(level, 8, PUPILS));
        let sheets = lesson_sheets(level, 7, PUPILS).expect("sheets");
        for (nth, sheet) in sheets.iter().enumerate() {
            for other in &sheets[..nth] {
                assert_ne!(sheet.walking.0, other.walking.0);
                assert_ne!(sheet.line.0, other.line.0);
                assert_ne!(sheet.redesign.0, other.redesign.0);
            }
        }
        // A pupil's sheet does not hang on how many others there are.
        let few = lesson_sheets(level, 7, 3).expect("sheets");
        assert_eq!(few[2].line, sheets[2].line);
        let keys = page.matches("Answer key: sheet").count();
        assert_eq!(keys, PUPILS as usize, "each sheet is in the key once");
        let first_key = page.find("Answer key").expect("a key");
        let last_sheet = page.rfind("Lesson 3: before and after").expect("a sheet");
        assert!(last_sheet < first_key, "the key stands behind all sheets");
    }
}

/// What is said at the head of every lesson, and every word of the trade where it is first used.
#[test]
fn each_lesson_begins_with_what_protects_and_explains_its_words() {
    for level in &LEVELS {
        let page = set(level, 1, 1);
        let (sheets, _) = page.split_once("<section class=\"key\">").expect("a key");
        let lessons: Vec<&str> = sheets.split("<h1>").skip(1).collect();
        assert_eq!(lessons.len(), 5);
        for lesson in &lessons {
            // Heading, name and box.
            let head: String = lesson.split("</p>").take(3).collect();
            for word in ["eyes", "ears", "breath", "awake"] {
                assert!(head.to_lowercase().contains(word), "{word} is missing");
            }
        }
        for word in [
            "trip",
            "from–to chart",
            "string diagram",
            "queue",
            "Lead time",
            "Utilisation",
            "mean queue",
            "Throughput",
            "Work in process",
            "Little’s law",
            "bottleneck",
            "critical path",
            "slack",
            "layout",
            "finding",
        ] {
            let explained = format!("<dfn>{word}</dfn>");
            let at = page
                .find(&explained)
                .unwrap_or_else(|| panic!("{word} is not explained"));
            let before = page[..at].to_lowercase();
            let body = before.split("</style>").last().unwrap_or_default();
            // Headings name what a lesson is about before it begins.
            let text: String = body
                .split("<h1>")
                .map(|part| part.split_once("</h1>").map_or(part, |(_, text)| text))
                .collect();
            assert!(
                !text.contains(&word.to_lowercase()),
                "{word} is used before it is explained"
            );
        }
    }
}

#[test]
fn the_command_writes_a_page_and_refuses_what_is_wrong() {
    let folder = folder();
    let here = folder.path();
    done(
        &[
            "lesson",
            "--out",
            "lesson.html",
            "--pupils",
            "2",
            "--level",
            "2",
        ],
        here,
    );
    let written = std::fs::read(here.join("lesson.html")).expect("a page");
    let printed = done(
        &["lesson", "--out", "-", "--pupils", "2", "--level", "2"],
        here,
    );
    assert_eq!(text(&printed.stdout), text(&written));
    refused(
        &["lesson", "--out", "a.html", "--level", "4"],
        here,
        "from 1 to 3",
    );
    refused(
        &["lesson", "--out", "a.html", "--pupils", "0"],
        here,
        "from 1 to 500",
    );
    refused(
        &["lesson", "--out", "a.html", "--seed", "-1"],
        here,
        "a whole number",
    );
    refused(
        &["lesson", "nowhere.yaml", "--out", "a.html"],
        here,
        "cannot be read",
    );
    let output = shopstride(&["lesson"], here);
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("--out"));
}
