//! What a verdict could still become: which question narrows it most, and what other readings of the method say.

use scoring::compare::causes::RUNGS;
use scoring::range::firmness::{OtherReading, readings};
use scoring::range::questions::questions;
use scoring::range::{Assessment, Case, Effort, Question, Study};
use scoring::record::Record;

use super::Others;
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
        Self::scored(record, assessment).with_readings(record, assessment)
    }

    /// The same for the assessment that leads a report, with what costs it most.
    pub fn leading(record: &Record, assessment: &Assessment, others: &Others) -> Self {
        Self::ahead(record, assessment, others, RUNGS).with_readings(record, assessment)
    }

    /// What a score tells: no other readings, each of which is the whole verdict once more.
    pub fn scored(record: &Record, assessment: &Assessment) -> Self {
        Self { questions: Self::asked(record, assessment).unwrap_or_default(), ..Self::default() }
    }

    /// What a score tells of the assessment that leads: what costs most, but not what is left once that is mended.
    pub fn scored_leading(record: &Record, assessment: &Assessment, others: &Others) -> Self {
        Self::ahead(record, assessment, others, 0)
    }

    fn ahead(record: &Record, assessment: &Assessment, others: &Others, rungs: usize) -> Self {
        let Some(lead) = Lead::new(record, assessment, others.bench.as_ref(), rungs) else {
            return Self::scored(record, assessment);
        };
        let questions =
            if lead.bench { Self::asked(record, assessment).unwrap_or_default() } else { lead.questions.clone() };
        Self { questions, lead: Some(Box::new(lead)), ..Self::default() }
    }

    fn with_readings(self, record: &Record, assessment: &Assessment) -> Self {
        let (method, kept, effort) = (&assessment.method, &assessment.kept, effort());
        let now = Study::keeping(Case::new(record, method), method, effort, kept).range(0);
        let readings = readings(record, method, &now, effort, kept);
        let outer = !now.exact || readings.iter().any(|r| !r.range.exact);
        Self { readings, outer, ..self }
    }

    /// Questions of an assessment alone; `None` where they are too many to go through.
    pub fn asked(record: &Record, assessment: &Assessment) -> Option<Vec<Question>> {
        let method = &assessment.method;
        let study = Study::keeping(Case::new(record, method), method, effort(), &assessment.kept);
        ranked(&study, assessment)
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
