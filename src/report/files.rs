//! Files are written whole or not at all.

use std::fs::{self, File, Metadata, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// A chain of more symbolic links than this is not followed, as in the operating systems.
const MOST_LINKS: usize = 40;

/// A file that is being written beside its place, and takes it when it is complete.
///
/// What stood there before stays until then, and for good if the writing ends early. The new file has the mode of the
/// one that it replaces, and its owner where that is allowed.
#[derive(Debug)]
pub struct Replacement {
    target: PathBuf,
    writes: Writes,
}

#[derive(Debug)]
enum Writes {
    Beside(tempfile::NamedTempFile),
    /// A device or a pipe, since nothing else could take its place.
    Into(File),
}

impl Replacement {
    /// Begins a file at this path. A symbolic link stays, and what it leads to is written.
    ///
    /// # Errors
    /// If the folder is not there or cannot be written to, or if a file is there that is read-only.
    pub fn begin(path: &Path) -> io::Result<Replacement> {
        let target = target(path);
        let before = fs::metadata(&target).ok();
        if before.as_ref().is_some_and(takes_what_comes) {
            let writes = Writes::Into(OpenOptions::new().write(true).open(&target)?);
            return Ok(Replacement { target, writes });
        }
        Replacement::beside(target, before)
    }

    /// Begins a file in a folder that the program fills by itself: a link there is replaced and not followed, since
    /// nobody has named it.
    ///
    /// # Errors
    /// As of [`Replacement::begin`].
    pub fn begin_in(folder: &Path, name: &str) -> io::Result<Replacement> {
        let target = folder.join(name);
        let before = fs::symlink_metadata(&target).ok();
        Replacement::beside(target, before.filter(Metadata::is_file))
    }

    fn beside(target: PathBuf, before: Option<Metadata>) -> io::Result<Replacement> {
        let file = match before.filter(Metadata::is_file) {
            Some(before) => {
                refuse_read_only(&target, &before)?;
                let file = new_file_in(folder_of(&target), OWNER_ONLY)?;
                take_over(file.as_file(), &before)?;
                file
            }
            None => new_file_in(folder_of(&target), ANYBODY)?,
        };
        let writes = Writes::Beside(file);
        Ok(Replacement { target, writes })
    }

    /// Gives the file its name.
    ///
    /// # Errors
    /// If that is refused, for example since a folder has this name.
    pub fn finish(self) -> io::Result<()> {
        match self.writes {
            Writes::Into(_) => Ok(()),
            Writes::Beside(file) => match file.persist(&self.target) {
                Ok(_) => Ok(()),
                Err(error) => Err(error.error),
            },
        }
    }

    /// Gives the file its name unless something has it already.
    fn finish_new(self) -> io::Result<()> {
        match self.writes {
            Writes::Into(_) => Err(io::ErrorKind::AlreadyExists.into()),
            Writes::Beside(file) => match file.persist_noclobber(&self.target) {
                Ok(_) => Ok(()),
                Err(error) => Err(error.error),
            },
        }
    }

    fn write_whole(&mut self, contents: &[u8]) -> io::Result<()> {
        self.write_all(contents)?;
        self.flush()
    }
}

/// What the wrapper of a temporary file reports has a name in it of which nobody has ever heard; so the file itself is
/// written to.
impl Write for Replacement {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        match &mut self.writes {
            Writes::Beside(file) => file.as_file_mut().write(bytes),
            Writes::Into(file) => file.write(bytes),
        }
    }

    fn flush(&mut self) -> io::Result<()> {
        match &mut self.writes {
            Writes::Beside(file) => file.as_file_mut().flush(),
            Writes::Into(file) => file.flush(),
        }
    }
}

/// Writes a whole file at this path, as [`Replacement::begin`] has it.
///
/// # Errors
/// If the folder is not there or cannot be written to, or if a file is there that is read-only.
pub fn write_atomically(path: &Path, contents: &[u8]) -> io::Result<()> {
    let mut file = Replacement::begin(path)?;
    file.write_whole(contents)?;
    file.finish()
}

/// Writes a whole file in a folder, as [`Replacement::begin_in`] has it.
///
/// # Errors
/// As of [`write_atomically`].
pub fn write_in_folder(folder: &Path, name: &str, contents: &[u8]) -> io::Result<()> {
    let mut file = Replacement::begin_in(folder, name)?;
    file.write_whole(contents)?;
    file.finish()
}

/// Writes a whole file where nothing is yet.
///
/// # Errors
/// `AlreadyExists` if anything has this name, be it a link that leads nowhere; otherwise as of [`write_atomically`].
pub fn write_new(path: &Path, contents: &[u8]) -> io::Result<()> {
    if fs::symlink_metadata(path).is_ok() {
        return Err(io::ErrorKind::AlreadyExists.into());
    }
    let mut file = Replacement::beside(path.to_owned(), None)?;
    file.write_whole(contents)?;
    file.finish_new()
}

/// Whether a file may be replaced.
///
/// # Errors
/// `PermissionDenied` if it is read-only, or belongs to somebody who does not let others write it. A folder would let
/// it be replaced all the same, but that is not what somebody wants who protects a file.
///
/// `InvalidInput` if the path is a link that leads back to itself.
pub fn can_replace(path: &Path) -> io::Result<()> {
    let target = target(path);
    match fs::metadata(&target) {
        Ok(before) if before.is_file() => refuse_read_only(&target, &before),
        Err(_) if target.is_symlink() => Err(io::Error::new(
            io::ErrorKind::InvalidInput,
            "it is a link that leads back to itself",
        )),
        _ => Ok(()),
    }
}

fn refuse_read_only(target: &Path, before: &Metadata) -> io::Result<()> {
    // Whoever may do everything could open it in any case, so the mode decides first.
    let opened = || OpenOptions::new().write(true).open(target);
    let is_protected = before.permissions().readonly()
        || opened().is_err_and(|error| error.kind() == io::ErrorKind::PermissionDenied);
    if is_protected {
        return Err(io::Error::new(
            io::ErrorKind::PermissionDenied,
            "it is there already and is read-only",
        ));
    }
    Ok(())
}

/// The target of a path through symbolic links, whether or not it exists.
pub fn target(path: &Path) -> PathBuf {
    let mut target = path.to_owned();
    for _ in 0..MOST_LINKS {
        match fs::read_link(&target) {
            Ok(next) => target = target.parent().unwrap_or(Path::new("")).join(next),
            Err(_) => break,
        }
    }
    // Links such as those to pipes name no file on disk.
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
    new_file_in(folder, OWNER_ONLY).map(drop)
}

fn takes_what_comes(file: &Metadata) -> bool {
    !file.is_file() && !file.is_dir()
}

fn folder_of(path: &Path) -> &Path {
    path.parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        .unwrap_or(Path::new("."))
}

/// The mode of a file that others may read once it has its name, as any other file that a program writes; what the
/// user's mask forbids is taken off it.
const ANYBODY: u32 = 0o666;
/// The mode of a file until it is known who may read it.
const OWNER_ONLY: u32 = 0o600;

#[cfg_attr(not(unix), allow(unused_variables))]
fn new_file_in(folder: &Path, mode: u32) -> io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(mode));
    }
    let file = builder.prefix(".shopstride-").tempfile_in(folder);
    file.map_err(|error| io::Error::from(error.kind()))
}

/// Makes a new file belong to whom the one before belongs to, as far as the system allows, and gives it the same mode.
#[cfg(unix)]
fn take_over(file: &File, before: &Metadata) -> io::Result<()> {
    use std::os::unix::fs::{MetadataExt, PermissionsExt, fchown};
    let new = file.metadata()?;
    let owner = (new.uid() != before.uid()).then(|| before.uid());
    let group = (new.gid() != before.gid()).then(|| before.gid());
    let keeps_group = match (owner, group) {
        (None, None) => true,
        // Only the system's own account gives files away; a group of one's own can be given alone.
        _ => fchown(file, owner, group).is_ok() || fchown(file, None, group).is_ok(),
    };
    let mode = before.permissions().mode() & 0o777;
    let mode = match keeps_group {
        true => mode,
        // Another group gets no more than everybody has.
        false => (mode & !0o070) | (mode & (mode << 3) & 0o070),
    };
    file.set_permissions(fs::Permissions::from_mode(mode))
}

#[cfg(not(unix))]
fn take_over(file: &File, before: &Metadata) -> io::Result<()> {
    file.set_permissions(before.permissions())
}

#[cfg(all(test, unix))]
mod tests {
    use super::*;
    use std::os::unix::fs::PermissionsExt;

    fn mode(path: &Path) -> u32 {
        let file = fs::metadata(path).expect("there");
        file.permissions().mode() & 0o777
    }

    fn set_mode(path: &Path, mode: u32) {
        fs::set_permissions(path, fs::Permissions::from_mode(mode)).expect("set");
    }

    #[test]
    fn the_mode_of_what_is_replaced_stays() {
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("answer.json");
        for wanted in [0o600, 0o640, 0o644, 0o660, 0o604, 0o200] {
            fs::write(&file, "old").expect("written");
            set_mode(&file, wanted);
            write_atomically(&file, b"new").expect("replaced");
            assert_eq!(mode(&file), wanted);
            set_mode(&file, 0o600);
            assert_eq!(fs::read(&file).expect("there"), b"new");
        }
    }

    #[test]
    fn what_is_read_only_is_refused_and_stays() {
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("answer.json");
        for mode in [0o444, 0o400, 0o000, 0o555] {
            let _ = fs::remove_file(&file);
            fs::write(&file, "old").expect("written");
            set_mode(&file, mode);
            for refused in [
                write_atomically(&file, b"new"),
                write_in_folder(folder.path(), "answer.json", b"new"),
                can_replace(&file),
            ] {
                let error = refused.expect_err("read-only");
                assert_eq!(error.kind(), io::ErrorKind::PermissionDenied);
            }
            set_mode(&file, 0o600);
            assert_eq!(fs::read(&file).expect("there"), b"old");
            assert_eq!(fs::read_dir(folder.path()).expect("there").count(), 1);
        }
    }

    #[test]
    fn a_link_in_a_folder_of_ours_is_replaced_and_not_followed() {
        let folder = tempfile::tempdir().expect("a folder");
        let theirs = folder.path().join("theirs");
        fs::write(&theirs, "precious").expect("written");
        let link = folder.path().join("walking.svg");
        std::os::unix::fs::symlink(&theirs, &link).expect("linked");
        write_in_folder(folder.path(), "walking.svg", b"a picture").expect("written");
        assert_eq!(fs::read(&theirs).expect("there"), b"precious");
        assert!(!link.is_symlink());
        assert_eq!(fs::read(&link).expect("there"), b"a picture");
    }

    #[test]
    fn what_is_new_takes_the_place_of_nothing() {
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("shop.yaml");
        write_new(&file, b"one").expect("written");
        std::os::unix::fs::symlink("nowhere", folder.path().join("link")).expect("linked");
        for taken in ["shop.yaml", "link"] {
            let error = write_new(&folder.path().join(taken), b"two").expect_err("taken");
            assert_eq!(error.kind(), io::ErrorKind::AlreadyExists);
        }
        assert_eq!(fs::read(&file).expect("there"), b"one");
        assert_eq!(fs::read_dir(folder.path()).expect("there").count(), 2);
    }
}
