//! What to find out next: where each answer leads, and which questions settle the verdict.

mod settle;

use super::study::Effort;
use super::study::{Range, Study};
use crate::exact::Exact;
use crate::method::Method;
use crate::record::Record;

pub use settle::{EXACT_TO, Settling};

/// What to find out next about one record under one method.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Guide {
    /// Range of the verdict as things stand.
    pub range: Range,
    /// Both ends as shown.
    pub shown: [String; 2],
    /// Class at both ends, where the method has classes.
    pub classes: Option<[String; 2]>,
    /// Open questions, the most useful first.
    pub questions: Vec<Question>,
    /// The fewest questions after which the shown verdict is one value, whatever the answers.
    pub settles_verdict: Settling,
    /// The same for the class, where the method has classes.
    pub settles_class: Option<Settling>,
}

/// An open question and where its answers lead.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Question {
    /// Index of the unknown in the case.
    pub unknown: usize,
    /// Data path of the place nobody settled.
    pub path: String,
    /// In plain words.
    pub question: String,
    /// What each answer leads to, in the order of the vocabulary or the record.
    pub answers: Vec<Leads>,
    /// Width of the range that remains after the least helpful answer, in points.
    pub worst_width: Exact,
    /// Width that remains on average, every answer counting alike, in points.
    pub mean_width: Exact,
}

/// Where one answer leads.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Leads {
    /// The answer.
    pub answer: String,
    /// Range of the verdict with this answer, all else open.
    pub range: Range,
    /// Both ends as shown.
    pub shown: [String; 2],
    /// Class at both ends.
    pub classes: Option<[String; 2]>,
}

impl Guide {
    /// Questions of a record under a method (taken as given: [`Method::for_device`] comes before).
    pub fn new(record: &Record, method: &Method, effort: Effort) -> Self {
        Self::of(&Study::new(record, method, effort))
    }

    /// Questions of a study.
    ///
    /// Order: the width that remains in the worst case, then on average over the answers, then the record's own order.
    pub fn of(study: &Study<'_>) -> Self {
        let method = study.method();
        let range = study.range(0);
        let questions = questions(study);
        let order: Vec<usize> = questions.iter().map(|q| q.unknown).collect();
        let settles_verdict = settle::fewest(study, &order, &|v| super::show(method, v));
        let settles_class = method
            .classes
            .as_ref()
            .map(|_| settle::fewest(study, &order, &|v| super::class_of(method, v).unwrap_or_default()));
        Self {
            shown: range.shown(method),
            classes: range.classes(method),
            range,
            questions,
            settles_verdict,
            settles_class,
        }
    }
}

/// Open questions, the most useful first; the order is that of [`Guide::of`].
pub fn questions(study: &Study<'_>) -> Vec<Question> {
    let mut questions: Vec<Question> = study.open().into_iter().map(|u| ask(study, u)).collect();
    questions
        .sort_by(|a, b| (&a.worst_width, &a.mean_width, a.unknown).cmp(&(&b.worst_width, &b.mean_width, b.unknown)));
    questions
}

fn ask(study: &Study<'_>, u: usize) -> Question {
    let unknown = &study.case.unknowns[u];
    let method = study.method();
    let answers: Vec<Leads> = unknown
        .answers
        .iter()
        .enumerate()
        .map(|(a, answer)| {
            let range = study.range_given(&[(u, a)]);
            Leads { answer: answer.label.clone(), shown: range.shown(method), classes: range.classes(method), range }
        })
        .collect();
    let widths: Vec<Exact> = answers.iter().map(|a| a.range.width()).collect();
    let count = Exact::from(i64::try_from(widths.len()).unwrap_or(1));
    Question {
        unknown: u,
        path: unknown.path.clone(),
        question: unknown.question.clone(),
        answers,
        worst_width: widths.iter().max().cloned().unwrap_or_else(Exact::zero),
        mean_width: widths.into_iter().sum::<Exact>().checked_div(&count).unwrap_or_else(Exact::zero),
    }
}
