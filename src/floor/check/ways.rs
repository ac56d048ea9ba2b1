//! The rule that everybody gets where the work is.

use super::{Missing, Scene};
use crate::floor::finding::{Fact, Finding, FindingLevel, FindingSubject, RuleId};
use crate::floor::{Going, Point};
use crate::shop::{Choice, Item, PlaceId, ProjectId};

/// Where people walk around things, a way leads to every place that the work needs. That there is room to stand is
/// another rule's matter.
pub fn reachable_tell(scene: &Scene<'_>) -> Vec<Finding> {
    if scene.site.going != Going::Around {
        return Vec::new();
    }
    let used = with_room(scene);
    let cut_off = cut_off(scene, &used);
    if cut_off.is_empty() {
        return by_cart(scene, used).into_iter().collect();
    }
    let body = scene.site.body_width;
    let finding = |CutOffGroup { from, to, others }| {
        let choke = scene.plan.choke_point(from, to);
        let choke = choke.map(|choke| (choke, scene.between(choke.between, choke.at)));
        let fact = Fact::CutOff {
            body,
            others,
            choke,
        };
        let subject = FindingSubject::Place(to);
        let finding = Finding::new(FindingLevel::Fault, RuleId::Reachable, subject, fact)
            .other(FindingSubject::Place(from));
        match choke {
            Some((choke, _)) => finding.at(choke.at).missing(body - choke.width),
            None => finding,
        }
    };
    cut_off.into_iter().map(finding).collect()
}

pub fn reachable_judge(scene: &Scene<'_>) -> Missing {
    if scene.site.going != Going::Around {
        return Missing::default();
    }
    let used = with_room(scene);
    let mut missing = Missing::default();
    for _ in cut_off(scene, &used) {
        missing.add(FindingLevel::Fault, scene.site.body_width);
    }
    if missing.faults == 0 && by_cart(scene, used).is_some() {
        missing.add(FindingLevel::Warning, 0.0);
    }
    missing
}

/// Places to which somebody goes and where one can stand: one without room is told of already, and cuts off nobody
/// else.
fn with_room(scene: &Scene<'_>) -> Vec<PlaceId> {
    let used = scene.used().filter(|&place| {
        let standing = scene.plan.standing(place);
        standing.is_some_and(|standing| scene.person().is_free(standing).is_ok())
    });
    used.collect()
}

/// Places between which people get, and to which nobody gets from the first place of all.
struct CutOffGroup {
    from: PlaceId,
    to: PlaceId,
    /// Those behind `to`, in their order.
    others: Vec<PlaceId>,
}

/// Places that cannot be reached from the first one, together where they reach one another: whoever is cut off is cut off
/// from everybody else, and what opens a way to one opens it to all.
fn cut_off(scene: &Scene<'_>, used: &[PlaceId]) -> Vec<CutOffGroup> {
    if scene.are_joined(used) {
        return Vec::new();
    }
    let standing = used.iter().filter_map(|&place| scene.plan.standing(place));
    let standing: Vec<Point> = standing.collect();
    let reached = scene.person().components(&standing);
    let mut groups: Vec<(_, CutOffGroup)> = Vec::new();
    for (&to, at) in used.iter().zip(&reached).skip(1) {
        if *at == reached[0] {
            continue;
        }
        match groups.iter_mut().find(|(known, _)| *known == at) {
            Some((_, group)) => group.others.push(to),
            None => {
                let group = CutOffGroup {
                    from: used[0],
                    to,
                    others: Vec::new(),
                };
                groups.push((at, group));
            }
        }
    }
    groups.into_iter().map(|(_, group)| group).collect()
}

/// The places to which lots are pushed that ask for a cart, where it does not get though a person does: one finding.
fn by_cart(scene: &Scene<'_>, mut used: Vec<PlaceId>) -> Option<Finding> {
    let shop = scene.shop();
    let carts = shop.handling.carts.as_ref()?;
    let asks = |project: ProjectId, item: &Item| {
        let lines = shop.orders.iter();
        let together = lines
            .filter(|line| line.project == project)
            .map(|line| line.together);
        let lot = item.largest_lot(item.pieces.saturating_mul(together.max()?));
        (lot >= carts.at_least).then_some(())
    };
    let mut pushed = Vec::new();
    for (id, project) in shop.projects.enumerate() {
        for item in project.items.iter().filter(|item| asks(id, item).is_some()) {
            pushed.extend(project.begins_at(item));
            pushed.extend(item.deliver_to);
            let choices = item.route.iter().flat_map(|step| &step.choices);
            pushed.extend(choices.map(Choice::place));
        }
    }
    used.retain(|&place| pushed.contains(&place) || place == carts.stored_at);
    let beyond: Vec<PlaceId> = scene.plan.beyond_carts(carts.stored_at, &used).collect();
    let (&first, others) = beyond.split_first()?;
    let fact = Fact::CartCutOff {
        cart: scene.site.cart_width,
        others: others.len(),
    };
    let subject = FindingSubject::Place(first);
    let finding = Finding::new(FindingLevel::Warning, RuleId::Reachable, subject, fact);
    Some(finding.other(FindingSubject::Place(carts.stored_at)))
}
