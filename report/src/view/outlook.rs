//! What a verdict could still become: which question narrows it most, and what other readings of the method say.

use scoring::range::firmness::{OtherReading, readings};
use scoring::range::questions::questions;
use scoring::range::{Assessment, Case, Effort, Question, Study};
use scoring::record::Record;

use crate::facts::Lead;

/// Worked out beside an assessment, since it means assessing again and again; a view only tells it.
#[derive(Clone, Debug, Default)]
pub struct Outlook {
    /// Open questions, the most useful first.
    pub questions: Vec<Question>,
    /// The verdict under every option that is not in force.
    pub readings: Vec<OtherReading>,
    /// What is worked out for the verdict that leads a report.
    pub lead: Option<Box<Lead>>,
    /// The readings are compared by outer bounds: too many completions to go through for each.
    pub outer: bool,
}

/// Looks allowed for a question or a reading. An assessment is made once and may take more.
const LOOKS: u64 = 200;

/// Answers beyond which questions stay in the order of the record: each is a verdict worked out anew. `unknowns` ranks them all.
const MANY: usize = 200;
/// States for all routes under one reading: a few seconds at most.
const POOL: u64 = 2_000_000;

impl Outlook {
    /// Questions and readings of an assessment. The work is limited by counts, so the same record gives the same outlook.
    pub fn new(record: &Record, assessment: &Assessment) -> Self {
        let method = &assessment.method;
        let kept = &assessment.kept;
        let effort = effort();
        let study = Study::keeping(Case::new(record, method), method, effort, kept);
        let now = study.range(0);
        let questions = ranked(&study, assessment).unwrap_or_default();
        let readings = readings(record, method, &now, effort, kept);
        let outer = !now.exact || readings.iter().any(|r| !r.range.exact);
        Self { questions, readings, lead: None, outer }
    }

    /// Questions of an assessment alone; `None` where they are too many to go through.
    pub fn asked(record: &Record, assessment: &Assessment) -> Option<Vec<Question>> {
        let method = &assessment.method;
        let study = Study::keeping(Case::new(record, method), method, effort(), &assessment.kept);
        ranked(&study, assessment)
    }

    /// The same for the assessment that leads a report, with what costs it most.
    pub fn leading(record: &Record, assessment: &Assessment) -> Self {
        Self { lead: Lead::new(record, assessment).map(Box::new), ..Self::new(record, assessment) }
    }
}

fn effort() -> Effort {
    Effort { looks: LOOKS, pool: POOL, ..Effort::default() }
}

/// Questions, the most useful first; `None` where they are too many to rank.
fn ranked(study: &Study<'_>, assessment: &Assessment) -> Option<Vec<Question>> {
    let answers: usize = assessment.unknowns.iter().map(|u| u.answers.len()).sum();
    match answers {
        0 => Some(Vec::new()),
        n if n > MANY => None,
        _ => Some(questions(study)),
    }
}
