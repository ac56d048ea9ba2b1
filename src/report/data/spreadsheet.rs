//! The findings as tables for a spreadsheet.

use super::dates;
use crate::experiment::{Findings, WalkedMetres, duct_figures};
use crate::scenario::printable_name;

/// The names of all CSV files that may be written.
pub const TABLES: [&str; 6] = [
    "candidates.csv",
    "stations.csv",
    "crew.csv",
    "legs.csv",
    "projects.csv",
    "comparisons.csv",
];

/// Where there are ducts: of rigid pipe in all, and the least velocity in what was open for 1 % of the time.
const DUCTS: [&str; 2] = ["ducts_m", "slowest_air_m_s"];

/// One CSV file: its name and its contents.
pub struct Csv {
    pub name: &'static str,
    pub contents: Vec<u8>,
}

impl Csv {
    /// Whether a file of this name is a table of this kind, whatever its rows: it begins with the same headings.
    pub fn replaces(&self, there: &[u8]) -> bool {
        let ends = self.contents.iter().position(|&byte| byte == b'\n');
        let header = &self.contents[..ends.unwrap_or(self.contents.len())];
        let header = header.strip_suffix(b"\r").unwrap_or(header);
        let rest = there.strip_prefix(header);
        rest.is_some_and(|rest| matches!(rest.first(), None | Some(b'\n' | b'\r')))
    }
}

/// A text for a spreadsheet, which would take one that begins like a formula for a formula and reckon it: an apostrophe
/// before it makes it a text.
fn text_cell(text: &str) -> String {
    const FORMULA: [char; 8] = ['=', '+', '-', '@', '＝', '＋', '－', '＠'];
    let text = printable_name(text);
    match text.starts_with(FORMULA) {
        true => format!("'{text}"),
        false => text.into_owned(),
    }
}

/// The findings as CSV files, one for each kind of thing; one row for each of it in each candidate.
///
/// # Errors
/// If a row cannot be written; in memory that does not happen.
pub fn csv(findings: &Findings) -> Result<Vec<Csv>, csv::Error> {
    let walked = |walked: WalkedMetres| [walked.empty, walked.carrying, walked.pushing];
    let mut files = Vec::new();
    let mut add = |name, header: &[&str], rows: Vec<Vec<String>>| -> Result<(), csv::Error> {
        let mut writer = csv::Writer::from_writer(Vec::new());
        writer.write_record(header)?;
        for row in rows {
            writer.write_record(row)?;
        }
        let contents = writer
            .into_inner()
            .map_err(|error| csv::Error::from(error.into_error()))?;
        files.push(Csv { name, contents });
        Ok(())
    };
    let candidates = &findings.candidates;
    let has_dates = dates::are_known(findings);
    let number = |value: f64| value.to_string();
    let optional = |value: Option<f64>| value.map(number).unwrap_or_default();
    let row = |name: &str, texts: &[&str], figures: &[Option<f64>]| -> Vec<String> {
        let texts = std::iter::once(name)
            .chain(texts.iter().copied())
            .map(text_cell);
        texts
            .chain(figures.iter().map(|&figure| optional(figure)))
            .collect()
    };
    let mut header = vec![
        "candidate",
        "walking_m",
        "half_width_m",
        "empty_m",
        "carrying_m",
        "pushing_m",
        "lead_time_s",
        "lead_time_half_width_s",
        "makespan_s",
        "hands_on_s",
        "orders_done",
        "throughput_per_h",
        "work_in_process",
    ];
    header.extend(has_dates.then_some(dates::HEADER).into_iter().flatten());
    let has_ducts = candidates.iter().any(|c| !c.dust.is_empty());
    header.extend(has_ducts.then_some(DUCTS).into_iter().flatten());
    let rows = candidates.iter().map(|c| {
        let [empty, carrying, pushing] = walked(c.walked).map(Some);
        let (walking, lead_time) = (c.walking, c.lead_time);
        let mut cells = row(
            &c.name,
            &[],
            &[
                Some(walking.mean),
                walking.half_width,
                empty,
                carrying,
                pushing,
                lead_time.map(|e| e.mean),
                lead_time.and_then(|e| e.half_width),
                Some(c.makespan.mean),
                Some(c.hands_on),
                Some(c.orders_done),
                Some(c.throughput_per_hour.mean),
                Some(c.work_in_process.mean),
            ],
        );
        if has_dates {
            cells.extend(dates::cells(c, None));
        }
        if has_ducts {
            cells.extend(duct_figures(&c.dust).map(optional));
        }
        cells
    });
    add("candidates.csv", &header, rows.collect())?;
    let stations = || candidates.iter().flat_map(|c| &c.stations);
    let is_blocked = stations().any(|s| s.blocked > 0.0);
    let is_serviced = stations().any(|s| s.serviced > 0.0);
    let is_left = stations().any(|s| s.left_standing > 0.0);
    let mut header = vec![
        "candidate",
        "station",
        "utilisation",
        "running_s",
        "setup_s",
        "curing_s",
        "reserved_s",
    ];
    header.extend(is_blocked.then_some("blocked_s"));
    header.extend(is_serviced.then_some("serviced_s"));
    header.extend(is_left.then_some("left_standing_s"));
    header.extend(["idle_s", "queue_mean", "queue_max", "wait_mean_s", "lots"]);
    let rows = candidates.iter().flat_map(|c| {
        c.stations.iter().map(|s| {
            let mut times = vec![s.utilisation, s.running, s.setup, s.curing, s.reserved];
            times.extend(is_blocked.then_some(s.blocked));
            times.extend(is_serviced.then_some(s.serviced));
            times.extend(is_left.then_some(s.left_standing));
            times.extend([s.idle, s.queue.mean, s.queue_max]);
            let figures = times.into_iter().map(Some);
            let figures: Vec<Option<f64>> = figures
                .chain([s.wait.map(|e| e.mean), Some(s.lots)])
                .collect();
            row(&c.name, &[&s.name], &figures)
        })
    });
    add("stations.csv", &header, rows.collect())?;
    let mut header = vec![
        "candidate",
        "person",
        "walking_s",
        "handling_s",
        "working_s",
        "waiting_s",
    ];
    let is_away = candidates
        .iter()
        .flat_map(|c| &c.crew)
        .any(|p| p.away > 0.0);
    header.extend(is_away.then_some("away_s"));
    header.extend(["empty_m", "carrying_m", "pushing_m"]);
    let rows = candidates.iter().flat_map(|c| {
        c.crew.iter().map(|p| {
            let times = [p.walking, p.handling, p.working, p.waiting];
            let figures: Vec<Option<f64>> = (times.into_iter())
                .chain(is_away.then_some(p.away))
                .chain(walked(p.walked))
                .map(Some)
                .collect();
            row(&c.name, &[&p.name], &figures)
        })
    });
    add("crew.csv", &header, rows.collect())?;
    let rows = candidates.iter().flat_map(|c| {
        let legs = c.legs.iter();
        legs.map(|l| {
            row(
                &c.name,
                &[&l.from, &l.to, l.manner.name()],
                &[Some(l.trips), Some(l.metres)],
            )
        })
    });
    add(
        "legs.csv",
        &["candidate", "from", "to", "hands", "trips", "metres"],
        rows.collect(),
    )?;
    let rows = candidates.iter().flat_map(|c| {
        c.projects.iter().map(|p| {
            let figures = [
                Some(p.orders_done),
                p.lead_time.map(|e| e.mean),
                p.walking_per_order.map(|e| e.mean),
                p.hands_on_per_order,
            ];
            let mut cells = row(&c.name, &[&p.name], &figures);
            if has_dates {
                cells.extend(dates::cells(c, Some(p)));
            }
            cells
        })
    });
    let mut header = vec![
        "candidate",
        "project",
        "orders_done",
        "lead_time_s",
        "walking_per_order_m",
        "hands_on_per_order_s",
    ];
    header.extend(has_dates.then_some(dates::HEADER).into_iter().flatten());
    add("projects.csv", &header, rows.collect())?;
    let rows = findings.comparisons.iter().map(|c| {
        let mut figures = Vec::new();
        for paired in [Some(&c.walking), c.lead_time.as_ref()] {
            let difference = paired.map(|paired| paired.difference);
            figures.extend([
                difference.map(|e| e.mean),
                difference.and_then(|e| e.low()),
                difference.and_then(|e| e.high()),
            ]);
        }
        row(
            &candidates[c.base].name,
            &[&candidates[c.other].name],
            &figures,
        )
    });
    let header = [
        "base",
        "other",
        "walking_difference_m",
        "walking_low_m",
        "walking_high_m",
        "lead_time_difference_s",
        "lead_time_low_s",
        "lead_time_high_s",
    ];
    // One candidate alone is compared with nothing.
    if !findings.comparisons.is_empty() {
        add("comparisons.csv", &header, rows.collect())?;
    }
    Ok(files)
}
