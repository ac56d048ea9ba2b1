//! Files appear whole or not at all.

use std::fs::{self, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// So many links lead from one to the next at the most, as the systems themselves have it.
const MOST_LINKS: usize = 40;

/// Writes a file beside its place and moves it there, over whatever stood there before. A symbolic link stays, and what
/// it leads to is written. A device or a pipe is written into, since nothing else could take its place.
///
/// # Errors
/// If the folder is not there or cannot be written to.
pub fn write_atomically(path: &Path, contents: &[u8]) -> io::Result<()> {
    let target = target(path);
    let before = fs::metadata(&target).ok();
    if before.is_some_and(|before| !before.is_file() && !before.is_dir()) {
        let mut file = OpenOptions::new().write(true).open(&target)?;
        return file.write_all(contents);
    }
    let mut file = new_file_in(folder_of(&target))?;
    // What the wrapper reports has the temporary name in it, of which nobody has ever heard.
    file.as_file_mut().write_all(contents)?;
    file.persist(&target).map_err(|error| error.error)?;
    Ok(())
}

/// Where a path leads to through symbolic links, whether something is there or not.
pub fn target(path: &Path) -> PathBuf {
    let mut target = path.to_owned();
    for _ in 0..MOST_LINKS {
        match fs::read_link(&target) {
            Ok(next) => target = folder_of(&target).join(next),
            Err(_) => break,
        }
    }
    // Such links as those to pipes bear names that lead nowhere.
    if path.exists() && !target.exists() {
        path.to_owned()
    } else {
        target
    }
}

/// Whether files can be written to a folder.
///
/// # Errors
/// If they cannot.
pub fn can_write_in(folder: &Path) -> io::Result<()> {
    new_file_in(folder).map(drop)
}

fn folder_of(path: &Path) -> &Path {
    path.parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        .unwrap_or(Path::new("."))
}

/// A temporary file that others may read once it has its name, as any other file that a program writes.
fn new_file_in(folder: &Path) -> io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    let file = builder.prefix(".shopstride-").tempfile_in(folder);
    file.map_err(|error| io::Error::from(error.kind()))
}
