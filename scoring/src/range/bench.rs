//! Unknowns of the bench: order, tools, fasteners, outcomes.

use std::collections::BTreeSet;

use super::case::{Answer, Builder, Touches, any_fasteners, blank_action, vocabulary};
use super::edit::Edit;
use crate::method::Measure;
use crate::record::complete::{CompleteAction, CompleteFastener, CompleteTool};
use crate::record::{self, Action, After, Aim, Fact, Known, Outcome, Ways};
use crate::route::{Need, Thing};
use crate::text::Span;
use crate::vocab::class::Words;
use crate::vocab::{Kind, ToolClass};

impl Builder<'_> {
    pub(super) fn actions(&mut self) {
        for index in 0..self.record.actions.len() {
            self.action(index);
        }
    }

    fn action(&mut self, index: usize) {
        let record = self.record;
        let action = &record.actions[index];
        let (frees, does) = match &action.aim {
            Aim::Free(parts) => (parts.iter().map(|p| self.thing(&p.value)).collect(), None),
            Aim::Do(name) => (Vec::new(), Some(self.thing(&name.value))),
        };
        let damages = action.damages.iter().map(|d| self.thing(&d.value)).collect();
        let at = self.push_action(CompleteAction {
            written: Some(index),
            exists: action.outcome.value != Outcome::Failed,
            frees,
            does,
            operations: action.with.iter().map(|_| vec![vec![]]).collect(),
            damages,
            mains: action.mains,
            ..blank_action(0)
        });
        if !self.method_reads_routes() {
            return;
        }
        let assumed = self.assumed.len();
        if action.outcome.value == Outcome::NotAttempted {
            self.existence(at, &format!("{}.outcome", action.path), action.outcome.span, &action.id);
        }
        self.tools(at, action);
        self.fasteners(at, action);
        self.order(at, action);
        self.circumstances(at, action);
        if !action.loosen_stated {
            self.assume(&format!("{}.loosen", action.path), action.span, format!("`{}` loosens nothing", action.id));
        }
        if action.usual {
            self.assume(&format!("{}.with", action.path), action.span, format!("`{}` takes the usual tool", action.id));
        }
        // Nothing rests on what a way that failed is assumed to be.
        if action.outcome.value == Outcome::Failed {
            self.assumed.truncate(assumed);
        }
    }

    fn existence(&mut self, at: usize, path: &str, span: Span, id: &str) {
        let answers = [("it works as described", true), ("it does not work", false)]
            .map(|(label, is)| Answer { label: label.to_owned(), edits: vec![Edit::Exists(at, is)] });
        let question = || format!("Does `{id}`, which nobody tried, work?");
        self.ask(path, span, question, Touches::Routes(vec![at]), answers.to_vec());
    }

    fn tools(&mut self, at: usize, action: &Action) {
        for (operation, fact) in action.with.iter().enumerate() {
            let answers = match &fact.known {
                Known::Is(ways) => vec![self.ways_answer(at, operation, ways)],
                Known::OneOf(list) => list.iter().map(|w| self.ways_answer(at, operation, w)).collect(),
                Known::Between(..) | Known::Unknown => {
                    self.any_tool(at, operation, action.outcome.value == Outcome::NotAttempted)
                }
            };
            let question = || format!("Which tool does `{}` take?", action.id);
            self.ask(&fact.path, fact.span, question, Touches::Routes(vec![at]), answers);
        }
    }

    fn ways_answer(&self, at: usize, operation: usize, ways: &Ways) -> Answer {
        let sets: Vec<Vec<usize>> = ways
            .iter()
            .map(|set| set.tools.iter().map(|t| t.tool).collect::<BTreeSet<_>>().into_iter().collect())
            .collect();
        let names = |set: &Vec<usize>| match set.as_slice() {
            [] => "hands".to_owned(),
            list => list.iter().map(|&t| self.base.tools[t].name.as_str()).collect::<Vec<_>>().join(" + "),
        };
        let label = sets.iter().map(names).collect::<Vec<_>>().join(" or ");
        Answer { label, edits: vec![Edit::Ways(at, operation, sets)] }
    }

    /// Hands, each tool of the record, one fresh tool per class. Two unknowns never share a fresh tool: for the best
    /// end bare hands beat a shared one, for the worst end two tools do.
    fn any_tool(&mut self, at: usize, operation: usize, untried: bool) -> Vec<Answer> {
        let mut out = vec![Answer { label: "hands".to_owned(), edits: vec![Edit::Ways(at, operation, vec![vec![]])] }];
        for tool in 0..self.record.tools.len() {
            let label = self.base.tools[tool].name.clone();
            out.push(Answer { label, edits: vec![Edit::Ways(at, operation, vec![vec![tool]])] });
        }
        let mut fresh: Vec<(String, ToolClass, bool)> = ToolClass::ALL
            .iter()
            // What was done with a tool was feasible with it.
            .filter(|c| **c != ToolClass::None && (untried || **c != ToolClass::NotFeasible))
            .map(|c| (format!("another tool, {c}"), *c, false))
            .collect();
        if self.reads(&Measure::HeatOrSolvent) {
            fresh.push(("another heat source".to_owned(), ToolClass::Commercial, true));
        }
        for (name, class, heat) in fresh {
            self.base.tools.push(CompleteTool { name: name.clone(), class, heat, solvent: false });
            let tool = self.base.tools.len() - 1;
            out.push(Answer { label: name, edits: vec![Edit::Ways(at, operation, vec![vec![tool]])] });
        }
        out
    }

    fn fasteners(&mut self, at: usize, action: &Action) {
        for (written, loosened) in action.loosen.iter().enumerate() {
            if loosened.anything {
                let question = || format!("Which fasteners does `{}` open?", action.id);
                self.ask(&loosened.path, loosened.span, question, Touches::Routes(vec![at]), any_fasteners(at));
                continue;
            }
            let kinds = match &loosened.kind.known {
                // Left out: only adhesives and seals have no kind in the vocabulary.
                Known::Unknown if !loosened.kind.stated => {
                    vec![Kind::Resupplied, Kind::Removable, Kind::Neither]
                }
                known => vocabulary(known),
            };
            self.base.actions[at].fasteners.push(CompleteFastener {
                written: Some(written),
                kind: kinds[0],
                adhesive: loosened.adhesive,
            });
            let slot = self.base.actions[at].fasteners.len() - 1;
            let answers: Vec<Answer> = kinds
                .into_iter()
                .map(|k| Answer { label: k.word().to_owned(), edits: vec![Edit::Fastener(at, slot, k)] })
                .collect();
            let options: Vec<&str> = answers.iter().map(|a| a.label.as_str()).collect();
            let options = match options.split_last() {
                Some((last, [])) => (*last).to_owned(),
                Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
                None => String::new(),
            };
            let question = || format!("Is the {} of `{}` {options}?", loosened.text, action.id);
            self.ask(&loosened.kind.path, loosened.kind.span, question, Touches::Routes(vec![at]), answers);
        }
    }

    fn order(&mut self, at: usize, action: &Action) {
        let path = format!("{}.after", action.path);
        let span = action.after.span;
        match &action.after.value {
            After::Needs(needs) => {
                let mut choices = Vec::new();
                self.base.actions[at].after = self.needs(needs, &mut choices);
                for (slot, names, place) in choices {
                    let answers = names
                        .iter()
                        .map(|name| {
                            let thing = self.thing(&name.value);
                            Answer { label: name.value.clone(), edits: vec![Edit::Replace(at, slot, thing)] }
                        })
                        .collect();
                    let question = || format!("Which of these must come before `{}`?", action.id);
                    // The base keeps its placeholder: each answer replaces it.
                    let base = self.base.actions[at].after.clone();
                    self.ask(&path, place, question, Touches::Routes(vec![at]), answers);
                    if names.len() > 1 {
                        self.base.actions[at].after = base;
                    }
                }
            }
            After::Above => {
                self.base.actions[at].after = self.above(at, false);
                self.assume(&path, action.span, format!("`{}` needs the action above it (order as logged)", action.id));
            }
            After::Unknown => self.ask_order(at, &path, span, &action.id),
        }
    }

    fn ask_order(&mut self, at: usize, path: &str, span: Span, id: &str) {
        let mut answers: Vec<Answer> = Vec::new();
        let mut seen: Vec<Vec<Need>> = Vec::new();
        let options = [
            ("nothing", Vec::new()),
            ("the action above", self.above(at, false)),
            ("everything above", self.above(at, true)),
        ];
        for (label, needs) in options {
            if !seen.contains(&needs) {
                seen.push(needs.clone());
                answers.push(Answer { label: label.to_owned(), edits: vec![Edit::After(at, needs)] });
            }
        }
        let question = || format!("What must be off or done before `{id}`?");
        self.ask(path, span, question, Touches::Routes(vec![at]), answers);
    }

    /// What the action above, or everything above, has reached; above means higher up and done.
    fn above(&self, at: usize, all: bool) -> Vec<Need> {
        let own: BTreeSet<Thing> = self.reached(at);
        let mut out: BTreeSet<Thing> = BTreeSet::new();
        for earlier in (0..at).rev() {
            let done = self.base.actions[earlier]
                .written
                .is_some_and(|w| self.record.actions[w].outcome.value == Outcome::Done);
            let reached: BTreeSet<Thing> = self.reached(earlier).difference(&own).copied().collect();
            // Another way to the same part is not above it.
            if !done || reached.is_empty() {
                continue;
            }
            out.extend(reached);
            if !all {
                break;
            }
        }
        out.into_iter().map(Need::Thing).collect()
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
                    let slot = self.placeholder("one of several");
                    choices.push((slot, names.clone(), *span));
                    Need::Thing(slot)
                }
                record::Need::Any(members, _) => Need::Any(members.iter().map(|m| self.needs(m, choices)).collect()),
            })
            .collect()
    }

    fn circumstances(&mut self, at: usize, action: &Action) {
        let record = self.record;
        match &action.place {
            Some(fact) => {
                let question = || format!("In which working environment is `{}` done?", action.id);
                self.own_word(at, fact, question, Edit::Place);
            }
            None => match record.teardown.place.settled() {
                Some(place) => self.base.actions[at].place = *place,
                None => self.place_is_unknown(at),
            },
        }
        match &action.skill {
            Some(fact) => {
                let question = || format!("Which skill level does `{}` take?", action.id);
                self.own_word(at, fact, question, Edit::Skill);
            }
            None => match record.teardown.skill.settled() {
                Some(skill) => self.base.actions[at].skill = *skill,
                None => self.skill_is_unknown(at),
            },
        }
    }

    fn own_word<W: Words>(
        &mut self,
        at: usize,
        fact: &Fact<W>,
        question: impl FnOnce() -> String,
        edit: fn(Vec<usize>, W) -> Edit,
    ) {
        let answers = vocabulary(&fact.known)
            .into_iter()
            .map(|w| Answer { label: w.word().to_owned(), edits: vec![edit(vec![at], w)] })
            .collect();
        self.ask(&fact.path, fact.span, question, Touches::Routes(vec![at]), answers);
    }

    /// The action that stands for a part nobody tried to free: all its fields unknown.
    pub(super) fn untried_part(&mut self, name: &str, span: Span, thing: Thing, path: &str) {
        if !self.method_reads_routes() {
            return;
        }
        let at = self.push_action(blank_action(thing));
        self.existence(at, path, span, name);
        let answers = self.any_tool(at, 0, true);
        let touches = Touches::Routes(vec![at]);
        self.ask(
            &format!("{path} (tools)"),
            span,
            || format!("Which tool would free `{name}`?"),
            touches.clone(),
            answers,
        );
        let question = || format!("Which fasteners hold `{name}`?");
        self.ask(&format!("{path} (fasteners)"), span, question, touches, any_fasteners(at));
        self.ask_order(at, &format!("{path} (order)"), span, name);
        match self.record.teardown.place.settled() {
            Some(place) => self.base.actions[at].place = *place,
            None => self.place_is_unknown(at),
        }
        match self.record.teardown.skill.settled() {
            Some(skill) => self.base.actions[at].skill = *skill,
            None => self.skill_is_unknown(at),
        }
    }
}

type Choice = (Thing, Vec<record::Spanned<String>>, Span);
