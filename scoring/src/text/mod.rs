//! Sources, positions and diagnostics: everything that points into a text somebody wrote.

pub mod diagnostic;
pub mod source;

pub use diagnostic::{Diagnostic, Label, Severity};
pub use source::{FileId, Position, Source, Sources, Span};
