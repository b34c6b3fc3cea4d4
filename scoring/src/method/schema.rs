//! JSON Schema of method files.

use super::field_tables;
use crate::text::fields;

/// The JSON Schema (2020-12) of a method file that stands alone, from the tables it is read by.
///
/// A file with `extends` may leave out what its base has; the schema then asks only for `unfasten method`, `id`, `title`.
pub fn schema() -> serde_json::Value {
    let mut schema = fields::schema("urn:unfasten:method:1", "A method for unfasten", &field_tables::METHOD, &[], &[]);
    let required = schema["required"].take();
    if let Some(object) = schema.as_object_mut() {
        object.remove("required");
        object.insert("if".to_owned(), serde_json::json!({ "required": ["extends"] }));
        object.insert("then".to_owned(), serde_json::json!({ "required": ["unfasten method", "id", "title"] }));
        object.insert("else".to_owned(), serde_json::json!({ "required": required }));
    }
    schema
}
