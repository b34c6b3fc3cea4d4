//! The two ends of a verdict.
//!
//! Most questions have one answer that is surely best and one that is surely worst: with the rest answered, an end is one plain
//! evaluation. The rest is gone through, the most promising first, with something in the place of what is still open that no
//! answer goes beyond; past a stated number of looks that bound alone is given, and beside it what the completions tried reached.

use std::collections::BinaryHeap;
use std::sync::OnceLock;

use super::counting::{every, how_many};
use super::looks::{Looker, Pick};
use crate::assess::Evaluated;
use crate::exact::Exact;

/// Completions tried, at most, for one that has what no completion goes beyond.
const TRIED: u64 = 64;

/// An end of a verdict.
#[derive(Clone, Debug)]
pub(super) struct End {
    /// The value; `None`: left out in every completion.
    pub(super) value: Option<Exact>,
    /// A completion has it.
    pub(super) attained: bool,
    /// The completion that has it, or the nearest one tried: an answer per question.
    pub(super) choice: Vec<usize>,
    /// What that completion surely comes to, and the most it may, where searches were left open.
    pub(super) span: Span,
    /// What is read there, worked out when it is first asked for.
    read: OnceLock<Evaluated>,
    /// Looks it took.
    pub(super) looks: u64,
}

/// Low and high end of one completion.
pub(super) type Span = [Option<Exact>; 2];

impl End {
    /// What the completion surely comes to: the low end of its own span at the high end, the high end at the low.
    pub(super) fn reached(&self, high: bool) -> Option<Exact> {
        self.span[usize::from(!high)].clone()
    }

    /// The same as the other end, without a look.
    pub(super) fn again(&self) -> Self {
        Self { looks: 0, ..self.clone() }
    }

    /// What is read in the completion.
    pub(super) fn evaluated(&self, looker: &Looker<'_, '_>) -> &Evaluated {
        self.read.get_or_init(|| {
            let read = looker.completed(&self.choice);
            let looked = self.span == [None, None] || [&read.values[0], &read.most[0]] == self.span.each_ref();
            debug_assert!(looked, "as it was looked at");
            read
        })
    }
}

/// Something to look into: the best there is, and how much of it is settled.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Node {
    /// The higher the more promising.
    worth: Exact,
    depth: usize,
    /// Earlier first.
    turn: std::cmp::Reverse<u64>,
    /// Answers to the first questions of the order.
    taken: Vec<usize>,
}

/// One end of the verdict over all completions with these answers.
///
/// Answers about what comes first that contradict what was done are no completion: where an end rests on such, each way of
/// answering these questions is looked at by itself, or the end is a bound.
pub(super) fn end(looker: &Looker<'_, '_>, given: &[(usize, usize)], high: bool) -> End {
    let found = plain_end(looker, given, high);
    if looker.ground.tangled.is_empty() || looker.case.stands(&found.choice) {
        return found;
    }
    let open: Vec<usize> =
        looker.ground.tangled.iter().copied().filter(|u| given.iter().all(|(g, _)| g != u)).collect();
    let sizes: Vec<usize> = open.iter().map(|&u| looker.case.unknowns[u].answers.len()).collect();
    if how_many(sizes.iter().copied()).is_none_or(|many| many > TRIED) {
        return End { attained: false, span: [None, None], ..found };
    }
    let (mut best, mut looks): (Option<End>, u64) = (None, found.looks);
    for places in every(&sizes) {
        let mut choice = found.choice.clone();
        open.iter().zip(&places).for_each(|(&u, &place)| choice[u] = place);
        // Whether they stand hangs on these answers alone.
        if !looker.case.stands(&choice) {
            continue;
        }
        let all: Vec<(usize, usize)> = given.iter().copied().chain(open.iter().copied().zip(places)).collect();
        let one = plain_end(looker, &all, high);
        looks += one.looks;
        // One that may lie further out comes before one that has as much.
        let further = |old: &End| match (&one.value, &old.value) {
            (Some(a), Some(b)) if a != b => (a > b) == high,
            (a, b) => a.is_some() && (b.is_none() || !one.attained && old.attained),
        };
        if best.as_ref().is_none_or(further) {
            best = Some(one);
        }
    }
    // Where none stands, what is asked about contradicts what was done: then it is taken as it is.
    best.map_or(found, |best| End { looks, ..best })
}

fn plain_end(looker: &Looker<'_, '_>, given: &[(usize, usize)], high: bool) -> End {
    let root = looker.picks(given, high);
    let mut order: Vec<usize> = (0..root.len()).filter(|&u| !matches!(root[u], Pick::Is(_))).collect();
    // Trying the answers of these settles nothing: they stay open, and go last.
    order.sort_by_key(|&u| looker.ground.elastic[u]);
    let solid = order.iter().filter(|&&u| !looker.ground.elastic[u]).count();
    let mut job = Job { looker, root, order, solid, high, looks: 0, states: 0, nearest: None };
    job.run()
}

struct Job<'a, 'm> {
    looker: &'a Looker<'a, 'm>,
    root: Vec<Pick>,
    /// Questions to go through; behind the first so many those that stay open.
    order: Vec<usize>,
    solid: usize,
    high: bool,
    looks: u64,
    states: u64,
    /// The best completion tried: its worth (none where the whole verdict is left out), its answers, and its span.
    nearest: Option<(Option<Exact>, Vec<usize>, Span)>,
}

impl Job<'_, '_> {
    fn worth(&self, value: &Exact) -> Exact {
        if self.high { value.clone() } else { -value }
    }

    fn answers(&self, u: usize) -> &[usize] {
        let standing = &self.looker.ground.standings[u];
        if self.high { &standing.best } else { &standing.worst }
    }

    fn picks(&self, taken: &[usize]) -> Vec<Pick> {
        let mut picks = self.root.clone();
        self.order.iter().zip(taken).for_each(|(&u, &a)| picks[u] = Pick::Is(a));
        picks
    }

    /// The end looked for under these picks; a completion is noted.
    fn look(&mut self, taken: &[usize]) -> Option<Exact> {
        let picks = self.picks(taken);
        let look = self.looker.look(&picks, self.high);
        self.looks += 1;
        self.states += look.states;
        if let Some(reached) = look.reached {
            // A completion in which the whole verdict is left out is no end, but better than nothing to show.
            let worth = reached.as_ref().map(|r| self.worth(r));
            if self.nearest.as_ref().is_none_or(|(best, ..)| worth > *best) {
                let value = look.value.clone();
                let span = if self.high { [reached, value] } else { [value, reached] };
                self.nearest = Some((worth, picks.iter().map(|p| p.answer()).collect(), span));
            }
        }
        look.value
    }

    fn run(&mut self) -> End {
        let bound = self.look(&[]);
        if self.order.is_empty() {
            return self.done(bound.clone(), true);
        }
        let mut open: BinaryHeap<Node> = BinaryHeap::new();
        let mut turn = 0;
        if let Some(bound) = &bound {
            open.push(Node { worth: self.worth(bound), depth: 0, turn: std::cmp::Reverse(0), taken: Vec::new() });
        }
        while let Some(node) = open.pop() {
            if node.taken.len() == self.solid {
                let value = if self.high { node.worth } else { -&node.worth };
                // Looked at once more: another completion may have been nearer by what it surely reaches.
                self.nearest = None;
                self.complete(node.taken, &value);
                return self.done(Some(value), true);
            }
            if self.looks >= self.looker.effort.looks || self.states >= self.looker.effort.pool {
                self.dive(node.taken);
                return self.done(bound, false);
            }
            let u = self.order[node.taken.len()];
            for answer in self.answers(u).to_vec() {
                let mut taken = node.taken.clone();
                taken.push(answer);
                if let Some(value) = self.look(&taken) {
                    turn += 1;
                    let worth = self.worth(&value).min(node.worth.clone());
                    open.push(Node { worth, depth: taken.len(), turn: std::cmp::Reverse(turn), taken });
                }
            }
        }
        self.dive(Vec::new());
        self.done(None, true)
    }

    /// Completions with these answers, until one comes to a value: all, or so many that there is one to show.
    fn complete(&mut self, taken: Vec<usize>, value: &Exact) {
        let sizes: Vec<usize> = self.order[taken.len()..].iter().map(|&u| self.answers(u).len()).collect();
        if how_many(sizes.iter().copied()).is_none_or(|many| many > TRIED) {
            return self.dive(taken);
        }
        for places in every(&sizes) {
            let rest = self.order[taken.len()..].iter().zip(places).map(|(&u, place)| self.answers(u)[place]);
            let all: Vec<usize> = taken.iter().copied().chain(rest).collect();
            self.look(&all);
            let worth = self.worth(value);
            if self.nearest.as_ref().is_some_and(|(best, ..)| best.as_ref() == Some(&worth)) {
                return;
            }
        }
    }

    /// One completion on the way down, so that there is one to show.
    fn dive(&mut self, mut taken: Vec<usize>) {
        while taken.len() < self.order.len() {
            let u = self.order[taken.len()];
            let mut best: Option<(Option<Exact>, usize)> = None;
            for answer in self.answers(u).to_vec() {
                taken.push(answer);
                let worth = self.look(&taken).map(|v| self.worth(&v));
                taken.pop();
                if best.as_ref().is_none_or(|(b, _)| worth > *b) {
                    best = Some((worth, answer));
                }
            }
            taken.push(best.map_or(0, |(_, a)| a));
        }
        self.look(&taken);
    }

    fn done(&mut self, value: Option<Exact>, found: bool) -> End {
        let (choice, span, read) = match self.nearest.take() {
            Some((_, choice, span)) => (choice, span, OnceLock::new()),
            None => {
                let first: Vec<usize> = self.order.iter().map(|&u| self.answers(u)[0]).collect();
                let choice: Vec<usize> = self.picks(&first).iter().map(|p| p.answer()).collect();
                let read = self.looker.completed(&choice);
                (choice, [read.values[0].clone(), read.most[0].clone()], OnceLock::from(read))
            }
        };
        let attained = found && span.iter().all(|side| *side == value);
        End { value, attained, choice, span, read, looks: self.looks }
    }
}
