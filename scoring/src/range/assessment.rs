//! One method applied to one record: a tree of scored nodes, each with its range and its because.

use std::collections::{BTreeMap, BTreeSet};

use super::case::{Assumed, Case, Unknown};
use super::study::{Effort, Range, Study};
use super::sure::{given, weakest};
use crate::assess::evaluate::fold;
use crate::assess::evidence::{Evidence, Witness, in_words, not_sold};
use crate::assess::ledger::used;
use crate::assess::points::{Margin, margin};
use crate::assess::{Evaluated, Kept, LeafPoint, PartRoute, Plan, PlanKind};
use crate::exact::Exact;
use crate::method::{Combine, Group, Measure, Method, Points, Reading, Rule, Rung, Standing};
use crate::record::Record;
use crate::record::complete::Complete;
use crate::route::Step;
use crate::vocab::Certainty;

/// One method applied to one record.
#[derive(Clone, Debug)]
pub struct Assessment {
    /// The method, switches as chosen.
    pub method: Method,
    /// The tree; the root's range is the verdict.
    pub root: Graded,
    /// The completions the ends of the verdict rest on: low, high. Equal when settled. Where an end is a bound (see
    /// [`Assessment::attained`]) no completion has it: then this is the nearest one that was tried.
    pub ends: [Completion; 2],
    /// Low and high: a completion has it; false marks a bound.
    pub attained: [bool; 2],
    /// What the lowest and the highest completions that were tried surely come to; nothing where the two cross.
    pub reached: [Option<Exact>; 2],
    /// Class at the low and the high end, where the method has classes.
    pub classes: Option<[String; 2]>,
    /// Unknowns that bear on this verdict, in record order.
    pub unknowns: Vec<Unknown>,
    /// What was settled without being stated.
    pub assumed: Vec<Assumed>,
    /// The weakest certainty among the rules and numbers that took part.
    pub weakest: Certainty,
    /// Some of them are choices of the method's author.
    pub own_choices: bool,
    /// Every route behind the verdict is proved shortest.
    pub proved: bool,
    /// The parts asked about: role and the parts that fill it.
    pub roles: Vec<RoleFilled>,
    /// Whether the rule of the method binds the device; it stands beside the verdict and is no end of its range.
    pub standing: Standing,
    /// What was worked out on the way, for whoever asks more of the same record.
    pub kept: Kept,
}

/// A role a method asks about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RoleFilled {
    /// Role.
    pub role: String,
    /// Weight among the priority parts.
    pub weight: Option<Exact>,
    /// Names of the parts that fill it; empty when absent or never mentioned.
    pub parts: Vec<String>,
    /// Nobody mentioned it.
    pub unmentioned: bool,
}

/// A completion of the record: one answer to every unknown.
#[derive(Clone, Debug)]
pub struct Completion {
    /// The record with these answers.
    pub device: Complete,
    /// Path and label of each answer, those that bear on the verdict.
    pub answers: Vec<(String, String)>,
    /// Reference routes and everything read on them.
    pub evaluated: Evaluated,
}

/// A scored node.
#[derive(Clone, Debug)]
pub struct Graded {
    /// Id, unique in the assessment (`S_F/battery`).
    pub id: String,
    /// Title.
    pub title: String,
    /// The part it is about.
    pub role: Option<String>,
    /// Group.
    pub group: Option<Group>,
    /// Weight in the node above.
    pub weight: Exact,
    /// What it is.
    pub kind: GradedKind,
    /// The rule.
    pub rule: Rule,
    /// Lowest value of this node over all completions; `None`: left out in all.
    pub low: Option<Exact>,
    /// Highest.
    pub high: Option<Exact>,
    /// The worst and the best value the rules could give here whatever the record (all tables at their ends).
    pub scale: (Exact, Exact),
    /// Both ends are attained; false: at least one is a bound.
    pub exact: bool,
    /// Low and high: a completion that was looked at has it; false marks a bound, which nothing can leave.
    pub attained: [bool; 2],
    /// At the low and at the high end of the *verdict*: in the completions of [`Assessment::ends`].
    pub ends: [NodeEnd; 2],
    /// Indices into [`Assessment::unknowns`] that bear on it.
    pub unknowns: Vec<usize>,
    /// Children.
    pub children: Vec<Graded>,
}

/// What a scored node is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum GradedKind {
    /// Combines its children.
    Group(Combine),
    /// Reads a measure.
    Leaf {
        /// What.
        measure: Measure,
        /// Where on the route.
        reading: Reading,
        /// How it becomes points.
        points: Points,
    },
}

/// A node at one end of the verdict.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NodeEnd {
    /// Value there; `None`: left out.
    pub points: Option<Exact>,
    /// What was read, in words (`9 steps`); empty for groups.
    pub said: String,
    /// Note of the row that gave the points (`below the lowest level`).
    pub note: Option<String>,
    /// Places of the record that decided it.
    pub evidence: Vec<Evidence>,
    /// The part whose route it was read on.
    pub part: Option<u32>,
    /// How far to the neighbouring bounds.
    pub margin: Option<Margin>,
    /// What it rests on that is a choice of the method's author, in words: the row that gave the points, a class of tools read
    /// as another.
    pub own: Vec<String>,
}

impl Assessment {
    /// Applies a method to a record: every node's range over all completions, and the becauses at both ends.
    pub fn new(record: &Record, method: &Method, effort: Effort) -> Self {
        Self::keeping(record, method, effort, &Kept::default())
    }

    /// As [`Assessment::new`], with routes found before: for several methods, or records of one design.
    pub fn keeping(record: &Record, method: &Method, effort: Effort, kept: &Kept) -> Self {
        let method = super::case::fitted(method, record);
        let case = Case::new(record, &method);
        let study = Study::keeping(case, &method, effort, kept);
        let (case, plan) = (&study.case, &study.plan);
        let range = study.range(0);
        let numbering: BTreeMap<usize, usize> = study.open().into_iter().enumerate().map(|(at, u)| (u, at)).collect();
        let [low, high] = study.ends().each_ref().map(|e| &e.choice[..]);
        let [low_read, high_read] = study.read_at_ends();
        let ends =
            [(low, low_read), (high, high_read)].map(|(choice, read)| completion(case, &numbering, choice, read));
        let builder = TreeBuilder { record, study: &study, ends: &ends, numbering, scales: scales(plan) };
        let root = builder.node(0);
        let classes = method.classes.as_ref().and_then(|_| {
            let class = |v: &Option<Exact>| v.as_ref().map(|v| class_of(&method, v));
            Some([class(&root.low)??, class(&root.high)??])
        });
        let unknowns: Vec<Unknown> = builder.numbering.keys().map(|&u| case.unknowns[u].clone()).collect();
        let (weakest, own_choices) = weakest(plan, &ends);
        let proved = ends.iter().all(|e| e.evaluated.proved);
        let roles = plan
            .slots
            .iter()
            .map(|s| RoleFilled {
                role: s.role.clone(),
                weight: s.weight.clone(),
                parts: s
                    .fills
                    .iter()
                    .filter_map(|&f| case.base.fills[f].part)
                    .map(|p| record.parts[p].name.value.clone())
                    .collect(),
                unmentioned: s.fills.iter().any(|&f| case.base.fills[f].part.is_none() && case.base.fills[f].present),
            })
            .collect();
        let standing = super::binding::binding(&method, record);
        let assumed = case.assumed.clone();
        let Range { attained, reached, .. } = range;
        drop(study);
        Self {
            method,
            root,
            ends,
            attained,
            reached,
            classes,
            unknowns,
            assumed,
            weakest,
            own_choices,
            proved,
            roles,
            standing,
            kept: kept.clone(),
        }
    }

    /// The range of the verdict.
    pub fn range(&self) -> Range {
        Range {
            low: self.root.low.clone(),
            high: self.root.high.clone(),
            exact: self.root.exact,
            attained: self.attained,
            reached: self.reached.clone(),
        }
    }

    /// Whether one value is left, and it is the verdict's.
    pub fn settled(&self) -> bool {
        self.root.low == self.root.high && self.root.exact
    }

    /// A value of the total as the method shows it.
    pub fn show(&self, value: &Exact) -> String {
        show(&self.method, value)
    }

    /// A node by id.
    pub fn find(&self, id: &str) -> Option<&Graded> {
        self.root.find(id)
    }
}

impl Graded {
    /// A node by id, this one or below.
    pub fn find(&self, id: &str) -> Option<&Self> {
        if self.id == id {
            return Some(self);
        }
        self.children.iter().find_map(|c| c.find(id))
    }

    /// This node and all below, in order.
    pub fn walk(&self) -> Vec<&Self> {
        let mut out = vec![self];
        self.children.iter().for_each(|c| out.extend(c.walk()));
        out
    }
}

/// A total as a method shows it: rounded once, or the words of a verdict.
pub fn show(method: &Method, value: &Exact) -> String {
    let scale = &method.scale;
    if scale.verdict {
        return if *value >= scale.high { "pass" } else { "fail" }.to_owned();
    }
    value.display(scale.decimals, scale.rounding)
}

/// The class of a total.
pub fn class_of(method: &Method, value: &Exact) -> Option<String> {
    let classes = method.classes.as_ref()?;
    let value =
        if classes.of_rounded { value.round(method.scale.decimals, method.scale.rounding) } else { value.clone() };
    let found = classes.bounds.iter().find(|(_, bound)| value >= bound.value).or(classes.bounds.last());
    found.map(|(name, _)| name.clone())
}

/// The completion an end rests on.
fn completion(case: &Case, numbering: &BTreeMap<usize, usize>, choice: &[usize], read: &Evaluated) -> Completion {
    let device = case.complete(choice);
    let answers = numbering
        .keys()
        .map(|&u| {
            let unknown = &case.unknowns[u];
            (unknown.path.clone(), unknown.answers[choice[u]].label.clone())
        })
        .collect();
    Completion { device, answers, evaluated: read.clone() }
}

/// Worst and best value of every node by the tables alone.
fn scales(plan: &Plan<'_>) -> Vec<(Exact, Exact)> {
    let ends = |leaf: usize| match &plan.nodes[leaf].kind {
        PlanKind::Leaf(_, _, points) => Some(Plan::extremes(points)),
        PlanKind::Group(..) => None,
    };
    let low = fold(plan, &|leaf| ends(leaf).map(|e| e.0));
    let high = fold(plan, &|leaf| ends(leaf).map(|e| e.1));
    let or_scale = |v: Option<Exact>, end: &Exact| v.unwrap_or_else(|| end.clone());
    let scale = &plan.method.scale;
    low.into_iter().zip(high).map(|(l, h)| (or_scale(l, &scale.low), or_scale(h, &scale.high))).collect()
}

struct TreeBuilder<'a, 'm> {
    record: &'a Record,
    study: &'a Study<'m>,
    ends: &'a [Completion; 2],
    /// Unknowns that bear on the verdict: index in the case to index shown.
    numbering: BTreeMap<usize, usize>,
    /// Worst and best value per node by the tables alone.
    scales: Vec<(Exact, Exact)>,
}

impl TreeBuilder<'_, '_> {
    fn node(&self, index: usize) -> Graded {
        let plan = &self.study.plan;
        let node = &plan.nodes[index];
        let Range { low, high, exact, attained, .. } = self.study.range(index);
        let (kind, children) = match &node.kind {
            PlanKind::Group(how, children) => {
                (GradedKind::Group(*how), children.iter().map(|&c| self.node(c)).collect())
            }
            PlanKind::Leaf(measure, reading, points) => {
                let kind =
                    GradedKind::Leaf { measure: (*measure).clone(), reading: *reading, points: (*points).clone() };
                (kind, Vec::new())
            }
        };
        let mut unknowns: BTreeSet<usize> = BTreeSet::new();
        if children.is_empty() {
            if low != high || !exact {
                unknowns.extend(self.study.bearing_on(index).iter().filter_map(|u| self.numbering.get(u)));
            }
        } else {
            unknowns.extend(children.iter().flat_map(|c: &Graded| c.unknowns.iter().copied()));
        }
        let role = node.slot.map(|s| plan.slots[s].role.clone());
        Graded {
            id: node.id.clone(),
            title: node.node.title.clone(),
            role,
            group: node.group,
            weight: node.weight.clone(),
            kind,
            rule: node.node.rule.clone(),
            scale: self.scales[index].clone(),
            exact,
            attained,
            low,
            high,
            ends: [self.at_end(index, 0), self.at_end(index, 1)],
            unknowns: unknowns.into_iter().collect(),
            children,
        }
    }

    fn at_end(&self, index: usize, end: usize) -> NodeEnd {
        let Completion { device, evaluated, .. } = &self.ends[end];
        let plan = &self.study.plan;
        let node = &plan.nodes[index];
        let mut out = NodeEnd {
            points: evaluated.values[index].clone(),
            said: String::new(),
            note: None,
            evidence: Vec::new(),
            part: None,
            margin: None,
            own: Vec::new(),
        };
        let (PlanKind::Leaf(measure, reading, table), Some(leaf)) = (&node.kind, &evaluated.leaves[index]) else {
            return out;
        };
        let LeafPoint { value, row, fill, .. } = leaf;
        let witness = Witness { record: self.record, device };
        let Some(value) = value else {
            out.said = "the device has none".to_owned();
            return out;
        };
        out.said = match (table, row) {
            (Points::Rungs(rungs), Some(row)) => rung_in_words(&rungs[*row]),
            _ => in_words(measure, value),
        };
        out.note = row.and_then(|r| note_of(table, r));
        if row.and_then(|r| given(table, r)) == Some(Certainty::Own) {
            let note = out.note.as_ref().map_or_else(String::new, |n| format!(" ({n})"));
            out.own.push(format!("{}{note}", out.said));
        }
        out.margin = if not_sold(measure, value) { None } else { margin(table, measure.scale(), value) };
        if let Some(fill) = fill {
            let fill = &device.fills[*fill];
            out.part = Some(fill.thing);
            if let Some(route) = evaluated.routes.get(&fill.thing) {
                out.evidence = witness.of_part(measure, *reading, fill, route);
                out.own.extend(self.tools_read(device, measure, route));
            }
        } else {
            let fills: Vec<_> = device.fills.iter().filter(|f| f.present).collect();
            out.evidence = witness.of_device(measure, &plan.method.id.value, &fills);
        }
        out
    }
}

impl TreeBuilder<'_, '_> {
    /// Tools on a route whose class the method reads as another: a law that has no such class, read by somebody.
    fn tools_read(&self, device: &Complete, measure: &Measure, route: &PartRoute) -> Vec<String> {
        if *measure != Measure::Tools {
            return Vec::new();
        }
        let of = |s: &Step| used(device, s.action, s.operation, s.way).unwrap_or_default();
        let tools: BTreeSet<usize> = route.ledger.iter().flat_map(of).copied().collect();
        let read = &self.study.method().read_as;
        let said = |&tool: &usize| {
            let class = self.record.tools.get(tool)?.class.settled()?;
            let (_, to) = read.iter().find(|(from, to)| from == class && from != to)?;
            Some(format!("a tool that is {class} read as {to}"))
        };
        tools.iter().filter_map(said).collect()
    }
}

/// A rung by what it asks: `all priority parts`, `display assembly and battery`.
fn rung_in_words(rung: &Rung) -> String {
    match rung.roles.as_deref() {
        None => "all priority parts".to_owned(),
        Some([]) => "below the lowest rung".to_owned(),
        Some([one]) => format!("{one} only"),
        Some([rest @ .., last]) => format!("{} and {last}", rest.join(", ")),
    }
}

fn note_of(points: &Points, row: usize) -> Option<String> {
    match points {
        Points::Bands(list) => list.get(row)?.points.note.clone(),
        Points::Levels(list) => list.get(row)?.1.note.clone(),
        Points::Rungs(list) => list.get(row)?.points.note.clone(),
        Points::Linear(_) | Points::AsIs => None,
    }
}
