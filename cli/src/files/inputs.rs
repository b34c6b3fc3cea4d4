//! Which records are meant: files, folders, patterns the shell left alone, and files of many records.

use std::collections::BTreeSet;
use std::fs;
use std::io::{BufRead, BufReader, Cursor, Read};
use std::path::Path;

use scoring::text::Diagnostic;
use scoring::text::check::LARGEST;
use walkdir::WalkDir;

use super::lines::{self, Lines};
use super::read::{TOO_LARGE, bytes_of, complaint, unreadable};
use crate::words::files::{self as say, Complaint};
use crate::world::World;

/// Endings of records in a folder; `jsonl` holds one a line.
const ENDINGS: [&str; 3] = ["yaml", "yml", "jsonl"];

/// One record to read.
#[derive(Debug)]
pub(crate) struct Input {
    /// File as given; `-` is standard input.
    pub(crate) file: String,
    /// Which line of it, where it holds many.
    pub(crate) line: Option<u32>,
    /// Its text, where it had to be read to get here, or why there is none; `None`: still in its file.
    pub(crate) text: Option<Text>,
}

/// The bytes of a text, or why there are none.
type Text = Result<Vec<u8>, Box<Diagnostic>>;

impl Input {
    /// The name people know it by: the file, with the line where it holds many.
    pub(crate) fn name(&self) -> String {
        match self.line {
            Some(line) => format!("{}:{line}", self.file),
            None => self.file.clone(),
        }
    }

    fn wrong(file: &str, line: Option<u32>, problem: Box<Diagnostic>) -> Self {
        Self { file: file.to_owned(), line, text: Some(Err(problem)) }
    }
}

/// Something named, not opened yet.
enum Named<'w> {
    /// Standard input as one record.
    Text(Text),
    /// Standard input as many.
    Stream(Lines<'w>),
    File(String),
    Lines(String),
    Wrong(String, Box<Diagnostic>),
}

/// Records in the order they were named, read one by one; only the names of files are kept.
pub(crate) struct Inputs<'w> {
    named: std::vec::IntoIter<Named<'w>>,
    open: Option<(String, Lines<'w>, bool)>,
    notes: Vec<String>,
    total: usize,
}

impl<'w> Inputs<'w> {
    /// The records some arguments mean. Standard input holds one, or one a line where its first line is a whole object of
    /// JSON; of the latter no more is read than is asked for. A folder stands for all records below it in the order of their paths, a pattern
    /// for what it matches; links are followed, but not in a circle. What is wrong with an argument comes in its place.
    pub(crate) fn new(arguments: &[String], world: &mut World<'w>) -> Self {
        let mut notes = Vec::new();
        let mut named: Vec<Named<'w>> = Vec::new();
        for argument in arguments {
            if argument == "-" {
                named.push(stdin(world));
            } else {
                named.extend(meant(argument, &mut notes));
            }
        }
        Self { total: named.len(), named: named.into_iter(), open: None, notes }
    }

    /// What was passed over, in words.
    pub(crate) fn notes(&self) -> &[String] {
        &self.notes
    }

    /// Whether this is, or may turn out to be, more than one record.
    pub(crate) fn several(&self) -> bool {
        self.total > 1 || self.named.as_slice().iter().any(|n| matches!(n, Named::Lines(_) | Named::Stream(_)))
    }

    /// Whether anything named can be tried at all.
    pub(crate) fn any(&self) -> bool {
        self.named.as_slice().iter().any(|n| !matches!(n, Named::Wrong(..)))
    }

    /// How many records there are, where that can be told; reads files of many records through once.
    pub(crate) fn count(&self) -> Option<usize> {
        let one = |n: &Named<'_>| match n {
            Named::Lines(path) => lines::count(path),
            Named::Stream(_) => None,
            _ => Some(1),
        };
        self.named.as_slice().iter().map(one).sum()
    }

    /// The next record.
    pub(crate) fn next(&mut self) -> Option<Input> {
        loop {
            if let Some(input) = self.next_line() {
                return Some(input);
            }
            match self.named.next()? {
                Named::Text(text) => return Some(Input { file: "-".to_owned(), line: None, text: Some(text) }),
                Named::Stream(lines) => self.open = Some(("-".to_owned(), lines, false)),
                Named::File(file) => return Some(Input { file, line: None, text: None }),
                Named::Wrong(name, problem) => return Some(Input::wrong(&name, None, problem)),
                Named::Lines(file) => match Lines::open(&file) {
                    Ok(lines) => self.open = Some((file, lines, false)),
                    Err(problem) => return Some(Input::wrong(&file, None, problem)),
                },
            }
        }
    }

    /// The next record of the file of many that is open.
    fn next_line(&mut self) -> Option<Input> {
        let (file, lines, any) = self.open.as_mut()?;
        let input = match lines.next() {
            Ok(Some((number, text))) => {
                *any = true;
                let text = text.ok_or_else(|| complaint(TOO_LARGE, say::line_too_large(file, LARGEST)));
                return Some(Input { file: file.clone(), line: Some(number), text: Some(text) });
            }
            Ok(None) if *any => None,
            Ok(None) => Some(Input::wrong(file, None, complaint("empty-file", say::empty(file)))),
            Err(error) => Some(Input::wrong(file, None, unreadable(file, &error))),
        };
        self.open = None;
        input
    }
}

/// Standard input, looked at as far as its first line that isn't blank.
fn stdin<'w>(world: &mut World<'w>) -> Named<'w> {
    let Some(input) = world.input.take() else { return Named::Text(Ok(Vec::new())) };
    let mut input = BufReader::with_capacity(1 << 16, input);
    let mut read = Vec::new();
    let mut line = 0;
    while read[line..].trim_ascii().is_empty() {
        line = read.len();
        // Where it never ends, reading it whole says so.
        let room = (LARGEST + 1).saturating_sub(line) as u64;
        match input.by_ref().take(room).read_until(b'\n', &mut read) {
            Ok(0) => break,
            Ok(_) => {}
            Err(error) => return Named::Text(Err(unreadable("-", &error))),
        }
    }
    let first = read[line..].trim_ascii();
    let object = first.starts_with(b"{") && first.ends_with(b"}");
    let mut whole = Cursor::new(read).chain(input);
    if object { Named::Stream(Lines::of(Box::new(whole))) } else { Named::Text(bytes_of("-", &mut whole)) }
}

fn meant<'w>(argument: &str, notes: &mut Vec<String>) -> Vec<Named<'w>> {
    match fs::metadata(argument) {
        Ok(metadata) if metadata.is_dir() => match folder(argument, notes) {
            found if found.is_empty() => {
                let problem = complaint("directory", say::no_record_in(argument));
                vec![Named::Wrong(argument.to_owned(), problem)]
            }
            found => found,
        },
        Err(_) if argument.contains(['*', '?', '[']) && fs::symlink_metadata(argument).is_err() => {
            pattern(argument, notes)
        }
        // What can't be read is told where it is read.
        _ => vec![file(argument.to_owned())],
    }
}

fn file<'w>(name: String) -> Named<'w> {
    if ending(Path::new(&name)).as_deref() == Some("jsonl") { Named::Lines(name) } else { Named::File(name) }
}

fn ending(path: &Path) -> Option<String> {
    path.extension().map(|e| e.to_string_lossy().to_lowercase())
}

/// Whether a file in a folder of records is a bench sheet: its first field says so.
fn is_sheet(path: &Path) -> bool {
    const HEAD: u64 = 4096;
    if !fs::metadata(path).is_ok_and(|m| m.is_file()) {
        return false;
    }
    let mut head = Vec::new();
    let read = fs::File::open(path).and_then(|file| file.take(HEAD).read_to_end(&mut head));
    let text = String::from_utf8_lossy(&head);
    let first = text.lines().map(str::trim).find(|l| !l.is_empty() && !l.starts_with('#'));
    read.is_ok() && first.is_some_and(|l| l.starts_with("unfasten bench"))
}

/// Records below a folder, by path. Hidden files and folders are passed over.
fn folder<'w>(name: &str, notes: &mut Vec<String>) -> Vec<Named<'w>> {
    super::seen::note(Path::new(name));
    let hidden = |e: &walkdir::DirEntry| e.depth() > 0 && e.file_name().to_string_lossy().starts_with('.');
    let mut out = Vec::new();
    for entry in WalkDir::new(name).follow_links(true).sort_by_file_name().into_iter().filter_entry(|e| !hidden(e)) {
        match entry {
            Ok(entry) => {
                let record = ending(entry.path()).is_some_and(|e| ENDINGS.contains(&&*e));
                if record && !entry.file_type().is_dir() && !is_sheet(entry.path()) {
                    out.push(file(entry.path().to_string_lossy().into_owned()));
                }
            }
            // Everything behind a link back to a folder above was or will be met by its own path.
            Err(error) if error.loop_ancestor().is_some() => {
                let shown = |p: Option<&Path>| p.map_or_else(String::new, |p| p.display().to_string());
                let (link, above) = (shown(error.path()), shown(error.loop_ancestor()));
                notes.push(say::leads_back(&link, &above));
            }
            Err(error) => {
                let path = error.path().map_or_else(|| name.to_owned(), |p| p.to_string_lossy().into_owned());
                // A link to nothing matters where it looks like a record.
                let linked = fs::symlink_metadata(&path).is_ok_and(|m| m.is_symlink());
                if linked && !ending(Path::new(&path)).is_some_and(|e| ENDINGS.contains(&&*e)) {
                    continue;
                }
                let problem = match error.io_error() {
                    Some(error) => unreadable(&path, error),
                    None => unreadable(&path, &std::io::ErrorKind::Other.into()),
                };
                out.push(Named::Wrong(path, problem));
            }
        }
    }
    out
}

/// What a pattern matches, by path, each file once.
fn pattern<'w>(pattern: &str, notes: &mut Vec<String>) -> Vec<Named<'w>> {
    let wrong = |said: Complaint| vec![Named::Wrong(pattern.to_owned(), complaint("missing-file", said))];
    let paths = match glob::glob(pattern) {
        Ok(paths) => paths,
        Err(error) => return wrong(say::no_pattern(pattern, error.msg)),
    };
    let mut seen = BTreeSet::new();
    let mut out = Vec::new();
    for path in paths {
        match path {
            Ok(path) if path.is_dir() => {
                let records = folder(&path.to_string_lossy(), notes).into_iter();
                out.extend(records.filter(|n| seen.insert(name_of(n).to_owned())));
            }
            Ok(path) if is_sheet(&path) => {}
            Ok(path) => {
                let name = path.to_string_lossy().into_owned();
                if seen.insert(name.clone()) {
                    out.push(file(name));
                }
            }
            Err(error) => {
                let path = error.path().to_string_lossy().into_owned();
                out.push(Named::Wrong(path.clone(), unreadable(&path, error.error())));
            }
        }
    }
    if out.is_empty() {
        return wrong(say::no_match(pattern));
    }
    out
}

fn name_of<'n>(named: &'n Named<'_>) -> &'n str {
    match named {
        Named::Text(_) | Named::Stream(_) => "-",
        Named::File(name) | Named::Lines(name) | Named::Wrong(name, _) => name,
    }
}
