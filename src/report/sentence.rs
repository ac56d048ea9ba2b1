//! Parts of sentences that several answers need.

/// "a, b and c", or with another word before the last.
pub fn listed<S: AsRef<str>>(names: &[S], before_last: &str) -> String {
    let names: Vec<&str> = names.iter().map(AsRef::as_ref).collect();
    match &names[..] {
        [first @ .., last] if !first.is_empty() => {
            format!("{} {before_last} {last}", first.join(", "))
        }
        _ => names.concat(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_listed_with_a_word_before_the_last() {
        assert_eq!(listed::<&str>(&[], "and"), "");
        assert_eq!(listed(&["a"], "and"), "a");
        assert_eq!(listed(&["a", "b"], "or"), "a or b");
        assert_eq!(listed(&["a", "b", "c"], "and"), "a, b and c");
    }
}
