//! The few questions that matter most, and how far they would narrow the range.

use super::Ask;
use crate::exact::Exact;
use crate::range::study::{Range, Study};

/// Some questions and what they would do together.
#[derive(Clone, Debug)]
pub struct Most {
    /// Their places among the questions asked, the one that can narrow the range most first.
    pub asks: Vec<usize>,
    /// The range as things stand.
    pub now: Range,
    /// The range once all of them turn out for the worst, and once all turn out for the best.
    pub then: [Range; 2],
}

/// The questions that can move the ends of the range most, one at a time, and the range once all of them are answered. A list to
/// tick counts through the single questions it settles. `None` where nothing is open.
///
/// Each question is tried at the answers that can be worst and best for the verdict, all else open; the width that is left after
/// the less helpful of the two decides, as in [`crate::range::Guide`].
pub fn most(study: &Study<'_>, asks: &[Ask], count: usize) -> Option<Most> {
    let now = study.range(0);
    let mut ranked: Vec<(Exact, Exact, usize)> = Vec::new();
    for (i, ask) in asks.iter().enumerate().filter(|(_, a)| !a.unknowns.is_empty()) {
        let [low, high] = [false, true].map(|best| study.range_given(&study.at_end(&ask.unknowns, best)));
        let widths = [low.width(), high.width()];
        let worst = widths.iter().max().cloned().unwrap_or_else(Exact::zero);
        ranked.push((worst, &widths[0] + &widths[1], i));
    }
    ranked.sort();
    ranked.truncate(count);
    let asks_: Vec<usize> = ranked.into_iter().map(|(.., i)| i).collect();
    if asks_.is_empty() {
        return None;
    }
    let mut all: Vec<usize> = asks_.iter().flat_map(|&i| asks[i].unknowns.iter().copied()).collect();
    all.sort_unstable();
    all.dedup();
    let then = [false, true].map(|best| study.range_given(&study.at_end(&all, best)));
    Some(Most { asks: asks_, now, then })
}
