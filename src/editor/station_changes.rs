//! Stations that come and go.

use super::build_plan::BuildPlan;
use super::judged::LoadedText;
use crate::experiment::Candidate;
use crate::floor::{Placement, Point, Pose};
use crate::scenario::kinds::StationKind;
use crate::scenario::new_shop::{complaints_in_words, one_more, read_stations, unused};
use crate::scenario::{TextChange, changed, place_yaml, printable_name, text_at, yaml_name};
use crate::shop::StationId;

/// What a text is told that is written so that nothing can be put into it.
pub const BY_HAND: &str =
    "The file is written in a way that only its author can change this: change it by hand.";

/// Stations of kinds that somebody names, each where it fits in every layout that says where things stand.
///
/// # Errors
/// What is no kind of station, and what may be meant.
pub fn added(from: &LoadedText, said: &str) -> Result<BuildPlan, String> {
    let wanted = read_stations(said).map_err(|wrong| complaints_in_words(&wrong))?;
    let mut names: Vec<String> = places(from);
    let mut stations: Vec<(String, &'static StationKind)> = Vec::new();
    for station in wanted {
        let name = unused(&station.name, |name| {
            names.iter().any(|known| known == name)
        });
        names.push(name.clone());
        stations.push((name, station.kind));
    }
    let layouts = roots(from);
    let middle = middle(from);
    let in_the_middle: Vec<PlacedIn> = (layouts.iter())
        .flat_map(|layout| stations.iter().map(move |(name, _)| (layout, name)))
        .map(|(layout, name)| (layout.clone(), name.clone(), middle))
        .collect();
    let first = changes(from, &stations, &in_the_middle);
    let text = changed(&from.text, &first).ok_or(BY_HAND)?;
    let tried = LoadedText::load("the shop with it", text.as_bytes())?;
    let mut placed: Vec<PlacedIn> = Vec::new();
    let mut said: Vec<String> = Vec::new();
    for layout in &layouts {
        let candidate = tried.layout(layout).ok_or(BY_HAND)?;
        for (name, pose) in fitted(&tried, candidate, &stations) {
            if pose.is_none() {
                said.push(format!(
                    "{} finds no place without a fault in \"{}\": it is in the middle for now.",
                    printable_name(&name),
                    printable_name(layout)
                ));
            }
            placed.push((layout.clone(), name, pose.unwrap_or(middle)));
        }
    }
    Ok(BuildPlan {
        changes: changes(from, &stations, &placed),
        said,
    })
}

/// A layout, a station, and where it stands.
type PlacedIn = (String, String, Pose);

fn changes(
    from: &LoadedText,
    stations: &[(String, &'static StationKind)],
    placed: &[PlacedIn],
) -> Vec<TextChange> {
    let units = from.study.units;
    let stations = stations.iter().map(|(name, kind)| {
        let kind = format!("{{kind: {}}}", yaml_name(kind.name));
        TextChange::set(&["stations", name], kind)
    });
    let placed = placed.iter().map(|(layout, name, pose)| {
        TextChange::set(&["layouts", layout, "at", name], place_yaml(*pose, units))
    });
    stations.chain(placed).collect()
}

/// Where each of the new stations fits beside all that stands and those before it.
fn fitted(
    tried: &LoadedText,
    candidate: &Candidate,
    stations: &[(String, &'static StationKind)],
) -> Vec<(String, Option<Pose>)> {
    let mut candidate = candidate.clone();
    let ids: Vec<Option<StationId>> = (stations.iter())
        .map(|(name, _)| {
            let mut known = candidate.shop.stations.enumerate();
            known
                .find(|(_, station)| station.name == *name)
                .map(|(id, _)| id)
        })
        .collect();
    let Some(mut plan) = candidate.plan.clone() else {
        return Vec::new();
    };
    let like: Vec<Option<Placement>> = (ids.iter())
        .map(|id| id.and_then(|id| plan.placements[id].take()))
        .collect();
    let mut all = Vec::new();
    for (((name, _), id), like) in stations.iter().zip(ids).zip(like) {
        let (Some(id), Some(like)) = (id, like) else {
            all.push((name.clone(), None));
            continue;
        };
        plan.placements[id] = Some(like);
        candidate.plan = Some(plan.clone());
        let pose = one_more(&tried.study, &candidate, id);
        let stands = pose.map(|pose| Placement {
            at: pose.at,
            turn: pose.turn,
            ..like
        });
        plan.placements[id] = stands;
        all.push((name.clone(), pose));
    }
    all
}

/// A station out of the shop and of all layouts.
pub fn removed(from: &LoadedText, station: &str) -> Vec<TextChange> {
    let layouts = all_layouts(from);
    let placed = layouts
        .iter()
        .map(|layout| ["layouts", layout, "at", station]);
    let placed = placed.filter(|keys| text_at(&from.text, keys).is_some());
    let placed = placed.map(|keys| TextChange::remove(&keys));
    let whole = TextChange::remove(&["stations", station]);
    placed.chain([whole]).collect()
}

/// The names of all layouts, whatever they say.
fn all_layouts(from: &LoadedText) -> Vec<String> {
    let all = from.study.candidates.iter().chain(&from.study.left_out);
    let mut names: Vec<String> = all.map(|candidate| candidate.layout.clone()).collect();
    names.sort();
    names.dedup();
    names
}

/// The layouts that place stations by themselves, and not as another one does.
fn roots(from: &LoadedText) -> Vec<String> {
    let mut all = all_layouts(from);
    all.retain(|layout| {
        let has = |key| text_at(&from.text, &["layouts", layout, key]).is_some();
        has("at") && !has("like")
    });
    all
}

/// What stations and doors are called: both are places.
pub fn places(from: &LoadedText) -> Vec<String> {
    let all = from.study.candidates.iter();
    let names = all.flat_map(|candidate| {
        let stations = candidate
            .shop
            .stations
            .iter()
            .map(|station| station.name.clone());
        let room = candidate.plan.as_ref().and_then(|plan| plan.room.as_ref());
        let doors = room.into_iter().flat_map(|room| &room.doors);
        stations.chain(doors.map(|door| door.name.clone()))
    });
    names.collect()
}

/// In the middle of the room.
fn middle(from: &LoadedText) -> Pose {
    let mut plans = from
        .layouts()
        .filter_map(|candidate| candidate.plan.as_ref());
    let room = plans.find_map(|plan| plan.room.as_ref());
    let corners = room.map_or(&[][..], |room| room.outline.corners());
    let sum = corners
        .iter()
        .fold(Point::ORIGIN, |sum, &corner| sum + corner);
    let at = sum * (1.0 / corners.len().max(1) as f64);
    Pose { at, turn: 0.0 }
}
