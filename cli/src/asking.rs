//! What a record leaves open, as questions one at a time: in the order a bench answers them, each with its place and with
//! answers as a record writes them.

use scoring::method::Method;
use scoring::range::{Case, Touches};
use scoring::record::{Action, Aim, Outcome, Record};
use scoring::text::{Sources, fold};
use scoring::vocab::promise::Of;
use scoring::vocab::{Basis, Promise};

/// Where an answer is found, in the order questions are asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Found {
    /// Of the bench itself: where, and who could do it.
    Bench,
    /// In the footage.
    Footage,
    /// By asking or looking up.
    LookUp,
}

impl Found {
    /// In words.
    pub(crate) fn words(self) -> &'static str {
        match self {
            Self::Bench => "of the whole teardown",
            Self::Footage => "in the footage",
            Self::LookUp => "ask or look up",
        }
    }
}

/// One question.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Ask {
    /// Path of the value, as `answer` sets it.
    pub(crate) path: String,
    /// In plain words.
    pub(crate) question: String,
    /// Where the answer is found.
    pub(crate) found: Found,
    /// Second of the footage.
    pub(crate) at: Option<u32>,
    /// Line of the record.
    pub(crate) line: u32,
    /// Answers as a record writes them; others may do too.
    pub(crate) answers: Vec<String>,
    /// How other answers are written.
    pub(crate) form: &'static str,
}

/// Everything a record leaves open for a method, and every drafted action nobody reviewed.
pub(crate) fn asks(record: &Record, sources: &Sources, method: &Method) -> Vec<Ask> {
    let case = Case::new(record, method);
    let mut out: Vec<(usize, Ask)> = Vec::new();
    for (i, action) in record.actions.iter().enumerate().filter(|(_, a)| a.margin.basis == Some(Basis::Drafted)) {
        out.push((
            2 * i,
            Ask {
                path: format!("{}.basis", action.path),
                question: format!(
                    "`{}` was drafted: was it done as it stands there? (Its other fields are asked next.)",
                    action.id
                ),
                found: Found::Footage,
                at: time(action),
                line: sources.position(action.span).line,
                answers: vec!["seen".to_owned(), "told".to_owned()],
                form: "seen: done on this bench; told: shown or described elsewhere",
            },
        ));
    }
    for unknown in &case.unknowns {
        let Some(path) = settable(&unknown.path) else { continue };
        if out.iter().any(|(_, a)| a.path == path) {
            continue;
        }
        let place = record
            .actions
            .iter()
            .position(|a| path.strip_prefix(&*a.path).is_some_and(|rest| rest.starts_with(['.', '['])));
        let action = place.map(|p| &record.actions[p]);
        let found = match (&unknown.touches, action) {
            (_, Some(_)) => Found::Footage,
            (Touches::Routes(_), None) if path.starts_with("teardown") => Found::Bench,
            _ => Found::LookUp,
        };
        let labels: Vec<String> = unknown.answers.iter().map(|a| a.label.clone()).collect();
        let (answers, form) = offered(&path, labels, record, place);
        let line = sources.position(unknown.span).line;
        let order = match found {
            Found::Bench => 0,
            Found::Footage => 2 * place.unwrap_or_default() + 1,
            Found::LookUp => usize::MAX,
        };
        out.push((
            order,
            Ask { question: unknown.question.clone(), found, at: action.and_then(time), line, answers, form, path },
        ));
    }
    out.sort_by_key(|(order, ask)| (ask.found, *order));
    out.into_iter().map(|(_, ask)| ask).collect()
}

fn time(action: &Action) -> Option<u32> {
    action.at.as_ref().map(|at| at.value.from)
}

/// The path of a field that can be written; questions about what has no field of its own name it in brackets.
fn settable(path: &str) -> Option<String> {
    let Some((place, what)) = path.split_once(" (") else { return Some(path.to_owned()) };
    let what = what.trim_end_matches(')');
    let field = Promise::of(Of::Part).map(Promise::row).find(|row| row.measure == what)?.field;
    place.starts_with("support.spare parts.").then(|| format!("{place}.{field}"))
}

/// Answers worth offering, as a record writes them, and how others are written.
fn offered(path: &str, labels: Vec<String>, record: &Record, place: Option<usize>) -> (Vec<String>, &'static str) {
    let field = path.rsplit('.').next().unwrap_or(path);
    let field = field.split('[').next().unwrap_or(field);
    match field {
        "after" => (
            above(record, place),
            "names of parts that are off and of what is done before: `lid`, `[lid, unplug cell]`; `[]`: reachable on the closed device",
        ),
        "with" => (
            vec!["hands".to_owned()],
            "tools in order: `PH0`, `[heat pad 70 °C 4 min, opening pick]`, `PH0 or PH1`, `hands`",
        ),
        "loosen" => (vec!["nothing".to_owned()], "fasteners: `4 x screw PH0`, `[2 x clip, connector]`, `nothing`"),
        "count" => (Vec::new(), "a number, or a span: `5`, `5..6`"),
        "outcome" => (vec!["not attempted".to_owned(), "failed".to_owned()], "leave it open unless somebody tried"),
        "kind" => (
            labels,
            "reusable: goes on again; resupplied: a new one comes with the spare part; resupplied at cost: a new one must be bought; removable: comes off, \
             can't be used again; neither: leaves residue or damage",
        ),
        "skill" => (labels, "what the work needs, not who did it"),
        "paired" => (labels, "yes: a new part works only after software pairs it with the device"),
        "price" => (Vec::new(), "an amount and a currency: `79 EUR`"),
        "years" | "updates" | "security updates" => (Vec::new(), "years: `7`"),
        "delivery" => (Vec::new(), "working days: `3 working days`"),
        _ => (labels, "as a record writes it; `a | b` where it is one of two"),
    }
}

/// What comes before an action, the least first.
fn above(record: &Record, place: Option<usize>) -> Vec<String> {
    let mut out = vec!["[]".to_owned()];
    let names: Vec<String> = record.actions[..place.unwrap_or_default()]
        .iter()
        .filter(|a| a.outcome.value == Outcome::Done)
        .map(|a| match &a.aim {
            Aim::Free(parts) => parts[0].value.clone(),
            Aim::Do(name) => name.value.clone(),
        })
        .map(|n| {
            if n.contains([',', ':', '[', ']', '{', '}', '#', '|']) {
                format!("\"{}\"", n.replace('"', "\\\""))
            } else {
                n
            }
        })
        .collect();
    out.extend(names.into_iter().rev());
    out.dedup_by(|a, b| fold(a) == fold(b));
    out
}
