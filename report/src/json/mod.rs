//! JSON of documented, versioned shape: `{"unfasten": 1, "assessments": [...]}` and `{"unfasten": 1, "routes": [...]}`.

mod schema;
mod ways;

use serde::Serialize;

pub use schema::{routes_schema, schema};
pub use ways::{Destroying, Order, Saving, Time, Undone, Untaken};

use scoring::assess::ledger::LedgerLine;
use scoring::record::Timing;
use scoring::record::complete::open_count;

use crate::clean::line;
use crate::view::View;
use crate::view::types::{Assessed, Node, Switch, Unknown};

/// Version of both shapes.
pub const VERSION: u32 = 1;

#[derive(Serialize)]
struct Assessments<'a> {
    unfasten: u32,
    assessments: Vec<Assessment<'a>>,
}

#[derive(Serialize)]
struct Assessment<'a> {
    method: &'a str,
    edition: &'a str,
    device: &'a str,
    low: &'a str,
    high: &'a str,
    exact_low: Option<&'a str>,
    exact_high: Option<&'a str>,
    class_low: &'a Option<String>,
    class_high: &'a Option<String>,
    bench: Option<Bench<'a>>,
    sheet: &'a Option<String>,
    without_sheet: &'a Option<String>,
    attained: bool,
    attained_low: bool,
    attained_high: bool,
    reached_low: &'a Option<String>,
    reached_high: &'a Option<String>,
    proved: bool,
    weakest: &'a str,
    fingerprint: &'a str,
    supplied_from: Option<&'a str>,
    binds: &'a str,
    rests_on: &'a [String],
    unknowns: &'a [Unknown],
    switches: &'a [Switch],
    root: &'a Node,
}

/// The bench verdict.
#[derive(Serialize)]
struct Bench<'a> {
    range: &'a str,
    unknowns: usize,
    attained: bool,
    bounds: &'a str,
    without_sheet: &'a Option<String>,
}

/// The assessments of several reports, with their whole trees. Ends in a line break.
pub fn assessments(views: &[View]) -> String {
    let assessments = views.iter().flat_map(|v| &v.assessments).map(assessment).collect();
    print(&Assessments { unfasten: VERSION, assessments })
}

/// What a document of assessments begins with when it is written piece by piece; there is at least one [`item`].
pub const START: &str = "{\n  \"unfasten\": 1,\n  \"assessments\": [\n";
/// What stands between two items.
pub const BETWEEN: &str = ",\n";
/// What it ends with.
pub const END: &str = "\n  ]\n}\n";

/// One assessment of a document written piece by piece.
pub fn item(assessed: &Assessed) -> String {
    let text = serde_json::to_string_pretty(&assessment(assessed)).unwrap_or_default();
    // Texts hold no line breaks, so every line is one of the layout.
    let lines: Vec<String> = text.lines().map(|l| format!("    {l}")).collect();
    lines.join("\n")
}

#[derive(Serialize)]
struct OnALine<'a> {
    unfasten: u32,
    record: &'a str,
    #[serde(flatten)]
    assessment: Assessment<'a>,
}

/// One assessment on a line of its own, ended by a line feed: an element of `assessments` with the version and the name
/// of the record before it.
pub fn line_of(record: &str, assessed: &Assessed) -> String {
    let line = OnALine { unfasten: VERSION, record, assessment: assessment(assessed) };
    serde_json::to_string(&line).unwrap_or_default() + "\n"
}

fn assessment(a: &Assessed) -> Assessment<'_> {
    let there = |text: &'_ String| !text.is_empty();
    Assessment {
        method: &a.method,
        edition: &a.edition,
        device: &a.device,
        low: &a.low,
        high: &a.high,
        exact_low: Some(&a.exact_low).filter(|t| there(t)).map(String::as_str),
        exact_high: Some(&a.exact_high).filter(|t| there(t)).map(String::as_str),
        class_low: &a.class_low,
        class_high: &a.class_high,
        bench: a.headline.as_ref().map(|b| Bench {
            range: &b.range,
            unknowns: b.unknowns,
            attained: b.attained,
            bounds: &b.bounds,
            without_sheet: &b.without,
        }),
        sheet: &a.sheet,
        without_sheet: &a.without,
        attained: a.attained,
        attained_low: a.attained_low,
        attained_high: a.attained_high,
        reached_low: &a.reached_low,
        reached_high: &a.reached_high,
        proved: a.proved,
        weakest: &a.weakest,
        fingerprint: &a.fingerprint,
        supplied_from: Some(&a.supplied_from).filter(|t| there(t)).map(String::as_str),
        binds: &a.binds,
        rests_on: &a.rests_on,
        unknowns: &a.unknowns,
        switches: &a.switches,
        root: &a.root,
    }
}

/// A route as `route --format json` gives it.
#[derive(Clone, Debug, Serialize)]
pub struct Route {
    /// Target part; several are joined by ` and ` or ` or `.
    pub target: String,
    /// The parts one by one.
    pub parts: Vec<String>,
    /// Any of the parts is enough.
    pub any: bool,
    /// What it is shortest in: `steps`, `time` or `parts`.
    pub by: &'static str,
    /// Least and greatest cost where steps are not the cost: nominal milliseconds, or parts.
    pub cost: Option<[u64; 2]>,
    /// How long it takes, with `by` `time`.
    pub time: Option<Time>,
    /// Fewest steps over all completions; `None`: can't be reached.
    pub steps_low: Option<u32>,
    /// Most steps over all completions; `None`: can't be reached in one of them.
    pub steps_high: Option<u32>,
    /// Any number more than the most: nobody wrote down how much work it is.
    pub steps_open: bool,
    /// `proved`, or `at least`.
    pub certificate: &'static str,
    /// No route counts fewer steps than this.
    pub bound: u32,
    /// Ids of the actions in order.
    pub actions: Vec<String>,
    /// One entry for each operation.
    pub ledger: Vec<Line>,
    /// The order of the log, counted up to the target.
    pub performed: Option<Order>,
    /// The maker's own route, counted up to the target.
    pub official: Option<Order>,
    /// A shorter way that destroys something; never scored.
    pub destructive: Option<Destroying>,
    /// Ways that failed or nobody tried.
    pub untaken: Vec<Untaken>,
    /// What stands in the way, the largest saving first; `null`: not asked.
    pub in_the_way: Option<Vec<Saving>>,
    /// The way back; `null`: not asked.
    pub back: Option<Vec<Undone>>,
}

/// An operation on a route.
#[derive(Clone, Debug, Serialize)]
pub struct Line {
    /// Id of the action.
    pub action: String,
    /// What is done; empty on further operations of an action.
    pub what: String,
    /// Tools, `hands` for none.
    pub tools: String,
    /// Fasteners loosened.
    pub loosens: Vec<String>,
    /// Footage: seconds from and to.
    pub at: Option<[u32; 2]>,
    /// How well that is known: `as written`, `about`, `within`.
    pub at_known: Option<&'static str>,
    /// Hazards.
    pub hazards: Vec<String>,
    /// Parts this destroys.
    pub destroys: Vec<String>,
    /// Makes the device safe to work on.
    pub makes_safe: bool,
    /// Steps counted here.
    pub counted: u32,
    /// Running total.
    pub total: u32,
    /// Why it counts.
    pub why: Vec<&'static str>,
    /// A change of tool that costs nothing because a step had ended.
    pub coincides: bool,
}

impl Route {
    /// A route from its ledger. `steps` are the fewest and the most over all completions, `bound` is the certificate.
    pub fn new(target: &str, steps: [Option<u32>; 2], bound: u32, lines: &[LedgerLine]) -> Self {
        let mut actions: Vec<String> = lines.iter().map(|l| line(&l.action)).collect();
        actions.dedup();
        let counted = lines.last().map_or(0, |l| l.total);
        let ledger = lines
            .iter()
            .map(|l| Line {
                action: line(&l.action),
                what: line(&l.what),
                tools: line(&l.tools),
                loosens: l.loosens.iter().map(|t| line(t)).collect(),
                at: l.at.map(|at| [at.from, at.to]),
                at_known: l.at.map(|at| match at.timing {
                    Timing::Seen => "as written",
                    Timing::About => "about",
                    Timing::Within => "within",
                }),
                hazards: l.hazards.iter().map(|t| line(t)).collect(),
                destroys: l.destroys.iter().map(|t| line(t)).collect(),
                makes_safe: l.makes_safe,
                counted: l.counted,
                total: l.total,
                why: l.why.clone(),
                coincides: l.coincides,
            })
            .collect();
        let certificate = if open_count(bound).0 >= counted { "proved" } else { "at least" };
        Self {
            target: line(target),
            parts: vec![line(target)],
            any: false,
            by: "steps",
            cost: None,
            time: None,
            steps_low: steps[0].map(|n| open_count(n).0),
            steps_high: steps[1].map(|n| open_count(n).0),
            steps_open: steps.iter().flatten().any(|n| open_count(*n).1),
            certificate,
            bound: open_count(bound).0,
            actions,
            ledger,
            performed: None,
            official: None,
            destructive: None,
            untaken: Vec::new(),
            in_the_way: None,
            back: None,
        }
    }
}

#[derive(Serialize)]
struct Routes<'a> {
    unfasten: u32,
    routes: &'a [Route],
}

/// Routes. Ends in a line break.
pub fn routes(routes: &[Route]) -> String {
    print(&Routes { unfasten: VERSION, routes })
}

fn print(value: &impl Serialize) -> String {
    // Nothing here can fail to serialise: no maps with other keys than strings, no floats.
    let mut out = serde_json::to_string_pretty(value).unwrap_or_default();
    out.push('\n');
    out
}
