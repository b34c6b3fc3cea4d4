//! Problems with a text, shown to a person or to a program. One file a form.

mod json;
mod line;
mod marked;
mod told;

use std::collections::BTreeMap;
use std::io;

use scoring::text::diagnostic::in_file_order;
use scoring::text::{Diagnostic, FileId, Severity, Sources, Span};

pub(crate) use json::{Problems, Required, ToldProblem};
pub(crate) use told::Said;

use crate::terminal::shown::Shown;
use crate::words::problems as say;

/// How problems are shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum)]
pub enum Form {
    /// With the offending text marked, the reason and the mend.
    #[default]
    Marked,
    /// One line each: place, severity, code, headline, mend.
    Line,
    /// One JSON document.
    Json,
    /// The same, indented.
    #[value(skip)]
    Indented,
}

impl Form {
    /// Whether problems are written as JSON.
    pub(crate) fn is_json(self) -> bool {
        matches!(self, Self::Json | Self::Indented)
    }

    /// The form, JSON indented where that was asked for.
    pub(crate) fn laid_out(self, pretty: bool) -> Self {
        if self == Self::Json && pretty { Self::Indented } else { self }
    }
}

/// Shows problems in file order.
pub(crate) fn show(
    form: Form,
    styled: bool,
    sources: &Sources,
    problems: &[Diagnostic],
    to: &mut dyn Shown,
) -> io::Result<()> {
    if problems.is_empty() {
        return Ok(());
    }
    let sorted = sorted(problems);
    match form {
        Form::Marked => marked::write(styled, sources, &sorted, to),
        Form::Line => line::write(sources, &sorted, to),
        Form::Json | Form::Indented => json::document(form, json::values(sources, &sorted), Vec::new(), to),
    }
}

/// Shows the problems of several texts, each in file order; as JSON they are one document.
pub(crate) fn show_all(
    form: Form,
    styled: bool,
    all: &[(Sources, Vec<Diagnostic>)],
    to: &mut dyn Shown,
) -> io::Result<()> {
    if form.is_json() {
        let list: Vec<ToldProblem> = all.iter().flat_map(|(s, list)| values(s, list)).collect();
        return document(form, list, Vec::new(), to);
    }
    all.iter().try_for_each(|(sources, list)| show(form, styled, sources, list, to))
}

/// Problems of one text as values, in file order, for one [`document`] of the problems of several.
pub(crate) fn values(sources: &Sources, problems: &[Diagnostic]) -> Vec<ToldProblem> {
    json::values(sources, &sorted(problems))
}

/// One JSON document of problems, and of what was required.
pub(crate) fn document(
    form: Form,
    problems: Vec<ToldProblem>,
    requirements: Vec<Required>,
    to: &mut dyn Shown,
) -> io::Result<()> {
    json::document(form, problems, requirements, to)
}

/// Problems of one kind in one text that are shown; the rest is counted.
pub(super) const ALIKE: usize = 100;

/// Problems in file order, as many as anybody reads, with nothing in them longer than anybody reads.
fn sorted(problems: &[Diagnostic]) -> Vec<Diagnostic> {
    let mut sorted = problems.to_vec();
    in_file_order(&mut sorted);
    let mut counts: BTreeMap<(&str, FileId), usize> = BTreeMap::new();
    let mut out: Vec<Diagnostic> = Vec::new();
    let mut first_more: BTreeMap<(&str, FileId), usize> = BTreeMap::new();
    for mut problem in sorted {
        let kind = (problem.code, problem.at.span.file);
        let count = counts.entry(kind).or_default();
        *count += 1;
        if *count <= ALIKE {
            cut(&mut problem);
        } else if *count == ALIKE + 1 {
            first_more.insert(kind, out.len());
            problem = Diagnostic { severity: problem.severity, ..more(kind.0, problem.at.span) };
        } else {
            // One error among them makes the rest one.
            let shown = &mut out[first_more[&kind]];
            shown.severity = shown.severity.max(problem.severity);
            continue;
        }
        out.push(problem);
    }
    for (kind, at) in first_more {
        out[at].message = say::more(counts[&kind] - ALIKE);
    }
    out
}

/// Stands for problems that are not shown, at the first of them.
fn more(code: &'static str, at: Span) -> Diagnostic {
    let [why, mend] = say::MORE;
    Diagnostic::error(code, at, "").because(why).mend(mend)
}

/// Shortens what a text says of itself: a name of a megabyte is known by its beginning and its end.
fn cut(problem: &mut Diagnostic) {
    problem.message = middle(&problem.message);
    for text in [&mut problem.reason, &mut problem.mend].into_iter().flatten() {
        *text = middle(text);
    }
    problem.also.truncate(ALSO);
    for label in std::iter::once(&mut problem.at).chain(&mut problem.also) {
        label.text = middle(&label.text);
    }
}

/// Other places shown beside a problem.
const ALSO: usize = 20;
/// Characters of a name in a message, and of a message.
const NAME: usize = 100;
const MESSAGE: usize = 1_000;

/// A message with long names in it, and itself, cut in the middle.
fn middle(text: &str) -> String {
    if text.len() <= NAME {
        return text.to_owned();
    }
    let pieces: Vec<String> = text.split('`').map(|piece| shortened(piece, MESSAGE / 2)).collect();
    // Names stand between backticks: every second piece is one.
    let named = pieces.iter().enumerate().map(|(i, p)| if i % 2 == 1 { shortened(p, NAME) } else { p.clone() });
    shortened(&named.collect::<Vec<_>>().join("`"), MESSAGE)
}

fn shortened(text: &str, most: usize) -> String {
    let length = text.chars().count();
    if length <= most {
        return text.to_owned();
    }
    let head: String = text.chars().take(most / 2).collect();
    let tail: String = text.chars().skip(length - most / 2 + 1).collect();
    format!("{head}…{tail}")
}

/// Whether one of them is an error.
pub(crate) fn any_error(problems: &[Diagnostic]) -> bool {
    problems.iter().any(|d| d.severity == Severity::Error)
}

/// `2 errors, 1 warning`.
pub(crate) fn counted(problems: &[Diagnostic]) -> String {
    let count = |severity| problems.iter().filter(|d| d.severity == severity).count();
    say::counted(&[Severity::Error, Severity::Warning].map(|s| (count(s), s)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::terminal::shown::Tamed;
    use scoring::text::Source;
    use unicode_width::UnicodeWidthStr;

    fn example() -> (Sources, Vec<Diagnostic>) {
        let mut sources = Sources::new();
        let text = "unfasten: 1\nactions:\n  - free: lid\n    after: lid\n    note: \u{1b}[31mred\u{1b}[0m\n";
        let file = sources.add(Source::new("a.yaml", text));
        let span = |word: &str, nth: usize| {
            let at = text.match_indices(word).nth(nth).unwrap().0;
            Span { file, start: at.try_into().unwrap(), end: (at + word.len()).try_into().unwrap() }
        };
        let long = "this headline goes on for so long that no terminal of eighty columns could hold it on one line";
        let list = vec![
            Diagnostic::warning("odd", span("\u{1b}[31mred", 0), long).because(long).mend(long),
            Diagnostic::error("order-circle", span("lid", 1), "`lid` has to be off before itself")
                .marked("wanted here")
                .also(span("lid", 0), "freed here")
                .because("Nothing can come before itself.")
                .mend("leave `lid` out of its own `after:`"),
        ];
        (sources, list)
    }

    fn shown(form: Form) -> String {
        let (sources, list) = example();
        let mut out = Vec::new();
        show(form, false, &sources, &list, &mut Tamed::new(&mut out)).unwrap();
        String::from_utf8(out).unwrap()
    }

    #[test]
    fn marked_names_place_text_reason_and_mend_in_80_columns() {
        let text = shown(Form::Marked);
        for part in ["a.yaml:4:12", "order-circle", "wanted here", "freed here", "Nothing can come", "leave `lid` out"]
        {
            assert!(text.contains(part), "{part} missing in\n{text}");
        }
        assert!(text.find("order-circle") < text.find("odd"), "file order:\n{text}");
        assert!(!text.contains('\u{1b}'), "control characters of the text reach the terminal:\n{text:?}");
        for line in text.lines() {
            assert!(line.width() <= 80, "{} columns: {line}", line.width());
        }
    }

    #[test]
    fn line_is_one_line_each() {
        let text = shown(Form::Line);
        assert_eq!(text.lines().count(), 2, "{text}");
        assert!(text.starts_with("a.yaml:4:12: error: order-circle: `lid` has to be off before itself"), "{text}");
        assert!(!text.contains('\u{1b}'));
    }

    #[test]
    fn json_can_be_read_back() {
        let value: serde_json::Value = serde_json::from_str(&shown(Form::Json)).unwrap();
        let first = &value["problems"][0];
        assert_eq!((first["line"].as_u64(), first["column"].as_u64()), (Some(4), Some(12)));
        assert_eq!(first["text"], "lid");
        assert_eq!(first["also"][0]["line"], 3);
    }

    #[test]
    fn problems_have_an_end() {
        let mut sources = Sources::new();
        let file = sources.add(Source::new("many.yaml", &"x: 1\n".repeat(300)));
        let name = format!("first{}last", "n".repeat(1_000_000));
        let list: Vec<_> = (0..250)
            .map(|i| {
                Diagnostic::warning("odd", Span { file, start: i * 5, end: i * 5 + 1 }, format!("`{name}` is odd"))
            })
            .chain([Diagnostic::error("worse", Span { file, start: 1, end: 2 }, "here")])
            .collect();
        for form in [Form::Marked, Form::Line, Form::Json] {
            let mut out = Vec::new();
            show(form, false, &sources, &list, &mut Tamed::new(&mut out)).unwrap();
            let text = String::from_utf8(out).unwrap();
            assert_eq!(text.matches("and 150 more of this kind").count(), 1, "{text}");
            assert!(text.contains("last") && text.contains("worse"), "{text}");
            assert!(text.len() < 120_000, "{} bytes", text.len());
        }
        let one = Diagnostic::error("odd", Span::default(), "");
        let kept = |list: &[Diagnostic]| sorted(list).len();
        assert_eq!((kept(&vec![one.clone(); 100]), kept(&vec![one; 101])), (100, 101));
    }

    /// A hostile text: one line of four megabytes, wrong at many places. Marking must not take the text apart each time.
    #[test]
    fn a_very_long_line_is_cut_around_the_place() {
        let mut sources = Sources::new();
        let file = sources.add(Source::new("long.yaml", &"é".repeat(2_000_000)));
        let list: Vec<_> = (0..50)
            .map(|i| Diagnostic::error("odd", Span { file, start: i * 80_000, end: i * 80_000 + 2 }, "here"))
            .collect();
        let mut out = Vec::new();
        show(Form::Marked, false, &sources, &list, &mut Tamed::new(&mut out)).unwrap();
        assert!(out.len() < 50 * 1_000, "{} bytes", out.len());
    }
}
