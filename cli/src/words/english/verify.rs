//! English: what `verify` says.

pub(crate) fn names_no_earlier(report: &str) -> [String; 2] {
    [
        format!("`{report}` says what was corrected since an earlier record"),
        "name that record too, with --before OLD".to_owned(),
    ]
}

pub(crate) fn same(report: &str) -> String {
    format!("{report}: the same, byte for byte, as this program makes of the record.")
}

pub(crate) fn follows(report: &str) -> String {
    format!(
        "{report}: the data it carries follows from the record. Its layout is not the shipped one: of what a reader sees, only \
         marked verdicts were compared."
    )
}

pub(crate) fn other_version(report: &str, made_by: &str, this: &str) -> String {
    format!(
        "{report}: its numbers follow from the record. It was made by {made_by}, this is {this}, so words and layout were not \
         compared."
    )
}

pub(crate) fn made_by(report: &str, made_by: &str, this: &str) -> String {
    format!("{report} was made by {made_by}, this is {this}.")
}

pub(crate) fn differs(report: &str, what: &str) -> String {
    format!("{report} does not follow from the record. First difference: {what}")
}

/// Lead what stands in the report, and what should.
pub(crate) const PUBLISHED: &str = "published:";
pub(crate) const RECOMPUTED: &str = "recomputed:";

pub(crate) fn nothing_to_verify(report: &str) -> [String; 2] {
    [
        format!("`{report}` carries nothing to verify"),
        "name an HTML, Markdown or JSON report made by unfasten".to_owned(),
    ]
}
