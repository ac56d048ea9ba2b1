//! Charts into files.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Mutex;

use rayon::prelude::*;

#[cfg(feature = "png")]
use super::scene::PngPainter;
use super::written::{self, Fingerprint, Written};
use super::{
    ALL, ChartSize, Floors, MissingLetters, Picture, RELIEF, SCALES, Subject, floor_pictures,
    move_pictures, pictures, relief_pictures,
};
use crate::experiment::{Findings, Reliefs};
use crate::report::sentence::listed;
use crate::report::write_in_folder;

/// A form in which charts are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Format {
    Svg,
    Png,
    /// The scene as data, for pages that draw it themselves.
    Json,
}

impl Format {
    /// All that this program can write.
    pub const ALL: &[Format] = &[
        Format::Svg,
        #[cfg(feature = "png")]
        Format::Png,
        Format::Json,
    ];

    /// How the names of its files end.
    pub fn ending(self) -> &'static str {
        match self {
            Format::Svg => "svg",
            Format::Png => "png",
            Format::Json => "json",
        }
    }
}

/// What was drawn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChartFiles {
    /// In the order of [`ALL`], each chart in the formats asked for.
    pub files: Vec<PathBuf>,
    /// What they show boxes for, if anything is shown.
    pub missing: MissingLetters,
}

/// Writes every chart into the folder, which is made if it is not there, in these formats.
///
/// A file appears whole or not at all. What an earlier call has written to the folder and this one has not is removed,
/// unless somebody has changed it since.
///
/// # Errors
/// `InvalidInput` if the scale is not one of [`SCALES`], `AlreadyExists` if a file that this program did not write, or
/// that has been changed since, has the name of a chart, and then nothing is written; otherwise what the file system
/// says, with the file's name.
pub fn write(
    subject: &Subject,
    folder: &Path,
    size: impl Into<ChartSize>,
    formats: &[Format],
) -> io::Result<ChartFiles> {
    let size = size.into();
    write_all(folder, size, formats, || {
        ALL.par_iter()
            .flat_map(|chart| pictures(chart, subject, size))
            .collect()
    })
}

/// Likewise, the charts of the relief experiment.
///
/// # Errors
/// As of [`write()`].
pub fn write_relief(
    reliefs: &Reliefs,
    folder: &Path,
    size: impl Into<ChartSize>,
    formats: &[Format],
) -> io::Result<ChartFiles> {
    let size = size.into();
    write_all(folder, size, formats, || relief_pictures(reliefs, size))
}

/// Likewise, the plans of floors on which nothing need have been simulated.
///
/// # Errors
/// As of [`write()`].
pub fn write_floors(
    floors: &Floors,
    folder: &Path,
    size: impl Into<ChartSize>,
    formats: &[Format],
) -> io::Result<ChartFiles> {
    let size = size.into();
    write_all(folder, size, formats, || floor_pictures(floors, size))
}

/// Draws how far is walked with more and more stations moved, and the plans before and after, as [`write()`] does.
///
/// # Errors
/// As of [`write()`].
pub fn write_moves(
    (findings, floors): (&Findings, &Floors),
    folder: &Path,
    size: impl Into<ChartSize>,
    formats: &[Format],
) -> io::Result<ChartFiles> {
    let size = size.into();
    write_all(folder, size, formats, || {
        move_pictures(findings, floors, size)
    })
}

fn write_all(
    folder: &Path,
    size: ChartSize,
    formats: &[Format],
    draw: impl FnOnce() -> Vec<Picture>,
) -> io::Result<ChartFiles> {
    let scale = size.scale;
    if !SCALES.contains(&scale) {
        let message = format!(
            "charts can be enlarged {} to {} times, not {scale} times",
            SCALES.start(),
            SCALES.end()
        );
        return Err(io::Error::new(io::ErrorKind::InvalidInput, message));
    }
    fs::create_dir_all(folder).map_err(|error| about(folder, &error))?;
    let before = written::read(folder);
    let pictures = draw();
    refuse_to_draw_over(&pictures, folder, formats, &before)?;
    let painters = Mutex::new(Vec::<Painter>::new());
    let idle = || painters.lock().expect("nothing panics while it is locked");
    let of_each: Vec<io::Result<Vec<(String, Fingerprint)>>> = pictures
        .par_iter()
        .map(|picture| {
            let mut painter = idle().pop().unwrap_or_default();
            let files = write_picture(&mut painter, picture, folder, formats);
            idle().push(painter);
            files
        })
        .collect();
    let (mut files, mut failed) = (Vec::new(), None);
    for of_one in of_each {
        match of_one {
            Ok(of_one) => files.extend(of_one),
            Err(error) => failed = failed.or(Some(error)),
        }
    }
    let now: Written = files.iter().cloned().collect();
    if let Some(error) = failed {
        // What was written is ours the next time, too; there may be no room for the list either.
        let known: Written = before.into_iter().chain(now).collect();
        let _ = written::write(folder, &known);
        return Err(error);
    }
    // The list comes last: what it names is there in any case.
    written::remove_others(folder, &before, &now)
        .and_then(|_| written::write(folder, &now))
        .map_err(|error| about(folder, &error))?;
    // Data have all letters.
    let is_shown = formats.iter().any(|format| *format != Format::Json);
    Ok(ChartFiles {
        files: files.iter().map(|(name, _)| folder.join(name)).collect(),
        missing: match is_shown {
            true => MissingLetters::of(&pictures),
            false => MissingLetters::default(),
        },
    })
}

/// Nobody's work is drawn over: neither a file of a chart's name that no list has, nor one that has been changed since
/// it was drawn, unless the chart is that file.
fn refuse_to_draw_over(
    pictures: &[Picture],
    folder: &Path,
    formats: &[Format],
    before: &Written,
) -> io::Result<()> {
    let mut painter = Painter::default();
    let (mut foreign, mut changed) = (Vec::new(), Vec::new());
    for picture in pictures {
        for &format in formats {
            let name = file_name(picture, format);
            let file = folder.join(&name);
            let known = before.get(&name);
            if known.is_some_and(|print| written::is_as_written(&file, *print)) {
                continue;
            }
            let is_file = fs::symlink_metadata(&file).is_ok_and(|there| there.is_file());
            let there = || fs::read(&file).map_err(|error| about(&file, &error));
            if is_file && there()? != painter.contents(picture, format)? {
                match known {
                    Some(_) => changed.push(name),
                    None => foreign.push(name),
                }
            }
        }
    }
    let foreign = in_the_way(&foreign, |one| match one {
        true => "is there already, and this program did not draw it: move it",
        false => "are there already, and this program did not draw them: move them",
    });
    let changed = in_the_way(&changed, |one| match one {
        true => {
            "has been changed since it was drawn: rename it to keep it, delete it to have it drawn again"
        }
        false => {
            "have been changed since they were drawn: rename them to keep them, delete them to have them drawn again"
        }
    });
    let why: Vec<String> = foreign.into_iter().chain(changed).collect();
    match why.is_empty() {
        true => Ok(()),
        false => Err(io::Error::new(
            io::ErrorKind::AlreadyExists,
            format!("{}, or name another folder", why.join("; ")),
        )),
    }
}

/// Files that are in the way, the first few by their names, and what is the matter with them.
fn in_the_way(names: &[String], matter: impl FnOnce(bool) -> &'static str) -> Option<String> {
    const NAMED: usize = 4;
    let (named, rest) = names.split_at(names.len().min(NAMED));
    let mut named = named.to_vec();
    if !rest.is_empty() {
        named.push(format!("{} more", rest.len()));
    }
    (!names.is_empty()).then(|| format!("{} {}", listed(&named, "and"), matter(names.len() == 1)))
}

fn file_name(picture: &Picture, format: Format) -> String {
    format!("{}.{}", picture.stem, format.ending())
}

/// Whether a chart may have a file of this name, or the list of what was written has it.
pub fn may_write(name: &str) -> bool {
    let stems = ALL.iter().map(|chart| chart.stem);
    let mut stems = stems.chain(RELIEF.iter().map(|chart| chart.stem));
    let is_of = |stem: &str| {
        let rest = name.strip_prefix(stem);
        rest.is_some_and(|rest| rest.starts_with(['-', '.']))
    };
    name == written::LIST || written::is_chart(name) && stems.any(is_of)
}

fn write_picture(
    painter: &mut Painter,
    picture: &Picture,
    folder: &Path,
    formats: &[Format],
) -> io::Result<Vec<(String, Fingerprint)>> {
    let files = formats.iter().map(|format| {
        let contents = painter.contents(picture, *format)?;
        let name = file_name(picture, *format);
        write_in_folder(folder, &name, &contents)
            .map_err(|error| about(&folder.join(&name), &error))?;
        Ok((name, Fingerprint::of(&contents)))
    });
    files.collect()
}

/// Makes files of pictures, one after the other.
#[derive(Default)]
struct Painter {
    #[cfg(feature = "png")]
    png: PngPainter,
}

impl Painter {
    fn contents(&mut self, picture: &Picture, format: Format) -> io::Result<Vec<u8>> {
        match format {
            Format::Svg => Ok(picture.scene.svg().into_bytes()),
            #[cfg(feature = "png")]
            Format::Png => self.png.draw(&picture.scene),
            #[cfg(not(feature = "png"))]
            Format::Png => Err(io::Error::new(
                io::ErrorKind::Unsupported,
                "this program was built without PNG",
            )),
            Format::Json => Ok(format!("{}\n", picture.scene.json()).into_bytes()),
        }
    }
}

/// The error with what it is about.
fn about(path: &Path, error: &io::Error) -> io::Error {
    io::Error::new(error.kind(), format!("{}: {error}", path.display()))
}
