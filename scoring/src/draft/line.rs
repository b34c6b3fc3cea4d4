//! What a line of notes or a label is about, and what somebody says not to take off.

use super::off::{Off, off};
use super::spot::{ARTICLES, LISTS, Spot, What, spots};
use super::tokens::{Stop, Token};

/// Most words of a name that stands first on a line.
const LONGEST: usize = 4;

/// Words that head a line and name no part.
const HEADINGS: [&str; 14] = [
    "total", "tools", "tool", "note", "notes", "warning", "careful", "result", "summary", "needed", "step", "bench",
    "log", "time",
];

/// Whether a word may belong to a name nobody listed.
fn noun(token: &Token) -> bool {
    let w = &*token.text;
    LISTS.noun(token)
        && (!w.ends_with("ed") || w.ends_with("eed"))
        && !HEADINGS.contains(&w)
        && !ARTICLES.contains(&w)
        && !LISTS.words.verbs.contains_key(w)
        && !matches!(
            w,
            "lift"
                | "cut"
                | "bend"
                | "bleed"
                | "check"
                | "use"
                | "heat"
                | "open"
                | "left"
                | "stays"
                | "stay"
                | "remains"
                | "sits"
        )
}

/// The name a line begins with, though no list has it: "planetary: pin driven out", "unplug speed board - 6 spades".
pub(super) fn lead(tokens: &[Token], spots: &mut Vec<Spot>) -> Option<String> {
    let held = |i: usize, spots: &[Spot]| {
        spots.iter().any(|s| !matches!(s.what, What::Part(_)) && (s.from..s.to).contains(&i))
    };
    let verb = |t: &Token| LISTS.words.verbs.contains_key(&t.text) || LISTS.words.removing_alone.contains(&t.text);
    // "Attempted removal of the head", "tried to remove the cover".
    let tries = |t: &Token| matches!(&*t.text, "tried" | "attempted" | "attempt" | "trying" | "to" | "removal" | "of");
    let mut start = tokens.iter().take_while(|t| tries(t)).count();
    let pulls = |t: &&Token| matches!(&*t.text, "pull" | "take" | "lift" | "get" | "pry" | "prise" | "undo");
    start += usize::from(start > 1 && tokens.get(start).as_ref().is_some_and(pulls));
    start += usize::from(tokens.get(start).is_some_and(verb));
    while tokens.get(start).is_some_and(|t| ARTICLES.contains(&&*t.text) || t.text == "both" || t.number.is_some())
        && !held(start, spots)
    {
        start += 1;
    }
    let known = |t: &Token| {
        let w = &*t.text;
        LISTS.heads.contains(w) || LISTS.modifiers.contains(w)
    };
    let fine = |i: usize, spots: &[Spot]| !held(i, spots) && (known(&tokens[i]) || noun(&tokens[i]));
    // Before the first sign or word of work, and something of work behind it.
    let work = |t: &Token| {
        let w = &*t.text;
        verb(t)
            || w == "itself"
            || w == "removal"
            || LISTS.words.removing_ends.iter().any(|e| e == w)
            || LISTS.words.removing_verbs.iter().any(|v| v == w)
                && !LISTS.modifiers.contains(w)
                && !LISTS.heads.contains(w)
    };
    let end = (start..tokens.len()).find_map(|i| match (work(&tokens[i]), tokens[i].stop) {
        (true, _) => Some(i),
        (_, Stop::None) => None,
        _ => Some(i + 1),
    });
    let named = end.filter(|end| {
        let works = spots.iter().any(|s| s.from >= *end && !matches!(s.what, What::Part(_)))
            || tokens[*end..].iter().any(|t| {
                LISTS.words.removing_ends.contains(&t.text)
                    || matches!(&*t.text, "not" | "left" | "stopped" | "stuck" | "seized" | "same")
            });
        *end > start && *end - start <= LONGEST && works && (start..*end).all(|i| fine(i, spots))
    });
    // Or one or two words before the first part.
    let first = spots.iter().find(|s| matches!(s.what, What::Part(_))).map(|s| (s.from, s.to));
    let longer = first.filter(|(from, _)| {
        (1..=2).contains(&from.saturating_sub(start))
            && (start..*from).all(|i| fine(i, spots) && tokens[i].stop == Stop::None)
    });
    let to = named.or(longer.map(|(_, to)| to))?;
    while start + 1 < to && LISTS.looks.contains(&*tokens[start].text) {
        start += 1;
    }
    let name = tokens[start..to].iter().map(|t| &*t.text).collect::<Vec<_>>().join(" ");
    if LISTS.no_part(&name) {
        return None;
    }
    spots.retain(|s| s.from >= to || s.to <= start);
    spots.push(Spot { from: start, to, what: What::Part(name.clone()), denied: false });
    spots.sort_by_key(|s| s.from);
    Some(name)
}

/// What people write in a table of times and names beside the names.
const MARKS: [&str; 12] = [
    "intro",
    "outro",
    "start",
    "end",
    "break",
    "pause",
    "coffee",
    "lunch",
    "phone",
    "summary",
    "verdict",
    "reassembly",
];

/// The name a line is, if it is nothing else.
pub(super) fn name_alone(tokens: &[Token]) -> Option<String> {
    let fine = |t: &Token| {
        LISTS.heads.contains(&*t.text) || LISTS.modifiers.contains(&*t.text) || noun(t) || t.number.is_some()
    };
    let bare =
        (1..=LONGEST).contains(&tokens.len()) && tokens.iter().all(fine) && tokens.iter().any(|t| t.number.is_none());
    let nothing_else = spots(tokens).iter().all(|s| matches!(s.what, What::Part(_)))
        && !tokens.iter().any(|t| MARKS.contains(&&*t.text) || LISTS.words.removing_alone.contains(&t.text));
    let name = tokens.iter().map(|t| &*t.text).collect::<Vec<_>>().join(" ");
    (bare && nothing_else && !LISTS.no_part(&name)).then_some(name)
}

/// "Both trays pulled", "backplane lifted": on a line of notes it came off, though no little word says so.
pub(super) fn taken(tokens: &[Token], lead: &str) -> Option<Off> {
    let at = tokens.iter().position(|t| {
        matches!(
            &*t.text,
            "pulled" | "unhooked" | "lifted" | "popped" | "prised" | "pried" | "slid" | "twisted" | "detached"
        )
    })?;
    let denied = tokens[..at].iter().any(|t| matches!(&*t.text, "not" | "if" | "never"));
    let near = at <= lead.split(' ').count() + 3;
    (!denied && near).then(|| Off::Part { name: lead.to_owned(), acts: true, weak: false })
}

/// Whether something is done in some words, or they only say more of what was named.
pub(super) fn works(tokens: &[Token]) -> bool {
    tokens.iter().any(|t| {
        let w = &*t.text;
        LISTS.words.removing_ends.iter().any(|e| e == w)
            || LISTS.words.removing_alone.iter().any(|e| e == w)
            || LISTS.words.removing_verbs.iter().any(|e| e == w)
            || LISTS.words.verbs.contains_key(w)
            || t.number.is_some()
    })
}

/// A line cut where a sentence ends, and where a second part is said to come off: "tray lifted out, tank off".
pub(super) fn pieces(tokens: &[Token]) -> Vec<&[Token]> {
    let frees = |part: &[Token]| matches!(off(part, &spots(part)), Some(Off::Part { .. }));
    let mut out = Vec::new();
    let mut from = 0;
    for at in 1..tokens.len() {
        let cut = match tokens[at - 1].stop {
            Stop::None => false,
            Stop::End | Stop::Question => true,
            Stop::Pause => {
                let next = (at..tokens.len()).find(|i| tokens[*i].stop != Stop::None).map_or(tokens.len(), |i| i + 1);
                frees(&tokens[at..next]) && frees(&tokens[from..at])
            }
        };
        if cut {
            out.push(&tokens[from..at]);
            from = at;
        }
    }
    out.push(&tokens[from..]);
    out
}

/// "The throttle." or "The throttle next": a thing no list has, if that is all that is said.
pub(super) fn bare(tokens: &[Token], spots: &[Spot]) -> Option<String> {
    let the = tokens.iter().position(|t| t.text == "the")?;
    // "This is the patient" says what it is.
    let leads = tokens[..the].iter().all(|t| LISTS.starts.contains(&*t.text) && !LISTS.words.be.contains(&t.text));
    let rest = &tokens[the + 1..];
    let tail =
        rest.iter().rev().take_while(|t| matches!(&*t.text, "next" | "now" | "first" | "itself" | "then")).count();
    let words = &rest[..rest.len() - tail];
    let fine = leads && spots.is_empty() && (1..=2).contains(&words.len()) && words.iter().all(noun);
    let name = words.iter().map(|t| &*t.text).collect::<Vec<_>>().join(" ");
    (fine && !LISTS.no_part(&name)).then_some(name)
}

/// "I'm not taking the motor out": the part behind the verb, said not to be taken off.
pub(super) fn meant(tokens: &[Token], spots: &[Spot]) -> Option<String> {
    let verb = |t: &Token| {
        let w = &*t.text;
        matches!(w, "touch" | "touching" | "open" | "opening" | "separate" | "desolder" | "undo" | "unscrew")
            || LISTS.words.removing_verbs.iter().any(|v| v == w)
            || LISTS.words.removing_alone.iter().any(|v| v == w)
    };
    // "Don't touch the capacitor" is said to others.
    let told = tokens.windows(2).any(|w| w[0].text == "do" && w[1].text == "not")
        && !tokens.iter().any(|t| matches!(&*t.text, "i" | "we"));
    spots.iter().filter(|_| !told).find_map(|s| match &s.what {
        What::Part(name) => {
            let low = s.from.saturating_sub(3);
            let at = (low..s.from).find(|i| verb(&tokens[*i]))?;
            tokens[at.saturating_sub(4)..at].iter().any(|t| t.text == "not").then(|| name.clone())
        }
        _ => None,
    })
}

/// "First job is to get the cover off", "let's take the back off": the part behind the verb, still to be taken off.
pub(super) fn intends(tokens: &[Token], spots: &[Spot]) -> Option<String> {
    let verb =
        |i: usize| matches!(&*tokens[i].text, "get" | "take" | "remove" | "pull" | "lift" | "pop" | "prise" | "pry");
    let sets_out = |i: usize| i > 0 && matches!(&*tokens[i - 1].text, "to" | "us" | "and" | "can" | "'ll");
    let at = (0..tokens.len()).find(|i| verb(*i) && sets_out(*i))?;
    spots.iter().find_map(|s| match &s.what {
        What::Part(name) if s.from > at && s.from - at <= 4 => {
            let ends = tokens[at].text == "remove"
                || tokens.get(s.to).is_some_and(|t| LISTS.words.removing_ends.contains(&t.text));
            ends.then(|| name.clone())
        }
        _ => None,
    })
}
