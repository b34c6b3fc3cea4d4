//! A device as the text of a record.

use std::fmt::{Display, Write as _};

use super::*;
use scoring::record::{Record, read};
use scoring::text::{Source, Sources};

impl World {
    fn thing(&self, thing: usize) -> String {
        if thing < self.parts.len() { format!("p{thing}") } else { format!("d{}", thing - self.parts.len()) }
    }

    /// A value, or `unknown` where it is hidden.
    fn say(&self, what: Hidden, value: impl Display) -> String {
        if self.hidden.contains(&what) { "unknown".to_owned() } else { value.to_string() }
    }

    /// The record as somebody would write it.
    pub(crate) fn text(&self) -> String {
        let mut out = String::from("unfasten: 1\n");
        let _ = writeln!(
            out,
            "device:\n  name: Random\n  category: {}\n  price: 100 EUR\n  ingress: {}\n  battery: {{cycles: {}, \
             capacity after 500 cycles: {}, capacity after 1000 cycles: {}}}\n  endurance: {{power key: {}, volume \
             keys: {}, charging port: {}}}",
            self.category,
            self.ingress_text(),
            self.say(Hidden::Cycles, self.cycles),
            self.say(Hidden::Capacity500, format!("{} %", self.capacity.0)),
            self.say(Hidden::Capacity1000, format!("{} %", self.capacity.1)),
            self.say(Hidden::Endurance(0), self.endurance[0]),
            self.say(Hidden::Endurance(1), self.endurance[1]),
            self.say(Hidden::Endurance(2), self.endurance[2])
        );
        if ["smartphone", "slate tablet"].contains(&self.category) {
            let _ = writeln!(out, "  form: {}", if self.folding { "folding" } else { "not folding" });
        }
        if !self.own.is_empty() {
            let own: Vec<String> = self.own.iter().map(|(r, w)| format!("{r}: {{weight: {w}}}")).collect();
            let _ = writeln!(out, "roles: {{{}}}", own.join(", "));
        }
        out += "tools:\n";
        for (i, tool) in self.tools.iter().enumerate() {
            let heat = if tool.heat { ", heat: yes" } else { "" };
            let solvent = if tool.solvent { ", solvent: yes" } else { "" };
            let class = self.say(Hidden::Class(i), CLASSES[tool.class]);
            let _ = writeln!(out, "  tool{i}: {{class: {class}{heat}{solvent}}}");
        }
        out += "fasteners:\n";
        for (k, kind) in KINDS.iter().enumerate() {
            let _ = writeln!(out, "  dry{k}: {{kind: {kind}}}\n  glue{k}: {{kind: {kind}, adhesive: yes}}");
        }
        out += "parts:\n";
        for (i, part) in self.parts.iter().enumerate() {
            let paired = self.say(Hidden::Paired(i), if part.paired { "yes" } else { "no" });
            if part.roles.is_empty() {
                let _ = writeln!(out, "  p{i}: {{paired: {paired}}}");
            } else {
                let _ = writeln!(out, "  p{i}: {{role: [{}], paired: {paired}}}", part.roles.join(", "));
            }
        }
        let _ = writeln!(out, "absent: [{}]", self.absent.join(", "));
        out += "actions:\n";
        self.actions.iter().enumerate().for_each(|(i, a)| out += &self.action_text(i, a));
        out += "support:\n  spare parts:\n";
        for (i, s) in self.spares.iter().enumerate() {
            let _ = writeln!(
                out,
                "    {}: {{to: {}, years: {}, delivery: {}, price: {} EUR, price published: {}, interface: {}, pairing: \
                 {}}}",
                s.key,
                self.say(Hidden::To(i), ACCESS[s.to]),
                self.say(Hidden::Years(i), s.years),
                self.say(Hidden::Delivery(i), format!("{} working days", s.delivery)),
                s.price,
                self.say(Hidden::Published(i), if s.published { "yes" } else { "no" }),
                INTERFACES[s.interface],
                self.say(Hidden::Pairing(i), PAIRINGS[s.pairing])
            );
        }
        let (to, free, scope) = self.information;
        let _ = writeln!(
            out,
            "  information: {{to: {}, cost: {}, scope: {}}}\n  updates: {}\n  security updates: {}\n  diagnosis: {}\n  \
             return options: {}\n  data transfer and deletion: {}\n  reset: {}",
            ACCESS[to],
            if free { "free" } else { "fee" },
            SCOPES[scope],
            self.say(Hidden::Updates, self.updates),
            self.say(Hidden::Security, self.security),
            DIAGNOSES[self.diagnosis],
            SCOPES[self.returns],
            DATA[self.data],
            RESETS[self.reset]
        );
        out
    }

    fn action_text(&self, index: usize, action: &Action) -> String {
        let mut out = String::new();
        let names: Vec<String> = action.frees.iter().map(|p| self.thing(*p)).collect();
        let _ = match action.does {
            Some(d) => writeln!(out, "  - do: {}", self.thing(d)),
            None => writeln!(out, "  - free: [{}]", names.join(", ")),
        };
        let set = |set: &Vec<usize>| {
            let tools: Vec<String> = set.iter().map(|t| format!("tool{t}")).collect();
            if tools.is_empty() { "hands".to_owned() } else { tools.join(" + ") }
        };
        let operations: Vec<String> =
            action.operations.iter().map(|w| w.iter().map(set).collect::<Vec<_>>().join(" or ")).collect();
        let fasteners: Vec<String> =
            action.fasteners.iter().map(|(k, glue)| format!("{}{k}", if *glue { "glue" } else { "dry" })).collect();
        let after: Vec<String> = action
            .after
            .iter()
            .map(|any| match any.as_slice() {
                [one] => self.thing(*one),
                list => format!("{{any: [{}]}}", list.iter().map(|t| self.thing(*t)).collect::<Vec<_>>().join(", ")),
            })
            .collect();
        let _ = writeln!(out, "    id: a{index}\n    with: [{}]", operations.join(", "));
        let loosen = if fasteners.is_empty() { "nothing".to_owned() } else { format!("[{}]", fasteners.join(", ")) };
        let _ = writeln!(out, "    loosen: {loosen}\n    after: [{}]", after.join(", "));
        let place = self.say(Hidden::Place(index), PLACES[action.place]);
        let skill = self.say(Hidden::Skill(index), SKILLS[action.skill]);
        let _ = writeln!(out, "    place: {place}\n    skill: {skill}");
        if self.hidden.contains(&Hidden::Works(index)) {
            out += "    outcome: not attempted\n    because: it looked firm\n";
        } else if action.failed {
            out += "    outcome: failed\n    because: it would not move\n";
        }
        if !action.damages.is_empty() {
            let list: Vec<String> = action.damages.iter().map(|p| self.thing(*p)).collect();
            let _ = writeln!(out, "    destroys: [{}]", list.join(", "));
        }
        out
    }

    /// Reads its own text.
    pub(crate) fn record(&self) -> Record {
        let mut sources = Sources::new();
        let file = sources.add(Source::new("random.yaml", &self.text()));
        let read = read(&sources, file);
        read.record.unwrap_or_else(|| panic!("{:#?}\n{}", read.diagnostics, self.text()))
    }
}
