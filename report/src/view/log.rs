//! What was done on the bench, in order; remarks, pictures, cautions; the way back.

use scoring::record::{Action, After, Aim, Known, Loosened, Named, Need, Outcome, Part, Record, ToolUse, Work};
use scoring::vocab::class::fold;
use scoring::vocab::{Basis, Words};

use super::place::{Places, known, stated, yes_no};
use super::types::{Caution, Logged, Pair, Picture, Refit, Remark, WayBack};
use super::{Job, Photo};
use crate::clean::{footage, line};
use crate::plural::list;
use crate::words::english as en;

/// Pictures collected on the way.
pub(super) struct Pictures<'a> {
    job: &'a Job<'a>,
    list: Vec<Picture>,
    bytes: usize,
    embedded: bool,
}

impl<'a> Pictures<'a> {
    pub(super) fn new(job: &'a Job<'a>) -> Self {
        Self { job, list: Vec::new(), bytes: 0, embedded: false }
    }

    fn add(&mut self, photos: &[scoring::record::Photo], of: &str) -> Vec<usize> {
        let mut out = Vec::new();
        for scoring::record::Photo { file, alt } in photos {
            let (source, missing) = match self.job.photos.get(&file.value) {
                None | Some(Photo::Linked) => match crate::photo::relative(&file.value) {
                    Some(path) => (path, None),
                    None => (String::new(), Some(en::NOT_RELATIVE.to_owned())),
                },
                Some(Photo::Embedded(picture)) => {
                    self.embedded = true;
                    self.bytes += picture.bytes().len();
                    (picture.address(), None)
                }
                Some(Photo::Missing(why)) => (String::new(), Some(line(why))),
            };
            self.list.push(Picture {
                file: line(&file.value),
                alt: alt.as_deref().map_or_else(|| en::picture_of(of), line),
                source,
                missing,
                of: of.to_owned(),
            });
            out.push(self.list.len() - 1);
        }
        out
    }

    /// Total size of what is embedded.
    pub(super) fn size(&self) -> Option<String> {
        self.embedded.then(|| en::kilobytes(self.bytes.div_ceil(1000)))
    }

    pub(super) fn finish(self) -> Vec<Picture> {
        self.list
    }
}

/// The log.
pub(super) fn log(job: &Job<'_>, places: &Places<'_>, pictures: &mut Pictures<'_>) -> Vec<Logged> {
    let record = job.record;
    let mut out: Vec<Logged> =
        record.actions.iter().enumerate().map(|(i, a)| logged(record, places, pictures, i + 1, a)).collect();
    // A part marked as not tried stands for an action of which nothing else is known.
    for part in record.parts.iter().filter(|p| p.not_attempted.is_some()) {
        out.push(untried(places, pictures, out.len() + 1, part));
    }
    out
}

fn untried(places: &Places<'_>, pictures: &mut Pictures<'_>, number: usize, part: &Part) -> Logged {
    let what = en::free(&line(&part.name.value));
    Logged {
        number,
        id: line(&part.name.value),
        at: None,
        with: en::ANY_TOOLS.to_owned(),
        loosens: en::NOBODY_ESTABLISHED.to_owned(),
        after: after(&After::Unknown),
        outcome: en::outcome(Outcome::NotAttempted),
        form: "open",
        known: "",
        because: part.because.as_deref().map(line),
        destroys: Vec::new(),
        wears: Vec::new(),
        aside: Vec::new(),
        cleans: false,
        hazards: part.hazards.iter().map(|h| line(&h.value)).collect(),
        makes_safe: false,
        wait: None,
        takes: None,
        safe_with: Vec::new(),
        note: part.margin.note.as_deref().map(line),
        line: places.line(part.name.span),
        anchor: places.anchor(part.name.span),
        photos: pictures.add(&part.margin.photos, &what),
        what,
    }
}

fn logged(record: &Record, places: &Places<'_>, pictures: &mut Pictures<'_>, number: usize, action: &Action) -> Logged {
    let what = what(action);
    let done = action.outcome.value == Outcome::Done;
    Logged {
        number,
        id: line(&action.id),
        at: action.at.as_ref().map(|t| footage(t.value)),
        with: en::then(&action.with.iter().map(|w| with(record, w)).collect::<Vec<_>>()),
        loosens: loosens(action),
        after: match &action.after.value {
            // What was done first needed nothing before it: nobody is asked.
            After::Unknown if number == 1 && done && record.witnessed(action) => en::NOTHING_FIRST.to_owned(),
            known => after(known),
        },
        outcome: en::outcome(action.outcome.value),
        form: match action.outcome.value {
            Outcome::Done => "",
            Outcome::Failed => "no",
            Outcome::NotAttempted => "open",
        },
        known: match action.margin.basis.unwrap_or(record.teardown.basis()) {
            Basis::Seen => "",
            other => other.word(),
        },
        because: action.because.as_deref().map(line),
        destroys: action.destroys.iter().map(|d| line(&d.value)).collect(),
        wears: action.wears.iter().map(|d| line(&d.value)).collect(),
        aside: action.aside.iter().map(|d| line(&d.value)).collect(),
        cleans: action.cleans,
        hazards: action.hazards.iter().map(|h| line(&h.value)).collect(),
        makes_safe: action.makes_safe,
        wait: action.wait.as_ref().map(|w| en::minutes(&w.value.0.plain())),
        takes: action.takes.as_ref().map(|t| en::seconds(&t.value.low, &t.value.high)),
        safe_with: safe_with(record, action),
        note: action.margin.note.as_deref().map(line),
        line: places.line(action.span),
        anchor: places.anchor(action.span),
        photos: pictures.add(&action.margin.photos, &what),
        what,
    }
}

/// The other actions that must be done too before the device is safe; empty where one does it alone or it does nothing for it.
fn safe_with(record: &Record, action: &Action) -> Vec<String> {
    let others = record.actions.iter().filter(|a| action.safe_together && a.safe_together && a.id != action.id);
    others.map(|a| line(&a.id)).collect()
}

/// `free back glass`, `unplug cell`.
fn what(action: &Action) -> String {
    match &action.aim {
        Aim::Free(parts) => {
            let names: Vec<String> = parts.iter().map(|p| line(&p.value)).collect();
            en::free(&list(&names))
        }
        Aim::Do(name) => line(&name.value),
    }
}

fn with(record: &Record, work: &Work) -> String {
    let used = |u: &ToolUse| {
        let mut text = record.tools.get(u.tool).map_or_else(String::new, |t| line(&t.name));
        if let Some(c) = u.celsius {
            text.push_str(&format!(" {}", en::celsius(c)));
        }
        if let Some(m) = &u.minutes {
            text.push_str(&format!(" {}", en::minutes(&m.plain())));
        }
        text
    };
    let set = |s: &scoring::record::ToolSet| match s.tools.as_slice() {
        [] => en::HANDS.to_owned(),
        tools => tools.iter().map(used).collect::<Vec<_>>().join(" + "),
    };
    match &work.ways.known {
        Known::Unknown if work.single => en::ONE_TOOL.to_owned(),
        Known::Unknown => en::ANY_TOOLS.to_owned(),
        found => known(found, |ways| en::otherwise(&ways.iter().map(set).collect::<Vec<_>>())),
    }
}

fn loosens(action: &Action) -> String {
    let one = |l: &Loosened| {
        match l.named {
            Named::One => return en::ONE_FASTENER.to_owned(),
            Named::Any => return en::ANY_FASTENERS.to_owned(),
            Named::Fastener => {}
        }
        let text = line(&l.text);
        let mut out = match &l.count.known {
            Known::Unknown | Known::Between(None, None) => en::uncounted(&text),
            count => match known(count, scoring::exact::Exact::plain).as_str() {
                "1" => text,
                counted => en::times(counted, &text),
            },
        };
        if l.kind.stated {
            out.push_str(&format!(" ({})", known(&l.kind.known, |k| k.word().to_owned())));
        }
        if l.perhaps { en::perhaps(&out) } else { out }
    };
    match action.loosen.as_slice() {
        [] => en::NOTHING.to_owned(),
        some => some.iter().map(one).collect::<Vec<_>>().join(", "),
    }
}

fn after(after: &After) -> String {
    match after {
        After::Needs(needs) if needs.is_empty() => en::NOTHING_FIRST.to_owned(),
        After::Needs(needs) => list(&needs.iter().map(need).collect::<Vec<_>>()),
        After::Unknown => en::NOBODY_ESTABLISHED.to_owned(),
        After::Above => en::ACTION_ABOVE.to_owned(),
    }
}

fn need(need_: &Need) -> String {
    match need_ {
        Need::Is(name) => line(&name.value),
        Need::Perhaps(name) => en::perhaps(&line(&name.value)),
        Need::OneOf(names, _) => {
            let names: Vec<String> = names.iter().map(|n| line(&n.value)).collect();
            en::one_first(&names)
        }
        Need::Any(members, _) => {
            let members: Vec<String> = members.iter().map(|m| list(&m.iter().map(need).collect::<Vec<_>>())).collect();
            en::any_first(&members)
        }
    }
}

/// Remarks in the order of the footage, those without a time last, else as they are written.
pub(super) fn remarks(job: &Job<'_>, places: &Places<'_>, pictures: &mut Pictures<'_>) -> Vec<Remark> {
    let mut order: Vec<_> = job.record.remarks.iter().collect();
    order.sort_by_key(|r| (r.at.is_none(), r.at.map(|at| at.from)));
    order
        .into_iter()
        .map(|remark| {
            let text = line(&remark.text.value);
            Remark {
                side: en::side(remark.side),
                at: remark.at.map(footage),
                line: places.line(remark.text.span),
                anchor: places.anchor(remark.text.span),
                photos: pictures.add(&remark.photos, &text),
                text,
            }
        })
        .collect()
}

/// The way back: last removal first.
pub(super) fn way_back(job: &Job<'_>, places: &Places<'_>, pictures: &mut Pictures<'_>) -> WayBack {
    let record = job.record;
    let texts = |list: &[String]| list.iter().map(|t| line(t)).collect::<Vec<_>>();
    let done = || record.actions.iter().filter(|a| a.outcome.value == Outcome::Done);
    let steps: Vec<Refit> = done()
        .rev()
        .chain(&record.back)
        .filter(|a| {
            let r = &a.refit.value;
            [&r.buy, &r.care, &r.check, &r.if_skipped].iter().any(|l| !l.is_empty())
        })
        .map(|a| Refit {
            what: match &a.aim {
                Aim::Free(parts) => list(&parts.iter().map(|p| line(&p.value)).collect::<Vec<_>>()),
                Aim::Do(name) => en::undo(&line(&name.value)),
            },
            buy: texts(&a.refit.value.buy),
            care: texts(&a.refit.value.care),
            check: texts(&a.refit.value.check),
            if_skipped: texts(&a.refit.value.if_skipped),
            line: places.line(a.span),
            anchor: places.anchor(a.span),
        })
        .collect();
    let mut buy: Vec<String> = Vec::new();
    for text in steps.iter().flat_map(|s| &s.buy) {
        if !buy.contains(text) {
            buy.push(text.clone());
        }
    }
    let mut lost: Vec<String> = Vec::new();
    for action in done().filter(|a| !a.destroys.is_empty()) {
        for part in &action.destroys {
            lost.push(en::lost_by(&line(&part.value), &what(action)));
        }
    }
    let p = &record.put_back;
    let put_back = en::PUT_BACK
        .into_iter()
        .zip([&p.done, &p.powered_on, &p.tested])
        .map(|(what, fact)| Pair {
            what: what.to_owned(),
            said: stated(fact, yes_no).unwrap_or_else(|| en::NOT_STATED.to_owned()),
        })
        .collect();
    let only = record.back.iter().enumerate().map(|(i, a)| logged(record, places, pictures, i + 1, a)).collect();
    WayBack { put_back, buy, lost, steps, only }
}

/// Every hazard of the record.
pub(super) fn cautions(job: &Job<'_>) -> Vec<Caution> {
    let mut out = gathered(job.record, job.record.actions.iter().chain(&job.record.back));
    // Declared for a part that no action frees: still a hazard of this device.
    let freed = |name: &str| {
        let all = job.record.actions.iter().chain(&job.record.back);
        all.flat_map(|a| a.names()).any(|n| fold(n) == fold(name))
    };
    for part in job.record.parts.iter().filter(|p| !freed(&p.name.value)) {
        for hazard in &part.hazards {
            add(&mut out, job.record, &hazard.value, line(&part.name.value));
        }
    }
    // Mains equipment is a hazard whether or not the record says so.
    if job.record.device.category.value.mains() {
        add(&mut out, job.record, "mains", en::THE_DEVICE.to_owned());
    }
    out
}

/// Hazards of some actions and of the parts they free, each once, with where they arise.
pub(super) fn gathered<'r>(record: &'r Record, actions: impl Iterator<Item = &'r Action>) -> Vec<Caution> {
    let mut out = Vec::new();
    for action in actions {
        for hazard in &action.hazards {
            add(&mut out, record, &hazard.value, what(action));
        }
        for name in action.names() {
            let part = record.parts.iter().find(|p| fold(&p.name.value) == fold(name));
            for hazard in part.into_iter().flat_map(|p| &p.hazards) {
                add(&mut out, record, &hazard.value, what(action));
            }
        }
        if action.mains {
            add(&mut out, record, "mains", what(action));
        }
    }
    out
}

fn add(out: &mut Vec<Caution>, record: &Record, hazard: &str, at: String) {
    let shipped = scoring::vocab::hazard(hazard);
    let name = shipped.map_or_else(|| line(hazard), |h| h.name.clone());
    let own = record.own_hazards.get(&fold(hazard));
    let caution = own.map(|t| line(t)).or_else(|| shipped.map(|h| line(&h.caution))).unwrap_or_default();
    match out.iter_mut().find(|c| c.hazard == name) {
        Some(found) if found.at.contains(&at) => {}
        Some(found) => found.at.push(at),
        None => out.push(Caution { hazard: name, caution, at: vec![at] }),
    }
}
