//! The scenario that is worked by hand in its comments: the program is held to every walk and every time of it.

mod data {
    /// What somebody does: walks in a manner from a place to a place, between two instants in microseconds.
    pub type Walk = (&'static str, &'static str, &'static str, i64, i64);
    /// What a station does between two instants in microseconds.
    pub type Work = (&'static str, &'static str, i64, i64);

    pub const FAR_WALKS: [Walk; 12] = [
        ("empty", "bench", "rack", 0, 4_166_667),
        ("carrying", "rack", "saw", 6_166_667, 12_166_667),
        ("empty", "saw", "rack", 14_166_667, 19_166_667),
        ("carrying", "rack", "saw", 21_166_667, 27_166_667),
        ("empty", "saw", "rack", 149_166_667, 154_166_667),
        ("carrying", "rack", "saw", 156_166_667, 162_166_667),
        ("carrying", "saw", "bench", 246_166_667, 250_166_667),
        ("empty", "bench", "saw", 252_166_667, 255_500_000),
        ("carrying", "saw", "bench", 257_500_000, 261_500_000),
        ("empty", "bench", "saw", 263_500_000, 266_833_333),
        ("carrying", "saw", "bench", 268_833_333, 272_833_333),
        ("carrying", "bench", "door", 456_833_333, 463_833_333),
    ];
    pub const FAR_WORK: [Work; 5] = [
        ("saw", "setup", 29_166_667, 89_166_667),
        ("saw", "run", 89_166_667, 149_166_667),
        ("saw", "setup", 164_166_667, 224_166_667),
        ("saw", "run", 224_166_667, 244_166_667),
        ("bench", "run", 274_833_333, 454_833_333),
    ];
    pub const NEAR_WALKS: [Walk; 12] = [
        ("empty", "bench", "rack", 0, 2_500_000),
        ("carrying", "rack", "saw", 4_500_000, 6_500_000),
        ("empty", "saw", "rack", 8_500_000, 10_166_667),
        ("carrying", "rack", "saw", 12_166_667, 14_166_667),
        ("empty", "saw", "rack", 136_166_667, 137_833_334),
        ("carrying", "rack", "saw", 139_833_334, 141_833_334),
        ("carrying", "saw", "bench", 225_833_334, 227_833_334),
        ("empty", "bench", "saw", 229_833_334, 231_500_001),
        ("carrying", "saw", "bench", 233_500_001, 235_500_001),
        ("empty", "bench", "saw", 237_500_001, 239_166_668),
        ("carrying", "saw", "bench", 241_166_668, 243_166_668),
        ("carrying", "bench", "door", 427_166_668, 431_166_668),
    ];
    pub const NEAR_WORK: [Work; 5] = [
        ("saw", "setup", 16_166_667, 76_166_667),
        ("saw", "run", 76_166_667, 136_166_667),
        ("saw", "setup", 143_833_334, 203_833_334),
        ("saw", "run", 203_833_334, 223_833_334),
        ("bench", "run", 245_166_668, 425_166_668),
    ];
}

use shopstride::engine::{Doing, Occupied, WorkPhase};
use shopstride::experiment::{Findings, Study, run, trace};
use shopstride::metrics::What;
use shopstride::shop::PlaceId;

fn study() -> Study {
    let text = include_bytes!("../../scenarios/minimal.yaml");
    match shopstride::scenario::load("minimal.yaml", text) {
        Ok(loaded) => {
            assert!(
                loaded.warnings.is_empty(),
                "{}",
                loaded.warnings.render(false)
            );
            loaded.study
        }
        Err(problems) => panic!("{}", problems.render(false)),
    }
}

fn findings(study: &Study) -> Findings {
    run(study, 0, &|_| ()).expect("it does not get stuck")
}

#[test]
fn every_walk_and_every_time_is_as_worked_by_hand() {
    let study = study();
    let expected = [
        ("far", data::FAR_WALKS, data::FAR_WORK),
        ("near", data::NEAR_WALKS, data::NEAR_WORK),
    ];
    assert_eq!(study.candidates.len(), expected.len());
    for (index, (layout, walks, work)) in expected.into_iter().enumerate() {
        let candidate = &study.candidates[index];
        assert_eq!(candidate.name, layout);
        let shop = &candidate.shop;
        let name = |place: PlaceId| {
            shop.stations
                .iter()
                .nth(place.index())
                .expect("a station")
                .name
                .as_str()
        };
        let mut lines = Vec::new();
        trace(&study, index, 0, |line| lines.push(line.clone())).expect("it does not get stuck");
        let (mut walked, mut worked) = (Vec::new(), Vec::new());
        for line in &lines {
            let (start, end) = (line.start.micros(), line.end.micros());
            match &line.what {
                What::Phase {
                    doing:
                        Doing::Walk {
                            manner, from, to, ..
                        },
                    ..
                } => {
                    walked.push((manner.name(), name(*from), name(*to), start, end));
                }
                What::Phase {
                    of: Occupied::Person(_),
                    doing: Doing::Work { phase, at },
                } => {
                    let phase = match phase {
                        WorkPhase::Setup => "setup",
                        WorkPhase::Run => "run",
                        WorkPhase::Teardown => "teardown",
                        WorkPhase::TakeOff => "take off",
                        WorkPhase::Service => "service",
                    };
                    worked.push((name(PlaceId::from(*at)), phase, start, end));
                }
                _ => {}
            }
        }
        assert_eq!(walked, walks, "{layout}");
        assert_eq!(worked, work, "{layout}");
    }
}

#[test]
fn the_totals_are_as_worked_by_hand() {
    let study = study();
    let found = findings(&study);
    assert_eq!(found.replications, 1, "nothing varies");
    // Layout; empty and carrying in metres; lead time, walking and reserved times in microseconds.
    let expected = [
        (
            "far",
            25.0,
            37.0,
            465_833_333,
            57_833_333,
            [44_166_667, 30_666_666],
        ),
        (
            "near",
            11.0,
            16.0,
            433_166_668,
            25_166_668,
            [23_833_334, 21_333_334],
        ),
    ];
    let micros = |seconds: f64| (seconds * 1e6).round() as i64;
    for (found, (layout, empty, carrying, lead_time, walking, reserved)) in
        found.candidates.iter().zip(expected)
    {
        assert_eq!(found.name, layout);
        assert_eq!(
            (
                found.walked.empty,
                found.walked.carrying,
                found.walked.pushing
            ),
            (empty, carrying, 0.0)
        );
        assert_eq!(found.walking.mean, empty + carrying);
        assert_eq!(
            found.lead_time.map(|estimate| micros(estimate.mean)),
            Some(lead_time)
        );
        assert_eq!(micros(found.makespan.mean), lead_time);
        let maker = &found.crew[0];
        assert_eq!(micros(maker.walking), walking);
        assert_eq!(
            (micros(maker.handling), micros(maker.working)),
            (28_000_000, 380_000_000)
        );
        assert_eq!(micros(maker.waiting), 0);
        let station = |name: &str| {
            found
                .stations
                .iter()
                .find(|station| station.name == name)
                .expect("it is there")
        };
        let [at_saw, at_bench] = reserved;
        let (saw, bench) = (station("saw"), station("bench"));
        assert_eq!(
            (micros(saw.running), micros(saw.setup), micros(saw.reserved)),
            (80_000_000, 120_000_000, at_saw)
        );
        assert_eq!(
            (
                micros(bench.running),
                micros(bench.setup),
                micros(bench.reserved)
            ),
            (180_000_000, 0, at_bench)
        );
        assert_eq!((saw.lots, bench.lots), (2.0, 1.0));
    }
    let compared = &found.comparisons[0];
    assert_eq!(compared.walking.difference.mean, -35.0);
    assert_eq!(
        compared
            .lead_time
            .map(|paired| micros(paired.difference.mean)),
        Some(-32_666_665)
    );
}
