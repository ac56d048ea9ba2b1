//! Better places for the page of `shopstride edit`: what `improve` would propose, found while the page waits.

use std::sync::Arc;
use std::time::{Duration, Instant};

use super::Refusal;
use super::present_layout::Present;
use super::proven_layouts::Proven;
use super::scenario::{ScenarioSource, candidate, load_source};
use crate::editor::{Desk, Proposal, ProposalSearch};
use crate::improve::placement::{PlacedBest, PlacementLimits};
use crate::scenario;

/// As long as `improve` looks by itself.
const LONGEST: Duration = Duration::from_secs(60);
/// As of `improve`.
const SEED: u64 = 1;

/// What looks for better places as long as nothing else is asked for at this desk; `name` is what the scenario is called.
pub fn search(name: String, desk: Arc<Desk>) -> ProposalSearch {
    Box::new(move |text, layout| {
        let source = ScenarioSource {
            name: name.clone(),
            text: text.as_bytes().to_vec(),
        };
        proposals(&source, layout, &desk).map_err(in_words)
    })
}

/// A refusal for somebody who looks at a page.
pub fn in_words(refusal: Refusal) -> String {
    match refusal {
        Refusal::Said => "The program says in its terminal what is wrong.".to_owned(),
        Refusal::Because(what, None) => what,
        Refusal::Because(what, Some(hint)) => format!("{what}: {hint}"),
    }
}

fn proposals(
    source: &ScenarioSource,
    layout: &str,
    desk: &Desk,
) -> Result<Option<Vec<Proposal>>, Refusal> {
    let study = load_source(source, true, scenario::load_to_check)?;
    let index = candidate(&study, Some(layout), "--layout")?;
    let now = Present::of(&study, index, &[])?;
    let begun = Instant::now();
    let told = |rounds: u64, best: Option<&PlacedBest>| {
        let so_far = match best {
            Some(best) => format!("{} stations moved in the best so far", best.moved),
            None => "nothing better so far".to_owned(),
        };
        let seconds = begun.elapsed().as_secs();
        desk.tell(format!("{seconds} s, {rounds} rounds, {so_far}."));
    };
    let keep_on = || desk.is_newest() && begun.elapsed() < LONGEST;
    let limits = PlacementLimits {
        rounds: u64::MAX,
        keep_on: &keep_on,
        give_up: &|| !desk.is_newest(),
        told: &told,
    };
    desk.tell(String::new());
    let found = now.searched_within(&limits, SEED, false)?;
    if !desk.is_newest() {
        return Ok(None);
    }
    let proven = Proven::of(source, &now, &found, SEED)?;
    let answer = proven.answer(&now, &found, SEED);
    let proposals = answer.proposals.iter().map(|proposal| Proposal {
        about: proposal.kind.to_owned(),
        at: proposal.added.at.clone(),
    });
    Ok(Some(proposals.collect()))
}
