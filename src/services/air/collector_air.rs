//! What each station gets of a collector's air, with some of the gates open.

use std::cell::RefCell;
use std::collections::BTreeMap;

use super::conveying::{Conveying, Supply, WantedAir};
use super::fan::Collector;
use super::flow::OperatingPoint;
use super::laid::{BranchMake, Connection, DuctPart, LaidDucts, LooseHose, MainLine, lay_ducts};
use crate::shop::StationId;

/// When the gate of a station is open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GateRule {
    /// From the beginning of the setup to the end of the tear-down of the work there.
    ByHand,
    /// While the machine is on.
    ByItself,
}

/// What a port wants.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PortWants {
    pub air: WantedAir,
    /// Whether nobody said so, and it is usual for the kind of machine.
    pub is_typical: bool,
}

/// A collector with all that leads to it.
#[derive(Debug, Clone, PartialEq)]
pub struct CollectorAir {
    /// With a clean filter.
    pub collector: Collector,
    /// How many times more a dirty filter loses.
    pub dirt: f64,
    pub mains: Vec<MainLine>,
    pub branch: BranchMake,
    pub gates: GateRule,
    pub hoses: Vec<LooseHose>,
    pub connections: Vec<Connection>,
    /// By connection and port.
    pub wants: Vec<Vec<PortWants>>,
}

/// The same with its ducts laid.
#[derive(Debug, Clone, PartialEq)]
pub struct LaidAir<'a> {
    pub air: &'a CollectorAir,
    pub ducts: LaidDucts,
    /// What has been worked out already, by the gates that are open and whether the filter is dirty.
    states: RefCell<BTreeMap<(Vec<usize>, bool), AirState>>,
}

/// What a section comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SectionAir {
    pub part: DuctPart,
    pub diameter: f64,
    pub airflow: f64,
    pub velocity: f64,
    pub state: Conveying,
}

/// What a station gets whose gate is open: the port that is worst off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StationAir {
    pub station: StationId,
    pub airflow: f64,
    pub wanted: WantedAir,
    pub supply: Supply,
}

/// The air with some gates open.
#[derive(Debug, Clone, PartialEq)]
pub struct AirState {
    pub point: OperatingPoint,
    /// Those on an open way.
    pub sections: Vec<SectionAir>,
    pub stations: Vec<StationAir>,
}

impl CollectorAir {
    pub fn laid(&self) -> LaidAir<'_> {
        LaidAir {
            ducts: lay_ducts(&self.mains, &self.branch, &self.hoses, &self.connections),
            air: self,
            states: RefCell::default(),
        }
    }
}

impl LaidAir<'_> {
    /// With the gates of these connections open, and a clean filter or a dirty one; worked out once for each set of them.
    pub fn state(&self, open: &[usize], is_dirty: bool) -> AirState {
        let mut set = open.to_vec();
        set.sort_unstable();
        set.dedup();
        let known = self.states.borrow().get(&(set.clone(), is_dirty)).cloned();
        known.unwrap_or_else(|| {
            let state = self.worked_out(&set, is_dirty);
            let kept = state.clone();
            self.states.borrow_mut().insert((set, is_dirty), kept);
            state
        })
    }

    fn worked_out(&self, open: &[usize], is_dirty: bool) -> AirState {
        let ducts = &self.ducts;
        let is_open = |section: usize| open.iter().any(|&nth| ducts.gates[nth] == section);
        let dirt = if is_dirty { self.air.dirt } else { 1.0 };
        let collector = self.air.collector.with_dirt(dirt);
        let point = ducts.network.operating_point(&collector, &is_open);
        let on_way = ducts.network.on_open_ways(&is_open);
        let sections = (0..ducts.parts.len())
            .filter(|&number| on_way[number])
            .map(|number| {
                let ((part, is_rising), flow) = (ducts.parts[number], point.sections[number]);
                SectionAir {
                    part,
                    diameter: ducts.network.sections()[number].diameter,
                    airflow: flow.airflow,
                    velocity: flow.velocity,
                    state: Conveying::at(flow.velocity, is_rising),
                }
            });
        let sections = sections.collect();
        let stations = open.iter().filter_map(|&nth| {
            let ports = ducts.ports[nth].iter().zip(&self.air.wants[nth]);
            let supplied = ports.map(|(&section, wants)| {
                let airflow = point.sections[section].airflow;
                StationAir {
                    station: self.air.connections[nth].station,
                    airflow,
                    wanted: wants.air,
                    supply: wants.air.supply(airflow),
                }
            });
            supplied.reduce(|one, other| {
                if other.supply > one.supply {
                    other
                } else {
                    one
                }
            })
        });
        AirState {
            stations: stations.collect(),
            sections,
            point,
        }
    }
}

impl AirState {
    /// The section with the least velocity.
    pub fn slowest(&self) -> Option<&SectionAir> {
        self.sections
            .iter()
            .min_by(|one, other| one.velocity.total_cmp(&other.velocity))
    }

    /// Whether chips go where the air goes, and no station is starved.
    pub fn is_well(&self) -> bool {
        let conveys = |section: &SectionAir| section.state == Conveying::Conveys;
        let supplied = |station: &StationAir| station.supply != Supply::Starved;
        self.sections.iter().all(conveys) && self.stations.iter().all(supplied)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::floor::Point;
    use crate::services::air::{ConnectionWay, FLEXIBLE_FACTOR, FanCurve, wye_k};

    /// Two machines on one main, 3 and 6 m along it.
    fn two() -> CollectorAir {
        let wants = PortWants {
            air: WantedAir {
                least: 0.1,
                good: 0.2,
            },
            is_typical: false,
        };
        let connection = |station: u32| Connection {
            station: StationId(station),
            at: Point::new(3.0 * f64::from(station + 1), 1.0),
            way: ConnectionWay::Main(0),
            ports: vec![0.1],
        };
        CollectorAir {
            collector: Collector {
                curve: FanCurve::new(vec![(0.0, 2000.0), (0.6, 0.0)]).expect("a curve"),
                filter: None,
                dirt: 1.0,
                separator: None,
            },
            dirt: 1.0,
            mains: vec![MainLine {
                name: "main".to_owned(),
                points: vec![Point::new(0.0, 0.0), Point::new(8.0, 0.0)],
                height: 2.0,
                diameter: 0.15,
                wye: wye_k(45.0),
            }],
            branch: BranchMake {
                diameter: 0.1,
                flexible: 1.5,
                flexible_factor: FLEXIBLE_FACTOR,
                port_height: 0.6,
                leak: 0.0,
            },
            gates: GateRule::ByHand,
            hoses: Vec::new(),
            connections: (0..2).map(connection).collect(),
            wants: vec![vec![wants]; 2],
        }
    }

    #[test]
    fn a_set_of_open_gates_is_worked_out_once_in_whichever_order_it_is_named() {
        let air = two();
        let laid = air.laid();
        let first = laid.state(&[0, 1], false);
        assert!(first.point.airflow > 0.0);
        assert_eq!(laid.state(&[1, 0], false), first);
        assert_eq!(laid.state(&[1, 1, 0], false), first);
        assert_eq!(laid.states.borrow().len(), 1);
        assert_ne!(laid.state(&[1], false), first);
        assert_eq!(laid.state(&[1], false), air.laid().state(&[1], false));
        assert_eq!(laid.states.borrow().len(), 2);
    }
}
