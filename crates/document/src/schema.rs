//! The JSON Schema of a document, made from its shape.

use crate::range::MOST_COUNT;
use crate::shape::{Need, Shape, Takes, with_article};
use serde_json::{Map, Value, json};

/// Gives the JSON Schema (draft 2020-12) of the documents that have this shape.
pub fn schema(shape: &Shape) -> Value {
    let mut root = table(shape);
    root.insert(
        "$schema".into(),
        json!("https://json-schema.org/draft/2020-12/schema"),
    );
    root.insert("title".into(), json!(shape.name));
    Value::Object(root)
}

fn table(shape: &Shape) -> Map<String, Value> {
    let usable = || {
        shape
            .keys
            .iter()
            .filter(|key| !matches!(key.need, Need::NotYet(_)))
    };
    let properties: Map<String, Value> = usable()
        .map(|key| {
            let mut schema = value(&key.takes);
            if let Value::Object(object) = &mut schema {
                object.insert("description".into(), json!(key.doc));
            }
            (key.name.to_string(), schema)
        })
        .collect();
    let required: Vec<&str> = usable()
        .filter(|key| key.need == Need::Required)
        .map(|key| key.name)
        .collect();
    let mut object = Map::new();
    object.insert("type".into(), json!("object"));
    object.insert("description".into(), json!(shape.doc));
    object.insert("properties".into(), Value::Object(properties));
    object.insert("required".into(), json!(required));
    object.insert("additionalProperties".into(), json!(false));
    object
}

fn value(takes: &Takes) -> Value {
    match takes {
        Takes::Text => json!({ "type": "string", "minLength": 1 }),
        Takes::Flag => json!({ "type": "boolean" }),
        Takes::Count => json!({ "type": "integer", "minimum": 0, "maximum": MOST_COUNT }),
        Takes::Number => json!({ "type": "number" }),
        Takes::Quantity(kind) => json!({
            "type": "string",
            "title": with_article(kind.name()),
            "examples": [kind.example()],
        }),
        Takes::Date => json!({ "type": "string", "format": "date" }),
        Takes::Word(words) => json!({ "type": "string", "enum": words }),
        Takes::List(inner) => json!({ "type": "array", "items": value(inner) }),
        Takes::Triple(inner) => {
            json!({ "type": "array", "items": value(inner), "minItems": 3, "maxItems": 3 })
        }
        Takes::Names(inner) => json!({ "type": "object", "additionalProperties": value(inner) }),
        Takes::Table(shape) => Value::Object(table(shape)),
        Takes::TextOr(inner) => json!({ "anyOf": [{ "type": "string", "minLength": 1 }, value(inner)] }),
        Takes::QuantityOr(kind, inner) => {
            json!({ "anyOf": [value(&Takes::Quantity(*kind)), value(inner)] })
        }
        Takes::WordOr(word, inner) => json!({ "anyOf": [{ "const": word }, value(inner)] }),
    }
}
