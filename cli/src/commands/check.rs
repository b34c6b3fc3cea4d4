//! `unfasten check`: every problem of some records; what a method still lacks; whether a requirement is met.

use std::io::Write;

use scoring::assess::Kept;
use scoring::method::Method;
use scoring::range::{Assessment, Effort};
use scoring::record::Record;
use scoring::text::Sources;

use crate::arguments::{Check, VerdictOf};
use crate::both::Both;
use crate::failure::Failure;
use crate::files::inputs::{Input, Inputs};
use crate::job::{self, Chosen};
use crate::many::{self, How};
use crate::problems::{self, Form, any_error, counted};
use crate::requirement::{self, Required};
use crate::support::Tables;
use crate::terminal::shown::{Drawn, Tamed};
use crate::terminal::{hang, tame};
use crate::words::check::{self as say, Lacks};
use crate::words::plain;
use crate::world::{WIDTH, World};

/// What came of one record. Problems are written at once; the rest stands behind all of them.
struct Checked {
    bad: bool,
    unmet: bool,
    summary: String,
    /// Problems where they make one document with those of other records.
    problems: Vec<problems::ToldProblem>,
    /// What was required of it, for the same document.
    requirements: Vec<problems::Required>,
    /// What follows the summaries: output and errors.
    rest: [Drawn; 2],
}

pub(crate) fn run(arguments: &Check, form: Form, world: &mut World<'_>) -> Result<(), Failure> {
    let required = requirement::parse(&arguments.require)?;
    let asked = !arguments.choice.methods.is_empty() || !required.is_empty();
    let chosen = if asked { job::methods(&arguments.choice, form, world)? } else { Vec::new() };
    // Mistakes of a table end no check: the parts it names are only known beside a record.
    let (tables, of_tables) = Tables::with_mistakes(&arguments.joined, world);
    if !form.is_json() {
        problems::show(form, world.out_styled, tables.sources(), &of_tables, world.out)?;
    }
    let mut all: Vec<Checked> = Vec::new();
    let inputs = Inputs::new(&arguments.records, world);
    let wrong = many::each(
        inputs,
        How { threads: arguments.many.threads, form },
        world,
        &|input, world| one(input, arguments, (&required, &tables), &chosen, form, world),
        &mut |checked, _| {
            all.push(checked);
            Ok(())
        },
    )?;
    let (texts, unmatched) = tables.unmatched();
    if form.is_json() {
        let mut problems = problems::values(tables.sources(), &of_tables);
        problems.extend(all.iter_mut().flat_map(|c| std::mem::take(&mut c.problems)));
        problems.extend(problems::values(&texts, &unmatched));
        let requirements = all.iter_mut().flat_map(|c| std::mem::take(&mut c.requirements)).collect();
        problems::document(form, problems, requirements, world.out)?;
    } else {
        problems::show(form, world.out_styled, &texts, &unmatched, world.out)?;
    }
    let strictly = arguments.strict && !(unmatched.is_empty() && of_tables.is_empty());
    let wrong = wrong || any_error(&of_tables) || strictly;
    if form == Form::Marked {
        for checked in &all {
            write!(world.out, "{}", hang("", &checked.summary, WIDTH))?;
        }
    }
    for Checked { rest: [out, err], .. } in &all {
        world.out.drawn(out)?;
        world.err.drawn(err)?;
    }
    match (wrong || all.iter().any(|c| c.bad), all.iter().any(|c| c.unmet)) {
        (true, _) => Err(Failure::Shown),
        (false, true) => Err(Failure::NotMet),
        (false, false) => Ok(()),
    }
}

/// Checks one record.
fn one(
    input: &Input,
    arguments: &Check,
    (required, tables): (&[Required], &Tables),
    chosen: &[Chosen],
    form: Form,
    world: &mut World<'_>,
) -> Result<Checked, Failure> {
    let taken = tables.one_of(input, world);
    let mut problems = Vec::new();
    if form.is_json() {
        problems = problems::values(&taken.sources, &taken.problems);
    } else {
        problems::show(form, world.out_styled, &taken.sources, &taken.problems, world.out)?;
    }
    let error = any_error(&taken.problems);
    let mut checked = Checked {
        bad: error || arguments.strict && !taken.problems.is_empty(),
        unmet: false,
        summary: format!("{}: {}", tame(&taken.name), counted(&taken.problems)),
        problems,
        requirements: Vec::new(),
        rest: [Drawn::default(), Drawn::default()],
    };
    let Some(record) = taken.record.filter(|_| !(error || chosen.is_empty() && required.is_empty())) else {
        return Ok(checked);
    };
    let (mut out, mut err) = (Tamed::new(Vec::new()), Tamed::new(Vec::new()));
    let mut later = World {
        input: None,
        out: &mut out,
        err: &mut err,
        out_styled: world.out_styled,
        err_styled: world.err_styled,
        err_terminal: false,
        base: world.base,
        layout: world.layout,
    };
    let fitting = job::fitting(&record, &arguments.choice, chosen)?;
    let kept = Kept::default();
    let assess = |m: &Method| Assessment::keeping(&record, m, Effort::default(), &kept);
    let assessed: Vec<Assessment> = fitting.iter().map(|c| assess(&c.method)).collect();
    let gated: Vec<Assessment> = match arguments.verdict {
        _ if required.is_empty() => Vec::new(),
        VerdictOf::Full => assessed.clone(),
        VerdictOf::Bench => fitting.iter().map(|c| assess(&c.of(VerdictOf::Bench))).collect(),
    };
    if !required.is_empty() && !form.is_json() {
        for chosen in &fitting {
            let said = Both::of(&record, chosen, &kept).said();
            let text = format!("{}: {}: {}", tame(&taken.name), tame(&chosen.method.id.value), tame(&said));
            write!(later.out, "{}", hang("", &text, WIDTH))?;
        }
    }
    if !arguments.choice.methods.is_empty() && !form.is_json() {
        for assessment in &assessed {
            lacking(&taken.name, &taken.sources, &record, assessment, &mut later)?;
        }
    }
    checked.requirements = met(&taken.name, (required, arguments.verdict), &gated, form, &mut later)?;
    checked.unmet = checked.requirements.iter().any(|r| !r.met);
    checked.rest = [out.into_drawn(), err.into_drawn()];
    Ok(checked)
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
    let lacks = if count > 0 && assessment.method.no_total().is_some() {
        Lacks::WithoutTotal(count)
    } else if count == 0 {
        Lacks::Nothing
    } else if assessment.settled() {
        Lacks::Settled(count)
    } else {
        Lacks::Open(count)
    };
    let head = say::lacks(&method, &lacks, &tame(name), &tame(&record.device.name.value));
    write!(world.out, "{}", hang("", &head, WIDTH))?;
    if let Some(said) = assessment.heaviest_said() {
        write!(world.out, "{}", hang("", &say::limits_read(&tame(&said)), WIDTH))?;
    }
    for (i, unknown) in assessment.unknowns.iter().enumerate() {
        let lead = format!("{:>4}. ", i + 1);
        write!(world.out, "{}", hang(&lead, &tame(&unknown.question), WIDTH))?;
        let answers: Vec<String> = unknown.answers.iter().map(|a| tame(&a.label)).collect();
        let answers = shortened(&answers, 6);
        let place = tame(&unknown.place(sources));
        write!(world.out, "{}", hang("      ", &say::can_be(&place, &tame(&unknown.path), &answers), WIDTH))?;
    }
    Ok(())
}

/// The first few of a list.
pub(crate) fn shortened(list: &[String], most: usize) -> String {
    if list.len() <= most {
        return list.join(" | ");
    }
    plain::first_of(&list[..most - 1], list.len())
}

/// How every requirement fares; those that don't hold are said on the error stream.
fn met(
    name: &str,
    (required, verdict): (&[Required], VerdictOf),
    assessed: &[Assessment],
    form: Form,
    world: &mut World<'_>,
) -> Result<Vec<problems::Required>, Failure> {
    let mut all = Vec::new();
    for requirement in required {
        let judged = requirement.judge(assessed)?;
        if !judged.met || form == Form::Marked {
            let line = say::requirement(&tame(name), &requirement.text, judged.met, verdict, &judged.why);
            let to: &mut dyn Write = if judged.met { &mut *world.out } else { &mut *world.err };
            write!(to, "{}", hang("", &line, WIDTH))?;
        }
        all.push(problems::Required {
            file: tame(name),
            requirement: requirement.text.clone(),
            verdict: verdict.word(),
            met: judged.met,
            by: judged.by,
        });
    }
    Ok(all)
}
