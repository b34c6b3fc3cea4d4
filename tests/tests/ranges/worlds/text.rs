//! A world as the texts of a record and of a method.

use std::fmt::Write as _;

use super::*;
use scoring::method::{Measure, Method};
use scoring::range::{Answer, Case, Edit, Touches, Unknown};
use scoring::record::{Record, read};
use scoring::text::{Severity, Source, Sources};
use scoring::vocab::Promise;

impl World {
    fn thing(&self, thing: usize) -> String {
        if thing < self.parts.len() { format!("p{thing}") } else { "d0".to_owned() }
    }

    /// Several values of a hidden place.
    fn either(list: &[String]) -> String {
        list.join(" | ")
    }

    pub(crate) fn record_text(&self) -> String {
        let mut out = String::from(
            "unfasten: 1\ndevice: {name: Random, maker: Ostrel, category: other}\nteardown: {place: use, skill: layman}\nroles:\n",
        );
        for (r, w) in self.weights.iter().enumerate() {
            let _ = writeln!(out, "  r{r}: {{weight: {w}}}");
        }
        out += "tools:\n";
        for (i, (class, heat)) in self.tools.iter().enumerate() {
            let heat = if *heat { ", heat: yes" } else { "" };
            let _ = writeln!(out, "  tool{i}: {{class: {}{heat}}}", CLASSES[*class]);
        }
        out += "fasteners:\n  dry: {kind: reusable}\n  glue: {kind: reusable, adhesive: yes}\nparts:\n";
        for (p, role) in self.parts.iter().enumerate() {
            let role = role.filter(|r| self.has[*r]).map_or_else(String::new, |r| format!("role: r{r}, "));
            let _ = writeln!(out, "  p{p}: {{{role}paired: no}}");
        }
        let absent: Vec<String> = (0..self.has.len()).filter(|r| !self.has[*r]).map(|r| format!("r{r}")).collect();
        let _ = writeln!(out, "absent: [{}]\nactions:", absent.join(", "));
        self.actions.iter().enumerate().for_each(|(i, a)| out += &self.act_text(i, a));
        if !self.official.is_empty() {
            let ids: Vec<String> = self.official.iter().map(|a| format!("a{a}")).collect();
            let _ = writeln!(out, "official: [{}]", ids.join(", "));
        }
        out += "support:\n  spare parts:\n";
        for (p, years) in self.years.iter().enumerate() {
            let hidden = self.hidden.iter().find_map(|h| match h {
                Hidden::Years(part, list) if *part == p => Some(list.iter().map(i64::to_string).collect::<Vec<_>>()),
                _ => None,
            });
            let years = hidden.map_or_else(|| years.to_string(), |list| Self::either(&list));
            let _ = writeln!(out, "    p{p}: {{to: public, years: {years}}}");
        }
        out
    }

    fn act_text(&self, index: usize, act: &Act) -> String {
        let hidden = |is: &dyn Fn(&Hidden) -> Option<Vec<String>>| self.hidden.iter().find_map(is);
        let mut out = String::new();
        let names: Vec<String> = act.frees.iter().map(|p| self.thing(*p)).collect();
        let _ = match act.does {
            Some(_) => writeln!(out, "  - do: d0"),
            None => writeln!(out, "  - free: [{}]", names.join(", ")),
        };
        let tool = |t: &Option<usize>| t.map_or_else(|| "hands".to_owned(), |t| format!("tool{t}"));
        let mut operations: Vec<String> =
            act.operations.iter().map(|ways| ways.iter().map(tool).collect::<Vec<_>>().join(" or ")).collect();
        let tools = hidden(&|h| match h {
            Hidden::Tool(a, list) if *a == index => Some(list.iter().map(tool).collect()),
            _ => None,
        });
        if let Some(list) = tools {
            operations[0] = Self::either(&list);
        }
        let kinds = hidden(&|h| match h {
            Hidden::Kind(a, list) if *a == index => Some(list.iter().map(|k| KINDS[*k].to_owned()).collect()),
            _ => None,
        });
        let kind = kinds.map_or_else(|| KINDS[act.fastener.0].to_owned(), |list| Self::either(&list));
        let skills = hidden(&|h| match h {
            Hidden::Skill(a, list) if *a == index => Some(list.iter().map(|k| SKILLS[*k].to_owned()).collect()),
            _ => None,
        });
        let skill = skills.map_or_else(|| SKILLS[act.skill].to_owned(), |list| Self::either(&list));
        let any = |list: &Vec<usize>| match list.as_slice() {
            [one] => self.thing(*one),
            list => format!("{{any: [{}]}}", list.iter().map(|t| self.thing(*t)).collect::<Vec<_>>().join(", ")),
        };
        let mut after: Vec<String> = act.after.iter().map(any).collect();
        let needs = hidden(&|h| match h {
            Hidden::Need(a, list) if *a == index => Some(list.iter().map(|t| self.thing(*t)).collect()),
            _ => None,
        });
        if let Some(list) = needs {
            after[0] = Self::either(&list);
        }
        let fastener = if act.fastener.1 { "glue" } else { "dry" };
        let _ = writeln!(out, "    id: a{index}\n    with: [{}]", operations.join(", "));
        let _ = writeln!(out, "    loosen: {{fastener: {fastener}, kind: {kind}}}\n    after: [{}]", after.join(", "));
        let _ = writeln!(out, "    skill: {skill}");
        if self.hidden.iter().any(|h| matches!(h, Hidden::Works(a) if *a == index)) {
            out += "    outcome: not attempted\n    because: it looked firm\n";
        } else if !act.exists {
            out += "    outcome: failed\n    because: it would not move\n";
        }
        if act.destroys {
            out += "    destroys: [p0]\n";
        }
        out
    }

    /// `None`: refused, since something waits for itself or for what never comes.
    pub(crate) fn record(&self) -> Option<Record> {
        let mut sources = Sources::new();
        let file = sources.add(Source::new("random.yaml", &self.record_text()));
        let read = read(&sources, file);
        let expected = ["order-circle", "never-reached"];
        let odd = read.diagnostics.iter().find(|d| d.severity == Severity::Error && !expected.contains(&d.code));
        assert!(odd.is_none(), "{odd:#?}\n{}", self.record_text());
        read.record
    }

    /// The case of the record; a role the device may lack is put in by hand, since a record can't say it of a part it names.
    pub(crate) fn case(&self, method: &Method) -> Option<Case> {
        let record = self.record()?;
        let mut case = Case::new(&record, method);
        for hidden in &self.hidden {
            let Hidden::Role(role) = hidden else { continue };
            let name = format!("r{role}");
            let fills: Vec<usize> = (0..case.base.fills.len()).filter(|f| case.base.fills[*f].role == name).collect();
            let answer = |is: bool| Answer {
                label: is.to_string(),
                edits: fills.iter().map(|&f| Edit::Present(f, is)).collect(),
            };
            case.unknowns.push(Unknown {
                path: format!("roles.{name}"),
                span: record.device.name.span,
                question: format!("Does the device have {name}?"),
                touches: Touches::Part(fills[0]),
                answers: vec![answer(true), answer(false)],
                between: false,
            });
        }
        Some(case)
    }

    pub(crate) fn method_text(&self) -> String {
        let absent = self.absent.map_or_else(|| "left out".to_owned(), |p| p.to_string());
        let destructive = if self.destructive { "yes" } else { "no" };
        let (official, order) = match self.read {
            RouteRead::HighestTotal => ("no", "highest total"),
            RouteRead::Fewest => ("no", "fewest steps first"),
            RouteRead::Official => ("yes", "highest total"),
            RouteRead::OfficialOrFewest => ("yes", "fewest steps first"),
        };
        let mut out = format!(
            "unfasten method: 1\nid: drawn\ntitle: Drawn\nedition: 1\nabout: For checks.\nsource: own choice\ncertainty: own\n\
             scope: {{categories: [other], rule: all}}\n\
             scale: {{from: 0, to: 10000, decimals: 2, rounding: half up, rule: two}}\n\
             parts:\n  - {{for: [other], own roles: yes, rule: r}}\nabsent: {{points: {absent}, rule: a}}\n\
             steps: {{simultaneous tools: one, heating: tool, mains: nothing, remote authorisation: nothing, destructive scored: {destructive}, rule: u}}\n\
             routes: {{official first: {official}, order: {order}, rule: o}}\n\
             criteria:\n",
        );
        let mut next = 0;
        self.tree.write(&mut out, "  ", &mut next, None);
        out
    }

    pub(crate) fn method(&self) -> Method {
        crate::questions_world::read_method(&self.method_text())
    }
}

fn word(how: How) -> &'static str {
    match how {
        How::Mean => "mean",
        How::Sum => "sum",
        How::Worst => "worst",
        How::Best => "best",
        How::Cap => "cap",
        How::Gate => "gate",
    }
}

impl Tree {
    fn write(&self, out: &mut String, pad: &str, next: &mut usize, weight: Option<i64>) {
        let id = format!("n{next}");
        *next += 1;
        let _ = writeln!(out, "{pad}id: {id}\n{pad}title: {id}\n{pad}rule: r");
        if let Some(weight) = weight {
            let _ = writeln!(out, "{pad}weight: {weight}");
        }
        match self {
            Tree::Group { how, of } => {
                let _ = writeln!(out, "{pad}combine: {}\n{pad}of:", word(*how));
                let weighed = matches!(how, How::Mean | How::Sum);
                for (w, child) in of {
                    let _ = writeln!(out, "{pad}  -");
                    child.write(out, &format!("{pad}    "), next, weighed.then_some(*w));
                }
            }
            Tree::Each { reads, at_part, points, roles, how } => {
                let roles: Vec<String> = roles.iter().map(|r| format!("r{r}")).collect();
                let all = roles.len() > 1;
                let each = if all { "priority".to_owned() } else { format!("[{}]", roles.join(", ")) };
                let _ = writeln!(out, "{pad}each: {each}\n{pad}combine: {}", word(*how));
                if *at_part {
                    let _ = writeln!(out, "{pad}read at: part");
                }
                let _ = writeln!(out, "{pad}measure: {}\n{pad}{}", reads.measure().word(), reads.table(points));
            }
        }
    }
}

impl Reads {
    fn measure(self) -> Measure {
        match self {
            Reads::Depth => Measure::Depth,
            Reads::Fasteners => Measure::Fasteners,
            Reads::Tools => Measure::Tools,
            Reads::Skill => Measure::Skill,
            Reads::Heat => Measure::HeatOrSolvent,
            Reads::Adhesives => Measure::Adhesives,
            Reads::InTheWay => Measure::PartsInTheWay,
            Reads::Isolation => Measure::Isolation,
            Reads::Reachable => Measure::Reachable,
            Reads::Years => Measure::Promise(Promise::Years),
        }
    }

    fn table(self, points: &[i64]) -> String {
        let last = points.len() - 1;
        let named: &[&str] = match self {
            Reads::Tools => &CLASSES,
            Reads::Fasteners => &KINDS,
            Reads::Skill => &SKILLS,
            Reads::Isolation => &["alone", "with others"],
            Reads::Heat | Reads::Reachable => &[],
            Reads::Years => return format!("bands: {{from 7: {}, less: {}}}", points[0], points[1]),
            Reads::Depth | Reads::Adhesives | Reads::InTheWay => {
                let rows: Vec<String> = (0..last).map(|i| format!("up to {i}: {}", points[i])).collect();
                return format!("bands: {{{}, more: {}}}", rows.join(", "), points[last]);
            }
        };
        // Words the worlds don't use have the points of the next worse one they do.
        let words = self.measure().words();
        let used: Vec<&str> = if named.is_empty() { words.clone() } else { named.to_vec() };
        let rows: Vec<String> = words
            .iter()
            .enumerate()
            .map(|(at, word)| {
                let next = used.iter().position(|u| words.iter().position(|w| w == u).is_some_and(|p| p >= at));
                format!("{word}: {}", points[next.unwrap_or(last).min(last)])
            })
            .collect();
        format!("levels: {{{}}}", rows.join(", "))
    }
}
