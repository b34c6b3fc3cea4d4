//! The strip of lost points: one piece a criterion, as wide as what is lost on it; what is open is hatched.

use scoring::exact::{Exact, Rounding};

use super::escape;
use crate::facts::{Losses, Lost};
use crate::words::english as en;

/// Width, px.
const WIDTH: f64 = 704.0;
/// Estimated width of a letter of the labels, px.
const LETTER: f64 = 6.6;

/// The strip; empty where nothing is lost.
pub fn strip(lost: &Losses) -> String {
    draw(lost, total(lost), "open-points")
}

/// Strips of several verdicts on one scale, so that a piece twice as wide costs twice as much; empty texts where nothing is lost.
pub fn beside(all: &[Losses]) -> Vec<String> {
    let most = all.iter().map(total).fold(0.0, f64::max);
    all.iter().enumerate().map(|(i, lost)| draw(lost, most, &format!("open-points-{}", i + 1))).collect()
}

/// All that is lost for sure or open.
fn total(lost: &Losses) -> f64 {
    lost.criteria.iter().map(|l| l.surely().to_f64() + l.open().to_f64()).sum()
}

fn draw(lost: &Losses, most: f64, id: &str) -> String {
    let rows: Vec<&Lost> = lost.criteria.iter().filter(|l| l.points.iter().any(|p| !p.is_zero())).collect();
    if rows.is_empty() || most <= 0.0 {
        return String::new();
    }
    let scale = WIDTH / most;
    let text = |v: &Exact| v.display(2, Rounding::HalfUp);
    let alt: Vec<String> = rows
        .iter()
        .map(|l| {
            let open = l.open();
            let open = (!open.is_zero()).then(|| text(&open));
            en::lost_on(&l.title, &text(l.surely()), open.as_deref())
        })
        .collect();
    let mut out = format!(
        "<svg class=\"strip\" role=\"img\" aria-label=\"{}\" viewBox=\"0 0 {WIDTH} HEIGHT\" width=\"{WIDTH}\" height=\"HEIGHT\"><defs><pattern id=\"{id}\" width=\"5\" height=\"5\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><path class=\"ink\" d=\"M0 0v5\"/></pattern></defs>",
        escape(&en::lost_points(&alt))
    );
    let mut x = 0.0;
    // Where the last label of each of three lines ends.
    let mut ends = [f64::MIN; 3];
    for row in rows {
        let (sure, open) = (row.surely().to_f64() * scale, row.open().to_f64() * scale);
        let class = if row.limit { "limit" } else { "sure" };
        if sure > 0.0 {
            out.push_str(&format!(
                "<rect class=\"{class}\" x=\"{x:.1}\" y=\"1\" width=\"{:.1}\" height=\"20\"/>",
                (sure - 1.0).max(0.6)
            ));
            if sure > 26.0 {
                let said = row.surely().display(2, Rounding::HalfUp);
                out.push_str(&format!(
                    "<text class=\"on mid\" x=\"{:.1}\" y=\"15\">{}</text>",
                    x + sure / 2.0,
                    said.trim_start_matches('0')
                ));
            }
        }
        if open > 0.0 {
            out.push_str(&format!(
                "<rect class=\"open\" fill=\"url(#{id})\" x=\"{:.1}\" y=\"1.5\" width=\"{:.1}\" height=\"19\"/>",
                x + sure,
                (open - 1.0).max(0.6)
            ));
        }
        let wide = row.short.chars().count() as f64 * LETTER;
        let left = x.min(WIDTH - wide);
        if let Some(line) = ends.iter().position(|end| *end + 9.0 <= left) {
            ends[line] = left + wide;
            let y = 33.0 + 14.0 * line as f64;
            if line > 0 {
                out.push_str(&format!("<path class=\"thin\" d=\"M{:.1} 22V{:.1}\"/>", x + 0.5, y - 8.0));
            }
            out.push_str(&format!("<text x=\"{left:.1}\" y=\"{y}\">{}</text>", escape(&row.short)));
        }
        x += sure + open;
    }
    out.push_str("</svg>");
    let lines = ends.iter().filter(|e| **e > f64::MIN).count().max(1);
    out.replace("HEIGHT", &(24 + 14 * lines).to_string())
}
