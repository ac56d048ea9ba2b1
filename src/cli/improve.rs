//! `shopstride improve`: other places for the stations of a scenario, or stations to given places, so that trips times
//! distance come to the least.

use std::path::Path;
use std::time::Instant;

use super::improve_options::ImproveOptions;
use super::places::Places;
use super::{Refusal, interrupt, output, placements, scenario};
use crate::improve::assignment::{AssignmentLimits, FoundAssignment, search};
use crate::report::assignment::AssignmentAnswer;
use crate::scenario::given_trips::{GivenTrips, read_given_trips};

/// Whether the answer is what was asked for: it is not where something does not fit.
pub fn improve(options: &ImproveOptions) -> Result<bool, Refusal> {
    let (Some(trips), Some(distances)) = (&options.trips, &options.distances) else {
        return placements::improve(options);
    };
    Places::default()
        .reads("--trips", trips)
        .reads("--distances", distances)
        .file("--json", &options.json)
        .check()?;
    let given = read(trips, distances)?;
    let found = search_with_progress(&given, options);
    let answer = AssignmentAnswer {
        given: &given,
        found: &found,
        seed: options.seed,
    };
    if let Some(file) = &options.json {
        output::write_or_print(file, &format!("{:#}\n", answer.json()), options.quiet)?;
    }
    if output::is_standard_output(&options.json) {
        return Ok(true);
    }
    let (lines, below) = answer.told(output::width());
    output::print_answer(&lines, &below)?;
    Ok(true)
}

/// Reads both tables; all that is wrong in them is said.
fn read(trips: &Path, distances: &Path) -> Result<GivenTrips, Refusal> {
    let [trips, distances] = [trips, distances].map(|file| {
        let name = file.display().to_string();
        let bytes = std::fs::File::open(file)
            .map_err(|error| Refusal::because(format!("{name} cannot be read: {error}")))
            .and_then(|opened| scenario::read(opened, &name));
        bytes.map(|bytes| (name, bytes))
    });
    let (trips, distances) = match (trips, distances) {
        (Ok(trips), Ok(distances)) => (trips, distances),
        (Err(one), Err(other)) => {
            super::tell(&one);
            return Err(other);
        }
        (Err(refusal), _) | (_, Err(refusal)) => return Err(refusal),
    };
    read_given_trips((&trips.0, &trips.1), (&distances.0, &distances.1)).map_err(|wrong| {
        wrong.iter().for_each(scenario::say);
        Refusal::Said
    })
}

fn search_with_progress(given: &GivenTrips, options: &ImproveOptions) -> FoundAssignment {
    let bar = output::rounds(options.quiet);
    interrupt::listen();
    let begun = Instant::now();
    let limits = AssignmentLimits {
        rounds: options.rounds.map_or(u64::MAX, u64::from),
        keep_on: &|| begun.elapsed() < options.seconds && !interrupt::is_asked(),
        told: &|rounds| bar.set_position(rounds),
    };
    let found = search(&given.problem, options.seed, &limits);
    bar.finish_and_clear();
    found
}
