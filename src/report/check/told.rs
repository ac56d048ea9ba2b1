//! Findings in words: what is the matter with whom, and what would help.

use super::names::ShopNames;
use super::phrase::{Wording, Writer, at_least, wording};
use super::said::Subjects;
use super::short::short;
use super::{feeding, gaps, handling, hazards, heights, kept, open_time, people, placing};
use crate::floor::check::RULES;
use crate::floor::{
    Fact, Finding, FindingLevel, FindingSubject, FloorState, Kickback, Point, Room, RuleId,
};
use crate::shop::Shop;

/// A finding with its names and sentences. Quantities in the sentences are still without units.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    pub level: FindingLevel,
    pub rule: RuleId,
    /// The station or thing that it is about.
    pub subject: String,
    /// What it collides with, if there is something.
    pub other: Option<String>,
    /// Where on the floor, if that can be pointed at.
    pub at: Option<Point>,
    /// Whether it is about something that a plan shows, so that its number can stand there.
    pub is_on_plan: bool,
    /// How much is missing, in metres.
    pub missing: Option<f64>,
    /// Whether somebody works where a machine may throw a piece.
    pub is_in_throw: bool,
    /// When it is so, unless it is always so: with what rolled out, or while the shop is shut.
    pub when: Option<String>,
    /// The figures behind the sentence; the unit stands at the end of the name, as in `window_m`.
    pub figures: Vec<(&'static str, f64)>,
    /// What is the matter, in a few words and without figures.
    pub short: String,
    /// The same with what is first asked for: how much is missing, or how wide something is and where.
    pub brief: Wording,
    /// What is the matter.
    pub says: Wording,
    /// What would help.
    pub helps: Option<Wording>,
}

/// Findings about a shop in a room, in words.
pub fn told(shop: &Shop, room: Option<&Room>, findings: &[Finding]) -> Vec<Told> {
    let names = ShopNames { shop, room };
    findings.iter().map(|finding| one(names, finding)).collect()
}

fn one(names: ShopNames<'_>, finding: &Finding) -> Told {
    let other = finding.other.as_ref().map(|other| names.subject(other));
    let about = Subjects {
        names,
        finding,
        subject: names.subject(&finding.subject),
        other: other.clone().unwrap_or_else(|| "something".to_owned()),
        missing: finding.missing.unwrap_or(0.0),
    };
    let said = match &finding.fact {
        Fact::Overlap { .. }
        | Fact::BeyondWalls { .. }
        | Fact::BeforeDoor { .. }
        | Fact::InLeaf { .. }
        | Fact::BeforePanel { .. }
        | Fact::Crossing { .. }
        | Fact::Units { .. } => placing::said(&about),
        Fact::OpenTime { .. } => open_time::said(&about),
        Fact::WetFinish { .. } => open_time::wet_finish(&about),
        Fact::KeptBehind { .. }
        | Fact::KeptFar { .. }
        | Fact::KeptInside { .. }
        | Fact::KeptInDoor { .. }
        | Fact::CollectorByFlame { .. }
        | Fact::KeptNearFlame { .. } => kept::said(&about),
        Fact::TooHigh { .. }
        | Fact::ReachOver { .. }
        | Fact::ReachUp { .. }
        | Fact::BenchHeight { .. } => heights::said(&about),
        Fact::FeedHazard(fact) => hazards::said(&about, fact),
        Fact::NearGap { gap, body, between } => gaps::said(&about, gap, *body, *between),
        Fact::Feed(fact) => feeding::said(&about, fact),
        Fact::Access(fact) => handling::access(&about, fact),
        Fact::Lifting { .. } | Fact::Ceiling { .. } => handling::said(&about),
        Fact::Kickback(kickback) => people::kickback(&about, kickback),
        Fact::Standing { .. }
        | Fact::StandingInLeaf
        | Fact::StandingInDoor { .. }
        | Fact::CutOff { .. }
        | Fact::CartCutOff { .. }
        | Fact::WayOut { .. }
        | Fact::Aisle { .. }
        | Fact::Doorway { .. }
        | Fact::ReachBlocked { .. }
        | Fact::ReachCutOff { .. } => people::said(&about),
    };
    let when = when(names, finding.floor);
    let always = |says: Wording| match &when {
        Some(when) => wording![format!("{when}: ")].and(says),
        None => says,
    };
    let short = short(&about);
    let brief = brief(&about).unwrap_or_else(|| match finding.missing {
        Some(missing) if missing > 0.0 => {
            wording![format!("{short}, "), at_least(missing), " missing"]
        }
        _ => wording![short.clone()],
    });
    Told {
        level: finding.level,
        rule: finding.rule,
        subject: about.subject,
        other,
        at: finding.at,
        is_on_plan: is_on_plan(finding),
        missing: finding.missing,
        is_in_throw: is_in_throw(&finding.fact),
        short,
        brief: always(brief),
        figures: said.figures,
        says: always(said.says),
        helps: said.helps,
        when,
    }
}

fn when(names: ShopNames<'_>, floor: FloorState) -> Option<String> {
    match floor {
        FloorState::Parked => None,
        FloorState::RolledOut(station) => {
            Some(format!("with {} rolled out", names.place(station.into())))
        }
        FloorState::Shut => Some("while the shop is shut".to_owned()),
    }
}

fn is_on_plan(finding: &Finding) -> bool {
    let is_nowhere = matches!(
        finding.subject,
        FindingSubject::Wall | FindingSubject::AccessRoute(_) | FindingSubject::Cargo(_)
    );
    finding.at.is_some() || !is_nowhere
}

/// Doors, and ways that are walked, are passed in a moment.
fn is_in_throw(fact: &Fact) -> bool {
    let while_running = matches!(
        fact,
        Fact::Kickback(Kickback::ReachesIn {
            while_running: true,
            ..
        })
    );
    while_running || matches!(fact, Fact::Kickback(Kickback::Stands { .. }))
}

/// Where it is worth more than what is missing: how wide a way is and how wide it should be, and between what.
fn brief(about: &Subjects<'_>) -> Option<Wording> {
    match &about.finding.fact {
        Fact::CutOff { .. } | Fact::WayOut { .. } | Fact::Aisle { .. } => people::brief(about),
        Fact::Feed(fact) => feeding::brief(about, fact),
        _ => None,
    }
}

impl Told {
    /// What is the matter, in the units of the reader.
    pub fn sentence(&self, writer: Writer<'_>) -> String {
        self.says.written(writer)
    }

    /// What is the matter in a few words, with what is first asked for, in the units of the reader.
    pub fn briefly(&self, writer: Writer<'_>) -> String {
        self.brief.written(writer)
    }

    /// What would help, in the units of the reader.
    pub fn advice(&self, writer: Writer<'_>) -> Option<String> {
        self.helps.as_ref().map(|helps| helps.written(writer))
    }

    /// A figure by its name.
    pub fn value(&self, name: &str) -> Option<f64> {
        let named = self.figures.iter().find(|(figure, _)| *figure == name);
        named.map(|&(_, value)| value)
    }

    /// Where the rule comes from.
    pub fn source(&self) -> &'static str {
        let row = RULES.iter().find(|rule| rule.id == self.rule);
        row.map_or("", |rule| rule.source)
    }
}
