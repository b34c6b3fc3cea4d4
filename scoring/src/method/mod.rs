//! Methods: the rules as data. A method is a file under `criteria/`; adding one needs no Rust.
//!
//! [`read()`] turns a method file into a [`Method`] or a list of complaints; [`load_shipped`] gives one of the methods
//! that ship. [`Method::with_switch`] takes another open reading, [`Method::for_device`] leaves out what is not for a
//! device. The format is described in `criteria/README.md`.
//!
//! Nothing here knows records or routes: a method says what is measured, `assess` measures it.

mod aloud;
mod bench;
mod check;
pub mod codes;
mod company;
mod days;
mod entries;
mod gaps;
mod load;
pub mod measure;
mod read;
mod schema;
mod shipped;
mod spread;
mod steps;
mod switch;
pub mod types;
mod written;

pub use aloud::{AloudRow, Paragraph, aloud, sentence};
pub use days::{Days, Standing};
pub use read::read;
pub use schema::{schema, tables};
pub use shipped::{Shipped, ShippedRead, load_shipped, shipped, shipped_read, shipped_source};
pub use switch::either_of;
pub use types::*;

/// How to begin a method, said of an empty one.
pub const START: &str = "start from `unfasten method: 1`";

#[cfg(test)]
mod tests;
