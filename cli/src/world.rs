//! What the command can reach outside: its three streams. Tests give it others.

use std::io::{Read, Write};
use std::path::Path;

use report::json::Layout;
use serde::Serialize;

use crate::terminal::shown::{Shown, escaped_json};

/// The streams of one run, as whoever runs it has them.
pub struct Streams<'s> {
    /// Read for a file named `-`.
    pub input: &'s mut (dyn Read + Send),
    /// Results.
    pub out: &'s mut dyn Write,
    /// Problems and progress.
    pub err: &'s mut dyn Write,
    /// Whether `out` shows colour and bold.
    pub out_styled: bool,
    /// Whether `err` does.
    pub err_styled: bool,
    /// Whether `err` is a terminal, where progress is shown while many records are read.
    pub err_terminal: bool,
}

/// The streams as commands have them: what they write is shown, never obeyed.
pub(crate) struct World<'w> {
    /// Read for a file named `-`; `None` once somebody took it to read it bit by bit.
    pub(crate) input: Option<&'w mut (dyn Read + Send)>,
    /// Results.
    pub(crate) out: &'w mut dyn Shown,
    /// Problems and progress.
    pub(crate) err: &'w mut dyn Shown,
    /// Whether `out` shows colour and bold.
    pub(crate) out_styled: bool,
    /// Whether `err` does.
    pub(crate) err_styled: bool,
    /// Whether `err` is a terminal, where progress is shown while many records are read.
    pub(crate) err_terminal: bool,
    /// The folder below which files named by other files are read, where one was named.
    pub(crate) base: Option<&'w Path>,
    /// How JSON is laid out.
    pub(crate) layout: Layout,
}

impl World<'_> {
    /// Writes a JSON document, with a line break at its end.
    pub(crate) fn json(&mut self, value: &impl Serialize) -> std::io::Result<()> {
        writeln!(self.out, "{}", escaped_json(&self.layout.text(value)))
    }

    /// All that is left of a file named `-`, at most some bytes of it.
    pub(crate) fn read_input(&mut self, most: u64) -> std::io::Result<Vec<u8>> {
        let mut bytes = Vec::new();
        if let Some(input) = &mut self.input {
            input.take(most).read_to_end(&mut bytes)?;
        }
        Ok(bytes)
    }
}

/// Columns all text output fits in.
pub const WIDTH: usize = 80;
