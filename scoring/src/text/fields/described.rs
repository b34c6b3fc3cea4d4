//! Tables of fields from the types that hold them.
//!
//! A struct with serde's `Deserialize` and schemars' `JsonSchema` describes the fields of one sort of mapping: their names and
//! order, what each is (its doc comment), what may stand there (its type). `#[serde(rename = "an action")]` is what the mapping
//! is called in messages. A field is required if its type can't do without a value: no
//! `Option`, list, yes or no, or fact; or if it is [`Needed`](super::Needed).

use std::cell::{Cell, RefCell};

use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema};
use serde::de::value::StrDeserializer;
use serde::de::{self, DeserializeOwned, DeserializeSeed, Deserializer, IntoDeserializer as _, Visitor};
use serde_json::{Map, Value};

use super::typed::{Absent, Error};
use super::{Field, Shape, Table, schema};

/// The described structs of one sort of file, by what they are called.
#[derive(Debug, Default)]
pub struct Described {
    tables: Vec<&'static Table>,
}

impl Described {
    /// None yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// With the fields of a struct. It is kept for good: a program has one list for each sort of file.
    #[must_use]
    pub fn with<T: DeserializeOwned + JsonSchema>(mut self) -> Self {
        self.tables.push(Box::leak(Box::new(table::<T>())));
        self
    }

    /// All tables, in the order they were added.
    pub fn tables(&self) -> &[&'static Table] {
        &self.tables
    }

    /// The table of a mapping called so.
    ///
    /// # Panics
    /// If no struct of that name was added.
    pub fn named(&self, name: &str) -> &'static Table {
        self.tables.iter().copied().find(|t| t.name == name).unwrap_or_else(|| panic!("`{name}` is not described"))
    }
}

/// The table of a struct.
fn table<T: DeserializeOwned + JsonSchema>() -> Table {
    let asked = RefCell::new(None);
    let _ = T::deserialize(Names { found: &asked });
    let Some((name, names)) = asked.into_inner() else { panic!("{} is no struct", T::schema_name()) };
    let mut generator = SchemaSettings::draft2020_12().into_generator();
    let described = Value::from(T::json_schema(&mut generator));
    let definitions = generator.take_definitions(false);
    let field = |name: &'static str| {
        let mut shape = described["properties"][name].clone();
        tidy(&mut shape, &definitions);
        let doc = shape.as_object_mut().and_then(|s| s.remove("description"));
        let (doc, left_out) = said(doc.as_ref().and_then(Value::as_str).unwrap_or_default());
        Field {
            name,
            doc: kept(doc),
            left_out: kept(left_out),
            shape: Box::leak(Box::new(Shape::Described(shape))),
            required: !optional::<T>(name),
        }
    };
    let fields: Vec<Field> = names.iter().map(|name| field(name)).collect();
    Table { name, fields: Box::leak(fields.into_boxed_slice()) }
}

/// What a doc comment says of a field: what it holds; and behind `Left out:`, in a paragraph of its own, what that means.
fn said(doc: &str) -> (String, String) {
    let (mut holds, mut left_out) = (Vec::new(), String::new());
    for paragraph in doc.split("\n\n") {
        let line = paragraph.split_whitespace().collect::<Vec<_>>().join(" ");
        match line.strip_prefix("Left out: ") {
            Some(means) => means.trim_end_matches('.').clone_into(&mut left_out),
            None => holds.push(line),
        }
    }
    (holds.join(" "), left_out)
}

/// A text of the table of fields, of which a program makes one.
fn kept(text: String) -> &'static str {
    Box::leak(text.into_boxed_str())
}

/// Whether a field of a struct does without a value.
fn optional<T: DeserializeOwned>(name: &'static str) -> bool {
    let good = Cell::new(true);
    let _ = T::deserialize(Without { name, good: &good });
    good.get()
}

/// What schemars says of a type, as our files have it: texts and answers are read from any plain value, nothing written is a
/// mistake, and words stand where they are used.
fn tidy(shape: &mut Value, definitions: &Map<String, Value>) {
    if let Some(target) = shape["$ref"].as_str().and_then(|r| r.strip_prefix("#/$defs/")) {
        let target = target.replace("%20", " ");
        let object = |d: &Value| d["properties"].is_object();
        match definitions.get(&target).filter(|d| !object(d)) {
            Some(word) => {
                let description = shape["description"].take();
                *shape = word.clone();
                shape["description"] = description;
            }
            None => shape["$ref"] = format!("#/$defs/{}", schema::key(&target)).into(),
        }
    }
    if let Value::Object(fields) = shape {
        let as_it_is = fields.remove(AS_IT_IS).is_some();
        if !as_it_is {
            fields.values_mut().for_each(|value| inside(value, definitions));
        }
        if fields.get("description").is_some_and(Value::is_null) {
            fields.remove("description");
        }
        if let Some(Value::Array(types)) = fields.get_mut("type") {
            types.retain(|t| t != "null");
            if let [only] = &types[..] {
                fields["type"] = only.clone();
            }
        }
        let strict = fields.remove(LIST).is_some();
        match fields.get("type").and_then(Value::as_str) {
            _ if as_it_is || strict => {}
            Some("string") if fields.contains_key("pattern") => {}
            Some("string") if fields.contains_key("enum") => drop(fields.remove("type")),
            Some("string") => extend(fields, &Shape::Text),
            Some("boolean") => extend(fields, &Shape::YesNo),
            Some("array") => one_or_many(fields),
            _ => {}
        }
        for nullable in ["anyOf", "enum"] {
            let Some(Value::Array(any)) = fields.get_mut(nullable) else { continue };
            any.retain(|s| s["type"] != "null" && !s.is_null());
            if let [Value::Object(only)] = &any[..] {
                let only = only.clone();
                fields.remove(nullable);
                fields.extend(only);
            }
        }
    }
}

fn inside(value: &mut Value, definitions: &Map<String, Value>) {
    match value {
        Value::Object(_) => tidy(value, definitions),
        Value::Array(items) => items.iter_mut().for_each(|item| inside(item, definitions)),
        _ => {}
    }
}

fn extend(fields: &mut Map<String, Value>, shape: &'static Shape) {
    fields.remove("type");
    if let Value::Object(more) = schema::alone(shape) {
        fields.extend(more);
    }
}

/// A list of one item needs no brackets.
fn one_or_many(fields: &mut Map<String, Value>) {
    let Some(items) = fields.remove("items") else { return };
    fields.remove("type");
    fields.insert("anyOf".to_owned(), serde_json::json!([items, { "type": "array", "items": items }]));
}

/// The schema of a type that is written as a shape.
///
/// # Panics
/// Never: every shape is an object.
pub fn leaf(shape: &'static Shape) -> Schema {
    let mut written = schema::alone(shape);
    written[AS_IT_IS] = true.into();
    Schema::try_from(written).unwrap_or_else(|_| unreachable!("a shape is an object"))
}

/// Marks a list that needs its brackets even around one item.
pub(super) const LIST: &str = "$list";

/// Marks what already is as our files have it; see [`tidy`].
const AS_IT_IS: &str = "$as it is";

/// Asks a struct for its name and its fields.
struct Names<'c> {
    found: &'c RefCell<Option<(&'static str, &'static [&'static str])>>,
}

impl<'de> Deserializer<'de> for Names<'_> {
    type Error = Error;

    fn deserialize_any<V: Visitor<'de>>(self, _: V) -> Result<V::Value, Error> {
        Err(de::Error::custom("not a struct"))
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        name: &'static str,
        names: &'static [&'static str],
        _: V,
    ) -> Result<V::Value, Error> {
        *self.found.borrow_mut() = Some((name, names));
        Err(de::Error::custom("that is all"))
    }

    serde::forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf option unit unit_struct
        newtype_struct seq tuple tuple_struct map enum identifier ignored_any
    }
}

/// Gives a struct one field, which is left out, and listens whether it can do without.
struct Without<'c> {
    name: &'static str,
    good: &'c Cell<bool>,
}

impl<'de> Deserializer<'de> for Without<'_> {
    type Error = Error;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_map(Once { of: self, given: false })
    }

    serde::forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf option unit unit_struct
        newtype_struct seq tuple tuple_struct map struct enum identifier ignored_any
    }
}

struct Once<'c> {
    of: Without<'c>,
    given: bool,
}

impl<'de> de::MapAccess<'de> for Once<'_> {
    type Error = Error;

    fn next_key_seed<K: DeserializeSeed<'de>>(&mut self, seed: K) -> Result<Option<K::Value>, Error> {
        if std::mem::replace(&mut self.given, true) {
            return Ok(None);
        }
        let name: StrDeserializer<'_, Error> = self.of.name.into_deserializer();
        seed.deserialize(name).map(Some)
    }

    fn next_value_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Result<T::Value, Error> {
        let read = seed.deserialize(Absent { asking: true, ..Absent::default() });
        self.of.good.set(read.is_ok());
        read
    }
}
