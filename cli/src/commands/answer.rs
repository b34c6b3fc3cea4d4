//! `unfasten answer`: open questions answered into the file itself, every other byte as it was.

use std::fs;
use std::io::IsTerminal;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use scoring::method::Method;
use scoring::range::fitted;
use scoring::record::Record;
use scoring::text::edit::{Refused, set};
use scoring::text::{Diagnostic, Severity, Source, Sources, csv, fold};

use crate::arguments::{Answer, Joined};
use crate::asking::{Ask, asks};
use crate::failure::Failure;
use crate::files::{folder, inputs::Input, read};
use crate::job;
use crate::problems::Form;
use crate::support::Tables;
use crate::terminal::{clock, hang, plural, tame};
use crate::world::{WIDTH, World};

/// Answers offered by number.
const OFFERED: usize = 9;

pub(crate) fn run(arguments: &Answer, form: Form, world: &mut World<'_>) -> Result<(), Failure> {
    if arguments.record == "-" {
        return Err(Failure::wrong(
            "answers are written into a file, not into standard input",
            "name the record's file",
        ));
    }
    let chosen = job::methods(&arguments.choice, form, world)?;
    let joined = Joined { support: Vec::new(), on: arguments.on.clone() };
    let desk = Tables::read(&joined, form, world)?;
    let (_, _, record) = desk.record(&arguments.record, world).usable(form, world)?;
    let method = fitted(&job::fitting(&record, &arguments.choice, &chosen)?[0].method, &record);
    let mut file = File::open(&arguments.record, &desk)?;
    match &arguments.from {
        Some(list) => from_list(&mut file, list, world),
        None if std::io::stdin().is_terminal() => {
            Talk { file, method, player: arguments.player.clone(), skipped: Vec::new(), before: Vec::new() }.run(world)
        }
        None => Err(Failure::wrong(
            "questions are asked at a terminal, and this is none",
            "answer them with --from answers.csv; `unfasten unknowns RECORD --format csv` makes one to fill in",
        )),
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

/// Why an answer can't stand: what, and the mend.
type No = (String, String);

impl<'d> File<'d> {
    fn open(name: &str, desk: &'d Tables) -> Result<Self, Failure> {
        let failed = |e: std::io::Error| Failure::Failed(format!("`{name}` can't be read: {e}"));
        let path = fs::canonicalize(name).map_err(failed)?;
        let text = fs::read_to_string(&path).map_err(failed)?;
        Ok(Self { desk, name: name.to_owned(), path, text })
    }

    /// The text with a value set, if it still reads as a record without an error.
    fn with(&self, path: &str, value: &str, world: &mut World<'_>) -> Result<String, No> {
        // A byte-order mark stands outside what is edited.
        let body = self.text.strip_prefix('\u{feff}').unwrap_or(&self.text);
        let mark = &self.text[..self.text.len() - body.len()];
        let source = Source::new(&self.name, body);
        let edit = set(&source, path, value).map_err(|why| match why {
            Refused::NotYaml => ("the record can't be read as YAML".to_owned(), "see `unfasten check`".to_owned()),
            Refused::NoPlace => {
                (format!("there is no place `{path}` in this record"), "take paths from `unfasten unknowns`".to_owned())
            }
            Refused::NoValue => (
                format!("`{value}` is no single value"),
                "put text that holds `: `, `#`, a comma or a bracket in quotes".to_owned(),
            ),
        })?;
        let text = format!("{mark}{}", edit.apply(body));
        match reading((self.desk, &self.name), &text, world).1.into_iter().find(|d| d.severity == Severity::Error) {
            Some(error) => Err((error.message, error.mend.unwrap_or_else(|| "see `unfasten check`".to_owned()))),
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
fn from_list(file: &mut File<'_>, list: &str, world: &mut World<'_>) -> Result<(), Failure> {
    let mut sources = Sources::new();
    let id = match read::text(list, read::Kind::Table, world, &mut sources) {
        Ok(id) => id,
        Err(problem) => return Err(Failure::Problems(sources, vec![*problem])),
    };
    let (rows, mut wrong) = csv::rows(sources.get(id), id);
    let Some((head, body)) = rows.split_first() else {
        return Err(Failure::wrong(
            format!("`{list}` holds no table"),
            "make one with `unfasten unknowns RECORD --format csv`",
        ));
    };
    let column = |name: &str| head.cells.iter().position(|c| fold(&c.value) == name);
    let (Some(path), Some(answer)) = (column("path"), column("answer")) else {
        return Err(Failure::wrong(
            format!("`{list}` lacks a column `path` or `answer`"),
            "let its first line name them; `unfasten unknowns RECORD --format csv` makes such a table",
        ));
    };
    let before = file.text.clone();
    let mut count = 0;
    for row in body {
        let (Some(path), Some(answer)) = (row.cells.get(path), row.cells.get(answer)) else { continue };
        if answer.value.trim().is_empty() {
            continue;
        }
        match file.with(path.value.trim(), answer.value.trim(), world) {
            Ok(text) => {
                file.text = text;
                count += 1;
            }
            Err((what, mend)) => wrong.push(
                Diagnostic::error("table-syntax", answer.span, what)
                    .because("This answer can't stand in the record; nothing was written.")
                    .mend(mend),
            ),
        }
    }
    let text = std::mem::replace(&mut file.text, before);
    if !wrong.is_empty() {
        return Err(Failure::Problems(sources, wrong));
    }
    if count > 0 {
        file.write(text)?;
    }
    write!(world.err, "{}", hang("", &tame(&format!("wrote {} into {}", plural(count, "answer"), file.name)), WIDTH))?;
    Ok(())
}

/// Questions and answers at a terminal.
struct Talk<'d> {
    file: File<'d>,
    method: Method,
    player: Option<String>,
    skipped: Vec<String>,
    /// Texts as they were before each answer.
    before: Vec<String>,
}

impl Talk<'_> {
    fn run(mut self, world: &mut World<'_>) -> Result<(), Failure> {
        write!(
            world.out,
            "{}",
            hang(
                "",
                "An answer is written into the file at once. A number takes an answer offered; nothing: ask later; u: undo; p: open the footage; q: stop.",
                WIDTH
            )
        )?;
        loop {
            let (read, _) = reading((self.file.desk, &self.file.name), &self.file.text, world);
            let Some((sources, record)) = read else {
                return Err(Failure::wrong(
                    format!("`{}` no longer reads as a record", self.file.name),
                    "see `unfasten check`",
                ));
            };
            let all = asks(&record, &sources, &self.method);
            let left = all.iter().filter(|a| !self.skipped.contains(&a.path)).count();
            let Some(ask) = all.into_iter().find(|a| !self.skipped.contains(&a.path)) else {
                let text = match self.skipped.len() {
                    0 => "Nothing is open any more.".to_owned(),
                    n => format!("{} left for later. Run it again to be asked.", plural(n, "question")),
                };
                write!(world.out, "\n{}", hang("", &text, WIDTH))?;
                return Ok(());
            };
            Self::show(&ask, left, world)?;
            if !self.hear(&ask, &record, world)? {
                return Ok(());
            }
        }
    }

    fn show(ask: &Ask, left: usize, world: &mut World<'_>) -> Result<(), Failure> {
        let time = ask.at.map_or_else(String::new, |s| format!(" at {}", clock(s)));
        let place = format!("{}{time}; line {}, {}; {left} open", ask.found.words(), ask.line, ask.path);
        write!(world.out, "\n{}", hang("", &tame(&ask.question), WIDTH))?;
        write!(world.out, "{}", hang("  ", &tame(&place), WIDTH))?;
        for (i, answer) in ask.answers.iter().take(OFFERED).enumerate() {
            write!(world.out, "{}", hang(&format!("  {}  ", i + 1), &tame(answer), WIDTH))?;
        }
        write!(world.out, "{}", hang("  ", ask.form, WIDTH))?;
        world.out.flush()?;
        Ok(())
    }

    /// Takes one answer. False to stop.
    fn hear(&mut self, ask: &Ask, record: &Record, world: &mut World<'_>) -> Result<bool, Failure> {
        // What can't be asked any more (the terminal is gone, or somebody pressed Ctrl-C) ends the talk; all is written.
        let Ok(line) = dialoguer::Input::<String>::new().with_prompt("answer").allow_empty(true).interact_text() else {
            return Ok(false);
        };
        let line = line.trim().to_owned();
        match &*line {
            "" => self.skipped.push(ask.path.clone()),
            "q" => return Ok(false),
            "u" => match self.before.pop() {
                Some(text) => {
                    self.file.write(text)?;
                    self.skipped.clear();
                }
                None => write!(world.out, "{}", hang("", "There is nothing to undo.", WIDTH))?,
            },
            "p" => self.play(ask, record, world)?,
            answer => {
                let offered = answer
                    .parse::<usize>()
                    .ok()
                    .filter(|n| !ask.form.starts_with("a number") && !ask.form.starts_with("years") && *n > 0);
                let answer =
                    offered.and_then(|n| ask.answers.iter().take(OFFERED).nth(n - 1)).map_or(answer, String::as_str);
                self.fresh(world)?;
                match self.file.with(&ask.path, answer, world) {
                    Ok(text) => {
                        self.before.push(self.file.text.clone());
                        self.file.write(text)?;
                    }
                    Err((what, mend)) => write!(world.out, "{}", crate::failure::told(&what, &mend))?,
                }
            }
        }
        Ok(true)
    }

    /// Takes in what somebody saved in the meantime with an editor, so that it isn't lost.
    fn fresh(&mut self, world: &mut World<'_>) -> Result<(), Failure> {
        let now = File::open(&self.file.name, self.file.desk)?;
        if now.text != self.file.text {
            write!(
                world.out,
                "{}",
                hang("", "The file was changed in the meantime; the answer goes into what it holds now.", WIDTH)
            )?;
            self.before.clear();
            self.file = now;
        }
        Ok(())
    }

    /// Opens the footage. `{time}` (seconds) and `{video}` in the command are filled in; no shell takes part.
    fn play(&self, ask: &Ask, record: &Record, world: &mut World<'_>) -> Result<(), Failure> {
        let mut say = |text: &str| write!(world.out, "{}", hang("", &tame(text), WIDTH));
        let Some(player) = &self.player else {
            say("Name a command with --player, such as --player 'COMMAND --start={time} {video}'.")?;
            return Ok(());
        };
        let (Some(at), Some(video)) = (ask.at, &record.teardown.video) else {
            say("This question has no time, or the record names no `video` under `teardown`.")?;
            return Ok(());
        };
        let video = Path::new(&self.file.path).parent().unwrap_or(Path::new(".")).join(&video.value);
        let filled: Vec<String> = player
            .split_whitespace()
            .map(|w| w.replace("{time}", &at.to_string()).replace("{video}", &video.to_string_lossy()))
            .collect();
        let Some((program, rest)) = filled.split_first() else { return Ok(()) };
        if let Err(e) =
            Command::new(program).args(rest).stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null()).spawn()
        {
            say(&format!("`{program}` can't be run: {e}"))?;
        }
        Ok(())
    }
}
