//! Heat: what is lost, how long warming up takes, and what air is thrown out and has to come in.

mod contents;
mod exhaust;
mod loss;
mod lumps;
mod plan;

pub use contents::UsualContents;
pub use exhaust::{
    Appliance, Solvent, combustion_water, cooling_load, dilution_air, envelope_pressure,
    make_up_opening, purge_time,
};
pub use loss::{
    AIR_HEAT, Envelope, HeatLoss, HeatPart, LossPart, PERSON_HEAT, SLAB_EDGE, conductance,
    exhaust_loss,
};
pub use lumps::{Lump, Reaches, TwoLumps};
pub use plan::{HeatPlan, MONTHS, MonthOutside};
