//! What several commands take.

use clap::{Args, ValueEnum};

/// Many records at once.
#[derive(Clone, Copy, Debug, Args)]
pub(crate) struct Many {
    /// Threads to work on. Left out: as many as the machine runs at once. Results don't depend on it.
    #[arg(long, value_name = "N")]
    pub(crate) threads: Option<std::num::NonZeroUsize>,
}

/// Which methods.
#[derive(Debug, Args)]
pub(crate) struct Choice {
    /// A shipped method's id or a method file; may be given several times. Left out: the default verdict (en-45554)
    /// and every shipped method made for such a device.
    #[arg(long = "method", short = 'm', value_name = "METHOD")]
    pub(crate) methods: Vec<String>,
    /// Takes another reading of an open rule, `SWITCH=OPTION` (see `unfasten methods METHOD`).
    #[arg(long = "reading", value_name = "SWITCH=OPTION")]
    pub(crate) readings: Vec<String>,
}

/// Promises kept in tables.
#[derive(Debug, Args)]
pub(crate) struct Joined {
    /// A table (CSV) of support facts, joined to records by maker and model; may be given several times.
    #[arg(long = "support", value_name = "TABLE")]
    pub(crate) support: Vec<String>,
    #[command(flatten)]
    pub(crate) on: OnBench,
}

/// What a bench takes for granted.
#[derive(Clone, Debug, Default, Args)]
pub(crate) struct OnBench {
    /// A bench sheet: place, skill, tools and kinds it takes for granted where the record leaves them open. Verdicts are
    /// given with it and without.
    #[arg(long, value_name = "FILE")]
    pub(crate) bench: Option<String>,
}

/// Which of a method's two verdicts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(crate) enum VerdictOf {
    /// With what the maker promises.
    #[default]
    Full,
    /// What the bench shows alone.
    Bench,
}

impl VerdictOf {
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Full => "full",
            Self::Bench => "bench",
        }
    }
}

/// Text or JSON.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(crate) enum PlainFormat {
    /// For reading, 80 columns.
    #[default]
    Text,
    /// For programs.
    Json,
}
