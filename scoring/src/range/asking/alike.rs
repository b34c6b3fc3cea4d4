//! What is asked of actions, parts and the device: alike ones once for all.

use super::{Ask, Asking, Found, Of, Offer, Placed, To, time, words};
use crate::record::{Action, Named, Outcome};

/// What kind of place a question is about.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Field {
    /// Tools of actions that loosen these fasteners and no others.
    With(Vec<String>),
    /// Kind of this fastener.
    Kind(String),
    /// Pairing of a part.
    Paired,
    /// Anything else, by its path.
    Alone(String),
}

impl Asking<'_> {
    /// Questions about bench facts, and those about parts and the device that nobody promises.
    pub(super) fn alike(&self, open: &[usize], out: &mut Vec<Placed>) {
        let mut groups: Vec<(Field, Vec<usize>)> = Vec::new();
        for &u in open {
            let path = &self.unknown(u).path;
            let Some(field) = self.field(path) else { continue };
            match groups.iter_mut().find(|(f, _)| *f == field) {
                Some((_, list)) => list.push(u),
                None => groups.push((field, vec![u])),
            }
        }
        for (field, list) in groups {
            out.push(self.group(&field, list));
        }
    }

    fn field(&self, path: &str) -> Option<Field> {
        if path.starts_with("support.") || path.starts_with("device.battery") || path.starts_with("device.endurance") {
            return None;
        }
        if path.starts_with("teardown.") || path.contains(" (") && !path.starts_with("device.ingress") {
            return None;
        }
        if path.starts_with("parts.") && path.ends_with(".paired") {
            return Some(Field::Paired);
        }
        if path.starts_with("parts.") && path.ends_with(".same as") {
            return None;
        }
        // Whether a part that nobody tried comes off is answered by an action, and no word stands for one.
        let untried = |p: &crate::record::Part| p.not_attempted.is_some() && path == format!("parts.{}", p.name.value);
        if self.record.parts.iter().any(untried) {
            return None;
        }
        let alone = Field::Alone(path.to_owned());
        let Some((place, field)) = self.action(path) else { return Some(alone) };
        let action = &self.record.actions[place];
        if field == "after" {
            return None;
        }
        if field == "with" && action.outcome.value == Outcome::Done {
            let mut held: Vec<String> = action
                .loosen
                .iter()
                .map(|l| match (&l.drive, l.named) {
                    (_, Named::One | Named::Any) => String::new(),
                    (Some(drive), _) => format!("{} {drive}", l.fastener),
                    (None, _) => l.fastener.clone(),
                })
                .collect();
            held.sort();
            held.dedup();
            // What holds it is not known: it is like no other.
            return Some(if held.is_empty() || held.iter().any(String::is_empty) { alone } else { Field::With(held) });
        }
        if action.loosen.iter().any(|l| l.perhaps && l.count.path == path) {
            return None;
        }
        if let Some(loosened) = action.loosen.iter().find(|l| l.kind.path == path) {
            return Some(Field::Kind(loosened.fastener.clone()));
        }
        Some(alone)
    }

    fn of(&self, u: usize) -> Of {
        let path = &self.unknown(u).path;
        let action = self.action(path).map(|(i, _)| &self.record.actions[i]);
        let part = path.strip_prefix("parts.").and_then(|p| p.rsplit_once('.')).map(|(name, _)| name);
        // The code of protection has two digits, and one field.
        let path = path.split(" (").next().unwrap_or(path).to_owned();
        Of {
            name: action.map(|a| a.id.clone()).or(part.map(str::to_owned)).unwrap_or_else(|| path.clone()),
            path,
            at: action.and_then(time),
        }
    }

    fn group(&self, field: &Field, list: Vec<usize>) -> Placed {
        let first = list[0];
        let unknown = self.unknown(first);
        let mut of: Vec<Of> = list.iter().map(|&u| self.of(u)).collect();
        of.dedup_by(|a, b| a.path == b.path);
        let action = self.action(&unknown.path).map(|(i, rest)| (i, &self.record.actions[i], rest));
        let untried = action.is_some_and(|(_, a, _)| a.outcome.value == Outcome::NotAttempted);
        let kind = matches!(field, Field::Kind(_)) || unknown.path.ends_with(".kind");
        let found = match action {
            _ if kind || untried => Found::Device,
            Some(_) => Found::Footage,
            None => Found::LookUp,
        };
        let names: Vec<&str> = of.iter().map(|o| &*o.name).collect();
        let labels: Vec<&str> = unknown.answers.iter().map(|a| &*a.label).collect();
        let (question, offers, form) =
            said(field, &unknown.path, &unknown.question, action.map(|(_, a, _)| a), &names, &labels);
        let place = action.map_or(first, |(i, ..)| 3 * i + 1);
        (
            place,
            Ask {
                key: of.iter().map(|o| &*o.path).collect::<Vec<_>>().join("; "),
                question,
                found,
                at: action.and_then(|(_, a, _)| time(a)),
                line: self.line(first),
                offers,
                form,
                of_several: if of.len() > 1 { "; `each`: ask one by one".to_owned() } else { String::new() },
                to: To::Same(of),
                promise: false,
                last: false,
                unknowns: list,
            },
        )
    }
}

/// Question, answers offered, and how others are written.
fn said(
    field: &Field,
    path: &str,
    engine: &str,
    action: Option<&Action>,
    names: &[&str],
    labels: &[&str],
) -> (String, Vec<Offer>, String) {
    let many = names.len();
    let listed = words::listed(names);
    let plain = |labels: &[&str]| labels.iter().map(|l| Offer::plain(*l)).collect::<Vec<_>>();
    let tools = "tools in order: `PH0`, `[heat pad 70 °C 4 min, opening pick]`, `PH0 or PH1`, `hands`";
    let field_name = path.rsplit('.').next().unwrap_or(path);
    let field_name = field_name.split('[').next().unwrap_or(field_name);
    match field {
        Field::With(held) => {
            let one = action.map(words::held).unwrap_or_default();
            let question = match (many, &**held) {
                (1, _) => format!("With what was `{}` done ({one})?", names[0]),
                (n, [fastener]) => format!("{n} times {} ({listed}): by hand, or with what?", words::plural(fastener)),
                (n, several) => format!("{n} times {} ({listed}): by hand, or with what?", several.join(" and ")),
            };
            (question, vec![Offer::new("hands", "no tool")], tools.to_owned())
        }
        Field::Kind(fastener) => {
            let question = match many {
                1 => format!("What becomes of the {fastener} of `{}` when it is opened?", names[0]),
                n => format!("{n} times {fastener} ({listed}): what becomes of it when it is opened?"),
            };
            (question, kinds(labels), "one of these; two apart by ` | ` where it is one of them".to_owned())
        }
        Field::Paired => {
            let question = match many {
                1 => format!("Does a new {} need software pairing?", names[0]),
                _ => format!("Do new ones need software pairing: {listed}?"),
            };
            let offers = vec![
                Offer::new("yes", "a new part works only after software pairs it with the device"),
                Offer::new("no", "a new part works as it is"),
            ];
            let each = if many > 1 { "; for one alone `battery: yes; board: no`" } else { "" };
            (question, offers, format!("yes or no{each}"))
        }
        Field::Alone(_) => {
            let id = action.map_or("", |a| &*a.id);
            match field_name {
                "with" if action.is_some_and(|a| a.outcome.value == Outcome::Done) => {
                    (format!("With what was `{id}` done?"), vec![Offer::new("hands", "no tool")], tools.to_owned())
                }
                "with" => (engine.to_owned(), vec![Offer::new("hands", "no tool")], tools.to_owned()),
                "loosen" if action.is_some_and(|a| a.outcome.value == Outcome::Done) => (
                    format!("What held `{id}`, and was opened?"),
                    vec![Offer::new("nothing", "it only lay there")],
                    "fasteners: `4 x screw PH0`, `[2 x clip, connector]`".to_owned(),
                ),
                "loosen" => (
                    engine.to_owned(),
                    vec![Offer::new("nothing", "nothing holds it")],
                    "fasteners: `4 x screw PH0`, `[2 x clip, connector]`".to_owned(),
                ),
                "count" => {
                    let text = action
                        .and_then(|a| a.loosen.iter().find(|l| l.count.path == path))
                        .map_or("of these", |l| &*l.text);
                    (
                        format!("How many {} does `{id}` open?", words::plural(text)),
                        Vec::new(),
                        "a number, or a span: `5`, `5..6`".to_owned(),
                    )
                }
                "outcome" => (
                    engine.to_owned(),
                    vec![
                        Offer::new("done", "somebody tried, and it works as written"),
                        Offer::new("failed", "somebody tried, and it does not work"),
                    ],
                    "leave it open unless somebody tried".to_owned(),
                ),
                "kind" => (engine.to_owned(), kinds(labels), "one of these; two apart by ` | `".to_owned()),
                "skill" => (
                    engine.to_owned(),
                    labels.iter().map(|l| Offer::new(*l, words::skill(l))).collect(),
                    "what the work needs, not who you are".to_owned(),
                ),
                "place" => (
                    engine.to_owned(),
                    labels.iter().map(|l| Offer::new(*l, words::place(l))).collect(),
                    "one of these; two apart by ` | `".to_owned(),
                ),
                "price" => (engine.to_owned(), Vec::new(), "an amount and a currency: `79 EUR`".to_owned()),
                "ingress" => (
                    "Which protection code does the device have?".to_owned(),
                    Vec::new(),
                    "the code printed on it or in its papers: `IP54`, `IP67`".to_owned(),
                ),
                _ => (
                    engine.to_owned(),
                    plain(labels),
                    "as a record writes it; `a | b` where it is one of two".to_owned(),
                ),
            }
        }
    }
}

/// Kinds in the words of a bench.
fn kinds(labels: &[&str]) -> Vec<Offer> {
    labels.iter().map(|l| Offer::new(words::kind(l), words::kind_means(l))).collect()
}
