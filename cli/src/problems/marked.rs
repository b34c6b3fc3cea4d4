//! Problems with the offending text marked. The only place that knows the crate that draws them.

use std::io;

use annotate_snippets::renderer::{AnsiColor, DecorStyle, Style};
use annotate_snippets::{Annotation, AnnotationKind, Group, Level, Origin, Renderer, Snippet};
use anstream::adapter::strip_str;
use scoring::text::{Diagnostic, FileId, Label, Severity, Source, Sources};

use crate::terminal::shown::{Drawn, Shown};
use crate::terminal::{tame, wrap};
use crate::words;
use crate::world::WIDTH;

/// The one accent.
const ACCENT: Style = AnsiColor::Magenta.on_default();
/// Words that lead a line.
const STRONG: Style = Style::new().bold();
/// Line numbers and rules.
const FAINT: Style = Style::new().dimmed();
/// Bytes of a line shown on either side of a place: enough to recognise it, whatever the file.
const AROUND: usize = 400;
/// Columns left for the words of a note beside the line numbers and `mend: `.
const NOTE: usize = WIDTH - 16;

pub(super) fn write(styled: bool, sources: &Sources, problems: &[Diagnostic], to: &mut dyn Shown) -> io::Result<()> {
    // One ink and one accent; the words `error` and `warning` carry the meaning.
    let renderer = Renderer::styled()
        .error(ACCENT.bold())
        .warning(ACCENT)
        .note(STRONG)
        .help(STRONG)
        .emphasis(STRONG)
        .line_num(FAINT)
        .context(FAINT)
        .decor_style(DecorStyle::Ascii)
        .term_width(WIDTH);
    for problem in problems {
        let text = one(&renderer, sources, problem);
        if styled {
            to.drawn(&Drawn::styled(&format!("{text}\n\n")))?;
        } else {
            writeln!(to, "{}\n", strip_str(&text))?;
        }
    }
    Ok(())
}

fn one(renderer: &Renderer, sources: &Sources, problem: &Diagnostic) -> String {
    let level = match problem.severity {
        Severity::Warning => Level::WARNING,
        _ => Level::ERROR,
    };
    let head = problem.severity.word().len() + problem.code.len() + 4;
    let title = wrapped(&problem.message, WIDTH - head);
    let mut group = level.primary_title(title).id(problem.code).elements(std::iter::empty::<Origin<'_>>());
    let mut files: Vec<FileId> = vec![problem.at.span.file];
    files.extend(problem.also.iter().map(|l| l.span.file).filter(|f| *f != problem.at.span.file));
    files.dedup();
    for file in files {
        let source = sources.get(file);
        let name = tame(&source.name);
        let labels: Vec<(AnnotationKind, &Label)> = std::iter::once((AnnotationKind::Primary, &problem.at))
            .chain(problem.also.iter().map(|l| (AnnotationKind::Context, l)))
            .filter(|(_, l)| l.span.file == file)
            .collect();
        group = snippet(group, source, name, &labels);
    }
    let notes =
        [(words::problems::WHY, Level::NOTE, &problem.reason), (words::failure::MEND, Level::HELP, &problem.mend)];
    for (name, level, text) in notes {
        if let Some(text) = text {
            group = group.element(level.with_name(name).message(wrapped(text, NOTE - name.len())));
        }
    }
    renderer.render(&[group])
}

/// The marked lines of one text. Long lines and far-away lines are cut first: drawing costs time by the size of a text.
fn snippet<'a>(
    mut group: Group<'a>,
    source: &'a Source,
    name: String,
    labels: &[(AnnotationKind, &'a Label)],
) -> Group<'a> {
    if !source.is_quoted() {
        // The place of what may not be shown may be told.
        let place = source.position(labels.first().map_or(0, |(_, l)| l.span.start));
        return group.element(Origin::path(format!("{name}:{}:{}", place.line, place.column)));
    }
    if source.text.is_empty() {
        return group.element(Origin::path(name));
    }
    let lines = |l: &Label| source.position(l.span.start).line;
    let near = labels.iter().all(|(_, l)| lines(l).abs_diff(lines(labels[0].1)) < 200);
    let windows: Vec<Vec<&(AnnotationKind, &Label)>> =
        if near { vec![labels.iter().collect()] } else { labels.iter().map(|l| vec![l]).collect() };
    for (at, window) in windows.into_iter().enumerate() {
        let starts = window.iter().map(|(_, l)| l.span.start as usize);
        let ends = window.iter().map(|(_, l)| end_of(source, l));
        let (first, last) = (starts.min().unwrap_or(0), ends.max().unwrap_or(0));
        let text = &source.text;
        let from = boundary(
            text,
            text[..first.min(text.len())].rfind('\n').map_or(0, |i| i + 1).max(first.saturating_sub(AROUND)),
        );
        let line_end = text[last..].find('\n').map_or(text.len(), |i| last + i);
        let until = boundary(text, line_end.min(last + AROUND));
        let mut shown = Snippet::<Annotation<'a>>::source(&text[from..until]).line_start(line_of(source, from));
        // A cut line starts at a column the drawing doesn't know, so the place is named in words.
        if from > 0 && !text[..from].ends_with('\n') && at == 0 {
            let place = source.position(window[0].1.span.start);
            group = group.element(Origin::path(format!("{name}:{}:{}", place.line, place.column)));
        } else {
            shown = shown.path(name.clone());
        }
        for (kind, label) in window {
            let span = (label.span.start as usize).min(until) - from..end_of(source, label).min(until) - from;
            let words = (!label.text.is_empty()).then(|| tame(&label.text));
            shown = shown.annotation(kind.span(span).label(words));
        }
        group = group.element(shown);
    }
    group
}

/// Where marking ends: a place over several lines is marked on its first.
fn end_of(source: &Source, label: &Label) -> usize {
    let start = (label.span.start as usize).min(source.text.len());
    let end = (label.span.end as usize).clamp(start, source.text.len());
    let first_line = source.text[start..end].find('\n').map_or(end, |i| start + i);
    boundary(&source.text, first_line.min(start + AROUND))
}

fn line_of(source: &Source, byte: usize) -> usize {
    source.position(u32::try_from(byte).unwrap_or(u32::MAX)).line as usize
}

/// The nearest start of a character at or before a byte.
fn boundary(text: &str, byte: usize) -> usize {
    (0..=byte.min(text.len())).rev().find(|&b| text.is_char_boundary(b)).unwrap_or(0)
}

/// Words wrapped to a width.
fn wrapped(text: &str, width: usize) -> String {
    wrap(&tame(text), width).join("\n")
}
