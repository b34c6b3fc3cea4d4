//! What a route says about a part.

use std::cell::OnceCell;
use std::collections::BTreeSet;
use std::sync::Arc;

use super::kept::{Kept, Solved};
use super::problem::{Posed, bundles, pose, way_class};
use super::toward::{Toward, Web};
use crate::method::StepRule;
use crate::need::things;
use crate::record::complete::Complete;
use crate::route::{Certificate, Key, Limits, Memo, RouteProblem, SearchAnswer, Step, Thing};

use crate::vocab::{Kind, Place, Skill, ToolClass};

/// Everything the measures read on a route to one part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartRoute {
    /// The part.
    pub thing: Thing,
    /// How it is reached.
    pub reach: Reach,
    /// Steps counted, those for remote authorisation included.
    pub steps: u32,
    /// Of these, steps the method adds because a new part needs remote authorisation; no route goes without them.
    pub authorisation: u32,
    /// No route over these ways counts fewer steps than this; equal to `steps` when proved.
    pub at_least: u32,
    /// No way to the part gives points this one doesn't; false: what a search left open may give more.
    pub proved: bool,
    /// On the whole route.
    pub route: Met,
    /// At the part: the freeing action with its `do` ancestors up to the nearest `free`.
    pub part: Met,
    /// Comes off together with another part.
    pub bundled: bool,
    /// Parts taken off before the lift that takes this one; what comes off with it is not in its way.
    pub in_the_way: u32,
    /// Actions in order: index in [`Complete::actions`] and the way chosen per operation.
    pub taken: Vec<(usize, Vec<usize>)>,
    /// Line per operation; `action` indexes [`Complete::actions`].
    pub ledger: Vec<Step>,
}

impl PartRoute {
    /// Stands for a part whose route no measure reads.
    pub(crate) fn unread(device: &Complete, thing: Thing) -> Self {
        Self {
            thing,
            reach: Reach::No,
            steps: 0,
            authorisation: 0,
            at_least: 0,
            proved: true,
            route: Met::over(device, &[]),
            part: Met::over(device, &[]),
            bundled: false,
            in_the_way: 0,
            taken: Vec::new(),
            ledger: Vec::new(),
        }
    }
}

/// How a part is reached.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reach {
    /// Without damage.
    Yes,
    /// Only by destroying a part.
    Damage,
    /// Not at all.
    No,
}

/// The worst met over some actions, and which action met it first.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Met {
    /// Tool class and the action.
    pub tools: (ToolClass, Option<usize>),
    /// Fastener kind, the action and the index of the fastener.
    pub fasteners: (Kind, Option<(usize, usize)>),
    /// Working environment and the action.
    pub place: (Place, Option<usize>),
    /// Skill level and the action.
    pub skill: (Skill, Option<usize>),
    /// Adhesives: action, fastener.
    pub adhesives: Vec<(usize, usize)>,
    /// How many joints they are together.
    pub joints: u32,
    /// Actions that use heat or a solvent.
    pub heat_or_solvent: Vec<usize>,
}

impl Met {
    pub(super) fn over(device: &Complete, actions: &[(usize, &[usize])]) -> Self {
        let mut met = Self {
            tools: (ToolClass::None, None),
            fasteners: (Kind::Reusable, None),
            place: (Place::Use, None),
            skill: (Skill::Layman, None),
            adhesives: Vec::new(),
            joints: 0,
            heat_or_solvent: Vec::new(),
        };
        for &(index, ways) in actions {
            let action = &device.actions[index];
            let mut hot = false;
            for (operation, &way) in action.operations.iter().zip(ways) {
                let set = &operation[way];
                let class = way_class(device, set);
                if class > met.tools.0 || met.tools.1.is_none() && class == met.tools.0 && class != ToolClass::None {
                    met.tools = (class, Some(index));
                }
                hot |= set.iter().any(|&t| device.tools[t].heat || device.tools[t].solvent);
            }
            for (i, fastener) in action.fasteners.iter().enumerate().filter(|(_, f)| f.count > 0) {
                if fastener.kind > met.fasteners.0 || met.fasteners.1.is_none() {
                    met.fasteners = (fastener.kind, Some((index, i)));
                }
                if fastener.adhesive {
                    met.adhesives.push((index, i));
                    met.joints = met.joints.saturating_add(fastener.count);
                }
            }
            if action.place > met.place.0 || met.place.1.is_none() {
                met.place = (action.place, Some(index));
            }
            if action.skill > met.skill.0 || met.skill.1.is_none() {
                met.skill = (action.skill, Some(index));
            }
            if hot {
                met.heat_or_solvent.push(index);
            }
        }
        met
    }
}

/// Routes of one completed record under one step rule.
pub struct Router<'d> {
    device: &'d Complete,
    posed: OnceCell<(Posed, Web)>,
    kept: Kept,
    limits: Limits,
    rule: &'d StepRule,
}

impl<'d> Router<'d> {
    /// Routes of `device` under `rule`, each within `limits`.
    pub fn new(device: &'d Complete, rule: &'d StepRule, limits: Limits) -> Self {
        Self::keeping(device, rule, limits, &Kept::default())
    }

    /// As [`Router::new`], with what was found before.
    pub fn keeping(device: &'d Complete, rule: &'d StepRule, limits: Limits, kept: &Kept) -> Self {
        Self { device, posed: OnceCell::new(), kept: kept.clone(), limits, rule }
    }

    /// The same for another device, under other limits.
    pub(crate) fn on<'o>(&self, device: &'o Complete, limits: Limits) -> Router<'o>
    where
        'd: 'o,
    {
        Router::keeping(device, self.rule, limits, &self.kept)
    }

    /// The completed record.
    pub fn device(&self) -> &'d Complete {
        self.device
    }

    /// The step rule.
    pub(super) fn rule(&self) -> &'d StepRule {
        self.rule
    }

    /// Limits of one part's searches together.
    pub(crate) fn limits(&self) -> Limits {
        self.limits
    }

    /// The shortest route to a part: no damage before damage, then fewest steps, then the worst tool class, fastener kind,
    /// environment and skill met, parts off, actions, names.
    pub fn to(&self, thing: Thing) -> PartRoute {
        let toward = self.toward(thing);
        let solved = self.search(toward.problem.clone(), toward.target, self.limits);
        self.read(thing, &toward.origin, None, &solved).0
    }

    /// The whole record as a problem.
    pub(super) fn posed(&self) -> &Posed {
        &self.whole().0
    }

    fn whole(&self) -> &(Posed, Web) {
        self.posed.get_or_init(|| {
            let posed = pose(self.device, self.rule);
            let web = Web::new(self.device, &posed);
            (posed, web)
        })
    }

    /// Actions that can lie on a way to a part, ascending.
    pub fn behind(&self, thing: Thing) -> Vec<usize> {
        let (posed, web) = self.whole();
        web.behind(&posed.problem, thing).into_iter().map(|place| posed.origin[place]).collect()
    }

    /// What can lie on a way to a part.
    pub(super) fn toward(&self, thing: Thing) -> Toward {
        let (posed, web) = self.whole();
        Toward::new(posed, web, thing)
    }

    /// Whether routes that are the first of those that tie, in record order, or not, do here.
    pub(super) fn takes(&self, ordered: bool) -> bool {
        self.kept.takes(ordered)
    }

    /// Work with what searches share.
    pub(super) fn remembering<T>(&self, work: impl FnOnce(&mut Memo) -> T) -> T {
        self.kept.remembering(work)
    }

    pub(super) fn search(&self, problem: RouteProblem, target: Thing, limits: Limits) -> Arc<Solved> {
        self.kept.shortest(problem, target, limits)
    }

    /// Reads an answer. `origin` and `ways` turn the numbers of the problem searched into those of the record: the action,
    /// and per operation the way.
    pub(super) fn read(
        &self,
        thing: Thing,
        origin: &[usize],
        ways: Option<&[Vec<Vec<usize>>]>,
        solved: &Solved,
    ) -> (PartRoute, Key) {
        let (found, certificate, tie_proved) = match &solved.answer {
            SearchAnswer::Route { route, certificate, tie_proved } => (route, *certificate, *tie_proved),
            SearchAnswer::Unreachable => return (self.unreached(thing, 0), Key::default()),
            SearchAnswer::Undecided { at_least } => return (self.unreached(thing, *at_least), Key::default()),
        };
        let way = |action: usize, operation: usize, way: usize| ways.map_or(way, |w| w[action][operation][way]);
        let taken: Vec<(usize, Vec<usize>)> = found
            .taken
            .iter()
            .map(|t| {
                let chosen = t.ways.iter().enumerate().map(|(o, &w)| way(t.action, o, w)).collect();
                (origin[t.action], chosen)
            })
            .collect();
        let all: Vec<(usize, &[usize])> = taken.iter().map(|(a, w)| (*a, w.as_slice())).collect();
        let (near, freeing) = self.at_part(&all, thing);
        let damaged = all.iter().any(|(a, _)| !self.device.actions[*a].destroys.is_empty());
        // What is lifted with the part is not in its way.
        let before = all.iter().map(|(a, _)| &self.device.actions[*a].frees).filter(|f| !f.contains(&thing));
        let off: BTreeSet<Thing> = before.flatten().copied().collect();
        let ledger = solved.ledger.iter().map(|s| Step {
            action: origin[s.action],
            way: way(s.action, s.operation, s.way),
            ..*s
        });
        let authorisation = self.authorisation(thing);
        let route = PartRoute {
            thing,
            authorisation,
            reach: if damaged { Reach::Damage } else { Reach::Yes },
            steps: found.key.steps.saturating_add(authorisation),
            at_least: match certificate {
                Certificate::Proved => found.key.steps,
                Certificate::AtLeast(n) => n,
            }
            .saturating_add(authorisation),
            proved: tie_proved,
            route: Met::over(self.device, &all),
            part: Met::over(self.device, &near),
            bundled: freeing.is_some_and(|a| bundles(self.device, a, thing)),
            in_the_way: u32::try_from(off.len()).unwrap_or(u32::MAX),
            ledger: ledger.collect(),
            taken,
        };
        (route, found.key)
    }

    /// Steps added to every route to a part because a new one needs remote authorisation.
    pub(super) fn authorisation(&self, thing: Thing) -> u32 {
        let paired = self.device.fills.iter().any(|f| f.thing == thing && f.present && f.paired);
        if paired { self.rule.remote.steps() } else { 0 }
    }

    /// Whether a route measure may be read on this route (a destructive one may not, unless the method says so).
    pub fn scored(&self, route: &PartRoute) -> bool {
        match route.reach {
            Reach::Yes => true,
            Reach::Damage => self.rule.destructive_scored,
            Reach::No => false,
        }
    }

    fn unreached(&self, thing: Thing, at_least: u32) -> PartRoute {
        PartRoute { at_least, proved: at_least == 0, ..PartRoute::unread(self.device, thing) }
    }

    /// The freeing action with its `do` ancestors up to the nearest `free`, in route order; and the freeing action. A `do` of
    /// the route belongs to them where one of them speaks of it, wherever on the route it stands.
    pub(super) fn at_part<'t>(
        &self,
        taken: &[(usize, &'t [usize])],
        thing: Thing,
    ) -> (Vec<(usize, &'t [usize])>, Option<usize>) {
        let Some(freeing) = taken.iter().position(|(a, _)| self.device.actions[*a].frees.contains(&thing)) else {
            return (Vec::new(), None);
        };
        let mut near = BTreeSet::from([freeing]);
        let mut open = vec![freeing];
        while let Some(position) = open.pop() {
            let wanted = things(&self.device.actions[taken[position].0].after);
            for (place, (a, _)) in taken.iter().enumerate() {
                let does = self.device.actions[*a].does;
                if does.is_some_and(|d| wanted.contains(&d)) && near.insert(place) {
                    open.push(place);
                }
            }
        }
        (near.iter().map(|&i| taken[i]).collect(), Some(taken[freeing].0))
    }
}
