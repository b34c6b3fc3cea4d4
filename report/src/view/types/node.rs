//! The tree of criteria: nodes with their rules, ends, evidence and sums.

use serde::Serialize;

/// A scored node with its because.
#[derive(Clone, Debug, Serialize)]
pub struct ReasonedNode {
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
    /// The low end: some completion that was looked at has it.
    pub attained_low: bool,
    /// The high end likewise.
    pub attained_high: bool,
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
    /// A requirement on a part the device may not have.
    #[serde(skip)]
    pub perhaps: bool,
    /// It reads a fact of the whole device, whatever part it is asked for.
    #[serde(skip)]
    pub of_device: bool,
    /// Of its children the best counts.
    #[serde(skip)]
    pub either: bool,
    /// `yes`, `no` or `open` for requirements; empty for points and what is left out.
    #[serde(skip)]
    pub form: &'static str,
    /// Children.
    pub children: Vec<ReasonedNode>,
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
    /// The end of the verdict is one that a completion has; false: a bound, and what stands here is of a completion that was
    /// tried.
    pub attained: bool,
    /// What it is called: `low end`, `tried near the low end`; empty where the same holds at both and both are attained.
    pub label: &'static str,
    /// Points as shown; `None`: left out.
    pub points: Option<String>,
    /// Points as a fraction.
    pub exact: Option<String>,
    /// What was read, in words.
    pub said: String,
    /// Note of the row that gave the points.
    pub note: Option<String>,
    /// How far it is to the next bounds, in words: `2 steps fewer would give 8.00; 1 more, 4.00`.
    pub margin: Option<String>,
    /// The same in figures, the better row first.
    pub margins: Vec<Margin>,
    /// Which child decided, for the lowest, the highest and limits.
    pub decided: Option<String>,
    /// Places of the record that decided it.
    pub evidence: Vec<Evidence>,
    /// The evidence stands at the same places as that of the low end.
    pub again: bool,
    /// Index of the route it was read on.
    pub route: Option<usize>,
    /// The ledger of that route has every place of the evidence, with its time; there are several.
    pub in_ledger: bool,
}

/// How far a value is from the row beside it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Margin {
    /// By how much the value would have to change.
    pub by: String,
    /// Its unit.
    pub unit: &'static str,
    /// `more`, `less` or `fewer`.
    pub way: &'static str,
    /// Points there as shown.
    pub points: String,
    /// Points there are higher.
    pub better: bool,
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
