//! Numbers nobody settled: one value per cell of the thresholds that read them.

use crate::assess::Value;
use crate::assess::points::{points, thresholds};
use crate::exact::Exact;
use crate::method::{MeasureScale, Points};
use crate::record::Known;

/// A value a number may take, and how its cell reads.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct ValueCell {
    /// The value standing for the cell.
    pub value: Exact,
    /// The cell in words: `7`, `5 to 6`, `more than 15`.
    pub label: String,
}

/// Cells of a number as known, for the tables that read it. `least` and `most` bound what is possible at all.
pub(super) fn cells(
    known: &Known<Exact>,
    tables: &[(&Points, MeasureScale)],
    least: &Exact,
    most: Option<&Exact>,
) -> Vec<ValueCell> {
    let rows = |v: &Exact| -> Vec<(Option<usize>, Exact)> {
        tables
            .iter()
            .map(|(t, scale)| {
                let given = points(t, *scale, &[], &Value::Number(v.clone()));
                (given.row, given.points)
            })
            .collect()
    };
    cells_by(known, tables.iter().flat_map(|(t, _)| thresholds(t)).collect(), &rows, least, most)
}

/// Cells of a number as known: what lies between two bounds and reads alike is one.
pub(super) fn cells_by<R: PartialEq>(
    known: &Known<Exact>,
    mut bounds: Vec<Exact>,
    rows: &dyn Fn(&Exact) -> R,
    least: &Exact,
    most: Option<&Exact>,
) -> Vec<ValueCell> {
    let exactly = |v: &Exact| ValueCell { value: v.clone(), label: v.plain() };
    let (low, high) = match known {
        Known::Is(v) => return vec![exactly(v)],
        Known::OneOf(list) => {
            let mut list = list.clone();
            list.sort();
            list.dedup();
            return list.iter().map(exactly).collect();
        }
        Known::Between(low, high) => (low.clone(), high.clone()),
        Known::Unknown => (None, None),
    };
    let low = low.unwrap_or_else(|| least.clone());
    bounds.sort();
    bounds.dedup();
    let open = high.is_none() && most.is_none();
    let high = high.or_else(|| most.cloned()).unwrap_or_else(|| {
        let top = bounds.last().cloned().unwrap_or_else(|| low.clone());
        &top.max(low.clone()) + &Exact::one()
    });
    if high <= low {
        return vec![exactly(&low)];
    }
    // Each bound, and a point between neighbours: every table is constant (or linear) on each piece.
    let mut marks: Vec<Exact> = vec![low.clone()];
    marks.extend(bounds.into_iter().filter(|b| *b > low && *b < high));
    marks.push(high.clone());
    let half = Exact::ratio(1, 2).unwrap_or_else(Exact::one);
    let mut pieces: Vec<Exact> = Vec::new();
    for pair in marks.windows(2) {
        pieces.push(pair[0].clone());
        pieces.push(&(&pair[0] + &pair[1]) * &half);
    }
    pieces.push(high.clone());
    let mut out: Vec<(Exact, Exact, R)> = Vec::new();
    // What stands for a cell is shown as if it had been read: rather a figure someone wrote than one between two.
    let mut shown: Vec<Exact> = Vec::new();
    for piece in pieces {
        let row = rows(&piece);
        match (out.last_mut(), shown.last_mut()) {
            (Some(last), Some(value)) if last.2 == row => {
                if !marks.contains(value) {
                    value.clone_from(&piece);
                }
                last.1 = piece;
            }
            _ => {
                shown.push(piece.clone());
                out.push((piece.clone(), piece, row));
            }
        }
    }
    let count = out.len();
    out.into_iter()
        .zip(shown)
        .enumerate()
        .map(|(i, ((from, to, _), value))| {
            let label = match () {
                () if count == 1 => "any value".to_owned(),
                () if open && i + 1 == count => at_least(&from, &marks),
                () if from == to => from.plain(),
                () => between(&from, &to, &marks),
            };
            ValueCell { value, label }
        })
        .collect()
}

fn at_least(from: &Exact, marks: &[Exact]) -> String {
    match marks.iter().rfind(|m| *m <= from) {
        Some(m) if m == from => format!("at least {}", m.plain()),
        Some(m) => format!("more than {}", m.plain()),
        None => format!("at least {}", from.plain()),
    }
}

fn between(from: &Exact, to: &Exact, marks: &[Exact]) -> String {
    let under = marks.iter().rfind(|m| *m <= from);
    let over = marks.iter().find(|m| *m >= to);
    let start = match under {
        Some(m) if m == from => m.plain(),
        Some(m) => format!("more than {}", m.plain()),
        None => from.plain(),
    };
    match over {
        Some(m) if m == to => format!("{start} to {}", m.plain()),
        Some(m) => format!("{start} to below {}", m.plain()),
        None => start,
    }
}
