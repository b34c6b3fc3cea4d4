//! JSON Schema 2020-12 from tables of fields.

use std::collections::BTreeMap;

use serde_json::{Map, Value, json};

use super::{Shape, Table};

/// The JSON Schema of a file whose root is this mapping.
///
/// Names are compared more loosely when a file is read (case, spaces, hyphens and underscores are folded);
/// the schema knows the documented spelling only.
/// `bases` are the words a fact's `basis` may have.
pub fn schema(id: &str, title: &str, table: &'static Table, bases: &[&'static str]) -> Value {
    let mut definitions = Definitions { by_key: BTreeMap::new(), bases: bases.to_vec() };
    let root = mapping(table, &mut definitions);
    let mut out = Map::new();
    out.insert("$schema".into(), "https://json-schema.org/draft/2020-12/schema".into());
    out.insert("$id".into(), id.into());
    out.insert("title".into(), title.into());
    if let Value::Object(root) = root {
        out.extend(root);
    }
    let definitions: Map<_, _> = definitions.by_key.into_iter().filter_map(|(k, v)| Some((k, v?))).collect();
    out.insert("$defs".into(), Value::Object(definitions));
    Value::Object(out)
}

/// What is defined so far.
struct Definitions {
    /// Definitions by key; `None` while one is being made, so that a table may hold itself.
    by_key: BTreeMap<String, Option<Value>>,
    /// Words of a fact's `basis`.
    bases: Vec<&'static str>,
}

fn mapping(table: &'static Table, definitions: &mut Definitions) -> Value {
    let mut properties = Map::new();
    for field in table.fields {
        let mut value = shape(field.shape, definitions);
        if let Value::Object(object) = &mut value {
            object.insert("description".into(), field.doc.into());
        }
        properties.insert(field.name.into(), value);
    }
    let required: Vec<_> = table.fields.iter().filter(|f| f.required).map(|f| f.name).collect();
    let mut out = json!({ "type": "object", "properties": properties, "additionalProperties": false });
    if !required.is_empty() {
        out["required"] = json!(required);
    }
    out
}

fn shape(wanted: &'static Shape, definitions: &mut Definitions) -> Value {
    match wanted {
        Shape::Text => json!({ "type": ["string", "number", "boolean"] }),
        Shape::YesNo => json!({ "enum": ["yes", "no", true, false] }),
        Shape::Number => json!({ "type": "number" }),
        Shape::Words(words) => json!({ "enum": words() }),
        Shape::Form(form) => json!({ "type": ["string", "number"], "$comment": form }),
        Shape::Fact(inner) => {
            let value = shape(inner, definitions);
            let numbers = matches!(inner, Shape::Number | Shape::Form(_));
            let open = if numbers { r"\||\.\.|^at (least|most) " } else { r"\|" };
            let known = json!([value, { "const": "unknown" }, { "type": "string", "pattern": open }]);
            let mut all = known.as_array().cloned().unwrap_or_default();
            all.push(json!({
                "type": "object",
                "properties": {
                    "is": { "anyOf": known },
                    "basis": { "enum": definitions.bases },
                    "source": { "type": ["string", "number"] },
                },
                "required": ["is"],
                "additionalProperties": false,
            }));
            json!({ "anyOf": all })
        }
        Shape::OneOrMany(inner) => {
            let one = shape(inner, definitions);
            json!({ "anyOf": [one, { "type": "array", "items": one }] })
        }
        Shape::List(inner) => json!({ "type": "array", "items": shape(inner, definitions) }),
        Shape::Mapping(table) => {
            let key = table
                .name
                .trim_start_matches("the ")
                .trim_start_matches("an ")
                .trim_start_matches("a ")
                .replace(' ', "-");
            if !definitions.by_key.contains_key(&key) {
                definitions.by_key.insert(key.clone(), None);
                let made = mapping(table, definitions);
                definitions.by_key.insert(key.clone(), Some(made));
            }
            json!({ "$ref": format!("#/$defs/{key}") })
        }
        Shape::Names(inner) => json!({ "type": "object", "additionalProperties": shape(inner, definitions) }),
        Shape::Either(shapes) => {
            let any: Vec<_> = shapes.iter().map(|s| shape(s, definitions)).collect();
            json!({ "anyOf": any })
        }
        Shape::Anything => json!({}),
    }
}
