//! Orders: what is asked for, and when.

use super::deadline::{self, When};
use super::projects::Projects;
use super::{MOST_LOTS, MOST_PIECES, MOST_RELEASED};
use crate::scenario::fields::Fields;
use crate::scenario::keys;
use crate::scenario::problem::{Bytes, Problem};
use crate::scenario::reader;
use crate::scenario::tree::{YamlNode, YamlValue};
use crate::shop::{Arrivals, OrderLine, OrderLineId, Project, ProjectId, Table};
use crate::units::{Moment, Span};

/// Anything shorter may round to 0, since time is counted in whole microseconds.
const SHORTEST_GAP: f64 = 1e-6;

/// What `first` and `until` are counted from.
const BEGINNING: &str = "the beginning of the run";

/// How a project is ordered by its name.
fn order_of(project: &str) -> String {
    format!("[{{project: {project}}}]")
}

/// The order lines, and where each stands.
pub fn build<'a>(
    fields: &Fields<'a>,
    projects: Option<&Projects<'a>>,
    when: &When<'_>,
) -> (Option<Table<OrderLineId, OrderLine>>, Vec<Bytes>) {
    let sink = fields.sink;
    let Some(entry) = fields.entry("orders") else {
        return (None, Vec::new());
    };
    let Some(items) = reader::list_such_as(&entry.node, "a list of orders", order_of, sink) else {
        return (None, Vec::new());
    };
    if items.is_empty() {
        sink.report(
            Problem::error(&entry.key.span, "nothing is ordered")
                .hint("write for example `- project: box`"),
        );
        return (None, Vec::new());
    }
    let Some(projects) = projects else {
        return (None, Vec::new());
    };
    let mut table = Some(Table::new());
    let mut spans = Vec::new();
    for node in items {
        match (line(node, fields, projects, when), &mut table) {
            (Some(line), Some(table)) => {
                table.push(line);
                spans.push(node.get("project").map_or(&node.span, |n| &n.span).clone());
            }
            _ => table = None,
        }
    }
    if let Some(lines) = &table {
        let mut ordered = vec![false; projects.names.len()];
        for line in lines {
            ordered[line.project.index()] = true;
        }
        for (index, ordered) in ordered.into_iter().enumerate() {
            if !ordered {
                let key = projects.names.key(index);
                sink.report(
                    Problem::warning(
                        key.span,
                        format!("the project `{}` is never ordered", key.text),
                    )
                    .label("never built"),
                );
            }
        }
    }
    (table, spans)
}

fn line(
    node: &YamlNode,
    above: &Fields,
    projects: &Projects,
    when: &When<'_>,
) -> Option<OrderLine> {
    let sink = above.sink;
    let horizon = when.horizon.map(|horizon| horizon.seconds());
    let fields = Fields::open(node, &node.span, &keys::ORDER, sink)?;
    let project = fields
        .get("project")
        .and_then(|name| projects.names.find(name, sink));
    let count = fields.whole("count", 1, MOST_LOTS);
    let first = fields.time_from("first", BEGINNING);
    let until = fields.time_from("until", BEGINNING);
    let due = fields.time_from("due", "the release of each order");
    let together = fields.whole("together", 1, MOST_PIECES).unwrap_or(1);
    let in_progress = fields.whole("in progress", 1, MOST_RELEASED);

    let excluded: &[&str] = match (fields.entry("in progress"), fields.entry("every")) {
        (Some(_), _) => &["every", "count", "first", "until"],
        (None, None) => &["first", "until"],
        _ => &[],
    };
    let mut complete = true;
    for entry in excluded.iter().filter_map(|key| fields.entry(key)) {
        let key = &entry.key.text;
        let problem = match fields.entry("in progress") {
            Some(other) => Problem::error(
                &entry.key.span,
                format!("`{key}` and `in progress` exclude each other"),
            )
            .also(&other.key.span, "a new one comes whenever one is done")
            .hint(format!(
                "leave `{key}` out, or write `every` instead of `in progress`"
            )),
            None => {
                let problem = Problem::error(&entry.key.span, format!("`{key}` needs `every`"));
                let count = count.unwrap_or(1);
                match (&first, key.as_str()) {
                    (Some(first), "first") => problem.hint(format!(
                        "without `every`, all orders come at the start; for {count} at {0} write `first: {0}, every: \
                         0, count: {count}`",
                        first.text
                    )),
                    _ => problem.hint("without `every`, all orders come at the start"),
                }
            }
        };
        sink.report(problem);
        complete = false;
    }
    let arrivals = if let Some(entry) = fields.entry("in progress") {
        if has_unreadable_horizon(above, horizon) {
            return None;
        }
        if horizon.is_none() {
            sink.report(
                Problem::error(
                    &entry.key.span,
                    "orders that are always in progress never end",
                )
                .hint("add a horizon: `run: {until: 90 d}`"),
            );
            return None;
        }
        Arrivals::InProgress {
            count: in_progress? as u32,
        }
    } else if let Some(entry) = fields.entry("every") {
        let every = fields.duration("every")?;
        if fields.get("count").is_some() && count.is_none() {
            return None;
        }
        if count.is_none() && every.mean() < SHORTEST_GAP {
            sink.report(
                Problem::error(
                    &entry.node.span,
                    "without a time between them, these orders never end",
                )
                .hint("add `count`, or a time such as `every: 2 h`"),
            );
            return None;
        }
        if count.is_none() && until.is_none() && has_unreadable_horizon(above, horizon) {
            return None;
        }
        if count.is_none() && until.is_none() && fields.get("until").is_none() && horizon.is_none()
        {
            sink.report(
                Problem::error(&entry.key.span, "these orders never end")
                    .hint("add `count` or `until` here, or a horizon: `run: {until: 90 d}`"),
            );
            return None;
        }
        let start = first.as_ref().map_or(0.0, |first| first.value);
        if let (Some(first), Some(until)) = (&first, &until)
            && first.value > until.value
        {
            sink.report(
                Problem::error(&until.span, "these orders would end before they begin")
                    .also(&first.span, "none comes before this")
                    .hint("write a later `until` or an earlier `first`"),
            );
            return None;
        }
        if let (Some(first), Some(horizon)) = (&first, horizon)
            && start > horizon
        {
            sink.report(
                Problem::warning(&first.span, "the run ends before the first of these orders")
                    .hint("write an earlier `first`, or a longer `until` under `run`"),
            );
        }
        Arrivals::Every {
            every,
            first: first.as_ref().map(|first| Span::from_seconds(first.value)),
            count,
            until: until
                .as_ref()
                .map(|until| Moment::START + Span::from_seconds(until.value)),
        }
    } else {
        if fields.get("count").is_some() && count.is_none() {
            return None;
        }
        Arrivals::AtStart {
            count: count.unwrap_or(1),
        }
    };
    let by = deadline::by(&fields, &arrivals, when);
    complete &= by.is_ok();
    let line = OrderLine {
        project: ProjectId(project? as u32),
        arrivals,
        together: together as u32,
        due: due.map(|due| Span::from_seconds(due.value)),
        by: by.ok().flatten(),
    };
    if let Some(table) = &projects.table {
        let at = fields.get("project").map_or(&node.span, |node| &node.span);
        complete &= bounded(&line, &table[line.project], horizon, at, sink);
    }
    complete.then_some(line)
}

/// How many orders this line is expected to release; `None` where that follows from the work.
pub fn expected_orders(line: &OrderLine, horizon: Option<f64>) -> Option<f64> {
    let horizon = horizon.unwrap_or(f64::INFINITY);
    match &line.arrivals {
        Arrivals::AtStart { count } => Some(*count as f64),
        Arrivals::InProgress { .. } => None,
        Arrivals::Every {
            every,
            first,
            count,
            until,
        } => {
            let count = count.map_or(f64::INFINITY, |count| count as f64);
            let end = until
                .map_or(f64::INFINITY, |until| until.seconds())
                .min(horizon);
            let first = first.map_or(0.0, |first| first.seconds());
            let room = (end - first).max(0.0);
            let by_time = if every.mean() > 0.0 {
                room / every.mean() + 1.0
            } else {
                f64::INFINITY
            };
            Some(count.min(by_time))
        }
    }
}

/// Whether the run has a horizon that cannot be read, which has been reported: of no orders is it known how many come.
fn has_unreadable_horizon(above: &Fields, horizon: Option<f64>) -> bool {
    let until = above.get("run").and_then(|run| run.get("until"));
    let is_done =
        |until: &YamlNode| matches!(&until.value, YamlValue::Scalar(text) if text == "done");
    horizon.is_none() && until.is_some_and(|until| !is_done(until))
}

/// Lots of one order.
fn lots(line: &OrderLine, project: &Project) -> f64 {
    let together = u64::from(line.together);
    let items = project.items.iter();
    let lots = items.map(|item| item.lots(u64::from(item.pieces) * together));
    lots.sum::<u64>() as f64
}

/// Whether what this line asks for fits into a computer's memory.
fn bounded(
    line: &OrderLine,
    project: &Project,
    horizon: Option<f64>,
    at: &Bytes,
    sink: &crate::scenario::problem::Sink,
) -> bool {
    let refuse = |what: String, hint: &str| {
        sink.report(Problem::error(at, what).hint(hint));
        false
    };
    let pieces = project
        .items
        .iter()
        .map(|item| u64::from(item.pieces) * u64::from(line.together))
        .max();
    if pieces.is_some_and(|pieces| pieces > MOST_PIECES) {
        return refuse(
            format!(
                "one lot would have {} pieces; at most {MOST_PIECES} are accepted",
                pieces.unwrap_or(0)
            ),
            "lower `pieces` or `together`",
        );
    }
    let lots = lots(line, project);
    let at_once = match &line.arrivals {
        Arrivals::AtStart { count } => *count as f64,
        Arrivals::InProgress { count } => f64::from(*count),
        Arrivals::Every { every, count, .. } if every.mean() < SHORTEST_GAP => {
            count.unwrap_or(1) as f64
        }
        Arrivals::Every { .. } => 1.0,
    };
    if at_once * lots > MOST_RELEASED as f64 {
        return refuse(
            format!(
                "{} lots would be released at once; at most {MOST_RELEASED} are accepted",
                at_once * lots
            ),
            "lower `count`, or spread the orders with `every`",
        );
    }
    if let Some(orders) = expected_orders(line, horizon)
        && orders * lots > MOST_LOTS as f64
        // Where no end could be read, that has been reported.
        && orders.is_finite()
    {
        return refuse(
            format!(
                "about {:.0} lots would be built in each run; at most {MOST_LOTS} are accepted",
                orders * lots
            ),
            "lower `count`, or lengthen `every`",
        );
    }
    true
}
