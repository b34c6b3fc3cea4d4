//! A record to begin with: `new`, `draft`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::Choice;

#[derive(Debug, Args)]
pub(crate) struct New {
    /// A product category, such as laptop or tumble dryer; `unfasten about roles` lists them, `other` is the rest.
    #[arg(required = true, num_args = 1.., value_name = "CATEGORY")]
    pub(crate) category: Vec<String>,
    #[command(flatten)]
    pub(crate) choice: Choice,
    /// Write to this file (which must not exist) instead of standard output.
    #[arg(long, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(crate) struct Draft {
    /// Captions (WebVTT, SubRip), notes with or without times, a label track (start, end, label, tab-separated), or a table
    /// (CSV) of times and names; `-` is standard input.
    #[arg(required_unless_present = "from", conflicts_with = "from", value_name = "SOURCE")]
    pub(crate) source: Option<String>,
    /// Product category; left out: other.
    #[arg(long, value_name = "CATEGORY", num_args = 1..)]
    pub(crate) category: Vec<String>,
    /// What the device is called; left out: the name of the source.
    #[arg(long, value_name = "NAME")]
    pub(crate) device: Option<String>,
    /// What is made.
    #[arg(long, value_enum, value_name = "WHAT", default_value_t)]
    pub(crate) to: DraftForm,
    /// Make the record of a list that `--to list` wrote and somebody changed.
    #[arg(long, value_name = "LIST")]
    pub(crate) from: Option<String>,
    /// Go through the talk at the terminal: each action drafted and each thing mentioned with the words said, to be
    /// confirmed, put right or named. The record is written into the file after every answer.
    #[arg(long, requires = "out", conflicts_with = "from")]
    pub(crate) ask: bool,
    /// Command that opens the footage where a place of the talk is; `{time}` (seconds) is filled in.
    #[arg(long, value_name = "COMMAND", requires = "ask")]
    pub(crate) player: Option<String>,
    /// Write to this file (which must not exist) instead of standard output.
    #[arg(long, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
}

/// What a draft is written as.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(crate) enum DraftForm {
    /// A record.
    #[default]
    Record,
    /// A table (CSV) to change by hand: one row an action, one for what was said beside.
    List,
}
