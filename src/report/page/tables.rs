//! The figures behind each chart, as tables whose cells are those of the JSON.

use serde::Serialize;
use serde_json::Value;

use crate::experiment::Units;
use crate::report::figure::{length_unit, number, percent, time_unit};
use crate::scenario::printable_name;

/// So many rows are shown at most; the JSON has all of them.
const MOST_ROWS: usize = 400;

/// What stands behind a chart.
struct ChartTable {
    /// How the files of the chart begin.
    stem: &'static str,
    /// Keys of lists, each within the entries of the one before; a row is an entry of the last.
    lists: &'static [&'static str],
    /// What the names of these entries are called.
    names: &'static [&'static str],
    /// Headings, and where in a row the figure is; its key ends with the unit.
    columns: &'static [(&'static str, &'static str)],
}

const LAYOUT: &str = "layout";

const TABLES: &[ChartTable] = &[
    ChartTable {
        stem: "walking",
        lists: &["candidates"],
        names: &[LAYOUT],
        columns: &[
            ("walking", "/walking/mean_m"),
            ("at least", "/walking/low_m"),
            ("at most", "/walking/high_m"),
            ("empty-handed", "/walking/empty_m"),
            ("carrying", "/walking/carrying_m"),
            ("pushing a cart", "/walking/pushing_m"),
        ],
    },
    ChartTable {
        stem: "legs",
        lists: &["candidates", "legs"],
        names: &[LAYOUT],
        columns: LEGS,
    },
    ChartTable {
        stem: "from-to",
        lists: &["candidates", "legs"],
        names: &[LAYOUT],
        columns: LEGS,
    },
    ChartTable {
        stem: "string",
        lists: &["candidates", "legs"],
        names: &[LAYOUT],
        columns: LEGS,
    },
    ChartTable {
        stem: "stays",
        lists: &["candidates", "crew", "at_stations"],
        names: &[LAYOUT, "who", "where"],
        columns: &[
            ("setup", "/setup_s"),
            ("running or working", "/running_s"),
            ("serviced", "/servicing_s"),
        ],
    },
    ChartTable {
        stem: "stations",
        lists: &["candidates", "stations"],
        names: &[LAYOUT, "station"],
        columns: &[
            ("in use", "/utilisation"),
            ("running or working", "/running_s"),
            ("setup", "/setup_s"),
            ("drying or setting", "/curing_s"),
            ("waiting for a person, parts or gear", "/reserved_s"),
            ("blocked", "/blocked_s"),
            ("serviced", "/serviced_s"),
            ("left standing", "/left_standing_s"),
            ("idle", "/idle_s"),
            ("mean queue, lots", "/queue_mean"),
        ],
    },
    ChartTable {
        stem: "people",
        lists: &["candidates", "crew"],
        names: &[LAYOUT, "who"],
        columns: &[
            ("busy", "/utilisation"),
            ("working", "/working_s"),
            ("handling", "/handling_s"),
            ("walking", "/walking_s"),
            ("waiting", "/waiting_s"),
            ("away", "/away_s"),
            ("walked", "/walked_m"),
        ],
    },
    ChartTable {
        stem: "waits",
        lists: &["candidates", "projects"],
        names: &[LAYOUT, "project"],
        columns: &[
            ("worked on", "/lead_time_split_s/worked"),
            ("carried", "/lead_time_split_s/carried"),
            ("drying", "/lead_time_split_s/curing"),
            (
                "waiting for a station",
                "/lead_time_split_s/waiting_station",
            ),
            ("kept apart", "/lead_time_split_s/kept_apart"),
            (
                "waiting for clamps or jigs",
                "/lead_time_split_s/waiting_gear",
            ),
            ("waiting for a person", "/lead_time_split_s/waiting_person"),
            (
                "waiting for other parts",
                "/lead_time_split_s/waiting_parts",
            ),
            ("shop shut", "/lead_time_split_s/shop_shut"),
        ],
    },
    ChartTable {
        stem: "bottlenecks",
        lists: &["candidates", "stations"],
        names: &[LAYOUT, "station"],
        columns: BOTTLENECKS,
    },
    ChartTable {
        stem: "bottlenecks",
        lists: &["candidates", "crew"],
        names: &[LAYOUT, "who"],
        columns: BOTTLENECKS,
    },
    ChartTable {
        stem: "bottlenecks",
        lists: &["candidates", "gear"],
        names: &[LAYOUT, "gear"],
        columns: BOTTLENECKS,
    },
    ChartTable {
        stem: "lead-time",
        lists: &["candidates", "projects"],
        names: &[LAYOUT, "project"],
        columns: &[
            ("orders done", "/orders_done"),
            ("start to finish", "/lead_time_s"),
            ("at least", "/lead_time_low_s"),
            ("at most", "/lead_time_high_s"),
            ("half within", "/lead_time_p50_s"),
            ("90 % within", "/lead_time_p90_s"),
        ],
    },
    ChartTable {
        stem: "timeline",
        lists: &["timelines", "rows", "bars"],
        names: &[LAYOUT, "what"],
        columns: &[("does", "/activity"), ("from", "/from_s"), ("to", "/to_s")],
    },
    ChartTable {
        stem: "calendar",
        lists: &["candidates"],
        names: &[LAYOUT],
        columns: &[
            ("done in half of the runs", "/done_at/p50_date"),
            ("session", "/done_at/p50_session"),
            ("done in 90 %", "/done_at/p90_date"),
            ("session", "/done_at/p90_session"),
        ],
    },
];

const LEGS: &[(&str, &str)] = &[
    ("from", "/from"),
    ("to", "/to"),
    ("hands", "/manner"),
    ("trips", "/trips"),
    ("walked", "/metres"),
];

const BOTTLENECKS: &[(&str, &str)] = &[
    ("bottleneck alone", "/sole_bottleneck_share"),
    ("while it shifts", "/shifting_bottleneck_share"),
    (
        "busy without a break, on average",
        "/average_active_period_s",
    ),
];

/// A table of a page.
#[derive(Debug, Serialize)]
pub struct PageTable {
    pub headings: Vec<&'static str>,
    pub rows: Vec<Vec<PageCell>>,
    /// How many rows are left out.
    pub more: usize,
}

/// A cell, with the figure of the JSON where it has one.
#[derive(Debug, Clone, Serialize)]
pub struct PageCell {
    pub text: String,
    pub value: Option<String>,
}

/// The tables behind a chart, by how its files begin, from what the JSON has and from runs beside it.
pub fn behind(stem: &str, document: &Value, units: Units) -> Vec<PageTable> {
    let tables = TABLES.iter().filter(|table| table.stem == stem);
    let tables = tables.map(|table| table.filled(document, units));
    tables.filter(|table| !table.rows.is_empty()).collect()
}

impl ChartTable {
    fn filled(&self, document: &Value, units: Units) -> PageTable {
        let mut rows = Vec::new();
        self.collect(document, self.lists, &[], units, &mut rows);
        let more = rows.len().saturating_sub(MOST_ROWS);
        rows.truncate(MOST_ROWS);
        let columns = self.columns.iter().map(|(heading, _)| *heading);
        PageTable {
            headings: self.names.iter().copied().chain(columns).collect(),
            rows,
            more,
        }
    }

    fn collect(
        &self,
        within: &Value,
        lists: &[&str],
        named: &[PageCell],
        units: Units,
        rows: &mut Vec<Vec<PageCell>>,
    ) {
        let Some((list, deeper)) = lists.split_first() else {
            let cells = self.columns.iter().map(|(_, pointer)| {
                cell(
                    pointer,
                    within.pointer(pointer).unwrap_or(&Value::Null),
                    units,
                )
            });
            rows.push(named.iter().cloned().chain(cells).collect());
            return;
        };
        for entry in within[*list].as_array().into_iter().flatten() {
            let mut named = named.to_vec();
            if named.len() < self.names.len() {
                named.push(text(entry["name"].as_str().unwrap_or_default()));
            }
            self.collect(entry, deeper, &named, units, rows);
        }
    }
}

fn text(text: &str) -> PageCell {
    PageCell {
        text: printable_name(text).into_owned(),
        value: None,
    }
}

/// A figure in the units of the reader, by what the end of its key says.
fn cell(pointer: &str, value: &Value, units: Units) -> PageCell {
    let Some(figure) = value.as_f64() else {
        return text(value.as_str().unwrap_or("–"));
    };
    let is_time = pointer.ends_with("_s") || pointer.contains("_s/");
    let written = match () {
        () if pointer.ends_with("_m") || pointer.ends_with("/metres") => {
            length_unit(units).with_unit(figure)
        }
        () if is_time => time_unit(figure).with_unit(figure),
        () if pointer.ends_with("_share") || pointer.ends_with("/utilisation") => percent(figure),
        () => number(figure),
    };
    PageCell {
        text: written,
        value: Some(value.to_string()),
    }
}
