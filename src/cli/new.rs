//! `shopstride new`: a scenario to start from.

use std::io::{ErrorKind, Write};
use std::path::Path;

use super::arguments::NewOptions;
use super::{Refusal, output};
use crate::scenario::STARTER;

pub fn new(options: &NewOptions) -> Result<(), Refusal> {
    let file = &options.file;
    if file == Path::new("-") {
        return Err(Refusal::because("name a file to write, such as shop.yaml"));
    }
    let mut opened = std::fs::File::create_new(file).map_err(|error| match error.kind() {
        ErrorKind::AlreadyExists => Refusal::with_hint(
            format!(
                "{} is there already, and nothing was written",
                file.display()
            ),
            "name a file that does not exist yet",
        ),
        _ => Refusal::because(format!("{} cannot be written: {error}", file.display())),
    })?;
    opened.write_all(STARTER.as_bytes())?;
    output::print(&format!(
        "Wrote {0}. Look at it, change it, then: shopstride compare {0}\n",
        file.display()
    ))
}
