//! `unfasten check`: every problem of some records; what a method still lacks; whether a requirement is met.

use std::io::Write;

use scoring::range::{Assessment, Effort};
use scoring::record::Record;
use scoring::text::Sources;

use crate::arguments::Check;
use crate::failure::Failure;
use crate::job;
use crate::problems::{Form, any_error, counted, show_all};
use crate::requirement::{self, Required};
use crate::support::Tables;
use crate::terminal::{hang, plural, tame};
use crate::world::{WIDTH, World};

pub(crate) fn run(arguments: &Check, form: Form, world: &mut World<'_>) -> Result<(), Failure> {
    let required = requirement::parse(&arguments.require)?;
    let asked = !arguments.choice.methods.is_empty() || !required.is_empty();
    let chosen = if asked { job::methods(&arguments.choice, form, world)? } else { Vec::new() };
    let mut tables = Tables::read(&arguments.joined, form, world)?;
    let taken: Vec<job::Taken> = arguments.records.iter().map(|name| tables.record(name, world)).collect();
    let mut all = Vec::new();
    let mut good = Vec::new();
    let mut bad = false;
    for one in taken {
        bad |= any_error(&one.problems) || arguments.strict && !one.problems.is_empty();
        let summary = format!("{}: {}", tame(&one.name), counted(&one.problems));
        if let Some(record) = one.record.filter(|_| !any_error(&one.problems)) {
            good.push((one.name, one.sources.clone(), record));
        }
        all.push((one.sources, one.problems, summary));
    }
    let mut shown: Vec<_> = all.iter().map(|(sources, list, _)| (sources.clone(), list.clone())).collect();
    let (texts, unmatched) = tables.unmatched();
    bad |= arguments.strict && !unmatched.is_empty();
    shown.push((texts, unmatched));
    show_all(form, world.out_styled, &shown, world.out)?;
    if form == Form::Marked {
        for (.., summary) in &all {
            write!(world.out, "{}", hang("", summary, WIDTH))?;
        }
    }
    let mut unmet = false;
    for (name, sources, record) in &good {
        let fitting = if asked { job::fitting(record, &arguments.choice, &chosen)? } else { Vec::new() };
        let assessed: Vec<Assessment> =
            fitting.iter().map(|c| Assessment::new(record, &c.method, Effort::default())).collect();
        if !arguments.choice.methods.is_empty() && form != Form::Json {
            for assessment in &assessed {
                lacking(name, sources, record, assessment, world)?;
            }
        }
        unmet |= !met(name, &required, &assessed, form, world)?;
    }
    match (bad, unmet) {
        (true, _) => Err(Failure::Shown),
        (false, true) => Err(Failure::NotMet),
        (false, false) => Ok(()),
    }
}

/// The facts a method still lacks, where they stand.
fn lacking(
    name: &str,
    sources: &Sources,
    record: &Record,
    assessment: &Assessment,
    world: &mut World<'_>,
) -> Result<(), Failure> {
    let method = tame(&assessment.method.id.value);
    let count = assessment.unknowns.len();
    writeln!(world.out)?;
    let head = if count == 0 {
        format!("{method} lacks nothing in {}: every fact it reads is settled.", tame(name))
    } else {
        format!(
            "{method} still lacks {} in {} ({}):",
            plural(count, "fact"),
            tame(name),
            tame(&record.device.name.value)
        )
    };
    write!(world.out, "{}", hang("", &head, WIDTH))?;
    for (i, unknown) in assessment.unknowns.iter().enumerate() {
        let lead = format!("{:>4}. ", i + 1);
        write!(world.out, "{}", hang(&lead, &tame(&unknown.question), WIDTH))?;
        let answers: Vec<String> = unknown.answers.iter().map(|a| tame(&a.label)).collect();
        let answers = shortened(&answers, 6);
        let place = tame(&sources.place(unknown.span));
        write!(
            world.out,
            "{}",
            hang("      ", &format!("at {place}, {}; can be: {answers}", tame(&unknown.path)), WIDTH)
        )?;
    }
    Ok(())
}

/// The first few of a list.
pub(crate) fn shortened(list: &[String], most: usize) -> String {
    if list.len() <= most {
        return list.join(" | ");
    }
    format!("{} | … ({} in all)", list[..most - 1].join(" | "), list.len())
}

/// Whether every requirement holds; those that don't are said on the error stream.
fn met(
    name: &str,
    required: &[Required],
    assessed: &[Assessment],
    form: Form,
    world: &mut World<'_>,
) -> Result<bool, Failure> {
    let mut all = true;
    for requirement in required {
        let judged = requirement.judge(assessed)?;
        all &= judged.met;
        if !judged.met || form == Form::Marked {
            let words = if judged.met { "met" } else { "not met" };
            let line = format!("{}: {} is {words}: {}", tame(name), requirement.text, judged.why);
            let to: &mut dyn Write = if judged.met { &mut *world.out } else { &mut *world.err };
            write!(to, "{}", hang("", &line, WIDTH))?;
        }
    }
    Ok(all)
}
