//! Ways to parts: `route`.

use clap::{Args, ValueEnum};

use super::OnBench;

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
