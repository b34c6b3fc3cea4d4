//! Fasteners in a run of words, with their counts: as nouns ("two clips"), as verbs ("unplug"), and as drives that are counted.

use super::count::{self, Count};
use super::spot::{ARTICLES, LISTS, Spot, What, denied, stands, take};
use super::tokens::{Stop, Token};

/// "Bolted to the bracket with four screws": the verb tells of the screws that are counted behind it.
pub(super) fn told_closer(tokens: &[Token], out: &mut Vec<Spot>) {
    let driven = |s: &Spot| matches!(&s.what, What::Fastener { name, .. } if crate::vocab::fastener(name).is_some_and(|w| w.driven));
    let counted: Vec<usize> = out
        .iter()
        .filter(|s| driven(s) && matches!(&s.what, What::Fastener { verb: false, count, .. } if count.said()))
        .map(|s| s.from)
        .collect();
    out.retain(|s| {
        let told = matches!(&s.what, What::Fastener { verb: true, .. }) && tokens[s.from].text.ends_with("ed");
        let closer = |at: &usize| {
            *at > s.to && at - s.to <= 8 && tokens[s.to..*at].iter().any(|t| matches!(&*t.text, "with" | "by"))
        };
        !(told && driven(s) && counted.iter().any(closer))
    });
}

pub(super) fn fasteners(tokens: &[Token], taken: &mut [bool], out: &mut Vec<Spot>) {
    let solder = tokens.iter().any(|t| t.text.starts_with("solder") || t.text.starts_with("desolder"));
    let mut spent = Vec::new();
    for at in 0..tokens.len() {
        if taken[at] {
            continue;
        }
        if let Some(fastener) = LISTS.words.verbs.get(&tokens[at].text).filter(|f| *f != "none") {
            let Some(fastener) = crate::vocab::fastener(fastener) else { continue };
            // "It's unplugged of course": a state, not something done.
            // "It's been unplugged since yesterday" likewise.
            let been = usize::from(at > 2 && matches!(&*tokens[at - 1].text, "been" | "already"));
            let state = tokens[at].text.ends_with("ed")
                && at > 1 + been
                && (LISTS.words.be.contains(&tokens[at - 1 - been].text) || tokens[at - 1 - been].text == "has")
                && matches!(&*tokens[at - 2 - been].text, "it" | "this" | "that");
            let state = state || at > 0 && tokens[at - 1].text == "already" && tokens[at].text.ends_with("ed");
            // "Unplug everything" announces; what is unplugged is said behind it.
            let all = tokens.get(at + 1).is_some_and(|t| matches!(&*t.text, "everything" | "all"));
            // "The clipped corner": how something looks.
            if tokens[at].text.ends_with("ed") && at > 0 && ARTICLES.contains(&&*tokens[at - 1].text) {
                continue;
            }
            if (state || all) && fastener.name == "connector" {
                continue;
            }
            let one = fastener.name == "connector" && !plural_object(tokens, at);
            let count = match cables(tokens, at).filter(|_| fastener.name == "connector") {
                Some(n) => Count::Is(n),
                None if one => Count::Is(1),
                None => Count::Unknown,
            };
            let name = &*fastener.name;
            taken[at] = true;
            out.push(Spot {
                from: at,
                to: at + 1,
                what: What::Fastener { name, count, of: String::new(), verb: true },
                denied: denied(tokens, at),
            });
            continue;
        }
        let pins = solder && matches!(&*tokens[at].text, "pins" | "legs" | "joints");
        let found = LISTS.fasteners.iter().find(|(phrase, ..)| stands(tokens, at, phrase));
        let found = if pins { Some((1, "solder", false)) } else { found.map(|(p, f, one)| (p.len(), *f, *one)) };
        let Some((length, name, one)) = found else { continue };
        let to = at + length;
        let tool = matches!(
            tokens.get(to).map_or("", |t| &*t.text),
            "mat"
                | "tray"
                | "dish"
                | "bowl"
                | "driver"
                | "bit"
                | "bits"
                | "hole"
                | "holes"
                | "head"
                | "heads"
                | "post"
                | "posts"
                | "gun"
        );
        // "A two pin plug" has pins; none is pulled.
        let many = tokens[at].text == "pin" && at > 0 && tokens[at - 1].number.is_some_and(|n| n > 1);
        let pins = name == "pin"
            && (many || matches!(tokens.get(to).map_or("", |t| &*t.text), "plug" | "connector" | "header" | "socket"));
        let stopper = pins
            || name == "connector"
                && at > 0
                && matches!(&*tokens[at - 1].text, "rubber" | "silicone" | "plastic" | "drain" | "foam");
        if stopper || is_verb(tokens, at, to) || tool && tokens[to - 1].stop == Stop::None || !take(taken, at, to) {
            continue;
        }
        let (count, of, from) = count::before(tokens, at, taken, &spent);
        if count.said() && from < at {
            spent.push(from);
        }
        // "Speakers, two screws each": of how many things, nobody said.
        let apiece = count.said()
            && (to..to + 2).any(|i| tokens.get(i).is_some_and(|t| matches!(&*t.text, "each" | "apiece")))
            && tokens[to - 1].stop == Stop::None;
        let singular = !tokens[to - 1].text.ends_with('s');
        // "A screw on either side."
        let two = count == Count::Unsaid
            && singular
            && matches!(tokens.get(to).map_or("", |t| &*t.text), "on" | "at")
            && tokens.get(to + 1).zip(tokens.get(to + 2)).is_some_and(|(a, b)| {
                a.text == "either" && matches!(&*b.text, "side" | "end")
                    || a.text == "each" && b.text == "end"
                    || a.text == "both" && matches!(&*b.text, "sides" | "ends")
            });
        let count = if two { Count::Is(2) } else { count };
        // "Four bolts with a nut each": as many.
        let behind_each = tokens.get(to).is_some_and(|t| t.text == "each");
        let of_those = out.iter().rev().find_map(|s| match s.what {
            What::Fastener { count: Count::Is(n @ 2..), verb: false, .. } if s.to <= at && at - s.to <= 2 => Some(n),
            _ => None,
        });
        let count = match of_those.filter(|_| behind_each && singular) {
            Some(n) => Count::Is(n),
            None if apiece => Count::Unknown,
            None => count,
        };
        let each = at > 0 && matches!(&*tokens[at - 1].text, "each" | "every" | "per");
        // "They're pushed on" tells how, not how many.
        let state = name == "press fit" && matches!(&*tokens[to - 1].text, "on" | "in");
        let count = match count {
            Count::Unsaid if state => Count::Unsaid,
            Count::Unsaid if one && singular && !each => Count::Is(1),
            Count::Unsaid => count::behind(tokens, to),
            said => said,
        };
        out.push(Spot {
            from,
            to,
            what: What::Fastener { name, count, of, verb: false },
            denied: denied(tokens, from),
        });
    }
}

/// "One T8 in the middle", "4 PH0": a number before a drive counts screws.
pub(super) fn counted_drives(tokens: &[Token], taken: &mut [bool], out: &mut Vec<Spot>) {
    let mut found = Vec::new();
    for spot in out.iter().filter(|s| matches!(s.what, What::Drive(_))) {
        let Some(mut at) = spot.from.checked_sub(1) else { continue };
        // "All three of them are T15."
        let word = |back: usize| at.checked_sub(back).map_or("", |i| &*tokens[i].text);
        let of = matches!(word(0), "are" | "'re") && matches!(word(1), "them" | "those" | "these") && word(2) == "of"
            || word(0) == "all" && matches!(word(1), "are" | "'re") && matches!(word(2), "them" | "those" | "these");
        if of && at >= 3 && tokens[at - 3].number.is_some_and(|n| n > 1) {
            at -= 3;
        }
        // "1 security torx T20."
        while at > 0 && LISTS.words.between.contains(&tokens[at].text) && tokens[at].number.is_none() && !of {
            at -= 1;
        }
        let named = out.iter().any(|s| {
            matches!(&s.what, What::Fastener { name, .. } if crate::vocab::fastener(name).is_some_and(|w| w.driven))
                && s.to > spot.to
                && s.to - spot.to <= 4
                && tokens[spot.to - 1..s.to - 1].iter().all(|t| t.text != "and" && t.stop == Stop::None)
        });
        let counts = tokens[at].stop == Stop::None && tokens[at].number.is_some_and(|n| (1..=40).contains(&n));
        if let (true, false, Some(n)) = (counts, named, tokens[at].number)
            && take(taken, at, at + 1)
        {
            let what = What::Fastener { name: "screw", count: Count::Is(n), of: String::new(), verb: false };
            found.push(Spot { from: at, to: at + 1, what, denied: denied(tokens, at) });
        }
    }
    out.extend(found);
}

/// "Unplug the drive, two cables": as many are pulled.
fn cables(tokens: &[Token], verb: usize) -> Option<u32> {
    let end = (verb + 8).min(tokens.len());
    let next_verb = (verb + 1..end).find(|i| LISTS.words.verbs.contains_key(&tokens[*i].text)).unwrap_or(end);
    let many = |w: &str| matches!(w, "cables" | "wires" | "leads" | "ribbons" | "antennas");
    // "There are two cables, both unplug."
    if verb > 0 && tokens[verb - 1].text == "both" {
        return Some(2);
    }
    // "Two wires unplugged."
    let behind = tokens[verb].text.ends_with("ed") && verb >= 2 && many(&tokens[verb - 1].text);
    if let Some(n) = tokens[verb.saturating_sub(2)].number.filter(|n| behind && (2..=40).contains(n)) {
        return Some(n);
    }
    (verb + 1..next_verb.saturating_sub(1))
        .find(|i| many(&tokens[i + 1].text) && tokens[*i].stop == Stop::None)
        .and_then(|i| tokens[i].number)
        .filter(|n| (2..=40).contains(n))
}

fn plural_object(tokens: &[Token], at: usize) -> bool {
    tokens
        .iter()
        .skip(at + 1)
        .take(3)
        .any(|t| matches!(&*t.text, "them" | "those" | "these" | "all" | "everything") || t.text.ends_with("cables"))
}

/// `screw it back`, `snaps on`, `plug that in`: the word is a verb here.
fn is_verb(tokens: &[Token], at: usize, to: usize) -> bool {
    let next = tokens.get(to).filter(|_| tokens[to - 1].stop == Stop::None).map_or("", |t| &*t.text);
    let before = at.checked_sub(1).map_or("", |i| &*tokens[i].text);
    // "Puts screws in afterwards": put in, not taken out.
    if matches!(before, "put" | "puts" | "putting" | "uses") {
        return true;
    }
    // "I snap a photo", "catch you later", "let me clip it".
    let bare = matches!(
        &*tokens[at].text,
        "screw" | "plug" | "clip" | "snap" | "pin" | "glue" | "bolt" | "catch" | "hook" | "tape" | "latch"
    );
    if bare
        && to == at + 1
        && (matches!(before, "i" | "you" | "we" | "they" | "to" | "'ll" | "me" | "us")
            || matches!(next, "you" | "me" | "a" | "my" | "your"))
    {
        return true;
    }
    // "There's a set screw in the hub."
    let apart = |back: usize| {
        at.checked_sub(back).is_some_and(|i| {
            tokens[i].stop == Stop::None
                && (matches!(&*tokens[i].text, "a" | "the" | "one") || tokens[i].number.is_some())
        })
    };
    if apart(2) && !LISTS.heads.contains(before) && !matches!(next, "it" | "them" | "that") {
        return false;
    }
    match &*tokens[at].text {
        "screw" | "plug" | "clip" | "snap" | "pin" | "glue" | "bolt" | "catch" | "hook" | "tape" => {
            matches!(next, "it" | "them" | "that" | "this" | "everything" | "back" | "in" | "into")
                && !matches!(
                    before,
                    "the" | "a" | "one" | "won" | "this" | "that" | "another" | "own" | "single" | "last" | "first"
                )
                || matches!(before, "to" | "will" | "'ll" | "can" | "and")
                    && matches!(next, "the" | "it" | "them" | "back")
        }
        "snaps" | "clips" | "hooks" | "catches" | "plugs" => {
            matches!(before, "one" | "it" | "that" | "and")
                || matches!(next, "on" | "in" | "into" | "back" | "off" | "together" | "onto" | "over")
        }
        _ => false,
    }
}
