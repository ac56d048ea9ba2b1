//! Light against worked cases.

use serde_json::Value;
use shopstride::services::light::{
    DownLamp, Onlooker, Surfaces, direct_illuminance, facing_rectangles, lamps_needed,
    mean_illuminance, room_cavity_ratio,
};
use shopstride::units::customary::FOOT;

use super::case::{Case, number, numbers};

fn room(case: &Case) -> [f64; 2] {
    let sides = case.numbers("room");
    [sides[0] * FOOT, sides[1] * FOOT]
}

pub fn lamps(case: &Case) {
    let [length, width] = room(case);
    let area = length * width;
    let (lumens, utilisation, loss) = (case.number("F"), case.number("CU"), case.number("LLF"));
    let raw = lamps_needed(case.number("E"), area, lumens, utilisation, loss);
    case.near("N_raw", raw);
    case.near("N", libm::ceil(raw));
    let achieved = mean_illuminance(libm::ceil(raw) * lumens, area, utilisation, loss);
    case.near("achieved", achieved);
    case.near(
        "RCR",
        room_cavity_ratio(length, width, case.number("h") * FOOT),
    );
}

pub fn lamps_by_area(case: &Case) {
    let (area, lumens) = (case.number("A"), case.number("F"));
    let (utilisation, loss) = (case.number("CU"), case.number("LLF"));
    let count = libm::ceil(lamps_needed(
        case.number("E"),
        area,
        lumens,
        utilisation,
        loss,
    ));
    case.near("N", count);
    case.near(
        "achieved",
        mean_illuminance(count * lumens, area, utilisation, loss),
    );
}

pub fn mean(case: &Case) {
    let [length, width] = room(case);
    let above = (case.number("lamp_height") - case.number("plane")) * FOOT;
    let shares = case.numbers("surfaces");
    let surfaces = Surfaces {
        ceiling: shares[0],
        walls: shares[1],
        floor: shares[2],
    };
    let lamps = case.input("lamps").as_array().expect("a list").iter();
    let lumens: f64 = lamps
        .map(|lamp| number(&lamp["lumens"]) * number(&lamp["count"]))
        .sum();
    let found = surfaces.utilisation(length, width, above);
    let (area, loss) = (length * width, case.number("LLF"));
    case.near("CU", found.whole);
    case.near("RCR", room_cavity_ratio(length, width, above));
    case.near("mean_lx", mean_illuminance(lumens, area, found.whole, loss));
    case.near(
        "direct_mean_lx",
        mean_illuminance(lumens, area, found.direct, loss),
    );
}

fn lamp(told: &Value) -> DownLamp {
    let at = numbers(&told["at"]);
    DownLamp {
        lumens: number(&told["lumens"]),
        at: [at[0] * FOOT, at[1] * FOOT, number(&told["height"]) * FOOT],
        length: told.get("length").map_or(0.0, number) * FOOT,
        turn: 0.0,
    }
}

/// What is in the shadow where nobody stands is 0.
pub fn point(case: &Case) {
    let lamps = case.input("lamps").as_array().expect("a list").iter();
    let lamps: Vec<DownLamp> = lamps.map(lamp).collect();
    let place = case.numbers("P");
    let place = [place[0] * FOOT, place[1] * FOOT, place[2] * FOOT];
    let loss = case.number("LLF");
    let body = case.given("body").map(numbers).map(|body| Onlooker {
        stands: [body[0] * FOOT, body[1] * FOOT],
        width: body[3] * FOOT,
        height: body[4] * FOOT,
    });
    let seen = loss * direct_illuminance(&lamps, place, body);
    let all = loss * direct_illuminance(&lamps, place, None);
    case.near("lx", seen);
    case.near("shadowed_lx", all - seen);
}

/// The shares of two facing rectangles by adding up small pieces: cos² / (π d²).
#[test]
fn the_view_factor_is_what_small_pieces_add_up_to() {
    for (length, width, distance) in [(1.0, 1.0, 1.0), (7.3, 6.1, 1.42), (3.0, 9.0, 2.0)] {
        const PIECES: u32 = 40;
        let middles = |side: f64| -> Vec<f64> {
            let middle = |piece| (f64::from(piece) + 0.5) * side / f64::from(PIECES);
            (0..PIECES).map(middle).collect()
        };
        let (xs, ys) = (middles(length), middles(width));
        let count = f64::from(PIECES);
        let piece = length * width / (count * count);
        let mut sum = 0.0;
        for (x, y) in xs.iter().flat_map(|x| ys.iter().map(move |y| (x, y))) {
            for (u, v) in xs.iter().flat_map(|u| ys.iter().map(move |v| (u, v))) {
                let square = (x - u) * (x - u) + (y - v) * (y - v) + distance * distance;
                sum += distance * distance / (std::f64::consts::PI * square * square) * piece;
            }
        }
        let found = facing_rectangles(length, width, distance);
        let expected = sum / (count * count);
        assert!(
            (found - expected).abs() < 2e-3 * expected,
            "{found}, not {expected}"
        );
    }
}

/// The balance of three surfaces by sending light to and fro until none is left.
#[test]
fn utilisation_is_what_light_comes_to_that_is_sent_to_and_fro() {
    let surfaces = Surfaces {
        ceiling: 0.8,
        walls: 0.5,
        floor: 0.2,
    };
    let (length, width, above) = (6.0, 4.0, 1.5);
    let f = facing_rectangles(length, width, above);
    let k = (1.0 - f) * length * width / (2.0 * (length + width) * above);
    let (mut ceiling, mut walls, mut plane) = (0.0, 1.0 - f, f);
    let mut received = 0.0;
    for _ in 0..400 {
        received += plane;
        let (c, w, p) = (0.8 * ceiling, 0.5 * walls, 0.2 * plane);
        ceiling = p * f + w * k;
        plane = c * f + w * k;
        walls = (c + p) * (1.0 - f) + w * (1.0 - 2.0 * k);
    }
    let found = surfaces.utilisation(length, width, above);
    assert!(
        (found.whole - received).abs() < 1e-12,
        "{found:?}, not {received}"
    );
    assert_eq!(found.direct, f);
}
