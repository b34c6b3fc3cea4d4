//! Random problems from a small fixed generator, the same on every machine.
#![allow(clippy::cast_possible_truncation, reason = "indices of small random problems")]

use scoring::route::{Action, Need, Operation, RouteProblem, Target, Way};

/// A xorshift generator; quality does not matter here, repeatability does.
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Self {
        let mut dice = Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
        for _ in 0..8 {
            dice.below(2);
        }
        dice
    }

    pub fn below(&mut self, bound: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 >> 11).unwrap() % bound
    }

    /// True in so many of a hundred throws.
    pub fn chance(&mut self, percent: usize) -> bool {
        self.below(100) < percent
    }
}

/// How a family of random problems is made.
#[derive(Clone, Copy)]
pub struct Family {
    pub actions: usize,
    pub tools: usize,
    /// Percent of actions that take something off.
    pub frees: usize,
    /// Percent of needs that are alternatives.
    pub any: usize,
    /// Percent of operations with several ways.
    pub ways: usize,
    /// Percent of actions that free a part some other action frees already.
    pub again: usize,
    /// Percent of actions that destroy something.
    pub damages: usize,
    /// Needs reach back so many actions at most, and every action has one; 0 for any distance.
    pub near: usize,
    /// Needs may point forward, so that actions can justify each other.
    pub loops: bool,
    /// Ranks, ties and steps without a removal are filled in.
    pub keys: bool,
    /// An action that frees can also be a milestone, and take off several parts.
    pub odd: bool,
    /// Tools at once count each; operations and ways end steps and cost some of themselves; parts are laid aside.
    pub switches: bool,
}

impl Family {
    pub const PLAIN: Self = Self {
        actions: 7,
        tools: 3,
        frees: 50,
        any: 25,
        ways: 0,
        again: 0,
        damages: 0,
        near: 0,
        loops: false,
        keys: false,
        odd: false,
        switches: false,
    };

    pub fn problem(&self, dice: &mut Dice) -> (RouteProblem, Target) {
        // Thing 2i: the part of action i; thing 2i + 1: its milestone.
        let mut actions: Vec<Action> = Vec::new();
        for at in 0..self.actions {
            let mut action = Action { seconds: 1 + dice.below(12) as u32, ..Action::default() };
            let own = 2 * at as u32;
            if dice.chance(self.frees) || at + 1 == self.actions {
                let earlier: Vec<u32> = actions.iter().flat_map(|a| a.frees.clone()).collect();
                if dice.chance(self.again) && !earlier.is_empty() {
                    action.frees.push(earlier[dice.below(earlier.len())]);
                    if self.odd && dice.chance(30) {
                        action.does = Some(own + 1);
                    }
                }
                if action.frees.is_empty() || dice.chance(20) {
                    action.frees.push(own);
                }
            } else {
                action.does = Some(own + 1);
            }
            action.operations = (0..=(dice.below(5) / 3)).map(|_| self.operation(dice)).collect();
            if self.keys {
                action.kind = dice.below(3) as u8;
                action.place = dice.below(3) as u8;
                action.skill = dice.below(3) as u8;
                action.tie = dice.below(3) as u64;
                if dice.chance(8) {
                    action.operations.last_mut().unwrap().ends = true;
                }
            }
            if self.switches {
                for operation in &mut action.operations {
                    operation.ends |= dice.chance(8);
                    for way in &mut operation.ways {
                        way.cost = if dice.chance(12) { 1 + dice.below(2) as u32 } else { 0 };
                        way.ends = dice.chance(15);
                    }
                }
                if action.frees.is_empty() && dice.chance(40) {
                    // A part freed earlier, later or never.
                    action.aside.push(2 * dice.below(self.actions) as u32);
                }
            }
            if dice.chance(self.damages) {
                action.damages.push(dice.below(4) as u32);
                if dice.chance(30) {
                    action.damages.push(dice.below(4) as u32);
                }
            }
            actions.push(action);
        }
        for at in 0..self.actions {
            let pool: Vec<u32> = (0..self.actions)
                .filter(|other| {
                    (*other < at && (self.near == 0 || other + self.near >= at))
                        || (self.loops && *other != at && dice.chance(40))
                })
                .flat_map(|other| actions[other].frees.iter().chain(&actions[other].does))
                .copied()
                .collect();
            if pool.is_empty() {
                continue;
            }
            let mut after = Vec::new();
            let pick = |dice: &mut Dice| Need::Thing(pool[dice.below(pool.len())]);
            let floor = usize::from(at + 1 == self.actions || self.near > 0);
            let count = floor + dice.below(3 - usize::from(self.near > 0));
            for _ in 0..count {
                if dice.chance(self.any) {
                    let members = (0..2 + dice.below(2))
                        .map(|_| {
                            let mut member = vec![pick(dice)];
                            if dice.chance(25) {
                                member.push(pick(dice));
                            }
                            if dice.chance(10) {
                                member.push(Need::Any(vec![vec![pick(dice)], vec![pick(dice)]]));
                            }
                            member
                        })
                        .collect();
                    after.push(Need::Any(members));
                } else {
                    after.push(pick(dice));
                }
            }
            actions[at].after = after;
        }
        let last = actions[self.actions - 1].frees[0];
        let each = self.switches && dice.chance(60);
        (RouteProblem { things: 2 * self.actions as u32, actions, each }, Target::All(vec![last]))
    }

    fn operation(&self, dice: &mut Dice) -> Operation {
        let count = if dice.chance(self.ways) { 2 } else { 1 };
        let way = |dice: &mut Dice| {
            let mut tools = Vec::new();
            if !dice.chance(20) {
                tools.push(dice.below(self.tools) as u16);
                if dice.chance(if self.switches { 40 } else { 12 }) {
                    tools.push(dice.below(self.tools) as u16);
                    tools.sort_unstable();
                    tools.dedup();
                }
            }
            let class = if self.keys { tools.iter().max().map_or(0, |t| *t as u8 % 3) } else { 0 };
            Way { tools, class, ..Way::default() }
        };
        Operation { ways: (0..count).map(|_| way(dice)).collect(), ..Operation::default() }
    }
}
