//! `shopstride sheet`: a page to print, by which a layout is taped on the floor.

use super::places::Places;
use super::sheet_options::SheetOptions;
use super::{Refusal, check, memory, output, scenario};
use crate::experiment::{CHECKED, Candidate, Replications, checked_legs};
use crate::report::set_out;
use crate::scenario::printable_name;

pub fn sheet(options: &SheetOptions) -> Result<(), Refusal> {
    let out = Some(options.out.clone());
    let places = Places::new("sheet", options.scenario.as_deref()).file("--out", &out);
    places.check()?;
    let mut study = scenario::load_to_check(options.scenario.as_deref(), options.quiet)?;
    let in_room = |candidate: &Candidate| {
        let plan = candidate.plan.as_ref();
        plan.is_some_and(|plan| plan.room.is_some() && plan.places_something())
    };
    let index = match &options.layout {
        Some(name) => Some(scenario::candidate(&study, Some(name), "--layout")?),
        None => study.candidates.iter().position(in_room),
    };
    let index = index.filter(|&index| in_room(&study.candidates[index]));
    let Some(index) = index else {
        return Err(Refusal::with_hint(
            "a set-out sheet needs a room with walls to measure from, and a layout that says where things stand",
            "add a `room`, and place the stations with `at`",
        ));
    };
    let others = study.candidates.len() - 1;
    study.candidates = vec![study.candidates.swap_remove(index)];
    study.settings.replications = Replications::Fixed(CHECKED);
    memory::check(&study, 1)?;
    let legs = checked_legs(&study).map_err(|failure| scenario::stuck(&failure))?;
    let found = check::layouts(&study, &study.sites(), &legs);
    let page = match &found[..] {
        [Some(found)] => {
            let services = study.candidates[0].services.as_deref();
            set_out::html(&study.title, found, services, study.units)
        }
        _ => Ok(None),
    };
    let page =
        page.map_err(|error| Refusal::because(format!("the page cannot be made: {error}")))?;
    let page = page.ok_or_else(|| Refusal::because("the layout places nothing in its room"))?;
    let name = printable_name(&study.candidates[0].name);
    let which = match others {
        _ if options.layout.is_some() => String::new(),
        0 => String::new(),
        _ => format!(" of \"{name}\", the first layout in a room; --layout names another"),
    };
    output::write_page(&options.out, &page, &which, options.quiet)
}
