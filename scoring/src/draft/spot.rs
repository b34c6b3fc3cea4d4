//! Trade words in a run of words: fasteners with their counts, drives, tools, parts. Word lists only.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

use super::count::{self, Count};
use super::drives::{drive_at, drives};
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
    fasteners: Vec<(Vec<&'static str>, &'static str, bool)>,
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
            && !matches!(w, "each" | "every" | "both" | "some" | "any" | "which" | "when" | "how" | "not" | "why" | "where" | "because" | "while" | "after" | "before" | "once")
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
    fasteners(tokens, &mut taken, &mut out);
    counted_drives(tokens, &mut taken, &mut out);
    parts(tokens, &mut taken, &mut out);
    out.sort_by_key(|s| s.from);
    told_closer(tokens, &mut out);
    out
}

/// "Bolted to the bracket with four screws": the verb tells of the screws that are counted behind it.
fn told_closer(tokens: &[Token], out: &mut Vec<Spot>) {
    let driven = |s: &Spot| matches!(&s.what, What::Fastener { name, .. } if crate::vocab::fastener(name).is_some_and(|w| w.driven));
    let counted: Vec<usize> = out
        .iter()
        .filter(|s| driven(s) && matches!(&s.what, What::Fastener { verb: false, count, .. } if count.said()))
        .map(|s| s.from)
        .collect();
    out.retain(|s| {
        let told = matches!(&s.what, What::Fastener { verb: true, .. }) && tokens[s.from].text.ends_with("ed");
        let closer = |at: &usize| {
            *at > s.to && at - s.to <= 8 && tokens[s.to..*at].iter().any(|t| matches!(&*t.text, "with" | "by"))
        };
        !(told && driven(s) && counted.iter().any(closer))
    });
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
            "no" | "not" | "without" | "zero" | "never" | "neither" | "nor" => no = true,
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
        if verb || of_name || device || in_name && tool == "hands" || !take(taken, at, to) {
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

fn fasteners(tokens: &[Token], taken: &mut [bool], out: &mut Vec<Spot>) {
    let solder = tokens.iter().any(|t| t.text.starts_with("solder") || t.text.starts_with("desolder"));
    let mut spent = Vec::new();
    for at in 0..tokens.len() {
        if taken[at] {
            continue;
        }
        if let Some(fastener) = LISTS.words.verbs.get(&tokens[at].text).filter(|f| *f != "none") {
            let Some(fastener) = crate::vocab::fastener(fastener) else { continue };
            // "It's unplugged of course": a state, not something done.
            // "It's been unplugged since yesterday" likewise.
            let been = usize::from(at > 2 && matches!(&*tokens[at - 1].text, "been" | "already"));
            let state = tokens[at].text.ends_with("ed")
                && at > 1 + been
                && (LISTS.words.be.contains(&tokens[at - 1 - been].text) || tokens[at - 1 - been].text == "has")
                && matches!(&*tokens[at - 2 - been].text, "it" | "this" | "that");
            let state = state || at > 0 && tokens[at - 1].text == "already" && tokens[at].text.ends_with("ed");
            // "Unplug everything" announces; what is unplugged is said behind it.
            let all = tokens.get(at + 1).is_some_and(|t| matches!(&*t.text, "everything" | "all"));
            // "The clipped corner": how something looks.
            if tokens[at].text.ends_with("ed") && at > 0 && ARTICLES.contains(&&*tokens[at - 1].text) {
                continue;
            }
            if (state || all) && fastener.name == "connector" {
                continue;
            }
            let one = fastener.name == "connector" && !plural_object(tokens, at);
            let count = match cables(tokens, at).filter(|_| fastener.name == "connector") {
                Some(n) => Count::Is(n),
                None if one => Count::Is(1),
                None => Count::Unknown,
            };
            let name = &*fastener.name;
            taken[at] = true;
            out.push(Spot {
                from: at,
                to: at + 1,
                what: What::Fastener { name, count, of: String::new(), verb: true },
                denied: denied(tokens, at),
            });
            continue;
        }
        let pins = solder && matches!(&*tokens[at].text, "pins" | "legs" | "joints");
        let found = LISTS.fasteners.iter().find(|(phrase, ..)| stands(tokens, at, phrase));
        let found = if pins { Some((1, "solder", false)) } else { found.map(|(p, f, one)| (p.len(), *f, *one)) };
        let Some((length, name, one)) = found else { continue };
        let to = at + length;
        let tool = matches!(
            tokens.get(to).map_or("", |t| &*t.text),
            "mat"
                | "tray"
                | "dish"
                | "bowl"
                | "driver"
                | "bit"
                | "bits"
                | "hole"
                | "holes"
                | "head"
                | "heads"
                | "post"
                | "posts"
                | "gun"
        );
        // "A two pin plug" has pins; none is pulled.
        let many = tokens[at].text == "pin" && at > 0 && tokens[at - 1].number.is_some_and(|n| n > 1);
        let pins = name == "pin"
            && (many || matches!(tokens.get(to).map_or("", |t| &*t.text), "plug" | "connector" | "header" | "socket"));
        let stopper = pins
            || name == "connector"
                && at > 0
                && matches!(&*tokens[at - 1].text, "rubber" | "silicone" | "plastic" | "drain" | "foam");
        if stopper || is_verb(tokens, at, to) || tool && tokens[to - 1].stop == Stop::None || !take(taken, at, to) {
            continue;
        }
        let (count, of, from) = count::before(tokens, at, taken, &spent);
        if count.said() && from < at {
            spent.push(from);
        }
        // "Speakers, two screws each": of how many things, nobody said.
        let apiece = count.said()
            && (to..to + 2).any(|i| tokens.get(i).is_some_and(|t| matches!(&*t.text, "each" | "apiece")))
            && tokens[to - 1].stop == Stop::None;
        let singular = !tokens[to - 1].text.ends_with('s');
        // "A screw on either side."
        let two = count == Count::Unsaid
            && singular
            && matches!(tokens.get(to).map_or("", |t| &*t.text), "on" | "at")
            && tokens.get(to + 1).zip(tokens.get(to + 2)).is_some_and(|(a, b)| {
                a.text == "either" && matches!(&*b.text, "side" | "end")
                    || a.text == "each" && b.text == "end"
                    || a.text == "both" && matches!(&*b.text, "sides" | "ends")
            });
        let count = if two { Count::Is(2) } else { count };
        // "Four bolts with a nut each": as many.
        let behind_each = (to..to + 1).any(|i| tokens.get(i).is_some_and(|t| t.text == "each"));
        let of_those = out.iter().rev().find_map(|s| match s.what {
            What::Fastener { count: Count::Is(n @ 2..), verb: false, .. } if s.to <= at && at - s.to <= 2 => Some(n),
            _ => None,
        });
        let count = match of_those.filter(|_| behind_each && singular) {
            Some(n) => Count::Is(n),
            None if apiece => Count::Unknown,
            None => count,
        };
        let each = at > 0 && matches!(&*tokens[at - 1].text, "each" | "every" | "per");
        // "They're pushed on" tells how, not how many.
        let state = name == "press fit" && matches!(&*tokens[to - 1].text, "on" | "in");
        let count = match count {
            Count::Unsaid if state => Count::Unsaid,
            Count::Unsaid if one && singular && !each => Count::Is(1),
            Count::Unsaid => count::behind(tokens, to),
            said => said,
        };
        out.push(Spot {
            from,
            to,
            what: What::Fastener { name, count, of, verb: false },
            denied: denied(tokens, from),
        });
    }
}

/// "One T8 in the middle", "4 PH0": a number before a drive counts screws.
fn counted_drives(tokens: &[Token], taken: &mut [bool], out: &mut Vec<Spot>) {
    let mut found = Vec::new();
    for spot in out.iter().filter(|s| matches!(s.what, What::Drive(_))) {
        let Some(mut at) = spot.from.checked_sub(1) else { continue };
        // "All three of them are T15."
        let word = |back: usize| at.checked_sub(back).map_or("", |i| &*tokens[i].text);
        let of = matches!(word(0), "are" | "'re") && matches!(word(1), "them" | "those" | "these") && word(2) == "of"
            || word(0) == "all" && matches!(word(1), "are" | "'re") && matches!(word(2), "them" | "those" | "these");
        if of && at >= 3 && tokens[at - 3].number.is_some_and(|n| n > 1) {
            at -= 3;
        }
        // "1 security torx T20."
        while at > 0 && LISTS.words.between.contains(&tokens[at].text) && tokens[at].number.is_none() && !of {
            at -= 1;
        }
        let named = out.iter().any(|s| {
            matches!(&s.what, What::Fastener { name, .. } if crate::vocab::fastener(name).is_some_and(|w| w.driven))
                && s.to > spot.to
                && s.to - spot.to <= 4
                && tokens[spot.to - 1..s.to - 1].iter().all(|t| t.text != "and" && t.stop == Stop::None)
        });
        let counts = tokens[at].stop == Stop::None && tokens[at].number.is_some_and(|n| (1..=40).contains(&n));
        if let (true, false, Some(n)) = (counts, named, tokens[at].number)
            && take(taken, at, at + 1)
        {
            let what = What::Fastener { name: "screw", count: Count::Is(n), of: String::new(), verb: false };
            found.push(Spot { from: at, to: at + 1, what, denied: denied(tokens, at) });
        }
    }
    out.extend(found);
}

/// "Unplug the drive, two cables": as many are pulled.
fn cables(tokens: &[Token], verb: usize) -> Option<u32> {
    let end = (verb + 8).min(tokens.len());
    let next_verb = (verb + 1..end).find(|i| LISTS.words.verbs.contains_key(&tokens[*i].text)).unwrap_or(end);
    let many = |w: &str| matches!(w, "cables" | "wires" | "leads" | "ribbons" | "antennas");
    // "There are two cables, both unplug."
    if verb > 0 && tokens[verb - 1].text == "both" {
        return Some(2);
    }
    // "Two wires unplugged."
    let behind = tokens[verb].text.ends_with("ed") && verb >= 2 && many(&tokens[verb - 1].text);
    if let Some(n) = tokens[verb.saturating_sub(2)].number.filter(|n| behind && (2..=40).contains(n)) {
        return Some(n);
    }
    (verb + 1..next_verb.saturating_sub(1))
        .find(|i| many(&tokens[i + 1].text) && tokens[*i].stop == Stop::None)
        .and_then(|i| tokens[i].number)
        .filter(|n| (2..=40).contains(n))
}

fn plural_object(tokens: &[Token], at: usize) -> bool {
    tokens
        .iter()
        .skip(at + 1)
        .take(3)
        .any(|t| matches!(&*t.text, "them" | "those" | "these" | "all" | "everything") || t.text.ends_with("cables"))
}

/// `screw it back`, `snaps on`, `plug that in`: the word is a verb here.
fn is_verb(tokens: &[Token], at: usize, to: usize) -> bool {
    let next = tokens.get(to).filter(|_| tokens[to - 1].stop == Stop::None).map_or("", |t| &*t.text);
    let before = at.checked_sub(1).map_or("", |i| &*tokens[i].text);
    // "Puts screws in afterwards": put in, not taken out.
    if matches!(before, "put" | "puts" | "putting" | "uses") {
        return true;
    }
    // "I snap a photo", "catch you later", "let me clip it".
    let bare = matches!(
        &*tokens[at].text,
        "screw" | "plug" | "clip" | "snap" | "pin" | "glue" | "bolt" | "catch" | "hook" | "tape" | "latch"
    );
    if bare
        && to == at + 1
        && (matches!(before, "i" | "you" | "we" | "they" | "to" | "'ll" | "me" | "us")
            || matches!(next, "you" | "me" | "a" | "my" | "your"))
    {
        return true;
    }
    // "There's a set screw in the hub."
    let apart = |back: usize| {
        at.checked_sub(back).is_some_and(|i| {
            tokens[i].stop == Stop::None && (matches!(&*tokens[i].text, "a" | "the" | "one") || tokens[i].number.is_some())
        })
    };
    if apart(2) && !LISTS.heads.contains(before) && !matches!(next, "it" | "them" | "that") {
        return false;
    }
    match &*tokens[at].text {
        "screw" | "plug" | "clip" | "snap" | "pin" | "glue" | "bolt" | "catch" | "hook" | "tape" => {
            matches!(next, "it" | "them" | "that" | "this" | "everything" | "back" | "in" | "into")
                && !matches!(
                    before,
                    "the" | "a" | "one" | "won" | "this" | "that" | "another" | "own" | "single" | "last" | "first"
                )
                || matches!(before, "to" | "will" | "'ll" | "can" | "and")
                    && matches!(next, "the" | "it" | "them" | "back")
        }
        "snaps" | "clips" | "hooks" | "catches" | "plugs" => {
            matches!(before, "one" | "it" | "that" | "and")
                || matches!(next, "on" | "in" | "into" | "back" | "off" | "together" | "onto" | "over")
        }
        _ => false,
    }
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
