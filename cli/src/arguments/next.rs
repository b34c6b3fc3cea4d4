//! What to find out and what to change: `unknowns`, `answer`, `changes`.

use clap::{Args, ValueEnum};

use super::{Choice, Joined, OnBench, PlainFormat, VerdictOf};

#[derive(Debug, Args)]
pub(crate) struct Unknowns {
    /// A record file; `-` is standard input.
    #[arg(value_name = "RECORD")]
    pub(crate) record: String,
    #[command(flatten)]
    pub(crate) choice: Choice,
    #[command(flatten)]
    pub(crate) joined: Joined,
    /// Also what the verdict hinges on: criteria, facts, weights, rules of low certainty, other readings.
    #[arg(long)]
    pub(crate) firm: bool,
    /// Only the N questions that matter most (10 if left out), and how far they would narrow the range.
    #[arg(long, value_name = "N", num_args = 0..=1, default_missing_value = "10", conflicts_with = "firm")]
    pub(crate) most: Option<usize>,
    /// How it is written.
    #[arg(long, value_enum, default_value_t)]
    pub(crate) format: UnknownsFormat,
}

/// How open questions are written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(crate) enum UnknownsFormat {
    /// For reading, 80 columns.
    #[default]
    Text,
    /// For programs.
    Json,
    /// A table to fill in and give to `answer --from`: all that is open, in the order a bench answers it.
    Csv,
}

#[derive(Debug, Args)]
pub(crate) struct Answer {
    /// A record file. It is changed.
    #[arg(value_name = "RECORD")]
    pub(crate) record: String,
    #[command(flatten)]
    pub(crate) choice: Choice,
    #[command(flatten)]
    pub(crate) on: OnBench,
    /// Take the answers from this table (CSV) with the columns `path` and `answer`: all of them, or none.
    #[arg(long, value_name = "ANSWERS")]
    pub(crate) from: Option<String>,
    /// Command that opens the footage where a question points to; `{time}` (seconds) and `{video}` are filled in.
    #[arg(long, value_name = "COMMAND", conflicts_with = "from")]
    pub(crate) player: Option<String>,
}

#[derive(Debug, Args)]
pub(crate) struct ChangesArguments {
    /// A record file; `-` is standard input.
    #[arg(value_name = "RECORD")]
    pub(crate) record: String,
    #[command(flatten)]
    pub(crate) choice: Choice,
    #[command(flatten)]
    pub(crate) joined: Joined,
    /// Score (7.0), class (B) or `pass` to reach at the low end with the cheapest set; exit code 3 if none is found.
    #[arg(long, value_name = "SCORE|CLASS|pass")]
    pub(crate) target: Option<String>,
    /// Which verdict they change.
    #[arg(long, value_enum, default_value_t)]
    pub(crate) verdict: VerdictOf,
    /// Costs of changes: a file of lines `COST, CHANGE ID`; what is not named costs 1.
    #[arg(long, value_name = "FILE", requires = "target")]
    pub(crate) costs: Option<String>,
    /// Show every change, not only the first.
    #[arg(long)]
    pub(crate) all: bool,
    /// How it is written.
    #[arg(long, value_enum, default_value_t)]
    pub(crate) format: PlainFormat,
}
