//! Gaps on which walking hangs, as data.

use serde_json::{Value, json};

use crate::experiment::{Candidate, Findings, near_gaps};
use crate::floor::Obstacle;

/// Of all candidates, in their order: lengths in metres, walking in a replication.
pub fn json(candidates: &[Candidate], findings: &Findings) -> Value {
    let of = candidates.iter().zip(&findings.candidates);
    let gaps = of.flat_map(|(candidate, found)| {
        let gaps = near_gaps(candidate, &found.legs).into_iter();
        gaps.map(|gap| {
            let body = candidate.plan.as_ref().map(|plan| plan.body_width);
            let place = |place| candidate.shop.place_name(place);
            json!({
                "layout": candidate.name,
                "between": gap.between.map(|side| name(candidate, side)),
                "width_m": gap.width,
                "person_m": body,
                "open": body.map(|body| gap.is_open(body)),
                "walking_m": gap.metres,
                "walking_share": gap.share,
                "only_way": gap.only_way.map(|(from, to)| [place(from), place(to)]),
            })
        })
    });
    gaps.collect()
}

fn name(candidate: &Candidate, side: Obstacle) -> &str {
    let room = candidate.plan.as_ref().and_then(|plan| plan.room.as_ref());
    match side {
        Obstacle::Station(station) => &candidate.shop.stations[station].name,
        Obstacle::Thing(thing) => room.map_or("", |room| &room.blocked[thing].name),
        Obstacle::Wall => "wall",
    }
}
