//! Where everything stands: rows, columns, texts. Every text knows its box, so that a test can tell whether two meet.

use scoring::record::complete::open_count;
use unicode_width::UnicodeWidthStr;

use super::tree::{End, Known, Mark, Stretch, Tree};
use crate::words::english as en;

/// Width of the drawing, px.
pub(super) const WIDTH: f64 = 704.0;
/// Left edge of the lines.
const LEFT: f64 = 14.0;
/// From a line to the next one.
const ROW: f64 = 38.0;
/// Height of a lane for the names of parts on a trunk.
const LANE: f64 = 14.5;
/// Where the first row may start: below the axis.
const TOP: f64 = 30.0;
/// Steps drawn to scale.
const TO_SCALE: u32 = 12;
/// Columns beyond the break.
const BEYOND: u32 = 3;
/// From one mark to the next.
pub(super) const MARK: f64 = 12.0;
/// The small texts, px: eight points on paper.
pub(super) const SMALL: f64 = 10.7;
/// Names of parts that count, px.
const BOLD: f64 = 11.5;
/// Widest name of a part.
const NAME: f64 = 190.0;

/// A text and its box.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    /// The text.
    pub text: String,
    /// Left edge and base line.
    pub at: [f64; 2],
    /// Size, px.
    pub size: f64,
    /// Bold: a part that counts.
    pub bold: bool,
    /// Width it may take, as estimated on the wide side.
    pub width: f64,
}

impl Label {
    /// Left, top, right, bottom.
    pub fn area(&self) -> [f64; 4] {
        [self.at[0], self.at[1] - self.size * 0.8, self.at[0] + self.width, self.at[1] + self.size * 0.22]
    }

    /// Whether two texts meet.
    pub fn meets(&self, other: &Self) -> bool {
        let (a, b) = (self.area(), other.area());
        a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3]
    }
}

/// A piece of line.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Piece {
    pub(super) from: [f64; 2],
    /// Where it leaves a trunk: the height of the trunk's line.
    pub(super) down_from: Option<f64>,
    pub(super) to: f64,
    pub(super) width: f64,
    pub(super) known: Known,
    pub(super) marks: Vec<(Mark, f64)>,
}

/// A dot where a part comes off.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Dot {
    pub(super) at: [f64; 2],
    pub(super) destroyed: bool,
    /// Height of its name, where that stands in a lane.
    pub(super) lane: Option<f64>,
}

/// Everything in its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Laid {
    /// Height, px.
    pub height: f64,
    /// Every text.
    pub labels: Vec<Label>,
    /// Columns: position and what stands above.
    pub(super) columns: Vec<(f64, String)>,
    /// Where the axis is broken.
    pub(super) broken: Option<f64>,
    pub(super) pieces: Vec<Piece>,
    pub(super) dots: Vec<Dot>,
    /// Top and bottom of the columns.
    pub(super) ground: [f64; 2],
}

/// How wide a text may get, px: on the wide side for any usual font.
pub(crate) fn width(text: &str, size: f64, bold: bool) -> f64 {
    let cells: f64 = text
        .chars()
        .map(|c| match c {
            'i' | 'l' | 'j' | 'I' | '.' | ',' | '\'' | ':' | ';' | '|' | '!' => 0.34,
            'f' | 't' | 'r' | ' ' | '(' | ')' | '-' | '/' => 0.43,
            'm' | 'w' | 'M' | 'W' | '@' | '%' => 0.98,
            c if c.is_ascii_uppercase() => 0.74,
            c if c.is_ascii() => 0.635,
            c => 0.66 * UnicodeWidthStr::width(c.encode_utf8(&mut [0; 4]) as &str).max(1) as f64,
        })
        .sum();
    cells * size * if bold { 1.1 } else { 1.0 }
}

/// Letters of a name below which it is left out instead of cut.
const LEAST: usize = 3;
/// The same of tools and of parts on the way: a stump that nobody can read says less than nothing.
const STUMP: usize = 9;

/// A text cut so that it keeps within a width; empty where next to nothing is left.
fn cut(text: &str, size: f64, bold: bool, most: f64) -> String {
    cut_to(text, size, bold, most, LEAST)
}

/// The same, with the letters below which nothing is left.
fn cut_to(text: &str, size: f64, bold: bool, most: f64, least: usize) -> String {
    if width(text, size, bold) <= most {
        return text.to_owned();
    }
    let mut out = String::new();
    for c in text.chars() {
        let more = format!("{out}{c}…");
        if width(&more, size, bold) > most {
            break;
        }
        out.push(c);
    }
    let out = out.trim_end_matches([' ', ',']);
    if out.chars().count() < least { String::new() } else { format!("{out}…") }
}

/// A note cut; where no more than a stump of the reason would be left, the note without it.
fn cut_note(text: &str, bare: &str, most: f64) -> String {
    let long = cut(text, SMALL, false, most);
    let whole = long == text || long.chars().count() >= bare.chars().count() + ": ".len() + STUMP;
    if whole { long } else { cut(bare, SMALL, false, most) }
}

/// Names as one text that keeps within a width: all, or two and how many more, or how many.
fn named(names: &[String], count: fn(usize) -> String, size: f64, most: f64) -> String {
    if names.is_empty() || most < 20.0 {
        return String::new();
    }
    let fits = |t: &String| width(t, size, false) <= most;
    let all = names.join(", ");
    let some = |n: usize| en::and_more(&names[..n], names.len() - n);
    let mut tries: Vec<String> = Vec::new();
    if names.len() <= 3 {
        tries.push(all.clone());
    }
    for n in [2, 1] {
        // One more would be named.
        if names.len() > n + 1 {
            tries.push(some(n));
        }
    }
    if names.len() > 1 {
        tries.push(count(names.len()));
    }
    tries.into_iter().find(fits).unwrap_or_else(|| cut_to(&all, size, false, most, STUMP))
}

struct Scale {
    column: f64,
    beyond: Vec<u32>,
}

impl Scale {
    fn new(tree: &Tree) -> Self {
        let mut stops: Vec<u32> = Vec::new();
        let mut deepest = 1;
        let mut labels: Vec<(u32, f64)> = Vec::new();
        for root in &tree.roots {
            walk(root, &mut |s| {
                deepest = deepest.max(s.steps[1]);
                if s.steps[1] > TO_SCALE && !stops.contains(&s.steps[1]) {
                    stops.push(s.steps[1]);
                }
                if let Some(end) = s.end.as_ref().filter(|_| s.next.is_empty()) {
                    labels.push((s.steps[1], width(&label_of(end, s), BOLD, true).min(NAME)));
                }
            });
        }
        stops.sort_unstable();
        let mut scale = Self { column: 60.0, beyond: stops };
        let units = |s: &Self, n: u32| s.units(n);
        for (steps, width) in labels.iter().chain([&(deepest, 78.0)]) {
            let most = (WIDTH - LEFT - 14.0 - width) / units(&scale, *steps).max(1.0);
            scale.column = scale.column.min(most);
        }
        scale
    }

    /// Columns from the left.
    fn units(&self, steps: u32) -> f64 {
        if steps <= TO_SCALE {
            return f64::from(steps);
        }
        let place = self.beyond.iter().position(|s| *s >= steps).unwrap_or(self.beyond.len());
        let each = f64::from(BEYOND) / (self.beyond.len().max(1) as f64);
        f64::from(TO_SCALE) + (place + 1) as f64 * each.min(1.5)
    }

    fn x(&self, steps: u32) -> f64 {
        LEFT + self.column * self.units(steps)
    }
}

fn walk<'t>(stretch: &'t Stretch, each: &mut impl FnMut(&'t Stretch)) {
    each(stretch);
    stretch.next.iter().for_each(|n| walk(n, each));
}

/// `battery 7`, `bearings 23, destroys the tub`.
fn label_of(end: &End, stretch: &Stretch) -> String {
    let (known, open) = open_count(stretch.steps[1]);
    let steps = match (open, end.at_least) {
        (true, _) => en::at_least(&known.to_string()),
        (false, Some(n)) => en::to(&n.to_string(), &known.to_string()),
        (false, None) => known.to_string(),
    };
    let name = cut(&end.name, BOLD, true, NAME - 30.0);
    // A part on the way has its name in a lane, and what is destroyed for it with the name.
    if end.destroys.is_empty() || stretch.next.is_empty() {
        return format!("{name} {steps}");
    }
    format!("{name} {steps} ({})", en::destroys_all(&end.destroys))
}

/// Places a tree.
pub fn layout(tree: &Tree) -> Laid {
    let scale = Scale::new(tree);
    let mut out = Laid {
        height: 0.0,
        labels: Vec::new(),
        columns: Vec::new(),
        broken: None,
        pieces: Vec::new(),
        dots: Vec::new(),
        ground: [TOP - 8.0, 0.0],
    };
    let mut y = TOP - ROW + 24.0;
    // One root after the other; each starts at the closed device.
    for root in ordered(&tree.roots) {
        let mut place = Place { scale: &scale, out: &mut out, y };
        place.row(root, LEFT, None);
        y = place.y;
    }
    out.ground[1] = y + 20.0;
    out.height = y + 26.0;
    axis(tree, &scale, &mut out);
    out
}

/// The widest first, which goes straight on.
fn ordered(list: &[Stretch]) -> Vec<&Stretch> {
    let mut out: Vec<&Stretch> = list.iter().collect();
    out.sort_by_key(|s| std::cmp::Reverse(s.behind));
    out
}

fn axis(tree: &Tree, scale: &Scale, out: &mut Laid) {
    let mut deepest = 0;
    tree.roots.iter().for_each(|r| walk(r, &mut |s| deepest = deepest.max(s.steps[1])));
    for steps in 0..=deepest.min(TO_SCALE) {
        out.columns.push((scale.x(steps), steps.to_string()));
    }
    if deepest > TO_SCALE {
        out.broken = Some(scale.x(TO_SCALE) + 11.0);
        let mut last = scale.x(TO_SCALE) + 18.0;
        for &steps in &scale.beyond {
            let x = scale.x(steps);
            if x - 8.0 > last || steps == deepest {
                let (known, open) = open_count(steps);
                out.columns.push((x, if open { format!("{known}+") } else { known.to_string() }));
                last = x + 12.0;
            }
        }
    }
    for (x, text) in &out.columns {
        let wide = width(text, SMALL, false);
        // Of two that would meet the later one is left out.
        let label =
            Label { text: text.clone(), at: [x - wide / 2.0, TOP - 14.0], size: SMALL, bold: false, width: wide };
        if !out.labels.iter().any(|l| l.meets(&label)) {
            out.labels.push(label);
        }
    }
    let text = en::COUNTED_STEPS;
    let end = out.columns.last().map_or(LEFT, |(x, t)| x + width(t, SMALL, false) / 2.0 + 8.0);
    let label = Label {
        text: text.to_owned(),
        at: [end, TOP - 14.0],
        size: SMALL,
        bold: false,
        width: width(text, SMALL, false),
    };
    if label.area()[2] <= WIDTH {
        out.labels.push(label);
    }
}

struct Place<'a> {
    scale: &'a Scale,
    out: &'a mut Laid,
    /// The line of the last row.
    y: f64,
}

impl Place<'_> {
    /// Draws a stretch and all that goes straight on, then the branches from right to left, so that no line goes down through
    /// a row's texts.
    fn row(&mut self, first: &Stretch, from: f64, trunk: Option<f64>) {
        let mut straight: Vec<&Stretch> = vec![first];
        while let Some(next) = straight.last().and_then(|s| ordered(&s.next).first().copied()) {
            straight.push(next);
        }
        // Names of parts on the way stand in lanes above the row.
        let mut starts: Vec<f64> = Vec::new();
        let mut x = from;
        for stretch in &straight {
            starts.push(x);
            x = self.end_x(stretch, x);
        }
        starts.push(x);
        let middle: Vec<(usize, String)> = straight
            .iter()
            .enumerate()
            .take(straight.len() - 1)
            .filter_map(|(i, s)| Some((i, label_of(s.end.as_ref()?, s))))
            .collect();
        let mut lanes: Vec<f64> = Vec::new();
        let mut placed: Vec<(usize, usize, String, f64)> = Vec::new();
        for (i, text) in middle.into_iter().rev() {
            let x = starts[i + 1] + 4.0;
            let text = cut(&text, BOLD, true, WIDTH - x - 2.0);
            let wide = width(&text, BOLD, true);
            let lane = lanes.iter().position(|left| x + wide + 6.0 <= *left).unwrap_or(lanes.len());
            if lane == lanes.len() {
                lanes.push(x);
            } else {
                lanes[lane] = x;
            }
            placed.push((i, lane, text, wide));
        }
        let y = self.y + ROW + LANE * lanes.len() as f64;
        self.y = y;
        for (i, lane, text, wide) in placed {
            let base = y - 22.5 - LANE * lane as f64;
            let at = [starts[i + 1] + 4.0, base];
            self.out.labels.push(Label { text, at, size: BOLD, bold: true, width: wide });
            let destroyed = straight[i].end.as_ref().is_some_and(|e| !e.destroys.is_empty());
            self.out.dots.push(Dot { at: [starts[i + 1], y], destroyed, lane: Some(base - 8.0) });
        }
        for (i, stretch) in straight.iter().enumerate() {
            let down_from = if i == 0 { trunk } else { None };
            self.piece(stretch, [starts[i], y], starts[i + 1], down_from);
        }
        if let Some((last, end)) = straight.last().and_then(|s| Some((s, s.end.as_ref()?))) {
            let at = [x + 10.0, y + 4.0];
            let text = label_of(end, last);
            let wide = width(&text, BOLD, true);
            let after = at[0] + wide;
            self.out.labels.push(Label { text, at, size: BOLD, bold: true, width: wide });
            self.out.dots.push(Dot { at: [x, y], destroyed: !end.destroys.is_empty(), lane: None });
            let mut notes: Vec<String> = Vec::new();
            if !end.destroys.is_empty() {
                notes.push(en::destroys_all(&end.destroys));
            }
            let bare = notes.iter().cloned().chain(end.failed.is_some().then(|| en::CROSSED.to_owned()));
            let bare: Vec<String> = bare.collect();
            notes.extend(end.failed.clone().map(|f| en::crossed(&f)));
            self.note(&notes.join("; "), &bare.join("; "), [x, y], after);
        }
        for (i, stretch) in straight.iter().enumerate().rev() {
            for branch in ordered(&stretch.next).into_iter().skip(1) {
                self.row(branch, starts[i + 1], Some(y));
            }
        }
    }

    /// A note beside a name; where there is no room, below it, as far to the left as the tools of the row allow.
    fn note(&mut self, text: &str, bare: &str, [x, y]: [f64; 2], after: f64) {
        if text.is_empty() {
            return;
        }
        let room = WIDTH - after - 8.0;
        let whole = width(text, SMALL, false);
        if room >= whole.min(110.0) {
            let text = cut_note(text, bare, room);
            let wide = width(&text, SMALL, false);
            self.out.labels.push(Label { text, at: [after + 6.0, y + 4.0], size: SMALL, bold: false, width: wide });
            return;
        }
        let base = y + 16.5;
        let taken = self.out.labels.iter().filter(|l| (l.at[1] - base).abs() < 4.0).map(|l| l.area()[2] + 6.0);
        let free = taken.fold(x - 160.0, f64::max).max(LEFT);
        let text = cut_note(text, bare, WIDTH - free);
        let wide = width(&text, SMALL, false);
        if !text.is_empty() {
            let at = [(x + 10.0).min(WIDTH - wide), base];
            self.out.labels.push(Label { text, at, size: SMALL, bold: false, width: wide });
        }
    }

    /// Where a stretch ends: at its column, or a mark's width on where it counts nothing.
    fn end_x(&self, stretch: &Stretch, from: f64) -> f64 {
        let x = self.scale.x(stretch.steps[1]);
        if stretch.steps[1] > stretch.steps[0] && x > from + 8.0 {
            return x;
        }
        let room = self.scale.x(stretch.steps[1] + 1) - from;
        from + (MARK * marks(stretch).len().max(1) as f64 + 6.0).min(room * 0.5)
    }

    fn piece(&mut self, stretch: &Stretch, from: [f64; 2], to: f64, down_from: Option<f64>) {
        let list = marks(stretch);
        let room = to - from[0];
        let mut placed = Vec::new();
        let gap = (room / (list.len() as f64 + 0.4)).min(MARK);
        let mut x = from[0] + 4.0_f64.min(gap / 2.0);
        for mark in list {
            if mark == Mark::Glue {
                placed.push((mark, (to - 12.0).max(x)));
            } else {
                placed.push((mark, x));
                x += gap;
            }
        }
        self.out.pieces.push(Piece {
            from,
            down_from,
            to,
            width: 1.6 + 0.85 * (stretch.behind as f64 - 1.0).min(12.0),
            known: stretch.known,
            marks: placed,
        });
        let most = room - 12.0;
        let mut off: Vec<String> = stretch.off.clone();
        if stretch.plugs > 1 {
            off.insert(0, en::plugs(stretch.plugs));
        }
        // Marks that rise above the line push the names aside.
        let tall = self.out.pieces.last().map_or(0.0, |p| {
            let right = p.marks.iter().filter(|(m, _)| *m != Mark::Glue).map(|(_, x)| x + MARK - from[0] - 4.0);
            right.fold(0.0, f64::max)
        });
        let glue = if stretch.marks.contains(&Mark::Glue) { 14.0 } else { 0.0 };
        let above = named(&off, en::parts, SMALL, most - tall - glue);
        let below = named(&stretch.tools, en::tools, SMALL, most);
        for (text, x, base) in [(above, from[0] + 6.0 + tall, from[1] - 8.5), (below, from[0] + 6.0, from[1] + 16.5)] {
            if !text.is_empty() {
                let wide = width(&text, SMALL, false);
                self.out.labels.push(Label { text, at: [x, base], size: SMALL, bold: false, width: wide });
            }
        }
    }
}

/// Marks of a stretch; what makes safe stands for its own plug.
fn marks(stretch: &Stretch) -> Vec<Mark> {
    let safe = [Mark::Safe, Mark::Together].iter().any(|m| stretch.marks.contains(m)) && stretch.plugs < 2;
    stretch.marks.iter().copied().filter(|m| !(safe && *m == Mark::Plug)).collect()
}
