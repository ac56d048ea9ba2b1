//! The rule that everybody gets where the work is.

use super::finding::{metres, wording};
use super::{Finding, Level, Scene};
use crate::floor::{Going, NoWay, Squeeze};
use crate::shop::{ItemKind, PlaceId};

/// Where people walk around things, a way leads to every place that the work needs. That there is room to stand is
/// another rule's matter.
pub fn reachable(scene: &Scene<'_>) -> Vec<Finding> {
    if scene.plan.going != Going::Around {
        return Vec::new();
    }
    let mut used = needed(scene);
    // A place without room to stand is told of already, and cuts off nobody else.
    let ground = scene.plan.ground(scene.plan.body_width / 2.0);
    used.retain(|&place| {
        let standing = scene.plan.standing(place);
        standing.is_some_and(|standing| ground.is_free(standing).is_ok())
    });
    let Err(wrong) = scene.plan.walks(&used, false) else {
        return Vec::new();
    };
    let cut_off = wrong.into_iter().filter_map(|wrong| match wrong {
        NoWay::CutOff { from, to } => Some((from, to)),
        NoWay::NoRoom { .. } => None,
    });
    let finding = |(from, to): (PlaceId, PlaceId)| {
        let squeeze = scene.plan.squeeze(from, to);
        let (from, to) = (scene.place_name(from), scene.place_name(to));
        let wanted = scene.plan.body_width;
        let says = wording![format!("nobody gets from {from} to {to}: ")];
        let cut_off = |says| Finding::new(Level::Fault, "reachable", to, says).other(from);
        match squeeze {
            None => cut_off(says.and(wording!["there is no way at all"]))
                .help(wording!["move what closes the way"]),
            Some(Squeeze { width, at, between }) => cut_off(says.and(wording![
                "the widest way is ",
                metres(width),
                format!(" wide {}, and a person takes ", scene.between(between, at)),
                metres(wanted)
            ]))
            .at(at)
            .missing(wanted - width)
            .figure("width_m", width)
            .help(wording![
                "widen the gap by ",
                metres(wanted - width),
                ", or open another way"
            ]),
        }
    };
    cut_off.map(finding).collect()
}

/// Places that somebody has to go to, each once, that the layout places.
fn needed(scene: &Scene<'_>) -> Vec<PlaceId> {
    let shop = scene.shop;
    let mut places: Vec<PlaceId> = Vec::new();
    for item in shop.projects.iter().flat_map(|project| &project.items) {
        if let ItemKind::Part { material_at } = &item.kind {
            places.push(*material_at);
        }
        places.extend(item.deliver_to);
        let choices = item.route.iter().flat_map(|step| &step.choices);
        places.extend(choices.map(|choice| PlaceId::from(choice.station)));
    }
    places.extend(shop.crew.iter().map(|person| person.starts_at));
    places.extend(shop.gear.iter().filter_map(|gear| gear.stored_at));
    places.sort();
    places.dedup();
    places.retain(|&place| scene.plan.standing(place).is_some());
    places
}
