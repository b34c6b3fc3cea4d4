//! What is published: `report`, `verify`, `template`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::{Choice, Joined, Many};

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
    /// The record as it stood when its report was last published: page and Markdown say what was corrected since, by whom, and
    /// what it did to each verdict.
    #[arg(long, value_name = "OLD")]
    pub(crate) before: Option<String>,
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
    /// The earlier record, where the report says what was corrected since.
    #[arg(long, value_name = "OLD")]
    pub(crate) before: Option<String>,
    #[command(flatten)]
    pub(crate) joined: Joined,
    /// Its layout is somebody's own: hold only its numbers against the record.
    #[arg(long)]
    pub(crate) own_layout: bool,
}
