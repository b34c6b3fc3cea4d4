//! `unfasten answer`: open questions answered into the file itself, every other byte as it was.

use std::fs;
use std::io::IsTerminal;
use std::path::{Path, PathBuf};

use scoring::method::Method;
use scoring::range::asking::{Ask, To, asks, asks_of, leads};
use scoring::range::{Effort, Study, fitted};
use scoring::record::Record;
use scoring::text::edit::{Refused, TextChange, change, place};
use scoring::text::{Diagnostic, NotTaken, Severity, Source, Sources, Span, csv, fold};

use crate::arguments::{Answer, Joined};
use crate::ends::Ends;
use crate::failure::Failure;
use crate::files::{folder, inputs::Input, read};
use crate::job;
use crate::problems::Form;
use crate::support::Tables;
use crate::terminal::{hang, player, tame};
use crate::words::answer as say;
use crate::words::plain;
use crate::world::{WIDTH, World};

/// Work that may go into saying where an answer leads: a person waits for it.
const PATIENCE: Effort = Effort { looks: 24, states: 20_000, pool: 200_000 };

pub(crate) fn run(arguments: &Answer, form: Form, world: &mut World<'_>) -> Result<(), Failure> {
    if arguments.record == "-" {
        return Err(Failure::wrong(say::NOT_INTO_INPUT, plain::NAME_ITS_FILE));
    }
    let chosen = job::methods(&arguments.choice, form, world)?;
    let joined = Joined { support: Vec::new(), on: arguments.on.clone() };
    let desk = Tables::read(&joined, form, world)?;
    let mut taken = desk.record(&arguments.record, world);
    // That a draft awaits review is why somebody is here; what still does is said in the end.
    taken.problems.retain(|d| d.code != "not-reviewed");
    let (_, _, record) = taken.usable(form, world)?;
    let method = fitted(&job::fitting(&record, &arguments.choice, &chosen)?[0].method, &record);
    let mut file = File::open(&arguments.record, &desk)?;
    match &arguments.from {
        Some(list) => {
            from_list(&mut file, list, &method, world)?;
            unreviewed(&file, world)
        }
        None if std::io::stdin().is_terminal() => {
            let player = arguments.player.clone();
            let talk = Talk {
                file,
                method,
                player,
                passed: Vec::new(),
                apart: Vec::new(),
                unlooked: false,
                before: Vec::new(),
            };
            unreviewed(&talk.run(world)?, world)
        }
        None => Err(Failure::said(say::NO_TERMINAL)),
    }
}

/// The record's file and what it holds.
struct File<'d> {
    /// The bench sheet it is read on.
    desk: &'d Tables,
    /// As it was named.
    name: String,
    /// Where it is, links followed.
    path: PathBuf,
    text: String,
}

impl<'d> File<'d> {
    fn open(name: &str, desk: &'d Tables) -> Result<Self, Failure> {
        let failed = |e: std::io::Error| Failure::Failed(say::unreadable(name, &e));
        let path = fs::canonicalize(name).map_err(failed)?;
        let text = fs::read_to_string(&path).map_err(failed)?;
        Ok(Self { desk, name: name.to_owned(), path, text })
    }

    /// The text with an answer's changes made, if it still reads as a record without an error.
    fn with(&self, changes: &[TextChange], world: &mut World<'_>) -> Result<String, NotTaken> {
        // A byte-order mark stands outside what is edited.
        let body = self.text.strip_prefix('\u{feff}').unwrap_or(&self.text);
        let mark = &self.text[..self.text.len() - body.len()];
        let no = |what: String, mend: &str| NotTaken { what, mend: mend.to_owned() };
        let text = change(&Source::new(&self.name, body), changes).map_err(|(change, why)| match why {
            Refused::NotYaml => no(say::NO_YAML.to_owned(), plain::SEE_CHECK),
            Refused::NoPlace => no(say::no_place(change.path()), say::TAKE_PATHS),
            Refused::NoValue => {
                let value = if let TextChange::Set(_, value) = &change { value } else { "" };
                no(say::no_value(value), say::QUOTE_IT)
            }
        })?;
        let text = format!("{mark}{text}");
        match reading((self.desk, &self.name), &text, world).1.into_iter().find(|d| d.severity == Severity::Error) {
            Some(error) => Err(no(error.message, error.mend.as_deref().unwrap_or(plain::SEE_CHECK))),
            None => Ok(text),
        }
    }

    /// Writes the file whole, or not at all.
    fn write(&mut self, text: String) -> Result<(), Failure> {
        folder::replace(&self.path, text.as_bytes())?;
        self.text = text;
        Ok(())
    }
}

/// What a draft wrote and nobody has reviewed yet, in one line; nothing where all is.
fn unreviewed(file: &File<'_>, world: &mut World<'_>) -> Result<(), Failure> {
    let problems = reading((file.desk, &file.name), &file.text, world).1;
    if let Some(left) = problems.iter().find(|d| d.code == "not-reviewed") {
        write!(world.err, "{}", hang("", &tame(&say::unreviewed(&left.message)), WIDTH))?;
    }
    Ok(())
}

/// A text read as a record under a name.
fn reading(
    (desk, name): (&Tables, &str),
    text: &str,
    world: &mut World<'_>,
) -> (Option<(Sources, Record)>, Vec<Diagnostic>) {
    let input = Input { file: name.to_owned(), line: None, text: Some(Ok(text.as_bytes().to_vec())) };
    let taken = desk.one_of(&input, world);
    (taken.record.map(|r| (taken.sources, r)), taken.problems)
}

/// Answers of a table with the columns `path` and `answer`: all of them, or none.
fn from_list(file: &mut File<'_>, list: &str, method: &Method, world: &mut World<'_>) -> Result<(), Failure> {
    let mut sources = Sources::new();
    let id = match read::text(list, read::Kind::Table, world, &mut sources) {
        Ok(id) => id,
        Err(problem) => return Err(Failure::Problems(sources, vec![*problem])),
    };
    let (rows, mut wrong) = csv::rows(sources.get(id), id);
    let Some((head, body)) = rows.split_first() else {
        return Err(Failure::said(say::no_table(list)));
    };
    let column = |name: &str| head.cells.iter().position(|c| fold(&c.value) == name);
    let (Some(path), Some(answer)) = (column("path"), column("answer")) else {
        return Err(Failure::said(say::lacks_columns(list)));
    };
    let (read, _) = reading((file.desk, &file.name), &file.text, world);
    let Some((own, record)) = read else {
        return Err(Failure::wrong(say::no_record(&file.name), plain::SEE_CHECK));
    };
    let asked = asks(&record, &own, method);
    let before = file.text.clone();
    let mut count = 0;
    // What is taken out goes last, so that the paths of all other lines hold.
    let mut gone: Vec<(Vec<TextChange>, Span, &str)> = Vec::new();
    let held = Source::new(&file.name, before.strip_prefix('\u{feff}').unwrap_or(&before));
    let refused = |key: &str, at: Span, NotTaken { what, mend }: NotTaken| {
        // The row by what it answers, and where that stands in the record.
        let path = key.split(';').next().unwrap_or(key).trim();
        let line = asked.iter().find(|a| a.key == key).and_then(|a| a.line);
        let line = line.or_else(|| place(&held, path).map(|span| held.position(span.start).line));
        Diagnostic::error("table-syntax", at, format!("{key}: {what}"))
            .because(say::row_refused(line, &held.name))
            .mend(mend)
    };
    let mut answered: Vec<String> = Vec::new();
    for row in body {
        let (Some(path), Some(answer)) = (row.cells.get(path), row.cells.get(answer)) else { continue };
        let (key, said) = (path.value.trim(), answer.value.trim());
        if said.is_empty() {
            continue;
        }
        let changed = match asked.iter().find(|a| a.key == key) {
            Some(ask) => ask.changes(said, &record),
            // Any path may be answered, asked for or not.
            None => Ok(key.split(';').map(|p| TextChange::Set(p.trim().to_owned(), said.to_owned())).collect()),
        };
        let twice = changed.as_ref().ok().and_then(|list| list.iter().find(|c| answered.iter().any(|a| a == c.path())));
        let result = match (changed.clone(), twice) {
            (_, Some(twice)) => {
                Err(NotTaken { what: say::answered_above(twice.path()), mend: say::LET_ONE_BE_EMPTY.to_owned() })
            }
            (Ok(list), None) => {
                let (removed, set): (Vec<TextChange>, Vec<TextChange>) =
                    list.into_iter().partition(TextChange::takes_out);
                if !removed.is_empty() {
                    gone.push((removed, answer.span, key));
                }
                answered.extend(set.iter().map(|c| c.path().to_owned()));
                if set.is_empty() { Ok(file.text.clone()) } else { file.with(&set, world) }
            }
            (Err(no), None) => Err(no),
        };
        match result {
            Ok(text) => {
                file.text = text;
                count += 1;
            }
            Err(no) => wrong.push(refused(key, answer.span, no)),
        }
    }
    if wrong.is_empty() {
        // All at once, since paths of what goes later hang on what goes first; a row that can't go even alone is named, and
        // else the first with which those before it can't.
        let all =
            |rows: &[(Vec<TextChange>, Span, &str)]| rows.iter().flat_map(|(c, ..)| c.clone()).collect::<Vec<_>>();
        match if gone.is_empty() { Ok(file.text.clone()) } else { file.with(&all(&gone), world) } {
            Ok(text) => file.text = text,
            Err(_) => {
                for (changes, at, key) in &gone {
                    wrong.extend(file.with(changes, world).err().map(|no| refused(key, *at, no)));
                }
                let together = |n: &usize| file.with(&all(&gone[..*n]), world).err().map(|no| (*n, no));
                let first = if wrong.is_empty() {
                    (1..=gone.len()).collect::<Vec<_>>().iter().find_map(together)
                } else {
                    None
                };
                wrong.extend(first.map(|(n, no)| refused(gone[n - 1].2, gone[n - 1].1, no)));
            }
        }
    }
    let text = std::mem::replace(&mut file.text, before);
    if !wrong.is_empty() {
        return Err(Failure::Problems(sources, wrong));
    }
    if count > 0 {
        file.write(text)?;
    }
    write!(world.err, "{}", hang("", &tame(&say::wrote(count, &file.name)), WIDTH))?;
    Ok(())
}

/// How things stood before an answer.
struct Before {
    text: String,
    passed: Vec<String>,
    unlooked: bool,
}

/// Questions and answers at a terminal.
struct Talk<'d> {
    file: File<'d>,
    method: Method,
    player: Option<String>,
    /// Questions left for later, and lists that were ticked.
    passed: Vec<String>,
    /// Questions of several things that are asked one by one.
    apart: Vec<String>,
    /// Nobody looked at the promises.
    unlooked: bool,
    before: Vec<Before>,
}

impl<'d> Talk<'d> {
    /// Asks until nothing is left or somebody stops; gives the file back.
    fn run(mut self, world: &mut World<'_>) -> Result<File<'d>, Failure> {
        write!(world.out, "{}", hang("", say::HOW, WIDTH))?;
        loop {
            let (read, _) = reading((self.file.desk, &self.file.name), &self.file.text, world);
            let Some((sources, record)) = read else {
                return Err(Failure::wrong(say::no_record_any_more(&self.file.name), plain::SEE_CHECK));
            };
            let on_bench = record.on_bench();
            let study = Study::new(on_bench.as_ref().unwrap_or(&record), &self.method, PATIENCE);
            let all = asks_of(&record, &sources, &self.method, &study.case);
            let (left, passed): (Vec<Ask>, Vec<Ask>) = all
                .into_iter()
                .flat_map(|a| if self.apart.contains(&a.key) { a.apart() } else { vec![a] })
                .partition(|a| !(self.passed.contains(&a.key) || a.promise && self.unlooked));
            // What a list to tick may still settle is not counted twice.
            let count = left.iter().filter(|a| !a.last).count();
            let Some(ask) = left.into_iter().next() else {
                let left = passed.iter().filter(|a| !matches!(a.to, To::Looked | To::Order(..))).count();
                write!(world.out, "\n{}", hang("", &say::end(left), WIDTH))?;
                return Ok(self.file);
            };
            self.show(&ask, count.max(1), &study, world)?;
            if !self.hear(&ask, &record, world)? {
                return Ok(self.file);
            }
        }
    }

    fn show(&self, ask: &Ask, left: usize, study: &Study<'_>, world: &mut World<'_>) -> Result<(), Failure> {
        let place = say::place(ask.found.words(), ask.at, ask.line, &ask.key, left);
        write!(world.out, "\n{}", hang("", &tame(&ask.question), WIDTH))?;
        write!(world.out, "{}", hang("  ", &tame(&place), WIDTH))?;
        let times: Vec<Option<u32>> = match &ask.to {
            To::Order(_, of) => of.iter().map(|o| o.at).collect(),
            _ => Vec::new(),
        };
        let leads = leads(study, ask);
        for (i, offer) in ask.offers.iter().enumerate() {
            let said = leads.get(i).map(|range| {
                let (shown, classes) = (range.shown(&self.method), range.classes(&self.method));
                plain::range(&Ends::of(&self.method, &shown, classes.as_ref()))
            });
            let text = say::offer(&offer.answer, times.get(i).copied().flatten(), &offer.means, said.as_deref());
            write!(world.out, "{}", hang(&format!("  {:>2}  ", i + 1), &tame(&text), WIDTH))?;
        }
        write!(world.out, "{}", hang("  ", &tame(&ask.forms()), WIDTH))?;
        world.out.flush()?;
        Ok(())
    }

    /// Takes one answer. False to stop.
    fn hear(&mut self, ask: &Ask, record: &Record, world: &mut World<'_>) -> Result<bool, Failure> {
        // What can't be asked any more (the terminal is gone, or somebody pressed Ctrl-C) ends the talk; all is written.
        let Ok(line) = dialoguer::Input::<String>::new().with_prompt(say::PROMPT).allow_empty(true).interact_text()
        else {
            return Ok(false);
        };
        let line = line.trim().to_owned();
        match &*line {
            "" => self.passed.push(ask.key.clone()),
            "q" => return Ok(false),
            "u" => match self.before.pop() {
                Some(before) => {
                    self.file.write(before.text)?;
                    (self.passed, self.unlooked) = (before.passed, before.unlooked);
                }
                None => write!(world.out, "{}", hang("", say::NOTHING_TO_UNDO, WIDTH))?,
            },
            "p" => self.play(ask, record, world)?,
            "each" if ask.many() > 1 => self.apart.push(ask.key.clone()),
            answer => {
                self.fresh(world)?;
                let made = ask.changes(answer, record).and_then(|changes| {
                    if changes.is_empty() { Ok(self.file.text.clone()) } else { self.file.with(&changes, world) }
                });
                match made {
                    Ok(text) => {
                        let (passed, unlooked) = (self.passed.clone(), self.unlooked);
                        self.before.push(Before { text: self.file.text.clone(), passed, unlooked });
                        // What was not ticked is asked under what comes off next.
                        if matches!(ask.to, To::Order(..) | To::Looked) {
                            self.passed.push(ask.key.clone());
                            self.unlooked |= ask.to == To::Looked && matches!(&*fold(answer), "no" | "2");
                        }
                        self.file.write(text)?;
                    }
                    Err(NotTaken { what, mend }) => write!(world.out, "{}", crate::failure::told(&what, &mend))?,
                }
            }
        }
        Ok(true)
    }

    /// Takes in what somebody saved in the meantime with an editor, so that it isn't lost.
    fn fresh(&mut self, world: &mut World<'_>) -> Result<(), Failure> {
        let now = File::open(&self.file.name, self.file.desk)?;
        if now.text != self.file.text {
            write!(world.out, "{}", hang("", say::CHANGED_MEANWHILE, WIDTH))?;
            self.before.clear();
            self.file = now;
        }
        Ok(())
    }

    /// Opens the footage. `{time}` (seconds) and `{video}` in the command are filled in; no shell takes part.
    fn play(&self, ask: &Ask, record: &Record, world: &mut World<'_>) -> Result<(), Failure> {
        let mut tell = |text: &str| write!(world.out, "{}", hang("", &tame(text), WIDTH));
        let Some(player) = &self.player else {
            tell(say::NO_PLAYER)?;
            return Ok(());
        };
        let Some(at) = ask.at else {
            tell(say::NO_TIME)?;
            return Ok(());
        };
        // A command that names the footage itself needs no `video` in the record; a draft has none.
        let folder = Path::new(&self.file.path).parent().unwrap_or(Path::new("."));
        let video = match &record.teardown.video {
            Some(video) => folder.join(&video.value),
            None if !player.contains("{video}") => PathBuf::new(),
            None => {
                tell(say::NO_VIDEO)?;
                return Ok(());
            }
        };
        if let Err((program, e)) = player::open(player, at, &video) {
            tell(&say::not_run(&program, &e))?;
        }
        Ok(())
    }
}
