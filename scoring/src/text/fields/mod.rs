//! Reading mappings against tables of fields, collecting every mistake.
//!
//! A [`Table`] lists the fields of a mapping once: name, one line of words, [`Shape`], required or not. From it
//! come the checks for unknown and missing fields, the JSON Schema ([`schema()`]) and the test that the format
//! page names every field. An [`Item`] is a node with its data path; each value is read from its own node, so
//! that a mistake in one never hides the next.
//!
//! A struct with serde's `Deserialize` and schemars' `JsonSchema` makes its table itself ([`Described`]) and is read by
//! [`Item::typed`].
//!
//! ```
//! use scoring::text::fields::{Field, Item, Reader, Shape, Table};
//! use scoring::text::{Source, Sources, yaml::Tree};
//!
//! static BOX: Table = Table { name: "a box", fields: &[
//!     Field { name: "width", doc: "Width in cm.", left_out: "", shape: &Shape::Number, required: true },
//!     Field { name: "note", doc: "Anything.", left_out: "", shape: &Shape::Text, required: false },
//! ] };
//! let mut sources = Sources::new();
//! let file = sources.add(Source::new("box.yaml", "width: wide\nnoet: hi\n"));
//! let tree = Tree::parse(sources.get(file), file);
//! let mut reader = Reader::new(&sources);
//! let item = Item::root(tree.root.as_ref().unwrap());
//! let fields = item.fields(&BOX, &mut reader).unwrap();
//! let width = fields.get("width").and_then(|w| w.read::<u32>("a whole number", &mut reader));
//! assert!(width.is_none());
//! assert_eq!(reader.finish().iter().map(|d| d.code).collect::<Vec<_>>(), ["wrong-value", "unknown-field"]);
//! ```

mod described;
mod item;
mod reader;
mod schema;
mod typed;
mod written;

pub use described::{Described, leaf};
pub(crate) use item::short;
pub use item::{Bad, Fields, Item, find_word};
pub use reader::Reader;
pub use schema::{fact, schema};
pub use typed::{Either, FACT, Items, ListOf, Many, Needed, Stated, Unread, form, left_out, part, span, text};
pub(crate) use written::{shaped, written};

/// The fields of one sort of mapping.
#[derive(Debug)]
pub struct Table {
    /// What the mapping is called in messages, with its article: `an action`.
    pub name: &'static str,
    /// Its fields, in the order they are documented.
    pub fields: &'static [Field],
}

/// One field of a mapping.
#[derive(Clone, Copy, Debug)]
pub struct Field {
    /// Name, as documented.
    pub name: &'static str,
    /// What it holds, in a sentence or two.
    pub doc: &'static str,
    /// What it means to leave it out, in a few words; empty where that says nothing.
    pub left_out: &'static str,
    /// What may stand there.
    pub shape: &'static Shape,
    /// Leaving it out is a mistake.
    pub required: bool,
}

/// What may stand at a place, for the JSON Schema. The readers themselves check more closely.
#[derive(Debug)]
pub enum Shape {
    /// Any single value, taken as text.
    Text,
    /// `yes`, `no`, `true` or `false`.
    YesNo,
    /// A number.
    Number,
    /// One of some words.
    Words(fn() -> Vec<&'static str>),
    /// Text of a short form, described in words.
    Form(&'static str),
    /// A fact: the shape, `unknown`, alternatives, or `{is, basis, source}`.
    Fact(&'static Shape),
    /// One, or a list of them.
    OneOrMany(&'static Shape),
    /// A list.
    List(&'static Shape),
    /// A mapping with known fields.
    Mapping(&'static Table),
    /// A mapping called so, whose fields a struct describes.
    Named(&'static str),
    /// As a described struct has it, in JSON Schema.
    Described(serde_json::Value),
    /// A mapping from names to values.
    Names(&'static Shape),
    /// Any of several shapes.
    Either(&'static [Shape]),
    /// Checked elsewhere.
    Anything,
}

impl Table {
    /// The field of this name, compared by [`fold`](super::fold).
    pub fn field(&self, name: &str) -> Option<&'static Field> {
        self.place(name).map(|at| &self.fields[at])
    }

    /// Where the field of this name stands among the fields, whose names are folded.
    fn place(&self, name: &str) -> Option<usize> {
        let name = super::folded(name);
        self.fields.iter().position(|f| f.name == name)
    }

    /// The field's names, in order.
    pub fn names(&self) -> impl Iterator<Item = &'static str> + use<> {
        self.fields.iter().map(|f| f.name)
    }
}

#[cfg(test)]
mod tests;
