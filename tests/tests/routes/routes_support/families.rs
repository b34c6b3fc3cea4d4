//! Families of larger problems that a route search should prove: grids, chains, covers over
//! latches, and a long invented teardown.
#![allow(clippy::cast_possible_truncation, reason = "indices of small random problems")]

use scoring::route::{Action, Need, Operation, RouteProblem, Target, Way};

use super::random::Dice;

fn with(tools: Vec<u16>) -> Vec<Operation> {
    vec![Operation { ways: vec![Way { tools, ..Way::default() }], ..Operation::default() }]
}

/// An action reaching the thing of its own number, by taking it off or by doing it.
fn action(thing: u32, off: bool, tools: Vec<u16>, after: Vec<Need>) -> Action {
    Action {
        frees: if off { vec![thing] } else { Vec::new() },
        does: (!off).then_some(thing),
        operations: with(tools),
        after,
        seconds: 10,
        ..Action::default()
    }
}

/// `side` by `side` actions, each after its upper and left neighbour; half of them removals.
pub fn grid(side: u32, tools: usize, seed: u64) -> (RouteProblem, Target) {
    let mut dice = Dice::new(seed);
    let mut actions = Vec::new();
    for at in 0..side * side {
        let mut after = Vec::new();
        if at % side > 0 {
            after.push(Need::Thing(at - 1));
        }
        if at >= side {
            after.push(Need::Thing(at - side));
        }
        let tool = u16::try_from(dice.below(tools)).unwrap();
        let off = dice.chance(50) || at + 1 == side * side;
        actions.push(action(at, off, vec![tool], after));
    }
    (RouteProblem { things: side * side, actions, each: false }, Target::All(vec![side * side - 1]))
}

/// Chains side by side, each with every tool once in an order of its own, then one core.
/// Nothing comes off on the way, so every change counts.
pub fn chains(count: u32, tools: u32, seed: u64) -> (RouteProblem, Target) {
    let mut dice = Dice::new(seed);
    let mut actions = Vec::new();
    for chain in 0..count {
        let mut order: Vec<u32> = (0..tools).collect();
        for at in (1..order.len()).rev() {
            order.swap(at, dice.below(at + 1));
        }
        for (place, tool) in order.into_iter().enumerate() {
            let thing = chain * tools + u32::try_from(place).unwrap();
            let after = if place == 0 { Vec::new() } else { vec![Need::Thing(thing - 1)] };
            actions.push(action(thing, false, vec![u16::try_from(tool).unwrap()], after));
        }
    }
    let core = count * tools;
    let ends = (0..count).map(|chain| Need::Thing(chain * tools + tools - 1)).collect();
    actions.push(action(core, true, vec![0], ends));
    (RouteProblem { things: core + 1, actions, each: false }, Target::All(vec![core]))
}

/// Latches that each open once one of a few covers is off; the core needs all latches.
pub fn latches(covers: u32, latches: u32, seed: u64) -> (RouteProblem, Target) {
    let mut dice = Dice::new(seed);
    let mut actions: Vec<Action> = (0..covers).map(|cover| action(cover, true, vec![0], Vec::new())).collect();
    for latch in 0..latches {
        let mut members: Vec<u32> = Vec::new();
        while members.len() < 3 {
            let cover = u32::try_from(dice.below(covers as usize)).unwrap();
            if !members.contains(&cover) {
                members.push(cover);
            }
        }
        let any = members.into_iter().map(|cover| vec![Need::Thing(cover)]).collect();
        actions.push(action(covers + latch, false, Vec::new(), vec![Need::Any(any)]));
    }
    let core = covers + latches;
    let all = (covers..core).map(Need::Thing).collect();
    actions.push(action(core, true, vec![0], all));
    (RouteProblem { things: core + 1, actions, each: false }, Target::All(vec![core]))
}

/// An invented teardown: layers of screwed, clipped and plugged parts, with alternatives and
/// several ways to some parts. Gives the parts, each of which is a target.
pub fn teardown(count: u32, seed: u64) -> (RouteProblem, Vec<u32>) {
    let mut dice = Dice::new(seed);
    let mut actions: Vec<Action> = Vec::new();
    let mut parts: Vec<u32> = Vec::new();
    let mut things = 0;
    let mut group = 0;
    while actions.len() < count as usize {
        let near = |dice: &mut Dice, things: u32| things - 1 - dice.below(things.min(9) as usize) as u32;
        let mut after = Vec::new();
        if things > 0 {
            after.push(Need::Thing(near(&mut dice, things)));
            if dice.chance(35) {
                after.push(Need::Thing(near(&mut dice, things)));
            }
            if dice.chance(12) && things > 3 {
                let members = (0..2 + dice.below(2)).map(|_| vec![Need::Thing(near(&mut dice, things))]);
                after.push(Need::Any(members.collect()));
            }
        }
        if dice.chance(30) {
            group = dice.below(6);
        }
        let tool = u16::try_from(if dice.chance(60) { group } else { dice.below(6) }).unwrap();
        let tools = if dice.chance(35) { Vec::new() } else { vec![tool] };
        let off = dice.chance(45);
        let mut made = action(things, off, tools, after);
        made.kind = dice.below(3) as u8;
        made.skill = dice.below(2) as u8;
        if off {
            parts.push(things);
            if dice.chance(12) {
                let other = vec![u16::try_from(dice.below(6)).unwrap()];
                actions.push(Action { operations: with(other), ..made.clone() });
            }
        }
        actions.push(made);
        things += 1;
    }
    (RouteProblem { things, actions, each: false }, parts)
}
