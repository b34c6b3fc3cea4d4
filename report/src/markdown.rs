//! A Markdown report (CommonMark plus tables) with its pictures as separate SVG files.

use crate::svg::standalone;
use crate::template::{TemplateError, Templates};
use crate::view::View;

/// The text of the report. Pictures are referred to by the names that [`pictures`] gives them.
pub fn report(view: &View, templates: &Templates) -> Result<String, TemplateError> {
    tidy(&templates.render("report.md", view)?)
}

/// The summary alone: what an article can take over.
pub fn summary(view: &View, templates: &Templates) -> Result<String, TemplateError> {
    tidy(&templates.render("summary.md", view)?)
}

#[expect(clippy::unnecessary_wraps, reason = "the end of two functions that may fail")]
fn tidy(text: &str) -> Result<String, TemplateError> {
    let mut out = String::with_capacity(text.len());
    let mut blank = 0;
    for line in text.lines().map(str::trim_end) {
        blank = if line.is_empty() { blank + 1 } else { 0 };
        if blank < 2 {
            out.push_str(line);
            out.push('\n');
        }
    }
    Ok(out)
}

/// Pictures a Markdown report refers to: file name and SVG text.
pub fn pictures(view: &View) -> Vec<(String, String)> {
    let bars = view
        .assessments
        .iter()
        .filter_map(|a| Some((a, a.headline.as_ref().map_or(a.bar.as_ref(), |h| h.bar.as_ref())?)))
        .map(|(a, bar)| (format!("{}-{}-range.svg", view.pictures, a.key), standalone(&bar.svg)));
    let charts = view.routes.iter().filter(|r| !r.chart.is_empty());
    let charts = charts.map(|r| (format!("{}-{}.svg", view.pictures, r.anchor), standalone(&r.chart)));
    bars.chain(charts).collect()
}

/// What the names of the pictures begin with that a Markdown report of this view shows, where it shows any.
pub(crate) fn named(report: &str, view: &View) -> Option<String> {
    let names = pictures(view);
    let links = report.lines().filter_map(|l| l.strip_prefix("![")?.strip_suffix(')')?.rsplit_once("]("));
    links.map(|(_, link)| link).find_map(|link| {
        let mut rest = names.iter().filter_map(|(name, _)| name.strip_prefix(&view.pictures));
        let begin = rest.find_map(|rest| link.strip_suffix(rest))?;
        (begin == crate::clean::slug(begin)).then(|| begin.to_owned())
    })
}
