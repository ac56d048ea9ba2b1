//! How large a heater.

use crate::services::heat::{Envelope, HeatLoss, Reaches, UsualContents};

/// A room, and how warm it is to be; temperatures in °C.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomToHeat {
    pub envelope: Envelope,
    pub contents: UsualContents,
    pub outside: f64,
    pub inside: f64,
    /// Of air and all that stands in it, when warming up begins.
    pub start: f64,
    /// In s.
    pub warm_within: f64,
}

/// What a heater would have to give.
#[derive(Debug, Clone, PartialEq)]
pub struct HeaterProposal {
    /// In W/K.
    pub loss: HeatLoss,
    /// To keep it warm, in W.
    pub holds: f64,
    /// To warm the air in the time, and to keep it warm: no less than that, in W.
    pub warms: f64,
    /// What boards, glue and iron are then, in °C.
    pub mass_then: f64,
}

/// The heater that keeps a room warm, and the one that warms it in time.
pub fn propose_heater(room: &RoomToHeat) -> HeaterProposal {
    let loss = room.envelope.loss();
    let lumps = room.contents.lumps(loss.sum(), room.outside);
    let holds = (loss.sum() * (room.inside - room.outside)).max(0.0);
    let start = [room.start; 2];
    let is_in_time = |power: f64| match lumps.air_warms_to(start, room.inside, power) {
        Reaches::After(seconds) => seconds <= room.warm_within,
        Reaches::Never => false,
    };
    let warms = match is_in_time(holds) {
        true => holds,
        false => least_power(holds, &is_in_time),
    };
    let [_, mass_then] = lumps.after(start, warms, room.warm_within);
    HeaterProposal {
        loss,
        holds,
        warms,
        mass_then,
    }
}

/// The least power above one that is not enough.
fn least_power(too_little: f64, is_enough: &dyn Fn(f64) -> bool) -> f64 {
    const HALVINGS: u32 = 60;
    const DOUBLINGS: u32 = 60;
    let (mut low, mut high) = (too_little, too_little.max(100.0));
    for _ in 0..DOUBLINGS {
        if is_enough(high) {
            break;
        }
        (low, high) = (high, 2.0 * high);
    }
    for _ in 0..HALVINGS {
        let middle = (low + high) / 2.0;
        match is_enough(middle) {
            true => high = middle,
            false => low = middle,
        }
    }
    high
}
