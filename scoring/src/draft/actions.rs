//! From clauses to entries: which part the talk is about, where one action ends and the next begins, and where every
//! other cue goes.

use std::collections::{BTreeMap, BTreeSet};

use super::clause::Clause;
use super::off::Off;
use super::said;
use super::segment::{Entry, Segment, Status, is_cable, same, side};
use super::spot::What;

/// Why a cue with a trade word stands in no action.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Aside {
    /// Named, pointed at, wished for, told of another device.
    Mentioned,
    /// Said again of something that was done already.
    Twice,
    /// Taken back by the speaker.
    Corrected,
    /// Said not to be there; captions lose a "not" as easily as they add one.
    Denied,
    /// Put back together.
    Back,
}

/// What became of the talk.
#[derive(Clone, Debug, Default)]
pub struct Sorted {
    /// Actions in the order they were done.
    pub entries: Vec<Entry>,
    /// Cues with a trade word that stand in no action, and why.
    pub asides: BTreeMap<usize, Aside>,
    /// Cues in which a remark was made, and whether it speaks for the device.
    pub remarks: BTreeMap<usize, bool>,
    /// How often each part was named.
    pub named: BTreeMap<String, usize>,
    /// Parts the speaker came for.
    pub wanted: BTreeSet<String>,
    /// Parts called worn or broken.
    pub worn: BTreeSet<String>,
    /// What the device cost, as a record writes it, and the cue that says so.
    pub price: Option<(String, usize)>,
    /// Cue with which putting back begins.
    pub back_from: Option<usize>,
    /// Cue that says it works again.
    pub works: Option<usize>,
    /// What the way back needs: the part, the cue, and whether it is something to buy.
    pub refits: Vec<(String, usize, bool)>,
}

struct Sorter {
    out: Sorted,
    current: Option<Segment>,
    /// Fasteners loosened before their part was named, and on which side.
    pending: Option<(Segment, Option<String>)>,
    place: Option<String>,
    last_drive: Option<String>,
    back: bool,
    /// Swallows what is put back for a while, or done again.
    swallow: bool,
    elsewhere: bool,
    wanted: bool,
    summing: bool,
    /// Clauses since a part was only named.
    only_named: usize,
    by_line: bool,
}

/// Sorts all clauses of a text. `by_line`: each clause is a line of notes or a label.
pub fn sort(clauses: &[Clause], by_line: bool) -> Sorted {
    let mut sorter = Sorter {
        out: Sorted::default(),
        current: None,
        pending: None,
        place: None,
        last_drive: None,
        back: false,
        swallow: false,
        elsewhere: false,
        wanted: false,
        summing: false,
        only_named: 9,
        by_line,
    };
    for clause in clauses {
        sorter.take(clause);
    }
    sorter.close();
    sorter.flush();
    // Last: a cue that stands in an action stands nowhere else.
    let inside: BTreeSet<usize> = sorter.out.entries.iter().flat_map(|e| e.cues.iter().copied()).collect();
    sorter.out.asides.retain(|cue, _| !inside.contains(cue));
    for clause in clauses {
        for cue in spoken_in(clause) {
            if !inside.contains(&cue) {
                sorter.out.asides.entry(cue).or_insert(Aside::Mentioned);
            }
        }
    }
    once(&mut sorter.out.entries);
    sorter.out
}

/// Each cue in the first action that has it, so that no words stand twice.
fn once(entries: &mut [Entry]) {
    let mut seen = BTreeSet::new();
    for entry in entries {
        entry.cues.retain(|cue| seen.insert(*cue));
    }
}

/// Cues of a clause that hold a trade word.
fn spoken_in(clause: &Clause) -> BTreeSet<usize> {
    clause.spots.iter().flat_map(|s| clause.tokens[s.from].cues.0..=clause.tokens[s.to - 1].cues.1).collect()
}

fn parts(clause: &Clause) -> impl Iterator<Item = &String> {
    clause.spots.iter().filter_map(|s| if let What::Part(name) = &s.what { Some(name) } else { None })
}

impl Sorter {
    fn aside(&mut self, clause: &Clause, why: Aside) {
        for cue in spoken_in(clause) {
            self.out.asides.entry(cue).or_insert(why);
        }
    }

    fn take(&mut self, clause: &Clause) {
        for name in parts(clause) {
            *self.out.named.entry(name.clone()).or_default() += 1;
        }
        let says = &clause.says;
        if (says.for_it || says.against_it)
            && !says.question
            && !says.would
            && (self.current.is_some() || self.back || !self.out.entries.is_empty())
        {
            self.out.remarks.entry(clause.cues.0).or_insert(says.for_it);
        }
        if says.worn && self.out.entries.is_empty() {
            self.out.worn.extend(parts(clause).cloned());
        }
        if self.out.price.is_none() && self.out.entries.is_empty() {
            self.out.price = said::price(&clause.tokens).map(|p| (p, clause.cues.0));
        }
        if says.putting_back && !self.out.entries.is_empty() {
            self.close();
            self.flush();
            self.back = true;
            self.out.back_from.get_or_insert(clause.cues.0);
        }
        if self.back {
            if says.back_again && !says.question && !says.would {
                self.out.works.get_or_insert(clause.cues.0);
            }
            self.refit(clause);
            self.aside(clause, Aside::Back);
            return;
        }
        let begins = clause
            .tokens
            .first()
            .is_some_and(|t| matches!(&*t.text, "so" | "okay" | "now" | "but" | "right" | "alright" | "all" | "here"));
        if says.elsewhere {
            self.elsewhere = true;
        } else if self.elsewhere && (clause.opens || begins) {
            self.elsewhere = false;
        }
        if self.wanted && parts(clause).next().is_some() && clause.off.is_none() {
            self.out.wanted.extend(parts(clause).cloned());
            self.wanted = false;
            self.aside(clause, Aside::Mentioned);
            return;
        }
        self.wanted = false;
        let loosens = clause.spots.iter().any(|s| matches!(s.what, What::Fastener { .. }));
        if says.wanted && self.out.entries.is_empty() && !loosens {
            let any = parts(clause).next().is_some();
            self.out.wanted.extend(parts(clause).cloned());
            self.wanted = !any;
            self.aside(clause, Aside::Mentioned);
            return;
        }
        let fresh = clause.topic.as_ref().is_some_and(|t| !self.freed(t));
        self.summing = says.summing || self.summing && !clause.opens && !fresh && clause.off.is_none();
        let passing = self.summing || says.advice || says.warning && clause.topic.is_none() && !says.not_attempted;
        if self.elsewhere || passing {
            self.aside(clause, Aside::Mentioned);
            return;
        }
        if clause.opens {
            self.opens(clause);
        }
        if says.undoing && !says.told {
            if self.current.as_ref().is_none_or(|c| c.off || c.plug_off || !c.live()) {
                self.close();
                self.swallow = true;
            }
            self.aside(clause, Aside::Back);
            return;
        }
        self.only_named += 1;
        let switched = self.turn_to(clause);
        if self.swallow {
            let why = if says.again { Aside::Twice } else { Aside::Back };
            self.aside(clause, why);
            return;
        }
        self.attach(clause, switched);
        self.denials(clause);
    }

    /// "A drop of glue for the feet": what the way back of something needs.
    fn refit(&mut self, clause: &Clause) {
        let said = |list: &[&str]| clause.tokens.iter().any(|t| list.contains(&&*t.text));
        let glue = clause.spots.iter().any(|s| matches!(&s.what, What::Fastener { name, .. } if crate::vocab::fastener(name).is_some_and(|w| w.adhesive || w.seal)));
        let buy = said(&["buy", "order", "replace", "new", "fresh"]);
        if !(glue || buy || said(&["careful", "forget", "grease", "paste"])) {
            return;
        }
        let freed = |name: &&String| self.out.entries.iter().any(|e| e.status == Status::Done && same(&e.name, name));
        if let Some(part) = parts(clause).find(freed).cloned() {
            self.out.refits.push((part, clause.cues.0, buy));
        }
    }

    /// A new stretch: what came off before is finished.
    fn opens(&mut self, clause: &Clause) {
        // What was only named before any work is the introduction.
        if self.out.entries.is_empty() && !self.by_line && self.pending.as_ref().is_some_and(|(p, _)| !p.worked()) {
            self.pending = None;
        }
        let intro = self.out.entries.is_empty() && self.pending.is_none();
        // What the device is called, or was bought with, loosens nothing: "the bolt twelve", "a cordless drill".
        if intro && !self.by_line && self.current.as_ref().is_some_and(|c| !c.worked() && !c.declined) {
            self.current = None;
        }
        if self.by_line
            || self
                .current
                .as_ref()
                .is_some_and(|c| intro && c.name.is_some() && !c.any() || c.off || c.declined || c.plug_alone())
        {
            self.close();
        }
        if clause.topic.is_some() || clause.off.is_some() {
            self.swallow = false;
        }
    }

    /// Finds what the clause is about and opens it, if it is something new. True where it is named here.
    fn turn_to(&mut self, clause: &Clause) -> bool {
        let plug = plugged(clause);
        let (acts, weak) =
            if let Some(Off::Part { acts, weak, .. }) = &clause.off { (*acts, *weak) } else { (false, false) };
        let (name, off) = match (&clause.off, &clause.topic, &clause.holder, &plug) {
            (Some(Off::Part { name, .. }), ..) => (name, true),
            (_, Some(name), ..) => (name, false),
            (_, _, Some(name), _) if !self.current.as_ref().is_some_and(|c| c.name.is_some() && !c.off && c.live()) => {
                (name, false)
            }
            (_, _, _, Some(name)) => (name, false),
            _ if self.by_line => return self.line(clause),
            _ => return false,
        };
        let another = name.ends_with(" one");
        // "There's a button on each side, squeeze": what is pressed holds something, and is no part worked on.
        let pressed = |w: &str| matches!(w, "squeeze" | "press" | "pressing" | "squeezing" | "hold" | "push" | "pinch");
        let catch = |n: &str| {
            matches!(
                n.rsplit(' ').next().unwrap_or(n),
                "button" | "buttons" | "lever" | "levers" | "key" | "release" | "slider"
            )
        };
        if catch(name) && !off && clause.tokens.iter().any(|t| pressed(&t.text)) {
            return false;
        }
        let name = &self.unsided(name, clause);
        let name = self.other(name);
        let done = !another && self.freed(&name);
        // "The switch is off" says nothing of a screwdriver.
        let powered = |n: &str| {
            matches!(
                n.rsplit(' ').next().unwrap_or(n),
                "switch"
                    | "light"
                    | "lights"
                    | "led"
                    | "display"
                    | "screen"
                    | "power"
                    | "supply"
                    | "heater"
                    | "key"
                    | "button"
            )
        };
        if weak && powered(&name) && !self.current.as_ref().is_some_and(|c| c.is(&name) && c.live()) {
            return false;
        }
        if self.current.as_ref().is_some_and(|c| c.is(&name) && !another && !(clause.says.again && done)) {
            if let Some(current) = &mut self.current {
                current.call(&name);
                if off {
                    current.came_off(clause.cues.1);
                }
            }
            return true;
        }
        if done && off && self.current.as_ref().is_none_or(|c| c.name.is_none()) && self.finish(&name, clause) {
            return true;
        }
        if done && !self.current.as_ref().is_some_and(|c| c.is(&name)) {
            if clause.says.again || off {
                self.close();
                self.swallow = true;
            }
            return false;
        }
        // Another word for what is being taken off.
        let mentioned = self.out.named.get(&name).copied().unwrap_or(0) > 1;
        if let Some(current) = self.current.as_mut().filter(|c| c.name.is_some() && !c.off) {
            let renames = off && !acts && !another && current.live() && !current.gave_up();
            let explains = !another && self.only_named == 1 && !current.any() && points(clause) || identifies(clause);
            let wire = is_cable(&name) && current.live() && !off;
            if renames && !(mentioned && known_elsewhere(&self.out, &name, current)) || explains {
                current.call(&name);
                if off {
                    current.came_off(clause.cues.1);
                }
                return true;
            }
            if wire {
                return false;
            }
        }
        if let Some(current) = self.current.as_mut().filter(|c| c.name.is_none())
            && (off || clause.holder.as_ref() == Some(&name))
        {
            current.call(&name);
            if off {
                current.came_off(clause.cues.1);
            }
            self.swallow = false;
            return true;
        }
        let told = !clause.opens && self.current.as_ref().is_some_and(Segment::is_told) && !begins_anew(clause);
        self.close();
        self.swallow = false;
        let mut fresh = Segment::named(&name);
        if told {
            fresh.hearsay();
        }
        fresh.listed = self.by_line;
        if off {
            fresh.came_off(clause.cues.1);
        }
        if !off && clause.spots.len() == 1 {
            self.only_named = 0;
        }
        self.current = Some(fresh);
        true
    }

    /// The release of something whose fasteners were loosened before other things came in between. True where there is one.
    fn finish(&mut self, name: &str, clause: &Clause) -> bool {
        let Some(entry) = self
            .out
            .entries
            .iter_mut()
            .rev()
            .find(|e| e.frees && !e.off && e.status == Status::Done && same(&e.name, name))
        else {
            return false;
        };
        entry.off = true;
        if let Some(current) = self.current.take() {
            current.adds_to(entry);
        }
        entry.rests_on.insert(clause.cues.1);
        entry.cues.extend(spoken_in(clause));
        true
    }

    /// A line of notes or a label is about the first part it names.
    fn line(&mut self, clause: &Clause) -> bool {
        let Some(name) = parts(clause).next().cloned() else { return false };
        if self.freed(&name) {
            return false;
        }
        self.close();
        let mut fresh = Segment::named(&name);
        fresh.listed = true;
        self.current = Some(fresh);
        true
    }

    /// "Right lid's off": where nobody spoke of a left one, "right" starts the sentence.
    fn unsided(&self, name: &str, clause: &Clause) -> String {
        let rest = name.strip_prefix("right ").filter(|_| clause.tokens.first().is_some_and(|t| t.text == "right"));
        match rest {
            Some(rest) if !self.out.named.contains_key(&format!("left {rest}")) => rest.to_owned(),
            _ => name.to_owned(),
        }
    }

    /// "The right one" after "left motor" is the right motor.
    fn other(&self, name: &str) -> String {
        let Some(side) = name.strip_suffix(" one") else { return name.to_owned() };
        let last = self
            .current
            .as_ref()
            .and_then(|c| c.name.clone())
            .or_else(|| self.out.entries.last().map(|e| e.name.clone()));
        let sides = ["left", "right", "other", "upper", "lower", "front", "rear", "top", "bottom", "second", "first"];
        match last {
            Some(last) => {
                let kept: Vec<&str> = last.split(' ').filter(|w| !sides.contains(w)).collect();
                format!("{side} {}", kept.join(" "))
            }
            None => name.to_owned(),
        }
    }

    fn freed(&self, name: &str) -> bool {
        // What came out as one piece with another may still come off it.
        let is = |e: &Entry| {
            same(&e.name, name) && (e.name == name || !e.name.contains(" and "))
                || e.also.iter().any(|n| n == name && n.contains(' '))
        };
        self.out.entries.iter().any(|e| e.frees && e.status == Status::Done && is(e))
            && !self.out.entries.iter().any(|e| {
                e.status != Status::Done
                    && e.name == name
                    && !self.out.entries.iter().any(|d| d.status == Status::Done && d.name == name)
            })
    }

    fn attach(&mut self, clause: &Clause, named: bool) {
        let says = &clause.says;
        let loosens = clause.spots.iter().any(|s| !s.denied && matches!(s.what, What::Fastener { .. }));
        let works =
            loosens || clause.spots.iter().any(|s| !s.denied && matches!(s.what, What::Tool(_) | What::Drive(_)));
        if let Some(side) = side(clause).filter(|_| loosens) {
            self.place = Some(side);
        }
        if says.again && !named && clause.spots.iter().any(|s| matches!(s.what, What::Fastener { verb: true, .. })) {
            self.aside(clause, Aside::Twice);
            return;
        }
        // Something loosened behind a part that is off belongs to what comes next.
        if let Some(current) = &mut self.current
            && current.off
            && !named
        {
            current.since_off += 1;
            let counted = clause
                .spots
                .iter()
                .any(|s| !s.denied && matches!(&s.what, What::Fastener { count, verb, .. } if count.said() || *verb));
            let late = current.since_off > 2 || current.has_fasteners();
            let only_hands = clause
                .spots
                .iter()
                .all(|s| matches!(&s.what, What::Tool(t) if t == "hands") || matches!(s.what, What::Part(_)));
            let known = clause.spots.iter().all(|s| match &s.what {
                What::Fastener { name, count, .. } => current.knows(name, *count),
                _ => true,
            });
            let driven = clause.spots.iter().any(|s| matches!(&s.what, What::Fastener { name, .. } if crate::vocab::fastener(name).is_some_and(|w| w.driven)));
            if works && (late || driven) && !(only_hands && current.since_off <= 1) {
                let broke = clause
                    .tokens
                    .iter()
                    .any(|t| matches!(&*t.text, "broke" | "broken" | "snapped" | "cracked" | "lost" | "missing"));
                if known || broke {
                    self.aside(clause, Aside::Twice);
                    return;
                }
                if counted && !says.would && !says.question {
                    self.close();
                } else {
                    self.aside(clause, Aside::Mentioned);
                    return;
                }
            }
        }
        if self.current.is_none() && works && !says.would && !says.question {
            self.current = Some(Segment::nameless(self.by_line));
        }
        let Some(current) = &mut self.current else {
            self.aside(clause, Aside::Mentioned);
            return;
        };
        if says.question && !loosens && !named {
            self.aside(clause, Aside::Mentioned);
            return;
        }
        let corrected = current.hear(clause, &mut self.last_drive);
        if let Some(Off::It { plug }) = clause.off
            && !says.would
        {
            current.it_came_off(plug, clause.cues.1);
        }
        current.cues.extend(spoken_in(clause));
        for cue in corrected {
            self.out.asides.insert(cue, Aside::Corrected);
        }
    }

    /// Cues that hold nothing but what is said not to be there.
    fn denials(&mut self, clause: &Clause) {
        if clause.spots.iter().any(|s| s.denied)
            && clause.spots.iter().all(|s| s.denied || matches!(s.what, What::Part(_)))
        {
            let cues = spoken_in(clause);
            if let Some(current) = &mut self.current {
                current.cues.retain(|c| !cues.contains(c));
            }
            for cue in cues {
                self.out.asides.insert(cue, Aside::Denied);
            }
        }
    }

    fn close(&mut self) {
        let Some(mut current) = self.current.take() else { return };
        if current.name.is_none() {
            if current.live() {
                self.flush();
                self.pending = Some((current, self.place.take()));
            }
            return;
        }
        let own = current.entry();
        if let Some((pending, place)) = self.pending.take() {
            let takes = own.as_ref().is_some_and(|e| e.frees && e.status == Status::Done);
            // "Four screws under the label": when the label comes off they are still there.
            let under = pending.under.as_ref().is_some_and(|u| current.is(u));
            if under {
                self.pending = Some((pending, place));
            } else if takes && !current.has_screws() {
                current.join(&pending);
            } else if own.is_some() {
                self.push(pending.loose(place.as_deref()));
            } else {
                self.pending = Some((pending, place));
            }
        }
        self.push(current.entry());
    }

    fn flush(&mut self) {
        if let Some((pending, place)) = self.pending.take() {
            self.push(pending.loose(place.as_deref()));
        }
    }

    fn push(&mut self, entry: Option<Entry>) {
        let Some(mut entry) = entry else { return };
        // A `do` needs a name of its own.
        let base = entry.name.clone();
        let mut n = 2;
        while !entry.frees && self.out.entries.iter().any(|e| e.name == entry.name) {
            entry.name = format!("{base} {n}");
            n += 1;
        }
        self.out.entries.push(entry);
    }
}

/// Whether a name belongs to something else that was talked of.
fn known_elsewhere(out: &Sorted, name: &str, current: &Segment) -> bool {
    out.entries.iter().any(|e| same(&e.name, name) && !current.is(name))
}

/// "That's …", "this is …": explains what was named a moment ago.
fn points(clause: &Clause) -> bool {
    let word = |i: usize| clause.tokens.get(i).map_or("", |t| &*t.text);
    matches!(word(0), "that" | "this" | "these") && matches!(word(1), "'s" | "is" | "are")
}

/// "Now", "okay", "so": the speaker turns to the bench again.
fn begins_anew(clause: &Clause) -> bool {
    clause
        .tokens
        .first()
        .is_some_and(|t| matches!(&*t.text, "so" | "okay" | "now" | "next" | "then" | "right" | "here"))
}

/// "It's a module": says what the thing at hand is.
fn identifies(clause: &Clause) -> bool {
    let word = |i: usize| clause.tokens.get(i).map_or("", |t| &*t.text);
    matches!((word(0), word(1)), ("it" | "they", "'s" | "is" | "'re" | "are"))
        && clause.off.as_ref().is_none_or(|o| matches!(o, Off::It { .. }))
}

/// What a verb for plugs is said of: "unplug the battery", "the battery connector".
fn plugged(clause: &Clause) -> Option<String> {
    let verb = clause
        .spots
        .iter()
        .find(|s| !s.denied && matches!(s.what, What::Fastener { verb: true, name: "connector", .. }))?;
    clause.spots.iter().filter(|s| s.from >= verb.to && s.from - verb.to < 5).find_map(|s| match &s.what {
        What::Part(name) => Some(name.clone()),
        What::Fastener { of, .. } if !of.is_empty() => Some(of.clone()),
        _ => None,
    })
}
