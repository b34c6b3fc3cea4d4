//! A change made to a case: the base changes, and so does every answer that speaks of the same place.

use crate::need::{Thing, put};
use crate::range::{Answer, Case, Edit, Touches};
use crate::record::complete::{CompleteFastener, CompleteTool};
use crate::vocab::{Kind, Place, Skill, ToolClass};

/// How a change is made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Make {
    /// These edits.
    Edits(Vec<Edit>),
    /// An action that failed works.
    Works(usize),
    /// One operation is done with a basic tool that the record does not have yet.
    BasicTool(usize, usize),
    /// An action that frees several parts frees this one; another like it frees the rest.
    Alone(usize, Thing),
}

/// A basic tool that the record does not name; no name of a record has a comma.
const ANOTHER: &str = "another tool, basic";

impl Make {
    /// Makes the change.
    pub(super) fn apply(&self, case: &mut Case) {
        match self {
            Self::Edits(edits) => edits.iter().for_each(|e| settle(case, e)),
            Self::BasicTool(action, operation) => {
                let tool = another_tool(case);
                settle(case, &Edit::Ways(*action, *operation, vec![vec![tool]]));
            }
            Self::Works(action) => case.wake(*action),
            Self::Alone(action, part) => alone(case, *action, *part),
        }
    }

    /// What is at least as good as a change, also in company of others like it; `None`: nothing is known to be.
    pub(super) fn best(&self) -> Option<Best> {
        let of = |edit: &Edit| match edit {
            Edit::Ways(action, operation, _) => Some(Best::Hands(*action, *operation)),
            Edit::Fastener(action, slot, _) | Edit::Adhesive(action, slot, false) => {
                Some(Best::Reusable(*action, *slot))
            }
            Edit::Without(action, thing) => Some(Best::Without(*action, *thing)),
            Edit::Place(list, _) if list.len() == 1 => Some(Best::Anywhere(list[0])),
            Edit::Skill(list, _) if list.len() == 1 => Some(Best::Anybody(list[0])),
            _ => None,
        };
        match self {
            Self::BasicTool(action, operation) => Some(Best::Hands(*action, *operation)),
            // Of a way let in more may be open.
            Self::Works(_) | Self::Alone(..) => None,
            Self::Edits(edits) => {
                let first = edits.first().and_then(of);
                first.filter(|_| edits.iter().all(|e| of(e) == first))
            }
        }
    }
}

/// The best that can be made of one place of an action: no change of it is better, and neither is one of another place once
/// this is made as well.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Best {
    /// An operation by bare hands.
    Hands(usize, usize),
    /// A fastener that is reusable, without adhesive.
    Reusable(usize, usize),
    /// A need is gone.
    Without(usize, Thing),
    /// In the environment of use.
    Anywhere(usize),
    /// By a layman.
    Anybody(usize),
}

impl Best {
    /// The action it is about.
    pub(super) fn action(self) -> usize {
        match self {
            Self::Hands(action, _)
            | Self::Reusable(action, _)
            | Self::Without(action, _)
            | Self::Anywhere(action)
            | Self::Anybody(action) => action,
        }
    }

    /// Makes it so.
    pub(super) fn make(self, case: &mut Case) {
        match self {
            Self::Hands(action, operation) => settle(case, &Edit::Ways(action, operation, vec![vec![]])),
            Self::Reusable(action, slot) => {
                settle(case, &Edit::Fastener(action, slot, Kind::Reusable));
                settle(case, &Edit::Adhesive(action, slot, false));
            }
            Self::Without(action, thing) => settle(case, &Edit::Without(action, thing)),
            Self::Anywhere(action) => settle(case, &Edit::Place(vec![action], Place::Use)),
            Self::Anybody(action) => settle(case, &Edit::Skill(vec![action], Skill::Layman)),
        }
    }
}

/// The basic tool the record does not have yet. One for all that is made to work with it: taken up once, it need not be
/// changed.
fn another_tool(case: &mut Case) -> usize {
    case.base.tools.iter().position(|t| *t.name == *ANOTHER).unwrap_or_else(|| {
        case.base.tools.push(CompleteTool {
            name: ANOTHER.into(),
            class: ToolClass::Basic,
            heat: false,
            solvent: false,
            many: false,
        });
        case.base.tools.len() - 1
    })
}

/// Makes an edit; questions about the same place are answered by it.
pub(super) fn settle(case: &mut Case, edit: &Edit) {
    edit.apply(&mut case.base);
    for unknown in &mut case.unknowns {
        for answer in &mut unknown.answers {
            answer.edits = answer.edits.iter().filter_map(|e| after_edit(e, edit)).collect();
        }
    }
    case.close_questions();
}

/// What is left of an answer's edit once another edit is in force.
fn after_edit(answer: &Edit, edit: &Edit) -> Option<Edit> {
    match (answer, edit) {
        (Edit::Ways(a, o, _), Edit::Ways(b, p, _)) if a == b && o == p => None,
        (Edit::Exists(a, _), Edit::Exists(b, _)) if a == b => None,
        (Edit::Fastener(a, i, _), Edit::Fastener(b, j, _)) if a == b && i == j => None,
        (Edit::Fasten(a, i, whole), Edit::Fastener(b, j, kind)) if a == b && i == j => {
            Some(Edit::Fasten(*a, *i, CompleteFastener { kind: *kind, ..whole.clone() }))
        }
        (Edit::Fasten(a, i, whole), Edit::Adhesive(b, j, adhesive)) if a == b && i == j => {
            Some(Edit::Fasten(*a, *i, CompleteFastener { adhesive: *adhesive, ..whole.clone() }))
        }
        (Edit::After(a, needs), Edit::Without(b, thing)) if a == b => {
            // Applied through the edit itself, so that alternatives are treated alike.
            let mut needs = needs.clone();
            put(&mut needs, *thing, &[]);
            Some(Edit::After(*a, needs))
        }
        (Edit::Replace(a, slot, thing), Edit::Without(b, gone)) if a == b && thing == gone => {
            Some(Edit::Without(*a, *slot))
        }
        (Edit::Place(list, place), Edit::Place(settled, _)) => {
            let rest: Vec<usize> = list.iter().copied().filter(|a| !settled.contains(a)).collect();
            (!rest.is_empty()).then_some(Edit::Place(rest, *place))
        }
        (Edit::Skill(list, skill), Edit::Skill(settled, _)) => {
            let rest: Vec<usize> = list.iter().copied().filter(|a| !settled.contains(a)).collect();
            (!rest.is_empty()).then_some(Edit::Skill(rest, *skill))
        }
        (Edit::Paired(list, is), Edit::Paired(settled, _)) => {
            let rest: Vec<usize> = list.iter().copied().filter(|f| !settled.contains(f)).collect();
            (!rest.is_empty()).then_some(Edit::Paired(rest, *is))
        }
        (Edit::Spare(list, fact, value), Edit::Spare(settled, by, _)) if fact == by => {
            let rest: Vec<usize> = list.iter().copied().filter(|f| !settled.contains(f)).collect();
            (!rest.is_empty()).then(|| Edit::Spare(rest, *fact, value.clone()))
        }
        (Edit::Support(fact, _), Edit::Support(by, _)) if fact == by => None,
        _ => Some(answer.clone()),
    }
}

/// Splits a lift of several parts. What is not known of the action is not known of its twin either, and is the same.
fn alone(case: &mut Case, action: usize, part: Thing) {
    let mut twin = case.base.actions[action].clone();
    twin.frees.retain(|t| *t != part);
    case.base.actions[action].frees = vec![part];
    case.base.actions.push(twin);
    let second = case.base.actions.len() - 1;
    for unknown in &mut case.unknowns {
        for Answer { edits, .. } in &mut unknown.answers {
            let more: Vec<Edit> = edits.iter().filter_map(|e| moved(e, action, second)).collect();
            edits.extend(more);
        }
        if let Touches::Routes(list) = &mut unknown.touches
            && list.contains(&action)
        {
            list.push(second);
        }
    }
}

/// An edit of one action, for another.
fn moved(edit: &Edit, from: usize, to: usize) -> Option<Edit> {
    let list = |l: &Vec<usize>| l.contains(&from).then(|| vec![to]);
    match edit {
        Edit::Ways(a, o, w) if *a == from => Some(Edit::Ways(to, *o, w.clone())),
        Edit::Operations(a, l) if *a == from => Some(Edit::Operations(to, l.clone())),
        Edit::After(a, n) if *a == from => Some(Edit::After(to, n.clone())),
        Edit::Replace(a, x, y) if *a == from => Some(Edit::Replace(to, *x, *y)),
        Edit::Without(a, t) if *a == from => Some(Edit::Without(to, *t)),
        Edit::Fastener(a, i, k) if *a == from => Some(Edit::Fastener(to, *i, *k)),
        Edit::Count(a, i, n) if *a == from => Some(Edit::Count(to, *i, *n)),
        Edit::Fasten(a, i, whole) if *a == from => Some(Edit::Fasten(to, *i, whole.clone())),
        Edit::Exists(a, e) if *a == from => Some(Edit::Exists(to, *e)),
        Edit::Place(l, p) => list(l).map(|l| Edit::Place(l, *p)),
        Edit::Skill(l, s) => list(l).map(|l| Edit::Skill(l, *s)),
        _ => None,
    }
}
