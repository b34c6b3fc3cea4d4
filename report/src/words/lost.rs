//! Lost points by criterion, for where no strip is drawn.

use scoring::exact::{Exact, Rounding};

use super::english as en;
use crate::clean::line;
use crate::facts::Losses;

/// Every criterion that loses points, with the least and the most it loses.
pub fn lost_list(lost: &Losses) -> String {
    let shown = |v: &Exact| v.display(2, Rounding::HalfUp);
    let rows: Vec<String> = lost
        .criteria
        .iter()
        .filter(|l| l.points.iter().any(|p| !p.is_zero()))
        .map(|l| {
            let (least, most) = (shown(l.surely()), shown((&l.points[0]).max(&l.points[1])));
            let points = if least == most { least } else { en::to(&least, &most) };
            format!("{} {points}", line(&l.title))
        })
        .collect();
    en::lost_by_criterion(&rows.join("; "))
}
