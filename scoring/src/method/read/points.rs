//! How a measure becomes points, as written.

use std::collections::BTreeSet;

use super::{Cite, Gap, Job, certainty, source, under};
use crate::exact::Exact;
use crate::method::entries::{CriterionFields, POINTS, PointsFromFields, RungFields};
use crate::method::measure::counts_as;
use crate::method::written::{RoleName, exact};
use crate::method::{Band, Cited, Measure, MeasureScale, Points, Rung};
use crate::text::fields::{Item, Items, Many, Stated};
use crate::text::{Diagnostic, Span, Spanned, fold, near};

/// Reads the points of a leaf; complains about none, several, or a kind that does not fit the measure.
///
/// `at` is the place of the criterion, for what is marked as a gap.
pub(super) fn points(
    fields: &CriterionFields,
    items: &Items<'_>,
    (at, head): (Span, Span),
    cite: &Cite,
    job: &mut Job<'_, '_>,
) -> Option<Points> {
    let measure = match &fields.measure {
        Stated::Read(measure) => Some(measure),
        _ => None,
    };
    let cite = &fields.points_from.as_ref().map_or_else(
        Cite::default,
        |PointsFromFields { source: from, certainty: sure }| {
            let source = source(from).or_else(|| cite.source.clone());
            Cite { source, clause: None, certainty: certainty(sure).or(cite.certainty) }
        },
    );
    let CriterionFields { bands: of_bands, levels: of_levels, linear: of_linear, rungs: of_rungs, as_is, .. } = fields;
    let numbers = [of_bands, of_levels, of_linear].map(|field| items.get(field));
    let all = numbers.into_iter().chain([items.get(of_rungs), items.get(as_is)]);
    let stated: Vec<_> = POINTS.into_iter().zip(all).filter_map(|(name, item)| Some((name, item?))).collect();
    let [(field, item)] = stated.as_slice() else {
        let message =
            if stated.is_empty() { "this measure has no points" } else { "this measure has points written twice" };
        let span = stated.get(1).and_then(|(_, i)| i.key).unwrap_or(head);
        job.complain(
            Diagnostic::error("points-kind", span, message)
                .because("One of `bands`, `levels`, `linear`, `rungs` and `as is` says how the measure becomes points.")
                .mend("keep exactly one of them"),
        );
        return None;
    };
    let scale = measure.map(Measure::scale);
    let fits = match (*field, scale) {
        (_, None) => true,
        ("levels", Some(s)) => s == MeasureScale::Words,
        ("rungs", Some(s)) => s == MeasureScale::Rungs,
        (_, Some(s)) => matches!(s, MeasureScale::Fewer | MeasureScale::Number),
    };
    if !fits {
        let (word, wanted) = match (measure, scale) {
            (Some(m), Some(MeasureScale::Words)) => (m.word(), "`levels`"),
            (Some(m), Some(MeasureScale::Rungs)) => (m.word(), "`rungs`"),
            (Some(m), _) => (m.word(), "`bands`, `linear` or `as is`"),
            (None, _) => (String::new(), ""),
        };
        job.complain(
            Diagnostic::error("points-kind", item.head(), format!("`{word}` can't be turned into points by `{field}`"))
                .because(
                    "Words take levels, numbers take bands, linear pieces or the number itself, offers take rungs.",
                )
                .mend(format!("write {wanted}")),
        );
        return None;
    }
    match *field {
        "bands" => bands(item, scale, at, cite, job).map(Points::Bands),
        "levels" => levels(item, measure, at, cite, job).map(Points::Levels),
        "linear" => linear(item, at, cite, job).map(Points::Linear),
        "rungs" => rungs(item, at, cite, job).map(Points::Rungs),
        _ => {
            let yes = item.yes_no(job.reader)?;
            if !yes.value {
                job.complain(
                    Diagnostic::error(
                        "points-kind",
                        yes.span,
                        "`as is: no` says how the measure does not become points",
                    )
                    .mend("write `as is: yes`, or bands"),
                );
            }
            Some(Points::AsIs)
        }
    }
}

/// A name and its points, if they could be read.
type Named = (Spanned<String>, Option<Cited<Exact>>);

/// Entries of a mapping with their points, each under the cite of the points; marks a gap where points can't be read.
fn entries<'t>(item: &Item<'t>, wanted: &str, at: Span, cite: &Cite, job: &mut Job<'_, '_>) -> Option<Vec<Named>> {
    let named = item.names(wanted, job.reader)?;
    let read = |(name, item): (Spanned<String>, Item<'t>)| {
        let points = job.known_number(&item).map(|mut n| {
            n.span = super::joined(name.span, n.span);
            under(n, cite)
        });
        if points.is_none() {
            job.gaps.mark(Gap::Points, at);
        }
        (name, points)
    };
    Some(named.into_iter().map(read).collect())
}

/// A band as written: its name, its bound (`None` for the rest), and its points if they could be read.
struct Written {
    name: Spanned<String>,
    bound: Option<Exact>,
    points: Option<Cited<Exact>>,
}

fn bands(
    item: &Item<'_>,
    scale: Option<MeasureScale>,
    at: Span,
    cite: &Cite,
    job: &mut Job<'_, '_>,
) -> Option<Vec<Band>> {
    let wanted = "bands such as `up to 5: 3` and `more: 1`";
    let written = entries(item, wanted, at, cite, job)?;
    // Bands of an unknown measure say themselves which way they run.
    let rising = |(name, _): &Named| {
        let name = fold(&name.value);
        name == "less" || name.starts_with("from ")
    };
    let rises = scale.map_or_else(|| written.iter().any(rising), |s| s == MeasureScale::Number);
    let (bound, rest) = if rises { ("from", "less") } else { ("up to", "more") };
    let mut out: Vec<Written> = Vec::new();
    let mut rest_may_be_unread = false;
    for (name, points) in written {
        let key = fold(&name.value);
        let read = if key == rest {
            Ok(None)
        } else if let Some(number) = key.strip_prefix(bound) {
            exact(number.trim(), 0).map(Some).map_err(|bad| (bad.meant.map(|n| format!("{bound} {n}")), bad.message))
        } else {
            rest_may_be_unread = true;
            Err((None, format!("`{}` is not a band of this measure", name.value)))
        };
        match read {
            Ok(bound) => out.push(Written { name, bound, points }),
            Err((alone, message)) => {
                let mend = match alone {
                    Some(alone) => format!("write `{alone}`"),
                    None => format!("write `{bound} 5:` or `{rest}:`"),
                };
                job.gaps.mark(Gap::Points, at);
                job.complain(
                    Diagnostic::error("band-name", name.span, message)
                        .because(format!("Bands of this measure are named `{bound} N`, the last one `{rest}`."))
                        .mend(mend),
                );
            }
        }
    }
    if !ordered(&out, (bound, rest), job) {
        job.gaps.mark(Gap::Order, at);
    }
    if out.iter().all(|b| b.bound.is_some()) && !rest_may_be_unread {
        job.complain(
            Diagnostic::error(
                "band-gap",
                item.key.unwrap_or(item.node.span),
                format!("these bands end without `{rest}`"),
            )
            .because("A value outside all bands would have no points.")
            .mend(format!("add `{rest}:` as the last band")),
        );
    }
    Some(out.into_iter().filter_map(|b| Some(Band { bound: b.bound, points: b.points? })).collect())
}

/// Whether bands follow one another without overlap, the rest last; complains where they don't.
fn ordered(bands: &[Written], (bound, rest): (&str, &str), job: &mut Job<'_, '_>) -> bool {
    let mut good = true;
    for pair in bands.windows(2) {
        let [first, second] = pair else {
            continue;
        };
        let wrong = match (&first.bound, &second.bound) {
            (None, _) => Some((format!("`{}` comes after `{rest}`", second.name.value), "It can never be reached.")),
            (Some(x), Some(y)) if x == y => Some((
                format!("`{}` and `{}` are the same bound", first.name.value, second.name.value),
                "The bands overlap.",
            )),
            (Some(x), Some(y)) if (x < y) != (bound == "up to") => Some((
                format!("`{}` stands after `{}`", second.name.value, first.name.value),
                "The bands overlap: the first one covers the second.",
            )),
            _ => None,
        };
        if let Some((message, reason)) = wrong {
            good = false;
            let order = if bound == "up to" { "ascending" } else { "descending" };
            job.complain(
                Diagnostic::error("band-order", second.name.span, message)
                    .because(reason)
                    .mend(format!("write the bounds in {order} order, then `{rest}:`")),
            );
        }
    }
    good
}

fn levels(
    item: &Item<'_>,
    measure: Option<&Measure>,
    at: Span,
    cite: &Cite,
    job: &mut Job<'_, '_>,
) -> Option<Vec<(String, Cited<Exact>)>> {
    let words = measure.map(Measure::words).unwrap_or_default();
    let written = entries(item, "levels such as `basic: 4`", at, cite, job)?;
    if measure.is_none() {
        // Which words there are is not known, so neither is their order.
        return Some(written.into_iter().filter_map(|(name, points)| Some((name.value, points?))).collect());
    }
    let exactly = |name: &str| words.iter().position(|w| fold(w) == fold(name));
    let mut named: Vec<usize> = written.iter().filter_map(|(name, _)| exactly(&name.value)).collect();
    let mut found: Vec<(usize, Cited<Exact>)> = Vec::new();
    for (name, points) in written {
        let place = exactly(&name.value).or_else(|| {
            let meant = near(&name.value, words.iter().copied());
            let mend = match meant {
                Some(word) => format!("did you mean `{word}`?"),
                None => format!("words of this measure: {}", words.join("; ")),
            };
            job.complain(
                Diagnostic::error(
                    "level-unknown",
                    name.span,
                    format!("`{}` is not a word of this measure", name.value),
                )
                .because("The level could never be met.")
                .mend(mend),
            );
            // A misspelt word stands for the one that was meant, unless that one stands too.
            let place = meant.and_then(exactly).filter(|p| !named.contains(p))?;
            named.push(place);
            Some(place)
        });
        found.extend(place.zip(points));
    }
    let missing: Vec<_> = (0..words.len())
        .filter(|at| !named.contains(at) && counts_as(words[*at]).is_none())
        .map(|at| format!("`{}`", words[at]))
        .collect();
    if !missing.is_empty() {
        job.gaps.mark(Gap::Points, at);
        job.complain(
            Diagnostic::error(
                "level-missing",
                item.key.unwrap_or(item.node.span),
                format!("no level for {}", missing.join(", ")),
            )
            .because("A record can say that word, and it would have no points.")
            .mend("give every word of the measure its points"),
        );
    }
    found.sort_by_key(|(at, _)| *at);
    Some(found.into_iter().map(|(at, points)| (words[at].to_owned(), points)).collect())
}

fn linear(item: &Item<'_>, at: Span, cite: &Cite, job: &mut Job<'_, '_>) -> Option<Vec<(Exact, Cited<Exact>)>> {
    let mut corners: Vec<(Exact, Option<Cited<Exact>>)> = Vec::new();
    let mut unread = false;
    let mut ordered = true;
    for (name, points) in entries(item, "corners such as `0: 10` and `12: 0`", at, cite, job)? {
        let Some(x) = Exact::parse(&name.value) else {
            unread = true;
            job.gaps.mark(Gap::Points, at);
            job.complain(
                Diagnostic::error("corner-name", name.span, format!("`{}` is not a value of this measure", name.value))
                    .because("The line has no place for it.")
                    .mend("write a number, a colon and the points"),
            );
            continue;
        };
        if corners.last().is_some_and(|(before, _)| *before >= x) {
            ordered = false;
            job.complain(
                Diagnostic::error(
                    "corner-order",
                    name.span,
                    format!("corner `{}` does not follow the one before it", name.value),
                )
                .because("Between two corners the line would run backwards.")
                .mend("write the corners in ascending order"),
            );
        }
        corners.push((x, points));
    }
    if corners.len() < 2 && !unread {
        job.complain(
            Diagnostic::error("corner-order", item.key.unwrap_or(item.node.span), "a line needs two corners")
                .because("With one corner every value would have the same points.")
                .mend("add a second corner, or use `bands`"),
        );
    }
    if !ordered {
        job.gaps.mark(Gap::Order, at);
    }
    Some(corners.into_iter().filter_map(|(x, points)| Some((x, points?))).collect())
}

fn rungs(item: &Item<'_>, at: Span, cite: &Cite, job: &mut Job<'_, '_>) -> Option<Vec<Rung>> {
    let items = item.list("a list of rungs", job.reader)?;
    let mut out = Vec::new();
    // Where the floor stands; a rung whose roles can't be read may be one.
    let (mut floor, mut floor_may_be_unread) = (None, false);
    let mut asked: Vec<(usize, BTreeSet<String>)> = Vec::new();
    for (place, rung) in items.iter().enumerate() {
        let Some((fields, items)) = job.typed::<RungFields>(rung) else {
            floor_may_be_unread = true;
            job.gaps.mark(Gap::Points, at);
            continue;
        };
        let all_of = items.get(&fields.all_of.0);
        let roles = match &all_of {
            Some(i) if i.node.text().map(fold).as_deref() == Some("priority parts") => None,
            Some(i) => {
                if i.one_or_many().is_empty() {
                    floor = floor.or(Some(place));
                }
                let read = job.typed::<Many<Spanned<RoleName>>>(i).map(|(roles, _)| roles.0).unwrap_or_default();
                let read = || read.iter().map(|t| Spanned::new(t.value.0.clone(), t.span));
                job.named.roles.extend(read());
                Some(read().map(|t| t.value).collect())
            }
            None => {
                floor_may_be_unread = true;
                Some(Vec::new())
            }
        };
        if let (Some(roles), Some(_)) = (&roles, all_of) {
            asked.push((place, roles.iter().map(|r| fold(r)).collect()));
        }
        match items.get(&fields.points.0).and_then(|i| job.known_number(&i)) {
            Some(points) => out.push(Rung { roles, points: under(points, cite) }),
            None => job.gaps.mark(Gap::Points, at),
        }
    }
    if floor.is_none() && !floor_may_be_unread {
        job.complain(
            Diagnostic::error("rung-floor", item.key.unwrap_or(item.node.span), "these rungs end without a floor")
                .because("An offer that meets no rung would have no points.")
                .mend("add `{all of: [], points: 0}` as the last rung"),
        );
    }
    never_highest(&asked, &items, job);
    Some(out)
}

/// Rungs that ask all that one above them asks are never the highest one met: each is told once.
fn never_highest(asked: &[(usize, BTreeSet<String>)], items: &[Item<'_>], job: &mut Job<'_, '_>) {
    for (at, (place, roles)) in asked.iter().enumerate() {
        let Some((above, met)) = asked[..at].iter().find(|(_, other)| other.is_subset(roles)) else { continue };
        let complaint = if met.is_empty() {
            Diagnostic::error("rung-never", items[*place].head(), "this rung stands below the floor")
                .because("The floor asks nothing, so this rung can never be the highest one met.")
                .mend("move the floor to the end")
        } else {
            Diagnostic::error("rung-never", items[*place].head(), "this rung is never the highest one met")
                .also(items[*above].head(), "whoever meets the rung below meets this one too")
                .because("It asks all that a rung above it asks, and more.")
                .mend("write the rungs that ask most first")
        };
        job.complain(complaint);
    }
}
