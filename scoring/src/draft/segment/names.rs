//! Names of parts: which may mean the same, and what stands under, at or on which side of what.

use std::collections::BTreeSet;

use crate::draft::clause::Clause;
use crate::draft::spot::{LISTS, What};

/// Words of a name without their plural.
pub(super) fn words(name: &str) -> BTreeSet<String> {
    name.split(' ')
        // "Switches" are switches, not "switche".
        .map(|w| {
            let hissing = ["ches", "shes", "sses", "xes"].iter().any(|e| w.ends_with(e));
            if hissing { &w[..w.len() - 2] } else { w }
        })
        .map(|w| crate::vocab::words::singulars(w).pop().filter(|s| s.len() > 2).unwrap_or_else(|| w.to_owned()))
        .map(|w| LISTS.words.short.get(&w).cloned().unwrap_or(w))
        .collect()
}

/// A name without a last word that adds nothing ("battery pack", "wheel module").
fn bare(name: &str) -> &str {
    match name.rsplit_once(' ') {
        None if matches!(name, "cell" | "cells" | "pack" | "batteries") => "battery",
        Some((rest, "pack" | "module" | "modules" | "assembly" | "unit" | "cell" | "cells" | "piece")) => rest,
        _ => name,
    }
}

/// Whether two names may mean the same part: they end alike, and one holds all words of the other.
pub(in crate::draft) fn same(a: &str, b: &str) -> bool {
    let heads = |n: &str| words(n.rsplit(' ').next().unwrap_or(n));
    let subset = |a: &str, b: &str| words(a).is_subset(&words(b)) || words(b).is_subset(&words(a));
    let end_alike = |a: &str, b: &str| heads(a) == heads(b);
    subset(a, b) && end_alike(a, b) || subset(bare(a), bare(b)) && end_alike(bare(a), bare(b))
}

/// Whether two names end in the same word and don't tell two of a kind apart ("left panel", "right panel").
pub(in crate::draft) fn end_alike(a: &str, b: &str) -> bool {
    let last = |n: &str| n.rsplit(' ').next().unwrap_or(n).to_owned();
    let sided = |n: &str| {
        n.split(' ').any(|w| {
            matches!(
                w,
                "left"
                    | "right"
                    | "upper"
                    | "lower"
                    | "front"
                    | "back"
                    | "rear"
                    | "top"
                    | "bottom"
                    | "first"
                    | "second"
                    | "other"
            )
        })
    };
    a != b && last(a) == last(b) && !(sided(a) && sided(b))
}

/// Whether a name is one of a cable: something unplugged rather than taken off.
pub(in crate::draft) fn is_cable(name: &str) -> bool {
    let last = name.rsplit(' ').next().unwrap_or(name);
    matches!(last, "cable" | "cables" | "ribbon" | "ribbons" | "flex" | "wire" | "wires" | "harness" | "lead")
        || name.starts_with("ribbon")
        || name.starts_with("flex cable")
}

/// "Four screws under the label": the part that covers fasteners.
pub(super) fn under(clause: &Clause) -> Option<String> {
    let fastener = clause.spots.iter().find(|s| !s.denied && matches!(s.what, What::Fastener { verb: false, .. }))?;
    // "Under the label there's a screw."
    let before =
        clause.spots.iter().rev().find(|s| s.to <= fastener.from && matches!(s.what, What::Part(_))).filter(|s| {
            let low = s.from.saturating_sub(3);
            clause.tokens[low..s.from].iter().any(|t| matches!(&*t.text, "under" | "underneath" | "beneath"))
        });
    if let Some(What::Part(name)) = before.map(|s| &s.what) {
        return Some(name.clone());
    }
    clause.spots.iter().filter(|s| s.from > fastener.to).find_map(|s| match &s.what {
        What::Part(name)
            // "Four screws from below, and the cage is out" says nothing of the cage.
            if clause.tokens[fastener.to.max(s.from.saturating_sub(3))..s.from]
                .iter()
                .filter(|t| t.text != "below" || !clause.tokens[fastener.to..s.from].iter().any(|t| t.text == "from"))
                .any(|t| matches!(&*t.text, "under" | "underneath" | "beneath" | "behind" | "below")) =>
        {
            Some(name.clone())
        }
        _ => None,
    })
}

/// "The cord is held with a clamp": the part that holds another.
pub(super) fn held_by(clause: &Clause) -> Option<String> {
    // "It's under a cover with three hooks": those are the cover's.
    let word = |i: usize| clause.tokens.get(i).map_or("", |t| &*t.text);
    let covered = matches!(word(0), "it" | "they" | "that")
        && matches!(word(1), "'s" | "is" | "'re" | "are")
        && matches!(word(2), "under" | "behind" | "below");
    let cover = clause.spots.iter().find(|s| matches!(s.what, What::Part(_)) && (3..=6).contains(&s.from));
    if let (true, Some(What::Part(name))) = (covered, cover.map(|s| &s.what)) {
        return Some(name.clone());
    }
    let at = clause.tokens.windows(2).position(|w| {
        matches!(&*w[0].text, "held" | "fixed" | "secured" | "kept" | "in" | "down" | "on")
            && matches!(&*w[1].text, "with" | "by")
    })?;
    let held = clause.tokens[..=at].iter().any(|t| matches!(&*t.text, "held" | "fixed" | "secured" | "kept"));
    clause.spots.iter().filter(|s| held && s.from > at + 1 && s.from - at <= 5).find_map(|s| match &s.what {
        What::Part(name) => Some(name.clone()),
        _ => None,
    })
}

/// Whether a word names a side of the device.
pub(in crate::draft) fn side(clause: &Clause) -> Option<String> {
    let side = |w: &str| matches!(w, "back" | "bottom" | "top" | "front" | "rear" | "side" | "sides" | "underside");
    clause
        .tokens
        .windows(3)
        .find(|w| {
            matches!(&*w[0].text, "on" | "at" | "in" | "around")
                && w[1].text == "the"
                && side(&w[2].text)
                && !LISTS.heads.contains(&*w[2].text)
        })
        .map(|w| w[2].text.clone())
}

/// The letters of a drive said without its size.
pub(in crate::draft) fn everyday(drive: &str) -> Option<&'static str> {
    match drive {
        "cross head" => Some("PH"),
        "cross head z" => Some("PZ"),
        "star" => Some("T"),
        "security star" => Some("TR"),
        "hexagon socket" => Some("hex "),
        _ => None,
    }
}
