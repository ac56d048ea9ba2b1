//! The answer in sentences: which layout walks less, by how much and how sure, and what the bottleneck is.

use super::bottleneck::bottleneck;
use super::certainty::{certainty, unfinished};
use super::difference::{interval, is_shown};
use super::figure::{Shown, length_unit, percent, time_unit, work_unit};
use super::sentence::listed;
use crate::experiment::{CandidateFindings, Comparison, Findings};
use crate::statistics::Selection;

/// The answer of a comparison.
pub fn compare(findings: &Findings) -> String {
    let (walking, spoken_of) = difference(findings);
    let mut sentences = vec![walking];
    sentences.extend(spoken_of.and_then(|compared| lead_time_sentence(findings, compared)));
    // The layout that walks least is not always the change that brings the work home soonest.
    let fastest = shortest_lead_time(findings);
    let told = |compared: &&Comparison| {
        spoken_of.is_some_and(|spoken_of| spoken_of.other == compared.other)
    };
    let fastest = fastest.filter(|compared| !told(compared));
    sentences.extend(fastest.and_then(|compared| lead_time_sentence(findings, compared)));
    sentences.extend(best_of_many(findings));
    sentences.extend(bottleneck(&findings.candidates[shortest_walk(findings)]));
    sentences.extend(unfinished(findings));
    sentences.push(certainty(findings));
    sentences.join(" ")
}

/// Of more than two candidates, the best by walking and by lead time, named only if that holds over all comparisons.
fn best_of_many(findings: &Findings) -> Option<String> {
    let count = findings.candidates.len();
    if count < 3 {
        return None;
    }
    let quoted = |index: &usize| format!("\"{}\"", findings.candidates[*index].name);
    let said = |selection: Option<&Selection>, what: &str| {
        let selection = selection?;
        let names: Vec<String> = selection.in_question.iter().map(quoted).collect();
        Some(match (names.as_slice(), selection.in_question.len()) {
            ([name], _) => format!("{name} has {what}"),
            (_, all) if all == count => format!("none can be said to have {what}"),
            ([], _) => return None,
            (names, _) => format!(
                "{what} is that of {}, which cannot be told apart",
                listed(names, "or")
            ),
        })
    };
    let walking = said(findings.walks_least.as_ref(), "the least walking");
    let lead_time = said(findings.soonest.as_ref(), "the shortest lead time");
    let both: Vec<String> = walking.into_iter().chain(lead_time).collect();
    if both.is_empty() {
        return None;
    }
    let level = findings.walks_least.as_ref().and_then(|s| s.level);
    let level = level.map_or_else(String::new, |level| {
        format!(" ({} over all comparisons together)", percent(level))
    });
    Some(format!(
        "Of all {count} candidates, {}{level}.",
        both.join(", and ")
    ))
}

/// The candidate whose lead time is shown to be shorter than the base's by the most.
fn shortest_lead_time(findings: &Findings) -> Option<&Comparison> {
    let difference = |compared: &Comparison| compared.lead_time.map(|paired| paired.difference);
    let shorter = findings
        .comparisons
        .iter()
        .filter_map(|compared| Some((compared, difference(compared)?)));
    let shorter = shorter.filter(|(_, difference)| is_shown(difference) && difference.mean < 0.0);
    shorter
        .min_by(|a, b| a.1.mean.total_cmp(&b.1.mean))
        .map(|(compared, _)| compared)
}

/// The answer of one candidate's run.
pub fn run(findings: &Findings, index: usize) -> String {
    let found = &findings.candidates[index];
    let length = length_unit(findings.units);
    let hands_on = work_unit(found.hands_on);
    let mut first = format!(
        "In \"{}\", the crew walks {} {}",
        found.name,
        length.estimate(&found.walking),
        walking_share(found),
    );
    first.push_str(&format!(
        " of {} hands-on time",
        hands_on.with_unit(found.hands_on)
    ));
    match &found.lead_time {
        Some(estimate) => {
            let unit = time_unit(estimate.mean);
            let order = order_noun(found);
            first.push_str(&format!(
                "; the mean lead time of {order} is {}.",
                unit.estimate(estimate)
            ));
        }
        None => first.push_str("; no order was done in the measured time."),
    }
    let mut sentences = vec![first];
    sentences.extend(bottleneck(found));
    sentences.extend(unfinished(findings));
    sentences.push(certainty(findings));
    sentences.join(" ")
}

fn order_noun(found: &CandidateFindings) -> String {
    match found
        .projects
        .iter()
        .filter(|project| project.orders_done > 0.0)
        .collect::<Vec<_>>()
        .as_slice()
    {
        [project] => format!("a {}", project.name),
        _ => "an order".to_owned(),
    }
}

/// How long the walking takes, for a proportion.
fn walking_share(found: &CandidateFindings) -> String {
    let walking: f64 = found.crew.iter().map(|person| person.walking).sum();
    format!("({})", time_unit(walking).with_unit(walking))
}

fn shortest_walk(findings: &Findings) -> usize {
    let mut best = 0;
    for (index, candidate) in findings.candidates.iter().enumerate() {
        if candidate.walking.mean < findings.candidates[best].walking.mean {
            best = index;
        }
    }
    best
}

/// What is to be said of walking, and of which comparison it is said.
fn difference(findings: &Findings) -> (String, Option<&Comparison>) {
    let Some(first) = findings.comparisons.first() else {
        return (run_alone(findings), None);
    };
    let base = &findings.candidates[first.base];
    let shown: Vec<&Comparison> = findings
        .comparisons
        .iter()
        .filter(|c| is_shown(&c.walking.difference))
        .collect();
    let most = |a: &&&Comparison, b: &&&Comparison| {
        a.walking
            .difference
            .mean
            .total_cmp(&b.walking.difference.mean)
    };
    let others = findings.comparisons.len();
    match shown.iter().min_by(most) {
        None if others == 1 => {
            let sentence = format!(
                "No difference in walking is shown between \"{}\" and \"{}\"{}.",
                findings.candidates[first.other].name,
                base.name,
                interval_of(findings, first),
            );
            (sentence, Some(first))
        }
        None => {
            let name = &base.name;
            (
                format!(
                    "No difference in walking is shown between \"{name}\" and any other candidate."
                ),
                None,
            )
        }
        Some(best) if best.walking.difference.mean < 0.0 => {
            (saving(findings, best, base, false), Some(best))
        }
        Some(_) if others == 1 => (saving(findings, shown[0], base, true), Some(shown[0])),
        Some(_) => (
            format!("No candidate is shown to walk less than \"{}\".", base.name),
            None,
        ),
    }
}

fn interval_of(findings: &Findings, compared: &Comparison) -> String {
    let length = length_unit(findings.units);
    let estimate = &compared.walking.difference;
    match (estimate.low(), estimate.high()) {
        (Some(low), Some(high)) => format!(
            ": {} on average, {} interval {} to {}",
            length.with_unit(estimate.mean),
            percent(findings.confidence),
            length.number(low),
            length.with_unit(high),
        ),
        _ => String::new(),
    }
}

fn run_alone(findings: &Findings) -> String {
    let found = &findings.candidates[0];
    let length = length_unit(findings.units);
    format!(
        "\"{}\", the only candidate, takes {} of walking.",
        found.name,
        length.estimate(&found.walking)
    )
}

/// "X saves so much against Y"; with `reversed`, it is the base that saves.
fn saving(
    findings: &Findings,
    compared: &Comparison,
    base: &CandidateFindings,
    reversed: bool,
) -> String {
    let length = length_unit(findings.units);
    let other = &findings.candidates[compared.other];
    let (winner, loser) = if reversed {
        (base, other)
    } else {
        (other, base)
    };
    // Walking is compared per order only where both finish the same number of them.
    let same = winner.orders_done == loser.orders_done && winner.orders_done > 0.0;
    let (per, unit) = match same {
        true => (
            winner.orders_done,
            format!(
                "per {}",
                order_noun(winner)
                    .trim_start_matches("an ")
                    .trim_start_matches("a ")
            ),
        ),
        false => (1.0, "in one run".to_owned()),
    };
    let saved = (loser.walking.mean - winner.walking.mean) / per;
    let mut sentence = format!(
        "\"{}\" saves {} of walking {unit} against \"{}\": {} instead of {}",
        winner.name,
        length.with_unit(saved),
        loser.name,
        length.with_unit(winner.walking.mean / per),
        length.with_unit(loser.walking.mean / per),
    );
    if loser.walking.mean > 0.0 {
        let share = |metres: f64| metres.abs() / loser.walking.mean;
        let estimate = &compared.walking.difference;
        sentence.push_str(&format!(" ({} less", percent(share(estimate.mean))));
        if let Some((low, high)) = interval(estimate) {
            let percent_of = Shown {
                per_unit: loser.walking.mean / 100.0,
                sign: "%",
            };
            let (near, far) = percent_of.ends(low, high);
            let level = percent(findings.confidence);
            sentence.push_str(&format!(", {level} interval {near} to {far} %"));
        }
        sentence.push(')');
    }
    let walking =
        |found: &CandidateFindings| found.crew.iter().map(|person| person.walking).sum::<f64>();
    let time = (walking(loser) - walking(winner)) / per;
    let hands_on = loser.hands_on / per;
    if time > 0.0 {
        sentence.push_str(&format!(
            ". That is {} of {} hands-on work",
            time_unit(time).with_unit(time),
            work_unit(hands_on).with_unit(hands_on),
        ));
    }
    sentence.push('.');
    sentence
}

fn lead_time_sentence(findings: &Findings, compared: &Comparison) -> Option<String> {
    let difference = compared.lead_time?.difference;
    let (base, other) = (
        &findings.candidates[compared.base],
        &findings.candidates[compared.other],
    );
    if !is_shown(&difference) {
        return Some("No difference in lead time is shown between them.".to_owned());
    }
    let (faster, slower) = if difference.mean < 0.0 {
        (other, base)
    } else {
        (base, other)
    };
    let unit = time_unit(difference.mean);
    let interval = interval(&difference).map(|(low, high)| unit.ends(low, high));
    // Ends that look alike say no more than the mean does.
    let interval =
        interval
            .filter(|(near, far)| near != far)
            .map_or_else(String::new, |(near, far)| {
                format!(
                    " ({} interval {near} to {far} {})",
                    percent(findings.confidence),
                    unit.sign
                )
            });
    Some(format!(
        "Lead time is {} shorter in \"{}\" than in \"{}\"{interval}.",
        unit.with_unit(difference.mean.abs()),
        faster.name,
        slower.name,
    ))
}
