//! What racks, walls and floors carry. Loads are in N or kg as said; walls and fixings are to be judged where they are.

/// Which share of what boards could fill they do: common practice.
const FILLED: f64 = 0.8;
/// Which share of a level the middle one of three arms carries under a board that lies on all of them, and under boards cut
/// short: a beam over three supports.
const MIDDLE_OF_WHOLE: f64 = 0.625;
const MIDDLE_OF_SHORT: f64 = 0.5;

/// A level of a rack with arms: lengths in m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RackLevel {
    pub arm: f64,
    pub stack: f64,
    pub length: f64,
    pub arms: u32,
}

/// What a level carries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LevelLoad {
    /// Of wood, in m³.
    pub wood: f64,
    /// In kg.
    pub mass: f64,
    pub on_mean_arm: f64,
    pub on_middle_arm: f64,
    /// At the wall, of the middle arm: kg × m.
    pub moment: f64,
}

impl RackLevel {
    /// With wood of a density in kg/m³, boards that lie on all arms or are cut short.
    pub fn load(&self, density: f64, is_cut_short: bool) -> LevelLoad {
        let wood = self.arm * self.stack * self.length * FILLED;
        let mass = wood * density;
        let on_mean_arm = mass / f64::from(self.arms.max(1));
        let on_middle_arm = match (self.arms, is_cut_short) {
            (3, false) => MIDDLE_OF_WHOLE * mass,
            (3, true) => MIDDLE_OF_SHORT * mass,
            _ => on_mean_arm,
        };
        LevelLoad {
            wood,
            mass,
            on_mean_arm,
            on_middle_arm,
            // The load lies along the whole arm: its middle is half way out.
            moment: on_middle_arm * self.arm / 2.0,
        }
    }
}

/// How many sheets on edge fit into a depth, of which so much is lost, each with a gap; all in m.
pub fn sheets_on_edge(depth: f64, lost: f64, thickness: f64, gap: f64) -> u32 {
    libm::floor((depth - lost) / (thickness + gap)).max(0.0) as u32
}

/// A mass on a footprint, in kg/m².
pub fn floor_load(mass: f64, area: f64) -> f64 {
    mass / area
}

/// What wooden floors of rooms are designed for, in kg/m²: 40 lb/ft² (building codes); sleeping rooms less, garages more.
pub const FLOOR_DESIGNED_FOR: f64 =
    40.0 * crate::units::customary::POUND / crate::units::customary::SQUARE_FOOT;

/// The walls of a room, along the floor in m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WallLengths {
    pub perimeter: f64,
    /// Of doors, and of what must stay free before a panel.
    pub openings: f64,
    pub windows: f64,
    /// What corners take that are used from one side only.
    pub corners: f64,
}

impl WallLengths {
    /// What is left for what is low: windows stand above it.
    pub fn low(&self) -> f64 {
        self.perimeter - self.openings - self.corners
    }

    /// What is left for what is high.
    pub fn tall(&self) -> f64 {
        self.low() - self.windows
    }
}
