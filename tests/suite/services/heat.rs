//! Heat and air against worked cases.

use proptest::prelude::*;
use serde_json::Value;
use shopstride::services::heat::{
    AIR_HEAT, Appliance, Envelope, HeatPart, LossPart, Lump, Reaches, Solvent, TwoLumps,
    combustion_water, conductance, cooling_load, dilution_air, exhaust_loss, make_up_opening,
    purge_time,
};
use shopstride::services::power::{conductor_ampacity, resistive_amps, standard_rating};
use shopstride::shop::Heat;
use shopstride::units::customary::{
    BTU, BTU_AN_HOUR, CFM, CUBIC_FOOT, FAHRENHEIT, FOOT, GALLON, POUND, SQUARE_FOOT, SQUARE_INCH,
    celsius, fahrenheit,
};

use super::case::{Case, number, numbers};
use crate::support::drawn;

/// A Btu/(h °F) in W/K.
const UA: f64 = BTU_AN_HOUR / FAHRENHEIT;
/// A Btu/°F in J/K.
const CAPACITY: f64 = BTU / FAHRENHEIT;
const HOUR: f64 = 3600.0;
/// A kilowatt as the notes round it.
const ROUNDED_KILOWATT: f64 = 3412.0 * BTU_AN_HOUR;

/// Volume in m³ and air changes an hour, in m³/s.
fn changes(volume: f64, an_hour: f64) -> f64 {
    volume * an_hour / HOUR
}

pub fn loss(case: &Case) {
    let given = case.input("parts").as_object().expect("an object");
    let part = |told: &Value| {
        let figures = numbers(told);
        HeatPart {
            area: figures[0] * SQUARE_FOOT,
            conductance: conductance(figures[1]),
        }
    };
    let envelope = Envelope {
        parts: given.values().map(part).collect(),
        slab_edge: case.number("F") * UA * case.number("perimeter"),
        leakage: changes(case.number("V") * CUBIC_FOOT, case.number("ACH")),
        exhaust: case.given("exhaust").map_or(0.0, number) * CFM,
    };
    let found = envelope.loss();
    let names: Vec<&str> = given.keys().map(String::as_str).collect();
    let expected = case.expected("parts");
    assert_eq!(
        expected.as_object().expect("an object").len(),
        names.len() + 2
    );
    for (name, loss) in names.iter().zip(&found.parts) {
        case.close(name, loss / UA, number(&expected[*name]));
    }
    case.close("edge", found.slab_edge / UA, number(&expected["slab edge"]));
    case.close("air", found.air / UA, number(&expected["air"]));
    case.near("UA", found.sum() / UA);
    let lost = found.sum() * case.number("dT") * FAHRENHEIT;
    case.near("Btu_h", lost / BTU_AN_HOUR);
    case.near("kW", lost / ROUNDED_KILOWATT);
    let largest = match found.largest() {
        LossPart::Part(number) => names[number],
        LossPart::SlabEdge => "slab edge",
        LossPart::Air => "air",
    };
    case.same("largest", Some(largest), case.expected("largest").as_str());
}

pub fn garage(case: &Case) {
    let (sides, door) = (case.numbers("plan_ft"), case.numbers("overhead_ft"));
    let perimeter = 2.0 * (sides[0] + sides[1]);
    let (floor, overhead) = (sides[0] * sides[1], door[0] * door[1]);
    let [other, window] = ["door_ft2", "window_ft2"].map(|key| case.number(key));
    let height = case.number("ceiling_ft");
    let walls = perimeter * height - overhead - other - window;
    let part = |area: f64, key: &str| HeatPart {
        area: area * SQUARE_FOOT,
        conductance: conductance(case.number(key)),
    };
    let envelope = Envelope {
        parts: vec![
            part(walls, "R_wall"),
            part(floor, "R_ceiling"),
            part(overhead, "R_overhead"),
            part(other, "R_door"),
            part(window, "R_window"),
        ],
        slab_edge: case.number("F_slab") * UA * case.number("exposed_perimeter_ft"),
        leakage: changes(floor * height * CUBIC_FOOT, case.number("ACH")),
        exhaust: 0.0,
    };
    let found = envelope.loss();
    let expected = case.expected("UA_Btu_hF");
    let names = ["walls", "ceiling", "overhead_door", "door", "window"];
    for (name, loss) in names.into_iter().zip(&found.parts) {
        case.close(name, loss / UA, number(&expected[name]));
    }
    case.close("edge", found.slab_edge / UA, number(&expected["slab_edge"]));
    case.close("air", found.air / UA, number(&expected["infiltration"]));
    case.close("total", found.sum() / UA, number(&expected["total"]));
    let lost = found.sum() * case.number("dT_F") * FAHRENHEIT;
    case.near("loss_Btu_h", lost / BTU_AN_HOUR);
    case.near("kW", lost / 1000.0);
}

pub fn exhaust(case: &Case) {
    let lost = exhaust_loss(case.number("cfm") * CFM, case.number("dT_F") * FAHRENHEIT);
    case.near("Btu_h", lost / BTU_AN_HOUR);
    case.near("kW", lost / 1000.0);
}

fn lump(capacity: f64, loss: f64, outside: f64) -> Lump {
    Lump {
        capacity: capacity * CAPACITY,
        loss: loss * UA,
        outside: celsius(outside),
    }
}

fn reached(case: &Case, found: Reaches) -> Option<f64> {
    let is_reached = found != Reaches::Never;
    if case.expects("reachable") {
        let expected = case.expected("reachable").as_bool();
        case.same("reachable", Some(is_reached), expected);
    }
    match found {
        Reaches::After(seconds) => Some(seconds / HOUR),
        Reaches::Never => None,
    }
}

pub fn warm(case: &Case) {
    let room = lump(case.number("C"), case.number("UA"), case.number("To"));
    let power = case.number("kW") * ROUNDED_KILOWATT;
    let [start, target] = ["T0", "Ts"].map(|key| celsius(case.number(key)));
    case.near("steady_F", fahrenheit(room.steady(power)));
    let found = room.warms_to(start, target, power);
    case.near_or_none("hours", reached(case, found));
}

pub fn cool(case: &Case) {
    let room = lump(case.number("C"), case.number("UA"), case.number("To"));
    let [start, limit] = ["T0", "limit"].map(|key| celsius(case.number(key)));
    case.near("tau_h", room.time_constant() / HOUR);
    case.near_or_none("hours_above", reached(case, room.cools_to(start, limit)));
    let then = room.after(start, 0.0, case.number("at") * HOUR);
    case.near("T_at", fahrenheit(then));
}

pub fn warmup(case: &Case) {
    let (capacity, loss) = (case.number("C_Btu_F"), case.number("UA"));
    let room = lump(capacity, loss, case.number("T_out_F"));
    let power = case.number("P_W");
    case.near("steady_T_F", fahrenheit(room.steady(power)));
    // What is never reached is not, from wherever it begins.
    let start = case
        .given("T_start_F")
        .map_or(room.outside, |start| celsius(number(start)));
    let found = room.warms_to(start, celsius(case.number("T_target_F")), power);
    let hours = reached(case, found);
    if case.expects("hours") {
        case.near_or_none("hours", hours);
    }
}

pub fn warmup_of_two(case: &Case) {
    let room = TwoLumps {
        air: case.number("C_air") * CAPACITY,
        mass: case.number("C_mass") * CAPACITY,
        between: case.number("G_Btu_hF") * UA,
        loss: case.number("UA") * UA,
        outside: celsius(case.number("T_out_F")),
    };
    let start = [celsius(case.number("T_start_F")); 2];
    let power = case.number("P_W");
    let found = room.air_warms_to(start, celsius(case.number("T_air_target_F")), power);
    let Reaches::After(seconds) = found else {
        panic!("{found:?}");
    };
    case.near("hours", seconds / HOUR);
    let [_, mass] = room.after(start, power, seconds);
    case.near("mass_T_F_then", fahrenheit(mass));
}

/// The collector's air is added to the loss in this case, as it says.
pub fn two_lumps(case: &Case) {
    let exhaust = AIR_HEAT * case.number("exhaust") * CFM;
    let room = TwoLumps {
        air: case.number("C1") * CAPACITY,
        mass: case.number("C2") * CAPACITY,
        between: case.number("G") * UA,
        loss: case.number("UA") * UA + exhaust,
        outside: celsius(case.number("To")),
    };
    let start = ["T1", "T2"].map(|key| celsius(case.number(key)));
    let power = case.number("kW") * ROUNDED_KILOWATT;
    let [air, mass] = room.after(start, power, case.number("at") * HOUR);
    case.near("air_at", fahrenheit(air));
    case.near("mass_at", fahrenheit(mass));
}

pub fn cooldown(case: &Case) {
    let room = lump(
        case.number("C_Btu_F"),
        case.number("UA"),
        case.number("T_out_F"),
    );
    let [start, limit] = ["T_start_F", "T_limit_F"].map(|key| celsius(case.number(key)));
    case.near("tau_h", room.time_constant() / HOUR);
    case.near_or_none("hours_above", reached(case, room.cools_to(start, limit)));
}

pub fn heater(case: &Case) {
    let amps = resistive_amps(case.number("W"), case.number("V"));
    let ampacity = conductor_ampacity(amps);
    case.near("A", amps);
    case.near("A_x_1_25", ampacity);
    case.near_or_none("next_size", standard_rating(ampacity));
    case.near("Btu_h", case.number("W") / BTU_AN_HOUR);
}

pub fn cooling(case: &Case) {
    let [outside, inside] = ["T_out_F", "T_in_F"].map(|key| celsius(case.number(key)));
    let people = case.number("people") * case.number("person_Btu_h") * BTU_AN_HOUR;
    let motors = case.number("motor_Btu_h_mean") * BTU_AN_HOUR;
    let lamps = case.number("lights_W");
    let loss = case.number("UA") * UA;
    let found = cooling_load(loss, outside - inside, people, lamps, motors);
    case.near("Btu_h", found / BTU_AN_HOUR);
}

pub fn opening(case: &Case) {
    assert_eq!((case.number("Cd"), case.number("rho")), (0.6, 1.2));
    let found = make_up_opening(case.number("exhaust_cfm") * CFM, case.number("P_Pa"));
    case.near("area_ft2", found / SQUARE_FOOT);
    case.near("area_in2", found / SQUARE_INCH);
}

pub fn dilution(case: &Case) {
    assert_eq!(case.number("factor"), 4.0);
    let toluene = Solvent {
        vapour: case.number("ft3_vapour_per_gal") * CUBIC_FOOT / GALLON,
        burns_from: case.number("LEL_pct") / 100.0,
        breathed_to: None,
    };
    case.near(
        "ft3_air_per_gal",
        dilution_air(toluene, GALLON) / CUBIC_FOOT,
    );
}

pub fn spirits(case: &Case) {
    const FLUID_OUNCE: f64 = GALLON / 128.0;
    assert_eq!(case.number("LEL_pct") / 100.0, Solvent::SPIRITS.burns_from);
    assert_eq!(
        Some(case.number("limit_ppm") / 1e6),
        Solvent::SPIRITS.breathed_to
    );
    let liquid = case.number("fl_oz") * FLUID_OUNCE;
    let share = Solvent::SPIRITS.share_in(liquid, case.number("room_ft3") * CUBIC_FOOT);
    case.near("vapour_ft3", Solvent::SPIRITS.vapour * liquid / CUBIC_FOOT);
    case.near("mean_ppm_no_air_change", share * 1e6);
    case.near("pct_of_LEL", 100.0 * share / Solvent::SPIRITS.burns_from);
    let air = Solvent::SPIRITS.air_to_breathe(liquid).expect("a limit");
    case.near("air_ft3_to_limit", air / CUBIC_FOOT);
}

pub fn purge(case: &Case) {
    let volume = case.number("V_ft3") * CUBIC_FOOT;
    let airflow = case.number("cfm") * CFM;
    let found = purge_time(
        volume,
        airflow,
        case.number("K"),
        case.number("fraction_left"),
    );
    case.near("minutes", found / 60.0);
    case.near("ach", airflow * HOUR / volume);
}

pub fn water(case: &Case) {
    let appliance = Appliance::propane(case.number("heater_Btu_h") * BTU_AN_HOUR);
    case.close(
        "fuel",
        appliance.heat_of_fuel * POUND / BTU,
        case.number("HHV_Btu_lb"),
    );
    case.close(
        "water",
        appliance.water_of_fuel,
        case.number("lb_water_per_lb_fuel"),
    );
    case.near("water_lb_h", combustion_water(appliance) * HOUR / POUND);
}

/// What cures at the pace of the shop's temperature; its times hold at the temperature of this case.
pub fn ten_degrees(case: &Case) {
    assert_eq!(case.number("T_ref_C"), 21.0);
    let warmth = case.number("T_C");
    let heat = Heat {
        open: warmth,
        shut: warmth,
    };
    case.near("minutes", case.number("t_ref_min") / heat.paces(None)[0]);
}

/// The notes' table of a garage, K1 and K4: figures rounded there.
#[test]
fn a_wall_of_r_12_and_an_exhaust_in_a_leaky_garage() {
    assert!((conductance(1.0) - 5.678).abs() < 5e-4);
    assert!((AIR_HEAT - 1210.0).abs() < 5.0);
    let drawn = shopstride::services::heat::envelope_pressure(600.0, 2400.0);
    assert!((drawn - 5.9).abs() < 0.05, "{drawn}");
    assert!((lump(1.0, 1.0, 20.0).steady(0.0) - celsius(20.0)).abs() < 1e-12);
    assert!((0.73 * UA / FOOT - 0.73 * 1.7307).abs() < 1e-3);
}

/// Fourth-order Runge-Kutta in steps of a second: a second way, which knows nothing of exponentials.
fn by_steps(room: &TwoLumps, start: [f64; 2], power: f64, seconds: u32) -> [f64; 2] {
    let pace = |[air, mass]: [f64; 2]| {
        let given = room.between * (air - mass);
        [
            (power - room.loss * (air - room.outside) - given) / room.air,
            given / room.mass,
        ]
    };
    let plus = |a: [f64; 2], b: [f64; 2], by: f64| [a[0] + by * b[0], a[1] + by * b[1]];
    let mut now = start;
    for _ in 0..seconds {
        let first = pace(now);
        let second = pace(plus(now, first, 0.5));
        let third = pace(plus(now, second, 0.5));
        let fourth = pace(plus(now, third, 1.0));
        let mean = [0, 1].map(|at| (first[at] + 2.0 * (second[at] + third[at]) + fourth[at]) / 6.0);
        now = plus(now, mean, 1.0);
    }
    now
}

fn some_room() -> impl Strategy<Value = TwoLumps> {
    (
        40.0..400.0_f64,
        500.0..6000.0_f64,
        100.0..2000.0_f64,
        50.0..700.0_f64,
        -10.0..60.0_f64,
    )
        .prop_map(|(air, mass, between, loss, outside)| TwoLumps {
            air: air * CAPACITY,
            mass: mass * CAPACITY,
            between: between * UA,
            loss: loss * UA,
            outside: celsius(outside),
        })
}

proptest! {
    #![proptest_config(drawn(32))]

    #[test]
    fn two_lumps_are_what_small_steps_give(
        room in some_room(), air in 0.0..30.0_f64, mass in 0.0..30.0_f64, power in 0.0..8000.0_f64,
    ) {
        let found = room.after([air, mass], power, 5400.0);
        let expected = by_steps(&room, [air, mass], power, 5400);
        for (found, expected) in found.into_iter().zip(expected) {
            prop_assert!((found - expected).abs() < 1e-6, "{found}, not {expected}");
        }
    }

    #[test]
    fn a_larger_heater_warms_sooner(
        room in some_room(), start in 0.0..10.0_f64, power in 1000.0..8000.0_f64,
    ) {
        let seconds = |power: f64| match room.air_warms_to([start; 2], 16.0, power) {
            Reaches::After(seconds) => seconds,
            Reaches::Never => f64::INFINITY,
        };
        let (less, more) = (seconds(power), seconds(1.2 * power));
        prop_assert!(more < less || less.is_infinite());
        if less.is_finite() {
            let [air, then] = room.after([start; 2], power, less);
            prop_assert!((air - 16.0).abs() < 1e-6);
            prop_assert!(start >= 16.0 || room.outside > start || then <= air + 1e-9);
        }
    }

    /// Without heat it falls; with a thermostat it stays above what is kept.
    #[test]
    fn nights_fall_to_what_is_kept(room in some_room(), start in 12.0..25.0_f64, hours in 1.0..16.0_f64) {
        prop_assume!(room.outside < 8.0);
        let seconds = hours * HOUR;
        let [air, mass] = room.overnight([start; 2], 8.0, seconds);
        let [falling, _] = room.after([start; 2], 0.0, seconds);
        prop_assert!(air >= 8.0 - 1e-9 && air >= falling - 1e-9 && mass >= air - 1e-9 && mass <= start);
    }
}
