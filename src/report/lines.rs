//! An answer in lines, each with a heading.

/// A line of an answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    pub heading: &'static str,
    pub says: String,
}
