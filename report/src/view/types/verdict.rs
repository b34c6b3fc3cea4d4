//! One method applied to the record: verdict, effects, questions, the method itself.

use std::sync::Arc;

use serde::Serialize;

use super::{Reason, ReasonedNode};

/// One method applied to the record.
#[derive(Clone, Debug, Serialize)]
pub struct Assessed {
    /// Anchor prefix, unique in the report.
    pub key: String,
    /// The first piece of the anchors of its nodes; `LETTER.u1` leads to the first unknown.
    pub letter: String,
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
    /// The low end: some completion that was looked at has it.
    pub attained_low: bool,
    /// The high end likewise.
    pub attained_high: bool,
    /// The least that completions that were tried surely come to, as a fraction; the end itself where that is attained,
    /// none where least and most cross.
    pub reached_low: Option<String>,
    /// The most likewise.
    pub reached_high: Option<String>,
    /// `reached 4.1 to 5.0; never outside 3.8 to 5.6`; empty where both ends are attained.
    pub bounds: String,
    /// The reason in one sentence, for the headline.
    pub reason: String,
    /// Requirements by result; none for methods of points.
    #[serde(skip)]
    pub counts: Option<Counts>,
    /// The rule binds devices first supplied on this day or later; empty where the method names none.
    pub supplied_from: String,
    /// `yes`, `no`, or `open` where the record does not say when the device was first supplied.
    pub binds: String,
    /// Why the verdict is only what would be, in a sentence; empty where the rule binds.
    pub standing: String,
    /// Why the result is for information only; empty where it is not.
    pub information_only: String,
    /// What the source of the method asks and the method does not cover.
    pub not_covered: Vec<String>,
    /// What a verdict of pass or fail rests on that nobody saw or read.
    pub rests_on: Vec<String>,
    /// The bench verdict, which stands first; none where the method asks nothing of the maker.
    pub headline: Option<Score>,
    /// The name of the bench sheet that supplied what the record leaves open, where one did.
    pub sheet: Option<String>,
    /// The full verdict without it, where there is one.
    pub without: Option<String>,
    /// Range bar of the total; the headline has its own.
    pub bar: Option<Bar>,
    /// Sub-scores.
    pub sub_scores: Vec<Score>,
    /// What drags the headline down, most first.
    pub drags: Vec<Contribution>,
    /// What holds the headline up, most first.
    pub holds: Vec<Contribution>,
    /// What is more open than settled, the widest first. Nothing stands in two of the three.
    pub open: Vec<Contribution>,
    /// The tree of criteria; also what the JSON output calls `root`.
    #[serde(serialize_with = "crate::template::when_asked")]
    pub root: Arc<ReasonedNode>,
    /// What stands behind its numbers, flat, in reading order; requirements not met first.
    pub reasons: Vec<Reason>,
    /// Sources of its rules; reasons name them by their place from 1.
    pub sources: Vec<String>,
    /// Anchor of the verdict itself.
    pub anchor: String,
    /// Priority parts against criteria.
    pub matrix: Matrix,
    /// Unknowns that bear on it, the most useful question first.
    pub unknowns: Vec<Unknown>,
    /// Settled without being stated.
    pub assumed: Vec<Assumed>,
    /// Parts asked about.
    pub roles: Vec<RoleSaid>,
    /// It gives pass and fail, no points.
    pub requirements: bool,
    /// Range and class in one text.
    pub range_and_class: String,
    /// How many other readings of the method would change it, in a sentence; empty where there are none.
    pub readings_said: String,
    /// How many questions are open, in words.
    pub unknowns_said: String,
    /// What it is without the bench sheet, in a sentence; empty where there is none.
    pub sheet_said: String,
    /// Weakest certainty among the rules that took part, in words.
    pub weakest: String,
    /// The same, and apart from it that of the bench verdict where it is another.
    pub weakest_said: String,
    /// Every route behind it is proved shortest.
    pub proved: bool,
    /// The same in a sentence that also tells where there is no route; empty where the method reads none.
    pub certificate: String,
    /// The same as a clause, for who says more beside it; none where the method reads none.
    #[serde(skip)]
    pub behind: Option<&'static str>,
    /// What the method is and is not, Markdown.
    pub about: String,
    /// Notes of the method, Markdown.
    pub method_notes: Vec<String>,
    /// Open readings, the option in force and the others.
    pub switches: Vec<Switch>,
    /// Other options of all open readings.
    pub other_readings: usize,
    /// How many of them would change the verdict.
    pub changing: usize,
    /// Options are compared by outer bounds.
    pub outer_readings: bool,
    /// The method read aloud.
    pub rules: Vec<Ruling>,
    /// SHA-256 over record, method, switches and program.
    pub fingerprint: String,
}

/// Requirements by result.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Counts {
    /// Those that apply.
    pub of: usize,
    /// Not met.
    pub not_met: usize,
    /// Not settled.
    pub open: usize,
    /// The first that is not met; may be empty.
    pub first: String,
}

/// A score beside the total.
#[derive(Clone, Debug, Serialize)]
pub struct Score {
    /// Title.
    pub title: String,
    /// Range.
    pub range: String,
    /// Both ends as fractions; empty where nothing is scored.
    #[serde(skip)]
    pub exact: [String; 2],
    /// Scale, `of 10`.
    pub out_of: String,
    /// Anchor of its because.
    pub anchor: String,
    /// Range bar.
    pub bar: Option<Bar>,
    /// How many unknowns bear on it.
    pub unknowns: usize,
    /// Both ends are attained; false marks outer bounds.
    pub attained: bool,
    /// Of a verdict with a bound: `reached 4.1 to 5.0; never outside 3.8 to 5.6`; else empty.
    pub bounds: String,
    /// Why it is left out; empty where it is scored.
    pub left_out: String,
    /// The same without what the bench sheet supplies, where there is one.
    pub without: Option<String>,
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
pub struct Contribution {
    /// Criterion, and part where it is about one.
    pub what: String,
    /// What was read: `14 steps`.
    pub said: String,
    /// Points of the headline: `0.31` or `0.31 to 0.45`, of what is open `up to 0.45`; the verdict for requirements.
    pub points: String,
    /// How far it is to more points: `1 step fewer would give 6.00`; none where nothing is lost or it is not a number.
    pub better: Option<String>,
    /// Anchor of its because.
    pub anchor: String,
    /// What it is made of, where a part that can't be reached costs points in several places; else empty.
    pub cells: Vec<EffectCell>,
}

/// One place where a part that can't be reached costs points.
#[derive(Clone, Debug, Serialize)]
pub struct EffectCell {
    /// Criterion.
    pub title: String,
    /// As for the effect.
    pub points: String,
    /// Anchor of its because.
    pub anchor: String,
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
    /// The question of an earlier method that is the same; empty where there is none.
    #[serde(skip_serializing_if = "crate::template::outside")]
    pub same: String,
    /// The answers at the two ends are all there are.
    #[serde(skip_serializing_if = "crate::template::outside")]
    pub ends_tell: bool,
    /// The answers at the two ends in a sentence, where they differ.
    #[serde(skip_serializing_if = "crate::template::outside")]
    pub ends_said: String,
    /// What stays open once it is answered, in a sentence; empty for verdicts.
    #[serde(skip_serializing_if = "crate::template::outside")]
    pub worth_said: String,
    /// Answer at the low end.
    pub low: String,
    /// Answer at the high end.
    pub high: String,
    /// Points still open after the least helpful answer: `0.42`; empty for verdicts.
    pub worst: String,
    /// Points still open on average over the answers.
    pub mean: String,
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
    /// Other options and what the verdict is under them.
    pub others: Vec<Reading>,
    /// Source and certainty of the choice.
    pub source: String,
    /// Its number in the list of sources.
    #[serde(skip_serializing_if = "crate::template::outside")]
    pub cited: usize,
    /// Another option would change the verdict.
    #[serde(skip_serializing_if = "crate::template::outside")]
    pub matters: bool,
}

/// Another option of an open reading.
#[derive(Clone, Debug, Serialize)]
pub struct Reading {
    /// The option in words.
    pub means: String,
    /// The verdict under it: `4.2 to 7.1`, `pass`, `does not apply`.
    pub range: String,
    /// Its class: `class D to B`; empty without classes.
    pub class: String,
    /// The shown verdict or the class is another one.
    pub changes: bool,
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
    /// Number of its source in the list of sources; 0 where it names none.
    pub cited: usize,
}
