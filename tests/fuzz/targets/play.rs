//! Whatever loads can be played and told: no panic, no figure that is not a number, and pictures that can be drawn.

#![no_main]

use std::sync::Arc;

use libfuzzer_sys::fuzz_target;
use shopstride::experiment::{Changes, LayoutFindings, Replications, Study, relieve, run};
use shopstride::report::charts::{self, Layout, Subject};
use shopstride::report::{Line, answer, data, relief, tables, times};
use shopstride::scenario;
use shopstride::shop::{Arrivals, Shop};

/// Orders of a line that are played, so that thousands of files a minute are.
const ORDERS: u64 = 3;

/// Shops with more pieces to be worked on than this are left out, for the same reason.
const PIECES: u64 = 20_000;

/// The study with few orders, replications and candidates.
fn shorten(study: &mut Study) {
    study.settings.replications = Replications::Fixed(2);
    study.candidates.truncate(3);
    for candidate in &mut study.candidates {
        let lines = candidate.shop.orders.iter().cloned();
        let orders = lines
            .map(|mut line| {
                match &mut line.arrivals {
                    Arrivals::AtStart { count } => *count = ORDERS.min(*count),
                    Arrivals::Every { count, .. } => {
                        *count = Some(count.map_or(ORDERS, |count| ORDERS.min(count)));
                    }
                    Arrivals::InProgress { count } => {
                        let count = ORDERS.min(u64::from(*count));
                        line.arrivals = Arrivals::AtStart { count };
                    }
                }
                line
            })
            .collect();
        Arc::make_mut(&mut candidate.shop).orders = orders;
    }
}

/// Pieces to be worked on, each counted at each of its steps.
fn pieces(shop: &Shop) -> u64 {
    let lines = shop.orders.iter().flat_map(|line| {
        let items = shop.projects[line.project].items.iter();
        items.map(|item| {
            let pieces = u64::from(item.pieces) * u64::from(line.together);
            pieces.saturating_mul(1 + item.route.len() as u64)
        })
    });
    lines.fold(0, u64::saturating_add)
}

fuzz_target!(|text: &[u8]| {
    let Ok(mut loaded) = scenario::load("fuzzed.yaml", text) else {
        return;
    };
    let study = &mut loaded.study;
    shorten(study);
    let candidates = study.candidates.iter();
    if candidates
        .map(|candidate| pieces(&candidate.shop))
        .sum::<u64>()
        > PIECES
    {
        return;
    }
    // Names may hold anything; figures may not.
    let odd = |text: &str| text.contains("NaN") || text.contains("inf");
    let named = odd(&String::from_utf8_lossy(text));
    let told = |text: String| assert!(!text.is_empty() && (named || !odd(&text)), "{text}");
    for candidate in &study.candidates {
        told(times::routes(candidate, study.units, 80));
    }
    let Ok(findings) = run(study, 0, &|_| {}) else {
        return;
    };
    for found in &findings.candidates {
        let walked = (found.walking.mean, found.walked.total());
        assert!((walked.0 - walked.1).abs() <= 1e-6 * (1.0 + walked.0), "{walked:?}");
    }
    let found = &findings.candidates[0];
    let width = 80;
    told(answer::compare(&findings));
    told(answer::run(&findings, 0));
    told(tables::candidates(&findings, width));
    for table in [
        tables::flow,
        tables::stations,
        tables::queues,
        tables::bottlenecks,
        tables::person_time,
        tables::lead_times,
    ] {
        assert!(named || !odd(&table(found, width)));
    }
    tables::legs(&findings, found, 12, width).map_or((), told);
    told(format!("{:?}", data::json(&findings)));
    // Pictures and reliefs take longer, so not every file gets them.
    if text.len() % 8 == 0 {
        let timeline = shopstride::experiment::play_timeline(study, 0, 0).expect("it was played before");
        let subject = Subject {
            findings: &findings,
            answer: &[Line { heading: "Worth it?", says: answer::compare(&findings), is_fault: false }],
            timelines: &[timeline],
            layouts: &Layout::all(&LayoutFindings::all(study, &study.sites(), &findings), study.units),
        };
        for chart in charts::ALL {
            for picture in charts::pictures(chart, &subject, 1.0) {
                assert!(named || !picture.scene.svg().contains("NaN"), "{}", picture.stem);
            }
        }
    }
    if text.len() % 8 == 4 {
        study.candidates.truncate(1);
        let changes = Changes::of(&study.candidates[0]);
        if let Ok(reliefs) = relieve(study, 0, changes, &|_| {}) {
            told(relief::advice(&reliefs));
            assert!(named || !odd(&relief::reliefs(&reliefs, width)));
            told(format!("{:?}", relief::json(&reliefs)));
        }
    }
});
