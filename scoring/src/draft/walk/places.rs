//! Where in the talk something may have been done: what was drafted, and what was only mentioned.

use std::collections::BTreeSet;

use super::{Place, Walk};
use crate::draft::Draft;
use crate::draft::actions::Aside;
use crate::draft::segment::{DraftedAction, same};
use crate::draft::sheet::Sheet;
use crate::draft::spot::{ARTICLES, LISTS, What, spots};
use crate::draft::tokens::{Stop, Token, tokens};

/// Longest talk shown as one place, milliseconds; longest silence inside it.
const PLACE: u32 = 20_000;
const SILENCE: u32 = 8_000;
/// Cues without a trade word inside one place.
const BETWEEN: usize = 3;
/// Names offered at one place: as many as one key can take.
const NAMES: usize = 6;

impl Walk {
    /// The places of a draft; `sheet` holds its rows. They stand in the order of its actions, what was only mentioned where it
    /// was said.
    pub fn of(draft: &Draft, sheet: Sheet) -> Self {
        let entries = &draft.sorted.entries;
        let first = |entry: &DraftedAction| entry.rests_on.first().or(entry.cues.first()).copied().unwrap_or(0);
        let mut groups = groups(draft, &entries.iter().map(first).collect());
        let mut rows: Vec<Place> = Vec::new();
        for (entry, row) in entries.iter().zip(&sheet.rows) {
            let mut cues: BTreeSet<usize> = entry.cues.union(&entry.rests_on).copied().collect();
            // What was said in the midst of it and names nothing ("and they're all out") is no place of its own.
            let span = cues.first().copied().zip(cues.last().copied());
            let within = |group: &Vec<usize>| {
                span.is_some_and(|(a, b)| group.iter().all(|c| (a..b).contains(c)))
                    && heard(draft, &group.iter().copied().collect()).is_empty()
            };
            let (inside, rest): (Vec<_>, Vec<_>) = groups.into_iter().partition(within);
            groups = rest;
            let inside: Vec<usize> = inside.into_iter().flatten().collect();
            cues.extend(&inside);
            let asides = inside.iter().map(|cue| (draft.sorted.asides[cue], draft.quote(*cue))).collect();
            let mut heard = heard(draft, &cues);
            heard.retain(|n| !same(n, &row.name));
            let (words, at) = (talk(draft, &cues), draft.at(entry).map(|(a, b)| (a / 1000, b / 1000)));
            rows.push(Place { at, words, drafted: Some(row.clone()), heard, asides });
        }
        let mut mentioned = groups.into_iter().map(|group| (group[0], mention(draft, &group))).peekable();
        let mut places = Vec::new();
        for (entry, row) in entries.iter().zip(rows) {
            while let Some((_, place)) = mentioned.next_if(|(cue, _)| *cue < first(entry)) {
                places.push(place);
            }
            places.push(row);
        }
        places.extend(mentioned.map(|(_, place)| place));
        Self { sheet, places }
    }
}

/// The place of cues that stand in no action.
fn mention(draft: &Draft, group: &[usize]) -> Place {
    let (first, last) = (group[0], group[group.len() - 1]);
    let cues: BTreeSet<usize> = (first..=last).collect();
    let start = |cue: usize| draft.cues[cue].start.map(|s| s / 1000);
    Place {
        at: start(first).zip(start(last)),
        words: talk(draft, &cues),
        drafted: None,
        heard: heard(draft, &cues),
        asides: group.iter().map(|cue| (draft.sorted.asides[cue], draft.quote(*cue))).collect(),
    }
}

/// Cues that stand in no action, in runs, none of them empty, that are asked about as one place: close together, no action begun between them.
fn groups(draft: &Draft, starts: &BTreeSet<usize>) -> Vec<Vec<usize>> {
    let mut out: Vec<Vec<usize>> = Vec::new();
    let start = |cue: usize| draft.cues[cue].start;
    for (&cue, _) in draft.sorted.asides.iter().filter(|(_, why)| **why != Aside::Back) {
        let joins = |run: &Vec<usize>| {
            let (Some(&first), Some(&last)) = (run.first(), run.last()) else { return false };
            let near = |from: usize, most: u32| match (start(from), start(cue)) {
                (Some(a), Some(b)) => b.saturating_sub(a) <= most,
                _ => false,
            };
            !draft.kind.by_line()
                && cue - last <= BETWEEN
                && near(last, SILENCE)
                && near(first, PLACE)
                && starts.range(last..=cue).next().is_none()
        };
        match out.last_mut().filter(|run| joins(run)) {
            Some(run) => run.push(cue),
            None => out.push(vec![cue]),
        }
    }
    out
}

/// What was said in some cues; `…` where others lie between.
fn talk(draft: &Draft, cues: &BTreeSet<usize>) -> String {
    let mut out = String::new();
    let mut last: Option<usize> = None;
    for &cue in cues {
        let text = draft.cues[cue].text.trim();
        if text.is_empty() {
            continue;
        }
        match last {
            None => {}
            Some(before) if (before + 1..cue).all(|c| draft.cues[c].text.trim().is_empty()) => out.push(' '),
            Some(_) => out.push_str(" … "),
        }
        out.push_str(text);
        last = Some(cue);
    }
    out
}

/// Names of parts in some cues, in order: those of the lists, then nouns behind an article that no list has.
fn heard(draft: &Draft, cues: &BTreeSet<usize>) -> Vec<String> {
    let (Some(&first), Some(&last)) = (cues.first(), cues.last()) else { return Vec::new() };
    let words: Vec<Token> = tokens(&draft.cues, first..last + 1)
        .into_iter()
        .filter(|t| (t.cues.0..=t.cues.1).any(|c| cues.contains(&c)))
        .collect();
    let mut found: Vec<String> = Vec::new();
    let mut taken = vec![false; words.len()];
    for spot in spots(&words) {
        taken[spot.from..spot.to].fill(true);
        match spot.what {
            What::Part(name) => found.push(name),
            What::Fastener { of, .. } if !of.is_empty() => found.push(of),
            _ => {}
        }
    }
    for at in 1..words.len() {
        if !ARTICLES.contains(&&*words[at - 1].text) {
            continue;
        }
        let unknown = |t: &Token| LISTS.noun(t) && !LISTS.words.verbs.contains_key(&t.text);
        let mut to = at;
        while to < words.len() && to < at + 3 && !taken[to] && unknown(&words[to]) {
            to += 1;
            if words[to - 1].stop != Stop::None {
                break;
            }
        }
        if to > at {
            found.push(words[at..to].iter().map(|t| &*t.text).collect::<Vec<_>>().join(" "));
        }
    }
    let mut out: Vec<String> = Vec::new();
    for name in found {
        if out.len() < NAMES && !LISTS.no_part(&name) && !out.contains(&name) {
            out.push(name);
        }
    }
    out
}
