//! Stations to given places, in words: the sum, whether it is the least, who goes where, and which pairs cost most.

use serde_json::{Map, Number, Value, json};

use super::figure::{fixed, grouped, number, percent};
use super::lines::Line;
use super::sentence::counted;
use super::tables;
use crate::improve::assignment::{AssignmentEnd, FoundAssignment};
use crate::scenario::given_trips::GivenTrips;

/// So many pairs are told of.
const MOST_PAIRS: usize = 5;

/// What was given, what was found, and with which seed.
#[derive(Debug, Clone, Copy)]
pub struct AssignmentAnswer<'a> {
    pub given: &'a GivenTrips,
    pub found: &'a FoundAssignment,
    pub seed: u64,
}

/// Two stations, and what goes on between them, both ways.
struct StationPair {
    stations: [usize; 2],
    trips: i128,
    cost: i128,
}

impl AssignmentAnswer<'_> {
    /// The answer in lines, and below them a table of stations and one of the pairs that cost most.
    pub fn told(&self, width: u16) -> (Vec<Line>, String) {
        let line = |heading, says| Line {
            heading,
            says,
            is_fault: false,
        };
        let mut lines = vec![
            line("Total", self.total()),
            line("Is it least?", self.certainty()),
        ];
        lines.extend(self.rounds().map(|says| line("Search", says)));
        lines.push(line("Counted", self.counted()));
        (
            lines,
            format!("\n{}{}", self.stations(width), self.pairs(width)),
        )
    }

    /// Every figure; the sum in the units of the two tables multiplied.
    pub fn json(&self) -> Value {
        let decimals = self.decimals();
        let mut assignment = Map::new();
        for (station, &place) in self.given.stations.iter().zip(&self.found.places) {
            assignment.insert(station.clone(), self.given.places[place].clone().into());
        }
        json!({
            "cost": exact(self.found.cost, decimals),
            "assignment": assignment,
            "proven": self.found.end == AssignmentEnd::Proved,
            "as_given": exact(self.as_given(), decimals),
            "lower_bound": exact(self.found.at_least, decimals),
            "rounds": self.found.rounds,
            "seed": self.seed,
        })
    }

    /// Behind the point of a sum of products.
    fn decimals(&self) -> u32 {
        self.given.trip_decimals + self.given.distance_decimals
    }

    fn sum(&self, value: i128) -> String {
        shown(value, self.decimals())
    }

    /// What it costs with the stations at the first places, in the order of the two tables.
    fn as_given(&self) -> i128 {
        let order: Vec<usize> = (0..self.given.stations.len()).collect();
        self.given.problem.cost(&order)
    }

    fn total(&self) -> String {
        let (cost, before) = (self.found.cost, self.as_given());
        let total = format!("{}, the sum of trips × distance.", self.sum(cost));
        match before - cost {
            0 => format!(
                "{total} The order of the two files costs the same: nothing is won by moving."
            ),
            saved => format!(
                "{total} The order of the two files costs {}: this saves {} ({}).",
                self.sum(before),
                self.sum(saved),
                percent(saved as f64 / before as f64)
            ),
        }
    }

    fn certainty(&self) -> String {
        let found = self.found;
        let least = self.sum(found.at_least);
        let stopped = |by: &str| {
            format!(
                "Perhaps not: the search was ended by {by} after {}. No assignment can be below {least}.",
                counted(found.rounds as usize, "whole round")
            )
        };
        match found.end {
            AssignmentEnd::Proved => "Yes, proved: no assignment has a smaller sum.".to_owned(),
            AssignmentEnd::Settled if found.agreeing > 1 => format!(
                "Probably, but not proved: {} searches from nothing ended at this sum, and none below it. No assignment can be below {least}.",
                found.agreeing
            ),
            AssignmentEnd::Settled => format!(
                "Perhaps: no search from nothing has ended below it for long, but hardly one at it. No assignment can be below {least}."
            ),
            AssignmentEnd::Rounds => stopped("--rounds"),
            AssignmentEnd::Stopped => stopped("--seconds"),
        }
    }

    fn rounds(&self) -> Option<String> {
        let rounds = self.found.rounds as usize;
        (rounds > 0).then(|| {
            format!(
                "{} with seed {}; the same seed and `--rounds {rounds}` find the same again.",
                counted(rounds, "round"),
                self.seed
            )
        })
    }

    fn counted(&self) -> String {
        let rounded = match self.given.is_rounded {
            true => " Numbers are rounded to the sixteenth digit of the largest one.",
            false => "",
        };
        format!(
            "Each trip by its distance, there and back apart, those from a station to itself as well; whether a machine fits at a place, or stands safely there, is not looked at.{rounded}"
        )
    }

    fn stations(&self, width: u16) -> String {
        let mut table = tables::table(
            &["station", "place", "in the order\nof the files"],
            3,
            width,
        );
        for (station, &place) in self.found.places.iter().enumerate() {
            let before = match place == station {
                true => "the same",
                false => &self.given.places[station],
            };
            table.add_row([
                &self.given.stations[station],
                &self.given.places[place],
                before,
            ]);
        }
        tables::text(table)
    }

    /// The pairs that cost most, apart from the table above; nothing where nobody walks.
    fn pairs(&self, width: u16) -> String {
        let mut pairs = self.all_pairs();
        pairs.sort_by_key(|pair| (std::cmp::Reverse(pair.cost), pair.stations));
        let header = ["what costs most", "trips", "trips ×\ndistance", "share"];
        let mut table = tables::table(&header, 1, width);
        for pair in pairs.iter().take(MOST_PAIRS) {
            let [one, other] = pair.stations.map(|station| &self.given.stations[station]);
            let between = match one == other {
                true => format!("{one} to itself"),
                false => format!("{one} and {other}"),
            };
            table.add_row([
                between,
                shown(pair.trips, self.given.trip_decimals),
                self.sum(pair.cost),
                percent(pair.cost as f64 / self.found.cost as f64),
            ]);
        }
        match pairs.is_empty() {
            true => String::new(),
            false => format!("\n{}", tables::text(table)),
        }
    }

    /// Those that cost something.
    fn all_pairs(&self) -> Vec<StationPair> {
        let (problem, places) = (&self.given.problem, &self.found.places);
        let one_way = |from: usize, to: usize| {
            let trips = i128::from(problem.trips().at(from, to));
            let distance = problem.distances().at(places[from], places[to]);
            (trips, trips * i128::from(distance))
        };
        let mut pairs = Vec::new();
        for one in 0..places.len() {
            for other in one..places.len() {
                let (there, cost_there) = one_way(one, other);
                let (back, cost_back) = match one == other {
                    true => (0, 0),
                    false => one_way(other, one),
                };
                pairs.push(StationPair {
                    stations: [one, other],
                    trips: there + back,
                    cost: cost_there + cost_back,
                });
            }
        }
        pairs.retain(|pair| pair.cost > 0);
        pairs
    }
}

/// A whole number with all its digits, or one with decimals as figures are shown.
fn shown(value: i128, decimals: u32) -> String {
    match whole(value, decimals) {
        Some(whole) if i64::try_from(whole).is_ok_and(|whole| whole < 1_000_000_000) => {
            fixed(whole as f64, 0)
        }
        Some(whole) => grouped(&whole.to_string()),
        None => number(value as f64 / 10_f64.powi(decimals as i32)),
    }
}

/// A value from 0 on as a whole number, if it is one.
fn whole(value: i128, decimals: u32) -> Option<i128> {
    let power = 10_i128.checked_pow(decimals)?;
    (value % power == 0).then(|| value / power)
}

/// A value as JSON has it: whole with all its digits as far as 64 bits have room, or else the nearest double.
fn exact(value: i128, decimals: u32) -> Value {
    let in_64_bits = whole(value, decimals).and_then(|whole| u64::try_from(whole).ok());
    match in_64_bits {
        Some(whole) => whole.into(),
        None => {
            let nearest = nearest_double(value, decimals);
            Number::from_f64(nearest).map_or(Value::Null, Value::Number)
        }
    }
}

/// The double nearest to a value, by its digits.
fn nearest_double(value: i128, decimals: u32) -> f64 {
    format!("{value}e-{decimals}").parse().unwrap_or(f64::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_keep_all_their_digits() {
        assert_eq!(shown(90, 0), "90");
        assert_eq!(shown(12_500, 2), "125");
        assert_eq!(shown(1_234_567, 2), "12\u{202F}346");
        assert_eq!(shown(1_250, 2), "12.5");
        assert_eq!(
            shown(9_007_199_254_740_993, 0),
            "9\u{202F}007\u{202F}199\u{202F}254\u{202F}740\u{202F}993"
        );
        assert_eq!(
            exact(9_007_199_254_740_993, 0).to_string(),
            "9007199254740993"
        );
        assert_eq!(
            exact(33_000_000_000_000_003, 16).to_string(),
            "3.3000000000000003"
        );
        assert_eq!(exact(10_i128.pow(30), 1), Value::from(1e29));
    }
}
