//! The summary card: 1200 by 630, one device, one verdict, and the reason in one sentence.

use super::escape;
use crate::picture::width;
use crate::text::wrap;
use crate::view::View;
use crate::words::english as en;

/// The card of a report, by its headline assessment. Empty when there is none.
pub fn card(view: &View) -> String {
    let Some(a) = view.assessments.first() else {
        return String::new();
    };
    let (range, of, bar, reason) = match &view.brief {
        Some(b) => {
            let about = if b.about.is_empty() { String::new() } else { format!(", {}", b.about) };
            (b.range.clone(), format!("{}{about}", b.out_of), b.bar.as_ref(), b.sentence.clone())
        }
        None => (
            a.range.clone(),
            [a.out_of.as_str(), a.class.as_str()].join(" ").trim().to_owned(),
            a.bar.as_ref(),
            a.reason.clone(),
        ),
    };
    let alt = format!("{}: {range} {of}. {reason}", view.title);
    let mut out = format!(
        "<svg role=\"img\" aria-label=\"{0}\" xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 1200 630\" width=\"1200\" height=\"630\"><title>{0}</title>\
<style>text{{font-family:system-ui,sans-serif;fill:#1b2230}}.h{{font-family:ui-serif,serif;font-weight:600}}.s{{fill:#4c5464}}</style>\
<rect width=\"1200\" height=\"630\" fill=\"#fcfbf8\"/><rect x=\"60\" y=\"52\" width=\"1080\" height=\"5\" fill=\"#1b2230\"/>",
        escape(&alt)
    );
    let mut y = 122;
    for text in lines(&view.title, 50, 2) {
        out.push_str(&text_at(60, y, 50, "h", &text));
        y += 56;
    }
    out.push_str(&text_at(60, y - 8, 24, "s", en::HOW_REPAIRABLE));
    y += 96;
    out.push_str(&text_at(60, y, 96, "h", &range));
    // Below the number, so that it never meets it, whatever the font.
    out.push_str(&text_at(60, y + 42, 26, "s", &of));
    if let Some(bar) = bar {
        out.push_str(&scale(&bar.from, &bar.to, &bar.scale, y + 78));
    }
    let mut down = y + 166;
    for text in lines(&reason, 28, (LOWEST.saturating_sub(down) / 36 + 1) as usize) {
        out.push_str(&text_at(60, down, 28, "h", &text));
        down += 36;
    }
    out.push_str(&text_at(60, 604, 18, "s", en::NO_CLASS));
    out.push_str("</svg>\n");
    out
}

/// Room of a line, from margin to margin, px.
const ROOM: f64 = 1080.0;
/// Where the lowest line of the reason may stand, px.
const LOWEST: u32 = 572;

/// A text in bold lines that keep between the margins in any usual font; what has no room ends in an ellipsis.
fn lines(text: &str, size: u32, most: usize) -> Vec<String> {
    let fits = |lines: &[String]| lines.iter().all(|l| width(l, f64::from(size), true) <= ROOM);
    let narrower = (1..=72).rev().map(|columns| wrap(text, columns));
    let mut out = narrower.into_iter().find(|lines| fits(lines)).unwrap_or_default();
    if out.len() > most {
        out.truncate(most);
        if let Some(last) = out.last_mut() {
            while !last.is_empty() && width(&format!("{last}…"), f64::from(size), true) > ROOM {
                last.pop();
            }
            *last = format!("{}…", last.trim_end());
        }
    }
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

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    /// Drawn with the font of the program, nothing reaches the right margin.
    #[rstest]
    #[case(
        "The back is glued and the other eight parts lie behind it; the battery takes seven steps, heat and alcohol."
    )]
    #[case("WWWW MMMM wwww mmmm WWWW MMMM wwww mmmm WWWW MMMM wwww mmmm WWWW MMMM wwww mmmm WWWW MMMM wwww mmmm")]
    #[case("Donaudampfschifffahrtselektrizitätenhauptbetriebswerkbauunterbeamtengesellschaftsmitgliedsausweishülle")]
    fn lines_keep_between_the_margins(#[case] text: &str) {
        for size in [28, 50] {
            let found = lines(text, size, 4);
            assert!(!found.is_empty() && found.len() <= 4);
            let mut drawing = String::from(
                "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 1200 630\" width=\"1200\" height=\"630\">\
                 <style>text{font-family:system-ui,sans-serif}.h{font-weight:600}</style>",
            );
            for (at, line) in (1..).zip(&found) {
                drawing.push_str(&text_at(60, at * 60, size, "h", line));
            }
            let picture = super::super::png::png(&(drawing + "</svg>")).unwrap();
            let drawn = resvg::tiny_skia::Pixmap::decode_png(&picture).unwrap();
            let ink = |x: u32| (0..630).any(|y| drawn.pixel(x, y).is_some_and(|p| p.alpha() > 0));
            assert!((60..600).any(ink), "nothing is drawn");
            assert!(!(1141..1200).any(ink), "{size}: {found:?}");
        }
    }
}
