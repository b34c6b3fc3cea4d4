//! What a reference route says about a part.

use std::cell::OnceCell;
use std::collections::BTreeSet;

use super::pool::Pool;
use super::problem::{Posed, bundles, pose, way_class};
use super::solved::Known;
use crate::method::StepRule;
use crate::record::complete::Complete;
use crate::route::{self, Answer, Certificate, Limits, Memo, Need, Route, Step, Taken, Target, Thing};

use crate::vocab::{Kind, Place, Skill, ToolClass};

/// Everything the measures read on the reference route to one part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartRoute {
    /// The part.
    pub thing: Thing,
    /// How it is reached.
    pub reach: Reach,
    /// Steps counted.
    pub steps: u32,
    /// No route counts fewer steps than this; equal to `steps` when proved.
    pub at_least: u32,
    /// The later keys of the reference route are proved as well.
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
    fn over(device: &Complete, actions: &[(usize, &[usize])]) -> Self {
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

/// Reference routes of one completed record under one step rule.
pub struct Router<'d> {
    device: &'d Complete,
    posed: Posed,
    known: OnceCell<Known>,
    limits: Limits,
    pool: Option<&'d Pool>,
    destructive_scored: bool,
}

impl<'d> Router<'d> {
    /// Routes of `device` under `rule`, each within `limits`.
    pub fn new(device: &'d Complete, rule: &StepRule, limits: Limits) -> Self {
        let (posed, known) = (pose(device, rule), OnceCell::new());
        Self { device, posed, known, limits, pool: None, destructive_scored: rule.destructive_scored }
    }

    /// As [`Router::new`], all of them within what a pool has left.
    pub fn sharing(device: &'d Complete, rule: &StepRule, limits: Limits, pool: &'d Pool) -> Self {
        Self { pool: Some(pool), ..Self::new(device, rule, limits) }
    }

    /// The posed problem.
    pub fn posed(&self) -> &Posed {
        &self.posed
    }

    /// The reference route to a part.
    pub fn to(&self, thing: Thing) -> PartRoute {
        let known = self.known.get_or_init(|| Known::of(&self.posed.problem));
        let solved = known.reference(&self.posed, self.device, thing, self.limits());
        self.charge(solved.states);
        PartRoute {
            ledger: solved.ledger.iter().map(|s| Step { action: self.posed.origin[s.action], ..*s }).collect(),
            ..self.read(thing, &solved.answer)
        }
    }

    /// What measures read on the reference route to a part, without its ledger and with the actions in some order.
    /// Shares work with earlier completions of the record.
    pub fn measured(&self, thing: Thing, memo: &mut Memo) -> PartRoute {
        let problem = self.posed.aim(self.device, thing);
        let (limits, before) = (self.limits(), memo.charged());
        let answer = route::reference_remembered(&problem, &Target::All(vec![thing]), limits, memo);
        self.charge(memo.charged() - before);
        self.read(thing, &answer)
    }

    fn limits(&self) -> Limits {
        self.pool.map_or(self.limits, |pool| pool.limits(self.limits))
    }

    fn charge(&self, states: u64) {
        if let Some(pool) = self.pool {
            pool.take(states + Pool::posing(self.posed.problem.actions.len()));
        }
    }

    fn read(&self, thing: Thing, answer: &Answer) -> PartRoute {
        let (found, certificate, tie_proved): (&Route, _, _) = match answer {
            Answer::Route { route, certificate, tie_proved } => (route, *certificate, *tie_proved),
            Answer::Unreachable => return self.unreached(thing, Reach::No, 0),
            Answer::Undecided { at_least } => return self.unreached(thing, Reach::No, *at_least),
        };
        let taken: Vec<(usize, Vec<usize>)> =
            found.taken.iter().map(|t: &Taken| (self.posed.origin[t.action], t.ways.clone())).collect();
        let all: Vec<(usize, &[usize])> = taken.iter().map(|(a, w)| (*a, w.as_slice())).collect();
        let (near, freeing) = self.at_part(&all, thing);
        PartRoute {
            thing,
            reach: if found.key.damaged > 0 { Reach::Damage } else { Reach::Yes },
            steps: found.key.steps,
            at_least: match certificate {
                Certificate::Proved => found.key.steps,
                Certificate::AtLeast(n) => n,
            },
            proved: tie_proved,
            route: Met::over(self.device, &all),
            part: Met::over(self.device, &near),
            bundled: freeing.is_some_and(|a| bundles(self.device, a, thing)),
            in_the_way: self.before(&all),
            ledger: Vec::new(),
            taken,
        }
    }

    /// Whether a route measure may be read on this route (a destructive one may not, unless the method says so).
    pub fn scored(&self, route: &PartRoute) -> bool {
        match route.reach {
            Reach::Yes => true,
            Reach::Damage => self.destructive_scored,
            Reach::No => false,
        }
    }

    fn unreached(&self, thing: Thing, reach: Reach, at_least: u32) -> PartRoute {
        PartRoute { reach, at_least, proved: at_least == 0, ..PartRoute::unread(self.device, thing) }
    }

    /// Parts off before the last action of a route.
    fn before(&self, taken: &[(usize, &[usize])]) -> u32 {
        let earlier = taken.split_last().map_or(&[][..], |(_, rest)| rest);
        let off: BTreeSet<Thing> = earlier.iter().flat_map(|(a, _)| &self.device.actions[*a].frees).copied().collect();
        u32::try_from(off.len()).unwrap_or(u32::MAX)
    }

    /// The freeing action with its `do` ancestors up to the nearest `free`, in route order.
    fn at_part<'t>(&self, taken: &[(usize, &'t [usize])], thing: Thing) -> (Vec<(usize, &'t [usize])>, Option<usize>) {
        let Some(freeing) = taken.iter().position(|(a, _)| self.device.actions[*a].frees.contains(&thing)) else {
            return (Vec::new(), None);
        };
        let mut near = BTreeSet::from([freeing]);
        let mut open = vec![freeing];
        while let Some(position) = open.pop() {
            let mut wanted = BTreeSet::new();
            mentioned(&self.device.actions[taken[position].0].after, &mut wanted);
            for (earlier, (a, _)) in taken.iter().enumerate().take(position) {
                let done = self.device.actions[*a].does;
                if done.is_some_and(|d| wanted.contains(&d)) && near.insert(earlier) {
                    open.push(earlier);
                }
            }
        }
        (near.iter().map(|&i| taken[i]).collect(), Some(taken[freeing].0))
    }
}

fn mentioned(needs: &[Need], found: &mut BTreeSet<Thing>) {
    for need in needs {
        match need {
            Need::Thing(t) => {
                found.insert(*t);
            }
            Need::Any(members) => members.iter().for_each(|m| mentioned(m, found)),
        }
    }
}
