//! Sound against worked cases.

use serde_json::Value;
use shopstride::services::noise::{
    MOST_FALL_INDOORS, NoiseExposure, Sound, WallPart, level_behind, level_indoors, level_outdoors,
    level_sum, wall_reduction,
};
use shopstride::services::together::OnTime;
use shopstride::units::Moment;
use shopstride::units::customary::{FOOT, SQUARE_FOOT};

use super::case::{Case, number, numbers};

const MINUTE: f64 = 60e6;

fn day() -> OnTime {
    time(0.0, 1440.0)
}

fn time(from: f64, until: f64) -> OnTime {
    let minute = |minutes: f64| Moment::from_micros((minutes * MINUTE) as i64);
    OnTime {
        from: minute(from),
        until: minute(until),
    }
}

fn sound(told: &Value) -> Sound {
    let times = told["on"].as_array().expect("a list").iter().map(numbers);
    Sound {
        level: number(&told["level"]),
        on: times.map(|on| time(on[0], on[1])).collect(),
    }
}

pub fn dose(case: &Case) {
    let sources = case.input("sources").as_object().expect("an object");
    let sounds: Vec<Sound> = sources.values().map(sound).collect();
    let protection = case.given("protection").map_or(0.0, number);
    let found = NoiseExposure::within(day(), &sounds, protection);
    case.near("dose_pct", 100.0 * found.dose);
    case.near_or_none("TWA", found.eight_hour_level());
    case.near_or_none("peak_dBA", found.peak);
    case.near("minutes_above_85", found.above_limit.seconds() / 60.0);
}

/// One level after another.
pub fn dose_of_levels(case: &Case) {
    let mut from = 0.0;
    let mut sounds = Vec::new();
    for (level, minutes) in case
        .numbers("levels")
        .into_iter()
        .zip(case.numbers("minutes"))
    {
        sounds.push(Sound {
            level,
            on: vec![time(from, from + minutes)],
        });
        from += minutes;
    }
    let found = NoiseExposure::within(day(), &sounds, 0.0);
    case.near("dose_percent", 100.0 * found.dose);
    case.near("TWA", found.eight_hour_level().expect("a dose"));
}

fn parts(case: &Case, key: &str) -> Vec<WallPart> {
    let parts = case
        .input(key)
        .as_array()
        .expect("a list")
        .iter()
        .map(numbers);
    parts
        .map(|part| WallPart {
            area: part[0] * SQUARE_FOOT,
            reduction: part[1],
        })
        .collect()
}

pub fn composite(case: &Case) {
    case.near(
        "TL",
        wall_reduction(&parts(case, "parts_ft2_TL")).expect("a wall"),
    );
}

pub fn wall(case: &Case) {
    let parts = parts(case, "parts");
    case.near("TL", wall_reduction(&parts).expect("a wall"));
    let absorbs = case.number("sabins") * SQUARE_FOOT;
    let behind = level_behind(case.number("L1"), &parts, absorbs);
    case.near("L2", behind.expect("a wall"));
}

pub fn outdoors(case: &Case) {
    let [near, far] = ["r1", "r2"].map(|key| case.number(key) * FOOT);
    case.near("L2", level_outdoors(case.number("L1"), near, far));
}

/// Two equal sources add 3 dB, as a magazine and the sum of energies say; a level falls by 6 dB when the distance doubles,
/// and by no more than a room lets it.
#[test]
fn levels_add_up_and_fall() {
    let two = level_sum([100.0, 100.0]).expect("a sum");
    assert!((two - 103.0103).abs() < 1e-4);
    assert_eq!(level_sum([]), None);
    let doubled = level_outdoors(90.0, 1.0, 1.0) - level_outdoors(90.0, 1.0, 2.0);
    assert!((doubled - 6.0206).abs() < 1e-4);
    assert_eq!(level_indoors(90.0, 0.1), 90.0);
    assert_eq!(level_indoors(90.0, 0.0), 90.0);
    assert_eq!(level_indoors(90.0, 50.0), 90.0 - MOST_FALL_INDOORS);
    assert_eq!(wall_reduction(&[]), None);
}

/// What is on past midnight counts on both days.
#[test]
fn a_day_has_what_is_heard_within_it() {
    let sounds = [Sound {
        level: 88.0,
        on: vec![time(1380.0, 1560.0)],
    }];
    let next = time(1440.0, 2880.0);
    let [before, after] = [day(), next].map(|day| NoiseExposure::within(day, &sounds, 0.0));
    assert!((before.dose - 60.0 / 240.0).abs() < 1e-12);
    assert!((after.dose - 120.0 / 240.0).abs() < 1e-12);
}
