//! Maps found by what they hold. Nothing is ever read in their order, so no result depends on how they are hashed; the keys
//! are whole problems, for which the standard hash is slow.

use std::collections::HashMap;

/// A map whose hash is quick, and drawn anew in each run, so that no record can be made to fill one slot.
pub(crate) type Hashed<K, V> = HashMap<K, V, foldhash::quality::RandomState>;
