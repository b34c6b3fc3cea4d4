//! Counted nouns and lists: those of the library.

pub use scoring::text::words::{count, list, some};
