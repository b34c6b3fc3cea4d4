//! Verdicts and gates: `check`, `score`.

use clap::{Args, ValueEnum};

use super::{Choice, Joined, Many, VerdictOf};

#[derive(Debug, Args)]
pub(crate) struct Check {
    /// Record files; `-` is standard input: a record, or one a line as JSON. A folder stands for all records (.yaml, .yml, .jsonl) below it, a pattern in
    /// quotes for what it matches; a .jsonl file holds a record a line.
    #[arg(required = true, value_name = "RECORD")]
    pub(crate) records: Vec<String>,
    #[command(flatten)]
    pub(crate) choice: Choice,
    #[command(flatten)]
    pub(crate) joined: Joined,
    #[command(flatten)]
    pub(crate) many: Many,
    /// Warnings count as errors.
    #[arg(long)]
    pub(crate) strict: bool,
    /// Which verdict requirements are held against.
    #[arg(long, value_enum, default_value_t)]
    pub(crate) verdict: VerdictOf,
    /// What must hold even at the low end: `score=7.0`, `class=B`, or `pass` for legal methods; exit code 3 if it does not.
    #[arg(long, value_name = "WHAT")]
    pub(crate) require: Vec<String>,
}

#[derive(Debug, Args)]
pub(crate) struct Score {
    /// Record files; `-` is standard input: a record, or one a line as JSON. A folder stands for all records (.yaml, .yml, .jsonl) below it, a pattern in
    /// quotes for what it matches; a .jsonl file holds a record a line.
    #[arg(required_unless_present = "marks", value_name = "RECORD")]
    pub(crate) records: Vec<String>,
    #[command(flatten)]
    pub(crate) choice: Choice,
    #[command(flatten)]
    pub(crate) joined: Joined,
    #[command(flatten)]
    pub(crate) many: Many,
    /// Instead of records: a table (CSV) of published sheets of marks, added up by fr-index and held against what they
    /// print; exit code 3 if a sheet can't follow from its own marks.
    #[arg(long, value_name = "TABLE", conflicts_with_all = ["records", "support"])]
    pub(crate) marks: Vec<String>,
    /// How verdicts are written.
    #[arg(long, value_enum, default_value_t)]
    pub(crate) format: ScoreFormat,
}

/// How verdicts are written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(crate) enum ScoreFormat {
    /// For reading, 80 columns.
    #[default]
    Text,
    /// The whole tree with every reason.
    Json,
    /// The same, one device a line.
    Jsonl,
    /// A table (CSV), one row a criterion.
    Csv,
    /// A table (CSV), one row a device.
    Devices,
}
