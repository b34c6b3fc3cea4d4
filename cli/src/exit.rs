//! Exit codes: part of what the command promises.

/// How a run ended. The numbers are stable.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Exit {
    /// Done; there may have been warnings.
    Done,
    /// The command itself failed: a full disk, a folder that can't be written, or a mistake in the program.
    Failed,
    /// What was given is wrong: arguments, a file, a record, a method. Nothing was written.
    WrongInput,
    /// All was read and worked out, but a requirement (`--require`, a target, a report to verify) is not met.
    NotMet,
}

impl Exit {
    /// The number given to the shell.
    pub fn code(self) -> u8 {
        match self {
            Self::Done => 0,
            Self::Failed => 1,
            Self::WrongInput => 2,
            Self::NotMet => 3,
        }
    }

    /// All codes, as shown by `--help`.
    pub const HELP: &'static str = "\
Exit codes:
  0  done; there may have been warnings
  1  the command itself failed (disk full, folder not writable, a bug)
  2  wrong input: arguments, a file, a record or a method; nothing written
  3  a requirement is not met";
}
