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

/// A name with "a" or "an" before it, by its first sound as far as its letters tell. A single letter would read as an
/// article itself.
pub fn with_article(name: &str) -> String {
    if name.chars().count() == 1 {
        return format!("one \"{name}\"");
    }
    let lower = name.to_lowercase();
    let sounds_like_a_consonant = ["one", "uni", "use", "usu", "eu", "ute"];
    let is_silent = ["hour", "heir", "hono"];
    let starts = |beginnings: &[&str]| beginnings.iter().any(|start| lower.starts_with(start));
    let is_vowel =
        lower.starts_with(['a', 'e', 'i', 'o', 'u']) && !starts(&sounds_like_a_consonant);
    let article = if is_vowel || starts(&is_silent) {
        "an"
    } else {
        "a"
    };
    format!("{article} {name}")
}

/// The name of something without the article that somebody gave it.
pub fn without_article(name: &str) -> &str {
    let bare = ["a ", "an ", "the "]
        .iter()
        .find_map(|article| name.strip_prefix(article));
    bare.unwrap_or(name)
}

/// A name with "the" before it, also where somebody gave it an article.
pub fn with_the(name: &str) -> String {
    format!("the {}", without_article(name))
}

/// "1 fault", "3 faults".
pub fn counted(count: usize, name: &str) -> String {
    match count {
        1 => format!("1 {name}"),
        count => format!("{count} {}", plural(name)),
    }
}

/// "Both orders", "All 3 orders": everything that is ordered, where that is more than one.
pub fn all_orders(count: u64) -> String {
    match count {
        2 => "Both orders".to_owned(),
        count => format!("All {count} orders"),
    }
}

/// What [`counted`] says, of a number that is written already: "1 evening", "5.4 evenings".
pub fn counted_in_words(number: &str, name: &str) -> String {
    match number {
        "1" => format!("1 {name}"),
        number => format!("{number} {}", plural(name)),
    }
}

/// Whether a name is that of several, as far as its letters tell: "clamps", but not "drill press".
pub fn is_plural(name: &str) -> bool {
    let last = name.to_lowercase();
    last.ends_with('s')
        && !["ss", "us", "is", "as"]
            .iter()
            .any(|end| last.ends_with(end))
}

/// The name of several of a thing.
pub fn plural(name: &str) -> String {
    let lower = name.to_lowercase();
    let ends = |endings: &[&str]| endings.iter().any(|end| lower.ends_with(end));
    let is_consonant_y = lower.ends_with('y') && !ends(&["ay", "ey", "oy", "uy"]);
    match lower.as_str() {
        _ if is_plural(name) => name.to_owned(),
        _ if is_consonant_y => format!("{}ies", &name[..name.len() - 1]),
        _ if ends(&["s", "x", "z", "ch", "sh"]) => format!("{name}es"),
        _ if lower.ends_with("shelf") => format!("{}ves", &name[..name.len() - 1]),
        _ => format!("{name}s"),
    }
}

/// With a capital letter where it starts a sentence.
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}

/// With a small letter where a sentence follows a colon.
pub fn small(words: &str) -> String {
    let mut letters = words.chars();
    match letters.next() {
        Some(first) => first.to_lowercase().chain(letters).collect(),
        None => String::new(),
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

    #[test]
    fn articles_go_by_the_sound_and_verbs_by_the_number() {
        let names = [
            "end table",
            "side table",
            "unit",
            "umbrella",
            "hour",
            "one-piece box",
        ];
        let expected = [
            "an end table",
            "a side table",
            "a unit",
            "an umbrella",
            "an hour",
            "a one-piece box",
        ];
        assert_eq!(names.map(with_article), expected);
        assert_eq!(["a", "b"].map(with_article), ["one \"a\"", "one \"b\""]);
        assert_eq!(
            ["an apple box", "the box", "box"].map(without_article),
            ["apple box", "box", "box"]
        );
        assert_eq!(
            ["the saw", "saw", "theatre"].map(with_the),
            ["the saw", "the saw", "the theatre"]
        );
        let are_plural =
            ["glue up tables", "clamps", "drill press", "saw", "canvas"].map(is_plural);
        assert_eq!(are_plural, [true, true, false, false, false]);
        assert_eq!(capital("halving it"), "Halving it");
        let several = [
            "peg rail",
            "box",
            "tray",
            "bookcase",
            "shelf",
            "jig body",
            "glue up tables",
        ];
        let expected = [
            "peg rails",
            "boxes",
            "trays",
            "bookcases",
            "shelves",
            "jig bodies",
            "glue up tables",
        ];
        assert_eq!(several.map(plural), expected);
    }
}
