//! What a method reads: its measures, and the points tables of one.

use crate::method::{Criterion, CriterionKind, Measure, MeasureScale, Method, Points};

/// Tables of a method that read one measure.
pub(super) fn tables<'m>(method: &'m Method, measure: &Measure) -> Vec<(&'m Points, MeasureScale)> {
    fn walk<'m>(node: &'m Criterion, measure: &Measure, out: &mut Vec<(&'m Points, MeasureScale)>) {
        match &node.kind {
            CriterionKind::Group { of, .. } => of.iter().for_each(|n| walk(n, measure, out)),
            CriterionKind::Each { node, .. } => walk(node, measure, out),
            CriterionKind::Leaf { measure: m, points, .. } if m == measure => out.push((points, m.scale())),
            CriterionKind::Leaf { .. } => {}
        }
    }
    let mut out = Vec::new();
    walk(&method.root, measure, &mut out);
    out
}

/// Measures a method reads.
pub(super) fn measures(method: &Method) -> Vec<Measure> {
    fn walk(node: &Criterion, out: &mut Vec<Measure>) {
        match &node.kind {
            CriterionKind::Group { of, .. } => of.iter().for_each(|n| walk(n, out)),
            CriterionKind::Each { node, .. } => walk(node, out),
            CriterionKind::Leaf { measure, .. } => out.push(measure.clone()),
        }
    }
    let mut out = Vec::new();
    walk(&method.root, &mut out);
    out.sort();
    out.dedup();
    out
}
