//! A record and a method prepared once, so that many "what if" questions can be asked of them.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, OnceLock};

use super::assessment::{class_of, show};
use super::bound::{Side, fold_knowing};
use super::case::Case;
use super::counting::{every, how_many};
use super::ends::{End, end};
use super::looks::{Ground, Looker, Pick, as_whole};
use super::near::Near;
use crate::assess::{Evaluated, Kept, Plan, PlanKind};
use crate::exact::Exact;
use crate::method::{Combine, Method};
use crate::record::Record;

/// Completions that are gone through for the rows below a verdict; past them these are bounds.
const COMPLETIONS: u64 = 64;
/// Completions of the questions below one node that are gone through for it.
const FEW: u64 = 8;
/// Sets of questions gone through for nodes.
const GROUPS: usize = 16;

/// How much work an assessment may take, counted so that every machine gives the same answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// Looks at completions, or at many at once, per end of a verdict; past them the plain bound is given.
    pub looks: u64,
    /// States of the searches for one part in one completion.
    pub states: u64,
    /// States of all searches for one end of a verdict.
    pub pool: u64,
}

impl Default for Effort {
    fn default() -> Self {
        Self { looks: 1_000, states: 40_000, pool: 12_000_000 }
    }
}

/// Lowest and highest value over some completions.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Range {
    /// Lowest; `None`: left out in every completion.
    pub low: Option<Exact>,
    /// Highest.
    pub high: Option<Exact>,
    /// Both ends are attained; false: at least one is a bound.
    pub exact: bool,
    /// Low and high: a completion has it; false marks a bound, which nothing can leave.
    pub attained: [bool; 2],
    /// What the lowest and the highest of the completions that were tried surely come to. The same as the end where that
    /// is attained; nothing where the two cross.
    pub reached: [Option<Exact>; 2],
}

impl Range {
    /// From its two ends.
    pub(super) fn of([low, high]: [&End; 2]) -> Self {
        // Between two bounds that meet there is one value, and a completion that was tried has it.
        let has = |e: &End| e.span.iter().all(|side| *side == e.value);
        let meet = low.value.is_some() && low.value == high.value && (has(low) || has(high));
        let attained = if meet { [true; 2] } else { [low.attained, high.attained] };
        let reached =
            if meet { [low.value.clone(), high.value.clone()] } else { [low.reached(false), high.reached(true)] };
        let cross = matches!(&reached, [Some(a), Some(b)] if a > b);
        Self {
            low: low.value.clone(),
            high: high.value.clone(),
            exact: attained == [true; 2],
            attained,
            reached: if cross { [None, None] } else { reached },
        }
    }

    /// Ends as given, both attained or both bounds.
    pub(super) fn plain(low: Option<Exact>, high: Option<Exact>, exact: bool) -> Self {
        let reached = if exact { [low.clone(), high.clone()] } else { [None, None] };
        Self { low, high, exact, attained: [exact; 2], reached }
    }

    /// `high - low`; nought where nothing is left to score.
    pub fn width(&self) -> Exact {
        match (&self.low, &self.high) {
            (Some(low), Some(high)) => high - low,
            _ => Exact::zero(),
        }
    }

    /// Both ends as the method shows them; empty where nothing is left to score.
    pub fn shown(&self, method: &Method) -> [String; 2] {
        [&self.low, &self.high].map(|v| v.as_ref().map_or_else(String::new, |v| show(method, v)))
    }

    /// Class at both ends, where the method has classes.
    pub fn classes(&self, method: &Method) -> Option<[String; 2]> {
        Some([class_of(method, self.low.as_ref()?)?, class_of(method, self.high.as_ref()?)?])
    }
}

/// A record prepared for a method.
#[derive(Clone, Debug)]
pub struct Study<'m> {
    /// The record as one complete record plus its unknowns.
    pub case: Case,
    /// The method unfolded for it.
    pub plan: Plan<'m>,
    /// Work allowed.
    pub effort: Effort,
    ground: Arc<Ground>,
    ends: OnceLock<Box<[End; 2]>>,
    nodes: OnceLock<Nodes>,
    bounds: OnceLock<Nodes>,
    /// What was found at both ends, for cases close by.
    known: OnceLock<Arc<Near>>,
}

/// What every node comes to over all completions.
#[derive(Clone, Debug)]
pub(super) struct Nodes {
    /// Low and high end of every node.
    pub(super) ends: Vec<[Option<Exact>; 2]>,
    /// A completion that was looked at has it.
    pub(super) attained: Vec<[bool; 2]>,
    /// It may be left out.
    pub(super) optional: Vec<bool>,
}

impl<'m> Study<'m> {
    /// Prepares a record. The method is taken as given: [`Method::for_device`] comes before.
    pub fn new(record: &Record, method: &'m Method, effort: Effort) -> Self {
        Self::of(Case::new(record, method), method, effort)
    }

    /// Prepares a case.
    pub fn of(case: Case, method: &'m Method, effort: Effort) -> Self {
        Self::keeping(case, method, effort, &Kept::default())
    }

    /// Prepares a case, with routes found before.
    pub fn keeping(case: Case, method: &'m Method, effort: Effort, kept: &Kept) -> Self {
        Self::near(case, method, effort, kept, None)
    }

    fn near(case: Case, method: &'m Method, effort: Effort, kept: &Kept, near: Option<Arc<Near>>) -> Self {
        let plan = Plan::new(method, &case.base, &case.own_roles);
        let ground = Arc::new(Ground::new(&plan, &case, kept, near));
        Self {
            case,
            plan,
            effort,
            ground,
            ends: OnceLock::new(),
            nodes: OnceLock::new(),
            bounds: OnceLock::new(),
            known: OnceLock::new(),
        }
    }

    /// Work done by everybody who shares what this study keeps.
    pub fn kept(&self) -> &Kept {
        self.ground.kept()
    }

    /// The same method, another case that differs by a few edits: one of `many` that are looked at, which share the work
    /// allowed.
    pub fn with_case(&self, case: Case, many: usize) -> Self {
        let pool = self.effort.pool;
        // Where the case itself is too hard, its neighbours are: then bounds are all there is, and cheap ones do.
        let share = if self.hard() { pool / 2_000 } else { (4 * pool / (many.max(1) as u64)).clamp(pool / 50, pool) };
        self.close_by(case, Effort { pool: share, ..self.effort })
    }

    /// The next of a row of cases that each differ from the one before by a few edits, with the work allowed for this one.
    pub fn then(&self, case: Case) -> Self {
        self.close_by(case, self.effort)
    }

    fn close_by(&self, case: Case, effort: Effort) -> Self {
        let known = self.known.get_or_init(|| {
            let choices = self.ends().each_ref().map(|e| &e.choice[..]);
            Arc::new(Near::of(&self.looker(), choices, self.ground.base()))
        });
        // Of an edited record only values are told.
        Self::near(case, self.method(), effort, &self.ground.kept().unseen(), Some(Arc::clone(known)))
    }

    /// Whether a search at an end was cut short.
    fn hard(&self) -> bool {
        !self.read_at_ends().iter().all(|e| e.proved)
    }

    /// The same method, another case close to this one: routes the difference can't touch are taken over. The ranges are
    /// those of the case alone.
    pub fn beside(&self, case: Case) -> Self {
        Self::keeping(case, self.method(), self.effort, self.ground.kept())
    }

    /// Whether some leaf may be left out in some completion and not in others.
    pub fn may_leave_out(&self) -> bool {
        self.plan.leaves().any(|l| self.bounds().optional[l] && self.bounds().ends[l][1].is_some())
    }

    /// The method.
    pub fn method(&self) -> &'m Method {
        self.plan.method
    }

    fn looker(&self) -> Looker<'_, 'm> {
        Looker { plan: &self.plan, case: &self.case, ground: &self.ground, effort: self.effort }
    }

    /// Both ends of the verdict.
    pub(super) fn ends(&self) -> &[End; 2] {
        self.ends.get_or_init(|| {
            let looker = self.looker();
            let low = end(&looker, &[], false);
            // One completion that is both ends, and surely comes to one value, is looked at once.
            let best = looker.picks(&[], true).into_iter();
            let one = low.attained && low.span[0] == low.span[1] && best.eq(low.choice.iter().map(|&a| Pick::Is(a)));
            let high = if one { low.again() } else { end(&looker, &[], true) };
            Box::new([low, high])
        })
    }

    /// What is read in the completions at both ends.
    pub(super) fn read_at_ends(&self) -> [&Evaluated; 2] {
        let looker = self.looker();
        self.ends().each_ref().map(|e| e.evaluated(&looker))
    }

    /// Looks that the two ends of the verdict took: at completions, and at many at once.
    pub fn looks(&self) -> u64 {
        self.ends().iter().map(|e| e.looks).sum()
    }

    /// Actions on the routes of the two completions at the ends.
    pub(crate) fn taken(&self) -> BTreeSet<usize> {
        let routes = self.read_at_ends().into_iter().flat_map(|e| e.routes.values());
        routes.flat_map(|r| r.taken.iter().map(|(a, _)| *a)).collect()
    }

    /// Both ends of every node.
    pub(super) fn nodes(&self) -> &Nodes {
        self.nodes.get_or_init(|| self.all_nodes())
    }

    /// Every node over all completions, where there are few of them.
    fn gone_through(&self) -> Option<Nodes> {
        let bearing: BTreeSet<usize> = self.ground.bearing.leaves.values().flatten().copied().collect();
        // A node may have more, or less, with an answer that stands between those that can be tried.
        if bearing.iter().any(|&u| self.ground.elastic[u]) {
            return None;
        }
        let seen = self.all_of(&bearing, COMPLETIONS.min(self.effort.looks))?;
        let mut out = Nodes { ends: Vec::new(), attained: Vec::new(), optional: Vec::new() };
        for node in 0..self.plan.nodes.len() {
            let (ends, attained, optional) = ends_among(&seen, node);
            out.ends.push(ends);
            out.attained.push(attained);
            out.optional.push(optional);
        }
        Some(out)
    }

    /// Every completion of some questions, the others at their first answer; `None` where there are none or too many.
    fn all_of(&self, bearing: &BTreeSet<usize>, most: u64) -> Option<Vec<Evaluated>> {
        let answers = |u: usize| self.case.unknowns[u].answers.len();
        let sizes: Vec<usize> = bearing.iter().map(|&u| answers(u)).collect();
        let many = how_many(sizes.iter().copied())?;
        if bearing.is_empty() || many > most {
            return None;
        }
        let looker = self.looker();
        let (mut seen, mut states) = (Vec::new(), 0);
        for answers in every(&sizes) {
            let mut choice = vec![0; self.case.unknowns.len()];
            bearing.iter().zip(answers).for_each(|(&u, answer)| choice[u] = answer);
            let picks: Vec<Pick> = choice.iter().map(|&a| Pick::Is(a)).collect();
            if !self.ground.tangled.is_empty() && !self.case.stands(&choice) {
                continue;
            }
            states += looker.look(&picks, false).states;
            if states > self.effort.pool {
                return None;
            }
            seen.push(looker.completed(&choice));
        }
        (!seen.is_empty()).then_some(seen)
    }

    /// Nodes that read nothing on a route and hang on a few answers alone: those are gone through, the others bear on nothing
    /// below them.
    fn few_answers(&self, out: &mut Nodes) {
        let mut seen: BTreeMap<BTreeSet<usize>, Option<Vec<Evaluated>>> = BTreeMap::new();
        let mut known: BTreeMap<usize, ([Option<Exact>; 2], bool)> = BTreeMap::new();
        let mut together: BTreeMap<usize, Together> = BTreeMap::new();
        for node in 1..self.plan.nodes.len() {
            let PlanKind::Group(how, children) = &self.plan.nodes[node].kind else { continue };
            if out.attained[node] == [true; 2] {
                continue;
            }
            // Rows of one question beside rows read on a route: of all of them the worst counts, so they are gone through
            // together.
            let apart = match how {
                Combine::Worst => &children[..],
                Combine::Gate => children.get(1..).unwrap_or_default(),
                _ => &[],
            };
            let whole = self.off_route(node);
            let rows: Vec<usize> = match &whole {
                Some(_) => Vec::new(),
                None => apart.iter().copied().filter(|&c| self.off_route(c).is_some()).collect(),
            };
            let some = || rows.iter().filter_map(|&c| self.off_route(c)).flatten().collect();
            let Some(bearing) = whole.or_else(|| (rows.len() > 1).then(some)) else { continue };
            if !seen.contains_key(&bearing) && seen.len() >= GROUPS {
                continue;
            }
            let found = seen.entry(bearing).or_insert_with_key(|bearing| self.all_of(bearing, FEW));
            let Some(found) = found else { continue };
            if rows.is_empty() {
                (out.ends[node], out.attained[node], out.optional[node]) = ends_among(found, node);
                known.insert(node, (out.ends[node].clone(), out.optional[node]));
            } else {
                let worst: Vec<Option<Exact>> =
                    found.iter().map(|e| rows.iter().filter_map(|&c| e.values[c].clone()).min()).collect();
                let ends = [worst.iter().flatten().min().cloned(), worst.iter().flatten().max().cloned()];
                together.insert(node, Together { rows, ends, optional: worst.iter().any(Option::is_none) });
            }
        }
        if known.is_empty() && together.is_empty() {
            return;
        }
        // What stands above them is no wider than they make it.
        for (side, high) in [(0, false), (1, true)] {
            let leaf = |l: usize| Side { value: out.ends[l][side].clone(), optional: out.optional[l] };
            let better = |n: usize| {
                known.get(&n).map(|(ends, optional)| Side { value: ends[side].clone(), optional: *optional })
            };
            let joint = |n: usize| {
                let Together { rows, ends, optional } = together.get(&n)?;
                Some((&rows[..], Side { value: ends[side].clone(), optional: *optional }))
            };
            let folded = fold_knowing(&self.plan, high, leaf, better, joint);
            for (node, folded) in folded.into_iter().enumerate().filter(|(node, _)| !known.contains_key(node)) {
                let (Some(now), Some(new)) = (&out.ends[node][side], folded.value) else { continue };
                if if high { new < *now } else { new > *now } {
                    // Where both ends are one value, whatever has the one has the other.
                    out.attained[node][side] =
                        out.attained[node][1 - side] && out.ends[node][1 - side] == Some(new.clone());
                    out.ends[node][side] = Some(new);
                }
            }
        }
    }

    /// The questions that bear on what is below a node; `None` where some of it is read on a route.
    fn off_route(&self, node: usize) -> Option<BTreeSet<usize>> {
        match &self.plan.nodes[node].kind {
            PlanKind::Leaf(measure, ..) if measure.on_route() => None,
            // Which of several parts counts hangs on what is read on their routes.
            PlanKind::Leaf(..) if as_whole(&self.plan, node) => None,
            PlanKind::Leaf(..) => Some(self.ground.bearing.leaves.get(&node).into_iter().flatten().copied().collect()),
            PlanKind::Group(_, children) => children.iter().try_fold(BTreeSet::new(), |mut all, &c| {
                all.extend(self.off_route(c)?);
                Some(all)
            }),
        }
    }

    fn all_nodes(&self) -> Nodes {
        let mut out = self.gone_through().unwrap_or_else(|| {
            let mut out = self.bounds().clone();
            self.few_answers(&mut out);
            out
        });
        // The verdict itself is known better.
        let verdict = self.range(0);
        out.ends[0] = [verdict.low, verdict.high];
        out.attained[0] = verdict.attained;
        out
    }

    /// Every node by itself, whatever the routes chosen: cheap, and what many cases side by side are held against.
    fn bounds(&self) -> &Nodes {
        self.bounds.get_or_init(|| self.all_bounds())
    }

    fn all_bounds(&self) -> Nodes {
        let ends = self.read_at_ends();
        let count = self.plan.nodes.len();
        // Without anything open there is one completion.
        let settled = self.ground.bearing.leaves.values().all(Vec::is_empty) || self.case.unknowns.is_empty();
        let sides: [Vec<Side>; 2] = [false, true].map(|high| {
            if settled {
                let seen = ends[0];
                let values = if high { &seen.most } else { &seen.values };
                return values.iter().map(|v| Side { value: v.clone(), optional: v.is_none() }).collect();
            }
            self.looker().sides(&[], high)
        });
        let mut out = Nodes {
            ends: Vec::with_capacity(count),
            attained: Vec::with_capacity(count),
            optional: (0..count).map(|n| sides[0][n].optional || sides[1][n].optional).collect(),
        };
        for (node, (low, high)) in sides[0].iter().zip(&sides[1]).enumerate() {
            let both: [Option<Exact>; 2] = [low.value.clone(), high.value.clone()];
            let has = |value: &Option<Exact>| ends.iter().any(|e| e.values[node] == *value && e.most[node] == *value);
            out.attained.push([has(&both[0]), has(&both[1])]);
            out.ends.push(both);
        }
        out
    }

    /// Range of a node of the plan; 0 is the verdict.
    pub fn range(&self, node: usize) -> Range {
        if node == 0 {
            let [low, high] = self.ends();
            return Range::of([low, high]);
        }
        let nodes = self.nodes();
        let ([low, high], attained) = (nodes.ends[node].clone(), nodes.attained[node]);
        let reached = [(&low, attained[0]), (&high, attained[1])].map(|(v, is)| v.clone().filter(|_| is));
        Range { low, high, exact: attained == [true; 2], attained, reached }
    }

    /// Range of the verdict once some questions are answered: unknown and answer, by index.
    pub fn range_given(&self, given: &[(usize, usize)]) -> Range {
        let known = self.ends();
        let [low, high] = [false, true].map(|high| {
            // A completion that has the end is among those asked about where it gives these answers, or stays as good or bad
            // with them.
            let known = &known[usize::from(high)];
            let has = known.attained
                && (given.iter().all(|&(u, a)| known.choice[u] == a) || self.still_has(known, given, high));
            if has { None } else { Some(end(&self.looker(), given, high)) }
        });
        Range::of([low.as_ref().unwrap_or(&known[0]), high.as_ref().unwrap_or(&known[1])])
    }

    /// Whether the completion of an end has its value with other answers to some questions too: then none of those with these
    /// answers lies beyond. Looked at where an end is more than one look.
    fn still_has(&self, known: &End, given: &[(usize, usize)], high: bool) -> bool {
        let looker = self.looker();
        if looker.picks(given, high).iter().all(|pick| matches!(pick, Pick::Is(_))) {
            return false;
        }
        let mut picks: Vec<Pick> = known.choice.iter().map(|&a| Pick::Is(a)).collect();
        given.iter().for_each(|&(u, a)| picks[u] = Pick::Is(a));
        let look = looker.look(&picks, high);
        look.value == known.value && look.reached.as_ref() == Some(&look.value)
    }

    /// Answers to some questions that can be the best of each for the verdict, or the worst.
    pub(super) fn at_end(&self, unknowns: &[usize], best: bool) -> Vec<(usize, usize)> {
        let standing = |u: usize| {
            let s = &self.ground.standings[u];
            if best { s.best.first() } else { s.worst.last() }.copied().unwrap_or_default()
        };
        unknowns.iter().map(|&u| (u, standing(u))).collect()
    }

    /// Unknowns some leaf reads, in record order.
    pub fn open(&self) -> Vec<usize> {
        let nodes = self.nodes();
        let open =
            |l: &usize| nodes.ends[*l][0] != nodes.ends[*l][1] || nodes.optional[*l] && nodes.ends[*l][1].is_some();
        let leaves = self.ground.bearing.leaves.iter().filter(|(l, _)| open(l));
        let found: BTreeSet<usize> = leaves.flat_map(|(_, list)| list.iter().copied()).collect();
        found.into_iter().collect()
    }

    /// Questions a leaf depends on.
    pub(super) fn bearing_on(&self, leaf: usize) -> &[usize] {
        self.ground.bearing.leaves.get(&leaf).map_or(&[], Vec::as_slice)
    }

    /// Bounds of the points of every leaf, by plan node: found without going through completions, so that cases that differ
    /// by a few edits compare.
    pub fn leaf_ends(&self) -> BTreeMap<usize, [Option<Exact>; 2]> {
        self.plan.leaves().map(|l| (l, self.bounds().ends[l].clone())).collect()
    }
}

/// Rows below a node of which the worst counts, gone through together.
struct Together {
    rows: Vec<usize>,
    /// The worst of them, low and high over all completions.
    ends: [Option<Exact>; 2],
    /// All of them may be left out.
    optional: bool,
}

/// The ends of a node among evaluations, whether one of them has each, and whether it is left out in some.
fn ends_among(seen: &[Evaluated], node: usize) -> ([Option<Exact>; 2], [bool; 2], bool) {
    let low = seen.iter().filter_map(|e| e.values[node].clone()).min();
    let high = seen.iter().filter_map(|e| e.most[node].clone()).max();
    let has = |value: &Option<Exact>| seen.iter().any(|e| e.values[node] == *value && e.most[node] == *value);
    let attained = [has(&low), has(&high)];
    ([low, high], attained, seen.iter().any(|e| e.values[node].is_none()))
}
