//! What `shopstride explain` says.

use super::glossary::GLOSSARY;
use super::headings::{HEADINGS, is_heading};
use super::sentence::{capital, listed};
use super::wrap::wrap;
use crate::floor::check::RULES;
use crate::random::KINDS;
use crate::scenario::ExplainedKey;
use crate::scenario::kinds::kinds;
use crate::shop::{CHOICES, CURES, QUEUE_RULES, SWITCHES};

const COLUMNS: usize = 80;

fn wrapped(says: &str, first: &str, others: &str) -> String {
    let lines = wrap(says, COLUMNS, first, others);
    format!("{}\n", lines.join("\n"))
}

/// All keys by name, mapping by mapping.
pub fn list(keys: &[ExplainedKey]) -> String {
    let mut text = String::new();
    for (index, key) in keys.iter().enumerate() {
        if index > 0 && keys[index - 1].of == key.of {
            continue;
        }
        let names: Vec<&str> = (keys.iter())
            .filter(|other| other.of == key.of)
            .map(|other| other.name)
            .collect();
        text.push_str(&wrapped(
            &names.join(", "),
            &format!("{}: ", key.of),
            "    ",
        ));
    }
    let of_rules: Vec<&str> = rule_words().iter().map(|word| word.name).collect();
    text.push_str(&wrapped(
        &of_rules.join(", "),
        "words of rules, times and checks: ",
        "    ",
    ));
    let answers = GLOSSARY.iter().map(|&(word, _)| word);
    let answers = answers.collect::<Vec<_>>().join(", ");
    text.push_str(&wrapped(&answers, "words of the answers: ", "    "));
    let headings: Vec<&str> = HEADINGS.iter().map(|&(heading, _)| heading).collect();
    text.push_str(&wrapped(
        &headings.join(", "),
        "headings of the answers: ",
        "    ",
    ));
    let operations: Vec<&str> = operations().map(|(name, _)| name).collect();
    text.push_str(&wrapped(
        &operations.join(", "),
        "operations of kinds: ",
        "    ",
    ));
    text.push('\n');
    text + &wrapped(
        "`shopstride explain density` says what one of them means, what it looks like in a file and where its default \
         comes from.",
        "",
        "",
    )
}

/// One key, wherever it may stand, one word of the rules or of the answers, and one heading of these.
pub fn page(name: &str, keys: &[ExplainedKey]) -> Option<String> {
    let mut parts: Vec<String> = keys.iter().map(one).collect();
    for word in rule_words().iter().filter(|word| word.name == name) {
        let mut part = wrapped(&format!("{}: {}.", word.name, word.what), "", "");
        part.push_str(&wrapped(&format!("{}.", capital(word.meaning)), "  ", "  "));
        if let Some(source) = word.source {
            part.push_str(&wrapped(source, "  source   ", "           "));
        }
        part.push_str(&indented(word.example.as_deref()));
        parts.push(part);
    }
    for (operation, kinds) in operations().filter(|(operation, _)| *operation == name) {
        let says = format!("{operation}: an operation, that is, work of which routes are made.");
        let mut part = wrapped(&says, "", "");
        let kinds = listed(&kinds, "and");
        part.push_str(&wrapped(
            &format!("These kinds do it: {kinds}. `shopstride kinds` shows what each does, and of one kind how long it usually takes."),
            "  ",
            "  ",
        ));
        parts.push(part);
    }
    for (word, meaning) in GLOSSARY.iter().filter(|(word, _)| *word == name) {
        let mut part = wrapped(&format!("{word}: a word of the answers."), "", "");
        part.push_str(&wrapped(&format!("{}.", capital(meaning)), "  ", "  "));
        parts.push(part);
    }
    for (heading, meaning) in HEADINGS
        .iter()
        .filter(|(heading, _)| is_heading(heading, name))
    {
        let mut part = wrapped(&format!("{heading}: a heading of the answers."), "", "");
        part.push_str(&wrapped(&format!("{}.", capital(meaning)), "  ", "  "));
        parts.push(part);
    }
    (!parts.is_empty()).then(|| parts.join("\n"))
}

fn one(key: &ExplainedKey) -> String {
    let needed = if key.is_required {
        ", which needs it"
    } else {
        ""
    };
    let mut text = wrapped(
        &format!("{}: a key of {}{needed}.", key.name, key.of),
        "",
        "",
    );
    text.push_str(&wrapped(&format!("{}.", capital(key.meaning)), "  ", "  "));
    text.push_str(&wrapped(&key.value, "  value    ", "           "));
    let default = match (&key.default, key.source) {
        (Some(figure), Some(source)) => Some(format!("{figure}; {source}")),
        (None, Some(source)) => Some(source.to_owned()),
        _ => None,
    };
    if let Some(default) = default {
        text.push_str(&wrapped(&default, "  default  ", "           "));
    }
    text + &indented(key.example.as_deref())
}

/// Lines of an example, set off from what is said.
fn indented(example: Option<&str>) -> String {
    let lines = example.into_iter().flat_map(str::lines);
    let lines: String = lines.map(|line| format!("    {line}\n")).collect();
    match lines.is_empty() {
        true => lines,
        false => format!("\n{lines}"),
    }
}

/// The operations of kinds, each with the kinds that do it.
fn operations() -> impl Iterator<Item = (&'static str, Vec<String>)> {
    let mut all: Vec<(&'static str, Vec<String>)> = Vec::new();
    for kind in kinds() {
        for does in kind.does {
            match all.iter_mut().find(|(name, _)| *name == does.name) {
                Some((_, kinds)) => kinds.push(kind.name.to_owned()),
                None => all.push((does.name, vec![kind.name.to_owned()])),
            }
        }
    }
    all.into_iter()
}

/// A word that is no key: the name of a rule or of a time that varies.
struct RuleWord {
    name: &'static str,
    what: &'static str,
    meaning: &'static str,
    source: Option<&'static str>,
    /// Lines of a scenario with it.
    example: Option<String>,
}

fn rule_words() -> Vec<RuleWord> {
    let queue = QUEUE_RULES.iter().map(|row| (row.name, row.meaning));
    let switch = SWITCHES.iter().map(|row| (row.name, row.meaning));
    let choose = CHOICES.iter().map(|row| (row.name, row.meaning));
    let cures = CURES.iter().map(|row| (row.name, row.meaning));
    let of_rules = [
        ("queue", "a value of `queue`", queue.collect::<Vec<_>>()),
        (
            "switch station",
            "a value of `switch station`",
            switch.collect(),
        ),
        ("choose next", "a value of `choose next`", choose.collect()),
        ("cures", "a value of `cures`", cures.collect()),
    ];
    let mut words = Vec::new();
    for (key, what, rows) in of_rules {
        words.extend(rows.into_iter().map(|(name, meaning)| RuleWord {
            name,
            what,
            meaning,
            source: None,
            example: Some(format!("rules:\n  {key}: {name}\n")),
        }));
    }
    words.extend(KINDS.iter().map(|kind| RuleWord {
        name: kind.name,
        what: "a time that varies",
        meaning: kind.meaning,
        source: None,
        example: Some(format!(
            "operations:\n  rip:\n    per piece: {}\n",
            kind.example
        )),
    }));
    words.extend(RULES.iter().map(|rule| RuleWord {
        name: rule.id.name(),
        what: "a rule of `shopstride check`",
        meaning: rule.about,
        source: Some(rule.source),
        example: None,
    }));
    words
}

/// The words of [`page`] that are no keys.
pub fn words() -> Vec<&'static str> {
    let rules = rule_words();
    let of_rules = rules.iter().map(|word| word.name);
    of_rules
        .chain(GLOSSARY.iter().map(|&(word, _)| word))
        .chain(operations().map(|(operation, _)| operation))
        .chain(HEADINGS.iter().map(|&(heading, _)| heading))
        .collect()
}
