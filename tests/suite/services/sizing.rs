//! Proposals against the worked cases that they have to agree with, and what holds of any.

use proptest::prelude::*;
use shopstride::floor::Point;
use shopstride::services::air::{Collector, Conveying, FanCurve, Supply, WantedAir};
use shopstride::services::heat::{
    Envelope, HeatPart, Reaches, TwoLumps, UsualContents, conductance,
};
use shopstride::services::light::{PLANE_HEIGHT, mean_illuminance};
use shopstride::services::power::{ElectricLeg, Supplied};
use shopstride::services::sizing::{
    MainRun, PIPES_IN_INCHES, PlannedLoad, PlannedPort, RoomToHeat, RoomToLight, SPACING, Worked,
    ducts_of, propose_circuits, propose_ducts, propose_heater, propose_lamps, shortest_tree,
};
use shopstride::units::customary::{
    BTU, CFM, FAHRENHEIT, FEET_A_MINUTE, FOOT, INCH, INCH_OF_WATER, SQUARE_FOOT, celsius,
};

use crate::support::drawn;

/// Fourteen lamps of 4500 lm in a room of 24 x 24 ft, as the notes on light have it, but for the light loss of 0.7 here:
/// 500 x 53.51 / (4500 x 0.6 x 0.7) = 14.16, so 15; in rows of equal spacing 3 x 5.
#[test]
fn lamps_of_a_double_garage() {
    let room = RoomToLight {
        size: [24.0 * FOOT, 24.0 * FOOT],
        lamp_height: 8.0 * FOOT,
        lumens: 4500.0,
        illuminance: 500.0,
        surfaces: None,
    };
    let found = propose_lamps(&room).expect("lamps");
    assert!((found.needed - 14.157).abs() < 1e-3, "{}", found.needed);
    assert_eq!(found.rows[0] * found.rows[1], 15);
    assert!((found.cavity_ratio - 2.0833).abs() < 1e-4);
    assert!((found.widest - SPACING * 5.0 * FOOT).abs() < 1e-9);
    assert_eq!(found.places.len(), 15);
    let low = RoomToLight {
        lamp_height: PLANE_HEIGHT,
        ..room
    };
    assert_eq!(propose_lamps(&low), None);
    let dark = RoomToLight {
        lumens: 1e-3,
        ..room
    };
    assert_eq!(propose_lamps(&dark), None);
}

proptest! {
    #![proptest_config(drawn(200))]

    #[test]
    fn lamps_are_enough_evenly_placed_and_no_more_than_needed(
        length in 2.0..20.0_f64, width in 2.0..20.0_f64, height in 2.0..5.0_f64, lumens in 800.0..9000.0_f64,
    ) {
        let room = RoomToLight { size: [length, width], lamp_height: height, lumens, illuminance: 500.0, surfaces: None };
        let found = propose_lamps(&room).expect("lamps");
        let [along, across] = found.rows.map(f64::from);
        prop_assert!(found.illuminance >= 500.0 * (1.0 - 1e-9));
        prop_assert!(found.spacing.iter().all(|&apart| apart <= found.widest * (1.0 + 1e-9)));
        let places = &found.places;
        prop_assert_eq!(places.len() as f64, along * across);
        prop_assert!(places.iter().all(|at| at[0] > 0.0 && at[0] < length && at[1] > 0.0 && at[1] < width));
        // A row less in either direction would be too dark or too wide apart.
        for fewer in [[along - 1.0, across], [along, across - 1.0]] {
            let light = mean_illuminance(fewer[0] * fewer[1] * lumens, length * width, found.utilisation, 0.7);
            let apart = (length / fewer[0]).max(width / fewer[1]);
            prop_assert!(light < 500.0 || apart > found.widest);
        }
    }
}

fn load(amps: f64, worked: Worked) -> PlannedLoad {
    PlannedLoad {
        amps,
        table_amps: None,
        is_motor: true,
        is_continuous: false,
        worked,
        takes_both_legs: false,
        is_light: false,
    }
}

/// The classic of the notes on electrics: a saw of 15 A and a collector of 14 A, which run together, do not share a circuit
/// of 20 A, and a saw and a planer of one person do; a heater of 16.7 A at 240 V has its own and counts on both legs.
#[test]
fn what_one_person_works_at_in_turn_shares_a_circuit() {
    let heater = PlannedLoad {
        is_motor: false,
        is_continuous: true,
        takes_both_legs: true,
        ..load(16.7, Worked::Along)
    };
    let loads = [
        load(15.0, Worked::ByHand),
        load(15.0, Worked::ByHand),
        load(14.0, Worked::Along),
        heater,
    ];
    let found = propose_circuits(&loads, 1, 20.0);
    let on: Vec<&[usize]> = found
        .circuits
        .iter()
        .map(|circuit| &circuit.loads[..])
        .collect();
    assert_eq!(on, [&[3][..], &[0, 1], &[2]]);
    assert_eq!(found.circuits[0].supplied, Supplied::Both);
    assert!((found.circuits[0].account.with_continuous - 16.7 * 1.25).abs() < 1e-9);
    assert_eq!(found.circuits[1].account.peak, 15.0);
    assert!((found.circuits[1].account.planning - 18.75).abs() < 1e-9);
    let legs = [1, 2].map(|circuit| found.circuits[circuit].supplied);
    assert_eq!(
        legs,
        [Supplied::One(ElectricLeg::A), Supplied::One(ElectricLeg::B)]
    );
    assert!((found.legs.a - 31.7).abs() < 1e-9 && (found.legs.b - 30.7).abs() < 1e-9);
    // Two people may be at both at one time.
    let found = propose_circuits(&loads, 2, 20.0);
    assert_eq!(found.circuits.len(), 4);
}

proptest! {
    #![proptest_config(drawn(100))]

    #[test]
    fn every_load_has_one_circuit_that_carries_it(
        told in prop::collection::vec((1.0..20.0_f64, any::<bool>(), any::<bool>(), any::<bool>()), 0..9),
        people in 1_usize..4,
    ) {
        let loads: Vec<PlannedLoad> = (told.iter())
            .map(|&(amps, by_hand, is_continuous, takes_both_legs)| PlannedLoad {
                is_continuous,
                takes_both_legs,
                ..load(amps, if by_hand { Worked::ByHand } else { Worked::Along })
            })
            .collect();
        let found = propose_circuits(&loads, people, 20.0);
        let mut all: Vec<usize> = found.circuits.iter().flat_map(|circuit| circuit.loads.clone()).collect();
        all.sort_unstable();
        prop_assert_eq!(all, (0..loads.len()).collect::<Vec<_>>());
        for circuit in &found.circuits {
            // One that carries too much has a load alone that is too much.
            prop_assert!(circuit.loads.len() == 1 || circuit.account.carries_continuous(20.0));
            prop_assert!(found.legs.greater() >= circuit.account.peak - 1e-9);
        }
    }
}

fn one_car_garage() -> RoomToHeat {
    let part = |area: f64, r: f64| HeatPart {
        area: area * SQUARE_FOOT,
        conductance: conductance(r),
    };
    let btu_an_hour = BTU / 3600.0 / FAHRENHEIT;
    RoomToHeat {
        envelope: Envelope {
            parts: vec![
                part(461.0, 12.0),
                part(264.0, 20.0),
                part(63.0, 5.0),
                part(20.0, 2.7),
            ],
            slab_edge: 0.73 * 68.0 * btu_an_hour,
            leakage: 0.7 * 2112.0 * FOOT * FOOT * FOOT / 3600.0,
            exhaust: 0.0,
        },
        contents: UsualContents::of(264.0 * SQUARE_FOOT),
        outside: celsius(22.0),
        inside: celsius(62.0),
        start: celsius(45.0),
        warm_within: 3600.0,
    }
}

/// The one-car garage of the worked cases: 147.875 Btu/(h °F) and 40 °F are 5915 Btu/h.
#[test]
fn a_heater_for_the_one_car_garage() {
    let room = one_car_garage();
    let found = propose_heater(&room);
    let btu_an_hour = found.holds / (BTU / 3600.0);
    assert!((btu_an_hour - 5915.01).abs() < 0.1, "{btu_an_hour}");
    assert!(found.warms > found.holds);
    assert!(found.mass_then > room.start && found.mass_then < room.inside);
    // Its own heater warms it in just the time, and one that is slightly smaller does not.
    let lumps = TwoLumps {
        air: room.contents.air,
        mass: room.contents.mass,
        between: room.contents.between,
        loss: found.loss.sum(),
        outside: room.outside,
    };
    let seconds =
        |share: f64| match lumps.air_warms_to([room.start; 2], room.inside, share * found.warms) {
            Reaches::After(seconds) => seconds,
            Reaches::Never => f64::INFINITY,
        };
    assert!((seconds(1.0) - 3600.0).abs() < 1e-3);
    assert!(seconds(0.99) > 3600.0);
    // Where it is warm already, what keeps it so is enough.
    let warm = RoomToHeat {
        start: room.inside,
        ..room
    };
    assert_eq!(propose_heater(&warm).warms, found.holds);
    let summer = RoomToHeat {
        outside: celsius(80.0),
        start: celsius(80.0),
        ..one_car_garage()
    };
    let found = propose_heater(&summer);
    assert_eq!((found.holds, found.warms), (0.0, 0.0));
}

fn port(inches: f64, cfm: f64, feet: f64) -> PlannedPort {
    PlannedPort {
        diameter: inches * INCH,
        wanted: WantedAir {
            least: cfm * CFM,
            good: cfm * CFM,
        },
        along: feet * FOOT,
    }
}

const RUN: MainRun = MainRun {
    elbows: 1.0,
    branch: 1.5,
    hose: 1.5,
};

/// 477 cfm is 3500 ft/min in 5-in pipe, and 687 in 6-in: table D1 of the notes on dust collection.
#[test]
fn without_a_fan_the_main_is_the_widest_in_which_chips_are_carried() {
    for (cfm, inches) in [(350.0, 4.0), (480.0, 5.0), (680.0, 5.0), (690.0, 6.0)] {
        let ports = [port(4.0, cfm, 8.0), port(4.0, 1.1 * cfm, 20.0)];
        let found = propose_ducts(&ports, &RUN, None, &PIPES_IN_INCHES).expect("ducts");
        assert!(
            (found.diameter / INCH - inches).abs() < 1e-9,
            "{cfm}: {}",
            found.diameter / INCH
        );
        assert!(
            found
                .alone
                .iter()
                .all(|port| port.main == Conveying::Conveys)
        );
        assert!((found.alone[0].airflow / CFM - cfm).abs() < 1e-9);
        assert!(found.alone[1].suction > found.alone[0].suction);
    }
    assert_eq!(propose_ducts(&[], &RUN, None, &PIPES_IN_INCHES), None);
}

fn collector() -> Collector {
    let points = [(0.0, 8.5), (400.0, 7.0), (700.0, 4.5), (1000.0, 0.0)];
    let points = points.map(|(cfm, inches)| (cfm * CFM, inches * INCH_OF_WATER));
    Collector {
        curve: FanCurve::new(points.to_vec()).expect("a curve"),
        filter: None,
        dirt: 1.0,
        separator: None,
    }
}

/// Ports alike, a wide one near the collector, and three far from each other.
fn several_ports() -> [Vec<PlannedPort>; 3] {
    [
        vec![port(4.0, 350.0, 6.0), port(4.0, 350.0, 14.0)],
        vec![port(4.0, 500.0, 25.0), port(6.0, 700.0, 5.0)],
        vec![
            port(2.5, 100.0, 10.0),
            port(4.0, 400.0, 20.0),
            port(4.0, 350.0, 30.0),
        ],
    ]
}

/// Airflow, velocity and what is said of them agree.
#[test]
fn what_is_said_of_ports_agrees_with_their_airflow() {
    for ports in several_ports() {
        let collector = collector();
        let found = propose_ducts(&ports, &RUN, Some(&collector), &PIPES_IN_INCHES).expect("ducts");
        assert!(PIPES_IN_INCHES.contains(&found.diameter));
        for (number, port) in found.alone.iter().enumerate() {
            assert_eq!(port.supply, ports[number].wanted.supply(port.airflow));
            let velocity =
                port.airflow / (std::f64::consts::PI / 4.0 * found.diameter * found.diameter);
            assert!((port.in_main - velocity).abs() < 1e-9);
            assert_eq!(
                port.main == Conveying::Conveys,
                port.in_main >= 3500.0 * FEET_A_MINUTE
            );
            if let Some(other) = found.opened_along[number] {
                assert!(other != number && port.main != Conveying::Conveys);
            }
        }
    }
}

/// No other main serves more machines, and of such as serve as many none lets fewer settle.
#[test]
fn no_other_main_serves_more() {
    let collector = collector();
    for ports in several_ports() {
        let faults = |alone: &[shopstride::services::sizing::PortAlone]| {
            let starved = alone
                .iter()
                .filter(|port| port.supply == Supply::Starved)
                .count();
            let settling = alone
                .iter()
                .filter(|port| port.main != Conveying::Conveys)
                .count();
            (starved, settling)
        };
        let chosen =
            propose_ducts(&ports, &RUN, Some(&collector), &PIPES_IN_INCHES).expect("ducts");
        for diameter in PIPES_IN_INCHES {
            let other = ducts_of(diameter, &ports, &RUN, Some(&collector));
            assert!(
                faults(&chosen.alone) <= faults(&other.alone),
                "{}",
                diameter / INCH
            );
        }
    }
}

fn points(places: &[(f64, f64)]) -> Vec<Point> {
    places.iter().map(|&(x, y)| Point::new(x, y)).collect()
}

/// Along the edges between each two of some places, by adding the nearest one again and again (Prim).
fn spanning(places: &[Point]) -> f64 {
    let mut away: Vec<f64> = places
        .iter()
        .map(|place| place.rectilinear_distance(places[0]))
        .collect();
    let mut left: Vec<usize> = (1..places.len()).collect();
    let mut length = 0.0;
    while !left.is_empty() {
        let nearest = (0..left.len())
            .min_by(|&one, &other| away[left[one]].total_cmp(&away[left[other]]))
            .expect("one is left");
        let added = left.swap_remove(nearest);
        length += away[added];
        for &other in &left {
            away[other] = away[other].min(places[added].rectilinear_distance(places[other]));
        }
    }
    length
}

/// Every choice of further joints among the crossings of lines through the places: of k places no more than k − 2 are of
/// use.
fn by_brute_force(places: &[Point]) -> f64 {
    let mut joints: Vec<Point> = Vec::new();
    for x in places.iter().map(|place| place.x) {
        for y in places.iter().map(|place| place.y) {
            let joint = Point::new(x, y);
            if !places.contains(&joint) && !joints.contains(&joint) {
                joints.push(joint);
            }
        }
    }
    let most = places.len().saturating_sub(2) as u32;
    let choices = (0..1_u32 << joints.len()).filter(|choice| choice.count_ones() <= most);
    let lengths = choices.map(|choice| {
        let chosen = joints.iter().enumerate();
        let chosen = chosen.filter(|(nth, _)| choice >> nth & 1 == 1);
        let all: Vec<Point> = places
            .iter()
            .copied()
            .chain(chosen.map(|(_, joint)| *joint))
            .collect();
        spanning(&all)
    });
    lengths.fold(f64::INFINITY, f64::min)
}

/// A cross of arms of 1 and 2 m is joined at its middle by 6 m; five corners and the middle of a side of a grid by hand.
#[test]
fn shortest_trees_by_hand() {
    let of = |places: &[(f64, f64)]| shortest_tree(&points(places));
    assert_eq!(of(&[]), Some(0.0));
    assert_eq!(of(&[(3.0, 4.0)]), Some(0.0));
    assert_eq!(of(&[(0.0, 0.0), (3.0, 4.0)]), Some(7.0));
    assert_eq!(
        of(&[(1.0, 0.0), (1.0, 2.0), (0.0, 1.0), (4.0, 1.0)]),
        Some(6.0)
    );
    assert_eq!(of(&[(0.0, 0.0); 5]), Some(0.0));
    assert_eq!(of(&[(0.0, 0.0); 10]), None);
}

proptest! {
    #![proptest_config(drawn(40))]
    /// A collector and up to six ports on a grid of 4 by 4 lines: of its crossings all choices can be tried.
    #[test]
    fn no_tree_is_shorter_than_the_shortest(
        places in prop::collection::vec((0..4_u8, 0..4_u8), 2..=7),
        across in prop::collection::vec(0.5..4.0_f64, 4),
        up in prop::collection::vec(0.5..4.0_f64, 4),
    ) {
        let along = |steps: &[f64], nth: u8| steps[..usize::from(nth)].iter().sum::<f64>();
        let places: Vec<Point> = places
            .iter()
            .map(|&(x, y)| Point::new(along(&across, x), along(&up, y)))
            .collect();
        let found = shortest_tree(&places).expect("few places");
        let expected = by_brute_force(&places);
        prop_assert!((found - expected).abs() < 1e-9, "{found} {expected}");
    }
}
