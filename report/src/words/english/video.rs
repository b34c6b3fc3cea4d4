//! English: the description of a video, its chapters, and what to say on camera.

use scoring::record::Timing;

use crate::plural::list;

/// What chapters are called that name no part.
pub const PUTTING_BACK: &str = "putting it back";
/// What comes after the last part.
pub const AFTER_TEARDOWN: &str = "after the teardown";
/// What comes before the first part.
pub const THE_DEVICE_SHOWN: &str = "The device";

/// What came off, but not at the first try.
pub fn a_try_fails(name: &str) -> String {
    format!("{name} (a try fails)")
}

/// What did not come off.
pub fn fails(name: &str) -> String {
    format!("{name} (fails)")
}

/// What a chapter shows, how many more things, and whether something is heated.
pub fn chapter(names: &[String], more: usize, heat: bool) -> String {
    let heat = if heat { ", with heat" } else { "" };
    if more > 0 { format!("{} and {more} more{heat}", names.join(", ")) } else { format!("{}{heat}", list(names)) }
}

/// Headings of a description.
pub const COSTS_MOST: &str = "What costs most, in points";
/// What is open.
pub const IS_OPEN: &str = "What is open, in points";
/// Times and titles.
pub const CHAPTERS: &str = "Chapters";
/// Tools that were used.
pub const TOOLS_IN_HAND: &str = "Tools in hand";
/// What the way back needs.
pub const TO_BUY: &str = "To buy for the way back";
/// Hazards.
pub const CAUTIONS: &str = "Cautions";
/// Methods and the record.
pub const SOURCES: &str = "Sources";

/// Said below chapters whose times are not all read off the footage.
pub const ESTIMATES: &str = "Some of these times are estimates.";

/// A thing with room for a link.
pub fn to_link(what: &str) -> String {
    format!("{what}: [link]")
}

/// From which record, and by which program.
pub fn made_from(record: &str, program: &str) -> String {
    format!("record: {record}; {program}")
}

/// Title of what to say.
pub fn what_to_say(title: &str) -> String {
    format!("{title}: what to say")
}

/// Which footage to show meanwhile.
pub fn show(at: &str) -> String {
    format!("[show {at}]")
}

/// A time or a span of footage, or where to look for it.
pub fn footage(timing: Timing, from: &str, to: &str) -> String {
    match timing {
        Timing::Seen if from == to => from.to_owned(),
        Timing::Seen => format!("{from} to {to}"),
        Timing::About => format!("about {from}"),
        Timing::Within => format!("within {from} to {to}"),
    }
}
