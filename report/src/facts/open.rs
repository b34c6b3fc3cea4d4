//! What is open: each question as a fact, ranked in one order for every page.

use scoring::exact::Exact;
use scoring::range::{Assessment, Edit, Question, Unknown};
use scoring::record::Record;
use scoring::record::complete::Complete;
use scoring::vocab::{Kind, Promise};

use super::Sticky;
use crate::clean::line;

/// A question nobody answered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Open {
    /// Data path.
    pub path: String,
    /// What it asks.
    pub asks: Asks,
    /// The question as the record's reader put it, for what has no shape of its own.
    pub question: String,
    /// Answers with where each leads; empty where that was not worked out.
    pub answers: Vec<Leads>,
    /// How far one end moves at most by an answer, points.
    pub moves: Exact,
}

/// Where an answer leads.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Leads {
    /// The answer's label.
    pub label: String,
    /// Good news: the thing works, comes off clean, is there, needs no pairing.
    pub good: Option<bool>,
    /// Both ends with this answer.
    pub ends: [Exact; 2],
    /// Both ends as shown.
    pub shown: [String; 2],
}

/// What a question asks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Asks {
    /// Whether what sticks these parts comes off clean.
    Clean(Vec<String>, Sticky),
    /// What kind the fastener of these parts is, and what the record calls it; empty where it names none.
    Kind(Vec<String>, String),
    /// Whether a way works that nobody tried: parts it frees, or what it does.
    Works(Vec<String>, bool),
    /// Which tool something takes.
    Tool(Vec<String>),
    /// What must come off or be done before.
    Before(Vec<String>),
    /// What holds these parts.
    Holds(Vec<String>),
    /// Where the work is done.
    Place,
    /// How much skill it takes.
    Skill,
    /// How a tool can be had.
    ToolClass(String),
    /// Whether the device has a part of this role.
    Has(String),
    /// Whether a new part must be paired.
    Paired(Vec<String>),
    /// A promise for spare parts.
    Spare(Promise, Vec<String>),
    /// A promise for the device, or a figure of it.
    Promise(Promise),
    /// Something else; the question stands as it is.
    Other,
}

/// Questions, the most useful first; those nothing was worked out for follow in the order of the record.
pub(super) fn open(record: &Record, a: &Assessment, questions: &[Question]) -> Vec<Open> {
    let device = &a.ends[0].device;
    let mut out: Vec<Open> = Vec::new();
    let asked = questions.iter().filter_map(|q| a.unknowns.iter().find(|u| u.path == q.path).map(|u| (u, Some(q))));
    for (unknown, question) in asked.chain(a.unknowns.iter().map(|u| (u, None))) {
        if out.iter().any(|o| o.path == line(&unknown.path)) {
            continue;
        }
        out.push(one(record, a, device, unknown, question));
    }
    out.sort_by(|x, y| y.moves.cmp(&x.moves));
    out
}

fn one(record: &Record, a: &Assessment, device: &Complete, unknown: &Unknown, question: Option<&Question>) -> Open {
    let answers: Vec<Leads> = question
        .into_iter()
        .flat_map(|q| &q.answers)
        .zip(&unknown.answers)
        .filter_map(|(leads, answer)| {
            Some(Leads {
                label: line(&leads.answer),
                good: answer.edits.iter().find_map(good),
                ends: [leads.range.low.clone()?, leads.range.high.clone()?],
                shown: leads.shown.clone(),
            })
        })
        .collect();
    let moves = match (&a.root.low, &a.root.high) {
        (Some(low), Some(high)) => {
            answers.iter().map(|l| (&l.ends[0] - low).max(high - &l.ends[1])).max().unwrap_or_else(Exact::zero)
        }
        _ => Exact::zero(),
    };
    let asks =
        unknown.answers.iter().flat_map(|x| &x.edits).next().map_or(Asks::Other, |e| asks(record, device, unknown, e));
    Open { path: line(&unknown.path), asks, question: line(&unknown.question), answers, moves }
}

fn good(edit: &Edit) -> Option<bool> {
    match edit {
        Edit::Exists(_, is) | Edit::Present(_, is) => Some(*is),
        Edit::Paired(_, is) => Some(!is),
        Edit::Fastener(_, _, kind) => Some(*kind < Kind::Neither),
        _ => None,
    }
}

fn asks(record: &Record, device: &Complete, unknown: &Unknown, edit: &Edit) -> Asks {
    let name = |t: &u32| device.things.get(*t as usize).map_or_else(String::new, |n| line(n));
    let of = |a: usize| -> Vec<String> {
        let Some(action) = device.actions.get(a) else { return Vec::new() };
        if action.frees.is_empty() {
            action.does.iter().map(name).collect()
        } else {
            action.frees.iter().map(name).collect()
        }
    };
    let fills = |list: &[usize]| -> Vec<String> {
        let mut out: Vec<String> = Vec::new();
        for text in list.iter().filter_map(|f| device.fills.get(*f)).map(|f| name(&f.thing)) {
            if !out.contains(&text) {
                out.push(text);
            }
        }
        out
    };
    match edit {
        Edit::Fastener(a, i, _) => {
            let glue = device.actions.get(*a).and_then(|x| x.fasteners.get(*i)).is_some_and(|f| f.adhesive);
            let kinds = unknown.answers.iter().flat_map(|x| &x.edits);
            let may_be = |kind: Kind| kinds.clone().any(|e| matches!(e, Edit::Fastener(_, _, k) if *k == kind));
            // Where it can't be removable, whether it comes off clean is not what is asked.
            let residue = may_be(Kind::Neither) && may_be(Kind::Removable);
            let action = device.actions.get(*a);
            let written = action.and_then(|x| x.written).and_then(|w| record.actions.get(w));
            let index = action.and_then(|x| x.fasteners.get(*i)).and_then(|f| f.written);
            let loosened = written.and_then(|w| w.loosen.get(index?));
            if glue && residue {
                Asks::Clean(of(*a), Sticky::of(loosened))
            } else {
                Asks::Kind(of(*a), loosened.map_or_else(String::new, |l| line(&l.fastener)))
            }
        }
        Edit::Exists(a, _) => Asks::Works(of(*a), device.actions.get(*a).is_some_and(|x| !x.frees.is_empty())),
        Edit::Ways(a, ..) | Edit::Operations(a, _) => Asks::Tool(of(*a)),
        Edit::After(a, _) | Edit::Replace(a, ..) | Edit::Without(a, _) => Asks::Before(of(*a)),
        Edit::Fasten(a, ..) | Edit::Count(a, ..) | Edit::Adhesive(a, ..) => Asks::Holds(of(*a)),
        Edit::Place(..) => Asks::Place,
        Edit::Skill(..) => Asks::Skill,
        Edit::ToolClass(t, _) => Asks::ToolClass(device.tools.get(*t).map_or_else(String::new, |x| line(&x.name))),
        Edit::Present(f, _) => Asks::Has(device.fills.get(*f).map_or_else(String::new, |x| line(&x.role))),
        Edit::Paired(list, _) => Asks::Paired(fills(list)),
        Edit::Spare(list, promise, _) => Asks::Spare(*promise, fills(list)),
        Edit::Support(promise, _) => Asks::Promise(*promise),
        _ => Asks::Other,
    }
}
