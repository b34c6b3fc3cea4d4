//! Screw drives as they are said: "Torx T6", "cross head number two", "double zero".

use super::spot::{LISTS, Spot, What, denied, stands, take};
use super::tokens::{Stop, Token};
use crate::vocab::drive::drive;

pub(super) fn drives(tokens: &[Token], taken: &mut [bool], out: &mut Vec<Spot>) {
    let mut at = 0;
    while at < tokens.len() {
        match drive_at(tokens, at) {
            // "T twenty five torx, two on top": the same drive once more.
            Some((name, _)) if said_before(&name, at, out) => {
                take(taken, at, at + 1);
                at += 1;
            }
            Some((name, to)) if take(taken, at, to) => {
                out.push(Spot { from: at, to, what: What::Drive(name), denied: denied(tokens, at) });
                at = to;
            }
            _ => at += 1,
        }
    }
    behind_screws(tokens, taken, out);
    // "Torx … T5" is one drive said in two goes.
    let sized: Vec<(usize, String)> = out
        .iter()
        .filter_map(|s| if let What::Drive(n) = &s.what { Some((s.from, n.clone())) } else { None })
        .collect();
    let family = |n: &str| match n {
        "cross head" => "PH",
        "star" => "T",
        "security star" => "TR",
        "cross head z" => "PZ",
        "hexagon socket" => "hex ",
        _ => "",
    };
    out.retain(|s| {
        let What::Drive(name) = &s.what else { return true };
        let family = family(name);
        family.is_empty()
            || !sized.iter().any(|(at, n)| at.abs_diff(s.from) <= 12 && n.starts_with(family) && n.len() > family.len())
    });
}

/// Whether the drive that ended right before is of the same family.
fn said_before(name: &str, at: usize, out: &[Spot]) -> bool {
    let letters = |n: &str| n.trim_end_matches(|c: char| c.is_ascii_digit() || c == '.').to_owned();
    let family = |n: &str| if matches!(n, "star") { "T".to_owned() } else { letters(n) };
    out.iter().any(|s| matches!(&s.what, What::Drive(d) if s.to == at && family(d) == family(name) && *d != family(d)))
}

/// "Two phillips screws number one": the size stands behind the screws.
fn behind_screws(tokens: &[Token], taken: &mut [bool], out: &mut [Spot]) {
    for spot in out.iter_mut() {
        let What::Drive(name) = &spot.what else { continue };
        let Some(letters) = super::segment::everyday(name) else { continue };
        let word = |i: usize| tokens.get(i).map_or("", |t| &*t.text);
        let at = spot.to;
        // "Two allen screws, three mil."
        let millimetres =
            |w: &str| matches!(w, "mm" | "mil" | "mils" | "millimetre" | "millimetres" | "millimeter" | "millimeters");
        if name == "hexagon socket"
            && matches!(word(at), "screw" | "screws" | "ones" | "bolt" | "bolts" | "key")
            && let Some((size, to)) = size_at(tokens, at + 1)
            && millimetres(word(to))
            && let Some(found) = drive(&format!("hex {size} mm"))
            && take(taken, at + 1, to + 1)
        {
            spot.what = What::Drive(found.name);
            continue;
        }
        if matches!(word(at), "screw" | "screws" | "ones")
            && matches!(word(at + 1), "number" | "size")
            && let Some((size, to)) = size_at(tokens, at + 2)
            && let Some(found) = drive(&format!("{letters}{size}"))
            && take(taken, at + 1, to)
        {
            spot.what = What::Drive(found.name);
        }
    }
}

/// A drive that starts at a word: its name and one past its last word.
pub(super) fn drive_at(tokens: &[Token], at: usize) -> Option<(String, usize)> {
    let text = &tokens[at].text;
    if text.len() >= 2
        && text.bytes().any(|b| b.is_ascii_digit())
        && text.starts_with(['p', 't', 'h'])
        && let Some(found) = drive(text)
    {
        return Some((found.name, at + 1));
    }
    // "Double zero" alone is the small cross recess, as the trade says it.
    if matches!(text.as_str(), "double" | "triple") {
        let (size, to) = size_at(tokens, at)?;
        return drive(&format!("PH{size}")).map(|d| (d.name, to));
    }
    // "A 2.3 triangle bit": a size in millimetres stands before its word.
    let unit = |i: usize| {
        tokens
            .get(i)
            .is_some_and(|t| matches!(&*t.text, "mm" | "mil" | "millimetre" | "millimeter") && t.stop == Stop::None)
    };
    // "Four mil allen" as well; without its unit a whole number counts.
    let decimal = text.contains('.') && text.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    let size = if decimal { Some(text.clone()) } else { tokens[at].number.map(|n| n.to_string()) };
    let behind = at + 1 + usize::from(unit(at + 1));
    if let Some(size) = size.filter(|_| decimal || unit(at + 1))
        && tokens[at].stop == Stop::None
        && let Some(word) = LISTS.words.drives.iter().find(|w| {
            w.word.as_deref().is_some_and(|w| matches!(w, "hex" | "slotted" | "triangle"))
                && stands(tokens, behind, &w.said.split(' ').collect::<Vec<_>>())
        })
        && let Some(found) = word.word.as_ref().and_then(|w| drive(&format!("{w} {size} mm")))
    {
        return Some((found.name, behind + word.said.split(' ').count()));
    }
    // "Number one phillips."
    if matches!(text.as_str(), "number" | "size")
        && let Some((size, to)) = size_at(tokens, at + 1)
        && tokens[to - 1].stop == Stop::None
        && let Some(word) = LISTS
            .words
            .drives
            .iter()
            .find(|w| w.said.len() > 2 && stands(tokens, to, &w.said.split(' ').collect::<Vec<_>>()))
        && let Some(found) = word.prefix.as_ref().and_then(|p| drive(&format!("{p}{size}")))
    {
        return Some((found.name, to + word.said.split(' ').count()));
    }
    for word in &LISTS.words.drives {
        let phrase: Vec<&str> = word.said.split(' ').collect();
        if !stands(tokens, at, &phrase) {
            continue;
        }
        let mut next = at + phrase.len();
        // "17 mm hex nuts" are turned from outside.
        if word.said == "hex" && tokens.get(next).is_some_and(|t| matches!(&*t.text, "nut" | "nuts" | "head")) {
            return None;
        }
        // "6 hex screws 2 mm": the size behind the screws.
        let millimetres = |i: usize| {
            tokens.get(i).is_some_and(|t| {
                matches!(&*t.text, "mm" | "mil" | "millimetre" | "millimetres" | "millimeter" | "millimeters")
            })
        };
        if word.said == "hex"
            && tokens.get(next).is_some_and(|t| matches!(&*t.text, "screw" | "screws" | "bolt" | "bolts"))
            && let Some((size, to)) = size_at(tokens, next + 1)
            && millimetres(to)
            && let Some(found) = drive(&format!("hex {size} mm"))
        {
            return Some((found.name, next));
        }
        // "A phillips one": which it is, not its size.
        let which = at > 0
            && matches!(&*tokens[at - 1].text, "a" | "another" | "this" | "that")
            && tokens.get(next).is_some_and(|t| t.text == "one");
        let ended = |n: usize| tokens[n - 1].stop == Stop::End || tokens[n - 1].stop == Stop::Question;
        while !ended(next)
            && tokens
                .get(next)
                .is_some_and(|t| matches!(&*t.text, "head" | "driver" | "screwdriver" | "bit" | "number" | "size"))
        {
            next += 1;
        }
        // "4x tri-wing, 2x PH0": the number behind the comma counts.
        let counts_next = tokens[next - 1].stop == Stop::Pause && word.word.is_some();
        if !ended(next) || word.said == "cross head" {
            if let Some((size, to)) = size_at(tokens, next).filter(|_| !which && !counts_next) {
                let name = match (&word.prefix, &word.word) {
                    (Some(prefix), _) => format!("{prefix}{size}"),
                    (_, Some(w)) if matches!(&**w, "hex" | "slotted" | "triangle") => format!("{w} {size} mm"),
                    (_, w) => format!("{} {size}", w.as_deref().unwrap_or_default()),
                };
                // "Torx T6": the letter again.
                if let Some(found) = drive(&name) {
                    return Some((found.name, to));
                }
            }
            if let Some((name, to)) =
                tokens.get(next).filter(|t| t.text.len() >= 2).and_then(|t| drive(&t.text)).map(|d| (d.name, next + 1))
                && word.prefix.as_deref().is_some_and(|p| name.starts_with(p))
            {
                return Some((name, to));
            }
            if word.prefix.as_deref() == Some("T")
                && tokens.get(next).is_some_and(|t| t.text == "t")
                && let Some(found) = drive_at(tokens, next)
            {
                return Some(found);
            }
        }
        let bare = match (word.prefix.as_deref(), &*word.said) {
            (_, "t" | "tr" | "ph" | "pz" | "hex" | "star" | "slotted") => None,
            (Some("PH"), _) => Some("cross head"),
            (Some("T"), _) => Some("star"),
            (Some("TR"), _) => Some("security star"),
            (Some("PZ"), _) => Some("cross head z"),
            (_, "allen" | "allen key" | "hex key") => Some("hexagon socket"),
            (_, "pentalobe" | "five lobe") => Some("five-lobe"),
            (_, "tri lobe" | "tri point" | "tri wing") => Some("tri-lobe"),
            (_, "flathead" | "flat blade") => Some("slotted"),
            (_, "triangle" | "triangular") => Some("triangle"),
            (_, "two hole" | "spanner head") => Some("two-hole"),
            _ => None,
        };
        // "A flathead screwdriver" is one tool.
        let driver =
            tokens.get(at + phrase.len()).is_some_and(|t| t.text == "screwdriver") && !ended(at + phrase.len());
        return bare.map(|b| (b.to_owned(), at + phrase.len() + usize::from(driver)));
    }
    None
}

/// `double zero`, `00`, `one`, `2.5`: a size, and one past its last word.
fn size_at(tokens: &[Token], at: usize) -> Option<(String, usize)> {
    let word = |i: usize| tokens.get(i).map(|t| &*t.text);
    let nought = |w: Option<&str>| matches!(w, Some("zero" | "oh" | "o" | "nought" | "0"));
    match word(at)? {
        "double" if nought(word(at + 1)) => Some(("00".to_owned(), at + 2)),
        "triple" if nought(word(at + 1)) => Some(("000".to_owned(), at + 2)),
        w if nought(Some(w)) => {
            let more = (1..4).take_while(|n| nought(word(at + n)) && tokens[at + n - 1].stop == Stop::None).count();
            Some(("0".repeat(1 + more), at + 1 + more))
        }
        w if w.bytes().all(|b| b.is_ascii_digit() || b == b'.') => Some((w.to_owned(), at + 1)),
        _ => tokens[at].number.map(|n| (n.to_string(), at + 1)),
    }
}
