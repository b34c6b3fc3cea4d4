//! Actions nobody has reviewed: told once, whatever their number.

use crate::record::Record;
use crate::text::Diagnostic;

pub(super) fn check(record: &Record, out: &mut Vec<Diagnostic>) {
    let Some(first) = record.drafted().next() else { return };
    let many = match record.drafted().count() {
        1 => "1 action was drafted and nobody has reviewed it".to_owned(),
        n => format!("{n} actions were drafted and nobody has reviewed them"),
    };
    out.push(
        Diagnostic::warning("not-reviewed", first.span, many)
            .because("Word lists wrote them from captions or notes; they may have misheard.")
            .mend("hold each against the footage and delete its line `basis: drafted`, or let `unfasten answer` ask"),
    );
}
