//! What several checks share. The checks themselves are under `tests/tests`, one file a source.

pub mod devices;
