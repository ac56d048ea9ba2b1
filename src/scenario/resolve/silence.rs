//! When what is loud does not run, and when nobody works with blades.

use super::catalogue::{Catalogue, DeclaredStation};
use super::sessions::clock;
use crate::scenario::fields::Fields;
use crate::scenario::keys::{self, Keys};
use crate::scenario::problem::Problem;
use crate::scenario::tree::YamlValue;
use crate::shop::{Calendar, WeeklyTimes};
use crate::units::Span;

/// Quiet time, and that in which people are tired; `None` if something is wrong, which has been reported.
pub fn read(
    fields: &Fields,
    calendar: &Calendar,
    catalogue: &Catalogue,
) -> Option<(Option<WeeklyTimes>, Option<WeeklyTimes>)> {
    let entry = fields.entry("sessions");
    let Some(entry) = entry.filter(|entry| matches!(entry.node.value, YamlValue::Map(_))) else {
        return Some((None, None));
    };
    let sessions = Fields::open(&entry.node, &entry.key.span, &keys::SESSIONS, fields.sink)?;
    let quiet = times(&sessions, "quiet", &keys::QUIET, |quiet| {
        let time = |key| quiet.get(key).and_then(|node| clock(node, quiet.sink));
        let (from, to) = (time("from")?, time("to")?);
        if from == to {
            let at = &quiet.entry("to")?.node.span;
            quiet.sink.report(
                Problem::error(at, "quiet time would never end")
                    .hint("write for example `quiet: {from: \"21:00\", to: \"8:00\"}`"),
            );
            return None;
        }
        Some(calendar.every_day(from, to))
    })?;
    let no_blades = times(&sessions, "rested", &keys::RESTED, |rested| {
        let after = clock(rested.get("no blades after")?, rested.sink)?;
        let midnight = Span::from_seconds(86_400.0);
        Some(match after < midnight {
            true => calendar.every_day(after, midnight),
            false => WeeklyTimes::new(Vec::new(), calendar.open_in_week()),
        })
    })?;
    let stations = &catalogue.declared_stations;
    let warn = |key: &str, stands: fn(&DeclaredStation) -> bool, mark: &str| {
        if let Some(entry) = sessions.entry(key)
            && !stations.iter().any(stands)
        {
            sessions.sink.report(
                Problem::warning(
                    &entry.key.span,
                    format!("`{key}` has no effect: no station has `{mark}: true`"),
                )
                .hint(format!(
                    "write `{mark}: true` at the stations that it is meant for"
                )),
            );
        }
    };
    // Where it is reckoned what reaches the house, that is held against quiet time.
    if fields.entry("noise").is_none() {
        warn("quiet", |station| station.is_loud, "loud");
    }
    warn("rested", |station| station.has_blade, "blade");
    Some((quiet, no_blades))
}

/// The times of day between which it is quiet; nothing where the file has none, or something is wrong with it, which is
/// reported with the rest of the sessions.
pub fn quiet_times(fields: &Fields) -> Option<[Span; 2]> {
    let quiet = fields.get("sessions")?.get("quiet")?;
    let unheard = fields.sink.fresh();
    let time = |key| clock(quiet.get(key)?, &unheard);
    Some([time("from")?, time("to")?])
}

/// Times under a key of the sessions, if it is there; `None` if something is wrong.
fn times(
    sessions: &Fields,
    key: &str,
    keys: &'static Keys,
    read: impl Fn(&Fields) -> Option<WeeklyTimes>,
) -> Option<Option<WeeklyTimes>> {
    let Some(entry) = sessions.entry(key) else {
        return Some(None);
    };
    let fields = Fields::open(&entry.node, &entry.key.span, keys, sessions.sink)?;
    read(&fields).map(Some)
}
