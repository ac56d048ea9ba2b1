//! What has to be bought for the ducts, circuits and lamps of a layout, as they are drawn: lengths are those on the plan,
//! and waste is not in them.

use super::ServicePlan;
use super::air::{CollectorAir, DuctPart};
use super::power::{Conductor, Wiring};

/// What something is, of which so much is bought; lengths in m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ShoppingItem {
    /// Rigid, by its diameter.
    Pipe(f64),
    /// A bend of rigid pipe, of any angle.
    Elbow(f64),
    /// Where a branch joins a main.
    Wye {
        main: f64,
        branch: f64,
    },
    Gate(f64),
    Hose(f64),
    /// Where a port is not as wide as its branch.
    Reducer {
        from: f64,
        to: f64,
    },
    /// Of a circuit of which the wire is given.
    Cable(Conductor),
    Breaker {
        /// In A; None where that is for an electrician to say.
        rating: Option<f64>,
        volts: f64,
    },
    Outlet {
        volts: f64,
    },
    Cord {
        conductor: Conductor,
        length: f64,
    },
    Lamp {
        lumens: f64,
        /// 0 of what is no tube.
        length: f64,
    },
}

/// How much of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShoppingEntry {
    pub what: ShoppingItem,
    /// Pieces, and of what is sold by its length how much all of them make together, in m.
    pub count: usize,
    pub length: f64,
}

/// All that is to be bought: ducts, then current, then lamps.
pub fn shopping_list(plan: &ServicePlan) -> Vec<ShoppingEntry> {
    let mut list = ShoppingList::default();
    for air in plan.collectors.iter().filter_map(|plan| plan.air.as_ref()) {
        list.ducts(air);
    }
    list.circuits(&plan.wiring);
    for row in plan.light.iter().flat_map(|light| &light.lamps) {
        let lamp = ShoppingItem::Lamp {
            lumens: row.lumens,
            length: row.length,
        };
        list.add(lamp, row.count as usize, 0.0);
    }
    list.0
}

#[derive(Default)]
struct ShoppingList(Vec<ShoppingEntry>);

impl ShoppingList {
    fn add(&mut self, what: ShoppingItem, count: usize, length: f64) {
        if count == 0 {
            return;
        }
        match self.0.iter_mut().find(|entry| entry.what == what) {
            Some(entry) => {
                entry.count += count;
                entry.length += length;
            }
            None => self.0.push(ShoppingEntry {
                what,
                count,
                length,
            }),
        }
    }

    fn ducts(&mut self, air: &CollectorAir) {
        /// Pieces of a main bend by more than this: the sine of the angle.
        const STRAIGHT: f64 = 1e-6;
        let ducts = air.laid().ducts;
        let sections = ducts.network.sections();
        for main in &air.mains {
            let pieces = main.points.windows(2);
            let length: f64 = pieces.map(|piece| piece[0].distance(piece[1])).sum();
            self.add(ShoppingItem::Pipe(main.diameter), 1, length);
        }
        for (section, &(part, _)) in sections.iter().zip(&ducts.parts) {
            if matches!(part, DuctPart::Branch(_)) && section.smooth > 0.0 {
                self.add(ShoppingItem::Pipe(section.diameter), 1, section.smooth);
            }
        }
        for main in &air.mains {
            let bends = main.points.windows(3).filter(|corner| {
                let (before, after) = (corner[1] - corner[0], corner[2] - corner[1]);
                let square = before.length() * after.length();
                before.cross(after).abs() > STRAIGHT * square || before.dot(after) < 0.0
            });
            self.add(ShoppingItem::Elbow(main.diameter), bends.count(), 0.0);
        }
        for (section, &(part, _)) in sections.iter().zip(&ducts.parts) {
            let into = section.into.map(|into| sections[into].diameter);
            match part {
                DuctPart::Branch(_) => {
                    let main = into.unwrap_or(section.diameter);
                    let branch = section.diameter;
                    self.add(ShoppingItem::Elbow(branch), 1, 0.0);
                    self.add(ShoppingItem::Wye { main, branch }, 1, 0.0);
                    self.add(ShoppingItem::Gate(branch), 1, 0.0);
                }
                DuctPart::PortHose(..) => {
                    let to = section.diameter;
                    if let Some(from) = into.filter(|from| *from != to) {
                        self.add(ShoppingItem::Reducer { from, to }, 1, 0.0);
                    }
                }
                DuctPart::Main { .. } | DuctPart::Hose { .. } => {}
            }
            // One hose that is moved is laid once for each of its ports.
            let is_fixed = !matches!(part, DuctPart::Hose { .. });
            if is_fixed && section.flexible > 0.0 {
                self.add(ShoppingItem::Hose(section.diameter), 1, section.flexible);
            }
        }
        for hose in &air.hoses {
            self.add(ShoppingItem::Hose(hose.diameter), 1, hose.length);
        }
    }

    fn circuits(&mut self, wiring: &Wiring) {
        for run in wiring.circuits.iter().filter_map(|circuit| circuit.run) {
            self.add(ShoppingItem::Cable(run.conductor), 1, run.length);
        }
        for circuit in &wiring.circuits {
            let breaker = ShoppingItem::Breaker {
                rating: circuit.rating,
                volts: circuit.volts,
            };
            self.add(breaker, 1, 0.0);
        }
        for circuit in &wiring.circuits {
            let outlet = ShoppingItem::Outlet {
                volts: circuit.volts,
            };
            self.add(outlet, circuit.outlets.len(), 0.0);
        }
        for cord in wiring.loads.iter().filter_map(|load| load.cord) {
            let item = ShoppingItem::Cord {
                conductor: cord.conductor,
                length: cord.length,
            };
            self.add(item, 1, 0.0);
        }
    }
}
