//! A question left open: in its place something at least as good, or at least as bad, as every answer it may have.
//!
//! No completion need look like that, so what is read there is a bound.

use std::collections::BTreeSet;

use super::case::Unknown;
use super::edit::Edit;
use crate::need::{Need, Thing, put};
use crate::record::complete::{Complete, CompleteFastener, CompleteTool};
use crate::vocab::class::Words;
use crate::vocab::{Place, Skill, ToolClass};

/// An operation done with tools that nothing else uses and nobody can buy.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Worst {
    action: usize,
    operation: usize,
    /// How many tools.
    size: usize,
    /// Heat comes before it, since some answer heats.
    hot: bool,
    /// It stands for any number of operations, since some answer does.
    many: bool,
}

/// What stands for all answers to a question at one end.
#[derive(Clone, Debug)]
pub(super) enum Loose {
    /// A change like any other.
    Edit(Edit),
    /// In what an action needs: any of these for a placeholder.
    Any(usize, Thing, Vec<Thing>),
    /// All of these for a placeholder.
    All(usize, Thing, Vec<Thing>),
    /// One operation is done the worst way.
    Worst(Worst),
}

/// What stands for these answers at the high or the low end; `None` where nothing can.
pub(super) fn loosen(unknown: &Unknown, answers: &[usize], base: &Complete, high: bool) -> Option<Vec<Loose>> {
    let lists: Vec<&Vec<Edit>> = answers.iter().map(|&a| &unknown.answers[a].edits).collect();
    let (first, _) = lists.split_first()?;
    // Every answer speaks of the same places, in the same order.
    if lists.iter().any(|l| l.len() != first.len() || !l.iter().zip(*first).all(|(a, b)| same_place(a, b))) {
        return None;
    }
    (0..first.len()).map(|place| facet(&lists.iter().map(|l| &l[place]).collect::<Vec<_>>(), base, high)).collect()
}

fn same_place(a: &Edit, b: &Edit) -> bool {
    match (a, b) {
        (Edit::Ways(a, o, _), Edit::Ways(b, p, _)) => (a, o) == (b, p),
        (Edit::Replace(a, s, _), Edit::Replace(b, t, _)) => (a, s) == (b, t),
        (Edit::Fastener(a, i, _), Edit::Fastener(b, j, _)) => (a, i) == (b, j),
        (Edit::Adhesive(a, i, _), Edit::Adhesive(b, j, _)) => (a, i) == (b, j),
        (Edit::Count(a, i, _), Edit::Count(b, j, _)) => (a, i) == (b, j),
        (Edit::Fasten(a, i, _), Edit::Fasten(b, j, _)) => (a, i) == (b, j),
        (Edit::Operations(a, _), Edit::Operations(b, _))
        | (Edit::After(a, _), Edit::After(b, _))
        | (Edit::Exists(a, _), Edit::Exists(b, _))
        | (Edit::ToolClass(a, _), Edit::ToolClass(b, _))
        | (Edit::SeveralRoles(a, _), Edit::SeveralRoles(b, _)) => a == b,
        (Edit::Place(a, _), Edit::Place(b, _)) | (Edit::Skill(a, _), Edit::Skill(b, _)) => a == b,
        (Edit::Paired(a, _), Edit::Paired(b, _)) => a == b,
        _ => a == b,
    }
}

/// The edits of all answers about one place.
fn facet(edits: &[&Edit], base: &Complete, high: bool) -> Option<Loose> {
    let first = *edits.first()?;
    if edits.iter().all(|e| *e == first) {
        return Some(Loose::Edit(first.clone()));
    }
    macro_rules! each {
        ($pattern:pat => $value:expr) => {
            edits.iter().filter_map(|e| if let $pattern = e { Some($value) } else { None })
        };
    }
    let pick = |any: bool, all: bool| if high { any } else { all };
    Some(match first {
        Edit::Replace(a, slot, _) => {
            let things: Vec<Thing> = each!(Edit::Replace(_, _, t) => *t).collect();
            // A `do` that is spoken of may count at the part: then nothing is asked instead.
            let speaks = |t: &Thing| base.actions.iter().any(|x| x.does == Some(*t));
            match high {
                true if things.iter().any(speaks) => Loose::Any(*a, *slot, Vec::new()),
                true => Loose::Any(*a, *slot, things),
                false => Loose::All(*a, *slot, things),
            }
        }
        Edit::Ways(a, o, _) => {
            let all: Vec<Vec<usize>> = each!(Edit::Ways(_, _, w) => w.clone()).flatten().collect();
            if high {
                let distinct: BTreeSet<Vec<usize>> = all.into_iter().collect();
                Loose::Edit(Edit::Ways(*a, *o, distinct.into_iter().collect()))
            } else {
                let tool = |of: fn(&CompleteTool) -> bool| all.iter().flatten().any(|&t| of(&base.tools[t]));
                Loose::Worst(Worst {
                    action: *a,
                    operation: *o,
                    size: most_tools(all.iter()),
                    hot: tool(|t| t.heat || t.solvent),
                    many: tool(|t| t.many),
                })
            }
        }
        Edit::After(a, _) => {
            let lists: Vec<&Vec<Need>> = each!(Edit::After(_, n) => n).collect();
            let mut needs: Vec<Need> = Vec::new();
            if high {
                needs.extend(lists[0].iter().filter(|n| lists.iter().all(|l| l.contains(n))).cloned());
            } else {
                for need in lists.into_iter().flatten() {
                    if !needs.contains(need) {
                        needs.push(need.clone());
                    }
                }
            }
            Loose::Edit(Edit::After(*a, needs))
        }
        Edit::Count(a, i, _) => {
            let counts = each!(Edit::Count(_, _, n) => *n);
            Loose::Edit(Edit::Count(*a, *i, if high { counts.min()? } else { counts.max()? }))
        }
        Edit::Fasten(a, i, whole) => {
            let kinds = each!(Edit::Fasten(_, _, f) => f.kind);
            let counts = each!(Edit::Fasten(_, _, f) => f.count);
            let mut sticks = each!(Edit::Fasten(_, _, f) => f.adhesive);
            let (kind, count, adhesive) = if high {
                (kinds.min()?, counts.min()?, sticks.all(|s| s))
            } else {
                (kinds.max()?, counts.max()?, sticks.any(|s| s))
            };
            Loose::Edit(Edit::Fasten(*a, *i, CompleteFastener { written: whole.written, kind, adhesive, count }))
        }
        Edit::Fastener(a, i, _) => {
            let kinds = each!(Edit::Fastener(_, _, k) => *k);
            Loose::Edit(Edit::Fastener(*a, *i, if high { kinds.min()? } else { kinds.max()? }))
        }
        Edit::Adhesive(a, i, _) => Loose::Edit(Edit::Adhesive(*a, *i, !high)),
        Edit::Exists(a, _) => Loose::Edit(Edit::Exists(*a, pick(true, false))),
        Edit::Place(list, _) => {
            let words = each!(Edit::Place(_, w) => *w);
            let word: Place = if high { words.min()? } else { words.max()? };
            Loose::Edit(Edit::Place(list.clone(), word))
        }
        Edit::Skill(list, _) => {
            let words = each!(Edit::Skill(_, w) => *w);
            let word: Skill = if high { words.min()? } else { words.max()? };
            Loose::Edit(Edit::Skill(list.clone(), word))
        }
        Edit::ToolClass(t, _) => {
            let words = each!(Edit::ToolClass(_, w) => *w);
            let word: ToolClass = if high { words.min()? } else { words.max()? };
            Loose::Edit(Edit::ToolClass(*t, word))
        }
        Edit::SeveralRoles(f, _) => Loose::Edit(Edit::SeveralRoles(*f, !high)),
        Edit::Paired(list, _) => Loose::Edit(Edit::Paired(list.clone(), !high)),
        _ => return None,
    })
}

fn most_tools<'w>(sets: impl Iterator<Item = &'w Vec<usize>>) -> usize {
    sets.map(Vec::len).max().unwrap_or(1).max(1)
}

/// Makes all of them. Those that put operations in between come last, from the last operation to the first.
pub(super) fn apply(loose: &[Loose], device: &mut Complete) {
    let mut later: Vec<&Worst> = Vec::new();
    for one in loose {
        match one {
            Loose::Edit(edit) => edit.apply(device),
            Loose::Any(a, slot, things) => {
                let members: Vec<Vec<Need>> = things.iter().map(|t| vec![Need::Thing(*t)]).collect();
                let any = if members.is_empty() { Vec::new() } else { vec![Need::Any(members)] };
                put(&mut device.actions[*a].after, *slot, &any);
            }
            Loose::All(a, slot, things) => {
                let all: Vec<Need> = things.iter().map(|t| Need::Thing(*t)).collect();
                put(&mut device.actions[*a].after, *slot, &all);
            }
            Loose::Worst(worst) => later.push(worst),
        }
    }
    later.sort_unstable_by(|a, b| b.cmp(a));
    for &Worst { action, operation, size, hot, many } in later {
        let mut tool = |heat: bool, class: ToolClass| {
            device.tools.push(CompleteTool { name: "any other tool".into(), class, heat, solvent: false, many });
            device.tools.len() - 1
        };
        let worst = *ToolClass::ALL.last().unwrap_or(&ToolClass::Proprietary);
        let set: Vec<usize> = (0..size).map(|_| tool(false, worst)).collect();
        let heat = hot.then(|| tool(true, worst));
        let operations = &mut device.actions[action].operations;
        operations[operation] = vec![set];
        if let Some(heat) = heat {
            operations.insert(operation, vec![vec![heat]]);
        }
    }
}
