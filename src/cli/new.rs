//! `shopstride new`: a scenario to start from.

use std::io::ErrorKind;
use std::path::Path;

use super::arguments::NewOptions;
use super::{Refusal, output};
use crate::report::write_new;
use crate::scenario::STARTER;

pub fn new(options: &NewOptions) -> Result<(), Refusal> {
    let file = &options.file;
    if file == Path::new("-") {
        return Err(Refusal::because("name a file to write, such as shop.yaml"));
    }
    write_new(file, STARTER.as_bytes()).map_err(|error| match error.kind() {
        ErrorKind::AlreadyExists if !file.exists() => Refusal::with_hint(
            format!(
                "{} is a link that leads nowhere, and nothing was written",
                file.display()
            ),
            "name a file that does not exist yet",
        ),
        ErrorKind::AlreadyExists => Refusal::with_hint(
            format!(
                "{} is there already, and nothing was written",
                file.display()
            ),
            "name a file that does not exist yet",
        ),
        _ => output::cannot_write(file, &error),
    })?;
    output::print(&format!(
        "Wrote {0}. Look at it, change it, then: shopstride compare {0}\n",
        file.display()
    ))
}
