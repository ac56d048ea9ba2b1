//! A main along a wall or the ceiling, with a branch to each machine.

use crate::services::air::{
    Collector, Conveying, DuctNetwork, DuctSection, ELBOW_K, Supply, WYE_K, WantedAir,
};
use crate::units::customary::INCH;

/// A machine's port and the way to it, in m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlannedPort {
    pub diameter: f64,
    pub wanted: WantedAir,
    /// From the collector along the main to where its branch joins.
    pub along: f64,
}

/// How the main and its branches are made, in m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MainRun {
    /// Elbows between the collector and the first branch.
    pub elbows: f64,
    /// Of pipe from the main to a port: the drop.
    pub branch: f64,
    /// Of hose at a port.
    pub hose: f64,
}

/// What a port gets that is open alone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PortAlone {
    /// In m³/s: where the fan runs, or what it needs at least where nothing is known of a fan.
    pub airflow: f64,
    /// In Pa at the collector's inlet.
    pub suction: f64,
    /// In m/s.
    pub in_main: f64,
    pub in_branch: f64,
    pub main: Conveying,
    pub branch: Conveying,
    pub supply: Supply,
}

/// A main of one diameter, and what it comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct DuctProposal {
    pub diameter: f64,
    /// In the order of the ports.
    pub alone: Vec<PortAlone>,
    /// Of ports whose chips would settle in the main though all is well but for that: another port that helps when its gate
    /// is opened along with this one.
    pub opened_along: Vec<Option<usize>>,
    /// Where nothing is known of a fan: the port that needs most suction, with the next size of port, hose and branch.
    pub wider: Option<WiderPort>,
}

/// A port with the next size of pipe, and what it then needs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WiderPort {
    pub port: usize,
    /// In m.
    pub diameter: f64,
    /// In Pa at the collector's inlet.
    pub suction: f64,
}

/// Pipe as it is sold for collectors, in m: by inches, and by millimetres.
pub const PIPES_IN_INCHES: [f64; 6] = [
    3.0 * INCH,
    4.0 * INCH,
    5.0 * INCH,
    6.0 * INCH,
    7.0 * INCH,
    8.0 * INCH,
];
pub const METRIC_PIPES: [f64; 6] = [0.080, 0.100, 0.125, 0.150, 0.180, 0.200];

/// Of mains of these diameters in rising order, none narrower than the widest port unless all are, the one that serves most
/// machines, each with its gate alone open; of such as serve as many, the one in which fewest let chips settle. Of equals it
/// is the widest, or the narrowest where chips settle in all of them. With a collector airflow is where its fan runs;
/// without one it is what is needed at least.
///
/// None without ports or diameters.
pub fn propose_ducts(
    ports: &[PlannedPort],
    run: &MainRun,
    collector: Option<&Collector>,
    diameters: &[f64],
) -> Option<DuctProposal> {
    if ports.is_empty() || diameters.is_empty() {
        return None;
    }
    let widest = ports.iter().map(|port| port.diameter).fold(0.0, f64::max);
    let first = diameters
        .iter()
        .position(|&diameter| diameter > widest - NEARLY);
    let mains = &diameters[first.unwrap_or(diameters.len() - 1)..];
    let proposals = mains
        .iter()
        .map(|&diameter| ducts_of(diameter, ports, run, collector));
    let mut proposals: Vec<DuctProposal> = proposals.collect();
    let faults = |proposal: &DuctProposal| {
        let count = |fault: &dyn Fn(&PortAlone) -> bool| {
            proposal.alone.iter().filter(|port| fault(port)).count()
        };
        [
            count(&|port| port.supply == Supply::Starved),
            count(&|port| port.main != Conveying::Conveys),
            count(&|port| port.supply == Supply::Short),
        ]
    };
    let mut best = 0;
    for next in 1..proposals.len() {
        let [faults, least] = [next, best].map(|at| faults(&proposals[at]));
        let settles = faults[1] > 0;
        if faults < least || faults == least && !settles {
            best = next;
        }
    }
    let mut chosen = proposals.swap_remove(best);
    match collector {
        Some(collector) => {
            chosen.opened_along = (0..ports.len())
                .map(|port| opened_along(ports, run, collector, chosen.diameter, port))
                .collect();
        }
        None => chosen.wider = wider(ports, run, &chosen, diameters),
    }
    Some(chosen)
}

/// Pipes are told apart by their names, which may round what they measure by so many m: 4 in and 100 mm.
const NEARLY: f64 = 2e-3;

/// What the port that needs most would need with the next size of pipe, and a main no narrower.
fn wider(
    ports: &[PlannedPort],
    run: &MainRun,
    found: &DuctProposal,
    diameters: &[f64],
) -> Option<WiderPort> {
    let suction = |port: &usize| found.alone[*port].suction;
    let port = (0..ports.len()).max_by(|one, other| suction(one).total_cmp(&suction(other)))?;
    let is_wider = |diameter: &&f64| **diameter > ports[port].diameter + NEARLY;
    let diameter = *diameters.iter().find(is_wider)?;
    let mut with = ports.to_vec();
    with[port].diameter = diameter;
    let found = ducts_of(found.diameter.max(diameter), &with, run, None);
    Some(WiderPort {
        port,
        diameter,
        suction: found.alone[port].suction,
    })
}

/// A main of a diameter in m, and what each port gets that is open alone.
pub fn ducts_of(
    diameter: f64,
    ports: &[PlannedPort],
    run: &MainRun,
    collector: Option<&Collector>,
) -> DuctProposal {
    let network = LaidMain::new(ports, run, diameter);
    DuctProposal {
        diameter,
        alone: (0..ports.len())
            .map(|port| network.alone(ports, port, collector))
            .collect(),
        opened_along: vec![None; ports.len()],
        wider: None,
    }
}

/// The other port whose gate lets the main of this one convey without starving either.
fn opened_along(
    ports: &[PlannedPort],
    run: &MainRun,
    collector: &Collector,
    diameter: f64,
    port: usize,
) -> Option<usize> {
    let laid = LaidMain::new(ports, run, diameter);
    if laid.alone(ports, port, Some(collector)).main == Conveying::Conveys {
        return None;
    }
    (0..ports.len())
        .filter(|&other| other != port)
        .find(|&other| {
            let both = laid.with(ports, &[port, other], collector);
            both.iter()
                .all(|found| found.main == Conveying::Conveys && found.supply != Supply::Starved)
        })
}

/// A main with its branches as a network.
struct LaidMain {
    network: DuctNetwork,
    /// The section of the main into which each port's branch goes, and the branch.
    main: Vec<usize>,
    branch: Vec<usize>,
}

impl LaidMain {
    fn new(ports: &[PlannedPort], run: &MainRun, diameter: f64) -> LaidMain {
        let mut order: Vec<usize> = (0..ports.len()).collect();
        order.sort_by(|&one, &other| ports[one].along.total_cmp(&ports[other].along));
        let mut sections: Vec<DuctSection> = Vec::new();
        let (mut main, mut branch) = (vec![0; ports.len()], vec![0; ports.len()]);
        let (mut before, mut reached): (Option<usize>, f64) = (None, 0.0);
        for number in order {
            let port = &ports[number];
            let elbows = if before.is_none() { run.elbows } else { 0.0 };
            sections.push(DuctSection {
                smooth: port.along - reached,
                ..DuctSection::of_pipe(before, diameter, elbows * ELBOW_K)
            });
            let at = sections.len() - 1;
            sections.push(DuctSection {
                smooth: run.branch,
                flexible: run.hose,
                has_gate: true,
                ..DuctSection::of_pipe(Some(at), port.diameter, WYE_K + ELBOW_K)
            });
            (main[number], branch[number]) = (at, at + 1);
            (before, reached) = (Some(at), port.along);
        }
        let network = DuctNetwork::new(sections).expect("each section goes into one before it");
        LaidMain {
            network,
            main,
            branch,
        }
    }

    fn alone(
        &self,
        ports: &[PlannedPort],
        port: usize,
        collector: Option<&Collector>,
    ) -> PortAlone {
        match collector {
            Some(collector) => self.with(ports, &[port], collector)[0],
            None => {
                let airflow = ports[port].wanted.least;
                let is_open = |section: usize| section == self.branch[port];
                let suction = self.network.suction_for(airflow, &is_open);
                self.told(ports, port, [airflow; 2], suction.unwrap_or(0.0))
            }
        }
    }

    /// What some ports get whose gates are open together.
    fn with(&self, ports: &[PlannedPort], open: &[usize], collector: &Collector) -> Vec<PortAlone> {
        let is_open = |section: usize| open.iter().any(|&port| section == self.branch[port]);
        let found = self.network.operating_point(collector, &is_open);
        let told = |&port: &usize| {
            let airflow = |section: usize| found.sections[section].airflow;
            let flows = [airflow(self.main[port]), airflow(self.branch[port])];
            self.told(ports, port, flows, found.inlet_suction)
        };
        open.iter().map(told).collect()
    }

    /// Of a port with so much air in the main where its branch joins, and in the branch.
    fn told(
        &self,
        ports: &[PlannedPort],
        port: usize,
        [main, branch]: [f64; 2],
        suction: f64,
    ) -> PortAlone {
        let velocity =
            |section: usize, airflow: f64| self.network.sections()[section].velocity(airflow);
        let in_main = velocity(self.main[port], main);
        let in_branch = velocity(self.branch[port], branch);
        PortAlone {
            airflow: branch,
            suction,
            in_main,
            in_branch,
            main: Conveying::at(in_main, false),
            // A branch drops from the main to the port.
            branch: Conveying::at(in_branch, true),
            supply: ports[port].wanted.supply(branch),
        }
    }
}
