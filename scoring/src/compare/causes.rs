//! What costs a device its points, in things of the device: an action, a part or a promise, each with what the score before
//! limiting factors would gain if it alone were as good as can be.

use std::collections::BTreeSet;

use super::changes::{Change, candidates};
use super::sift::{rises, sift};
use super::threads::side_by_side;
use crate::assess::{Kept, PlanKind};
use crate::exact::Exact;
use crate::method::{Combine, Criterion, CriterionKind, Measure, Method};
use crate::range::{Case, Edit, Effort, Range, Study};
use crate::record::complete::CompleteAction;
use crate::record::{Outcome, Record, Term};
use crate::vocab::Promise;
use crate::vocab::promise::Of;

/// What could be better.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CauseOf {
    /// An action of the record, by index: bare hands, reusable fasteners, no heat, anybody's place and skill, nothing destroyed.
    Action(usize),
    /// A role the method weighs: for every part that fills it one more way, from the closed device, by hand.
    Part(String),
    /// A promise at its best answer: data path in the record, and the answers that make it; of several of which the lowest
    /// counts, all paths with `; ` between.
    Promise(String, Vec<Edit>),
}

/// A cause and what it costs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cause {
    /// What could be better.
    pub of: CauseOf,
    /// Points surely gained at the low and at the high end, never below nought.
    pub gain: [Exact; 2],
}

/// The causes of one verdict.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Causes {
    /// The verdict before limiting factors, as things stand.
    pub before: Range,
    /// Causes, the largest first: by the smaller of the two gains, then by the larger, then in record order. Gains of two
    /// causes may overlap, so they don't add up.
    pub causes: Vec<Cause>,
    /// What each of the first causes still adds once all above it are mended, at both ends.
    pub ladder: Vec<[Exact; 2]>,
    /// What is still lost once all of the ladder is mended, at both ends.
    pub rest: [Exact; 2],
}

/// Actions up to which each is looked at as a cause, on a route found or not.
const MANY: usize = 300;

/// Causes that the ladder goes through.
pub const RUNGS: usize = 12;

/// The method of the verdict that leads: the bench verdict where the method has one, else the method itself.
pub fn leading(method: &Method) -> Method {
    method.bench_verdict().unwrap_or_else(|| method.clone())
}

/// A method without its limiting factors.
pub fn without_limits(method: &Method) -> Method {
    Method { root: bare(&method.root), parked: Vec::new(), ..method.clone() }
}

fn bare(node: &Criterion) -> Criterion {
    match &node.kind {
        CriterionKind::Group { how: Combine::Cap, of } => match of.first() {
            Some(first) => Criterion { weight: node.weight.clone(), group: node.group.or(first.group), ..bare(first) },
            None => node.clone(),
        },
        CriterionKind::Group { how, of } => {
            Criterion { kind: CriterionKind::Group { how: *how, of: of.iter().map(bare).collect() }, ..node.clone() }
        }
        CriterionKind::Each { .. } | CriterionKind::Leaf { .. } => node.clone(),
    }
}

impl Causes {
    /// Causes of a record's verdict under a method (taken as given: [`Method::for_device`] comes before), with a ladder of
    /// [`RUNGS`].
    pub fn new(record: &Record, method: &Method, effort: Effort) -> Self {
        Self::keeping(record, method, effort, &Kept::default(), RUNGS)
    }

    /// As [`Causes::new`], with what was worked out before; `rungs`: how many causes the ladder goes through at most, for those
    /// who don't show all of it.
    pub fn keeping(record: &Record, method: &Method, effort: Effort, kept: &Kept, rungs: usize) -> Self {
        let method = without_limits(method);
        let study = Study::keeping(Case::new(record, &method), &method, effort, kept);
        let before = study.range(0);
        let mut list = Vec::new();
        // Between bounds nobody knows what is gained.
        if before.attained != [false; 2] {
            list.extend(actions(record, &study));
            list.extend(parts(&study));
        }
        let many = list.len() + RUNGS;
        let list = costly(&study, &before, list, many);
        let worth = |(_, mend): &(CauseOf, Mend)| {
            let mut case = study.case.clone();
            mend.apply(&mut case);
            if case.base == study.case.base && case.unknowns == study.case.unknowns {
                return [Exact::zero(), Exact::zero()];
            }
            gain(&before, &study.with_case(case, many).range(0))
        };
        let gains = side_by_side(&list, worth);
        let mut found: Vec<(Cause, Mend)> =
            list.into_iter().zip(gains).map(|((of, mend), gain)| (Cause { of, gain }, mend)).collect();
        found.retain(|(c, _)| !c.gain[1].is_zero() || !c.gain[0].is_zero());
        let found = told_once(record, &study, found);
        let (mut ladder, mut stands) = (Vec::new(), before.clone());
        let mut on: Option<Study<'_>> = None;
        for (_, mend) in found.iter().take(rungs) {
            let mut case = on.as_ref().unwrap_or(&study).case.clone();
            mend.apply(&mut case);
            let next = match &on {
                Some(on) => on.then(case),
                None => study.with_case(case, many),
            };
            let range = next.range(0);
            ladder.push(rung(&stands, &range));
            (stands, on) = (range, Some(next));
        }
        let top = &method.scale.high;
        let rest = [&stands.low, &stands.high].map(|v| v.as_ref().map_or_else(Exact::zero, |v| top - v));
        Self { before, causes: found.into_iter().map(|(c, _)| c).collect(), ladder, rest }
    }
}

/// Without actions that are no causes: those that gain nothing when all of them are perfect. Actions on the routes found are
/// looked at one by one.
fn costly(study: &Study<'_>, before: &Range, list: Vec<(CauseOf, Mend)>, many: usize) -> Vec<(CauseOf, Mend)> {
    if !rises(study) {
        return list;
    }
    let taken = study.taken();
    let (far, near): (Vec<usize>, Vec<usize>) =
        (0..list.len()).partition(|&i| matches!(list[i].1, Mend::Perfect(action) if !taken.contains(&action)));
    let groups = near.into_iter().map(|i| vec![i]).chain([far]).collect();
    let left = sift(
        &list,
        groups,
        |_| true,
        |some| {
            let mut case = study.case.clone();
            some.iter().for_each(|(_, mend)| mend.apply(&mut case));
            let after = study.with_case(case, many).range(0);
            after.exact && gain(before, &after).iter().all(Exact::is_zero)
        },
    );
    let mut list: Vec<Option<(CauseOf, Mend)>> = list.into_iter().map(Some).collect();
    left.into_iter().filter_map(|i| list[i].take()).collect()
}

/// What both ends surely gain, never below nought: from the most the end can be before to the least it can be after, which are
/// the ends themselves where they are exact.
fn gain(before: &Range, after: &Range) -> [Exact; 2] {
    [over(&before.reached[0], &after.low), over(&before.high, &after.reached[1])]
}

/// The same between two rungs, end by end: so that a ladder adds up.
fn rung(before: &Range, after: &Range) -> [Exact; 2] {
    [over(&before.low, &after.low), over(&before.high, &after.high)]
}

fn over(before: &Option<Exact>, after: &Option<Exact>) -> Exact {
    match (before, after) {
        (Some(before), Some(after)) => (after - before).max(Exact::zero()),
        _ => Exact::zero(),
    }
}

/// Ranks causes. Where an action frees the part of another cause, only the one that gains more is told: mending both is
/// mending one thing.
fn told_once(record: &Record, study: &Study<'_>, mut found: Vec<(Cause, Mend)>) -> Vec<(Cause, Mend)> {
    // Stable: actions stand before parts, so that of two equal ones the more specific is told.
    found.sort_by_key(|(cause, _)| std::cmp::Reverse(sides(cause)));
    let roles_of = |action: usize| -> Vec<&str> {
        let frees = |thing| study.case.base.actions.get(action).is_some_and(|a| a.frees.contains(&thing));
        let slots = study.plan.slots.iter().filter(|s| s.weight.is_some());
        slots
            .filter(|s| s.fills.iter().any(|&f| frees(study.case.base.fills[f].thing)))
            .map(|s| s.role.as_str())
            .collect()
    };
    let mut out: Vec<(Cause, Mend)> = Vec::new();
    for (cause, mend) in found {
        let told = out.iter().any(|(above, _)| match (&above.of, &cause.of) {
            (CauseOf::Action(a), CauseOf::Part(role)) | (CauseOf::Part(role), CauseOf::Action(a)) => {
                *a < record.actions.len() && roles_of(*a).contains(&role.as_str())
            }
            _ => false,
        });
        if !told {
            out.push((cause, mend));
        }
    }
    out
}

/// How a cause is mended.
enum Mend {
    Perfect(usize),
    /// Things that get one more way.
    Way(Vec<crate::route::Thing>),
}

impl Mend {
    fn apply(&self, case: &mut Case) {
        match self {
            Self::Perfect(action) => perfect(case, *action),
            Self::Way(things) => case.base.actions.extend(things.iter().map(|t| CompleteAction::by_hand(*t))),
        }
    }
}

/// Makes an action as good as it can be, and takes back what is asked about how it is done.
fn perfect(case: &mut Case, index: usize) {
    case.base.actions[index].make_best();
    let of_others = |list: &[usize]| list.iter().copied().filter(|a| *a != index).collect::<Vec<_>>();
    let left = |edit: &Edit| match edit {
        Edit::Ways(a, ..)
        | Edit::Operations(a, _)
        | Edit::Fastener(a, ..)
        | Edit::Adhesive(a, ..)
        | Edit::Count(a, ..)
        | Edit::Fasten(a, ..)
        | Edit::Exists(a, _)
            if *a == index =>
        {
            None
        }
        Edit::Place(list, place) => {
            Some(Edit::Place(of_others(list), *place)).filter(|_| list.iter().any(|a| *a != index))
        }
        Edit::Skill(list, skill) => {
            Some(Edit::Skill(of_others(list), *skill)).filter(|_| list.iter().any(|a| *a != index))
        }
        other => Some(other.clone()),
    };
    for unknown in &mut case.unknowns {
        for answer in &mut unknown.answers {
            answer.edits = answer.edits.iter().filter_map(left).collect();
        }
    }
    case.close_questions();
}

fn actions(record: &Record, study: &Study<'_>) -> Vec<(CauseOf, Mend)> {
    let reads = study
        .plan
        .leaves()
        .any(|l| matches!(&study.plan.nodes[l].kind, PlanKind::Leaf(measure, _, _) if measure.on_route()));
    // Of very many actions those on the routes found are looked at: the others cost the device something only if they were
    // better than these, and each takes a verdict of its own to tell.
    let taken: BTreeSet<usize> = study.taken();
    let many = record.actions.len() > MANY;
    let tried = |i: &usize| record.actions[*i].outcome.value != Outcome::Failed && (!many || taken.contains(i));
    let all = if reads { record.actions.len() } else { 0 };
    (0..all).filter(tried).map(|i| (CauseOf::Action(i), Mend::Perfect(i))).collect()
}

fn parts(study: &Study<'_>) -> Vec<(CauseOf, Mend)> {
    let base = &study.case.base;
    let named = |s: &&crate::assess::Slot| s.weight.is_some() && s.fills.iter().any(|&f| base.fills[f].part.is_some());
    let slots = study.plan.slots.iter().filter(named);
    slots.map(|slot| (CauseOf::Part(slot.role.clone()), Mend::Way(things(study, slot)))).collect()
}

/// What a verdict would gain by each promise at its best answer, the largest first. What is promised part by part is one
/// promise for all parts.
pub fn promises(record: &Record, method: &Method, effort: Effort, kept: &Kept) -> Vec<Cause> {
    let method = without_limits(method);
    let study = Study::keeping(Case::new(record, &method), &method, effort, kept);
    let before = study.range(0);
    let mut out: Vec<Cause> = best_promises(record, &study)
        .into_iter()
        .map(|(of, after)| Cause { of, gain: gain(&before, &after) })
        .collect();
    out.retain(|c| c.gain.iter().any(|g| !g.is_zero()));
    out.sort_by_key(|cause| std::cmp::Reverse(sides(cause)));
    out
}

/// What a verdict surely gains at both ends, under all its limits, by each of some causes mended alone.
pub fn held(record: &Record, method: &Method, effort: Effort, kept: &Kept, causes: &[&Cause]) -> Vec<[Exact; 2]> {
    let study = Study::keeping(Case::new(record, method), method, effort, kept);
    let before = study.range(0);
    let worth = |cause: &&Cause| {
        let mut case = study.case.clone();
        match &cause.of {
            CauseOf::Action(action) => Mend::Perfect(*action).apply(&mut case),
            CauseOf::Part(role) => {
                let slot = study.plan.slots.iter().find(|slot| slot.role == *role);
                Mend::Way(slot.map_or_else(Vec::new, |slot| things(&study, slot))).apply(&mut case);
            }
            CauseOf::Promise(_, edits) => super::changes::settle(&mut case, edits),
        }
        gain(&before, &study.with_case(case, causes.len()).range(0))
    };
    side_by_side(causes, worth)
}

/// The pieces that fill a role.
fn things(study: &Study<'_>, slot: &crate::assess::Slot) -> Vec<crate::route::Thing> {
    let mut things: Vec<_> = slot.fills.iter().map(|&f| study.case.base.fills[f].thing).collect();
    things.sort_unstable();
    things.dedup();
    things
}

/// The smaller gain, then the larger.
fn sides(c: &Cause) -> (Exact, Exact) {
    (c.gain[0].clone().min(c.gain[1].clone()), c.gain[0].clone().max(c.gain[1].clone()))
}

/// Each promise at its best answer, and the verdict then.
fn best_promises(record: &Record, study: &Study<'_>) -> Vec<(CauseOf, Range)> {
    let list = candidates(record, &[study]);
    let mut best: Vec<(String, Change)> = Vec::new();
    for change in list {
        let (place, to) = change.id.split_once(" -> ").unwrap_or((&change.id, ""));
        let spare = place == "spare support.spare parts.every part";
        if !spare && !place.starts_with("promise ") || place.starts_with("promise support.information.") {
            continue;
        }
        let key = if spare { to.rsplit_once(' ').map_or(to, |(what, _)| what) } else { place };
        let key = format!("{spare}{key}");
        // Of several answers to one question the one that gains most is its best.
        best.push((key, change.clone()));
    }
    let many = best.len();
    let worth = |(_, change): &(String, Change)| study.with_case(change.apply(&study.case), many).range(0);
    let ranges = side_by_side(&best, worth);
    let ends = |r: &Range| (r.low.clone(), r.high.clone());
    let before = ends(&study.range(0));
    let tried = || best.iter().zip(&ranges);
    let idle: Vec<&Change> = tried().filter(|(_, r)| ends(r) == before).map(|((_, change), _)| change).collect();
    let together: Vec<(CauseOf, Range)> =
        level(study, &idle).into_iter().map(|changes| joint(study, &changes, many)).collect();
    let mut kept: Vec<(String, Change, Range)> = Vec::new();
    for ((key, change), range) in best.into_iter().zip(ranges) {
        match kept.iter_mut().find(|(k, ..)| *k == key) {
            Some(one) if ends(&range) > ends(&one.2) => *one = (key, change, range),
            Some(_) => {}
            None => kept.push((key, change, range)),
        }
    }
    let told = |change: &Change| CauseOf::Promise(change.path.clone(), change.edits().to_vec());
    let mut out: Vec<(CauseOf, Range)> = kept.into_iter().map(|(_, change, range)| (told(&change), range)).collect();
    out.extend(together);
    let information = study.plan.leaves().any(|l| {
        matches!(
            &study.plan.nodes[l].kind,
            PlanKind::Leaf(measure, _, _) if measure.facts().iter().any(|p| p.row().of == Of::Information)
        )
    });
    if information {
        let edits: Vec<Edit> = Promise::of(Of::Information).map(|p| Edit::Support(p, Term::Word(0))).collect();
        let mut case = study.case.clone();
        super::changes::settle(&mut case, &edits);
        let after = study.with_case(case, many).range(0);
        out.push((CauseOf::Promise("support.information".to_owned(), edits), after));
    }
    out
}

/// Promises of which the lowest counts and that do nothing alone, since others are as low, each at its best: by the group that
/// counts them.
fn level<'c>(study: &Study<'_>, idle: &[&'c Change]) -> Vec<Vec<&'c Change>> {
    let best_of = |&leaf: &usize| match &study.plan.nodes[leaf].kind {
        PlanKind::Leaf(Measure::Promise(promise), ..) => {
            let of_it = idle.iter().copied().filter(|c| c.path == promise.path());
            of_it.max_by_key(|change| study.with_case(change.apply(&study.case), idle.len()).range(leaf).low)
        }
        _ => None,
    };
    let groups = study.plan.nodes.iter().filter_map(|node| match &node.kind {
        PlanKind::Group(Combine::Worst, children) => Some(children.iter().filter_map(best_of).collect::<Vec<_>>()),
        _ => None,
    });
    groups.filter(|changes| changes.len() > 1).collect()
}

/// Several promises made at once, and the verdict then.
fn joint(study: &Study<'_>, changes: &[&Change], many: usize) -> (CauseOf, Range) {
    let paths: Vec<&str> = changes.iter().map(|c| &*c.path).collect();
    let edits = changes.iter().flat_map(|c| c.edits().to_vec()).collect();
    let case = changes.iter().fold(study.case.clone(), |case, change| change.apply(&case));
    (CauseOf::Promise(paths.join("; "), edits), study.with_case(case, many).range(0))
}
