//! The verdict that leads a report: what the bench shows alone, where the method can say so.

use scoring::compare::causes::{Cause, Causes, promises};
use scoring::range::questions::questions;
use scoring::range::{Assessment, Case, Effort, Question, Study};
use scoring::record::Record;

/// What is worked out for the verdict that leads; a view only tells it.
#[derive(Clone, Debug)]
pub struct Lead {
    /// It is what the bench shows, and the method has a fuller one.
    pub bench: bool,
    /// The verdict, by itself.
    pub assessment: Assessment,
    /// What costs it most.
    pub causes: Causes,
    /// Promises at their best, and what the full verdict would gain.
    pub promises: Vec<Cause>,
    /// Open questions, the most useful first.
    pub questions: Vec<Question>,
}

/// Looks at completions for each "what if".
const LOOKS: u64 = 200;
/// Answers beyond which questions stay in the order of the record.
const MANY: usize = 200;
/// States for all routes.
const POOL: u64 = 2_000_000;

impl Lead {
    /// The verdict that leads, for the assessment that stands first and for its bench verdict (`method.bench_verdict()`)
    /// where it has one; `rungs`: of the ladder of causes. `None` where a method knows no points, or nothing is scored.
    pub fn new(record: &Record, first: &Assessment, bench: Option<&Assessment>, rungs: usize) -> Option<Self> {
        if first.method.scale.verdict {
            return None;
        }
        let kept = &first.kept;
        // Where the bench shows nothing the method weighs, the whole verdict leads.
        let assessment = bench.filter(|b| b.root.low.is_some()).unwrap_or(first).clone();
        assessment.root.low.as_ref()?;
        let bench = assessment.method.root != first.method.root;
        let effort = Effort { looks: LOOKS, pool: POOL, ..Effort::default() };
        let answers: usize = assessment.unknowns.iter().map(|u| u.answers.len()).sum();
        let questions = if answers > MANY || answers == 0 {
            Vec::new()
        } else {
            let case = Case::new(record, &assessment.method);
            questions(&Study::keeping(case, &assessment.method, effort, kept))
        };
        let causes = Causes::keeping(record, &assessment.method, effort, kept, rungs);
        let promises = promises(record, &first.method, effort, kept);
        Some(Self { bench, assessment, causes, promises, questions })
    }
}
