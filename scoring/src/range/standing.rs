//! Which answers to a question can be the best, and which the worst, whatever the answers to all others.
//!
//! The total of a completed record never falls when a way is added, a need taken away, a tool, kind, place, skill or promise made
//! better: so of two answers that differ in such things alone, one is never worse. What can't be set against each other
//! stays.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::case::{Case, Unknown};
use super::edit::{Edit, Touched};
use crate::method::{Heating, StepRule};
use crate::need::{Need, things};
use crate::record::complete::{Complete, CompleteAction, CompleteFastener, CompleteSupport, Fill};
use crate::vocab::ToolClass;
use crate::vocab::class::Words;

/// The answers that no other beats at either end; each list names one of those that are equally good.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Standing {
    /// Perhaps the best.
    pub(super) best: Vec<usize>,
    /// Perhaps the worst.
    pub(super) worst: Vec<usize>,
}

/// The standing of the answers to every question of a case.
pub(super) fn standings(case: &Case, rule: &StepRule) -> Vec<Standing> {
    let mut job = Job::new(case, rule);
    (0..case.unknowns.len()).map(|u| job.standing(u)).collect()
}

/// What answers make of the places they are about.
struct Patch {
    actions: Vec<Arc<CompleteAction>>,
    tools: Vec<(ToolClass, [bool; 3])>,
    fills: Vec<Fill>,
    support: Option<CompleteSupport>,
}

struct Job<'a> {
    case: &'a Case,
    rule: &'a StepRule,
    scratch: Complete,
    /// Questions whose answers name a tool, by tool.
    named: BTreeMap<usize, BTreeSet<usize>>,
    /// Actions of the base that use a tool, by tool.
    used: BTreeMap<usize, BTreeSet<usize>>,
    /// Least and greatest class of every tool.
    classes: Vec<(u8, u8)>,
}

/// One question, for the comparison of two of its answers.
struct About<'a> {
    job: &'a Job<'a>,
    unknown: usize,
    touched: &'a Touched,
}

impl<'a> Job<'a> {
    fn new(case: &'a Case, rule: &'a StepRule) -> Self {
        let (mut named, mut used) = (BTreeMap::<_, BTreeSet<_>>::new(), BTreeMap::<_, BTreeSet<_>>::new());
        let mut classes: Vec<(u8, u8)> = case.base.tools.iter().map(|t| (t.class.rank(), t.class.rank())).collect();
        for (index, action) in case.base.actions.iter().enumerate() {
            for &tool in action.operations.iter().flatten().flatten() {
                used.entry(tool).or_default().insert(index);
            }
        }
        for (u, unknown) in case.unknowns.iter().enumerate() {
            for edit in unknown.answers.iter().flat_map(|a| &a.edits) {
                match edit {
                    Edit::Ways(_, _, ways) => ways.iter().flatten().for_each(|&t| {
                        named.entry(t).or_default().insert(u);
                    }),
                    Edit::Operations(_, list) => list.iter().flatten().flatten().for_each(|&t| {
                        named.entry(t).or_default().insert(u);
                    }),
                    Edit::ToolClass(t, class) => {
                        let (low, high) = &mut classes[*t];
                        (*low, *high) = ((*low).min(class.rank()), (*high).max(class.rank()));
                    }
                    _ => {}
                }
            }
        }
        Self { case, rule, scratch: case.base.clone(), named, used, classes }
    }

    fn standing(&mut self, u: usize) -> Standing {
        let case = self.case;
        let unknown = &case.unknowns[u];
        let touched = touched(unknown);
        let patches: Vec<Patch> = (0..unknown.answers.len()).map(|a| self.patch(unknown, a, &touched)).collect();
        let about = About { job: self, unknown: u, touched: &touched };
        let count = patches.len();
        let beats: Vec<Vec<bool>> =
            patches.iter().map(|a| patches.iter().map(|b| about.covers(a, b)).collect()).collect();
        // Of two equals the first stays.
        let best = (0..count).filter(|&a| !(0..count).any(|b| b != a && beats[b][a] && (!beats[a][b] || b < a)));
        let worst = (0..count).filter(|&a| !(0..count).any(|b| b != a && beats[a][b] && (!beats[b][a] || b < a)));
        Standing { best: best.collect(), worst: worst.collect() }
    }

    fn patch(&mut self, unknown: &Unknown, answer: usize, touched: &Touched) -> Patch {
        let device = &mut self.scratch;
        unknown.answers[answer].edits.iter().for_each(|e| e.apply(device));
        let patch = Patch {
            actions: touched.actions.iter().map(|&a| device.actions.shared(a)).collect(),
            tools: touched
                .tools
                .iter()
                .map(|&t| {
                    (device.tools[t].class, [device.tools[t].heat, device.tools[t].solvent, device.tools[t].many])
                })
                .collect(),
            fills: touched.fills.iter().map(|&f| device.fills[f].clone()).collect(),
            support: touched.support.then(|| device.support.clone()),
        };
        let base = &self.case.base;
        touched.actions.iter().for_each(|&a| device.actions.put(a, base.actions.shared(a)));
        touched.tools.iter().for_each(|&t| device.tools[t].clone_from(&base.tools[t]));
        touched.fills.iter().for_each(|&f| device.fills[f].clone_from(&base.fills[f]));
        if touched.support {
            device.support.clone_from(&base.support);
        }
        patch
    }
}

/// Everything the answers to a question change.
pub(super) fn touched(unknown: &Unknown) -> Touched {
    let mut out = Touched::default();
    unknown.answers.iter().flat_map(|a| &a.edits).for_each(|e| e.touches(&mut out));
    out
}

impl About<'_> {
    /// Whether `a` is at least as good as `b`, whatever else is answered.
    fn covers(&self, a: &Patch, b: &Patch) -> bool {
        let tool = |(x, y): (&(ToolClass, [bool; 3]), &(ToolClass, [bool; 3]))| x.0 <= y.0 && x.1 == y.1;
        a.actions.iter().zip(&b.actions).all(|(x, y)| Arc::ptr_eq(x, y) || self.action(x, y))
            && a.tools.iter().zip(&b.tools).all(tool)
            && a.fills.iter().zip(&b.fills).all(|(x, y)| fill(x, y))
            && a.support.iter().zip(&b.support).all(|(x, y)| support(x, y))
    }

    fn action(&self, x: &CompleteAction, y: &CompleteAction) -> bool {
        if !y.exists {
            return true;
        }
        // What is compared here is taken out; the rest must be the same.
        let same = CompleteAction {
            operations: y.operations.clone(),
            fasteners: y.fasteners.clone(),
            after: y.after.clone(),
            destroys: y.destroys.clone(),
            place: y.place,
            skill: y.skill,
            ..x.clone()
        };
        same == *y
            && x.place <= y.place
            && x.skill <= y.skill
            && x.destroys.iter().all(|d| y.destroys.contains(d))
            && fasteners(&x.fasteners, &y.fasteners)
            && needs(&x.after, &y.after)
            && self.operations(&x.operations, &y.operations)
    }

    fn operations(&self, x: &[Vec<Vec<usize>>], y: &[Vec<Vec<usize>>]) -> bool {
        let mut uses: BTreeMap<usize, u32> = BTreeMap::new();
        y.iter().flatten().flatten().for_each(|&t| *uses.entry(t).or_default() += 1);
        let covers = |x: &Vec<Vec<usize>>, y: &Vec<Vec<usize>>| {
            y.iter().all(|wy| x.iter().any(|wx| wx == wy || self.way(wx, wy, &uses)))
        };
        if x.len() == y.len() {
            return x.iter().zip(y).all(|(x, y)| covers(x, y));
        }
        // Fewer operations: those of `x` in their order among those of `y`.
        let mut rest = y.iter();
        x.len() < y.len() && x.iter().all(|one| rest.any(|other| covers(one, other)))
    }

    /// Whether one set of tools never does worse than another: bare hands, or tools against as many that nothing else uses.
    fn way(&self, x: &[usize], y: &[usize], uses: &BTreeMap<usize, u32>) -> bool {
        if x.is_empty() {
            return true;
        }
        let tools = &self.job.case.base.tools;
        // Heating that is not counted is read as bare hands.
        let left_out = |set: &[usize]| self.job.rule.heating == Heating::Nothing && set.iter().all(|&t| tools[t].heat);
        let (counted_x, counted_y) = (if left_out(x) { &[] } else { x }, if left_out(y) { &[] } else { y });
        let alone = |t: &usize| uses.get(t) == Some(&1) && self.nothing_else_uses(*t);
        let steps = counted_x.is_empty()
            || counted_x == counted_y
            || counted_x.len() <= counted_y.len() && counted_y.iter().all(alone);
        let class = |set: &[usize], most: bool| {
            let of = |&t: &usize| if most { self.job.classes[t].1 } else { self.job.classes[t].0 };
            set.iter().map(of).max().unwrap_or(0)
        };
        let hot = |set: &[usize]| set.iter().any(|&t| tools[t].heat || tools[t].solvent);
        let heating = |set: &[usize]| set.iter().all(|&t| tools[t].heat);
        let many = |set: &[usize]| set.iter().any(|&t| tools[t].many);
        steps
            && many(x) <= many(y)
            && class(x, true) <= class(y, false)
            && hot(x) <= hot(y)
            && (!heating(x) || heating(y))
    }

    fn nothing_else_uses(&self, tool: usize) -> bool {
        let named = self.job.named.get(&tool).is_none_or(|list| list.iter().all(|&u| u == self.unknown));
        let used = self.job.used.get(&tool).is_none_or(|list| list.iter().all(|a| self.touched.actions.contains(a)));
        named && used
    }
}

fn fasteners(x: &[CompleteFastener], y: &[CompleteFastener]) -> bool {
    let worst = |list: &[CompleteFastener]| list.iter().filter(|f| f.count > 0).map(|f| f.kind).max();
    let glued = |list: &[CompleteFastener]| list.iter().filter(|f| f.adhesive).map(|f| u64::from(f.count)).sum::<u64>();
    worst(x) <= worst(y) && glued(x) <= glued(y)
}

/// Whether `x` holds whenever `y` does, and speaks of nothing else.
fn needs(x: &[Need], y: &[Need]) -> bool {
    fn implied(x: &[Need], y: &[Need]) -> bool {
        x.iter()
            .all(|need| y.contains(need) || matches!(need, Need::Any(members) if members.iter().any(|m| implied(m, y))))
    }
    things(x).is_subset(&things(y)) && implied(x, y)
}

fn fill(x: &Fill, y: &Fill) -> bool {
    let same = Fill { several_roles: y.several_roles, paired: y.paired, spare: y.spare.clone(), ..x.clone() };
    same == *y && x.several_roles <= y.several_roles && x.paired <= y.paired && x.spare.no_worse(&y.spare)
}

fn support(x: &CompleteSupport, y: &CompleteSupport) -> bool {
    x.facts.no_worse(&y.facts)
        && x.marks.keys().eq(y.marks.keys())
        && x.marks.iter().all(|(row, mark)| y.marks.get(row).is_some_and(|other| mark >= other))
}
