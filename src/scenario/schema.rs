//! The JSON Schema of a scenario, for editors: made from the tables of keys that the reader uses.

use serde_json::{Map, Value, json};

use super::keys::{Keys, SCENARIO, ValueShape};
use super::quantity::Dimension;
use crate::random::{Form, KINDS, Parameter, ParameterQuantity};

/// The schema, draft 2020-12.
pub fn schema() -> Value {
    let mut schema = json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Shopstride scenario",
    });
    let body = mapping(&SCENARIO);
    if let (Some(schema), Value::Object(body)) = (schema.as_object_mut(), body) {
        schema.extend(body);
        schema.insert("$defs".to_owned(), json!({"duration": duration()}));
    }
    schema
}

fn mapping(keys: &Keys) -> Value {
    let mut properties = Map::new();
    for key in keys.offered() {
        let mut value = shape(&key.shape);
        if let Some(fields) = value.as_object_mut() {
            fields.insert("description".to_owned(), json!(key.meaning));
        }
        properties.insert(key.name.to_owned(), value);
    }
    let mut schema = json!({
        "type": "object",
        "properties": properties,
        "required": keys.required,
        "additionalProperties": false,
    });
    // A file may have them, but an editor offers nothing that is said by a pattern.
    let unused: Map<String, Value> = keys
        .iter()
        .filter(|key| matches!(key.shape, ValueShape::Unused(_)))
        .map(|key| (format!("^{}$", key.name), shape(&key.shape)))
        .collect();
    if !unused.is_empty() {
        schema["patternProperties"] = json!(unused);
    }
    schema
}

fn shape(shape: &ValueShape) -> Value {
    match shape {
        // A name may look like a number or a boolean; the reader takes it as written.
        ValueShape::Text => json!({"type": ["string", "number", "boolean"]}),
        ValueShape::Flag => json!({"type": "boolean"}),
        ValueShape::Whole(least) => json!({"type": "integer", "minimum": least}),
        ValueShape::Number => json!({"type": "number"}),
        ValueShape::Quantity(dimension) => quantity(*dimension),
        ValueShape::RatedLoss
        | ValueShape::Clock
        | ValueShape::Day
        | ValueShape::Temperature
        | ValueShape::Wire => {
            json!({"type": "string"})
        }
        ValueShape::Varied => json!({"$ref": "#/$defs/duration"}),
        ValueShape::Lengths(count) => {
            json!({"type": "array", "items": quantity(Dimension::Length), "minItems": count, "maxItems": count})
        }
        ValueShape::OneOf(words) => json!({"enum": words}),
        ValueShape::Rule(words) => json!({"enum": words()}),
        ValueShape::Zero => json!({"const": 0}),
        ValueShape::Mapping(keys) => mapping(keys),
        ValueShape::Named(inner) => {
            json!({"type": "object", "additionalProperties": self::shape(inner)})
        }
        ValueShape::List(inner) => json!({"type": "array", "items": self::shape(inner)}),
        ValueShape::Either(shapes) => {
            json!({"anyOf": shapes.iter().map(self::shape).collect::<Vec<_>>()})
        }
        ValueShape::Anything => json!({"type": "object"}),
        ValueShape::NotYet => json!({"not": {}}),
        ValueShape::Unused(inner) => self::shape(inner),
    }
}

fn quantity(dimension: Dimension) -> Value {
    json!({
        "description": format!("{}, for example {}", dimension.noun(), dimension.examples()),
        "anyOf": [{"type": "string"}, {"const": 0}],
    })
}

fn duration() -> Value {
    let kinds = KINDS.iter().map(|kind| {
        let value = match kind.form {
            Form::Single(single) => parameter(&single),
            Form::List(all) => {
                json!({"type": "array", "minItems": all.len(), "maxItems": all.len(), "items": quantity(Dimension::Time)})
            }
            Form::Values => json!({"type": "array", "minItems": 1, "items": quantity(Dimension::Time)}),
            Form::Named(all) => {
                let properties: Map<String, Value> = all
                    .iter()
                    .map(|one| (one.name.to_owned(), parameter(one)))
                    .collect();
                let required: Vec<&str> = all.iter().map(|one| one.name).collect();
                json!({"type": "object", "properties": properties, "required": required, "additionalProperties": false})
            }
        };
        json!({
            "type": "object",
            "description": kind.meaning,
            "properties": {kind.name: value},
            "required": [kind.name],
            "additionalProperties": false,
        })
    });
    let mut all = vec![quantity(Dimension::Time)];
    all.extend(kinds);
    json!({"anyOf": all})
}

fn parameter(parameter: &Parameter) -> Value {
    match parameter.quantity {
        ParameterQuantity::Duration => quantity(Dimension::Time),
        ParameterQuantity::Count => {
            json!({"type": "integer", "minimum": 1, "description": "a whole number"})
        }
        ParameterQuantity::Number => json!({"type": "number", "description": "a plain number"}),
    }
}
