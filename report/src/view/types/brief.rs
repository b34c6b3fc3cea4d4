//! The summary: one screen, one printed page.

use serde::Serialize;

use super::{Bar, Pair};
use crate::picture::PictureLine;

/// What stands on the summary, in the order of reading.
#[derive(Clone, Debug, Serialize)]
pub struct Brief {
    /// What the device is and costs: `YA-207, 128 GB`, `389 EUR`.
    pub device: Vec<String>,
    /// When, by whom, and what was not done on this bench.
    pub bench: Vec<String>,
    /// Range of the verdict that leads: `5.1 to 6.0`.
    pub range: String,
    /// `of 10`.
    pub out_of: String,
    /// What the range is about: `what the bench shows`; empty where the method makes no difference.
    pub about: String,
    /// Range bar.
    pub bar: Option<Bar>,
    /// The full verdict, where it is another one: `5.3 to 6.6 of 10 with the maker's promises`.
    pub full: String,
    /// Both ends are attained.
    pub attained: bool,
    /// Where they are not: `reached 4.1 to 5.0; never outside 3.8 to 5.6`; else empty.
    pub bounds: String,
    /// The reason in one sentence.
    pub sentence: String,
    /// The same with the range in front.
    pub spoken: String,
    /// Legal results and other methods, one line each.
    pub laws: Vec<Law>,
    /// What is lost in all: `3.4 points are lost, 1.3 more are open`.
    pub lost: String,
    /// Lost points by criterion in a line, for where no strip is drawn.
    pub lost_list: String,
    /// Lost points by criterion.
    pub criteria: Vec<LostRow>,
    /// Lost points by part.
    pub parts_lost: Vec<LostRow>,
    /// The strip of lost points, SVG.
    pub strip: String,
    /// The device picture, SVG, at most eight rows.
    pub picture: String,
    /// The same as an indented list.
    pub tree: Vec<PictureLine>,
    /// Parts that have no room in the picture: `fan 5, speaker 5`; may be empty.
    pub more: String,
    /// The picture whole, where it has more rows; else empty.
    pub whole: String,
    /// The two heaviest parts.
    pub parts: Vec<BriefPart>,
    /// What costs most.
    pub costs: Vec<BriefLine>,
    /// All causes, each with what it adds once those above it are mended.
    pub ladder: Vec<Rung>,
    /// What the full verdict would gain by promises, each alone.
    pub promised: Vec<Rung>,
    /// What is still lost at the end of the ladder.
    pub rest: String,
    /// What is open, what moves most first.
    pub open: Vec<BriefLine>,
    /// How many more questions there are.
    pub open_more: String,
    /// Hazards in one line; may be empty.
    pub hazards: String,
    /// The reviewer's own verdict and where it lies; may be empty.
    pub own: String,
    /// That it was corrected, and when; empty where it was not.
    pub corrected: String,
    /// Method and how sure.
    pub method: String,
    /// The first digits of the fingerprint.
    pub fingerprint: String,
    /// What to say on camera.
    pub script: Vec<ScriptLine>,
}

/// A legal result or another method, one line.
#[derive(Clone, Debug, Serialize)]
pub struct Law {
    /// Key of the assessment.
    pub key: String,
    /// Title.
    pub title: String,
    /// `not met`, `met`, `not settled`, `does not apply`, or a range with its class.
    pub result: String,
    /// `no`, `yes`, `open` or `number`: how the result is drawn.
    pub form: &'static str,
    /// Why: what is not met, or where most is lost.
    pub text: String,
    /// For which devices; empty where it binds this one.
    pub day: String,
    /// Where it comes from and what it rests on.
    pub sure: String,
}

/// Lost points on one thing.
#[derive(Clone, Debug, Serialize)]
pub struct LostRow {
    /// Criterion or part.
    pub title: String,
    /// Lost at the high end.
    pub high: String,
    /// Lost at the low end.
    pub low: String,
    /// A limit that binds.
    pub limit: bool,
}

/// One of the two heaviest parts.
#[derive(Clone, Debug, Serialize)]
pub struct BriefPart {
    /// `Battery: seven steps`.
    pub head: String,
    /// First off, work, spare.
    pub rows: Vec<Pair>,
}

/// A line with a figure before it.
#[derive(Clone, Debug, Serialize)]
pub struct BriefLine {
    /// Points, `0.5`.
    pub points: String,
    /// The text.
    pub text: String,
    /// Where the page says why; may be empty.
    pub anchor: String,
    /// The line of the record; may be empty.
    pub place: String,
}

/// Words that lead somewhere in the page.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Link {
    /// The words.
    pub text: String,
    /// The anchor; empty where the place is in another file.
    pub anchor: String,
}

/// A cause on the ladder.
#[derive(Clone, Debug, Serialize)]
pub struct Rung {
    /// Anchor of its own.
    pub anchor: String,
    /// What it is.
    pub text: String,
    /// What it alone would gain, low and high end.
    pub alone: [String; 2],
    /// What it adds once those above it are mended; empty past the ladder.
    pub adds: [String; 2],
    /// Criteria that read it and lose points, where their rules stand.
    pub criteria: Vec<Link>,
    /// Lines of the record.
    pub places: Vec<Link>,
}

/// A sentence and when to show what it says.
#[derive(Clone, Debug, Serialize)]
pub struct ScriptLine {
    /// Time in the footage; may be empty.
    pub at: String,
    /// The sentence.
    pub text: String,
}
