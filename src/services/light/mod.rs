//! Light: what lamps give on a plane in the mean, and at a place past the body of who works there.

mod lumens;
mod plan;
mod point;
mod view_factor;

pub use lumens::{
    LIGHT_LOSS, PLANE_HEIGHT, Surfaces, UTILISATION, Utilisation, lamps_needed, mean_illuminance,
    room_cavity_ratio,
};
pub use plan::{LampRow, LightPlan, USUALLY_WANTED, WantedLight};
pub use point::{DownLamp, Onlooker, direct_illuminance};
pub use view_factor::facing_rectangles;
