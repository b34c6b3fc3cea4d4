//! Every mistake of a text that is no YAML: each is put right on a copy, and reading goes on behind it, so that none hides the
//! next. What a repair doesn't get further than was not the mistake, and is not told.

use std::cmp::Reverse;

use saphyr_parser::Parser;

use brackets::parts;

mod brackets;
mod guesses;

/// Longest text of which more than the first mistake is looked for, bytes: each costs some readings.
const LONGEST: usize = 200_000;
/// Most mistakes looked for.
const MOST: usize = 20;
/// Repairs tried in a row at most: several on one line are told as one mistake.
const ROUNDS: usize = 10 * MOST;

/// One mistake.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Mistake {
    /// Bytes of the text: from and to.
    pub(super) at: (usize, usize),
    /// What stands there.
    pub(super) what: String,
    /// What to do.
    pub(super) mend: String,
    /// A bracket, or an item in one: two of them may stand on one line.
    inside: bool,
}

/// Where reading stops: line from 0, column in characters from 0, and the parser's word for it.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Stop {
    line: usize,
    column: usize,
    info: String,
}

/// A mistake that may be the one, and lines as they would be without it.
struct Guess {
    line: usize,
    /// Bytes of the line as it stands now.
    at: (usize, usize),
    what: String,
    mend: String,
    /// A bracket, or an item in one.
    inside: bool,
    /// Only what closes is added, behind all else on its line: what stands there is read as it is.
    sure: bool,
    repairs: Vec<Repair>,
}

impl Guess {
    /// A mistake of a line, without its mend and what follows from it.
    fn new(line: usize, at: (usize, usize), what: impl Into<String>) -> Self {
        Self { line, at, what: what.into(), mend: String::new(), inside: false, sure: false, repairs: Vec::new() }
    }
}

/// One line as it would be, by how much its indentation grew, and what the mend then says of it.
struct Repair {
    line: usize,
    text: String,
    grown: isize,
    mend: Option<String>,
}

/// Where reading stops behind something; nowhere, where all can be read.
struct Next(Option<Stop>);

/// What a text that is no YAML says, mistake by mistake.
#[derive(Default)]
pub(super) struct Found<'t> {
    /// All mistakes, in the order of the text. The first is there even where nothing can be put right.
    pub(super) mistakes: Vec<Mistake>,
    /// The text with all of them put right; none where that took away what it says, or came to no end.
    pub(super) repaired: Option<Repaired<'t>>,
}

/// A text put right, line for line.
pub(super) struct Repaired<'t> {
    pub(super) text: String,
    /// Bytes of the text as it was around each repair: from and to.
    pub(super) guessed: Vec<(usize, usize)>,
    /// Byte each line of this text starts at.
    starts: Vec<usize>,
    copy: Copy<'t>,
}

impl Repaired<'_> {
    /// The byte of the text as it was for one of this text; of a line that was put right, about there.
    pub(super) fn original(&self, byte: usize) -> usize {
        let line = self.starts.partition_point(|start| *start <= byte).saturating_sub(1);
        self.copy.original(line, byte - self.starts[line])
    }
}

/// All mistakes of a text that is no YAML, and the text without them.
pub(super) fn mistakes(text: &str) -> Found<'_> {
    let mut copy = Copy::new(text);
    let mut found: Vec<(usize, Mistake)> = Vec::new();
    let Some(mut stop) = copy.stop() else { return Found::default() };
    let mut whole = false;
    for _ in 0..ROUNDS {
        if found.len() >= MOST {
            break;
        }
        let guessed = if text.len() > LONGEST { None } else { copy.best(&stop).or_else(|| copy.with_the_next(&stop)) };
        let (line, mistake, next) = match guessed {
            Some((mistake, line, next)) => (line, mistake, next),
            None => {
                let mistake = copy.as_told(&stop);
                let next = if text.len() > LONGEST { None } else { copy.without_value(&stop) };
                copy.doubt(stop.line, stop.line);
                match next {
                    Some(Next(next)) => (stop.line, mistake, next),
                    None => {
                        found.push((stop.line, mistake));
                        break;
                    }
                }
            }
        };
        // What a repair of a line leads to on the same line is no second mistake, unless it is another bracket or item.
        let apart = |m: &Mistake| m.at.1 <= mistake.at.0 || mistake.at.1 <= m.at.0;
        let beside = |m: &Mistake| m.inside && mistake.inside && apart(m) && m.what != mistake.what;
        if found.iter().all(|(l, m)| *l != line || beside(m)) {
            found.push((line, mistake));
        }
        match next {
            Some(next) => stop = next,
            None => {
                whole = true;
                break;
            }
        }
    }
    found.sort_by_key(|(_, m)| m.at);
    let mistakes = found.into_iter().map(|(_, m)| m).collect();
    Found { mistakes, repaired: if whole && !copy.lost { Some(copy.repaired()) } else { None } }
}

/// The text being put right, line by line.
struct Copy<'t> {
    text: &'t str,
    /// Byte each line of the text starts at.
    starts: Vec<usize>,
    lines: Vec<String>,
    /// By how much the indentation of each line grew.
    grown: Vec<isize>,
    /// Lines around repairs: first and last.
    doubted: Vec<(usize, usize)>,
    /// What the text says isn't known: a value or a line was taken out, or may stand under several.
    lost: bool,
}

impl<'t> Copy<'t> {
    fn new(text: &'t str) -> Self {
        let mut at = 0;
        let mut starts = Vec::new();
        let lines: Vec<String> = text
            .split('\n')
            .map(|l| {
                starts.push(at);
                at += l.len() + 1;
                l.to_owned()
            })
            .collect();
        let grown = vec![0; lines.len()];
        Self { text, starts, lines, grown, doubted: Vec::new(), lost: false }
    }

    /// What is read on these lines is guessed.
    fn doubt(&mut self, one: usize, other: usize) {
        self.doubted.push((one.min(other), one.max(other)));
    }

    /// Bytes of a line of the text as it was: from and to.
    fn bytes(&self, line: usize) -> (usize, usize) {
        (self.starts[line], self.starts.get(line + 1).map_or(self.text.len(), |s| s - 1))
    }

    fn repaired(self) -> Repaired<'t> {
        let guessed = self.doubted.iter().map(|(first, last)| (self.bytes(*first).0, self.bytes(*last).1)).collect();
        let text = self.lines.join("\n");
        let starts = std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1)).collect();
        Repaired { text, guessed, starts, copy: self }
    }

    /// Where reading stops; none where all can be read, or where it stops for another reason than syntax.
    fn stop(&self) -> Option<Stop> {
        let text = self.lines.join("\n");
        let mut parser = Parser::new_from_str(&text);
        while let Some(next) = parser.next_event() {
            if let Err(error) = next {
                let (marker, info) = (error.marker(), error.info().to_owned());
                let other = info.contains("unknown anchor") || info.contains("recursion limit");
                let line = marker.line().saturating_sub(1).min(self.lines.len() - 1);
                return (!other).then_some(Stop { line, column: marker.col(), info });
            }
        }
        None
    }

    /// How far reading got: the line, and how much of it is left, the less the more. A repair that adds to the line in front of
    /// where reading stops gets no further by that.
    fn reach(&self, stop: &Stop) -> (usize, Reverse<usize>) {
        let length = self.lines[stop.line].chars().count();
        (stop.line, Reverse(length.saturating_sub(stop.column)))
    }

    /// Where reading stops with one line changed, and how far that is; nowhere, where all can be read.
    fn reach_with(&mut self, repair: &Repair) -> (Option<Stop>, (usize, Reverse<usize>)) {
        let kept = std::mem::replace(&mut self.lines[repair.line], repair.text.clone());
        let stop = self.stop();
        let reach = stop.as_ref().map_or((usize::MAX, Reverse(0)), |s| self.reach(s));
        self.lines[repair.line] = kept;
        (stop, reach)
    }

    /// Where reading stops with one line changed.
    fn stop_with(&mut self, repair: &Repair) -> Option<Stop> {
        self.reach_with(repair).0
    }

    /// A bracket whose closing gets no further by itself, since the next mistake stands right behind it, and does with that
    /// one put right as well.
    fn with_the_next(&mut self, stop: &Stop) -> Option<(Mistake, usize, Option<Stop>)> {
        let guess = self.open(stop)?;
        let here = self.reach(stop);
        for repair in &guess.repairs {
            let kept = std::mem::replace(&mut self.lines[repair.line], repair.text.clone());
            let next = self.stop();
            let further = next.as_ref().is_none_or(|then| {
                then.line >= stop.line
                    && self.guesses(then).iter().flat_map(|g| &g.repairs).any(|second| {
                        let (_, behind) = self.reach_with(second);
                        behind > here && behind.0 > then.line
                    })
            });
            if further {
                self.doubt(guess.line, repair.line);
                let shift = |n: usize| self.original(guess.line, n);
                let at = (shift(guess.at.0), shift(guess.at.1));
                return Some((Mistake { at, what: guess.what, mend: guess.mend, inside: true }, guess.line, next));
            }
            self.lines[repair.line] = kept;
        }
        None
    }

    /// The mistake whose repair gets furthest behind where reading stops: it, its line, and where reading stops next.
    fn best(&mut self, stop: &Stop) -> Option<(Mistake, usize, Option<Stop>)> {
        let here = self.reach(stop);
        for guess in self.guesses(stop) {
            // The furthest; of several that get as far, the one named first.
            let mut best: Option<((usize, Reverse<usize>), &Repair, Option<Stop>)> = None;
            let mut ways = 0;
            for repair in &guess.repairs {
                let (next, reach) = self.reach_with(repair);
                if reach > here && best.as_ref().is_none_or(|(b, ..)| reach > *b) {
                    (best, ways) = (Some((reach, repair, next)), 1);
                } else if best.as_ref().is_some_and(|(b, first, _)| reach == *b && repair.grown != first.grown) {
                    ways += 1;
                }
            }
            if let Some((_, repair, next)) = best {
                let shift = |n: usize| self.original(guess.line, n);
                let mistake = Mistake {
                    at: (shift(guess.at.0), shift(guess.at.1)),
                    what: guess.what.clone(),
                    mend: repair.mend.clone().unwrap_or_else(|| guess.mend.clone()),
                    inside: guess.inside,
                };
                self.grown[repair.line] += repair.grown;
                self.lines[repair.line] = repair.text.clone();
                // Under which line it was meant to stand nobody knows.
                self.lost |= ways > 1;
                if !guess.sure {
                    self.doubt(guess.line, repair.line);
                }
                return Some((mistake, guess.line, next));
            }
        }
        None
    }

    /// The byte of the text for a byte of a line as it stands now.
    fn original(&self, line: usize, byte: usize) -> usize {
        let within = byte.saturating_add_signed(-self.grown[line]);
        let (start, end) = self.bytes(line);
        let mut at = (start + within).min(end);
        while !self.text.is_char_boundary(at) {
            at -= 1;
        }
        at
    }

    /// The mistake in the parser's words, where it stopped.
    fn as_told(&self, stop: &Stop) -> Mistake {
        let line = &self.lines[stop.line];
        let byte = line.char_indices().nth(stop.column).map_or(line.len(), |(b, _)| b);
        let at = self.original(stop.line, byte);
        let info = &stop.info;
        let mend = if info.contains("tab") {
            "indent with spaces; tabs are not indentation in YAML"
        } else if info.contains("mapping values are not allowed") || info.contains("simple key") {
            "check the indentation of this line and the one above; put text that holds `: ` in quotes"
        } else if info.contains("flow") || info.contains(',') || info.contains(']') || info.contains('}') {
            "check that every `[` and `{` is closed and that commas stand between the items"
        } else if info.contains("quoted") || info.contains("end of stream") || info.contains("EOF") {
            "check that every quote is closed"
        } else {
            "check indentation, brackets and quotes here and on the line above"
        };
        Mistake { at: (at, at), what: info.clone(), mend: mend.to_owned(), inside: false }
    }

    /// Reading goes on without the value, or without the line, that it stopped at; none where that doesn't get further.
    fn without_value(&mut self, stop: &Stop) -> Option<Next> {
        let line = self.lines[stop.line].clone();
        let value = parts(&line).value.filter(|v| *v < line.len());
        let mut texts: Vec<String> = value.map(|v| format!("{}x", &line[..v])).into_iter().collect();
        texts.push(String::new());
        for text in texts {
            let repair = Repair { line: stop.line, text, grown: 0, mend: None };
            let next = self.stop_with(&repair);
            if next.as_ref().is_none_or(|s| s.line > stop.line) {
                self.lost = true;
                self.lines[stop.line] = repair.text;
                return Some(Next(next));
            }
        }
        None
    }
}
