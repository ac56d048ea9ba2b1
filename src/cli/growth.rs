//! `shopstride improve --fits` and `--buy`: where something would stand that is not there yet.

use super::improve_options::ImproveOptions;
use super::present_layout::Present;
use super::scenario::{ScenarioSource, load_source, source, stuck};
use super::wish::all_said;
use super::{Refusal, output, scenario as scenarios};
use crate::experiment::{Candidate, Study, Units, flow_if_placed, run};
use crate::floor::{Placement, Plan, Point, Pose, machine_capacities};
use crate::report::check::stock_sizes;
use crate::report::placements::{GrownPlace, GrownStation, GrowthAnswer};
use crate::report::write_atomically;
use crate::scenario::new_shop::{SaidStation, one_more, read_stations, unused};
use crate::scenario::{self, TextChange, changed, place_yaml, text_at, yaml_name};
use crate::shop::StationId;

/// Says where the stations fit that somebody names; whether all of them do.
pub fn grow(options: &ImproveOptions, said: &str, is_played: bool) -> Result<bool, Refusal> {
    let source = source(options.scenario.as_deref())?;
    let study = load_source(&source, options.quiet, scenario::load_to_check)?;
    let index = scenarios::candidate(&study, options.layout.as_deref(), "--layout")?;
    let now = Present::of(&study, index, &options.fixed)?;
    let wanted = read_stations(said).map_err(all_said)?;
    let layout = now.candidate.name.clone();
    let mut text = ScenarioSource {
        name: format!("{} with what is to come", source.name),
        text: source.text.clone(),
    };
    let mut stations: Vec<GrownStation> = Vec::new();
    for said in wanted {
        let (station, with) = placed(&text, &layout, &said, &options.fixed)?;
        stations.push(station);
        if let Some(with) = with {
            text.text = with.into_bytes();
        }
    }
    let fits = stations.iter().all(GrownStation::fits);
    let grown = match is_played && stations.iter().any(|station| station.place.is_some()) {
        true => Some(load_source(&text, true, scenario::load)?),
        false => None,
    };
    let played = grown.map(|grown| {
        let with = candidate(&grown, &layout)?.clone();
        let both = Study {
            candidates: vec![now.candidate.clone(), with],
            left_out: Vec::new(),
            ..study.clone()
        };
        run(&both, 0, &|_| ()).map_err(|failure| stuck(&failure))
    });
    let played = played.transpose()?;
    let answer = GrowthAnswer {
        layout: &layout,
        units: study.units,
        stations: &stations,
        played: played.as_ref(),
        orders_a_year: now.shop().prices.orders_a_year,
    };
    let is_told = !output::is_standard_output(&options.json);
    if is_told {
        output::print_answer(&answer.told(), &answer.yaml())?;
    }
    if let Some(file) = &options.json {
        let json = format!("{:#}\n", answer.json());
        output::write_or_print(file, &json, options.quiet)
            .map_err(|refusal| refusal.after_answer(is_told))?;
    }
    if let Some(file) = options.write.as_ref().filter(|_| fits) {
        load_source(&text, true, scenario::load_to_check)?;
        write_atomically(file, &text.text).map_err(|error| output::cannot_write(file, &error))?;
        output::note(options.quiet, &format!("Written: {}", file.display()));
    }
    Ok(fits)
}

fn candidate<'s>(study: &'s Study, layout: &str) -> Result<&'s Candidate, Refusal> {
    let mut candidates = study.candidates.iter();
    let found = candidates.find(|candidate| candidate.name == layout);
    found.ok_or_else(|| {
        Refusal::because(format!("`{layout}` is not as it was with what is to come"))
    })
}

/// Where a station would stand, and the text with it; no text where it finds no place.
fn placed(
    text: &ScenarioSource,
    layout: &str,
    said: &SaidStation,
    fixed: &[String],
) -> Result<(GrownStation, Option<String>), Refusal> {
    let before = load_source(text, true, scenario::load_to_check)?;
    let of_before = candidate(&before, layout)?;
    let name = unused(&said.name, |name| {
        let shop = &of_before.shop;
        let mut stations = shop.stations.iter();
        stations.any(|known| known.name == name) || shop.doors.iter().any(|known| known == name)
    });
    let middle = middle(of_before.plan.as_ref());
    let written = String::from_utf8_lossy(&text.text).into_owned();
    let others = other_roots(&written, &before, layout);
    let at = |places: &[(String, String, Pose)]| {
        let changes = changes((&name, said.kind.name), before.units, places);
        changed(&written, &changes).ok_or_else(|| {
            Refusal::with_hint(
                format!("{}: no place was found to add `{name}` to", text.name),
                "write `stations:` and the layout with one entry below the other",
            )
        })
    };
    let layouts = others.iter().map(String::as_str).chain([layout]);
    let in_the_middle: Vec<(String, String, Pose)> = layouts
        .map(|layout| (layout.to_owned(), name.clone(), middle))
        .collect();
    let trial = ScenarioSource {
        name: text.name.clone(),
        text: at(&in_the_middle)?.into_bytes(),
    };
    let study = load_source(&trial, true, scenario::load_to_check)?;
    let with = candidate(&study, layout)?;
    let index = study
        .candidates
        .iter()
        .position(|other| other.name == layout);
    let now = Present::of(&study, index.unwrap_or_default(), fixed)?;
    let stations = with.shop.stations.enumerate();
    let mut ids = stations.filter(|(_, station)| station.name == name);
    let station = ids.next().map(|(id, _)| id);
    let found = station.and_then(|station| {
        let (plan, moved) = with_place(&study, with, station, &now)?;
        Some((station, plan, moved))
    });
    let Some((station, plan, moved)) = found else {
        let none = GrownStation {
            name,
            kind: said.kind.name,
            place: None,
        };
        return Ok((none, None));
    };
    let places = moved.into_iter().chain([station]).filter_map(|id| {
        let placed = plan.placements[id].as_ref()?;
        let name = with.shop.stations[id].name.clone();
        Some((layout.to_owned(), name, placed.pose()))
    });
    // Where it finds no place in another layout it is in the middle, for `check` to tell.
    let elsewhere = others.iter().map(|other| {
        let there = study.candidates.iter().find(|known| known.name == *other);
        let pose = there.and_then(|there| one_more(&study, there, station));
        (other.clone(), name.clone(), pose.unwrap_or(middle))
    });
    let places: Vec<(String, String, Pose)> = elsewhere.chain(places).collect();
    let text = at(&places)?;
    let takes = machine_capacities(&now.site, &plan, stock_sizes(study.units));
    let place = GrownPlace {
        shop: with.shop.clone(),
        takes: takes.into_iter().find(|takes| takes.station == station),
        plan,
        station,
        moved,
    };
    let grown = GrownStation {
        name,
        kind: said.kind.name,
        place: Some(place),
    };
    Ok((grown, Some(text)))
}

/// The layouts that place stations by themselves, but for one.
fn other_roots(text: &str, study: &Study, layout: &str) -> Vec<String> {
    let all = study.candidates.iter().chain(&study.left_out);
    let mut others: Vec<String> = all.map(|other| other.layout.clone()).collect();
    others.sort_unstable();
    others.dedup();
    others.retain(|other| {
        let has = |key| text_at(text, &["layouts", other, key]).is_some();
        other != layout && has("at") && !has("like")
    });
    others
}

/// The station, and where what stands in each layout.
fn changes(
    (name, kind): (&str, &str),
    units: Units,
    places: &[(String, String, Pose)],
) -> Vec<TextChange> {
    let station = TextChange::set(
        &["stations", name],
        format!("{{kind: {}}}", yaml_name(kind)),
    );
    let places = places.iter().map(|(layout, station, pose)| {
        TextChange::set(
            &["layouts", layout, "at", station],
            place_yaml(*pose, units),
        )
    });
    [station].into_iter().chain(places).collect()
}

/// In the middle of the room, where it is only written to be read.
fn middle(plan: Option<&Plan>) -> Pose {
    let room = plan.and_then(|plan| plan.room.as_ref());
    let (low, high) = room.map_or((Point::ORIGIN, Point::ORIGIN), |room| room.outline.bounds());
    Pose {
        at: (low + high) * 0.5,
        turn: 0.0,
    }
}

/// The plan with the station where it fits beside all others; or else, of all ways to move one of the others, with that
/// in which people walk least.
fn with_place(
    study: &Study,
    with: &Candidate,
    station: StationId,
    now: &Present<'_>,
) -> Option<(Plan, Option<StationId>)> {
    let plan = with.plan.as_ref()?;
    let stood = |plan: &Plan, id: StationId| {
        let like = plan.placements[id]?;
        let candidate = Candidate {
            plan: Some(plan.clone()),
            ..with.clone()
        };
        let pose = one_more(study, &candidate, id)?;
        let mut plan = plan.clone();
        plan.placements[id] = Some(Placement {
            at: pose.at,
            turn: pose.turn,
            ..like
        });
        Some(plan)
    };
    if let Some(plan) = stood(plan, station) {
        return Some((plan, None));
    }
    let mut without = plan.clone();
    without.placements[station] = None;
    let faults = |plan: &Plan| {
        let flow = flow_if_placed(study, with, &now.site, plan)?;
        let score = now.site.evaluate(plan, &flow);
        Some((score.missing.faults, score.metres))
    };
    let before = faults(&without).map_or(0, |(faults, _)| faults);
    let mut best: Option<(f64, Plan, StationId)> = None;
    for (other, placed) in plan.placements.enumerate() {
        let is_bound = now.groups.iter().any(|group| group.contains(&other));
        let Some(there) = placed.filter(|_| other != station && !now.stays(other) && !is_bound)
        else {
            continue;
        };
        let mut free = plan.clone();
        free.placements[other] = None;
        let Some(mut tried) = stood(&free, station) else {
            continue;
        };
        tried.placements[other] = Some(there);
        let Some(tried) = stood(&tried, other) else {
            continue;
        };
        let Some((after, metres)) = faults(&tried).filter(|(_, metres)| metres.is_finite()) else {
            continue;
        };
        let is_less = best.as_ref().is_none_or(|(least, ..)| metres < *least);
        if after <= before && is_less {
            best = Some((metres, tried, other));
        }
    }
    best.map(|(_, plan, moved)| (plan, Some(moved)))
}
