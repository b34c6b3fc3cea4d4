//! What can be asked of the command.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::exit::Exit;
use crate::problems::Form;
use crate::world::WIDTH;

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
#[derive(Debug, Default, Args)]
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

#[derive(Debug, Args)]
pub(crate) struct New {
    /// smartphone, slate tablet, laptop, cordless vacuum cleaner, washing machine, other.
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
    /// The same, one assessment a line.
    Jsonl,
    /// One row a criterion.
    Csv,
}

#[derive(Debug, Args)]
pub(crate) struct Report {
    /// Record files; `-` is standard input: a record, or one a line as JSON. A folder stands for all records (.yaml, .yml, .jsonl) below it, a pattern in
    /// quotes for what it matches. Several need --out and also give `index.html`, which sets them side by side.
    #[arg(required = true, value_name = "RECORD")]
    pub(crate) records: Vec<String>,
    #[command(flatten)]
    pub(crate) choice: Choice,
    #[command(flatten)]
    pub(crate) joined: Joined,
    #[command(flatten)]
    pub(crate) many: Many,
    /// Folder to write to. Left out: one form goes to standard output.
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
    /// Forms. Left out: html, md and json into a folder, md to standard output, html for several records.
    #[arg(long, value_enum, value_delimiter = ',', value_name = "FORMS")]
    pub(crate) to: Vec<ReportForm>,
    /// Render records with actions nobody has reviewed (basis `drafted`); the report says so in its head.
    #[arg(long)]
    pub(crate) draft: bool,
    /// Replace files in the folder that unfasten did not write.
    #[arg(long)]
    pub(crate) force: bool,
    /// What the HTML page has open when printed.
    #[arg(long, value_enum, default_value_t)]
    pub(crate) print: Print,
    /// What becomes of pictures the record names, in the HTML page.
    #[arg(long, value_enum, default_value_t)]
    pub(crate) photos: Photos,
    /// Folder of templates that take the place of the shipped ones (see `unfasten template`).
    #[arg(long, value_name = "DIR")]
    pub(crate) template: Option<PathBuf>,
    /// Render again whenever a file the report is made from is saved, and show the newest in a page of this machine that follows by itself.
    #[arg(long, requires = "out")]
    pub(crate) watch: bool,
}

/// What a page has open when printed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(crate) enum Print {
    /// The summary and the cautions.
    #[default]
    Summary,
    /// Parts and routes too.
    Routes,
    /// Everything.
    All,
}

/// What becomes of pictures.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(crate) enum Photos {
    /// Put into the page without their metadata; their total size is stated.
    #[default]
    Embed,
    /// Linked by the path the record gives.
    Link,
}

#[derive(Debug, Args)]
pub(crate) struct Template {
    /// Folder to write to.
    #[arg(value_name = "DIR")]
    pub(crate) folder: PathBuf,
    /// Replace files in the folder that unfasten did not write.
    #[arg(long)]
    pub(crate) force: bool,
}

/// Forms of a report.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, ValueEnum)]
pub(crate) enum ReportForm {
    /// One self-contained page.
    Html,
    /// Markdown.
    Md,
    /// The whole tree with every reason.
    Json,
    /// What to say on camera, with times to show.
    Script,
    /// The summary alone, Markdown.
    Summary,
    /// Text for a video description: chapters, tools, parts to buy, cautions.
    Video,
    /// A summary card, SVG of 1200 by 630.
    Card,
}

#[derive(Debug, Args)]
pub(crate) struct Verify {
    /// A report made by unfasten: HTML, Markdown or JSON.
    #[arg(value_name = "REPORT")]
    pub(crate) report: String,
    /// The record it was made from.
    #[arg(value_name = "RECORD")]
    pub(crate) record: String,
    /// Methods it was made by, where they are not shipped ones: ids or files.
    #[arg(value_name = "METHOD")]
    pub(crate) methods: Vec<String>,
    /// Readings it was made with, `SWITCH=OPTION`.
    #[arg(long = "reading", value_name = "SWITCH=OPTION")]
    pub(crate) readings: Vec<String>,
    #[command(flatten)]
    pub(crate) joined: Joined,
    /// Its layout is somebody's own: hold only its numbers against the record.
    #[arg(long)]
    pub(crate) own_layout: bool,
}

#[derive(Debug, Args)]
pub(crate) struct Route {
    /// A record file; `-` is standard input.
    #[arg(value_name = "RECORD")]
    pub(crate) record: String,
    #[command(flatten)]
    pub(crate) on: OnBench,
    /// Parts or roles; left out: every part.
    #[arg(value_name = "PART")]
    pub(crate) parts: Vec<String>,
    /// Count by the step rule of this method.
    #[arg(long = "method", short = 'm', value_name = "METHOD", default_value = "en-45554")]
    pub(crate) method: String,
    /// Counts with another option of the step rule, `SWITCH=OPTION` as in `steps` of a method file (criteria/STEPS.md); may
    /// be given several times.
    #[arg(long = "steps", value_name = "SWITCH=OPTION")]
    pub(crate) steps: Vec<String>,
    /// What the way is shortest in.
    #[arg(long, value_enum, value_name = "COST", default_value_t)]
    pub(crate) by: RouteBy,
    /// A table of times of your own (with `--by time`), as samples/README.md, "Tables of times", shows; what it lacks
    /// comes from the shipped one.
    #[arg(long, value_name = "FILE")]
    pub(crate) times: Option<String>,
    /// One opening for all the parts named.
    #[arg(long, conflicts_with = "any")]
    pub(crate) together: bool,
    /// Whichever of the parts named comes off first.
    #[arg(long)]
    pub(crate) any: bool,
    /// What stands in the way: steps saved if one thing were different, the largest saving first.
    #[arg(long)]
    pub(crate) why: bool,
    /// The way back: order, what to buy, care, checks, what was lost.
    #[arg(long)]
    pub(crate) back: bool,
    /// How routes are written.
    #[arg(long, value_enum, default_value_t)]
    pub(crate) format: RouteFormat,
}

/// What a way is shortest in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(crate) enum RouteBy {
    /// Counted steps.
    #[default]
    Steps,
    /// Hands-on time, estimated from a table.
    Time,
    /// Parts taken off.
    Parts,
}

/// How routes are written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(crate) enum RouteFormat {
    /// For reading, 80 columns.
    #[default]
    Text,
    /// For programs.
    Json,
    /// All ways to the parts that count as one drawing.
    Svg,
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
    /// Method files.
    Method,
    /// The output of `score --format json`.
    Assessment,
    /// The output of `route --format json`.
    Route,
}

#[derive(Debug, Args)]
pub(crate) struct About {
    /// A code such as `order-circle`, or a list of words: `tools`, `fasteners`, `hazards`, `roles`; left out: all codes.
    #[arg(value_name = "CODE")]
    pub(crate) code: Option<String>,
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
