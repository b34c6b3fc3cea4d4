//! Which values a criterion can have at all.

use crate::exact::Exact;
use crate::method::{Absent, Combine, Measure, Method, Node, NodeKind, Points};

/// Lowest and highest value of a criterion over all records; `None` where points are missing.
pub(super) fn reach(method: &Method, node: &Node) -> Option<(Exact, Exact)> {
    match &node.kind {
        NodeKind::Leaf { measure, points, .. } => of_points(method, measure, points),
        NodeKind::Each { node, .. } => {
            let (low, high) = reach(method, node)?;
            Some(match &method.absent {
                Absent::Points(points) => (low.min(points.clone()), high.max(points.clone())),
                Absent::LeaveOut => (low, high),
            })
        }
        NodeKind::Group { how, of } => {
            let ends: Vec<(Exact, Exact)> = of.iter().map(|n| reach(method, n)).collect::<Option<_>>()?;
            if ends.is_empty() {
                return None;
            }
            let lows = || ends.iter().map(|e| e.0.clone());
            let highs = || ends.iter().map(|e| e.1.clone());
            Some(match how {
                Combine::Worst | Combine::Cap => (lows().min()?, highs().min()?),
                Combine::Best => (lows().max()?, highs().max()?),
                Combine::Gate => (method.scale.low.clone(), ends[0].1.clone()),
                Combine::Sum | Combine::Mean => {
                    let weight = |n: &Node| n.weight.as_ref().map_or_else(Exact::one, |w| w.value.clone());
                    let all: Vec<Exact> = of.iter().map(weight).collect();
                    let dot = |values: Vec<Exact>| {
                        super::sum(all.iter().zip(&values).map(|(w, v)| w * v).collect::<Vec<_>>().iter())
                    };
                    let (low, high) = (dot(lows().collect()), dot(highs().collect()));
                    if *how == Combine::Sum {
                        (low, high)
                    } else {
                        let total = super::sum(all.iter());
                        (low.checked_div(&total)?, high.checked_div(&total)?)
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
