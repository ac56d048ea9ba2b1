//! All layouts beside each other, as they are now.

use serde_json::{Value, json};

use super::desk::stale;
use super::history::Poses;
use super::judged::{CheckedLayout, LoadedText, STUCK, alone};
use crate::experiment::run_while;
use crate::report::editor::beside;

/// What each layout comes to with what has been moved in it, on the same luck.
///
/// # Errors
/// If something cannot be put there, or if runs get stuck.
pub fn all_beside(
    name: &str,
    loaded: &LoadedText,
    poses: &Poses,
    keep_on: &dyn Fn() -> bool,
) -> Result<Value, String> {
    let mut now = loaded.clone();
    let names: Vec<String> = loaded.layouts().map(|layout| layout.name.clone()).collect();
    for layout in &names {
        let moved = now.moved(layout, poses);
        if !moved.is_empty() {
            let text = now.with(layout, &moved)?;
            now = LoadedText::load(name, text.as_bytes())?;
        }
    }
    let study = &now.study;
    let checked: Result<Vec<CheckedLayout>, String> = (now.layouts())
        .map(|candidate| CheckedLayout::of(study, candidate))
        .collect();
    let checked = checked?;
    let walkable = checked.iter().filter(|layout| layout.is_walkable());
    let played = alone(
        study,
        walkable.map(|layout| layout.candidate.clone()).collect(),
    );
    let findings = match played.candidates.is_empty() {
        true => None,
        false => Some(run_while(&played, 0, &|_| (), keep_on).map_err(|_| STUCK.to_owned())?),
    };
    if !keep_on() {
        return Ok(stale());
    }
    let mut all = findings.iter().flat_map(|findings| &findings.candidates);
    let rows = checked.iter().map(|layout| {
        let played = layout.is_walkable().then(|| all.next()).flatten();
        let counts = layout.verdict(study);
        beside(&layout.candidate.name, counts, played, study.units)
    });
    Ok(json!({
        "beside": rows.collect::<Vec<_>>(),
        "runs": findings.as_ref().map(|findings| findings.replications),
    }))
}
