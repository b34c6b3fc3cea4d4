//! How a record becomes a case: roles filled, shared facts asked once, what omissions mean.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::case::{Answer, Assumed, Case, Touches, Unknown, form_of, may_exist};
use super::edit::Edit;
use super::reads::measures;
use crate::assess::plan::{role_fits, roles_asked};
use crate::method::{Measure, Method};
use crate::record::complete::{Actions, Complete, CompleteAction, CompleteSupport, CompleteTool, Fill, Promised};
use crate::record::{Fact, Known, Outcome, Record};
use crate::route::Thing;
use crate::text::Span;
use crate::vocab::class::{Words, fold};
use crate::vocab::drive::drive;
use crate::vocab::{Form, ToolClass, fastener};

/// The case of a record under a method.
pub(super) fn case(record: &Record, method: &Method) -> Case {
    let mut builder = Builder::new(record, method);
    builder.actions();
    builder.fills();
    builder.orders();
    builder.shared_place_and_skill();
    builder.tool_classes();
    builder.support();
    builder.finish()
}

/// What a case is made in.
pub(super) struct Builder<'r> {
    pub(super) record: &'r Record,
    pub(super) method: &'r Method,
    pub(super) measures: Vec<Measure>,
    pub(super) base: Complete,
    things: BTreeMap<String, Thing>,
    pub(super) unknowns: Vec<Unknown>,
    pub(super) assumed: Vec<Assumed>,
    own_roles: Vec<(String, u32)>,
    place_unknown: Vec<usize>,
    skill_unknown: Vec<usize>,
    /// Milestones that stand where answers put others.
    pub(super) slots: BTreeSet<Thing>,
    /// Actions whose order nobody stated: action, data path, place, what the question calls it.
    pub(super) unordered: Vec<(usize, String, Span, String)>,
    next_thing: Thing,
}

impl<'r> Builder<'r> {
    fn new(record: &'r Record, method: &'r Method) -> Self {
        let tools = record.tools.iter().map(|t| CompleteTool {
            name: t.name.as_str().into(),
            class: method.tool_class(&t.name, t.class.settled().copied().unwrap_or(ToolClass::None)),
            heat: t.heat,
            solvent: t.solvent,
            many: false,
        });
        let form = form_of(record);
        let mut builder = Self {
            record,
            method,
            measures: measures(method),
            base: Complete {
                category: record.device.category.value,
                form,
                tools: tools.collect(),
                things: Arc::default(),
                actions: Actions::default(),
                official: record.official.as_ref().map_or_else(Vec::new, |o| o.value.clone()),
                fills: Vec::new(),
                support: CompleteSupport { facts: Promised::unread(false), marks: BTreeMap::new() },
            },
            things: BTreeMap::new(),
            unknowns: Vec::new(),
            assumed: Vec::new(),
            own_roles: record.own_roles.iter().map(|(n, w)| (n.value.clone(), *w)).collect(),
            place_unknown: Vec::new(),
            skill_unknown: Vec::new(),
            unordered: Vec::new(),
            slots: BTreeSet::new(),
            next_thing: 0,
        };
        for part in &record.parts {
            builder.thing(&part.name.value);
        }
        for action in &record.actions {
            for name in action.names() {
                builder.thing(name);
            }
        }
        let teardown = &record.teardown;
        let settled = [
            ("place", teardown.place.by_sheet(), teardown.place.span, teardown.place.settled().map(|w| w.word())),
            ("skill", teardown.skill.by_sheet(), teardown.skill.span, teardown.skill.settled().map(|w| w.word())),
        ];
        for (field, _, span, word) in settled.into_iter().filter(|(_, by_sheet, ..)| *by_sheet) {
            let sheet = record.bench.as_ref().map_or("", |b| &*b.name);
            let text = format!("the {field} is {}, by the sheet of {sheet}", word.unwrap_or_default());
            builder.assume(&format!("teardown.{field}"), span, text);
        }
        if record.device.form.is_none() && form == Form::Folding {
            builder.assume("device.form", record.device.name.span, "the device folds, since a part has a folding role");
        }
        builder
    }

    pub(super) fn assume(&mut self, path: &str, span: Span, text: impl Into<String>) {
        self.assumed.push(Assumed { path: path.to_owned(), span, text: text.into() });
    }

    pub(super) fn reads(&self, measure: &Measure) -> bool {
        self.measures.contains(measure)
    }

    pub(super) fn thing(&mut self, name: &str) -> Thing {
        let key = fold(name);
        if let Some(&thing) = self.things.get(&key) {
            return thing;
        }
        let thing = self.placeholder(name);
        self.things.insert(key, thing);
        thing
    }

    /// A milestone of its own that no name leads to.
    pub(super) fn placeholder(&mut self, name: &str) -> Thing {
        let thing = self.next_thing;
        self.next_thing += 1;
        Arc::make_mut(&mut self.base.things).push(name.to_owned());
        thing
    }

    pub(super) fn push_action(&mut self, action: CompleteAction) -> usize {
        self.base.actions.push(action);
        self.base.actions.len() - 1
    }

    pub(super) fn place_is_unknown(&mut self, action: usize) {
        self.place_unknown.push(action);
    }

    pub(super) fn skill_is_unknown(&mut self, action: usize) {
        self.skill_unknown.push(action);
    }

    fn shared_place_and_skill(&mut self) {
        let record = self.record;
        let places = std::mem::take(&mut self.place_unknown);
        self.shared(
            &record.teardown.place,
            places,
            "In which working environment was the device taken apart?",
            Edit::Place,
            &Measure::Environment,
        );
        let skills = std::mem::take(&mut self.skill_unknown);
        self.shared(
            &record.teardown.skill,
            skills,
            "Which skill level does the work take?",
            Edit::Skill,
            &Measure::Skill,
        );
    }

    fn shared<W: Words>(
        &mut self,
        fact: &Fact<W>,
        actions: Vec<usize>,
        question: &str,
        edit: impl Fn(Vec<usize>, W) -> Edit,
        measure: &Measure,
    ) {
        if actions.is_empty() || !self.reads(measure) && !self.method_reads_routes() {
            return;
        }
        let answers = vocabulary(&fact.known)
            .into_iter()
            .map(|w| Answer { label: w.word().to_owned(), edits: vec![edit(actions.clone(), w)] })
            .collect();
        self.ask(&fact.path, fact.span, || question.to_owned(), Touches::Routes(actions), answers);
    }

    pub(super) fn method_reads_routes(&self) -> bool {
        self.measures.iter().any(Measure::on_route)
    }

    fn tool_classes(&mut self) {
        for (index, tool) in self.record.tools.iter().enumerate() {
            if tool.class.settled().is_some() {
                continue;
            }
            let using: Vec<usize> = (0..self.base.actions.len()).filter(|&a| self.may_use(a, index)).collect();
            if using.is_empty() {
                continue;
            }
            // A driver nobody described turns the screws it is used on: where their drives are stated it is of their class.
            let turned = if tool.name == "screwdriver" && !tool.class.stated { self.turned(&using) } else { None };
            let classes = turned.as_ref().map_or_else(|| vocabulary(&tool.class.known), |(classes, _)| classes.clone());
            if let (Some((_, drives)), [class]) = (&turned, classes.as_slice()) {
                self.base.tools[index].class = self.method.class_read(*class);
                let text = format!("`{}` is of class {}, as drivers for {drives} are", tool.name, class.word());
                self.assume(&tool.class.path, tool.class.span, text);
                continue;
            }
            let answers = classes
                .into_iter()
                .map(|c: ToolClass| Answer {
                    label: c.word().to_owned(),
                    edits: vec![Edit::ToolClass(index, self.method.class_read(c))],
                })
                .collect();
            let question = || format!("Of which class is the tool `{}`?", tool.name);
            self.ask(&tool.class.path, tool.class.span, question, Touches::Routes(using), answers);
        }
    }

    /// The classes of drivers for all that some actions turn, best first, and the drives in words; `None` where one of them turns
    /// something whose drive nobody stated.
    fn turned(&self, actions: &[usize]) -> Option<(Vec<ToolClass>, String)> {
        let mut drives: BTreeMap<String, ToolClass> = BTreeMap::new();
        for &action in actions {
            let written = &self.record.actions[self.base.actions[action].written?];
            let screws: Vec<_> = written
                .loosen
                .iter()
                .filter(|l| l.drive.is_some() || fastener(&l.fastener).is_some_and(|f| f.driven))
                .collect();
            if screws.is_empty() {
                return None;
            }
            for screw in screws {
                let drive = drive(screw.drive.as_deref()?)?;
                drives.insert(drive.name.clone(), drive.word.class);
            }
        }
        let mut classes: Vec<ToolClass> = drives.values().copied().collect();
        classes.sort_unstable();
        classes.dedup();
        let names: Vec<&str> = drives.keys().map(String::as_str).collect();
        Some((classes, names.join(", ")))
    }

    /// Whether an action uses a tool in some completion.
    fn may_use(&self, action: usize, tool: usize) -> bool {
        let uses = |ways: &[Vec<usize>]| ways.iter().any(|w| w.contains(&tool));
        self.base.actions[action].operations.iter().any(|o| uses(o))
            || self
                .unknowns
                .iter()
                .flat_map(|u| &u.answers)
                .flat_map(|a| &a.edits)
                .any(|e| matches!(e, Edit::Ways(a, _, ways) if *a == action && uses(ways)))
    }

    /// Adds a question; one with a single answer is settled at once.
    pub(super) fn ask(
        &mut self,
        path: &str,
        span: Span,
        question: impl FnOnce() -> String,
        touches: Touches,
        answers: Vec<Answer>,
    ) {
        match answers.as_slice() {
            [] => {}
            [only] => only.edits.iter().for_each(|e| e.apply(&mut self.base)),
            [first, ..] => {
                first.edits.iter().for_each(|e| e.apply(&mut self.base));
                let question = question();
                let between = false;
                self.unknowns.push(Unknown { path: path.to_owned(), span, question, touches, answers, between });
            }
        }
    }

    /// The same where other answers stand between these.
    pub(super) fn ask_between(
        &mut self,
        path: &str,
        span: Span,
        question: impl FnOnce() -> String,
        touches: Touches,
        answers: Vec<Answer>,
    ) {
        let before = self.unknowns.len();
        self.ask(path, span, question, touches, answers);
        self.unknowns[before..].iter_mut().for_each(|u| u.between = true);
    }

    fn fills(&mut self) {
        let record = self.record;
        for (index, part) in record.parts.iter().enumerate() {
            let thing = self.thing(&part.name.value);
            for role in &part.roles {
                self.base.fills.push(Fill {
                    role: role.value.name.clone(),
                    part: Some(index),
                    thing,
                    present: true,
                    several_roles: part.roles.len() > 1,
                    paired: false,
                    spare: Promised::unread(true),
                });
            }
            if let Some(other) = &part.same_as {
                self.one_part(&part.name.value, thing, other);
            }
            if let Some(span) = part.not_attempted {
                self.untried_part(&part.name.value, span, thing, &format!("parts.{}", part.name.value));
            }
        }
        let asked = roles_asked(self.method, self.base.category, self.base.form, &self.own_roles);
        for (key, _) in asked {
            if self.base.fills.iter().any(|f| role_fits(&key, &f.role)) {
                continue;
            }
            let absent = |role: &str| record.absent.iter().any(|a| a.value == role);
            let open = key.split('|').map(str::trim).find(|r| !absent(r));
            let role = open.unwrap_or_else(|| key.split('|').next().unwrap_or(&key).trim()).to_owned();
            let thing = self.placeholder(&role);
            self.base.fills.push(Fill {
                role: role.clone(),
                part: None,
                thing,
                present: open.is_some(),
                several_roles: false,
                paired: false,
                spare: Promised::unread(true),
            });
            let fill = self.base.fills.len() - 1;
            if open.is_some() {
                let path = format!("parts ({role})");
                let answers = [("the device has one", true), ("the device has none", false)]
                    .map(|(label, is)| Answer { label: label.to_owned(), edits: vec![Edit::Present(fill, is)] });
                self.ask(
                    &path,
                    record.device.name.span,
                    || format!("Does the device have a {role}, and which part is it?"),
                    Touches::Part(fill),
                    answers.to_vec(),
                );
                if self.method_reads_routes() {
                    self.untried_part(&role, record.device.name.span, thing, &path);
                }
            }
        }
    }

    /// Two names that are one part, or perhaps are: whatever takes one off takes off the other.
    fn one_part(&mut self, name: &str, thing: Thing, other: &crate::record::SameAs) {
        let twin = self.thing(&other.part.value);
        let both: Vec<usize> = (0..self.base.actions.len())
            .filter(|&a| self.base.actions[a].frees.iter().any(|t| [thing, twin].contains(t)))
            .collect();
        let (mut apart, mut one) = (Vec::new(), Vec::new());
        for &at in &both {
            let frees = self.base.actions[at].frees.clone();
            let mut all = frees.clone();
            all.extend([thing, twin].into_iter().filter(|t| !frees.contains(t)));
            apart.push(Edit::Frees(at, frees));
            one.push(Edit::Frees(at, all));
        }
        let answer = |label: &str, edits| Answer { label: label.to_owned(), edits };
        let answers = if other.perhaps {
            vec![answer("one part", one), answer("two parts", apart)]
        } else {
            vec![answer("one part", one)]
        };
        let question = || format!("Are `{name}` and `{}` one part?", other.part.value);
        self.ask(&other.path, other.part.span, question, Touches::Routes(both), answers);
    }

    fn finish(mut self) -> Case {
        // Record order; what nobody wrote down has the device's place and comes last.
        let nowhere = self.record.device.name.span;
        self.unknowns.sort_by_key(|u| (u.span == nowhere, u.span));
        let mut case = Case {
            base: self.base,
            unknowns: self.unknowns,
            assumed: self.assumed,
            own_roles: self.own_roles,
            asleep: Vec::new(),
            done: Vec::new(),
        };
        let written = |a: usize| case.base.actions[a].written.map(|w| &self.record.actions[w]);
        let witnessed =
            |a: &usize| written(*a).is_some_and(|x| x.outcome.value == Outcome::Done && self.record.witnessed(x));
        case.done = (0..case.base.actions.len()).filter(witnessed).collect();
        let may = may_exist(&case);
        let (asleep, unknowns) = std::mem::take(&mut case.unknowns)
            .into_iter()
            .partition(|u| matches!(&u.touches, Touches::Routes(list) if list.iter().all(|a| !may[*a])));
        (case.asleep, case.unknowns) = (asleep, unknowns);
        case
    }
}

/// What a fact of a closed vocabulary can be.
pub(super) fn vocabulary<W: Words>(known: &Known<W>) -> Vec<W> {
    match known {
        Known::Is(w) => vec![*w],
        Known::OneOf(list) => {
            let mut list = list.clone();
            list.sort();
            list.dedup();
            list
        }
        Known::Between(..) | Known::Unknown => W::ALL.to_vec(),
    }
}
