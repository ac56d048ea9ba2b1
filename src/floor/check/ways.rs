//! The rule that everybody gets where the work is.

use super::finding::{metres, wording};
use super::{Finding, Level, Scene};
use crate::floor::{ChokePoint, Going, NoWay};
use crate::shop::{Item, ItemKind, PlaceId, ProjectId};

/// Where people walk around things, a way leads to every place that the work needs. That there is room to stand is
/// another rule's matter.
pub fn reachable(scene: &Scene<'_>) -> Vec<Finding> {
    if scene.plan.going != Going::Around {
        return Vec::new();
    }
    let mut used = scene.used();
    // A place without room to stand is told of already, and cuts off nobody else.
    let ground = scene.plan.ground(scene.plan.body_width / 2.0);
    used.retain(|&place| {
        let standing = scene.plan.standing(place);
        standing.is_some_and(|standing| ground.is_free(standing).is_ok())
    });
    let Err(wrong) = scene.plan.walks(&used, false) else {
        return by_cart(scene, used).into_iter().collect();
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
            Some(ChokePoint { width, at, between }) => cut_off(says.and(wording![
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

/// The places to which lots are pushed that ask for a cart, where it does not get though a person does: one finding.
fn by_cart(scene: &Scene<'_>, mut used: Vec<PlaceId>) -> Option<Finding> {
    let carts = scene.shop.handling.carts.as_ref()?;
    let asks = |project: ProjectId, item: &Item| {
        let lines = scene.shop.orders.iter();
        let together = lines
            .filter(|line| line.project == project)
            .map(|line| line.together);
        let pieces = u64::from(item.pieces) * u64::from(together.max()?);
        let lot = item.batch.map_or(pieces, |batch| pieces.min(batch.into()));
        (lot >= u64::from(carts.at_least)).then_some(())
    };
    let mut pushed = Vec::new();
    for (id, project) in scene.shop.projects.enumerate() {
        for item in project.items.iter().filter(|item| asks(id, item).is_some()) {
            if let ItemKind::Part { material_at } = &item.kind {
                pushed.push(*material_at);
            }
            pushed.extend(item.deliver_to);
            let choices = item.route.iter().flat_map(|step| &step.choices);
            pushed.extend(choices.map(|choice| PlaceId::from(choice.station)));
        }
    }
    used.retain(|&place| pushed.contains(&place) || place == carts.stored_at);
    let beyond: Vec<PlaceId> = scene.plan.beyond_carts(carts.stored_at, &used).collect();
    let (&first, others) = beyond.split_first()?;
    let others = match others.len() {
        0 => String::new(),
        1 => " and one other place".to_owned(),
        more => format!(" and {more} other places"),
    };
    let (kept, to) = (scene.place_name(carts.stored_at), scene.place_name(first));
    let says = wording![
        "a cart ",
        metres(scene.plan.cart_width),
        format!(" wide does not get from {kept} to {to}{others}, where lots go that ask for one")
    ];
    let finding = Finding::new(Level::Warning, "reachable", to, says).other(kept);
    Some(finding.help(wording![
        "widen the way, use a narrower cart, or let these lots be carried"
    ]))
}
