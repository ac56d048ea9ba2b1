//! One scenario that is edited, and what is answered to its page.

use std::time::Instant;

use serde_json::{Value, json};

use super::beside::all_beside;
use super::build::{self, Build};
use super::desk::stale;
use super::file::EditedFile;
use super::history::{History, Poses, StationIn};
use super::judged::{CheckedLayout, LoadedText, Runs, pose_of};
use super::proposal::{Proposal, ProposalSearch};
use super::windows::Windows;
use super::{Ask, saving, station_changes};
use crate::floor::{Placement, Point, Pose};
use crate::improve::placement::FloorGrid;
use crate::report::editor::{EditorPage, editor_page, shop_data};
use crate::scenario::{self, changed, printable_name};

/// Everything that is known of the scenario and of what has been moved.
pub struct EditSession {
    pub(super) file: EditedFile,
    /// What the file said when it could last be loaded.
    pub(super) base: LoadedText,
    /// The same with what has been changed here, but for what has been moved.
    pub(super) loaded: LoadedText,
    /// The layout that is shown.
    pub(super) layout: String,
    /// That layout as it is saved; made when it is first asked for.
    pub(super) saved: Option<CheckedLayout>,
    pub(super) history: History,
    /// What is wrong with the file as somebody else has written it.
    pub(super) problems: Option<String>,
    search: Option<ProposalSearch>,
    /// What was found for the layout that is shown.
    pub(super) proposals: Vec<Proposal>,
    windows: Windows,
    /// Counts what the page has to be told: whatever is done, here or in the file.
    pub(super) revision: u64,
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
            history: History::new(&loaded.text),
            base: loaded.clone(),
            loaded,
            layout,
            saved: None,
            windows: Windows::default(),
            problems: None,
            search: None,
            proposals: Vec::new(),
            revision: 0,
        })
    }

    /// One that can look for better places, too.
    pub fn searching(self, search: ProposalSearch) -> EditSession {
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
            Ask::Beside {} => {
                all_beside(&self.file.name, &self.loaded, self.history.now(), keep_on)
            }
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
            Ask::Build { wish } => self.built(&wish),
            Ask::Begin { .. } => Err("There is a shop already.".to_owned()),
            Ask::Here { window } => {
                Ok(json!({"others": self.windows.here(window, Instant::now())}))
            }
            Ask::Gone { window } => {
                self.windows.gone(window);
                Ok(json!({}))
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
    pub(super) fn state(&mut self, runs: Runs<'_>) -> Result<Value, String> {
        let drawn = self.drawn(self.history.now().clone(), runs)?;
        Ok(drawn.map_or_else(stale, |drawn| self.view(drawn)))
    }

    /// Whether anything but places differs from what is in the file.
    fn is_built(&self) -> bool {
        self.loaded.text != self.base.text
    }

    /// What saving would change beside the layout that is shown, or why it cannot be saved.
    fn foreseen(&self) -> (Vec<String>, Option<String>) {
        let poses = self.history.now();
        if self.loaded.moved(&self.layout, poses).is_empty() {
            return (Vec::new(), None);
        }
        match saving::over(&self.file.name, &self.loaded, &self.layout, poses) {
            Ok(proven) => (proven.also, None),
            Err(why) => (Vec::new(), Some(why)),
        }
    }

    /// What the page shows beside the layout.
    fn view(&self, drawn: Value) -> Value {
        let poses = self.history.now();
        let (also, hindered) = self.foreseen();
        let also = also.iter().map(|name| printable_name(name));
        let shop = self.loaded.layout(&self.layout);
        let shop = shop.map(|shown| shop_data(shown, &self.loaded.text, self.loaded.study.units));
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
            "is_built": self.is_built(),
            "also": also.collect::<Vec<_>>(),
            "hindered": hindered,
            "shop": shop,
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
        let candidate = self.loaded.layout(&self.layout).ok_or(NO_LAYOUT)?;
        if self.saved.is_none() {
            let saved = self.base.layout(&self.layout).unwrap_or(candidate);
            self.saved = Some(CheckedLayout::of(&self.base.study, saved)?);
        }
        let Some(saved) = &self.saved else {
            return Ok(None);
        };
        let moved = self.loaded.moved(&self.layout, &poses);
        if moved.is_empty() {
            let study = &self.loaded.study;
            return match self.is_built() {
                true => CheckedLayout::of(study, candidate)?.told(study, saved, runs),
                false => saved.told(study, saved, runs),
            };
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

    /// A further step in which something else than a place is another one, if what comes of it can be shown.
    fn built(&mut self, wish: &Build) -> Result<Value, String> {
        let plan = build::planned(&self.loaded, &self.layout, wish)?;
        let text = changed(&self.loaded.text, &plan.changes).ok_or(station_changes::BY_HAND)?;
        if text == self.loaded.text {
            return self.state(Runs::Few);
        }
        let loaded = LoadedText::load(&self.file.name, text.as_bytes())?;
        let mut poses = self.history.now().clone();
        if let Build::RemoveStation { station } = wish {
            poses.retain(|(_, moved), _| moved != station);
        }
        let before = std::mem::replace(&mut self.loaded, loaded);
        match self.drawn(poses.clone(), Runs::Few) {
            Ok(drawn) => {
                self.history.push_changes(&text, plan.changes, poses);
                self.proposals.clear();
                self.revision += 1;
                let mut view = drawn.map_or_else(stale, |drawn| self.view(drawn));
                view["said"] = json!(plan.said.join(" "));
                Ok(view)
            }
            Err(why) => {
                self.loaded = before;
                Err(why)
            }
        }
    }

    fn stepped(&mut self, step: fn(&mut History)) -> Result<Value, String> {
        let before = self.history.now().clone();
        let as_it_was = self.history.clone();
        step(&mut self.history);
        if **self.history.text() != *self.loaded.text {
            let text = self.history.text().as_bytes();
            match LoadedText::load(&self.file.name, text) {
                Ok(loaded) => self.loaded = loaded,
                Err(why) => {
                    self.history = as_it_was;
                    return Err(why);
                }
            }
            self.proposals.clear();
        }
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
}

/// Lengths and angles beyond this have no meaning on a floor.
const FARTHEST: f64 = 100_000.0;

const NOTHING_STANDS: &str = "nothing can be moved in a layout that says only how far it is, or in a candidate that changes more than where things stand";
const NO_LAYOUT: &str = "There is no such layout.";
const NO_STATION: &str = "There is no such station in this layout.";
const NO_SEARCH: &str = "Nothing is looked for here.";
const NO_PROPOSAL: &str = "There is no such proposal any more.";

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
