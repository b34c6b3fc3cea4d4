//! Records beside each other: `compare`, `diff`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::{Choice, Joined, Many, VerdictOf};

#[derive(Debug, Args)]
pub(crate) struct Compare {
    /// Record files, two or more; folders, patterns and .jsonl files as for `score`.
    #[arg(required = true, value_name = "RECORD")]
    pub(crate) records: Vec<String>,
    #[command(flatten)]
    pub(crate) many: Many,
    /// A shipped method's id or a method file.
    #[arg(long = "method", short = 'm', value_name = "METHOD", default_value = "en-45554")]
    pub(crate) method: String,
    /// Takes another reading of an open rule, `SWITCH=OPTION` (see `unfasten methods METHOD`).
    #[arg(long = "reading", value_name = "SWITCH=OPTION")]
    pub(crate) readings: Vec<String>,
    #[command(flatten)]
    pub(crate) joined: Joined,
    /// Which verdict is compared.
    #[arg(long, value_enum, default_value_t)]
    pub(crate) verdict: VerdictOf,
    /// Compare devices of different categories all the same.
    #[arg(long)]
    pub(crate) mixed: bool,
    /// Weightings drawn (default 40 000).
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=10_000_000))]
    pub(crate) samples: Option<u32>,
    /// Which drawing of weightings: the same number gives the same shares.
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub(crate) draw: u64,
    /// Folder of templates that take the place of the shipped ones, for HTML (see `unfasten template`).
    #[arg(long, value_name = "DIR")]
    pub(crate) template: Option<PathBuf>,
    /// How it is written.
    #[arg(long, value_enum, default_value_t)]
    pub(crate) format: CompareFormat,
}

/// How a comparison is written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(crate) enum CompareFormat {
    /// For reading, 80 columns.
    #[default]
    Text,
    /// Markdown with tables.
    Md,
    /// One self-contained page.
    Html,
    /// One row a criterion.
    Csv,
    /// For programs.
    Json,
}

#[derive(Debug, Args)]
pub(crate) struct Diff {
    /// The record as it was, or one person's.
    #[arg(value_name = "OLD")]
    pub(crate) old: String,
    /// The record as it is, or another person's.
    #[arg(value_name = "NEW")]
    pub(crate) new: String,
    #[command(flatten)]
    pub(crate) choice: Choice,
    #[command(flatten)]
    pub(crate) joined: Joined,
    /// OLD and NEW are tables (CSV) of published sheets of marks: what changed in each sheet, and what its marks give.
    #[arg(long, conflicts_with_all = ["support", "bench", "agreement"])]
    pub(crate) marks: bool,
    /// Read the two as records of one device by two people: how far they agree.
    #[arg(long)]
    pub(crate) agreement: bool,
    /// How it is written.
    #[arg(long, value_enum, default_value_t)]
    pub(crate) format: NoteFormat,
}

/// How differences are written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(crate) enum NoteFormat {
    /// For reading, 80 columns.
    #[default]
    Text,
    /// Markdown, to be published as a correction note.
    Md,
    /// For programs.
    Json,
}
