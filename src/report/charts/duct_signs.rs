//! The signs of ducts on a plan: pipes, hoses and ports.

use super::canvas::{Area, Canvas};
use super::frame::Sign;
use super::style::{BLACK, BLUE, Colour, EDGE, ORANGE, VERMILLION, WHITE};
use crate::services::air::{Conveying, Supply};

/// Pipes are at least so wide in the picture.
pub const THINNEST: f64 = 3.0;
const UNUSED: [f64; 2] = [3.0, 3.0];

/// What a legend explains.
pub fn explained() -> [(Sign<'static>, &'static str); 7] {
    [
        (
            &|canvas, area| pipe_sign(canvas, area, Some(Conveying::Conveys)),
            "chips are carried",
        ),
        (
            &|canvas, area| pipe_sign(canvas, area, Some(Conveying::BeginsToSettle)),
            "begin to settle, or do not climb",
        ),
        (
            &|canvas, area| pipe_sign(canvas, area, Some(Conveying::Settles)),
            "settle",
        ),
        (&|canvas, area| pipe_sign(canvas, area, None), "never open"),
        (
            &|canvas, area| port(canvas, area.middle(), Some(Supply::Enough)),
            "port with enough air",
        ),
        (
            &|canvas, area| port(canvas, area.middle(), Some(Supply::Short)),
            "port short of what is good",
        ),
        (
            &|canvas, area| port(canvas, area.middle(), Some(Supply::Starved)),
            "starved port",
        ),
    ]
}

/// The colour of a section, and the dashes of the line in its middle, by which a print in black and white tells it.
fn look(state: Option<Conveying>) -> (Colour, &'static [f64]) {
    match state {
        Some(Conveying::Conveys) => (BLUE, &[]),
        Some(Conveying::BeginsToSettle | Conveying::DoesNotClimb) => (ORANGE, &[8.0, 4.0]),
        Some(Conveying::Settles) => (VERMILLION, &[2.0, 4.0]),
        Some(Conveying::Shut) | None => (EDGE, &[]),
    }
}

/// A pipe in its width, or a hose, which is dashed at its edges.
pub fn pipe(
    canvas: &mut Canvas,
    points: &[(f64, f64)],
    wide: f64,
    (state, is_hose): (Option<Conveying>, bool),
) {
    let (colour, dashes) = look(state);
    if matches!(state, None | Some(Conveying::Shut)) {
        canvas.dashed(points, colour, wide.min(THINNEST), &UNUSED);
        return;
    }
    match is_hose {
        true => canvas.dashed(points, colour, wide, &[wide, 2.0]),
        false => canvas.path(points, colour, wide),
    }
    canvas.dashed(points, WHITE, 1.25, dashes);
}

fn pipe_sign(canvas: &mut Canvas, area: Area, state: Option<Conveying>) {
    let (_, y) = area.middle();
    pipe(
        canvas,
        &[(area.x, y), (area.x + area.width, y)],
        6.0,
        (state, false),
    );
}

/// Half the size of the mark of a port.
pub const PORT: f64 = 5.5;

/// The mark of a port: filled where it has enough, a ring where it is short, a cross where it is starved.
pub fn port(canvas: &mut Canvas, at: (f64, f64), supply: Option<Supply>) {
    let (x, y) = at;
    canvas.disc(at, PORT + 1.0, WHITE);
    match supply {
        Some(Supply::Enough) => canvas.disc(at, PORT, BLUE),
        Some(Supply::Short) => {
            canvas.disc(at, PORT, ORANGE);
            canvas.disc(at, PORT - 2.5, WHITE);
        }
        Some(Supply::Starved) => {
            canvas.disc(at, PORT, BLACK);
            let arm = PORT * 0.5;
            for rise in [-arm, arm] {
                canvas.line((x - arm, y - rise), (x + arm, y + rise), WHITE, 1.75);
            }
        }
        None => {
            canvas.disc(at, PORT - 1.0, EDGE);
            canvas.disc(at, PORT - 2.0, WHITE);
        }
    }
}
