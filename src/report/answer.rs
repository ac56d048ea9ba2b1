//! The answer in sentences: which layout walks less, by how much and how sure, and what is busiest.

use super::bottleneck::busiest;
use super::certainty::{certainty, unfinished};
use super::days;
use super::difference::{interval, interval_in_words, is_shown};
use super::figure::{Shown, length_unit, percent, time_unit, work_unit};
use super::in_time;
use super::overload::{is_growing, piled_up};
use super::projects::{self, shorter_by};
use super::sentence::{listed, with_article, without_article};
use crate::experiment::{CandidateFindings, Comparison, Findings, ProjectFindings};
use crate::statistics::Selection;

/// The answer of a comparison.
pub fn compare(findings: &Findings) -> String {
    sentences(findings).join(" ")
}

/// The answer of a comparison sentence by sentence, what decides first.
pub fn sentences(findings: &Findings) -> Vec<String> {
    let (walking, spoken_of) = difference(findings);
    let mut sentences: Vec<String> = piled_up(findings);
    sentences.push(walking);
    sentences.extend(spoken_of.and_then(|compared| lead_time_sentence(findings, compared)));
    // The layout with the least walking need not be the one with the shortest lead time.
    let fastest = shortest_lead_time(findings);
    let told = |compared: &&Comparison| {
        spoken_of.is_some_and(|spoken_of| spoken_of.other == compared.other)
    };
    let fastest = fastest.filter(|compared| !told(compared));
    sentences.extend(fastest.and_then(|compared| lead_time_sentence(findings, compared)));
    sentences.extend(in_time::in_full(findings));
    sentences.extend(best_of_many(findings));
    sentences.extend(busiest(&findings.candidates[shortest_walk(findings)]));
    sentences.extend(unfinished(findings));
    sentences.push(certainty(findings));
    sentences
}

/// What is found of some replications only, where there are more.
pub fn diagnosed(findings: &Findings) -> Option<String> {
    let Findings {
        diagnosed,
        replications,
        ..
    } = findings;
    (diagnosed < replications).then(|| {
        format!(
            "Shares as the bottleneck, what people wait for and what lead times go into are those of the first \
             {diagnosed} of {replications} runs."
        )
    })
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
            (_, all) if all == count && !findings.varies => {
                format!("all have {what}")
            }
            (_, all) if all == count => format!("none can be said to have {what}"),
            ([], _) => return None,
            (names, _) if !findings.varies => {
                format!("{what} is that of {} alike", listed(names, "and"))
            }
            (names, _) => format!(
                "{what} is that of {}, which cannot be told apart",
                listed(names, "or")
            ),
        })
    };
    let only = |selection: Option<&Selection>| match selection?.in_question[..] {
        [only] => Some(only),
        _ => None,
    };
    let is_growing = findings
        .candidates
        .iter()
        .any(|found| found.overload.is_some());
    let is_one = !findings.has_several_projects();
    let soonest = (findings.soonest.as_ref()).filter(|_| is_one && !is_growing);
    let walks_least = findings.walks_least.as_ref();
    let best_in_both = only(walks_least).filter(|best| only(soonest) == Some(*best));
    let said: Vec<String> = match best_in_both {
        Some(best) => vec![format!(
            "{} has both the least walking and the shortest lead time",
            quoted(&best)
        )],
        None => {
            let walking = said(walks_least, "the least walking");
            let lead_time = said(soonest, "the shortest lead time");
            let by_project = findings.soonest_by_project.iter().filter(|_| !is_growing);
            let by_project = by_project.filter_map(|of| {
                let name = with_article(without_article(&of.name));
                said(
                    of.soonest.as_ref(),
                    &format!("the shortest lead time of {name}"),
                )
            });
            let all = walking.into_iter().chain(lead_time).chain(by_project);
            all.collect()
        }
    };
    if said.is_empty() {
        return None;
    }
    let level = findings.walks_least.as_ref().and_then(|s| s.level);
    let level = level.map_or_else(String::new, |level| {
        format!(" ({} over all comparisons together)", percent(level))
    });
    Some(format!(
        "Of all {count} layouts, {}{level}.",
        listed_clauses(&said)
    ))
}

/// "a, b, and c": clauses, which have words such as "and" in themselves.
fn listed_clauses(clauses: &[String]) -> String {
    match clauses {
        [first @ .., last] if !first.is_empty() => format!("{}, and {last}", first.join(", ")),
        _ => clauses.concat(),
    }
}

/// The candidate whose lead time is shown to be shorter than the base's by the most.
fn shortest_lead_time(findings: &Findings) -> Option<&Comparison> {
    let shorter = findings.comparisons.iter();
    let shorter = shorter.filter_map(|compared| Some((compared, shorter_by(findings, compared)?)));
    shorter
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(compared, _)| compared)
}

/// The answer of one candidate's run.
pub fn run(findings: &Findings, index: usize) -> String {
    let found = &findings.candidates[index];
    let length = length_unit(findings.units);
    let hands_on = work_unit(found.hands_on);
    let hands_on = hands_on.with_unit(found.hands_on);
    let mut first = match found.walking.mean == 0.0 {
        true => format!(
            "In \"{}\", nobody walks; {hands_on} is hands-on time",
            found.name
        ),
        false => format!(
            "In \"{}\", the crew walks {} {} of {hands_on} hands-on time",
            found.name,
            length.estimate(&found.walking),
            walking_share(found),
        ),
    };
    match &found.lead_time {
        Some(_) if found.overload.is_some() => first.push('.'),
        Some(_) if found.builds_several_projects() => {
            let of_project = |project: &ProjectFindings| {
                let estimate = project.lead_time?;
                let name = with_article(without_article(&project.name));
                let time = time_unit(estimate.mean).estimate(&estimate);
                Some(format!("{time} of {name}"))
            };
            let lead_times: Vec<String> = found.projects.iter().filter_map(of_project).collect();
            let lead_times = listed(&lead_times, "and");
            first.push_str(&format!("; the mean lead time is {lead_times}."));
        }
        Some(estimate) => {
            let unit = time_unit(estimate.mean);
            let order = order_noun(found);
            // Of one order in one run there is no mean.
            let mean = match found.orders_done == 1.0 && !findings.varies {
                true => "",
                false => "mean ",
            };
            first.push_str(&format!(
                "; the {mean}lead time of {order} is {}.",
                unit.estimate(estimate)
            ));
        }
        None => first.push_str("; no order is finished in the measured time."),
    }
    let mut sentences: Vec<String> = piled_up(findings);
    sentences.push(first);
    if let Some((days, done)) = days::all_done(found) {
        sentences.push(days.in_full(&done));
    }
    sentences.extend(days::projects_done(found));
    sentences.extend(in_time::in_full(findings));
    sentences.extend(busiest(found));
    sentences.extend(unfinished(findings));
    sentences.push(certainty(findings));
    sentences.join(" ")
}

pub(super) fn order_noun(found: &CandidateFindings) -> String {
    match found
        .projects
        .iter()
        .filter(|project| project.orders_done > 0.0)
        .collect::<Vec<_>>()
        .as_slice()
    {
        [project] => with_article(without_article(&project.name)),
        _ => "an order".to_owned(),
    }
}

/// How long the walking takes, so that it can be seen in proportion to the work.
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
                "The runs show no difference in walking between \"{}\" and \"{}\"{}.",
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
                    "The runs show no difference in walking between \"{name}\" and any other layout."
                ),
                None,
            )
        }
        Some(best) if best.walking.difference.mean < 0.0 => {
            (walking_sentence(findings, best), Some(best))
        }
        Some(only) if others == 1 => (walking_sentence(findings, only), Some(only)),
        Some(_) => (
            format!(
                "The runs show no layout with less walking than \"{}\".",
                base.name
            ),
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
        "\"{}\", the only layout, takes {} of walking.",
        found.name,
        length.estimate(&found.walking)
    )
}

/// What the other candidate saves or takes more than the base.
fn walking_sentence(findings: &Findings, compared: &Comparison) -> String {
    let length = length_unit(findings.units);
    let base = &findings.candidates[compared.base];
    let other = &findings.candidates[compared.other];
    // Walking is compared of what is built only where both build the same number, all of one project.
    let is_one = !findings.has_several_projects();
    let same = is_one && other.built() == base.built() && other.built() > 0.0;
    let (per, unit) = match same {
        true => (
            other.built(),
            format!("per {}", without_article(&order_noun(other))),
        ),
        false => (1.0, "in one run".to_owned()),
    };
    let estimate = &compared.walking.difference;
    let saves = estimate.mean < 0.0;
    let by = length.with_unit((other.walking.mean - base.walking.mean).abs() / per);
    let (other_name, base_name) = (&other.name, &base.name);
    let mut sentence = match saves {
        true => {
            format!("\"{other_name}\" saves {by} of walking {unit} compared with \"{base_name}\"")
        }
        false => format!("\"{other_name}\" takes {by} more walking {unit} than \"{base_name}\""),
    };
    sentence.push_str(&format!(
        ": {} instead of {}",
        length.with_unit(other.walking.mean / per),
        length.with_unit(base.walking.mean / per),
    ));
    if base.walking.mean > 0.0 {
        let share = percent(estimate.mean.abs() / base.walking.mean);
        let than = if saves { "less" } else { "more" };
        sentence.push_str(&format!(" ({share} {than}"));
        if let Some((low, high)) = compared.walking.percent.as_ref().and_then(interval) {
            let of_percent = Shown {
                per_unit: 1.0,
                sign: "%",
            };
            let (near, far) = of_percent.ends(low, high);
            let level = percent(findings.confidence);
            if near != far {
                sentence.push_str(&format!(", {level} interval {near} to {far} %"));
            }
        }
        sentence.push(')');
    }
    let walking =
        |found: &CandidateFindings| found.crew.iter().map(|person| person.walking).sum::<f64>();
    let time = (walking(base) - walking(other)) / per;
    let hands_on = base.hands_on / per;
    if saves && time > 0.0 {
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
    if is_growing(findings, compared) {
        return None;
    }
    if findings.has_several_projects() {
        return projects::lead_time_sentence(findings, compared);
    }
    let difference = compared.lead_time?.difference;
    let (base, other) = (
        &findings.candidates[compared.base],
        &findings.candidates[compared.other],
    );
    if !is_shown(&difference) {
        // Further candidates may differ in lead time, and are then spoken of next.
        let between = match findings.comparisons.len() {
            1 => "",
            _ => " between these two",
        };
        return Some(format!(
            "The runs show no difference in lead time{between}."
        ));
    }
    let than = if difference.mean < 0.0 {
        "shorter"
    } else {
        "longer"
    };
    let unit = time_unit(difference.mean);
    let interval = interval_in_words(&difference, unit, findings.confidence)
        .map_or_else(String::new, |interval| format!(" ({interval})"));
    Some(format!(
        "Lead time is {} {than} in \"{}\" than in \"{}\"{interval}.",
        unit.with_unit(difference.mean.abs()),
        other.name,
        base.name,
    ))
}
