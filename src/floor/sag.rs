//! How far boards and sheets sag under their own weight where nothing carries them.
//!
//! Straight beams of one thickness (Euler and Bernoulli): per metre of width a piece of thickness t weighs w = density
//! × g × t and resists with E I, I = t³ / 12. With k = w / (24 E I), a piece that is held at one end and free for a
//! length l sags k x² (6 l² − 4 l x + x²) at a distance x, which is w l⁴ / (8 E I) at its end; one that is held at both
//! ends sags k x (l³ − 2 l x² + x³), which is 5 w l⁴ / (384 E I) in its middle.

use super::access::INCH_M;
use super::tolerance::ROUNDED_SHARE;
use crate::units::customary::POUND;

/// What a piece is made of: in kg/m³ and in N/m².
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stiffness {
    density: f64,
    modulus: f64,
}

const GRAVITY: f64 = 9.80665;
const LB_PER_FT3: f64 = POUND / (12.0 * 12.0 * 12.0 * INCH_M * INCH_M * INCH_M);
const PSI: f64 = POUND * GRAVITY / (INCH_M * INCH_M);

impl Stiffness {
    /// Boards as of red oak (Wood Handbook, table 5-3). Softwoods, which are lighter and bend more easily, sag about as
    /// much.
    pub const BOARD: Stiffness = Stiffness {
        density: 44.0 * LB_PER_FT3,
        modulus: 1.8e6 * PSI,
    };

    /// Sheets as of plywood along its face grain. Fibreboard sags three to four times as much.
    pub const SHEET: Stiffness = Stiffness {
        density: 34.0 * LB_PER_FT3,
        modulus: 1.2e6 * PSI,
    };

    /// Of a piece so many metres wide: what is as wide as 24 in is a sheet.
    pub fn of(width: f64) -> Stiffness {
        const SHEET_M: f64 = 24.0 * INCH_M;
        match width < SHEET_M * (1.0 - ROUNDED_SHARE) {
            true => Stiffness::BOARD,
            false => Stiffness::SHEET,
        }
    }

    /// k of the formulas above, in 1/m³.
    fn bending(self, thickness: f64) -> f64 {
        self.density * GRAVITY / (2.0 * self.modulus * thickness * thickness)
    }
}

/// A stretch of a piece that nothing carries, in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Overhang {
    pub stiffness: Stiffness,
    pub thickness: f64,
    pub length: f64,
    /// Whether it is held at its far end, too.
    pub is_held: bool,
}

impl Overhang {
    /// How far it sags at most between two distances from where it begins, in metres.
    pub fn sag(&self, near: f64, far: f64) -> f64 {
        let l = self.length;
        if l <= 0.0 || self.thickness <= 0.0 {
            return 0.0;
        }
        let k = self.stiffness.bending(self.thickness);
        let (near, far) = (near.clamp(0.0, l), far.clamp(0.0, l));
        match self.is_held {
            // It sags most in its middle, and less and less from there to its ends.
            true => {
                let x = (l / 2.0).clamp(near, far);
                k * x * (l * l * l - 2.0 * l * x * x + x * x * x)
            }
            false => k * far * far * (6.0 * l * l - 4.0 * l * far + far * far),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn free(stiffness: Stiffness, inches: f64) -> Overhang {
        Overhang {
            stiffness,
            thickness: 0.75 * INCH_M,
            length: inches * INCH_M,
            is_held: false,
        }
    }

    /// Worked by hand from w l⁴ / (8 E I), in inches and pounds: oak of 44 lb/ft³ and 1.8 million psi, plywood of 34 lb/ft³
    /// and 1.2 million psi, both 3/4 in thick.
    #[test]
    fn the_end_of_a_board_sags_as_the_formula_says() {
        for (stiffness, length, expected) in [
            (Stiffness::BOARD, 36.0, 0.06336),
            (Stiffness::BOARD, 48.0, 0.20024888888888887),
            (Stiffness::BOARD, 72.0, 1.01376),
            (Stiffness::SHEET, 48.0, 0.23211),
        ] {
            let sag = free(stiffness, length).sag(0.0, f64::INFINITY) / INCH_M;
            assert!((sag - expected).abs() < 1e-5, "{length}: {sag}");
        }
    }

    #[test]
    fn it_sags_less_nearer_to_where_it_is_held() {
        let board = free(Stiffness::BOARD, 72.0);
        let at = |inches: f64| board.sag(0.0, inches * INCH_M) / INCH_M;
        assert_eq!(at(0.0), 0.0);
        // A third of the way along, 1/9 (6 - 4/3 + 1/9) / 3 of what the end does.
        assert!((at(24.0) - 1.01376 * (43.0 / 9.0 / 27.0)).abs() < 1e-5);
        assert!(at(48.0) < at(72.0));
    }

    /// 5/384 instead of 1/8: 5/48.
    #[test]
    fn what_is_held_at_both_ends_sags_little() {
        let held = Overhang {
            is_held: true,
            ..free(Stiffness::BOARD, 72.0)
        };
        let middle = held.sag(0.0, f64::INFINITY) / INCH_M;
        assert!((middle - 1.01376 * 5.0 / 48.0).abs() < 1e-5, "{middle}");
        let (near, far) = (10.0 * INCH_M, 20.0 * INCH_M);
        assert!(held.sag(near, far) < middle * INCH_M);
        let mirrored = held.sag(held.length - far, held.length - near);
        assert!((held.sag(near, far) - mirrored).abs() < 1e-12);
    }
}
