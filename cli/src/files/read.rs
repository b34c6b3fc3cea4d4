//! Reading what somebody names on the command line, without trusting it.

use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use scoring::text::check::LARGEST;
use scoring::text::{Diagnostic, FileId, Source, Sources, Span};

use crate::failure::Failure;
use crate::words::files::{self as say, Complaint, NoReport};
use crate::world::World;

/// What a text is read as. All but tables say so themselves; nothing is shown of a text that doesn't.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// A record.
    Record,
    /// A method.
    Method,
    /// A bench sheet.
    Sheet,
    /// A table, which has nothing to tell it by.
    Table,
}

impl Kind {
    /// How such a text is begun, where there is one way.
    fn start(self) -> Option<&'static str> {
        match self {
            Self::Record => Some(scoring::record::START),
            Self::Method => Some(scoring::method::START),
            Self::Sheet => Some(scoring::record::bench::START),
            Self::Table => None,
        }
    }
}

/// A text, or one complaint about why there is none. The name is known to `sources` either way.
pub(crate) fn text(
    name: &str,
    kind: Kind,
    world: &mut World<'_>,
    sources: &mut Sources,
) -> Result<FileId, Box<Diagnostic>> {
    let bytes = if name == "-" { stdin(world) } else { bytes_at(name, Path::new(name)) };
    take(name, kind, bytes.as_deref().map_err(|c| &**c), None, sources)
}

/// One text of standard input.
fn stdin(world: &mut World<'_>) -> Result<Vec<u8>, Box<Diagnostic>> {
    bytes_of("-", &mut &*world.read_input(LARGEST as u64 + 1).map_err(|e| unreadable("-", &e))?)
}

/// A record whose bytes are at hand: standard input, or one line of a file of many records.
pub(crate) fn at_hand(
    name: &str,
    bytes: Result<&[u8], &Diagnostic>,
    line: Option<u32>,
    sources: &mut Sources,
) -> Result<FileId, Box<Diagnostic>> {
    take(name, Kind::Record, bytes, line, sources)
}

/// A record or method that another text names: never standard input, and nothing outside of `within`.
pub(crate) fn beside(name: &str, path: &Path, within: &Within) -> Result<Source, String> {
    let path = within.reach(path)?;
    let bytes = bytes_at(name, &path).map_err(|c| c.message.clone())?;
    Source::checked(name, &bytes).map(described).map_err(|refusal| refusal.diagnostic(0).message)
}

/// A folder that texts may name files of: that of the file named on the command line, or `--base`.
#[derive(Clone, Debug)]
pub(crate) struct Within(PathBuf);

impl Within {
    /// What a file may name, and what the files it names may.
    pub(crate) fn of(name: &str, base: Option<&Path>) -> Self {
        let own = || if name == "-" { None } else { Path::new(name).parent() };
        let folder = base.or_else(own).filter(|f| !f.as_os_str().is_empty());
        Self(folder.unwrap_or(Path::new(".")).to_owned())
    }

    /// The path with all links followed, if it stays in the folder. What is outside is not even looked for.
    pub(crate) fn reach(&self, path: &Path) -> Result<PathBuf, String> {
        let outside = || say::outside(&path.display().to_string(), &self.0.display().to_string());
        let unreadable = |e: io::Error| say::cannot_be_read(&self.0.display().to_string(), &e);
        let folder = fs::canonicalize(&self.0).map_err(unreadable)?;
        if let Ok(real) = fs::canonicalize(path) {
            return if real.starts_with(&folder) { Ok(real) } else { Err(outside()) };
        }
        // Not there: the nearest folder above it that is tells whether that may be said.
        let mut there = path.ancestors().skip(1).map(|a| if a.as_os_str().is_empty() { Path::new(".") } else { a });
        let above = there.find_map(|a| fs::canonicalize(a).ok());
        if above.is_some_and(|a| a.starts_with(&folder)) { Ok(path.to_owned()) } else { Err(outside()) }
    }
}

/// Whether a text says it is a record or a method: some line of it begins so.
fn claims(text: &str) -> bool {
    let begins = |line: &str| {
        let line = line.trim_start_matches([' ', '{', '"', '\'', '-']);
        ["unfasten", "device"].iter().any(|w| line.get(..w.len()).is_some_and(|l| l.eq_ignore_ascii_case(w)))
    };
    text.lines().any(begins) || text.contains("\"unfasten\"")
}

fn described(source: Source) -> Source {
    if claims(&source.text) { source } else { source.unquoted() }
}

/// A report somebody made: may be larger than anything written by hand.
pub(crate) fn report(name: &str, world: &mut World<'_>) -> Result<String, Failure> {
    let wrong = |why: &NoReport<'_>| Failure::said(say::no_report(name, why));
    let unreadable = |e: io::Error| wrong(&NoReport::Unreadable(&e));
    let mut bytes = Vec::new();
    if name == "-" {
        bytes = world.read_input(LARGEST_REPORT + 1)?;
    } else {
        let metadata = fs::metadata(name).map_err(unreadable)?;
        if !metadata.is_file() || metadata.len() > LARGEST_REPORT {
            return Err(wrong(&NoReport::Other));
        }
        let file = File::open(name).map_err(unreadable)?;
        file.take(LARGEST_REPORT + 1).read_to_end(&mut bytes).map_err(unreadable)?;
    }
    if bytes.len() as u64 > LARGEST_REPORT {
        return Err(wrong(&NoReport::TooLarge));
    }
    String::from_utf8(bytes).map_err(|_| wrong(&NoReport::NoText))
}

/// Largest report read, bytes: pictures may be inside.
const LARGEST_REPORT: u64 = 256 << 20;

fn take(
    name: &str,
    kind: Kind,
    bytes: Result<&[u8], &Diagnostic>,
    line: Option<u32>,
    sources: &mut Sources,
) -> Result<FileId, Box<Diagnostic>> {
    let placed = |source: Source| {
        let source = if kind == Kind::Table { source } else { described(source) };
        match line {
            Some(line) => source.as_line(line),
            None => source,
        }
    };
    let bytes = match bytes {
        Ok(bytes) => bytes,
        Err(complaint) => {
            let mut complaint = Box::new(complaint.clone());
            complaint.at.span.file = sources.add(placed(Source::new(name, "")));
            return Err(complaint);
        }
    };
    match Source::checked(name, bytes) {
        Ok(source) => Ok(sources.add(placed(source))),
        Err(refusal) => {
            let refusal = match kind.start() {
                Some(start) => refusal.begun_by(start),
                None => refusal,
            };
            let file = sources.add(placed(refusal.source.clone()));
            Err(Box::new(refusal.diagnostic(file)))
        }
    }
}

/// The bytes of a file: what kind of file it is and how large is asked before anything is read.
fn bytes_at(name: &str, path: &Path) -> Result<Vec<u8>, Box<Diagnostic>> {
    super::seen::note(path);
    let metadata = fs::metadata(path).map_err(|e| unreadable(name, &e))?;
    if metadata.is_dir() {
        return Err(complaint("directory", say::directory(name)));
    }
    if !metadata.is_file() {
        return Err(no_file(name));
    }
    if metadata.len() > LARGEST as u64 {
        return Err(complaint(TOO_LARGE, say::too_large(name, Some(metadata.len()), LARGEST)));
    }
    let mut file = File::open(path).map_err(|e| unreadable(name, &e))?;
    bytes_of(name, &mut file)
}

/// A pipe, a socket or a device: it may never end, or never begin.
pub(super) fn no_file(name: &str) -> Box<Diagnostic> {
    complaint("unreadable-file", say::no_file(name))
}

/// The bytes of a stream; it may be endless, so no more than one byte too many is read.
pub(super) fn bytes_of(name: &str, from: &mut dyn Read) -> Result<Vec<u8>, Box<Diagnostic>> {
    let mut bytes = Vec::new();
    from.take(LARGEST as u64 + 1).read_to_end(&mut bytes).map_err(|e| unreadable(name, &e))?;
    if bytes.len() > LARGEST {
        return Err(complaint(TOO_LARGE, say::too_large(name, None, LARGEST)));
    }
    Ok(bytes)
}

/// The code of what is too large to be read.
pub(super) const TOO_LARGE: &str = "file-too-large";

pub(super) fn unreadable(name: &str, error: &io::Error) -> Box<Diagnostic> {
    match error.kind() {
        io::ErrorKind::NotFound => complaint("missing-file", say::missing(name)),
        _ => complaint("unreadable-file", say::refused(name, error)),
    }
}

pub(super) fn complaint(code: &'static str, [message, reason, mend]: Complaint) -> Box<Diagnostic> {
    Box::new(Diagnostic::error(code, Span::default(), message).because(reason).mend(mend))
}
