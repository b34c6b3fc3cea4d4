//! The step chart: columns are counted steps, rows the tools in hand, the route one line through them.

use super::escape;
use crate::clean::shorten;
use crate::view::types::Route;

/// The chart and its text equivalent.
pub fn chart(route: &Route) -> (String, String) {
    let text = text(route);
    (draw(route, &text), text)
}

/// What the chart shows, in words; the ledger beside it says every line.
fn text(route: &Route) -> String {
    let mut tools: Vec<&str> = Vec::new();
    for line in &route.lines {
        if tools.last() != Some(&line.hold.as_str()) {
            tools.push(&line.hold);
        }
    }
    format!(
        "Route to {} in {}. In hand, in order: {}. The ledger tells it line by line.",
        route.target,
        route.steps,
        tools.join(", then ")
    )
}

/// Which step an operation belongs to, from 0: the one it ends, or the one still open.
fn column(line: &crate::view::types::LedgerRow) -> u32 {
    // An operation that ends a removal is the last of its step; a change opens a new one.
    if line.why.contains("removal") || line.why.contains("mains unplugged") {
        line.total.saturating_sub(1)
    } else {
        line.total
    }
}

const LEFT: f64 = 180.0;
const ROW: f64 = 24.0;
const DOT: f64 = 22.0;

#[expect(clippy::many_single_char_names, reason = "coordinates")]
fn draw(route: &Route, text: &str) -> String {
    let mut tools: Vec<&str> = Vec::new();
    for line in &route.lines {
        if !tools.contains(&line.hold.as_str()) {
            tools.push(&line.hold);
        }
    }
    // Every operation has its own slot; a step is as wide as its operations.
    let width = LEFT + DOT * route.lines.len() as f64 + 16.0;
    let height = 30.0 + ROW * tools.len() as f64 + 10.0;
    let x = |i: usize| LEFT + DOT * (i as f64 + 0.5);
    let y = |t: usize| 30.0 + ROW * (t as f64 + 0.5);
    let mut out = format!(
        "<svg class=\"steps\" role=\"img\" aria-label=\"Step chart\" viewBox=\"0 0 {width:.0} {height:.0}\" width=\"{width:.0}\" height=\"{height:.0}\" xmlns=\"http://www.w3.org/2000/svg\"><title>Step chart: {}, {}</title><desc>{}</desc>",
        escape(&route.target),
        escape(&route.steps),
        escape(text)
    );
    let mut i = 0;
    while i < route.lines.len() {
        let step = column(&route.lines[i]);
        let from = i;
        while i < route.lines.len() && column(&route.lines[i]) == step {
            i += 1;
        }
        let (a, b) = (x(from) - DOT / 2.0, x(i - 1) + DOT / 2.0);
        let shade = if step.is_multiple_of(2) { "col" } else { "col odd" };
        out.push_str(&format!(
            "<rect class=\"{shade}\" x=\"{a:.0}\" y=\"22\" width=\"{:.0}\" height=\"{:.0}\"/>",
            b - a,
            height - 28.0
        ));
        out.push_str(&format!(
            "<text x=\"{:.0}\" y=\"16\" text-anchor=\"middle\">{}</text>",
            f64::midpoint(a, b),
            step + 1
        ));
    }
    for (t, tool) in tools.iter().enumerate() {
        out.push_str(&format!("<path class=\"axis\" d=\"M{LEFT} {:.0}H{:.0}\"/>", y(t), width - 16.0));
        out.push_str(&format!(
            "<text x=\"{}\" y=\"{:.0}\" text-anchor=\"end\">{}</text>",
            LEFT - 8.0,
            y(t) + 4.0,
            escape(&shorten(tool, 22))
        ));
    }
    let row = |l: &crate::view::types::LedgerRow| tools.iter().position(|t| *t == l.hold).unwrap_or(0);
    let mut path = String::new();
    for (i, line) in route.lines.iter().enumerate() {
        path.push_str(&format!("{}{:.0} {:.0}", if i == 0 { "M" } else { "L" }, x(i), y(row(line))));
    }
    out.push_str(&format!("<path class=\"route\" d=\"{path}\"/>"));
    for (i, line) in route.lines.iter().enumerate() {
        let (cx, cy) = (x(i), y(row(line)));
        // A removal is a full square, a change of tool an open one, anything else a dot.
        if line.counted > 0 && line.why.contains("removal") {
            out.push_str(&format!(
                "<rect class=\"off\" x=\"{:.0}\" y=\"{:.0}\" width=\"10\" height=\"10\"/>",
                cx - 5.0,
                cy - 5.0
            ));
        } else if line.counted > 0 {
            out.push_str(&format!(
                "<rect class=\"change\" x=\"{:.0}\" y=\"{:.0}\" width=\"10\" height=\"10\"/>",
                cx - 5.0,
                cy - 5.0
            ));
        } else {
            out.push_str(&format!("<circle class=\"dot\" cx=\"{cx:.0}\" cy=\"{cy:.0}\" r=\"3\"/>"));
        }
    }
    out.push_str("</svg>");
    out
}
