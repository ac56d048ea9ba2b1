//! For how much of the time each resource is the bottleneck.

use super::frame::looked_into;
use super::meaning::{IDLE, SHIFTING, SOLE};
use super::shares::{Column, DividedBar, DividedBars};
use super::{Chart, ChartSize, Picture};
use crate::experiment::{ActiveShares, CandidateFindings, Findings, ResourceKind};
use crate::report::about;
use crate::report::figure::percent;

/// So many resources are drawn.
const ROWS: usize = 20;
/// Less than this share of the time, which would be written as `<1 %`, is no reason for a row.
const LEAST: f64 = 0.0005;

/// A station, a group of people or a kind of gear, and for what shares of the time it is the bottleneck.
#[derive(Debug, Clone, PartialEq)]
pub struct Share {
    pub name: String,
    pub kind: ResourceKind,
    /// Alone.
    pub sole: f64,
    /// While the bottleneck shifts between it and others.
    pub shifting: f64,
}

impl Share {
    fn whole(&self) -> f64 {
        self.sole + self.shifting
    }
}

/// The shares of a candidate.
#[derive(Debug, Clone, PartialEq)]
pub struct CandidateShares {
    pub candidate: String,
    /// In any order.
    pub list: Vec<Share>,
}

/// The shares of all candidates. People who are alike count together.
pub fn shares(findings: &Findings) -> Vec<CandidateShares> {
    let of = |found: &CandidateFindings| {
        let share = |name: &str, kind, held: &ActiveShares| Share {
            name: name.to_owned(),
            kind,
            sole: held.sole,
            shifting: held.shifting,
        };
        let crew = found.crew.iter().enumerate().filter(|(index, person)| {
            let before = &found.crew[..*index];
            before.iter().all(|other| other.group != person.group)
        });
        let stations = found.stations.iter();
        let gear = found.gear.iter();
        let list = stations
            .map(|station| share(&station.name, ResourceKind::Station, &station.held))
            .chain(crew.map(|(_, person)| share(&person.group, ResourceKind::Person, &person.held)))
            .chain(gear.map(|gear| share(&gear.name, ResourceKind::Gear, &gear.held)));
        CandidateShares {
            candidate: found.name.clone(),
            list: list.collect(),
        }
    };
    findings.candidates.iter().map(of).collect()
}

/// Nothing is drawn where there is nothing to compare: fewer than two resources that ever hold anything up, on one
/// layout alone.
pub fn draw(
    chart: &Chart,
    findings: &Findings,
    all: &[CandidateShares],
    size: impl Into<ChartSize>,
) -> Vec<Picture> {
    let mut rows = rows(all);
    let is_whole = |share: &Share| percent(share.whole()) == percent(1.0);
    let one_bar = rows.len() == 1 && all.iter().all(|of| of.list.iter().any(is_whole));
    if rows.is_empty() || one_bar {
        return Vec::new();
    }
    let more = rows.len().saturating_sub(ROWS);
    rows.truncate(ROWS);
    let mut notes = format!(
        "Share of the time, {}, by the active-period method: at each moment the bottleneck is whatever has the longest \
         unbroken busy spell around it, alone, or shared while one spell gives way to another. This is an indication, \
         not proof. The figure beside a bar is both together.",
        looked_into(findings)
    );
    if more > 0 {
        notes.push_str(&format!(" {more} more with smaller shares are not drawn."));
    }
    let names: Vec<String> = rows.iter().map(|row| label(row.0, row.1)).collect();
    let columns = all.iter().map(|shares| Column {
        name: &shares.candidate,
        bottleneck: None,
        bars: (rows.iter().zip(&names))
            .filter_map(|(row, name)| bar(shares, *row, name))
            .collect(),
    });
    let bars = DividedBars {
        notes: &notes,
        columns: columns.collect(),
        spelled_out: false,
    };
    bars.draw(chart, findings, size.into())
}

fn label(name: &str, kind: ResourceKind) -> String {
    match kind {
        ResourceKind::Station => name.to_owned(),
        kind => format!("{name} ({})", kind.name()),
    }
}

/// The resources that are the bottleneck somewhere, those with the largest share of any candidate first.
fn rows(all: &[CandidateShares]) -> Vec<(&str, ResourceKind)> {
    let mut rows: Vec<(&Share, f64)> = Vec::new();
    for share in all.iter().flat_map(|shares| &shares.list) {
        let known =
            (rows.iter_mut()).find(|(row, _)| row.name == share.name && row.kind == share.kind);
        match known {
            Some((_, most)) => *most = most.max(share.whole()),
            None => rows.push((share, share.whole())),
        }
    }
    rows.retain(|(_, most)| *most >= LEAST);
    // Stable, so that equal ones stay in the order of the file.
    rows.sort_by(|a, b| b.1.total_cmp(&a.1));
    rows.into_iter()
        .map(|(share, _)| (share.name.as_str(), share.kind))
        .collect()
}

/// Nothing for what a layout does not have.
fn bar(
    shares: &CandidateShares,
    (name, kind): (&str, ResourceKind),
    label: &str,
) -> Option<DividedBar> {
    let mut list = shares.list.iter();
    let share = list.find(|share| share.name == name && share.kind == kind)?;
    let (sole, shifting) = (share.sole, share.shifting);
    let rest = (1.0 - sole - shifting).max(0.0);
    let figures = whole_percent([sole, shifting, rest]);
    Some(DividedBar {
        name: label.to_owned(),
        parts: vec![
            (sole, SOLE),
            (shifting, SHIFTING),
            (rest, IDLE.called("not the bottleneck")),
        ],
        figures: figures.map(|part| format!("{part} %")).into(),
        beside: match figures[0] + figures[1] {
            0 if sole + shifting > 0.0 => about::share(0.001),
            whole => format!("{whole} %"),
        },
        bottleneck: false,
    })
}

/// Parts of a whole in whole percent that add up to 100: those with the largest remainders are rounded up.
fn whole_percent(parts: [f64; 3]) -> [u32; 3] {
    let whole: f64 = parts.iter().sum();
    let exact = parts.map(|part| {
        if whole > 0.0 {
            100.0 * part / whole
        } else {
            0.0
        }
    });
    let mut rounded = exact.map(|part| part.floor() as u32);
    let mut by_remainder = [0, 1, 2];
    by_remainder.sort_by(|&a, &b| exact[b].fract().total_cmp(&exact[a].fract()));
    let missing = match whole > 0.0 {
        true => 100_u32.saturating_sub(rounded.iter().sum()),
        false => 0,
    };
    for &part in by_remainder.iter().take(missing as usize) {
        rounded[part] += 1;
    }
    rounded
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_in_whole_percent_add_up() {
        assert_eq!(whole_percent([0.155, 0.123, 0.722]), [16, 12, 72]);
        assert_eq!(whole_percent([0.408, 0.152, 0.44]), [41, 15, 44]);
        assert_eq!(whole_percent([0.0, 0.084, 0.916]), [0, 8, 92]);
        assert_eq!(whole_percent([1.0, 0.0, 0.0]), [100, 0, 0]);
        assert_eq!(whole_percent([0.0, 0.0, 0.0]), [0, 0, 0]);
        for step in 0..=1000 {
            let sole = f64::from(step) / 1000.0;
            let parts = [sole, (1.0 - sole) / 3.0, (1.0 - sole) * 2.0 / 3.0];
            let rounded = whole_percent(parts);
            assert_eq!(rounded.iter().sum::<u32>(), 100, "{parts:?}");
            for (part, rounded) in parts.iter().zip(rounded) {
                assert!((100.0 * part - f64::from(rounded)).abs() < 1.0 + 1e-9);
            }
        }
    }
}
