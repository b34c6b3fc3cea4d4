//! Talk as words: contractions opened, mis-hearings put right, numbers read; each word knows its cue.

use std::sync::LazyLock;

use super::clean::Cue;
use crate::vocab::spoken::spoken;

/// What stands behind a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stop {
    /// Nothing.
    None,
    /// A comma, a colon, a dash.
    Pause,
    /// The end of a sentence.
    End,
    /// The end of a question.
    Question,
}

/// One word.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Token {
    /// Lower case, as meant.
    pub text: String,
    /// Cues it was said in: first and last index.
    pub cues: (usize, usize),
    /// The number it is.
    pub number: Option<u32>,
    /// What follows it.
    pub stop: Stop,
    /// First word of its cue.
    pub first: bool,
}

/// Words of a run of cues (indices into all cues), with mis-hearings put right across cues.
pub fn tokens(cues: &[Cue], range: std::ops::Range<usize>) -> Vec<Token> {
    let mut raw = Vec::new();
    for index in range {
        split(&cues[index].text, index, &mut raw);
    }
    let mut out = corrected(raw);
    for token in &mut out {
        token.number = number(&token.text);
    }
    halves(tens(out))
}

/// `two and a half` is one number, and counts nothing.
fn halves(tokens: Vec<Token>) -> Vec<Token> {
    let mut out: Vec<Token> = Vec::with_capacity(tokens.len());
    let mut at = 0;
    while at < tokens.len() {
        let word = |i: usize| tokens.get(at + i).map_or("", |t| &*t.text);
        let mut token = tokens[at].clone();
        let whole = token.number.filter(|_| token.stop == Stop::None);
        // "Two point three": a size, and counts nothing.
        if let (Some(n), "point", Some(m)) =
            (whole, word(1), tokens.get(at + 2).and_then(|t| t.number).filter(|m| *m < 10))
        {
            token.text = format!("{n}.{m}");
            token.number = None;
            token.cues.1 = tokens[at + 2].cues.1;
            token.stop = tokens[at + 2].stop;
            at += 2;
        } else if let (Some(n), "and", "a", "half") = (whole, word(1), word(2), word(3)) {
            token.text = format!("{n}.5");
            token.number = None;
            token.cues.1 = tokens[at + 3].cues.1;
            token.stop = tokens[at + 3].stop;
            at += 3;
        }
        out.push(token);
        at += 1;
    }
    out
}

/// Words of one cue.
fn split(text: &str, cue: usize, out: &mut Vec<Token>) {
    let chars: Vec<char> = text.chars().flat_map(char::to_lowercase).collect();
    let mut first = true;
    let mut at = 0;
    while at < chars.len() {
        let c = chars[at];
        // "Turntable + roller ring", "motor & gearbox".
        if matches!(c, '+' | '&') && !first {
            out.push(Token { text: "and".to_owned(), cues: (cue, cue), number: None, stop: Stop::None, first });
            at += 1;
            continue;
        }
        if !c.is_alphanumeric() && c != '\'' {
            let stop = match c {
                '.' | '!' | ';' | '…' => Stop::End,
                '?' => Stop::Question,
                ',' | ':' | '/' | '(' | ')' | '"' | '–' | '—' | '=' => Stop::Pause,
                '-' if chars.get(at + 1) == Some(&' ') && at > 0 && chars[at - 1] == ' ' => Stop::Pause,
                _ => Stop::None,
            };
            if let Some(last) = out.last_mut().filter(|_| stop != Stop::None && !first) {
                // The strongest of several signs stands.
                if last.stop as u8 <= stop as u8 {
                    last.stop = stop;
                }
            }
            at += 1;
            continue;
        }
        let start = at;
        while at < chars.len() {
            let inside = chars[at].is_alphanumeric()
                || chars[at] == '\''
                || matches!(chars[at], '.' | ',')
                    && at > start
                    && chars[at - 1].is_ascii_digit()
                    && chars.get(at + 1).is_some_and(char::is_ascii_digit);
            if !inside {
                break;
            }
            at += 1;
        }
        let word: String = chars[start..at].iter().collect();
        for piece in opened(word.trim_matches('\'')) {
            out.push(Token { text: piece, cues: (cue, cue), number: None, stop: Stop::None, first });
            first = false;
        }
    }
}

/// `it's` to `it 's`, `won't` to `will not`, `4x` to `4`.
fn opened(word: &str) -> Vec<String> {
    let two = |a: &str, b: &str| vec![a.to_owned(), b.to_owned()];
    match word {
        "" => return Vec::new(),
        "won't" | "wont" => return two("will", "not"),
        "can't" | "cannot" | "cant" => return two("can", "not"),
        "dont" => return two("do", "not"),
        "doesnt" => return two("does", "not"),
        "isnt" => return two("is", "not"),
        "im" => return two("i", "'m"),
        "ain't" => return two("is", "not"),
        "let's" => return two("let", "us"),
        "x" => return Vec::new(),
        _ => {}
    }
    if let Some(stem) = word.strip_suffix("n't") {
        return two(stem, "not");
    }
    if let Some((stem, rest)) = word.split_once('\'') {
        return if matches!(rest, "s" | "re" | "ve" | "ll" | "d" | "m") {
            vec![stem.to_owned(), format!("'{rest}")]
        } else {
            vec![word.to_owned()]
        };
    }
    match word.strip_suffix('x') {
        Some(digits) if !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit()) => vec![digits.to_owned()],
        _ => match word.strip_prefix('x') {
            Some(digits) if !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit()) => vec![digits.to_owned()],
            _ => vec![word.to_owned()],
        },
    }
}

struct Rule {
    heard: Vec<&'static str>,
    meant: Vec<&'static str>,
    before: Option<&'static str>,
}

static RULES: LazyLock<Vec<Rule>> = LazyLock::new(|| {
    let mut rules: Vec<Rule> = spoken()
        .heard
        .iter()
        .map(|h| Rule {
            heard: h.heard.split(' ').collect(),
            meant: h.meant.split(' ').collect(),
            before: h.before.as_deref(),
        })
        .collect();
    rules.sort_by_key(|r| std::cmp::Reverse(r.heard.len()));
    rules
});

/// Puts mis-hearings right, twice: "mother bored" is heard in two goes.
fn corrected(tokens: Vec<Token>) -> Vec<Token> {
    (0..2).fold(tokens, |tokens, _| {
        let mut out = Vec::with_capacity(tokens.len());
        let mut at = 0;
        'next: while at < tokens.len() {
            for rule in RULES.iter() {
                let end = at + rule.heard.len();
                let fits = end <= tokens.len()
                    && tokens[at..end].iter().zip(&rule.heard).all(|(t, h)| t.text == *h)
                    && tokens[at..end - 1].iter().all(|t| t.stop == Stop::None)
                    && match rule.before {
                        None => true,
                        Some("number") => tokens.get(end).is_some_and(|t| number(&t.text).is_some()),
                        Some(_) => end < tokens.len(),
                    };
                if fits {
                    let cues = (tokens[at].cues.0, tokens[end - 1].cues.1);
                    for (i, word) in rule.meant.iter().enumerate() {
                        let stop = if i + 1 == rule.meant.len() { tokens[end - 1].stop } else { Stop::None };
                        out.push(Token {
                            text: (*word).to_owned(),
                            cues,
                            number: None,
                            stop,
                            first: i == 0 && tokens[at].first,
                        });
                    }
                    at = end;
                    continue 'next;
                }
            }
            out.push(tokens[at].clone());
            at += 1;
        }
        out
    })
}

const NUMBERS: [&str; 21] = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
    "twenty",
];
const TENS: [(&str, u32); 8] = [
    ("twenty", 20),
    ("thirty", 30),
    ("forty", 40),
    ("fifty", 50),
    ("sixty", 60),
    ("seventy", 70),
    ("eighty", 80),
    ("ninety", 90),
];

/// The whole number a word is, up to four digits.
pub(super) fn number(word: &str) -> Option<u32> {
    if !word.is_empty() && word.len() <= 4 && word.bytes().all(|b| b.is_ascii_digit()) {
        return word.parse().ok();
    }
    let small = NUMBERS.iter().position(|n| *n == word).and_then(|n| u32::try_from(n).ok());
    small.or_else(|| TENS.iter().find(|(t, _)| *t == word).map(|(_, n)| *n))
}

/// `twenty two` is one number.
fn tens(tokens: Vec<Token>) -> Vec<Token> {
    let mut out: Vec<Token> = Vec::with_capacity(tokens.len());
    for token in tokens {
        let joined = out.last_mut().filter(|l| {
            l.stop == Stop::None
                && TENS.iter().any(|(t, _)| *t == l.text)
                && token.number.is_some_and(|n| (1..10).contains(&n))
                && !token.text.bytes().all(|b| b.is_ascii_digit())
        });
        match joined {
            Some(last) => {
                last.number = last.number.zip(token.number).map(|(a, b)| a + b);
                last.text = format!("{} {}", last.text, token.text);
                last.cues.1 = token.cues.1;
                last.stop = token.stop;
            }
            None => out.push(token),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    fn words(texts: &[&str]) -> Vec<String> {
        let cue = |t: &&str| Cue { start: None, end: None, text: (*t).to_owned(), line: 1, turn: false };
        let cues: Vec<Cue> = texts.iter().map(cue).collect();
        tokens(&cues, 0..cues.len()).into_iter().map(|t| t.text).collect()
    }

    #[rstest]
    #[case(&["It's out, don't pull."], "it 's out do not pull")]
    #[case(&["flip that up with the spooger"], "flip that up with the spudger")]
    #[case(&["uh tea five i'm gonna say"], "uh t five i 'm going to say")]
    #[case(&["the charging", "bored"], "the charging board")]
    #[case(&["the rumble mode", "ors"], "the rumble motors")]
    #[case(&["dee sodder those"], "desolder those")]
    #[case(&["cup of tea"], "cup of tea")]
    #[case(&["4x PH0, 14.4 V"], "4 ph0 14.4 v")]
    #[case(&["twenty two screws"], "twenty two screws")]
    #[case(&["a slotted two and a half", "half a dozen"], "a slotted 2.5 half a dozen")]
    fn reads_words(#[case] text: &[&str], #[case] wanted: &str) {
        assert_eq!(words(text).join(" "), wanted);
    }

    #[rstest]
    #[case("twelve", Some(12))]
    #[case("07", Some(7))]
    #[case("14.4", None)]
    #[case("many", None)]
    fn reads_numbers(#[case] word: &str, #[case] wanted: Option<u32>) {
        assert_eq!(number(word), wanted);
    }
}
