//! What to say on camera, as plain text.

use crate::view::View;
use crate::words::english::video as say;

/// The script of a report: each sentence with the time in the footage to show. Empty where the method has no points.
pub fn script(view: &View) -> String {
    let Some(brief) = &view.brief else { return String::new() };
    let mut out = format!("{}\n\n", say::what_to_say(&view.title));
    for line in &brief.script {
        let at = if line.at.is_empty() { String::new() } else { say::show(&line.at) };
        out.push_str(&format!("{at:<14} {}\n", line.text));
    }
    out.push_str(&format!("\n{}\n{}\n", view.defers, view.status));
    out
}
