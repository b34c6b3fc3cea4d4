//! The reason in one sentence of at most thirty words: the first shape that fits the numbers.

use scoring::assess::Reach;
use scoring::exact::Exact;
use scoring::method::Measure;
use scoring::record::complete::open_count;
use scoring::vocab::Promise;

use super::brief::asked;
use super::{english as en, words};
use crate::facts::{Asks, CauseFact, Doing, Facts, Limit, PartFact, WayToPart, What};
use crate::plural::list;

/// Most words of a sentence.
pub const WORDS: usize = 30;

/// The sentence, and the same with the range in front, for where no figure stands beside it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sentence {
    /// `The back is glued and …`
    pub text: String,
    /// `5.3 to 6.6: the back is glued and …`
    pub spoken: String,
    /// Which shape it has.
    pub shape: SentenceShape,
}

/// The shapes, in the order they are tried.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SentenceShape {
    /// One question opens over half the range.
    Fork,
    /// A limit holds the verdict.
    Limit,
    /// One cause of weight.
    Cause,
    /// Much is lost, nowhere much.
    Many,
    /// Little is lost.
    Good,
}

/// A cause in words, and what they speak of.
pub(super) struct CauseWords {
    /// The words.
    pub(super) text: String,
    /// What is told of.
    pub(super) name: String,
    /// Roles of that.
    pub(super) roles: Vec<String>,
    /// Roles of what is named as closing the way to it.
    closing: Vec<String>,
    /// The words list several things.
    lists: bool,
    /// They say all there is to say of how a part comes out.
    pub(super) whole: bool,
}

/// The sentence of the verdict that leads.
pub fn sentence(facts: &Facts) -> Sentence {
    let third = Exact::ratio(3, 10).unwrap_or_else(Exact::zero);
    let cause = facts.causes.first().filter(|c| *c.least() >= third);
    let range = range(&facts.shown);
    let many = facts.lost.all[1] > Exact::from(2);
    // What is said first, from long to short, and the parts it speaks of.
    let (shape, heads, spoken_of): (SentenceShape, Vec<String>, Vec<String>) = if let Some(fork) = &facts.fork {
        let head = fork_words(facts, fork);
        (SentenceShape::Fork, vec![head], asked_of(facts, fork))
    } else if let Some(limit) = &facts.limit {
        (SentenceShape::Limit, vec![limit_words(facts, limit)], limit.roles.clone())
    } else if let Some(cause) = cause {
        let CauseWords { text: main, name, mut roles, closing, lists, .. } = cause_words(facts, cause);
        // What is named as closing the way is spoken of too.
        roles.extend(closing);
        let joined = |b: &String| format!("{main}{} {b}", if lists { ", and" } else { " and" });
        let mut heads: Vec<String> = behind(facts, cause, &name).iter().map(joined).collect();
        // A second cause of weight that is another thing: what is destroyed is named.
        let destroyed = |c: &&CauseFact| *c.least() >= third && destroys(facts, c);
        if let Some(second) = facts.causes.iter().skip(1).find(destroyed).filter(|_| destroys(facts, cause)) {
            heads.insert(0, format!("{main}, {}", second_destroyed(facts, second)));
        }
        heads.push(main);
        (SentenceShape::Cause, heads, roles)
    } else if many {
        let mut deep: Vec<(&PartFact, u32)> = facts.parts.iter().filter_map(|p| Some((p, p.steps[1]?))).collect();
        deep.sort_by_key(|(_, steps)| std::cmp::Reverse(*steps));
        let mut said: Vec<String> = Vec::new();
        let mut roles = Vec::new();
        for (i, (part, n)) in deep.iter().take(2).enumerate() {
            let name = part_name(part);
            roles.push(part.role.clone());
            let proved = part.way.as_ref().is_none_or(|w| w.proved);
            said.push(if i == 0 {
                let steps = if proved { en::steps(*n) } else { en::at_most(&en::steps(*n)) };
                format!("{} {} {steps} deep", en::the(&name), en::verb(&name, "lies", "lie"))
            } else if !proved {
                format!("{} {}", en::the(&name), en::at_most(&en::steps(*n)))
            } else {
                format!("{} {}", en::the(&name), en::number(open_count(*n).0 as usize))
            });
        }
        // Between bounds nobody knows what adds up.
        let head = match (facts.attained, said.is_empty()) {
            (true, true) => en::LITTLE.to_owned(),
            (true, false) => format!("{}; {}", en::MANY_SMALL, said.join(", ")),
            (false, true) => en::CUT_SHORT.to_owned(),
            (false, false) => format!("{}; {}", en::CUT_SHORT, said.join(", ")),
        };
        (SentenceShape::Many, vec![head], roles)
    } else {
        // What a bound leaves out may cost much.
        let head = if facts.attained { good(facts) } else { en::CUT_SHORT.to_owned() };
        (SentenceShape::Good, vec![head], Vec::new())
    };
    let parts = heavy(facts, &spoken_of);
    let open = facts.open.first().filter(|_| facts.ends[0] != facts.ends[1]).map(|o| en::open(&asked(facts, o)));
    // The question of a fork is its head, and what follows is a sentence of its own.
    let fork = shape == SentenceShape::Fork;
    let text = fitted(&heads, &parts, if fork { None } else { open.as_deref() }, fork);
    let spoken = match shape {
        SentenceShape::Fork => text.clone(),
        // It goes on with what the range is held at.
        SentenceShape::Limit => format!("{range}, {text}"),
        _ => format!("{range}: {text}"),
    };
    Sentence { text: capital(&text), spoken, shape }
}

/// `5.3 to 6.6`, `7.7`.
pub(super) fn range(shown: &[String; 2]) -> String {
    if shown[0] == shown[1] { shown[0].clone() } else { format!("{} to {}", shown[0], shown[1]) }
}

/// Roles of the parts a question is about.
fn asked_of(facts: &Facts, open: &crate::facts::Open) -> Vec<String> {
    let (Asks::Works(names, true) | Asks::Clean(names, _) | Asks::Paired(names)) = &open.asks else {
        return Vec::new();
    };
    let own = facts.parts.iter().filter(|p| p.names.iter().any(|n| names.contains(n)));
    own.map(|p| p.role.clone()).collect()
}

/// The longest that keeps within the words.
fn fitted(heads: &[String], parts: &[String], open: Option<&str>, apart: bool) -> String {
    let mut last = String::new();
    let none = [None];
    let parts: Vec<Option<&String>> = parts.iter().map(Some).chain(none).collect();
    for open in [open, None] {
        for part in &parts {
            for head in heads {
                let mut text = head.clone();
                match part {
                    Some(part) if apart => text.push_str(&format!(". {}", capital(part))),
                    Some(part) => text.push_str(&format!("; {part}")),
                    None => {}
                }
                text.push('.');
                if let Some(open) = open {
                    text.push(' ');
                    text.push_str(open);
                }
                if words(&text) <= WORDS {
                    return text;
                }
                last = text;
            }
        }
    }
    let mut cut: Vec<&str> = last.split_whitespace().take(WORDS).collect();
    if let Some(end) = cut.last_mut() {
        *end = end.trim_end_matches([',', ';', '.']);
    }
    format!("{}.", cut.join(" "))
}

pub(crate) fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

pub(super) fn part_name(part: &PartFact) -> String {
    // Several instances: the one its way is told of.
    let own = part.way.as_ref().map(|w| w.name.clone()).or_else(|| part.names.first().cloned());
    let own = own.unwrap_or_default();
    if part.names.len() > 1 { own } else { en::name(&part.role, &own) }
}

/// A name of the record as the sentence calls it.
pub(super) fn called(facts: &Facts, name: &str) -> String {
    let only = |p: &&PartFact| p.names.len() == 1 && p.names[0] == name;
    let role = facts.parts.iter().find(only).map_or("", |p| p.role.as_str());
    en::name(role, name)
}

fn fork_words(facts: &Facts, fork: &crate::facts::Open) -> String {
    let find = |good: bool| fork.answers.iter().find(|a| a.good == Some(good));
    let (Some(good), Some(bad)) = (find(true), find(false)) else { return String::new() };
    let (yes, no, why) = match &fork.asks {
        Asks::Works(names, frees) => {
            let names: Vec<String> = names.iter().map(|n| called(facts, n)).collect();
            let what = list(&names);
            let yes =
                if *frees { format!("{} comes out as described", en::the(&what)) } else { format!("\"{what}\" works") };
            (yes, "if not", ": nobody tried")
        }
        Asks::Clean(names, sticky) => {
            let names: Vec<String> = names.iter().map(|n| en::the(&called(facts, n))).collect();
            (en::off_clean(*sticky, &list(&names)), "if not", "")
        }
        Asks::Has(role) => (format!("it has {} that comes out", en::a(role)), "if not", ""),
        Asks::Paired(names) => {
            let name = list(names);
            let no = en::verb(&name, "if it does", "if they do");
            (format!("{} {} no pairing", en::a_new(&name), en::verb(&name, "needs", "need")), no, "")
        }
        _ => (format!("the answer is {}", good.label), "if not", ""),
    };
    format!("{} if {yes}, {} {no}{why}", range(&good.shown), range(&bad.shown))
}

/// `held at 6.0: the display goes to authorised repairers only`.
fn limit_words(facts: &Facts, limit: &Limit) -> String {
    let names: Vec<String> = limit
        .roles
        .iter()
        .map(|r| facts.parts.iter().find(|p| p.role == *r).map_or_else(|| r.clone(), part_name))
        .take(2)
        .collect();
    let name = list(&names);
    let plural = names.len() > 1 || en::many(&name);
    let is = |one: &'static str, more: &'static str| if plural { more } else { one };
    let said = match limit.measure {
        Measure::Reachable => {
            let ways: Vec<&WayToPart> = limit
                .roles
                .iter()
                .filter_map(|r| facts.parts.iter().find(|p| p.role == *r)?.way.as_ref())
                .filter(|w| !w.destroys.is_empty())
                .collect();
            match ways.as_slice() {
                [one, ..] if names.len() == 1 => en::destroyed(&name, &one.destroys),
                // At one end a way is there: what is not known is whether it can be gone.
                _ if limit.binds != [true, true] => {
                    format!("whether {} can be taken out undamaged is open", en::the(&name))
                }
                _ => format!("{} can't be taken out undamaged", en::the(&name)),
            }
        }
        Measure::Tools => format!("{} {} a tool nobody can buy", en::the(&name), is("needs", "need")),
        Measure::Paired => format!("{} {} software pairing", en::a_new(&name), is("needs", "need")),
        Measure::Promise(Promise::To) => {
            format!("{} {} no independent repairer gets", en::the(&name), is("is a spare part", "are spare parts"))
        }
        Measure::Promise(Promise::Price) => {
            format!("{} {} a large share of the device", en::a_new(&name), is("costs", "cost"))
        }
        _ => format!("{}: {}", name, limit.said),
    };
    let end = usize::from(!limit.binds[0]);
    let at = if limit.binds == [true, true] && limit.at[0] != limit.at[1] {
        range(&limit.at)
    } else {
        limit.at[end].clone()
    };
    let perhaps = match limit.binds {
        [true, true] => "held at",
        [true, false] => "at the low end held at",
        _ => "at the high end held at",
    };
    format!("{perhaps} {at}: {said}")
}

/// What lies behind a cause, told longer and shorter.
pub(super) fn behind(facts: &Facts, cause: &CauseFact, name: &str) -> Vec<String> {
    let one = cause.first_behind.map(|p| part_name(&facts.parts[p]));
    // Of what is no part that counts, no other parts are told.
    let told = if cause.behind[1] == facts.parts.len() { en::all_behind } else { en::behind };
    let long = told(cause.behind[0], cause.behind[1], one.as_deref(), name);
    let all = cause.behind[0] == cause.behind[1] && cause.behind[0] > 1;
    let short = all.then(|| format!("all else lies behind {}", if en::many(name) { "them" } else { "it" }));
    long.into_iter().chain(short).collect()
}

/// What is destroyed for a part, without parts that count and are destroyed in their own right.
fn destroyed_for(facts: &Facts, name: &str, destroys: &[String]) -> Vec<String> {
    let own_right = |d: &String| {
        *d != name && facts.parts.iter().filter_map(|p| p.way.as_ref()).any(|w| w.name == *d && w.destroys.contains(d))
    };
    let left: Vec<String> = destroys.iter().filter(|d| !own_right(d)).cloned().collect();
    if left.is_empty() { destroys.to_vec() } else { left }
}

/// `the right damper only by destroying it`, behind a clause of the same form.
fn second_destroyed(facts: &Facts, cause: &CauseFact) -> String {
    let CauseWords { text, name, .. } = cause_words(facts, cause);
    match &cause.of {
        What::Action(doing) if doing.frees && doing.used && !doing.destroys.is_empty() => {
            en::destroyed_too(&name, &doing.destroys)
        }
        What::Part(at, _) => match facts.parts[*at].way.as_ref().filter(|w| w.reach == Reach::Damage) {
            Some(way) => en::destroyed_too(&name, &destroyed_for(facts, &way.name, &way.destroys)),
            None => text,
        },
        What::Action(_) => text,
    }
}

fn destroys(facts: &Facts, cause: &CauseFact) -> bool {
    match &cause.of {
        What::Action(doing) => doing.used && !doing.destroys.is_empty(),
        What::Part(at, _) => facts.parts[*at].way.as_ref().is_some_and(|w| !w.destroys.is_empty()),
    }
}

/// What a cause is, what it is about, and the roles spoken of.
/// A cause in words.
pub(super) fn cause_words(facts: &Facts, cause: &CauseFact) -> CauseWords {
    let roles_of = |names: &[String]| -> Vec<String> {
        let of = facts.parts.iter().filter(|p| p.names.iter().any(|n| names.contains(n)));
        of.map(|p| p.role.clone()).collect()
    };
    match &cause.of {
        What::Action(doing) => {
            let names: Vec<String> = doing.names.iter().map(|n| called(facts, n)).collect();
            let name = list(&names);
            let (text, lists) = action_words(doing, &name);
            CauseWords {
                text,
                name,
                roles: roles_of(&doing.names),
                closing: Vec::new(),
                lists: lists || names.len() > 1,
                whole: false,
            }
        }
        What::Part(at, doings) => {
            let part = &facts.parts[*at];
            let name = part_name(part);
            let lid = (cause.behind[0] > 1).then(|| closers(facts, part, doings)).flatten();
            let roles = vec![part.role.clone()];
            let closes = |(closers, names): (Vec<String>, Vec<String>)| {
                // A single one is stuck: screws close no way alone.
                let one = closers.len() == 1 && !en::many(&called(facts, &list(&names)));
                ((en::closes(&closers, one, &name), closers.len() > 1, false), roles_of(&names))
            };
            let ((text, lists, whole), closing) =
                lid.map_or_else(|| (part_words(facts, part, doings, &name), Vec::new()), closes);
            CauseWords { text, name, roles, closing, lists, whole }
        }
    }
}

/// A cause in words, and whether they list several things.
fn action_words(doing: &Doing, name: &str) -> (String, bool) {
    if !doing.frees {
        let text = match (&doing.tool, doing.heat) {
            (_, true) => format!("\"{name}\" takes heat"),
            (Some(tool), _) => format!("\"{name}\" takes {}", en::a(tool)),
            _ => format!("\"{name}\" comes first"),
        };
        return (text, false);
    }
    // It says nothing of how the part comes out.
    if !doing.used {
        return (other_way(doing, name), false);
    }
    if !doing.destroys.is_empty() {
        return (en::destroyed(name, &doing.destroys), doing.destroys.len() > 1);
    }
    let mut what: Vec<String> = Vec::new();
    match (doing.stuck, doing.heat, doing.solvents.first(), &doing.tool) {
        (Some(sticky), ..) => return (en::stuck(name, sticky), false),
        (_, heat, solvent, tool) => {
            what.extend(heat.then(|| "heat".to_owned()));
            what.extend(solvent.map(|s| everyday(s)));
            what.extend(tool.iter().filter(|_| !heat).map(|t| en::a(t)));
        }
    }
    if !what.is_empty() {
        return (en::takes(name, &what), what.len() > 1);
    }
    if doing.screws > 0 {
        return (format!("{} hold {}", en::screws(doing.screws, doing.drives), en::the(name)), false);
    }
    (format!("{} {} off first", en::the(name), en::verb(name, "comes", "come")), false)
}

/// What is wrong with a way that no route takes.
fn other_way(doing: &Doing, name: &str) -> String {
    if !doing.destroys.is_empty() {
        return en::other_way_destroys(name, &doing.destroys);
    }
    match (doing.stuck, doing.heat, doing.solvents.first(), &doing.tool) {
        (Some(sticky), ..) => en::other_way_stuck(name, sticky),
        (_, true, ..) => en::other_way(name, "heat"),
        (_, _, Some(solvent), _) => en::other_way(name, &everyday(solvent)),
        (.., Some(tool)) => en::other_way(name, &en::a(tool)),
        _ => en::other_way_longer(name),
    }
}

/// Steps a way may have to be told as what closes it.
const SHORT_WAY: usize = 4;

/// Steps of a way up to which glue at the part is what there is to say of it.
const GLUE_TELLS: u32 = 2;

/// What closes the way to a part, with the names of what is stuck, where that is what there is to say of it.
fn closers(facts: &Facts, part: &PartFact, doings: &[Doing]) -> Option<(Vec<String>, Vec<String>)> {
    let way = part.way.as_ref().filter(|w| w.reach == Reach::Yes && doings.len() <= SHORT_WAY)?;
    // The part's own glue comes first.
    if doings.last().is_some_and(|d| d.names.contains(&way.name) && d.stuck.is_some()) {
        return None;
    }
    let (mut said, mut names): (Vec<String>, Vec<String>) = (Vec::new(), Vec::new());
    for doing in doings.iter().filter(|d| d.frees && !d.names.contains(&way.name)) {
        let Some(sticky) = doing.stuck else { continue };
        said.push(en::a_stuck(&called(facts, &list(&doing.names)), sticky));
        names.extend(doing.names.iter().cloned());
    }
    let screws: u32 = doings.iter().map(|d| d.screws).sum();
    let drives = doings.iter().map(|d| d.drives).max().unwrap_or(0);
    if screws > 0 && !said.is_empty() {
        said.push(en::screws(screws, drives));
    }
    (!said.is_empty()).then_some((said, names))
}

/// What a part costs in words, whether they list several things, and whether they say all there is of how it comes out.
fn part_words(facts: &Facts, part: &PartFact, doings: &[Doing], name: &str) -> (String, bool, bool) {
    let Some(way) = &part.way else { return (format!("the record mentions no {name}"), false, false) };
    match way.reach {
        Reach::No => return (en::out_of_reach(name), false, true),
        Reach::Damage => {
            let what = destroyed_for(facts, &way.name, &way.destroys);
            return (en::destroyed(name, &what), what.len() > 1, true);
        }
        Reach::Yes => {}
    }
    // Of a long way glue at its end is not what the part costs.
    match doings.last().filter(|d| d.names.contains(&way.name)) {
        Some(Doing { stuck: Some(sticky), .. }) if way.steps <= GLUE_TELLS => (en::stuck(name, *sticky), false, false),
        _ => {
            let what = burden(facts, part, way);
            (en::takes(name, &what), what.len() > 1, true)
        }
    }
}

/// Steps of the way to a part; at each end of the verdict where these differ.
pub(super) fn depth(facts: &Facts, part: &PartFact, way: &WayToPart) -> String {
    let steps = en::steps_at_ends(part.steps[0], way.steps, facts.attained, part.open);
    if way.proved { steps } else { en::at_most(&steps) }
}

/// The way to a part is as long at both ends of a verdict that has them: nothing else stands in its place.
pub(super) fn one_length(facts: &Facts, part: &PartFact, way: &WayToPart) -> bool {
    facts.attained && way.proved && part.steps[0] == Some(way.steps)
}

/// Steps, heat and solvent of a way; heat and solvent only where another way may not do without them.
fn burden(facts: &Facts, part: &PartFact, way: &WayToPart) -> Vec<String> {
    let mut out = vec![depth(facts, part, way)];
    if one_length(facts, part, way) {
        out.extend((!way.heats.is_empty()).then(|| "heat".to_owned()));
        out.extend(way.solvents.first().map(|s| everyday(s)));
    }
    out
}

/// The everyday word for a solvent: what stands last in its name.
fn everyday(solvent: &str) -> String {
    solvent.rsplit(' ').next().unwrap_or(solvent).to_owned()
}

/// The worse of the two heaviest parts, told longer and shorter; what was spoken of already is left out.
fn heavy(facts: &Facts, spoken_of: &[String]) -> Vec<String> {
    let two = facts.parts.iter().take(2).filter(|p| !spoken_of.contains(&p.role));
    let rank = |p: &&PartFact| (p.lost[1].clone(), p.lost[0].clone());
    let mut list: Vec<&PartFact> = two.collect();
    list.sort_by_key(|p| std::cmp::Reverse(rank(p)));
    let Some(part) = list.first() else { return Vec::new() };
    let name = part_name(part);
    let Some(way) = &part.way else { return Vec::new() };
    match way.reach {
        Reach::No => vec![en::out_of_reach(&name)],
        Reach::Damage => vec![en::destroyed(&name, &destroyed_for(facts, &way.name, &way.destroys))],
        Reach::Yes => {
            let burden = burden(facts, part, way);
            let mut out = vec![en::takes(&name, &burden)];
            if burden.len() > 1 {
                out.push(en::takes(&name, &burden[..1]));
            }
            out
        }
    }
}

/// What holds up a verdict that loses little. What is claimed of all parts holds at both ends.
fn good(facts: &Facts) -> String {
    let told: Vec<&PartFact> = facts.parts.iter().filter(|p| p.way.is_some()).collect();
    if told.is_empty() {
        return en::NOTHING_LOST_FOR_SURE.to_owned();
    }
    let much = &facts.lost.all[0] - &facts.lost.all[1] >= Exact::one();
    let steps = |p: &&PartFact| p.steps.iter().map(|s| s.filter(|n| !open_count(*n).1)).collect::<Option<Vec<u32>>>();
    let deepest = told.iter().map(steps).collect::<Option<Vec<_>>>().and_then(|all| all.into_iter().flatten().max());
    let mentioned = told.len() == facts.parts.len();
    let easy = mentioned && told.iter().all(|p| p.easy);
    en::costs_little(much, easy, deepest.filter(|_| mentioned))
}
