//! Mistakes that may be the one at which reading stops, each with lines as they would be without it.

use std::cmp::Reverse;

use super::brackets::{commas, comment, crossed, indent, parts, reserved_item, run, significant, unclosed, unopened};
use super::{Copy, Guess, Repair, Stop};

/// Lines above whose indentation may be the one that was meant.
const ABOVE: usize = 60;
/// Lines behind an open bracket on which it may have been meant to end.
const REACH: usize = 8;

impl Copy<'_> {
    pub(super) fn guesses(&self, stop: &Stop) -> Vec<Guess> {
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
            mend: "indent with spaces; tabs are not indentation in YAML".to_owned(),
            repairs,
            ..Guess::new(line, (from, to), "a tab stands in the indentation")
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
        Some(Guess { repairs, ..Guess::new(line, (own, end.max(own)), what) })
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
            mend: format!("write `{}: {}`", &body[..colon], text[at + 1..].trim()),
            repairs: vec![Repair { line, text: repaired, grown: 0, mend: None }],
            ..Guess::new(line, (at, at + 1), "no space stands behind this colon")
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
            mend: format!("put it in quotes: `{quoted}`"),
            repairs: vec![Repair { line, text: repaired, grown: 0, mend: None }],
            ..Guess::new(line, (value, end), what)
        })
    }

    /// The line above one, where it is a name with nothing behind it, and its indentation.
    fn name_above(&self, line: usize) -> Option<(usize, usize)> {
        let name = (0..line).rev().find(|i| significant(&self.lines[*i]))?;
        let text = &self.lines[name];
        (parts(text).value == Some(text.len())).then(|| (name, indent(text)))
    }

    /// A line that is meant to stand like the one below it.
    fn like_below(&self, line: usize, below: usize, what: String) -> Guess {
        let (own, like) = (indent(&self.lines[line]), indent(&self.lines[below]));
        let mend = format!("indent it by {}, in line with what stands on line {}", spaces(like), below + 1);
        let repairs = vec![self.indented(line, own, like, Some(mend))];
        Guess { repairs, ..Guess::new(line, (own, self.lines[line].trim_end().len()), what) }
    }

    /// The first field below a name stands no deeper than the name, and the fields below it do.
    fn left_out(&self, line: usize, below: usize) -> Option<Guess> {
        let (name, above) = self.name_above(line)?;
        let (own, deep) = (indent(&self.lines[line]), indent(self.lines.get(below)?));
        let what =
            || format!("this line stands beside the name on line {}, and the line below stands under it", name + 1);
        (own <= above && deep > above).then(|| self.like_below(line, below, what()))
    }

    /// The first field below a name stands deeper than the fields below it.
    fn too_deep(&self, line: usize, below: usize) -> Option<Guess> {
        let (name, above) = self.name_above(line)?;
        let (own, like) = (indent(&self.lines[line]), indent(self.lines.get(below)?));
        // Another stands like the one below: two against one.
        let next = self.lines[below + 1..].iter().find(|l| significant(l))?;
        let what = || format!("this line stands deeper than the one below, under the same name on line {}", name + 1);
        (own > like && like > above && indent(next) == like).then(|| self.like_below(line, below, what()))
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
            mend: format!("write `{}`", format!("{word}: {rest}").trim_end()),
            repairs: vec![Repair { line, text: repaired, grown: 0, mend: None }],
            ..Guess::new(line, (parts.key, parts.key + body.len()), "no colon stands behind the field's name")
        })
    }

    /// A bracket or quote that is not closed before something else begins.
    pub(super) fn open(&self, stop: &Stop) -> Option<Guess> {
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
            mend: format!("close it with `{close}`{shown}"),
            inside: true,
            // With several on the line nobody knows which of them the sign closes.
            sure: found.line == found.last && self.lines[found.line].matches(['[', '{']).count() == 1,
            repairs,
            ..Guess::new(found.line, (found.at, found.at + 1), format!("this `{sign}` is not closed"))
        })
    }

    /// `[heat pad, {a: b]`: the inner bracket ends where the outer one does.
    fn crossed(&self, line: usize) -> Option<Guess> {
        let text = self.lines.get(line)?;
        let (from, sign, at) = crossed(text)?;
        let close = if sign == '[' { ']' } else { '}' };
        let repaired = format!("{}{close}{}", &text[..at], &text[at..]);
        Some(Guess {
            mend: format!("close it with `{close}`: `{}{close}`", &text[from..at]),
            inside: true,
            repairs: vec![Repair { line, text: repaired, grown: 0, mend: None }],
            ..Guess::new(line, (from, from + 1), format!("this `{sign}` is not closed"))
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
            inside: true,
            repairs: repairs.collect(),
            ..Guess::new(line, (from, to), "two stand here without a comma between them")
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
            inside: true,
            repairs: repairs.collect(),
            ..Guess::new(line, (at, at + 1), format!("nothing opens this `{sign}`"))
        })
    }

    /// `[heat pad, @home]`.
    fn reserved_item(&self, line: usize) -> Option<Guess> {
        let text = self.lines.get(line)?;
        let (from, to) = reserved_item(text)?;
        let quoted = format!("\"{}\"", text[from..to].replace('\\', "\\\\").replace('"', "\\\""));
        Some(Guess {
            mend: format!("put it in quotes: `{quoted}`"),
            inside: true,
            repairs: vec![Repair {
                line,
                text: format!("{}{quoted}{}", &text[..from], &text[to..]),
                grown: 0,
                mend: None,
            }],
            ..Guess::new(
                line,
                (from, to),
                format!("no text begins with `{}` unless it stands in quotes", text[from..].chars().next()?),
            )
        })
    }
}

fn spaces(n: usize) -> String {
    if n == 1 { "1 space".to_owned() } else { format!("{n} spaces") }
}
