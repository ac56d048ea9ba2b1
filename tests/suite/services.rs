//! What feeds a shop: every worked case, and each part against an independent second way.

mod air;
mod balance;
mod case;
mod heat;
mod light;
mod moisture;
mod noise;
mod power;
mod sizing;
mod storage;

use case::{Case, Tolerance};

type Reader = fn(&Case);

/// Beginnings of the names of cases, and who reads them. The longest that fits counts.
const READERS: &[(&str, Reader)] = &[
    ("composite_TL_", noise::composite),
    ("cooldown_", heat::cooldown),
    ("cooling_load_", heat::cooling),
    ("dew_point_", moisture::dew),
    ("dilution_", heat::dilution),
    ("drop_", power::drop_of_run),
    ("drum_fill", air::drum),
    ("duct_area_", air::area),
    ("duct_example", air::example),
    ("duct_friction_", air::friction),
    ("dust_", air::network),
    ("dust_free_air_only", air::refused_curve),
    ("emc_", moisture::equilibrium),
    ("exhaust_heat_", heat::exhaust),
    ("fan_operating_point", air::operating_points),
    ("flc_", power::table),
    ("floor_load_", storage::floor),
    ("garage_UA_", heat::garage),
    ("have_", light::mean),
    ("heat_already_", heat::warm),
    ("heat_collector_", heat::loss),
    ("heat_cool_", heat::cool),
    ("heat_never", heat::warm),
    ("heat_one_car_", heat::loss),
    ("heat_two_lumps_", heat::two_lumps),
    ("heater_", heat::heater),
    ("lumen_", light::lamps),
    ("lumen_verified", light::lamps_by_area),
    ("motor_conductor", power::conductor),
    ("noise_", noise::dose),
    ("noise_dose", noise::dose_of_levels),
    ("noise_outdoors", noise::outdoors),
    ("noise_wall", noise::wall),
    ("opening_for_", heat::opening),
    ("planer_chip_rate", air::chip_rate),
    ("point_", light::point),
    ("power_", power::account),
    ("purge_", heat::purge),
    ("rack_level", storage::rack),
    ("rh_for_", moisture::humidity),
    ("sheet_rack", storage::sheets),
    ("spirits_", heat::spirits),
    ("ten_degree_rule", heat::ten_degrees),
    ("unvented_", heat::water),
    ("vd_", power::drop_of_wire),
    ("wall_budget", storage::walls),
    ("warmup_", heat::warmup),
    ("warmup_two_lumps_", heat::warmup_of_two),
    ("wood_movement_", moisture::movement),
];

#[test]
fn every_worked_case_is_read_to_its_last_figure_and_kept() {
    let files = [
        (
            include_str!("../data/services/cases.json"),
            Tolerance::Mixed,
            35,
        ),
        (
            include_str!("../data/services/worked.json"),
            Tolerance::Absolute,
            47,
        ),
    ];
    let mut wrong = Vec::new();
    for (text, tolerance, count) in files {
        let cases = case::read(text, tolerance);
        assert_eq!(cases.len(), count);
        for case in &cases {
            let readers = READERS
                .iter()
                .filter(|(name, _)| case.id().starts_with(name));
            match readers.max_by_key(|(name, _)| name.len()) {
                Some((_, reader)) => {
                    reader(case);
                    wrong.extend(case.found_wrong());
                }
                None => wrong.push(format!("{}: nobody reads it", case.id())),
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
