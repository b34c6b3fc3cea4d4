//! The entry a segment comes to.

use std::collections::BTreeSet;

use super::names::is_cable;
use super::{DraftedAction, Fastener, Segment, Status};
use crate::draft::count::Count;

impl Segment {
    /// Takes over what was loosened before its part was named.
    pub(in crate::draft) fn join(&mut self, before: &Segment) {
        for said in before.fasteners.iter().rev() {
            let same =
                self.fasteners.iter().position(|f| f.what.name == said.what.name && f.what.drive == said.what.drive);
            match same {
                Some(at) if self.more => {
                    let own = &mut self.fasteners[at].what.count;
                    *own = match (*own, said.what.count) {
                        (Count::Is(a), Count::Is(b)) => Count::Is(a + b),
                        _ => Count::Unknown,
                    };
                }
                Some(at) if !self.fasteners[at].what.count.said() => self.fasteners[at].what.count = said.what.count,
                Some(_) if !said.what.count.said() => {}
                _ => self.fasteners.insert(0, said.clone()),
            }
        }
        for tool in before
            .tools
            .iter()
            .rev()
            .filter(|t| !self.tools.iter().any(|own| own.what == t.what))
            .cloned()
            .collect::<Vec<_>>()
        {
            self.tools.insert(0, tool);
        }
        self.rests_on.extend(&before.rests_on);
        self.cues.extend(&before.cues);
    }

    /// What kind of screws nobody named a part for: "back screws".
    pub(in crate::draft) fn loose_name(&self, place: Option<&str>) -> String {
        let first = self.fasteners.first().map_or("fasteners", |f| f.what.name);
        let plural =
            if first.ends_with('h') || first.ends_with('s') { format!("{first}es") } else { format!("{first}s") };
        match (place, &*self.of) {
            (_, of) if !of.is_empty() => format!("{of} {plural}"),
            (Some(place), _) => format!("{place} {plural}"),
            _ => plural,
        }
    }

    /// The entry it comes to; `None` where a thing was only talked of.
    pub(in crate::draft) fn entry(&self) -> Option<DraftedAction> {
        let name = self.name.clone()?;
        let tried = self.tried || self.tools.iter().any(|t| !t.would);
        let status = if self.told && !self.off {
            Status::Told
        } else if self.declined && !self.off && !self.plug_off {
            // That a cable stays where it is says nothing of a part.
            let glued = self.fasteners.iter().any(|f| adhesive_word(f.what.name));
            if !(self.any() || self.alike) || is_cable(&name) && !glued {
                return None;
            }
            if self.failed && tried && !self.tools.is_empty() { Status::Failed } else { Status::NotAttempted }
        } else if self.failed && !self.off && !self.plug_off && (tried || self.listed) {
            Status::Failed
        } else if self.failed && !self.off && !self.plug_off && self.any() {
            // Given up before anything was tried.
            Status::NotAttempted
        } else {
            Status::Done
        };
        let keep = |would: bool| !would || matches!(status, Status::Told | Status::NotAttempted);
        let fasteners: Vec<Fastener> =
            self.fasteners.iter().filter(|f| keep(f.would)).map(|f| f.what.clone()).collect();
        let mut tools: Vec<String> = self.tools.iter().filter(|t| keep(t.would)).map(|t| t.what.clone()).collect();
        // "Pozi two … a long screwdriver": one tool.
        if tools.iter().any(|t| crate::vocab::drive::drive(t).is_some()) {
            tools.retain(|t| t != "screwdriver");
        }
        if status == Status::Told && fasteners.is_empty() && tools.is_empty() {
            return None;
        }
        let plugs = !fasteners.is_empty() && fasteners.iter().all(|f| f.name == "connector");
        // Unplugged, and nobody said that it came off: what holds the part itself is told of later, if at all.
        let holds = |f: &Fastener| {
            crate::vocab::fastener(f.name).is_some_and(|w| w.driven || w.adhesive) && f.name != "film adhesive"
                || f.name == "clip" && matches!(f.count, Count::Is(3..) | Count::Between(..))
        };
        let unplugged = self.unplugged && !fasteners.iter().any(holds);
        let small = |f: &Fastener| matches!(f.name, "clip" | "connector");
        let frees = match status {
            // "Flip the latch up, slide the ribbon out": it still hangs on what it leads to.
            Status::Done if self.off && is_cable(&name) && !fasteners.is_empty() => !fasteners.iter().all(small),
            Status::Done => self.off || !(plugs || unplugged || is_cable(&name)),
            _ => true,
        };
        // "Right stick: same" says that it was done likewise.
        let settled = self.off || self.plug_off || self.listed && (self.nothing || self.live() || self.alike);
        // What only says how a thing is held tells of no work: neither a number, nor a tool, nor that it came off.
        let weak = |f: &Fastener| {
            !f.count.said() || matches!(f.name, "press fit" | "weld" | "heat stake" | "rivet") || adhesive_word(f.name)
        };
        // A cable pushed aside is no joint undone.
        if status == Status::Done && !settled && fasteners.is_empty() && is_cable(&name) {
            return None;
        }
        if status == Status::Done && !settled && tools.is_empty() && fasteners.iter().all(weak) {
            return None;
        }
        let fasteners = if !fasteners.is_empty() {
            Some(fasteners)
        } else if self.nothing {
            Some(Vec::new())
        } else {
            None
        };
        let list = fasteners.iter().flatten();
        let plug = list.clone().find(|f| f.name == "connector").filter(|_| self.unplugged);
        let first = plug.or_else(|| list.clone().next()).map_or("", |f| f.name);
        let leads = (name.ends_with("flex") || name.ends_with("ribbon")) && list.clone().any(|f| f.name == "connector");
        let verb = match first {
            _ if leads => "unplug",
            "connector" => "unplug",
            "" if is_cable(&name) => "unplug",
            "solder" => "desolder",
            "clip" if is_cable(&name) => "unplug",
            "clip" => "unclip",
            "screw" => "unscrew",
            _ => "loosen",
        };
        let name = if frees { name } else { format!("{verb} {name}") };
        Some(DraftedAction {
            frees,
            name,
            also: self.also.clone(),
            tools,
            fasteners,
            status,
            off: self.off || self.plug_off,
            because: if matches!(status, Status::Failed | Status::NotAttempted) {
                self.because.clone()
            } else {
                BTreeSet::new()
            },
            rests_on: if self.rests_on.is_empty() { self.cues.clone() } else { self.rests_on.clone() },
            cues: self.cues.clone(),
        })
    }

    /// The entry of fasteners that were loosened for no part that was named.
    pub(in crate::draft) fn loose(&self, place: Option<&str>) -> Option<DraftedAction> {
        let named = Segment { name: Some(self.loose_name(place)), off: false, plug_off: true, ..self.clone() };
        // One plug or one strip of glue that was only named is nothing done.
        if !self.fasteners.iter().any(|f| !f.would) || !self.worked() {
            return None;
        }
        let entry = named.entry()?;
        Some(DraftedAction { frees: false, name: self.loose_name(place), ..entry })
    }
}

fn adhesive_word(name: &str) -> bool {
    crate::vocab::fastener(name).is_some_and(|w| w.adhesive)
}
