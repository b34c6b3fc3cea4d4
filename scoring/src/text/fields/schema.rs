//! JSON Schema 2020-12 from tables of fields.

use std::collections::BTreeMap;

use serde_json::{Map, Value, json};

use super::{Shape, Table};

/// The JSON Schema of a file whose root is this mapping.
///
/// Names are compared more loosely when a file is read (case, spaces, hyphens and underscores are folded);
/// the schema knows the documented spelling only.
/// `bases` are the words a fact's `basis` may have; `named` are tables that described types point to by their names.
pub fn schema(id: &str, title: &str, table: &'static Table, bases: &[&'static str], named: &[&'static Table]) -> Value {
    let mut definitions = Definitions { by_key: BTreeMap::new(), bases: bases.to_vec(), named: named.to_vec() };
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
    /// Tables that are pointed to by name.
    named: Vec<&'static Table>,
}

impl Definitions {
    /// Points to the definition of a table, made if it isn't yet.
    fn point(&mut self, table: &'static Table) -> Value {
        let key = key(table.name);
        if !self.by_key.contains_key(&key) {
            self.by_key.insert(key.clone(), None);
            let made = mapping(table, self);
            self.by_key.insert(key.clone(), Some(made));
        }
        json!({ "$ref": format!("#/$defs/{key}") })
    }

    /// Makes what a described type points to.
    fn follow(&mut self, shape: &Value) {
        match shape {
            Value::Object(fields) => {
                if let Some(key) = shape["$ref"].as_str().and_then(|r| r.strip_prefix("#/$defs/")) {
                    let table = self.named.iter().copied().find(|t| self::key(t.name) == key);
                    debug_assert!(table.is_some() || self.named.is_empty(), "`{key}` is not described");
                    table.map(|table| self.point(table));
                }
                fields.values().for_each(|value| self.follow(value));
            }
            Value::Array(items) => items.iter().for_each(|item| self.follow(item)),
            _ => {}
        }
    }
}

/// The key of a mapping among the definitions: its name without the article.
pub(super) fn key(name: &str) -> String {
    name.trim_start_matches("the ").trim_start_matches("an ").trim_start_matches("a ").replace(' ', "-")
}

/// A shape by itself, whose mappings are defined elsewhere.
pub(super) fn alone(wanted: &'static Shape) -> Value {
    shape(wanted, &mut Definitions { by_key: BTreeMap::new(), bases: Vec::new(), named: Vec::new() })
}

/// A fact with this value: the value, `unknown`, alternatives, for numbers a span too, or a mapping.
pub fn fact(value: &Value, numbers: bool, bases: &[&'static str]) -> Value {
    let open = if numbers { r"\||\.\.|^at (least|most) " } else { r"\|" };
    let known = json!([value, { "const": "unknown" }, { "type": "string", "pattern": open }]);
    let mut all = known.as_array().cloned().unwrap_or_default();
    all.push(json!({
        "type": "object",
        "properties": {
            "is": { "anyOf": known },
            "basis": { "enum": bases },
            "source": { "type": ["string", "number"] },
        },
        "required": ["is"],
        "additionalProperties": false,
    }));
    json!({ "anyOf": all })
}

fn mapping(table: &'static Table, definitions: &mut Definitions) -> Value {
    let mut properties = Map::new();
    for field in table.fields {
        let mut value = shape(field.shape, definitions);
        if let Value::Object(object) = &mut value {
            let left_out =
                if field.left_out.is_empty() { String::new() } else { format!(" Left out: {}.", field.left_out) };
            object.insert("description".into(), format!("{}{left_out}", field.doc).into());
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
            fact(&value, matches!(inner, Shape::Number | Shape::Form(_)), &definitions.bases)
        }
        Shape::OneOrMany(inner) => {
            let one = shape(inner, definitions);
            json!({ "anyOf": [one, { "type": "array", "items": one }] })
        }
        Shape::List(inner) => json!({ "type": "array", "items": shape(inner, definitions) }),
        Shape::Mapping(table) => definitions.point(table),
        Shape::Named(name) => {
            let pointer = json!({ "$ref": format!("#/$defs/{}", key(name)) });
            definitions.follow(&pointer);
            pointer
        }
        Shape::Described(shape) => {
            definitions.follow(shape);
            shape.clone()
        }
        Shape::Names(inner) => json!({ "type": "object", "additionalProperties": shape(inner, definitions) }),
        Shape::Either(shapes) => {
            let any: Vec<_> = shapes.iter().map(|s| shape(s, definitions)).collect();
            json!({ "anyOf": any })
        }
        Shape::Anything => json!({}),
    }
}
