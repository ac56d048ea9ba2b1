//! Names that one part of the file gives and others refer to.

use std::collections::BTreeMap;

use super::problem::{Bytes, Problem, Sink, hint_at};
use super::reader::text;
use super::tree::{MapKey, YamlNode};

/// A name, and where it is given.
#[derive(Debug, Clone, Copy)]
pub struct Named<'a> {
    pub text: &'a str,
    pub span: &'a Bytes,
}

impl<'a> From<&'a MapKey> for Named<'a> {
    fn from(key: &'a MapKey) -> Named<'a> {
        Named {
            text: &key.text,
            span: &key.span,
        }
    }
}

/// Names that other parts of the file refer to.
pub struct Names<'a> {
    /// What they name, without an article.
    what: &'static str,
    list: Vec<Named<'a>>,
    /// For look-up only; nothing goes through it in its order.
    index: BTreeMap<&'a str, usize>,
    /// Written in the file, but of something that is wrong and has been reported.
    excused: Vec<&'a str>,
}

impl<'a> Names<'a> {
    pub fn new(what: &'static str) -> Names<'a> {
        Names {
            what,
            list: Vec::new(),
            index: BTreeMap::new(),
            excused: Vec::new(),
        }
    }

    pub fn of(
        what: &'static str,
        named: impl IntoIterator<Item = impl Into<Named<'a>>>,
    ) -> Names<'a> {
        let mut names = Names::new(what);
        for name in named {
            names.add(name);
        }
        names
    }

    /// The index of the name, which is added if it is new.
    pub fn add(&mut self, name: impl Into<Named<'a>>) -> usize {
        let name = name.into();
        let next = self.list.len();
        let index = *self.index.entry(name.text).or_insert(next);
        if index == next {
            self.list.push(name);
        }
        index
    }

    /// Takes names that the file gives to entries with errors. These have been reported, so a reference to one of them
    /// is not reported again.
    pub fn excuse(&mut self, written: &[&'a str]) {
        self.excused.extend_from_slice(written);
    }

    pub fn len(&self) -> usize {
        self.list.len()
    }

    pub fn key(&self, index: usize) -> Named<'a> {
        self.list[index]
    }

    pub fn name(&self, index: usize) -> &'a str {
        self.list[index].text
    }

    pub fn index(&self, name: &str) -> Option<usize> {
        self.index.get(name).copied()
    }

    pub fn hint(&self, name: &str) -> Option<String> {
        hint_at(name, self.list.iter().map(|name| name.text))
    }

    /// The index of what this node names.
    pub fn find(&self, node: &YamlNode, sink: &Sink) -> Option<usize> {
        let name = text(node, &format!("the name of a {}", self.what), sink)?;
        self.find_text(name, &node.span, sink)
    }

    pub fn find_text(&self, name: &str, span: &Bytes, sink: &Sink) -> Option<usize> {
        let found = self.index(name);
        if found.is_none() && !self.excused.contains(&name) {
            let hint = if sink.is_full() {
                None
            } else {
                self.hint(name)
            };
            sink.report(
                Problem::error(span, format!("there is no {} called `{name}`", self.what))
                    .maybe_hint(hint),
            );
        }
        found
    }
}
