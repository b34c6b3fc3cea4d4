//! Verdicts for reading in a terminal: what it is, why, and what to find out next.

use std::io::{self, Write};

use report::view::View;
use report::view::types::{Assessed, Bar, Brief, Contribution, ReasonedNode, Unknown};

use super::{hang, plural};
use crate::world::WIDTH;

/// Columns of the lead of a line.
const LEAD: usize = 20;
/// Columns of the range bar.
const BAR: usize = 50;
/// Questions shown before the rest is counted.
const QUESTIONS: usize = 8;
/// Criteria shown that drag it down, and that are open.
const EFFECTS: usize = 3;

/// Writes the verdicts of one record.
pub(crate) fn write(view: &View, out: &mut dyn Write) -> io::Result<()> {
    write!(out, "{}", hang("", &format!("{}  ({})", view.title, view.record), WIDTH))?;
    writeln!(out, "{}", "=".repeat(WIDTH))?;
    for (place, one) in view.assessments.iter().enumerate() {
        assessed(one, view.brief.as_ref().filter(|_| place == 0), view, out)?;
    }
    if let Some(own) = &view.own_verdict {
        line("own verdict", &format!("{own} (the reviewer's, not computed)"), out)?;
        writeln!(out)?;
    }
    for caution in &view.cautions {
        line(&format!("! {}", caution.hazard), &caution.caution, out)?;
    }
    if !view.cautions.is_empty() {
        write!(out, "{}", hang("", &view.defers, WIDTH))?;
    }
    writeln!(out, "{}", hang("", &view.status, WIDTH))
}

fn assessed(one: &Assessed, brief: Option<&Brief>, view: &View, out: &mut dyn Write) -> io::Result<()> {
    write!(out, "{}", hang(&format!("{}: ", one.method), &format!("{} ({})", one.title, one.edition), WIDTH))?;
    if let Some(brief) = brief {
        leading(one, brief, out)?;
        return rest(one, view, out);
    }
    if let Some(headline) = &one.headline {
        let text = format!("{} {}", headline.range, headline.out_of);
        line(&headline.title, &format!("{}{}", text.trim_end(), by_sheet(one, headline.without.as_ref())), out)?;
    }
    let class = if one.class.is_empty() { String::new() } else { format!(", {}", one.class) };
    let total = format!("{} {}", one.range, one.out_of);
    let total = format!("{}{class}{}", total.trim_end(), bounded(&one.bounds));
    match &one.headline {
        // The bar is that of the score that stands first.
        Some(headline) => {
            if let Some(bar) = &headline.bar {
                writeln!(out, "  {}{}", " ".repeat(LEAD), drawn(bar))?;
            }
            line("full verdict", &format!("{total}{}", by_sheet(one, one.without.as_ref())), out)?;
        }
        None => {
            line("verdict", &format!("{total}{}", by_sheet(one, one.without.as_ref())), out)?;
            if let Some(bar) = &one.bar {
                writeln!(out, "  {}{}", " ".repeat(LEAD), drawn(bar))?;
            }
        }
    }
    for (lead, text) in [("applies", &one.standing), ("status", &one.information_only)] {
        if !text.is_empty() {
            line(lead, text, out)?;
        }
    }
    line("why", &one.reason, out)?;
    for score in &one.sub_scores {
        if one.headline.as_ref().is_none_or(|h| h.title != score.title) {
            let why = if score.left_out.is_empty() { String::new() } else { format!(": {}", score.left_out) };
            line(&score.title.to_lowercase(), &format!("{}{why}", score.range), out)?;
        }
    }
    // A verdict of passes and fails has no points to lose.
    let verdict = one.out_of.is_empty();
    if verdict {
        for (i, text) in not_met(&one.root).iter().enumerate() {
            line(if i == 0 { "not met" } else { "" }, text, out)?;
        }
    }
    let costs: &[Contribution] = if verdict { &[] } else { &one.drags };
    for (lead, effects) in [("costs most", costs), ("most open", &one.open)] {
        for (i, effect) in effects.iter().take(EFFECTS).enumerate() {
            line(if i == 0 { lead } else { "" }, &told(effect, verdict), out)?;
        }
    }
    rest(one, view, out)
}

/// Every requirement that is surely not met, in the order of the method, what is read of it behind it; one that asks nothing of a part
/// once, however many lists repeat it.
fn not_met(root: &ReasonedNode) -> Vec<String> {
    fn rows<'n>(node: &'n ReasonedNode, out: &mut Vec<&'n ReasonedNode>) {
        if node.children.is_empty() || node.either {
            out.push(node);
        } else {
            node.children.iter().for_each(|c| rows(c, out));
        }
    }
    let mut all = Vec::new();
    rows(root, &mut all);
    let mut out: Vec<String> = Vec::new();
    for row in all.into_iter().filter(|r| r.form == "no") {
        let part = row.role.as_ref().filter(|_| !row.of_device).map(|r| format!(": {r}")).unwrap_or_default();
        let read = row.ends.first().map(|e| e.said.as_str()).filter(|s| !s.is_empty());
        let text = format!("{}{part}{}", row.title, read.map_or_else(String::new, |s| format!(" ({s})")));
        if !out.contains(&text) {
            out.push(text);
        }
    }
    out
}

/// The verdict that leads: what the bench shows, why, what costs most and what is open, as the summary has it.
fn leading(one: &Assessed, brief: &Brief, out: &mut dyn Write) -> io::Result<()> {
    let bounds = bounded(&brief.bounds);
    let lead = if brief.about.is_empty() { "verdict" } else { "bench verdict" };
    let without = one.headline.as_ref().map_or(one.without.as_ref(), |bench| bench.without.as_ref());
    line(lead, &format!("{} {}{bounds}{}", brief.range, brief.out_of, by_sheet(one, without)), out)?;
    if let Some(bar) = &brief.bar {
        writeln!(out, "  {}{}", " ".repeat(LEAD), drawn(bar))?;
    }
    line("why", &brief.sentence, out)?;
    if !brief.full.is_empty() {
        let text =
            format!("{} {}{}{}", one.range, one.out_of, bounded(&one.bounds), by_sheet(one, one.without.as_ref()));
        line("full verdict", &text, out)?;
    }
    for score in &one.sub_scores {
        let why = if score.left_out.is_empty() { String::new() } else { format!(": {}", score.left_out) };
        line(&score.title.to_lowercase(), &format!("{}{why}", score.range), out)?;
    }
    for (lead, lines) in [("costs most", &brief.costs), ("most open", &brief.open)] {
        for (i, one) in lines.iter().enumerate() {
            line(if i == 0 { lead } else { "" }, &format!("{}: {}", one.points, one.text), out)?;
        }
    }
    Ok(())
}

/// How sure, and what to find out next.
fn rest(one: &Assessed, view: &View, out: &mut dyn Write) -> io::Result<()> {
    let routes = match one.certificate.as_str() {
        "" => String::new(),
        said => format!("; {}{}", said[..1].to_lowercase(), said[1..].trim_end_matches('.')),
    };
    listed("rests on", &one.rests_on, out)?;
    listed("not covered", &one.not_covered, out)?;
    line("certainty", &format!("weakest rule {}{routes}", one.weakest), out)?;
    if !one.assumed.is_empty() {
        line("assumed", &format!("{} settled without being stated", plural(one.assumed.len(), "fact")), out)?;
    }
    questions(one, view, out)?;
    writeln!(out)
}

/// Where a bench sheet supplied something: its name, and the verdict without it.
fn by_sheet(one: &Assessed, without: Option<&String>) -> String {
    match (&one.sheet, without) {
        (Some(sheet), Some(without)) => format!(" by the sheet of {sheet}; {without} without"),
        _ => String::new(),
    }
}

/// Says so where an end is a bound rather than a value some completion has.
fn bounded(bounds: &str) -> String {
    if bounds.is_empty() { String::new() } else { format!(" ({bounds})") }
}

/// The first of some texts, one a line.
fn listed(lead: &str, texts: &[String], out: &mut dyn Write) -> io::Result<()> {
    for (i, text) in texts.iter().take(EFFECTS).enumerate() {
        line(if i == 0 { lead } else { "" }, text, out)?;
    }
    match texts.len().checked_sub(EFFECTS) {
        Some(more) if more > 0 => line("", &format!("and {more} more: unfasten score RECORD --format json"), out),
        _ => Ok(()),
    }
}

fn told(effect: &Contribution, verdict: bool) -> String {
    let points =
        if verdict || effect.points.is_empty() { String::new() } else { format!(": {} points", effect.points) };
    format!("{} ({}){points}", effect.what, effect.said)
}

fn questions(one: &Assessed, view: &View, out: &mut dyn Write) -> io::Result<()> {
    if one.unknowns.is_empty() {
        let drafted = match view.drafted {
            0 => return line("open", "nothing: every fact the method reads is settled", out),
            n => plural(n, "drafted action"),
        };
        let text = format!("no question of its own; but nobody has reviewed {drafted}, and an answer may change them");
        return line("open", &text, out);
    }
    let idle = if one.settled { ", none of which can change the verdict" } else { "" };
    line("open", &format!("{}{idle}", plural(one.unknowns.len(), "question")), out)?;
    for unknown in one.unknowns.iter().take(QUESTIONS) {
        question(unknown, out)?;
    }
    if let Some(more) = one.unknowns.len().checked_sub(QUESTIONS).filter(|n| *n > 0) {
        let text = format!("and {more} more: unfasten check {} --method {}", view.record, one.method);
        write!(out, "{}", hang("       ", &text, WIDTH))?;
    }
    Ok(())
}

fn question(unknown: &Unknown, out: &mut dyn Write) -> io::Result<()> {
    write!(out, "{}", hang(&format!("  {:>3}. ", unknown.number), &unknown.question, WIDTH))?;
    let ends = match (unknown.low.as_str(), unknown.high.as_str()) {
        ("", "") => String::new(),
        (low, high) if low == high => String::new(),
        (low, high) => format!("; low end: {low}; high end: {high}"),
    };
    write!(out, "{}", hang("       ", &format!("at {}{ends}", unknown.place), WIDTH))
}

/// A range on its scale: `0 |----######----| 10`.
fn drawn(bar: &Bar) -> String {
    let cell = |percent: &str| -> usize {
        // One decimal at most: figures for drawing, not for reading.
        let tenths: usize = percent.replace('.', "").parse().unwrap_or(0);
        let tenths = if percent.contains('.') { tenths } else { tenths * 10 };
        (tenths * BAR / 1000).min(BAR - 1)
    };
    let (from, to) = (cell(&bar.from), cell(&bar.to));
    let cells: String = (0..BAR).map(|i| if (from..=to).contains(&i) { '#' } else { '-' }).collect();
    format!("{} |{cells}| {}", bar.scale[0], bar.scale[1])
}

fn line(lead: &str, text: &str, out: &mut dyn Write) -> io::Result<()> {
    let lead = format!("  {} ", super::column(lead, LEAD - 1));
    write!(out, "{}", hang(&lead, text, WIDTH))
}
