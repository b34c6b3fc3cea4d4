//! What every way to a thing or action contains: the greatest fixpoint of
//! `LM(i) = {i} + union over needs LM + union over groups (intersection of the members' LM)`.
//!
//! For things that can be reached at all this is exactly the set no order can avoid, so it gives
//! both the needed set and precedences. A member that itself needs its owner, or a way to a thing
//! that needs the thing, can never be the first to serve and is dropped: two actions that justify
//! each other don't get started.

use super::bits::Bits;
use super::frame::{Frame, Group, Member, Owner};

/// Fills in groups and landmarks; `alternatives` holds, per action, groups of sets of things.
pub(super) fn landmarks(frame: &mut Frame, alternatives: Vec<Vec<Vec<Vec<usize>>>>) {
    frame.groups.clear();
    for (thing, providers) in frame.providers.iter().enumerate() {
        if providers.len() > 1 {
            let members = providers.iter().map(|act| member(vec![frame.things + act])).collect();
            frame.groups.push(Group { owner: Owner::Thing(thing), members });
        }
    }
    for (act, groups) in alternatives.into_iter().enumerate() {
        for sets in groups {
            let members = sets.into_iter().map(member).collect();
            frame.groups.push(Group { owner: Owner::Act(act), members });
        }
    }
    loop {
        fixpoint(frame);
        if !prune(frame) {
            break;
        }
    }
    let Frame { groups, lm, things, places, .. } = frame;
    let width = *things + places.len();
    for member in groups.iter_mut().flat_map(|group| &mut group.members) {
        member.lm = united(lm, &member.nodes, width);
    }
}

fn member(nodes: Vec<usize>) -> Member {
    Member { nodes, lm: Bits::default() }
}

fn united(lm: &[Bits], nodes: &[usize], width: usize) -> Bits {
    let mut all = Bits::new(width);
    for node in nodes {
        all.unite(&lm[*node]);
    }
    all
}

fn fixpoint(frame: &mut Frame) {
    let width = frame.width();
    let mut of: Vec<Vec<usize>> = vec![Vec::new(); width];
    for (index, group) in frame.groups.iter().enumerate() {
        let owner = match group.owner {
            Owner::Act(act) => frame.node(act),
            Owner::Thing(thing) => thing,
        };
        of[owner].push(index);
    }
    let mut lm = vec![Bits::full(width); width];
    let order = first_reached(frame);
    loop {
        let mut changed = false;
        for &node in &order {
            let mut next = Bits::new(width);
            next.insert(node);
            if node < frame.things {
                if let [only] = frame.providers[node][..] {
                    next.unite(&lm[frame.node(only)]);
                }
            } else {
                for thing in &frame.places[node - frame.things].needs {
                    next.unite(&lm[*thing]);
                }
            }
            for group in &of[node] {
                let mut common = Bits::full(width);
                for member in &frame.groups[*group].members {
                    common.keep(&united(&lm, &member.nodes, width));
                }
                next.unite(&common);
            }
            if next != lm[node] {
                lm[node] = next;
                changed = true;
            }
        }
        if !changed {
            break;
        }
    }
    frame.lm = lm;
}

/// Landmark indices in an order in which they can be reached; one pass then mostly settles them.
fn first_reached(frame: &Frame) -> Vec<usize> {
    let mut order = Vec::with_capacity(frame.width());
    let mut seen = vec![false; frame.width()];
    loop {
        let before = order.len();
        for (index, act) in frame.places.iter().enumerate() {
            let node = frame.node(index);
            let served = |group: &Group| {
                group.owner != Owner::Act(index)
                    || group.members.iter().any(|m| m.nodes.iter().all(|thing| seen[*thing]))
            };
            if seen[node] || !act.needs.iter().all(|thing| seen[*thing]) || !frame.groups.iter().all(served) {
                continue;
            }
            seen[node] = true;
            order.push(node);
            for thing in &act.gives {
                if !seen[*thing] {
                    seen[*thing] = true;
                    order.push(*thing);
                }
            }
        }
        if order.len() == before {
            break;
        }
    }
    order.extend((0..frame.width()).filter(|node| !seen[*node]));
    order
}

/// Drops members that need their owner; true if anything changed.
fn prune(frame: &mut Frame) -> bool {
    let mut changed = false;
    let things = frame.things;
    let mut groups = std::mem::take(&mut frame.groups);
    for group in &mut groups {
        let owner = match group.owner {
            Owner::Act(act) => things + act,
            Owner::Thing(thing) => thing,
        };
        let before = group.members.len();
        group.members.retain(|member| !member.nodes.iter().any(|node| frame.lm[*node].has(owner)));
        changed |= group.members.len() != before;
        if group.members.len() == 1 {
            let only = group.members[0].nodes.clone();
            match group.owner {
                Owner::Act(act) => {
                    let needs = &mut frame.places[act].needs;
                    needs.extend(only);
                    needs.sort_unstable();
                    needs.dedup();
                }
                Owner::Thing(thing) => {
                    frame.providers[thing] = vec![only[0] - things];
                }
            }
            changed = true;
        } else if let Owner::Thing(thing) = group.owner {
            frame.providers[thing] = group.members.iter().map(|m| m.nodes[0] - things).collect();
        }
    }
    groups.retain(|group| group.members.len() > 1);
    frame.groups = groups;
    changed
}
