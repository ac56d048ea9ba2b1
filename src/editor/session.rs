//! One scenario that is edited, and what is answered to its page.

use std::collections::BTreeSet;

use serde_json::{Value, json};

use super::desk::stale;
use super::file::EditedFile;
use super::history::{History, Poses, StationIn};
use super::judged::{CheckedLayout, LoadedText, Runs, pose_of};
use super::proposal::{PlaceSearch, Proposal};
use super::{Ask, saving};
use crate::floor::{Placement, Point, Pose};
use crate::improve::placement::FloorGrid;
use crate::report::editor::{EditorPage, editor_page};
use crate::scenario::{self, printable_name};

/// Everything that is known of the scenario and of what has been moved.
pub struct EditSession {
    file: EditedFile,
    /// What the file said when it could last be loaded.
    loaded: LoadedText,
    /// The layout that is shown.
    layout: String,
    /// That layout as it is saved; made when it is first asked for.
    saved: Option<CheckedLayout>,
    history: History,
    /// What is wrong with the file as somebody else has written it.
    problems: Option<String>,
    search: Option<PlaceSearch>,
    /// What was found for the layout that is shown.
    proposals: Vec<Proposal>,
    /// Counts what the page has to be told: whatever is done, here or in the file.
    revision: u64,
}

impl EditSession {
    /// Begins with the layout of this name, or the first one.
    ///
    /// # Errors
    /// If nothing in the scenario can be moved, or if there is no such layout.
    pub fn new(file: EditedFile, text: &[u8], layout: Option<&str>) -> Result<EditSession, String> {
        let loaded = LoadedText::load(&file.name, text)?;
        let found = match layout {
            Some(name) => loaded.layout(name),
            None => loaded.layouts().next(),
        };
        let layout = found.map(|candidate| candidate.name.clone());
        let layout = layout.ok_or(NOTHING_STANDS)?;
        Ok(EditSession {
            file,
            loaded,
            layout,
            saved: None,
            history: History::default(),
            problems: None,
            search: None,
            proposals: Vec::new(),
            revision: 0,
        })
    }

    /// One that can look for better places, too.
    pub fn searching(self, search: PlaceSearch) -> EditSession {
        EditSession {
            search: Some(search),
            ..self
        }
    }

    /// The page itself.
    ///
    /// # Errors
    /// If a layout cannot be drawn, or if the page that comes with the program is wrong.
    pub fn page(&self) -> Result<EditorPage, String> {
        let study = &self.loaded.study;
        let layouts = self.loaded.layouts();
        let drawn = layouts.map(|candidate| Ok(CheckedLayout::of(study, candidate)?.scene(study)));
        let drawn: Result<Vec<_>, String> = drawn.collect();
        let drawn: Vec<_> = drawn?.into_iter().flatten().collect();
        editor_page(&study.title, &drawn).map_err(|error| error.to_string())
    }

    /// Answers a question, as long as somebody waits for the answer.
    pub fn answer(&mut self, ask: Ask, keep_on: &dyn Fn() -> bool) -> Value {
        let answer = match ask {
            Ask::State {} => self.state(Runs::Few),
            Ask::Figures {} => self.state(Runs::All(keep_on)),
            Ask::Look { revision } => Ok(self.looked(revision)),
            Ask::Layout { name } => self.showing(&name),
            Ask::Try { station, at, turn } => self.tried(&station, at, turn),
            Ask::Drop { station, at, turn } => {
                let pose = self.snapped(&station, at, turn);
                pose.and_then(|pose| self.dropped(&station, pose))
            }
            Ask::Place { station, at, turn } => {
                let pose = written(&at, &turn);
                pose.and_then(|pose| self.dropped(&station, pose))
            }
            Ask::Undo {} => self.stepped(History::undo),
            Ask::Redo {} => self.stepped(History::redo),
            Ask::Improve {} => self.improved(),
            Ask::Progress {} => Ok(stale()),
            Ask::Take { proposal } => self.taken(proposal),
            Ask::Save { name, anyway } => self.save(name.as_deref(), anyway),
        };
        answer.unwrap_or_else(|why| json!({"refused": why}))
    }

    /// Everything as it is now.
    fn state(&mut self, runs: Runs<'_>) -> Result<Value, String> {
        let drawn = self.drawn(self.history.now().clone(), runs)?;
        Ok(drawn.map_or_else(stale, |drawn| self.view(drawn)))
    }

    /// What the page shows beside the layout.
    fn view(&self, drawn: Value) -> Value {
        let poses = self.history.now();
        let layouts = self.loaded.layouts().map(|candidate| {
            json!({
                "name": candidate.name,
                "shown": printable_name(&candidate.name),
                "unsaved": self.loaded.moved(&candidate.name, poses).len(),
            })
        });
        json!({
            "revision": self.revision,
            "file": printable_name(&self.file.name),
            "can_save": self.file.can_be_saved(),
            "step": FloorGrid::of(self.loaded.study.units).step,
            "layouts": layouts.collect::<Vec<_>>(),
            "layout": self.layout,
            "can_undo": self.history.can_undo(),
            "can_redo": self.history.can_redo(),
            "problems": self.problems,
            "can_improve": self.search.is_some(),
            "proposals": self.proposals.iter().map(proposal_json).collect::<Vec<_>>(),
            "drawn": drawn,
        })
    }

    /// The shown layout with stations at these places; nothing where nobody waits for it any more.
    fn drawn(&mut self, poses: Poses, runs: Runs<'_>) -> Result<Option<Value>, String> {
        let study = &self.loaded.study;
        let candidate = self.loaded.layout(&self.layout).ok_or(NO_LAYOUT)?;
        if self.saved.is_none() {
            self.saved = Some(CheckedLayout::of(study, candidate)?);
        }
        let Some(saved) = &self.saved else {
            return Ok(None);
        };
        let moved = self.loaded.moved(&self.layout, &poses);
        if moved.is_empty() {
            return saved.told(study, saved, runs);
        }
        let text = self.loaded.with(&self.layout, &moved)?;
        let draft = LoadedText::load(&self.file.name, text.as_bytes())?;
        let candidate = draft.layout(&self.layout).ok_or(NO_LAYOUT)?;
        let now = CheckedLayout::of(&draft.study, candidate)?;
        now.told(&draft.study, saved, runs)
    }

    fn showing(&mut self, name: &str) -> Result<Value, String> {
        let candidate = self.loaded.layout(name).ok_or(NO_LAYOUT)?;
        self.layout = candidate.name.clone();
        self.saved = None;
        self.proposals.clear();
        self.revision += 1;
        self.state(Runs::Few)
    }

    fn with(&self, station: &str, pose: Pose) -> Poses {
        let mut poses = self.history.now().clone();
        poses.insert((self.layout.clone(), station.to_owned()), pose);
        poses
    }

    /// Near to there, on the grid or at a wall.
    fn snapped(&self, station: &str, [x, y]: [f64; 2], turn: f64) -> Result<Pose, String> {
        let candidate = self.loaded.layout(&self.layout).ok_or(NO_LAYOUT)?;
        let plan = candidate.plan.as_ref().ok_or(NO_LAYOUT)?;
        let mut stations = candidate.shop.stations.enumerate();
        let (id, _) = stations
            .find(|(_, known)| known.name == station)
            .ok_or(NO_STATION)?;
        let placed: &Placement = plan.placements[id].as_ref().ok_or(NO_STATION)?;
        if ![x, y, turn].iter().all(|value| value.abs() <= FARTHEST) {
            return Err("That is beyond everything.".to_owned());
        }
        let turn = turn.rem_euclid(360.0);
        let grid = FloorGrid::of(self.loaded.study.units);
        let at = grid.nearest(plan, placed, Point::new(x, y), turn);
        Ok(Pose { at, turn })
    }

    fn tried(&mut self, station: &str, at: [f64; 2], turn: f64) -> Result<Value, String> {
        let pose = self.snapped(station, at, turn)?;
        let drawn = self.drawn(self.with(station, pose), Runs::Few)?;
        Ok(json!({"drawn": drawn}))
    }

    fn dropped(&mut self, station: &str, pose: Pose) -> Result<Value, String> {
        let candidate = self.loaded.layout(&self.layout).ok_or(NO_LAYOUT)?;
        let from = pose_of(candidate, station).ok_or(NO_STATION)?;
        let poses = self.with(station, pose);
        let before = ((self.layout.clone(), station.to_owned()), from);
        self.step_to(poses, &[before])
    }

    /// Better places, found from where everything stands now.
    fn improved(&mut self) -> Result<Value, String> {
        let search = self.search.as_ref().ok_or(NO_SEARCH)?;
        let moved = self.loaded.moved(&self.layout, self.history.now());
        let text = self.loaded.with(&self.layout, &moved)?;
        let Some(found) = search(&text, &self.layout)? else {
            return Ok(stale());
        };
        self.proposals = found;
        self.revision += 1;
        self.state(Runs::Few)
    }

    /// One step for all stations of a proposal.
    fn taken(&mut self, proposal: usize) -> Result<Value, String> {
        let proposal = self.proposals.get(proposal).ok_or(NO_PROPOSAL)?.clone();
        let candidate = self.loaded.layout(&self.layout).ok_or(NO_LAYOUT)?;
        let mut poses = self.history.now().clone();
        let mut before = Vec::new();
        for (station, pose) in proposal.at {
            let from = pose_of(candidate, &station).ok_or(NO_STATION)?;
            let station = (self.layout.clone(), station);
            before.push((station.clone(), from));
            poses.insert(station, pose);
        }
        self.step_to(poses, &before)
    }

    /// A further step, if what comes of it can be shown.
    fn step_to(&mut self, poses: Poses, before: &[(StationIn, Pose)]) -> Result<Value, String> {
        let drawn = self.drawn(poses.clone(), Runs::Few)?;
        for (station, from) in before {
            self.history.begin(station, *from);
        }
        self.history.push(poses);
        self.revision += 1;
        Ok(drawn.map_or_else(stale, |drawn| self.view(drawn)))
    }

    fn stepped(&mut self, step: fn(&mut History)) -> Result<Value, String> {
        let before = self.history.now().clone();
        step(&mut self.history);
        // What is taken back is shown, wherever it is.
        let changed = self.history.differs_in(&before).map(str::to_owned);
        if let Some(layout) = changed.filter(|layout| self.loaded.layout(layout).is_some())
            && layout != self.layout
        {
            self.layout = layout;
            self.saved = None;
        }
        self.revision += 1;
        self.state(Runs::Few)
    }

    /// Reads the file again if somebody else has written it.
    fn looked(&mut self, revision: u64) -> Value {
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
        let loaded = loaded.and_then(|loaded| self.with_all_moves(loaded));
        match loaded {
            Ok(loaded) => self.take_over(loaded, text),
            Err(problems) => {
                self.revision += u64::from(self.problems.as_ref() != Some(&problems));
                self.problems = Some(problems);
            }
        }
    }

    /// Stations that stand elsewhere than in the file, in every layout.
    fn unsaved(&self) -> BTreeSet<StationIn> {
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

    /// Somebody else's text: what has not been moved here, or is saved, stands where they have it.
    fn take_over(&mut self, loaded: LoadedText, text: Vec<u8>) {
        let unsaved = self.unsaved();
        self.history.retain(|station| unsaved.contains(station));
        self.problems = None;
        self.file.knows(text);
        self.follow(loaded);
    }

    fn follow(&mut self, loaded: LoadedText) {
        let first = loaded.layouts().next().map(|first| first.name.clone());
        if loaded.layout(&self.layout).is_none()
            && let Some(first) = first
        {
            self.layout = first;
        }
        self.loaded = loaded;
        self.saved = None;
        self.proposals.clear();
        self.revision += 1;
    }

    fn save(&mut self, name: Option<&str>, anyway: bool) -> Result<Value, String> {
        if !self.file.can_be_saved() {
            return Err(NO_FILE.to_owned());
        }
        if let Some(text) = self.file.changed() {
            if !anyway {
                return Ok(json!({"conflict": CHANGED}));
            }
            let loaded = LoadedText::load(&self.file.name, &text)?;
            self.take_over(self.with_all_moves(loaded)?, text);
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
        if let Some(name) = name {
            // What was moved belongs to the new layout, and the other one is again as it is saved.
            let old = std::mem::replace(&mut self.layout, name.trim().to_owned());
            let mut poses = self.history.now().clone();
            poses.retain(|(layout, _), _| *layout != old);
            self.history.push(poses);
        }
        self.follow(proven.loaded);
        let mut view = self.state(Runs::Few)?;
        view["saved"] = json!(saved_words(&self.file.name, &proven.also));
        Ok(view)
    }
}

/// Lengths and angles beyond this have no meaning on a floor.
const FARTHEST: f64 = 100_000.0;

const NOTHING_STANDS: &str = "nothing can be moved in a layout that says only how far it is, or in a candidate that changes more than where things stand";
const NO_LAYOUT: &str = "There is no such layout.";
const NO_STATION: &str = "There is no such station in this layout.";
const NO_SEARCH: &str = "Nothing is looked for here.";
const NO_PROPOSAL: &str = "There is no such proposal any more.";
const NO_FILE: &str = "What is edited is no file, so it cannot be saved: begin again with `shopstride edit SCENARIO`, or with `--out FILE` for a new file.";
const CHANGED: &str = "The file was changed by somebody else meanwhile. Saving keeps that, and puts your stations where they are shown here.";

const GONE: &str = "The file is not there any more. Saving writes it anew.";

fn proposal_json(proposal: &Proposal) -> Value {
    let stations = proposal.at.iter();
    let stations: Vec<_> = stations.map(|(name, _)| printable_name(name)).collect();
    json!({"about": proposal.about, "stations": stations})
}

/// A place as people write it.
fn written([x, y]: &[String; 2], turn: &str) -> Result<Pose, String> {
    let turn: Option<f64> = turn.trim().trim_end_matches('°').trim_end().parse().ok();
    let turn = turn.filter(|turn| turn.abs() <= FARTHEST);
    let turn = turn.ok_or("The turn is a number of degrees, such as 90.")?;
    let at = Point::new(scenario::coordinate(x)?, scenario::coordinate(y)?);
    Ok(Pose {
        at,
        turn: turn.rem_euclid(360.0),
    })
}

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
