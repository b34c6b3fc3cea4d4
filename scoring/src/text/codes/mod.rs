//! Every complaint a text can get, explained; codes of methods alone are registered with methods.

mod files;
mod records;
mod tables;

/// A code explained.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Code {
    /// The code, `order-circle`.
    pub code: &'static str,
    /// What it says, in a few words.
    pub title: &'static str,
    /// Why, and what to do.
    pub text: &'static str,
    /// An extract that gets the complaint; empty where no text can show it.
    pub wrong: &'static str,
    /// The same extract mended.
    pub right: &'static str,
}

impl Code {
    /// The example as text: the bad extract, then the mended one; empty where no text can show it.
    pub fn example(&self) -> String {
        if self.wrong.is_empty() && self.right.is_empty() {
            return String::new();
        }
        // What is left out or to be taken out has no text of its own.
        let shown = |extract: &'static str| match extract.trim_matches('\n') {
            "" => "(nothing)",
            text => text,
        };
        format!("Instead of\n\n{}\n\nwrite\n\n{}\n", shown(self.wrong), shown(self.right))
    }
}

const fn code(
    code: &'static str,
    title: &'static str,
    text: &'static str,
    wrong: &'static str,
    right: &'static str,
) -> Code {
    Code { code, title, text, wrong, right }
}

/// All codes: those of any file, then those of records, then those of tables.
pub fn all() -> impl Iterator<Item = &'static Code> {
    files::CODES.iter().chain(records::CODES).chain(tables::CODES)
}

/// The explanation of a code.
pub fn find(code: &str) -> Option<&'static Code> {
    all().find(|c| c.code == code)
}
