//! How fast a drum fills.

/// What is removed, as it lies in a drum.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Residue {
    Sawdust,
    Shavings,
}

impl Residue {
    /// Loose volume of what was so much solid wood: Briggs, Forest Products Measurements and Conversion Factors (1994),
    /// table 7-1.
    pub fn expansion(self) -> f64 {
        match self {
            Residue::Sawdust => 2.5,
            Residue::Shavings => 4.0,
        }
    }
}

/// What so much solid wood takes up as chips; both in m³, or both in m³/s.
pub fn loose_volume(solid: f64, residue: Residue) -> f64 {
    solid * residue.expansion()
}

/// What chips are gathered in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drum {
    /// In m³.
    pub volume: f64,
}

impl Drum {
    /// It is emptied when it is so full: common practice.
    pub const FULL: f64 = 0.8;

    /// The loose volume after which it is to be emptied, in m³.
    pub fn holds(self) -> f64 {
        self.volume * Drum::FULL
    }
}
