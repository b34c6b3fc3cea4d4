//! One line a problem, for editors and for searching.

use std::io::{self, Write};

use scoring::text::{Diagnostic, Sources};

use crate::terminal::tame;

pub(super) fn write(sources: &Sources, problems: &[Diagnostic], to: &mut dyn Write) -> io::Result<()> {
    for problem in problems {
        let place = tame(&sources.place(problem.at.span));
        let mend = problem.mend.as_deref().map(|m| format!(" ({})", tame(m))).unwrap_or_default();
        writeln!(to, "{place}: {}: {}: {}{mend}", problem.severity.word(), problem.code, tame(&problem.message))?;
    }
    Ok(())
}
