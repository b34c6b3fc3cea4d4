//! Text for the description of a video: the verdict, chapters, tools in hand, parts to buy with room for links, cautions.

use std::collections::BTreeSet;

use scoring::record::{Action, Aim, Outcome, Record, Timing};

use crate::clean::{clock, line};
use crate::text::{headline, total};
use crate::view::View;
use crate::words::english::{self as en, another_way, plural, video as say};

/// Least length of a chapter, seconds: shorter neighbours join.
pub const APART: u32 = 40;
/// Most chapters.
pub const MOST: usize = 15;
/// Longest title, letters.
pub const LETTERS: usize = 40;

/// A chapter: its start in seconds and its title.
pub type Chapter = (u32, String);

/// What a moment of the footage shows.
#[derive(Clone, Debug)]
struct Shown {
    at: u32,
    /// What came off, or was done; empty for plugs and the like, which name no chapter.
    names: Vec<String>,
    /// A part came off.
    off: bool,
    failed: bool,
    hot: bool,
}

/// Chapters from everything that has a time: actions, the way back, remarks. The first at 0:00, at most fifteen, none under forty
/// seconds but the last.
pub fn chapters(record: &Record) -> Vec<Chapter> {
    let mut shown: Vec<Shown> = record.actions.iter().filter_map(|a| action(record, a)).collect();
    shown.extend(record.back.iter().filter_map(|a| {
        Some(Shown {
            at: a.at.as_ref()?.value.from,
            names: vec![say::PUTTING_BACK.to_owned()],
            off: false,
            failed: false,
            hot: false,
        })
    }));
    shown.extend(record.remarks.iter().filter_map(|r| {
        Some(Shown { at: r.at.as_ref()?.from, names: Vec::new(), off: false, failed: false, hot: false })
    }));
    // Where taking apart ends, unless the way back has times of its own.
    if let Some(end) = record.teardown.ends.as_ref().filter(|e| !shown.iter().any(|s| s.at >= e.value.0)) {
        shown.push(Shown {
            at: end.value.0,
            names: vec![say::AFTER_TEARDOWN.to_owned()],
            off: false,
            failed: false,
            hot: false,
        });
    }
    shown.sort_by_key(|s| s.at);
    // What came off already comes off again by another way.
    let mut off: BTreeSet<String> = BTreeSet::new();
    for one in shown.iter_mut().filter(|s| s.off) {
        for name in &mut one.names {
            if !off.insert(name.clone()) {
                *name = another_way(name);
            }
        }
    }
    let mut groups: Vec<Vec<Shown>> = Vec::new();
    for one in shown {
        match groups.last_mut() {
            Some(group) if one.at < group[0].at + APART => group.push(one),
            _ => groups.push(vec![one]),
        }
    }
    // What names nothing belongs to the chapter before.
    let mut out: Vec<Vec<Shown>> = Vec::new();
    for group in groups {
        match out.last_mut() {
            Some(before) if group.iter().all(|s| s.names.is_empty()) => before.extend(group),
            _ => out.push(group),
        }
    }
    if out.first().is_some_and(|g| g.iter().all(|s| s.names.is_empty())) {
        out.remove(0);
    }
    // Too many: the shortest joins its neighbour.
    while out.len() > MOST - 1 {
        let shortest = (0..out.len() - 1).min_by_key(|&i| out[i + 1][0].at - out[i][0].at).unwrap_or(0);
        let next = out.remove(shortest + 1);
        out[shortest].extend(next);
    }
    let mut chapters: Vec<Chapter> = Vec::new();
    if out.first().is_none_or(|g| g[0].at >= APART) {
        chapters.push((0, say::THE_DEVICE_SHOWN.to_owned()));
    }
    for group in &out {
        let at = if chapters.is_empty() { 0 } else { group[0].at };
        chapters.push((at, title(group)));
    }
    chapters
}

fn action(record: &Record, action: &Action) -> Option<Shown> {
    let at = action.at.as_ref()?.value.from;
    let names = match &action.aim {
        Aim::Free(parts) => parts.iter().map(|p| called(record, &p.value)).collect(),
        Aim::Do(_) => Vec::new(),
    };
    if action.outcome.value == Outcome::NotAttempted {
        return None;
    }
    let tools = action.with.iter().filter_map(|w| w.ways.settled()).flatten().flat_map(|s| &s.tools);
    let hot = tools.into_iter().any(|u| record.tools.get(u.tool).is_some_and(|t| t.heat));
    let failed = action.outcome.value == Outcome::Failed;
    Some(Shown { at, off: !names.is_empty() && !failed, names, failed, hot })
}

/// Name of a part as the summary has it.
fn called(record: &Record, name: &str) -> String {
    let part = record.parts.iter().find(|p| scoring::text::fold(&p.name.value) == scoring::text::fold(name));
    let role = part.and_then(|p| p.roles.first()).map_or("", |r| r.value.name.as_str());
    let fills = |p: &&scoring::record::Part| p.roles.iter().any(|r| r.value.name == role);
    let role = if record.parts.iter().filter(fills).count() > 1 { "" } else { role };
    en::name(role, &line(name))
}

fn title(group: &[Shown]) -> String {
    let mut names: Vec<String> = Vec::new();
    let done = |name: &String| group.iter().any(|s| !s.failed && s.names.contains(name));
    for one in group {
        for name in &one.names {
            // What fails at first and comes out at last is one thing.
            let twice = group.iter().any(|s| s.failed && s.names.contains(name)) && done(name);
            let name = match (twice, one.failed) {
                (true, _) => say::a_try_fails(name),
                (false, true) => say::fails(name),
                (false, false) => name.clone(),
            };
            if !names.contains(&name) {
                names.push(name);
            }
        }
    }
    let names = alike(names);
    let hot = group.iter().any(|s| s.hot);
    let fits = |t: &String| t.chars().count() <= LETTERS;
    let mut tries = vec![say::chapter(&names, 0, hot), say::chapter(&names, 0, false)];
    // One more would be named.
    for n in (1..names.len().saturating_sub(1)).rev() {
        tries.extend([hot, false].map(|heat| say::chapter(&names[..n], names.len() - n, heat)));
    }
    let text = tries.into_iter().find(fits).unwrap_or_else(|| {
        let cut: String = names.first().map_or("", String::as_str).chars().take(LETTERS - 1).collect();
        format!("{}…", cut.trim_end())
    });
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

/// Two or more of one last word become its plural: `main camera`, `wide camera`: `cameras`.
fn alike(names: Vec<String>) -> Vec<String> {
    let last = |n: &str| n.rsplit(' ').next().unwrap_or_default().to_owned();
    let mut out: Vec<String> = Vec::new();
    for name in &names {
        let same = names.iter().filter(|n| last(n) == last(name)).count();
        let plural = if last(name).ends_with(')') { last(name) } else { plural(&last(name)) };
        let told = if same > 1 && !name.ends_with(')') { plural } else { name.clone() };
        if !out.contains(&told) {
            out.push(told);
        }
    }
    out
}

/// The description, plain text.
pub fn description(record: &Record, view: &View) -> String {
    let mut out = format!("{}\n\n", view.title);
    if let Some(brief) = &view.brief {
        let about = if brief.about.is_empty() { String::new() } else { format!(" ({})", brief.about) };
        out.push_str(&format!("{} {}{about}\n{}\n", brief.range, brief.out_of, brief.sentence));
        if !brief.full.is_empty() {
            out.push_str(&format!("{}\n", brief.full));
        }
    } else if let Some(first) = view.assessments.first() {
        out.push_str(&format!("{}: {}\n{}\n", first.title, headline(first), first.reason));
    }
    for a in view.assessments.iter().skip(1) {
        out.push_str(&format!("{}: {}\n", a.title, total(a)));
    }
    if let Some(brief) = &view.brief {
        let lines = |list: &[crate::view::types::BriefLine]| -> Vec<String> {
            list.iter().map(|l| format!("{}: {}", l.points, l.text)).collect()
        };
        section(&mut out, say::COSTS_MOST, &lines(&brief.costs));
        section(&mut out, say::IS_OPEN, &lines(&brief.open));
    }
    out.push_str(&format!("\n{}\n", view.status));
    if record.actions.iter().any(|a| a.at.is_some()) {
        out.push_str(&format!("\n{}\n", say::CHAPTERS));
        for (at, title) in chapters(record) {
            out.push_str(&format!("{} {title}\n", clock(at)));
        }
        let rough = record.actions.iter().filter_map(|a| a.at.as_ref()).any(|a| a.value.timing != Timing::Seen);
        if rough {
            out.push_str(&format!("{}\n", say::ESTIMATES));
        }
    }
    section(&mut out, say::TOOLS_IN_HAND, &tools(record));
    let buy: Vec<String> = view.back.buy.iter().map(|b| say::to_link(b)).collect();
    section(&mut out, say::TO_BUY, &buy);
    let cautions: Vec<String> = view.cautions.iter().map(|c| format!("{}: {}", c.hazard, c.caution)).collect();
    if !cautions.is_empty() {
        section(&mut out, say::CAUTIONS, &cautions);
        out.push_str(&format!("{}\n", view.defers));
    }
    let mut sources: Vec<String> = view.assessments.iter().map(|a| format!("{} ({})", a.title, a.edition)).collect();
    sources.push(say::made_from(&view.record, &view.program));
    section(&mut out, say::SOURCES, &sources);
    out
}

/// Tools that were in somebody's hand on this bench: those of actions that were done or failed.
fn tools(record: &Record) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for action in record.actions.iter().filter(|a| a.outcome.value != Outcome::NotAttempted) {
        if action.margin.basis.unwrap_or(record.teardown.basis()) != scoring::vocab::Basis::Seen {
            continue;
        }
        for used in action.with.iter().filter_map(|w| w.ways.settled()).flatten().flat_map(|s| &s.tools) {
            let name = record.tools.get(used.tool).map(|t| line(&t.name)).unwrap_or_default();
            if !name.is_empty() && !out.contains(&name) {
                out.push(name);
            }
        }
    }
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
