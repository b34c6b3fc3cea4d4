//! What stands about one device: its verdicts with their trees, and once each what those refer to.
//!
//! A field that has nothing to say is left out.

mod make;
mod tree;
mod ways;

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use tree::{Evidence, Rule, TreeNode};
use ways::{Action, ReferenceWay};

/// A device by its record, and all its verdicts. Rules, evidence, actions and routes stand once; others refer to them by their
/// place in these lists, from 0.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Device {
    /// The record as it was named.
    pub record: String,
    /// Maker and name.
    pub device: String,
    /// Product category.
    pub category: String,
    /// The bench sheet that supplied what the record leaves open.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sheet: Option<String>,
    /// The verdict that leads.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub headline: Option<Headline>,
    /// Its reason in one sentence.
    pub reason: String,
    /// Points it lacks to the best, by criterion and by part; each list adds up to all of them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lost: Option<Losses>,
    /// What the leading verdict, before limits, would gain if one cause alone were as good as can be, what gains most first.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub causes: Vec<Cause>,
    /// One for each method, that which leads first.
    pub assessments: Vec<Assessment>,
    /// Rules, with what they read and how it becomes points.
    pub rules: Vec<Rule>,
    /// Places of the record that decided something.
    pub evidence: Vec<Evidence>,
    /// Actions on routes.
    pub actions: Vec<Action>,
    /// Reference routes.
    pub routes: Vec<ReferenceWay>,
    /// Program and version.
    pub program: String,
    /// What this is not.
    pub status: String,
}

/// The verdict that leads.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Headline {
    /// Its method.
    pub method: String,
    /// `bench`: what the bench shows alone; `full`: with the maker's promises; `only`: the method makes no difference.
    pub verdict: &'static str,
    /// In words: `5.1 to 6.0`.
    pub range: String,
    /// Its scale: `of 10`.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub out_of: String,
    /// Both ends are attained; false marks outer bounds.
    pub attained: bool,
    /// The same without the bench sheet.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub without_sheet: Option<String>,
}

/// Lost points.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Losses {
    /// By criterion.
    pub criteria: Vec<Loss>,
    /// By part.
    pub parts: Vec<Loss>,
}

/// Points lost on one thing.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Loss {
    /// Criterion or part.
    pub title: String,
    /// Lost at the low end of the verdict.
    pub low: String,
    /// Lost at the high end: for sure.
    pub high: String,
    /// It is a limit that binds.
    #[serde(skip_serializing_if = "no")]
    pub limit: bool,
}

/// Something that costs points.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Cause {
    /// In words.
    pub text: String,
    /// What mending it alone would gain at the low and the high end.
    pub alone: [String; 2],
    /// What it adds once those above it are mended.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub adds: Option<[String; 2]>,
}

/// One method applied to the device.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Assessment {
    /// Method id.
    pub method: String,
    /// Its title.
    pub title: String,
    /// Its edition.
    pub edition: String,
    /// Low end as the method shows it; empty where nothing could be scored.
    pub low: String,
    /// High end.
    pub high: String,
    /// Low end as a fraction.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exact_low: Option<String>,
    /// High end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exact_high: Option<String>,
    /// Class at the low end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub class_low: Option<String>,
    /// Class at the high end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub class_high: Option<String>,
    /// As it is said: `would fail (applies to devices first supplied from 18 February 2027)`.
    pub said: String,
    /// The bench verdict, where the method asks something of the maker.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bench: Option<Bench>,
    /// The same without the bench sheet.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub without_sheet: Option<String>,
    /// Both ends are attained; false marks outer bounds.
    pub attained: bool,
    /// The low end: some completion that was looked at has it.
    pub attained_low: bool,
    /// The high end likewise.
    pub attained_high: bool,
    /// The least that completions that were tried surely come to, as a fraction; left out where least and most cross.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reached_low: Option<String>,
    /// The most likewise.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reached_high: Option<String>,
    /// Every route behind it is proved shortest.
    pub proved: bool,
    /// The weakest certainty among its rules, in words.
    pub weakest: String,
    /// SHA-256 over record, method, readings and program.
    pub fingerprint: String,
    /// The rule binds devices first supplied on this day or later.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub supplied_from: Option<String>,
    /// Whether it binds this one: `yes`, `no`, `open`.
    pub binds: String,
    /// Why the verdict is only what would be.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub standing: String,
    /// Why the result is for information only.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub information_only: String,
    /// What the source of the method asks and the method does not cover.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub not_covered: Vec<String>,
    /// What a verdict of pass or fail rests on that nobody saw or read.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub rests_on: Vec<String>,
    /// The reason in one sentence.
    pub reason: String,
    /// What moves it.
    pub effects: Effects,
    /// Open facts, the most useful question first.
    pub unknowns: Vec<Unknown>,
    /// Open readings.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub switches: Vec<Switch>,
    /// The verdict and the criteria below it.
    pub root: TreeNode,
}

/// The bench verdict beside a full one.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Bench {
    /// In words.
    pub range: String,
    /// Open facts that bear on it.
    pub unknowns: usize,
    /// Both ends are attained.
    pub attained: bool,
    /// The same without the bench sheet.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub without_sheet: Option<String>,
}

/// What moves a verdict. No criterion stands in two of the three.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Effects {
    /// What drags it down, most first.
    pub drags: Vec<LostOrKept>,
    /// What holds it up.
    pub holds: Vec<LostOrKept>,
    /// What is open.
    pub open: Vec<LostOrKept>,
}

/// A contribution lost or kept.
#[derive(Debug, Serialize, JsonSchema)]
pub struct LostOrKept {
    /// Id of the criterion.
    pub node: String,
    /// Criterion and part.
    pub what: String,
    /// What was read.
    pub said: String,
    /// Points, in words; the verdict for requirements.
    pub points: String,
    /// How far it is to more points.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub better: Option<String>,
}

/// A fact nobody established.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Unknown {
    /// Its number here, from 1: nodes refer to it.
    pub number: usize,
    /// Data path.
    pub path: String,
    /// `file:line:column`.
    pub place: String,
    /// The question.
    pub question: String,
    /// Possible answers.
    pub answers: Vec<String>,
    /// The answer at the low end.
    pub low: String,
    /// The answer at the high end.
    pub high: String,
    /// Points still open after the least helpful answer.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub worst: String,
    /// Points still open on average over the answers.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub mean: String,
}

/// An open reading of a rule.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Switch {
    /// Its name.
    pub id: String,
    /// What is open.
    pub text: String,
    /// The option in force.
    pub chosen: String,
    /// The others, and the verdict under each.
    pub others: Vec<Reading>,
    /// Source and certainty of the choice.
    pub source: String,
}

/// Another option of an open reading.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Reading {
    /// In words.
    pub means: String,
    /// The verdict under it.
    pub range: String,
    /// Its class.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub class: String,
    /// The shown verdict or the class is another one.
    pub changes: bool,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "asked by serde with a reference")]
fn no(flag: &bool) -> bool {
    !flag
}

fn there(text: &str) -> Option<String> {
    (!text.is_empty()).then(|| text.to_owned())
}

/// Things that stand once, in the order they were met.
struct Once<T>(BTreeMap<T, usize>);

impl<T: Ord> Once<T> {
    fn place(&mut self, thing: T) -> usize {
        let next = self.0.len();
        *self.0.entry(thing).or_insert(next)
    }

    fn list(self) -> Vec<T> {
        let mut all: Vec<(T, usize)> = self.0.into_iter().collect();
        all.sort_by_key(|(_, place)| *place);
        all.into_iter().map(|(thing, _)| thing).collect()
    }
}

/// A fraction that says more than what is shown: not that `10` is `10.00`, nor what `pass` counts as.
fn more(exact: Option<&String>, shown: Option<&String>) -> Option<String> {
    use scoring::exact::Exact;
    let exact = exact?;
    let said = Exact::parse(shown?);
    (said.is_some() && said != Exact::parse(exact)).then(|| exact.clone())
}
