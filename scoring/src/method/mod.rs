//! Methods: the rules as data. A method is a file under `criteria/`; adding one needs no Rust.

pub mod types;

pub use types::*;
