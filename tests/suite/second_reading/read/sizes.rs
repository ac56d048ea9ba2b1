//! What pieces measure and weigh, and what steps make of that.

use serde_json::{Map, Value};

use super::super::quantity::{length_nm, whole};
use super::{Names, pieces, text};

/// Length, width and thickness in nanometres.
pub(super) type Sizes = [i64; 3];

/// What a line's pieces measure, as far as the file says.
#[derive(Clone, Copy, Default)]
pub(super) struct Dimensions {
    pub rough: Option<Sizes>,
    pub finished: Option<Sizes>,
    pub stock: Option<Sizes>,
    /// Surface of a piece in m².
    pub surface: Option<f64>,
    /// Of a piece before any work, and of a finished one.
    pub kg: Option<f64>,
    pub kg_finished: Option<f64>,
}

/// What a piece of a line measures; the surface and mass of an assembly come from its inputs.
pub(super) fn dimensions(
    line: usize,
    all: &[&Value],
    made_of: &[Vec<usize>],
    heavy: f64,
) -> Dimensions {
    let sizes = |key: &str| -> Option<Sizes> {
        let list = all[line].get(key)?;
        Some([
            length_nm(&list[0]),
            length_nm(&list[1]),
            length_nm(&list[2]),
        ])
    };
    let (rough, finished) = (sizes("rough"), sizes("finished"));
    let metres = |nm: i64| nm as f64 / 1e9;
    if made_of[line].is_empty() {
        let surface = finished.map(|s| {
            let [l, w, t] = s.map(metres);
            2.0 * (l * w + l * t + w * t)
        });
        let kg = rough.map(|rough| weight(rough, rough, heavy));
        // Reading: what does not say that it becomes smaller stays as heavy as it was.
        let kg_finished = rough.map(|rough| weight(rough, finished.unwrap_or(rough), heavy));
        return Dimensions {
            rough,
            finished,
            stock: sizes("stock"),
            surface,
            kg,
            kg_finished,
        };
    }
    // Reading: one input without a mass, and the assembly has none; the same for the surface.
    let mut surface = Some(0.0);
    let mut kg = Some(0.0);
    for &input in &made_of[line] {
        let of = dimensions(input, all, made_of, heavy);
        let n = pieces(all[input]) as f64;
        surface = surface.zip(of.surface).map(|(sum, one)| sum + one * n);
        // Reading: what is assembled has been worked to its end.
        kg = kg.zip(of.kg_finished).map(|(sum, one)| sum + one * n);
    }
    // Reading: several pieces of an assembly share the sums of the inputs evenly, and the length
    // that a feed speed needs is that of `finished`.
    let n = pieces(all[line]) as f64;
    let kg = kg.map(|m| m / n);
    Dimensions {
        rough: finished,
        finished,
        stock: None,
        surface: surface.map(|s| s / n),
        kg,
        kg_finished: kg,
    }
}

/// What material measures: as it is bought, from beginning to end.
pub(super) fn bought(line: &Value, heavy: f64) -> Dimensions {
    let stock = line
        .get("stock")
        .map(|list| [0, 1, 2].map(|side| length_nm(&list[side])));
    let surface = stock.map(|s| {
        let [l, w, t] = s.map(|nm| nm as f64 / 1e9);
        2.0 * (l * w + l * t + w * t)
    });
    let kg = stock.map(|stock| weight(stock, stock, heavy));
    Dimensions {
        rough: stock,
        finished: stock,
        stock: None,
        surface,
        kg,
        kg_finished: kg,
    }
}

/// What is left in kg of a rough piece that has been brought to these sizes. Reading: of a board that is larger than the
/// rough piece, only that piece counts, since several may come out of one board.
fn weight(rough: Sizes, now: Sizes, heavy: f64) -> f64 {
    let sides = rough.iter().zip(now);
    let left = sides.map(|(&rough, now)| rough.min(now) as f64 / 1e9);
    left.product::<f64>() * heavy
}

/// The mass of a piece before each step of its route, and after the last one.
pub(super) fn weights(
    names: &Names,
    route: &[&Value],
    of: &Dimensions,
    is_part: bool,
    heavy: f64,
) -> Vec<Option<f64>> {
    if !is_part {
        return vec![of.kg; route.len() + 1];
    }
    let reached = reached(names, route, of).into_iter();
    let mut all: Vec<Option<f64>> = reached
        .map(|now| (of.rough).map(|rough| weight(rough, now.size().unwrap_or(rough), heavy)))
        .collect();
    all.push(of.kg_finished);
    all
}

/// How far a piece has come on its way from stock to its finished sizes, before a step.
#[derive(Clone)]
pub(super) struct Reached {
    stages: Vec<Sizes>,
    /// How often the length, the width and the thickness have been cut.
    cut: [usize; 3],
    /// What the step itself says.
    own: Option<Sizes>,
}

impl Reached {
    pub fn size(&self) -> Option<Sizes> {
        let last = self.stages.len().saturating_sub(1);
        let side = |s: usize| self.stages.get(self.cut[s].min(last)).map(|sizes| sizes[s]);
        let by_stages = || Some([side(0)?, side(1)?, side(2)?]);
        self.own.or_else(by_stages)
    }

    /// After these sizes were cut.
    pub fn after(&self, names: &[String]) -> Reached {
        let mut after = Reached {
            own: None,
            ..self.clone()
        };
        for (s, name) in ["length", "width", "thickness"].into_iter().enumerate() {
            after.cut[s] += names.iter().filter(|cut| *cut == name).count();
        }
        after
    }
}

pub(super) fn reached(names: &Names, route: &[&Value], of: &Dimensions) -> Vec<Reached> {
    let stages = [of.stock, of.rough, of.finished];
    let mut now = Reached {
        stages: stages.into_iter().flatten().collect(),
        cut: [0; 3],
        own: None,
    };
    let mut all = Vec::new();
    for step in route {
        now.own = (step.get("piece")).map(|list| [0, 1, 2].map(|side| length_nm(&list[side])));
        all.push(now.clone());
        now = now.after(&cuts(names, step));
    }
    all
}

/// Which sizes a step changes. Reading: the step says so, else the first station that can do it, else the operation.
pub(super) fn cuts(names: &Names, step: &Value) -> Vec<String> {
    let op = step.as_str().unwrap_or_else(|| text(&step["op"]));
    let on = step.get("on").map(text);
    let does = |name: &&String| names.root["stations"][name.as_str()].get("does")?.get(op);
    let mut stations = names
        .stations
        .iter()
        .filter(|name| on.is_none_or(|on| on == *name));
    let station = stations
        .find(|name| does(name).is_some())
        .expect("somebody does it");
    let common = names.root.get("operations").and_then(|all| all.get(op));
    let levels = [Some(step), does(&station), common];
    let said = levels
        .into_iter()
        .flatten()
        .find_map(|keys| keys.get("cuts"));
    said.map_or(Vec::new(), cut_names)
}

pub(super) fn cut_names(value: &Value) -> Vec<String> {
    match value.as_array() {
        Some(list) => list.iter().map(|one| text(one).to_string()).collect(),
        None => vec![text(value).to_string()],
    }
}

/// How often a piece passes through.
pub(super) fn passes(keys: &Map<String, Value>, sizes: &Dimensions) -> i64 {
    let once = match (keys.get("passes"), keys.get("depth per pass")) {
        (Some(n), _) => whole(n),
        (None, Some(depth)) => {
            let rough = sizes.rough.expect("a depth per pass needs rough sizes")[2];
            let finished = sizes
                .finished
                .expect("a depth per pass needs finished sizes")[2];
            // Whole nanometres divide exactly where the file's numbers do.
            let depth = length_nm(depth);
            ((rough - finished + depth - 1) / depth).max(1)
        }
        (None, None) => 1,
    };
    // Reading: two faces double whichever number it is.
    once * keys.get("faces").map_or(1, whole)
}
