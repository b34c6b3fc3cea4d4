//! A problem compiled for one search: the frame of its actions, and how each is done.

use std::sync::Arc;

use super::bits::Bits;
use super::frame::{Frame, Place};
use super::moves::{HANDS, Move, Tools, least};
use super::problem::{Action, Cost, RouteProblem};

/// What a route may not contain.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Filter {
    /// Ids of parts that may be destroyed, sorted.
    pub(super) damage: Vec<u32>,
    /// Highest class, kind, place and skill rank.
    pub(super) ranks: [u8; 4],
}

#[derive(Clone, Debug)]
pub(super) struct Act {
    /// Index in the problem.
    pub(super) original: usize,
    pub(super) moves: Vec<Move>,
    /// The tool set it can only begin with, if any.
    pub(super) demands: Option<u16>,
    /// Tool sets it may leave in hand, but for that one.
    pub(super) supplies: Bits,
    /// What it counts at least, taking up its first tools apart; see [`least`].
    pub(super) least: u32,
    /// It lets the next tools come without a change, whichever way is chosen.
    pub(super) absorbs: bool,
    /// 0 until [`Net::tied`].
    pub(super) tie: u64,
    pub(super) seconds: u64,
}

impl Act {
    /// Notes which tool sets it begins with and leaves.
    fn tools(&mut self, subset: &[Vec<bool>]) {
        let first = self.moves[0].first;
        let single = self.moves.iter().all(|entry| entry.first == first);
        self.demands = Some(first).filter(|first| single && usize::from(*first) < subset.len());
        self.supplies = Bits::new(subset.len());
        for (set, within) in subset.iter().enumerate().filter(|(set, _)| self.demands.map(usize::from) != Some(*set)) {
            let leaves = |entry: &Move| within.get(usize::from(entry.last)).is_some_and(|yes| *yes);
            if self.moves.iter().any(leaves) {
                self.supplies.insert(set);
            }
        }
    }
}

/// The compiled problem.
#[derive(Clone, Debug)]
pub(super) struct Net {
    pub(super) frame: Arc<Frame>,
    /// In the order of the frame's places.
    pub(super) acts: Vec<Act>,
    /// `subset[a][b]`: tool set a lies within b.
    pub(super) subset: Vec<Vec<bool>>,
    /// Per tool set, what taking it up counts beyond the change; no less than any tool set within it.
    pub(super) taking: Vec<u32>,
    /// Every last action of a route ends a step.
    pub(super) closing: bool,
}

impl Net {
    /// The problem on its frame.
    pub(super) fn on(frame: Arc<Frame>, problem: &RouteProblem, filter: &Filter, cost: Cost) -> Self {
        let mut tools = Tools::new(problem.each && cost == Cost::Steps);
        let done = |place: &Place| {
            let by_hand = || vec![Move { first: HANDS, last: HANDS, inner: 0 }];
            let action = problem.actions.get(place.original);
            let moves = action.map_or_else(by_hand, |action| tools.moves(action, filter.ranks[0], cost, place.ends));
            let (least, absorbs) = least(&moves);
            Act {
                original: place.original,
                moves,
                demands: None,
                supplies: Bits::default(),
                least,
                absorbs,
                tie: 0,
                seconds: action.map_or(0, |action| action.seconds.into()),
            }
        };
        let mut acts: Vec<Act> = frame.places.iter().map(done).collect();
        let (subset, taking) = (tools.subset(), tools.taking());
        acts.iter_mut().for_each(|act| act.tools(&subset));
        let closes = |thing| frame.places.iter().zip(&acts).all(|(p, act)| act.absorbs || !p.gives.contains(&thing));
        let closing = frame.wanted.is_some_and(closes);
        Self { frame, acts, subset, taking, closing }
    }
}

/// Whether a filter leaves the action a way.
pub(super) fn permitted(action: &Action, filter: &Filter) -> bool {
    action.damages.iter().all(|id| filter.damage.binary_search(id).is_ok())
        && action.kind <= filter.ranks[1]
        && action.place <= filter.ranks[2]
        && action.skill <= filter.ranks[3]
        && action.operations.iter().all(|operation| operation.ways.iter().any(|way| way.class <= filter.ranks[0]))
}
