//! Files: read with care, written whole or not at all.

pub(crate) mod folder;
pub(crate) mod inputs;
pub(crate) mod interrupt;
mod lines;
pub(crate) mod read;
pub(crate) mod seen;
mod stage;
