//! Which facts, once known, settle the order of two devices whose ranges overlap.
//!
//! An answer settles it when, all else open, the range of the device it is about lies wholly above or wholly below that of
//! the other. Ranges of answers are those [`questions`](crate::range::questions::questions) works out; where one is a bound it
//! encloses what can be reached, so that what is said to settle does, and what is not may all the same.

use crate::exact::Exact;
use crate::range::{Question, Range};

/// Two devices whose order is open, and what would settle it.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Undecided {
    /// The two devices, as indices into the names, the one named first first.
    pub pair: [usize; 2],
    /// Questions each of whose answers settles it, the most useful first.
    pub alone: Vec<Decider>,
    /// Pairs of questions, one of each device, that settle it together whatever the answers: looked for where none does
    /// alone.
    pub together: Vec<[Decider; 2]>,
    /// Questions of which some answers settle it and some do not.
    pub partly: Vec<Decider>,
    /// Nothing is open of either: both come to one value, and to the same.
    pub level: bool,
    /// Every range looked at has its ends attained: a question that is not named does not settle it alone. False: it may.
    pub exact: bool,
    /// Devices whose questions were too many to go through, as indices into the names.
    pub passed_over: Vec<usize>,
}

/// A question and what its answers say of the order.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Decider {
    /// The device it is about, as index into the names.
    pub device: usize,
    /// Data path of the place nobody settled.
    pub path: String,
    /// In plain words.
    pub question: String,
    /// Every answer, in the order of the question.
    pub answers: Vec<Decided>,
}

/// An answer and the device it puts above.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Decided {
    /// The answer.
    pub answer: String,
    /// The device that surely stands above then, as index into the names; `None`: the order stays open, or hangs on the
    /// other question of the two.
    pub above: Option<usize>,
}

/// A device with its range and its open questions.
#[derive(Clone, Debug)]
pub struct Standing {
    /// Low and high end of its verdict.
    pub range: Range,
    /// Its questions and where each answer leads, the most useful first; `None`: too many to go through.
    pub questions: Option<Vec<Question>>,
}

/// Pairs of questions looked for at most.
const TOGETHER: usize = 3;

/// Every pair of devices whose order the ranges leave open, in the order of the devices. Devices without a value take no part.
pub fn undecided(devices: &[Standing]) -> Vec<Undecided> {
    let all = (0..devices.len()).flat_map(|i| (i + 1..devices.len()).map(move |j| [i, j]));
    all.filter(|pair| {
        let [a, b] = pair.map(|i| &devices[i].range);
        has_value(a) && has_value(b) && above(a, b).is_none()
    })
    .map(|pair| of_pair(pair, devices))
    .collect()
}

fn of_pair(pair: [usize; 2], devices: &[Standing]) -> Undecided {
    let passed_over = pair.into_iter().filter(|&i| devices[i].questions.is_none()).collect();
    let mut out = Undecided {
        pair,
        alone: Vec::new(),
        together: Vec::new(),
        partly: Vec::new(),
        level: pair.iter().all(|&i| is_point(&devices[i].range)),
        exact: pair.iter().all(|&i| devices[i].range.exact),
        passed_over,
    };
    let of = |i: usize| devices[i].questions.as_deref().unwrap_or_default();
    for (at, i) in pair.into_iter().enumerate() {
        let other = &devices[pair[1 - at]].range;
        for question in of(i) {
            out.exact &= question.answers.iter().all(|a| a.range.exact);
            let found =
                decider(question, i, |range| above(range, other).map(|first| if first { i } else { pair[1 - at] }));
            let settled = found.answers.iter().filter(|a| a.above.is_some()).count();
            if settled == found.answers.len() {
                out.alone.push(found);
            } else if settled > 0 {
                out.partly.push(found);
            }
        }
    }
    if out.alone.is_empty() {
        let [i, j] = pair;
        let pairs = of(i).iter().flat_map(|a| of(j).iter().map(move |b| [a, b]));
        let settle = |[a, b]: &[&Question; 2]| {
            a.answers.iter().all(|x| b.answers.iter().all(|y| above(&x.range, &y.range).is_some()))
        };
        out.together = pairs
            .filter(settle)
            .take(TOGETHER)
            .map(|[a, b]| [(a, i, j, b), (b, j, i, a)].map(|(q, own, other, rest)| joint(q, own, other, rest)))
            .collect();
    }
    out
}

/// A question with what its answers say whatever the other question's answer is.
fn joint(question: &Question, own: usize, other: usize, rest: &Question) -> Decider {
    decider(question, own, |range| {
        let mut said = rest.answers.iter().map(|a| above(range, &a.range));
        let first = said.next()??;
        said.all(|s| s == Some(first)).then_some(if first { own } else { other })
    })
}

fn decider(question: &Question, device: usize, decides: impl Fn(&Range) -> Option<usize>) -> Decider {
    let answers = question
        .answers
        .iter()
        .map(|leads| Decided { answer: leads.answer.clone(), above: decides(&leads.range) })
        .collect();
    Decider { device, path: question.path.clone(), question: question.question.clone(), answers }
}

/// Whether one range lies wholly above the other, or wholly below it; `None`: neither.
fn above(one: &Range, other: &Range) -> Option<bool> {
    let over = |a: &Option<Exact>, b: &Option<Exact>| a.is_some() && b.is_some() && a > b;
    if over(&one.low, &other.high) {
        Some(true)
    } else if over(&other.low, &one.high) {
        Some(false)
    } else {
        None
    }
}

fn has_value(range: &Range) -> bool {
    range.low.is_some() && range.high.is_some()
}

fn is_point(range: &Range) -> bool {
    range.low == range.high
}
