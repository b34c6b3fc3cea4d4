//! Ways through an action as the count of steps sees them: tools taken up first, tools left in hand, and all it counts between.

use super::problem::{Action, Cost, Operation, ToolId, Way};

/// No tools: a move by hand.
pub(super) const HANDS: u16 = u16::MAX;
/// Any next tools come without a change: nothing is held yet, or a step ended since the last use.
pub(super) const FREE: u16 = u16::MAX - 1;
/// One choice of ways through an action, as far as the count can tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Move {
    /// First tool set used, or [`HANDS`] if what was held before makes no difference.
    pub(super) first: u16,
    /// What it leaves: a tool set, [`HANDS`] for what was held before, or [`FREE`] when a step ended after the last use.
    pub(super) last: u16,
    /// All it counts but taking up the first tool set: steps ended, changes between its operations, their own costs.
    pub(super) inner: u32,
}

/// What an action counts at least, and whether it absorbs a later change. Where only some moves absorb one, what the
/// others save is taken off instead, so that a sum of counts less changes absorbed is never above that of any choice.
pub(super) fn least(moves: &[Move]) -> (u32, bool) {
    let absorbs = !moves.is_empty() && moves.iter().all(|entry| entry.last == FREE);
    let saved = |entry: &Move| u32::from(entry.last == FREE && !absorbs);
    let least = moves.iter().map(|entry| entry.inner.saturating_sub(saved(entry))).min();
    (least.unwrap_or(0), absorbs)
}

/// Distinct tool sets, numbered as met.
pub(super) struct Tools {
    sets: Vec<Vec<ToolId>>,
    /// Each tool beyond the first counts when a set is taken up.
    each: bool,
}

impl Tools {
    pub(super) fn new(each: bool) -> Self {
        Self { sets: Vec::new(), each }
    }

    fn set(&mut self, tools: &[ToolId]) -> u16 {
        let mut tools = tools.to_vec();
        tools.sort_unstable();
        tools.dedup();
        if tools.is_empty() {
            return HANDS;
        }
        let known = self.sets.iter().position(|set| *set == tools);
        let at = known.unwrap_or_else(|| {
            self.sets.push(tools);
            self.sets.len() - 1
        });
        u16::try_from(at).unwrap_or(FREE - 1)
    }

    fn within(&self, inner: u16, outer: u16) -> bool {
        let outer = &self.sets[usize::from(outer)];
        self.sets[usize::from(inner)].iter().all(|tool| outer.binary_search(tool).is_ok())
    }

    fn beyond_first(&self, set: u16) -> u32 {
        let tools = self.sets[usize::from(set)].len();
        if self.each { u32::try_from(tools - 1).unwrap_or(u32::MAX) } else { 0 }
    }

    /// The moves through an action with tools of at most a class, none worse than another in every respect; `ends`: its last
    /// operation ends a step.
    pub(super) fn moves(&mut self, action: &Action, class: u8, cost: Cost, ends: bool) -> Vec<Move> {
        let counted = cost == Cost::Steps;
        let mut moves = vec![Move { first: HANDS, last: HANDS, inner: 0 }];
        if matches!(cost, Cost::Parts | Cost::Time { change: 0 }) {
            return moves;
        }
        // Without a written operation an action is one by hand.
        let by_hand = [Operation { ways: vec![Way::default()], ..Operation::default() }];
        let operations = if action.operations.is_empty() { &by_hand[..] } else { &action.operations };
        for (place, operation) in operations.iter().enumerate() {
            let ends = operation.ends || ends && place + 1 == operations.len();
            let mut longer = Vec::new();
            for way in operation.ways.iter().filter(|way| way.class <= class) {
                let set = self.set(&way.tools);
                let ended = counted && (ends || way.ends);
                let own = if counted { way.cost } else { 0 };
                for sofar in &moves {
                    let mut next = match (set, sofar.last) {
                        (HANDS, _) => *sofar,
                        (_, HANDS) => Move { first: set, last: set, ..*sofar },
                        (_, FREE) => {
                            let inner = sofar.inner.saturating_add(self.beyond_first(set));
                            Move { last: set, inner, ..*sofar }
                        }
                        (_, held) => {
                            let change = if self.within(set, held) { 0 } else { 1 + self.beyond_first(set) };
                            Move { last: set, inner: sofar.inner.saturating_add(change), ..*sofar }
                        }
                    };
                    next.inner = next.inner.saturating_add(own).saturating_add(u32::from(ended));
                    if ended {
                        next.last = FREE;
                    }
                    longer.push(next);
                }
            }
            longer.sort_unstable();
            longer.dedup_by_key(|entry| (entry.first, entry.last));
            moves = longer;
        }
        // Counting nothing and leaving everything as it is: no use of tools can do better. By hand to a step's end:
        // no use of tools to a step's end that counts as much can.
        let idle = Move { first: HANDS, last: HANDS, inner: 0 };
        if moves.contains(&idle) {
            return vec![idle];
        }
        let ended = moves.iter().find(|entry| (entry.first, entry.last) == (HANDS, FREE)).copied();
        if let Some(ended) = ended {
            moves.retain(|entry| *entry == ended || entry.last != FREE || entry.inner < ended.inner);
        }
        moves
    }

    pub(super) fn subset(&self) -> Vec<Vec<bool>> {
        let count = u16::try_from(self.sets.len()).unwrap_or(FREE - 1);
        (0..count).map(|a| (0..count).map(|b| self.within(a, b)).collect()).collect()
    }

    pub(super) fn taking(&self) -> Vec<u32> {
        let count = u16::try_from(self.sets.len()).unwrap_or(FREE - 1);
        (0..count).map(|set| self.beyond_first(set)).collect()
    }
}
