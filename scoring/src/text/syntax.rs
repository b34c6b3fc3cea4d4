//! Every mistake of a text that is no YAML: each is put right on a copy, and reading goes on behind it, so that none hides the
//! next. What a repair doesn't get further than was not the mistake, and is not told.

use std::cmp::Reverse;

use saphyr_parser::Parser;

use brackets::{commas, comment, crossed, indent, parts, reserved_item, run, significant, unclosed, unopened};

mod brackets;

/// Longest text of which more than the first mistake is looked for, bytes: each costs some readings.
const LONGEST: usize = 200_000;
/// Most mistakes looked for.
const MOST: usize = 20;
/// Repairs tried in a row at most: several on one line are told as one mistake.
const ROUNDS: usize = 10 * MOST;
/// Lines above whose indentation may be the one that was meant.
const ABOVE: usize = 60;
/// Lines behind an open bracket on which it may have been meant to end.
const REACH: usize = 8;

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
pub(super) struct Found {
    /// All mistakes, in the order of the text. The first is there even where nothing can be put right.
    pub(super) mistakes: Vec<Mistake>,
    /// The text with all of them put right; none where that took away what it says, or came to no end.
    pub(super) repaired: Option<Repaired>,
}

/// A text put right, line for line.
pub(super) struct Repaired {
    pub(super) text: String,
    /// Bytes of the text as it was around each repair: from and to.
    pub(super) guessed: Vec<(usize, usize)>,
    /// Line by line: the byte it starts at, here and in the text as it was, that line's length and by how much its
    /// indentation grew.
    lines: Vec<([usize; 2], usize, isize)>,
}

impl Repaired {
    /// The byte of the text as it was for one of this text; of a line that was put right, about there.
    pub(super) fn original(&self, byte: usize) -> usize {
        let line = self.lines.partition_point(|([here, _], ..)| *here <= byte).saturating_sub(1);
        let ([here, there], length, grown) = self.lines[line];
        there + (byte - here).saturating_add_signed(-grown).min(length)
    }
}

/// All mistakes of a text that is no YAML, and the text without them.
pub(super) fn mistakes(text: &str) -> Found {
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

    fn repaired(self) -> Repaired {
        let mut here = 0;
        let mut lines = Vec::new();
        for (i, line) in self.lines.iter().enumerate() {
            let (from, to) = self.bytes(i);
            lines.push(([here, from], to - from, self.grown[i]));
            here += line.len() + 1;
        }
        let guessed = self.doubted.iter().map(|(first, last)| (self.bytes(*first).0, self.bytes(*last).1)).collect();
        Repaired { text: self.lines.join("\n"), guessed, lines }
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

    fn guesses(&self, stop: &Stop) -> Vec<Guess> {
        let mut out = Vec::new();
        out.extend(self.tab(stop));
        out.extend((stop.line.saturating_sub(1)..=stop.line).find_map(|l| self.crossed(l)));
        out.extend(self.open(stop));
        out.extend(self.unopened(stop.line));
        out.extend(self.no_comma(stop.line));
        out.extend(self.reserved_item(stop.line));
        let above = (0..stop.line).rev().find(|i| significant(&self.lines[*i]));
        for line in [Some(stop.line), above].into_iter().flatten() {
            out.extend(self.tight_colon(line));
        }
        out.extend(self.colon_inside(stop.line));
        out.extend(self.reserved(stop.line));
        out.extend(self.behind_bracket(stop.line));
        out.extend(above.and_then(|a| self.left_out(a, stop.line)));
        out.extend(above.and_then(|a| self.too_deep(a, stop.line)));
        out.extend(above.and_then(|a| self.no_colon(a)));
        out.extend(self.no_colon(stop.line));
        out.extend(self.indentation(stop.line));
        out
    }

    /// A tab among the spaces a line begins with. Some are met at the end of the line before.
    fn tab(&self, stop: &Stop) -> Option<Guess> {
        let begins = |l: &str| l.len() - l.trim_start_matches([' ', '\t']).len();
        let line = (0..self.lines.len().min(stop.line + 2))
            .find(|i| significant(&self.lines[*i]) && self.lines[*i][..begins(&self.lines[*i])].contains('\t'))?;
        let text = &self.lines[line];
        let lead = begins(text);
        let from = text.find('\t')?;
        let to = from + text[from..lead].len() - text[from..lead].trim_start_matches('\t').len();
        let wide = |n: usize| text[..lead].chars().map(|c| if c == '\t' { n } else { 1 }).sum::<usize>();
        let near = |mut lines: std::ops::Range<usize>, back: bool| {
            let fine = |i: &usize| significant(&self.lines[*i]) && !self.lines[*i].starts_with('\t');
            let found = if back { lines.rev().find(fine) } else { lines.find(fine) };
            found.map(|i| (indent(&self.lines[i]), parts(&self.lines[i]), self.lines[i].len()))
        };
        // Between two lines that stand alike it stands like them.
        let alike = match (near(0..line, true), near(line + 1..self.lines.len(), false)) {
            // Below a name without a value there is one.
            (Some((_, above, end)), _) if above.value == Some(end) => None,
            _ if parts(text).value == Some(text.len()) => None,
            (Some((own, above, _)), Some((below, ..))) if below == own || below == above.key => Some(below),
            _ => None,
        };
        let mut widths = vec![wide(2), wide(4)];
        match alike {
            Some(width) => widths = vec![width],
            None => widths.extend(self.indents(line)),
        }
        let repairs = widths.into_iter().map(|n| self.indented(line, lead, n, None)).collect();
        Some(Guess {
            line,
            at: (from, to),
            what: "a tab stands in the indentation".to_owned(),
            mend: "indent with spaces; tabs are not indentation in YAML".to_owned(),
            inside: false,
            sure: false,
            repairs,
        })
    }

    fn indented(&self, line: usize, lead: usize, to: usize, mend: Option<String>) -> Repair {
        let text = format!("{}{}", " ".repeat(to), &self.lines[line][lead..]);
        Repair { line, text, grown: to.cast_signed() - lead.cast_signed(), mend }
    }

    /// Indentations used above a line, the nearest to its own first: of lines, and of what stands behind a dash.
    fn indents(&self, line: usize) -> Vec<usize> {
        let own = indent(&self.lines[line]);
        let mut out: Vec<usize> = Vec::new();
        for above in self.lines[..line].iter().rev().filter(|l| significant(l)).take(ABOVE) {
            out.extend([indent(above), parts(above).key].into_iter().filter(|n| *n != own));
        }
        out.sort_by_key(|n| (n.abs_diff(own), Reverse(*n)));
        out.dedup();
        out
    }

    /// A line that stands under none of those above it.
    fn indentation(&self, line: usize) -> Option<Guess> {
        let text = self.lines.get(line).filter(|l| significant(l))?;
        let own = indent(text);
        let spaces = |n: usize| if n == 1 { "1 space".to_owned() } else { format!("{n} spaces") };
        let repairs = self
            .indents(line)
            .into_iter()
            .map(|n| {
                let like = (0..line).rev().find(|i| {
                    significant(&self.lines[*i]) && (indent(&self.lines[*i]) == n || parts(&self.lines[*i]).key == n)
                });
                let like = like.map_or_else(String::new, |i| format!(", in line with what stands on line {}", i + 1));
                self.indented(line, own, n, Some(format!("indent it by {}{like}", spaces(n))))
            })
            .collect();
        let what = format!("this line is indented by {}, and stands under none above it", spaces(own));
        let end = text.trim_end().len();
        Some(Guess { line, at: (own, end.max(own)), what, mend: String::new(), inside: false, sure: false, repairs })
    }

    /// `at:0:10`.
    fn tight_colon(&self, line: usize) -> Option<Guess> {
        let text = self.lines.get(line).filter(|l| significant(l))?;
        let parts = parts(text);
        let body = &text[parts.key..];
        // Behind a bracket other colons may follow: `device:{name: Lamp}`.
        let bracket = body.find(':').is_some_and(|c| body[c + 1..].starts_with(['[', '{']));
        if parts.value.is_some() && !bracket {
            return None;
        }
        let colon = body.find(':').filter(|c| *c > 0 && body[..*c].chars().all(|c| c.is_alphanumeric() || c == ' '))?;
        let at = parts.key + colon;
        let repaired = format!("{}: {}", &text[..at], &text[at + 1..]);
        Some(Guess {
            line,
            at: (at, at + 1),
            what: "no space stands behind this colon".to_owned(),
            mend: format!("write `{}: {}`", &body[..colon], text[at + 1..].trim()),
            inside: false,
            sure: false,
            repairs: vec![Repair { line, text: repaired, grown: 0, mend: None }],
        })
    }

    /// `name: Lamp: Two`.
    fn colon_inside(&self, line: usize) -> Option<Guess> {
        let text = self.lines.get(line).filter(|l| significant(l))?;
        let value = parts(text).value?;
        let open = ['[', '{', '"', '\'', '|', '>'];
        text.get(value..).filter(|b| b.contains(": ") && !b.starts_with(open))?;
        self.quoted(line, value, "this text holds a colon and a space, which begin another value".to_owned())
    }

    /// `name: @home`.
    fn reserved(&self, line: usize) -> Option<Guess> {
        let text = self.lines.get(line).filter(|l| significant(l))?;
        let value = parts(text).value?;
        let sign = text[value..]
            .chars()
            .next()
            .filter(|c| matches!(c, '@' | '`' | '%' | '*' | '&' | '!' | ',' | ']' | '}'))?;
        self.quoted(line, value, format!("no text begins with `{sign}` unless it stands in quotes"))
    }

    /// `with: [PH0] and hands`.
    fn behind_bracket(&self, line: usize) -> Option<Guess> {
        let text = self.lines.get(line).filter(|l| significant(l))?;
        let value = parts(text).value.filter(|v| text[*v..].starts_with(['[', '{', '"', '\'']))?;
        let mut open = Vec::new();
        let end = run(text, line, value, &mut open);
        let behind =
            text.get(end..).filter(|b| open.is_empty() && !b.trim().is_empty() && !b.trim().starts_with('#'))?;
        let sign = text[..end].chars().last().unwrap_or(']');
        let at = end + behind.len() - behind.trim_start().len();
        let guess = self.quoted(line, value, format!("text stands behind the `{sign}` that ends this value"))?;
        Some(Guess {
            at: (at, text.trim_end().len()),
            mend: "take it out, put it inside, or put all of the value in quotes".to_owned(),
            ..guess
        })
    }

    fn quoted(&self, line: usize, value: usize, what: String) -> Option<Guess> {
        let text = &self.lines[line];
        let end = text.get(value..)?.find(" #").map_or(text.trim_end().len(), |n| value + n);
        let quoted = format!("\"{}\"", text[value..end].replace('\\', "\\\\").replace('"', "\\\""));
        let repaired = format!("{}{quoted}{}", &text[..value], &text[end..]);
        Some(Guess {
            line,
            at: (value, end),
            what,
            mend: format!("put it in quotes: `{quoted}`"),
            inside: false,
            sure: false,
            repairs: vec![Repair { line, text: repaired, grown: 0, mend: None }],
        })
    }

    /// The first field below a name stands no deeper than the name, and the fields below it do.
    fn left_out(&self, line: usize, below: usize) -> Option<Guess> {
        let name = (0..line).rev().find(|i| significant(&self.lines[*i]))?;
        let (own, deep) = (indent(&self.lines[line]), indent(self.lines.get(below)?));
        let parent = parts(&self.lines[name]).value.is_some_and(|v| v == self.lines[name].len());
        if !parent || own > indent(&self.lines[name]) || deep <= indent(&self.lines[name]) {
            return None;
        }
        let mend = format!("indent it by {deep} spaces, in line with what stands on line {}", below + 1);
        Some(Guess {
            line,
            at: (own, self.lines[line].trim_end().len()),
            what: format!("this line stands beside the name on line {}, and the line below stands under it", name + 1),
            mend: String::new(),
            inside: false,
            sure: false,
            repairs: vec![self.indented(line, own, deep, Some(mend))],
        })
    }

    /// The first field below a name stands deeper than the fields below it.
    fn too_deep(&self, line: usize, below: usize) -> Option<Guess> {
        let name = (0..line).rev().find(|i| significant(&self.lines[*i]))?;
        let (own, like) = (indent(&self.lines[line]), indent(self.lines.get(below)?));
        let parent = parts(&self.lines[name]).value.is_some_and(|v| v == self.lines[name].len());
        // Another stands like the one below: two against one.
        let next = self.lines[below + 1..].iter().find(|l| significant(l))?;
        if !parent || own <= like || like <= indent(&self.lines[name]) || indent(next) != like {
            return None;
        }
        let spaces = if like == 1 { "1 space".to_owned() } else { format!("{like} spaces") };
        let mend = format!("indent it by {spaces}, in line with what stands on line {}", below + 1);
        Some(Guess {
            line,
            at: (own, self.lines[line].trim_end().len()),
            what: format!("this line stands deeper than the one below, under the same name on line {}", name + 1),
            mend: String::new(),
            inside: false,
            sure: false,
            repairs: vec![self.indented(line, own, like, Some(mend))],
        })
    }

    /// `- free lid`, with fields below it.
    fn no_colon(&self, line: usize) -> Option<Guess> {
        let text = self.lines.get(line).filter(|l| significant(l))?;
        let parts = parts(text);
        let body = text[parts.key..].trim_end();
        if parts.value.is_some() || body.contains(':') || body.starts_with(['[', '{', '"', '\'', ']', '}', ',']) {
            return None;
        }
        let (word, rest) = body.split_once(' ').unwrap_or((body, ""));
        let repaired = format!("{}{word}: {rest}", &text[..parts.key]);
        Some(Guess {
            line,
            at: (parts.key, parts.key + body.len()),
            what: "no colon stands behind the field's name".to_owned(),
            mend: format!("write `{}`", format!("{word}: {rest}").trim_end()),
            inside: false,
            sure: false,
            repairs: vec![Repair { line, text: repaired, grown: 0, mend: None }],
        })
    }

    /// A bracket or quote that is not closed before something else begins.
    fn open(&self, stop: &Stop) -> Option<Guess> {
        let found = unclosed(&self.lines).filter(|u| u.line <= stop.line)?;
        let close: String = found.closers.iter().rev().collect();
        // In front of a comment and of an old line end.
        let body = |line: usize| {
            let text = &self.lines[line];
            text[..comment(text).unwrap_or(text.len())].trim_end()
        };
        // Where it reaches over several lines, it may have ended on any of them.
        let repairs = (found.line..=found.last.min(found.line + REACH)).chain([found.last]).map(|line| {
            let text = format!("{}{close}{}", body(line), &self.lines[line][body(line).len()..]);
            Repair { line, text, grown: 0, mend: None }
        });
        let repairs = repairs.collect();
        let last = &self.lines[found.last];
        let body = body(found.last);
        let shown = last.get(found.at..).filter(|_| found.last == found.line).map_or(String::new(), |_| {
            format!(": `{}{close}`", body[found.at.min(body.len())..].trim_end_matches(','))
        });
        let sign = found.sign;
        Some(Guess {
            line: found.line,
            at: (found.at, found.at + 1),
            what: format!("this `{sign}` is not closed"),
            mend: format!("close it with `{close}`{shown}"),
            inside: true,
            // With several on the line nobody knows which of them the sign closes.
            sure: found.line == found.last && self.lines[found.line].matches(['[', '{']).count() == 1,
            repairs,
        })
    }

    /// `[heat pad, {a: b]`: the inner bracket ends where the outer one does.
    fn crossed(&self, line: usize) -> Option<Guess> {
        let text = self.lines.get(line)?;
        let (from, sign, at) = crossed(text)?;
        let close = if sign == '[' { ']' } else { '}' };
        let repaired = format!("{}{close}{}", &text[..at], &text[at..]);
        Some(Guess {
            line,
            at: (from, from + 1),
            what: format!("this `{sign}` is not closed"),
            mend: format!("close it with `{close}`: `{}{close}`", &text[from..at]),
            inside: true,
            sure: false,
            repairs: vec![Repair { line, text: repaired, grown: 0, mend: None }],
        })
    }

    /// `{free: lid with: PH0}`.
    fn no_comma(&self, line: usize) -> Option<Guess> {
        let text = self.lines.get(line).filter(|l| significant(l))?;
        let (gaps, (from, to)) = commas(text)?;
        let with = |at: usize, of: std::ops::Range<usize>| format!("{},{}", &text[of.start..at], &text[at..of.end]);
        let repairs = gaps.into_iter().map(|at| Repair {
            line,
            text: with(at, 0..text.len()),
            grown: 0,
            mend: Some(format!("put a comma in front of the next: `{}`", with(at, from..to))),
        });
        Some(Guess {
            line,
            at: (from, to),
            what: "two stand here without a comma between them".to_owned(),
            mend: String::new(),
            inside: true,
            sure: false,
            repairs: repairs.collect(),
        })
    }

    /// `absent: battery, lid]`.
    fn unopened(&self, line: usize) -> Option<Guess> {
        let text = self.lines.get(line).filter(|l| significant(l))?;
        let (at, sign, begins) = unopened(text)?;
        let open = if sign == ']' { '[' } else { '{' };
        let repairs = begins.into_iter().map(|from| Repair {
            line,
            text: format!("{}{open}{}", &text[..from], &text[from..]),
            grown: 0,
            mend: Some(format!("open it with `{open}`: `{open}{}`", &text[from..=at])),
        });
        Some(Guess {
            line,
            at: (at, at + 1),
            what: format!("nothing opens this `{sign}`"),
            mend: String::new(),
            inside: true,
            sure: false,
            repairs: repairs.collect(),
        })
    }

    /// `[heat pad, @home]`.
    fn reserved_item(&self, line: usize) -> Option<Guess> {
        let text = self.lines.get(line)?;
        let (from, to) = reserved_item(text)?;
        let quoted = format!("\"{}\"", text[from..to].replace('\\', "\\\\").replace('"', "\\\""));
        Some(Guess {
            line,
            at: (from, to),
            what: format!("no text begins with `{}` unless it stands in quotes", text[from..].chars().next()?),
            mend: format!("put it in quotes: `{quoted}`"),
            inside: true,
            sure: false,
            repairs: vec![Repair {
                line,
                text: format!("{}{quoted}{}", &text[..from], &text[to..]),
                grown: 0,
                mend: None,
            }],
        })
    }
}
