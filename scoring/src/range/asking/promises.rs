//! What the maker promises: one question whether anybody looked, then one a fact for all parts.

use super::{Ask, Asking, Found, Of, Offer, Placed, To};
use crate::text::fold;

/// Fields of a spare part by what a question in brackets calls them, and how they are asked.
const SPARE: [(&str, &str, &str, &str); 7] = [
    ("spare part to", "to", "Who can have spare parts", "one of these; two apart by ` | `"),
    (
        "spare part years",
        "years",
        "For how many years after the last device is sold can spare parts be had",
        "years: `7`",
    ),
    ("spare part delivery", "delivery", "Within how many working days do they come", "working days: `3 working days`"),
    (
        "spare part price share",
        "price",
        "What do they cost",
        "an amount and a currency, each its own: `battery: 19 EUR; motor: 30 EUR`",
    ),
    ("spare part price published", "price published", "Is their price published", "yes or no"),
    ("spare part interface", "interface", "How are they joined to the rest", "one of these"),
    ("pairing access", "pairing", "Who gets access to their software pairing", "one of these"),
];

impl Asking<'_> {
    pub(super) fn promises(&self, open: &[usize], out: &mut Vec<Placed>) {
        let mut facts: Vec<(Option<usize>, Vec<usize>)> = Vec::new();
        for &u in open {
            let path = &self.unknown(u).path;
            let promised = path.starts_with("support.")
                || path.starts_with("device.battery")
                || path.starts_with("device.endurance");
            if !promised {
                continue;
            }
            let spare = spare_field(path);
            match (spare, facts.iter_mut().find(|(f, _)| spare.is_some() && *f == spare)) {
                (Some(_), Some((_, list))) => list.push(u),
                _ => facts.push((spare, vec![u])),
            }
        }
        if facts.is_empty() {
            return;
        }
        // Behind what is known of the device without its maker.
        let base = usize::MAX / 2;
        let count = facts.len();
        out.push((
            base,
            Ask {
                key: "support".to_owned(),
                question: "Did you look up what the maker promises: spare parts, repair information, updates?"
                    .to_owned(),
                found: Found::LookUp,
                at: None,
                line: self.line(facts[0].1[0]),
                offers: vec![
                    Offer::new("yes", format!("{count} questions follow, one a fact")),
                    Offer::new("no", "all of it stays open"),
                ],
                form: "yes or no; nothing is written".to_owned(),
                to: To::Looked,
                promise: false,
                last: false,
                unknowns: Vec::new(),
            },
        ));
        for (n, (spare, list)) in facts.into_iter().enumerate() {
            let ask = match spare {
                Some(field) => self.spare(field, list),
                None => self.promise(list[0]),
            };
            out.push((base + 1 + n, ask));
        }
    }

    fn promise(&self, u: usize) -> Ask {
        let unknown = self.unknown(u);
        let labels = unknown.answers.iter().map(|a| &*a.label);
        let field = unknown.path.rsplit('.').next().unwrap_or_default();
        let (offers, form) = match field {
            "updates" | "security updates" => (Vec::new(), "years: `7`"),
            "cycles" | "power key" | "volume keys" | "charging port" => (Vec::new(), "a number: `800`"),
            "capacity after 500 cycles" | "capacity after 1000 cycles" => (Vec::new(), "percent: `83 %`"),
            "cost" => (vec![Offer::plain("free"), Offer::plain("fee")], "one of these"),
            _ => (labels.map(Offer::plain).collect(), "one of these; two apart by ` | `"),
        };
        Ask {
            key: unknown.path.clone(),
            question: unknown.question.clone(),
            found: Found::LookUp,
            at: None,
            line: self.line(u),
            offers,
            form: form.to_owned(),
            to: To::Same(vec![Of { name: field.to_owned(), path: unknown.path.clone(), at: None }]),
            promise: true,
            last: false,
            unknowns: vec![u],
        }
    }

    /// One fact of all spare parts it is open for.
    fn spare(&self, field: usize, list: Vec<usize>) -> Ask {
        let (_, key, question, form) = SPARE[field];
        let mut of: Vec<Of> = Vec::new();
        let mut unstated = true;
        for &u in &list {
            let path = &self.unknown(u).path;
            let place = path.split(" (").next().unwrap_or(path);
            let place = place.strip_suffix(&format!(".{key}")).unwrap_or(place);
            let name = place.strip_prefix("support.spare parts.").unwrap_or(place);
            unstated &= !self.states(name, key);
            of.push(Of { name: name.to_owned(), path: format!("{place}.{key}"), at: None });
        }
        of.dedup_by(|a, b| a.path == b.path);
        let names: Vec<&str> = of.iter().map(|o| &*o.name).collect();
        let answers = &self.unknown(list[0]).answers;
        let numbers = matches!(key, "years" | "delivery" | "price");
        let offers = if numbers { Vec::new() } else { answers.iter().map(|a| Offer::plain(a.label.clone())).collect() };
        let listed = super::words::listed(&names).replace('`', "");
        let several = of.len() > 1;
        // What nobody said of any part is said of every part at once.
        let (path, own) = (format!("support.spare parts.every part.{key}"), key == "price");
        let all = several && unstated && !own;
        let named = if several && !own { "; for one alone `battery: none; motor: public`" } else { "" };
        Ask {
            key: if all { path } else { of.iter().map(|o| &*o.path).collect::<Vec<_>>().join("; ") },
            question: format!("{question}: {listed}?"),
            found: Found::LookUp,
            at: None,
            line: self.line(list[0]),
            offers,
            form: format!("{form}{named}"),
            to: To::Same(of),
            promise: true,
            last: false,
            unknowns: list,
        }
    }

    /// Whether the record has a fact of a spare part, if only as unknown.
    fn states(&self, part: &str, key: &str) -> bool {
        let Some(entry) = self.record.support.spares.get(&fold(part)) else { return false };
        entry.facts.iter().any(|(promise, fact)| promise.row().field == key && fact.stated)
    }
}

/// Which fact of a spare part a path is about.
fn spare_field(path: &str) -> Option<usize> {
    let rest = path.strip_prefix("support.spare parts.")?;
    let by_words = rest.split_once(" (").map(|(_, what)| what.trim_end_matches(')'));
    SPARE.iter().position(|(words, key, ..)| match by_words {
        Some("spares offered to the public") => *key == "to",
        Some(what) => what == *words,
        None => rest.rsplit_once('.').is_some_and(|(_, field)| field == *key),
    })
}
