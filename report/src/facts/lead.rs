//! The verdict that leads a report: what the bench shows alone, where the method can say so.

use scoring::compare::causes::{Cause, Causes, held, promises};
use scoring::exact::Exact;
use scoring::method::Combine;
use scoring::range::questions::questions;
use scoring::range::{Assessment, Case, Effort, Graded, GradedKind, Question, Study};
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
    /// What the first of them gain under the limits of the verdict; none where no limit can hold it.
    pub held: Vec<Option<[Exact; 2]>>,
    /// Promises at their best, and what the full verdict would gain.
    pub promises: Vec<Cause>,
    /// What the first of them gains under limits, where one may hold the full verdict.
    pub promise_held: Option<[Exact; 2]>,
    /// Open questions, the most useful first.
    pub questions: Vec<Question>,
}

/// Looks at completions for each "what if".
const LOOKS: u64 = 200;
/// Answers beyond which questions stay in the order of the record.
const MANY: usize = 200;
/// Causes of which it is told what limits leave of them: those of the summary.
const TOLD: usize = 3;
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
        let under = |of: &Assessment, list: &[Cause]| -> Vec<Option<[Exact; 2]>> {
            let told: Vec<&Cause> = list.iter().take(TOLD).collect();
            // At a bound there is no completion that a limit could hold.
            if !of.root.exact || told.iter().all(|cause| !may_hold(&of.root, &cause.gain)) {
                return Vec::new();
            }
            held(record, &of.method, effort, kept, &told).into_iter().map(Some).collect()
        };
        let promise_held = under(first, promises.get(..1).unwrap_or_default()).pop().flatten();
        let held = under(&assessment, &causes.causes);
        Some(Self { bench, assessment, causes, held, promises, promise_held, questions })
    }
}

/// Whether a limit may hold a verdict that gains so much before limits: one that holds it now, or is below what it would be.
fn may_hold(root: &Graded, gain: &[Exact; 2]) -> bool {
    let capped = matches!(root.kind, GradedKind::Group(Combine::Cap));
    let of_limits = |end: usize| {
        let first = root.children.first()?.ends[end].points.as_ref()?;
        let least = root.children[1..].iter().filter_map(|c| c.ends[end].points.as_ref()).min()?;
        Some(*least < first + &gain[end])
    };
    let below = root.children.first().is_some_and(|first| may_hold(first, gain));
    capped && (0..2).any(|end| of_limits(end).unwrap_or(false)) || below
}
