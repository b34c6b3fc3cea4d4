//! What can be asked of the command; one file for commands that belong together.

mod begin;
mod beside;
mod help;
mod next;
mod publish;
mod route;
mod shared;
mod verdicts;

use std::path::PathBuf;

use clap::{Parser, Subcommand};

use crate::exit::Exit;
use crate::problems::Form;
use crate::world::WIDTH;

pub(crate) use begin::{Draft, DraftForm, New};
pub(crate) use beside::{Compare, CompareFormat, Diff, NoteFormat};
pub(crate) use help::{About, Completions, Manual, Methods, MethodsAction, Schema, SchemaOf};
pub(crate) use next::{Answer, ChangesArguments, Unknowns, UnknownsFormat};
pub(crate) use publish::{Photos, Print, Report, ReportForm, Template, Verify};
pub(crate) use route::{Route, RouteBy, RouteFormat};
pub(crate) use shared::{Choice, Joined, Many, OnBench, PlainFormat, VerdictOf};
pub(crate) use verdicts::{Check, Score, ScoreFormat};

/// From the record of a device taken apart to a repairability verdict that can be defended.
#[derive(Debug, Parser)]
#[command(name = "unfasten", version, max_term_width = WIDTH, after_help = Exit::HELP)]
pub(crate) struct Arguments {
    /// How problems with files are shown.
    #[arg(long, global = true, value_enum, value_name = "FORM", default_value_t)]
    pub(crate) problems: Form,
    /// The folder below which files that other files name (`extends`) are read. Left out: that of the file named here.
    #[arg(long, global = true, value_name = "DIR")]
    pub(crate) base: Option<PathBuf>,
    /// Lays JSON out for people, indented; left out: compact.
    #[arg(long, global = true)]
    pub(crate) pretty: bool,
    #[command(subcommand)]
    pub(crate) command: Command,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Writes a commented record to fill in, asking for what the methods read.
    New(New),
    /// Drafts a record from captions, notes or labels, by word lists; nothing is sent anywhere.
    Draft(Draft),
    /// Lists problems of records, each with its place and mend.
    Check(Check),
    /// Works out verdicts.
    Score(Score),
    /// Renders a report to publish.
    Report(Report),
    /// Recomputes a report and says whether its numbers follow; exit code 3 if not.
    Verify(Verify),
    /// Writes the shipped report templates out, to change them.
    Template(Template),
    /// Shows the shortest way to each part, counted line by line.
    Route(Route),
    /// Lists what to find out next, and where each answer leads.
    Unknowns(Unknowns),
    /// Asks what is open, one question at a time, and writes each answer into the record, every other byte as it was.
    Answer(Answer),
    /// Lists changes to a design or a promise by what they buy, and the cheapest set that reaches a target.
    Changes(ChangesArguments),
    /// Sets devices side by side and ranks them as far as it goes.
    Compare(Compare),
    /// Tells what changed between two records and what each change did to the verdict.
    Diff(Diff),
    /// Lists the methods that ship, explains one, or checks method files.
    Methods(Methods),
    /// Prints a JSON Schema (2020-12).
    Schema(Schema),
    /// Explains a problem by its code; lists the words of the trade.
    About(About),
    /// Prints a script that lets a shell complete commands and options.
    Completions(Completions),
    /// Writes the manual pages (for `man`), one a command.
    Manual(Manual),
}
