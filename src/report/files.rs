//! Files appear whole or not at all.

use std::io::{self, Write};
use std::path::Path;

/// Writes a file beside its place and moves it there, over whatever stood there before.
///
/// # Errors
/// If the folder is not there or cannot be written to.
pub fn write_atomically(path: &Path, contents: &[u8]) -> io::Result<()> {
    let folder = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let mut file = new_file_in(folder)?;
    file.write_all(contents)?;
    file.persist(path)?;
    Ok(())
}

/// A temporary file that others may read once it has its name, as any other file that a program writes.
fn new_file_in(folder: &Path) -> io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(std::fs::Permissions::from_mode(0o666));
    }
    builder.prefix(".shopstride-").tempfile_in(folder)
}
