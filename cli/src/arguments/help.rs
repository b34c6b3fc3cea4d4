//! What the program knows: `methods`, `schema`, `about`, `completions`, `manual`.

use std::path::PathBuf;

use clap::{Args, Subcommand, ValueEnum};

#[derive(Debug, Args)]
pub(crate) struct Completions {
    /// Which shell.
    #[arg(value_enum, value_name = "SHELL")]
    pub(crate) shell: clap_complete::Shell,
}

#[derive(Debug, Args)]
pub(crate) struct Manual {
    /// Folder to write to.
    #[arg(value_name = "DIR")]
    pub(crate) folder: PathBuf,
    /// Replace files in the folder that unfasten did not write.
    #[arg(long)]
    pub(crate) force: bool,
}

#[derive(Debug, Args)]
#[command(args_conflicts_with_subcommands = true)]
pub(crate) struct Methods {
    /// A shipped method's id or a method file, explained in full. Left out: what ships.
    #[arg(value_name = "METHOD")]
    pub(crate) method: Option<String>,
    #[command(subcommand)]
    pub(crate) action: Option<MethodsAction>,
}

#[derive(Debug, Subcommand)]
pub(crate) enum MethodsAction {
    /// Lists problems of method files, each with its place and mend.
    Check {
        /// Method files; `-` is standard input.
        #[arg(required = true, value_name = "FILE")]
        files: Vec<String>,
        /// Warnings count as errors.
        #[arg(long)]
        strict: bool,
    },
}

#[derive(Debug, Args)]
pub(crate) struct Schema {
    /// Of what.
    #[arg(value_enum, value_name = "WHAT")]
    pub(crate) what: SchemaOf,
}

/// What has a schema.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum SchemaOf {
    /// Record files.
    Record,
    /// Bench sheets.
    Bench,
    /// Method files.
    Method,
    /// What `score --format json` and `report --to json` write.
    Score,
    /// A line of `score --format jsonl`.
    ScoreLine,
    /// What `score --marks --format json` writes.
    Marks,
    /// A line of `score --marks --format jsonl`.
    MarksLine,
    /// What `route --format json` writes.
    Route,
    /// What `unknowns --format json` writes.
    Unknowns,
    /// What `changes --format json` writes.
    Changes,
    /// What `compare --format json` writes.
    Compare,
    /// What `diff --format json` writes.
    Diff,
    /// What `diff --marks --format json` writes.
    MarksDiff,
    /// What `diff --agreement --format json` writes.
    Agreement,
    /// What `--problems json` makes of problems, in any command.
    Problems,
}

#[derive(Debug, Args)]
pub(crate) struct About {
    /// A code such as `order-circle`, or a list of words: `tools`, `fasteners`, `hazards`, `roles`; left out: all codes.
    #[arg(value_name = "CODE")]
    pub(crate) code: Option<String>,
}
