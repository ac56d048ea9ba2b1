//! Every part's route with the expected time of each operation and how it comes about, before anything is played.

use super::figure::{length_unit, mass, time_unit};
use super::wrap::{display_width, wrap};
use crate::experiment::{Candidate, Units};
use crate::floor::Manner;
use crate::random::Distribution;
use crate::scenario::printable_name;
use crate::shop::{
    Choice, GivenLevel, Item, ItemId, ItemKind, PartSource, PlaceId, Project, Shop, Step,
};
use crate::units::{Mass, Span};

/// The routes of all projects in one candidate. Expected values: true means (of a normal distribution more than is
/// written where negative draws are drawn again), at the first station of each step. No line is longer than so many
/// columns, unless a word is.
pub fn routes(candidate: &Candidate, units: Units, columns: usize) -> String {
    let mut text = String::new();
    let opening = format!(
        "Expected times in \"{}\": at the first station that does each step. The setup is counted once for each lot \
         here; in a run it is due only when the station last worked on something else. Figures are rounded one by one.",
        candidate.name
    );
    push_line(&mut text, &opening);
    for project in &candidate.shop.projects {
        text.push('\n');
        push_line(&mut text, &project.name);
        for item in &project.items {
            text.push_str(&route(candidate, project, item, units));
        }
    }
    in_columns(&text, columns)
}

/// Breaks lines that are too long, with what follows two columns further to the right than they begin.
fn in_columns(text: &str, columns: usize) -> String {
    let mut shown = String::new();
    for line in text.lines() {
        if display_width(line) <= columns {
            shown.push_str(line);
            shown.push('\n');
            continue;
        }
        let indent = line.len() - line.trim_start_matches(' ').len();
        let first = " ".repeat(indent);
        let others = match indent {
            0 => first.clone(),
            _ => " ".repeat(indent + 2),
        };
        for line in wrap(line, columns, &first, &others) {
            shown.push_str(&line);
            shown.push('\n');
        }
    }
    shown
}

/// Adds a line; a name that has several is shown on one.
fn push_line(text: &mut String, line: &str) {
    text.push_str(&printable_name(line));
    text.push('\n');
}

fn route(candidate: &Candidate, project: &Project, item: &Item, units: Units) -> String {
    let shop = &candidate.shop;
    let mut text = String::new();
    let about = what(shop, project, item, units);
    push_line(&mut text, &format!("  {}: {about}", item.name));
    let lots = item.lots(u64::from(item.pieces)) as u32;
    let pieces = item.largest_lot(item.pieces);
    let mut place = project.begins_at(item).first().copied();
    let mut work_time = 0.0;
    let mut cures = 0.0;
    for (index, step) in item.route.iter().enumerate() {
        let choice = &step.choices[0];
        let here = choice.place();
        let work = &choice.work;
        let of = |duration: &Option<Distribution>| {
            duration.as_ref().map_or(0.0, Distribution::true_mean)
        };
        let run = of(&work.per_lot) + f64::from(pieces) * (of(&work.per_piece) + work.by_size);
        let setup = of(&work.setup);
        let teardown = of(&work.teardown);
        let cure = work.cure.as_ref().map_or(0.0, |cure| cure.time.true_mean());
        work_time += (setup + run + teardown) * f64::from(work.people) * f64::from(lots);
        cures += cure;
        let head = format!(
            "    {}. {} at {}: {}",
            index + 1,
            shop.operations[work.operation],
            stations(shop, step),
            time_unit(setup + run + teardown).with_unit(setup + run + teardown),
        );
        push_line(&mut text, &head);
        let carried = carries(candidate, item.mass_at(step), (place, here), pieces, units);
        for line in explained(candidate, step, pieces).iter().chain(&carried) {
            push_line(&mut text, &format!("         {line}"));
        }
        place = Some(here);
    }
    if let Some(to) = item.deliver_to {
        let line = carries(candidate, item.finished_mass(), (place, to), pieces, units);
        let line = line.unwrap_or_else(|| "is there already".to_owned());
        let line = format!("    then to {}: {line}", shop.place_name(to));
        push_line(&mut text, &line);
    }
    // Hands-on time in the other commands is more: it includes carries and walks.
    let mut sum = format!("    work {}", time_unit(work_time).with_unit(work_time));
    if lots > 1 {
        sum.push_str(&format!(" for all {lots} batches"));
    }
    if cures > 0.0 {
        sum.push_str(&format!(", cures {}", time_unit(cures).with_unit(cures)));
    }
    text + &sum + "\n"
}

fn what(shop: &Shop, project: &Project, item: &Item, units: Units) -> String {
    let pieces = match item.pieces {
        1 => "1 piece".to_owned(),
        pieces => format!("{pieces} pieces"),
    };
    let written = |of_one: Mass| mass(units, of_one.kilograms());
    let at_first = item.mass.map(written);
    let at_last = item.finished_mass().map(written);
    let mass = match (at_first, at_last) {
        (Some(rough), Some(finished)) if rough != finished => {
            format!(", {rough} each before work and {finished} after it")
        }
        (Some(mass), _) => format!(", {mass} each"),
        _ => String::new(),
    };
    let names = |items: &[ItemId]| -> String {
        let names = (items.iter()).map(|item| project.items[item.index()].name.as_str());
        names.collect::<Vec<&str>>().join(", ")
    };
    let origin = match &item.kind {
        ItemKind::Material { lies_at, becomes } => {
            format!(
                "at {}, becomes {}",
                shop.place_name(*lies_at),
                names(becomes)
            )
        }
        ItemKind::Part {
            comes_from: PartSource::LiesAt(place),
        } => format!("material at {}", shop.place_name(*place)),
        ItemKind::Part {
            comes_from: PartSource::CutFrom(material),
        } => format!("cut from {}", names(&[*material])),
        ItemKind::Assembly { made_of } => format!("made of {}", names(made_of)),
    };
    let batch = item
        .batch
        .map_or_else(String::new, |batch| format!(", in batches of {batch}"));
    format!("{pieces}{mass}{batch}, {origin}")
}

fn stations(shop: &Shop, step: &Step) -> String {
    let names: Vec<&str> = step
        .choices
        .iter()
        .map(|choice| shop.stations[choice.station].name.as_str())
        .collect();
    names.join(" or ")
}

/// How the time of a step comes about, one line a reason.
fn explained(candidate: &Candidate, step: &Step, pieces: u32) -> Vec<String> {
    let shop = &candidate.shop;
    let Choice {
        work,
        sources: given,
        ..
    } = &step.choices[0];
    let mut lines = Vec::new();
    let mut once = |what: &str, duration: &Option<Distribution>, level: GivenLevel| {
        if let Some(duration) = duration {
            lines.push(format!("{what} {}{}", shown(duration), typical(level)));
        }
    };
    once("setup", &work.setup, given.setup);
    once("per lot", &work.per_lot, given.per_lot);
    once("teardown", &work.teardown, given.teardown);
    if let Some(per_piece) = &work.per_piece {
        let all = per_piece.true_mean() * f64::from(pieces);
        lines.push(format!(
            "per piece {} × {pieces} = {}{}",
            shown(per_piece),
            time_unit(all).with_unit(all),
            typical(given.per_piece)
        ));
    }
    let by_size = [
        (given.feed_speed, given.feed),
        (given.area_rate, given.surface),
    ];
    let levels = by_size.into_iter().filter(|&(rate, _)| rate > 0.0);
    for (reason, (_, level)) in given.by_size_explained.iter().zip(levels) {
        let each = match pieces {
            1 => String::new(),
            _ => format!(", for each of {pieces}"),
        };
        lines.push(format!("{reason}{each}{}", typical(level)));
    }
    if let Some(setting) = step.setting {
        lines.push(format!("set to {}", shop.settings[setting]));
    }
    match work.people {
        0 => lines.push("the station works alone".to_owned()),
        1 => {}
        people => lines.push(format!("{people} people")),
    }
    for &(gear, count) in &work.gear {
        let count = count.of(pieces);
        lines.push(format!("takes {count} {}", shop.gear[gear].name));
    }
    if let Some(from) = work.fetch_from {
        lines.push(format!(
            "something is fetched from {} first",
            shop.place_name(from)
        ));
    }
    if let Some(catching) = work.catches {
        let at = shop.place_name(catching.at);
        lines.push(match work.people {
            1 => {
                let passes = catching.passes * pieces;
                let each = walks_around(candidate, step.choices[0].place(), catching.at);
                let each = time_unit(each.seconds()).with_unit(each.seconds());
                format!(
                    "somebody walks to {at} and brings back what has come out after each pass: {passes} × {each}"
                )
            }
            _ => format!("a helper at {at} takes what comes out"),
        });
    }
    if let Some(open) = work.open_time {
        let open = time_unit(open).with_unit(open);
        lines.push(format!("to be done within {open}"));
    }
    if let Some(cure) = &work.cure {
        let time = shown(&cure.time);
        lines.push(format!("then cures for {time}{}", typical(given.cure)));
    }
    if work.spoils > 0.0 {
        lines.push(format!(
            "{} of the pieces are spoiled",
            super::figure::percent(work.spoils)
        ));
    }
    lines
}

/// Said behind a time that nobody has given.
fn typical(level: GivenLevel) -> &'static str {
    match level {
        GivenLevel::Kind => ", typical",
        _ => "",
    }
}

fn shown(duration: &Distribution) -> String {
    let mean = duration.true_mean();
    let varies = if duration.is_fixed() {
        ""
    } else {
        " on average"
    };
    format!("{}{varies}", time_unit(mean).with_unit(mean))
}

/// What it takes to walk around a machine and bring back what has come out of it.
fn walks_around(candidate: &Candidate, here: PlaceId, there: PlaceId) -> Span {
    let handling = &candidate.shop.handling;
    let crew = candidate
        .shop
        .crew
        .iter()
        .map(|person| person.walking_speed);
    let on_foot = crew.reduce(|one, other| if other > one { other } else { one });
    let distance = |manner, from, to| candidate.walks.distance(manner, from, to);
    let there_empty = distance(Manner::Empty, here, there);
    let back = distance(Manner::Carrying, there, here);
    on_foot.map_or(Span::ZERO, |speed| speed.time_for(there_empty))
        + handling.pick_up
        + handling.loaded_speed.time_for(back)
        + handling.put_down
}

/// How the lot comes to the next place.
fn carries(
    candidate: &Candidate,
    mass: Option<Mass>,
    (from, to): (Option<PlaceId>, PlaceId),
    pieces: u32,
    units: Units,
) -> Option<String> {
    let shop = &candidate.shop;
    let Some(from) = from else {
        return Some("its inputs are brought here one after the other".to_owned());
    };
    if from == to {
        return None;
    }
    let distance = |manner: Manner| candidate.walks.distance(manner, from, to);
    let length = |manner: Manner| length_unit(units).with_unit(distance(manner).metres());
    let start = shop.place_name(from);
    if let Some(carts) = &shop.handling.carts
        && pieces >= carts.at_least
    {
        let trips = pieces.div_ceil(carts.pieces);
        return Some(format!(
            "{trips} by cart from {start}, {}, if a cart is free",
            length(Manner::Pushing)
        ));
    }
    let trips = pieces.div_ceil(shop.handling.carry(mass));
    let each = shop
        .handling
        .loaded_speed
        .time_for(distance(Manner::Carrying))
        + shop.handling.pick_up
        + shop.handling.put_down;
    let carries = if trips == 1 {
        "1 carry".to_owned()
    } else {
        format!("{trips} carries")
    };
    let takes = time_unit(each.seconds()).with_unit(each.seconds());
    let length = length(Manner::Carrying);
    Some(format!("{carries} from {start}, {length}, {takes} each"))
}
