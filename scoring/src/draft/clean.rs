//! Cues without what captions add: rolling lines, word times, marks, sounds, names of speakers.

use super::cues::{Kind, RawCue};

/// One cue of talk.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cue {
    /// Start, milliseconds.
    pub start: Option<u32>,
    /// End, milliseconds.
    pub end: Option<u32>,
    /// What was said; empty for a sound.
    pub text: String,
    /// Line of the file, from 1.
    pub line: u32,
    /// Somebody else begins to speak, or the cue says that somebody does.
    pub turn: bool,
}

/// How much of a file's cues must repeat the line above before it counts as rolling: one in four.
const ROLLING: usize = 4;

/// Cleans cues; none is dropped but repeats of rolling captions and empty ones.
pub fn clean(kind: Kind, raw: &[RawCue]) -> Vec<Cue> {
    let cleaned: Vec<Vec<(String, bool)>> =
        raw.iter().map(|c| c.lines.iter().map(|l| line(l, kind)).collect()).collect();
    let rolling = kind == Kind::Captions && is_rolling(&cleaned);
    let mut out: Vec<Cue> = Vec::new();
    let mut shown: Vec<&str> = Vec::new();
    for (cue, lines) in raw.iter().zip(&cleaned) {
        let full: Vec<(usize, &(String, bool))> = lines.iter().enumerate().filter(|(_, l)| !l.0.is_empty()).collect();
        // A line that stood in the cue before is the same line, still shown.
        let new: Vec<_> = full.iter().filter(|(_, l)| !(rolling && shown.contains(&l.0.as_str()))).collect();
        if !full.is_empty() {
            shown = full.iter().map(|(_, l)| l.0.as_str()).collect();
        }
        let sound = full.is_empty() && cue.lines.iter().any(|l| !l.trim().is_empty());
        if new.is_empty() && !sound {
            continue;
        }
        let text = new.iter().map(|(_, l)| l.0.as_str()).collect::<Vec<_>>().join(" ");
        let first = new.first().map_or(0, |(i, _)| *i);
        let turn = new.iter().any(|(_, l)| l.1);
        let line = cue.line + u32::try_from(first).unwrap_or(0);
        out.push(Cue { start: cue.start, end: cue.end, text, line, turn });
    }
    out
}

/// Whether lines repeat from cue to cue throughout.
fn is_rolling(cues: &[Vec<(String, bool)>]) -> bool {
    let full: Vec<Vec<&str>> = cues
        .iter()
        .map(|c| c.iter().map(|l| l.0.as_str()).filter(|l| !l.is_empty()).collect())
        .filter(|c: &Vec<_>| !c.is_empty())
        .collect();
    let repeats = full.windows(2).filter(|w| w[1].iter().any(|l| w[0].contains(l))).count();
    repeats > 2 && repeats * ROLLING >= full.len()
}

/// One line without marks, and whether it begins somebody's turn to speak.
fn line(text: &str, kind: Kind) -> (String, bool) {
    let mut plain =
        entities(&without_tags(text)).replace(['\u{2019}', '\u{2018}'], "'").replace(['\u{201c}', '\u{201d}'], "\"");
    plain.retain(|c| !crate::text::hidden::hides(c) && !matches!(c, '♪' | '♫'));
    let mut plain = plain.split_whitespace().collect::<Vec<_>>().join(" ");
    if kind != Kind::Captions {
        return (plain, false);
    }
    plain = without_sounds(&plain);
    let mut turn = false;
    loop {
        let rest = plain.trim_start_matches(['>', ' ']);
        let rest = rest.strip_prefix("- ").unwrap_or(rest);
        let rest = speaker(rest).unwrap_or(rest).trim_start();
        if rest.len() == plain.len() {
            return (plain, turn);
        }
        turn = true;
        plain = rest.to_owned();
    }
}

/// Takes `<c>`, `<00:00:01.090>`, `<i>`, `{\an8}` out.
fn without_tags(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(['<', '{']) {
        let close = if rest[at..].starts_with('<') { '>' } else { '}' };
        let tag = rest[at..].find(close).map(|n| &rest[at + 1..at + n]);
        let is_tag = tag.is_some_and(|t| {
            if close == '>' {
                t.starts_with(|c: char| c.is_ascii_alphanumeric() || c == '/')
            } else {
                t.starts_with('\\')
            }
        });
        out.push_str(&rest[..at]);
        match tag.filter(|_| is_tag) {
            Some(tag) => rest = &rest[at + tag.len() + 2..],
            None => {
                out.push_str(&rest[at..=at]);
                rest = &rest[at + 1..];
            }
        }
    }
    out + rest
}

/// The few entities captions use.
fn entities(text: &str) -> String {
    if !text.contains('&') {
        return text.to_owned();
    }
    let table = [
        ("&gt;", ">"),
        ("&lt;", "<"),
        ("&nbsp;", " "),
        ("&lrm;", ""),
        ("&rlm;", ""),
        ("&quot;", "\""),
        ("&#39;", "'"),
        ("&apos;", "'"),
        ("&amp;", "&"),
    ];
    table.iter().fold(text.to_owned(), |t, (from, to)| t.replace(from, to))
}

/// Takes `[music]` and a whole line in round brackets or stars out: sounds, not talk.
fn without_sounds(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some(at) = rest.find('[') {
        let Some(end) = rest[at..].find(']') else { break };
        out.push_str(&rest[..at]);
        rest = &rest[at + end + 1..];
    }
    out.push_str(rest);
    let out = out.split_whitespace().collect::<Vec<_>>().join(" ");
    let wrapped = |a: char, b: char| {
        out.len() > 1 && out.starts_with(a) && out.find(b).is_some_and(|n| n > 0 && n + 1 == out.len())
    };
    if wrapped('(', ')') || out.starts_with('*') && out[1..].find('*').is_some_and(|n| n + 2 == out.len()) {
        String::new()
    } else {
        out
    }
}

/// What follows `NAME:`, one to three words in capitals.
fn speaker(text: &str) -> Option<&str> {
    let (name, rest) = text.split_once(':')?;
    let words = name.split_whitespace().count();
    let capitals = name.chars().all(|c| c.is_uppercase() || matches!(c, ' ' | '.' | '-' | '\'') || c.is_ascii_digit());
    let said = (1..=3).contains(&words)
        && name.len() <= 24
        && capitals
        && name.chars().filter(|c| c.is_uppercase()).count() > 1;
    (said && !rest.is_empty()).then_some(rest)
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("hey<00:00:00.745><c> what's</c><00:00:01.090><c> up</c>", "hey what's up", false)]
    #[case("&gt;&gt; MARA: It&#39;s out.", "It's out.", true)]
    #[case(">> Two screws.", "Two screws.", true)]
    #[case("- Two screws.", "Two screws.", true)]
    #[case("[screwdriver whirring]", "", false)]
    #[case("(click)", "", false)]
    #[case("(it clicks) and off", "(it clicks) and off", false)]
    #[case("{\\an8}<i>lid</i> off", "lid off", false)]
    #[case("T6: four of them", "T6: four of them", false)]
    #[case("a < b", "a < b", false)]
    fn cleans_lines(#[case] text: &str, #[case] wanted: &str, #[case] turn: bool) {
        assert_eq!(line(text, Kind::Captions), (wanted.to_owned(), turn));
    }

    fn raw(start: u32, lines: &[&str]) -> RawCue {
        RawCue {
            start: Some(start),
            end: Some(start + 10),
            lines: lines.iter().map(|l| (*l).to_owned()).collect(),
            line: 1,
        }
    }

    #[test]
    fn rolling_lines_are_said_once() {
        let cues = [
            raw(0, &[" ", "one two"]),
            raw(1, &["one two", " "]),
            raw(2, &["one two", "three"]),
            raw(3, &["three", " "]),
            raw(4, &["three", "four"]),
            raw(5, &["four", " "]),
        ];
        let said: Vec<_> = clean(Kind::Captions, &cues).into_iter().map(|c| (c.start.unwrap(), c.text)).collect();
        assert_eq!(said, [(0, "one two".to_owned()), (2, "three".to_owned()), (4, "four".to_owned())]);
    }

    #[test]
    fn what_a_person_says_twice_stays() {
        let cues = [
            raw(0, &["Okay."]),
            raw(1, &["Okay."]),
            raw(2, &["lid off"]),
            raw(3, &["and"]),
            raw(4, &["so"]),
            raw(5, &["ok"]),
        ];
        assert_eq!(clean(Kind::Captions, &cues).len(), 6);
    }
}
