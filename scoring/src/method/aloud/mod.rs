//! A method read aloud: its rules in plain words, in order, each with its source and certainty.
//!
//! What is returned is structure, not layout: the command prints it, the report sets it as an appendix.

mod criteria;

use criteria::{Above, criterion};

use super::{Absent, Cited, Classes, Method, PartSet, Rule, StepRule, Switch, either_of};
use crate::exact::Exact;
use crate::text::words::{either, list};
use crate::vocab::Certainty;

/// One thing a method says.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Paragraph {
    /// How deep it stands: 0 for the method and its blocks, 1 for the topmost criterion, and so on.
    pub level: usize,
    /// Id of the criterion, switch or block (`scope`, `parts 2`).
    pub id: String,
    /// Heading.
    pub heading: String,
    /// Plain words, one sentence or a few.
    pub text: String,
    /// A small table: what, how much.
    pub rows: Vec<AloudRow>,
    /// Clause, empty where there is none.
    pub clause: String,
    /// Source of the rule.
    pub source: String,
    /// How sure the rule is; `None` for text that states no rule.
    pub certainty: Option<Certainty>,
    /// The switch it depends on.
    pub switch: Option<String>,
}

/// A row of a paragraph's table.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct AloudRow {
    /// What (`3 to 5 steps`, `battery`).
    pub what: String,
    /// How much (`4`).
    pub value: String,
    /// Certainty, where it differs from the paragraph's.
    pub certainty: Option<Certainty>,
    /// Source, where it differs from the paragraph's.
    pub source: Option<String>,
    /// A note.
    pub note: Option<String>,
}

/// Reads a method aloud, as it stands with its switches.
pub fn aloud(method: &Method) -> Vec<Paragraph> {
    let mut out = vec![about(method)];
    if !method.days.rule.text.is_empty() {
        out.push(block("applies", "From which day", method.days.rule.text.clone(), &method.days.rule));
    }
    out.extend([scope(method), scale(method)]);
    let plural = method.part_sets.len() > 1;
    for (at, set) in method.part_sets.iter().enumerate() {
        out.push(part_set(set, if plural { Some(at + 1) } else { None }));
    }
    if !method.part_sets.is_empty() || matches!(method.absent, Absent::Points(_)) {
        let text = format!("A priority part the device does not have {}.", method.absent.words());
        out.push(block(
            "absent",
            "Parts that are not there",
            both(&text, &method.absent_rule.text),
            &method.absent_rule,
        ));
        out.push(block(
            "repeated",
            "Several parts of one role",
            both(method.instances.words(), &method.repeated_rule.text),
            &method.repeated_rule,
        ));
    }
    out.push(steps(&method.steps));
    if method.basic_tools == super::BasicTools::Standard {
        out.push(plain("basic tools", "Basic tools", method.basic_tools.words().to_owned()));
    }
    out.push(block(
        "routes",
        "Which route is read",
        both(&method.routes.words(), &method.routes.rule.text),
        &method.routes.rule,
    ));
    for (from, to) in method.read_as.iter().filter(|(from, to)| from != to) {
        out.push(plain("read tools as", "Tools", format!("A tool of class {from} is read as {to}.")));
    }
    for (at, company) in method.company.iter().enumerate() {
        let with =
            company.with.as_ref().map_or_else(|| "a part of any other role".to_owned(), |w| format!("the {}", or(w)));
        let sealed = if company.if_sealed { ", if ingress protection and endurance limits are met" } else { "" };
        let text = format!("The {} may be one piece with {with}{sealed}.", or(&company.roles));
        out.push(block(
            &format!("company {}", at + 1),
            "Parts that may share a piece",
            both(&text, &company.rule.text),
            &company.rule,
        ));
    }
    criterion(method, &method.root, 1, Above::default(), &mut out);
    for parked in &method.parked {
        let mut left = Vec::new();
        criterion(method, &parked.node, 1, Above::default(), &mut left);
        for paragraph in &mut left {
            paragraph.text = format!("Left out by a switch. {}", paragraph.text);
        }
        out.extend(left);
    }
    out.extend(method.classes.as_ref().map(classes));
    out.extend(method.switches.iter().map(switch));
    for origin in &method.weight_origins {
        let read = match (origin.unread, origin.certainty) {
            (true, _) => "could not be read".to_owned(),
            (false, Some(certainty)) => format!("have the certainty {certainty}"),
            (false, None) => "come from another source".to_owned(),
        };
        let text =
            format!("For a {} the weights below {} {read}.", or(&strings(&origin.categories)), and(&origin.below));
        let text = plain("weights for", "Weights by category", text);
        out.push(Paragraph { source: origin.source.clone().unwrap_or_default(), certainty: origin.certainty, ..text });
    }
    if !method.not_covered.is_empty() {
        let text = format!("Not covered here: {}.", and(&method.not_covered));
        out.push(plain("not covered", "Not covered", text));
    }
    for (at, note) in method.notes.iter().enumerate() {
        out.push(plain(&format!("note {}", at + 1), "Note", note.clone()));
    }
    out
}

fn plain(id: &str, heading: &str, text: String) -> Paragraph {
    Paragraph {
        level: 0,
        id: id.to_owned(),
        heading: heading.to_owned(),
        text: sentence(&text),
        rows: Vec::new(),
        clause: String::new(),
        source: String::new(),
        certainty: None,
        switch: None,
    }
}

fn block(id: &str, heading: &str, text: String, rule: &Rule) -> Paragraph {
    Paragraph {
        clause: rule.clause.clone(),
        source: rule.source.clone(),
        certainty: Some(rule.certainty),
        switch: rule.switch.clone(),
        ..plain(id, heading, text)
    }
}

/// Two texts as sentences, without saying the same thing twice.
fn both(first: &str, second: &str) -> String {
    let (first, second) = (sentence(first), sentence(second));
    match (first.as_str(), second.as_str()) {
        (a, b) if a == b || b.is_empty() => first,
        ("", _) => second,
        (a, b) => format!("{a} {b}"),
    }
}

/// A text that something follows: with a full stop, where whoever wrote it left that out.
pub fn sentence(text: &str) -> String {
    let text = text.trim();
    match text.trim_end_matches(['"', '\'', ')', ']', '”', '’', '*', '_', '`']).chars().next_back() {
        None | Some('.' | '!' | '?' | ':' | ';' | '…' | '。') => text.to_owned(),
        Some(_) => format!("{text}."),
    }
}

fn or<S: AsRef<str>>(words: &[S]) -> String {
    if words.is_empty() { "nothing".to_owned() } else { either(words) }
}

fn and<S: AsRef<str>>(words: &[S]) -> String {
    if words.is_empty() { "nothing".to_owned() } else { list(words) }
}

fn strings<T: ToString>(items: &[T]) -> Vec<String> {
    items.iter().map(ToString::to_string).collect()
}

fn about(method: &Method) -> Paragraph {
    let mut rows = Vec::new();
    let mut row = |what: &str, value: &str| {
        if !value.is_empty() {
            rows.push(AloudRow {
                what: what.to_owned(),
                value: value.to_owned(),
                certainty: None,
                source: None,
                note: None,
            });
        }
    };
    row("edition", &method.edition);
    let day = |d: &Option<crate::text::Day>| d.map(|d| d.to_string()).unwrap_or_default();
    row("applies from", &day(&method.days.from));
    row("to devices first supplied from", &day(&method.days.supplied_from));
    row("until", method.days.until.as_deref().unwrap_or(""));
    row("extends", method.extends.as_ref().map_or("", |e| &e.value));
    Paragraph { rows, ..plain(&method.id.value, &method.title, paragraphs(&method.about)) }
}

/// Paragraphs that a reader may run together, each ended.
fn paragraphs(text: &str) -> String {
    text.split("\n\n").map(sentence).collect::<Vec<_>>().join("\n\n")
}

fn scope(method: &Method) -> Paragraph {
    let scope = &method.scope;
    let without = match scope.without_forms.as_slice() {
        [] => String::new(),
        forms => format!(", but not to {} ones", or(&strings(forms))),
    };
    let own = method.own_categories.iter().map(|(c, roles)| format!("A {c} has the roles {}.", and(roles)));
    let own = own.collect::<Vec<_>>().join(" ");
    let text = format!("Applies to devices of category {}{without}.", or(&strings(&scope.categories)));
    let only = match &scope.information_only {
        (categories, _) if categories.is_empty() => String::new(),
        (categories, why) => {
            format!("For a {} the result is for information only: {}", or(&strings(categories)), sentence(why))
        }
    };
    block("scope", "Scope", both(&both(&both(&text, &own), &scope.rule.text), &only), &scope.rule)
}

fn scale(method: &Method) -> Paragraph {
    let scale = &method.scale;
    let text = if scale.verdict {
        "Pass, fail, or not settled where the record leaves both open.".to_owned()
    } else {
        format!(
            "Totals run from {} to {}, shown with {} {}.",
            scale.low.display(scale.decimals, scale.rounding),
            scale.high.display(scale.decimals, scale.rounding),
            scale.decimals,
            if scale.decimals == 1 { "decimal" } else { "decimals" },
        )
    };
    block("scale", "Scale", both(&text, &scale.rule.text), &scale.rule)
}

fn part_set(set: &PartSet, number: Option<usize>) -> Paragraph {
    let id = number.map_or_else(|| "parts".to_owned(), |n| format!("parts {n}"));
    let forms = if set.forms.is_empty() { String::new() } else { format!(", {}", or(&strings(&set.forms))) };
    let heading = format!("Priority parts: {}{forms}", or(&strings(&set.categories)));
    let total = set.total();
    let rows = set.weights.iter().map(|(role, weight)| {
        let share = weight
            .value
            .checked_div(&total)
            .map(|s| (&s * &Exact::from(100)).display(1, crate::exact::Rounding::HalfUp));
        let value = if weight.unread {
            "weight not read".to_owned()
        } else {
            format!("{} ({} %)", weight.value.plain(), share.unwrap_or_default())
        };
        row(either_of(role).join(" or "), value, weight, &set.rule)
    });
    let heading = if set.left_out { format!("{heading} (left out by a switch)") } else { heading };
    let own = if set.own_roles { "The roles and shares of the record itself." } else { "" };
    Paragraph { rows: rows.collect(), ..block(&id, &heading, both(own, &set.rule.text), &set.rule) }
}

fn row(what: String, value: String, number: &Cited<Exact>, rule: &Rule) -> AloudRow {
    AloudRow {
        what,
        value,
        certainty: number.certainty.filter(|c| *c != rule.certainty),
        source: number.source.clone().filter(|s| *s != rule.source),
        note: number.note.clone().filter(|_| !number.unread),
    }
}

fn steps(steps: &StepRule) -> Paragraph {
    block("steps", "What counts as a step", both(&steps.rule.text, &steps.words().join(" ")), &steps.rule)
}

fn classes(classes: &Classes) -> Paragraph {
    let rows = classes
        .bounds
        .iter()
        .map(|(name, bound)| row(name.clone(), format!("from {}", bound.value.plain()), bound, &classes.rule));
    let total = if classes.of_rounded { "rounded" } else { "exact" };
    let text = format!("Taken from the {total} total.");
    Paragraph { rows: rows.collect(), ..block("classes", "Classes", both(&text, &classes.rule.text), &classes.rule) }
}

fn switch(switch: &Switch) -> Paragraph {
    let rows = switch.options.iter().enumerate().map(|(at, (id, means))| AloudRow {
        what: id.clone(),
        value: means.clone(),
        certainty: None,
        source: None,
        note: (at == switch.chosen).then(|| "in force".to_owned()),
    });
    let id = format!("switch {}", switch.id);
    Paragraph { rows: rows.collect(), ..block(&id, "Open reading", switch.text.clone(), &switch.rule) }
}
