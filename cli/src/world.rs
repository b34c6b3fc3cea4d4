//! What the command can reach outside: its three streams. Tests give it others.

use std::io::{Read, Write};

/// The streams of one run.
pub struct World<'w> {
    /// Read for a file named `-`.
    pub input: &'w mut dyn Read,
    /// Results.
    pub out: &'w mut dyn Write,
    /// Problems and progress.
    pub err: &'w mut dyn Write,
    /// Whether `out` shows colour and bold.
    pub out_styled: bool,
    /// Whether `err` does.
    pub err_styled: bool,
    /// Whether `err` is a terminal, where progress is shown while many records are read.
    pub err_terminal: bool,
}

/// Columns all text output fits in.
pub const WIDTH: usize = 80;
