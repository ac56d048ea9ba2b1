//! A quick look at what would help: the likeliest changes, played a few times.

use super::changes::Changes;
use super::edit::{BOLD_CUT, Edit, ReliefKind, Trial};
use super::findings::{ActiveShares, CandidateFindings};
use super::relief::{Reliefs, relieve};
use super::{Candidate, Replications, Study};

/// So many changes are tried at most, beside no walking at all. A comparison is to stay quick.
const TRIED: usize = 8;

/// So often each is played at most: what helps most is told from the rest by far more than chance moves either.
const PLAYED: u32 = 50;

/// Tries the changes of the stations, people and gear that hold a candidate up for the largest share of its time: one
/// more of them, or half their times; and no walking at all. None if there is nothing to try, or if a change gets the shop stuck.
///
/// `relieve` tries everything; this says which way to look.
pub fn quick_look(study: &Study, index: usize, found: &CandidateFindings) -> Option<Reliefs> {
    let candidate = &study.candidates[index];
    let mut changes = Changes::of(candidate);
    changes.untried.clear();
    changes.tried.retain(|trial| {
        let is_bold = !matches!(trial.edit, Edit::Times(_, percent) if percent != BOLD_CUT);
        is_bold && trial.edit.kind() != ReliefKind::Rule
    });
    // Whether shorter ways can help is asked in any case.
    let is_layout = |trial: &Trial| trial.edit.kind() == ReliefKind::Layout;
    let no_walking = changes.tried.iter().position(is_layout);
    let no_walking = no_walking.map(|index| changes.tried.remove(index));
    // The order of the file decides between equals.
    let weight = |trial: &Trial| weight(trial, candidate, found);
    changes
        .tried
        .sort_by(|a, b| weight(b).total_cmp(&weight(a)));
    changes.tried.truncate(TRIED);
    changes.tried.extend(no_walking);
    if changes.tried.is_empty() || found.orders_done == 0.0 {
        return None;
    }
    let mut settings = study.settings.clone();
    settings.replications = Replications::Fixed(match study.settings.replications {
        Replications::Fixed(count) => count.min(PLAYED),
        Replications::Precision(_) | Replications::Sufficient => PLAYED,
    });
    let looked_at = Study {
        title: study.title.clone(),
        about: None,
        units: study.units,
        settings,
        candidates: vec![candidate.clone()],
        left_out: Vec::new(),
    };
    relieve(&looked_at, 0, changes, &|_| ()).ok()
}

/// For how much of the time what is changed holds the work up; between those that never do, how busy it is.
fn weight(trial: &Trial, candidate: &Candidate, found: &CandidateFindings) -> f64 {
    let held = |shares: &ActiveShares| shares.sole + shares.shifting;
    match trial.edit {
        Edit::OneMoreUnit(id)
        | Edit::OneMoreManned(id, _)
        | Edit::Times(id, _)
        | Edit::NoSetup(id) => {
            let station = &found.stations[id.index()];
            held(&station.held) + station.utilisation
        }
        Edit::OneMorePerson(id) => {
            let group = &candidate.shop.crew[id].group;
            let members = found.crew.iter().filter(|person| person.group == *group);
            members
                .map(|person| held(&person.held) + person.utilisation)
                .fold(0.0, f64::max)
        }
        Edit::HalfMoreGear(id) | Edit::OneMoreSet(id, _) => {
            let gear = &found.gear[id.index()];
            held(&gear.held) + gear.utilisation
        }
        _ => 0.0,
    }
}
