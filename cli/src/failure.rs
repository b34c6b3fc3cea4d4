//! Why a run stops early.

use std::io;

use scoring::text::{Diagnostic, Sources};

use crate::exit::Exit;
use crate::terminal::{hang, tame};
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
        if error.kind() == io::ErrorKind::BrokenPipe {
            Self::Closed
        } else {
            Self::Failed(format!("output failed: {error}"))
        }
    }
}

/// What is wrong and the mend, for a terminal.
pub(crate) fn told(what: &str, mend: &str) -> String {
    hang("error: ", &tame(what), WIDTH) + &hang(" mend: ", &tame(mend), WIDTH)
}
