//! The drawing as SVG. Colours come from the page, forms tell what they don't.

use super::layout::{Laid, Piece, SMALL, WIDTH, width};
use super::tree::{Known, Mark, Tree};
use super::{layout, list};
use crate::svg::escape;
use crate::words::english as en;

/// What a mark means, in the order of the legend.
const LEGEND: [(Sign, &str); 11] = [
    (Sign::Dot, en::PART_THAT_COUNTS),
    (Sign::Destroyed, en::DESTROYS_A_PART),
    (Sign::Mark(Mark::Heat), en::MARKS[1]),
    (Sign::Mark(Mark::Glue), en::STUCK_TO_CUT),
    (Sign::Mark(Mark::Solvent), en::MARKS[2]),
    (Sign::Mark(Mark::Plug), en::MARKS[0]),
    (Sign::Mark(Mark::Together), en::SAFE_TOGETHER),
    (Sign::Mark(Mark::Safe), en::SAFE_FROM_HERE),
    (Sign::Line(Known::Drafted), en::DRAFTED),
    (Sign::Line(Known::Told), en::TOLD),
    (Sign::Line(Known::Untried), en::NOBODY_TRIED),
];

#[derive(Clone, Copy, PartialEq, Eq)]
enum Sign {
    Dot,
    Destroyed,
    Mark(Mark),
    Line(Known),
}

/// The picture of a tree; empty where nothing comes out. It is hidden from screen readers: the list says the same.
pub fn svg(tree: &Tree) -> String {
    if tree.roots.is_empty() {
        return String::new();
    }
    let laid = layout(tree);
    let signs = signs(&laid);
    let rows = legend_rows(&signs);
    let height = laid.height + 16.0 * rows.len() as f64 + 2.0;
    let mut out = format!(
        "<svg class=\"ways\" role=\"img\" aria-label=\"{}\" viewBox=\"0 0 {WIDTH} {height:.0}\" width=\"{WIDTH}\" height=\"{height:.0}\">",
        escape(&alternative(tree)),
    );
    for (x, _) in &laid.columns {
        out.push_str(&format!("<path class=\"col\" d=\"M{x:.1} {:.1}V{:.1}\"/>", laid.ground[0], laid.ground[1]));
    }
    if let Some(x) = laid.broken {
        let y = laid.ground[0] - 9.0;
        out.push_str(&format!("<path class=\"ink\" d=\"M{x:.1} {y:.1}l4 -8M{:.1} {y:.1}l4 -8\"/>", x + 4.0));
    }
    // Thick lines first, so that a branch starts on top of its trunk.
    for piece in &laid.pieces {
        out.push_str(&line(piece));
    }
    for piece in &laid.pieces {
        for (mark, x) in &piece.marks {
            out.push_str(&sign(*mark, *x, piece.from[1], piece.width / 2.0));
        }
    }
    for dot in &laid.dots {
        let [x, y] = dot.at;
        if let Some(lane) = dot.lane {
            out.push_str(&format!("<path class=\"thin\" d=\"M{x:.1} {lane:.1}V{y:.1}\"/>"));
        }
        out.push_str(&dot_at(x, y, dot.destroyed));
    }
    for l in &laid.labels {
        let class = if l.bold { " class=\"part\"" } else { "" };
        out.push_str(&format!(
            "<text{class} x=\"{:.1}\" y=\"{:.1}\" style=\"font-size:{}px\">{}</text>",
            l.at[0],
            l.at[1],
            l.size,
            escape(&l.text)
        ));
    }
    for (i, row) in rows.iter().enumerate() {
        let y = laid.height + 10.0 + 16.0 * i as f64;
        for (at, x) in row {
            let (sign_, text) = LEGEND[*at];
            out.push_str(&match sign_ {
                Sign::Dot => dot_at(x + 8.0, y - 3.0, false),
                Sign::Destroyed => dot_at(x + 8.0, y - 3.0, true),
                Sign::Mark(mark) => sign(mark, x + 3.0, y - 3.0, 1.5),
                Sign::Line(known) => {
                    format!("<path class=\"line {}\" stroke-width=\"2\" d=\"M{x:.1} {:.1}h18\"/>", form(known), y - 3.0)
                }
            });
            out.push_str(&format!(
                "<text x=\"{:.1}\" y=\"{y:.1}\" style=\"font-size:{SMALL}px\">{text}</text>",
                x + 22.0
            ));
        }
    }
    out.push_str("</svg>");
    out
}

/// The list in one text, for who can't see the drawing and has no list beside it.
fn alternative(tree: &Tree) -> String {
    let items: Vec<String> = list(tree).iter().filter(|i| i.counts).map(|i| i.text.clone()).collect();
    en::ways_in_words(&items.join("; "))
}

fn form(known: Known) -> &'static str {
    match known {
        Known::Done => "",
        // Of either kind nobody says that it was so on this bench; the legend tells which.
        Known::Drafted | Known::Told => "told",
        Known::Untried => "untried",
    }
}

fn line(piece: &Piece) -> String {
    let [x, y] = piece.from;
    let start = piece.down_from.map_or_else(|| format!("M{x:.1} {y:.1}"), |top| format!("M{x:.1} {top:.1}V{y:.1}"));
    format!(
        "<path class=\"line {}\" stroke-width=\"{:.1}\" d=\"{start}H{:.1}\"/>",
        form(piece.known),
        piece.width,
        piece.to
    )
}

fn dot_at(x: f64, y: f64, destroyed: bool) -> String {
    if destroyed {
        format!(
            "<circle class=\"gone\" cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"5\"/><path class=\"mark\" d=\"M{:.1} {:.1}l12 -12\"/>",
            x - 6.0,
            y + 6.0
        )
    } else {
        format!("<circle class=\"dot\" cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"5\"/>")
    }
}

/// A mark at a place on a line whose half width is `half`.
fn sign(mark: Mark, x: f64, y: f64, half: f64) -> String {
    match mark {
        Mark::Plug => format!(
            "<path class=\"ink\" d=\"M{x:.1} {:.1}v{:.1}M{:.1} {:.1}v{:.1}\"/>",
            y - half - 4.0,
            2.0 * half + 8.0,
            x + 4.0,
            y - half - 4.0,
            2.0 * half + 8.0
        ),
        Mark::Safe => format!(
            "<path class=\"mark\" d=\"M{x:.1} {:.1}v{:.1}M{:.1} {:.1}v{:.1}M{:.1} {:.1}h8\"/>",
            y - half - 5.0,
            2.0 * half + 10.0,
            x + 4.0,
            y - half - 5.0,
            2.0 * half + 10.0,
            x - 2.0,
            y + half + 5.0
        ),
        // Half of the mark that stands where all of them are done: one post, and the ground under it.
        Mark::Together => format!(
            "<path class=\"mark\" d=\"M{:.1} {:.1}v{:.1}M{:.1} {:.1}h8\"/>",
            x + 2.0,
            y - half - 5.0,
            2.0 * half + 10.0,
            x - 2.0,
            y + half + 5.0
        ),
        Mark::Heat => format!(
            "<path class=\"mark\" d=\"M{x:.1} {:.1}q2 -4 4 0t4 0M{x:.1} {:.1}q2 -4 4 0t4 0\"/>",
            y - half - 3.0,
            y - half - 7.0
        ),
        Mark::Solvent => {
            format!("<path class=\"mark hollow\" d=\"M{:.1} {:.1}q5 7 0 9q-5 -2 0 -9z\"/>", x + 3.0, y - half - 9.0)
        }
        Mark::Glue => format!(
            "<path class=\"mark\" d=\"M{:.1} {:.1}l-4 {h:.1}M{:.1} {:.1}l-4 {h:.1}M{:.1} {:.1}l-4 {h:.1}\"/>",
            x + 2.0,
            y - half - 4.0,
            x + 6.0,
            y - half - 4.0,
            x + 10.0,
            y - half - 4.0,
            h = 2.0 * half + 8.0
        ),
    }
}

fn signs(laid: &Laid) -> Vec<usize> {
    let has = |sign: Sign| match sign {
        Sign::Dot => laid.dots.iter().any(|d| !d.destroyed),
        Sign::Destroyed => laid.dots.iter().any(|d| d.destroyed),
        Sign::Mark(mark) => laid.pieces.iter().any(|p| p.marks.iter().any(|(m, _)| *m == mark)),
        Sign::Line(known) => laid.pieces.iter().any(|p| p.known == known),
    };
    (0..LEGEND.len()).filter(|&i| has(LEGEND[i].0)).collect()
}

/// Rows of the legend, each entry with its left edge.
fn legend_rows(signs: &[usize]) -> Vec<Vec<(usize, f64)>> {
    let mut rows: Vec<Vec<(usize, f64)>> = vec![Vec::new()];
    let mut x = 14.0;
    for &at in signs {
        let wide = 22.0 + width(LEGEND[at].1, SMALL, false) + 10.0;
        if x + wide > WIDTH {
            rows.push(Vec::new());
            x = 14.0;
        }
        if let Some(row) = rows.last_mut() {
            row.push((at, x));
        }
        x += wide;
    }
    rows
}
