//! Where the points of a verdict are lost: by criterion and by part, at both ends, in sums that come out exactly.

use scoring::assess::Plan;
use scoring::exact::Exact;
use scoring::method::{Combine, Criterion, CriterionKind};
use scoring::range::{Assessment, Graded, GradedKind};

/// Points lost on one thing, at the low and at the high end of the verdict.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lost {
    /// Id of the node.
    pub id: String,
    /// Title of the criterion, or the role.
    pub title: String,
    /// One word for drawings.
    pub short: String,
    /// A limiting factor that binds; else a criterion or a part.
    pub limit: bool,
    /// Points at the low and the high end.
    pub points: [Exact; 2],
}

impl Lost {
    /// Lost whatever the answers.
    pub fn surely(&self) -> &Exact {
        (&self.points[0]).min(&self.points[1])
    }

    /// Lost at one end only.
    pub fn open(&self) -> Exact {
        (&self.points[0]).max(&self.points[1]) - self.surely()
    }
}

/// Lost points of one verdict.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Losses {
    /// All that is lost: the best total less the low and the high end.
    pub all: [Exact; 2],
    /// By criterion; a limit that binds first, the others in the order of the method.
    pub criteria: Vec<Lost>,
    /// By part, in the order of the method; what hangs on no part, and limits, are not among them.
    pub parts: Vec<Lost>,
    /// Between the ends and what the completions found explain: nought where both ends are exact.
    pub unexplained: [Exact; 2],
}

/// Losses of an assessment.
pub fn losses(a: &Assessment) -> Losses {
    let top = &a.method.scale.high;
    let all = [&a.root.low, &a.root.high].map(|v| v.as_ref().map_or_else(Exact::zero, |v| top - v));
    let mut walk = Walk { criteria: Vec::new(), parts: Vec::new() };
    walk.down(&a.root, None, &[Some(Exact::one()), Some(Exact::one())]);
    let explained = [0, 1].map(|e| walk.criteria.iter().map(|l| l.points[e].clone()).sum::<Exact>());
    let unexplained = [0, 1].map(|e| &all[e] - &explained[e]);
    let mut criteria = walk.criteria;
    criteria.sort_by_key(|l| !l.limit);
    for lost in &mut criteria {
        if let Some(short) = node(&a.method.root, &lost.id).and_then(|n| n.short.clone()) {
            lost.short = short;
        }
    }
    Losses { all, criteria, parts: walk.parts, unexplained }
}

/// A node of the method by its id.
fn node<'n>(root: &'n Criterion, id: &str) -> Option<&'n Criterion> {
    if root.id == id {
        return Some(root);
    }
    match &root.kind {
        CriterionKind::Group { of, .. } => of.iter().find_map(|n| node(n, id)),
        CriterionKind::Each { node: below, .. } => node(below, id),
        CriterionKind::Leaf { .. } => None,
    }
}

struct Walk {
    criteria: Vec<Lost>,
    parts: Vec<Lost>,
}

impl Walk {
    /// Walks down with the weight that reaches the total at each end. `criterion` is the last node above that is about no part.
    fn down<'g>(&mut self, graded: &'g Graded, criterion: Option<&'g Graded>, reach: &[Option<Exact>; 2]) {
        let own = if graded.role.is_none() { Some(graded) } else { criterion };
        self.below(graded, own, reach);
    }

    /// The same below a node, told of a criterion.
    fn below<'g>(&mut self, graded: &'g Graded, own: Option<&'g Graded>, reach: &[Option<Exact>; 2]) {
        match &graded.kind {
            GradedKind::Leaf { points, .. } => {
                let best = Plan::extremes(points).1;
                let lost = [0, 1].map(|e| match (&reach[e], &graded.ends[e].points) {
                    (Some(w), Some(p)) => w * &(&best - p),
                    _ => Exact::zero(),
                });
                let of = own.unwrap_or(graded);
                add(&mut self.criteria, &of.id, &of.title, false, &lost);
                if let Some(role) = &graded.role {
                    add(&mut self.parts, role, role, false, &lost);
                }
            }
            GradedKind::Group(Combine::Cap) => {
                let Some((first, limits)) = graded.children.split_first() else { return };
                self.down(first, own, reach);
                for limit in limits {
                    let taken = [0, 1].map(|e| match (&reach[e], &first.ends[e].points, &graded.ends[e].points) {
                        (Some(w), Some(of), Some(left)) if decides(graded, e) == Some(limit.id.as_str()) => {
                            w * &(of - left)
                        }
                        _ => Exact::zero(),
                    });
                    if taken.iter().any(|t| !t.is_zero()) {
                        add(&mut self.criteria, &limit.id, &limit.title, true, &taken);
                    }
                }
            }
            GradedKind::Group(how) => {
                let weights = [0, 1].map(|e| weights(graded, *how, e, decides(graded, e)));
                for (i, child) in graded.children.iter().enumerate() {
                    let reach = [0, 1].map(|e| match (&reach[e], &weights[e][i]) {
                        (Some(r), Some(w)) => Some(r * w),
                        _ => None,
                    });
                    // Of criteria equally low none alone is what it is lost on.
                    if as_low(graded, *how) {
                        self.below(child, own, &reach);
                    } else {
                        self.down(child, own, &reach);
                    }
                }
            }
        }
    }
}

/// Whether at some end several criteria of a node are the lowest, which counts, and something is lost there.
fn as_low(graded: &Graded, how: Combine) -> bool {
    how == Combine::Worst
        && graded.children.iter().all(|c| c.role.is_none())
        && (0..2).any(|e| {
            let Some(value) = &graded.ends[e].points else { return false };
            let full = graded.children.iter().any(|c| best(c).is_some_and(|best| best <= *value));
            let lowest = graded.children.iter().filter(|c| c.ends[e].points.as_ref() == Some(value));
            !full && lowest.count() > 1
        })
}

/// The most points of a leaf.
fn best(graded: &Graded) -> Option<Exact> {
    match &graded.kind {
        GradedKind::Leaf { points, .. } => Some(Plan::extremes(points).1),
        GradedKind::Group(_) => None,
    }
}

fn add(list: &mut Vec<Lost>, id: &str, title: &str, limit: bool, points: &[Exact; 2]) {
    match list.iter_mut().find(|l| l.id == id) {
        Some(found) => [0, 1].into_iter().for_each(|e| found.points[e] = &found.points[e] + &points[e]),
        None => list.push(Lost {
            id: id.to_owned(),
            title: title.to_owned(),
            short: title.split([' ', ',']).next().unwrap_or_default().to_lowercase().chars().take(9).collect(),
            limit,
            points: points.clone(),
        }),
    }
}

/// Which child decides a node at one end: for a limit the lowest, the first of equals.
pub(crate) fn decides(graded: &Graded, end: usize) -> Option<&str> {
    let there = graded.children.iter().filter(|c| c.ends[end].points.is_some());
    let found = match graded.kind {
        GradedKind::Group(Combine::Best) => there.max_by(|a, b| a.ends[end].points.cmp(&b.ends[end].points)),
        _ => there.min_by(|a, b| a.ends[end].points.cmp(&b.ends[end].points)),
    };
    found.map(|c| c.id.as_str())
}

/// What a point of each child is worth in a node at one end, where one child of a limit `decides`; `None`: it isn't there, or
/// nothing.
pub(crate) fn weights(graded: &Graded, how: Combine, end: usize, decides: Option<&str>) -> Vec<Option<Exact>> {
    let there = |c: &Graded| c.ends[end].points.is_some();
    match how {
        Combine::Mean => {
            let whole: Exact = graded.children.iter().filter(|c| there(c)).map(|c| c.weight.clone()).sum();
            graded.children.iter().map(|c| c.weight.checked_div(&whole).filter(|_| there(c))).collect()
        }
        Combine::Sum => graded.children.iter().map(|c| Some(c.weight.clone()).filter(|_| there(c))).collect(),
        _ => graded.children.iter().map(|c| (Some(c.id.as_str()) == decides).then(Exact::one)).collect(),
    }
}
