//! Jobs laid out flat for the inner loop: fixed-width words, no pointers to follow.

use super::bits::{Bits, Ones};
use super::jobs::{Jobs, moved, regret};
use super::moves::{FREE, HANDS, Move};
use super::net::Net;

/// A set of local action numbers below `64 * N`.
pub(super) type Words<const N: usize> = [u64; N];

pub(super) fn words<const N: usize>(bits: &Bits) -> Words<N> {
    let mut out = [0; N];
    for (mine, theirs) in out.iter_mut().zip(&bits.0) {
        *mine = *theirs;
    }
    out
}

/// Whether a set has a member that is not done.
fn left<const N: usize>(set: &Words<N>, done: &Words<N>) -> bool {
    (0..N).any(|word| set[word] & !done[word] != 0)
}

fn members<const N: usize>(set: Words<N>) -> impl Iterator<Item = usize> {
    (0..N).flat_map(move |word| Ones(set[word]).map(move |bit| word * 64 + bit))
}

/// What is done, and what could be done next.
#[derive(Clone, Copy)]
pub(super) struct Progress<const N: usize> {
    pub(super) done: Words<N>,
    pub(super) ready: Words<N>,
}

/// The part of the bound that is the same whatever is held.
#[derive(Clone, Copy)]
pub(super) struct Rest {
    /// What is to come whatever the order.
    fixed: u32,
    /// Changes that can be absorbed.
    absorbing: u32,
    /// Tool sets to be picked up when none is in hand, and what that counts beyond the changes.
    pickups: u32,
    taking: u32,
}

struct Pickup<const N: usize> {
    demand: Words<N>,
    supply: Words<N>,
    runs: Vec<Words<N>>,
    breaks: Vec<Words<N>>,
    taking: u32,
}

impl<const N: usize> Pickup<N> {
    fn counts(&self, done: &Words<N>) -> bool {
        left(&self.demand, done) && !left(&self.supply, done)
    }
}

/// Levels lie one within the other; how many have something left.
fn most<const N: usize>(levels: &[Words<N>], done: &Words<N>) -> u32 {
    let mut count = 0;
    for level in levels {
        if !left(level, done) {
            break;
        }
        count += 1;
    }
    count
}

pub(super) struct JobTable<'a, const N: usize> {
    net: &'a Net,
    pub(super) all: Words<N>,
    absorbs: Words<N>,
    counts: Words<N>,
    dearer: Vec<(usize, u32)>,
    before: Vec<Words<N>>,
    /// Per action, those it may be the last to enable.
    next: Vec<Words<N>>,
    /// Per action and group of alternatives, per member, masks that must each be touched.
    alternatives: Vec<Vec<Vec<Vec<Words<N>>>>>,
    moves: Vec<&'a [Move]>,
    closing: bool,
    pickups: Vec<Pickup<N>>,
    /// Per tool set held, the pickups that come for nothing.
    in_hand: Vec<Vec<usize>>,
    /// Work that counts nothing: by hand, and per tool set held.
    by_hand: Words<N>,
    same: Vec<Words<N>>,
}

impl<'a, const N: usize> JobTable<'a, N> {
    pub(super) fn new(jobs: &Jobs<'a>) -> Self {
        let net = jobs.net;
        let count = jobs.acts.len();
        let before: Vec<Words<N>> = jobs.before.iter().map(words).collect();
        let alternatives: Vec<_> = jobs
            .alternatives
            .iter()
            .map(|groups| {
                let member = |member: &Vec<Bits>| member.iter().map(words).collect();
                let group = |group: &Vec<Vec<Bits>>| group.iter().map(member).collect();
                groups.iter().map(group).collect::<Vec<Vec<Vec<Words<N>>>>>()
            })
            .collect();
        let mut next = vec![[0; N]; count];
        for at in 0..count {
            let mut direct = before[at];
            for earlier in members(before[at]) {
                (0..N).for_each(|word| direct[word] &= !before[earlier][word]);
            }
            for mask in alternatives.get(at).into_iter().flatten().flatten().flatten() {
                (0..N).for_each(|word| direct[word] |= mask[word]);
            }
            members(direct).for_each(|earlier| next[earlier][at / 64] |= 1 << (at % 64));
        }
        let moves: Vec<&[Move]> = jobs.acts.iter().map(|act| &net.acts[*act].moves[..]).collect();
        let sets = net.subset.len();
        let mut by_hand = [0; N];
        let mut same = vec![[0; N]; sets];
        for (at, moves) in moves.iter().enumerate() {
            let [entry] = moves else { continue };
            if entry.inner > 0 || entry.last != entry.first {
                continue;
            }
            let mask = if entry.first == HANDS { &mut by_hand } else { &mut same[usize::from(entry.first)] };
            mask[at / 64] |= 1 << (at % 64);
        }
        let in_hand = (0..sets)
            .map(|held| {
                let free = |at: &usize| net.subset[usize::from(jobs.pickups[*at].set)][held];
                (0..jobs.pickups.len()).filter(free).collect()
            })
            .collect();
        let pickups = jobs.pickups.iter().map(|pickup| Pickup {
            demand: words(&pickup.demand),
            supply: words(&pickup.supply),
            runs: pickup.runs.iter().map(words).collect(),
            breaks: pickup.breaks.iter().map(words).collect(),
            taking: pickup.taking,
        });
        Self {
            net,
            all: words(&jobs.all),
            absorbs: words(&jobs.absorbs),
            counts: words(&jobs.counts),
            dearer: jobs.dearer.clone(),
            before,
            next,
            alternatives,
            moves,
            closing: jobs.closing,
            pickups: pickups.collect(),
            in_hand,
            by_hand,
            same,
        }
    }

    /// Nothing done yet.
    pub(super) fn closed(&self) -> Progress<N> {
        let mut progress = Progress { done: [0; N], ready: [0; N] };
        for at in members(self.all) {
            if self.enabled(at, &progress.done) {
                progress.ready[at / 64] |= 1 << (at % 64);
            }
        }
        progress
    }

    fn enabled(&self, at: usize, done: &Words<N>) -> bool {
        let touched = |mask: &Words<N>| (0..N).any(|word| mask[word] & done[word] != 0);
        !left(&self.before[at], done)
            && self
                .alternatives
                .get(at)
                .is_none_or(|groups| groups.iter().all(|group| group.iter().any(|member| member.iter().all(touched))))
    }

    /// Marks an action done, and what it enables ready.
    pub(super) fn perform(&self, progress: &mut Progress<N>, at: usize) {
        progress.done[at / 64] |= 1 << (at % 64);
        progress.ready[at / 64] &= !(1 << (at % 64));
        for word in 0..N {
            let waiting = self.next[at][word] & !progress.done[word] & !progress.ready[word];
            for bit in Ones(waiting) {
                if self.enabled(word * 64 + bit, &progress.done) {
                    progress.ready[word] |= 1 << bit;
                }
            }
        }
    }

    /// Does at once what can never cost anything: available work by hand that counts nothing and ends no
    /// step, and, with tools in hand and no step ended since, such work with exactly these tools.
    pub(super) fn settle(&self, progress: &mut Progress<N>, held: u16, mut order: Option<&mut Vec<usize>>) {
        let same = self.same.get(usize::from(held));
        let mut word = 0;
        while word < N {
            let mask = self.by_hand[word] | same.map_or(0, |same| same[word]);
            let idle = progress.ready[word] & mask;
            if idle == 0 {
                word += 1;
                continue;
            }
            let at = word * 64 + idle.trailing_zeros() as usize;
            self.perform(progress, at);
            if let Some(order) = order.as_deref_mut() {
                order.push(at);
            }
            word = 0;
        }
    }

    /// The part of the bound that does not depend on what is held.
    pub(super) fn rest(&self, done: &Words<N>) -> Rest {
        let open = |at: usize| done[at / 64] >> (at % 64) & 1 == 0;
        let left = |set: &Words<N>| (0..N).map(|word| (set[word] & !done[word]).count_ones()).sum::<u32>();
        let dearer = self.dearer.iter().filter(|(at, _)| open(*at)).map(|(_, more)| *more);
        let fixed = dearer.fold(left(&self.counts), u32::saturating_add);
        let mut rest = Rest { fixed, absorbing: left(&self.absorbs), pickups: 0, taking: 0 };
        for pickup in self.pickups.iter().filter(|pickup| pickup.counts(done)) {
            let runs = most(&pickup.runs, done);
            rest.pickups += runs;
            rest.taking = rest.taking.saturating_add(runs.saturating_mul(pickup.taking));
        }
        rest
    }

    /// A lower bound on what is still to be counted.
    pub(super) fn bound(&self, rest: Rest, done: &Words<N>, held: u16) -> u32 {
        let mut pickups = rest.pickups;
        let mut taking = rest.taking;
        if pickups > 0 {
            // Nothing is in hand when free, and no list is that long.
            for at in self.in_hand.get(usize::from(held)).into_iter().flatten() {
                let pickup = &self.pickups[*at];
                if pickup.counts(done) {
                    let runs = most(&pickup.runs, done);
                    let spared = runs - (runs - 1).max(most(&pickup.breaks, done)).min(runs);
                    pickups -= spared;
                    taking = taking.saturating_sub(spared.saturating_mul(pickup.taking));
                }
            }
        }
        // Each step ended absorbs at most one change, the last of all none; so does a free start.
        let absorbed = rest.absorbing.saturating_sub(u32::from(self.closing)) + u32::from(held == FREE);
        rest.fixed.saturating_add(taking).saturating_add(pickups.saturating_sub(absorbed))
    }

    pub(super) fn moves(&self, at: usize) -> &'a [Move] {
        self.moves[at]
    }

    /// Tools held after a move, and what it counts.
    pub(super) fn moved(&self, held: u16, entry: Move) -> (u16, u32) {
        moved(self.net, held, entry)
    }

    /// What holding `held` may count more than holding `other` would, whatever comes next.
    pub(super) fn regret(&self, held: u16, other: u16) -> u32 {
        regret(self.net, held, other)
    }
}
