//! Whether the answer stands when the times are off: in how many draws each candidate is the best.

use serde_json::{Value, json};

use super::about;
use super::figure::{length_unit, percent, time_unit};
use super::sentence::listed;
use super::tables::{table, text};
use crate::experiment::{CandidateFindings, Doubt, Findings, LITTLE, Standing};

/// So many candidates are called by their names in one sentence, at most.
const NAMED: usize = 4;

/// A candidate that is near the best in this share of the draws is as good.
const OFTEN: f64 = 0.9;

/// Who is the best in the most draws, if anybody is in any.
#[derive(Debug, PartialEq)]
struct Leaders {
    /// Several are best equally often.
    candidates: Vec<usize>,
    draws: u32,
}

fn leaders(standings: &[Standing]) -> Option<Leaders> {
    let counts = standings.iter().map(|standing| standing.best);
    let draws = counts.max().filter(|&most| most > 0)?;
    let candidates = (0..standings.len()).filter(|&index| standings[index].best == draws);
    Some(Leaders {
        candidates: candidates.collect(),
        draws,
    })
}

/// The subject of the sentence, with its verb.
fn subject(leaders: &Leaders, findings: &Findings, draws: u32) -> String {
    let all = findings.candidates.len();
    let candidates = &leaders.candidates;
    let names: Vec<String> = (candidates.iter())
        .map(|&index| format!("\"{}\"", findings.candidates[index].name))
        .collect();
    let who = match &names[..] {
        [only] => return format!("{only} has"),
        _ if candidates.len() == all && all == 2 => "both layouts".to_owned(),
        _ if candidates.len() == all => format!("all {all} layouts"),
        _ if names.len() <= NAMED => listed(&names, "and"),
        _ => format!("{} of the {all} layouts", names.len()),
    };
    // Several that are best in every draw tie; several that are best in fewer draws may be so in different ones.
    let verb = if leaders.draws == draws {
        "tie for"
    } else {
        "each have"
    };
    format!("{who} {verb}")
}

/// What the draws of some doubt came to.
pub(super) struct DrawCounts<'a> {
    pub findings: &'a Findings,
    /// Those that count.
    pub draws: u32,
    /// By candidate.
    pub walking: &'a [Standing],
    pub lead_time: &'a [Standing],
}

fn counted<'a>(findings: &'a Findings, doubt: &'a Doubt) -> DrawCounts<'a> {
    DrawCounts {
        findings,
        draws: doubt.draws,
        walking: &doubt.walking,
        lead_time: &doubt.lead_time,
    }
}

/// What the draws say, in a sentence or two.
pub fn answer(findings: &Findings, doubt: &Doubt) -> String {
    let off = percent(doubt.share);
    let opening = format!("If every time that you gave may be off by {off}, each by itself,");
    said(&counted(findings, doubt), opening)
}

/// Who is the best in how many draws, behind the beginning of a sentence that says what is in doubt.
pub(super) fn said(counted: &DrawCounts<'_>, opening: String) -> String {
    let DrawCounts {
        findings, draws, ..
    } = *counted;
    let mut sentence = opening;
    let subject = |leaders: &Leaders| subject(leaders, findings, draws);
    let walking = leaders(counted.walking);
    let walkers = walking.as_ref().map(subject);
    if let (Some(Leaders { draws: count, .. }), Some(who)) = (&walking, &walkers) {
        sentence.push_str(&format!(
            " {who} the least walking in {count} of {draws} draws"
        ));
    }
    let walked = nothing_won(counted, counted.walking, "walking", |metres| {
        length_unit(findings.units).with_unit(metres)
    });
    let Some(quickest) = leaders(counted.lead_time) else {
        sentence.push_str("; no order is done in any of them.");
        sentence.extend(walked);
        return sentence;
    };
    let (who, count) = (subject(&quickest), quickest.draws);
    sentence.push_str(&if walkers.is_some_and(|walkers| walkers == who) {
        format!(" and the shortest lead time in {count}.")
    } else {
        format!(", and {who} the shortest lead time in {count}.")
    });
    let waited = nothing_won(counted, counted.lead_time, "lead time", |seconds| {
        time_unit(seconds).with_unit(seconds)
    });
    sentence.extend(walked.into_iter().chain(waited));
    sentence
}

/// Who is as good as the leader, though seldom or never better.
fn nothing_won(
    &DrawCounts {
        findings, draws, ..
    }: &DrawCounts<'_>,
    standings: &[Standing],
    what: &str,
    shown: impl Fn(f64) -> String,
) -> Option<String> {
    let leaders = leaders(standings)?;
    let leader = *leaders.candidates.first()?;
    // Those that tie in every draw have been said to.
    let ties = |index: &usize| leaders.draws == draws && leaders.candidates.contains(index);
    let often = OFTEN * f64::from(draws);
    let least = standings[leader].mean()?;
    let is_near = |index: &usize| f64::from(standings[*index].near) >= often;
    // Where whole evenings are won and lost, few draws are near, though these may make up for each other.
    let is_near_on_average = |index: &usize| {
        let mean = standings[*index].mean();
        mean.is_some_and(|mean| (mean - least).abs() < LITTLE * least)
    };
    let as_good: Vec<usize> = (0..standings.len())
        .filter(|index| *index != leader && !ties(index))
        .filter(|index| is_near(index) || is_near_on_average(index))
        .collect();
    let matters = match as_good.iter().all(is_near) {
        true => "hardly matters",
        false => "hardly matters on average",
    };
    let names: Vec<String> = (as_good.iter())
        .map(|&index| format!("\"{}\"", findings.candidates[index].name))
        .collect();
    let near = as_good.iter().map(|&index| standings[index].near).min()?;
    let who = match names.len() <= NAMED {
        true => listed(&names, "and"),
        false => format!("{} others", names.len()),
    };
    let differences = as_good.iter().filter_map(|&index| standings[index].mean());
    let most = differences
        .map(|mean| mean - least)
        .max_by(|a, b| a.abs().total_cmp(&b.abs()))?;
    let (is, at_least, at_most) = match names.len() {
        1 => ("is", "", ""),
        _ => ("are", "at least ", "at most "),
    };
    Some(format!(
        " In {what} that {matters}: {who} {is} within {} of the best in {at_least}{near} draws, by {at_most}{} of \
         {} on average.",
        about::share(LITTLE),
        shown(most.abs()),
        shown(least),
    ))
}

/// Over the columns of counts: whoever is as good as the best counts too, so that nobody wins by what does not matter.
pub(super) const COUNTED: [&str; 2] = [
    "least walking,\nor within 1 %, in",
    "shortest lead time,\nor within 1 %, in",
];

/// One row a candidate.
pub fn candidates(findings: &Findings, doubt: &Doubt, width: u16) -> String {
    let off = percent(doubt.share);
    let header = [&*format!("times off by {off}"), COUNTED[0], COUNTED[1]];
    let mut table = table(&header, 1, width);
    let of = |count: u32| format!("{count} of {}", doubt.draws);
    for (candidate, walking, lead_time) in standings(&counted(findings, doubt)) {
        table.add_row([candidate.name.clone(), of(walking.near), of(lead_time.near)]);
    }
    text(table)
}

/// By candidate: how it did in walking and in lead time.
pub(super) fn standings<'a>(
    counted: &DrawCounts<'a>,
) -> impl Iterator<Item = (&'a CandidateFindings, &'a Standing, &'a Standing)> {
    let of = counted.walking.iter().zip(counted.lead_time);
    let all = counted.findings.candidates.iter().zip(of);
    all.map(|(candidate, (walking, lead_time))| (candidate, walking, lead_time))
}

/// The counts of each candidate as data.
pub(super) fn rows(counted: &DrawCounts<'_>) -> Vec<Value> {
    let rows = standings(counted).map(|(candidate, walking, lead_time)| {
        json!({
            "name": candidate.name,
            "least_walking": walking.best,
            "shortest_lead_time": lead_time.best,
            "walking_within_1_percent": walking.near,
            "lead_time_within_1_percent": lead_time.near,
            "walking_mean_m": walking.mean(),
            "lead_time_mean_s": lead_time.mean(),
        })
    });
    rows.collect()
}

/// The counts as data.
pub fn json(findings: &Findings, doubt: &Doubt) -> Value {
    json!({
        "share": doubt.share,
        "draws": doubt.draws,
        "replications": doubt.replications,
        "candidates": rows(&counted(findings, doubt)),
    })
}
