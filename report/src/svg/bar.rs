//! Range bars: a scale, and the span between the low and the high end with both ends marked.

use super::escape;

/// Width of the drawing, px.
const WIDTH: f64 = 320.0;

/// A range bar. `from` and `to` are percent of the scale, `ends` the numbers at its ends, `marks` class bounds with
/// their percent.
pub fn bar(from: &str, to: &str, ends: &[String; 2], text: &str, marks: &[(String, String)]) -> String {
    let x = |percent: &str| 8.0 + percent.parse::<f64>().unwrap_or(0.0) / 100.0 * (WIDTH - 16.0);
    let (a, b) = (x(from), x(to));
    let height = if marks.is_empty() { 36 } else { 50 };
    let mut out = format!(
        "<svg class=\"bar\" role=\"img\" aria-label=\"{}\" viewBox=\"0 0 {WIDTH} {height}\" width=\"{WIDTH}\" height=\"{height}\">",
        escape(text)
    );
    out.push_str(&format!("<path class=\"axis\" d=\"M8 11.5H{}M8 7.5v8M{} 7.5v8\"/>", WIDTH - 8.0, WIDTH - 8.0));
    if b - a > 0.05 {
        out.push_str(&format!("<rect class=\"span\" x=\"{a:.1}\" y=\"8\" width=\"{:.1}\" height=\"7\"/>", b - a));
    }
    for end in [a, b] {
        out.push_str(&format!("<path class=\"end\" d=\"M{end:.1} 3v17\"/>"));
    }
    out.push_str(&format!("<text x=\"8\" y=\"32\">{}</text>", escape(&ends[0])));
    out.push_str(&format!("<text x=\"{}\" y=\"32\" text-anchor=\"end\">{}</text>", WIDTH - 8.0, escape(&ends[1])));
    for (i, (name, at)) in marks.iter().enumerate() {
        let here = x(at);
        // Best first: a class reaches up to the bound of the one before it.
        let upto = i.checked_sub(1).map_or(WIDTH - 8.0, |j| x(&marks[j].1));
        if here > 8.5 {
            out.push_str(&format!("<path class=\"tick\" d=\"M{here:.1} 11.5v8\"/>"));
        }
        out.push_str(&format!(
            "<text x=\"{:.1}\" y=\"45\" text-anchor=\"middle\">{}</text>",
            f64::midpoint(here, upto),
            escape(name)
        ));
    }
    out.push_str("</svg>");
    out
}
