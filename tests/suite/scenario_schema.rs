//! The JSON Schema agrees with the reader: what loads is valid, and a key that the reader does not know is not.

use std::fs;
use std::path::Path;

use serde_json::{Value, json};
use shopstride::scenario::{STARTER, schema};

/// The few words of JSON Schema that the schema uses; any other word fails the test.
fn valid(schema: &Value, value: &Value, root: &Value) -> Result<(), String> {
    let refuse = |why: String| Err(format!("{why}: {value}"));
    for (word, rule) in schema.as_object().expect("a schema is an object") {
        match word.as_str() {
            "$schema" | "$defs" | "title" | "description" => {}
            "$ref" => {
                let pointer = rule.as_str().expect("text").trim_start_matches('#');
                valid(root.pointer(pointer).expect("a definition"), value, root)?;
            }
            "type" => {
                let is = |name: &Value| match name.as_str() {
                    Some("object") => value.is_object(),
                    Some("array") => value.is_array(),
                    Some("string") => value.is_string(),
                    Some("boolean") => value.is_boolean(),
                    Some("number") => value.is_number(),
                    Some("integer") => value.is_u64() || value.is_i64(),
                    _ => panic!("type {name}"),
                };
                let any = rule
                    .as_array()
                    .map_or_else(|| is(rule), |names| names.iter().any(is));
                if !any {
                    return refuse(format!("not {rule}"));
                }
            }
            "properties" => {
                for (key, inner) in value.as_object().into_iter().flatten() {
                    if let Some(rule) = rule.get(key) {
                        valid(rule, inner, root).map_err(|why| format!("{key}: {why}"))?;
                    }
                }
            }
            // The schema's patterns are whole names.
            "patternProperties" => {
                for (pattern, rule) in rule.as_object().expect("an object") {
                    let name = pattern.trim_start_matches('^').trim_end_matches('$');
                    if let Some(inner) = value.get(name) {
                        valid(rule, inner, root).map_err(|why| format!("{name}: {why}"))?;
                    }
                }
            }
            "additionalProperties" => {
                for (key, inner) in value.as_object().into_iter().flatten() {
                    let has = |word: &str, key: &str| {
                        let rules = schema.get(word);
                        rules.is_some_and(|rules| rules.get(key).is_some())
                    };
                    let known =
                        has("properties", key) || has("patternProperties", &format!("^{key}$"));
                    match rule {
                        _ if known => {}
                        Value::Bool(false) => return refuse(format!("unknown key {key}")),
                        rule => valid(rule, inner, root).map_err(|why| format!("{key}: {why}"))?,
                    }
                }
            }
            "required" => {
                for key in rule.as_array().expect("a list") {
                    if value.is_object() && value.get(key.as_str().expect("text")).is_none() {
                        return refuse(format!("no {key}"));
                    }
                }
            }
            "items" => {
                for item in value.as_array().into_iter().flatten() {
                    valid(rule, item, root)?;
                }
            }
            "minItems" | "maxItems" => {
                let (count, limit) = (value.as_array().map_or(0, Vec::len) as u64, rule.as_u64());
                let limit = limit.expect("a number");
                if (word == "minItems" && count < limit) || (word == "maxItems" && count > limit) {
                    return refuse(format!("{word} {limit}"));
                }
            }
            "minimum" => {
                if value
                    .as_f64()
                    .is_some_and(|number| number < rule.as_f64().expect("a number"))
                {
                    return refuse(format!("below {rule}"));
                }
            }
            "enum" => {
                if !rule.as_array().expect("a list").contains(value) {
                    return refuse(format!("none of {rule}"));
                }
            }
            "const" => {
                if value.as_f64() != rule.as_f64() || !value.is_number() {
                    return refuse(format!("not {rule}"));
                }
            }
            "anyOf" => {
                let tried: Vec<_> = rule
                    .as_array()
                    .expect("a list")
                    .iter()
                    .map(|one| valid(one, value, root))
                    .collect();
                if tried.iter().all(Result::is_err) {
                    return refuse(format!("no alternative: {tried:?}"));
                }
            }
            "not" => {
                if valid(rule, value, root).is_ok() {
                    return refuse("forbidden".to_owned());
                }
            }
            other => panic!("the schema uses {other}"),
        }
    }
    Ok(())
}

fn yaml(text: &str) -> Value {
    serde_yaml::from_str(text).expect("YAML")
}

fn sample(name: &str) -> Value {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests")
        .join(name);
    yaml(&fs::read_to_string(path).expect("readable"))
}

#[test]
fn what_loads_is_valid() {
    let schema = schema();
    for scenario in [
        yaml(STARTER),
        sample("data/scenarios/boxes.yaml"),
        sample("data/scenarios/table.yaml"),
        sample("data/scenarios/names.yaml"),
    ] {
        valid(&schema, &scenario, &schema).unwrap_or_else(|why| panic!("{why}"));
    }
}

#[test]
fn what_is_refused_for_its_form_is_not_valid() {
    let schema = schema();
    for name in [
        "keys",
        "nothing_given",
        "wrong_shapes",
        "rules",
        "durations",
        "run",
        "places",
    ] {
        // What is wrong in `run` is the combination of keys, which the schema does not say.
        let expected = name == "run";
        let found = valid(
            &schema,
            &sample(&format!("scenario_errors/{name}.yaml")),
            &schema,
        );
        assert_eq!(found.is_ok(), expected, "{name}: {found:?}");
    }
}

/// What a file may have though nothing comes of it yet is not offered to anybody who writes one.
#[test]
fn keys_of_which_nothing_comes_are_valid_and_not_offered() {
    let schema = schema();
    let text = schema.to_string();
    for absent in ["drum", "moved"] {
        assert!(!text.contains(&format!("\"{absent}\":")), "{absent}");
    }
    assert!(!text.contains("\"overhead\""));
    assert!(text.contains("^overhead$"));
    let scenario = |pausable: &str| {
        yaml(&format!(
            "title: x\nstations: {{saw: {{fixed: true, does: {{rip: {{per lot: 1 s, pausable: {pausable}}}}}}}}}\n\
             projects: {{box: {{route: [rip]}}}}\norders: [{{project: box}}]\nlayouts: {{a: {{distances: 0}}}}\n"
        ))
    };
    let as_before = valid(&schema, &scenario("false"), &schema);
    assert!(as_before.is_ok(), "{as_before:?}");
    assert!(valid(&schema, &scenario("7"), &schema).is_err());
    let hinted = |key: &str| {
        let text = format!("title: x\nstations: {{saw: {{{key}: true}}}}\n");
        let problems = shopstride::scenario::load("x.yaml", text.as_bytes()).expect_err("wrong");
        problems.render(false)
    };
    for key in ["idel", "pausable", "pausble"] {
        let said = hinted(key);
        assert!(said.contains(&format!("`{key}` is not a key of")), "{said}");
        for offered in ["`idle`", "idle,"] {
            assert!(!said.contains(offered), "{said}");
        }
    }
}

#[test]
fn every_key_says_what_it_means() {
    fn walk(schema: &Value, keys: &mut usize) {
        for (name, key) in schema
            .get("properties")
            .and_then(Value::as_object)
            .into_iter()
            .flatten()
        {
            let said = key
                .get("description")
                .and_then(Value::as_str)
                .unwrap_or_default();
            assert!(
                !said.is_empty() || schema.get("description").is_some(),
                "{name}"
            );
            *keys += 1;
        }
        match schema {
            Value::Object(fields) => fields.values().for_each(|inner| walk(inner, keys)),
            Value::Array(items) => items.iter().for_each(|inner| walk(inner, keys)),
            _ => {}
        }
    }
    let schema = schema();
    let mut keys = 0;
    walk(&schema, &mut keys);
    assert!(keys > 100, "{keys} keys");
    assert_eq!(
        schema["$schema"],
        json!("https://json-schema.org/draft/2020-12/schema")
    );
}
