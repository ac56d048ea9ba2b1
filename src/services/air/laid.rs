//! Ducts as they run over the floor, made into a network.

use super::friction::{ELBOW_K, elbow_k};
use super::network::{DuctNetwork, DuctSection};
use crate::floor::{Point, nearest_on_segment};
use crate::shop::StationId;

/// The radius of elbows over their diameter.
const ELBOW_RADIUS: f64 = 1.5;

/// Junctions closer together than this are one, in m.
const SAME_PLACE: f64 = 1e-6;

/// A main from the collector's inlet on, in m.
#[derive(Debug, Clone, PartialEq)]
pub struct MainLine {
    pub name: String,
    /// Two at least.
    pub points: Vec<Point>,
    /// Of its axis above the floor.
    pub height: f64,
    pub diameter: f64,
    /// Of the wyes with which branches join it, in velocity pressures of the branch.
    pub wye: f64,
}

/// How the branches of all ports are made, in m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BranchMake {
    pub diameter: f64,
    /// Of hose at each port.
    pub flexible: f64,
    /// By how much that loses more than straight smooth hose.
    pub flexible_factor: f64,
    pub port_height: f64,
    /// What a shut gate leaves open, in m².
    pub leak: f64,
}

/// A hose that is moved from port to port, in m.
#[derive(Debug, Clone, PartialEq)]
pub struct LooseHose {
    pub name: String,
    pub diameter: f64,
    pub length: f64,
}

/// A station's connection: what leads to it, and its ports, in m.
#[derive(Debug, Clone, PartialEq)]
pub struct Connection {
    pub station: StationId,
    pub at: Point,
    pub way: ConnectionWay,
    /// The diameters of its ports, of which the further ones hang on the branch of the first.
    pub ports: Vec<f64>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ConnectionWay {
    /// A branch of this main.
    Main(usize),
    Hose(usize),
}

/// What a section of the network is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DuctPart {
    /// A stretch of a main, up to where the branch of a station joins it.
    Main {
        main: usize,
        to: StationId,
    },
    Branch(StationId),
    /// The hose of one of several ports, from 0.
    PortHose(StationId, usize),
    Hose {
        hose: usize,
        to: StationId,
    },
}

/// The ducts of a collector.
#[derive(Debug, Clone, PartialEq)]
pub struct LaidDucts {
    pub network: DuctNetwork,
    /// What each section is, and whether chips have to climb in it.
    pub parts: Vec<(DuctPart, bool)>,
    /// Where each section runs over the floor; nothing of what hangs at one place, or begins where nobody says.
    pub lines: Vec<Vec<Point>>,
    /// By connection, the section with its gate, and those that end in its ports.
    pub gates: Vec<usize>,
    pub ports: Vec<Vec<usize>>,
    /// Of rigid pipe, in m.
    pub pipe: f64,
}

/// Lays branches square to their main, at its height up to above the port and down to it.
pub fn lay_ducts(
    mains: &[MainLine],
    branch: &BranchMake,
    hoses: &[LooseHose],
    connections: &[Connection],
) -> LaidDucts {
    let mut laying = Laying {
        branch,
        sections: Vec::new(),
        parts: Vec::new(),
        lines: Vec::new(),
        gates: vec![0; connections.len()],
        ports: vec![Vec::new(); connections.len()],
        pipe: 0.0,
    };
    for (number, main) in mains.iter().enumerate() {
        laying.main(number, main, connections);
    }
    for (number, connection) in connections.iter().enumerate() {
        if let ConnectionWay::Hose(hose) = connection.way {
            laying.hose(number, connection, (hose, &hoses[hose]));
        }
    }
    LaidDucts {
        network: DuctNetwork::new(laying.sections).expect("each section goes into one before it"),
        parts: laying.parts,
        lines: laying.lines,
        gates: laying.gates,
        ports: laying.ports,
        pipe: laying.pipe,
    }
}

struct Laying<'a> {
    branch: &'a BranchMake,
    sections: Vec<DuctSection>,
    parts: Vec<(DuctPart, bool)>,
    lines: Vec<Vec<Point>>,
    gates: Vec<usize>,
    ports: Vec<Vec<usize>>,
    pipe: f64,
}

impl Laying<'_> {
    fn add(&mut self, part: DuctPart, is_rising: bool, section: DuctSection) -> usize {
        self.sections.push(section);
        self.parts.push((part, is_rising));
        self.lines.push(Vec::new());
        self.sections.len() - 1
    }

    /// A main piece by piece, from junction to junction; what is behind the last one moves no air.
    fn main(&mut self, number: usize, main: &MainLine, connections: &[Connection]) {
        let line = MainCourse::new(&main.points);
        let on_it =
            |(_, connection): &(usize, &Connection)| connection.way == ConnectionWay::Main(number);
        let joins = connections.iter().enumerate().filter(on_it);
        let mut joins: Vec<(Junction, usize)> = joins
            .map(|(nth, connection)| (line.nearest(connection.at), nth))
            .collect();
        joins.sort_by(|one, other| one.0.along.total_cmp(&other.0.along));
        self.pipe += line.length();
        let mut last: Option<(usize, f64)> = None;
        for (junction, nth) in joins {
            let station = connections[nth].station;
            let reached = last.map_or(0.0, |(_, along)| along);
            let into = match last {
                Some((section, along)) if junction.along - along <= SAME_PLACE => section,
                _ => self.add(
                    DuctPart::Main {
                        main: number,
                        to: station,
                    },
                    false,
                    DuctSection {
                        smooth: junction.along - reached,
                        ..DuctSection::of_pipe(
                            last.map(|(section, _)| section),
                            main.diameter,
                            line.elbows(reached, junction.along),
                        )
                    },
                ),
            };
            if self.lines[into].is_empty() {
                self.lines[into] = line.between(reached, junction.along);
            }
            last = Some((into, reached.max(junction.along)));
            self.branch(nth, &connections[nth], main, (into, junction.away));
            let (at, port) = (line.at(junction.along), connections[nth].at);
            self.lines[self.gates[nth]] = vec![at, port];
        }
    }

    fn branch(
        &mut self,
        nth: usize,
        connection: &Connection,
        main: &MainLine,
        (into, away): (usize, f64),
    ) {
        let make = *self.branch;
        let drop = (main.height - make.port_height).abs();
        let rises = main.height > make.port_height;
        let smooth = away + drop;
        self.pipe += smooth;
        let stem = DuctSection {
            smooth,
            has_gate: true,
            leak: make.leak,
            ..DuctSection::of_pipe(Some(into), make.diameter, main.wye + ELBOW_K)
        };
        let hose = |diameter| DuctSection {
            flexible: make.flexible,
            flexible_factor: make.flexible_factor,
            ..DuctSection::of_pipe(None, diameter, 0.0)
        };
        let station = connection.station;
        let gate = match connection.ports[..] {
            // One port as wide as its branch is one stretch with it.
            [diameter] if diameter == make.diameter => {
                let whole = DuctSection {
                    flexible: make.flexible,
                    flexible_factor: make.flexible_factor,
                    ..stem
                };
                let gate = self.add(DuctPart::Branch(station), rises, whole);
                self.ports[nth].push(gate);
                gate
            }
            _ => {
                let gate = self.add(DuctPart::Branch(station), rises, stem);
                for (port, &diameter) in connection.ports.iter().enumerate() {
                    let section = DuctSection {
                        into: Some(gate),
                        ..hose(diameter)
                    };
                    let section = self.add(DuctPart::PortHose(station, port), false, section);
                    self.ports[nth].push(section);
                }
                gate
            }
        };
        self.gates[nth] = gate;
    }

    /// Straight from the collector's inlet to the port at which the hose is.
    fn hose(&mut self, nth: usize, connection: &Connection, (number, hose): (usize, &LooseHose)) {
        let section = DuctSection {
            flexible: hose.length,
            flexible_factor: self.branch.flexible_factor,
            has_gate: true,
            ..DuctSection::of_pipe(None, hose.diameter, 0.0)
        };
        let part = DuctPart::Hose {
            hose: number,
            to: connection.station,
        };
        let section = self.add(part, false, section);
        self.gates[nth] = section;
        self.ports[nth].push(section);
    }
}

/// Where a branch joins: how far along the main, and how far its port is away from there, in m.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Junction {
    along: f64,
    away: f64,
}

/// A line of several straight pieces.
struct MainCourse<'a> {
    points: &'a [Point],
    /// How far along each point is.
    along: Vec<f64>,
}

impl<'a> MainCourse<'a> {
    fn new(points: &'a [Point]) -> MainCourse<'a> {
        let mut along = vec![0.0];
        for pair in points.windows(2) {
            let last = along[along.len() - 1];
            along.push(last + pair[0].distance(pair[1]));
        }
        MainCourse { points, along }
    }

    fn length(&self) -> f64 {
        self.along[self.along.len() - 1]
    }

    /// The place so far along it.
    fn at(&self, along: f64) -> Point {
        let pieces = self.along.windows(2).zip(self.points.windows(2));
        let mut reached = pieces.filter(|(ends, _)| along <= ends[1]);
        match reached.next() {
            Some((ends, piece)) if ends[1] > ends[0] => {
                let share = ((along - ends[0]) / (ends[1] - ends[0])).max(0.0);
                piece[0] + (piece[1] - piece[0]) * share
            }
            Some((_, piece)) => piece[0],
            None => self.points[self.points.len() - 1],
        }
    }

    /// The line from one place along it to another.
    fn between(&self, from: f64, to: f64) -> Vec<Point> {
        let corners = self.along.iter().zip(self.points);
        let corners = corners.filter(|&(&along, _)| along > from && along < to);
        let corners = corners.map(|(_, &corner)| corner);
        let ends = [self.at(from), self.at(to)];
        ends[..1]
            .iter()
            .copied()
            .chain(corners)
            .chain([ends[1]])
            .collect()
    }

    fn nearest(&self, from: Point) -> Junction {
        let pieces = self.points.windows(2).zip(&self.along);
        let found = pieces.map(|(piece, &along)| {
            let nearest = nearest_on_segment(from, (piece[0], piece[1]));
            Junction {
                along: along + piece[0].distance(nearest),
                away: from.distance(nearest),
            }
        });
        let nearer = |one: Junction, other: Junction| match other.away < one.away {
            true => other,
            false => one,
        };
        found.reduce(nearer).expect("a line has two points")
    }

    /// The losses of the elbows between two places along it.
    fn elbows(&self, from: f64, to: f64) -> f64 {
        let bends = (1..self.points.len().saturating_sub(1)).filter(|&at| {
            let along = self.along[at];
            from < along + SAME_PLACE && along < to - SAME_PLACE
        });
        let loss = |at: usize| {
            let (before, after) = (
                self.points[at] - self.points[at - 1],
                self.points[at + 1] - self.points[at],
            );
            let angle = libm::atan2(before.cross(after), before.dot(after)).abs();
            elbow_k(ELBOW_RADIUS, angle.to_degrees())
        };
        bends.map(loss).sum()
    }
}
