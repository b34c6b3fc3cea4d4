//! What a report says of the verdict that leads, as facts: no sentence, no rounding. [`crate::words`] makes sentences of them.

mod lead;
mod losses;
mod open;
mod parts;
mod sticky;

use scoring::compare::causes::{Cause, CauseOf};
use scoring::exact::Exact;
use scoring::method::Measure;
use scoring::range::{Assessment, Edit, Graded, GradedKind};
use scoring::record::Record;

pub use lead::Lead;
pub use losses::{Losses, Lost, losses};
pub(crate) use losses::{decides, weights};
pub use open::{Asks, Leads, Open};
pub use parts::{Doing, PartFact, WayToPart};
pub use sticky::Sticky;

use crate::clean::line;

/// Facts of the verdict that leads.
#[derive(Clone, Debug)]
pub struct Facts {
    /// Name of the device, without its maker.
    pub device: String,
    /// The verdict is what the bench shows, and there is a fuller one.
    pub bench: bool,
    /// Low and high end.
    pub ends: [Exact; 2],
    /// Both as shown.
    pub shown: [String; 2],
    /// The best total there is, as shown.
    pub top: String,
    /// Both ends are attained.
    pub attained: bool,
    /// Where points are lost.
    pub lost: Losses,
    /// The limit that binds, at which ends.
    pub limit: Option<Limit>,
    /// A yes-or-no question that opens over half the range.
    pub fork: Option<Open>,
    /// What costs most, the largest first.
    pub causes: Vec<CauseFact>,
    /// What the full verdict would gain by promises, the largest first.
    pub promises: Vec<Promise>,
    /// Parts the verdict weighs, heaviest first.
    pub parts: Vec<PartFact>,
    /// What is open, what moves most first.
    pub open: Vec<Open>,
    /// Time of the first thing done, seconds.
    pub starts: Option<u32>,
}

/// A limiting factor that binds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Limit {
    /// What is read.
    pub measure: Measure,
    /// The parts it is about.
    pub roles: Vec<String>,
    /// At the low and at the high end.
    pub binds: [bool; 2],
    /// What it holds the verdict at, as shown, per end.
    pub at: [String; 2],
    /// Points it takes, per end.
    pub takes: [Exact; 2],
    /// What was read, in words of the measure.
    pub said: String,
}

/// A cause with what it is in this device.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CauseFact {
    /// What it is.
    pub of: What,
    /// Points gained at the low and at the high end.
    pub gain: [Exact; 2],
    /// What is gained under the limits of the verdict, where one of them may hold it; of the first few alone.
    pub held: Option<[Exact; 2]>,
    /// What each next cause adds with those above it mended.
    pub rung: Option<[Exact; 2]>,
    /// Other parts that count and lie behind it at both ends, and how many others there are.
    pub behind: [usize; 2],
    /// The first that does, by its place in [`Facts::parts`].
    pub first_behind: Option<usize>,
}

/// What a cause is in this device.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum What {
    /// How an action is done.
    Action(Doing),
    /// A part, by its place in [`Facts::parts`], and what is done on the way to it.
    Part(usize, Vec<Doing>),
}

/// A promise and what the full verdict would gain.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Promise {
    /// Data path.
    pub path: String,
    /// What is promised at best.
    pub best: Vec<Edit>,
    /// Points at both ends.
    pub gain: [Exact; 2],
    /// The same under the limits of the verdict, where one of them may hold it; of the first alone.
    pub held: Option<[Exact; 2]>,
}

impl CauseFact {
    /// The smaller of the two gains.
    pub fn least(&self) -> &Exact {
        (&self.gain[0]).min(&self.gain[1])
    }
}

impl Facts {
    /// Facts of the verdict that leads; `None` where it has no points.
    pub fn new(record: &Record, lead: &Lead) -> Option<Self> {
        let a = &lead.assessment;
        let ends = [a.root.low.clone()?, a.root.high.clone()?];
        let lost = losses(a);
        let mut parts = parts::parts(record, a, &lost.parts);
        // Heaviest first; the method's order among equals.
        parts.sort_by(|x, y| y.weight.cmp(&x.weight));
        let open = open::open(record, a, &lead.questions);
        let fork = open.iter().find(|o| forks(o, &ends)).cloned();
        let causes = lead
            .causes
            .causes
            .iter()
            .enumerate()
            .filter_map(|(i, c)| {
                let held = lead.held.get(i).cloned().flatten();
                Some(CauseFact { held, ..cause(record, a, &parts, c, lead.causes.ladder.get(i))? })
            })
            .collect();
        let mut promises: Vec<Promise> = lead
            .promises
            .iter()
            .enumerate()
            .filter_map(|(i, c)| match &c.of {
                CauseOf::Promise(path, best) => Some(Promise {
                    path: line(path),
                    best: best.clone(),
                    gain: c.gain.clone(),
                    held: lead.promise_held.clone().filter(|_| i == 0),
                }),
                _ => None,
            })
            .collect();
        promises.sort_by(|x, y| (&y.gain[0]).min(&y.gain[1]).cmp((&x.gain[0]).min(&x.gain[1])));
        Some(Self {
            device: line(&record.device.name.value),
            bench: lead.bench,
            shown: [a.show(&ends[0]), a.show(&ends[1])],
            ends,
            top: a.method.scale.high.plain(),
            attained: a.root.exact,
            lost,
            limit: limit(a),
            fork,
            causes,
            promises,
            parts,
            open,
            starts: record.actions.iter().filter_map(|a| a.at.as_ref()).map(|t| t.value.from).min(),
        })
    }
}

/// Two answers, good news and bad, either of which leaves less than half of a range of over a point.
fn forks(open: &Open, ends: &[Exact; 2]) -> bool {
    let [a, b] = open.answers.as_slice() else { return false };
    let width = &ends[1] - &ends[0];
    if open.moves < Exact::one() {
        return false;
    }
    // Of a bound that no answer explains neither tells where it leads.
    let whole = [(&a.ends[0]).min(&b.ends[0]), (&a.ends[1]).max(&b.ends[1])] == [&ends[0], &ends[1]];
    let half = |l: &Leads| &(&l.ends[1] - &l.ends[0]) + &(&l.ends[1] - &l.ends[0]) < width;
    whole && a.good.is_some() && b.good.is_some() && a.good != b.good && half(a) && half(b) && a.shown != b.shown
}

fn cause(
    record: &Record,
    a: &Assessment,
    parts: &[PartFact],
    cause: &Cause,
    rung: Option<&[Exact; 2]>,
) -> Option<CauseFact> {
    let device = &a.ends[1].device;
    // Which parts does a thing being off stand before?
    let (of, own): (What, Vec<usize>) = match &cause.of {
        CauseOf::Action(written) => {
            let index = device.actions.iter().position(|x| x.written == Some(*written))?;
            let goes = |e: &scoring::range::Completion| {
                let mut taken = e.evaluated.routes.values().flat_map(|r| &r.taken);
                taken.any(|(x, _)| e.device.actions[*x].written == Some(*written))
            };
            let doing = Doing { used: a.ends.iter().any(goes), ..parts::doing(record, device, index) };
            let own = (0..parts.len()).filter(|&p| parts[p].names.iter().any(|n| doing.names.contains(n))).collect();
            (What::Action(doing), own)
        }
        CauseOf::Part(role) => {
            let at = parts.iter().position(|p| p.role == *role)?;
            let way = parts[at].way.iter().flat_map(|w| &w.actions);
            let doings = way.map(|&i| parts::doing(record, device, i)).collect();
            (What::Part(at, doings), vec![at])
        }
        CauseOf::Promise(..) => return None,
    };
    let freed: Vec<&str> = match &of {
        What::Action(doing) => doing.names.iter().map(String::as_str).collect(),
        What::Part(at, _) => parts[*at].way.iter().map(|w| w.name.as_str()).collect(),
    };
    let before = |p: &PartFact| p.way.as_ref().is_some_and(|w| w.first_off.iter().any(|n| freed.contains(&n.as_str())));
    let others: Vec<usize> = (0..parts.len()).filter(|p| !own.contains(p)).collect();
    let behind: Vec<usize> = others.iter().copied().filter(|&p| before(&parts[p])).collect();
    Some(CauseFact {
        gain: cause.gain.clone(),
        rung: rung.cloned(),
        held: None,
        behind: [behind.len(), others.len()],
        first_behind: behind.first().copied(),
        of,
    })
}

/// The limit that binds the verdict, the lowest one where several do. A limit further down holds the verdict too where all
/// above it is one of one: of a bench verdict, the limits of the bench.
fn limit(a: &Assessment) -> Option<Limit> {
    let mut node = &a.root;
    let (takes, binds) = loop {
        let first = node.children.first()?;
        if matches!(node.kind, GradedKind::Group(scoring::method::Combine::Cap)) {
            // At a bound there is no completion that a limit could hold.
            let takes = [0, 1].map(|e| match (&first.ends[e].points, &node.ends[e].points) {
                (Some(of), Some(left)) if a.root.attained[e] => of - left,
                _ => Exact::zero(),
            });
            let binds = [0, 1].map(|e| !takes[e].is_zero());
            if binds.contains(&true) {
                break (takes, binds);
            }
        } else if node.children.len() != 1 {
            return None;
        }
        node = first;
    };
    let end = binds.iter().position(|b| *b)?;
    let id = decides(node, end)?;
    let mut roles: Vec<String> = Vec::new();
    let mut leaf = node.children.iter().find(|c| c.id == id)?;
    collect(leaf, end, &mut roles);
    while let Some(next) = decides(leaf, end).and_then(|id| leaf.children.iter().find(|c| c.id == id)) {
        leaf = next;
    }
    let GradedKind::Leaf { measure, .. } = &leaf.kind else { return None };
    let at = [0, 1].map(|e| a.root.ends[e].points.as_ref().map_or_else(String::new, |p| a.show(p)));
    Some(Limit { measure: measure.clone(), roles, binds, at, takes, said: line(&leaf.ends[end].said) })
}

/// Roles whose reading is as low as the one that decides.
fn collect(node: &Graded, end: usize, out: &mut Vec<String>) {
    let lowest = node.ends[end].points.clone();
    for leaf in node.walk() {
        if matches!(leaf.kind, GradedKind::Leaf { .. }) && leaf.ends[end].points == lowest {
            out.extend(leaf.role.iter().map(|r| line(r)));
        }
    }
}
