//! From a scenario file to a [`Study`]: all problems are reported at once, each with its place in the file.
//!
//! The file is read into a tree whose nodes keep their positions. A candidate's change is applied to the tree, and each
//! candidate is built from its own tree.

mod add_layouts;
mod csv_lines;
mod decimal_comma;
mod duration;
mod explain;
mod feet;
mod fields;
mod flow_text;
pub mod given_trips;
mod keys;
pub mod kinds;
mod like;
mod malformed;
mod misplaced_key;
mod move_stations;
mod names;
pub mod new_shop;
mod patch;
mod printable;
mod problem;
mod quantity;
mod rated_amps;
mod reader;
mod recognise;
mod resolve;
mod schema;
pub mod sizing;
mod splice;
mod temperature;
mod text_change;
mod tree;
mod wire;
mod written_times;
mod yaml_name;

pub use add_layouts::{AddedLayout, add_layouts, coordinate_yaml, layout_yaml, place_yaml};
pub use explain::{EXAMPLES, ExplainedKey, explain_all, explain_key, near_word};
pub use move_stations::{MovedStation, move_stations};
pub use printable::{printable, printable_json, printable_name};
pub use problem::{Problem, Problems, Severity, nearest};
pub use recognise::reads_as_scenario;
pub use schema::schema;
pub use text_change::{TextChange, TextStep, changed, changes_only_places, text_at};
pub use written_times::{TIME_KEYS, WrittenTimes, time_way, written_times};
pub use yaml_name::yaml_name;

use crate::experiment::{Indifference, Study};
use quantity::Dimension;

/// A scenario to start from, with a comment for each of its parts.
pub const STARTER: &str = include_str!("starter.yaml");

/// A file larger than this is refused; no scenario written by hand comes near it.
const MOST_BYTES: usize = 16 << 20;

/// A study, and what looks wrong without being an error.
#[derive(Debug, Clone)]
pub struct Loaded {
    pub study: Study,
    pub warnings: Problems,
}

/// Reads a scenario; `name` is how problems call the file.
///
/// # Errors
/// All problems of the file, warnings among them, in order of position.
pub fn load(name: &str, text: &[u8]) -> Result<Loaded, Problems> {
    read(name, text, false)
}

/// Reads a scenario whose layouts are to be checked rather than played: where nobody could walk as a layout is drawn,
/// people walk straight.
///
/// # Errors
/// All problems of the file, warnings among them, in order of position.
pub fn load_to_check(name: &str, text: &[u8]) -> Result<Loaded, Problems> {
    read(name, text, true)
}

/// Reads a difference that does not matter: a length is one in walking, a time is one in lead time.
///
/// # Errors
/// What is wrong with the text, and what would be right.
pub fn indifference(text: &str) -> Result<Indifference, String> {
    let read = |dimension: Dimension| dimension.read(text).ok().filter(|&amount| amount > 0.0);
    let length = read(Dimension::Length).map(Indifference::Walking);
    length
        .or_else(|| read(Dimension::Time).map(Indifference::LeadTime))
        .ok_or_else(|| {
            "it must be a length above 0 such as \"20 m\", for walking, or a time such as \"5 min\", for lead time"
                .to_owned()
        })
}

/// Reads where something is on the floor plan, in metres.
///
/// # Errors
/// What would be right.
pub fn coordinate(text: &str) -> Result<f64, String> {
    let read = Dimension::Length.read_signed(text);
    read.map_err(|wrong| format!("{}: {}", wrong.what, wrong.hint))
}

/// Nothing that is asked for lasts longer, in seconds: a year.
const LONGEST_S: f64 = 365.0 * 86_400.0;

/// Reads how long something lasts, in seconds, above 0.
///
/// # Errors
/// What would be right.
pub fn time(text: &str) -> Result<f64, String> {
    let read = Dimension::Time.read(text).ok();
    read.filter(|&seconds| seconds > 0.0 && seconds <= LONGEST_S)
        .ok_or_else(|| "it must be a time above 0 such as \"8 h\" or \"30 min\"".to_owned())
}

/// Farther from its place, in metres, nothing is taken to stand.
const MOST_BESIDE_M: f64 = 1.0;

/// Reads how far beside its place something may stand, in metres.
///
/// # Errors
/// What would be right.
pub fn doubted_length(text: &str) -> Result<f64, String> {
    let length = Dimension::Length.read(text).ok();
    length
        .filter(|&metres| metres > 0.0 && metres <= MOST_BESIDE_M)
        .ok_or_else(|| {
            format!("it must be a length above 0 and at most {MOST_BESIDE_M} m such as \"3 cm\"")
        })
}

/// The text, if it looks like UTF-16: it begins with such a mark, or every other of its first bytes is zero, as no text
/// of UTF-8 has it.
fn utf16(text: &[u8]) -> Option<String> {
    const LOOKED_AT: usize = 16;
    let (pairs, _) = text.as_chunks::<2>();
    let first = &pairs[..pairs.len().min(LOOKED_AT)];
    let all = |is: fn(&[u8; 2]) -> bool| first.len() > 1 && first.iter().all(is);
    let big = text.starts_with(&[0xfe, 0xff]) || all(|pair| pair[0] == 0 && pair[1] != 0);
    let little = text.starts_with(&[0xff, 0xfe]) || all(|pair| pair[0] != 0 && pair[1] == 0);
    let unit = match (big, little) {
        (true, _) => u16::from_be_bytes,
        (_, true) => u16::from_le_bytes,
        _ => return None,
    };
    let units: Vec<u16> = pairs.iter().map(|pair| unit(*pair)).collect();
    let decoded = String::from_utf16_lossy(&units);
    Some(decoded.trim_start_matches('\u{feff}').to_owned())
}

fn read(name: &str, text: &[u8], keeps_unwalkable: bool) -> Result<Loaded, Problems> {
    let fail = |text: &str, problem| Err(Problems::new(name, text, vec![problem]));
    if text.len() > MOST_BYTES {
        let problem = Problem::error(
            &(0..0),
            format!(
                "the file has {} bytes; at most {MOST_BYTES} are accepted",
                text.len()
            ),
        );
        return fail("", problem);
    }
    if let Some(decoded) = utf16(text) {
        let problem = Problem::error(&(0..0), "this is text in the encoding UTF-16, not UTF-8")
            .hint("save the file with the encoding UTF-8");
        return fail(&decoded, problem);
    }
    let text = match std::str::from_utf8(text) {
        Ok(text) => text,
        Err(error) => {
            let at = error.valid_up_to();
            let shown = String::from_utf8_lossy(text);
            let problem =
                Problem::error(&(at..at + '\u{fffd}'.len_utf8()), "this is not UTF-8 text")
                    .label("these bytes are no characters")
                    .hint("save the file with the encoding UTF-8");
            return fail(&shown, problem);
        }
    };
    let tree = match tree::parse(text) {
        Ok(tree) => tree,
        Err(problem) => return fail(text, *problem),
    };
    if tree.value == tree::YamlValue::Null {
        let problem = Problem::error(&(0..0), "the file is empty")
            .hint("`shopstride new FILE` writes a scenario to start from");
        return fail(text, problem);
    }
    let blank = tree.blank_keys().map(|key| {
        Problem::error(&key.span, "here a name is empty").hint(
            "every station, layout, project and whatever else has a name needs a letter in it",
        )
    });
    let unjoined = tree.keys_with_braces().filter_map(|key| {
        let (before, _) = key.text.split_once('{')?;
        malformed::unjoined_brace(before, key.span.start)
    });
    let unreadable: Vec<Problem> = blank.chain(unjoined).collect();
    if !unreadable.is_empty() {
        return Err(Problems::new(name, text, unreadable));
    }
    let (study, problems) = resolve::study(&tree, keeps_unwalkable);
    let problems = Problems::new(name, text, problems);
    match study {
        Some(study) => Ok(Loaded {
            study,
            warnings: problems,
        }),
        None => Err(problems),
    }
}
