//! Drafts held against narrations with a gold standard: which actions are found, and how right their fields are.

use scoring::draft::Draft;
use scoring::draft::count::Count;
use scoring::draft::segment::{DraftedAction, Fastener, Status};
use serde_json::Value;

/// Seconds a draft action may be away from its gold action.
pub(crate) const NEAR: f64 = 15.0;

/// How a draft fares.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Marks {
    /// Gold actions found.
    pub found: usize,
    /// Gold actions missed, by name.
    pub missed: Vec<String>,
    /// Draft actions that are none, by name.
    pub wrong: Vec<String>,
    /// Of the fields drafted (tools, fasteners with their counts) of actions found: right, and all.
    pub fields: (usize, usize),
    /// Actions found whose status is right.
    pub status: usize,
    /// Gold actions whose name was drafted at all, whatever its time.
    pub named: usize,
    /// Changes to get from the draft to the gold list: actions kept as they are, changed, deleted, added.
    pub edits: [usize; 4],
}

impl Marks {
    /// Share of gold actions found.
    pub fn recall(&self) -> f64 {
        share(self.found, self.found + self.missed.len())
    }

    /// Share of draft actions that are wrong.
    pub fn wrong_share(&self) -> f64 {
        share(self.wrong.len(), self.found + self.wrong.len())
    }

    /// Share of the actions drafted by a right name whose time is within 15 s.
    pub fn timely(&self) -> f64 {
        share(self.found.min(self.named), self.named)
    }

    /// Share of drafted fields that are right.
    pub fn field_precision(&self) -> f64 {
        share(self.fields.0, self.fields.1)
    }
}

fn share(a: usize, of: usize) -> f64 {
    if of == 0 { 1.0 } else { a as f64 / of as f64 }
}

/// Words of a name, sorted: order and case don't matter.
pub(crate) fn words(name: &str) -> Vec<String> {
    let mut words: Vec<String> = scoring::text::fold(name).split(' ').map(str::to_owned).collect();
    words.sort();
    words
}

fn seconds(draft: &Draft, entry: &DraftedAction) -> Option<f64> {
    draft.at(entry).map(|(from, _)| f64::from(from) / 1000.0)
}

pub(crate) fn near(time: Option<f64>, gold: &Value) -> bool {
    let (Some(time), Some(at)) = (time, gold["time"].as_f64()) else { return true };
    let also = gold["also_times"].as_array().into_iter().flatten().filter_map(Value::as_f64);
    std::iter::once(at).chain(also).any(|t| (time - t).abs() <= NEAR)
}

/// Whether a name is among those accepted.
pub(crate) fn named(name: &str, names: &Value) -> bool {
    names.as_array().into_iter().flatten().filter_map(Value::as_str).any(|n| words(n) == words(name))
}

/// The actions of a gold list.
pub(crate) fn actions(gold: &Value) -> &[Value] {
    gold["actions"].as_array().map_or(&[], Vec::as_slice)
}

/// Which drafted entry stands for each gold action: of the same name, near to its time.
pub(crate) fn matched(draft: &Draft, actions: &[Value]) -> Vec<Option<usize>> {
    let mut taken: Vec<Option<usize>> = vec![None; actions.len()];
    for (i, entry) in draft.sorted.entries.iter().enumerate() {
        let time = seconds(draft, entry);
        let fits =
            |(n, gold): &(usize, &Value)| taken[*n].is_none() && named(&entry.name, &gold["names"]) && near(time, gold);
        let distance = |gold: &Value| (time.unwrap_or(0.0) - gold["time"].as_f64().unwrap_or(0.0)).abs();
        let best = actions
            .iter()
            .enumerate()
            .filter(fits)
            .min_by(|a, b| distance(a.1).total_cmp(&distance(b.1)))
            .map(|(n, _)| n);
        if let Some(n) = best {
            taken[n] = Some(i);
        }
    }
    taken
}

/// Holds a draft against a gold list. Times count: a right name at a wrong time is missed and wrong.
pub fn marks(draft: &Draft, gold: &Value) -> Marks {
    let actions = actions(gold);
    let entries = &draft.sorted.entries;
    let taken = matched(draft, actions);
    let mut used: Vec<bool> = (0..entries.len()).map(|i| taken.contains(&Some(i))).collect();
    let mut out = Marks::default();
    let spoken = |gold: &&Value| entries.iter().any(|e| named(&e.name, &gold["names"]));
    out.named = actions.iter().filter(spoken).count();
    // What stands apart where the gold list has it within another action is neither right nor wrong.
    for (i, entry) in entries.iter().enumerate() {
        let splits = actions.iter().flat_map(|a| a["split"].as_array().into_iter().flatten());
        used[i] |= splits.into_iter().any(|s| named(&entry.name, &s["names"]) && near(seconds(draft, entry), s));
        if !used[i] {
            out.wrong.push(entry.name.clone());
        }
    }
    for (n, action) in actions.iter().enumerate() {
        // Fasteners of one that may be joined stand with another.
        let joined = action["may_join"].as_array().is_some() && taken[n].is_none();
        match taken[n] {
            Some(i) => {
                out.found += 1;
                let (right, all) = fields(&entries[i], action);
                let status = status(&entries[i], action);
                out.fields = (out.fields.0 + right, out.fields.1 + all);
                out.status += usize::from(status);
                let whole = right == all && status && complete(&entries[i], action);
                out.edits[usize::from(!whole)] += 1;
            }
            None if action["optional"] == true || joined => {}
            None => out.missed.push(action["names"][0].as_str().unwrap_or_default().to_owned()),
        }
    }
    out.edits[2] = out.wrong.len();
    out.edits[3] = out.missed.len();
    out
}

fn status(entry: &DraftedAction, gold: &Value) -> bool {
    let word = match entry.status {
        Status::Done => "done",
        Status::Failed => "failed",
        Status::NotAttempted => "not attempted",
        Status::Told => "told",
    };
    let accepted = gold["accept"]["status"].as_array().into_iter().flatten();
    std::iter::once(&gold["status"]).chain(accepted).any(|s| s == word)
}

/// Whether nothing that the gold action says is missing.
fn complete(entry: &DraftedAction, gold: &Value) -> bool {
    (gold["tools"].is_null() || !entry.tools.is_empty()) && (gold["fasteners"].is_null() || entry.fasteners.is_some())
}

/// Right and all among tools and each fastener with its count, as far as drafted.
fn fields(entry: &DraftedAction, gold: &Value) -> (usize, usize) {
    let accepted = |field: &str| -> Vec<Value> {
        std::iter::once(gold[field].clone())
            .chain(gold["accept"][field].as_array().into_iter().flatten().cloned())
            .collect()
    };
    let (mut right, mut all) = (0, 0);
    let mut said: Vec<String> = entry.tools.iter().map(|t| without_degrees(t)).collect();
    said.sort();
    if !said.is_empty() {
        all += 1;
        right += usize::from(accepted("tools").iter().any(|t| {
            let mut list: Vec<String> =
                t.as_array().into_iter().flatten().filter_map(Value::as_str).map(without_degrees).collect();
            list.sort();
            list == said
        }));
    }
    let golds = accepted("fasteners");
    for fastener in entry.fasteners.iter().flatten() {
        all += 1;
        right += usize::from(golds.iter().any(|g| g.as_array().into_iter().flatten().any(|f| alike(fastener, f))));
    }
    if entry.fasteners.as_ref().is_some_and(Vec::is_empty) {
        all += 1;
        right += usize::from(golds.iter().any(|g| g.as_array().is_some_and(Vec::is_empty)));
    }
    (right, all)
}

fn without_degrees(tool: &str) -> String {
    tool.split(' ')
        .take_while(|w| !(w.bytes().all(|b| b.is_ascii_digit()) && tool.contains('°')))
        .collect::<Vec<_>>()
        .join(" ")
}

fn adhesive(name: &str) -> bool {
    scoring::vocab::fastener(name).is_some_and(|w| w.adhesive)
}

fn alike(fastener: &Fastener, gold: &Value) -> bool {
    let count = |c: &Value| match (fastener.count, c) {
        (Count::Is(n), c) if c.is_u64() => c.as_u64() == Some(u64::from(n)),
        (Count::Between(a, b), c) => c[0].as_u64() == Some(u64::from(a)) && c[1].as_u64() == Some(u64::from(b)),
        // An unsaid number is no wrong one.
        (Count::Unsaid | Count::Unknown, _) => true,
        _ => false,
    };
    let name = gold["fastener"].as_str().unwrap_or_default();
    let counts = std::iter::once(&gold["count"]).chain(gold["count_also"].as_array().into_iter().flatten());
    let same = fastener.name == name || adhesive(fastener.name) && adhesive(name);
    let drive = fastener.drive.is_none() || gold["drive"].as_str() == fastener.drive.as_deref();
    same && drive && counts.into_iter().any(count)
}
