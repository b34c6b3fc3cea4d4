//! Records: one text file describing one device taken apart once.
//!
//! [`types`] holds what was written, with every position and every degree of knowledge kept; [`read()`] gets it from a
//! text and reports every mistake; [`complete`] holds the same with every question answered, which is what methods assess.

mod actions;
pub mod bench;
mod check;
pub mod codes;
pub mod complete;
pub mod entries;
pub mod field_tables;
pub mod forms;
pub mod joined;
pub mod promises;
mod read;
pub mod types;
pub mod written;

pub use bench::Bench;
pub use check::check;
pub use entries::{ActionFields, DeviceFields, Mended, OwnVerdict, PartFields, Photo, PutBack, Refit, Teardown};
pub use promises::{Facts, Term};
pub use read::{
    Beside, Key, Read, SupportTable, VERSION, device_keys, read, read_beside, read_joined, read_tree, read_tree_beside,
    read_with, sheet_of, tree,
};
pub(crate) use read::{made_from, observed, on_one_basis};
pub use types::*;

/// How to begin a record, said of an empty one.
pub const START: &str = "start from `unfasten: 1` and a `device:`";

/// The JSON Schema (2020-12) of a bench sheet, made from the table of its fields.
pub fn sheet_schema() -> serde_json::Value {
    crate::text::fields::schema(
        "urn:unfasten:bench:1",
        "A bench sheet",
        field_tables::DESCRIBED.named("a bench sheet"),
        &field_tables::bases(),
        &field_tables::all().collect::<Vec<_>>(),
    )
}

/// The JSON Schema (2020-12) of a record, made from the tables of its fields.
///
/// A variant (`extends`) may leave out what its base says: the device as a whole, its name, its category.
pub fn schema() -> serde_json::Value {
    let mut schema = crate::text::fields::schema(
        "urn:unfasten:record:1",
        "A record of a device taken apart",
        field_tables::DESCRIBED.named("a record"),
        &field_tables::bases(),
        &field_tables::all().collect::<Vec<_>>(),
    );
    let of_device = schema["$defs"]["device"]["required"].take();
    if let Some(device) = schema["$defs"]["device"].as_object_mut() {
        device.remove("required");
    }
    if let Some(required) = schema["required"].as_array_mut() {
        required.retain(|f| f != "device");
    }
    schema["anyOf"] = serde_json::json!([
        { "required": ["extends"] },
        { "required": ["device"], "properties": { "device": { "required": of_device } } },
    ]);
    schema
}
