//! What must hold for any shop that keeps hours, of the second reading itself: its books balance, nothing goes on outside
//! open time, and hours that forbid nothing change nothing.

use crate::second_reading::clock::{Spans, both, length, union};
use crate::second_reading::generate::{self, LAYOUT};
use crate::second_reading::play::{Play, play};
use crate::second_reading::record::{LotPhase, Phase, Stretch};
use crate::second_reading::result::{Hours, Outcome};
use crate::second_reading::state::LotState;
use crate::second_reading::{play_hours, read, tree};
use serde_json::{Value, json};

const SHOPS: u64 = 400;

fn spans<'a>(stretches: impl Iterator<Item = &'a Stretch>) -> Spans {
    stretches.map(|s| (s.from, s.to)).collect()
}

/// What lies before the end of the run.
fn cut(spans: &Spans, end: i64) -> Spans {
    both(spans, &vec![(0, end)])
}

/// The most that go on at one moment.
fn most_at_once(spans: &Spans) -> usize {
    let at = |moment: i64| {
        let all = spans.iter();
        all.filter(|span| span.0 <= moment && moment < span.1)
            .count()
    };
    spans.iter().map(|span| at(span.0)).max().unwrap_or(0)
}

fn people_balance(play: &Play, outcome: &Outcome, hours: &Hours, end: i64) {
    for (person, of) in outcome.crew.iter().enumerate() {
        let own = play.record.people.iter().filter(|s| s.whose == person);
        let own = spans(own);
        assert!(most_at_once(&own) <= 1, "{of:?}");
        // Nothing is done while somebody is away, and so not while the shop is shut.
        for span in &own {
            assert_eq!(play.there[person].between(span.0, span.1), vec![*span]);
        }
        let busy = of.walking_us + of.handling_us + of.working_us;
        assert_eq!(busy, length(&cut(&union(own), end)), "{of:?}");
        assert!(of.waiting_us >= 0, "{of:?}");
        let all = busy + of.waiting_us + hours.away_us[person];
        assert_eq!(all, hours.open_us, "{of:?}");
    }
}

fn units_balance(play: &Play, outcome: &Outcome, hours: &Hours) {
    for (station, of) in outcome.stations.iter().enumerate() {
        let own = || play.record.stations.iter().filter(|s| s.whose == station);
        let count = play.shop.stations[station].count;
        assert!(most_at_once(&spans(own())) <= count, "{of:?}");
        for span in spans(own()) {
            let open = play.shop.hours.open.between(span.0, span.1);
            assert_eq!(open, vec![span], "{of:?}");
        }
        let silence = play.silence(station);
        let work = |s: &&Stretch| matches!(s.phase, Phase::Setup | Phase::Running);
        for (from, to) in spans(own().filter(work)) {
            assert!(silence.between(from, to).is_empty(), "{of:?}");
        }
        let states = [
            of.running_us,
            of.setup_us,
            of.curing_us,
            of.reserved_us,
            hours.left_standing_us[station],
            hours.blocked_us[station],
            hours.serviced_us[station],
        ];
        assert!(states.iter().all(|&state| state >= 0), "{of:?}");
        let busy: i64 = states.iter().sum();
        assert!(busy <= hours.open_us * count as i64, "{of:?}");
    }
}

/// Every lot is somewhere at every moment of the calendar from the release of its order to its end.
fn lots_balance(play: &Play, end: i64) {
    for lot in 0..play.lots.len() {
        let mut own: Vec<(LotPhase, i64, i64)> = play
            .record
            .lots
            .iter()
            .filter(|of| of.0 == lot)
            .map(|of| (of.1, of.2, of.3))
            .collect();
        own.sort_by_key(|of| of.1);
        let of = &play.lots[lot];
        let order = &play.orders[of.order];
        let mut at = order.released;
        for (phase, from, to) in &own {
            assert_eq!(*from, at, "{phase:?} of lot {lot}");
            at = *to;
        }
        match of.state {
            LotState::Done => assert!(at == of.since && order.done.is_none_or(|d| at <= d)),
            LotState::Taken => assert!(at >= end, "lot {lot}"),
            _ => assert_eq!(at, of.since, "lot {lot}"),
        }
    }
    for &(_, from, to) in &play.record.after_hours {
        assert!(play.shop.hours.open.between(from, to).is_empty());
    }
}

/// What of hours, and of what stops stations, a shop came to.
struct Exercised {
    forced: bool,
    left_standing: bool,
    away: bool,
    after_hours: bool,
    blocked: bool,
    serviced: bool,
    put_aside: bool,
}

fn plays_and_balances(yaml: &str) -> Exercised {
    let shop = read::read(yaml);
    let (play, end) = play(&shop, &shop.layouts[0]).expect("it does not get stuck");
    let outcome = play.record.outcome(&play, end);
    let hours = play.record.hours(&play, &shop.layouts[0], end);
    people_balance(&play, &outcome, &hours, end);
    units_balance(&play, &outcome, &hours);
    lots_balance(&play, end);
    let by_person: i64 = outcome.crew.iter().map(|p| p.walked_nm).sum();
    assert_eq!(outcome.walking_nm(), by_person);
    for (index, (order, of)) in outcome.orders.iter().zip(&hours.orders).enumerate() {
        let lead_time = order.done_us.map(|done| done - order.released_us);
        assert_eq!(lead_time.is_some(), of.is_some());
        if let (Some(lead_time), Some((shop_time, sessions))) = (lead_time, *of) {
            assert!(shop_time <= lead_time);
            assert_eq!(shop_time > 0, sessions > 0);
            // Each part is in the order for the whole of its lead time, and shut out of it for no more than that was shut.
            let parts = |order: &crate::second_reading::state::Order| {
                let part = |&&lot: &&usize| {
                    let line = play.line(lot);
                    line.made_of.is_empty() && !line.is_material
                };
                order.lots.iter().filter(part).count() as i64
            };
            let shut = hours.shop_shut_us[index].expect("it is done");
            let most = parts(&play.orders[index]) * (lead_time - shop_time);
            assert!((0..=most).contains(&shut), "{shut} of {most}");
        }
    }
    let any = |times: &[i64]| times.iter().any(|&time| time > 0);
    Exercised {
        forced: hours.forced > 0,
        left_standing: any(&hours.left_standing_us),
        away: any(&hours.away_us),
        after_hours: !play.record.after_hours.is_empty(),
        blocked: any(&hours.blocked_us),
        serviced: any(&hours.serviced_us),
        put_aside: hours.put_aside > 0,
    }
}

fn edited(yaml: &str, edit: impl Fn(&mut Value)) -> String {
    let mut root = tree(yaml);
    edit(&mut root);
    serde_json::to_string(&root).expect("it can be written")
}

#[test]
fn hours_that_forbid_nothing_change_nothing() {
    let week = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];
    for seed in 0..SHOPS {
        let yaml = generate::shop(seed);
        let (plain, hours) = play_hours(&yaml, LAYOUT);
        let open = edited(&yaml, |root| {
            let always = json!([
                {"days": week, "open": "0:00", "close": "8:00"},
                {"days": week, "open": "8:00", "close": "24:00"},
            ]);
            // Quiet that nothing is loud in, a loud station without quiet, people who are always there, and work that
            // could not pause if it had to.
            root["sessions"] = json!({"when": always, "quiet": {"from": "20:00", "to": "6:00"}});
            for person in root["crew"].as_object_mut().expect("a crew").values_mut() {
                person["hours"] = always.clone();
            }
            for station in root["stations"]
                .as_object_mut()
                .expect("stations")
                .values_mut()
            {
                station["blade"] = json!(true);
                let does = station.get_mut("does").and_then(Value::as_object_mut);
                for keys in does.into_iter().flat_map(|does| does.values_mut()) {
                    keys["pausable"] = json!(false);
                }
            }
        });
        let (outcome, open) = play_hours(&open, LAYOUT);
        assert_eq!(outcome, plain, "seed {seed}");
        // A session begins at 0:00 and at 8:00, so they are not counted as the one of a shop without any.
        let times = |hours: &Hours| -> Vec<Option<i64>> {
            hours.orders.iter().map(|o| o.map(|o| o.0)).collect()
        };
        assert_eq!(times(&open), times(&hours), "seed {seed}");
        assert_eq!((open.forced, open.open_us), (0, plain.makespan_us));
    }
}

#[test]
fn stops_that_never_come_change_nothing() {
    for seed in 0..SHOPS {
        let yaml = match seed % 2 {
            0 => generate::shop_with_hours(seed),
            _ => generate::shop(seed),
        };
        let stops = edited(&yaml, |root| {
            let stations = root["stations"].as_object_mut().expect("stations");
            let names: Vec<String> = stations.keys().cloned().collect();
            for station in stations.values_mut() {
                station["set down"] = json!(1_000_000);
                station["upkeep"] = json!({"blade": {"every": "100000 h", "time": "1 h"}});
                station["setup from"] = json!({"a text that nobody sets": {"op0": "1 h"}});
                let does = station.get_mut("does").and_then(Value::as_object_mut);
                for keys in does.into_iter().flat_map(|does| does.values_mut()) {
                    keys["dusty"] = json!(true);
                }
            }
            root["not together"] = json!([{"of": names, "at most": 1_000_000}]);
            root["heat"] = json!({"open": "21 C", "shut": "21 C"});
        });
        assert!(
            play_hours(&yaml, LAYOUT) == play_hours(&stops, LAYOUT),
            "seed {seed}"
        );
    }
}

/// What lasts on the calendar, or comes by it.
const ON_THE_CALENDAR: [&str; 6] = ["cure", "every", "first", "in progress", "until", "due"];

fn without_calendar(value: &mut Value) {
    match value {
        Value::Object(keys) => {
            keys.retain(|key, _| !ON_THE_CALENDAR.contains(&&**key));
            keys.values_mut().for_each(without_calendar);
        }
        Value::Array(list) => list.iter_mut().for_each(without_calendar),
        _ => {}
    }
}

#[test]
fn without_anything_on_the_calendar_shop_time_is_time_without_sessions() {
    let mut pauses = 0;
    for seed in 0..SHOPS {
        let plain = edited(&generate::shop(seed), without_calendar);
        let sessions = tree(&generate::shop_with_hours(8 * (seed % 50)));
        let open = edited(&plain, |root| {
            root["sessions"] = sessions["sessions"].clone();
            root["run"]["starts"] = sessions["run"]
                .get("starts")
                .cloned()
                .unwrap_or(json!("2026-11-30"));
        });
        let (plain, _) = play_hours(&plain, LAYOUT);
        let (outcome, hours) = play_hours(&open, LAYOUT);
        let lead_times = plain.orders.iter();
        let lead_times: Vec<i64> = lead_times
            .map(|o| o.done_us.expect("it is done") - o.released_us)
            .collect();
        let shop_times: Vec<i64> = hours.orders.iter().flatten().map(|o| o.0).collect();
        assert_eq!(shop_times, lead_times, "seed {seed}");
        assert_eq!(outcome.stations, plain.stations, "seed {seed}");
        assert_eq!(outcome.trips, plain.trips, "seed {seed}");
        assert_eq!(hours.open_us, plain.makespan_us, "seed {seed}");
        pauses += u64::from(outcome.makespan_us > plain.makespan_us);
    }
    assert!(pauses > SHOPS * 9 / 10, "{pauses} shops paused");
}

/// What the shops must exercise, as the words by which a file says so.
const WORDS: [&str; 12] = [
    "\"sessions\": [",
    "\"when\":",
    "\"set up\":",
    "\"tidy up\":",
    "\"24:00\"",
    "\"starts\":",
    "\"pausable\": false",
    "\"after hours\":",
    "\"hours\":",
    "\"quiet\":",
    "\"rested\":",
    "\"blade\":",
];

#[test]
fn shops_that_keep_hours_play_to_their_ends_their_books_balance_and_all_features_are_exercised() {
    let shops: Vec<String> = (0..SHOPS).map(generate::shop_with_hours).collect();
    for word in WORDS {
        let with = shops.iter().filter(|s| s.contains(word)).count();
        assert!(with >= 20, "{word} occurs in {with} of {SHOPS} shops");
    }
    // Work is forced, left standing, and done after hours; people are away.
    let mut seen = [0; 4];
    for shop in &shops {
        let of = plays_and_balances(shop);
        let found = [of.forced, of.left_standing, of.away, of.after_hours];
        for (seen, found) in seen.iter_mut().zip(found) {
            *seen += u64::from(found);
        }
    }
    assert!(seen.iter().all(|&seen| seen >= 20), "{seen:?}");
    assert_eq!(generate::shop_with_hours(7), shops[7]);
}

const STOPS: [&str; 15] = [
    "\"dry\":",
    "\"take off\":",
    "\"heat\":",
    "\"least\":",
    "\"tacky\":",
    "\"dusty\":",
    "\"last in a session\"",
    "\"upkeep\":",
    "\"shared\":",
    " m\",\n          \"time\"",
    "\"set down\": 0",
    "\"not together\":",
    "\"setting\":",
    "\"setup from\":",
    "\"spacing\":",
];

#[test]
fn shops_with_stops_play_to_their_ends_their_books_balance_and_all_stops_are_exercised() {
    let shops: Vec<String> = (0..SHOPS).map(generate::shop_with_stops).collect();
    for word in STOPS {
        let with = shops.iter().filter(|s| s.contains(word)).count();
        assert!(with >= 8, "{word} occurs in {with} of {SHOPS} shops");
    }
    // Units are blocked and serviced, and lots put aside.
    let mut seen = [0; 3];
    for shop in &shops {
        let of = plays_and_balances(shop);
        let found = [of.blocked, of.serviced, of.put_aside];
        for (seen, found) in seen.iter_mut().zip(found) {
            *seen += u64::from(found);
        }
    }
    assert!(seen[0] >= 40 && seen[1] >= 20 && seen[2] >= 2, "{seen:?}");
    assert_eq!(generate::shop_with_stops(7), shops[7]);
}
