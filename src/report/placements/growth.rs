//! Where something would stand that is not there yet, in words and as data.

use serde_json::{Value, json};

use super::walls::{from_walls, in_words};
use crate::experiment::{CandidateFindings, Findings, Units};
use crate::floor::{MachineCapacity, Plan};
use crate::report::difference::{interval_in_words, is_shown};
use crate::report::figure::length_unit;
use crate::report::lines::Line;
use crate::report::sentence::capital;
use crate::report::tape::{Rounding, tape};
use crate::scenario::{place_yaml, yaml_name};
use crate::shop::{Shop, StationId};

/// A machine that is to come, and where it would stand.
pub struct GrownStation {
    pub name: String,
    pub kind: &'static str,
    /// Nothing where it finds no place.
    pub place: Option<GrownPlace>,
}

impl GrownStation {
    /// Whether it finds a place at which it can be worked with.
    pub fn fits(&self) -> bool {
        let place = self.place.as_ref();
        place.is_some_and(|place| !place.takes_nothing())
    }
}

/// A place that has been found.
pub struct GrownPlace {
    pub shop: std::sync::Arc<Shop>,
    /// With the new station, and what had to make room for it.
    pub plan: Plan,
    pub station: StationId,
    /// What else has to move.
    pub moved: Option<StationId>,
    /// What it takes there, if work is fed through it.
    pub takes: Option<MachineCapacity>,
}

/// What is known of things that are to come.
pub struct GrowthAnswer<'a> {
    pub layout: &'a str,
    pub units: Units,
    pub stations: &'a [GrownStation],
    /// The layout as it is, and with all of it; nothing where it was only asked whether it fits.
    pub played: Option<&'a Findings>,
    pub orders_a_year: Option<f64>,
}

const HOUR_S: f64 = 3600.0;

/// A change of less than this share of all walking is none for whoever walks.
const AS_MUCH: f64 = 0.005;

impl GrownPlace {
    /// Whether nothing can be fed through it there.
    pub fn takes_nothing(&self) -> bool {
        let boards = self.takes.as_ref().and_then(|takes| takes.board);
        boards.is_some_and(|length| length <= 0.0)
    }
}

impl GrowthAnswer<'_> {
    pub fn told(&self) -> Vec<Line> {
        let stations = self.stations.iter();
        let mut lines: Vec<Line> = stations
            .map(|station| Line {
                heading: match &station.place {
                    Some(place) if place.takes_nothing() => "Stands idle",
                    Some(_) => "Fits",
                    None => "No room",
                },
                says: self.station_in_words(station),
                is_fault: !station.fits(),
            })
            .collect();
        lines.extend(self.walking().map(|says| Line {
            heading: "Walking",
            says,
            is_fault: false,
        }));
        lines.push(Line {
            heading: "Mind",
            says: format!(
                "Its size is the usual one of its kind: measure the one that you buy. {}",
                crate::report::check::CAUTION
            ),
            is_fault: false,
        });
        lines
    }

    fn station_in_words(&self, station: &GrownStation) -> String {
        let what = match station.name == station.kind {
            true => station.name.clone(),
            false => format!("{} ({})", station.name, station.kind),
        };
        let what = capital(&what);
        let Some(place) = &station.place else {
            return format!(
                "{what} finds no place without a new fault in \"{}\", neither as everything stands nor with one other station moved.",
                self.layout
            );
        };
        let there = |station: StationId| match from_walls(&place.plan, station) {
            Some(from) => in_words(&from, self.units),
            None => "where the layout below has it".to_owned(),
        };
        let moved = place.moved.map(|moved| {
            let name = &place.shop.stations[moved].name;
            format!("if {name} moves to {}", there(moved))
        });
        let moved = moved.unwrap_or_else(|| "and nothing else moves".to_owned());
        let boards = place.takes.as_ref().and_then(|takes| takes.board);
        let takes = match boards {
            Some(length) if length <= 0.0 => " There it takes no boards at all.".to_owned(),
            Some(length) => format!(
                " There it takes boards to {}.",
                tape(self.units, length, Rounding::Down)
            ),
            None => String::new(),
        };
        format!(
            "{what}: {} in \"{}\", {moved}.{takes}",
            there(place.station),
            self.layout
        )
    }

    /// What it changes in a run, and in a year where it is known how much is built in one.
    fn walking(&self) -> Option<String> {
        let findings = self.played?;
        let unit = length_unit(self.units);
        let [was, is] = [findings.candidates.first()?, findings.candidates.get(1)?];
        let compared = findings.comparisons.first()?;
        let difference = &compared.walking.difference;
        let interval = interval_in_words(difference, unit, findings.confidence);
        let interval = interval.map_or_else(String::new, |interval| format!(" ({interval})"));
        let change = match is_shown(difference) {
            false => "no difference shown".to_owned(),
            true if difference.mean.abs() < AS_MUCH * was.walking.mean => {
                "about as much as now".to_owned()
            }
            true if difference.mean < 0.0 => {
                format!(
                    "{} less than now{interval}",
                    unit.with_unit(-difference.mean)
                )
            }
            true => format!(
                "{} more than now{interval}",
                unit.with_unit(difference.mean)
            ),
        };
        let walked = format!(
            "With all of it people walk {} in a run: {change}.",
            unit.with_unit(is.walking.mean)
        );
        let of_an_order = |found: &CandidateFindings| {
            (found.orders_done > 0.0).then(|| found.hands_on / found.orders_done)
        };
        let saved = of_an_order(was)
            .zip(of_an_order(is))
            .map(|(was, is)| was - is);
        let hours = saved.zip(self.orders_a_year).map(|(saved, orders)| {
            let hours = saved * orders / HOUR_S;
            match hours.abs() < 0.05 {
                true => " It saves no hands-on work in a year.".to_owned(),
                false if hours > 0.0 => format!(" It saves {hours:.1} h of hands-on work a year."),
                false => format!(" It takes {:.1} h more of hands-on work a year.", -hours),
            }
        });
        let hours = hours.unwrap_or_else(|| {
            " How many hours a year that is depends on `projects a year`, which the file does not say."
                .to_owned()
        });
        Some(format!("{walked}{hours}"))
    }

    /// Lines to paste: below `stations:`, and below the `at` of the layout.
    pub fn yaml(&self) -> String {
        let placed = self
            .stations
            .iter()
            .filter(|station| station.place.is_some());
        let placed: Vec<&GrownStation> = placed.collect();
        if placed.is_empty() {
            return String::new();
        }
        let mut text = "\n   To paste below `stations:`\n".to_owned();
        for station in &placed {
            text.push_str(&format!(
                "  {}: {{kind: {}}}\n",
                yaml_name(&station.name),
                yaml_name(station.kind)
            ));
        }
        text.push_str(&format!("   To paste below `at:` of \"{}\"\n", self.layout));
        for place in placed.iter().filter_map(|station| station.place.as_ref()) {
            for station in place.moved.into_iter().chain([place.station]) {
                if let Some(placed) = &place.plan.placements[station] {
                    text.push_str(&format!(
                        "      {}: {}\n",
                        yaml_name(&place.shop.stations[station].name),
                        place_yaml(placed.pose(), self.units)
                    ));
                }
            }
        }
        text
    }

    /// Every figure.
    pub fn json(&self) -> Value {
        let stations = self.stations.iter().map(|station| {
            let place = station.place.as_ref();
            let placed = place.and_then(|place| place.plan.placements[place.station].as_ref());
            json!({
                "name": station.name,
                "kind": station.kind,
                "fits": station.fits(),
                "at_m": placed.map(|placed| [placed.at.x, placed.at.y]),
                "turn": placed.map(|placed| placed.turn),
                "moved": place.and_then(|place| place.moved).zip(place)
                    .map(|(moved, place)| place.shop.stations[moved].name.clone()),
                "board_m": place.and_then(|place| place.takes.as_ref()?.board),
            })
        });
        let walking = self.played.and_then(|findings| {
            let difference = &findings.comparisons.first()?.walking.difference;
            Some(json!({
                "mean_m": difference.mean,
                "low_m": difference.low(),
                "high_m": difference.high(),
            }))
        });
        json!({
            "layout": self.layout,
            "stations": stations.collect::<Vec<Value>>(),
            "walks_more": walking,
        })
    }
}
