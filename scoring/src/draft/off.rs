//! What is said to come off: "the lid is off", "lift the board out", "out comes the pack".

use super::segment::same;
use super::spot::{ARTICLES, LISTS, Spot, What};
use super::tokens::{Stop, Token};

/// A part that was taken off, as it was said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Off {
    /// By name; `acts`: somebody takes it ("peel the label off"), else it is found off ("the label is off").
    Part {
        /// Its name.
        name: String,
        /// Somebody takes it.
        acts: bool,
        /// Only "is off", which may be said of power too.
        weak: bool,
    },
    /// "It", "that": whatever is being worked on; the verb may be one for plugs ("pulled", "wiggled").
    It {
        /// The verb is one for plugs, or there is none.
        plug: bool,
        /// "Those", "them": several things.
        many: bool,
        /// "It pulls off": nobody pulls.
        itself: bool,
    },
}

/// What a clause says comes off.
pub(super) fn off(tokens: &[Token], spots: &[Spot]) -> Option<Off> {
    // "With the filter out, the grille hinges away": how things stand, before what is done.
    let stands = (0..tokens.len()).find(|at| {
        LISTS.words.removing_ends.contains(&tokens[*at].text)
            && (1..=5).any(|n| {
                at.checked_sub(n).is_some_and(|i| {
                    tokens[i].text == "with"
                        && (i == 0 || matches!(&*tokens[i - 1].text, "so" | "and" | "now" | "okay"))
                        && part_in(spots, i + 1, *at).is_some_and(|s| s.to == *at)
                })
            })
    });
    let behind = stands.and_then(|end| (end + 1..tokens.len()).find_map(|at| at_end(tokens, spots, at)));
    // "Pop them out and lift it off": the screws first, then what they held.
    let all = || (0..tokens.len()).filter_map(|at| at_end(tokens, spots, at));
    let many = |o: &Off| matches!(o, Off::It { many: true, .. });
    if behind.is_none() && all().next().as_ref().is_some_and(many) {
        return all().find(|o| !many(o)).or_else(|| all().next());
    }
    let pulled = || {
        // "So I'm pulling that too": beside what came off before.
        let n = tokens.len();
        let last = n >= 4
            && tokens[n - 1].text == "too"
            && matches!(&*tokens[n - 2].text, "that" | "it" | "this")
            && matches!(&*tokens[n - 3].text, "pulling" | "pull" | "lifting" | "peeling");
        (last && !blocked(tokens, n - 3)).then_some(Off::It { plug: true, many: false, itself: false })
    };
    // "The cover strip just unclips."
    let parts_itself = || {
        let at = tokens.iter().position(|t| {
            matches!(&*t.text, "unclips" | "unhooks" | "unsnaps" | "unscrews" | "detaches" | "unthreads" | "unlatches")
        })?;
        let found = subject(tokens, spots, 0, at, false, false).filter(|_| !blocked(tokens, at))?;
        matches!(found, Off::Part { .. }).then_some(found)
    };
    // "And there goes the tube."
    let goes = || {
        let at = (0..tokens.len())
            .find(|at| tokens[*at].text == "there" && tokens.get(at + 1).is_some_and(|t| t.text == "goes"))?;
        let part = spots.iter().find(|s| matches!(s.what, What::Part(_)) && s.from > at + 1 && s.from <= at + 3)?;
        (!part.denied).then(|| name(part, false, false)).flatten()
    };
    behind
        .or_else(goes)
        .or_else(|| (0..tokens.len()).find_map(|at| at_end(tokens, spots, at)))
        .or_else(|| removed(tokens, spots))
        .or_else(pulled)
        .or_else(parts_itself)
}

fn part_in(spots: &[Spot], from: usize, to: usize) -> Option<&Spot> {
    spots.iter().rev().find(|s| matches!(s.what, What::Part(_)) && s.from >= from && s.to <= to)
}

fn fastener_in(spots: &[Spot], from: usize, to: usize) -> bool {
    spots.iter().any(|s| matches!(s.what, What::Fastener { .. } | What::Drive(_)) && s.from >= from && s.to <= to)
}

fn catch_in(spots: &[Spot], from: usize, to: usize) -> bool {
    spots.iter().any(|s| matches!(s.what, What::Fastener { name: "clip", .. }) && s.from >= from && s.to <= to)
}

fn name(spot: &Spot, acts: bool, weak: bool) -> Option<Off> {
    if let What::Part(name) = &spot.what { Some(Off::Part { name: name.clone(), acts, weak }) } else { None }
}

/// Whether the verb at a place is said of something not done: "won't come", "would lift", "want to get out".
fn blocked(tokens: &[Token], verb: usize) -> bool {
    let from = verb.saturating_sub(6);
    let words: Vec<&str> = tokens[from..verb].iter().map(|t| &*t.text).collect();
    // "So I can lift the board out" is told while it is done.
    let able = |at: usize| at > 0 && words[at] == "can" && matches!(words[at - 1], "i" | "we" | "you");
    let told = |at: usize| {
        at < 2 && from == 0 || at >= 2 && matches!(words[at - 2], "so" | "now" | "then" | "and" | "here" | "there")
    };
    let modal = words.iter().enumerate().any(|(at, w)| {
        if able(at) && (told(at) || words[at - 1] != "you") && words.get(at + 1) != Some(&"not") {
            return false;
        }
        matches!(
            *w,
            "not"
                | "never"
                | "would"
                | "should"
                | "could"
                | "can"
                | "might"
                | "may"
                | "'d"
                | "if"
                | "before"
                | "until"
                | "once"
                | "when"
                | "want"
                | "wanted"
                | "like"
                | "had"
                | "hope"
                | "wish"
                | "without"
                | "trying"
                | "try"
                | "how"
        )
    });
    // "The handle has to come off": announced, not done.
    let announced =
        words.ends_with(&["has", "to"]) || words.ends_with(&["have", "to"]) || words.ends_with(&["needs", "to"]);
    let later = words.ends_with(&["will", "have", "to"]);
    if announced && tokens[verb].text == "come" || later {
        return true;
    }
    let to = words.last() == Some(&"to")
        && !matches!(
            words.get(words.len().wrapping_sub(2)),
            Some(&"going" | &"have" | &"need" | &"has" | &"got" | &"ready")
        );
    modal || to
}

/// A release ending in the particle at a place.
fn at_end(tokens: &[Token], spots: &[Spot], at: usize) -> Option<Off> {
    let words = LISTS.words;
    let word = |i: usize| tokens.get(i).map_or("", |t| &*t.text);
    let ends = words.removing_ends.iter().any(|e| e == word(at));
    let up = word(at) == "up";
    let in_hand = word(at) == "in" && word(at + 1) == "my" && matches!(word(at + 2), "hand" | "hands");
    // "Peel that sticker back", but not "peel the back cover".
    let peels = |i: usize| word(i).starts_with("peel");
    let back = word(at) == "back"
        && (at.saturating_sub(5)..at).any(peels)
        && !LISTS.heads.contains(word(at + 1))
        && !LISTS.modifiers.contains(word(at + 1));
    let ends = ends || back;
    // "The cable comes up through the fork": its way.
    if matches!(word(at + 1), "through" | "past" | "along") {
        return None;
    }
    if !ends && !up && !in_hand || ends && matches!(word(at + 1), "of") && word(at) == "off" {
        return None;
    }
    let sentence = (0..at).rev().find(|i| matches!(tokens[*i].stop, Stop::End | Stop::Question)).map_or(0, |i| i + 1);
    let low = sentence.max(at.saturating_sub(9));
    // "Out comes the pack."
    if ends && matches!(word(at + 1), "comes" | "come" | "pops" | "slides" | "goes") {
        return part_in(spots, at + 2, (at + 6).min(tokens.len())).and_then(|s| name(s, false, false));
    }
    // "Up it comes."
    if matches!(word(at), "out" | "off" | "up" | "away")
        && matches!(word(at + 1), "it" | "she" | "they")
        && matches!(word(at + 2), "comes" | "come" | "pops" | "goes" | "slides" | "lifts")
        && !matches!(
            at.checked_sub(1).map_or("", word),
            "lift" | "pull" | "take" | "pry" | "pop" | "give" | "open" | "flip"
        )
    {
        return Some(Off::It { plug: false, many: word(at + 1) == "they", itself: true });
    }
    // "Out with the board", but not "the skeleton is off with both motors in it".
    let begins = at == 0 || matches!(word(at - 1), "okay" | "ok" | "so" | "and" | "then" | "now" | "next" | "right");
    if begins && ends && matches!(word(at), "out" | "off") && word(at + 1) == "with" && !blocked(tokens, at) {
        return part_in(spots, at + 2, (at + 7).min(tokens.len())).and_then(|s| name(s, true, false));
    }
    for i in (low..at).rev() {
        let w = word(i);
        let gap = &tokens[i + 1..at];
        if words.be.iter().any(|b| b == w)
            && (gap.len() <= 2
                && gap.iter().all(|t| {
                    matches!(
                        &*t.text,
                        "just"
                            | "finally"
                            | "now"
                            | "all"
                            | "completely"
                            | "straight"
                            | "right"
                            | "fully"
                            | "coming"
                            | "really"
                    )
                })
                || in_hand && gap.is_empty())
        {
            if blocked(tokens, i) {
                return None;
            }
            if up {
                // "The glass is up": of what covers a device, it is off its glue. Power is up too, and so is time.
                let covers = |n: &str| {
                    matches!(
                        n.rsplit(' ').next().unwrap_or(n),
                        "glass" | "screen" | "display" | "lid" | "cover" | "panel" | "plate"
                    )
                };
                return subject(tokens, spots, sentence, i, true, true)
                    .filter(|o| matches!(o, Off::Part { name, .. } if covers(name)));
            }
            return subject(tokens, spots, sentence, i, true, word(at) == "off");
        }
        if words.removing_verbs.iter().any(|v| v == w)
            && (!up
                || matches!(
                    w,
                    "come"
                        | "comes"
                        | "came"
                        | "coming"
                        | "swing"
                        | "swings"
                        | "pop"
                        | "pops"
                        | "lift"
                        | "lifts"
                        | "lifted"
                        | "peel"
                        | "peels"
                        | "prise"
                        | "pry"
                        | "slide"
                        | "slides"
                )
                || matches!(w, "pull" | "pulls" | "pulled") && word(at - 1) == "straight")
        {
            if blocked(tokens, i) {
                return None;
            }
            let plug = !up
                && matches!(
                    w,
                    "pull"
                        | "pulls"
                        | "pulled"
                        | "wiggle"
                        | "wiggled"
                        | "flip"
                        | "slide"
                        | "get"
                        | "got"
                        | "take"
                        | "took"
                        | "push"
                        | "pop"
                        | "popped"
                        | "yank"
                );
            if let Some(found) = part_in(spots, i + 1, at) {
                return together(tokens, spots, found, i + 1).or_else(|| name(found, true, false));
            }
            if let Some(name) = object(gap).filter(|_| ends && !fastener_in(spots, i + 1, at)) {
                return Some(Off::Part { name, acts: true, weak: false });
            }
            if fastener_in(spots, i + 1, at)
                || gap.iter().any(|t| t.number.is_some() && t.text != "one" || matches!(&*t.text, "ones" | "last"))
            {
                return None;
            }
            // "Lift the whole lot out."
            if gap.last().is_some_and(|t| matches!(&*t.text, "lot" | "thing" | "lump")) {
                return Some(Off::It { plug: false, many: false, itself: false });
            }
            let pronoun =
                gap.iter().position(|t| matches!(&*t.text, "it" | "that" | "this" | "them" | "these" | "those"));
            if let Some(place) = pronoun {
                // "Getting flaky, it cuts out": the pronoun begins something else.
                let many = matches!(&*gap[place].text, "them" | "these" | "those");
                return (place == 0 || place + 1 == gap.len()).then_some(Off::It { plug, many, itself: false });
            }
            // "The belt slips off the pulley": what something comes off is a place.
            // "The buttons themselves pop off the shell" likewise.
            let plural = matches!(word(i.saturating_sub(1)), "themselves" | "they")
                || part_in(spots, sentence, i).is_some_and(|s| s.to + 1 >= i && word(s.to - 1).ends_with('s'));
            let itself = (w.ends_with('s') || plural) && word(at) == "off" && i > sentence;
            // "My neighbour dropped off this drill."
            let brought = matches!(w, "drop" | "dropped" | "drops") && word(at) == "off";
            // "Belt taken off the pulley": where it was.
            let passive = matches!(
                w,
                "taken" | "pulled" | "lifted" | "popped" | "slid" | "peeled" | "pried" | "prised" | "slipped"
            ) && part_in(spots, sentence, i).is_some_and(|s| s.to == i);
            let itself = itself || brought || passive;
            if let Some(found) = part_in(spots, at + 1, (at + 5).min(tokens.len()))
                .filter(|_| !itself)
                .filter(|s| (at + 1..s.from).all(|n| ARTICLES.contains(&word(n)) || LISTS.looks.contains(word(n))))
            {
                return name(found, true, false);
            }
            return subject(tokens, spots, sentence, i, plug, false);
        }
    }
    // "That's the back cover off."
    let straight = part_in(spots, sentence, at).filter(|s| s.to == at && s.from > sentence + 1 && ends && !s.denied);
    let found = straight.filter(|s| {
        let mut before = s.from;
        while before > sentence && (ARTICLES.contains(&word(before - 1)) || LISTS.looks.contains(word(before - 1))) {
            before -= 1;
        }
        before > sentence
            && (words.be.iter().any(|b| b == word(before - 1))
                || matches!(word(before - 1), "got" | "have" | "and" | "with"))
            && !blocked(tokens, before)
    });
    if let Some(found) = found {
        return name(found, false, false);
    }
    // "Back cover off." as a whole note.
    let alone = at + 1 == tokens.len() || tokens[at].stop != Stop::None;
    if alone && ends && matches!(word(at), "off" | "out") && !blocked(tokens, at) {
        return part_in(spots, sentence, at)
            .filter(|s| s.to + 2 >= at && !s.denied)
            .and_then(|s| name(s, false, false));
    }
    None
}

/// "Lift the motor and gearbox out": two names, one lift.
fn together(tokens: &[Token], spots: &[Spot], last: &Spot, from: usize) -> Option<Off> {
    let word = |i: usize| tokens.get(i).map_or("", |t| &*t.text);
    let mut and = last.from;
    while and > from && (ARTICLES.contains(&word(and - 1)) || LISTS.looks.contains(word(and - 1))) {
        and -= 1;
    }
    let first = and.checked_sub(1).filter(|i| *i > from && word(*i) == "and").and_then(|i| part_in(spots, from, i))?;
    match (&first.what, &last.what) {
        // "Unscrew the battery and the battery lifts out" is one.
        (What::Part(a), What::Part(b)) if first.to + 1 == and && !same(a, b) => {
            Some(Off::Part { name: format!("{a} and {b}"), acts: true, weak: false })
        }
        _ => None,
    }
}

/// Where the preposition stands that makes a part a place: "over the fan".
fn place_before(tokens: &[Token], sentence: usize, part: &Spot) -> Option<usize> {
    let mut at = part.from;
    while at > sentence && (ARTICLES.contains(&&*tokens[at - 1].text) || LISTS.looks.contains(&*tokens[at - 1].text)) {
        at -= 1;
    }
    let before = at.checked_sub(1).filter(|i| *i >= sentence)?;
    matches!(
        &*tokens[before].text,
        "of" | "over"
            | "under"
            | "underneath"
            | "beneath"
            | "behind"
            | "above"
            | "below"
            | "around"
            | "beside"
            | "on"
            | "in"
    )
    .then_some(before)
}

/// Who does the coming off: the part, pronoun or unknown thing before a verb.
fn subject(tokens: &[Token], spots: &[Spot], sentence: usize, verb: usize, plug: bool, weak: bool) -> Option<Off> {
    let word = |i: usize| tokens.get(i).map_or("", |t| &*t.text);
    // "The first one's out" is said of screws.
    if verb > sentence && matches!(word(verb - 1), "one" | "ones" | "first" | "last") {
        return None;
    }
    // "The brush we took out earlier."
    if verb > sentence
        && matches!(word(verb - 1), "we" | "you" | "i" | "he" | "she" | "they")
        && part_in(spots, sentence, verb - 1).is_some_and(|s| s.to + 2 >= verb)
    {
        return None;
    }
    // "The hopper turns a quarter and lifts off": what the sentence began with.
    if verb > sentence + 2 && word(verb - 1) == "and" {
        let first =
            spots.iter().find(|s| matches!(s.what, What::Part(_)) && s.from >= sentence && s.to < verb && !s.denied);
        let leads = |s: &&Spot| {
            (sentence..s.from)
                .all(|i| LISTS.starts.contains(word(i)) || ARTICLES.contains(&word(i)) || LISTS.looks.contains(word(i)))
        };
        if let Some(found) = first.filter(leads) {
            return name(found, false, weak);
        }
    }
    // The nearest of the two kinds of subject before the verb.
    let nearest = part_in(spots, sentence, verb).filter(|s| verb - s.to <= 3);
    // "The plate over the fan comes off", "two screws on the lid come out": the second is a place.
    let (part, placed) = match nearest.and_then(|s| place_before(tokens, sentence, s).map(|at| (s, at))) {
        Some((_, at)) => (part_in(spots, sentence, at).filter(|s| s.to == at), true),
        None => (nearest, false),
    };
    if placed && part.is_none() && (sentence..verb).any(|i| fastener_in(spots, i, i + 1) || word(i) == "plug") {
        return None;
    }
    let part = part.or(nearest);
    // "The trigger and its spring lift out."
    if let Some(found) = part_in(spots, sentence, verb).filter(|s| {
        (3..=5).contains(&(verb - s.to))
            && word(s.to) == "and"
            && matches!(word(s.to + 1), "its" | "the" | "a" | "their")
    }) {
        return (!found.denied).then(|| name(found, false, weak)).flatten();
    }
    let pronoun = (sentence..verb)
        .rev()
        .take(3)
        .find(|i| matches!(word(*i), "it" | "that" | "this" | "they" | "them" | "these" | "those" | "both"));
    let it = |i: usize| Off::It {
        plug,
        many: matches!(word(i), "they" | "them" | "these" | "those"),
        itself: matches!(word(i), "it" | "that" | "this")
            && word(verb).ends_with('s')
            && !LISTS.words.be.iter().any(|b| b == word(verb)),
    };
    match (part, pronoun) {
        (Some(p), Some(i)) if i > p.to => Some(it(i)),
        (Some(p), _) if !fastener_in(spots, p.to, verb) || placed => {
            (!p.denied).then(|| together(tokens, spots, p, sentence).or_else(|| name(p, false, weak))).flatten()
        }
        // "Push the tab and it drops out": the tab is pushed, and "it" is what it held.
        (_, Some(i)) if word(i) == "it" && catch_in(spots, verb.saturating_sub(3), i) => Some(it(i)),
        (_, Some(i)) if !fastener_in(spots, verb.saturating_sub(3), verb) => Some(it(i)),
        _ if fastener_in(spots, sentence, verb) => None,
        _ => unknown(tokens, sentence, verb).map(|name| Off::Part { name, acts: false, weak }).or_else(|| {
            let imperative = (sentence..verb).all(|i| {
                LISTS.starts.contains(word(i))
                    || matches!(word(i), "you" | "we" | "just" | "i" | "'ll" | "'m" | "going" | "to" | "can")
            });
            imperative.then_some(Off::It { plug, many: false, itself: false })
        }),
    }
}

/// "Take the doodad off": one or two words nobody listed, behind an article and before the little word.
fn object(gap: &[Token]) -> Option<String> {
    let (article, words) = gap.split_first()?;
    let noun = |w: &str| {
        w.len() > 2
            && w.bytes().all(|b| b.is_ascii_alphabetic())
            && !LISTS.starts.contains(w)
            && !LISTS.prepositions.contains(w)
            && !LISTS.looks.contains(w)
            && !LISTS.modifiers.contains(w)
            && crate::draft::tokens::number(w).is_none()
            && !LISTS.words.removing_verbs.iter().any(|v| v == w)
            && !LISTS.words.no_parts.iter().any(|n| n == w)
            && !LISTS.words.between.iter().any(|b| b == w)
    };
    let looks = words.iter().take_while(|t| LISTS.looks.contains(&*t.text)).count();
    let words: Vec<&str> = words[looks..].iter().map(|t| &*t.text).collect();
    let fine = matches!(&*article.text, "the" | "this" | "that")
        && (1..=2).contains(&words.len())
        && words.iter().all(|w| noun(w));
    fine.then(|| words.join(" "))
}

/// "The turret is out": one or two words nobody listed, behind an article.
fn unknown(tokens: &[Token], sentence: usize, verb: usize) -> Option<String> {
    let low = sentence.max(verb.saturating_sub(4));
    let article = (low..verb).rev().find(|i| ARTICLES.contains(&&*tokens[*i].text) && tokens[*i].text.len() > 2)?;
    let words: Vec<&str> =
        tokens[article + 1..verb].iter().map(|t| &*t.text).filter(|w| !matches!(*w, "just" | "now" | "then")).collect();
    let noun = |w: &&str| {
        w.len() > 2
            && w.bytes().all(|b| b.is_ascii_alphabetic())
            && !LISTS.starts.contains(*w)
            && !LISTS.prepositions.contains(*w)
    };
    // "The metal doofer": what it is made of or looks like is no name.
    let made = words
        .iter()
        .take_while(|w| LISTS.looks.contains(**w) || LISTS.words.between.iter().any(|b| b == *w))
        .count()
        .min(words.len().saturating_sub(1));
    let words = &words[made..];
    let fine = (1..=2).contains(&words.len())
        && words.iter().all(noun)
        && words
            .iter()
            .all(|w| !LISTS.words.no_parts.iter().any(|n| n == w) && !LISTS.words.between.iter().any(|b| b == w));
    fine.then(|| words.join(" "))
}

/// "Removed the fan", "fan removed".
fn removed(tokens: &[Token], spots: &[Spot]) -> Option<Off> {
    let at = tokens.iter().position(|t| LISTS.words.removing_alone.contains(&t.text))?;
    if blocked(tokens, at) {
        return None;
    }
    let ahead = part_in(spots, at + 1, (at + 6).min(tokens.len())).filter(|s| !fastener_in(spots, at + 1, s.from));
    let behind = || part_in(spots, at.saturating_sub(4), at);
    ahead.or_else(|| behind().filter(|_| tokens[at].text.ends_with("ed"))).and_then(|s| name(s, true, false))
}
