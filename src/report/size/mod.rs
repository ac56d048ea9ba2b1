//! What a shop that has nothing yet would need, in words: the answer first, then what it assumes.

mod dust;
mod heat;
mod light;
mod power;

pub use dust::{DustQuestion, dust};
pub use heat::{HeatQuestion, heat};
pub use light::{LightQuestion, light};
pub use power::{PowerQuestion, power};

use super::lines::Line;

fn line(heading: &'static str, says: impl Into<String>) -> Line {
    Line {
        heading,
        says: says.into(),
        is_fault: false,
    }
}

/// Likewise of something that does not fit.
fn fault(heading: &'static str, says: String) -> Line {
    Line {
        is_fault: true,
        ..line(heading, says)
    }
}

/// The headings of what an answer assumes, and of what must not be taken from it.
const ASSUMED: &str = "Assumed";
const CAUTION: &str = "Caution";
