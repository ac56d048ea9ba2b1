//! At which end the leaf of a door hangs, as somebody says it: `hinged left`, `hinges on the right`.

/// The end at which a leaf hangs, for somebody in the room who faces the door.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HingeEnd {
    Left,
    Right,
}

impl HingeEnd {
    pub fn name(self) -> &'static str {
        match self {
            HingeEnd::Left => "left",
            HingeEnd::Right => "right",
        }
    }

    fn find(word: &str) -> Option<HingeEnd> {
        let mut ends = [HingeEnd::Left, HingeEnd::Right].into_iter();
        ends.find(|end| end.name() == word)
    }
}

/// Words between the hinges and their end.
const FILLERS: [&str; 6] = ["on", "at", "the", "is", "are", "side"];

/// What is said of a door without its hinges, and at which end these are, if it says so.
///
/// # Errors
/// What stands behind `hinged` and is no end.
pub fn without_hinge(said: &str) -> Result<(String, Option<HingeEnd>), String> {
    let mut words: Vec<&str> = said.split_whitespace().collect();
    let Some(at) = words
        .iter()
        .position(|word| ["hinge", "hinges", "hinged"].contains(&word.trim_end_matches(',')))
    else {
        return Ok((said.to_owned(), None));
    };
    let behind = words[at + 1..].iter();
    let passed = behind.take_while(|word| FILLERS.contains(word)).count();
    let end = words.get(at + 1 + passed).copied().unwrap_or_default();
    let found = HingeEnd::find(end.trim_end_matches([',', ';']));
    let Some(found) = found else {
        return Err(format!(
            "`{}` does not say at which end",
            words[at..].join(" ")
        ));
    };
    words.drain(at..=at + 1 + passed);
    // Nothing stands behind the last comma any more.
    let rest = words.join(" ").trim_end_matches(',').to_owned();
    Ok((rest, Some(found)))
}
