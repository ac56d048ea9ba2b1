//! What a shop that has nothing yet would need: lamps, circuits, a heater, ducts. Proposals to begin from, by the same
//! formulas by which they are judged later.

mod ducts;
mod heater;
mod lamps;
mod sharing;
mod shortest_tree;

pub use ducts::{
    DuctProposal, METRIC_PIPES, MainRun, PIPES_IN_INCHES, PlannedPort, PortAlone, ducts_of,
    propose_ducts,
};
pub use heater::{HeaterProposal, RoomToHeat, propose_heater};
pub use lamps::{LampProposal, RoomToLight, SPACING, propose_lamps};
pub use sharing::{PlannedLoad, ProposedCircuit, Sharing, Worked, propose_circuits};
pub use shortest_tree::{MOST_PLACES, shortest_tree};
