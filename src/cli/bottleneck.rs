//! `shopstride bottleneck`: what holds the work up, and what would help most.

use super::arguments::BottleneckOptions;
use super::places::Places;
use super::{Refusal, memory, output, scenario};
use crate::experiment::{Changes, Reliefs, TypicalValues, relieve, replications};
use crate::report::charts;
use crate::report::{left_out, relief, typical};

pub fn bottleneck(options: &BottleneckOptions) -> Result<(), Refusal> {
    let places = Places::new("bottleneck", options.played.scenario.as_deref())
        .file("--json", &options.json)
        .charts(options.charts.as_deref());
    places.check()?;
    let mut study = scenario::load_played(&options.played)?;
    let index = scenario::candidate(&study, options.layout.as_deref(), "--layout")?;
    let is_one_of_several = study.candidates.len() > 1;
    study.candidates = vec![study.candidates.swap_remove(index)];
    let changes = Changes::of(&study.candidates[0]);
    memory::check(&study, 1 + changes.tried.len())?;
    places.make_folders()?;
    let quiet = options.played.how.quiet;
    let runs = u64::from(replications(&study, 0)) * (changes.tried.len() as u64 + 1);
    let bar = output::progress(quiet, runs);
    let reliefs = relieve(&study, 0, changes, &|played| bar.inc(played));
    bar.finish_and_clear();
    let reliefs = reliefs.map_err(|interrupted| scenario::stuck_with(&interrupted))?;
    let typical = TypicalValues::of(&study.candidates);
    let is_told = !output::is_standard_output(&options.json);
    if is_told {
        let mut lines = relief::lines(&reliefs);
        lines.extend(is_one_of_several.then(|| relief::tried_in(&reliefs)));
        lines.extend(typical::line(&typical));
        lines.extend(left_out::line(&study));
        output::print_answer(&lines, &below(&reliefs, options.details))?;
    }
    let whole = |refusal: Refusal| refusal.after_answer(is_told);
    // Charts first: they may be refused for the sake of what stands in their place.
    if let Some(folder) = &options.charts {
        let drawn = &options.drawn;
        let place = (options.played.scenario.as_deref(), &**folder);
        output::draw(place, quiet, || {
            charts::write_relief(&reliefs, folder, drawn.size(), &drawn.chart_format)
        })
        .map_err(whole)?;
    }
    if let Some(file) = &options.json {
        let mut document = relief::json(&reliefs);
        if let Some(typical) = typical::json(&typical) {
            document["typical"] = typical;
        }
        if let Some(left_out) = left_out::json(&study) {
            document["left_out"] = left_out;
        }
        output::write_or_print(file, &format!("{document:#}\n"), quiet).map_err(whole)?;
    }
    Ok(())
}

/// What stands below the lines of the answer.
fn below(reliefs: &Reliefs, details: bool) -> String {
    if details {
        let advice = output::wrapped(&relief::advice(reliefs));
        let table = relief::reliefs(reliefs, output::width());
        let caution = output::wrapped(&relief::caution(reliefs));
        return format!("\n{advice}\n\n{table}\n{caution}\n");
    }
    let (table, others) = relief::in_short(reliefs, output::width());
    let others = match others {
        0 => String::new(),
        1 => " One more change was tried: --details has it.\n".to_owned(),
        others => format!(" {others} more changes were tried: --details has them.\n"),
    };
    let caution = output::wrapped(&relief::caution_in_short(reliefs));
    format!("\n{table}{others}\n{caution}\n")
}
