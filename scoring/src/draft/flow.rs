//! Sentences of running talk whose captions break at a width and not where anything ends: found by the words alone.

use super::clean::Cue;
use super::spot::{ARTICLES, LISTS};
use super::tokens::Token;

/// Pairs of cues below which nothing can be told of a width.
const PAIRS: usize = 12;
/// Milliseconds between cues that follow one another without a pause.
const JOINED: u32 = 300;

/// A pause between two cues of running talk that ends a sentence, milliseconds.
pub(super) const BREATH: u32 = 500;

/// The length of line that most keep to.
fn width(cues: &[Cue]) -> Option<usize> {
    let mut lengths: Vec<usize> = cues.iter().map(|c| c.text.chars().count()).filter(|n| *n > 0).collect();
    lengths.sort_unstable();
    // One in ten may be longer: captions of a stranger's program have their own reasons.
    lengths.get(lengths.len() * 9 / 10).copied()
}

/// For each cue, whether it ends only because the next word, said without a pause, would not have fitted.
pub fn broken(cues: &[Cue]) -> Vec<bool> {
    let width = width(cues).unwrap_or(usize::MAX);
    // Whether it goes on without a pause; and then, whether the next word would have been too much.
    let ends = |i: usize| {
        let (cue, next) = (&cues[i], cues.get(i + 1)?);
        let word = next.text.split_whitespace().next().filter(|_| !cue.text.is_empty() && !next.turn)?;
        let joined = next.start? <= cue.end?.saturating_add(JOINED);
        joined.then(|| cue.text.chars().count() + 1 + word.chars().count() > width)
    };
    let all: Vec<Option<bool>> = (0..cues.len()).map(ends).collect();
    let (joined, full) = (all.iter().flatten().count(), all.iter().flatten().filter(|f| **f).count());
    // Where most cues that go on without a pause are not full, they end for another reason.
    all.iter().map(|f| *f == Some(true) && full * 4 >= joined * 3).collect()
}

/// Whether lines are filled to a width: three of four cues end only because the next word would not have fitted.
pub fn wrapped(cues: &[Cue]) -> bool {
    let Some(width) = width(cues) else { return false };
    let (mut pairs, mut full) = (0, 0);
    for pair in cues.windows(2) {
        let (Some(end), Some(start)) = (pair[0].end, pair[1].start) else { continue };
        let (Some(word), false) = (pair[1].text.split_whitespace().next(), pair[0].text.is_empty()) else { continue };
        if start <= end.saturating_add(JOINED) {
            pairs += 1;
            full += usize::from(pair[0].text.chars().count() + 1 + word.chars().count() > width);
        }
    }
    pairs >= PAIRS && full * 4 >= pairs * 3
}

/// What may stand between the words of running talk and a beginning: a word that leaves something open can't end a sentence.
fn open(word: &str) -> bool {
    ARTICLES.contains(&word)
        || LISTS.looks.contains(word)
        || LISTS.words.be.iter().any(|b| b == word)
        || LISTS.prepositions.contains(word) && !ends(word) && !matches!(word, "in" | "on" | "over" | "by" | "inside")
        || matches!(
            word,
            "and"
                | "or"
                | "but"
                | "if"
                | "because"
                | "when"
                | "while"
                | "which"
                | "who"
                | "what"
                | "where"
                | "how"
                | "why"
                | "that"
                | "so"
                | "just"
                | "not"
                | "no"
                | "to"
                | "will"
                | "'ll"
                | "can"
                | "could"
                | "would"
                | "'d"
                | "should"
                | "'m"
                | "'ve"
                | "have"
                | "has"
                | "had"
                | "got"
                | "get"
                | "going"
                | "i"
                | "you"
                | "we"
                | "they"
                | "he"
                | "she"
                | "let"
                | "us"
                | "think"
                | "know"
                | "knew"
                | "say"
                | "see"
                | "like"
                | "until"
                | "before"
                | "after"
                | "once"
                | "as"
                | "than"
                | "then"
                | "next"
                | "now"
                | "very"
                | "both"
                | "each"
                | "only"
                | "last"
        )
}

fn ends(word: &str) -> bool {
    LISTS.words.removing_ends.iter().any(|e| e == word) || matches!(word, "up" | "down" | "done")
}

fn be(word: &str) -> bool {
    LISTS.words.be.iter().any(|b| b == word) || matches!(word, "has" | "have" | "had" | "'ve" | "'d")
}

/// Verbs that tell somebody what to do, and the object that must follow.
fn imperative(word: &str) -> bool {
    matches!(
        word,
        "unplug"
            | "disconnect"
            | "undo"
            | "unscrew"
            | "remove"
            | "unclip"
            | "unhook"
            | "desolder"
            | "peel"
            | "lift"
            | "take"
            | "pull"
            | "flip"
            | "pop"
            | "slide"
    )
}

/// One past the name of a part that starts at a place, its article and describing words among it.
fn name(tokens: &[Token], at: usize) -> Option<usize> {
    let word = |i: usize| tokens.get(i).map_or("", |t| &*t.text);
    let mut end = at;
    while ARTICLES.contains(&word(end)) && end < at + 2 {
        end += 1;
    }
    let from = end;
    while end < from + 5
        && (LISTS.looks.contains(word(end)) || LISTS.modifiers.contains(word(end)) || LISTS.heads.contains(word(end)))
    {
        end += 1;
    }
    (end > from && LISTS.heads.contains(word(end - 1))).then_some(end)
}

/// Whether a sentence begins at a word of running talk.
pub fn begins(tokens: &[Token], at: usize) -> bool {
    if at == 0 {
        return true;
    }
    let word = |i: usize| tokens.get(i).map_or("", |t| &*t.text);
    let before = word(at - 1);
    let (this, next) = (word(at), word(at + 1));
    match this {
        "yep" | "yup" => return !matches!(before, "and" | "oh" | "but"),
        "okay" | "ok" | "oh" | "alright" | "anyway" | "meanwhile" => return true,
        "so" => {
            return !matches!(
                before,
                "and"
                    | "or"
                    | "just"
                    | "if"
                    | "not"
                    | "is"
                    | "'s"
                    | "it"
                    | "was"
                    | "why"
                    | "do"
                    | "okay"
                    | "ok"
                    | "alright"
                    | "oh"
            ) && !matches!(next, "that" | "much" | "many" | "far" | "on" | "hot" | "annoying");
        }
        "now" => {
            return !matches!(before, "and" | "right" | "by" | "until" | "but" | "so" | "okay" | "ok") && !open(before);
        }
        "then" => return !matches!(before, "and" | "but" | "so" | "since" | "now") && !open(before),
        "next" => {
            return !matches!(before, "the" | "and" | "so" | "right" | "this" | "that" | "'s" | "is" | "are")
                && next != "to";
        }
        "but" => return true,
        "and" => {
            if matches!(
                next,
                "yep"
                    | "yeah"
                    | "look"
                    | "underneath"
                    | "here"
                    | "then"
                    | "now"
                    | "i"
                    | "you"
                    | "we"
                    | "there"
                    | "that"
                    | "it"
                    | "they"
                    | "he"
                    | "she"
            ) {
                return true;
            }
            // "And the board comes up", but not "the motor and the gearbox".
            // "… and the speaker itself has two screws".
            let told = |end: usize| matches!(word(end), "itself" | "has");
            return name(tokens, at + 1).is_some_and(|end| be(word(end)) || removes(tokens, end) || told(end));
        }
        _ => {}
    }
    let at_last = before == "last" && at > 1 && word(at - 2) == "at";
    // "Flip up the bar", "lift off the cover": the object follows.
    let object = ends(before) && at > 1 && imperative(word(at - 2));
    if object
        || matches!(
            before,
            "press"
                | "hold"
                | "squeeze"
                | "push"
                | "pinch"
                | "find"
                | "grab"
                | "want"
                | "check"
                | "use"
                | "need"
                | "open"
                | "watch"
        )
    {
        return false;
    }
    if matches!(before, "and" | "but") || open(before) && !at_last && !closes(tokens, at) {
        return false;
    }
    let settled = LISTS.heads.contains(before)
        || ends(before)
        || tokens[at - 1].number.is_some()
        || LISTS.words.fasteners.values().any(|f| f.said.iter().any(|s| s == before))
        || matches!(
            before,
            "it" | "that" | "them" | "those" | "first" | "there" | "now" | "again" | "way" | "side" | "easy" | "fine"
        );
    // "And up / it comes."
    if matches!(before, "up" | "out" | "off" | "away")
        && matches!(this, "it" | "she" | "they")
        && at > 1
        && matches!(word(at - 2), "and" | "so" | "then" | "now")
    {
        return false;
    }
    match this {
        "there" | "it" | "that" | "these" | "they" | "this" if be(next) => {
            settled || !LISTS.prepositions.contains(before)
        }
        "i" | "you" | "we" => {
            settled
                && (be(next)
                    || matches!(
                        next,
                        "'m" | "'ll" | "just" | "can" | "do" | "pull" | "take" | "lift" | "need" | "want" | "know"
                    ))
        }
        "it" | "that" => ends(before) || settled && removes(tokens, at + 1),
        // "… first disconnect the power board": of what is told to be done, something follows that is named.
        w if imperative(w) => {
            let object = name(tokens, at + 1).is_some();
            let to = matches!(before, "to" | "i" | "you" | "we" | "just" | "'ll" | "can" | "will" | "also" | "then");
            object && !to
        }
        _ => {
            let Some(end) = name(tokens, at) else { return false };
            // "On two hinges": a number and what it counts.
            // "A six cell pack": inside a name.
            let many = word(end - 1).ends_with('s') && !ARTICLES.contains(&this);
            let inside = at > 1 && ARTICLES.contains(&word(at - 2)) && !ARTICLES.contains(&this);
            if tokens[at - 1].number.is_some() && (many || inside) || inside && LISTS.noun(&tokens[at - 1]) {
                return false;
            }
            // "A set screw in / the counterweight".
            let screwed = |w: &str| LISTS.words.fasteners.values().any(|f| f.said.iter().any(|s| s == w));
            if at > 1 && matches!(before, "in" | "on" | "inside") && screwed(word(at - 2)) {
                return false;
            }
            // Inside a longer name, or behind what it is the object of.
            if before_is_name(tokens, at)
                || imperative(before)
                || LISTS.words.removing_verbs.iter().any(|v| v == before)
            {
                return false;
            }
            // "Power board, four screws."
            let counted = tokens.get(end).is_some_and(|t| t.number.is_some())
                && (end + 1..end + 3).any(|i| matches!(word(i), "screw" | "screws" | "bolts" | "clips" | "nuts"));
            // "The fuse, it's clipped to the frame."
            // "Pull the plug off the board, it had some glue on it": a place.
            let apart = matches!(word(end), "it" | "they" | "that") && be(word(end + 1)) && before != "off";
            let turns = counted || apart || matches!(word(end), "itself" | "next" | "first" | "though");
            be(word(end))
                || turns
                || removes(tokens, end)
                || ends(before) && before != "off" && settled
                || tokens[end.min(tokens.len() - 1)].number.is_some() && settled
        }
    }
}

/// Whether the word before a place goes on into the name there: "hard / drive", "inverter / board".
fn before_is_name(tokens: &[Token], at: usize) -> bool {
    let before = &*tokens[at - 1].text;
    let article = ARTICLES.contains(&&*tokens[at].text);
    let last = before == "last" && at > 1 && tokens[at - 2].text == "at";
    !article && !last && (LISTS.modifiers.contains(before) || LISTS.heads.contains(before)) && !ends(before)
}

/// A verb of coming off, and the little word that ends it close behind.
fn removes(tokens: &[Token], at: usize) -> bool {
    let word = |i: usize| tokens.get(i).map_or("", |t| &*t.text);
    let from = at + usize::from(matches!(word(at), "just" | "now" | "then" | "both" | "finally"));
    ends(word(from)) && !matches!(word(from), "up" | "down")
        || LISTS.words.removing_verbs.iter().any(|v| v == word(from)) && (from + 1..from + 4).any(|i| ends(word(i)))
}

/// "It's off / the panel …": the little word that ends a removal is followed by something new, unless it goes on with a place.
fn closes(tokens: &[Token], at: usize) -> bool {
    let word = |i: usize| tokens.get(i).map_or("", |t| &*t.text);
    let place = matches!(word(at), "the" | "its" | "this")
        && matches!(
            word(at + 1),
            "back" | "front" | "side" | "bottom" | "top" | "way" | "board" | "frame" | "shaft" | "case"
        );
    ends(word(at - 1)) && !place
}
