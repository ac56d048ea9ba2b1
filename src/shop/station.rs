//! A station: a place with the equipment to do operations.

/// A station and how many of it there are. What it does stands in the routes' [`Choice`](super::Choice)s.
#[derive(Debug, Clone)]
pub struct Station {
    pub name: String,
    /// The kind of machine or furniture that it is said to be.
    pub kind: Option<&'static str>,
    /// Units that stand here; each does one lot at a time.
    pub count: u32,
    /// Whether its size is only what is usual for its kind.
    pub is_size_usual: bool,
}
