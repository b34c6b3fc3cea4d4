//! Order, asked once per cover as a list to tick: what could be taken off or done as soon as it was off?

use super::{Ask, Asking, Found, Of, Offer, Placed, To, achieved, time};
use crate::record::{After, Need, Outcome};
use crate::text::edit::TextChange;

/// How a list to tick is named.
const ONCE: &str = "once off or done: ";
/// The list of the closed device.
const CLOSED: &str = "closed device";

impl Asking<'_> {
    /// The lists, and each order on its own for what none of them settles.
    pub(super) fn order(&self, open: &[usize], out: &mut Vec<Placed>) {
        let actions = &self.record.actions;
        // What nobody stated anything of; `X | Y` and `perhaps X` are asked one by one.
        let unordered: Vec<(usize, usize)> = open
            .iter()
            .filter_map(|&u| {
                let (place, field) = self.action(&self.unknown(u).path)?;
                let alone = field == "after" && actions[place].after.value == After::Unknown;
                alone.then_some((u, place))
            })
            .collect();
        let done = |i: usize| actions[i].outcome.value == Outcome::Done && self.record.witnessed(&actions[i]);
        let first_done = (0..actions.len()).find(|&i| done(i));
        let covers = std::iter::once(None).chain((0..actions.len()).filter(|&i| done(i)).map(Some));
        let mut seen: Vec<&str> = Vec::new();
        for cover in covers {
            let name = cover.map(|i| achieved(&actions[i]));
            // A second way to a part is the same cover.
            if name.is_some_and(|n| seen.iter().any(|s| super::same(s, n))) {
                continue;
            }
            seen.extend(name);
            let behind: Vec<(usize, usize)> = unordered
                .iter()
                .copied()
                .filter(|&(_, i)| {
                    cover.is_none_or(|c| i > c && !super::same(achieved(&actions[i]), achieved(&actions[c])))
                })
                .collect();
            if behind.is_empty() {
                continue;
            }
            let of: Vec<Of> = behind
                .iter()
                .map(|&(_, i)| Of {
                    name: actions[i].id.clone(),
                    path: format!("{}.after", actions[i].path),
                    at: time(&actions[i]),
                })
                .collect();
            let question = match name {
                None => match first_done.filter(|i| !behind.iter().any(|(_, b)| b == i)) {
                    // Done first, it needed nothing: told, so that nobody looks for it in the list.
                    Some(i) if matches!(actions[i].after.value, After::Unknown) => format!(
                        "What besides `{}`, which came first, could be taken off or done on the closed device, with nothing else off?",
                        actions[i].id
                    ),
                    _ => "What could be taken off or done on the closed device, with nothing else off?".to_owned(),
                },
                Some(n) => format!(
                    "What could be taken off or done as soon as `{n}` was {}, with nothing else of this list?",
                    if cover.is_some_and(|c| matches!(actions[c].aim, crate::record::Aim::Free(_))) {
                        "off"
                    } else {
                        "done"
                    }
                ),
            };
            let first = cover.unwrap_or(behind[0].1);
            out.push((
                if cover.is_some() { 3 * first + 2 } else { 1 },
                Ask {
                    key: name.map_or_else(|| CLOSED.to_owned(), |n| format!("{ONCE}{n}")),
                    question,
                    found: Found::Footage,
                    at: cover.and_then(|c| time(&actions[c])),
                    line: Some(self.sources.position(actions[first].span).line),
                    offers: of.iter().map(|o| Offer::plain(o.name.clone())).collect(),
                    form: "numbers or names apart by commas; `all`; `none`. What needs two things at once stays unticked: it has a \
                           question of its own at the end"
                        .to_owned(),
                    of_several: String::new(),
                    to: To::Order(name.map(str::to_owned), of),
                    promise: false,
                    last: false,
                    unknowns: behind.iter().map(|(u, _)| *u).collect(),
                },
            ));
        }
        for &(u, place) in &unordered {
            let action = &actions[place];
            let mut offers = vec![Offer::new("[]", "nothing: it is reachable on the closed device")];
            let above = (0..place).rev().filter(|&i| done(i)).map(|i| achieved(&actions[i]));
            offers.extend(above.map(|n| Offer::plain(crate::text::edit::written(n))));
            offers.dedup();
            out.push((
                usize::MAX,
                Ask {
                    key: format!("{}.after", action.path),
                    question: format!("What must be off or done before `{}`?", action.id),
                    found: Found::Footage,
                    at: time(action),
                    line: self.line(u),
                    offers,
                    form: "names of parts that are off and of what is done: `lid`, `[lid, unplug cell]`".to_owned(),
                    of_several: String::new(),
                    to: To::Same(vec![Of {
                        name: action.id.clone(),
                        path: format!("{}.after", action.path),
                        at: time(action),
                    }]),
                    promise: false,
                    last: true,
                    unknowns: vec![u],
                },
            ));
        }
        // Needs that are partly stated.
        for &u in open {
            let unknown = self.unknown(u);
            let Some((place, field)) = self.action(&unknown.path) else { continue };
            if field != "after" || actions[place].after.value == After::Unknown {
                continue;
            }
            if let Some(ask) = self.need(u, place) {
                out.push((3 * place + 1, ask));
                continue;
            }
            // Needs within needs: the whole of `after` is written anew.
            out.push((
                3 * place + 1,
                Ask {
                    key: unknown.path.clone(),
                    question: unknown.question.clone(),
                    found: Found::Footage,
                    at: time(&actions[place]),
                    line: self.line(u),
                    offers: Vec::new(),
                    form: format!(
                        "the whole of what must come before `{}`: `lid`, `[lid, unplug cell]`, `[]`",
                        actions[place].id
                    ),
                    of_several: String::new(),
                    to: To::Same(vec![Of {
                        name: actions[place].id.clone(),
                        path: unknown.path.clone(),
                        at: time(&actions[place]),
                    }]),
                    promise: false,
                    last: false,
                    unknowns: vec![u],
                },
            ));
        }
    }

    /// `perhaps X` and `X | Y` in a list of needs: that one is settled, the others stand as they are.
    fn need(&self, u: usize, place: usize) -> Option<Ask> {
        let (unknown, action) = (self.unknown(u), &self.record.actions[place]);
        let After::Needs(needs) = &action.after.value else { return None };
        let (at, need) = needs.iter().enumerate().find(|(_, n)| match n {
            Need::Perhaps(name) => name.span == unknown.span,
            Need::OneOf(_, span) => *span == unknown.span,
            Need::Is(_) | Need::Any(..) => false,
        })?;
        let whole = format!("{}.after", action.path);
        let alone = needs.len() == 1;
        let item = if alone { whole.clone() } else { format!("{whole}[{at}]") };
        let is = |name: &str| TextChange::Set(item.clone(), crate::text::edit::written(name));
        let (key, choices) = match need {
            Need::Perhaps(name) => {
                let without = if alone {
                    TextChange::Set(whole.clone(), "[]".to_owned())
                } else {
                    TextChange::Unlist(item.clone())
                };
                let choices = vec![("no".to_owned(), without), ("yes".to_owned(), is(&name.value))];
                (format!("{whole}: perhaps {}", name.value), choices)
            }
            Need::OneOf(names, _) => {
                let words: Vec<&str> = names.iter().map(|n| &*n.value).collect();
                let choices = names.iter().map(|n| (n.value.clone(), is(&n.value))).collect();
                (format!("{whole}: {}", words.join(" or ")), choices)
            }
            Need::Is(_) | Need::Any(..) => return None,
        };
        let offers: Vec<Offer> =
            choices.iter().map(|(word, _): &(String, TextChange)| Offer::plain(word.clone())).collect();
        Some(Ask {
            key,
            question: unknown.question.clone(),
            found: Found::Footage,
            at: time(action),
            line: self.line(u),
            form: format!(
                "{}; what else `after` names stays",
                offers.iter().map(|o| &*o.answer).collect::<Vec<_>>().join(" or ")
            ),
            offers,
            of_several: String::new(),
            to: To::Choice(choices),
            promise: false,
            last: false,
            unknowns: vec![u],
        })
    }
}
