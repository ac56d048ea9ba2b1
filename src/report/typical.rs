//! What is said of values that are only typical ones of kinds of stations.

use serde_json::{Value, json};

use super::lines::Line;
use super::sentence::listed;
use crate::experiment::TypicalValues;

/// The line of an answer; nothing where all values are the user's.
pub fn line(typical: &TypicalValues) -> Option<Line> {
    Some(Line {
        heading: "Typical",
        says: sentence(typical)?,
        is_fault: false,
    })
}

/// "9 stations have typical sizes, 4 operations typical times: measure yours."
pub fn sentence(typical: &TypicalValues) -> Option<String> {
    let of = |count: usize, what: &str, value: &str| match count {
        0 => None,
        1 => Some(format!("1 {what} with a typical {value}")),
        count => Some(format!("{count} {what}s with typical {value}s")),
    };
    let counts = [
        of(typical.sizes.len(), "station", "size"),
        of(typical.times.len(), "operation", "time"),
    ];
    let counts: Vec<String> = counts.into_iter().flatten().collect();
    (!counts.is_empty()).then(|| {
        format!(
            "{}: measure yours. `shopstride kinds` says where they come from.",
            listed(&counts, "and")
        )
    })
}

/// What is said beside an answer for times that may be off.
pub fn among_doubted(typical: &TypicalValues) -> Option<String> {
    let count = match typical.times.len() {
        0 => return None,
        1 => "that of 1 operation is".to_owned(),
        count => format!("those of {count} operations are"),
    };
    Some(format!(
        " Of these times {count} not yours but typical for the kind of station: take a stopwatch there first."
    ))
}

/// The same as data; nothing where all values are the user's.
pub fn json(typical: &TypicalValues) -> Option<Value> {
    let times = typical.times.iter().map(|(operation, station)| {
        json!({
            "operation": operation,
            "station": station,
        })
    });
    (*typical != TypicalValues::default()).then(|| {
        json!({
            "sizes": typical.sizes,
            "times": times.collect::<Vec<Value>>(),
        })
    })
}
