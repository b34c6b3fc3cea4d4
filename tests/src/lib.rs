//! What several checks share. The checks themselves are under `tests/tests`, one file a source.

pub mod devices;
pub mod fields;
pub mod fuzz;
pub mod narration;
pub mod walked;

use scoring::method::Method;
use scoring::text::{Source, Sources};
use scoring::vocab::Certainty;

/// A method from its text, and what is said of it as `code: message`.
pub fn method_of(text: &str) -> (Option<Method>, Vec<String>) {
    let mut sources = Sources::new();
    let file = sources.add(Source::new("method.yaml", text));
    let (method, problems) = scoring::method::read(&mut sources, file, &mut |_| None);
    (method, problems.into_iter().map(|p| format!("{}: {}", p.code, p.message)).collect())
}

/// How sure, surest first; an own choice claims nothing.
///
/// # Panics
/// At a certainty that nobody has put in this order yet.
pub fn rank(certainty: Certainty) -> usize {
    match certainty {
        Certainty::Read => 0,
        Certainty::Secondary => 1,
        Certainty::MemoryHigh => 2,
        Certainty::MemoryMedium => 3,
        Certainty::MemoryLow => 4,
        Certainty::Derived | Certainty::Own => 5,
        other => panic!("{other}: nobody said how sure that is"),
    }
}
