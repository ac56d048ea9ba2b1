//! Reads the scenario that a command names, and plays it.

use std::fs::File;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};

use super::Refusal;
use super::arguments::PlayOptions;
use super::output;
use super::playing_options::PlayingOptions;
use crate::engine::TooLate;
use crate::experiment::{
    Candidate, Doubt, Failure, Findings, Indifference, Interrupted, MOST_PLAYED, NoRace,
    PlacesDoubt, Race, Replications, Study, doubt, doubt_places, doubt_replications, run, select,
};
use crate::report::relief::{change, resource};
use crate::report::target;
use crate::scenario::{self, Loaded, Problems, printable_name};

/// The scenario that is played when none is named.
const BUILT_IN: &str = include_str!("../../scenarios/garage.yaml");
const BUILT_IN_NAME: &str = "scenarios/garage.yaml (built in)";

/// A larger file is no scenario and must not fill the memory.
const LARGEST: u64 = 64 << 20;

/// Reads and checks a scenario; says everything that is wrong with it, but for layouts that are left out, which answers
/// name.
pub fn load(file: Option<&Path>, quiet: bool) -> Result<Study, Refusal> {
    load_by(file, quiet, |name, text| {
        let loaded = scenario::load(name, text)?;
        Ok(Loaded {
            warnings: loaded.warnings.beside_left_out(),
            ..loaded
        })
    })
}

/// The same for a scenario that is checked rather than played.
pub fn load_to_check(file: Option<&Path>, quiet: bool) -> Result<Study, Refusal> {
    load_by(file, quiet, scenario::load_to_check)
}

fn load_by(
    file: Option<&Path>,
    quiet: bool,
    load: fn(&str, &[u8]) -> Result<Loaded, Problems>,
) -> Result<Study, Refusal> {
    let source = source(file)?;
    load_source(&source, quiet, load)
}

/// A scenario as it is written, and what it is called in messages.
pub struct ScenarioSource {
    pub name: String,
    pub text: Vec<u8>,
}

/// The text of the scenario that is named, or of the one that is built in.
pub fn source(file: Option<&Path>) -> Result<ScenarioSource, Refusal> {
    let (name, text) = match file {
        None => (BUILT_IN_NAME.to_owned(), BUILT_IN.as_bytes().to_vec()),
        Some(file) if file == Path::new("-") => (
            "standard input".to_owned(),
            read(std::io::stdin(), "standard input")?,
        ),
        Some(file) => {
            let opened = File::open(file).map_err(|error| {
                Refusal::with_hint(
                    format!("{} cannot be read: {error}", file.display()),
                    "`shopstride new FILE` writes a scenario to start from",
                )
            })?;
            (
                file.display().to_string(),
                read(opened, &file.display().to_string())?,
            )
        }
    };
    Ok(ScenarioSource { name, text })
}

/// Likewise of a text that has been read.
pub fn load_source(
    source: &ScenarioSource,
    quiet: bool,
    load: fn(&str, &[u8]) -> Result<Loaded, Problems>,
) -> Result<Study, Refusal> {
    match load(&source.name, &source.text) {
        Ok(loaded) => {
            if !quiet {
                say(&loaded.warnings);
            }
            Ok(loaded.study)
        }
        Err(problems) => {
            say(&problems);
            Err(Refusal::Said)
        }
    }
}

/// Whether there is a scenario at this place, however it is called.
pub fn is_scenario(file: &Path) -> bool {
    let target = target(file);
    // Opening a pipe would wait for somebody to write to it.
    let there = target.is_file().then(|| File::open(&target).ok()).flatten();
    let text = there.and_then(|there| read(there, "").ok());
    text.is_some_and(|text| scenario::reads_as_scenario(&target, &text))
}

pub fn read(from: impl Read, name: &str) -> Result<Vec<u8>, Refusal> {
    let mut text = Vec::new();
    from.take(LARGEST + 1)
        .read_to_end(&mut text)
        .map_err(|error| Refusal::because(format!("{name} cannot be read: {error}")))?;
    if text.len() as u64 > LARGEST {
        return Err(Refusal::because(format!(
            "{name} is larger than {} MB: no scenario is",
            LARGEST >> 20
        )));
    }
    Ok(text)
}

/// Says what is wrong with a file.
pub fn say(problems: &Problems) {
    if !problems.is_empty() {
        // Where colours are not wanted, they are taken out as they are written.
        let text = problems.render_in(true, Some(output::message_width()));
        let _ = writeln!(anstream::stderr(), "{}", text.trim_end());
    }
}

/// The study as the command line changes it.
pub fn load_played(played: &PlayOptions) -> Result<Study, Refusal> {
    let mut study = load(played.scenario.as_deref(), played.how.quiet)?;
    play_as_asked(&mut study, &played.how);
    Ok(study)
}

/// Has a study played on other numbers, or as often, as the command line says.
pub fn play_as_asked(study: &mut Study, how: &PlayingOptions) {
    if let Some(seed) = how.seed {
        study.settings.seed = seed;
    }
    if let Some(replications) = how.replications {
        study.settings.replications = Replications::Fixed(replications);
    }
}

/// So many candidates are named where one is not found.
const MOST_NAMED: usize = 12;

/// The index of the candidate of this name; the first without one.
pub fn candidate(study: &Study, name: Option<&str>, option: &str) -> Result<usize, Refusal> {
    let Some(name) = name else { return Ok(0) };
    let names = || {
        study
            .candidates
            .iter()
            .map(|candidate| candidate.name.as_str())
    };
    let mut left_out = study.left_out.iter();
    if left_out.any(|candidate| candidate.name == name) {
        return Err(Refusal::with_hint(
            format!(
                "{option}: in `{}` nobody can stand or walk everywhere as it is drawn",
                printable_name(name)
            ),
            "`shopstride check` says what is in the way",
        ));
    }
    names().position(|other| other == name).ok_or_else(|| {
        let nearest = names().min_by_key(|other| strsim::damerau_levenshtein(name, other));
        let close = nearest.filter(|other| {
            strsim::damerau_levenshtein(name, other) <= 1 + name.chars().count() / 3
        });
        let hint = match close {
            Some(other) => format!("did you mean `{}`?", printable_name(other)),
            None => {
                let shown: Vec<_> = names()
                    .take(MOST_NAMED)
                    .map(|name| format!("`{}`", printable_name(name)))
                    .collect();
                let more = match study.candidates.len().saturating_sub(MOST_NAMED) {
                    0 => String::new(),
                    more => format!(" and {more} more"),
                };
                format!("there are: {}{more}", shown.join(", "))
            }
        };
        Refusal::with_hint(format!("{option}: there is no layout `{name}`"), hint)
    })
}

/// Plays the study, with a progress bar.
pub fn play(study: &Study, base: usize, played: &PlayOptions) -> Result<Findings, Refusal> {
    let replications = match study.settings.replications {
        Replications::Fixed(count) => u64::from(count),
        Replications::Sufficient | Replications::Precision(_) => 0,
    };
    let bar = output::progress(
        played.how.quiet,
        replications * study.candidates.len() as u64,
    );
    let findings = run(study, base, &|played| bar.inc(played));
    bar.finish_and_clear();
    findings.map_err(|failure| stuck(&failure))
}

/// Compares the candidates again with other times.
pub fn play_doubted(study: &Study, share: f64, played: &PlayOptions) -> Result<Doubt, Refusal> {
    let bar = output::progress(played.how.quiet, doubt_replications(study));
    let doubt = doubt(study, share, &|played| bar.inc(played));
    bar.finish_and_clear();
    doubt.map_err(|failure| stuck(&failure))
}

/// Compares the candidates again with everything somewhat beside its place.
pub fn play_doubted_places(
    study: &Study,
    within: f64,
    played: &PlayOptions,
) -> Result<PlacesDoubt, Refusal> {
    let bar = output::progress(played.how.quiet, doubt_replications(study));
    let doubt = doubt_places(study, within, &|played| bar.inc(played));
    bar.finish_and_clear();
    doubt.map_err(|failure| stuck(&failure))
}

/// Races the candidates until one is left.
pub fn play_race(
    study: &Study,
    indifference: Indifference,
    played: &PlayOptions,
) -> Result<Race, Refusal> {
    // How long it takes is not known beforehand: the bar counts to the most that can be needed.
    let most = u64::from(MOST_PLAYED) * study.candidates.len() as u64;
    let bar = output::progress(played.how.quiet, most);
    let race = select(study, indifference, &|played| bar.inc(played));
    bar.finish_and_clear();
    race.map_err(|none| match none {
        NoRace::Stuck(failure) => stuck(&failure),
        NoRace::NothingDone {
            candidate,
            replication,
        } => Refusal::with_hint(
            format!(
                "--select: no order is done in run {} of \"{}\", so there is no lead time to select by",
                replication + 1,
                printable_name(&study.candidates[candidate].name)
            ),
            "lengthen `until` under `run`, or select by walking, such as --select \"20 m\"",
        ),
    })
}

/// Who waits for what in a replication that cannot go on.
pub fn stuck(failure: &Failure) -> Refusal {
    let stuck = &failure.stuck;
    let how = if stuck.endless {
        "goes on for ever at one instant"
    } else {
        "is stuck"
    };
    let mut what = format!(
        "run {} of \"{}\" {how} after {:.0} s",
        failure.replication + 1,
        printable_name(&failure.candidate),
        stuck.at.seconds(),
    );
    for waiting in &stuck.waiting {
        let lots = if waiting.lots == 1 {
            "1 lot waits".to_owned()
        } else {
            format!("{} lots wait", waiting.lots)
        };
        what.push_str(&format!(
            "\n  {lots} for {} at {}, first {} of {}",
            printable_name(&waiting.operation),
            printable_name(&waiting.station),
            printable_name(&waiting.item),
            printable_name(&waiting.project),
        ));
        if let Some(TooLate { takes, left }) = waiting.too_late {
            what.push_str(&format!(
                ";\n  it takes {:.1} min and must not be interrupted, but {:.1} min at the most are left when somebody is \
                 there who can bring it",
                takes.seconds() / 60.0,
                left.seconds() / 60.0,
            ));
        }
    }
    match stuck
        .waiting
        .iter()
        .any(|waiting| waiting.too_late.is_some())
    {
        true => Refusal::with_hint(
            what,
            "write longer `hours` under `crew` or longer sessions, a smaller `batch`, or `pausable: true` for what may be \
             left half done",
        ),
        false => Refusal::because(what),
    }
}

/// The same in the relief experiment, which names the change with which it happened.
pub fn stuck_with(interrupted: &Interrupted) -> Refusal {
    let failure = &interrupted.failure;
    match &interrupted.trial {
        None => stuck(failure),
        Some(trial) => stuck(&Failure {
            candidate: format!(
                "{}, {}: {}",
                failure.candidate,
                resource(trial),
                change(trial.edit)
            ),
            ..failure.clone()
        }),
    }
}

/// Whether two outputs want standard output at once.
pub fn only_one_to_standard_output(files: &[&Option<PathBuf>]) -> Result<(), Refusal> {
    let many = files
        .iter()
        .filter(|file| output::is_standard_output(file))
        .count()
        > 1;
    if many {
        Err(Refusal::because(
            "only one of --json and --trace can go to standard output",
        ))
    } else {
        Ok(())
    }
}

/// Refuses a layout with things that are parked and rolled out: moves are judged on one floor alone.
pub fn stands_still(candidate: &Candidate, command: &str) -> Result<(), Refusal> {
    let rolled_out = candidate.plan.iter().flat_map(|plan| &plan.rolled_out);
    let Some(first) = rolled_out.into_iter().next() else {
        return Ok(());
    };
    let name = printable_name(&candidate.shop.stations[first.station].name);
    Err(Refusal::with_hint(
        format!("`{name}` is parked and rolled out, which {command} does not reckon with"),
        "choose a layout without `parked`, or take it out while you look for places",
    ))
}
