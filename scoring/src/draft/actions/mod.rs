//! From clauses to entries: which part the talk is about, where one action ends and the next begins, and where every
//! other cue goes.

use std::collections::{BTreeMap, BTreeSet};

use super::clause::Clause;
use super::said;
use super::segment::{DraftedAction, Segment, Status};
use super::spot::What;

mod attach;
mod turn;

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
    pub entries: Vec<DraftedAction>,
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
    /// Swallows what is put back for a while, or said again, and which of the two.
    swallow: Option<Aside>,
    elsewhere: bool,
    wanted: bool,
    summing: bool,
    /// The one part the last clauses pointed at ("it's a heat shield"), and how many clauses ago.
    pointed: Option<(String, usize)>,
    /// The part somebody set out to take off ("first job is to get the cover off"), until another is named.
    intended: Option<String>,
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
        swallow: None,
        elsewhere: false,
        wanted: false,
        summing: false,
        pointed: None,
        intended: None,
        only_named: 9,
        by_line,
    };
    let closing = said::closing(clauses);
    for (at, clause) in clauses.iter().enumerate() {
        sorter.take(clause, closing.contains(&at));
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
fn once(entries: &mut [DraftedAction]) {
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

    /// `closing`: it leads up to the closing judgement.
    fn take(&mut self, clause: &Clause, closing: bool) {
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
        self.summing = says.summing
            || said::verdict(std::slice::from_ref(clause)).is_some()
            || self.summing && !clause.opens && !fresh && clause.off.is_none();
        let passing =
            self.summing || closing || says.advice || says.warning && clause.topic.is_none() && !says.not_attempted;
        // "Contacts cleaned with alcohol", "glue drips scraped off the lens".
        let apart = |s: &super::spot::Spot| matches!(&s.what, What::Fastener { name, .. } if crate::vocab::fastener(name).is_some_and(|w| !w.adhesive));
        let cleans = says.cleaning
            && !clause.spots.iter().any(apart)
            && (self.by_line || clause.off.is_none() && clause.topic.is_none());
        if self.elsewhere || passing || cleans {
            self.aside(clause, Aside::Mentioned);
            return;
        }
        if clause.opens {
            self.opens(clause);
        }
        if says.undoing && !says.told {
            if self.current.as_ref().is_none_or(|c| c.off || c.plug_off || !c.live()) {
                self.close();
                self.swallow = Some(Aside::Back);
            }
            self.aside(clause, Aside::Back);
            return;
        }
        self.only_named += 1;
        let switched = self.turn_to(clause);
        if let Some(why) = self.swallow {
            self.aside(clause, if says.again { Aside::Twice } else { why });
            return;
        }
        self.intend(clause, switched);
        self.point(clause);
        self.attach(clause, switched);
        self.denials(clause, switched);
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
        if clause.topic.is_some() || clause.off.is_some() || self.by_line || self.swallow == Some(Aside::Twice) {
            self.swallow = None;
        }
    }
    fn close(&mut self) {
        let Some(mut current) = self.current.take() else { return };
        // "I want to take off the relay … iron and pump": what the work was for.
        if current.name.is_none()
            && current.live()
            && !current.has_screws()
            && let Some(name) = self.intended.take()
        {
            current.call(&name);
        }
        if current.name.is_none() {
            if current.live() {
                self.flush();
                self.pending = Some((current, self.place.take()));
            }
            return;
        }
        // "Under the label there's a screw", and the label comes off: the screw is still there.
        let below = if current.off { current.below() } else { None };
        let own = current.entry();
        // One plug that was only pointed at says nothing of the next part.
        let waiting = self.pending.take().filter(|(p, _)| own.is_none() || p.worked() || !p.has_only_a_plug());
        if let Some((pending, place)) = waiting {
            let takes = own.as_ref().is_some_and(|e| e.frees && e.status == Status::Done);
            // "Four screws under the label": when the label comes off they are still there.
            let under = pending.under.as_ref().is_some_and(|u| current.is(u));
            if under {
                self.pending = Some((pending, place));
            } else if takes && (current.more || !current.has_screws()) {
                current.join(&pending);
            } else if own.is_some() {
                self.push_loose(&pending, place.as_deref());
            } else {
                self.pending = Some((pending, place));
            }
        }
        self.push(current.entry());
        if let Some(below) = below
            && self.pending.is_none()
        {
            self.pending = Some((below, None));
        }
        // Where its screws were says nothing of those of the next.
        self.place = None;
    }

    fn flush(&mut self) {
        if let Some((pending, place)) = self.pending.take() {
            self.push_loose(&pending, place.as_deref());
        }
    }

    /// Fasteners that no part was named for; those of a part that is not off yet are said twice.
    fn push_loose(&mut self, loose: &Segment, place: Option<&str>) {
        let Some(entry) = loose.loose(place) else { return };
        let of = |e: &&mut DraftedAction| {
            e.frees
                && !e.off
                && e.status == Status::Done
                && entry.fasteners.iter().flatten().all(|f| {
                    f.count.said() && e.fasteners.iter().flatten().any(|own| own.name == f.name && own.count == f.count)
                })
        };
        match self.out.entries.iter_mut().rev().take(3).find(of) {
            Some(known) => known.cues.extend(entry.cues),
            None => self.push(Some(entry)),
        }
    }

    fn push(&mut self, entry: Option<DraftedAction>) {
        let Some(mut entry) = entry else { return };
        // "I'll unplug that first … battery is unplugged": once.
        if !entry.frees
            && let Some(last) =
                self.out.entries.last_mut().filter(|l| l.name == entry.name && l.fasteners == entry.fasteners)
        {
            if last.tools.is_empty() {
                last.tools = entry.tools;
            }
            last.cues.extend(entry.cues);
            return;
        }
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
