//! Charts into files.

use std::fs;
use std::io;
use std::ops::RangeInclusive;
use std::path::{Path, PathBuf};

use rayon::prelude::*;

use super::{ALL, Picture, Subject, relief_svg, svg};
use crate::experiment::Reliefs;
use crate::report::write_atomically;

/// How much texts and strokes of charts may be enlarged.
pub const SCALES: RangeInclusive<f64> = 0.5..=3.0;

/// Writes every chart into the folder, which is made if it is not there, and returns the files in the order of
/// [`ALL`]: SVG, and beside it PNG if that feature is on.
///
/// A file appears whole or not at all.
///
/// # Errors
/// `InvalidInput` if `scale` is not one of [`SCALES`]; otherwise what the file system says, with the file's name.
pub fn write(subject: &Subject, folder: &Path, scale: f64) -> io::Result<Vec<PathBuf>> {
    write_all(folder, scale, || {
        ALL.par_iter()
            .flat_map(|chart| svg(chart, subject, scale))
            .collect()
    })
}

/// Likewise, the charts of the relief experiment.
///
/// # Errors
/// As of [`write()`].
pub fn write_relief(reliefs: &Reliefs, folder: &Path, scale: f64) -> io::Result<Vec<PathBuf>> {
    write_all(folder, scale, || relief_svg(reliefs, scale))
}

fn write_all(
    folder: &Path,
    scale: f64,
    draw: impl FnOnce() -> Vec<Picture>,
) -> io::Result<Vec<PathBuf>> {
    if !SCALES.contains(&scale) {
        let message = format!(
            "charts can be enlarged {} to {} times, not {scale} times",
            SCALES.start(),
            SCALES.end()
        );
        return Err(io::Error::new(io::ErrorKind::InvalidInput, message));
    }
    fs::create_dir_all(folder).map_err(|error| about(folder, &error))?;
    let files: Vec<Vec<PathBuf>> = draw()
        .par_iter()
        .map(|picture| write_picture(picture, folder))
        .collect::<io::Result<_>>()?;
    Ok(files.into_iter().flatten().collect())
}

fn write_picture(picture: &Picture, folder: &Path) -> io::Result<Vec<PathBuf>> {
    let file = |ending: &str| folder.join(format!("{}.{ending}", picture.stem));
    let mut files = vec![file("svg")];
    write_whole(&files[0], picture.svg.as_bytes())?;
    if cfg!(feature = "png") {
        files.push(file("png"));
        #[cfg(feature = "png")]
        write_whole(&files[1], &super::png::encode(&picture.svg)?)?;
    }
    Ok(files)
}

fn write_whole(file: &Path, bytes: &[u8]) -> io::Result<()> {
    write_atomically(file, bytes).map_err(|error| about(file, &error))
}

/// The error with what it is about.
fn about(path: &Path, error: &io::Error) -> io::Error {
    io::Error::new(error.kind(), format!("{}: {error}", path.display()))
}
