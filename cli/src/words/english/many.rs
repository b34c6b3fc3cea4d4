//! English: how far work on many records is.

pub(crate) fn progress(done: &str, all: &str) -> String {
    format!("{done} of {all} records")
}

/// What was counted of work under way.
pub(crate) fn working(looks: &str, searches: &str) -> String {
    format!("working: {looks} looks, {searches} ways searched")
}
