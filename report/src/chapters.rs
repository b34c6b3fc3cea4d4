//! Text for the description of a video: chapters, tools, parts to buy, sources, cautions.

use scoring::record::{Aim, Outcome, Record};

use crate::clean::{clock, line};
use crate::plural::list;
use crate::text::{headline, total};
use crate::view::View;

/// Least distance of two chapters, seconds.
pub const APART: u32 = 10;

/// A chapter: its start in seconds and its title.
pub type Chapter = (u32, String);

/// Chapters from the timestamps of the record: the first at 0:00, increasing, at least [`APART`] apart. What comes
/// too close to the chapter before is named there too.
pub fn chapters(record: &Record) -> Vec<Chapter> {
    let mut marks: Vec<Chapter> = Vec::new();
    for action in &record.actions {
        let Some(at) = &action.at else { continue };
        let what = match &action.aim {
            Aim::Free(parts) => list(&parts.iter().map(|p| line(&p.value)).collect::<Vec<_>>()),
            Aim::Do(name) => line(&name.value),
        };
        let what = match action.outcome.value {
            Outcome::Done => what,
            Outcome::Failed => format!("{what} (fails)"),
            Outcome::NotAttempted => continue,
        };
        marks.push((at.value.from, what));
    }
    marks.sort_by_key(|(at, _)| *at);
    let mut out: Vec<Chapter> = vec![(0, "the device".to_owned())];
    for (at, what) in marks {
        match out.last_mut() {
            Some((last, title)) if at < *last + APART => {
                if *last == 0 && title == "the device" {
                    *title = what;
                } else {
                    title.push_str(" and ");
                    title.push_str(&what);
                }
            }
            _ => out.push((at, what)),
        }
    }
    out
}

/// The description, plain text.
pub fn description(record: &Record, view: &View) -> String {
    let mut out = format!("{}\n\n", view.title);
    for a in &view.assessments {
        out.push_str(&format!("{}: {}\n", a.title, headline(a)));
        if a.headline.is_some() {
            out.push_str(&format!("With what the maker promises: {}\n", total(a)));
        }
    }
    if let Some(first) = view.assessments.first() {
        out.push_str(&format!("{}\n", first.reason));
        for (title, effects) in [("Drags it down", &first.drags), ("Holds it up", &first.holds), ("Open", &first.open)]
        {
            let lines: Vec<String> = effects.iter().take(3).map(|e| format!("{} ({})", e.what, e.said)).collect();
            section(&mut out, title, &lines);
        }
        out.push('\n');
    }
    out.push_str(&format!("{}\n", view.status));
    if record.actions.iter().any(|a| a.at.is_some()) {
        out.push_str("\nChapters\n");
        for (at, title) in chapters(record) {
            out.push_str(&format!("{} {title}\n", clock(at)));
        }
    }
    let tools: Vec<String> = record.tools.iter().map(|t| line(&t.name)).collect();
    section(&mut out, "Tools used", &tools);
    section(&mut out, "To buy for the way back", &view.back.buy);
    let cautions: Vec<String> = view.cautions.iter().map(|c| format!("{}: {}", c.hazard, c.caution)).collect();
    if !cautions.is_empty() {
        section(&mut out, "Cautions", &cautions);
        out.push_str(&format!("{}\n", view.defers));
    }
    let mut sources: Vec<String> = view.assessments.iter().map(|a| format!("{} ({})", a.title, a.edition)).collect();
    sources.push(format!("record: {}; {}", view.record, view.program));
    section(&mut out, "Sources", &sources);
    out
}

fn section(out: &mut String, title: &str, lines: &[String]) {
    if lines.is_empty() {
        return;
    }
    out.push_str(&format!("\n{title}\n"));
    for text in lines {
        out.push_str(&format!("- {text}\n"));
    }
}
