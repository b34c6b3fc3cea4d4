//! What is open, and what a change would bring.

use crate::compare::Changes;
use crate::range::Question;

/// A question nobody answered, and where its answers lead.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Open {
    /// Data path of the place (`actions[1].loosen.kind`): what [`super::Teardown::with`] takes.
    pub path: String,
    /// In plain words.
    pub question: String,
    /// What can be answered.
    pub answers: Vec<OpenAnswer>,
}

/// One answer.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct OpenAnswer {
    /// The answer, in plain words.
    pub answer: String,
    /// Low and high end of the verdict with it, all else open, as the method shows them.
    pub shown: [String; 2],
}

impl From<Question> for Open {
    fn from(question: Question) -> Self {
        let answers = question.answers.into_iter().map(|a| OpenAnswer { answer: a.answer, shown: a.shown }).collect();
        Self { path: question.path, question: question.question, answers }
    }
}

/// A single change and what it brings.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Gain {
    /// Stable id: what, data path, to what.
    pub id: String,
    /// In plain words.
    pub change: String,
    /// Low and high end of the verdict with it, as the method shows them.
    pub shown: [String; 2],
}

/// What changes under one method bring.
pub(super) fn gains(changes: Changes) -> Vec<Gain> {
    let of = |tried: crate::compare::changes::Tried| {
        let effect = tried.effects.into_iter().next()?;
        Some(Gain { id: tried.change.id, change: tried.change.words, shown: effect.shown })
    };
    changes.tried.into_iter().filter_map(of).collect()
}
