//! The parts a verdict weighs: how each comes out, and what stands in the way.

use std::collections::BTreeSet;

use scoring::assess::{PartRoute, Reach, Router};
use scoring::exact::Exact;
use scoring::range::{Assessment, Case, Completion, Edit};
use scoring::record::complete::Complete;
use scoring::record::{Action, After, Aim, Outcome, Record};
use scoring::route::Limits;
use scoring::vocab::class::fold;
use scoring::vocab::{Basis, Family, ToolClass};

use super::Sticky;
use crate::clean::line;

/// A role the verdict weighs and the device has.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartFact {
    /// Role.
    pub role: String,
    /// Names of the parts that fill it; empty where the record mentions none.
    pub names: Vec<String>,
    /// Weight.
    pub weight: Exact,
    /// The way to it at the high end, for the instance that takes most; `None` where the record mentions none.
    pub way: Option<WayToPart>,
    /// At both ends it comes out undamaged by tools somebody named, without heat, solvent or anything to cut.
    pub easy: bool,
    /// Steps at the low and the high end; `None`: can't be reached there.
    pub steps: [Option<u32>; 2],
    /// Some open question may make its way longer or shorter than at the ends of the verdict, which completions have.
    pub open: bool,
    /// A way to it that failed, and why.
    pub failed: Option<(String, Option<String>)>,
    /// Points lost on it, at both ends.
    pub lost: [Exact; 2],
}

/// A way to a part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WayToPart {
    /// The part's name.
    pub name: String,
    /// How it is reached.
    pub reach: Reach,
    /// Steps.
    pub steps: u32,
    /// No way counts fewer.
    pub proved: bool,
    /// What is done, in order: indices of the completed record's actions.
    pub actions: Vec<usize>,
    /// Parts that come off before, in order.
    pub first_off: Vec<String>,
    /// Parts that come off in the same lift.
    pub together: Vec<String>,
    /// What comes before some action of it nobody established.
    pub order_open: bool,
    /// Temperatures of each heating, °C where stated.
    pub heats: Vec<Option<u32>>,
    /// Solvents, by name.
    pub solvents: Vec<String>,
    /// Different tools.
    pub tools: usize,
    /// Some action's tools nobody established.
    pub tools_open: bool,
    /// What sticks and is cut or left behind, but for what a solvent opens.
    pub stuck: BTreeSet<Sticky>,
    /// Parts destroyed.
    pub destroys: Vec<String>,
    /// When the part comes off, seconds.
    pub at: Option<u32>,
}

/// What is known of how an action is done, at the high end.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Doing {
    /// Parts it frees, or what it does.
    pub names: Vec<String>,
    /// It frees parts.
    pub frees: bool,
    /// What sticks and is cut or left behind.
    pub stuck: Option<Sticky>,
    /// Heat.
    pub heat: bool,
    /// Solvents, by name.
    pub solvents: Vec<String>,
    /// Parts destroyed.
    pub destroys: Vec<String>,
    /// A tool that is no basic one.
    pub tool: Option<String>,
    /// Screws, where they are counted.
    pub screws: u32,
    /// Drives of these screws.
    pub drives: usize,
    /// Index into the record's actions; `None` where nobody wrote it down.
    pub written: Option<usize>,
    /// A route of the completions at the two ends of the verdict goes this way.
    pub used: bool,
    /// Nobody tried.
    pub untried: bool,
    /// Shown or described elsewhere, planned, drafted: not done on this bench.
    pub not_seen: Option<Basis>,
    /// When, seconds.
    pub at: Option<u32>,
}

/// Parts of a role word by word: those that come off first under a role of the method.
pub(super) fn parts(record: &Record, a: &Assessment, lost: &[super::Lost]) -> Vec<PartFact> {
    let fits = |key: &str, role: &str| scoring::assess::plan::role_fits(key, role);
    let mut out = Vec::new();
    let ways = OpenWays::new(record, a);
    for role in a.roles.iter().filter(|r| r.weight.is_some() && (!r.parts.is_empty() || r.unmentioned)) {
        let worst = |e: usize| {
            let end = &a.ends[e];
            let things: BTreeSet<u32> = end
                .device
                .fills
                .iter()
                .filter(|f| f.present && f.part.is_some() && fits(&role.role, &f.role))
                .map(|f| f.thing)
                .collect();
            let routes: Vec<&PartRoute> = things.iter().filter_map(|t| end.evaluated.routes.get(t)).collect();
            routes.into_iter().max_by_key(|r| (r.reach, r.steps))
        };
        let steps = [0, 1].map(|e| worst(e).filter(|r| r.reach != Reach::No).map(|r| r.steps));
        let at = |e: usize| worst(e).map(|r| way(record, &a.ends[e].device, r));
        let plain = |w: &WayToPart| {
            let cold = w.heats.is_empty() && w.solvents.is_empty() && w.stuck.is_empty();
            cold && w.reach == Reach::Yes && !w.tools_open
        };
        let easy = [0, 1].into_iter().all(|e| at(e).as_ref().is_some_and(plain));
        let way = at(1);
        let lost = lost.iter().find(|l| l.id == role.role);
        out.push(PartFact {
            role: role.role.clone(),
            names: role.parts.iter().map(|p| line(p)).collect(),
            weight: role.weight.clone().unwrap_or_else(Exact::zero),
            failed: role.parts.iter().find_map(|p| failed(record, p)),
            way,
            easy,
            open: a.root.exact
                && a.ends[1]
                    .device
                    .fills
                    .iter()
                    .filter(|f| fits(&role.role, &f.role))
                    .any(|f| ways.may_differ(f.thing)),
            steps,
            lost: lost.map_or_else(|| [Exact::zero(), Exact::zero()], |l| l.points.clone()),
        });
    }
    out
}

/// What open questions may change about ways to parts.
struct OpenWays<'a> {
    /// Actions whose steps, needs or existence are open.
    actions: BTreeSet<usize>,
    /// The completions at both ends.
    ends: Vec<Router<'a>>,
}

impl<'a> OpenWays<'a> {
    fn new(record: &Record, a: &'a Assessment) -> Self {
        let mut actions = BTreeSet::new();
        for edit in Case::new(record, &a.method).unknowns.iter().flat_map(|u| &u.answers).flat_map(|x| &x.edits) {
            match edit {
                Edit::Ways(at, ..)
                | Edit::Operations(at, _)
                | Edit::After(at, _)
                | Edit::Replace(at, ..)
                | Edit::Without(at, _)
                | Edit::Exists(at, _)
                | Edit::Frees(at, _) => actions.insert(*at),
                _ => false,
            };
        }
        let router = |e: &'a Completion| Router::keeping(&e.device, &a.method.steps, Limits::default(), &a.kept);
        Self { actions, ends: a.ends.iter().map(router).collect() }
    }

    fn may_differ(&self, thing: u32) -> bool {
        let behind = |router: &Router<'_>| router.behind(thing).iter().any(|a| self.actions.contains(a));
        !self.actions.is_empty() && self.ends.iter().any(behind)
    }
}

fn failed(record: &Record, part: &str) -> Option<(String, Option<String>)> {
    let frees = |a: &&Action| matches!(&a.aim, Aim::Free(parts) if parts.iter().any(|p| fold(&p.value) == fold(part)));
    let failed = record.actions.iter().filter(frees).find(|a| a.outcome.value == Outcome::Failed)?;
    Some((line(&failed.id), failed.because.as_deref().map(line)))
}

fn way(record: &Record, device: &Complete, route: &PartRoute) -> WayToPart {
    let name = |t: u32| device.things.get(t as usize).map_or_else(String::new, |n| line(n));
    let actions: Vec<usize> = route.taken.iter().map(|(a, _)| *a).collect();
    let (mut first_off, mut heats, mut solvents, mut tools) = (Vec::new(), Vec::new(), Vec::new(), BTreeSet::new());
    let mut tools_open = false;
    let (mut stuck, mut destroys, mut at) = (BTreeSet::new(), Vec::new(), None);
    let (mut together, mut order_open) = (Vec::new(), false);
    for (index, ways) in &route.taken {
        let action = &device.actions[*index];
        let written = action.written.map(|w| &record.actions[w]);
        // What somebody did first waits for nothing.
        let first = |w: &Action| action.written == Some(0) && w.outcome.value == Outcome::Done && record.witnessed(w);
        order_open |= written.is_none_or(|w| w.after.value == After::Unknown && !first(w));
        let last = action.frees.contains(&route.thing);
        if last {
            at = written.and_then(|w| w.at.as_ref()).map(|t| t.value.from);
        }
        // What is lifted with the part is not in its way.
        let list = if last { &mut together } else { &mut first_off };
        for &t in action.frees.iter().filter(|t| **t != route.thing) {
            if !list.contains(&name(t)) {
                list.push(name(t));
            }
        }
        let mut solvent = false;
        tools_open |= written.is_none_or(|w| w.with.iter().any(|o| o.ways.settled().is_none()));
        for (operation, (list, &way)) in action.operations.iter().zip(ways).enumerate() {
            for &t in list.get(way).into_iter().flatten() {
                let tool = &device.tools[t];
                tools.insert(tool.name.clone());
                if tool.heat {
                    heats.push(written.and_then(|w| celsius(w, operation, way, t)));
                }
                solvent |= tool.solvent;
                if tool.solvent && !solvents.contains(&line(&tool.name)) {
                    solvents.push(line(&tool.name));
                }
            }
        }
        if !solvent {
            stuck.extend(Sticky::opened(record, action));
        }
        for &t in &action.destroys {
            if !destroys.contains(&name(t)) {
                destroys.push(name(t));
            }
        }
    }
    WayToPart {
        name: name(route.thing),
        reach: route.reach,
        steps: route.steps,
        proved: route.at_least == route.steps,
        actions,
        first_off,
        together,
        order_open,
        heats,
        solvents,
        tools: tools.len(),
        tools_open,
        stuck,
        destroys,
        at,
    }
}

fn celsius(action: &Action, operation: usize, way: usize, tool: usize) -> Option<u32> {
    let ways = action.with.get(operation)?.ways.settled()?;
    ways.get(way)?.tools.iter().find(|u| u.tool == tool)?.celsius
}

/// How an action is done, in one completion.
pub(super) fn doing(record: &Record, device: &Complete, index: usize) -> Doing {
    let action = &device.actions[index];
    let name = |t: &u32| device.things.get(*t as usize).map_or_else(String::new, |n| line(n));
    let written = action.written.map(|w| &record.actions[w]);
    let frees = !action.frees.is_empty();
    let mut out = Doing {
        names: if frees { action.frees.iter().map(name).collect() } else { action.does.iter().map(name).collect() },
        frees,
        stuck: Sticky::opened(record, action).next(),
        destroys: action.destroys.iter().map(name).collect(),
        at: written.and_then(|w| w.at.as_ref()).map(|t| t.value.from),
        written: action.written,
        untried: written.is_none_or(|w| w.outcome.value == Outcome::NotAttempted),
        not_seen: written.map(|w| w.margin.basis.unwrap_or(record.teardown.basis())).filter(|b| *b != Basis::Seen),
        ..Doing::default()
    };
    for set in action.operations.iter().filter_map(|o| o.first()) {
        for &t in set {
            let tool = &device.tools[t];
            out.heat |= tool.heat;
            if tool.solvent {
                out.solvents.push(line(&tool.name));
            } else if !tool.heat && tool.class > ToolClass::WithProduct && out.tool.is_none() {
                out.tool = Some(line(&tool.name));
            }
        }
    }
    let mut drives = BTreeSet::new();
    for l in written.into_iter().flat_map(|w| &w.loosen).filter(|l| l.family == Family::Screw) {
        let count = l.count.settled().map_or(1.0, Exact::to_f64);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a count of screws")]
        let count = count.clamp(0.0, 9999.0) as u32;
        out.screws += count;
        drives.insert(l.drive.clone().unwrap_or_else(|| l.text.clone()));
    }
    out.drives = drives.len();
    out
}
