//! Unknowns of the bench: outcomes, tools, fasteners, circumstances.

use std::collections::BTreeSet;

use super::build::{Builder, vocabulary};
use super::case::{Answer, Touches};
use super::edit::Edit;
use super::numbers::cells;
use super::reads::tables;
use crate::exact::{Exact, Rounding};
use crate::method::{Measure, Start};
use crate::record::complete::{CompleteAction, CompleteFastener, CompleteTool, MANY};
use crate::record::{Action, Aim, Fact, Known, Loosened, Named, Outcome, Ways};
use crate::route::Thing;
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
        let destroys = action.destroys.iter().map(|d| self.thing(&d.value)).collect();
        let aside = action.aside.iter().map(|d| self.thing(&d.value)).collect();
        let at = self.push_action(CompleteAction {
            written: Some(index),
            exists: action.outcome.value != Outcome::Failed,
            frees,
            does,
            operations: action.with.iter().map(|_| vec![vec![]]).collect(),
            destroys,
            aside,
            cleans: action.cleans,
            mains: action.mains,
            ..CompleteAction::by_hand(0)
        });
        if !self.method_reads_routes() {
            return;
        }
        let assumed = self.assumed.len();
        if action.outcome.value == Outcome::NotAttempted {
            self.existence(at, &format!("{}.outcome", action.path), action.outcome.span, &action.id);
        }
        // What is done before counting starts is done with all it takes.
        let counted = !(action.mains && self.method.routes.start == Start::Disconnected);
        if counted {
            self.tools(at, action);
            self.fasteners(at, action);
        }
        self.order(at, action);
        if counted {
            self.circumstances(at, action);
        }
        if !action.loosen_stated {
            self.assume(&format!("{}.loosen", action.path), action.span, format!("`{}` loosens nothing", action.id));
        }
        self.by_sheet(at, action);
        // Nothing rests on what a way that failed is assumed to be.
        if action.outcome.value == Outcome::Failed {
            self.assumed.truncate(assumed);
        }
    }

    /// What a bench sheet supplied: settled, and listed.
    fn by_sheet(&mut self, at: usize, action: &Action) {
        let Some(sheet) = self.record.bench.as_ref().map(|b| &b.name) else { return };
        if let Some(first) = action.with.first().filter(|w| w.ways.by_sheet()) {
            let tools: Vec<String> = self.base.actions[at]
                .operations
                .iter()
                .flatten()
                .map(|set| match set.as_slice() {
                    [] => "hands".to_owned(),
                    list => list.iter().map(|&t| self.base.tools[t].name.as_ref()).collect::<Vec<_>>().join(" + "),
                })
                .collect();
            let text = format!("`{}` takes {}, by the sheet of {sheet}", action.id, tools.join(", then "));
            self.assume(&format!("{}.with", action.path), first.ways.span, text);
        }
        for loosened in action.loosen.iter().filter(|l| l.kind.by_sheet()) {
            let kind = loosened.kind.settled().map_or_else(String::new, |k| k.word().to_owned());
            let text = format!("the {} of `{}` is {kind}, by the sheet of {sheet}", loosened.text, action.id);
            self.assume(&format!("{}.kind", loosened.path), loosened.kind.span, text);
        }
    }

    fn existence(&mut self, at: usize, path: &str, span: Span, id: &str) {
        let answers = [("it works as described", true), ("it does not work", false)]
            .map(|(label, is)| Answer { label: label.to_owned(), edits: vec![Edit::Exists(at, is)] });
        let question = || format!("Does `{id}`, which nobody tried, work?");
        self.ask(path, span, question, Touches::Routes(vec![at]), answers.to_vec());
    }

    fn tools(&mut self, at: usize, action: &Action) {
        let untried = action.outcome.value == Outcome::NotAttempted;
        for (operation, work) in action.with.iter().enumerate() {
            let fact = &work.ways;
            let listed = matches!(fact.known, Known::Is(_) | Known::OneOf(_));
            let answers = match &fact.known {
                Known::Is(ways) => vec![self.ways_answer(at, operation, ways)],
                Known::OneOf(list) => list.iter().map(|w| self.ways_answer(at, operation, w)).collect(),
                Known::Between(..) | Known::Unknown if work.single => self.one_tool(at, operation, untried),
                Known::Between(..) | Known::Unknown => self.any_work(at, operation, untried),
            };
            let question = || {
                if work.single {
                    format!("Which tool does `{}` take?", action.id)
                } else {
                    format!("Which tools does `{}` take, one after the other?", action.id)
                }
            };
            let touches = Touches::Routes(vec![at]);
            if listed {
                self.ask(&fact.path, fact.span, question, touches, answers);
            } else {
                self.ask_between(&fact.path, fact.span, question, touches, answers);
            }
        }
    }

    fn ways_answer(&self, at: usize, operation: usize, ways: &Ways) -> Answer {
        let sets: Vec<Vec<usize>> = ways
            .iter()
            .map(|set| set.tools.iter().map(|t| t.tool).collect::<BTreeSet<_>>().into_iter().collect())
            .collect();
        let names = |set: &Vec<usize>| match set.as_slice() {
            [] => "hands".to_owned(),
            list => list.iter().map(|&t| self.base.tools[t].name.as_ref()).collect::<Vec<_>>().join(" + "),
        };
        let label = sets.iter().map(names).collect::<Vec<_>>().join(" or ");
        Answer { label, edits: vec![Edit::Ways(at, operation, sets)] }
    }

    /// Any number of operations, none included: from nothing over one tool of each class to more work than any rule
    /// counts to. Bare hands are no more than nothing: they change no tool and count no step.
    fn any_work(&mut self, at: usize, operation: usize, untried: bool) -> Vec<Answer> {
        let mut out = vec![Answer {
            label: "nothing, or bare hands".to_owned(),
            edits: vec![Edit::Ways(at, operation, vec![vec![]])],
        }];
        let classes = classes(untried);
        for &class in &classes {
            let tool = plain(format!("one other tool, {class}"), class);
            out.push(self.fresh(at, operation, tool));
        }
        if let Some(&worst) = classes.last() {
            // No heat source, since some rules leave those out of the count: a solvent is met wherever heat is.
            let tool =
                CompleteTool { solvent: true, many: true, ..plain("any tools, any number of times".to_owned(), worst) };
            out.push(self.fresh(at, operation, tool));
        }
        out
    }

    /// One operation with one tool: each tool of the record, one fresh tool per class. Two unknowns never share a fresh
    /// tool: for the worst end two tools do.
    fn one_tool(&mut self, at: usize, operation: usize, untried: bool) -> Vec<Answer> {
        let mut out: Vec<Answer> = (0..self.record.tools.len())
            .map(|tool| Answer {
                label: self.base.tools[tool].name.to_string(),
                edits: vec![Edit::Ways(at, operation, vec![vec![tool]])],
            })
            .collect();
        let classes = classes(untried);
        for &class in &classes {
            out.push(self.fresh(at, operation, plain(format!("another tool, {class}"), class)));
        }
        if let Some(&worst) = classes.last() {
            let tool = CompleteTool { heat: true, ..plain(format!("another heat source, {worst}"), worst) };
            out.push(self.fresh(at, operation, tool));
        }
        out
    }

    fn fresh(&mut self, at: usize, operation: usize, tool: CompleteTool) -> Answer {
        let label = tool.name.to_string();
        let class = self.method.class_read(tool.class);
        self.base.tools.push(CompleteTool { class, ..tool });
        Answer { label, edits: vec![Edit::Ways(at, operation, vec![vec![self.base.tools.len() - 1]])] }
    }

    fn fasteners(&mut self, at: usize, action: &Action) {
        for (written, loosened) in action.loosen.iter().enumerate() {
            let settled = self.counts(loosened);
            self.base.actions[at].fasteners.push(CompleteFastener {
                written: Some(written),
                kind: Kind::Reusable,
                adhesive: loosened.adhesive,
                count: settled.first().map_or(1, |(n, _)| *n),
            });
            let slot = self.base.actions[at].fasteners.len() - 1;
            if loosened.named != Named::Fastener {
                let question = || format!("Which fasteners does `{}` open?", action.id);
                let answers = any_fasteners(at, slot, Some(written), loosened.named);
                self.ask_between(&loosened.path, loosened.span, question, Touches::Routes(vec![at]), answers);
                continue;
            }
            let counts =
                settled.into_iter().map(|(n, label)| Answer { label, edits: vec![Edit::Count(at, slot, n)] }).collect();
            let question = || {
                if loosened.perhaps {
                    format!("Does `{}` open the {} too?", action.id, loosened.text)
                } else {
                    format!("How many times does `{}` open: {}?", action.id, loosened.text)
                }
            };
            self.ask_between(&loosened.count.path, loosened.count.span, question, Touches::Routes(vec![at]), counts);
            let kinds = match &loosened.kind.known {
                // Left out: only adhesives and seals have no kind in the vocabulary.
                Known::Unknown if !loosened.kind.stated => Kind::STICKY.to_vec(),
                known => vocabulary(known),
            };
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

    /// How many there are of a fastener, as far as it bears on anything: joints are counted, of others it matters only
    /// whether there are any.
    fn counts(&self, loosened: &Loosened) -> Vec<(u32, String)> {
        let whole = |n: &Exact| n.display(0, Rounding::HalfUp).parse::<u32>().unwrap_or(MANY).min(MANY);
        let counted = loosened.adhesive && self.reads(&Measure::Adhesives) && loosened.named == Named::Fastener;
        let mut out = Vec::new();
        if loosened.perhaps {
            out.push((0, "no".to_owned()));
        }
        let open = match &loosened.count.known {
            _ if !counted => return [out, vec![(1, "yes".to_owned())]].concat(),
            Known::Between(_, None) | Known::Unknown => true,
            _ => false,
        };
        let read = tables(self.method, &Measure::Adhesives);
        // There are no half joints.
        let known = match &loosened.count.known {
            Known::Between(low, Some(high)) => {
                let (low, high) = (low.as_ref().map_or(1, &whole), whole(high));
                if high.saturating_sub(low) > LISTED {
                    loosened.count.known.clone()
                } else {
                    Known::OneOf((low..=high).map(|n| Exact::from(i64::from(n))).collect())
                }
            }
            known => known.clone(),
        };
        out.extend(cells(&known, &read, &Exact::one(), None).into_iter().map(|c| (whole(&c.value), c.label)));
        if open {
            out.push((MANY, "any number".to_owned()));
        }
        out
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
        let at = self.push_action(CompleteAction::by_hand(thing));
        self.existence(at, path, span, name);
        let answers = self.any_work(at, 0, true);
        let touches = Touches::Routes(vec![at]);
        self.ask_between(
            &format!("{path} (tools)"),
            span,
            || format!("Which tools would free `{name}`?"),
            touches.clone(),
            answers,
        );
        let question = || format!("Which fasteners hold `{name}`?");
        let nothing = CompleteFastener { written: None, kind: Kind::Reusable, adhesive: false, count: 0 };
        self.base.actions[at].fasteners.push(nothing);
        self.ask_between(
            &format!("{path} (fasteners)"),
            span,
            question,
            touches,
            any_fasteners(at, 0, None, Named::Any),
        );
        self.unordered.push((at, format!("{path} (order)"), span, name.to_owned()));
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

/// Counts between two bounds that are tried one by one.
const LISTED: u32 = 12;

/// Classes a tool nobody named may be of, best first. What was done with a tool was feasible with it.
fn classes(untried: bool) -> Vec<ToolClass> {
    let feasible = |c: &ToolClass| *c != ToolClass::None && (untried || *c != ToolClass::NotFeasible);
    ToolClass::ALL.iter().copied().filter(feasible).collect()
}

fn plain(name: String, class: ToolClass) -> CompleteTool {
    CompleteTool { name: name.into(), class, heat: false, solvent: false, many: false }
}

/// What fasteners nobody named can be, in one slot of an action: one of each kind, sticking or not; where there may be
/// any number also none, and more joints than any rule counts to.
fn any_fasteners(action: usize, slot: usize, written: Option<usize>, named: Named) -> Vec<Answer> {
    let answer = |label: String, kind, adhesive, count| Answer {
        label,
        edits: vec![Edit::Fasten(action, slot, CompleteFastener { written, kind, adhesive, count })],
    };
    let mut out = Vec::new();
    if named == Named::Any {
        out.push(answer("nothing".to_owned(), Kind::Reusable, false, 0));
    }
    for &kind in Kind::ALL {
        out.push(answer(format!("a fastener that does not stick, {kind}"), kind, false, 1));
        if kind != Kind::Reusable {
            out.push(answer(format!("an adhesive or seal, {kind}"), kind, true, 1));
        }
    }
    if let (Named::Any, Some(&worst)) = (named, Kind::ALL.last()) {
        out.push(answer("any number of adhesives and others".to_owned(), worst, true, MANY));
    }
    out
}
