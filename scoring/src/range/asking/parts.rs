//! Which parts count: the first question.

use super::{Ask, Asking, Found, Offer, Placed, To, achieved, same};
use crate::record::{Aim, Outcome};

impl Asking<'_> {
    /// Parts somebody took off, in order, once each.
    fn taken_off(&self) -> Vec<String> {
        let mut out: Vec<String> = Vec::new();
        for action in self.record.actions.iter().filter(|a| a.outcome.value != Outcome::NotAttempted) {
            if let Aim::Free(parts) = &action.aim {
                for part in parts.iter().filter(|_| !achieved(action).is_empty()) {
                    if !out.iter().any(|o| same(o, &part.value)) {
                        out.push(part.value.clone());
                    }
                }
            }
        }
        out
    }

    /// Which parts count, where the record says so itself; else which part fills each role nobody filled.
    pub(super) fn parts(&self, open: &[usize], out: &mut Vec<Placed>) {
        let record = self.record;
        let line = Some(self.sources.position(record.device.name.span).line);
        if record.device.category.value.names_own_roles() {
            let names = self.taken_off();
            let none = record.own_roles.is_empty() && record.parts.iter().all(|p| p.roles.is_empty());
            if names.is_empty() || record.proposed.is_empty() && !none {
                return;
            }
            let counted = |name: &str| record.parts.iter().any(|p| same(&p.name.value, name) && !p.roles.is_empty());
            let mut offers: Vec<Offer> = names
                .iter()
                .map(|n| Offer::new(n.clone(), if counted(n) { "proposed by the draft" } else { "" }))
                .collect();
            if !record.proposed.is_empty() {
                offers.push(Offer::new("as proposed", "the parts a draft proposed, all alike"));
            }
            let line = record.proposed.first().map_or(line, |p| Some(self.sources.position(p.span).line));
            out.push((
                0,
                Ask {
                    key: "roles".to_owned(),
                    question: "Which parts count: which do people need to replace, and how much does each count?"
                        .to_owned(),
                    found: Found::Parts,
                    at: None,
                    line,
                    offers,
                    form: "numbers or names apart by commas, each with its share if not 1: `battery = 2, motor`"
                        .to_owned(),
                    of_several: String::new(),
                    to: To::Parts(names),
                    promise: false,
                    last: false,
                    unknowns: Vec::new(),
                },
            ));
            return;
        }
        for &u in open {
            let unknown = self.unknown(u);
            let role = unknown.path.strip_prefix("parts (").and_then(|p| p.strip_suffix(')'));
            // Its tools, fasteners and place in the order are asked once somebody tried.
            let role = role.filter(|role| !role.contains(')'));
            let Some(role) = role else { continue };
            let names = self.taken_off();
            let mut offers: Vec<Offer> = names.iter().map(|n| Offer::plain(n.clone())).collect();
            offers.push(Offer::new("none", "the device has no such part"));
            offers.push(Offer::new("not tried", "it has one, and nobody tried to take it off"));
            let like: Vec<usize> =
                open.iter().copied().filter(|&v| self.unknown(v).path.starts_with(&unknown.path)).collect();
            out.push((
                u,
                Ask {
                    key: unknown.path.clone(),
                    question: format!("Which part is the {role}?"),
                    found: Found::Parts,
                    at: None,
                    line,
                    offers,
                    form: "a part that was taken off, `none`, or `not tried`".to_owned(),
                    of_several: String::new(),
                    to: To::Role(role.to_owned(), names),
                    promise: false,
                    last: false,
                    unknowns: like,
                },
            ));
        }
    }
}
