//! How measures become points: order, scale, and bands or limits that can never count.

use super::reach::{numbers, reach};
use super::{Gap, Job, sum};
use crate::exact::{Exact, Rounding};
use crate::method::{Band, Cited, Combine, Criterion, CriterionKind, Measure, MeasureScale, Points};
use crate::text::Diagnostic;

pub(super) fn check(job: &mut Job<'_, '_, '_>) {
    node(&job.method.root, true, job);
    for node in job.method.root.all() {
        if let CriterionKind::Group { how: Combine::Cap, of } = &node.kind
            && !job.gaps.has(Gap::Kind, node.span)
        {
            limits(of, job);
        }
    }
    if job.gaps.any(Gap::Scale) {
        return;
    }
    let scale = &job.method.scale;
    for (category, form) in job.devices() {
        let method = job.method.for_device(category, form);
        // Where weights could not be read there is no total.
        if method.no_total().is_some() {
            continue;
        }
        let Some((low, high)) = reach(&method, &job.gaps, &method.root) else {
            continue;
        };
        if low < scale.low || high > scale.high {
            let message = format!(
                "totals run from {} to {}, outside the scale of {} to {}",
                low.plain(),
                high.plain(),
                scale.low.plain(),
                scale.high.plain()
            );
            job.complain(
                Diagnostic::error("points-outside", job.method.root.span, message)
                    .because(format!(
                        "Computed for a device of category {category} with everything at its worst and best."
                    ))
                    .mend("mend the points, the weights or the scale"),
            );
            break;
        }
    }
}

/// `on_scale`: points below are on the scale of the total.
fn node(at: &Criterion, on_scale: bool, job: &mut Job<'_, '_, '_>) {
    match &at.kind {
        CriterionKind::Leaf { measure, points, .. } => leaf(at, measure, points, on_scale, job),
        CriterionKind::Each { node: inner, .. } => node(inner, on_scale, job),
        CriterionKind::Group { how, of } => {
            let unread = [Gap::Kind, Gap::Combine].iter().any(|g| job.gaps.has(*g, at.span));
            let plain = !unread && *how != Combine::Sum
                || sum(of.iter().filter_map(|n| n.weight.as_ref()).map(|w| &w.value)) == Exact::one();
            for child in of {
                node(child, on_scale && plain, job);
            }
        }
    }
}

/// A limit that is never below what it limits has no effect.
fn limits(of: &[Criterion], job: &mut Job<'_, '_, '_>) {
    let Some((first, limits)) = of.split_first() else {
        return;
    };
    let Some((_, best)) = reach(job.method, &job.gaps, first) else {
        return;
    };
    for limit in limits {
        let Some((low, high)) = reach(job.method, &job.gaps, limit) else {
            continue;
        };
        if low >= best {
            job.complain(
                Diagnostic::warning("limit-never", limit.span, format!("`{}` never limits", limit.id))
                    .because(format!(
                        "It is never below {}, and `{}` is never above {}.",
                        low.plain(),
                        first.id,
                        best.plain()
                    ))
                    .mend("lower its points, or delete it"),
            );
        } else if high < best {
            job.complain(
                Diagnostic::warning("limit-always", limit.span, format!("`{}` always limits", limit.id))
                    .because(format!(
                        "It is never above {}, while `{}` can reach {}.",
                        high.plain(),
                        first.id,
                        best.plain()
                    ))
                    .mend("give its best case the top of the scale"),
            );
        }
    }
}

fn leaf(node: &Criterion, measure: &Measure, points: &Points, on_scale: bool, job: &mut Job<'_, '_, '_>) {
    let known = !job.gaps.has(Gap::Kind, node.span);
    // Bands run from best to worst whatever they measure; words and values need a measure to say what is better.
    if known || matches!(points, Points::Bands(_)) {
        order(node, measure, points, job);
    }
    if let Points::Bands(bands) = points
        && known
        && !job.gaps.has(Gap::Order, node.span)
    {
        never(node, measure, bands, job);
    }
    if job.gaps.any(Gap::Scale) {
        return;
    }
    let scale = job.method.scale.clone();
    if matches!(points, Points::AsIs) && known && !matches!(measure, Measure::Mark(_)) {
        job.complain(
            Diagnostic::error(
                "points-outside",
                node.span,
                format!("`{}` is no mark: its number can't be the points as it is", measure.word()),
            )
            .because("Only marks are given on a scale of points; any other number may leave the scale.")
            .mend("write `linear`, such as `linear: {0: 0, 10: 10}`, or `bands`"),
        );
    }
    for number in numbers(points) {
        let value = &number.value;
        if on_scale && (*value < scale.low || *value > scale.high) {
            job.gaps.mark(Gap::Outside, node.span);
            let message = format!(
                "{} points are outside the scale of {} to {}",
                value.plain(),
                scale.low.plain(),
                scale.high.plain()
            );
            job.complain(
                Diagnostic::error("points-outside", number.span, message)
                    .because("Everything above combines values of the scale.")
                    .mend(format!("write points from {} to {}", scale.low.plain(), scale.high.plain())),
            );
        } else if scale.verdict && *value != scale.low && *value != scale.high {
            job.complain(
                Diagnostic::error(
                    "verdict-points",
                    number.span,
                    format!("{} points are neither pass nor fail", value.plain()),
                )
                .because("A verdict method knows its best total, pass, and its worst, fail.")
                .mend(format!("write {} or {}", scale.high.plain(), scale.low.plain())),
            );
        }
    }
}

/// What is better must not score less.
fn order(node: &Criterion, measure: &Measure, points: &Points, job: &mut Job<'_, '_, '_>) {
    let listed = best_first(measure, points);
    // Where bands or corners overlap, either their order or a bound is wrong: points are told only if they rise both ways.
    if job.gaps.has(Gap::Order, node.span) && falls(&best_first(measure, &sorted(measure, points))) {
        return;
    }
    if matches!(points, Points::AsIs) && measure.scale() == MeasureScale::Fewer {
        job.complain(
            Diagnostic::error(
                "points-order",
                node.span,
                format!("`{}` is better when fewer, but more would score more", measure.word()),
            )
            .because("A better device would lower its score.")
            .mend("write `bands` or `linear` that fall"),
        );
    }
    for pair in listed.windows(2) {
        if let [better, worse] = pair
            && worse.value > better.value
        {
            let message =
                format!("{} points for what is worse than what has {}", worse.value.plain(), better.value.plain());
            job.complain(
                Diagnostic::error("points-order", worse.span, message)
                    .also(better.span, "better, but fewer points")
                    .because("Improving a device must never lower its score.")
                    .mend("let the points fall from best to worst"),
            );
        }
    }
}

/// The points of a leaf, those of the best value first.
fn best_first<'p>(measure: &Measure, points: &'p Points) -> Vec<&'p Cited<Exact>> {
    let mut listed = numbers(points);
    // Corners run by value; everything else is written best first.
    if matches!(points, Points::Linear(_)) && measure.scale() == MeasureScale::Number {
        listed.reverse();
    }
    listed
}

fn falls(points: &[&Cited<Exact>]) -> bool {
    points.windows(2).all(|pair| pair[1].value <= pair[0].value)
}

/// Bands and corners in the order of their bounds.
fn sorted(measure: &Measure, points: &Points) -> Points {
    match points {
        Points::Bands(bands) => {
            let mut bands = bands.clone();
            let rises = measure.scale() == MeasureScale::Number;
            bands.sort_by(|a, b| match (&a.bound, &b.bound) {
                (Some(x), Some(y)) if rises => y.cmp(x),
                (Some(x), Some(y)) => x.cmp(y),
                (a, b) => b.is_some().cmp(&a.is_some()),
            });
            Points::Bands(bands)
        }
        Points::Linear(corners) => {
            let mut corners = corners.clone();
            corners.sort_by(|a, b| a.0.cmp(&b.0));
            Points::Linear(corners)
        }
        other => other.clone(),
    }
}

/// Bands no value of the measure falls into.
fn never(node: &Criterion, measure: &Measure, bands: &[Band], job: &mut Job<'_, '_, '_>) {
    let (least, most) = measure.limits();
    let (least, most) = (Exact::from(least), most.map(Exact::from));
    let number = measure.scale() == MeasureScale::Number;
    let mut before: Option<Exact> = None;
    for band in bands {
        let empty = match (&band.bound, number) {
            // (before, bound] below the least value, or without a whole number in it.
            (Some(bound), false) => {
                let bound = if measure.whole() { bound.round(0, Rounding::Down) } else { bound.clone() };
                let empty = bound < least || before.as_ref().is_some_and(|b| bound <= *b);
                before = Some(bound);
                empty
            }
            (Some(bound), true) => {
                let bound = if measure.whole() { bound.round(0, Rounding::Up) } else { bound.clone() };
                let empty = most.as_ref().is_some_and(|m| bound > *m) || before.as_ref().is_some_and(|b| bound >= *b);
                before = Some(bound);
                empty
            }
            (None, false) => most.as_ref().zip(before.as_ref()).is_some_and(|(m, b)| b >= m),
            (None, true) => before.as_ref().is_some_and(|b| *b <= least),
        };
        if empty {
            job.complain(
                Diagnostic::warning(
                    "band-never",
                    band.points.span,
                    format!("no value of `{}` falls into this band of `{}`", measure.word(), node.id),
                )
                .because("The band can never count.")
                .mend("delete it, or mend the bounds"),
            );
        }
    }
}
