//! An answer in lines, each with a heading.

/// The heading of what does not fit, which plans show by numbers.
pub const IN_THE_WAY: &str = "In the way";

/// The heading of whether the layouts fit.
pub const FITS: &str = "Does it fit?";

/// A line of an answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    pub heading: &'static str,
    pub says: String,
    /// Whether it says of something that it does not fit.
    pub is_fault: bool,
}
