//! What a command reads and where it writes, looked at before anything is played: an answer that cannot be written, or
//! that takes the place of something else, is lost.

use std::path::{Path, PathBuf};

use super::Refusal;
use super::output::cannot_write;
use crate::report::{can_write_in, target};

/// What one command reads and writes.
#[derive(Debug, Default)]
pub struct Places<'a> {
    /// The scenario, unless it is built in or comes from standard input.
    scenario: Option<&'a Path>,
    /// Files to write, by their options.
    files: Vec<(&'static str, &'a Path)>,
    /// Folders to write to, by their options, and how the names of the files in them end.
    folders: Vec<(&'static str, &'a Path, &'static [&'static str])>,
}

impl<'a> Places<'a> {
    pub fn new(scenario: Option<&'a Path>) -> Places<'a> {
        Places {
            scenario: scenario.filter(|file| *file != Path::new("-")),
            ..Places::default()
        }
    }

    pub fn file(mut self, option: &'static str, file: &'a Option<PathBuf>) -> Places<'a> {
        let file = file.as_deref().filter(|file| *file != Path::new("-"));
        self.files.extend(file.map(|file| (option, file)));
        self
    }

    pub fn tables(mut self, folder: &'a Option<PathBuf>) -> Places<'a> {
        let folder = folder.as_deref();
        self.folders
            .extend(folder.map(|folder| ("--csv", folder, &["csv"][..])));
        self
    }

    pub fn charts(mut self, folder: Option<&'a Path>) -> Places<'a> {
        self.folders
            .extend(folder.map(|folder| ("--charts", folder, &["svg", "png"][..])));
        self
    }

    /// Whether everything can be written, and nothing takes the place of something else.
    pub fn check(&self) -> Result<(), Refusal> {
        for (_, file) in &self.files {
            check_path(file)?;
        }
        for (_, folder, _) in &self.folders {
            if folder.exists() && !folder.is_dir() {
                let what = format!("{} is not a folder", folder.display());
                return Err(Refusal::because(what));
            }
        }
        let scenario = self.scenario.and_then(identity);
        let files = self.files.iter();
        let files: Vec<(&str, &Path, PathBuf)> = files
            .filter_map(|&(option, file)| Some((option, file, identity(file)?)))
            .collect();
        for (index, (option, file, identity)) in files.iter().enumerate() {
            if scenario.as_ref() == Some(identity) {
                return Err(Refusal::with_hint(
                    format!("{option} {}: that is the scenario itself", file.display()),
                    "name another file",
                ));
            }
            if let Some((other, ..)) = files[..index].iter().find(|before| before.2 == *identity) {
                return Err(Refusal::with_hint(
                    format!(
                        "{other} and {option} {}: both name the same file",
                        file.display()
                    ),
                    "name two files",
                ));
            }
            if let Some(option_of) = self.folder_of(identity) {
                return Err(Refusal::with_hint(
                    format!(
                        "{option} {}: {option_of} writes such files to the same folder",
                        file.display()
                    ),
                    "name another folder, or another file",
                ));
            }
        }
        if let (Some(file), Some(identity)) = (self.scenario, scenario)
            && let Some(option) = self.folder_of(&identity)
        {
            return Err(Refusal::with_hint(
                format!(
                    "{option} writes files such as {} to the folder of the scenario",
                    file.display()
                ),
                "name another folder",
            ));
        }
        Ok(())
    }

    /// The option by which files with such names are written to the folder of this one.
    fn folder_of(&self, file: &Path) -> Option<&'static str> {
        let ending = file.extension()?.to_str()?;
        let here = |folder: &Path| Some(std::fs::canonicalize(folder).ok()? == file.parent()?);
        let found = self.folders.iter().find(|(_, folder, endings)| {
            endings.contains(&ending) && here(folder).unwrap_or(false)
        });
        found.map(|&(option, ..)| option)
    }

    /// Makes the folders, so that nobody waits for an answer that has no place.
    pub fn make_folders(&self) -> Result<(), Refusal> {
        for (_, folder, _) in &self.folders {
            std::fs::create_dir_all(folder)
                .and_then(|()| can_write_in(folder))
                .map_err(|error| cannot_write(folder, &error))?;
        }
        Ok(())
    }
}

/// The regular file that a name leads to, through links, whether it is there already or not; None for a device or a
/// pipe, which takes what several write to it.
fn identity(file: &Path) -> Option<PathBuf> {
    let target = target(file);
    if target.exists() && !target.is_file() {
        return None;
    }
    let folder = folder_of(&target).unwrap_or(Path::new("."));
    Some(
        std::fs::canonicalize(folder)
            .ok()?
            .join(target.file_name()?),
    )
}

fn folder_of(file: &Path) -> Option<&Path> {
    file.parent()
        .filter(|folder| !folder.as_os_str().is_empty())
}

/// A file for output must be in a folder that is there and can be written to.
fn check_path(file: &Path) -> Result<(), Refusal> {
    if file.is_dir() {
        let what = format!("{} is a folder, not a file", file.display());
        return Err(Refusal::because(what));
    }
    let target = target(file);
    if target.exists() && !target.is_file() {
        return Ok(());
    }
    let folder = folder_of(&target);
    match folder {
        Some(folder) if !folder.is_dir() => Err(Refusal::with_hint(
            format!(
                "{} cannot be written: there is no folder {}",
                file.display(),
                folder.display()
            ),
            "make the folder first, or name another one",
        )),
        _ => can_write_in(folder.unwrap_or(Path::new(".")))
            .map_err(|error| cannot_write(file, &error)),
    }
}
