//! The step chart: columns are counted steps, rows the tools in hand, the route one line through them. A long route is
//! broken into lines like music, so that it fits a page.

use super::escape;
use crate::clean::shorten;
use crate::view::types::{LedgerRow, RouteLedger};
use crate::words::english as en;

/// The chart and its text equivalent.
pub fn chart(route: &RouteLedger) -> (String, String) {
    (draw(route), text(route))
}

/// What the chart shows, in words; the ledger beside it says every line.
fn text(route: &RouteLedger) -> String {
    let mut tools: Vec<&str> = Vec::new();
    for line in route.lines.iter().filter(|l| !l.hold.is_empty()) {
        if tools.last() != Some(&line.hold.as_str()) {
            tools.push(&line.hold);
        }
    }
    en::route_in_words(&route.target, &route.steps, &tools)
}

/// Which step an operation belongs to, from 0: the one it ends, or the one still open.
fn column(line: &LedgerRow) -> u32 {
    // An operation that ends a step is the last of it; a change opens a new one.
    line.total.saturating_sub(u32::from(line.ends))
}

/// Width of the tool names, px.
const LEFT: u32 = 200;
/// Height of a row.
const ROW: u32 = 24;
/// Width of an operation.
const SLOT: u32 = 22;
/// Operations on a line of the chart: as many as fit the text of a printed page.
const SLOTS: usize = 24;
/// Height of the step numbers above a line, and of the gap below it.
const HEAD: u32 = 24;
const GAP: u32 = 10;

/// Operations line by line, broken where a step ends unless it alone is longer than a line.
fn lines(all: &[LedgerRow]) -> Vec<&[LedgerRow]> {
    let mut out = Vec::new();
    let mut rest = all;
    while rest.len() > SLOTS {
        let ends = |i: &usize| column(&rest[*i]) != column(&rest[*i - 1]);
        let cut = (1..=SLOTS).rev().find(ends).unwrap_or(SLOTS);
        let (now, then) = rest.split_at(cut);
        out.push(now);
        rest = then;
    }
    out.push(rest);
    out
}

fn draw(route: &RouteLedger) -> String {
    // What counts though nothing is done stands in the ledger alone; the chart is of tools in hand.
    let done: Vec<LedgerRow> = route.lines.iter().filter(|l| !l.hold.is_empty()).cloned().collect();
    let systems = lines(&done);
    let most = systems.iter().map(|s| s.len()).max().unwrap_or(0);
    let width = LEFT + SLOT * number(most) + 16;
    let mut body = String::new();
    let mut top = 0;
    for system in &systems {
        top = line(system, top, &mut body);
    }
    format!(
        "<svg class=\"steps\" role=\"img\" aria-label=\"{}\" viewBox=\"0 0 {width} {top}\" width=\"{width}\" height=\"{top}\">{body}</svg>",
        escape(&en::step_chart(&route.target, &route.steps)),
    )
}

fn number(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}

/// One line of the chart from `top` down; where the next begins.
fn line(system: &[LedgerRow], top: u32, out: &mut String) -> u32 {
    let mut tools: Vec<&str> = Vec::new();
    for l in system {
        if !tools.contains(&l.hold.as_str()) {
            tools.push(&l.hold);
        }
    }
    let height = ROW * number(tools.len());
    let x = |i: usize| LEFT + SLOT * number(i) + SLOT / 2;
    let y = |t: usize| top + HEAD + ROW * number(t) + ROW / 2;
    let right = LEFT + SLOT * number(system.len());
    let mut shades = [String::new(), String::new()];
    let mut heads = String::new();
    let mut i = 0;
    while i < system.len() {
        let step = column(&system[i]);
        let from = i;
        while i < system.len() && column(&system[i]) == step {
            i += 1;
        }
        let (a, wide) = (LEFT + SLOT * number(from), SLOT * number(i - from));
        let shade = &mut shades[usize::from(!step.is_multiple_of(2))];
        shade.push_str(&format!("M{a} {}h{wide}v{height}h-{wide}z", top + HEAD));
        heads.push_str(&format!("<text x=\"{}\">{}</text>", a + wide / 2, step + 1));
    }
    for (shade, class) in shades.iter().zip(["col", "col odd"]).filter(|(s, _)| !s.is_empty()) {
        out.push_str(&format!("<path class=\"{class}\" d=\"{shade}\"/>"));
    }
    out.push_str(&format!("<g class=\"mid\" transform=\"translate(0 {})\">{heads}</g>", top + HEAD - 7));
    let (mut axes, mut names) = (String::new(), String::new());
    for (t, tool) in tools.iter().enumerate() {
        axes.push_str(&format!("M{LEFT} {}H{right}", y(t)));
        names.push_str(&format!("<text y=\"{}\">{}</text>", y(t), escape(&shorten(tool, 27))));
    }
    out.push_str(&format!(
        "<path class=\"axis\" d=\"{axes}\"/><g class=\"far\" transform=\"translate({} 4)\">{names}</g>",
        LEFT - 8
    ));
    // What ends a step is a full square, what else counts (a change of tool) an open one, anything else a dot.
    let (mut way, mut off, mut change, mut dot) = (String::new(), String::new(), String::new(), String::new());
    for (i, l) in system.iter().enumerate() {
        let (cx, cy) = (x(i), y(tools.iter().position(|t| *t == l.hold).unwrap_or(0)));
        way.push_str(&format!("{}{cx} {cy}", if i == 0 { "M" } else { "L" }));
        let square = format!("M{} {}h10v10h-10z", cx - 5, cy - 5);
        match (l.counted > 0, l.ends) {
            (true, true) => off.push_str(&square),
            (true, false) => change.push_str(&square),
            (false, _) => dot.push_str(&format!("M{cx} {cy}h0")),
        }
    }
    for (d, class) in [(way, "route"), (off, "off"), (change, "change"), (dot, "dot")] {
        if !d.is_empty() {
            out.push_str(&format!("<path class=\"{class}\" d=\"{d}\"/>"));
        }
    }
    top + HEAD + height + GAP
}
