//! The layouts of a class as one study: those that several people made of the same shop, each played once.

use std::sync::Arc;

use super::study::{Candidate, Study};

/// What one of the class has handed in.
#[derive(Debug, Clone)]
pub struct ClassWork {
    pub whose: String,
    pub study: Study,
}

/// All layouts of a class.
#[derive(Debug, Clone)]
pub struct ClassStudy {
    /// Each layout once; it is played as the shop that most have says.
    pub study: Study,
    /// By candidate.
    pub layouts: Vec<ClassLayout>,
    /// What nobody can get about in as it is drawn: checked, not played.
    pub left_out: Vec<(ClassLayout, Candidate)>,
    /// Works of another shop, whose figures cannot stand beside those of the others.
    pub others: Vec<OtherShop>,
}

/// A layout, and who has handed it in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClassLayout {
    pub name: String,
    /// Indices of the works in which it is.
    pub works: Vec<usize>,
    /// Whether everybody started from it.
    pub is_given: bool,
}

/// A work of which something but the layouts is another than in the others.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OtherShop {
    /// Index of the work.
    pub work: usize,
    pub differs: Vec<ShopPart>,
}

/// What must be the same for figures to stand beside each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum ShopPart {
    Room,
    Stations,
    Work,
    People,
    Orders,
    Hours,
    Rules,
    Run,
}

impl ClassStudy {
    /// Puts the works of a class together, with what was handed out if that is known: its layouts are those that everybody
    /// started from, and its shop is the one that counts. Otherwise that is the shop that most works have, the first of
    /// several, and everybody started from what is in all of them.
    ///
    /// Nothing without a work.
    pub fn of(works: &[ClassWork], given: Option<&Study>) -> Option<ClassStudy> {
        let shop = given.or_else(|| most_have(works))?;
        let mut others = Vec::new();
        let mut joined = JoinedLayouts::default();
        if let Some(given) = given {
            given
                .candidates
                .iter()
                .for_each(|candidate| joined.give(candidate));
        }
        for (work, ClassWork { study, .. }) in works.iter().enumerate() {
            let differs = differences(shop, study);
            match differs.is_empty() {
                true => joined.take(work, study),
                false => others.push(OtherShop { work, differs }),
            }
        }
        let alike = works.len() - others.len();
        let shared = Arc::clone(&shop.candidates.first()?.shop);
        let JoinedLayouts { played, left_out } = joined;
        let (mut layouts, mut candidates) = (Vec::new(), Vec::new());
        for (mut layout, candidate) in played {
            let is_in_all = given.is_none() && alike > 1 && layout.works.len() == alike;
            layout.is_given |= is_in_all;
            candidates.push(Candidate {
                name: called(works, &layout),
                shop: Arc::clone(&shared),
                ..candidate
            });
            layouts.push(layout);
        }
        let left_out = left_out.into_iter().map(|(layout, candidate)| {
            let name = called(works, &layout);
            (layout, Candidate { name, ..candidate })
        });
        Some(ClassStudy {
            left_out: left_out.collect(),
            study: Study {
                candidates,
                left_out: Vec::new(),
                ..shop.clone()
            },
            layouts,
            others,
        })
    }
}

/// What a layout is called beside those of others: whose it is is said where one alone has it.
fn called(works: &[ClassWork], layout: &ClassLayout) -> String {
    match layout.works[..] {
        [only] if !layout.is_given => format!("{}: {}", works[only].whose, layout.name),
        _ => layout.name.clone(),
    }
}

/// Layouts, each once, with who has them.
#[derive(Default)]
struct JoinedLayouts {
    played: Vec<(ClassLayout, Candidate)>,
    left_out: Vec<(ClassLayout, Candidate)>,
}

impl JoinedLayouts {
    /// A layout that was handed out.
    fn give(&mut self, candidate: &Candidate) {
        let layout = ClassLayout {
            name: candidate.name.clone(),
            works: Vec::new(),
            is_given: true,
        };
        self.played.push((layout, candidate.clone()));
    }

    fn take(&mut self, work: usize, study: &Study) {
        for candidate in &study.candidates {
            join(&mut self.played, work, candidate);
        }
        for candidate in &study.left_out {
            join(&mut self.left_out, work, candidate);
        }
    }
}

fn join(layouts: &mut Vec<(ClassLayout, Candidate)>, work: usize, candidate: &Candidate) {
    let same = layouts
        .iter_mut()
        .find(|(_, other)| is_same(other, candidate));
    match same {
        Some((layout, _)) if layout.works.last() == Some(&work) => {}
        Some((layout, _)) => layout.works.push(work),
        None => {
            let layout = ClassLayout {
                name: candidate.name.clone(),
                works: vec![work],
                is_given: false,
            };
            layouts.push((layout, candidate.clone()));
        }
    }
}

/// Whether two layouts have everything in the same place, whatever they are called.
fn is_same(one: &Candidate, other: &Candidate) -> bool {
    let places = match (&one.plan, &other.plan) {
        (Some(one), Some(other)) => one.going == other.going && one.placements == other.placements,
        (one, other) => one.is_none() && other.is_none(),
    };
    places && one.walks == other.walks
}

/// The study whose shop most works have; the first of several.
fn most_have(works: &[ClassWork]) -> Option<&Study> {
    let alike = |study: &Study| {
        let all = works.iter();
        all.filter(|other| differences(study, &other.study).is_empty())
            .count()
    };
    let mut most: Option<(&Study, usize)> = None;
    for ClassWork { study, .. } in works {
        let count = alike(study);
        if most.is_none_or(|(_, most)| count > most) {
            most = Some((study, count));
        }
    }
    most.map(|(study, _)| study)
}

/// What of a study is another than in the one that counts, apart from where things stand.
fn differences(counts: &Study, other: &Study) -> Vec<ShopPart> {
    let mut differs: Vec<ShopPart> = Vec::new();
    // How often and on which numbers it is played counts for nothing here: all are played alike.
    let time = |study: &Study| {
        (
            study.settings.until,
            study.settings.warm_up,
            study.settings.starts,
        )
    };
    if time(counts) != time(other) {
        differs.push(ShopPart::Run);
    }
    // What a further candidate changes is another shop as well.
    let Some(own) = counts.candidates.first() else {
        return differs;
    };
    for candidate in other.candidates.iter().chain(&other.left_out) {
        differs.extend(shop_differences(own, candidate));
    }
    differs.sort_unstable();
    differs.dedup();
    differs
}

fn shop_differences(own: &Candidate, other: &Candidate) -> Vec<ShopPart> {
    let (a, b) = (&*own.shop, &*other.shop);
    let room = |candidate: &Candidate| {
        let plan = candidate.plan.as_ref();
        plan.and_then(|plan| plan.room.clone())
    };
    let is_same = [
        (
            ShopPart::Room,
            room(own) == room(other) && a.doors == b.doors,
        ),
        (
            ShopPart::Stations,
            a.stations == b.stations && a.gear == b.gear && has_same_sizes(own, other),
        ),
        (
            ShopPart::Work,
            a.operations == b.operations && a.settings == b.settings && a.projects == b.projects,
        ),
        (
            ShopPart::People,
            a.crew == b.crew && a.handling == b.handling,
        ),
        (ShopPart::Orders, a.orders == b.orders),
        (
            ShopPart::Hours,
            a.calendar == b.calendar
                && a.quiet == b.quiet
                && a.no_blades == b.no_blades
                && a.heat == b.heat,
        ),
        (
            ShopPart::Rules,
            a.rules == b.rules && a.not_together == b.not_together && own.limits == other.limits,
        ),
    ];
    let differs = is_same.into_iter().filter(|(_, is_same)| !is_same);
    differs.map(|(part, _)| part).collect()
}

/// Whether stations that both place are as large in both.
fn has_same_sizes(own: &Candidate, other: &Candidate) -> bool {
    let (Some(own), Some(other)) = (&own.plan, &other.plan) else {
        return true;
    };
    let pairs = own.placements.iter().zip(&other.placements);
    let mut both = pairs.filter_map(|(own, other)| own.as_ref().zip(other.as_ref()));
    both.all(|(own, other)| own.size == other.size && own.heights == other.heights)
}
