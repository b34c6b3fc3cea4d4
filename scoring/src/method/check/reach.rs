//! Which values a criterion can have at all.

use super::{Gap, Gaps};
use crate::exact::Exact;
use crate::method::{Absent, Combine, Criterion, CriterionKind, Measure, Method, Points};

/// Lowest and highest value of a criterion over all records; `None` where they can't be told.
///
/// What could not be read is taken to use the whole scale, as most criteria do: so nothing is said of a total that
/// the mend of another mistake would change.
pub(super) fn reach(method: &Method, gaps: &Gaps, node: &Criterion) -> Option<(Exact, Exact)> {
    let scale = || (!gaps.any(Gap::Scale)).then(|| (method.scale.low.clone(), method.scale.high.clone()));
    if gaps.has(Gap::Kind, node.span) || gaps.has(Gap::Combine, node.span) {
        return scale();
    }
    match &node.kind {
        CriterionKind::Leaf { measure, points, .. } => {
            let ends = of_points(method, measure, points);
            if gaps.has(Gap::Points, node.span) {
                let (low, high) = scale()?;
                let (least, most) = ends.unwrap_or_else(|| (low.clone(), high.clone()));
                return Some((least.min(low), most.max(high)));
            }
            if gaps.has(Gap::Outside, node.span) {
                let ((low, high), (least, most)) = (scale()?, ends?);
                return Some((least.max(low.clone()).min(high.clone()), most.min(high).max(low)));
            }
            ends
        }
        CriterionKind::Each { node, .. } => {
            let (low, high) = reach(method, gaps, node)?;
            Some(match &method.absent {
                Absent::Points(points) => (low.min(points.clone()), high.max(points.clone())),
                Absent::LeaveOut => (low, high),
            })
        }
        CriterionKind::Group { how, of } => {
            let ends: Vec<(Exact, Exact)> = of.iter().map(|n| reach(method, gaps, n)).collect::<Option<_>>()?;
            if ends.is_empty() {
                return None;
            }
            let lows = || ends.iter().map(|e| e.0.clone());
            let highs = || ends.iter().map(|e| e.1.clone());
            Some(match how {
                Combine::Apart => (lows().min()?, highs().max()?),
                Combine::Worst | Combine::Cap => (lows().min()?, highs().min()?),
                Combine::Best => (lows().max()?, highs().max()?),
                Combine::Gate => (method.scale.low.clone(), ends[0].1.clone()),
                Combine::Sum | Combine::Mean => {
                    let told = |n: &Criterion| {
                        gaps.has(Gap::Weight, n.span) || n.weight.as_ref().is_none_or(|w| w.value.is_negative())
                    };
                    if of.iter().any(told) {
                        // A mean lies between the ends of what it weighs, whatever the weights.
                        return if *how == Combine::Mean { Some((lows().min()?, highs().max()?)) } else { None };
                    }
                    let all: Vec<Exact> = of.iter().filter_map(|n| Some(n.weight.as_ref()?.value.clone())).collect();
                    let dot = |values: Vec<Exact>| {
                        super::sum(all.iter().zip(&values).map(|(w, v)| w * v).collect::<Vec<_>>().iter())
                    };
                    let (low, high) = (dot(lows().collect()), dot(highs().collect()));
                    let total = super::sum(all.iter());
                    match (&node.weights_sum, how) {
                        // Weights that miss their sum are told: the total is that of weights mended in proportion.
                        (Some(wanted), Combine::Sum) if wanted.value != total => {
                            let mended = |end: Exact| (&end * &wanted.value).checked_div(&total);
                            (mended(low)?, mended(high)?)
                        }
                        (_, Combine::Sum) => (low, high),
                        _ => (low.checked_div(&total)?, high.checked_div(&total)?),
                    }
                }
            })
        }
    }
}

fn of_points(method: &Method, measure: &Measure, points: &Points) -> Option<(Exact, Exact)> {
    let all: Vec<Exact> = match points {
        Points::AsIs => {
            let (low, high) = measure.limits();
            vec![Exact::from(low), high.map_or_else(|| method.scale.high.clone(), Exact::from)]
        }
        other => numbers(other).into_iter().map(|n| n.value.clone()).collect(),
    };
    Some((all.iter().min()?.clone(), all.iter().max()?.clone()))
}

/// The points a leaf can give, in the order written.
pub(super) fn numbers(points: &Points) -> Vec<&crate::method::Cited<Exact>> {
    match points {
        Points::Bands(bands) => bands.iter().map(|b| &b.points).collect(),
        Points::Levels(levels) => levels.iter().map(|(_, p)| p).collect(),
        Points::Linear(corners) => corners.iter().map(|(_, p)| p).collect(),
        Points::Rungs(rungs) => rungs.iter().map(|r| &r.points).collect(),
        Points::AsIs => Vec::new(),
    }
}
