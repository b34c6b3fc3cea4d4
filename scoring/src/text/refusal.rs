//! An answer of a person that can't be taken.

/// Why an answer can't be taken, and what to write instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotTaken {
    /// What is wrong.
    pub what: String,
    /// What to write.
    pub mend: String,
}

impl NotTaken {
    pub(crate) fn new(what: impl Into<String>, mend: impl Into<String>) -> Self {
        Self { what: what.into(), mend: mend.into() }
    }
}
