//! What comes of looking for a place where a station stands better.

/// What came of looking for a shift of a station that mends a finding and makes nothing else worse where it stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shift {
    /// Too much else is wrong, or it cannot be moved.
    Untried,
    /// By so many metres at least, of all that was tried.
    By(f64),
    /// None of those tried helps, of up to so many metres.
    NoneHelps { as_far: f64 },
}
