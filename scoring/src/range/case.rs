//! A record as one complete record plus its unknowns: one variable per place nobody settled.

use std::collections::BTreeSet;

use super::counting::how_many;
use super::edit::Edit;
use crate::method::{Measure, Method};
use crate::need::all_hold;
use crate::record::complete::Complete;
use crate::record::{Fact, Record};
use crate::route::Thing;
use crate::text::Span;
use crate::vocab::Form;
use crate::vocab::class::fold;

/// A record prepared for one method.
#[derive(Clone, Debug)]
pub struct Case {
    /// The record with the first answer to every question.
    pub base: Complete,
    /// Its unknowns, in record order; those nobody wrote down come last.
    pub unknowns: Vec<Unknown>,
    /// What was settled by an omission or a stated default.
    pub assumed: Vec<Assumed>,
    /// The record's own roles and shares (category other).
    pub own_roles: Vec<(String, u32)>,
    /// Questions about ways that failed, which nobody need answer as long as they don't exist.
    pub asleep: Vec<Unknown>,
    /// Actions that somebody did: answers with which one of them could not have been done are no completion.
    pub done: Vec<usize>,
}

/// One place whose value nobody established.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unknown {
    /// Data path (`actions[3].after`).
    pub path: String,
    /// Where it stands, or the entry it is missing from.
    pub span: Span,
    /// The question in plain words.
    pub question: String,
    /// What it bears on.
    pub touches: Touches,
    /// The answers, best guess none: order is that of the vocabulary or the record.
    pub answers: Vec<Answer>,
    /// Others stand between these (three tools of any number, some of everything above): none is better than all of these or
    /// worse, but where a better fact may make things worse, another may give more or less than any of these.
    pub between: bool,
}

impl Unknown {
    /// Whether the record has no line about it yet, not even one it is missing from.
    pub fn nowhere(&self, sources: &crate::text::Sources) -> bool {
        // A whole topic that is left out is missing from the record as such, which begins with its version.
        fold(sources.excerpt(self.span)) == "unfasten"
    }

    /// Where it stands, `x.yaml:4:3`; `x.yaml (no line about it yet)`.
    pub fn place(&self, sources: &crate::text::Sources) -> String {
        if self.nowhere(sources) {
            return format!("{} (no line about it yet)", sources.get(self.span.file).name);
        }
        sources.place(self.span)
    }
}

/// One answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// In words.
    pub label: String,
    /// What it changes.
    pub edits: Vec<Edit>,
}

/// What an unknown bears on, so that independent unknowns can be solved apart.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Touches {
    /// Routes that may use one of these actions; `first` tells from which key of the reference route on.
    Routes(Vec<usize>),
    /// The part filling these roles (indices of [`Complete::fills`]): the named measures only.
    Spare(Vec<usize>, Measure),
    /// Pairing of the part filling these roles: depth (by surcharge), pairing measures.
    Paired(Vec<usize>),
    /// Whether a part is there at all: everything about it.
    Part(usize),
    /// One measure of the device.
    Device(Vec<Measure>),
}

/// Something settled without being stated.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Assumed {
    /// Data path.
    pub path: String,
    /// Where.
    pub span: Span,
    /// In words.
    pub text: String,
}

impl Case {
    /// Prepares a record for a method: resolves names, applies what omissions mean, and lists what stays unknown.
    pub fn new(record: &Record, method: &Method) -> Self {
        super::build::case(record, method)
    }

    /// The record completed by one answer per unknown.
    pub fn complete(&self, choice: &[usize]) -> Complete {
        let mut device = self.base.clone();
        for (unknown, &answer) in self.unknowns.iter().zip(choice) {
            for edit in &unknown.answers[answer].edits {
                edit.apply(&mut device);
            }
        }
        device
    }

    /// Whether everything that was done could have been done with these answers: none waits for what comes only after it.
    pub fn stands(&self, choice: &[usize]) -> bool {
        if self.done.is_empty() {
            return true;
        }
        let device = self.complete(choice);
        let mut reached: BTreeSet<Thing> = BTreeSet::new();
        let mut open: Vec<usize> = (0..device.actions.len()).filter(|&a| device.actions[a].exists).collect();
        loop {
            let before = open.len();
            open.retain(|&a| {
                let action = &device.actions[a];
                // What an action takes off itself it doesn't wait for.
                let met = |t: Thing| reached.contains(&t) || action.frees.contains(&t) || action.does == Some(t);
                let can = all_hold(&action.after, &met);
                if can {
                    reached.extend(action.frees.iter().copied().chain(action.does));
                }
                !can
            });
            if open.len() == before {
                return self.done.iter().all(|a| !open.contains(a));
            }
        }
    }

    /// The case with one question answered.
    pub fn fix(&self, unknown: usize, answer: usize) -> Self {
        let mut case = self.clone();
        let settled = case.unknowns.remove(unknown);
        settled.answers[answer].edits.iter().for_each(|e| e.apply(&mut case.base));
        case
    }

    /// Takes away questions to which all answers have become the same; what they all say is so.
    pub fn close_questions(&mut self) {
        let mut said = Vec::new();
        self.unknowns.retain_mut(|u| {
            let open = u.answers.iter().any(|a| a.edits != u.answers[0].edits);
            if !open && let Some(answer) = u.answers.first_mut() {
                said.append(&mut answer.edits);
            }
            open
        });
        said.iter().for_each(|edit| edit.apply(&mut self.base));
    }

    /// Lets an action that failed exist, as the record describes it; what is unknown of it is asked.
    pub fn wake(&mut self, action: usize) {
        self.base.actions[action].exists = true;
        let (woken, asleep) = std::mem::take(&mut self.asleep)
            .into_iter()
            .partition(|u| matches!(&u.touches, Touches::Routes(list) if list.contains(&action)));
        self.asleep = asleep;
        let woken: Vec<Unknown> = woken;
        self.unknowns.extend(woken);
    }

    /// The case with every action that failed woken.
    pub fn awake(&self) -> Self {
        let mut case = self.clone();
        let may = may_exist(self);
        (0..self.base.actions.len()).filter(|a| !may[*a]).for_each(|a| case.wake(a));
        case
    }

    /// How many completions there are; `None` past `u64`.
    pub fn completions(&self) -> Option<u64> {
        how_many(self.unknowns.iter().map(|u| u.answers.len()))
    }
}

/// Which actions exist in some completion.
pub(super) fn may_exist(case: &Case) -> Vec<bool> {
    let mut out: Vec<bool> = case.base.actions.iter().map(|a| a.exists).collect();
    for edit in case.unknowns.iter().flat_map(|u| &u.answers).flat_map(|a| &a.edits) {
        if let Edit::Exists(action, true) = edit {
            out[*action] = true;
        }
    }
    out
}

/// A method as it applies to the device of a record.
pub fn fitted(method: &Method, record: &Record) -> Method {
    method.for_device(record.device.category.value, form_of(record))
}

/// The form of a device: as stated, else folding when a part has a folding role.
pub fn form_of(record: &Record) -> Form {
    if let Some(form) = record.device.form.as_ref().and_then(Fact::settled) {
        return *form;
    }
    let folds = |r: &str| r == "hinge assembly" || r == "display folding mechanism";
    if record.device.category.value.folds() && record.parts.iter().flat_map(|p| &p.roles).any(|r| folds(&r.value.name))
    {
        Form::Folding
    } else {
        Form::NotFolding
    }
}
