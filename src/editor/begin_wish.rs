//! What is asked for where there is nothing yet.

use serde::Deserialize;

/// What `shopstride new` asks for.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BeginWish {
    pub room: String,
    /// With semicolons between them.
    pub doors: String,
    pub stations: String,
    /// The longest board that is bought.
    pub longest: String,
    /// The name of an invented project, or of the one whose cut list this is.
    pub project: String,
    pub table: String,
}
