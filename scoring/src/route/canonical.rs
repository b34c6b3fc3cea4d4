//! The last key: among equally good routes, the first in record order.

use super::bits::Bits;
use super::bound::Vector;
use super::choose::{Aim, search};
use super::frame::Owner;
use super::jobs::Start;
use super::net::Net;
use super::problem::Cost;
use super::sequence::Budget;

/// The route with this vector whose actions, read in order, come first in the record.
///
/// Built from the front: at each place the earliest action after which the vector can still be
/// had. A known route with the vector settles most places at once. When the
/// budget runs out, the best known route is given.
pub(super) fn earliest(
    net: &Net,
    cost: Cost,
    vector: Vector,
    witness: Option<Vec<usize>>,
    budget: &mut Budget,
) -> Option<Vec<usize>> {
    let mut cutoff = vector;
    cutoff[3] = cutoff[3].saturating_add(1);
    let mut start = Start::closed(net);
    let mut rest = if let Some(rest) = witness {
        rest
    } else {
        let outcome = search(net, &start, cost, Aim::First, cutoff, budget);
        outcome.best?.order
    };
    let mut order: Vec<usize> = Vec::new();
    let mut proved = true;
    rest.reverse();
    while let Some(&next) = rest.last() {
        let mut chosen = None;
        for act in 0..net.frame.goal() {
            // Two acts may stand for one action of the record.
            if net.acts[act].original >= net.acts[next].original || !proved {
                break;
            }
            let Some(after) = start.after(net, act) else {
                continue;
            };
            if let Some(known) = moved_forward(net, &start, cost, &rest, act, vector) {
                chosen = Some((act, after, known));
                break;
            }
            let outcome = search(net, &after, cost, Aim::First, cutoff, budget);
            proved &= outcome.stopped.is_none();
            if let Some(best) = outcome.best {
                let mut known = best.order;
                known.reverse();
                chosen = Some((act, after, known));
                break;
            }
        }
        if let Some((act, after, known)) = chosen {
            order.push(act);
            start = after;
            rest = known;
            continue;
        }
        rest.pop();
        order.push(next);
        let Some(after) = start.after(net, next) else {
            break;
        };
        start = after;
    }
    order.extend(rest.into_iter().rev());
    Some(order)
}

/// The known rest with one of its actions moved to the front, if it stays a route of the vector.
fn moved_forward(
    net: &Net,
    start: &Start,
    cost: Cost,
    rest: &[usize],
    act: usize,
    vector: Vector,
) -> Option<Vec<usize>> {
    let at = rest.iter().position(|other| *other == act)?;
    let mut known = rest.to_vec();
    known.remove(at);
    let mut now = start.after(net, act)?;
    for next in known.iter().rev() {
        now = now.after(net, *next)?;
    }
    let count = u64::from(now.held.first()?.1);
    let least = match cost {
        Cost::Steps => count <= vector[0],
        // The same actions take the same seconds, so only the changes can differ.
        Cost::Time { .. } | Cost::Parts => {
            let mut old = start.clone();
            for next in rest.iter().rev() {
                old = old.after(net, *next)?;
            }
            count <= u64::from(old.held.first()?.1)
        }
    };
    (least && goal_holds(net, &now.reached)).then_some(known)
}

fn goal_holds(net: &Net, reached: &Bits) -> bool {
    let goal = net.frame.goal();
    net.frame.places[goal].needs.iter().all(|thing| reached.has(*thing))
        && net.frame.groups.iter().all(|group| {
            group.owner != Owner::Act(goal)
                || group.members.iter().any(|m| m.nodes.iter().all(|thing| reached.has(*thing)))
        })
}
