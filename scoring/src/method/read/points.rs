//! How a measure becomes points, as written.

use super::{Cite, Job, exact, under};
use crate::exact::Exact;
use crate::method::{Band, Cited, Measure, MeasureScale, Points, Rung, tables};
use crate::text::fields::{Fields, Item};
use crate::text::{Diagnostic, Spanned, fold, near};
use crate::vocab::Certainty;

/// Reads the points of a leaf; complains about none, several, or a kind that does not fit the measure.
pub(super) fn points(
    fields: &Fields<'_>,
    measure: Option<&Measure>,
    cite: &Cite,
    job: &mut Job<'_, '_>,
) -> Option<Points> {
    let from = fields.get("points from").and_then(|i| i.fields(&tables::POINTS_FROM, job.reader));
    let cite = &from.map_or_else(Cite::default, |f| {
        let source = f.text("source", job.reader).map(|t| t.value).or_else(|| cite.source.clone());
        let certainty = f.get("certainty").and_then(|i| job.word::<Certainty>(&i)).map(|c| c.value);
        Cite { source, clause: None, certainty: certainty.or(cite.certainty) }
    });
    let stated: Vec<_> = tables::POINTS.into_iter().filter_map(|f| Some((f, fields.get(f)?))).collect();
    let [(field, item)] = stated.as_slice() else {
        let message =
            if stated.is_empty() { "this measure has no points" } else { "this measure has points written twice" };
        let span = stated.get(1).and_then(|(_, i)| i.key).unwrap_or(fields.head);
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
        "bands" => bands(item, scale, cite, job).map(Points::Bands),
        "levels" => levels(item, measure, cite, job).map(Points::Levels),
        "linear" => linear(item, cite, job).map(Points::Linear),
        "rungs" => rungs(item, cite, job).map(Points::Rungs),
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

/// Entries of a mapping with their points, each under the cite of the points.
fn entries<'t>(item: &Item<'t>, wanted: &str, cite: &Cite, job: &mut Job<'_, '_>) -> Option<Vec<Named>> {
    let named = item.names(wanted, job.reader)?;
    let read = |(name, item): (Spanned<String>, Item<'t>)| {
        let points = job.number(&item).map(|mut n| {
            n.span = super::joined(name.span, n.span);
            under(n, cite)
        });
        if points.is_none() {
            job.broken.push(item.node.span);
        }
        (name, points)
    };
    Some(named.into_iter().map(read).collect())
}

fn bands(item: &Item<'_>, scale: Option<MeasureScale>, cite: &Cite, job: &mut Job<'_, '_>) -> Option<Vec<Band>> {
    let (bound, rest) = match scale {
        Some(MeasureScale::Number) => ("from", "less"),
        _ => ("up to", "more"),
    };
    let mut out = Vec::new();
    for (name, points) in entries(item, &format!("bands such as `{bound} 5: 3` and `{rest}: 1`"), cite, job)? {
        let key = fold(&name.value);
        let read = if key == rest {
            Ok(None)
        } else if let Some(number) = key.strip_prefix(bound) {
            exact(number.trim(), 0).map(Some).map_err(|bad| bad.message)
        } else {
            Err(format!("`{}` is not a band of this measure", name.value))
        };
        match (read, points) {
            (Ok(bound), Some(points)) => out.push((name, Band { bound, points })),
            (Ok(_), None) => {}
            (Err(message), _) => {
                job.broken.push(item.node.span);
                job.complain(
                    Diagnostic::error("band-name", name.span, message)
                        .because(format!("Bands of this measure are named `{bound} N`, the last one `{rest}`."))
                        .mend(format!("write `{bound} 5:` or `{rest}:`")),
                );
            }
        }
    }
    if super::within(&job.broken, item.node.span) {
        return Some(out.into_iter().map(|(_, band)| band).collect());
    }
    ordered(&out, item, (bound, rest), job);
    Some(out.into_iter().map(|(_, band)| band).collect())
}

/// Bands must follow one another without overlap and end with the rest.
fn ordered(bands: &[(Spanned<String>, Band)], item: &Item<'_>, (bound, rest): (&str, &str), job: &mut Job<'_, '_>) {
    let head = item.key.unwrap_or(item.node.span);
    for pair in bands.windows(2) {
        let [(first, a), (second, b)] = pair else {
            continue;
        };
        let wrong = match (&a.bound, &b.bound) {
            (None, _) => {
                Some(("band-order", format!("`{}` comes after `{rest}`", second.value), "It can never be reached."))
            }
            (Some(x), Some(y)) if x == y => Some((
                "band-order",
                format!("`{}` and `{}` are the same bound", first.value, second.value),
                "The bands overlap.",
            )),
            (Some(x), Some(y)) if (x < y) != (bound == "up to") => Some((
                "band-order",
                format!("`{}` stands after `{}`", second.value, first.value),
                "The bands overlap: the first one covers the second.",
            )),
            _ => None,
        };
        if let Some((code, message, reason)) = wrong {
            let order = if bound == "up to" { "ascending" } else { "descending" };
            job.complain(
                Diagnostic::error(code, second.span, message)
                    .because(reason)
                    .mend(format!("write the bounds in {order} order, then `{rest}:`")),
            );
        }
    }
    if bands.iter().all(|(_, b)| b.bound.is_some()) {
        job.complain(
            Diagnostic::error("band-gap", head, format!("these bands end without `{rest}`"))
                .because("A value outside all bands would have no points.")
                .mend(format!("add `{rest}:` as the last band")),
        );
    }
}

fn levels(
    item: &Item<'_>,
    measure: Option<&Measure>,
    cite: &Cite,
    job: &mut Job<'_, '_>,
) -> Option<Vec<(String, Cited<Exact>)>> {
    let words = measure.map(Measure::words).unwrap_or_default();
    let mut found: Vec<(usize, Cited<Exact>)> = Vec::new();
    let mut named: Vec<usize> = Vec::new();
    for (name, points) in entries(item, "levels such as `basic: 4`", cite, job)? {
        let Some(at) = words.iter().position(|w| fold(w) == fold(&name.value)) else {
            if measure.is_some() {
                let mend = match near(&name.value, words.iter().copied()) {
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
            }
            continue;
        };
        named.push(at);
        found.extend(points.map(|p| (at, p)));
    }
    let missing: Vec<_> =
        (0..words.len()).filter(|at| !named.contains(at)).map(|at| format!("`{}`", words[at])).collect();
    if !missing.is_empty() {
        job.broken.push(item.node.span);
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

fn linear(item: &Item<'_>, cite: &Cite, job: &mut Job<'_, '_>) -> Option<Vec<(Exact, Cited<Exact>)>> {
    let mut out: Vec<(Exact, Cited<Exact>)> = Vec::new();
    for (name, points) in entries(item, "corners such as `0: 10` and `12: 0`", cite, job)? {
        let Some(x) = Exact::parse(&name.value) else {
            job.broken.push(item.node.span);
            job.complain(
                Diagnostic::error("corner-name", name.span, format!("`{}` is not a value of this measure", name.value))
                    .mend("write a number, a colon and the points"),
            );
            continue;
        };
        if out.last().is_some_and(|(before, _)| *before >= x) {
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
        out.extend(points.map(|p| (x, p)));
    }
    if out.len() < 2 && !super::within(&job.broken, item.node.span) {
        job.complain(
            Diagnostic::error("corner-order", item.key.unwrap_or(item.node.span), "a line needs two corners")
                .mend("add a second corner, or use `bands`"),
        );
    }
    Some(out)
}

fn rungs(item: &Item<'_>, cite: &Cite, job: &mut Job<'_, '_>) -> Option<Vec<Rung>> {
    let items = item.list("a list of rungs", job.reader)?;
    let mut out = Vec::new();
    for rung in &items {
        let Some(fields) = rung.fields(&tables::RUNG, job.reader) else {
            job.broken.push(item.node.span);
            continue;
        };
        let all_of = fields.get("all of");
        let roles = match &all_of {
            Some(i) if i.node.text().map(fold).as_deref() == Some("priority parts") => None,
            Some(i) => {
                Some(i.one_or_many().iter().filter_map(|r| r.text("a role", job.reader)).map(|t| t.value).collect())
            }
            None => Some(Vec::new()),
        };
        match fields.get("points").and_then(|i| job.number(&i)) {
            Some(points) => out.push(Rung { roles, points: under(points, cite) }),
            None => job.broken.push(item.node.span),
        }
    }
    let floor = out.iter().position(|r| r.roles.as_ref().is_some_and(Vec::is_empty));
    let broken = super::within(&job.broken, item.node.span);
    if floor.is_none() && !broken {
        job.complain(
            Diagnostic::error("rung-floor", item.key.unwrap_or(item.node.span), "these rungs end without a floor")
                .because("An offer that meets no rung would have no points.")
                .mend("add `{all of: [], points: 0}` as the last rung"),
        );
    }
    if let Some(extra) = floor.and_then(|f| items.get(f + 1)).filter(|_| !broken) {
        job.complain(
            Diagnostic::error("rung-never", extra.head(), "this rung stands below the floor")
                .because("The floor asks nothing, so this rung can never be the highest one met.")
                .mend("move the floor to the end"),
        );
    }
    Some(out)
}
