//! What the relief experiment leaves out, what it did not try, and how changes are made safely.

use super::edits::{phrase, why_not};
use super::effects::crew;
use super::safely::safely_of_all;
use crate::experiment::{Edit, Relief, Reliefs, WhyNot};
use crate::report::certainty;

/// What the figures leave out.
pub fn caution(reliefs: &Reliefs) -> String {
    let untried = untried(reliefs);
    let sentences: Vec<String> = untried
        .into_iter()
        .chain([caution_in_short(reliefs)])
        .collect();
    sentences.join(" ")
}

/// The same without what was not tried.
pub fn caution_in_short(reliefs: &Reliefs) -> String {
    let mut sentences = Vec::new();
    sentences.extend(certainty::unfinished(&reliefs.findings));
    sentences.push(certainty::certainty(&reliefs.findings));
    if reliefs.list.iter().any(Relief::is_at_a_cost) {
        let fewer = "Where fewer orders of a project are finished, lead time covers the finished ones only.";
        sentences.push(fewer.to_owned());
    }
    let times = "The times of a station are those of its setups, runs, teardowns and cures.";
    sentences.push(times.to_owned());
    let tried = |of: fn(&Edit) -> bool| reliefs.list.iter().any(|relief| of(&relief.trial.edit));
    let trials = reliefs.list.iter().map(|relief| &relief.trial);
    sentences.extend(safely_of_all(trials).map(str::to_owned));
    if tried(|edit| matches!(edit, Edit::LastsLonger(..))) {
        let upkeep = "Half as much upkeep takes what lasts or holds twice as much: nothing is run longer that is dull or full.";
        sentences.push(upkeep.to_owned());
    }
    if tried(|edit| matches!(edit, Edit::GoTogether(_))) {
        let apart = "What is kept apart for a circuit, for dust, for noise or for somebody's safety stays apart as long as the reason does.";
        sentences.push(apart.to_owned());
    }
    if tried(|edit| matches!(edit, Edit::OneMorePerson(_) | Edit::OneMoreManned(..))) {
        let trained = "One more person is a trained one, and no child is at a machine.";
        sentences.push(trained.to_owned());
    }
    sentences.join(" ")
}

/// What was left out, by reason.
fn untried(reliefs: &Reliefs) -> Vec<String> {
    let mut reasons: Vec<(WhyNot, Vec<String>)> = Vec::new();
    for untried in &reliefs.untried {
        let what = phrase(&untried.trial, crew(reliefs));
        match reasons.iter_mut().find(|(why, _)| *why == untried.why) {
            Some((_, all)) => all.push(what),
            None => reasons.push((untried.why, vec![what])),
        }
    }
    let sentence = |(why, all): (WhyNot, Vec<String>)| {
        format!("Not tried, because {}: {}.", why_not(why), all.join(", "))
    };
    reasons.into_iter().map(sentence).collect()
}
