//! How many lamps, and where.

use super::{ASSUMED, CAUTION, line};
use crate::report::figure::fixed;
use crate::report::lines::Line;
use crate::report::measures::length;
use crate::report::sentence::counted;
use crate::report::tables;
use crate::report::tape::{Rounding, tape};
use crate::scenario::sizing::SizedRoom;
use crate::services::light::{LIGHT_LOSS, UTILISATION};
use crate::services::sizing::{LampProposal, RoomToLight};

/// What is asked for.
#[derive(Debug, Clone, Copy)]
pub struct LightQuestion {
    pub room: SizedRoom,
    pub asked: RoomToLight,
}

/// The answer in lines, and a table of places.
pub fn light(question: &LightQuestion, found: &LampProposal, width: u16) -> (Vec<Line>, String) {
    let units = question.room.units;
    let count = found.rows[0] * found.rows[1];
    let lumens = fixed(question.asked.lumens, 0);
    let wanted = fixed(question.asked.illuminance, 0);
    let rows = format!(
        "{} of {}",
        counted(found.rows[1] as usize, "row"),
        found.rows[0]
    );
    let mut lines = vec![line(
        "Lamps",
        format!(
            "{} of {lumens} lm in {rows}: {} lx in the mean at bench height ({wanted} lx wanted).",
            counted(count as usize, "lamp"),
            fixed(found.illuminance, 0),
        ),
    )];
    let needed = libm::ceil(found.needed - 1e-9);
    let says = match f64::from(count) > needed {
        true => format!(
            "The light alone would take {}; rows stand at most {} apart here, or it is dark between them.",
            fixed(needed, 0),
            length(units, found.widest),
        ),
        false => format!(
            "Rows stand no more than {} apart, as far as that is not dark between them.",
            length(units, found.widest)
        ),
    };
    lines.push(line("Rows", says));
    let reflects = match question.asked.surfaces {
        Some(_) => format!(
            "of all light {} % reaches the plane, by the surfaces that you gave",
            fixed(100.0 * found.utilisation, 0)
        ),
        None => format!(
            "{} % of all light reaches the plane (usual are 40 to 80 %, more in a bright room: --reflects)",
            fixed(100.0 * UTILISATION, 0)
        ),
    };
    let ceiling = match question.room.is_ceiling_guessed {
        true => format!("; a ceiling at {}", length(units, question.room.size[2])),
        false => String::new(),
    };
    lines.push(line(
        ASSUMED,
        format!(
            "A plane 36 in (91 cm) up; lamps that have aged and are dusty give {} % of their light; {reflects}{ceiling}. The mean says nothing of one's own shadow: a lamp at each machine mends that.",
            fixed(100.0 * LIGHT_LOSS, 0)
        ),
    ));
    lines.push(line(
        CAUTION,
        "Poor drivers flicker, and what turns may then seem to stand still. Wiring is an electrician's work.",
    ));
    let mut table = tables::table(
        &["lamp", "from the left wall", "from the front wall"],
        1,
        width,
    );
    for (number, place) in found.places.iter().enumerate() {
        let taped = place.map(|at| tape(units, at, Rounding::Nearest));
        table.add_row([(number + 1).to_string(), taped[0].clone(), taped[1].clone()]);
    }
    (lines, tables::text(table))
}
