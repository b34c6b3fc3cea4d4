//! From a measured value to points, and how far it is to the next bound.

use super::Value;
use crate::exact::Exact;
use crate::method::measure::counts_as;
use crate::method::{Cited, MeasureScale, Points, Rung};
use crate::record::complete::MANY;

/// Points of a value by a table, and which row gave them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Given {
    /// Points.
    pub points: Exact,
    /// Row of the table; `None` where the number itself counts.
    pub row: Option<usize>,
}

/// How far a value is from the next bound.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Margin {
    /// Units to a better row, and the points there.
    pub better: Option<(Exact, Exact)>,
    /// Units to a worse row, and the points there.
    pub worse: Option<(Exact, Exact)>,
}

/// Points of `value`; `words` are the measure's words, best first. What can't be reached or is withheld gets the table's worst.
pub fn points(table: &Points, scale: MeasureScale, words: &[&str], value: &Value) -> Given {
    let given = match (table, value) {
        (Points::Bands(bands), Value::Number(n)) => bands
            .iter()
            .position(|b| match &b.bound {
                None => true,
                Some(bound) if scale == MeasureScale::Fewer => n <= bound,
                Some(bound) => n >= bound,
            })
            .map(|row| (bands[row].points.value.clone(), Some(row))),
        (Points::Levels(levels), Value::Word(rank)) => words
            .get(usize::from(*rank))
            .and_then(|w| {
                let row = |w: &str| levels.iter().position(|(l, _)| l == w);
                row(w).or_else(|| row(counts_as(w)?))
            })
            .map(|row| (levels[row].1.value.clone(), Some(row))),
        (Points::Linear(corners), Value::Number(n)) => Some((linear(corners, n), None)),
        (Points::Rungs(rungs), Value::Offered(met)) => {
            rungs.iter().zip(met).position(|(_, met)| *met).map(|row| (rungs[row].points.value.clone(), Some(row)))
        }
        (Points::AsIs, Value::Number(n)) => Some((n.clone(), None)),
        _ => None,
    };
    match given {
        Some((points, row)) => Given { points, row },
        None => Given { points: super::Plan::extremes(table).0, row: None },
    }
}

fn linear(corners: &[(Exact, Cited<Exact>)], x: &Exact) -> Exact {
    let Some(first) = corners.first() else { return Exact::zero() };
    if x <= &first.0 {
        return first.1.value.clone();
    }
    for pair in corners.windows(2) {
        let ((x0, y0), (x1, y1)) = (&pair[0], &pair[1]);
        if x <= x1 {
            let run = x1 - x0;
            let rise = &y1.value - &y0.value;
            let share = (x - x0).checked_div(&run).unwrap_or_else(Exact::one);
            return &y0.value + &(&rise * &share);
        }
    }
    corners.last().map_or_else(Exact::zero, |(_, y)| y.value.clone())
}

/// Whether each rung is fully met; `offered` answers per role (absent roles count as offered).
pub fn rungs_met(rungs: &[Rung], priority: &[(String, bool)], named: impl Fn(&str) -> bool) -> Vec<bool> {
    rungs
        .iter()
        .map(|rung| match &rung.roles {
            None => priority.iter().all(|(_, offered)| *offered),
            Some(roles) => roles.iter().all(|r| named(r)),
        })
        .collect()
}

/// Distance of a number to the next rows of a band table that give more and less, in the measure's own unit.
pub fn margin(table: &Points, scale: MeasureScale, value: &Value) -> Option<Margin> {
    let (Points::Bands(bands), Value::Number(n)) = (table, value) else { return None };
    // Any number is no distance from anything.
    if scale == MeasureScale::Fewer && *n >= Exact::from(i64::from(MANY)) {
        return None;
    }
    let row = points(table, scale, &[], value).row?;
    let fewer = scale == MeasureScale::Fewer;
    // Bounds are inclusive: the better row begins at its own bound, the worse one just past ours (one unit for whole numbers).
    let here = &bands[row].points.value;
    let better = (0..row).rev().find(|&r| bands[r].points.value > *here).and_then(|r| {
        let bound = bands[r].bound.as_ref()?;
        Some((if fewer { n - bound } else { bound - n }, bands[r].points.value.clone()))
    });
    let worse = (row + 1..bands.len()).find(|&r| bands[r].points.value < *here).and_then(|r| {
        let bound = bands[r - 1].bound.as_ref()?;
        let past = if fewer { bound - n } else { n - bound };
        Some((&past + &Exact::one(), bands[r].points.value.clone()))
    });
    Some(Margin { better, worse })
}

/// Points at which a number changes its row: bounds and corners.
pub fn thresholds(table: &Points) -> Vec<Exact> {
    match table {
        Points::Bands(bands) => bands.iter().filter_map(|b| b.bound.clone()).collect(),
        Points::Linear(corners) => corners.iter().map(|(x, _)| x.clone()).collect(),
        Points::AsIs => vec![Exact::zero(), Exact::from(10)],
        Points::Levels(_) | Points::Rungs(_) => Vec::new(),
    }
}
