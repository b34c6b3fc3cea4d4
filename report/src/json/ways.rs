//! What stands beside a route, in JSON.

use schemars::JsonSchema;
use serde::Serialize;

use scoring::assess::back::BackLine;
use scoring::assess::performed::{Beside, Counted, InTheWay};
use scoring::assess::time::{Duration, in_words, two_figures};
use scoring::record::complete::open_count;

use crate::clean::line;

/// How long a route takes, in words of two figures at most.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Time {
    /// Hands-on.
    pub hands_on: String,
    /// Waiting, as the record says; `null`: none.
    pub waiting: Option<String>,
    /// Putting it together again, hands-on.
    pub reassembly: String,
    /// Percent of the hands-on time that rests on times the user measured.
    pub own_percent: u32,
    /// Seen in uncut footage of actions on the route.
    pub observed: Option<String>,
    /// The estimate for the same actions.
    pub observed_estimate: Option<String>,
    /// Weakest certainty of the entries used; `null`: every time is the user's own.
    pub weakest: Option<String>,
}

impl From<&Duration> for Time {
    fn from(d: &Duration) -> Self {
        // A share between 0 and 1, so the cast is of 0 to 100.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let own_percent = (d.own_share * 100.0).round().clamp(0.0, 100.0) as u32;
        Self {
            hands_on: in_words(d.hands_on),
            waiting: (d.waiting > 0.0).then(|| two_figures(d.waiting)),
            reassembly: in_words(d.reassembly),
            own_percent,
            observed: d.observed.map(|(seen, _)| two_figures(seen)),
            observed_estimate: d.observed.map(|(_, estimate)| in_words(estimate)),
            weakest: d.weakest.map(|w| w.to_string()),
        }
    }
}

/// An order counted as it stands.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Order {
    /// Steps up to the target.
    pub steps: u32,
    /// The target was reached.
    pub reached: bool,
    /// Ids of the actions.
    pub actions: Vec<String>,
    /// Ids of actions whose needs didn't hold.
    pub unmet: Vec<String>,
    /// Ids of actions that failed and aren't counted.
    pub failed: Vec<String>,
}

impl From<&Counted> for Order {
    fn from(c: &Counted) -> Self {
        let clean = |list: &[String]| list.iter().map(|t| line(t)).collect();
        Self {
            steps: open_count(c.steps).0,
            reached: c.reached,
            actions: clean(&c.actions),
            unmet: clean(&c.unmet),
            failed: clean(&c.failed),
        }
    }
}

/// A shorter way that destroys something.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Destroying {
    /// Steps.
    pub steps: u32,
    /// What it destroys.
    pub destroys: Vec<String>,
}

/// A way that failed or that nobody tried.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Untaken {
    /// Id of the action, or the part.
    pub id: String,
    /// Tried in vain; otherwise not tried.
    pub failed: bool,
    /// Why.
    pub because: Option<String>,
    /// <file:line:column>
    pub place: String,
}

/// One change that would save steps.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Saving {
    /// The change.
    pub text: String,
    /// Steps with it.
    pub steps: u32,
    /// Steps saved.
    pub saved: u32,
    /// <file:line:column>
    pub place: Option<String>,
}

impl Saving {
    /// From what stands in the way, with its place in words.
    pub fn new(it: &InTheWay, place: Option<String>) -> Self {
        Self { text: line(&it.text), steps: open_count(it.steps).0, saved: it.saved, place }
    }
}

/// An action of the way back.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Undone {
    /// Id of the action.
    pub action: String,
    /// What is done.
    pub what: String,
    /// From here on the device may be live.
    pub live: bool,
    /// Tools, as on the way in.
    pub tools: String,
    /// Fasteners to close.
    pub fasten: Vec<String>,
    /// Fasteners that don't serve again.
    pub lost: Vec<String>,
    /// To buy.
    pub buy: Vec<String>,
    /// To take care of.
    pub care: Vec<String>,
    /// To check.
    pub check: Vec<String>,
    /// What happens if skipped.
    pub if_skipped: Vec<String>,
    /// Destroyed on the way in.
    pub destroyed: Vec<String>,
    /// Hazards.
    pub hazards: Vec<String>,
    /// Minutes nobody works.
    pub wait: Option<String>,
    /// A note.
    pub note: Option<String>,
    /// It exists on the way back only.
    pub only_back: bool,
}

impl Undone {
    /// From a line of the way back.
    pub fn new(b: &BackLine, only_back: bool) -> Self {
        let clean = |list: &[String]| list.iter().map(|t| line(t)).collect();
        Self {
            action: line(&b.action),
            what: line(&b.what),
            live: b.live,
            tools: line(&b.tools),
            fasten: clean(&b.fasten),
            lost: clean(&b.lost),
            buy: clean(&b.buy),
            care: clean(&b.care),
            check: clean(&b.check),
            if_skipped: clean(&b.if_skipped),
            destroyed: clean(&b.destroyed),
            hazards: clean(&b.hazards),
            wait: b.wait.clone(),
            note: b.note.as_deref().map(line),
            only_back,
        }
    }
}

impl super::RouteDocument {
    /// Adds what stands beside the route; `place` gives a place of the record in words.
    pub fn beside(&mut self, beside: &Beside, place: impl Fn(scoring::text::Span) -> String) {
        self.performed = beside.performed.as_ref().map(Order::from);
        self.official = beside.official.as_ref().map(Order::from);
        self.destructive = beside.destructive.as_ref().map(|d| Destroying {
            steps: open_count(d.steps).0,
            destroys: d.destroys.iter().map(|t| line(t)).collect(),
        });
        let untaken = |u: &scoring::assess::performed::Untaken| Untaken {
            id: line(&u.id),
            failed: u.failed,
            because: u.because.as_deref().map(line),
            place: place(u.span),
        };
        self.untaken = beside.untaken.iter().map(untaken).collect();
    }
}
