//! What templates receive: display strings only, nothing left to compute. Version [`VERSION`].
//!
//! Every text that comes from a record has been through [`crate::clean`]; none is escaped for a format yet.

use serde::Serialize;

/// Version of the view. It changes when a field is renamed, removed or changes its meaning; additions keep it.
pub const VERSION: u32 = 1;

/// A whole report.
#[derive(Clone, Debug, Serialize)]
pub struct View {
    /// Version of this view.
    pub unfasten: u32,
    /// Program and version.
    pub program: String,
    /// Maker and name of the device.
    pub title: String,
    /// Name of the record.
    pub record: String,
    /// Identity and circumstances: what, said.
    pub device: Vec<Pair>,
    /// One for each method, the headline first.
    pub assessments: Vec<Assessed>,
    /// One for each priority part of any of the methods.
    pub parts: Vec<Card>,
    /// Distinct reference routes, referred to by index.
    pub routes: Vec<Route>,
    /// Actions as logged.
    pub log: Vec<Logged>,
    /// The way back.
    pub back: WayBack,
    /// Remarks in favour.
    pub favour: Vec<Remark>,
    /// Remarks against.
    pub against: Vec<Remark>,
    /// The reviewer's own verdict; never mixed in.
    pub own_verdict: Option<String>,
    /// Hazards named in the record.
    pub cautions: Vec<Caution>,
    /// Whose word counts more than this report's.
    pub defers: String,
    /// What this report is not.
    pub status: String,
    /// Notes of the record, Markdown as written.
    pub notes: Option<String>,
    /// Pictures, by action or remark.
    pub photos: Vec<Picture>,
    /// Total size of embedded pictures, where there are any.
    pub photo_size: Option<String>,
    /// The record, line by line.
    pub listing: Vec<Line>,
    /// Compact data block for `verify`, JSON.
    pub data: String,
}

/// A name and what is said about it.
#[derive(Clone, Debug, Serialize)]
pub struct Pair {
    /// What.
    pub what: String,
    /// Said.
    pub said: String,
}

/// One method applied to the record.
#[derive(Clone, Debug, Serialize)]
pub struct Assessed {
    /// Anchor prefix, unique in the report.
    pub key: String,
    /// Method id.
    pub method: String,
    /// Title of the method.
    pub title: String,
    /// Edition.
    pub edition: String,
    /// Device.
    pub device: String,
    /// Low end as the method shows it.
    pub low: String,
    /// High end.
    pub high: String,
    /// Low end as a fraction; empty when nothing could be scored.
    pub exact_low: String,
    /// High end as a fraction.
    pub exact_high: String,
    /// Class at the low end.
    pub class_low: Option<String>,
    /// Class at the high end.
    pub class_high: Option<String>,
    /// `4.2 to 7.1`, `6.3`, `pass`, `not settled`.
    pub range: String,
    /// `of 10`, empty for verdicts.
    pub out_of: String,
    /// `class B`, `class D to B`, empty without classes.
    pub class: String,
    /// One value is left.
    pub settled: bool,
    /// Both ends are attained; false marks outer bounds.
    pub attained: bool,
    /// The reason in one sentence.
    pub reason: String,
    /// The score that headlines a record without support facts.
    pub headline: Option<Score>,
    /// Range bar of the total.
    pub bar: Option<Bar>,
    /// Sub-scores.
    pub sub_scores: Vec<Score>,
    /// What drags it down, most first.
    pub drags: Vec<Effect>,
    /// What holds it up, most first.
    pub holds: Vec<Effect>,
    /// The tree of criteria; also what the JSON output calls `root`.
    pub root: Node,
    /// The same nodes, flat, in reading order: those with a section of their own.
    pub sections: Vec<Section>,
    /// Priority parts against criteria.
    pub matrix: Matrix,
    /// Unknowns that bear on it, in record order.
    pub unknowns: Vec<Unknown>,
    /// Settled without being stated.
    pub assumed: Vec<Assumed>,
    /// Parts asked about.
    pub roles: Vec<RoleSaid>,
    /// Weakest certainty among the rules that took part, in words.
    pub weakest: String,
    /// Every route behind it is proved shortest.
    pub proved: bool,
    /// What the method is and is not, Markdown.
    pub about: String,
    /// Notes of the method, Markdown.
    pub method_notes: Vec<String>,
    /// Open readings and the option in force.
    pub switches: Vec<Switch>,
    /// The method read aloud.
    pub rules: Vec<Ruling>,
    /// SHA-256 over record, method, switches and program.
    pub fingerprint: String,
}

/// A score beside the total.
#[derive(Clone, Debug, Serialize)]
pub struct Score {
    /// Title.
    pub title: String,
    /// Range.
    pub range: String,
    /// Scale, `of 10`.
    pub out_of: String,
    /// Anchor of its because.
    pub anchor: String,
    /// Range bar.
    pub bar: Option<Bar>,
}

/// A range on a scale, in percent of its width.
#[derive(Clone, Debug, Serialize)]
pub struct Bar {
    /// Low end, percent with one decimal.
    pub from: String,
    /// High end.
    pub to: String,
    /// Width between them.
    pub width: String,
    /// Ends of the scale.
    pub scale: [String; 2],
    /// Text equivalent.
    pub text: String,
    /// The picture, SVG.
    pub svg: String,
}

/// A contribution lost or kept.
#[derive(Clone, Debug, Serialize)]
pub struct Effect {
    /// Criterion, and part where it is about one.
    pub what: String,
    /// What was read: `14 steps`.
    pub said: String,
    /// Points of the total: `0.31` or `0.31 to 0.45`; empty for verdicts.
    pub points: String,
    /// Anchor of its because.
    pub anchor: String,
}

/// A scored node with its because.
#[derive(Clone, Debug, Serialize)]
pub struct Node {
    /// Id in the assessment.
    pub id: String,
    /// Anchor, unique in the report.
    pub anchor: String,
    /// Title.
    pub title: String,
    /// Part it is about.
    pub role: Option<String>,
    /// `product-related` or `support-related`.
    pub group: Option<&'static str>,
    /// How it is made: `weighted mean`, or the measure read.
    pub kind: String,
    /// Weight in the node above.
    pub weight: String,
    /// Range as shown.
    pub range: String,
    /// Low end as shown; `None`: left out.
    pub low: Option<String>,
    /// High end.
    pub high: Option<String>,
    /// Low end as a fraction.
    pub exact_low: Option<String>,
    /// High end.
    pub exact_high: Option<String>,
    /// Both ends are attained; false marks outer bounds.
    pub attained: bool,
    /// The rule.
    pub rule: Rule,
    /// One entry where both ends of the verdict rest on the same, else two.
    pub ends: Vec<End>,
    /// Numbers of the unknowns that bear on it.
    pub unknowns: Vec<usize>,
    /// How the children add up, for means and sums.
    pub sum: Option<Sum>,
    /// The same in a line: `(2 × 10.00 + 1 × 5.00) / 3 = 8.33`; empty for leaves.
    pub how: String,
    /// How what is read becomes points: `up to 2: 10; up to 4: 8; more: 0`; empty for groups.
    pub table: String,
    /// Children.
    pub children: Vec<Node>,
}

/// A rule and where it comes from.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Rule {
    /// In plain words.
    pub text: String,
    /// Clause; may be empty.
    pub clause: String,
    /// Source.
    pub source: String,
    /// Certainty, one of the vocabulary.
    pub certainty: String,
    /// What may be said about it.
    pub phrase: String,
    /// The open reading it depends on.
    pub switch: Option<String>,
}

/// A node at one end of the verdict, or at both.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct End {
    /// `low`, `high` or `both`.
    pub end: &'static str,
    /// Points as shown; `None`: left out.
    pub points: Option<String>,
    /// Points as a fraction.
    pub exact: Option<String>,
    /// What was read, in words.
    pub said: String,
    /// Note of the row that gave the points.
    pub note: Option<String>,
    /// How far it is to the next bound, in words.
    pub margin: Option<String>,
    /// Which child decided, for the lowest, the highest and limits.
    pub decided: Option<String>,
    /// Places of the record that decided it.
    pub evidence: Vec<Evidence>,
    /// The evidence stands at the same places as that of the low end.
    pub again: bool,
    /// Index of the route it was read on.
    pub route: Option<usize>,
}

/// A place of the record that decided something.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Evidence {
    /// Data path.
    pub path: String,
    /// `file:line:column`.
    pub place: String,
    /// Line, from 1.
    pub line: u32,
    /// Column in characters, from 1.
    pub column: u32,
    /// Anchor of the line in the listing; `None` when it stands in another file.
    pub anchor: Option<String>,
    /// The line of the record, shortened.
    pub excerpt: String,
    /// What it says, in words.
    pub text: String,
    /// Footage.
    pub at: Option<String>,
    /// Where the fact comes from.
    pub basis: String,
    /// Source, where stated.
    pub source: Option<String>,
}

/// Children of a mean or a sum: shares that add up as shown.
#[derive(Clone, Debug, Serialize)]
pub struct Sum {
    /// Heads of the number columns: `both ends`, or `low end` and `high end`.
    pub ends: Vec<&'static str>,
    /// Rows.
    pub rows: Vec<SumRow>,
    /// What rounding of the rows leaves over; `None` where nothing is left.
    pub rounding: Option<Vec<String>>,
    /// Totals.
    pub total: Vec<String>,
    /// The total as the method shows it, at the root.
    pub shown: Option<Vec<String>>,
}

/// One child in a sum.
#[derive(Clone, Debug, Serialize)]
pub struct SumRow {
    /// Title.
    pub title: String,
    /// Anchor of its because.
    pub anchor: String,
    /// Weight.
    pub weight: String,
    /// Points per end.
    pub points: Vec<String>,
    /// Share of the total per end.
    pub share: Vec<String>,
}

/// A node with a section of its own.
#[derive(Clone, Debug, Serialize)]
pub struct Section {
    /// Depth, 1 for the root.
    pub level: usize,
    /// The node, without its children.
    pub node: Node,
    /// Children told here in a line each: groups per part whose criteria are under `told`.
    pub lines: Vec<Node>,
    /// Criteria told here.
    pub told: Vec<Told>,
}

/// Leaves that share one rule, so that it is told once.
#[derive(Clone, Debug, Serialize)]
pub struct Told {
    /// Title; empty where it is the section's own.
    pub title: String,
    /// The rule; `None` where it is the section's own.
    pub rule: Option<Rule>,
    /// What may be said about the rule.
    pub phrase: String,
    /// The measure.
    pub kind: String,
    /// How what is read becomes points.
    pub table: String,
    /// Leaves, one a part; those with the same value and the same evidence together.
    pub groups: Vec<Vec<Node>>,
    /// Parts left out, since the device has none: role, anchor.
    pub left_out: Vec<[String; 2]>,
}

/// Priority parts against criteria.
#[derive(Clone, Debug, Serialize)]
pub struct Matrix {
    /// Criteria that are scored per part.
    pub columns: Vec<String>,
    /// One row per part.
    pub rows: Vec<MatrixRow>,
}

/// A part in the matrix.
#[derive(Clone, Debug, Serialize)]
pub struct MatrixRow {
    /// Role.
    pub role: String,
    /// Weight; empty where it has none.
    pub weight: String,
    /// One cell per column.
    pub cells: Vec<Option<MatrixCell>>,
}

/// A cell of the matrix.
#[derive(Clone, Debug, Serialize)]
pub struct MatrixCell {
    /// Range as shown.
    pub range: String,
    /// Anchor of its because.
    pub anchor: String,
    /// What was read: `9 steps`.
    pub said: String,
    /// Range bar: percent of the best points at the low and the high end.
    pub fill: [String; 2],
}

/// A question nobody answered.
#[derive(Clone, Debug, Serialize)]
pub struct Unknown {
    /// Number in this assessment, from 1.
    pub number: usize,
    /// Data path.
    pub path: String,
    /// `file:line:column`.
    pub place: String,
    /// Anchor of the line.
    pub anchor: Option<String>,
    /// The question.
    pub question: String,
    /// Possible answers.
    pub answers: Vec<String>,
    /// Answer at the low end.
    pub low: String,
    /// Answer at the high end.
    pub high: String,
}

/// Something settled without being stated.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Assumed {
    /// Data path.
    pub path: String,
    /// `file:line:column`.
    pub place: String,
    /// Anchor of the line.
    pub anchor: Option<String>,
    /// In words.
    pub text: String,
}

/// A role a method asks about.
#[derive(Clone, Debug, Serialize)]
pub struct RoleSaid {
    /// Role.
    pub role: String,
    /// Weight; empty where it has none.
    pub weight: String,
    /// Parts that fill it, or why there are none.
    pub parts: String,
}

/// An open reading and the option in force.
#[derive(Clone, Debug, Serialize)]
pub struct Switch {
    /// Id.
    pub id: String,
    /// What is open.
    pub text: String,
    /// Option in force, in words.
    pub chosen: String,
    /// Other options.
    pub others: Vec<String>,
    /// Source and certainty of the choice.
    pub source: String,
}

/// One thing a method says.
#[derive(Clone, Debug, Serialize)]
pub struct Ruling {
    /// Depth.
    pub level: usize,
    /// Heading.
    pub heading: String,
    /// Plain words.
    pub text: String,
    /// What, how much, and certainty or source where they differ.
    pub rows: Vec<[String; 3]>,
    /// Clause, source and certainty in one line.
    pub source: String,
}

/// A priority part.
#[derive(Clone, Debug, Serialize)]
pub struct Card {
    /// Anchor.
    pub anchor: String,
    /// Role.
    pub role: String,
    /// Part that fills it; empty when there is none.
    pub part: String,
    /// Why there is no part, or what stands in its way; empty otherwise.
    pub state: String,
    /// Where it is declared.
    pub anchor_line: Option<String>,
    /// Results that are about this part: criterion, range, anchor, by method.
    pub scores: Vec<CardScores>,
    /// Routes and where they are used.
    pub routes: Vec<CardRoute>,
    /// Tools on the routes.
    pub tools: Vec<String>,
    /// Fasteners on the routes.
    pub fasteners: Vec<String>,
    /// Other parts that come off.
    pub along: Vec<String>,
    /// Parts destroyed.
    pub damages: Vec<String>,
    /// Hazards on the routes.
    pub hazards: Vec<Caution>,
    /// To buy for the way back.
    pub buy: Vec<String>,
    /// To check on the way back.
    pub check: Vec<String>,
    /// Spare part promises: what, said.
    pub spare: Vec<Pair>,
    /// Coded to the device.
    pub paired: Option<String>,
}

/// What one method says about a part.
#[derive(Clone, Debug, Serialize)]
pub struct CardScores {
    /// Title of the method.
    pub method: String,
    /// Weight among the priority parts; empty where it has none.
    pub weight: String,
    /// Rows: criterion, range, what was read, anchor.
    pub rows: Vec<[String; 4]>,
}

/// A route of a part and the verdict ends that rest on it.
#[derive(Clone, Debug, Serialize)]
pub struct CardRoute {
    /// Index into the routes.
    pub route: usize,
    /// `both ends`, `low end of …`.
    pub used: String,
}

/// A reference route as a ledger.
#[derive(Clone, Debug, Serialize)]
pub struct Route {
    /// Anchor.
    pub anchor: String,
    /// Target part.
    pub target: String,
    /// `9 steps`, `can't be reached`.
    pub steps: String,
    /// Counted steps.
    pub count: u32,
    /// `proved shortest`, `best found, at least 7`.
    pub certificate: String,
    /// Reached without damage, only by damage, or not at all.
    pub reach: &'static str,
    /// Which ends of which assessments rest on it.
    pub used: Vec<String>,
    /// Lines.
    pub lines: Vec<LedgerRow>,
    /// Step chart, SVG; empty for routes without lines.
    pub chart: String,
    /// Text equivalent of the chart.
    pub chart_text: String,
}

/// One operation on a route.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LedgerRow {
    /// Number on the route, from 1.
    pub number: usize,
    /// Id of the action.
    pub action: String,
    /// What is done; empty on further operations of an action.
    pub what: String,
    /// Tools with their settings, `hands` for none.
    pub tools: String,
    /// The same without settings: what is held.
    pub hold: String,
    /// Fasteners loosened.
    pub loosens: String,
    /// Footage.
    pub at: Option<String>,
    /// Hazards.
    pub hazards: String,
    /// Makes the device safe to work on.
    pub makes_safe: bool,
    /// Steps counted here.
    pub counted: u32,
    /// Running total.
    pub total: u32,
    /// Why it counts, or why not.
    pub why: String,
    /// `file:line:column`; empty where nobody wrote it down.
    pub place: String,
    /// Line in the record.
    pub line: Option<u32>,
    /// Anchor of the line.
    pub anchor: Option<String>,
}

/// An action as logged.
#[derive(Clone, Debug, Serialize)]
pub struct Logged {
    /// Number, from 1.
    pub number: usize,
    /// Id.
    pub id: String,
    /// What was done: `free back glass`.
    pub what: String,
    /// Footage.
    pub at: Option<String>,
    /// Tools as written.
    pub with: String,
    /// Fasteners.
    pub loosens: String,
    /// What must be off or done first.
    pub after: String,
    /// `done`, `failed`, `not attempted`.
    pub outcome: &'static str,
    /// Why it failed or was not tried.
    pub because: Option<String>,
    /// Parts destroyed.
    pub damages: Vec<String>,
    /// Hazards.
    pub hazards: Vec<String>,
    /// Makes the device safe to work on.
    pub makes_safe: bool,
    /// Minutes nobody works.
    pub wait: Option<String>,
    /// Note.
    pub note: Option<String>,
    /// Line in the record.
    pub line: u32,
    /// Anchor of the line.
    pub anchor: Option<String>,
    /// Indices of pictures.
    pub photos: Vec<usize>,
}

/// The way back.
#[derive(Clone, Debug, Serialize)]
pub struct WayBack {
    /// Whether it was put back, powers on, was tested.
    pub put_back: Vec<Pair>,
    /// To buy.
    pub buy: Vec<String>,
    /// What was destroyed.
    pub lost: Vec<String>,
    /// Steps back that say something, last removal first.
    pub steps: Vec<Refit>,
    /// Actions that exist only on the way back.
    pub only: Vec<Logged>,
}

/// One step of the way back.
#[derive(Clone, Debug, Serialize)]
pub struct Refit {
    /// What goes back.
    pub what: String,
    /// To buy.
    pub buy: Vec<String>,
    /// To take care of.
    pub care: Vec<String>,
    /// To check.
    pub check: Vec<String>,
    /// What happens if skipped.
    pub if_skipped: Vec<String>,
    /// Anchor of the line.
    pub anchor: Option<String>,
    /// Line in the record.
    pub line: u32,
}

/// A remark.
#[derive(Clone, Debug, Serialize)]
pub struct Remark {
    /// Text.
    pub text: String,
    /// Footage.
    pub at: Option<String>,
    /// Line.
    pub line: u32,
    /// Anchor of the line.
    pub anchor: Option<String>,
    /// Indices of pictures.
    pub photos: Vec<usize>,
}

/// A hazard and the usual caution.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Caution {
    /// Hazard.
    pub hazard: String,
    /// The usual caution; empty where none is known.
    pub caution: String,
    /// Where it arises.
    pub at: Vec<String>,
}

/// A picture.
#[derive(Clone, Debug, Serialize)]
pub struct Picture {
    /// File as the record names it.
    pub file: String,
    /// Text equivalent.
    pub alt: String,
    /// Address to show it from: a relative path or a data address; empty when missing.
    pub source: String,
    /// What to say when it is not shown.
    pub missing: Option<String>,
    /// What it belongs to.
    pub of: String,
}

/// A line of the record.
#[derive(Clone, Debug, Serialize)]
pub struct Line {
    /// Number, from 1.
    pub number: usize,
    /// Text.
    pub text: String,
}
