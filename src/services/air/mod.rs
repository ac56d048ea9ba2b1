//! Air through ducts: what a collector moves through the gates that are open.
//!
//! The velocity-pressure method of industrial ventilation: every loss of a section of duct is so many times its velocity
//! pressure. A junction has one suction, and each branch takes the airflow that needs exactly that.

mod chips;
mod collector_air;
mod conveying;
mod fan;
mod flow;
mod friction;
mod laid;
mod network;
mod rising;

pub use chips::{Drum, Residue, loose_volume};
pub use collector_air::{
    AirState, CollectorAir, GateRule, LaidAir, PortWants, SectionAir, StationAir,
};
pub use conveying::{Conveying, Supply, WantedAir};
pub use fan::{Collector, CurveError, FanCurve, RatedLoss};
pub use flow::{DuctFlow, OperatingPoint};
pub use friction::{
    BRANCH_VELOCITY, ELBOW_K, FLEXIBLE_FACTOR, MAIN_VELOCITY, PORT_ENTRY, WYE_K, bore, elbow_k,
    flexible_loss, smooth_loss, velocity_pressure, wye_k,
};
pub use laid::{
    BranchMake, Connection, ConnectionWay, DuctPart, LaidDucts, LooseHose, MainLine, lay_ducts,
};
pub use network::{DuctNetwork, DuctSection, NetworkError};
