//! The file of a session: followed where others change it, and saved.

use std::collections::BTreeSet;

use serde_json::{Value, json};

use super::history::StationIn;
use super::judged::{LoadedText, Runs};
use super::saving;
use super::session::EditSession;
use crate::scenario::{add_layouts, printable_name};

impl EditSession {
    /// Reads the file again if somebody else has written it.
    pub(super) fn looked(&mut self, revision: u64) -> Value {
        // What could not be taken over may be as soon as moves are taken back.
        let text = match self.problems {
            None => self.file.rewritten(),
            Some(_) => self.file.text(),
        };
        if let Some(text) = text {
            self.take_in(text);
        }
        json!({
            "revision": self.revision,
            "is_new": self.revision != revision,
            "problems": self.problems,
        })
    }

    /// Takes over what somebody else has written; what cannot be loaded leaves everything as it was.
    fn take_in(&mut self, text: Vec<u8>) {
        if self.file.is_known(&text) {
            self.revision += u64::from(self.problems.take().is_some());
            return;
        }
        let loaded = LoadedText::load(&self.file.name, &text);
        let followed = loaded.and_then(|loaded| self.with_all_moves(loaded));
        let followed = followed.and_then(|loaded| self.take_over(loaded, text));
        match followed {
            Ok(()) => {}
            Err(problems) => {
                self.revision += u64::from(self.problems.as_ref() != Some(&problems));
                self.problems = Some(problems);
            }
        }
    }

    /// Stations that stand elsewhere than in the file, in every layout.
    pub(super) fn unsaved(&self) -> BTreeSet<StationIn> {
        let poses = self.history.now();
        let layouts = self.loaded.layouts();
        let unsaved = layouts.flat_map(|layout| {
            let moved = self.loaded.moved(&layout.name, poses).into_iter();
            moved.map(|moved| (layout.name.clone(), moved.station))
        });
        unsaved.collect()
    }

    /// Somebody else's text, unless what has been moved here and is not saved would have no place in it.
    fn with_all_moves(&self, loaded: LoadedText) -> Result<LoadedText, String> {
        let unsaved = self.unsaved();
        let mut layouts = unsaved.iter().map(|(layout, _)| layout);
        match layouts.find(|layout| loaded.layout(layout).is_none()) {
            None => Ok(loaded),
            Some(gone) => Err(format!(
                "The file has no layout \"{}\" any more, in which stations have been moved that are not saved: give it back \
                 its name, or take the moves back.",
                printable_name(gone)
            )),
        }
    }

    /// Somebody else's text: what has not been moved here, or is saved, stands where they have it, and what else has been
    /// done here is done to theirs.
    fn take_over(&mut self, base: LoadedText, text: Vec<u8>) -> Result<(), String> {
        let mut history = self
            .history
            .on(&self.base.text, &base.text)
            .ok_or(NO_LONGER)?;
        let unsaved = self.unsaved();
        history.retain(|station| unsaved.contains(station));
        let loaded = match **history.text() == *base.text {
            true => base.clone(),
            false => LoadedText::load(&self.file.name, history.text().as_bytes())?,
        };
        self.history = history;
        self.problems = None;
        self.file.knows(text);
        self.follow(base, loaded);
        Ok(())
    }

    fn follow(&mut self, base: LoadedText, loaded: LoadedText) {
        let first = loaded.layouts().next().map(|first| first.name.clone());
        if loaded.layout(&self.layout).is_none()
            && let Some(first) = first
        {
            self.layout = first;
        }
        self.loaded = loaded;
        self.base = base;
        self.saved = None;
        self.proposals.clear();
        self.revision += 1;
    }

    pub(super) fn save(&mut self, name: Option<&str>, anyway: bool) -> Result<Value, String> {
        if !self.file.can_be_saved() {
            return Err(NO_FILE.to_owned());
        }
        if let Some(text) = self.file.changed() {
            if !anyway {
                return Ok(json!({"conflict": CHANGED}));
            }
            let loaded = LoadedText::load(&self.file.name, &text)?;
            let loaded = self.with_all_moves(loaded)?;
            self.take_over(loaded, text)?;
        }
        if self.file.is_gone() && !anyway {
            return Ok(json!({"conflict": GONE}));
        }
        let poses = self.history.now();
        let proven = match name {
            None => saving::over(&self.file.name, &self.loaded, &self.layout, poses),
            Some(name) => {
                saving::beside(&self.file.name, &self.loaded, (&self.layout, name), poses)
            }
        }?;
        let written = self.file.write(&proven.loaded.text);
        written.map_err(|error| format!("{} cannot be written: {error}", self.file.name))?;
        match name {
            None => {
                let as_it_was = |text: &str| Some(text.to_owned());
                self.history.saved(&proven.loaded.text, as_it_was);
            }
            Some(name) => {
                let added = saving::added(&self.loaded, (&self.layout, name), self.history.now())?;
                let units = self.loaded.study.units;
                let with = |text: &str| add_layouts(text, std::slice::from_ref(&added), units);
                self.history.saved(&proven.loaded.text, with);
                // What was moved belongs to the new layout, and the other one is again as it is saved.
                let old = std::mem::replace(&mut self.layout, name.trim().to_owned());
                let mut poses = self.history.now().clone();
                poses.retain(|(layout, _), _| *layout != old);
                self.history.push(poses);
            }
        }
        self.follow(proven.loaded.clone(), proven.loaded);
        let mut view = self.state(Runs::Few)?;
        view["saved"] = json!(saved_words(&self.file.name, &proven.also));
        Ok(view)
    }
}

const NO_FILE: &str = "What is edited is no file, so it cannot be saved: begin again with `shopstride edit SCENARIO`, or with `--out FILE` for a new file.";
const CHANGED: &str = "The file was changed by somebody else meanwhile. Saving keeps that, and puts your stations where they are shown here.";
const GONE: &str = "The file is not there any more. Saving writes it anew.";
const NO_LONGER: &str = "The file was changed by somebody else where it has been changed here, too, and that is not saved: save it, or take back what you did.";

fn saved_words(file: &str, also: &[String]) -> String {
    let file = printable_name(file);
    if also.is_empty() {
        return format!("Saved in {file}.");
    }
    let also: Vec<String> = also
        .iter()
        .map(|name| format!("\"{}\"", printable_name(name)))
        .collect();
    format!(
        "Saved in {file}. What is like this layout has changed with it: {}.",
        also.join(", ")
    )
}
