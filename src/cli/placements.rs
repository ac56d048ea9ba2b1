//! `shopstride improve SCENARIO`: where stations could stand instead.

use std::path::Path;

use super::improve_options::ImproveOptions;
use super::places::Places;
use super::present_layout::Present;
use super::proven_layouts::{Proven, with_layouts};
use super::scenario::{load_source, source};
use super::{Refusal, growth, output, scenario as scenarios};
use crate::report::write_atomically;
use crate::scenario::{self, AddedLayout};

/// Whether everything fits that was asked for.
pub fn improve(options: &ImproveOptions) -> Result<bool, Refusal> {
    let file = options.scenario.as_deref();
    let places = Places::new("improve", file)
        .file("--json", &options.json)
        .charts(options.charts.as_deref());
    // Only who names the scenario itself wants it written over.
    let places = match options.write.is_some() && options.write == options.scenario {
        true => places,
        false => places.file("--write", &options.write),
    };
    places.check()?;
    // A scenario is expected there, so that anything else is there for another reason.
    if let Some(there) = options.write.as_deref().filter(|there| there.is_file())
        && options.write != options.scenario
    {
        return Err(Refusal::with_hint(
            format!(
                "--write {}: there is a file already that is no scenario",
                there.display()
            ),
            "name one that is not there yet, such as `--write better.yaml`",
        ));
    }
    if options.write.as_deref() == Some(Path::new("-")) {
        return Err(Refusal::because(
            "--write: name a file, such as better.yaml",
        ));
    }
    let grown = options.fits.as_deref().map(|said| (said, false));
    if let Some((said, is_played)) = grown.or(options.buy.as_deref().map(|said| (said, true))) {
        return growth::grow(options, said, is_played);
    }
    let source = source(file)?;
    let study = load_source(&source, options.quiet, scenario::load_to_check)?;
    let index = scenarios::candidate(&study, options.layout.as_deref(), "--layout")?;
    let now = Present::of(&study, index, &options.fixed)?;
    let found = now.searched(options)?;
    let answer_of = Proven::of(&source, &now, &found, options.seed)?;
    let answer = answer_of.answer(&now, &found, options.seed);
    let is_told = !output::is_standard_output(&options.json);
    if is_told {
        let (lines, below) = answer.told(output::width(), output::reading_width());
        output::print_answer(&lines, &below)?;
    }
    let whole = |refusal: Refusal| refusal.after_answer(is_told);
    if let Some(file) = &options.json {
        let text = format!("{:#}\n", answer.json());
        output::write_or_print(file, &text, options.quiet).map_err(whole)?;
    }
    if let Some(folder) = &options.charts {
        output::draw((file, folder), options.quiet, || {
            answer_of.draw(folder, &options.drawn)
        })
        .map_err(whole)?;
    }
    let Some(file) = &options.write else {
        return Ok(true);
    };
    let proposals = answer.proposals.iter();
    let layouts: Vec<AddedLayout> = proposals.map(|proposal| proposal.added.clone()).collect();
    if layouts.is_empty() {
        output::note(options.quiet, "Nothing to write: there is no proposal");
        return Ok(true);
    }
    let written = with_layouts(&source, &layouts, study.units)?;
    load_source(&written, true, scenario::load_to_check)?;
    write_atomically(file, &written.text)
        .map_err(|error| output::cannot_write(file, &error))
        .map_err(whole)?;
    output::note(options.quiet, &format!("Written: {}", file.display()));
    Ok(true)
}
