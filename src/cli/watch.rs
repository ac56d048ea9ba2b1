//! Does something again whenever a scenario is saved.

use std::convert::Infallible;
use std::fs;
use std::path::Path;
use std::thread;
use std::time::{Duration, SystemTime};

use super::{Refusal, output, tell};

/// How often the file is looked at. It is read once it has stayed the same for so long: an editor may write it in
/// several steps.
const EACH: Duration = Duration::from_millis(300);

/// What is different after a file has been saved.
type SaveStamp = Option<(SystemTime, u64)>;

/// Of a file that is not there, as while an editor puts another one in its place: none.
fn stamp(file: &Path) -> SaveStamp {
    let known = fs::metadata(file).ok()?;
    Some((known.modified().ok()?, known.len()))
}

/// Does it now and after each time the file has been saved, until the program is ended. What is refused is told, and
/// the next time awaited.
pub fn whenever_saved(
    scenario: Option<&Path>,
    quiet: bool,
    mut act: impl FnMut() -> Result<(), Refusal>,
) -> Result<Infallible, Refusal> {
    let file = scenario.filter(|file| *file != Path::new("-"));
    let file = file.ok_or_else(|| Refusal::because("--watch needs a file that can be saved"))?;
    loop {
        let before = stamp(file);
        if let Err(refusal) = act() {
            tell(&refusal);
        }
        let note = format!("Watching {}: ctrl-C ends it.", file.display());
        output::note(quiet, &note);
        let mut seen = before;
        loop {
            thread::sleep(EACH);
            let now = stamp(file);
            if now.is_some() && now != before && now == seen {
                break;
            }
            seen = now;
        }
    }
}
