//! The evidence behind a leaf: which places of the record decided it, and what they say.

use super::ledger::reasons;
use super::measures::Value;
use super::outcome::{Met, PartRoute, Reach};
use crate::exact::Exact;
use crate::method::{Measure, MeasureScale, Reading};
use crate::record::complete::{Complete, Fill, MANY, NOT_SOLD, open_count};
use crate::record::promises::with_unit;
use crate::record::{Action, Fact, Moment, Outcome, Record};
use crate::route::Step;
use crate::text::Span;
use crate::vocab::promise::Of;
use crate::vocab::{Basis, Promise};

/// A place in the record that decided something.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Evidence {
    /// Data path (`actions[3].with[0]`).
    pub path: String,
    /// Where.
    pub span: Span,
    /// What it says, in words.
    pub text: String,
    /// Footage, seconds from and to.
    pub at: Option<Moment>,
    /// Where the fact comes from.
    pub basis: Basis,
    /// Source, where stated.
    pub source: Option<String>,
}

/// Whether a price or a time of delivery is that of a part nobody sells.
pub fn not_sold(measure: &Measure, value: &Value) -> bool {
    matches!(measure, Measure::Promise(Promise::Price | Promise::Delivery))
        && *value == Value::Number(Exact::from(NOT_SOLD))
}

/// A value in words, with its unit: `9 steps`, `removable`, `can't be reached`.
pub fn in_words(measure: &Measure, value: &Value) -> String {
    match value {
        Value::Unreached => "can't be reached".to_owned(),
        Value::Withheld => "a new one needs remote authorisation".to_owned(),
        Value::Offered(met) if met.iter().any(|m| *m) => "highest rung fully met".to_owned(),
        Value::Offered(_) => "below the lowest rung".to_owned(),
        Value::Word(rank) => measure.words().get(usize::from(*rank)).map_or_else(String::new, |w| (*w).to_owned()),
        value if not_sold(measure, value) => "no part sold".to_owned(),
        Value::Number(n)
            if matches!(measure, Measure::Depth | Measure::Adhesives) && *n >= Exact::from(i64::from(MANY)) =>
        {
            let known = n.plain().parse().map_or(0, |n| open_count(n).0);
            format!("at least {}", in_words(measure, &Value::Number(Exact::from(i64::from(known)))))
        }
        Value::Number(n) => with_unit(n, if let Measure::Mark(_) = measure { "out of 10" } else { measure.unit() }),
    }
}

/// Collects evidence against one record and one completion of it.
pub struct Witness<'a> {
    /// The record as written.
    pub record: &'a Record,
    /// The completion.
    pub device: &'a Complete,
}

impl Witness<'_> {
    /// Evidence of a part measure.
    pub fn of_part(&self, measure: &Measure, reading: Reading, fill: &Fill, route: &PartRoute) -> Vec<Evidence> {
        if measure.on_route() {
            let met = if reading == Reading::Route { &route.route } else { &route.part };
            return self.of_route(measure, fill, route, met);
        }
        let pairing_only = match measure {
            Measure::Paired => true,
            Measure::Promise(Promise::Pairing) => !fill.paired,
            _ => false,
        };
        if pairing_only {
            return self.pairing(fill).into_iter().collect();
        }
        self.of_spare(measure, fill)
    }

    /// Where the record says whether a new part must be paired.
    fn pairing(&self, fill: &Fill) -> Option<Evidence> {
        let part = fill.part.map(|p| &self.record.parts[p]).filter(|p| p.paired.stated)?;
        Some(Evidence {
            // Seen on the bench, unless it says otherwise.
            basis: part.paired.basis.or(part.margin.basis).unwrap_or(self.record.teardown.basis()),
            ..evidence_of(&part.paired, if fill.paired { "paired" } else { "not paired" })
        })
    }

    fn of_route(&self, measure: &Measure, fill: &Fill, route: &PartRoute, met: &Met) -> Vec<Evidence> {
        let freeing = || {
            let last = route.taken.iter().rfind(|(a, _)| self.device.actions[*a].frees.contains(&fill.thing));
            last.map(|(a, _)| *a)
        };
        let mut out = self.on_route(measure, fill, route, met, &freeing);
        if route.reach == Reach::Damage {
            // Whatever is read on it: why the way is no good comes first.
            out.splice(0..0, self.destroyed(route));
            out.dedup();
        }
        out
    }

    /// The actions of a route that destroy something, and what.
    fn destroyed(&self, route: &PartRoute) -> Vec<Evidence> {
        let destroys = |a: usize| {
            let things = &self.device.actions[a].destroys;
            let names: Vec<&str> = things.iter().map(|&t| self.device.things[t as usize].as_str()).collect();
            (!names.is_empty()).then(|| format!("{} destroys {}", self.what(a), names.join(" and ")))
        };
        route.taken.iter().filter_map(|(a, _)| self.action(*a, ".destroys", &destroys(*a)?)).collect()
    }

    fn on_route(
        &self,
        measure: &Measure,
        fill: &Fill,
        route: &PartRoute,
        met: &Met,
        freeing: &dyn Fn() -> Option<usize>,
    ) -> Vec<Evidence> {
        match measure {
            _ if route.taken.is_empty() => self.no_way(fill),
            Measure::Depth => {
                let counted = route.ledger.iter().filter(|s| s.counted > 0);
                counted
                    .filter_map(|s| {
                        let (total, _) = open_count(s.total);
                        if let (_, true) = open_count(s.counted) {
                            let text = format!("any number of steps: {}", self.what(s.action));
                            return self.action(s.action, "", &text);
                        }
                        let word = |why| if why == "removal" { "a removal ends" } else { why };
                        let why: Vec<&str> = reasons(self.device, s).into_iter().map(word).collect();
                        // One operation may count a change, tools at once and a removal.
                        let first = (total + 1).saturating_sub(s.counted);
                        let steps = match s.counted {
                            1 => format!("step {total}"),
                            2 => format!("steps {first} and {total}"),
                            _ => format!("steps {first} to {total}"),
                        };
                        self.action(s.action, "", &format!("{steps}: {}, {}", self.what(s.action), why.join(", then ")))
                    })
                    .chain(Some(fill).filter(|_| route.authorisation > 0).and_then(|f| self.pairing(f)))
                    .collect()
            }
            Measure::Tools => self.tools(met.tools.1).into_iter().collect(),
            Measure::Fasteners => met.fasteners.1.and_then(|(a, i)| self.fastener(a, i)).into_iter().collect(),
            Measure::Adhesives => met.adhesives.iter().filter_map(|&(a, i)| self.fastener(a, i)).collect(),
            Measure::HeatOrSolvent => met.heat_or_solvent.iter().filter_map(|&a| self.tools(Some(a))).collect(),
            Measure::Environment => met.place.1.and_then(|a| self.circumstance(a, true)).into_iter().collect(),
            Measure::Skill => met.skill.1.and_then(|a| self.circumstance(a, false)).into_iter().collect(),
            Measure::Isolation if fill.several_roles => {
                fill.part.map(|p| self.part(p, "fills several roles in one piece")).into_iter().collect()
            }
            Measure::PartsInTheWay => {
                let other = |s: &&Step| {
                    let frees = &self.device.actions[s.action].frees;
                    !frees.is_empty() && !frees.contains(&fill.thing)
                };
                let off = route.ledger.iter().filter(|s| s.removal).filter(other);
                off.filter_map(|s| self.action(s.action, "", &self.what(s.action))).collect()
            }
            _ => freeing().and_then(|a| self.action(a, "", &self.what(a))).into_iter().collect(),
        }
    }

    /// Why a part has no route: ways that failed or were not tried, else its declaration.
    fn no_way(&self, fill: &Fill) -> Vec<Evidence> {
        let mut out = Vec::new();
        for (index, action) in self.device.actions.iter().enumerate() {
            if action.frees.contains(&fill.thing)
                && let Some(written) = action.written
            {
                let action = &self.record.actions[written];
                let text = match action.outcome.value {
                    Outcome::Failed => format!("{} failed", self.what(index)),
                    Outcome::NotAttempted => format!("{} was not attempted", self.what(index)),
                    Outcome::Done => format!("{} can't be reached", self.what(index)),
                };
                out.extend(self.action(index, "", &text));
            }
        }
        if out.is_empty()
            && let Some(part) = fill.part
        {
            out.push(self.part(part, "no action frees it"));
        }
        out
    }

    fn of_spare(&self, measure: &Measure, fill: &Fill) -> Vec<Evidence> {
        let name = fill.part.map_or(&fill.role, |p| &self.record.parts[p].name.value);
        let Some(entry) = self.record.support.spare([&**name, &fill.role, "every part"]) else {
            return if self.record.support.no_spares {
                vec![Evidence {
                    path: "support.spare parts".to_owned(),
                    span: self.record.support.spares_span,
                    text: "no spare parts".to_owned(),
                    at: None,
                    basis: Basis::Stated,
                    source: None,
                }]
            } else {
                Vec::new()
            };
        };
        let of = |p: Promise| promise(&entry.facts[p], &format!("{}: {}", entry.key.value, p.label()));
        measure.facts().into_iter().filter(|p| p.of_part()).filter_map(of).collect()
    }

    /// Evidence of a measure of the device. `roles` are those a ladder of offers reads.
    pub fn of_device(&self, measure: &Measure, method: &str, fills: &[&Fill]) -> Vec<Evidence> {
        match measure {
            Measure::SparesOffered => {
                let mut out: Vec<Evidence> = fills.iter().flat_map(|f| self.of_spare(measure, f)).collect();
                out.sort_by_key(|e| e.span);
                out.dedup();
                out
            }
            Measure::Promise(p) if p.row().of == Of::Ingress => {
                promise(&self.record.device.ingress, "ingress").into_iter().collect()
            }
            Measure::Mark(row) => {
                let fact = self.record.marks.get(method).and_then(|m| m.get(row));
                fact.and_then(|f| promise(f, &format!("mark {row}"))).into_iter().collect()
            }
            _ => {
                let fact = |p: Promise| self.record.promise(p).and_then(|fact| promise(fact, p.label()));
                measure.facts().into_iter().filter_map(fact).collect()
            }
        }
    }

    /// What an action does, in words.
    pub fn what(&self, action: usize) -> String {
        let complete = &self.device.actions[action];
        let names: Vec<&str> = complete.frees.iter().map(|&t| self.device.things[t as usize].as_str()).collect();
        match complete.does {
            Some(thing) => self.device.things[thing as usize].clone(),
            None => format!("free {}", names.join(" and ")),
        }
    }

    fn written(&self, action: usize) -> Option<&Action> {
        self.device.actions[action].written.map(|w| &self.record.actions[w])
    }

    fn action(&self, action: usize, field: &str, text: &str) -> Option<Evidence> {
        let written = self.written(action)?;
        Some(Evidence {
            path: format!("{}{field}", written.path),
            span: written.span,
            text: text.to_owned(),
            at: written.at.as_ref().map(|t| t.value),
            basis: written.margin.basis.unwrap_or(self.record.teardown.basis()),
            source: written.margin.source.clone(),
        })
    }

    fn tools(&self, action: Option<usize>) -> Option<Evidence> {
        let action = action?;
        let text = format!("{}: {}", self.what(action), self.tool_words(action));
        let mut out = self.action(action, ".with", &text)?;
        if let Some(fact) = self.written(action).and_then(|a| a.with.first()).map(|w| &w.ways).filter(|f| f.stated) {
            out.span = fact.span;
            out.source = fact.source.clone().or(out.source);
            out.basis = fact.basis.unwrap_or(out.basis);
        }
        Some(out)
    }

    /// The tools of an action in words, alternatives joined by `or`.
    pub fn tool_words(&self, action: usize) -> String {
        let name = |set: &Vec<usize>| match set.as_slice() {
            [] => "hands".to_owned(),
            list => list.iter().map(|&t| self.device.tools[t].name.as_ref()).collect::<Vec<_>>().join(" + "),
        };
        let operation = |ways: &Vec<Vec<usize>>| ways.iter().map(name).collect::<Vec<_>>().join(" or ");
        self.device.actions[action].operations.iter().map(operation).collect::<Vec<_>>().join(", then ")
    }

    fn fastener(&self, action: usize, index: usize) -> Option<Evidence> {
        let fastener = &self.device.actions[action].fasteners[index];
        let loosened = fastener.written.and_then(|w| self.written(action)?.loosen.get(w));
        let what = loosened.map_or("fastener", |l| l.text.as_str());
        let what = match fastener.count {
            0 | 1 => what.to_owned(),
            MANY => format!("any number of: {what}"),
            n => format!("{n} x {what}"),
        };
        let text = format!("{}: {what}, {}", self.what(action), fastener.kind);
        let mut out = self.action(action, ".loosen", &text)?;
        if let Some(loosened) = loosened {
            out.path.clone_from(&loosened.path);
            out.span = loosened.span;
            out.source = loosened.kind.source.clone().or(out.source);
            out.basis = loosened.kind.basis.unwrap_or(out.basis);
        }
        Some(out)
    }

    fn circumstance(&self, action: usize, place: bool) -> Option<Evidence> {
        let complete = &self.device.actions[action];
        let word = if place { complete.place.to_string() } else { complete.skill.to_string() };
        let text = format!("{}: {word}", self.what(action));
        let written = self.written(action);
        let own = written.and_then(|w| {
            if place {
                w.place.as_ref().map(|f| (f.span, f.path.clone(), f.stated))
            } else {
                w.skill.as_ref().map(|f| (f.span, f.path.clone(), f.stated))
            }
        });
        let teardown = &self.record.teardown;
        let shared = if place {
            (teardown.place.span, teardown.place.path.clone(), teardown.place.stated)
        } else {
            (teardown.skill.span, teardown.skill.path.clone(), teardown.skill.stated)
        };
        let (span, path, stated) = own.unwrap_or(shared);
        stated.then(|| Evidence {
            path,
            span,
            text,
            at: written.and_then(|w| w.at.as_ref().map(|t| t.value)),
            basis: written.and_then(|w| w.margin.basis).unwrap_or(teardown.basis()),
            source: None,
        })
    }

    fn part(&self, part: usize, text: &str) -> Evidence {
        let part = &self.record.parts[part];
        Evidence {
            path: format!("parts.{}", part.name.value),
            span: part.name.span,
            text: format!("{}: {text}", part.name.value),
            at: None,
            basis: part.margin.basis.unwrap_or(self.record.teardown.basis()),
            source: part.margin.source.clone(),
        }
    }
}

fn promise<T>(fact: &Fact<T>, text: &str) -> Option<Evidence> {
    fact.stated.then(|| evidence_of(fact, text))
}

fn evidence_of<T>(fact: &Fact<T>, text: &str) -> Evidence {
    Evidence {
        path: fact.path.clone(),
        span: fact.span,
        text: text.to_owned(),
        at: None,
        basis: fact.basis.unwrap_or(Basis::Stated),
        source: fact.source.clone(),
    }
}

/// Whether more of a measure is better, for wording margins.
pub fn more_is_better(measure: &Measure) -> bool {
    measure.scale() == MeasureScale::Number
}
