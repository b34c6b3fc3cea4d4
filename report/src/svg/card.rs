//! The summary card: 1200 by 630, one device, one verdict, what drags it down, what holds it up and what is open.

use super::escape;
use crate::text::wrap;
use crate::view::View;
use crate::view::types::Effect;

/// The card of a report, by its headline assessment. Empty when there is none.
#[expect(clippy::single_match_else, reason = "two cases of like weight")]
pub fn card(view: &View) -> String {
    let Some(a) = view.assessments.first() else {
        return String::new();
    };
    let (range, of) = match &a.headline {
        Some(h) => (h.range.clone(), format!("{}, {}", h.out_of, h.title.to_lowercase())),
        None => {
            let of: Vec<&str> = [a.out_of.as_str(), a.class.as_str()].into_iter().filter(|t| !t.is_empty()).collect();
            (a.range.clone(), of.join(", "))
        }
    };
    let alt = format!("{}: {range} {of}. {}", view.title, a.reason);
    let mut out = format!(
        "<svg role=\"img\" aria-label=\"{0}\" xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 1200 630\" width=\"1200\" height=\"630\"><title>{0}</title>\
<style>text{{font-family:system-ui,sans-serif;fill:#1b2230}}.h{{font-family:ui-serif,serif;font-weight:600}}.s{{fill:#4c5464}}</style>\
<rect width=\"1200\" height=\"630\" fill=\"#fcfbf8\"/><rect x=\"60\" y=\"52\" width=\"1080\" height=\"5\" fill=\"#1b2230\"/>",
        escape(&alt)
    );
    let mut y = 118;
    for text in wrap(&view.title, 40).iter().take(2) {
        out.push_str(&text_at(60, y, 46, "h", text));
        y += 54;
    }
    out.push_str(&text_at(60, y - 8, 22, "s", &crate::clean::shorten(&format!("{} ({})", a.title, a.edition), 88)));
    y += 92;
    out.push_str(&text_at(60, y, 88, "h", &range));
    // Wide enough for any digits of the display font; drawn below so that it never meets the number.
    out.push_str(&text_at(60, y + 42, 26, "s", &of));
    if let Some(bar) = a.headline.as_ref().map_or(a.bar.as_ref(), |h| h.bar.as_ref()) {
        out.push_str(&scale(&bar.from, &bar.to, &bar.scale, y + 78));
    }
    let groups = [("Drags it down", &a.drags), ("Holds it up", &a.holds), ("Open", &a.open)];
    let groups: Vec<_> = groups.into_iter().filter(|(_, effects)| !effects.is_empty()).collect();
    // Two wide columns with an item a line, or three narrow ones whose items take two.
    let shape = if groups.len() > 2 {
        Column { step: 374, letters: 32, items: 2, lines: 2 }
    } else {
        Column { step: 560, letters: 48, items: 3, lines: 1 }
    };
    for (x, (title, effects)) in (60..).step_by(shape.step).zip(groups) {
        out.push_str(&column(x, y + 160, title, effects, &shape));
    }
    out.push_str(&text_at(60, 604, 18, "s", "Unofficial pre-check from one teardown record; not a declared class."));
    out.push_str("</svg>\n");
    out
}

fn text_at(x: u32, y: u32, size: u32, class: &str, text: &str) -> String {
    format!("<text class=\"{class}\" x=\"{x}\" y=\"{y}\" font-size=\"{size}\">{}</text>", escape(text))
}

fn scale(from: &str, to: &str, ends: &[String; 2], y: u32) -> String {
    let x = |percent: &str| 60.0 + percent.parse::<f64>().unwrap_or(0.0) / 100.0 * 1080.0;
    let (a, b) = (x(from), x(to));
    format!(
        "<path d=\"M60 {y}H1140M60 {0}v16M1140 {0}v16\" stroke=\"#1b2230\" stroke-opacity=\".45\" fill=\"none\"/>\
<rect x=\"{a:.1}\" y=\"{1}\" width=\"{2:.1}\" height=\"14\" fill=\"#8a2a6b\"/><path d=\"M{a:.1} {3}v36M{b:.1} {3}v36\" stroke=\"#1b2230\" stroke-width=\"5\"/>{4}<text x=\"1140\" y=\"{5}\" font-size=\"20\" text-anchor=\"end\">{6}</text>",
        y - 8,
        y - 7,
        (b - a).max(0.0),
        y - 18,
        text_at(60, y + 34, 20, "", &ends[0]),
        y + 34,
        escape(&ends[1])
    )
}

/// How the groups are set.
struct Column {
    /// From one column to the next, px.
    step: usize,
    /// Letters on a line.
    letters: usize,
    items: usize,
    /// Lines an item may take.
    lines: usize,
}

fn column(x: u32, y: u32, title: &str, effects: &[Effect], shape: &Column) -> String {
    let mut out = text_at(x, y, 24, "h", title);
    let mut down = y + 6;
    for effect in effects.iter().take(shape.items) {
        let said = match effect.said.as_str() {
            // The column says that it is open; a part out of reach says enough.
            said if said.is_empty() || said.starts_with("from ") || !effect.cells.is_empty() => String::new(),
            said => format!(" ({said})"),
        };
        let text = crate::clean::shorten(&format!("{}{said}", effect.what), shape.letters * shape.lines - 2);
        let lines = wrap(&text, shape.letters);
        for (i, line) in lines.iter().take(shape.lines).enumerate() {
            down += 27;
            let goes_on = if i + 1 == shape.lines && lines.len() > shape.lines { " …" } else { "" };
            out.push_str(&text_at(x, down, 20, "", &format!("{line}{goes_on}")));
        }
        down += 7;
    }
    out
}
