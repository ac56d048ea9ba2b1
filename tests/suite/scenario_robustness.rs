//! Whatever is in the file: a study or problems, soon, and never a panic.

use std::fs;
use std::path::Path;
use std::sync::OnceLock;
use std::time::{Duration, Instant};

use proptest::prelude::*;
use shopstride::scenario::{self, STARTER};
use shopstride::shop::PlaceId;

use crate::support::drawn;

/// Whatever is in a file, it takes no longer than so many times the starter, read in the same run: then a busy machine
/// is slow at both.
const TIMES_THE_STARTER: u32 = 8000;

/// How long the starter takes, on average.
fn starter() -> Duration {
    const READINGS: u32 = 50;
    static TAKES: OnceLock<Duration> = OnceLock::new();
    *TAKES.get_or_init(|| {
        let started = Instant::now();
        for _ in 0..READINGS {
            let loaded = scenario::load("starter.yaml", STARTER.as_bytes());
            assert!(loaded.is_ok());
        }
        started.elapsed() / READINGS
    })
}

/// Loads, renders, and checks that whatever loads makes sense. True if it loads.
fn survive(text: &[u8]) -> bool {
    let started = Instant::now();
    let loaded = match scenario::load("scenario.yaml", text) {
        Ok(loaded) => {
            loaded.warnings.render(false);
            for candidate in &loaded.study.candidates {
                let (shop, walks) = (&candidate.shop, &candidate.walks);
                let room = candidate.plan.as_ref().and_then(|plan| plan.room.as_ref());
                let doors = room.map_or(0, |room| room.doors.len());
                let places = shop.stations.len() + doors;
                assert_eq!(walks.places(), places);
                let known = |place: PlaceId| assert!(place.index() < places);
                for item in shop.projects.iter().flat_map(|project| &project.items) {
                    (item.lies_at().into_iter().chain(item.deliver_to)).for_each(known);
                    for step in &item.route {
                        assert!(!step.choices.is_empty());
                        for choice in &step.choices {
                            known(choice.station.into());
                            assert!(choice.work.by_size.is_finite() && choice.work.by_size >= 0.0);
                        }
                    }
                }
            }
            assert!(!loaded.study.candidates.is_empty());
            true
        }
        Err(problems) => {
            assert!(
                problems
                    .iter()
                    .any(|p| p.severity == scenario::Severity::Error)
            );
            assert!(problems.render(false).contains("error: "));
            false
        }
    };
    let taken = started.elapsed();
    let starter = starter();
    assert!(
        taken < TIMES_THE_STARTER * starter,
        "{taken:?}, where the starter takes {starter:?}"
    );
    loaded
}

fn samples() -> Vec<String> {
    let directory = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/scenarios");
    let mut samples = vec![STARTER.to_owned()];
    for name in ["boxes.yaml", "names.yaml", "table.yaml"] {
        samples.push(fs::read_to_string(directory.join(name)).expect("readable"));
    }
    samples
}

#[test]
fn byte_order_marks_and_line_ends_change_nothing() {
    for sample in samples() {
        assert!(survive(sample.as_bytes()));
        assert!(survive(format!("\u{feff}{sample}").as_bytes()));
        assert!(survive(sample.replace('\n', "\r\n").as_bytes()));
        assert!(survive(sample.trim_end().as_bytes()));
        assert!(survive(format!("---\n{sample}...\n").as_bytes()));
    }
}

#[test]
fn what_is_no_scenario_is_refused_soon() {
    let mut bomb = "a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n".to_owned();
    for level in 1..13 {
        let inner = vec![format!("*a{}", level - 1); 10].join(", ");
        bomb += &format!("a{level}: &a{level} [{inner}]\n");
    }
    let mut state = 1_u64;
    let noise: Vec<u8> = (0..1 << 20)
        .map(|_| {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1);
            (state >> 56) as u8
        })
        .collect();
    let letters: Vec<u8> = noise
        .iter()
        .map(|byte| b"abc: {}[]-\n,'\"&*!|>%#?"[usize::from(*byte) % 22])
        .collect();
    let keys: String = (0..50_000).map(|i| format!("key {i}: {i}\n")).collect();
    let stations: String = (0..50_000).map(|i| format!("  s{i}: {{}}\n")).collect();
    let texts: Vec<Vec<u8>> = vec![
        b"".to_vec(),
        b"\n\n# nothing\n".to_vec(),
        b"\xef\xbb\xbf".to_vec(),
        b"\xff\xfe\x00a".to_vec(),
        b"null".to_vec(),
        b"[]".to_vec(),
        b"3".to_vec(),
        b"title: \0".to_vec(),
        b"a: *b".to_vec(),
        b"&a [*a]".to_vec(),
        b"? [a, b]\n: c".to_vec(),
        b"!!binary aGVsbG8=".to_vec(),
        bomb.into_bytes(),
        vec![b'['; 100_000],
        b"{a: ".repeat(100_000),
        b"- ".repeat(100_000),
        b"x".repeat(1 << 20),
        noise,
        letters,
        keys.into_bytes(),
        format!("title: x\nstations:\n{stations}").into_bytes(),
        vec![b' '; (16 << 20) + 1],
    ];
    for (index, text) in texts.iter().enumerate() {
        assert!(!survive(text), "text {index} is no scenario");
    }
}

/// Large files that are well formed: whether they are read or refused, it must not take long.
#[test]
fn large_scenarios_take_no_longer_than_they_must() {
    let list = |count: usize, item: &dyn Fn(usize) -> String| -> String {
        (0..count).map(item).collect::<Vec<_>>().join(", ")
    };
    let shop = |stations: &str, projects: &str, orders: &str, rest: &str| {
        format!(
            "title: Large\nstations: {{{stations}}}\nprojects: {{{projects}}}\norders: [{orders}]\nlayouts: {{a: {{distances: 0}}}}\n{rest}"
        )
    };
    let saw = "saw: {does: {rip: {per lot: 1 s}}}";
    let box_ = "box: {route: [rip]}";
    let order = "{project: box}";
    let able = |i: usize| format!("s{i}: {{does: {{rip: {{per lot: 1 s}}}}}}");
    let texts = [
        (
            "a long route",
            shop(
                saw,
                &format!("box: {{route: [{}]}}", list(5000, &|_| "rip".into())),
                order,
                "",
            ),
            true,
        ),
        (
            "many stations for one step",
            shop(&list(400, &able), box_, order, ""),
            true,
        ),
        (
            "many stations for many steps",
            shop(
                &list(400, &able),
                &format!("box: {{route: [{}]}}", list(5000, &|_| "rip".into())),
                order,
                "",
            ),
            false,
        ),
        (
            "many projects",
            shop(
                saw,
                &list(5000, &|i| format!("p{i}: {{route: [rip]}}")),
                &list(5000, &|i| format!("{{project: p{i}}}")),
                "",
            ),
            true,
        ),
        (
            "many parts",
            shop(
                saw,
                &format!(
                    "box: {{parts: {{{}}}}}",
                    list(5000, &|i| format!("p{i}: {{route: [rip]}}"))
                ),
                order,
                "",
            ),
            true,
        ),
        (
            "many unknown names",
            shop(
                saw,
                &format!("box: {{route: [{}]}}", list(5000, &|i| format!("cut{i}"))),
                order,
                "",
            ),
            false,
        ),
        (
            "long names",
            shop(
                &format!("{}: {{}}", "s".repeat(900)),
                &format!("box: {{route: [{}]}}", "x".repeat(200_000)),
                order,
                "",
            ),
            false,
        ),
        (
            "many people",
            shop(saw, box_, order, "crew: {p: {count: 1000}}"),
            true,
        ),
        (
            "many operations",
            shop(
                &format!(
                    "saw: {{does: {{{}}}}}",
                    list(3000, &|i| format!("o{i}: {{}}"))
                ),
                box_,
                order,
                "",
            ),
            false,
        ),
        (
            "many warnings and an error",
            shop(
                saw,
                &list(5000, &|i| format!("p{i}: {{route: [rip]}}")),
                "{project: p1}",
                "run: {until: 0}",
            ),
            false,
        ),
    ];
    for (what, text, loads) in texts {
        assert_eq!(survive(text.as_bytes()), loads, "{what}");
    }
}

/// Pieces that are put in at random places.
const SCRAPS: &[&str] = &[
    "0",
    "-1",
    ".nan",
    ".inf",
    "1e400",
    "null",
    "~",
    "{}",
    "[]",
    "\n",
    "  ",
    ": ",
    "- ",
    "*a",
    "&a ",
    "<<: ",
    "1e9 s",
    "1000 km",
    "99 %",
    "1000000",
    "{exponential: 1 ms}",
    "count: 2000000, ",
    "every: 0, ",
    "saw",
    "é",
    "\t",
    "!!str ",
    "[saw, bench]",
    "batch: 1, ",
    "together: 1000, ",
    "people: 0, ",
    "in progress: 1",
    "#",
    "'",
    "\"",
    "|",
    ">",
];

proptest! {
    #![proptest_config(drawn(400))]

    #[test]
    fn a_damaged_scenario_is_read_or_refused(
        sample in 0..4_usize,
        cuts in prop::collection::vec((0..3_u8, any::<prop::sample::Index>(), 0..12_usize, 0..SCRAPS.len()), 1..6),
    ) {
        let mut text: Vec<char> = samples()[sample].chars().collect();
        for (kind, place, length, scrap) in cuts {
            let start = place.index(text.len().max(1)).min(text.len());
            let end = (start + length).min(text.len());
            match kind {
                0 => { text.drain(start..end); }
                1 => { text.splice(start..end, SCRAPS[scrap].chars()); }
                _ => {
                    let copied: Vec<char> = text[start..end].to_vec();
                    text.splice(start..start, copied);
                }
            }
        }
        survive(text.iter().collect::<String>().as_bytes());
    }

    /// One value replaced as a whole keeps the file readable, so that what is built from it is reached.
    #[test]
    fn a_replaced_value_is_read_or_refused(
        sample in 0..4_usize,
        word in any::<prop::sample::Index>(),
        scrap in 0..SCRAPS.len(),
    ) {
        let text = samples()[sample].clone();
        let values: Vec<(usize, usize)> = text
            .match_indices(": ")
            .map(|(at, _)| (at + 2, text[at + 2..].find([',', '}', ']', '\n']).map_or(text.len(), |end| at + 2 + end)))
            .collect();
        let (start, end) = values[word.index(values.len())];
        survive(format!("{}{}{}", &text[..start], SCRAPS[scrap], &text[end..]).as_bytes());
    }
}
