//! JSON of documented, versioned shape, compact unless asked otherwise: `{"unfasten": 1, "devices": [...]}` and
//! `{"unfasten": 1, "routes": [...]}`. The schemas ([`schema_of`]) are made from the types themselves.

mod device;
mod ways;

use schemars::JsonSchema;
use schemars::generate::SchemaSettings;
use serde::Serialize;
use serde_json::Value;

pub use device::Device;
pub use ways::{Destroying, Order, Saving, Time, Undone, Untaken};

use scoring::assess::ledger::LedgerLine;
use scoring::record::Timing;
use scoring::record::complete::open_count;

use crate::clean::line;
use crate::view::View;

/// Version of all documents.
pub const VERSION: u32 = 1;

/// How JSON is laid out.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Layout {
    /// Without white space.
    #[default]
    Compact,
    /// Indented, for people.
    Indented,
}

impl Layout {
    /// A value as text, without a line break at its end.
    pub fn text(self, value: &impl Serialize) -> String {
        // Nothing here can fail to serialise: no maps with other keys than strings, no floats that are no numbers.
        match self {
            Self::Compact => serde_json::to_string(value).unwrap_or_default(),
            Self::Indented => serde_json::to_string_pretty(value).unwrap_or_default(),
        }
    }
}

/// Devices with their verdicts, whole trees and all.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Devices {
    /// Version of this document.
    pub unfasten: u32,
    /// One for each record, in the order they were named.
    pub devices: Vec<Device>,
}

/// A device on a line of its own.
#[derive(Debug, Serialize, JsonSchema)]
pub struct DeviceLine {
    /// Version of this line.
    pub unfasten: u32,
    /// The device.
    #[serde(flatten)]
    pub device: Device,
}

/// Several reports as one document. Ends in a line break.
pub fn devices(views: &[View], layout: Layout) -> String {
    let devices = views.iter().map(Device::of).collect();
    layout.text(&Devices { unfasten: VERSION, devices }) + "\n"
}

/// A device on a line of its own, ended by a line feed.
pub fn line_of(view: &View) -> String {
    Layout::Compact.text(&DeviceLine { unfasten: VERSION, device: Device::of(view) }) + "\n"
}

/// What a document of devices begins with when it is written piece by piece; there is at least one [`item`].
pub fn start(layout: Layout) -> &'static str {
    match layout {
        Layout::Compact => "{\"unfasten\":1,\"devices\":[",
        Layout::Indented => "{\n  \"unfasten\": 1,\n  \"devices\": [\n",
    }
}

/// What stands between two items.
pub fn between(layout: Layout) -> &'static str {
    match layout {
        Layout::Compact => ",",
        Layout::Indented => ",\n",
    }
}

/// What it ends with.
pub fn end(layout: Layout) -> &'static str {
    match layout {
        Layout::Compact => "]}\n",
        Layout::Indented => "\n  ]\n}\n",
    }
}

/// One device of a document written piece by piece.
pub fn item(view: &View, layout: Layout) -> String {
    let text = layout.text(&Device::of(view));
    match layout {
        Layout::Compact => text,
        // Texts hold no line breaks, so every line is one of the layout.
        Layout::Indented => text.lines().map(|l| format!("    {l}")).collect::<Vec<_>>().join("\n"),
    }
}

/// The JSON Schema (2020-12) of a document that this program writes. Objects have no fields but those it names.
pub fn schema_of<T: JsonSchema>(title: &str) -> Value {
    let settings = SchemaSettings::draft2020_12().for_serialize();
    let mut schema = Value::from(settings.into_generator().into_root_schema_for::<T>());
    schema["title"] = title.into();
    close(&mut schema);
    schema
}

/// Objects with fields have no others.
fn close(schema: &mut Value) {
    match schema {
        Value::Object(fields) => {
            if fields.get("properties").is_some_and(Value::is_object) && fields.get("type").is_some() {
                fields.insert("additionalProperties".to_owned(), false.into());
            }
            fields.values_mut().for_each(close);
        }
        Value::Array(items) => items.iter_mut().for_each(close),
        _ => {}
    }
}

/// A route as `route --format json` gives it.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct RouteDocument {
    /// Target part; several are joined by ` and ` or ` or `.
    pub target: String,
    /// The parts one by one.
    pub parts: Vec<String>,
    /// Any of the parts is enough.
    pub any: bool,
    /// What it is shortest in: `steps`, `time` or `parts`.
    pub by: &'static str,
    /// Least and greatest cost where steps are not the cost: nominal milliseconds, or parts.
    pub cost: Option<[u64; 2]>,
    /// How long it takes, with `by` `time`.
    pub time: Option<Time>,
    /// Fewest steps over all completions; `None`: can't be reached.
    pub steps_low: Option<u32>,
    /// Most steps over all completions; `None`: can't be reached in one of them.
    pub steps_high: Option<u32>,
    /// Any number more than the most: nobody wrote down how much work it is.
    pub steps_open: bool,
    /// `proved`, or `at least`.
    pub certificate: &'static str,
    /// No route counts fewer steps than this.
    pub bound: u32,
    /// Ids of the actions in order.
    pub actions: Vec<String>,
    /// One entry for each operation.
    pub ledger: Vec<OperationLine>,
    /// The order of the log, counted up to the target.
    pub performed: Option<Order>,
    /// The maker's own route, counted up to the target.
    pub official: Option<Order>,
    /// A shorter way that destroys something; never scored.
    pub destructive: Option<Destroying>,
    /// Ways that failed or nobody tried.
    pub untaken: Vec<Untaken>,
    /// What stands in the way, the largest saving first; `null`: not asked.
    pub in_the_way: Option<Vec<Saving>>,
    /// The way back; `null`: not asked.
    pub back: Option<Vec<Undone>>,
    /// The bench sheet that fills something in; `null`: none does.
    pub sheet: Option<String>,
    /// The counts without it.
    pub without_sheet: Option<Counts>,
}

/// The counts of a route.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Counts {
    /// Least and greatest cost where steps are not the cost.
    pub cost: Option<[u64; 2]>,
    /// Fewest steps.
    pub steps_low: Option<u32>,
    /// Most steps.
    pub steps_high: Option<u32>,
    /// Any number more than the most.
    pub steps_open: bool,
    /// `proved`, or `at least`.
    pub certificate: &'static str,
    /// No route counts fewer steps than this.
    pub bound: u32,
}

/// An operation on a route.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct OperationLine {
    /// Id of the action; empty where a line counts and nothing is done (remote authorisation).
    pub action: String,
    /// What is done; empty on further operations of an action.
    pub what: String,
    /// Tools, `hands` for none; empty where nothing is done.
    pub tools: String,
    /// Fasteners loosened.
    pub loosens: Vec<String>,
    /// Footage: seconds from and to.
    pub at: Option<[u32; 2]>,
    /// How well that is known: `as written`, `about`, `within`.
    pub at_known: Option<&'static str>,
    /// Hazards.
    pub hazards: Vec<String>,
    /// Parts this destroys.
    pub destroys: Vec<String>,
    /// Makes the device safe to work on.
    pub makes_safe: bool,
    /// Steps counted here.
    pub counted: u32,
    /// Running total.
    pub total: u32,
    /// Why it counts.
    pub why: Vec<&'static str>,
    /// A change of tool that costs nothing because a step had ended.
    pub coincides: bool,
}

impl RouteDocument {
    /// A route from its ledger. `steps` are the fewest and the most over all completions, `bound` is the certificate.
    pub fn new(target: &str, steps: [Option<u32>; 2], bound: u32, lines: &[LedgerLine]) -> Self {
        let mut actions: Vec<String> = lines.iter().filter(|l| !l.action.is_empty()).map(|l| line(&l.action)).collect();
        actions.dedup();
        let counted = lines.last().map_or(0, |l| l.total);
        let ledger = lines
            .iter()
            .map(|l| OperationLine {
                action: line(&l.action),
                what: line(&l.what),
                tools: line(&l.tools_said()),
                loosens: l.loosens.iter().map(|t| line(t)).collect(),
                at: l.at.map(|at| [at.from, at.to]),
                at_known: l.at.map(|at| match at.timing {
                    Timing::Seen => "as written",
                    Timing::About => "about",
                    Timing::Within => "within",
                }),
                hazards: l.hazards.iter().map(|t| line(t)).collect(),
                destroys: l.destroys.iter().map(|t| line(t)).collect(),
                makes_safe: l.makes_safe,
                counted: l.counted,
                total: l.total,
                why: l.why.clone(),
                coincides: l.coincides,
            })
            .collect();
        let certificate = if open_count(bound).0 >= counted { "proved" } else { "at least" };
        Self {
            target: line(target),
            parts: vec![line(target)],
            any: false,
            by: "steps",
            cost: None,
            time: None,
            steps_low: steps[0].map(|n| open_count(n).0),
            steps_high: steps[1].map(|n| open_count(n).0),
            steps_open: steps.iter().flatten().any(|n| open_count(*n).1),
            certificate,
            bound: open_count(bound).0,
            actions,
            ledger,
            performed: None,
            official: None,
            destructive: None,
            untaken: Vec::new(),
            in_the_way: None,
            back: None,
            sheet: None,
            without_sheet: None,
        }
    }

    /// Its counts alone.
    pub fn counts(&self) -> Counts {
        let Self { cost, steps_low, steps_high, steps_open, certificate, bound, .. } = *self;
        Counts { cost, steps_low, steps_high, steps_open, certificate, bound }
    }
}

/// Routes, as `route --format json` gives them.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Routes<'a> {
    /// Version of this document.
    pub unfasten: u32,
    /// One for each part asked about, or for several at once.
    pub routes: &'a [RouteDocument],
}
