//! Talk cut into sentences (or cues, where there is no punctuation), and what each says: taken off, tried, told, put back.

use super::clean::Cue;
use super::count::Count;
use super::flow::{BREATH, begins};
use super::off::{Off, off};
use super::spot::{ARTICLES, LISTS, Spot, What, spots, stands};
use super::tokens::{Stop, Token};

/// One sentence or cue and what it says.
#[derive(Clone, Debug)]
pub struct Clause {
    /// Its words.
    pub tokens: Vec<Token>,
    /// Its trade words.
    pub spots: Vec<Spot>,
    /// Cues it touches: first and last index.
    pub cues: (usize, usize),
    /// First of its stretch.
    pub opens: bool,
    /// The part it is about, if it begins with one.
    pub topic: Option<String>,
    /// A part whose fasteners it names ("two screws in the battery door").
    pub holder: Option<String>,
    /// A part somebody sets out to take off ("first job is to get the cover off").
    pub intends: Option<String>,
    /// What comes off.
    pub off: Option<Off>,
    /// A count of what was named before.
    pub count: Option<Count>,
    /// What it is, beside the above.
    pub says: Says,
}

/// What a clause is, by its phrases.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[allow(missing_docs)] // each is the list of that name in `spoken.yaml`
pub struct Says {
    pub question: bool,
    pub would: bool,
    pub warning: bool,
    pub advice: bool,
    pub elsewhere: bool,
    pub not_attempted: bool,
    pub failed: bool,
    pub tried: bool,
    pub told: bool,
    pub putting_back: bool,
    pub undoing: bool,
    /// Cleaned, oiled, painted: nothing comes apart.
    pub cleaning: bool,
    pub again: bool,
    pub summing: bool,
    pub nothing_holds: bool,
    pub same_tool: bool,
    pub wanted: bool,
    pub worn: bool,
    pub for_it: bool,
    pub against_it: bool,
    pub corrects: bool,
    pub differs: bool,
    pub back_again: bool,
}

/// Words that can't end a clause: the caption was cut behind one.
fn hangs(word: &str) -> bool {
    ARTICLES.contains(&word)
        || matches!(word, "little" | "tiny" | "small" | "big" | "black" | "white" | "own")
        || LISTS.prepositions.contains(word)
            && !matches!(word, "off" | "in" | "on" | "by" | "over" | "through" | "past" | "about")
        || matches!(
            word,
            "is" | "are"
                | "'s"
                | "'re"
                | "was"
                | "not"
                | "and"
                | "or"
                | "because"
                | "just"
                | "very"
                | "got"
                | "has"
                | "have"
                | "his"
                | "her"
                | "their"
        )
        || LISTS.words.removing_verbs.iter().any(|v| v == word)
}

/// Words that begin something new in the middle of a cue without punctuation.
fn turns(tokens: &[Token], at: usize) -> bool {
    let word = |i: usize| tokens.get(i).map_or("", |t| &*t.text);
    matches!(word(at), "oh" | "okay" | "ok" | "alright")
        || matches!(
            (word(at), word(at + 1)),
            ("and", "then" | "now") | ("then", "there" | "the") | ("now", "the" | "this")
        )
}

/// "It lifts straight / up off the frame": the next cue begins with the little word that ends a verb of this one.
fn ending_follows(tokens: &[Token], from: usize, at: usize) -> bool {
    let word = |i: usize| tokens.get(i).map_or("", |t| &*t.text);
    let next = word(at + 1);
    let ending = next == "up" || LISTS.words.removing_ends.iter().any(|e| e == next);
    // "Out it comes", "off with the lid" begin something of their own.
    let own = matches!(word(at + 2), "it" | "they" | "comes" | "come" | "with" | "pops" | "goes" | "slides" | "now");
    let low = from.max((at + 1).saturating_sub(5));
    let verb = (low..=at).any(|i| LISTS.words.removing_verbs.iter().any(|v| v == word(i)));
    let ended = (low..=at).any(|i| word(i) == "up" || LISTS.words.removing_ends.iter().any(|e| e == word(i)));
    ending && !own && verb && !ended
}

/// Where sentences end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cut {
    /// At signs.
    Signs,
    /// At cues, joined where a cue was cut.
    Cues,
    /// Cues end at a width and mean nothing: at words that begin something.
    Words,
    /// Nowhere: a line of notes is one.
    Whole,
    /// Nowhere, and a line may be the bare name of what came off then.
    Names,
}

/// Cuts the words of one stretch. `broken` says of each cue whether it ends at a width only.
pub fn clauses(tokens: &[Token], cues: &[Cue], broken: &[bool], cut: Cut) -> Vec<Clause> {
    if cut == Cut::Names
        && let Some(name) = super::line::name_alone(tokens)
    {
        return vec![named(tokens, name)];
    }
    if matches!(cut, Cut::Whole | Cut::Names) {
        let pieces = super::line::pieces(tokens);
        return pieces.into_iter().enumerate().map(|(i, p)| clause(p.to_vec(), i == 0, true)).collect();
    }
    let mut out = Vec::new();
    let mut from = 0;
    if cut == Cut::Words {
        for at in 1..=tokens.len() {
            // Somebody else speaks, or there is a breath between two cues.
            let turn = at < tokens.len() && tokens[at].first && {
                let (last, next) = (&cues[tokens[at - 1].cues.1], &cues[tokens[at].cues.0]);
                next.turn || last.end.zip(next.start).is_some_and(|(end, start)| start > end.saturating_add(BREATH))
            };
            if at == tokens.len() || turn || at - from > 1 && begins(tokens, at) {
                let anew = matches!(&*tokens[from].text, "okay" | "ok" | "alright" | "next" | "now");
                out.push(clause(tokens[from..at].to_vec(), from == 0 || anew, false));
                from = at;
            }
        }
        return out;
    }
    let punctuated = cut == Cut::Signs;
    for at in 0..tokens.len() {
        let last = at + 1 == tokens.len();
        let cue_ends = last || tokens[at + 1].first && tokens[at].cues != tokens[at + 1].cues;
        let turn = !last && cues[tokens[at + 1].cues.0].turn && cue_ends;
        let end = if punctuated {
            matches!(tokens[at].stop, Stop::End | Stop::Question) || turn
        } else {
            // "Second, third / board out": a breath ends a name.
            let breath = !last
                && cues[tokens[at].cues.1]
                    .end
                    .zip(cues[tokens[at + 1].cues.0].start)
                    .is_some_and(|(end, start)| start > end.saturating_add(BREATH));
            let name_goes_on = !last
                && !breath
                && tokens[at].text != tokens[at + 1].text
                && LISTS.modifiers.contains(&*tokens[at].text)
                && LISTS.heads.contains(&*tokens[at + 1].text);
            // "I'm not going to" ends there where something else begins behind it.
            let new = !last
                && matches!(
                    &*tokens[at + 1].text,
                    "it" | "that" | "this" | "the" | "i" | "you" | "so" | "and" | "they"
                );
            let to = tokens[at].text == "to" && new && at > 0 && matches!(&*tokens[at - 1].text, "going" | "want");
            // "Why do they do that / right lid's off", "where it is / and the lid": the word ends what was said.
            let pronoun =
                matches!(&*tokens[at].text, "that" | "this" | "these" | "those" | "it" | "is" | "are" | "was")
                    && !last
                    && matches!(
                        &*tokens[at + 1].text,
                        "right" | "so" | "okay" | "ok" | "now" | "and" | "but" | "then" | "there" | "next"
                    );
            // "It came / and the speaker has two screws".
            let came = !last
                && LISTS.words.removing_verbs.iter().any(|v| *v == tokens[at].text)
                && matches!(&*tokens[at + 1].text, "and" | "but" | "so" | "okay" | "ok" | "then" | "now");
            let hanging =
                !to && !pronoun && !came && hangs(&tokens[at].text) || name_goes_on || ending_follows(tokens, from, at);
            // "There are three security / screws": no end, unless something begins.
            let cut_off = !last && cue_ends && broken[tokens[at].cues.1] && !begins(tokens, at + 1);
            cue_ends && (!hanging && !cut_off || at - from > 30)
                || !last
                    && turns(tokens, at + 1)
                    && at - from > 1
                    && (tokens[at + 1].text == "oh" || !hangs(&tokens[at].text))
        };
        if end || last {
            // A starting word begins a stretch as a pause does.
            let anew = matches!(&*tokens[from].text, "okay" | "ok" | "alright") && cut == Cut::Cues;
            out.push(clause(tokens[from..=at].to_vec(), from == 0 || anew, false));
            from = at + 1;
        }
    }
    out
}

/// Whether any phrase of a list stands in some words.
pub(super) fn has(tokens: &[Token], list: &[String]) -> bool {
    list.iter().any(|phrase| {
        let phrase: Vec<&str> = phrase.split(' ').collect();
        (0..tokens.len()).any(|at| stands(tokens, at, &phrase))
    })
}

/// "You just unscrew the ring by hand", "I'll undo the clamp": the thing right behind the verb is what is worked on.
fn undone(tokens: &[Token], spots: &[Spot]) -> Option<String> {
    let verb = tokens.iter().position(|t| {
        matches!(
            &*t.text,
            "unscrew"
                | "undo"
                | "unclip"
                | "unhook"
                | "unsnap"
                | "loosen"
                | "release"
                | "pop"
                | "pull"
                | "wiggle"
                | "lift"
        )
    })?;
    // "Now I pop the display connector."
    let plug = spots.iter().find_map(|s| match &s.what {
        What::Fastener { name: "connector", of, verb: false, .. }
            if !s.denied && !of.is_empty() && s.from > verb && s.from - verb <= 3 =>
        {
            Some(of.clone())
        }
        _ => None,
    });
    let blocked = tokens[..verb].iter().any(|t| matches!(&*t.text, "not" | "never" | "if" | "before" | "to"));
    if plug.is_some() {
        return plug.filter(|_| !blocked);
    }
    let plain = matches!(&*tokens[verb].text, "pop" | "pull" | "wiggle" | "lift");
    spots.iter().find_map(|s| match &s.what {
        What::Part(name) if !blocked && !plain && !s.denied && s.from > verb && s.from - verb <= 2 => {
            Some(name.clone())
        }
        _ => None,
    })
}

/// A line that is a name and nothing else, in a table of times and names: it came off then.
fn named(tokens: &[Token], name: String) -> Clause {
    let mut out = clause(tokens.to_vec(), true, true);
    out.spots = vec![Spot { from: 0, to: tokens.len(), what: What::Part(name.clone()), denied: false }];
    out.topic = Some(name.clone());
    out.off = Some(Off::Part { name, acts: true, weak: false });
    out
}

/// `line`: it is a line of notes or a label.
fn clause(mut tokens: Vec<Token>, opens: bool, line: bool) -> Clause {
    // "Right, lid's off": at the head of a stretch it is a starting word, not a side.
    if opens
        && !line
        && tokens.len() > 2
        && tokens[0].text == "right"
        && !matches!(&*tokens[1].text, "one" | "side" | "hand")
    {
        "okay".clone_into(&mut tokens[0].text);
    }
    let mut spots = spots(&tokens);
    // "Removed battery. Just a strap with a latch": of the battery still.
    let leads = line && (opens || super::line::works(&tokens));
    let lead = if leads { super::line::lead(&tokens, &mut spots) } else { None };
    // "Unscrew the ring by hand": it is its own screw.
    let by_hand = spots.iter().any(|s| matches!(&s.what, What::Tool(t) if t == "hands"));
    spots.retain(|s| !(by_hand && matches!(s.what, What::Fastener { name: "screw", verb: true, .. })));
    let words = LISTS.words;
    let text = |w: &str| tokens.iter().any(|t| t.text == w);
    let asks = tokens.last().is_some_and(|t| t.stop == Stop::Question)
        || tokens
            .first()
            .is_some_and(|t| matches!(&*t.text, "how" | "why" | "do" | "does" | "did" | "can" | "could" | "shall"));
    let says = Says {
        question: asks && !has(&tokens, &["do not".to_owned(), "did not".to_owned(), "does not".to_owned()]),
        would: has(&tokens, &words.would) && !has(&tokens, &words.not_would),
        warning: has(&tokens, &words.warnings),
        advice: has(&tokens, &words.advice),
        elsewhere: has(&tokens, &words.elsewhere),
        not_attempted: has(&tokens, &words.not_attempted)
            || tokens.len() > 2 && stands(&tokens, tokens.len() - 2, &["so", "no"])
            || line && tokens.len() > 1 && tokens.last().is_some_and(|t| t.text == "left"),
        failed: has(&tokens, &words.failed),
        tried: has(&tokens, &words.tried),
        told: has(&tokens, &words.told),
        putting_back: has(&tokens, &words.putting_back),
        undoing: has(&tokens, &words.undoing) || put_back(&tokens),
        cleaning: has(&tokens, &words.cleaning),
        again: has(&tokens, &words.again),
        summing: has(&tokens, &words.that_is_it),
        nothing_holds: has(&tokens, &words.nothing_holds),
        same_tool: has(&tokens, &words.same_tool),
        wanted: has(&tokens, &words.wanted),
        worn: has(&tokens, &words.worn),
        for_it: has(&tokens, &words.for_words) && !has(&tokens, &words.against_words),
        against_it: has(&tokens, &words.against_words),
        back_again: has(&tokens, &words.back_again),
        corrects: text("no") || text("wait") || text("actually") || text("sorry") || text("correction"),
        differs: tokens.windows(2).any(|w| w[0].text == "that" && w[1].text == "one")
            || text("different")
            || text("except")
            || has(&tokens, &["one of them".to_owned(), "one of those".to_owned()])
            || text("odd"),
    };
    let mut says = says;
    // "Thermal paste stays on" says nothing of what it was under.
    let stays = tokens.iter().position(|t| t.text == "stays");
    if stays.is_some_and(|at| at > 1 && LISTS.noun(&tokens[at - 1]) && tokens[at - 2].stop == Stop::None && line)
        && !has(&tokens, &["not".to_owned(), "left".to_owned(), "leave".to_owned()])
    {
        says.not_attempted = false;
    }
    let cues = (tokens.first().map_or(0, |t| t.cues.0), tokens.last().map_or(0, |t| t.cues.1));
    let (mut topic, mut at) = topic(&tokens, &spots).map_or((None, None), |(name, at)| (Some(name), Some(at)));
    if line && !leads {
        topic = None;
    }
    if lead.is_some() {
        topic.clone_from(&lead);
    }
    // "Four rubber feet with a screw inside each": a place where screws are.
    let (topic_feet, each) = (
        topic.as_ref().is_some_and(|t| matches!(t.rsplit(' ').next().unwrap_or(t), "feet" | "foot" | "corner")),
        tokens.iter().any(|t| matches!(&*t.text, "inside" | "with")),
    );
    if topic_feet
        && each
        && spots.iter().any(|s| matches!(s.what, What::Fastener { name: "screw" | "bolt", verb: false, .. }))
    {
        (topic, at) = (None, None);
    }
    if topic.is_none() && !line {
        topic = super::line::bare(&tokens, &spots);
    }
    if topic.is_none() {
        topic = plug_of(&tokens, &spots).or_else(|| undone(&tokens, &spots));
    }
    let mut off = if says.undoing { None } else { off(&tokens, &spots) };
    if let (None, Some(lead), true) = (&off, &lead, line && !says.undoing) {
        off = super::line::taken(&tokens, lead);
    }
    // "Motor - belt slipped off first, 2 bolts": the line is of the motor.
    let aside = line
        && tokens.iter().any(|t| t.text == "first")
        && matches!((&off, &topic), (Some(Off::Part { name, .. }), Some(t)) if !super::segment::same(name, t));
    if aside {
        off = None;
    }
    // "Handset: 2 screws, halves prised apart".
    if let (Some(Off::Part { name, .. }), Some(lead), true) = (&mut off, &lead, line)
        && matches!(&**name, "half" | "halves" | "lid" | "top" | "bottom" | "back")
    {
        name.clone_from(lead);
    }
    if topic.is_none() && off.is_none() && says.not_attempted {
        topic = super::line::meant(&tokens, &spots);
    }
    if says.question {
        // "Can we get the bumper off?" is about the bumper.
        off = None;
        let goes = tokens.iter().any(|t| matches!(&*t.text, "off" | "out"));
        let first = spots.iter().find_map(|s| if let What::Part(name) = &s.what { Some(name.clone()) } else { None });
        topic = topic.or(first.filter(|_| goes));
    }
    if let (Some(Off::It { plug, itself, .. }), Some(name), Some(at)) = (&off, &topic, at)
        && *plug
        && !*itself
        && spots.iter().all(|s| s.from <= at || !matches!(s.what, What::Fastener { .. } | What::Part(_)))
        && spots.iter().all(|s| !matches!(s.what, What::Fastener { .. }))
    {
        off = Some(Off::Part { name: name.clone(), acts: true, weak: false });
    }
    let holder = holder(&spots, &tokens, at);
    let count = super::count::alone(&tokens);
    let intends = super::line::intends(&tokens, &spots);
    Clause { tokens, spots, cues, opens, topic, holder, intends, off, count, says }
}

/// "I'll put the wheel back in": put … back.
fn put_back(tokens: &[Token]) -> bool {
    let verbs = [
        "put", "puts", "putting", "pop", "screw", "clip", "plug", "solder", "glue", "goes", "go", "stick", "snap",
        "slide",
    ];
    (0..tokens.len()).any(|at| {
        let said_no = at > 0 && matches!(&*tokens[at - 1].text, "not" | "never");
        // "One screw, slide it back": a thing, not what is done.
        let thing = at > 0
            && matches!(&*tokens[at].text, "screw" | "clip" | "plug" | "solder" | "glue" | "snap")
            && (tokens[at - 1].number.is_some() || ARTICLES.contains(&&*tokens[at - 1].text));
        verbs.contains(&&*tokens[at].text)
            && !said_no
            && !thing
            && tokens[at + 1..(at + 6).min(tokens.len())].iter().any(|t| t.text == "back")
            && !tokens[at + 1..(at + 6).min(tokens.len())].iter().any(|t| matches!(&*t.text, "off" | "out"))
            // "Slide it back and lift it out."
            && (tokens[at].text != "slide"
                || !tokens[at + 1..].iter().any(|t| matches!(&*t.text, "off" | "out" | "lift")))
    })
}

/// The part a clause is about: the first one, if only starting words stand before it.
fn topic(tokens: &[Token], spots: &[Spot]) -> Option<(String, usize)> {
    let parts: Vec<(&Spot, &String)> =
        spots.iter().filter_map(|s| if let What::Part(n) = &s.what { Some((s, n)) } else { None }).collect();
    // "There's a seal between": a joint of what is worked on.
    let seal = |s: &Spot| {
        matches!(&s.what, What::Part(n) if n.ends_with("seal"))
            && (0..s.from).any(|i| tokens[i].text == "there")
            && matches!(tokens.get(s.to).map_or("", |t| &*t.text), "between" | "around" | "round" | "all")
    };
    // "Under there is the axle nut": the nut, not the axle.
    let its = |s: &Spot| {
        spots.iter().any(|f| {
            f.from <= s.to
                && s.to < f.to
                && matches!(f.what, What::Fastener { name: "nut" | "retaining ring" | "gasket", verb: false, .. })
        })
    };
    let (first, name) =
        parts.iter().find(|(s, _)| !s.denied && !its(s) && !seal(s) && leads(tokens, s.from)).copied()?;
    // "… and the motor behind it": the end of a list begun in the cue before.
    let behind = tokens.get(first.to).map_or("", |t| &*t.text);
    if tokens[0].text == "and"
        && first.from <= 3
        && matches!(behind, "behind" | "under" | "underneath" | "above" | "next" | "beside")
    {
        return None;
    }
    // "This little board down here is the charging board": the second name is the fuller one.
    let second = parts.iter().find(|(s, n)| {
        s.from > first.to
            && s.from - first.to < 6
            && n.ends_with(name.as_str())
            && *n != name
            && (tokens[first.to..s.from].iter().any(|t| LISTS.words.be.contains(&t.text))
                // "There's a cable on it, speaker cable."
                || tokens[first.to..s.from].iter().all(|t| matches!(&*t.text, "on" | "it" | "here" | "there" | "the")))
    });
    // "The ribbon from the touch strip": a cable is known by what it leads to.
    let leads_to = parts.iter().find(|(s, _)| {
        super::segment::is_cable(name)
            && !name.contains(' ')
            && s.from > first.to
            && s.from - first.to <= 2
            && matches!(&*tokens[first.to].text, "from" | "of" | "for" | "to")
    });
    if let Some((_, n)) = leads_to {
        return Some((format!("{n} {name}"), first.from));
    }
    Some(second.map_or((name.clone(), first.from), |(s, n)| ((*n).clone(), s.from)))
}

/// "First thing, the battery connector": the plug of the battery is what is worked on.
fn plug_of(tokens: &[Token], spots: &[Spot]) -> Option<String> {
    spots.iter().find_map(|s| match &s.what {
        What::Fastener { name: "connector", of, .. }
            if !s.denied && !of.is_empty() && s.from >= of.split(' ').count() =>
        {
            leads(tokens, s.from - of.split(' ').count()).then(|| of.clone())
        }
        _ => None,
    })
}

/// Whether a part at a place begins what is said: only starting words before it in its sentence, and no preposition
/// that makes it a place.
fn leads(tokens: &[Token], at: usize) -> bool {
    let word = |i: usize| tokens.get(i).map_or("", |t| &*t.text);
    let mut before = at;
    // Article and describing words belong to the name.
    while before > 0
        && (ARTICLES.contains(&word(before - 1))
            || LISTS.looks.contains(word(before - 1))
            || matches!(word(before - 1), "his" | "her" | "their")
            || tokens[before - 1].number.is_some_and(|n| (2..=12).contains(&n)))
    {
        before -= 1;
    }
    if before > 0 {
        let preposition = word(before - 1);
        let two = before.checked_sub(2).map_or("", word);
        let stands_apart = tokens[before - 1].stop != Stop::None;
        let led = match preposition {
            "with" => matches!(two, "on" | "start" | "starting" | "begin" | "go" | "continue"),
            "to" => matches!(two, "on" | "over" | "back" | "moving" | "down" | "come" | "comes" | "up"),
            "for" => matches!(two, "as" | "now" | "on" | "go"),
            "about" => matches!(two, "what" | "how"),
            "on" | "in" => false,
            w => !LISTS.prepositions.contains(w),
        };
        if !led && !stands_apart {
            return false;
        }
    }
    // "In there you've got your pistons", "this end is your pump head": shown on the bench.
    let shown = before >= 2
        && (word(before - 1) == "got" && matches!(word(before - 2), "'ve" | "have")
            || word(before) == "your" && matches!(word(before - 1), "is" | "are" | "'s"));
    if shown {
        return true;
    }
    // From the start of the clause, or behind a comma, or behind a word that starts something new.
    let fresh = (0..before).rev().find(|i| {
        tokens[*i].stop != Stop::None
            || matches!(word(*i), "now" | "next" | "then" | "okay" | "and")
                && *i + 1 < tokens.len()
                && !ahead_is_noun_list(tokens, *i)
    });
    let mut start = fresh.map_or(0, |i| i + 1);
    // "Under the cushion there's a grille": what stands before "there's" doesn't matter.
    if before >= 2
        && matches!(word(before - 2), "there" | "here" | "that" | "this")
        && LISTS.words.be.iter().any(|b| b == word(before - 1))
    {
        start = before - 2;
    }
    // "In front of it all is the heater."
    if before > 1 && LISTS.words.be.iter().any(|b| b == word(before - 1)) && LISTS.prepositions.contains(word(start)) {
        return true;
    }
    (start..before).all(|i| LISTS.starts.contains(word(i)) || tokens[i].number.is_some() && i == start)
}

/// "The flap and the spring": `and` between two names starts nothing new.
fn ahead_is_noun_list(tokens: &[Token], at: usize) -> bool {
    tokens[at].text == "and"
        && at > 0
        && (LISTS.heads.contains(&*tokens[at - 1].text) || LISTS.removing_verbs().contains(&&*tokens[at - 1].text))
}

impl super::spot::Lists {
    fn removing_verbs(&self) -> Vec<&str> {
        self.words.removing_verbs.iter().map(String::as_str).collect()
    }
}

/// A part named as what fasteners hold: "two screws in the battery door", "six screws holding the board".
fn holder(spots: &[Spot], tokens: &[Token], topic: Option<usize>) -> Option<String> {
    // "It's stuck in the bottom of the case": what is stuck there is the part at hand.
    let glued = |n: &str| crate::vocab::fastener(n).is_some_and(|w| w.adhesive);
    let first = spots.iter().find(|s| matches!(s.what, What::Fastener { .. }))?;
    // "It unclips, and there's a magnet in the float."
    if matches!(first.what, What::Fastener { verb: true, .. }) {
        return None;
    }
    let fastener = spots
        .iter()
        .find(|s| matches!(&s.what, What::Fastener { verb: false, name, .. } if !glued(name)) && !s.denied)?;
    spots.iter().filter(|s| s.from >= fastener.to && topic != Some(s.from) && !s.denied).find_map(|s| {
        let What::Part(name) = &s.what else { return None };
        let between = &tokens[fastener.to..s.from];
        let binds = between.len() <= 4
            && between.iter().any(|t| {
                matches!(
                    &*t.text,
                    "in" | "of"
                        | "for"
                        | "hold"
                        | "holds"
                        | "holding"
                        | "securing"
                        | "secure"
                        | "keep"
                        | "keeps"
                        | "keeping"
                )
            });
        let other = between.iter().any(|t| matches!(&*t.text, "middle" | "under" | "behind" | "to" | "from" | "and"));
        (binds && !other).then(|| name.clone())
    })
}
