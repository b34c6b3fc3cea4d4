//! How far one weight could move before devices change places.
//!
//! Limiting factors are left aside, as where weights are drawn: what stands above the criteria is a nest of weighted means
//! and sums, which is linear in the share one weight has of its group while the others keep their ratios. A pair of devices
//! is in order when the lowest total of one lies above the highest of the other, each criterion at its own end; a pair out
//! of order for the first time gives an exact bound.

use std::collections::BTreeMap;

use crate::exact::Exact;
use crate::method::Combine;
use crate::range::{Graded, GradedKind};

/// How far weights could move.
#[derive(Clone, Debug, Default, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Spans {
    /// Pairs in order under the weights in force, of neighbours only: better, worse. All other pairs follow from these.
    pub pairs: Vec<(usize, usize)>,
    /// The device above all others.
    pub first: Option<usize>,
    /// One entry for each weight, in the order of the method; empty where no pair is in order.
    pub weights: Vec<Span>,
    /// Criteria inside which no weight is followed, because the devices have different parts or criteria there, and parts
    /// whose share is not the same everywhere: ids.
    pub untold: Vec<String>,
}

/// How far one weight could move: shares of its group, from 0 to 1, the others keeping their ratios.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Span {
    /// Id of the criterion, or the role for the weight of a part.
    pub id: String,
    /// Title of the criterion; the role for a part.
    pub title: String,
    /// It is the weight of a part.
    pub part: bool,
    /// Its share now.
    pub share: Exact,
    /// Between these no pair in order gets out of order.
    pub order: Stretch,
    /// Between these the first device stays above all others; `None`: none is.
    pub first: Option<Stretch>,
}

/// A stretch of shares around the one in force.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Stretch {
    /// Lower and upper end. An end with a pair is itself outside.
    pub ends: [Exact; 2],
    /// The pair level at each end; `None`: the end is 0 or 1 and nothing changes there.
    pub gives_way: [Option<(usize, usize)>; 2],
}

/// What stands above opaque values in all devices alike.
enum Shape<'a> {
    /// A value with a range, one for each device.
    Value(Vec<[&'a Exact; 2]>),
    /// Weighted shapes. `factor` times the mean is the value: 1 for a mean, the sum of the weights for a sum.
    Group { factor: Exact, members: Vec<Member<'a>> },
}

struct Member<'a> {
    key: (String, bool),
    title: &'a str,
    share: Exact,
    shape: Shape<'a>,
}

/// One place where a weight counts.
struct Place {
    share: Exact,
    /// What a unit of share moves the total by, for each device at its low and its high end.
    slope: Vec<[Exact; 2]>,
}

/// Works out how far each weight could move. Empty with fewer than two devices, or where one has no value.
pub fn spans(roots: &[&Graded]) -> Spans {
    let mut out = Spans::default();
    let Some(shape) = shape(roots, &mut out.untold).filter(|_| roots.len() > 1) else { return out };
    let totals = shape.value();
    out.pairs = neighbours(&totals);
    let n = totals.len();
    let over = |i: usize, j: usize| totals[i][0] > totals[j][1];
    out.first = (0..n).find(|&i| (0..n).all(|j| i == j || over(i, j)));
    if out.pairs.is_empty() {
        return out;
    }
    let first: Vec<(usize, usize)> =
        out.first.map_or_else(Vec::new, |i| (0..n).filter(|j| *j != i).map(|j| (i, j)).collect());
    let mut order = Vec::new();
    let mut places: BTreeMap<(String, bool), Vec<Place>> = BTreeMap::new();
    collect(&shape, &Exact::one(), &mut order, &mut places);
    for (key, title) in order {
        let found = &places[&key];
        let share = &found[0].share;
        if found.iter().any(|p| p.share != *share) {
            out.untold.push(key.0);
            continue;
        }
        let mut slope: Vec<[Exact; 2]> = vec![[Exact::zero(), Exact::zero()]; n];
        for place in found {
            for (sum, more) in slope.iter_mut().zip(&place.slope) {
                *sum = [&sum[0] + &more[0], &sum[1] + &more[1]];
            }
        }
        let stretch = |pairs: &[(usize, usize)]| stretch(share, pairs, &totals, &slope);
        out.weights.push(Span {
            order: stretch(&out.pairs),
            first: out.first.map(|_| stretch(&first)),
            title: title.to_owned(),
            share: share.clone(),
            id: key.0,
            part: key.1,
        });
    }
    out
}

/// The stretch in which some pairs stay in order.
fn stretch(share: &Exact, pairs: &[(usize, usize)], totals: &[[Exact; 2]], slope: &[[Exact; 2]]) -> Stretch {
    let mut out = Stretch { ends: [Exact::zero(), Exact::one()], gives_way: [None, None] };
    for &(i, j) in pairs {
        let ahead = &totals[i][0] - &totals[j][1];
        let gains = &slope[i][0] - &slope[j][1];
        let Some(way) = ahead.checked_div(&gains) else { continue };
        let level = share - &way;
        if gains.is_negative() {
            if level < out.ends[1] || level == out.ends[1] && out.gives_way[1].is_none() {
                (out.ends[1], out.gives_way[1]) = (level, Some((i, j)));
            }
        } else if level > out.ends[0] || level == out.ends[0] && out.gives_way[0].is_none() {
            (out.ends[0], out.gives_way[0]) = (level, Some((i, j)));
        }
    }
    out
}

/// Pairs in order with nothing between them. Where `i` is above `k` and `k` above `j`, the lead of `i` over `j` is at
/// least both leads together whatever the weights, so the other pairs follow.
fn neighbours(totals: &[[Exact; 2]]) -> Vec<(usize, usize)> {
    let mut out = Vec::new();
    for (i, one) in totals.iter().enumerate() {
        let below = || totals.iter().enumerate().filter(|(_, t)| t[1] < one[0]);
        let Some(highest) = below().map(|(_, t)| &t[0]).max() else { continue };
        out.extend(below().filter(|(_, t)| t[1] >= *highest).map(|(j, _)| (i, j)));
    }
    out
}

fn ranged<'a>(nodes: &[&'a Graded]) -> Option<Shape<'a>> {
    nodes.iter().map(|n| Some([n.low.as_ref()?, n.high.as_ref()?])).collect::<Option<Vec<_>>>().map(Shape::Value)
}

fn shape<'a>(nodes: &[&'a Graded], untold: &mut Vec<String>) -> Option<Shape<'a>> {
    let first = *nodes.first()?;
    let GradedKind::Group(combine) = &first.kind else { return ranged(nodes) };
    let all = |holds: &dyn Fn(&Graded) -> bool| nodes.iter().all(|n| holds(n));
    if !all(&|n| n.kind == first.kind) {
        return ranged(nodes);
    }
    let left_out = |n: &Graded| n.low.is_none() && n.high.is_none();
    match combine {
        Combine::Cap => {
            let below: Vec<&Graded> = nodes.iter().map(|n| n.children.first()).collect::<Option<_>>()?;
            shape(&below, untold)
        }
        Combine::Mean | Combine::Sum => {
            let members: Vec<Vec<&Graded>> =
                nodes.iter().map(|n| n.children.iter().filter(|c| !left_out(c)).collect()).collect();
            let alike = |a: &[&Graded]| {
                a.len() == members[0].len()
                    && a.iter().zip(&members[0]).all(|(x, y)| x.id == y.id && x.weight == y.weight)
                    && a.iter().all(|c| c.low.is_some() && c.high.is_some())
            };
            if !members.iter().all(|m| alike(m)) {
                if first.children.len() > 1 {
                    untold.push(first.id.clone());
                }
                return ranged(nodes);
            }
            let sum: Exact = members[0].iter().map(|c| c.weight.clone()).sum();
            let factor = if *combine == Combine::Sum { sum.clone() } else { Exact::one() };
            let each = first.role.is_none() && members[0].iter().all(|c| c.role.is_some());
            let mut out = Vec::new();
            for (k, child) in members[0].iter().enumerate() {
                let column: Vec<&Graded> = members.iter().map(|m| m[k]).collect();
                let id = match &child.role {
                    Some(role) if each => role.clone(),
                    Some(role) => child.id.strip_suffix(&format!("/{role}")).unwrap_or(&child.id).to_owned(),
                    None => child.id.clone(),
                };
                out.push(Member {
                    title: if each { child.role.as_deref().unwrap_or_default() } else { &child.title },
                    key: (id, each),
                    share: child.weight.checked_div(&sum)?,
                    shape: shape(&column, untold)?,
                });
            }
            Some(Shape::Group { factor, members: out })
        }
        Combine::Worst | Combine::Best | Combine::Gate | Combine::Apart => ranged(nodes),
    }
}

impl Shape<'_> {
    /// Lowest and highest value of each device.
    fn value(&self) -> Vec<[Exact; 2]> {
        match self {
            Self::Value(list) => list.iter().map(|[low, high]| [(*low).clone(), (*high).clone()]).collect(),
            Self::Group { factor, members } => {
                let values: Vec<Vec<[Exact; 2]>> = members.iter().map(|m| m.shape.value()).collect();
                weighted(factor, &members.iter().map(|m| m.share.clone()).collect::<Vec<_>>(), &values)
            }
        }
    }
}

fn weighted(factor: &Exact, shares: &[Exact], values: &[Vec<[Exact; 2]>]) -> Vec<[Exact; 2]> {
    let n = values.first().map_or(0, Vec::len);
    let end = |i: usize, end: usize| {
        let sum: Exact = shares.iter().zip(values).map(|(s, v)| s * &v[i][end]).sum();
        factor * &sum
    };
    (0..n).map(|i| [end(i, 0), end(i, 1)]).collect()
}

/// Every place of every weight; `reach` is what a unit of the shape's value is worth in the total.
fn collect<'a>(
    shape: &Shape<'a>,
    reach: &Exact,
    order: &mut Vec<((String, bool), &'a str)>,
    places: &mut BTreeMap<(String, bool), Vec<Place>>,
) {
    let Shape::Group { factor, members } = shape else { return };
    let reach = reach * factor;
    let values: Vec<Vec<[Exact; 2]>> = members.iter().map(|m| m.shape.value()).collect();
    let all = weighted(&Exact::one(), &members.iter().map(|m| m.share.clone()).collect::<Vec<_>>(), &values);
    for (member, value) in members.iter().zip(&values) {
        // With share s, value v and mean m of the group, the others' mean is (m - s v) / (1 - s), and the mean moves by
        // v less that: (v - m) / (1 - s).
        let rest = &Exact::one() - &member.share;
        if !rest.is_zero() {
            let slope = value.iter().zip(&all).map(|(v, m)| {
                let end = |e: usize| (&(&v[e] - &m[e]) * &reach).checked_div(&rest).unwrap_or_else(Exact::zero);
                [end(0), end(1)]
            });
            let place = Place { share: member.share.clone(), slope: slope.collect() };
            if !places.contains_key(&member.key) {
                order.push((member.key.clone(), member.title));
            }
            places.entry(member.key.clone()).or_default().push(place);
        }
        collect(&member.shape, &(&reach * &member.share), order, places);
    }
}
