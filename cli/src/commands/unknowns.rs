//! `unfasten unknowns`: what to find out next, and how firm the verdict is.

use std::io::Write;

use report::json::VERSION;
use scoring::assess::Kept;
use scoring::compare::hinging;
use scoring::exact::Rounding;
use scoring::method::{Method, Standing};
use scoring::range::asking::{To, asks, asks_of, most};
use scoring::range::firmness::Firmness;
use scoring::range::questions::{Guide, Leads, Question, Settling};
use scoring::range::{Case, Effort, Range, Study, binding, fitted};
use scoring::record::Record;
use scoring::text::Sources;
use scoring::text::csv::cell;

use crate::arguments::{Unknowns, UnknownsFormat};
use crate::both::Both;
use crate::documents::{self, Asked, Firm};
use crate::ends::Ends;
use crate::failure::Failure;
use crate::job;
use crate::problems::Form;
use crate::support::Tables;
use crate::terminal::shown::Shown;
use crate::terminal::waiting::watched;
use crate::terminal::{clock, hang, tame};
use crate::words::plain;
use crate::words::unknowns::{self as say, Settled};
use crate::world::{WIDTH, World};

/// Groups of answers shown for one question before the rest is counted.
const ANSWERS: usize = 8;
/// Entries of one list shown.
const SHOWN: usize = 10;

pub(crate) fn run(arguments: &Unknowns, form: Form, world: &mut World<'_>) -> Result<(), Failure> {
    let chosen = job::methods(&arguments.choice, form, world)?;
    let tables = Tables::read(&arguments.joined, form, world)?;
    let (sources, _, record) = tables.record(&arguments.record, world).usable(form, world)?;
    tables.finish(form, world)?;
    let fitting = job::fitting(&record, &arguments.choice, &chosen)?;
    // Left to itself the command asks for the default verdict: questions of five methods at once guide nobody.
    let most = if arguments.choice.methods.is_empty() { 1 } else { fitting.len() };
    if arguments.format == UnknownsFormat::Csv {
        return table(&record, &sources, &fitted(&fitting[0].method, &record), arguments.most, world.out);
    }
    if let Some(count) = arguments.most {
        if arguments.format != UnknownsFormat::Text {
            return Err(Failure::said(say::MOST_IN_TEXT));
        }
        return told_most(&record, &sources, &fitted(&fitting[0].method, &record), count, world.out);
    }
    let mut out = Vec::new();
    for one in fitting.into_iter().take(most) {
        let method = fitted(&one.method, &record);
        let kept = Kept::default();
        let study = Study::keeping(Case::new(&record, &method), &method, Effort::default(), &kept);
        let guide = watched(&kept, world, || Guide::of(&study))?;
        let firmness = arguments.firm.then(|| Firm {
            rules: Firmness::new(&record, &method, Effort::default()),
            facts: hinging(&record, &study),
        });
        match arguments.format {
            UnknownsFormat::Json => {
                let both = Both::of(&record, one, &kept);
                out.push(Asked { method: method.id.value.clone(), both, guide, firmness });
            }
            _ => {
                let said = Both::of(&record, one, &kept).said();
                let head = say::head(&record.device.name.value, &method.id.value, &said);
                write!(world.out, "{}", hang("", &tame(&head), WIDTH))?;
                told(&guide, binding(&method, &record), &study, &sources, world.out)?;
                firmness.iter().try_for_each(|f| firm(f, &method, world.out))?;
            }
        }
    }
    if arguments.format == UnknownsFormat::Json {
        world.json(&documents::Unknowns { unfasten: VERSION, unknowns: out })?;
    }
    Ok(())
}

/// Everything open as a table to fill in: `answer` is empty, and what `answer --from` reads. With `most` only the questions that
/// matter most, those first.
fn table(
    record: &Record,
    sources: &Sources,
    method: &Method,
    count: Option<usize>,
    out: &mut dyn Shown,
) -> Result<(), Failure> {
    let mut asked = asks(record, sources, method);
    if let Some(count) = count {
        let on_bench = record.on_bench();
        let study = Study::new(on_bench.as_ref().unwrap_or(record), method, Effort::default());
        asked = asks_of(record, sources, method, &study.case);
        let chosen = most(&study, &asked, count).map(|m| m.asks).unwrap_or_default();
        asked = chosen.into_iter().map(|i| asked[i].clone()).collect();
    }
    writeln!(out, "path,answer,question,found,time,line,such as,written")?;
    // What a list to tick settles has no line of its own.
    for ask in asked.into_iter().filter(|a| count.is_some() || !a.last) {
        let time = ask.at.map_or_else(String::new, clock);
        let ticks = matches!(ask.to, To::Order(..) | To::Parts(_));
        let such: Vec<String> = ask
            .offers
            .iter()
            .enumerate()
            .map(|(i, o)| if ticks { format!("{} {}", i + 1, o.answer) } else { o.answer.clone() })
            .collect();
        let such = such.join(" / ");
        let line = ask.line.map_or_else(String::new, |l| l.to_string());
        let cells = [&ask.key, "", &ask.question, ask.found.words(), &time, &line, &such, &ask.forms()];
        writeln!(out, "{}", cells.map(cell).join(","))?;
    }
    Ok(())
}

/// The questions that matter most, and how far they narrow the range.
fn told_most(
    record: &Record,
    sources: &Sources,
    method: &Method,
    count: usize,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let on_bench = record.on_bench();
    let study = Study::new(on_bench.as_ref().unwrap_or(record), method, Effort::default());
    let asked = asks_of(record, sources, method, &study.case);
    let standing = binding(method, record);
    let said = |r: &Range| {
        let (shown, classes) = (r.shown(method), r.classes(method));
        plain::would(standing, &Ends::of(method, &shown, classes.as_ref()))
    };
    let Some(found) = most(&study, &asked, count) else {
        write!(out, "{}", hang("", plain::NOTHING_OPEN, WIDTH))?;
        return Ok(());
    };
    let head = say::head(&record.device.name.value, &method.id.value, &said(&found.now));
    write!(out, "{}", hang("", &tame(&head), WIDTH))?;
    let rest = asked.iter().filter(|a| !a.last && !a.unknowns.is_empty()).count();
    let then = found.then.each_ref().map(said);
    let text = say::most(found.asks.len(), rest, then.each_ref().map(String::as_str));
    write!(out, "{}", hang("  ", &text, WIDTH))?;
    for (n, &i) in found.asks.iter().enumerate() {
        let ask = &asked[i];
        write!(out, "{}", hang(&format!("{:>4}. ", n + 1), &tame(&ask.question), WIDTH))?;
        let place = say::place(ask.found.words(), ask.at, ask.line);
        write!(out, "{}", hang("      ", &tame(&place), WIDTH))?;
    }
    write!(out, "{}", hang("  ", say::WHO_ASKS, WIDTH))?;
    Ok(())
}

fn told(
    guide: &Guide,
    standing: Standing,
    study: &Study<'_>,
    sources: &Sources,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    if guide.questions.is_empty() {
        write!(out, "{}", hang("  ", plain::NOTHING_OPEN, WIDTH))?;
        return Ok(());
    }
    let order = say::order(study.method().bench_verdict().is_some());
    write!(out, "{}", hang("  ", &order, WIDTH))?;
    for (i, question) in guide.questions.iter().enumerate() {
        asked((i + 1, question), standing, study, sources, out)?;
    }
    writeln!(out)?;
    settles(Settled::Verdict, &guide.settles_verdict, guide, out)?;
    if let Some(class) = &guide.settles_class {
        settles(Settled::Class, class, guide, out)?;
    }
    Ok(())
}

fn asked(
    (number, question): (usize, &Question),
    standing: Standing,
    study: &Study<'_>,
    sources: &Sources,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    write!(out, "{}", hang(&format!("{number:>4}. "), &tame(&question.question), WIDTH))?;
    let place = study.case.unknowns[question.unknown].place(sources);
    write!(out, "{}", hang(&format!("      {} ", plain::AT), &tame(&say::at(&place, &question.path)), WIDTH))?;
    // Answers that lead to the same are told together.
    let mut groups: Vec<(String, Vec<&Leads>)> = Vec::new();
    for leads in &question.answers {
        let ends = Ends::of(study.method(), &leads.shown, leads.classes.as_ref());
        let said = plain::would(standing, &ends);
        match groups.iter_mut().find(|(s, _)| *s == said) {
            Some((_, list)) => list.push(leads),
            None => groups.push((said, vec![leads])),
        }
    }
    for (said, list) in groups.iter().take(ANSWERS) {
        let answers: Vec<String> = list.iter().map(|l| tame(&l.answer)).collect();
        let answers = super::check::shortened(&answers, 6);
        write!(out, "{}", hang(&format!("        {said}: "), &answers, WIDTH))?;
    }
    if let Some(more) = groups.len().checked_sub(ANSWERS).filter(|n| *n > 0) {
        writeln!(out, "        {}", say::more_outcomes(more))?;
    }
    Ok(())
}

fn settles(what: Settled, settling: &Settling, guide: &Guide, out: &mut dyn Write) -> Result<(), Failure> {
    let mut numbers: Vec<usize> = settling
        .unknowns
        .iter()
        .filter_map(|u| guide.questions.iter().position(|q| q.unknown == *u))
        .map(|i| i + 1)
        .collect();
    numbers.sort_unstable();
    let text = say::settles(what, &numbers, guide.questions.len(), settling.smallest);
    write!(out, "{}", hang("  ", &text, WIDTH))?;
    Ok(())
}

/// How firm a verdict is, in a terminal.
fn firm(Firm { rules: firmness, facts }: &Firm, method: &Method, out: &mut dyn Write) -> Result<(), Failure> {
    let hinges = firmness.hinges.iter();
    let hinges: Vec<String> =
        hinges.map(|h| say::criterion(&h.title, h.role.as_deref(), &h.said, &h.class, h.end)).collect();
    list(say::CRITERIA, &hinges, out)?;
    let facts: Vec<String> = facts.iter().map(|f| say::fact(&f.text, &f.path, &f.class, f.end)).collect();
    list(say::FACTS, &facts, out)?;
    let weights: Vec<String> = firmness
        .weights
        .iter()
        .filter(|w| w.from.is_some() || w.to.is_some())
        .map(|w| {
            let moves: Vec<String> = [(false, &w.from), (true, &w.to)]
                .into_iter()
                .filter_map(|(above, bound)| bound.as_ref().map(|b| (above, b)))
                .map(|(above, b)| say::bound(above, &b.weight.display(3, Rounding::HalfUp), &b.class))
                .collect();
            say::weighs(&w.id, &w.weight.plain(), &moves, w.end)
        })
        .collect();
    list(say::WEIGHTS, &weights, out)?;
    let low = &firmness.low_certainty;
    if !low.criteria.is_empty() {
        let range = plain::range(&Ends::of(method, &low.shown, low.classes.as_ref()));
        let text = say::from_memory(low.criteria.len(), &range);
        write!(out, "{}", hang("  ", &text, WIDTH))?;
    }
    let readings: Vec<String> = firmness
        .readings
        .iter()
        .map(|r| {
            let said = plain::range(&Ends::of(method, &r.shown, r.classes.as_ref()));
            say::reading(&format!("{}={}", r.switch, r.option), &r.means, &said, r.differs)
        })
        .collect();
    list(say::READINGS, &readings, out)
}

fn list(head: &str, entries: &[String], out: &mut dyn Write) -> Result<(), Failure> {
    if entries.is_empty() {
        return Ok(());
    }
    write!(out, "{}", hang("  ", head, WIDTH))?;
    for entry in entries.iter().take(SHOWN) {
        write!(out, "{}", hang("    - ", &tame(entry), WIDTH))?;
    }
    if let Some(more) = entries.len().checked_sub(SHOWN).filter(|n| *n > 0) {
        writeln!(out, "      {}", plain::more_in_json(more))?;
    }
    Ok(())
}
