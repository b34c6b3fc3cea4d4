//! Files: read with care, written whole or not at all.

pub(crate) mod folder;
pub(crate) mod inputs;
mod lines;
pub(crate) mod read;
