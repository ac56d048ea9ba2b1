//! What a layout is drawn in and what is done there, prepared once for any number of placements.

use std::sync::OnceLock;

use super::finding::{FedPiece, Finding};
use super::handling::{
    WrongPieces, access, ceiling, goes_along_width, lies_across, lifting, wrong_pieces,
};
use super::shapes::{FloorArea, rectangle_before};
use super::strips::solid_walls;
use super::{Door, Going, HeightRange, Limits, Obstacle, Plan, Point, Polygon, Premises, Room};
use crate::shop::{Choice, ItemId, PlaceId, Shop, Size, StationId, Work};

/// Something on the floor that takes room.
#[derive(Debug, Clone, PartialEq)]
pub struct Footprint {
    pub of: Obstacle,
    pub area: FloorArea,
    pub heights: HeightRange,
}

/// The floor that belongs to a door.
#[derive(Debug)]
pub struct DoorFloor {
    /// In front of its opening, as deep as the least way out.
    pub before: Option<FloorArea>,
    /// Into the room, of length 1.
    pub inward: Point,
    /// The quarter circles of a leaf with its hinges at one end or at the other; nothing if it swings out, or is known to
    /// hang at the other end.
    pub leaves: [Option<FloorArea>; 2],
    /// Below the leaf of an overhead door while it is open, and how high above the floor the leaf is, in metres.
    pub open_leaf: Option<(f64, FloorArea)>,
}

/// The floor that is kept free in front of an electrical panel.
#[derive(Debug)]
pub struct PanelFloor {
    /// Index of the room's panel.
    pub panel: usize,
    pub width: f64,
    pub area: FloorArea,
}

/// A shop in a room, wherever its stations stand: all that many placements are judged by.
#[derive(Debug)]
pub struct Site<'a> {
    pub premises: Premises<'a>,
    pub going: Going,
    /// Widths of the circles that a walking person and a pushed cart need, in metres.
    pub body_width: f64,
    pub cart_width: f64,
    /// People walk and stand below what hangs so high, in metres.
    pub head_room: f64,
    /// Walls without the openings of the doors.
    pub walls: Vec<(Point, Point)>,
    pub doors: Vec<DoorFloor>,
    pub panels: Vec<PanelFloor>,
    pub things: Vec<Footprint>,
    /// Places that the file has somebody go to, each once. A project that nobody orders counts, too, for without them
    /// the shop cannot be played.
    pub used: Vec<PlaceId>,
    /// The different pieces that are fed through each station, in the file's order.
    pub fed: Vec<Vec<FedPiece>>,
    /// What does not depend on where anything stands, found when it is first asked for.
    handled: OnceLock<Handled>,
}

/// What the rules about things that are handled find.
#[derive(Debug)]
pub struct Handled {
    pub access: Vec<Finding>,
    pub lifting: Vec<Finding>,
    pub ceiling: Vec<Finding>,
    pub wrong_pieces: WrongPieces,
}

impl<'a> Site<'a> {
    /// For all placements in the room of a plan where people go as they do there; whatever the plan places.
    pub fn new(shop: &'a Shop, plan: &'a Plan, limits: &'a Limits) -> Site<'a> {
        let premises = Premises::new(shop, plan, limits);
        let things = premises.room.into_iter().flat_map(|room| &room.blocked);
        let things = things.enumerate().map(|(index, thing)| Footprint {
            of: Obstacle::Thing(index),
            area: FloorArea::new(thing.outline.clone()),
            heights: thing.heights,
        });
        Site {
            going: plan.going,
            body_width: plan.body_width,
            cart_width: plan.cart_width,
            head_room: plan.head_room,
            walls: premises.room.map(solid_walls).unwrap_or_default(),
            doors: (premises.room)
                .map(|room| doors(room, limits.way_out))
                .unwrap_or_default(),
            panels: panels(premises),
            things: things.collect(),
            used: used(shop),
            fed: fed(premises),
            handled: OnceLock::new(),
            premises,
        }
    }

    /// Whether the file has somebody go to a place.
    pub fn uses(&self, place: PlaceId) -> bool {
        self.used.binary_search(&place).is_ok()
    }

    /// The width in metres that a way out should have.
    pub fn way_out(&self) -> f64 {
        self.premises.limits.way_out.max(self.body_width)
    }

    /// What is found wherever the stations stand.
    pub fn handled(&self) -> &Handled {
        self.handled.get_or_init(|| Handled {
            access: access(self.premises),
            lifting: lifting(self.premises),
            ceiling: ceiling(self.premises),
            wrong_pieces: wrong_pieces(self.premises),
        })
    }

    /// Whether people and gear are there for some work at one station and some at another at the same time.
    pub fn at_once(&self, one: StationId, other: StationId) -> bool {
        let shop = self.premises.shop;
        let possible = |a: &Work, b: &Work| {
            let able = |work: &Work| {
                let crew = shop.crew.iter();
                crew.filter(|p| p.can_do(work.operation)).count()
            };
            let either = shop.crew.iter();
            let either = either
                .filter(|p| p.can_do(a.operation) || p.can_do(b.operation))
                .count();
            let people = able(a) >= a.people as usize
                && able(b) >= b.people as usize
                && either >= (a.people + b.people) as usize;
            let gear = a.gear.iter().all(|&(kind, taken)| {
                let too = b.gear.iter().find(|&&(other, _)| other == kind);
                let too = too.map_or(0, |(_, taken)| taken.of(1));
                u64::from(taken.of(1)) + u64::from(too) <= u64::from(shop.gear[kind].count)
            });
            people && gear
        };
        let others: Vec<&Work> = self.work_at(other).collect();
        self.work_at(one)
            .any(|a| others.iter().any(|b| possible(a, b)))
    }

    /// Whether somebody is left to walk about while a machine runs.
    pub fn walked_while_running(&self, machine: StationId) -> bool {
        let crew = self.premises.shop.crew.len();
        self.work_at(machine)
            .any(|work| crew > work.people as usize)
    }

    /// Whether orders bring any work to a station.
    pub fn has_work(&self, station: StationId) -> bool {
        self.work_at(station).next().is_some()
    }

    /// All work that orders bring to a station.
    pub fn work_at(&self, station: StationId) -> impl Iterator<Item = &'a Work> {
        let items = self
            .premises
            .ordered()
            .flat_map(|(_, project)| &project.items);
        let choices = items
            .flat_map(|item| &item.route)
            .flat_map(|step| &step.choices);
        let here = choices.filter(move |choice| choice.station == station);
        here.map(|choice| &choice.work)
    }
}

fn used(shop: &Shop) -> Vec<PlaceId> {
    let mut places: Vec<PlaceId> = Vec::new();
    for item in shop.projects.iter().flat_map(|project| &project.items) {
        places.extend(item.lies_at());
        places.extend(item.deliver_to);
        for choice in item.route.iter().flat_map(|step| &step.choices) {
            places.push(choice.place());
            places.extend(choice.work.fetch_from);
            places.extend(choice.work.catches.map(|catching| catching.at));
            let upkeep = shop.stations[choice.station].upkeep.iter();
            places.extend(upkeep.filter_map(|upkeep| upkeep.fetch_from));
        }
    }
    places.extend(shop.crew.iter().map(|person| person.starts_at));
    places.extend(shop.gear.iter().filter_map(|gear| gear.stored_at));
    places.extend(shop.handling.carts.as_ref().map(|carts| carts.stored_at));
    places.sort();
    places.dedup();
    places
}

/// All different pieces that come to each station, in the file's order.
fn fed(premises: Premises<'_>) -> Vec<Vec<FedPiece>> {
    let mut fed: Vec<Vec<FedPiece>> = vec![Vec::new(); premises.shop.stations.len()];
    for (project, of) in premises.ordered() {
        for (item, steps) in (0..).map(ItemId).zip(&of.items) {
            for step in &steps.route {
                for (at, choice) in step.choices.iter().enumerate() {
                    let station = choice.station;
                    let is_first = |other: &Choice| other.station != station;
                    let (Some(size), true) = (step.piece, step.choices[..at].iter().all(is_first))
                    else {
                        continue;
                    };
                    let is_across = lies_across(premises.shop, choice);
                    let size = match goes_along_width(premises.shop, choice) && !is_across {
                        true => Size {
                            length: size.width,
                            width: size.length,
                            ..size
                        },
                        false => size,
                    };
                    // Thin pieces sag more.
                    let same =
                        |known: &FedPiece| known.size == size && known.is_across == is_across;
                    let of_station = &mut fed[station.index()];
                    if !of_station.iter().any(same) {
                        of_station.push(FedPiece {
                            project,
                            item,
                            operation: choice.work.operation,
                            size,
                            is_across,
                        });
                    }
                }
            }
        }
    }
    fed
}

fn doors(room: &Room, kept_free: f64) -> Vec<DoorFloor> {
    let doors = room.doors.iter().map(|door| {
        let inward = room.outward(door) * -1.0;
        let before = rectangle_before(door.middle(), inward, door.width(), kept_free);
        DoorFloor {
            before: before.map(FloorArea::new),
            inward,
            leaves: match door.swings_in {
                true => {
                    let [first, second] = leaves(door, inward);
                    let second = second.filter(|_| !door.hangs_at_first);
                    [first, second].map(|leaf| leaf.map(FloorArea::new))
                }
                false => [None, None],
            },
            open_leaf: open_leaf(door, inward),
        }
    });
    doors.collect()
}

/// The floor below the leaf of an overhead door while it is open: as wide as the opening, and as deep as that is high.
fn open_leaf(door: &Door, inward: Point) -> Option<(f64, FloorArea)> {
    let height = door.height.filter(|_| door.overhead)?;
    let below = rectangle_before(door.middle(), inward, door.width(), height)?;
    Some((height, FloorArea::new(below)))
}

/// The quarter circles of a leaf with its hinges at one end or at the other.
fn leaves(door: &Door, inward: Point) -> [Option<Polygon>; 2] {
    const STEPS: u32 = 24;
    let quarter = |hinge: Point, latch: Point| {
        let mut corners = vec![hinge];
        for step in 0..=STEPS {
            let angle = std::f64::consts::FRAC_PI_2 * f64::from(step) / f64::from(STEPS);
            let shut = (latch - hinge) * libm::cos(angle);
            corners.push(hinge + shut + inward * (door.width() * libm::sin(angle)));
        }
        Polygon::new(&corners).ok()
    };
    [
        quarter(door.between.0, door.between.1),
        quarter(door.between.1, door.between.0),
    ]
}

fn panels(premises: Premises<'_>) -> Vec<PanelFloor> {
    let limits = premises.limits;
    let panels = premises.room.into_iter().flat_map(|room| &room.panels);
    let panels = panels.enumerate().filter_map(|(index, panel)| {
        let width = panel.width.max(limits.panel_width);
        let area = rectangle_before(panel.at, panel.faces, width, limits.panel_depth)?;
        Some(PanelFloor {
            panel: index,
            width,
            area: FloorArea::new(area),
        })
    });
    panels.collect()
}
