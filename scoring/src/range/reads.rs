//! What a method reads: its measures, and the points tables of one.

use crate::method::{Measure, MeasureScale, Method, Node, NodeKind, Points};

/// Tables of a method that read one measure.
pub(super) fn tables<'m>(method: &'m Method, measure: &Measure) -> Vec<(&'m Points, MeasureScale)> {
    fn walk<'m>(node: &'m Node, measure: &Measure, out: &mut Vec<(&'m Points, MeasureScale)>) {
        match &node.kind {
            NodeKind::Group { of, .. } => of.iter().for_each(|n| walk(n, measure, out)),
            NodeKind::Each { node, .. } => walk(node, measure, out),
            NodeKind::Leaf { measure: m, points, .. } if m == measure => out.push((points, m.scale())),
            NodeKind::Leaf { .. } => {}
        }
    }
    let mut out = Vec::new();
    walk(&method.root, measure, &mut out);
    out
}

/// Measures a method reads.
pub(super) fn measures(method: &Method) -> Vec<Measure> {
    fn walk(node: &Node, out: &mut Vec<Measure>) {
        match &node.kind {
            NodeKind::Group { of, .. } => of.iter().for_each(|n| walk(n, out)),
            NodeKind::Each { node, .. } => walk(node, out),
            NodeKind::Leaf { measure, .. } => out.push(measure.clone()),
        }
    }
    let mut out = Vec::new();
    walk(&method.root, &mut out);
    out.sort();
    out.dedup();
    out
}
