//! Names as they are written into a scenario.

/// A name as YAML has it, within a flow mapping as well.
pub fn yaml_name(name: &str) -> String {
    const RESERVED: [&str; 9] = ["y", "n", "yes", "no", "true", "false", "on", "off", "null"];
    let is_plain = name.starts_with(|letter: char| letter.is_ascii_alphabetic())
        && !name.ends_with(' ')
        && (name.chars())
            .all(|letter| letter.is_alphanumeric() || [' ', '-', '_'].contains(&letter))
        && !RESERVED.contains(&name.to_lowercase().as_str());
    match is_plain {
        true => name.to_owned(),
        false => serde_json::Value::from(name).to_string(),
    }
}
