//! Captions, notes, label tracks and tables of times as cues: what was said, when, on which line of the file.
//!
//! Reads what is found in the wild: automatic captions whose lines roll, cues without a blank line between, missing hours,
//! commas for points, old line ends. A cue that can't be read is left out, never the whole file.

use crate::text::{Source, csv};

/// What kind of text it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// `WebVTT` or `SubRip` captions.
    Captions,
    /// Notes, a line each, with or without times.
    Notes,
    /// A label track: start and end in seconds and a label, tab-separated.
    Labels,
    /// A table of times and names.
    Times,
}

impl Kind {
    /// Whether every line is an entry of its own, rather than a piece of talk.
    pub fn by_line(self) -> bool {
        self != Self::Captions
    }
}

/// One timed piece of text as it stands in the file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RawCue {
    /// Start, milliseconds.
    pub start: Option<u32>,
    /// End, milliseconds.
    pub end: Option<u32>,
    /// Lines of text.
    pub lines: Vec<String>,
    /// Line of the file the text starts on, from 1.
    pub line: u32,
}

/// All cues of a text, in its order, and what kind of text it was taken for.
pub fn read(source: &Source) -> (Kind, Vec<RawCue>) {
    let text = source.text.replace("\r\n", "\n").replace('\r', "\n");
    if text.trim_start().starts_with("WEBVTT") || text.lines().any(|l| timing(l).is_some()) {
        return (Kind::Captions, captions(&text));
    }
    if let Some(cues) = labels(&text) {
        return (Kind::Labels, cues);
    }
    if let Some(cues) = times(&text) {
        return (Kind::Times, cues);
    }
    (Kind::Notes, notes(&text))
}

fn line_number(index: usize) -> u32 {
    u32::try_from(index + 1).unwrap_or(u32::MAX)
}

/// `00:00:03.360 --> 00:00:06.780 align:start`: start and end.
fn timing(line: &str) -> Option<(u32, u32)> {
    let (start, rest) = line.split_once("-->")?;
    let end = rest.split_whitespace().next()?;
    Some((clock(start.trim())?, clock(end)?))
}

/// `1:02:03.5`, `02:03,500`, `4:10`: milliseconds. At least minutes and seconds; at most 99 hours.
pub(super) fn clock(text: &str) -> Option<u32> {
    let fields: Vec<&str> = text.split(':').collect();
    if !(2..=3).contains(&fields.len()) {
        return None;
    }
    let mut total: u32 = 0;
    for (i, field) in fields.iter().enumerate() {
        let (whole, part) =
            if i + 1 == fields.len() { field.split_once(['.', ',']).unwrap_or((field, "")) } else { (*field, "") };
        let digits = |s: &str| s.bytes().all(|b| b.is_ascii_digit());
        if whole.is_empty() || whole.len() > 4 || !digits(whole) || !digits(part) {
            return None;
        }
        let value: u32 = whole.parse().ok()?;
        if i > 0 && value > 59 {
            return None;
        }
        total = total.checked_mul(60)?.checked_add(value)?;
        if i + 1 == fields.len() {
            let thousandths: String = format!("{part}000").chars().take(3).collect();
            total = total.checked_mul(1000)?.checked_add(thousandths.parse().ok()?)?;
        }
    }
    (total < 100 * 3600 * 1000).then_some(total)
}

/// `4:10`, `4:10..4:25` in seconds.
pub(super) fn span_of(text: &str) -> Option<(u32, u32)> {
    let (from, to) = text.split_once("..").unwrap_or((text, text));
    let (from, to) = (clock(from.trim())?, clock(to.trim())?);
    (from <= to).then_some((from / 1000, to / 1000))
}

fn captions(text: &str) -> Vec<RawCue> {
    let mut out: Vec<RawCue> = Vec::new();
    let (mut open, mut blank, mut aside) = (false, true, false);
    // Whether the last line kept stands behind a blank line: then it may be the number of the next cue.
    let mut behind_blank = false;
    for (i, line) in text.lines().enumerate() {
        if let Some((start, end)) = timing(line) {
            if let Some(last) = out.last_mut().filter(|_| open) {
                let number = last.lines.last().is_some_and(|l| l.trim().bytes().all(|b| b.is_ascii_digit()));
                if !blank && (behind_blank || number) {
                    last.lines.pop();
                }
            }
            out.push(RawCue {
                start: Some(start),
                end: Some(end.max(start)),
                lines: Vec::new(),
                line: line_number(i + 1),
            });
            (open, blank, aside, behind_blank) = (true, false, false, false);
        } else if line.is_empty() {
            (blank, aside) = (true, false);
        } else if blank && ["NOTE", "STYLE", "REGION"].iter().any(|w| line == *w || line.starts_with(&format!("{w} ")))
        {
            (aside, blank) = (true, false);
        } else if open && !aside {
            if let Some(last) = out.last_mut() {
                last.lines.push(line.to_owned());
            }
            (behind_blank, blank) = (blank, false);
        } else {
            blank = false;
        }
    }
    out
}

/// A label track, if nearly every line is one.
fn labels(text: &str) -> Option<Vec<RawCue>> {
    let seconds = |t: &str| -> Option<u32> {
        let t = t.trim().replace(',', ".");
        let fine = !t.is_empty() && t.len() < 16 && t.bytes().all(|b| b.is_ascii_digit() || b == b'.');
        // Times only: a float is fine here, and the number of digits is small.
        let value: f64 = if fine { t.parse().ok()? } else { return None };
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        (value < 360_000.0).then_some((value * 1000.0).round() as u32)
    };
    let mut out = Vec::new();
    let mut strange = 0;
    for (i, line) in text.lines().enumerate().filter(|(_, l)| !l.trim().is_empty() && !l.starts_with('\\')) {
        let cells: Vec<&str> = line.splitn(3, '\t').collect();
        match cells[..] {
            [start, end, label] if seconds(start).is_some() && seconds(end).is_some() => out.push(RawCue {
                start: seconds(start),
                end: seconds(end),
                lines: vec![label.replace('\t', " ")],
                line: line_number(i),
            }),
            _ => strange += 1,
        }
    }
    (!out.is_empty() && strange * 5 <= out.len()).then_some(out)
}

/// A table of two columns, time and name, if nearly every line is one. A head is skipped.
fn times(text: &str) -> Option<Vec<RawCue>> {
    let text = if text.contains(',') { text.to_owned() } else { text.replace([';', '\t'], ",") };
    let source = Source::new("", &text);
    let (rows, _) = csv::rows(&source, 0);
    let mut out = Vec::new();
    let mut strange = 0;
    for row in &rows {
        let time = row.cells.first().and_then(|c| clock(&c.value));
        match (time, row.cells.get(1)) {
            (Some(start), Some(name)) if row.cells.len() == 2 => out.push(RawCue {
                start: Some(start),
                end: Some(start),
                lines: vec![name.value.clone()],
                line: source.position(row.span.start).line,
            }),
            _ => strange += 1,
        }
    }
    (!out.is_empty() && strange <= 1).then_some(out)
}

fn notes(text: &str) -> Vec<RawCue> {
    let mut out = Vec::new();
    for (i, line) in text.lines().enumerate() {
        let line = line.trim().trim_start_matches(['-', '*', '•', '#', '–']).trim_start();
        if line.is_empty() {
            continue;
        }
        let (time, rest) = leading_time(line);
        let (start, end) = time.map_or((None, None), |(a, b)| (Some(a), Some(b)));
        if !rest.is_empty() {
            out.push(RawCue { start, end, lines: vec![rest.to_owned()], line: line_number(i) });
        }
    }
    out
}

/// A time or a span of times at the start of a note, and what follows it.
fn leading_time(line: &str) -> (Option<(u32, u32)>, &str) {
    let open = line.strip_prefix("at ").or_else(|| line.strip_prefix("At ")).unwrap_or(line);
    let open = open.trim_start_matches(['[', '(', '@']);
    let end = open.find(|c: char| !(c.is_ascii_digit() || matches!(c, ':' | '.' | ','))).unwrap_or(open.len());
    let Some(start) = clock(open[..end].trim_end_matches(['.', ':', ','])) else { return (None, line) };
    let mut rest = &open[end..];
    let mut last = start;
    let span = rest.trim_start().strip_prefix("..").or_else(|| rest.trim_start().strip_prefix(['-', '–']));
    if let Some(second) = span.map(str::trim_start) {
        let end = second.find(|c: char| !(c.is_ascii_digit() || c == ':')).unwrap_or(second.len());
        if let Some(until) = clock(second[..end].trim_end_matches(':')).filter(|u| *u >= start) {
            (last, rest) = (until, &second[end..]);
        }
    }
    (Some((start, last)), rest.trim_start_matches([']', ')', ':', '-', '–', '—', '.', ',', ' ', '\t']))
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    fn shown(text: &str) -> Vec<(Option<u32>, String, u32)> {
        let (_, cues) = read(&Source::new("x", text));
        cues.into_iter().map(|c| (c.start, c.lines.join(" / "), c.line)).collect()
    }

    /// Times as `WebVTT` (W3C, "`WebVTT` timestamp": hours optional) and `SubRip` (comma before milliseconds) write them.
    #[rstest]
    #[case("00:00:03.360", Some(3_360))]
    #[case("02:03,500", Some(123_500))]
    #[case("1:02:03", Some(3_723_000))]
    #[case("4:10", Some(250_000))]
    #[case("4:61", None)]
    #[case("410", None)]
    #[case("a:10", None)]
    fn reads_clocks(#[case] text: &str, #[case] wanted: Option<u32>) {
        assert_eq!(clock(text), wanted);
    }

    #[test]
    fn reads_dirty_captions() {
        let text = "WEBVTT\r\nKind: captions\r\n\r\nNOTE mine\r\nmore\r\n\r\n00:01.000 --> 00:02.000 align:start\r\n \r\nhey\r\n\r\nid-2\r\n00:03.000 --> 00:04.000\r\nyou\r\nthere\r\n00:05.000 --> 00:06.000\r\n12\r\n";
        let texts: Vec<_> = shown(text).into_iter().map(|(s, t, l)| (s.unwrap(), t, l)).collect();
        assert_eq!(
            texts,
            [(1000, "  / hey".to_owned(), 8), (3000, "you / there".to_owned(), 13), (5000, "12".to_owned(), 16)]
        );
    }

    #[test]
    fn numbers_of_cues_are_no_text() {
        let text = "1\n00:00:01,000 --> 00:00:02,000\nsix screws\n\n2\n00:00:03,000 --> 00:00:04,000\n7\n3\n00:00:05,000 --> 00:00:06,000\nout\n";
        assert_eq!(shown(text).iter().map(|c| &*c.1).collect::<Vec<_>>(), ["six screws", "7", "out"]);
    }

    #[rstest]
    #[case("- 4:10 back cover off", Some(250_000), "back cover off")]
    #[case("[04:10] back cover", Some(250_000), "back cover")]
    #[case("4:10-4:20: back cover", Some(250_000), "back cover")]
    #[case("1:04:10 – back cover", Some(3_850_000), "back cover")]
    #[case("12 screws", None, "12 screws")]
    #[case("* lid off", None, "lid off")]
    fn reads_notes(#[case] text: &str, #[case] time: Option<u32>, #[case] rest: &str) {
        assert_eq!(shown(text), [(time, rest.to_owned(), 1)]);
    }

    #[test]
    fn knows_what_it_reads() {
        let kind = |t: &str| read(&Source::new("x", t)).0;
        assert_eq!(kind("1.5\t2.5\tlid\n3\t4\tbattery\n"), Kind::Labels);
        assert_eq!(kind("time,name\n0:10,lid\n0:20,battery\n"), Kind::Times);
        assert_eq!(kind("0:10;lid\n0:20;battery\n"), Kind::Times);
        assert_eq!(kind("0:10 lid, then\n0:20 battery\n"), Kind::Notes);
    }
}
