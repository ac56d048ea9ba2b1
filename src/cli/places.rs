//! What a command reads and where it writes, checked before anything is simulated: an answer that cannot be written, or
//! that would overwrite an input, would come too late to be refused.

use std::path::{Path, PathBuf};

use super::Refusal;
use super::output::cannot_write;
use super::scenario::is_scenario;
use crate::report::{can_replace, can_write_in, charts, data, target};

/// What is written to a folder.
#[derive(Debug, Clone, Copy)]
enum Kind {
    Tables,
    Charts,
}

impl Kind {
    /// How the names of its files end.
    fn endings(self) -> &'static [&'static str] {
        match self {
            Kind::Tables => &["csv"],
            Kind::Charts => &["svg", "png", "json"],
        }
    }

    /// Whether a file of this name may be written, or is kept to know what was.
    fn may_write(self, name: &str) -> bool {
        match self {
            Kind::Tables => data::TABLES.contains(&name),
            Kind::Charts => charts::may_write(name),
        }
    }
}

/// What one command reads and writes.
#[derive(Debug, Default)]
pub struct Places<'a> {
    /// The command, if it takes a scenario.
    command: Option<&'static str>,
    /// The scenario, unless it is built in.
    asked: Option<&'a Path>,
    /// Files to read besides, by their options.
    read: Vec<(&'static str, &'a Path)>,
    /// Files to write, by their options.
    files: Vec<(&'static str, &'a Path)>,
    /// Folders to write to, by their options, and what is written there.
    folders: Vec<(&'static str, &'a Path, Kind)>,
}

impl<'a> Places<'a> {
    pub fn new(command: &'static str, scenario: Option<&'a Path>) -> Places<'a> {
        Places {
            command: Some(command),
            asked: scenario,
            ..Places::default()
        }
    }

    /// The scenario, unless it is built in or comes from standard input.
    fn scenario(&self) -> Option<&'a Path> {
        self.asked.filter(|file| *file != Path::new("-"))
    }

    pub fn reads(mut self, option: &'static str, file: &'a Path) -> Places<'a> {
        self.read.push((option, file));
        self
    }

    pub fn file(mut self, option: &'static str, file: &'a Option<PathBuf>) -> Places<'a> {
        let file = file.as_deref().filter(|file| *file != Path::new("-"));
        self.files.extend(file.map(|file| (option, file)));
        self
    }

    pub fn tables(mut self, folder: &'a Option<PathBuf>) -> Places<'a> {
        let folder = folder.as_deref();
        self.folders
            .extend(folder.map(|folder| ("--csv", folder, Kind::Tables)));
        self
    }

    pub fn charts(mut self, folder: Option<&'a Path>) -> Places<'a> {
        self.folders
            .extend(folder.map(|folder| ("--charts", folder, Kind::Charts)));
        self
    }

    /// Whether everything can be written, and nothing takes the place of something else.
    pub fn check(&self) -> Result<(), Refusal> {
        for (_, file) in &self.files {
            check_path(file)?;
        }
        for &(option, folder, kind) in &self.folders {
            if folder.is_file() && is_scenario(folder) {
                let what = format!("{} is a scenario, not a folder", folder.display());
                return Err(Refusal::with_hint(what, self.instead(option, folder)));
            }
            check_folder(option, folder, kind)?;
        }
        let scenario = self.scenario().and_then(identity);
        let files = self.files.iter();
        let files: Vec<(&str, &Path, PathBuf)> = files
            .filter_map(|&(option, file)| Some((option, file, identity(file)?)))
            .collect();
        for (index, (option, file, identity)) in files.iter().enumerate() {
            if scenario.as_ref() == Some(identity) {
                return Err(Refusal::with_hint(
                    format!("{option} {}: that is the scenario itself", file.display()),
                    self.instead(option, file),
                ));
            }
            let mut read = self.read.iter();
            if let Some((other, _)) =
                read.find(|(_, read)| self::identity(read).as_ref() == Some(identity))
            {
                return Err(Refusal::with_hint(
                    format!("{option} {}: that is what {other} reads", file.display()),
                    self.instead(option, file),
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
            // A folder cannot be made where a file is to be, nor below it.
            let below = |folder: &Path| folder_identity(folder).starts_with(identity);
            if let Some((other, ..)) = self.folders.iter().find(|(_, folder, _)| below(folder)) {
                return Err(Refusal::with_hint(
                    format!(
                        "{option} {}: {other} needs a folder of this name",
                        file.display()
                    ),
                    "name another file, or another folder",
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
        if let (Some(file), Some(identity)) = (self.scenario(), scenario)
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
        match self.files.iter().find(|(_, file)| is_scenario(file)) {
            Some((option, file)) => Err(Refusal::with_hint(
                format!(
                    "{option} {}: that is a scenario, which would be overwritten",
                    file.display()
                ),
                self.instead(option, file),
            )),
            None => Ok(()),
        }
    }

    /// What to type instead of a scenario behind an option that names what is written.
    fn instead(&self, option: &str, named: &Path) -> String {
        let output = match option {
            "--csv" => "tables".into(),
            "--charts" => "pictures".into(),
            "--out" => named.with_extension("html"),
            _ => named.with_extension("json"),
        };
        let output = match output == named {
            true => named.with_extension("new.json"),
            false => output,
        };
        let output = as_typed(&output);
        match self.command.filter(|_| self.asked.is_none()) {
            Some(command) => format!(
                "{option} says where to write; the scenario is named without an option: `shopstride {command} {} {option} {output}`",
                as_typed(named)
            ),
            None => format!("name another place, such as `{option} {output}`"),
        }
    }

    /// The option by which files with such names are written to the folder of this one.
    fn folder_of(&self, file: &Path) -> Option<&'static str> {
        let name = file.file_name()?.to_str()?;
        let ending = file.extension().and_then(|ending| ending.to_str());
        let here = |folder: &Path| Some(std::fs::canonicalize(folder).ok()? == file.parent()?);
        let found = self.folders.iter().find(|(_, folder, kind)| {
            let like_ours = ending.is_some_and(|ending| kind.endings().contains(&ending));
            (like_ours || kind.may_write(name)) && here(folder).unwrap_or(false)
        });
        found.map(|&(option, ..)| option)
    }

    /// Makes the folders before the simulation, so that a missing one is found out at once.
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

/// The folder that a name leads to; what is not there yet is taken by its name.
fn folder_identity(folder: &Path) -> PathBuf {
    let found = folder.ancestors().find_map(|ancestor| {
        let there = match ancestor.as_os_str().is_empty() {
            true => Path::new("."),
            false => ancestor,
        };
        let rest = folder.strip_prefix(ancestor).ok()?;
        Some(std::fs::canonicalize(there).ok()?.join(rest))
    });
    found.unwrap_or_else(|| folder.to_owned())
}

/// A path as a shell takes it.
fn as_typed(path: &Path) -> String {
    let path = path.display().to_string();
    let is_plain = |letter: char| letter.is_alphanumeric() || "._-+/".contains(letter);
    match path.chars().all(is_plain) {
        true => path,
        false => format!("'{}'", path.replace('\'', r"'\''")),
    }
}

/// A folder for output must be one, and nothing in it that would be replaced may be protected.
fn check_folder(option: &str, folder: &Path, kind: Kind) -> Result<(), Refusal> {
    if folder == Path::new("-") {
        return Err(Refusal::with_hint(
            format!("{option} writes several files, which do not fit into standard output"),
            "name a folder; if it is to be called -, write ./-",
        ));
    }
    if !folder.exists() {
        return match folder.is_symlink() {
            false => Ok(()),
            true => Err(Refusal::with_hint(
                format!(
                    "{} is a link to {}, which is not there",
                    folder.display(),
                    target(folder).display()
                ),
                "make the folder first, or name another one",
            )),
        };
    }
    if !folder.is_dir() {
        let what = format!("{} is not a folder", folder.display());
        return Err(Refusal::because(what));
    }
    let entries = std::fs::read_dir(folder).map_err(|error| cannot_write(folder, &error))?;
    for entry in entries {
        let entry = entry.map_err(|error| cannot_write(folder, &error))?;
        let ours = entry
            .file_name()
            .to_str()
            .is_some_and(|name| kind.may_write(name));
        let entry = entry.path();
        if ours && entry.is_dir() && !entry.is_symlink() {
            let what = format!("{} is a folder, not a file", entry.display());
            return Err(Refusal::because(what));
        }
        if ours && !entry.is_symlink() {
            can_replace(&entry).map_err(|error| cannot_replace(&entry, &error))?;
        }
    }
    Ok(())
}

fn cannot_replace(file: &Path, error: &std::io::Error) -> Refusal {
    Refusal::with_hint(
        format!("{} cannot be written: {error}", file.display()),
        "name another place, or make it writable first",
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
    can_replace(file).map_err(|error| cannot_replace(file, &error))?;
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
