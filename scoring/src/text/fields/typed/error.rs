//! What goes wrong while serde reads a value.

use std::fmt;

use serde::de::{self, Expected, Unexpected};
use serde::{Deserialize, Serialize};

use crate::text::fields::Bad;

/// What went wrong, for the value it went wrong in to complain of.
#[derive(Debug)]
pub(in crate::text::fields) struct Error {
    pub(super) trouble: Trouble,
}

#[derive(Debug)]
pub(super) enum Trouble {
    /// It has been said, and the entry to blame is taken out.
    Said,
    /// Something it can't be without is left out or taken out, which has been said.
    Lacking,
    /// It has another shape than what is wanted.
    Shape(String),
    /// Its short form can't be read.
    Bad(Bad),
}

impl Error {
    pub(super) fn said() -> Self {
        Self { trouble: Trouble::Said }
    }

    pub(super) fn lacking() -> Self {
        Self { trouble: Trouble::Lacking }
    }
}

impl de::Error for Error {
    fn custom<T: fmt::Display>(message: T) -> Self {
        let message = message.to_string();
        Self { trouble: Trouble::Bad(carried(&message).unwrap_or_else(|| Bad::new(0..usize::MAX, message))) }
    }

    fn invalid_type(_: Unexpected<'_>, wanted: &dyn Expected) -> Self {
        Self { trouble: Trouble::Shape(wanted.to_string()) }
    }

    /// A field serde would do without complaint if it could: what is required is complained of by the table.
    fn missing_field(_: &'static str) -> Self {
        Self::lacking()
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.trouble {
            Trouble::Said => f.write_str("said already"),
            Trouble::Lacking => f.write_str("left out"),
            Trouble::Shape(wanted) => write!(f, "{wanted} is wanted"),
            Trouble::Bad(bad) => f.write_str(&bad.message),
        }
    }
}

impl std::error::Error for Error {}

/// What starts a [`Bad`] that travels as the text of an error, which is all that serde lets through.
const MARK: &str = "\u{1}bad";

#[derive(Serialize, Deserialize)]
struct Letter {
    range: (usize, usize),
    code: String,
    message: String,
    mend: Option<String>,
}

/// A short form that can't be read, as text.
pub(super) fn carry(bad: &Bad) -> String {
    let letter = Letter {
        range: (bad.range.start, bad.range.end),
        code: bad.code.to_owned(),
        message: bad.message.clone(),
        mend: bad.mend.clone(),
    };
    format!("{MARK}{}", serde_json::to_string(&letter).unwrap_or_default())
}

fn carried(text: &str) -> Option<Bad> {
    let letter: Letter = serde_json::from_str(text.strip_prefix(MARK)?).ok()?;
    let code = Bad::code_called(&letter.code)?;
    Some(Bad { range: letter.range.0..letter.range.1, code, message: letter.message, mend: letter.mend, meant: None })
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde::de::Error as _;

    #[test]
    fn a_short_form_keeps_place_code_and_mend_on_its_way_through_serde() {
        for (code, _) in Bad::REASONS {
            let bad = Bad::new(3..7, "`\u{1}bad \"x\"\\` is no time").code(code).mend("write `0:41`");
            match Error::custom(carry(&bad)).trouble {
                Trouble::Bad(read) => assert_eq!(read, bad),
                other => panic!("{other:?}"),
            }
        }
    }
}
