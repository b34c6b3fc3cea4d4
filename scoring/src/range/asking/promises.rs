//! What the maker promises: one question whether anybody looked, then one a fact for all parts.

use super::{Ask, Asking, Found, Of, Offer, Placed, To};
use crate::range::promises::numbered;
use crate::text::fold;
use crate::vocab::Promise;
use crate::vocab::promise::{Holds, Of as Place};

/// How answers to a fact are written, and whether the answers offered are worth showing.
fn form(holds: Holds) -> (bool, String) {
    match holds {
        Holds::Words(..) => (true, "one of these; two apart by ` | `".to_owned()),
        Holds::YesNo => (true, "yes or no".to_owned()),
        Holds::Years => (false, "years: `7`".to_owned()),
        Holds::Days => (false, format!("working days: `{}`", holds.example())),
        Holds::Price => (false, format!("an amount and a currency: `{}`", holds.example())),
        Holds::Percent => (false, format!("percent: `{}`", holds.example())),
        Holds::Count(_) => (false, format!("a number: `{}`", holds.example())),
        Holds::Digit(..) => (false, format!("the code: `{}`", holds.example())),
    }
}

/// Asks for one fact of several spare parts.
fn of_parts(promise: Promise, names: &str) -> String {
    let row = promise.row();
    // A record holds the amount; its share of the device's price follows.
    let question = match row.holds {
        Holds::Price => "What do spare parts cost?".to_owned(),
        _ => numbered(row.question, "spare parts", true),
    };
    format!("{}: {names}?", question.trim_end_matches('?'))
}

impl Asking<'_> {
    pub(super) fn promises(&self, open: &[usize], out: &mut Vec<Placed>) {
        let mut facts: Vec<(Option<Promise>, Vec<usize>)> = Vec::new();
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
                of_several: String::new(),
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
        let row = Promise::ALL.iter().find(|p| !p.of_part() && p.path() == unknown.path).map(|p| p.row());
        let (shown, form) = row.map_or_else(|| (true, "one of these".to_owned()), |row| form(row.holds));
        let offers = labels.filter(|_| shown).map(Offer::plain).collect();
        Ask {
            key: unknown.path.clone(),
            question: unknown.question.clone(),
            found: Found::LookUp,
            at: None,
            line: self.line(u),
            offers,
            form,
            of_several: String::new(),
            to: To::Same(vec![Of { name: field.to_owned(), path: unknown.path.clone(), at: None }]),
            promise: true,
            last: false,
            unknowns: vec![u],
        }
    }

    /// One fact of all spare parts it is open for.
    fn spare(&self, promise: Promise, list: Vec<usize>) -> Ask {
        let key = promise.row().field;
        let (shown, form) = form(promise.row().holds);
        let mut of: Vec<Of> = Vec::new();
        let mut unstated = true;
        for &u in &list {
            let path = &self.unknown(u).path;
            let place = path.split(" (").next().unwrap_or(path);
            let place = place.strip_suffix(&format!(".{key}")).unwrap_or(place);
            let name = place.strip_prefix("support.spare parts.").unwrap_or(place);
            unstated &= !self.states(name, promise);
            of.push(Of { name: name.to_owned(), path: format!("{place}.{key}"), at: None });
        }
        of.dedup_by(|a, b| a.path == b.path);
        let names: Vec<&str> = of.iter().map(|o| &*o.name).collect();
        let answers = &self.unknown(list[0]).answers;
        let offers: Vec<Offer> = answers.iter().filter(|_| shown).map(|a| Offer::plain(a.label.clone())).collect();
        let listed = super::words::listed(&names).replace('`', "");
        let several = of.len() > 1;
        // What nobody said of any part is said of every part at once.
        let (path, own) = (format!("support.spare parts.every part.{key}"), promise == Promise::Price);
        let all = several && unstated && !own;
        let of_several = match &names[..] {
            [a, b, ..] => {
                let for_whom = if own { "each its own" } else { "for one alone" };
                let one = offers.first().map_or(promise.row().holds.example(), |o: &Offer| &o.answer);
                let other = offers.last().map_or(one, |o| &o.answer);
                format!("; {for_whom} `{a}: {one}; {b}: {other}`")
            }
            _ => String::new(),
        };
        Ask {
            key: if all { path } else { of.iter().map(|o| &*o.path).collect::<Vec<_>>().join("; ") },
            question: of_parts(promise, &listed),
            found: Found::LookUp,
            at: None,
            line: self.line(list[0]),
            offers,
            form,
            of_several,
            to: To::Same(of),
            promise: true,
            last: false,
            unknowns: list,
        }
    }

    /// Whether the record has a fact of a spare part, if only as unknown.
    fn states(&self, part: &str, promise: Promise) -> bool {
        self.record.support.spares.get(&fold(part)).is_some_and(|entry| entry.facts[promise].stated)
    }
}

/// Which fact of a spare part a path is about: one that stands nowhere names its measure in brackets.
fn spare_field(path: &str) -> Option<Promise> {
    let rest = path.strip_prefix("support.spare parts.")?;
    let measure = rest.split_once(" (").map(|(_, what)| what.trim_end_matches(')'));
    Promise::of(Place::Part).find(|p| match measure {
        Some(measure) => p.row().measure == measure,
        None => rest.rsplit_once('.').is_some_and(|(_, field)| field == p.row().field),
    })
}
