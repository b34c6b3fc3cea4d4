//! From captions, notes or labels to a draft record, by word lists alone: what was said, nothing else.
//!
//! [`cues`] reads the formats, [`clean`] takes out what captions add, [`tokens`] and [`spot`] find trade words, [`clause`]
//! and [`flow`] cut talk, [`off`] reads what is said to come off, [`actions`] sorts it into entries and asides. [`Draft`] holds it all;
//! [`mod@sheet`] makes rows of it, [`mod@write`] the record, [`mod@list`] a table to change by hand;
//! [`mod@walk`] goes through it with a person.

pub mod actions;
pub mod clause;
pub mod clean;
pub mod count;
pub mod cues;
pub mod drives;
pub mod flow;
mod joints;
mod line;
pub mod list;
pub mod off;
pub mod said;
pub mod segment;
pub mod sheet;
pub mod spot;
pub mod tokens;
pub mod walk;
pub mod write;

use std::collections::BTreeSet;

use crate::text::Source;
use actions::{Aside, Sorted};
use clause::{Clause, Cut};
use clean::Cue;
use cues::Kind;
use segment::DraftedAction;

/// Longest pause inside one stretch of talk, milliseconds.
pub const PAUSE: u32 = 3_500;

/// What a source says, sorted; not yet a record.
#[derive(Clone, Debug)]
pub struct Draft {
    /// What kind of text it was taken for.
    pub kind: Kind,
    /// Cues in order.
    pub cues: Vec<Cue>,
    /// First cue of each stretch of talk.
    pub stretches: Vec<usize>,
    /// Actions and what stands in none.
    pub sorted: Sorted,
    /// All clauses in order.
    pub clauses: Vec<Clause>,
}

impl Draft {
    /// Reads a source. Any text is safe; one without a trade word gives a draft without actions.
    pub fn of(source: &Source) -> Self {
        let (kind, raw) = cues::read(source);
        let cues = clean::clean(kind, &raw);
        let stretches = stretches(kind, &cues);
        let signs = cues.iter().filter(|c| c.text.contains(['.', '?', '!'])).count();
        let cut = if kind == Kind::Times {
            Cut::Names
        } else if kind.by_line() {
            Cut::Whole
        } else if signs * 5 > cues.len() {
            Cut::Signs
        } else if flow::wrapped(&cues) {
            Cut::Words
        } else {
            Cut::Cues
        };
        let broken = flow::broken(&cues);
        let mut all = Vec::new();
        for (i, from) in stretches.iter().enumerate() {
            let to = stretches.get(i + 1).copied().unwrap_or(cues.len());
            let words = tokens::tokens(&cues, *from..to);
            if words.is_empty() {
                continue;
            }
            all.extend(clause::clauses(&words, &cues, &broken, cut));
        }
        // What stands above the first time of notes that have times is their title.
        let titled = kind.by_line() && cues.iter().filter(|c| c.start.is_some()).count() * 2 > cues.len();
        let title = cues.iter().position(|c| c.start.is_some()).filter(|_| titled).unwrap_or(0);
        all.retain(|c: &Clause| c.cues.0 >= title);
        let mut sorted = actions::sort(&all, kind.by_line());
        // Nothing of the trade is lost: a cue that no rule took stands among what was mentioned.
        for clause in all.iter().filter(|c| c.off.is_some()) {
            for cue in clause.cues.0..=clause.cues.1 {
                sorted.asides.entry(cue).or_insert(Aside::Mentioned);
            }
        }
        let inside: BTreeSet<usize> = sorted.entries.iter().flat_map(|e| e.cues.iter().copied()).collect();
        for cue in (0..cues.len()).filter(|c| !inside.contains(c)) {
            if spot::trade(&tokens::tokens(&cues, cue..cue + 1)) {
                sorted.asides.entry(cue).or_insert(Aside::Mentioned);
            }
        }
        sorted.asides.retain(|cue, _| !inside.contains(cue));
        Self { kind, cues, stretches, sorted, clauses: all }
    }
}

/// Longest talk about an action that is taken to come before it, milliseconds.
const TALK: u32 = 10_000;

impl Draft {
    /// When an action was done, milliseconds: from and to. People say what they are about to do before they do it, so of talk
    /// the first half goes before, at most ten seconds; none where the text has no times.
    pub fn at(&self, entry: &DraftedAction) -> Option<(u32, u32)> {
        let start = |cue: Option<&usize>| cue.and_then(|c| self.cues[*c].start);
        let (from, to) = start(entry.rests_on.first()).zip(start(entry.rests_on.last()))?;
        let before = if self.kind.by_line() { 0 } else { (to.saturating_sub(from) / 2).min(TALK) };
        Some((from + before, to))
    }
}

/// Where talk begins anew: behind a pause; every line of notes and labels.
fn stretches(kind: Kind, cues: &[Cue]) -> Vec<usize> {
    let mut out = Vec::new();
    let mut end: Option<u32> = None;
    for (i, cue) in cues.iter().enumerate() {
        let paused = match (end, cue.start) {
            (Some(end), Some(start)) => start > end.saturating_add(PAUSE),
            _ => true,
        };
        if kind.by_line() || paused && !cue.text.is_empty() || i == 0 {
            out.push(i);
        }
        end = cue.end.or(cue.start);
    }
    out
}
