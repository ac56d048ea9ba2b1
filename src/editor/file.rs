//! The file that is edited, which others may change at the same time.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use crate::report::{write_atomically, write_new};

/// A scenario, and where it is saved.
#[derive(Debug, Clone)]
pub struct EditedFile {
    /// What it is called in messages.
    pub name: String,
    /// Nothing for a scenario that is no file, and is saved nowhere.
    path: Option<PathBuf>,
    /// What is known to stand there; nothing while there is no such file yet.
    known: Option<Vec<u8>>,
    /// When it was written, and how long it is, as it was read last.
    stamp: Option<(SystemTime, u64)>,
}

impl EditedFile {
    /// A scenario that is read from this file, with what was read.
    pub fn read_from(name: &str, path: PathBuf, text: &[u8]) -> EditedFile {
        EditedFile {
            name: name.to_owned(),
            // What is written between reading and this is seen by its first difference.
            stamp: None,
            path: Some(path),
            known: Some(text.to_vec()),
        }
    }

    /// A scenario that is in no file yet, with the one in which it is to be saved, if it is.
    pub fn new(name: &str, path: Option<PathBuf>) -> EditedFile {
        EditedFile {
            name: name.to_owned(),
            path,
            known: None,
            stamp: None,
        }
    }

    pub fn can_be_saved(&self) -> bool {
        self.path.is_some()
    }

    /// What stands there now, if it can be read.
    pub fn text(&self) -> Option<Vec<u8>> {
        read(self.path.as_ref()?)
    }

    /// The same, if somebody else has changed it.
    pub fn changed(&self) -> Option<Vec<u8>> {
        self.text().filter(|text| !self.is_known(text))
    }

    /// Whether there was such a file, and is none any more.
    pub fn is_gone(&self) -> bool {
        let is_there = |path: &PathBuf| path.exists();
        self.known.is_some() && !self.path.as_ref().is_none_or(is_there)
    }

    /// What stands there now, if it has been written since it was read last.
    pub fn rewritten(&mut self) -> Option<Vec<u8>> {
        let path = self.path.as_ref()?;
        let now = stamp(path);
        if now.is_none() || now == self.stamp {
            return None;
        }
        let text = read(path)?;
        self.stamp = now;
        Some(text)
    }

    pub fn is_known(&self, text: &[u8]) -> bool {
        self.known.as_deref() == Some(text)
    }

    /// What stands there is known from now on.
    pub fn knows(&mut self, text: Vec<u8>) {
        self.stamp = self.path.as_ref().and_then(|path| stamp(path));
        self.known = Some(text);
    }

    /// Writes a file that must not be there yet.
    ///
    /// # Errors
    /// If it is, or cannot be written.
    pub fn write_first(&mut self, text: &str) -> io::Result<()> {
        let path = self.path.as_ref().ok_or(io::ErrorKind::NotFound)?;
        write_new(path, text.as_bytes())?;
        self.knows(text.as_bytes().to_vec());
        Ok(())
    }

    /// Writes it, whole or not at all.
    ///
    /// # Errors
    /// If it is no file, or cannot be written.
    pub fn write(&mut self, text: &str) -> io::Result<()> {
        let path = self.path.as_ref().ok_or(io::ErrorKind::NotFound)?;
        write_atomically(path, text.as_bytes())?;
        self.knows(text.as_bytes().to_vec());
        Ok(())
    }
}

/// What stands in a file, and in nothing else: whoever reads a pipe waits until somebody writes into it.
fn read(path: &Path) -> Option<Vec<u8>> {
    let is_file = fs::metadata(path).ok()?.is_file();
    is_file.then(|| fs::read(path).ok())?
}

fn stamp(path: &Path) -> Option<(SystemTime, u64)> {
    let known = fs::metadata(path).ok()?;
    Some((known.modified().ok()?, known.len()))
}
