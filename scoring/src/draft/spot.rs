//! Trade words in a run of words: fasteners with their counts, drives, tools, parts. Word lists only.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

use super::count::Count;
use super::drives::{drive_at, drives};
use super::joints;
use super::tokens::{Stop, Token};
use crate::vocab::spoken::{Spoken, spoken};

/// Something spotted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Spot {
    /// First word and one past the last.
    pub from: usize,
    /// One past the last word.
    pub to: usize,
    /// What it is.
    pub what: What,
    /// Said not to be there ("no clips").
    pub denied: bool,
}

/// What was spotted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum What {
    /// A fastener, how many, its drive where it stands beside it, and what it belongs to ("battery" of "battery plug").
    Fastener {
        /// Word of the vocabulary.
        name: &'static str,
        /// How many.
        count: Count,
        /// Whose.
        of: String,
        /// A verb says it ("unplug").
        verb: bool,
    },
    /// A drive with its size, or its everyday word without one.
    Drive(String),
    /// A tool of the vocabulary, or `hands`; °C where said.
    Tool(String),
    /// A part by the name it was given.
    Part(String),
}

/// Lists as sets and phrases, made once.
pub(super) struct Lists {
    pub(super) words: &'static Spoken,
    tools: Vec<(Vec<&'static str>, &'static str)>,
    pub(super) fasteners: Vec<(Vec<&'static str>, &'static str, bool)>,
    pub(super) heads: BTreeSet<&'static str>,
    pub(super) modifiers: BTreeSet<&'static str>,
    pub(super) looks: BTreeSet<&'static str>,
    no_parts: BTreeSet<&'static str>,
    pub(super) prepositions: BTreeSet<&'static str>,
    pub(super) starts: BTreeSet<&'static str>,
    /// Words that are never an unknown noun.
    common: BTreeSet<&'static str>,
}

fn set(list: &'static [String]) -> BTreeSet<&'static str> {
    list.iter().map(String::as_str).collect()
}

pub(super) static LISTS: LazyLock<Lists> = LazyLock::new(|| {
    let words = spoken();
    let longest = |a: usize| std::cmp::Reverse(a);
    let phrases = |s: &'static String| s.split(' ').collect::<Vec<_>>();
    let mut tools: Vec<_> =
        words.tools.iter().flat_map(|(t, said)| said.iter().map(move |s| (phrases(s), t.as_str()))).collect();
    tools.sort_by_key(|(p, _)| longest(p.len()));
    let mut fasteners: Vec<_> =
        words.fasteners.iter().flat_map(|(f, w)| w.said.iter().map(move |s| (phrases(s), f.as_str(), w.one))).collect();
    fasteners.sort_by_key(|(p, ..)| longest(p.len()));
    let mut common = BTreeSet::new();
    for list in [
        &words.starts,
        &words.prepositions,
        &words.removing_verbs,
        &words.removing_alone,
        &words.removing_ends,
        &words.be,
        &words.would,
        &words.between,
        &words.uncounted,
        &words.no_parts,
        &words.tried,
        &words.again,
    ] {
        common.extend(list.iter().flat_map(|s| s.split(' ')));
    }
    Lists {
        heads: set(&words.heads),
        modifiers: set(&words.modifiers),
        looks: set(&words.looks),
        no_parts: set(&words.no_parts),
        prepositions: set(&words.prepositions),
        starts: set(&words.starts),
        words,
        tools,
        fasteners,
        common,
    }
});

impl Lists {
    /// Whether a word has its place in talk and is never an unknown noun.
    pub(super) fn common(&self, word: &str) -> bool {
        self.common.contains(word)
    }

    /// Whether a word may be a noun that no list has.
    pub(super) fn noun(&self, token: &Token) -> bool {
        let w = &*token.text;
        w.len() > 2
            && w.bytes().all(|b| b.is_ascii_alphabetic())
            && token.number.is_none()
            && !w.ends_with("ing")
            && !matches!(
                w,
                "each"
                    | "every"
                    | "both"
                    | "some"
                    | "any"
                    | "which"
                    | "when"
                    | "how"
                    | "not"
                    | "why"
                    | "where"
                    | "because"
                    | "while"
                    | "after"
                    | "before"
                    | "once"
            )
            && !self.heads.contains(w)
            && !self.common(w)
    }

    /// Whether a name is never that of a part.
    pub(super) fn no_part(&self, name: &str) -> bool {
        self.no_parts.contains(name) || self.looks.contains(name)
    }
}

pub(super) const ARTICLES: [&str; 12] =
    ["the", "a", "an", "this", "that", "these", "those", "my", "its", "your", "our", "another"];

/// Whether a phrase stands at a place, no sentence ending inside it.
pub(super) fn stands(tokens: &[Token], at: usize, phrase: &[&str]) -> bool {
    at + phrase.len() <= tokens.len()
        && tokens[at..at + phrase.len()].iter().zip(phrase).all(|(t, p)| t.text == *p)
        && tokens[at..at + phrase.len() - 1].iter().all(|t| matches!(t.stop, Stop::None | Stop::Pause))
}

/// Whether any word of the trade stands in some words, however it is meant: as a verb, denied, or alone.
pub fn trade(tokens: &[Token]) -> bool {
    (0..tokens.len()).any(|at| {
        LISTS.heads.contains(&*tokens[at].text)
            || LISTS.words.verbs.contains_key(&tokens[at].text)
            || LISTS.fasteners.iter().any(|(p, ..)| stands(tokens, at, p))
            || LISTS.tools.iter().any(|(p, _)| stands(tokens, at, p))
            || drive_at(tokens, at).is_some()
    })
}

/// Everything spotted, in order of place; no word belongs to two.
pub fn spots(tokens: &[Token]) -> Vec<Spot> {
    let mut taken = vec![false; tokens.len()];
    let mut out = Vec::new();
    let named = part_runs(tokens);
    drives(tokens, &mut taken, &mut out);
    let by_start: BTreeMap<usize, usize> = named.iter().copied().collect();
    tools(tokens, &by_start, &mut taken, &mut out);
    joints::fasteners(tokens, &mut taken, &mut out);
    joints::counted_drives(tokens, &mut taken, &mut out);
    parts(tokens, &mut taken, &mut out);
    out.sort_by_key(|s| s.from);
    joints::told_closer(tokens, &mut out);
    out
}

pub(super) fn take(taken: &mut [bool], from: usize, to: usize) -> bool {
    let free = !taken[from..to].contains(&true);
    if free {
        taken[from..to].fill(true);
    }
    free
}

/// Whether one of the few words before a place says no.
pub(super) fn denied(tokens: &[Token], at: usize) -> bool {
    let from = at.saturating_sub(4);
    let mut no = false;
    for (i, token) in tokens.iter().enumerate().take(at).skip(from) {
        let next = tokens.get(i + 1);
        let counts = |t: &Token| t.number.is_some();
        // "Four, no, five screws", "T8, no, sorry, T10": something is put right.
        let corrects = token.text == "no"
            && (i > 0 && next.is_some_and(counts) && counts(&tokens[i - 1])
                || next.is_some_and(|t| matches!(&*t.text, "sorry" | "wait" | "hang" | "actually")));
        match &*token.text {
            "no" if corrects => no = false,
            "no" | "not" | "without" | "zero" | "never" | "neither" | "nor" | "expecting" | "expected" => no = true,
            "only" | "just" | "but" | "and" | "so" => no = false,
            _ => {}
        }
        // "No, wait" and "no." say no to something else.
        if token.stop != Stop::None {
            no = false;
        }
    }
    no
}

fn tools(tokens: &[Token], named: &BTreeMap<usize, usize>, taken: &mut [bool], out: &mut Vec<Spot>) {
    for at in 0..tokens.len() {
        let found = LISTS.tools.iter().find(|(phrase, _)| stands(tokens, at, phrase));
        let beside = || {
            let near = |w: &str| {
                tokens[at.saturating_sub(12)..(at + 12).min(tokens.len())].iter().any(|t| t.text.starts_with(w))
            };
            let with = at > 0 && matches!(&*tokens[at - 1].text, "a" | "the" | "with" | "my" | "hot");
            LISTS
                .words
                .tools_beside
                .iter()
                .find(|b| with && tokens[at].text == b.said && near(&b.beside))
                .map(|b| (1, &*b.tool))
        };
        let Some((length, tool)) = found.map(|(p, t)| (p.len(), *t)).or_else(beside) else { continue };
        let to = at + length;
        let next = tokens.get(to).map_or("", |t| &*t.text);
        let before = at.checked_sub(1).map_or("", |i| &*tokens[i].text);
        let ended = tokens[to - 1].stop != Stop::None;
        let verb =
            tool == "opening pick" && length == 1 && !ended && matches!(next, "up" | "it" | "one" | "that" | "them")
                || tool == "hands" && matches!(before, "my" | "your") && at > 1 && tokens[at - 2].text == "in"
                || tool == "punch" && !matches!(before, "a" | "the" | "with");
        // "thumb caps", "pick and place unit": a word of a part's name is no tool.
        let in_name = named.iter().any(|(from, end)| *from <= at && to <= *end && end - from > length);
        // "The drill body", "a cordless drill": of a device, not in a hand.
        let of_name = length == 1
            && !ended
            && LISTS.heads.contains(next)
            && !matches!(next, "bit" | "driver" | "head" | "blade" | "handle")
            && ARTICLES.contains(&before);
        let device =
            tool == "drill" && matches!(before, "cordless" | "electric" | "power" | "impact" | "little" | "small");
        // "Today's victim is a hair dryer": what is on the bench.
        let back = |n: usize| at.checked_sub(n).map_or("", |i| &*tokens[i].text);
        let is_one = matches!(back(1), "a" | "an") && matches!(back(2), "is" | "'s" | "was");
        if verb || of_name || device || is_one || in_name && tool == "hands" || !take(taken, at, to) {
            continue;
        }
        let degrees = setting(tokens, at, to).filter(|_| crate::vocab::tool(tool).is_some_and(|t| t.heat));
        let name = degrees.map_or_else(|| tool.to_owned(), |d| format!("{tool} {d} °C"));
        let said_no = tool != "hands" && denied(tokens, at);
        out.push(Spot { from: at, to, what: What::Tool(name), denied: said_no });
    }
}

/// `340 degrees` close behind a tool.
fn setting(tokens: &[Token], from: usize, to: usize) -> Option<u32> {
    let end = (to + 5).min(tokens.len());
    let near = (to..end).chain(from.saturating_sub(5)..from);
    near.into_iter().find_map(|i| {
        let unit = tokens.get(i + 1).map(|t| &*t.text)?;
        let value = tokens[i].number.or_else(|| tokens[i].text.strip_suffix('c').and_then(|n| n.parse().ok()))?;
        (matches!(unit, "degrees" | "degree" | "celsius" | "c") && (20..=600).contains(&value)).then_some(value)
    })
}

/// Runs of words that could name a part: from, to.
fn part_runs(tokens: &[Token]) -> Vec<(usize, usize)> {
    let mut out = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        let mut end = at;
        let mut head = None;
        while end < tokens.len() {
            let word = &*tokens[end].text;
            // A driver is a tool, but "the led driver" is a part.
            let feeds = end > at
                && matches!(
                    &*tokens[end - 1].text,
                    "led" | "motor" | "backlight" | "lamp" | "speaker" | "left" | "right" | "bass"
                );
            let is_head = LISTS.heads.contains(word) || word == "driver" && feeds;
            // "… unplug the battery / battery plug": said twice, two names.
            if end > at && tokens[end - 1].text == word && is_head {
                break;
            }
            // "The grille hinges away": a verb.
            let verb = end > at
                && LISTS.words.removing_verbs.iter().any(|v| v == word)
                && tokens.get(end + 1).is_some_and(|t| t.text == "up" || LISTS.words.removing_ends.contains(&t.text));
            if verb {
                break;
            }
            // "Free at last": no last one of its kind.
            let at_last = word == "last" && end > 0 && tokens[end - 1].text == "at";
            if at_last || !is_head && !LISTS.modifiers.contains(word) && !LISTS.looks.contains(word) {
                break;
            }
            end += 1;
            if is_head {
                head = Some(end);
            }
            if tokens[end - 1].stop != Stop::None {
                break;
            }
        }
        match head {
            Some(to) => {
                out.push((at, to));
                at = to;
            }
            None => at = end.max(at + 1),
        }
    }
    out
}

fn parts(tokens: &[Token], taken: &mut [bool], out: &mut Vec<Spot>) {
    for (mut from, to) in part_runs(tokens) {
        // Words taken by a fastener or tool in front are not part of the name.
        while from < to && taken[from] {
            from += 1;
        }
        if from >= to || taken[from..to].contains(&true) {
            continue;
        }
        let word = |i: usize| tokens.get(i).map_or("", |t| &*t.text);
        let before = from.checked_sub(1).map_or("", word);
        if matches!((before, word(from)), ("any" | "in" | "just in" | "this", "case")) && to - from == 1 {
            continue;
        }
        // "A ring of clips", "a strip of tape".
        if to - from == 1
            && word(to) == "of"
            && tokens[to - 1].stop == Stop::None
            && matches!(word(from), "ring" | "strip" | "band" | "bar" | "pack" | "pair" | "half" | "rack" | "base")
        {
            continue;
        }
        // "First strip comes out": of tape, not of lights.
        let strip = matches!(word(to - 1), "strip" | "strips")
            && (from..to - 1)
                .all(|i| matches!(word(i), "first" | "second" | "third" | "last" | "other" | "left" | "right"));
        if strip {
            continue;
        }
        // "Brush them out", "lever it up": verbs.
        let object = tokens[to - 1].stop == Stop::None && matches!(word(to), "them" | "it" | "those" | "these");
        let verb = matches!(
            word(from),
            "brush" | "lever" | "drive" | "cap" | "clamp" | "tap" | "head" | "label" | "slot" | "seal"
        );
        if to - from == 1 && object && verb && !ARTICLES.contains(&before) {
            continue;
        }
        // "The heads would strip", "it drives": verbs.
        if to - from == 1
            && matches!(
                before,
                "i" | "you"
                    | "we"
                    | "they"
                    | "to"
                    | "it"
                    | "not"
                    | "will"
                    | "'ll"
                    | "can"
                    | "could"
                    | "would"
                    | "should"
                    | "'d"
                    | "'m"
                    | "head"
            )
        {
            continue;
        }
        // "the kick plate": one word nobody listed, between an article and the head.
        if from >= 2 && !taken[from - 1] && tokens[from - 1].stop == Stop::None {
            let unknown = word(from - 1);
            // "The swing gear": behind an article even a verb is a name.
            let noun = unknown.len() > 2
                && unknown.bytes().all(|b| b.is_ascii_alphabetic())
                && (!LISTS.common.contains(unknown) || LISTS.words.removing_verbs.iter().any(|v| v == unknown));
            if noun && tokens[from - 1].number.is_none() && ARTICLES.contains(&word(from - 2)) {
                from -= 1;
            }
        }
        // "Brake lever's the same", "contact boards underneath": the subject that a sentence begins with.
        let subject = LISTS.words.be.iter().any(|b| b == word(to))
            || to == tokens.len()
            || matches!(word(to), "underneath" | "next" | "now" | "first" | "behind" | "itself");
        if from >= 1
            && !taken[from - 1]
            && tokens[from - 1].stop == Stop::None
            && subject
            && LISTS.noun(&tokens[from - 1])
            && !LISTS.words.verbs.contains_key(word(from - 1))
            && tokens[..from - 1].iter().all(|t| LISTS.starts.contains(&*t.text))
            && !LISTS.no_part(word(from - 1))
        {
            from -= 1;
        }
        let mut start = from;
        while start + 1 < to && LISTS.looks.contains(word(start)) {
            start += 1;
        }
        let name = tokens[start..to].iter().map(|t| &*t.text).collect::<Vec<_>>().join(" ");
        if LISTS.no_part(&name) || !take(taken, start, to) {
            continue;
        }
        let no = denied(tokens, start);
        out.push(Spot { from: start, to, what: What::Part(name), denied: no });
    }
    sides(tokens, taken, out);
    others(tokens, taken, out);
}

/// "The right one" after "the left motor": the other of two. The name is filled in where the first is known.
fn others(tokens: &[Token], taken: &mut [bool], out: &mut Vec<Spot>) {
    for at in 1..tokens.len() {
        let side = matches!(
            &*tokens[at - 1].text,
            "left" | "right" | "other" | "front" | "back" | "rear" | "upper" | "lower" | "top" | "bottom"
        );
        if side && tokens[at].text == "one" && tokens[at - 1].stop == Stop::None && take(taken, at - 1, at + 1) {
            out.push(Spot {
                from: at - 1,
                to: at + 1,
                what: What::Part(format!("{} one", tokens[at - 1].text)),
                denied: false,
            });
        }
    }
}

/// "The back should come off", "the bottom lifts off": a side of the device that is a part.
fn sides(tokens: &[Token], taken: &mut [bool], out: &mut Vec<Spot>) {
    for at in 1..tokens.len().saturating_sub(1) {
        let side = matches!(&*tokens[at].text, "back" | "bottom" | "top" | "front" | "rear");
        let next = &*tokens[at + 1].text;
        let verb = matches!(next, "should" | "comes" | "come" | "lifts" | "pops" | "slides" | "just" | "off" | "now")
            || LISTS.words.be.iter().any(|b| b == next);
        let article = matches!(&*tokens[at - 1].text, "the" | "this" | "whole");
        let goes = tokens[at + 1..(at + 5).min(tokens.len())]
            .iter()
            .any(|t| matches!(&*t.text, "off" | "out" | "away" | "free" | "up"));
        if side && verb && goes && article && tokens[at].stop == Stop::None && take(taken, at, at + 1) {
            out.push(Spot { from: at, to: at + 1, what: What::Part(tokens[at].text.clone()), denied: false });
        }
    }
}
