//! Which change buys the most: every single edit of a design or a promise, and the cheapest set that reaches a target.

mod apply;
mod cheapest;
mod list;
mod short;
mod shorter;
mod touch;
mod whole;

use std::collections::{BTreeMap, BTreeSet};

use super::sift::{rises, sift};
use super::threads::side_by_side;
use crate::assess::{Plan, PlanKind};
use crate::exact::Exact;
use crate::method::Method;
use crate::range::{Case, Effort, Range, Study, show};
use crate::record::Record;
use apply::Make;

pub use cheapest::{Cheapest, TRIES, cheapest};
pub use short::{Nearest, Short, short_of};

/// One edit of a design or a promise.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Change {
    /// Stable id: what, data path, to what (`fastener actions[3].loosen[0] -> reusable`).
    pub id: String,
    /// In plain words.
    pub words: String,
    /// Data path of the place in the record.
    pub path: String,
    #[serde(skip)]
    make: Make,
}

/// What a change does under one method.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct ChangeEffect {
    /// Method id.
    pub method: String,
    /// Range of the verdict with the change.
    pub range: Range,
    /// Both ends as shown.
    pub shown: [String; 2],
    /// Class at both ends.
    pub classes: Option<[String; 2]>,
    /// By how much the low end moves, in points; below nought where the change makes things worse.
    pub gain_low: Exact,
    /// By how much the high end moves.
    pub gain_high: Exact,
    /// Low and high: the end is a bound, before or after, so that the gain is one between bounds and no completion's.
    pub bounds: [bool; 2],
    /// Criteria whose points change, in the order of the method.
    pub rows: Vec<MovedCriterion>,
}

/// A criterion that a change moves.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct MovedCriterion {
    /// Node id (`S_F/battery`).
    pub id: String,
    /// Title.
    pub title: String,
    /// The part it is about.
    pub role: Option<String>,
    /// Points before, low and high; for a verdict method `pass` or `fail`.
    pub before: [String; 2],
    /// Points after.
    pub after: [String; 2],
}

/// A change and what it does under every method, in the order of the methods.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Tried {
    /// The change.
    #[serde(flatten)]
    pub change: Change,
    /// One entry per method.
    pub effects: Vec<ChangeEffect>,
}

/// Every single change that improves a criterion of some method, the one that buys most first.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Changes {
    /// Method ids, in the order given.
    pub methods: Vec<String>,
    /// The verdict as things stand, per method.
    pub now: Vec<Range>,
    /// Changes: by gain at the low end under the first method, then the second and so on, then at the high end, then in
    /// record order.
    pub tried: Vec<Tried>,
}

impl Change {
    /// The single answers that make it; none where it is made otherwise.
    pub fn edits(&self) -> &[crate::range::Edit] {
        if let Make::Edits(edits) = &self.make { edits } else { &[] }
    }

    /// Whether two changes are about the same place, so that only one of them can be made.
    pub fn excludes(&self, other: &Self) -> bool {
        let (Some((place, to)), Some((other_place, other_to))) =
            (self.id.split_once(" -> "), other.id.split_once(" -> "))
        else {
            return false;
        };
        let first = |text: &str| text.split(' ').next().map(str::to_owned);
        match first(place).as_deref() {
            _ if place != other_place => false,
            // Several needs of one action can go, and several facts of one spare part can be promised.
            Some("order") => to == other_to,
            Some("spare") => first(to) == first(other_to),
            Some("promise") if place == "promise device.ingress" => first(to) == first(other_to),
            _ => true,
        }
    }

    /// The case with this change made.
    pub fn apply(&self, case: &Case) -> Case {
        let mut case = case.clone();
        self.make.apply(&mut case);
        case
    }
}

/// Makes some edits of promises; questions about the same places are answered by them.
pub(super) fn settle(case: &mut Case, edits: &[crate::range::Edit]) {
    edits.iter().for_each(|e| apply::settle(case, e));
}

/// Changes without those that do the same as an earlier one, each with the ids of those left out for it.
pub fn distinct(changes: Vec<Change>) -> Vec<(Change, Vec<String>)> {
    let mut out: Vec<(Change, Vec<String>)> = Vec::new();
    for change in changes {
        match out.iter_mut().find(|(kept, _)| kept.make == change.make) {
            Some((_, same)) => same.push(change.id),
            None => out.push((change, Vec::new())),
        }
    }
    out
}

/// Every single change some method might see, before anything is worked out; record order.
pub fn candidates(record: &Record, studies: &[&Study<'_>]) -> Vec<Change> {
    list::list(record, studies).0
}

/// What would make a record worse, fact by fact; see [`candidates`] for the rest.
pub(super) fn worse(record: &Record, studies: &[&Study<'_>]) -> Vec<Change> {
    list::worse(record, studies)
}

/// Ids of changes that are not offered, because they would free a part without opening anything first.
pub fn kept_back(record: &Record, studies: &[&Study<'_>]) -> Vec<String> {
    list::list(record, studies).1
}

impl Changes {
    /// Tries every single change under every method (taken as given: [`Method::for_device`] comes before).
    pub fn new(record: &Record, methods: &[Method], effort: Effort) -> Self {
        let studies: Vec<Study<'_>> = methods.iter().map(|m| Study::new(record, m, effort)).collect();
        Self::of(record, &studies.iter().collect::<Vec<_>>())
    }

    /// Tries every single change in studies of one record.
    pub fn of(record: &Record, studies: &[&Study<'_>]) -> Self {
        let before: Vec<State> = studies.iter().map(|s| State::of(s)).collect();
        let list: Vec<Change> = distinct(candidates(record, studies)).into_iter().map(|(change, _)| change).collect();
        let many = list.len();
        let idle = |number: usize, after: &Study<'_>| !State::of(after).betters(&before[number]);
        let list = promising(list, studies, idle);
        let mut tried: Vec<Tried> =
            side_by_side(&list, |change| tried(change, studies, &before, many)).into_iter().flatten().collect();
        tried.sort_by(|a, b| {
            let low = |t: &Tried| t.effects.iter().map(|e| e.gain_low.clone()).collect::<Vec<_>>();
            let high = |t: &Tried| t.effects.iter().map(|e| e.gain_high.clone()).collect::<Vec<_>>();
            low(b).cmp(&low(a)).then_with(|| high(b).cmp(&high(a)))
        });
        Self {
            methods: studies.iter().map(|s| s.method().id.value.clone()).collect(),
            now: before.into_iter().map(|b| b.range).collect(),
            tried,
        }
    }

    /// Puts first what buys most for its cost (by change id, 1 where not given), under the first method, then the second and
    /// so on; what costs nothing and buys something comes before all else.
    pub fn by_worth(&mut self, costs: &BTreeMap<String, Exact>) {
        let worth = |t: &Tried| -> Vec<(bool, Exact)> {
            let cost = costs.get(&t.change.id).cloned().unwrap_or_else(Exact::one);
            let each = |e: &ChangeEffect| match e.gain_low.checked_div(&cost) {
                Some(each) => (false, each),
                None => (!e.gain_low.is_negative() && !e.gain_low.is_zero(), e.gain_low.clone()),
            };
            t.effects.iter().map(each).collect()
        };
        self.tried.sort_by_cached_key(|t| std::cmp::Reverse(worth(t)));
    }
}

/// Without changes that do nothing when all of them are made, as seen in every study. Those of actions on the routes found are
/// looked at action by action.
pub(super) fn promising(
    list: Vec<Change>,
    studies: &[&Study<'_>],
    idle: impl Fn(usize, &Study<'_>) -> bool + Sync,
) -> Vec<Change> {
    if !studies.iter().all(|s| rises(s)) {
        return list;
    }
    let many = list.len();
    let taken: BTreeSet<usize> = studies.iter().flat_map(|s| s.taken()).collect();
    // Changes of one place that the same best stands for.
    let mut places: Vec<(Option<usize>, Vec<Change>)> = Vec::new();
    for change in list {
        let action = change.make.best().map(apply::Best::action);
        match places.last_mut() {
            Some((Some(_), others)) if action.is_some() && others[0].make.best() == change.make.best() => {
                others.push(change);
            }
            _ => places.push((action, vec![change])),
        }
    }
    let (mut near, mut far, mut rest) = (BTreeMap::<usize, Vec<usize>>::new(), Vec::new(), Vec::new());
    for (place, (action, _)) in places.iter().enumerate() {
        match action {
            Some(action) if taken.contains(action) => near.entry(*action).or_default().push(place),
            Some(_) => far.push(place),
            None => rest.push(vec![place]),
        }
    }
    let groups = near.into_values().chain([far]).chain(rest).collect();
    let cheap = |(_, changes): &(Option<usize>, Vec<Change>)| changes.len() < 2;
    let left = sift(&places, groups, cheap, |some| {
        studies.iter().enumerate().all(|(number, study)| {
            let mut case = study.case.clone();
            some.iter().filter_map(|(_, changes)| changes[0].make.best()).for_each(|best| best.make(&mut case));
            let after = study.with_case(case, many);
            after.range(0).exact && idle(number, &after)
        })
    });
    left.into_iter().flat_map(|i| std::mem::take(&mut places[i].1)).collect()
}

/// What a change does, where it improves some criterion.
fn tried(change: &Change, studies: &[&Study<'_>], before: &[State], many: usize) -> Option<Tried> {
    let mut better = false;
    let effects = studies
        .iter()
        .zip(before)
        .map(|(study, before)| {
            let after = after(study, change, before, many);
            better |= after.betters(before);
            effect(study, before, &after)
        })
        .collect();
    better.then(|| Tried { change: change.clone(), effects })
}

/// A verdict and its criteria.
struct State {
    range: Range,
    leaves: BTreeMap<usize, [Option<Exact>; 2]>,
}

impl State {
    fn of(study: &Study<'_>) -> Self {
        Self { range: study.range(0), leaves: study.leaf_ends() }
    }

    /// Whether some criterion has more points at either end than before.
    fn betters(&self, before: &Self) -> bool {
        self.leaves.iter().any(|(leaf, ends)| {
            let was = &before.leaves[leaf];
            ends[0] > was[0] || ends[1] > was[1]
        })
    }
}

fn after(study: &Study<'_>, change: &Change, before: &State, many: usize) -> State {
    let case = change.apply(&study.case);
    if case.base == study.case.base && case.unknowns == study.case.unknowns {
        return State { range: before.range.clone(), leaves: before.leaves.clone() };
    }
    State::of(&study.with_case(case, many))
}

fn effect(study: &Study<'_>, before: &State, after: &State) -> ChangeEffect {
    let method = study.method();
    let gain = |a: &Option<Exact>, b: &Option<Exact>| match (a, b) {
        (Some(a), Some(b)) => b - a,
        _ => Exact::zero(),
    };
    let rows = before
        .leaves
        .iter()
        .filter(|(leaf, ends)| after.leaves[leaf] != **ends)
        .map(|(leaf, ends)| {
            let node = &study.plan.nodes[*leaf];
            let said = |v: &Option<Exact>| said(method, v.as_ref());
            MovedCriterion {
                id: node.id.clone(),
                title: node.node.title.clone(),
                role: node.slot.map(|s| study.plan.slots[s].role.clone()),
                before: [said(&ends[0]), said(&ends[1])],
                after: [said(&after.leaves[leaf][0]), said(&after.leaves[leaf][1])],
            }
        })
        .collect();
    ChangeEffect {
        method: method.id.value.clone(),
        shown: after.range.shown(method),
        classes: after.range.classes(method),
        gain_low: gain(&before.range.low, &after.range.low),
        gain_high: gain(&before.range.high, &after.range.high),
        bounds: [0, 1].map(|end: usize| !(before.range.attained[end] && after.range.attained[end])),
        range: after.range.clone(),
        rows,
    }
}

/// Points of a node in words: exact, or pass and fail.
pub(super) fn said(method: &Method, value: Option<&Exact>) -> String {
    match value {
        None => "left out".to_owned(),
        Some(v) if method.scale.verdict => show(method, v),
        Some(v) => v.plain(),
    }
}

/// Best points a leaf can have at all, whatever is changed.
fn best(kind: &PlanKind<'_>) -> Option<Exact> {
    match kind {
        PlanKind::Leaf(_, _, table) => Some(Plan::extremes(table).1),
        PlanKind::Group(..) => None,
    }
}
