//! `shopstride bottleneck`: what holds the work up, and what would help most.

use super::arguments::BottleneckOptions;
use super::{Refusal, output, scenario};
use crate::experiment::{Changes, Reliefs, relieve, replications};
use crate::report::relief;

pub fn bottleneck(options: &BottleneckOptions) -> Result<(), Refusal> {
    output::check_file(&options.json)?;
    let mut study = scenario::load_played(&options.played)?;
    let index = scenario::candidate(&study, options.layout.as_deref(), "--layout")?;
    study.candidates = vec![study.candidates.swap_remove(index)];
    let changes = Changes::of(&study.candidates[0]);
    let quiet = options.played.quiet;
    let runs = u64::from(replications(&study, 0)) * (changes.tried.len() as u64 + 1);
    let bar = output::progress(quiet, runs);
    let pool = scenario::threads(&options.played)?;
    let reliefs = pool.install(|| relieve(&study, 0, changes, &|played| bar.inc(played)));
    bar.finish_and_clear();
    let reliefs = reliefs.map_err(|failure| scenario::stuck(&failure))?;
    if !output::is_standard_output(&options.json) {
        output::print(&text(&reliefs))?;
    }
    match &options.json {
        Some(file) => {
            output::write_or_print(file, &format!("{:#}\n", relief::json(&reliefs)), quiet)
        }
        None => Ok(()),
    }
}

fn text(reliefs: &Reliefs) -> String {
    format!(
        "{}\n\n{}\n{}\n",
        output::wrapped(&relief::advice(reliefs)),
        relief::reliefs(reliefs, output::width()),
        output::wrapped(&relief::caution(reliefs)),
    )
}
