//! What a clause is about: the part at hand under its own or another name, one that is finished later, or something new.

use super::{Aside, Sorted, Sorter, parts, spoken_in};
use crate::draft::clause::Clause;
use crate::draft::off::Off;
use crate::draft::segment::{DraftedAction, Segment, Status, end_alike, is_cable, same};
use crate::draft::spot::{LISTS, What};

/// Entries back among which something that would not come may still have come.
const RECENT: usize = 3;

impl Sorter {
    /// Finds what the clause is about and opens it, if it is something new. True where it is named here.
    pub(super) fn turn_to(&mut self, clause: &Clause) -> bool {
        // "We'll leave the shield on", behind work on something nobody named.
        if clause.says.not_attempted
            && let [name] = parts(clause).collect::<Vec<_>>()[..]
            && let Some(current) = self.current.as_mut().filter(|c| c.name.is_none() && c.live())
        {
            current.call(name);
            return true;
        }
        let plug = plugged(clause);
        let (acts, weak) =
            if let Some(Off::Part { acts, weak, .. }) = &clause.off { (*acts, *weak) } else { (false, false) };
        let (name, off) = match (&clause.off, &clause.topic, &clause.holder, &plug) {
            (Some(Off::Part { name, .. }), ..) => (name, true),
            (_, Some(_), ..) if self.lists_plugs(clause) => return false,
            (_, Some(name), ..) => (name, false),
            (_, _, Some(name), _) if !self.current.as_ref().is_some_and(|c| c.name.is_some() && !c.off && c.live()) => {
                (name, false)
            }
            (_, _, _, Some(name)) => (name, false),
            _ if self.by_line && clause.opens => return self.line(clause),
            _ => return false,
        };
        let another = name.ends_with(" one");
        // "Two long ones at the back, and the front one": of the screws at hand.
        if another && self.current.as_ref().is_some_and(|c| !c.off && (c.has_screws() || c.has_drive())) {
            return false;
        }
        // "I melt this one, and the other one": of the joints at hand.
        if name == "other one" && !off && self.current.as_ref().is_some_and(|c| !c.off && c.has_fasteners()) {
            return false;
        }
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
        // "And here's the second foot": one more of those at hand.
        if !off && self.one_more(name) {
            return false;
        }
        let name = &self.unsided(name, clause);
        let name = self.other(name);
        // Notes that come back to a part on a line of its own, to say that it would not come: tried once more.
        let anew = self.by_line && (clause.says.tried || clause.says.failed || clause.says.not_attempted);
        let done = !another && !anew && self.freed(&name);
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
        if off && self.current.as_mut().is_some_and(|c| c.gives_way_to(&name)) {
            if let Some(current) = &mut self.current {
                current.came_off(clause.cues.1);
            }
            return true;
        }
        // "It's still not coming … now the board slides out": what held it was found.
        if off && let Some(at) = self.given_up(&name) {
            self.close();
            let entry = &mut self.out.entries[at];
            (entry.status, entry.off) = (Status::Done, true);
            entry.because.clear();
            entry.cues.extend(spoken_in(clause));
            return false;
        }
        // "One more screw under the sticker. I peel that off": what lies under it goes on.
        if off && !done && self.current.as_ref().is_some_and(|c| c.lies_under(&name)) {
            let mut cover = Segment::named(&name);
            cover.came_off(clause.cues.1);
            self.push(cover.entry());
            return false;
        }
        // "Up it comes, so the top cover's off": said of the plastic cover a moment ago.
        if off
            && weak
            && !done
            && let Some(current) = self.current.as_mut().filter(|c| c.off && c.since_off <= 2 && c.ends_like(&name))
        {
            current.also.push(name.clone());
            current.cues.extend(spoken_in(clause));
            return true;
        }
        // The same with a cable in between that was only pointed at.
        if off
            && weak
            && !done
            && self.only_named <= 2
            && self.current.as_ref().is_some_and(|c| !c.any())
            && let Some(last) = self.out.entries.last_mut().filter(|e| e.frees && e.off && end_alike(&e.name, &name))
        {
            last.also.push(name.clone());
            last.cues.extend(spoken_in(clause));
            self.current = None;
            return false;
        }
        // Unplugged before; what holds the part itself is told of now.
        let holds = clause.spots.iter().any(|s| {
            !s.denied
                && matches!(&s.what, What::Fastener { name, .. } if crate::vocab::fastener(name).is_some_and(|w| w.adhesive || w.driven))
        });
        if holds && self.current.as_ref().is_some_and(|c| c.is(&name) && c.plug_alone()) {
            self.close();
        }
        // "Blades next, five bolts: the guard is off, and the blades slide out": off twice under two names are two parts,
        // and what was loosened held the first.
        if off
            && let Some(current) = self.current.as_mut().filter(|c| c.off && c.name.as_deref() == Some(&*name))
            && let Some(first) = current.renamed.take()
        {
            current.also.retain(|a| *a != first);
            current.name = Some(first);
            self.close();
            let mut fresh = Segment::named(&name);
            fresh.came_off(clause.cues.1);
            self.current = Some(fresh);
            return true;
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
        // "And the battery comes out", whose screws were undone before the fan came in between: not off until now.
        let open = self.out.entries.iter().rev().find(|e| e.frees && e.status == Status::Done && same(&e.name, &name));
        let open = open.is_some_and(|e| !e.off);
        if done && off && open && self.current.as_ref().is_some_and(|c| c.name.is_some()) {
            self.close();
        }
        // Notes come back to a part on a line of its own: what that line says of it is its own.
        let line = done && off && self.by_line && self.current.is_none() && open;
        if line {
            let mut more = Segment::nameless(true);
            more.hear(clause, &mut self.last_drive, None);
            self.current = Some(more);
        }
        if done && off && self.current.as_ref().is_none_or(|c| c.name.is_none()) && self.finish(&name, clause) {
            if line {
                self.swallow = Some(Aside::Twice);
            }
            return true;
        }
        if done && !self.current.as_ref().is_some_and(|c| c.is(&name)) {
            if clause.says.again || off {
                self.close();
                self.swallow = Some(Aside::Twice);
            }
            return false;
        }
        // "The main board: flip the latch up and slide the ribbon out": what was undone was the ribbon's.
        if off
            && is_cable(&name)
            && let Some(current) = self.current.as_mut()
            && current.name.is_some()
            && current.gives_cable(&name)
        {
            current.cues.extend(spoken_in(clause));
            return true;
        }
        // "The top shell: there's a ribbon between, so mind it": not what is worked on, whose screws are out already.
        let existential = clause.tokens.iter().take(3).any(|t| t.text == "there") && !off;
        let mention = existential
            && is_cable(&name)
            && self.pending.is_some()
            && !clause.spots.iter().any(|s| matches!(s.what, What::Fastener { .. }));
        if mention && self.current.as_ref().is_some_and(|c| c.name.is_some() && !c.off) {
            return false;
        }
        // "The board: two screws, and the cable is out, and now the board is free".
        let between = |c: &Segment| c.name.as_deref().is_some_and(|n| !is_cable(n)) && !c.off && c.has_screws();
        if off && is_cable(&name) && self.current.as_ref().is_some_and(between) {
            let mut plug = Segment::named(&name);
            plug.plug_came_off(clause.cues.1);
            self.push(plug.entry());
            return false;
        }
        // Another word for what is being taken off.
        let mentioned = self.out.named.get(&name).copied().unwrap_or(0) > 1;
        if let Some(current) = self.current.as_mut().filter(|c| c.name.is_some() && !c.off) {
            // A cable that was only pushed aside is not what comes off.
            let aside = current.name.as_deref().is_some_and(is_cable) && !current.has_fasteners();
            let renames = off && !acts && !another && !aside && current.live() && !current.gave_up();
            let explains = !another && self.only_named == 1 && !current.any() && points(clause) || identifies(clause);
            // Wires that come out of what is worked on are not what comes off.
            let bare = matches!(&*name, "wire" | "wires" | "cable" | "cables" | "leads");
            // "The switch: it's got two leads": its own.
            let its = bare && !off && clause.tokens.iter().take(3).any(|t| matches!(&*t.text, "got" | "has"));
            if its {
                return false;
            }
            let own = current.plug_alone()
                && clause.spots.iter().any(|s| matches!(s.what, What::Fastener { name, .. } if name != "connector"));
            let wire = is_cable(&name) && current.live() && (!off || bare) && !own;
            if renames && !(mentioned && known_elsewhere(&self.out, &name, current)) || explains {
                if off && !current.is(&name) {
                    current.renamed = Some(name.clone());
                }
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
            self.swallow = None;
            return true;
        }
        let told = !clause.opens && self.current.as_ref().is_some_and(Segment::is_told) && !begins_anew(clause);
        self.close();
        self.swallow = None;
        let mut fresh = Segment::named(&name);
        if told {
            fresh.hearsay();
        }
        fresh.listed = self.by_line;
        // The words that name it are told of it, whatever else they say.
        fresh.cues.extend(spoken_in(clause));
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
        // "The hoses are off, one screw, and the pump lifts out": it was not off before.
        let late = self.current.as_ref().is_some_and(|c| c.live() && c.has_fasteners());
        let Some(entry) = self
            .out
            .entries
            .iter_mut()
            .rev()
            .enumerate()
            .find(|(back, e)| {
                e.frees && (!e.off || *back == 0 && late) && e.status == Status::Done && same(&e.name, name)
            })
            .map(|(_, e)| e)
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

    /// "Three plugs: / motor, switch and the timer": only names, behind several plugs, say where those lead.
    fn lists_plugs(&self, clause: &Clause) -> bool {
        let inside = |i: usize| clause.spots.iter().any(|s| (s.from..s.to).contains(&i));
        let names = clause.spots.len() > 1 && clause.spots.iter().all(|s| matches!(s.what, What::Part(_)));
        let only =
            clause.tokens.iter().enumerate().all(|(i, t)| {
                inside(i) || matches!(&*t.text, "the" | "and" | "a" | "one" | "for" | "to" | "that" | "'s")
            });
        names && only && self.current.as_ref().is_some_and(Segment::has_plugs)
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

    /// The entry of something that would not come, a short while ago.
    fn given_up(&self, name: &str) -> Option<usize> {
        let recent = self.out.entries.len().saturating_sub(RECENT);
        let failed =
            |e: &DraftedAction| e.frees && e.status == Status::Failed && (e.name == name || end_alike(&e.name, name));
        (recent..self.out.entries.len()).rev().find(|at| failed(&self.out.entries[*at]))
    }

    /// Whether a name is one more of what was named in the plural, at hand or done just before.
    fn one_more(&self, name: &str) -> bool {
        let Some((first, rest)) = name.split_once(' ') else { return false };
        if !matches!(first, "second" | "third" | "fourth" | "last" | "other" | "next") {
            return false;
        }
        let many = |whole: &str| {
            let last = whole.rsplit(' ').next().unwrap_or(whole);
            last != rest
                && (last == "feet" && rest == "foot" || crate::vocab::words::singulars(last).iter().any(|s| s == rest))
        };
        let at_hand = self.current.as_ref().and_then(|c| c.name.as_deref());
        at_hand.or(self.out.entries.last().map(|e| &*e.name)).is_some_and(many)
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
        let sides =
            ["left", "right", "other", "upper", "lower", "front", "back", "rear", "top", "bottom", "second", "first"];
        match last {
            Some(last) => {
                let kept: Vec<&str> = last.split(' ').filter(|w| !sides.contains(w)).collect();
                let kept = kept.join(" ");
                // "Side panels now, the left one": one of them.
                let single = crate::vocab::words::singulars(&kept).pop();
                let single = single.filter(|s| LISTS.heads.contains(s.rsplit(' ').next().unwrap_or(s)));
                format!("{side} {}", single.unwrap_or(kept))
            }
            None => name.to_owned(),
        }
    }

    pub(super) fn freed(&self, name: &str) -> bool {
        // What came out as one piece with another may still come off it.
        let is = |e: &DraftedAction| {
            // "The board" is out, and now "the usb board": there are several.
            let generic = matches!(&*e.name, "board" | "pcb" | "cover" | "plate" | "panel" | "switch" | "switch unit")
                && e.also.is_empty()
                && name.contains(' ');
            !generic && same(&e.name, name) && (e.name == name || !e.name.contains(" and "))
                || e.also.iter().any(|n| n == name && n.contains(' '))
        };
        self.out.entries.iter().any(|e| e.frees && e.status == Status::Done && is(e))
            && !self.out.entries.iter().any(|e| {
                e.status != Status::Done
                    && e.name == name
                    && !self.out.entries.iter().any(|d| d.status == Status::Done && d.name == name)
            })
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
    // "It's got a ribbon", "it's on two screws": what it has, not what it is.
    let has = matches!(
        word(2),
        "got" | "held" | "on" | "in" | "under" | "behind" | "stuck" | "glued" | "attached" | "connected"
    );
    matches!((word(0), word(1)), ("it" | "they", "'s" | "is" | "'re" | "are"))
        && !has
        && clause.off.as_ref().is_none_or(|o| matches!(o, Off::It { .. }))
}

/// What a verb for plugs is said of: "unplug the battery", "the battery connector".
fn plugged(clause: &Clause) -> Option<String> {
    let verb = clause
        .spots
        .iter()
        .find(|s| !s.denied && matches!(s.what, What::Fastener { verb: true, name: "connector", .. }))?;
    // "Get the battery disconnected."
    let before = clause.spots.iter().find(|s| s.to == verb.from && clause.tokens[verb.from].text.ends_with("ed"));
    if let Some(What::Part(name)) = before.map(|s| &s.what) {
        return Some(name.clone());
    }
    // "Disconnect that": of what was named before.
    if clause.tokens.get(verb.to).is_some_and(|t| matches!(&*t.text, "that" | "it" | "those" | "them" | "these")) {
        let before = clause.spots.iter().rev().filter(|s| s.to <= verb.from).find_map(|s| match &s.what {
            What::Part(name) => Some(name.clone()),
            _ => None,
        });
        return before;
    }
    clause.spots.iter().filter(|s| s.from >= verb.to && s.from - verb.to < 7).find_map(|s| match &s.what {
        What::Part(name) => Some(name.clone()),
        What::Fastener { of, .. } if !of.is_empty() => Some(of.clone()),
        _ => None,
    })
}
