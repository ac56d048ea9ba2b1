//! The text of a scenario of kinds, with a comment at every guess.

use super::Wish;
use super::length::{INCH, sized, taped};
use super::machines::SaidStation;
use super::room::WIDE_M;
use super::work::PlannedProject;
use crate::experiment::Units;
use crate::floor::Pose;
use crate::scenario::keys::SMALLEST;
use crate::scenario::yaml_name::yaml_name;

/// A station of the file.
#[derive(Debug, Clone)]
pub struct SketchedStation {
    pub said: SaidStation,
    /// Where it is not the usual one of its kind.
    pub size: Option<SketchedSize>,
    /// In metres, where it is not the usual one of its kind: level with the saw's.
    pub height: Option<f64>,
    /// In metres, where its lowest part is not at the usual height.
    pub bottom: Option<f64>,
    /// Why it is not the usual one.
    pub size_because: &'static str,
    /// Operations that it shall not do.
    pub never: Vec<&'static str>,
    /// Times of its operations, as a file has them.
    pub taken: Vec<String>,
    /// Whether it does something, but nothing that any route asks for.
    pub is_idle: bool,
    /// Why it stands nowhere.
    pub nowhere: Option<String>,
}

/// Another size than the usual one of a kind.
#[derive(Debug, Clone, Copy)]
pub enum SketchedSize {
    /// As small as such things come.
    Smallest,
    /// In metres, along x and along y.
    Given(f64, f64),
}

/// Where everything stands.
pub enum SketchedLayout {
    /// Side by side outside the room, so that nothing stands below what hangs: to find out what is walked.
    Row,
    /// Each station that is placed, with its index.
    Placed {
        name: &'static str,
        /// The layout that it is like but for what it says, and what is said of it.
        like: Option<&'static str>,
        because: &'static str,
        at: Vec<(usize, Pose)>,
        /// Whether it stands in comments, to show how one more is written.
        is_shown_only: bool,
    },
}

/// A scenario before it is a text.
pub struct Sketch<'a> {
    pub wish: &'a Wish,
    pub stations: Vec<SketchedStation>,
    pub projects: Vec<PlannedProject>,
}

/// From one station to the next in a row, in metres: more than any is wide.
const ROW_M: usize = 8;

/// Before the layout that is only shown.
const HOW_TO_ADD: &str =
    "# One more layout: take the # before these lines away, and move what you like.";

/// When the shop is open is never asked for, and times that go through the night surprise.
const WITHOUT_SESSIONS: [&str; 3] = [
    "# The shop is taken to be open day and night. Take the # before these lines away, and say when yours is:",
    "#sessions:",
    "#  - {days: [tue, thu], open: \"19:00\", close: \"21:30\"}",
];

/// Clamps are a guess wherever something is glued.
const CLAMPS: u32 = 12;
const CLAMPS_AT_ONCE: u32 = 6;

impl Sketch<'_> {
    pub fn door_names(wish: &Wish) -> Vec<String> {
        let named = |index: usize| {
            let door = &wish.doors[index];
            match (wish.doors.len(), door.width >= WIDE_M) {
                (1, true) => "wide door".to_owned(),
                (1, false) => "door".to_owned(),
                _ => format!("{} door", door.wall.name()),
            }
        };
        let mut names: Vec<String> = Vec::new();
        for index in 0..wish.doors.len() {
            let is_used = |name: &str| {
                let stations = wish.stations.iter();
                names.iter().any(|known| known == name)
                    || stations
                        .map(|station| &station.name[..])
                        .any(|known| known == name)
            };
            let name = super::machines::unused(&named(index), is_used);
            names.push(name);
        }
        names
    }

    /// Operations in the routes.
    pub fn used(&self) -> Vec<&'static str> {
        let used = self.projects.iter().flat_map(|project| &project.used);
        used.copied().collect()
    }

    /// A finish in the routes, and the sanding that would throw dust on it.
    pub fn dust_on_finish(&self) -> Option<(&'static str, impl Iterator<Item = &'static str>)> {
        const FINISHES: [&str; 2] = ["finish", "oil"];
        const DUSTY: [&str; 3] = ["sand", "drum sand", "edge sand"];
        let used = self.used();
        let finish = FINISHES.into_iter().find(|finish| used.contains(finish))?;
        let dusty = DUSTY.into_iter().filter(move |dusty| used.contains(dusty));
        let mut dusty = dusty.peekable();
        dusty.peek().is_some().then_some((finish, dusty))
    }

    pub fn text(&self, layouts: &[SketchedLayout]) -> String {
        let mut lines = Vec::new();
        self.heading(&mut lines);
        self.room(&mut lines);
        self.stations(&mut lines);
        self.work(&mut lines);
        self.layouts(layouts, &mut lines);
        lines.push(String::new());
        lines.join("\n")
    }

    fn units(&self) -> Units {
        self.wish.room.units
    }

    fn taped(&self, metres: f64) -> String {
        taped(metres, self.units())
    }

    fn heading(&self, lines: &mut Vec<String>) {
        let (width, depth) = self.wish.room.size;
        lines.push(
            "# A first draft: sizes and times are typical ones of the kinds, and what is guessed says so. Measure, then change it."
                .to_owned(),
        );
        lines.push("#   shopstride check --charts pictures THIS-FILE    does it fit? with a plan of each layout".to_owned());
        lines.push("#   shopstride compare THIS-FILE                    which layout is better, and is it worth it?".to_owned());
        lines.push(format!(
            "title: A shop of {} by {}",
            self.taped(width),
            self.taped(depth)
        ));
        if self.units() == Units::Imperial {
            lines.push("show: imperial".to_owned());
        }
    }

    fn room(&self, lines: &mut Vec<String>) {
        let room = &self.wish.room;
        lines.push("room:".to_owned());
        lines.push(format!(
            "  size: [{}, {}] # along the front wall, and from there to the back",
            self.taped(room.size.0),
            self.taped(room.size.1)
        ));
        if let Some(ceiling) = room.ceiling {
            lines.push(format!("  ceiling: {}", self.taped(ceiling)));
        }
        lines.push("  doors:".to_owned());
        for (door, name) in self.wish.doors.iter().zip(Sketch::door_names(self.wish)) {
            let ends = door
                .between(room)
                .map(|(x, y)| format!("[{}, {}]", self.taped(x), self.taped(y)))
                .join(", ");
            let height = door.height.map_or(String::new(), |height| {
                format!(", height: {}", self.taped(height))
            });
            let guesses = self.wish.guessed_of(door);
            let swings = door
                .swings
                .map_or(String::new(), |swing| format!(", swings: {}", swing.name()));
            let hinge = door
                .hinge
                .map_or(String::new(), |end| format!(", hinge: {}", end.name()));
            let guess = match guesses.is_empty() {
                true => String::new(),
                false => format!(" # a guess: {}", guesses.join("; ")),
            };
            lines.push(format!(
                "    - {{name: {}, between: [{ends}]{height}{swings}{hinge}}}{guess}",
                yaml_name(&name)
            ));
        }
        if !self.wish.blocked.is_empty() {
            lines.push("  blocked:".to_owned());
        }
        for thing in &self.wish.blocked {
            let (x, y) = thing.middle();
            let place = [x, y, thing.size.0, thing.size.1].map(|length| self.taped(length));
            let [x, y, along, deep] = place;
            lines.push(format!(
                "    - {{name: {}, at: [{x}, {y}], size: [{along}, {deep}]}}",
                yaml_name(&thing.name)
            ));
        }
    }

    fn stations(&self, lines: &mut Vec<String>) {
        let guess = match self.wish.are_stations_guessed {
            true => "a guess: enough to build something of boards; ",
            false => "",
        };
        lines.push(format!(
            "stations: # {guess}`shopstride kinds` lists the kinds, with what is usual for each"
        ));
        for station in &self.stations {
            let kind = station.said.kind;
            let mut keys = vec![format!("kind: {}", kind.name)];
            let mut remarks = Vec::new();
            if let Some(size) = station.size {
                let length = |metres: f64| match metres == 0.0 {
                    true => "0".to_owned(),
                    false => sized(metres, self.units()),
                };
                keys.push(match size {
                    SketchedSize::Smallest => format!("size: {SMALLEST}"),
                    SketchedSize::Given(width, depth) => {
                        format!("size: [{}, {}]", length(width), length(depth))
                    }
                });
                remarks.push(station.size_because.to_owned());
            }
            if let Some(height) = station.height {
                keys.push(format!("height: {}", sized(height, self.units())));
                remarks.push("level with the saw's table, so that it carries the work".to_owned());
            }
            if let Some(bottom) = station.bottom {
                keys.push(format!("bottom: {}", sized(bottom, self.units())));
                remarks.push("a guess: its arms are high up, above what stands there".to_owned());
            }
            let never = station.never.iter();
            let never = never.map(|operation| format!("{operation}: never"));
            let does: Vec<String> = never.chain(station.taken.iter().cloned()).collect();
            if !does.is_empty() {
                keys.push(format!("does: {{{}}}", does.join(", ")));
            }
            if station.said.is_kind_guessed {
                remarks.push("a guess: which kind of it".to_owned());
            }
            if station.is_idle {
                remarks.push("no route uses it yet".to_owned());
            }
            if station.nowhere.is_some() {
                remarks.push("it stands nowhere yet, see the layouts".to_owned());
            }
            let remark = match remarks.is_empty() {
                true => String::new(),
                false => format!(" # {}", remarks.join("; ")),
            };
            lines.push(format!(
                "  {}: {{{}}}{remark}",
                yaml_name(&station.said.name),
                keys.join(", ")
            ));
        }
    }

    fn work(&self, lines: &mut Vec<String>) {
        // People start at the first station of the file unless something else is said.
        if self.stations[0].nowhere.is_some()
            && let Some(first) = (self.stations.iter()).find(|station| station.nowhere.is_none())
        {
            let name = yaml_name(&first.said.name);
            lines.push(format!("crew: {{maker: {{starts at: {name}}}}}"));
        }
        if self.used().contains(&"glue-up") {
            let mut stations = self.stations.iter();
            let rack = stations.find(|station| {
                station.said.kind.name == "clamp rack" && station.nowhere.is_none()
            });
            let stored = rack.map_or(String::new(), |rack| {
                format!(", stored at: {}", yaml_name(&rack.said.name))
            });
            lines.push(format!(
                "gear: {{clamps: {{count: {CLAMPS}{stored}}}}} # a guess, and so is how many a glue-up takes"
            ));
            lines.push(format!(
                "operations: {{glue-up: {{gear: {{clamps: {CLAMPS_AT_ONCE}}}}}}}"
            ));
        }
        if let Some((finish, dusty)) = self.dust_on_finish() {
            let dusty = dusty.map(|operation| format!("{operation}: {{dusty: true}}"));
            lines.push(format!(
                "# Nothing keeps dust from a finish that is wet yet. In one room, for as long as its label says: under \
                 operations, {finish}: {{tacky: 2 h}}, {}",
                dusty.collect::<Vec<_>>().join(", ")
            ));
        }
        lines.extend(WITHOUT_SESSIONS.map(str::to_owned));
        let invented = match self.wish.is_project_guessed {
            true => " # a guess: what is built; `--cut-list` takes a list of parts",
            false => "",
        };
        lines.push(format!("projects:{invented}"));
        for project in &self.projects {
            let mut said = Vec::new();
            if !project.missing.is_empty() {
                said.push(format!("nothing here can {}", project.missing.join(" or ")));
            }
            if project.lacks_joinery {
                said.push("the routes have no joinery".to_owned());
            }
            let said = match said.is_empty() {
                true => String::new(),
                false => format!(" # {}", said.join("; ")),
            };
            lines.push(format!("  {}:{said}", yaml_name(&project.name)));
            lines.extend(project.lines.iter().map(|line| format!("    {line}")));
        }
        let orders = self.projects.iter();
        let orders = orders.map(|project| format!("{{project: {}}}", yaml_name(&project.name)));
        let orders: Vec<String> = orders.collect();
        lines.push(format!("orders: [{}]", orders.join(", ")));
    }

    fn layouts(&self, layouts: &[SketchedLayout], lines: &mut Vec<String>) {
        lines.push(
            "layouts: # the middle of each from the left front corner, and how it is turned, counter-clockwise"
                .to_owned(),
        );
        for layout in layouts {
            match layout {
                SketchedLayout::Row => {
                    lines.push("  row:".to_owned());
                    lines.push("    walk: straight".to_owned());
                    lines.push("    at:".to_owned());
                    for (index, station) in self.stations.iter().enumerate() {
                        let place = match station.nowhere {
                            Some(_) => "nowhere".to_owned(),
                            None => format!("[{} m, -20 m]", ROW_M * index),
                        };
                        lines.push(format!("      {}: {place}", yaml_name(&station.said.name)));
                    }
                }
                SketchedLayout::Placed {
                    name,
                    like,
                    because,
                    at,
                    is_shown_only,
                } => {
                    let placed = self.placed((name, because), *like, at);
                    match is_shown_only {
                        true => {
                            lines.push(HOW_TO_ADD.to_owned());
                            lines.extend(placed.iter().map(|line| format!("#{line}")));
                        }
                        false => lines.extend(placed),
                    }
                }
            }
        }
    }

    fn placed(
        &self,
        (name, because): (&str, &str),
        like: Option<&str>,
        at: &[(usize, Pose)],
    ) -> Vec<String> {
        let mut lines = vec![format!("  {name}: # {because}")];
        lines.extend(like.map(|like| format!("    like: {like}")));
        lines.push("    at:".to_owned());
        for (index, pose) in at {
            let station = yaml_name(&self.stations[*index].said.name);
            lines.push(format!("      {station}: {}", self.place(pose)));
        }
        let nowhere = self.stations.iter().filter(|_| like.is_none());
        for station in nowhere {
            if let Some(why) = &station.nowhere {
                let name = yaml_name(&station.said.name);
                lines.push(format!("      {name}: nowhere # {why}"));
            }
        }
        lines
    }

    fn place(&self, pose: &Pose) -> String {
        let at = format!("[{}, {}]", self.taped(pose.at.x), self.taped(pose.at.y));
        match pose.turn == 0.0 {
            true => at,
            false => format!("{{at: {at}, turn: {}}}", pose.turn),
        }
    }
}

/// What a length of a room is called in a comment: whole inches or centimetres, rounded up.
pub fn needed(metres: f64, units: Units) -> String {
    match units {
        Units::Imperial => taped((metres / INCH - 1e-6).ceil() * INCH, units),
        Units::Metric => taped((metres * 100.0 - 1e-6).ceil() / 100.0, units),
    }
}
