//! Sources, positions and diagnostics: everything that points into a text somebody wrote.
//!
//! [`check`] turns bytes into a [`Source`], [`yaml`] turns a source into a tree that knows its places,
//! [`fields`] reads mappings of that tree against tables of fields and collects every mistake; [`csv`] turns a source
//! into the cells of a table.

pub mod check;
pub mod codes;
pub mod csv;
pub mod day;
pub mod diagnostic;
pub mod edit;
pub mod fields;
pub mod hidden;
pub mod limits;
pub mod name;
pub mod number;
mod refusal;
pub mod source;
mod syntax;
pub mod words;
pub mod yaml;

pub use check::Refusal;
pub use day::Day;
pub use diagnostic::{Diagnostic, Label, Severity};
pub(crate) use name::folded;
pub use name::{alike, fold, near, slip};
pub use refusal::NotTaken;
pub use source::{FileId, Position, Source, Sources, Span, Spanned};
