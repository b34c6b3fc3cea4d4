//! The cheapest edits that make one whole way to a part good enough.
//!
//! Of what is met on a way the worst counts, so one edit alone often changes nothing: two heatings on the way must both go. For
//! each part, measure and level a route search looks for the way that is cheapest to mend: an edit is an action of its own, done
//! once at its price, and an action that is not good enough waits for the edits that mend it.

use std::collections::{BTreeMap, BTreeSet};

use super::Change;
use super::apply::Make;
use crate::assess::PlanKind;
use crate::exact::{Exact, Rounding};
use crate::method::Measure;
use crate::range::{Case, Edit, Study};
use crate::record::complete::Complete;
use crate::route::{self, Action, Cost, Limits, Need, Operation, RouteProblem, Target, Thing, Way};
use crate::vocab::ToolClass;
use crate::vocab::class::Words;

/// States one search may visit; what it finds is looked at again by the whole method.
const STATES: u64 = 20_000;

/// What must hold of every action on a way.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Bar {
    /// No tool of a worse class than this rank.
    Tools(u8),
    /// No fastener of a worse kind than this rank.
    Fasteners(u8),
    /// No environment of a worse rank.
    Environment(u8),
    /// No skill level of a worse rank.
    Skill(u8),
    /// Neither heat nor a solvent.
    Cold,
    /// Nothing glued.
    Unglued,
}

/// Sets of changes, each of which mends one whole way to some part in some respect; each ascending, none twice.
pub(super) fn ways(study: &Study<'_>, changes: &[Change], cost: &[Exact]) -> Vec<Vec<usize>> {
    let mender = Mender { case: &study.case, changes, price: cost.iter().map(price).collect() };
    let mut wanted: BTreeMap<usize, BTreeSet<Bar>> = BTreeMap::new();
    for leaf in study.plan.leaves() {
        let node = &study.plan.nodes[leaf];
        if let (PlanKind::Leaf(measure, ..), Some(slot)) = (&node.kind, node.slot) {
            wanted.entry(slot).or_default().extend(bars(measure));
        }
    }
    let mut out: BTreeSet<Vec<usize>> = BTreeSet::new();
    for (slot, bars) in wanted {
        let things: BTreeSet<Thing> =
            study.plan.slots[slot].fills.iter().map(|&f| study.case.base.fills[f].thing).collect();
        // Each respect alone, and the best of every respect at once.
        let mut best: BTreeMap<u8, Bar> = BTreeMap::new();
        for bar in bars.iter().rev() {
            best.insert(bar.respect(), *bar);
        }
        let together: Vec<Bar> = best.into_values().collect();
        for asked in bars.iter().map(|bar| vec![*bar]).chain([together]) {
            let all: Option<Vec<Vec<usize>>> = things.iter().map(|&t| mender.mend(t, &asked)).collect();
            let set: BTreeSet<usize> = all.into_iter().flatten().flatten().collect();
            if set.len() > 1 && compatible(changes, &set) {
                out.insert(set.into_iter().collect());
            }
        }
    }
    out.into_iter().collect()
}

/// Whether changes can be made together.
pub(super) fn compatible(changes: &[Change], set: &BTreeSet<usize>) -> bool {
    set.iter().all(|i| set.iter().all(|j| i == j || !changes[*i].excludes(&changes[*j])))
}

/// The levels a measure tells apart.
fn bars(measure: &Measure) -> Vec<Bar> {
    let ranks = |make: fn(u8) -> Bar| {
        let words = u8::try_from(measure.words().len()).unwrap_or(u8::MAX);
        (0..words.saturating_sub(1)).map(make).collect()
    };
    match measure {
        Measure::Tools => ranks(Bar::Tools),
        Measure::Fasteners => ranks(Bar::Fasteners),
        Measure::Environment => ranks(Bar::Environment),
        Measure::Skill => ranks(Bar::Skill),
        Measure::HeatOrSolvent => vec![Bar::Cold],
        Measure::Adhesives => vec![Bar::Unglued],
        _ => Vec::new(),
    }
}

/// A price in thousandths, at least one, so that of equally cheap ways the one of fewest edits is found.
fn price(cost: &Exact) -> u32 {
    let thousandths = (cost * &Exact::from(1000)).display(0, Rounding::HalfUp);
    thousandths.parse().unwrap_or(1_000_000).clamp(1, 1_000_000)
}

impl Bar {
    fn respect(self) -> u8 {
        match self {
            Self::Tools(_) => 0,
            Self::Fasteners(_) => 1,
            Self::Environment(_) => 2,
            Self::Skill(_) => 3,
            Self::Cold => 4,
            Self::Unglued => 5,
        }
    }

    /// Whether an operation done in one of these ways can meet it.
    fn tools(self, device: &Complete, ways: &[Vec<usize>]) -> bool {
        let tool = |t: &usize| {
            let tool = &device.tools[*t];
            match self {
                Self::Tools(level) => tool.class.rank() <= level && !tool.many,
                Self::Cold => !tool.heat && !tool.solvent,
                _ => true,
            }
        };
        ways.iter().any(|set| set.iter().all(tool))
    }
}

struct Mender<'a> {
    case: &'a Case,
    changes: &'a [Change],
    price: Vec<u32>,
}

/// What one action needs before it is good enough: of each list one change.
type Mends = Vec<Vec<usize>>;

impl Mender<'_> {
    /// The cheapest changes with which one whole way to a part meets all of these; `None` if none does.
    fn mend(&self, target: Thing, bars: &[Bar]) -> Option<Vec<usize>> {
        let device = &self.case.base;
        let first = u32::try_from(device.things.len()).ok()?;
        let token = |change: usize| first + u32::try_from(change).unwrap_or(u32::MAX);
        let mut actions: Vec<Action> = Vec::new();
        for index in 0..device.actions.len() {
            let Some(mends) = self.mends(index, bars) else { continue };
            let mut after = self.needs(index, &token);
            let any = |list: Vec<usize>| Need::Any(list.into_iter().map(|c| vec![Need::Thing(token(c))]).collect());
            after.extend(mends.into_iter().map(any));
            let action = &device.actions[index];
            actions.push(Action {
                frees: action.frees.clone(),
                does: action.does,
                after,
                damages: action.destroys.clone(),
                ..by_hand()
            });
        }
        let bench = actions.len();
        for (change, &price) in self.price.iter().enumerate() {
            actions.push(Action { does: Some(token(change)), seconds: price, ..by_hand() });
        }
        let things = token(self.changes.len());
        let problem = RouteProblem { things, actions, each: false };
        let target = Target::All(vec![target]);
        let answer = route::cheapest(&problem, &target, Cost::Time { change: 0 }, Limits { states: STATES });
        let found = answer.route().filter(|route| route.key.damaged == 0)?;
        Some(found.taken.iter().filter_map(|taken| taken.action.checked_sub(bench)).collect())
    }

    /// Values of a place of an action over all answers; `base` among them.
    fn told<T>(&self, base: T, read: impl Fn(&Edit) -> Option<T>) -> Vec<T> {
        let edits = self.case.unknowns.iter().flat_map(|u| &u.answers).flat_map(|a| &a.edits);
        std::iter::once(base).chain(edits.filter_map(read)).collect()
    }

    fn changes(&self, good: impl Fn(&Make) -> bool) -> Vec<usize> {
        (0..self.changes.len()).filter(|&c| good(&self.changes[c].make)).collect()
    }

    /// What must be changed before an action meets all of these; `None` if nothing listed does.
    fn mends(&self, index: usize, bars: &[Bar]) -> Option<Mends> {
        let device = &self.case.base;
        let action = &device.actions[index];
        let mut out: Mends = Vec::new();
        let exists = self.told(action.exists, |e| matches!(e, Edit::Exists(a, _) if *a == index).then(|| exists(e)));
        if exists.contains(&false) {
            out.push(self.changes(|make| match make {
                Make::Works(a) => *a == index,
                Make::Edits(edits) => edits.contains(&Edit::Exists(index, true)),
                _ => false,
            }));
        }
        for bar in bars {
            match *bar {
                Bar::Tools(_) | Bar::Cold => self.operations(index, *bar, &mut out)?,
                Bar::Fasteners(level) => {
                    let bad = |slot: usize| {
                        let base = &action.fasteners[slot];
                        let kinds = self.told((base.kind, base.count), |e| match e {
                            Edit::Fastener(a, i, kind) if *a == index && *i == slot => Some((*kind, 1)),
                            Edit::Fasten(a, i, whole) if *a == index && *i == slot => Some((whole.kind, whole.count)),
                            _ => None,
                        });
                        kinds.iter().any(|(kind, count)| *count > 0 && kind.rank() > level)
                    };
                    let mend = |slot: usize| {
                        self.changes(|make| {
                            matches!(make, Make::Edits(edits) if edits.iter().any(|e| {
                                matches!(e, Edit::Fastener(a, i, kind) if *a == index && *i == slot && kind.rank() <= level)
                            }))
                        })
                    };
                    out.extend((0..action.fasteners.len()).filter(|&s| bad(s)).map(mend));
                }
                Bar::Unglued => {
                    let glued = |slot: &usize| action.fasteners[*slot].adhesive && action.fasteners[*slot].count > 0;
                    let mend = |slot: usize| {
                        let loose = Edit::Adhesive(index, slot, false);
                        self.changes(|make| matches!(make, Make::Edits(edits) if edits.contains(&loose)))
                    };
                    out.extend((0..action.fasteners.len()).filter(glued).map(mend));
                }
                Bar::Environment(level) => {
                    let place = |e: &Edit| match e {
                        Edit::Place(list, place) if list.contains(&index) => Some(place.rank()),
                        _ => None,
                    };
                    if self.told(action.place.rank(), place).into_iter().any(|rank| rank > level) {
                        out.push(self.changes(
                            |make| matches!(make, Make::Edits(edits) if edits.iter().any(|e| place(e).is_some_and(|r| r <= level))),
                        ));
                    }
                }
                Bar::Skill(level) => {
                    let skill = |e: &Edit| match e {
                        Edit::Skill(list, skill) if list.contains(&index) => Some(skill.rank()),
                        _ => None,
                    };
                    if self.told(action.skill.rank(), skill).into_iter().any(|rank| rank > level) {
                        out.push(self.changes(
                            |make| matches!(make, Make::Edits(edits) if edits.iter().any(|e| skill(e).is_some_and(|r| r <= level))),
                        ));
                    }
                }
            }
        }
        out.iter().all(|list| !list.is_empty()).then_some(out)
    }

    fn operations(&self, index: usize, bar: Bar, out: &mut Mends) -> Option<()> {
        let device = &self.case.base;
        // Where it is not known how many operations there are, no change of one of them mends the action.
        let whole = |e: &Edit| matches!(e, Edit::Operations(a, _) if *a == index).then_some(());
        if self.told((), whole).len() > 1 {
            return None;
        }
        for (operation, base) in device.actions[index].operations.iter().enumerate() {
            let told = self.told(base.clone(), |e| match e {
                Edit::Ways(a, o, ways) if *a == index && *o == operation => Some(ways.clone()),
                _ => None,
            });
            if told.iter().all(|ways| bar.tools(device, ways)) {
                continue;
            }
            out.push(self.changes(|make| {
                match make {
                Make::BasicTool(a, o) => {
                    let basic = ToolClass::Basic.rank();
                    *a == index && *o == operation && !matches!(bar, Bar::Tools(level) if basic > level)
                }
                Make::Edits(edits) => edits.iter().any(|e| {
                    matches!(e, Edit::Ways(a, o, ways) if *a == index && *o == operation && bar.tools(device, ways))
                }),
                _ => false,
            }
            }));
        }
        Some(())
    }

    /// Needs of an action in every answer at once, each either met or done without by a change.
    fn needs(&self, index: usize, token: &impl Fn(usize) -> Thing) -> Vec<Need> {
        let told = self.told(self.case.base.actions[index].after.clone(), |e| match e {
            Edit::After(a, needs) if *a == index => Some(needs.clone()),
            _ => None,
        });
        let mut out: Vec<Need> = Vec::new();
        for need in told.into_iter().flatten() {
            let need = match need {
                Need::Thing(thing) => {
                    let gone = Edit::Without(index, thing);
                    let spare = self.changes(|make| matches!(make, Make::Edits(edits) if edits.contains(&gone)));
                    let mut members = vec![vec![Need::Thing(thing)]];
                    members.extend(spare.into_iter().map(|c| vec![Need::Thing(token(c))]));
                    if members.len() == 1 { Need::Thing(thing) } else { Need::Any(members) }
                }
                any @ Need::Any(_) => any,
            };
            if !out.contains(&need) {
                out.push(need);
            }
        }
        out
    }
}

fn exists(edit: &Edit) -> bool {
    matches!(edit, Edit::Exists(_, true))
}

fn by_hand() -> Action {
    let operations = vec![Operation { ways: vec![Way::default()], ends: false }];
    Action { operations, ..Action::default() }
}
