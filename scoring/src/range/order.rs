//! Unknowns of order: what must be off or done before an action.

use std::collections::BTreeSet;

use super::build::Builder;
use super::case::{Answer, Touches};
use super::edit::Edit;
use crate::need::{Need, Thing, all_hold};
use crate::record::{self, Action, After, Outcome};
use crate::text::Span;

/// One need nobody settled: its placeholder, what may stand there, and its place.
struct Choice {
    slot: Thing,
    /// Nothing may stand there too.
    perhaps: bool,
    names: Vec<record::Spanned<String>>,
    span: Span,
}

impl Builder<'_> {
    pub(super) fn order(&mut self, at: usize, action: &Action) {
        let path = format!("{}.after", action.path);
        let span = action.after.span;
        match &action.after.value {
            After::Needs(needs) => {
                let mut choices = Vec::new();
                self.base.actions[at].after = self.needs(needs, &mut choices);
                for choice in choices {
                    self.choose(at, &path, &action.id, choice);
                }
            }
            After::Above => {
                self.base.actions[at].after = self.above(at, false);
                self.assume(&path, action.span, format!("`{}` needs the action above it (order as logged)", action.id));
            }
            After::Unknown => self.unordered.push((at, path, span, action.id.clone())),
        }
    }

    fn choose(&mut self, at: usize, path: &str, id: &str, choice: Choice) {
        let Choice { slot, perhaps, names, span } = choice;
        let mut answers = Vec::new();
        if perhaps {
            answers.push(Answer { label: "no".to_owned(), edits: vec![Edit::Without(at, slot)] });
        }
        for name in &names {
            let thing = self.thing(&name.value);
            let label = if perhaps { "yes".to_owned() } else { name.value.clone() };
            answers.push(Answer { label, edits: vec![Edit::Replace(at, slot, thing)] });
        }
        let question = || match (perhaps, &*names) {
            (true, [name]) => format!("Must `{}` come before `{id}`?", name.value),
            _ => format!("Which of these must come before `{id}`?"),
        };
        // The base keeps its placeholder: each answer replaces it.
        let base = self.base.actions[at].after.clone();
        let open = answers.len() > 1;
        self.ask(path, span, question, Touches::Routes(vec![at]), answers);
        if open {
            self.base.actions[at].after = base;
        }
    }

    /// Asks for every order nobody stated. Comes after all actions are known, since some may need any of them.
    pub(super) fn orders(&mut self) {
        for (at, path, span, id) in std::mem::take(&mut self.unordered) {
            let mut options = vec![("nothing", Vec::new())];
            match self.base.actions[at].written {
                Some(_) if self.was_done(at) => {
                    options.push(("the action above", self.above(at, false)));
                    options.push(("everything above", self.above(at, true)));
                }
                written => {
                    let others = self.not_behind(at);
                    let among = |needs: Vec<Need>| needs.into_iter().filter(|n| others.contains(n)).collect::<Vec<_>>();
                    if written.is_some() {
                        options.push(("the action above", among(self.above(at, false))));
                        options.push(("everything above", among(self.above(at, true))));
                    }
                    options.push(("every other action", others));
                }
            }
            let mut answers: Vec<Answer> = Vec::new();
            let mut seen: Vec<Vec<Need>> = Vec::new();
            for (label, needs) in options {
                if !seen.contains(&needs) {
                    seen.push(needs.clone());
                    answers.push(Answer { label: label.to_owned(), edits: vec![Edit::After(at, needs)] });
                }
            }
            let question = || format!("What must be off or done before `{id}`?");
            self.ask_between(&path, span, question, Touches::Routes(vec![at]), answers);
        }
    }

    /// Whether somebody did it in this order, on this bench or in the footage a draft was made from.
    fn was_done(&self, at: usize) -> bool {
        let Some(action) = self.base.actions[at].written.map(|w| &self.record.actions[w]) else { return false };
        action.outcome.value != Outcome::NotAttempted && self.record.witnessed(action)
    }

    /// All that can be off or done without an action: what an action nobody did may need, at most. What can't be
    /// reached without it is behind it, whatever else is unknown.
    fn not_behind(&self, at: usize) -> Vec<Need> {
        let own = self.reached(at);
        let mut reached: BTreeSet<Thing> = BTreeSet::new();
        let failed = |a: usize| {
            let written = self.base.actions[a].written.map(|w| &self.record.actions[w]);
            written.is_some_and(|w| w.outcome.value == Outcome::Failed)
        };
        loop {
            let before = reached.len();
            for other in (0..self.base.actions.len()).filter(|&a| a != at && !failed(a)) {
                // A need that isn't settled may be met in some answer.
                let met = |t: Thing| reached.contains(&t) || self.slots.contains(&t);
                if all_hold(&self.base.actions[other].after, &met) {
                    reached.extend(self.reached(other));
                }
            }
            if reached.len() == before {
                break;
            }
        }
        reached.difference(&own).copied().map(Need::Thing).collect()
    }

    /// What the action above, or everything above, has reached (see [`record::Record::above`]). Actions of the record come first, in
    /// its order, so that their places are the same here and there.
    fn above(&self, at: usize, all: bool) -> Vec<Need> {
        // What is perhaps the same part under another name may be above it.
        let own: BTreeSet<Thing> = self.reached_as_written(at);
        let above = self.record.above(at.min(self.record.actions.len()));
        let reached = above.map(|earlier| self.reached(earlier).difference(&own).copied().collect::<Vec<_>>());
        // Another way to the same part is not above it.
        let mut reached = reached.filter(|reached| !reached.is_empty());
        let out: BTreeSet<Thing> =
            if all { reached.flatten().collect() } else { reached.next().into_iter().flatten().collect() };
        out.into_iter().map(Need::Thing).collect()
    }

    fn reached_as_written(&self, at: usize) -> BTreeSet<Thing> {
        let perhaps = self.unknowns.iter().flat_map(|u| &u.answers).flat_map(|a| &a.edits);
        let written = perhaps.filter_map(|edit| match edit {
            Edit::Frees(action, frees) if *action == at => Some(frees),
            _ => None,
        });
        match written.min_by_key(|frees| frees.len()) {
            Some(frees) => frees.iter().copied().chain(self.base.actions[at].does).collect(),
            None => self.reached(at),
        }
    }

    fn reached(&self, at: usize) -> BTreeSet<Thing> {
        let action = &self.base.actions[at];
        action.frees.iter().copied().chain(action.does).collect()
    }

    fn needs(&mut self, needs: &[record::Need], choices: &mut Vec<Choice>) -> Vec<Need> {
        needs
            .iter()
            .map(|need| match need {
                record::Need::Is(name) => Need::Thing(self.thing(&name.value)),
                record::Need::OneOf(names, span) => {
                    let slot = self.slot();
                    choices.push(Choice { slot, perhaps: false, names: names.clone(), span: *span });
                    Need::Thing(slot)
                }
                record::Need::Perhaps(name) => {
                    let slot = self.slot();
                    choices.push(Choice { slot, perhaps: true, names: vec![name.clone()], span: name.span });
                    Need::Thing(slot)
                }
                record::Need::Any(members, _) => Need::Any(members.iter().map(|m| self.needs(m, choices)).collect()),
            })
            .collect()
    }

    /// A milestone that stands where answers put others.
    fn slot(&mut self) -> Thing {
        let slot = self.placeholder("one of several");
        self.slots.insert(slot);
        slot
    }
}
