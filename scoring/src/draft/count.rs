//! How many: the number that belongs to a fastener.

use super::spot::LISTS;
use super::tokens::{Stop, Token};

/// How many, as far as it was said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Count {
    /// Nothing was said.
    Unsaid,
    /// "Some", "a few", a plural alone.
    Unknown,
    /// A number.
    Is(u32),
    /// "Five, maybe six".
    Between(u32, u32),
}

impl Count {
    /// As a record writes it, `unknown` where it isn't a number.
    pub fn written(self) -> Option<String> {
        match self {
            Self::Unsaid | Self::Unknown => None,
            Self::Is(n) => Some(n.to_string()),
            Self::Between(a, b) => Some(format!("{a}..{b}")),
        }
    }

    /// Whether a number was said.
    pub fn said(self) -> bool {
        matches!(self, Self::Is(_) | Self::Between(..))
    }
}

/// Largest number taken for a count of fasteners.
const MOST: u32 = 99;
/// How many words may stand between a number and its fastener.
const APART: usize = 5;

/// The count before a fastener at a place, the words between that say whose it is, and where the count starts.
pub(super) fn before(tokens: &[Token], at: usize, taken: &[bool], spent: &[usize]) -> (Count, String, usize) {
    let mut of: Vec<&str> = Vec::new();
    let mut i = at;
    while i > 0 && at - i < APART && !ends(&tokens[i - 1]) {
        let token = &tokens[i - 1];
        let word = &*token.text;
        // "2 screws, tape": the number counts the screws.
        // "5 x PH1, standoff": so does that one.
        let other = i > 1 && taken[i - 1] && token.stop == Stop::Pause && tokens[i - 2].number.is_some();
        if spent.contains(&(i - 1)) || other {
            break;
        }
        if let Some(n) = token.number.filter(|n| (1..=MOST).contains(n)) {
            // "PH1 screw" spells its number with the drive; "number one" and "step one" count nothing.
            if taken[i - 1] {
                i -= 1;
                continue;
            }
            // "That's one clip, two": told off one by one.
            let tally = n == 1 && tokens.get(at + 1).is_some_and(|t| t.number == Some(2));
            return (if tally { Count::Unsaid } else { several(tokens, i - 1, n) }, joined(of), i - 1);
        }
        if let Some(n) = LISTS.words.misheard_numbers.get(word).filter(|_| misheard(tokens, i - 1, at)) {
            return (Count::Is(*n), joined(of), i - 1);
        }
        if let Some(n) = LISTS.words.counts.get(word) {
            let half = i > 1 && tokens[i - 2].text == "half"
                || i > 2 && tokens[i - 2].text == "a" && tokens[i - 3].text == "half";
            return (Count::Is(if half { n / 2 } else { *n }), joined(of), i - 1);
        }
        if LISTS.words.uncounted.iter().any(|w| w == word) {
            return (Count::Unknown, joined(of), at);
        }
        if matches!(
            word,
            "fifth"
                | "sixth"
                | "fourth"
                | "third"
                | "second"
                | "first"
                | "last"
                | "another"
                | "only"
                | "same"
                | "single"
                | "central"
        ) {
            return (if tokens[at].text.ends_with('s') { Count::Unknown } else { Count::Is(1) }, joined(of), at);
        }
        let name = LISTS.modifiers.contains(word) || LISTS.heads.contains(word);
        // "Two M3 screws", "3 bullet plugs": a thread, or one word no list has, right behind the number.
        let thread = word.len() > 1 && word.starts_with('m') && word[1..].bytes().all(|b| b.is_ascii_digit());
        let numbered = i == at
            && tokens[at].text.ends_with('s')
            && i > 1
            && tokens[i - 2].number.is_some_and(|n| n > 1)
            && !spent.contains(&(i - 2))
            && !taken[i - 2];
        let apart = token.stop != Stop::None || i > 1 && tokens[i - 2].stop != Stop::None;
        let unlisted = numbered && !apart && !name && LISTS.noun(token) && !unit(word);
        if thread || unlisted || taken[i - 1] || LISTS.words.between.iter().any(|w| w == word) {
            i -= 1;
        } else if name && of.len() < 3 {
            of.push(word);
            i -= 1;
        } else {
            break;
        }
    }
    (Count::Unsaid, joined(of), at)
}

fn joined(mut of: Vec<&str>) -> String {
    of.reverse();
    of.join(" ")
}

fn ends(token: &Token) -> bool {
    matches!(token.stop, Stop::End | Stop::Question)
}

/// A word captions wrote for a number: directly before the fastener or its describing words, and the fastener plural
/// (or "one").
fn misheard(tokens: &[Token], at: usize, fastener: usize) -> bool {
    let plural = tokens[fastener].text.ends_with('s');
    let article = at > 0
        && matches!(
            &*tokens[at - 1].text,
            "look" | "looking" | "use" | "used" | "except" | "made" | "hole" | "holes" | "watch" | "tool" | "bit"
        );
    let described = tokens[at + 1..fastener].iter().all(|t| {
        LISTS.words.between.contains(&t.text) && !matches!(&*t.text, "the" | "these" | "those" | "them" | "of")
    });
    // "Too many screws", "won the screw" are what they seem.
    described && !article && (plural != (tokens[at].text == "won"))
}

/// "Five or six", "five, maybe six": a span, read backwards from its last number.
fn several(tokens: &[Token], last: usize, n: u32) -> Count {
    let mut i = last;
    let mut joint = false;
    while i > 0 && last - i < 4 && !ends(&tokens[i - 1]) {
        let token = &tokens[i - 1];
        match &*token.text {
            "or" | "to" | "maybe" | "perhaps" | "possibly" => joint = true,
            _ => match token.number.filter(|m| joint && *m < n && (1..=MOST).contains(m)) {
                Some(m) => return Count::Between(m, n),
                None => break,
            },
        }
        i -= 1;
    }
    Count::Is(n)
}

/// How many words behind a plural are looked at for "…, six of them".
const BEHIND: usize = 14;

/// A count said right behind a plural fastener: "screws. Four, five, six. Six.", "clips, five of them".
pub(super) fn behind(tokens: &[Token], at: usize) -> Count {
    let mut numbers: Vec<(usize, u32)> = Vec::new();
    if at > 0 && ends(&tokens[at - 1]) {
        return Count::Unknown;
    }
    for (i, token) in tokens.iter().enumerate().skip(at).take(BEHIND) {
        match token.number.filter(|n| (1..=MOST).contains(n)) {
            Some(n) if tokens.get(i + 1).is_none_or(|t| !unit(&t.text)) => numbers.push((i, n)),
            Some(_) => break,
            None if filler(&token.text) => {}
            None => break,
        }
        if ends(token) {
            break;
        }
    }
    match numbers.last() {
        // "One in each corner" counts nothing; a lone "one" is a pointing word.
        Some(&(_, 1)) | None => Count::Unknown,
        Some(&(i, n)) => match several(tokens, i, n) {
            Count::Between(a, b) => Count::Between(a, b),
            _ => Count::Is(n),
        },
    }
}

/// Talk that is only numbers and small words counts what was named before it: "Four, five, six. Six.", "that was nine or ten".
/// A lone "one" points, and "one and two" in passing is a tally.
pub(super) fn alone(tokens: &[Token]) -> Option<Count> {
    // "Two of them, push them in."
    if let [first, of, them, ..] = tokens
        && of.text == "of"
        && matches!(&*them.text, "them" | "those" | "these")
        && let Some(n) = first.number.filter(|n| (2..=MOST).contains(n))
    {
        return Some(Count::Is(n));
    }
    let last = tokens.iter().rposition(|t| t.number.is_some_and(|n| (1..=MOST).contains(&n)))?;
    let fine = tokens.iter().all(|t| t.number.is_some() || filler(&t.text));
    let n = tokens[last].number.filter(|_| fine)?;
    match several(tokens, last, n) {
        Count::Is(1) => None,
        count => Some(count),
    }
}

fn filler(w: &str) -> bool {
    matches!(
        w,
        "no" | "wait"
            | "maybe"
            | "or"
            | "yeah"
            | "yes"
            | "i"
            | "think"
            | "of"
            | "them"
            | "those"
            | "these"
            | "in"
            | "total"
            | "altogether"
            | "together"
            | "all"
            | "that"
            | "was"
            | "'s"
            | "were"
            | "there"
            | "are"
            | "let"
            | "us"
            | "say"
            | "then"
            | "so"
            | "and"
            | "uh"
            | "um"
            | "to"
            | "want"
            | "it"
            | "is"
            | "perhaps"
            | "exactly"
            | "just"
            | "count"
            | "counted"
            | "have"
            | "'ve"
            | "'re"
            | "here"
            | "about"
            | "lost"
            | "okay"
            | "which"
            | "makes"
            | "ones"
            | "going"
    )
}

/// Words that show a number counts something else.
fn unit(word: &str) -> bool {
    matches!(
        word,
        "millimetres"
            | "millimeters"
            | "mm"
            | "degrees"
            | "minutes"
            | "seconds"
            | "volts"
            | "euros"
            | "dollars"
            | "grams"
            | "kilos"
            | "percent"
            | "years"
            | "months"
            | "watts"
            | "amps"
    )
}
