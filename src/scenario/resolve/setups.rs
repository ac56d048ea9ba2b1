//! What it takes to set a station up from one thing for another, and the settings that steps ask for.

use std::cell::RefCell;
use std::collections::BTreeMap;

use crate::random::Distribution;
use crate::scenario::duration;
use crate::scenario::fields::Fields;
use crate::scenario::names::Names;
use crate::scenario::problem::{Problem, Sink, hint_at};
use crate::scenario::reader;
use crate::scenario::tree::{MapKey, YamlNode, YamlValue};
use crate::shop::{OperationId, SetTo, SettingId, SetupFrom, Table};

/// The setups of a station as the file gives them: by what it was set to, then by what comes next.
pub type DeclaredSetups<'a> = Vec<(&'a MapKey, Vec<(&'a MapKey, Distribution)>)>;

/// Reads `setup from` of a station.
pub fn read<'a>(fields: &Fields<'a>) -> DeclaredSetups<'a> {
    let sink = fields.sink;
    let mut rows = Vec::new();
    for from in fields.named("setup from").unwrap_or_default() {
        let YamlValue::Map(times) = &from.node.value else {
            let name = &from.key.text;
            let what = format!(
                "setups from `{name}` are a mapping from what comes next to times, not {}",
                from.node.kind()
            );
            let problem = Problem::error(&from.node.span, what);
            sink.report(problem.hint(format!("write for example `{name}: {{rip: 4 min}}`")));
            continue;
        };
        let times = times.iter();
        let read = times.filter_map(|to| Some((&to.key, duration::read(&to.node, sink)?)));
        rows.push((&from.key, read.collect()));
    }
    rows
}

/// The settings that steps have named so far.
#[derive(Debug, Default)]
pub struct NamedSettings {
    by_name: RefCell<BTreeMap<String, SettingId>>,
}

impl NamedSettings {
    /// The setting that a step names.
    pub fn read(&self, node: &YamlNode, sink: &Sink) -> Option<SettingId> {
        let name = reader::text(node, "what the station is set to", sink)?;
        let mut by_name = self.by_name.borrow_mut();
        let next = SettingId(by_name.len() as u32);
        Some(*by_name.entry(name.to_owned()).or_insert(next))
    }

    /// Their names, in the order in which they were first named.
    pub fn table(&self) -> Table<SettingId, String> {
        let by_name = self.by_name.borrow();
        let mut named: Vec<(SettingId, &String)> =
            by_name.iter().map(|(name, id)| (*id, name)).collect();
        named.sort_unstable();
        named.into_iter().map(|(_, name)| name.clone()).collect()
    }

    /// The setups of a station, by what their names mean. Warns of names that mean nothing.
    pub fn resolve(
        &self,
        declared: &DeclaredSetups,
        operations: &Names,
        sink: &Sink,
    ) -> Vec<SetupFrom> {
        let by_name = self.by_name.borrow();
        let meant = |key: &MapKey| {
            let set_to = SetTo {
                setting: by_name.get(&*key.text).copied(),
                operation: operations
                    .index(&key.text)
                    .map(|operation| OperationId(operation as u32)),
            };
            if set_to.setting.is_none() && set_to.operation.is_none() && !sink.has_errors() {
                let what = format!(
                    "no step says `setting: {name}`, and no operation is called `{name}`",
                    name = key.text
                );
                let settings = by_name.keys().map(String::as_str);
                let known =
                    settings.chain((0..operations.len()).map(|index| operations.name(index)));
                let hint = hint_at(&key.text, known.collect::<Vec<_>>());
                sink.report(
                    Problem::warning(&key.span, what)
                        .label("this setup is never due")
                        .maybe_hint(hint),
                );
            }
            set_to
        };
        let rows = declared.iter();
        let rows = rows.map(|(from, times)| SetupFrom {
            from: meant(from),
            to: (times.iter())
                .map(|(to, time)| (meant(to), time.clone()))
                .collect(),
        });
        rows.collect()
    }
}
