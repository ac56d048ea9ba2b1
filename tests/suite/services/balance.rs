//! Operating points against a search and a balance of their own, and what holds in any ducts.

use proptest::prelude::*;
use shopstride::services::air::{
    Collector, DuctNetwork, DuctSection, FanCurve, NetworkError, OperatingPoint, RatedLoss,
    flexible_loss, smooth_loss,
};
use shopstride::units::customary::{CFM, FEET_A_MINUTE, FOOT, INCH, INCH_OF_WATER, SQUARE_INCH};

use crate::support::drawn;

/// The argument at which what rises passes a value, by halving alone.
fn halved(value: f64, most: f64, function: &dyn Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (0.0, most);
    for _ in 0..45 {
        let middle = (low + high) / 2.0;
        match function(middle) < value {
            true => low = middle,
            false => high = middle,
        }
    }
    (low + high) / 2.0
}

/// The meaning of the keys once more, by halving on the suction of each junction from the collector outward.
struct Plainly<'a> {
    sections: &'a [DuctSection],
    open: &'a [bool],
}

impl Plainly<'_> {
    fn pressure(&self, number: usize, airflow: f64) -> f64 {
        let inches = self.sections[number].diameter / INCH;
        let area = std::f64::consts::PI * inches * inches / 4.0 / 144.0;
        let velocity = airflow / CFM / area;
        (velocity / 4005.0) * (velocity / 4005.0) * INCH_OF_WATER
    }

    fn loss(&self, number: usize, airflow: f64) -> f64 {
        if airflow <= 0.0 {
            return 0.0;
        }
        let section = &self.sections[number];
        let velocity = section.velocity(airflow);
        let friction = section.smooth * smooth_loss(velocity, airflow)
            + section.flexible * section.flexible_factor * flexible_loss(velocity, airflow);
        (friction + section.fittings) * self.pressure(number, airflow)
    }

    fn behind(&self, number: Option<usize>) -> Vec<usize> {
        let all = 0..self.sections.len();
        all.filter(|&next| self.sections[next].into == number)
            .collect()
    }

    /// What a section draws in at a suction where it joins.
    fn airflow(&self, number: usize, suction: f64) -> f64 {
        let section = &self.sections[number];
        let free = section.velocity(1.0).recip() * 1000.0;
        if section.has_gate && !self.open[number] {
            return leak(section.leak, suction);
        }
        let behind = self.behind(Some(number));
        if behind.is_empty() {
            return halved(suction, free, &|airflow| {
                (1.0 + section.entry) * self.pressure(number, airflow) + self.loss(number, airflow)
            });
        }
        let joined = |at: f64| -> (f64, f64) {
            let flows: Vec<f64> = behind.iter().map(|&next| self.airflow(next, at)).collect();
            let sum: f64 = flows.iter().sum();
            let weighed: f64 = (behind.iter().zip(&flows))
                .map(|(&next, flow)| flow * self.pressure(next, *flow))
                .sum();
            (sum, if sum > 0.0 { weighed / sum } else { 0.0 })
        };
        let at = halved(suction, suction, &|at| {
            let (airflow, arriving) = joined(at);
            let speeding = (self.pressure(number, airflow) - arriving).max(0.0);
            at + speeding + self.loss(number, airflow)
        });
        joined(at).0
    }

    fn all(&self, suction: f64) -> f64 {
        let first = self.behind(None);
        first
            .iter()
            .map(|&number| self.airflow(number, suction))
            .sum()
    }
}

fn leak(area: f64, suction: f64) -> f64 {
    let square_feet = area / SQUARE_INCH / 144.0;
    4005.0 * 0.6 * square_feet * (suction / INCH_OF_WATER).sqrt() * CFM
}

fn collector(points: &[(f64, f64)]) -> Collector {
    let points = points
        .iter()
        .map(|&(cfm, inches)| (cfm * CFM, inches * INCH_OF_WATER));
    Collector {
        curve: FanCurve::new(points.collect()).expect("a curve"),
        filter: Some(RatedLoss {
            pressure: INCH_OF_WATER,
            airflow: 800.0 * CFM,
        }),
        dirt: 1.0,
        separator: None,
    }
}

fn duct(into: Option<usize>, inches: f64, feet: f64) -> DuctSection {
    DuctSection {
        into,
        diameter: inches * INCH,
        smooth: feet * FOOT,
        flexible: 0.0,
        flexible_factor: 1.5,
        fittings: 0.3,
        entry: 0.5,
        has_gate: false,
        leak: 0.0,
    }
}

/// The greatest of many airflows at which the ducts would take in more than that, with what the fan leaves.
fn searched(collector: &Collector, plainly: &Plainly, steps: u32) -> [f64; 2] {
    let most = collector.curve.free_airflow();
    let step = most / f64::from(steps);
    let balanced = (0..steps).rev().find(|&at| {
        let airflow = f64::from(at) * step;
        let suction = collector.inlet_suction(airflow);
        suction > 0.0 && plainly.all(suction) >= airflow
    });
    let found = f64::from(balanced.expect("some airflow")) * step;
    [found, found + step]
}

/// Curves that fall, that rise first, and that have a sharp knee, on ducts that are short and long: some cross the fan's
/// curve several times.
#[test]
fn operating_points_are_the_greatest_that_a_search_finds() {
    let curves: [&[(f64, f64)]; 4] = [
        &[(0.0, 8.0), (1200.0, 0.0)],
        &[
            (0.0, 4.0),
            (200.0, 5.2),
            (500.0, 6.0),
            (800.0, 4.0),
            (1000.0, 0.0),
        ],
        &[(0.0, 3.0), (300.0, 0.6), (600.0, 5.0), (900.0, 0.0)],
        &[(0.0, 8.5), (400.0, 7.0), (700.0, 4.5), (900.0, 2.5)],
    ];
    let networks = [
        vec![duct(None, 4.0, 8.0)],
        vec![
            duct(None, 6.0, 20.0),
            duct(Some(0), 4.0, 10.0),
            duct(Some(0), 5.0, 4.0),
        ],
        vec![duct(None, 4.0, 2.0), duct(Some(0), 6.0, 25.0)],
        vec![duct(None, 5.0, 5.0), duct(None, 2.5, 30.0)],
    ];
    for points in curves {
        let collector = collector(points);
        for sections in &networks {
            let network = DuctNetwork::new(sections.clone()).expect("a network");
            let open = vec![true; sections.len()];
            let plainly = Plainly {
                sections,
                open: &open,
            };
            let [least, most] = searched(&collector, &plainly, 120);
            let found = network.operating_point(&collector, &|_| true).airflow;
            assert!(
                least <= found && found <= most,
                "{found} is not between {least} and {most}"
            );
        }
    }
}

/// Ducts of up to six sections, some with gates and leaks.
fn some_ducts() -> impl Strategy<Value = Vec<DuctSection>> {
    let section = (
        any::<prop::sample::Index>(),
        prop::sample::select(vec![2.5, 3.0, 4.0, 5.0, 6.0]),
        0.0..30.0_f64,
        0.0..8.0_f64,
        0.0..1.5_f64,
        any::<bool>(),
        prop::sample::select(vec![0.0, 0.1, 0.4]),
    );
    prop::collection::vec(section, 1..7).prop_map(|told| {
        let mut sections: Vec<DuctSection> = Vec::new();
        for (into, inches, feet, hose, fittings, has_gate, leak) in told {
            let into = into.index(sections.len() + 1).checked_sub(1);
            sections.push(DuctSection {
                flexible: hose * FOOT,
                fittings,
                has_gate,
                leak: leak * SQUARE_INCH,
                ..duct(into, inches, feet)
            });
        }
        sections
    })
}

fn depth(sections: &[DuctSection]) -> usize {
    let up = |number: usize| std::iter::successors(Some(number), |&at| sections[at].into).count();
    (0..sections.len()).map(up).max().unwrap_or(0)
}

fn run(sections: &[DuctSection], open: &[bool], dirt: f64) -> OperatingPoint {
    let network = DuctNetwork::new(sections.to_vec()).expect("a network");
    let collector = collector(&[(0.0, 8.0), (1200.0, 0.0)]).with_dirt(dirt);
    network.operating_point(&collector, &|number| open[number])
}

fn close(one: f64, other: f64, share: f64) -> bool {
    (one - other).abs() <= share * one.abs().max(other.abs()) + 1e-12
}

proptest! {
    #![proptest_config(drawn(80))]

    /// Each branch takes what it takes by itself at the suction of its junction, found by halving alone.
    #[test]
    fn branches_are_balanced(sections in some_ducts(), open in prop::collection::vec(any::<bool>(), 6)) {
        prop_assume!(depth(&sections) <= 3);
        let found = run(&sections, &open, 1.0);
        let plainly = Plainly { sections: &sections, open: &open };
        for number in plainly.behind(None) {
            let expected = plainly.airflow(number, found.inlet_suction);
            let flow = found.sections[number].airflow;
            prop_assert!(close(flow, expected, 1e-7), "{number}: {flow}, not {expected}");
        }
    }

    /// What goes into a junction leaves it, each junction has one suction, and ports pay what they cost.
    #[test]
    fn air_is_neither_lost_nor_made(sections in some_ducts(), open in prop::collection::vec(any::<bool>(), 6)) {
        let found = run(&sections, &open, 1.0);
        let network = DuctNetwork::new(sections.clone()).expect("a network");
        let entering = |at: Option<usize>| -> f64 {
            network.behind(at).iter().map(|&next| found.sections[next].airflow).sum()
        };
        prop_assert!(close(entering(None), found.airflow, 1e-9));
        for (number, section) in sections.iter().enumerate() {
            let flow = found.sections[number];
            let is_shut = section.has_gate && !open[number];
            if is_shut && flow.airflow > 0.0 {
                prop_assert!(close(flow.airflow, leak(section.leak, flow.suction), 1e-9));
            } else if !is_shut && network.is_port(number) {
                let needed = section.entrance(flow.airflow) + section.loss(flow.airflow);
                prop_assert!(close(needed, flow.suction, 1e-9));
            } else if !is_shut {
                prop_assert!(close(entering(Some(number)), flow.airflow, 1e-9));
            }
            let beside = network.behind(section.into).iter();
            let suctions: Vec<f64> = beside
                .map(|&next| found.sections[next])
                .filter(|next| next.airflow > 0.0 && flow.airflow > 0.0)
                .map(|next| next.suction)
                .collect();
            prop_assert!(suctions.iter().all(|&one| close(one, suctions[0], 1e-9)));
            let velocity = flow.airflow / CFM
                / (std::f64::consts::PI * (section.diameter / INCH / 12.0).powi(2) / 4.0);
            prop_assert!(close(flow.velocity / FEET_A_MINUTE, velocity, 1e-9));
        }
    }

    /// A dirty filter takes air from the fan. One more way at the collector gives it more, and takes from all others. Further
    /// out that need not be so: slow air that joins fast air has to be brought to its speed.
    #[test]
    fn dirt_and_one_more_way(sections in some_ducts(), open in prop::collection::vec(any::<bool>(), 7)) {
        let clean = run(&sections, &open, 1.0);
        let dirty = run(&sections, &open, 3.0);
        prop_assert!(dirty.airflow <= clean.airflow);
        let mut open = open.clone();
        open[sections.len()] = true;
        let mut more = sections.clone();
        more.push(duct(None, 4.0, 10.0));
        let wider = run(&more, &open, 1.0);
        prop_assert!(wider.airflow > clean.airflow);
        for (before, after) in clean.sections.iter().zip(&wider.sections) {
            prop_assert!(after.airflow <= before.airflow);
        }
    }

    /// What is longer at the collector takes less, and whatever is beside it there more.
    #[test]
    fn longer_mains_take_less(sections in some_ducts(), feet in 0.5..20.0_f64) {
        let open = [true; 6];
        let before = run(&sections, &open, 1.0);
        let mut longer = sections.clone();
        longer[0].smooth += feet * FOOT;
        let after = run(&longer, &open, 1.0);
        prop_assert!(after.airflow < before.airflow);
        prop_assert!(after.sections[0].airflow < before.sections[0].airflow);
        for (number, section) in sections.iter().enumerate().skip(1) {
            let [before, after] = [&before, &after].map(|run| run.sections[number].airflow);
            prop_assert!(section.into.is_some() || after >= before);
        }
    }
}

#[test]
fn what_is_no_network_is_refused() {
    let refused = |sections: Vec<DuctSection>| DuctNetwork::new(sections).map(|_| ());
    let loose = vec![duct(Some(0), 4.0, 1.0)];
    assert_eq!(refused(loose), Err(NetworkError::NotBefore(0)));
    let thin = vec![duct(None, 4.0, 1.0), duct(Some(0), 0.0, 1.0)];
    assert_eq!(refused(thin), Err(NetworkError::OutOfRange(1)));
    let endless = vec![duct(None, 4.0, f64::NAN)];
    assert_eq!(refused(endless), Err(NetworkError::OutOfRange(0)));
    assert_eq!(refused(Vec::new()), Ok(()));
}

/// Leaks take from the ports that are open.
#[test]
fn leaks_take_air_from_open_ports() {
    let ducts = |leak: f64| {
        let gate = |section: DuctSection| DuctSection {
            has_gate: true,
            leak: leak * SQUARE_INCH,
            ..section
        };
        vec![
            duct(None, 6.0, 10.0),
            gate(duct(Some(0), 4.0, 5.0)),
            gate(duct(Some(0), 4.0, 9.0)),
        ]
    };
    let open = [true, true, false];
    let [tight, leaky] = [0.0, 0.4].map(|leak| run(&ducts(leak), &open, 1.0));
    assert_eq!(tight.sections[2].airflow, 0.0);
    assert!(leaky.sections[2].airflow > 0.0);
    assert!(leaky.sections[1].airflow < tight.sections[1].airflow);
    assert!(leaky.airflow > tight.airflow);
}
