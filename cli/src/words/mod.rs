//! What the commands say: facts in, phrases out. [`english`] is the table of the one language there is, a file a command; a
//! second language is a second table with the same names, and is chosen here. What pages and verdicts say too stands in the
//! table of `report` and is taken from there.
//!
//! Commands hold facts and layout: what is said, in which order and column. Nothing looks for a meaning in what comes from here.

mod english;

pub(crate) use english::*;
