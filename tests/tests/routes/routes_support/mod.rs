//! What the route tests share: reading the reference files, a generator of random problems, and
//! two oracles that use nothing of the engine but its types.
#![allow(clippy::cast_possible_truncation, reason = "indices of small random problems")]
#![allow(dead_code, unreachable_pub)]

pub mod enumeration;
pub mod families;
pub mod plain;
pub mod random;
pub mod reference_files;
