//! Why a run stops early.

use std::io;

use scoring::text::{Diagnostic, Sources};

use crate::exit::Exit;
use crate::terminal::{hang, tame};
use crate::words::failure as say;
use crate::world::WIDTH;

/// Why a run stops early.
#[derive(Debug)]
pub(crate) enum Failure {
    /// Problems that were shown already.
    Shown,
    /// Problems with places in texts, still to be shown.
    Problems(Sources, Vec<Diagnostic>),
    /// Something given is wrong, without a place in a text: what, and the mend.
    Wrong(String, String),
    /// A requirement isn't met; what was shown already says which.
    NotMet,
    /// The world or the program failed.
    Failed(String),
    /// Nobody reads the output any more.
    Closed,
}

impl Failure {
    /// Something given is wrong.
    pub(crate) fn wrong(what: impl Into<String>, mend: impl Into<String>) -> Self {
        Self::Wrong(what.into(), mend.into())
    }

    /// The same, as the words have it.
    pub(crate) fn said([what, mend]: [impl Into<String>; 2]) -> Self {
        Self::wrong(what, mend)
    }

    /// The exit code that goes with it.
    pub(crate) fn exit(&self) -> Exit {
        match self {
            Self::Shown | Self::Problems(..) | Self::Wrong(..) => Exit::WrongInput,
            Self::NotMet => Exit::NotMet,
            Self::Failed(_) => Exit::Failed,
            Self::Closed => Exit::Done,
        }
    }
}

impl From<io::Error> for Failure {
    fn from(error: io::Error) -> Self {
        if error.kind() == io::ErrorKind::BrokenPipe { Self::Closed } else { Self::Failed(say::output(&error)) }
    }
}

/// What is wrong and the mend, for a terminal.
pub(crate) fn told(what: &str, mend: &str) -> String {
    // One below the other, their colons too.
    let lead = |word: &str| format!("{word:>width$}: ", width = say::ERROR.len().max(say::MEND.len()));
    hang(&lead(say::ERROR), &tame(what), WIDTH) + &hang(&lead(say::MEND), &tame(mend), WIDTH)
}

/// What is odd and ends nothing, for a terminal.
pub(crate) fn warned(what: &str) -> String {
    hang(&format!("{}: ", say::WARNING), &tame(what), WIDTH)
}

/// What the machine could not do, for a terminal.
pub(crate) fn failed(what: &str) -> String {
    hang(&format!("{}: ", say::FAILED), &tame(what), WIDTH)
}
