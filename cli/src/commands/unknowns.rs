//! `unfasten unknowns`: what to find out next, and how firm the verdict is.

use std::io::Write;

use report::json::VERSION;
use scoring::assess::Kept;
use scoring::compare::hinging;
use scoring::exact::Rounding;
use scoring::method::{Method, Standing};
use scoring::range::asking::{To, asks, asks_of, most};
use scoring::range::firmness::{EndName, Firmness};
use scoring::range::questions::{EXACT_TO, Guide, Leads, Question, Settling};
use scoring::range::{Case, Effort, Range, Study, binding, fitted};
use scoring::record::Record;
use scoring::text::Sources;
use scoring::text::csv::cell;

use crate::arguments::{Unknowns, UnknownsFormat};
use crate::both::Both;
use crate::documents::{self, Asked, Firm};
use crate::failure::Failure;
use crate::job;
use crate::problems::Form;
use crate::support::Tables;
use crate::terminal::shown::Shown;
use crate::terminal::waiting::watched;
use crate::terminal::{clock, hang, plural, tame};
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
            return Err(Failure::wrong("--most tells its questions as text or as a table", "use --format text or csv"));
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
                let head = format!(
                    "{}, {}: {}",
                    record.device.name.value,
                    method.id.value,
                    Both::of(&record, one, &kept).said()
                );
                write!(world.out, "{}", hang("", &tame(&head), WIDTH))?;
                told(&guide, binding(&method, &record), &study, &sources, world.out)?;
                firmness.iter().try_for_each(|f| firm(f, world.out))?;
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
        let cells = [&ask.key, "", &ask.question, ask.found.words(), &time, &line, &such, &ask.form];
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
    let said = |r: &Range| would(standing, &r.shown(method), r.classes(method).as_ref());
    let Some(found) = most(&study, &asked, count) else {
        write!(out, "{}", hang("", "Nothing is open: every fact the method reads is settled.", WIDTH))?;
        return Ok(());
    };
    let head = format!("{}, {}: {}", record.device.name.value, method.id.value, said(&found.now));
    write!(out, "{}", hang("", &tame(&head), WIDTH))?;
    let rest = asked.iter().filter(|a| !a.last && !a.unknowns.is_empty()).count();
    let text = format!(
        "The {} that matter most, of {rest}. Answered for the worst they would leave {}, for the best {}.",
        plural(found.asks.len(), "question"),
        said(&found.then[0]),
        said(&found.then[1])
    );
    write!(out, "{}", hang("  ", &text, WIDTH))?;
    for (n, &i) in found.asks.iter().enumerate() {
        let ask = &asked[i];
        write!(out, "{}", hang(&format!("{:>4}. ", n + 1), &tame(&ask.question), WIDTH))?;
        let time = ask.at.map_or_else(String::new, |s| format!(" at {}", clock(s)));
        let line = ask.line.map_or_else(|| "not in the record yet".to_owned(), |l| format!("line {l}"));
        write!(out, "{}", hang("      ", &tame(&format!("{}{time}; {line}", ask.found.words())), WIDTH))?;
    }
    write!(out, "{}", hang("  ", "`unfasten answer` asks them; `--format csv` makes a table to fill in.", WIDTH))?;
    Ok(())
}

/// `4.0 to 9.5`, `class D to B`, `no total`.
pub(crate) fn range_said(shown: &[String; 2], classes: Option<&[String; 2]>) -> String {
    let range = match shown {
        [low, high] if low.is_empty() && high.is_empty() => "no total".to_owned(),
        [low, high] if low == high => low.clone(),
        [low, high] if [low.as_str(), high] == ["fail", "pass"] => "not settled".to_owned(),
        [low, high] => format!("{low} to {high}"),
    };
    match classes {
        Some([low, high]) if low == high => format!("{range}, class {low}"),
        Some([low, high]) => format!("{range}, class {low} to {high}"),
        None => range,
    }
}

/// A verdict of a rule that does not surely bind the device is what would be.
pub(crate) fn would(standing: Standing, shown: &[String; 2], classes: Option<&[String; 2]>) -> String {
    let said = range_said(shown, classes);
    if standing.day().is_some() && decided(shown) { format!("would {said}") } else { said }
}

/// Whether both ends are one verdict of a rule that is met or not.
pub(crate) fn decided(shown: &[String; 2]) -> bool {
    shown[0] == shown[1] && matches!(&*shown[0], "pass" | "fail")
}

fn told(
    guide: &Guide,
    standing: Standing,
    study: &Study<'_>,
    sources: &Sources,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    if guide.questions.is_empty() {
        write!(out, "{}", hang("  ", "Nothing is open: every fact the method reads is settled.", WIDTH))?;
        return Ok(());
    }
    let of = if study.method().bench_verdict().is_some() { " of the full verdict" } else { "" };
    let order = format!("Open questions{of}. First what leaves least open in the worst case, then on average.");
    write!(out, "{}", hang("  ", &order, WIDTH))?;
    for (i, question) in guide.questions.iter().enumerate() {
        asked((i + 1, question), standing, study, sources, out)?;
    }
    writeln!(out)?;
    settles("the shown verdict", &guide.settles_verdict, guide, out)?;
    if let Some(class) = &guide.settles_class {
        settles("the class", class, guide, out)?;
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
    write!(out, "{}", hang("      at ", &tame(&format!("{place}, {}", question.path)), WIDTH))?;
    // Answers that lead to the same are told together.
    let mut groups: Vec<(String, Vec<&Leads>)> = Vec::new();
    for leads in &question.answers {
        let said = would(standing, &leads.shown, leads.classes.as_ref());
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
        writeln!(out, "        and {more} more outcomes: --format json")?;
    }
    Ok(())
}

fn settles(what: &str, settling: &Settling, guide: &Guide, out: &mut dyn Write) -> Result<(), Failure> {
    let mut numbers: Vec<usize> = settling
        .unknowns
        .iter()
        .filter_map(|u| guide.questions.iter().position(|q| q.unknown == *u))
        .map(|i| i + 1)
        .collect();
    numbers.sort_unstable();
    let list: Vec<String> = numbers.iter().map(ToString::to_string).collect();
    let all = guide.questions.len();
    let text = match (numbers.len(), settling.smallest) {
        (0, _) => format!("{what} is settled as it stands."),
        // That everything settles it goes without saying.
        (1, _) if all == 1 => format!("{what} hangs on this one question."),
        (n, true) if n == all => {
            format!("{what} needs an answer to every one of the {all} questions: no fewer settle it.")
        }
        (n, false) if n == all => format!("no smaller set of questions than all {all} was found that settles {what}."),
        (n, true) => format!(
            "{what} is settled by {} ({}), whatever the answers; no fewer do it.",
            plural(n, "question"),
            list.join(", ")
        ),
        (n, false) => format!(
            "{what} is settled by {} ({}), whatever the answers; found greedily (proved to {EXACT_TO} questions), so fewer may do.",
            plural(n, "question"),
            list.join(", ")
        ),
    };
    let mut letters = text.chars();
    let text: String = letters.next().map(char::to_uppercase).into_iter().flatten().chain(letters).collect();
    write!(out, "{}", hang("  ", &text, WIDTH))?;
    Ok(())
}

/// How firm a verdict is, in a terminal.
fn firm(Firm { rules: firmness, facts }: &Firm, out: &mut dyn Write) -> Result<(), Failure> {
    let end = |end: EndName| match end {
        EndName::Settled => "",
        EndName::Low => " at the low end",
        EndName::High => " at the high end",
    };
    let hinges: Vec<String> = firmness
        .hinges
        .iter()
        .map(|h| {
            let part = h.role.as_ref().map(|r| format!(", {r}")).unwrap_or_default();
            format!("{}{part} ({}) one row off: {} becomes {}{}", h.title, h.said, h.class[0], h.class[1], end(h.end))
        })
        .collect();
    list("It hinges on these criteria:", &hinges, out)?;
    let facts: Vec<String> = facts
        .iter()
        .map(|f| format!("{} ({}): {} becomes {}{}", f.text, f.path, f.class[0], f.class[1], end(f.end)))
        .collect();
    list("And on these facts, each changed alone:", &facts, out)?;
    let weights: Vec<String> = firmness
        .weights
        .iter()
        .filter(|w| w.from.is_some() || w.to.is_some())
        .map(|w| {
            let moves: Vec<String> = [("below", &w.from), ("above", &w.to)]
                .into_iter()
                .filter_map(|(way, bound)| bound.as_ref().map(|b| (way, b)))
                .map(|(way, b)| format!("{way} {} it is class {}", b.weight.display(3, Rounding::HalfUp), b.class))
                .collect();
            format!("{} weighs {}; {}{}", w.id, w.weight.plain(), moves.join(", "), end(w.end))
        })
        .collect();
    list("Weights that could move the class:", &weights, out)?;
    let low = &firmness.low_certainty;
    if !low.criteria.is_empty() {
        let text = format!(
            "{} from memory of medium or low certainty; were they all wrong, the verdict could lie anywhere from {}.",
            plural(low.criteria.len(), "criterion").replace("criterions", "criteria"),
            range_said(&low.shown, low.classes.as_ref())
        );
        write!(out, "{}", hang("  ", &text, WIDTH))?;
    }
    let readings: Vec<String> = firmness
        .readings
        .iter()
        .map(|r| {
            let said = range_said(&r.shown, r.classes.as_ref());
            let differs = if r.differs { "" } else { " (no difference)" };
            format!("{}={} ({}): {said}{differs}", r.switch, r.option, r.means)
        })
        .collect();
    list("Other readings of open rules:", &readings, out)
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
        writeln!(out, "      and {more} more: --format json")?;
    }
    Ok(())
}
