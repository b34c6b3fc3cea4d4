//! Verdicts for reading in a terminal: what it is, why, and what to find out next.

use std::io::{self, Write};

use report::view::View;
use report::view::types::{Assessed, Bar, Brief, Contribution, ReasonedNode, Score, Unknown};

use super::hang;
use crate::words::verdict as say;
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
    write!(out, "{}", hang("", &say::title(&view.title, &view.record), WIDTH))?;
    writeln!(out, "{}", "=".repeat(WIDTH))?;
    for (place, one) in view.assessments.iter().enumerate() {
        assessed(one, view.brief.as_ref().filter(|_| place == 0), view, out)?;
    }
    if let Some(own) = &view.own_verdict {
        line(say::OWN_VERDICT, &say::own_verdict(own), out)?;
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
    write!(out, "{}", hang(&format!("{}: ", one.method), &say::method(&one.title, &one.edition), WIDTH))?;
    if let Some(brief) = brief {
        leading(one, brief, out)?;
        return rest(one, view, out);
    }
    if let Some(headline) = &one.headline {
        let text = say::range(&headline.range, &headline.out_of, "", "", sheet(one, headline.without.as_ref()));
        line(&headline.title, &text, out)?;
    }
    let total = say::range(&one.range, &one.out_of, &one.class, &one.bounds, sheet(one, one.without.as_ref()));
    match &one.headline {
        // The bar is that of the score that stands first.
        Some(headline) => {
            if let Some(bar) = &headline.bar {
                writeln!(out, "  {}{}", " ".repeat(LEAD), drawn(bar))?;
            }
            line(say::FULL_VERDICT, &total, out)?;
        }
        None => {
            line(say::VERDICT, &total, out)?;
            if let Some(bar) = &one.bar {
                writeln!(out, "  {}{}", " ".repeat(LEAD), drawn(bar))?;
            }
        }
    }
    for (lead, text) in [(say::APPLIES, &one.standing), (say::STATUS, &one.information_only)] {
        if !text.is_empty() {
            line(lead, text, out)?;
        }
    }
    line(say::WHY, &one.reason, out)?;
    for score in &one.sub_scores {
        if one.headline.as_ref().is_none_or(|h| h.title != score.title) {
            line(&score.title.to_lowercase(), &say::sub_score(within(score), &score.left_out), out)?;
        }
    }
    // A verdict of passes and fails has no points to lose.
    let verdict = one.requirements;
    if verdict {
        for (i, text) in not_met(&one.root).iter().enumerate() {
            line(if i == 0 { say::NOT_MET } else { "" }, text, out)?;
        }
    }
    let costs: &[Contribution] = if verdict { &[] } else { &one.drags };
    for (lead, effects) in [(say::COSTS_MOST, costs), (say::MOST_OPEN, &one.open)] {
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
        let part = row.role.as_deref().filter(|_| !row.of_device);
        let read = row.ends.first().map(|e| e.said.as_str()).filter(|s| !s.is_empty());
        let text = say::not_met(&row.title, part, read);
        if !out.contains(&text) {
            out.push(text);
        }
    }
    out
}

/// The verdict that leads: what the bench shows, why, what costs most and what is open, as the summary has it.
fn leading(one: &Assessed, brief: &Brief, out: &mut dyn Write) -> io::Result<()> {
    let lead = if brief.about.is_empty() { say::VERDICT } else { say::BENCH_VERDICT };
    let without = one.headline.as_ref().map_or(one.without.as_ref(), |bench| bench.without.as_ref());
    line(lead, &say::range(&brief.range, &brief.out_of, "", &brief.bounds, sheet(one, without)), out)?;
    if let Some(bar) = &brief.bar {
        writeln!(out, "  {}{}", " ".repeat(LEAD), drawn(bar))?;
    }
    line(say::WHY, &brief.sentence, out)?;
    if !brief.full.is_empty() {
        let text = say::range(&one.range, &one.out_of, "", &one.bounds, sheet(one, one.without.as_ref()));
        line(say::FULL_VERDICT, &text, out)?;
    }
    for score in &one.sub_scores {
        line(&score.title.to_lowercase(), &say::sub_score(within(score), &score.left_out), out)?;
    }
    for (lead, lines) in [(say::COSTS_MOST, &brief.costs), (say::MOST_OPEN, &brief.open)] {
        for (i, one) in lines.iter().enumerate() {
            line(if i == 0 { lead } else { "" }, &say::points(&one.points, &one.text), out)?;
        }
    }
    Ok(())
}

/// How sure, and what to find out next.
fn rest(one: &Assessed, view: &View, out: &mut dyn Write) -> io::Result<()> {
    listed(say::RESTS_ON, &one.rests_on, out)?;
    listed(say::NOT_COVERED, &one.not_covered, out)?;
    line(say::CERTAINTY, &say::weakest(&one.weakest, one.behind), out)?;
    if !one.assumed.is_empty() {
        line(say::ASSUMED, &say::assumed(one.assumed.len()), out)?;
    }
    questions(one, view, out)?;
    writeln!(out)
}

/// Where a bench sheet supplied something: its name, and the verdict without it.
fn sheet<'a>(one: &'a Assessed, without: Option<&'a String>) -> Option<[&'a str; 2]> {
    Some([one.sheet.as_deref()?, without?])
}

/// The first of some texts, one a line.
fn listed(lead: &str, texts: &[String], out: &mut dyn Write) -> io::Result<()> {
    for (i, text) in texts.iter().take(EFFECTS).enumerate() {
        line(if i == 0 { lead } else { "" }, text, out)?;
    }
    match texts.len().checked_sub(EFFECTS) {
        Some(more) if more > 0 => line("", &say::more(more), out),
        _ => Ok(()),
    }
}

fn told(effect: &Contribution, verdict: bool) -> String {
    let points = Some(&*effect.points).filter(|points| !verdict && !points.is_empty());
    say::effect(&effect.what, &effect.said, points)
}

fn questions(one: &Assessed, view: &View, out: &mut dyn Write) -> io::Result<()> {
    if one.unknowns.is_empty() {
        return match view.drafted {
            0 => line(say::OPEN, say::NOTHING_OPEN, out),
            n => line(say::OPEN, &say::drafted(n), out),
        };
    }
    line(say::OPEN, &say::open(one.unknowns.len(), one.settled), out)?;
    for unknown in one.unknowns.iter().take(QUESTIONS) {
        question(unknown, out)?;
    }
    if let Some(more) = one.unknowns.len().checked_sub(QUESTIONS).filter(|n| *n > 0) {
        let text = say::more_questions(more, &view.record, &one.method);
        write!(out, "{}", hang("       ", &text, WIDTH))?;
    }
    Ok(())
}

fn question(unknown: &Unknown, out: &mut dyn Write) -> io::Result<()> {
    write!(out, "{}", hang(&format!("  {:>3}. ", unknown.number), &unknown.question, WIDTH))?;
    let ends = match (unknown.low.as_str(), unknown.high.as_str()) {
        (low, high) if low == high => None,
        (low, high) => Some([low, high]),
    };
    write!(out, "{}", hang("       ", &say::question(&unknown.place, ends), WIDTH))
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

/// The range of a score, or where it is a bound what was reached of it.
fn within(score: &Score) -> &str {
    if score.bounds.is_empty() { &score.range } else { &score.bounds }
}
