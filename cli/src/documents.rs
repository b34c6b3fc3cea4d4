//! The JSON documents of the commands, as types: what is written and its schema are made from one and the same.

use schemars::JsonSchema;
use scoring::compare::{Agreement, Changes, Cheapest, Correction, FactHinge, Ranking, Short, SideBySide, Undecided};
use scoring::method::Standing;
use scoring::range::{Firmness, Guide};
use serde::Serialize;
use serde_json::Value;

use crate::arguments::SchemaOf;
use crate::both::Both;
use crate::commands::diff::marks::Changes as SheetsChanged;
use crate::commands::marks::{OnALine, Sheets};
use crate::problems::Problems;

/// What `unknowns` gives.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Unknowns {
    /// Version of this document.
    pub(crate) unfasten: u32,
    /// One for each method.
    pub(crate) unknowns: Vec<Asked>,
}

/// What to find out next for one method.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Asked {
    /// Method id.
    pub(crate) method: String,
    /// Its verdicts as things stand.
    pub(crate) both: Both,
    /// Questions and where their answers lead, of the full verdict.
    pub(crate) guide: Guide,
    /// What it hinges on, where that was asked.
    pub(crate) firmness: Option<Firm>,
}

/// What a verdict hinges on.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Firm {
    /// Rules, weights and readings.
    #[serde(flatten)]
    pub(crate) rules: Firmness,
    /// Facts of the record, each with what `score` says of the record with it changed.
    pub(crate) facts: Vec<FactHinge>,
}

/// What `changes` gives.
#[derive(Serialize, JsonSchema)]
pub(crate) struct ChangesOf<'c> {
    /// Version of this document.
    pub(crate) unfasten: u32,
    /// Verdicts as things stand, by method.
    pub(crate) both: &'c [Both],
    /// Which verdict ranks changes and is held against the target.
    pub(crate) verdict: &'static str,
    /// Of which verdict each effect is, in the order of `changes.methods`.
    pub(crate) verdicts: Vec<&'static str>,
    /// The changes.
    pub(crate) changes: &'c Changes,
    /// What is to be reached, as it was written.
    pub(crate) target: Option<&'c str>,
    /// How, by method.
    pub(crate) reached: &'c [Reached],
}

/// What reaches a target by one method.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Reached {
    /// Method id.
    pub(crate) method: String,
    /// The cheapest set found.
    pub(crate) cheapest: Option<Cheapest>,
    /// Where there is no set: what keeps the target out of reach.
    pub(crate) short: Option<Short>,
    #[serde(skip)]
    pub(crate) standing: Standing,
    /// The method says pass or fail and gives no points.
    #[serde(skip)]
    pub(crate) passes: bool,
    /// How far what helps most stays from the target, in words.
    #[serde(skip)]
    pub(crate) away: String,
}

/// What `compare` gives.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Comparison<'c> {
    /// Version of this document.
    pub(crate) unfasten: u32,
    /// Method id.
    pub(crate) method: &'c str,
    /// Its edition.
    pub(crate) edition: &'c str,
    /// Which verdict is compared.
    pub(crate) verdict: &'static str,
    /// Verdicts of each device, in the order of the names.
    pub(crate) both: Vec<&'c Both>,
    /// Devices are judged by different bench sheets.
    pub(crate) sheets_differ: bool,
    /// How they rank.
    pub(crate) ranking: &'c Ranking,
    /// Pairs whose order is open, and what would settle it; none is worked out for many devices.
    pub(crate) undecided: &'c [Undecided],
    /// Criterion by criterion.
    pub(crate) table: &'c SideBySide,
}

/// What `diff` gives.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Differences<'c> {
    /// Version of this document.
    pub(crate) unfasten: u32,
    /// Of which verdict each entry of `methods` is: `bench` or `full`.
    pub(crate) verdicts: Vec<&'static str>,
    /// Whether its rule binds the device, by the old record and by the new one: `yes`, `no`, `open`.
    pub(crate) binds: Vec<[&'static str; 2]>,
    /// What changed, and what it did.
    pub(crate) correction: &'c Correction,
}

/// What `diff --agreement` gives.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Agreements<'c> {
    /// Version of this document.
    pub(crate) unfasten: u32,
    /// Of which verdict each entry of `methods` is: `bench` or `full`.
    pub(crate) verdicts: Vec<&'static str>,
    /// Whether its rule binds the device, by the first record and by the second: `yes`, `no`, `open`.
    pub(crate) binds: Vec<[&'static str; 2]>,
    /// How far two people agree.
    pub(crate) agreement: &'c Agreement,
}

/// The schema of what a command reads or writes.
pub(crate) fn schema(of: SchemaOf) -> Value {
    use report::json::{DeviceLine, Devices, Routes, schema_of};
    match of {
        SchemaOf::Record => scoring::record::schema(),
        SchemaOf::Bench => scoring::record::sheet_schema(),
        SchemaOf::Method => scoring::method::schema(),
        SchemaOf::Score => schema_of::<Devices>("What `score` and `report` write as JSON"),
        SchemaOf::ScoreLine => schema_of::<DeviceLine>("A line of `score --format jsonl`"),
        SchemaOf::MarksDiff => schema_of::<SheetsChanged<'_>>("What `diff --marks` writes as JSON"),
        SchemaOf::Marks => schema_of::<Sheets<'_>>("What `score --marks` writes as JSON"),
        SchemaOf::MarksLine => schema_of::<OnALine>("A line of `score --marks --format jsonl`"),
        SchemaOf::Route => schema_of::<Routes<'_>>("What `route` writes as JSON"),
        SchemaOf::Unknowns => schema_of::<Unknowns>("What `unknowns` writes as JSON"),
        SchemaOf::Changes => schema_of::<ChangesOf<'_>>("What `changes` writes as JSON"),
        SchemaOf::Compare => schema_of::<Comparison<'_>>("What `compare` writes as JSON"),
        SchemaOf::Diff => schema_of::<Differences<'_>>("What `diff` writes as JSON"),
        SchemaOf::Agreement => schema_of::<Agreements<'_>>("What `diff --agreement` writes as JSON"),
        SchemaOf::Problems => schema_of::<Problems>("Problems as JSON, of any command"),
    }
}
