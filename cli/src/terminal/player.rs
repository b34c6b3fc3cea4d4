//! Opening the footage at a time, with the command somebody named for it.

use std::io::Error;
use std::path::Path;
use std::process::{Command, Stdio};

/// Runs the command with `{time}` (seconds) and `{video}` filled in; no shell takes part, and nobody waits for it.
///
/// # Errors
/// The program that can't be run, and why.
pub(crate) fn open(player: &str, at: u32, video: &Path) -> Result<(), (String, Error)> {
    let filled: Vec<String> = player
        .split_whitespace()
        .map(|w| w.replace("{time}", &at.to_string()).replace("{video}", &video.to_string_lossy()))
        .collect();
    let Some((program, rest)) = filled.split_first() else { return Ok(()) };
    let run = Command::new(program).args(rest).stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null()).spawn();
    run.map(|_| ()).map_err(|e| (program.clone(), e))
}
