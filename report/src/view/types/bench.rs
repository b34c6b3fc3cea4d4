//! What happened on the bench: parts, routes, the log, the way back.

use serde::Serialize;

use super::{Caution, Pair};

/// A priority part.
#[derive(Clone, Debug, Serialize)]
pub struct Card {
    /// Anchor.
    pub anchor: String,
    /// Role.
    pub role: String,
    /// Part that fills it; empty when there is none.
    pub part: String,
    /// Why there is no part, or what stands in its way; empty otherwise.
    pub state: String,
    /// Another way that failed, where the part came out by one that did not; empty otherwise.
    pub also_failed: String,
    /// Where it is declared.
    pub anchor_line: Option<String>,
    /// Routes and where they are used.
    pub routes: Vec<CardRoute>,
    /// Tools on the routes.
    pub tools: Vec<String>,
    /// Fasteners on the routes.
    pub fasteners: Vec<String>,
    /// Other parts that come off.
    pub along: Vec<String>,
    /// Parts destroyed.
    pub destroys: Vec<String>,
    /// Hazards on the routes.
    pub hazards: Vec<Caution>,
    /// To buy for the way back.
    pub buy: Vec<String>,
    /// To check on the way back.
    pub check: Vec<String>,
    /// Spare part promises: what, said.
    pub spare: Vec<Pair>,
    /// Coded to the device.
    pub paired: Option<String>,
}

/// A route of a part and the verdict ends that rest on it.
#[derive(Clone, Debug, Serialize)]
pub struct CardRoute {
    /// Index into the routes.
    pub route: usize,
    /// `both ends`, `low end of …`.
    pub used: String,
}

/// A reference route as a ledger.
#[derive(Clone, Debug, Serialize)]
pub struct RouteLedger {
    /// Anchor.
    pub anchor: String,
    /// Target part.
    pub target: String,
    /// `9 steps`, `can't be reached`.
    pub steps: String,
    /// Counted steps.
    pub count: u32,
    /// `proved shortest`, `best found, at least 7`.
    pub certificate: String,
    /// The certificate as a sentence, and that it is reached only by damage where it is.
    pub proof: String,
    /// Reached without damage, only by damage, or not at all.
    pub reach: &'static str,
    /// It is reached only by damage.
    pub only_by_damage: bool,
    /// Which ends of which assessments rest on it.
    pub used: Vec<String>,
    /// What to know before the first step: hazards on the way and what makes the device safe; empty where there is nothing.
    pub first: String,
    /// Lines.
    pub lines: Vec<LedgerRow>,
    /// Places of the lines that are told here; the others stand with another route.
    pub told: Vec<usize>,
    /// That other route; none where all lines are told here.
    pub shared: Option<Shared>,
    /// Step chart, SVG; empty for routes without lines.
    pub chart: String,
    /// Text equivalent of the chart.
    pub chart_text: String,
}

/// A route that has lines of another one.
#[derive(Clone, Debug, Serialize)]
pub struct Shared {
    /// Its place in the list.
    pub route: usize,
    /// What is the same, in a sentence.
    pub words: String,
    /// The same work, counted otherwise on the lines told.
    pub counts: bool,
}

/// One operation on a route.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LedgerRow {
    /// Number on the route, from 1.
    pub number: usize,
    /// Id of the action.
    pub action: String,
    /// What is done; empty on further operations of an action.
    pub what: String,
    /// Tools with their settings, `hands` for none.
    pub tools: String,
    /// Bare hands, and that is established.
    #[serde(skip)]
    pub by_hand: bool,
    /// The same without settings: what is held.
    pub hold: String,
    /// Fasteners loosened.
    pub loosens: String,
    /// Footage.
    pub at: Option<String>,
    /// Hazards.
    pub hazards: String,
    /// Parts this destroys.
    pub destroys: String,
    /// How it is known where nobody did it on this bench: `nobody tried`, `told`, `planned`, `drafted`; on the first line of an
    /// action, else empty.
    pub known: &'static str,
    /// Makes the device safe to work on.
    pub makes_safe: bool,
    /// Steps counted here.
    pub counted: u32,
    /// Running total.
    pub total: u32,
    /// Why it counts, or why not.
    pub why: String,
    /// It ends a step.
    pub ends: bool,
    /// `file:line:column`; empty where nobody wrote it down.
    pub place: String,
    /// Line in the record.
    pub line: Option<u32>,
    /// Anchor of the line.
    pub anchor: Option<String>,
}

/// An action as logged.
#[derive(Clone, Debug, Serialize)]
pub struct Logged {
    /// Number, from 1.
    pub number: usize,
    /// Id.
    pub id: String,
    /// What was done: `free back glass`.
    pub what: String,
    /// Footage.
    pub at: Option<String>,
    /// Tools as written.
    pub with: String,
    /// Fasteners.
    pub loosens: String,
    /// What must be off or done first.
    pub after: String,
    /// `done`, `failed`, `not attempted`.
    pub outcome: &'static str,
    /// `no` where it failed, `open` where nobody tried; empty where it was done.
    pub form: &'static str,
    /// Where it comes from where nobody did it on this bench: `told`, `planned`, `drafted`; else empty.
    pub known: &'static str,
    /// Why it failed or was not tried.
    pub because: Option<String>,
    /// Parts destroyed.
    pub destroys: Vec<String>,
    /// Parts that keep a mark they can live with.
    pub wears: Vec<String>,
    /// Parts laid aside while something still connects them.
    pub aside: Vec<String>,
    /// It cleans.
    pub cleans: bool,
    /// Hazards.
    pub hazards: Vec<String>,
    /// Makes the device safe to work on.
    pub makes_safe: bool,
    /// Minutes nobody works.
    pub wait: Option<String>,
    /// How long it took, where the record has a time of its own.
    pub takes: Option<String>,
    /// The other actions that must be done too before the device is safe; empty where it is safe by this one or does nothing
    /// for it.
    pub safe_with: Vec<String>,
    /// Note.
    pub note: Option<String>,
    /// Line in the record.
    pub line: u32,
    /// Anchor of the line.
    pub anchor: Option<String>,
    /// Indices of pictures.
    pub photos: Vec<usize>,
}

/// The way back.
#[derive(Clone, Debug, Serialize)]
pub struct WayBack {
    /// Whether it was put back, powers on, was tested.
    pub put_back: Vec<Pair>,
    /// To buy.
    pub buy: Vec<String>,
    /// What was destroyed.
    pub lost: Vec<String>,
    /// Steps back that say something, last removal first.
    pub steps: Vec<Refit>,
    /// Actions that exist only on the way back.
    pub only: Vec<Logged>,
}

/// One step of the way back.
#[derive(Clone, Debug, Serialize)]
pub struct Refit {
    /// What goes back.
    pub what: String,
    /// To buy.
    pub buy: Vec<String>,
    /// To take care of.
    pub care: Vec<String>,
    /// To check.
    pub check: Vec<String>,
    /// What happens if skipped.
    pub if_skipped: Vec<String>,
    /// Anchor of the line.
    pub anchor: Option<String>,
    /// Line in the record.
    pub line: u32,
}

/// A remark.
#[derive(Clone, Debug, Serialize)]
pub struct Remark {
    /// `for` or `against`, as the record has it.
    pub side: &'static str,
    /// Text.
    pub text: String,
    /// Footage.
    pub at: Option<String>,
    /// Line.
    pub line: u32,
    /// Anchor of the line.
    pub anchor: Option<String>,
    /// Indices of pictures.
    pub photos: Vec<usize>,
}
