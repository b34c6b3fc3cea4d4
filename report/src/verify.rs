//! Whether the numbers of a published report follow from a record.
//!
//! The caller assesses the record again and makes the view; here the report's own words are held against it. A report
//! made by the shipped templates is compared byte by byte, so that no visible number escapes; any other is held to the
//! data block it carries.

use serde_json::Value;

use crate::data::{Claim, ClaimedVerdict};
use crate::template::Templates;
use crate::view::View;
use crate::words::english::verify as say;

/// What came of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Verified {
    /// The report is what this program makes of the record, byte for byte.
    Same,
    /// The numbers follow; the layout is another one, so words outside the data block were not compared.
    Follows,
    /// The numbers follow; the report was made by this other version of the program, whose words and layout were not compared.
    OtherVersion(String),
    /// The first thing that doesn't follow.
    Differs(Difference),
    /// The text carries nothing to verify.
    NoClaim,
}

/// The first thing that doesn't follow.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// What differs: `en-45554, node depth/battery`, or a line of the report.
    pub what: String,
    /// As published.
    pub published: String,
    /// As recomputed.
    pub recomputed: String,
    /// The version that made the report, where it is another one.
    pub made_by: Option<String>,
}

/// Verifies an HTML, Markdown or JSON report against the view recomputed from the record.
///
/// `plain` says that the report was made without templates of one's own and with the pictures as they are in `view`.
pub fn verify(report: &str, view: &View, plain: bool) -> Verified {
    let report = report.strip_prefix('\u{feff}').unwrap_or(report);
    if report.trim_start().starts_with('{') {
        return json(report, view);
    }
    let Some(claim) = claim(report) else {
        return Verified::NoClaim;
    };
    let expected = Claim::of(view);
    if claim.program != expected.program {
        // Fingerprints cover the version, so they say nothing more here.
        return match numbers(&claim, &expected) {
            Some(found) => Verified::Differs(Difference { made_by: Some(claim.program), ..found }),
            None => Verified::OtherVersion(claim.program),
        };
    }
    if let Some(difference) = numbers(&claim, &expected).or_else(|| fingerprints(&claim, &expected)) {
        return Verified::Differs(difference);
    }
    let shipped = Templates::shipped();
    let same = if report.trim_start().starts_with('#') {
        match crate::markdown::named(report, view) {
            Some(pictures) => crate::markdown::report(&View { pictures, ..view.clone() }, &shipped),
            None => crate::markdown::report(view, &shipped),
        }
    } else {
        // What a page has open when printed is a choice, not a number.
        let print = ["routes", "all"].into_iter().find(|p| report.contains(&format!("<body data-print=\"{p}\">")));
        match print {
            Some(print) => crate::html::report(&View { print, ..view.clone() }, &shipped),
            None => crate::html::report(view, &shipped),
        }
    };
    match same {
        Ok(text) if text == report => Verified::Same,
        Ok(text) if plain => lines(report, &text),
        _ => marked(report, view).map_or(Verified::Follows, Verified::Differs),
    }
}

/// The first marked verdict of a layout of one's own (`data-check`) that is not the one recomputed.
fn marked(report: &str, view: &View) -> Option<Difference> {
    report.split("data-check=\"").skip(1).find_map(|rest| {
        let (key, rest) = rest.split_once('"')?;
        let own = view.assessments.iter().find(|a| a.key == key)?;
        let (_, rest) = rest.split_once('>')?;
        let shown = rest.split('<').next()?.trim();
        (shown != own.range).then(|| differs(say::verdict_shown(&own.key), shown, &own.range))
    })
}

/// The claim a report carries.
pub fn claim(report: &str) -> Option<Claim> {
    let start = ["<template id=\"unfasten-data\">", "<!-- unfasten-data "]
        .iter()
        .find_map(|mark| report.rfind(mark).map(|at| at + mark.len()))?;
    let rest = &report[start..];
    let end = rest.find("</template>").or_else(|| rest.find(" -->"))?;
    serde_json::from_str(&rest[..end]).ok()
}

fn differs(what: impl Into<String>, published: impl Into<String>, recomputed: impl Into<String>) -> Difference {
    Difference { what: what.into(), published: published.into(), recomputed: recomputed.into(), made_by: None }
}

/// The first number or way in which two claims differ; it says more than a fingerprint.
fn numbers(claim: &Claim, expected: &Claim) -> Option<Difference> {
    if claim.device != expected.device {
        return Some(differs(say::DEVICE, &claim.device, &expected.device));
    }
    for published in &claim.assessments {
        let Some(own) = expected.assessments.iter().find(|a| a.method == published.method) else {
            return Some(differs(say::method(&published.method), say::ASSESSED, say::NOT_ASSESSED));
        };
        if let Some(difference) = verdict((published, &claim.lists), (own, &expected.lists)) {
            return Some(difference);
        }
    }
    for (published, own) in claim.told().iter().zip(&expected.told()) {
        if published != own {
            let words = |r: &(&str, &str, Vec<&str>)| say::route(r.1, &r.2);
            return Some(differs(say::route_to(published.0), words(published), words(own)));
        }
    }
    if claim.routes.len() != expected.routes.len() {
        return Some(differs(say::NUMBER_OF_ROUTES, claim.routes.len().to_string(), expected.routes.len().to_string()));
    }
    None
}

/// The first fingerprint in which two claims differ.
fn fingerprints(claim: &Claim, expected: &Claim) -> Option<Difference> {
    if claim.before != expected.before {
        let shown = |before: &Option<String>| before.clone().unwrap_or_else(|| say::NONE.to_owned());
        return Some(differs(say::FINGERPRINT_OF_EARLIER, shown(&claim.before), shown(&expected.before)));
    }
    for published in &claim.assessments {
        let own = expected.assessments.iter().find(|a| a.method == published.method)?;
        if published.fingerprint != own.fingerprint {
            let what = say::fingerprint(&published.method);
            return Some(differs(what, &published.fingerprint, &own.fingerprint));
        }
    }
    None
}

type Listed<'c> = (&'c ClaimedVerdict, &'c [Vec<String>]);

fn verdict((published, lists): Listed<'_>, (own, own_lists): Listed<'_>) -> Option<Difference> {
    for end in [0, 1] {
        if published.shown[end] != own.shown[end] {
            return Some(differs(say::end_of(&own.method, end == 1), &published.shown[end], &own.shown[end]));
        }
        if published.classes[end] != own.classes[end] {
            let text = |c: &Option<String>| c.clone().unwrap_or_else(|| say::NONE.to_owned());
            let what = say::class_of(&own.method, end == 1);
            return Some(differs(what, text(&published.classes[end]), text(&own.classes[end])));
        }
    }
    let (claimed, found) = (published.ranges(lists), own.ranges(own_lists));
    for (id, range) in &claimed {
        let found = found.iter().find(|(n, _)| n == id).map_or(say::NOT_THERE, |(_, r)| r);
        if found != *range {
            return Some(differs(say::node(&own.method, id), *range, found));
        }
    }
    let missing = found.iter().find(|(id, _)| !claimed.iter().any(|(n, _)| n == id))?;
    Some(differs(say::node(&own.method, &missing.0), say::NOT_THERE, missing.1))
}

/// The first line that differs.
fn lines(report: &str, expected: &str) -> Verified {
    let (mut a, mut b) = (report.lines(), expected.lines());
    let mut number = 1;
    loop {
        match (a.next(), b.next()) {
            (None, None) => return Verified::Same,
            (x, y) if x == y => number += 1,
            (x, y) => {
                let (x, y) = around(x.unwrap_or(""), y.unwrap_or(""));
                return Verified::Differs(differs(say::line_of_report(number), x, y));
            }
        }
    }
}

/// The part of two lines where they part, with a little before it.
fn around(a: &str, b: &str) -> (String, String) {
    let same = a.chars().zip(b.chars()).take_while(|(x, y)| x == y).count();
    let cut = |t: &str| t.chars().skip(same.saturating_sub(30)).take(80).collect::<String>();
    (cut(a), cut(b))
}

fn json(report: &str, view: &View) -> Verified {
    let expected = crate::json::devices(std::slice::from_ref(view), crate::json::Layout::Compact);
    if expected == report {
        return Verified::Same;
    }
    let (Ok(published), Ok(own)) = (serde_json::from_str::<Value>(report), serde_json::from_str::<Value>(&expected))
    else {
        return Verified::NoClaim;
    };
    if published.get("devices").is_none() {
        return Verified::NoClaim;
    }
    match values(&published, &own, String::new()) {
        Some(difference) => Verified::Differs(difference),
        None => Verified::Same,
    }
}

fn values(published: &Value, own: &Value, path: String) -> Option<Difference> {
    match (published, own) {
        (Value::Object(a), Value::Object(b)) => {
            for (key, value) in a {
                let path = if path.is_empty() { key.clone() } else { format!("{path}.{key}") };
                let difference = match b.get(key) {
                    Some(other) => values(value, other, path),
                    None => Some(differs(path, shown(value), say::NOT_THERE)),
                };
                if difference.is_some() {
                    return difference;
                }
            }
            let missing = b.keys().find(|k| !a.contains_key(*k))?;
            Some(differs(format!("{path}.{missing}"), say::NOT_THERE, shown(&b[missing])))
        }
        (Value::Array(a), Value::Array(b)) => {
            let inner = a.iter().zip(b).enumerate().find_map(|(i, (x, y))| values(x, y, format!("{path}[{i}]")));
            inner.or_else(|| {
                (a.len() != b.len()).then(|| differs(say::entries(&path), a.len().to_string(), b.len().to_string()))
            })
        }
        (a, b) if a == b => None,
        (a, b) => Some(differs(path, shown(a), shown(b))),
    }
}

fn shown(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        other => crate::clean::shorten(&other.to_string(), 80),
    }
}
