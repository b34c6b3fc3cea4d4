//! The picture as an indented list.

use serde::Serialize;

use super::tree::{Known, Mark, Stretch, Tree};
use crate::words::english as en;
use crate::words::tree_line;

/// A line of the list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PictureLine {
    /// How far in, from 0.
    pub depth: usize,
    /// What it says: `back, two steps: heat, glue to cut`.
    pub text: String,
    /// A part that counts.
    pub counts: bool,
}

/// Parts named that come off on the way to another.
const FIRST: usize = 2;

/// The tree as lines.
pub fn list(tree: &Tree) -> Vec<PictureLine> {
    let mut out = Vec::new();
    for root in &tree.roots {
        add(root, 0, &mut out);
    }
    // Those of one reason are one line.
    let mut told: Vec<(&str, Vec<&str>)> = Vec::new();
    for (name, why) in &tree.beyond {
        match told.iter_mut().find(|(w, _)| w == why) {
            Some((_, names)) => names.push(name),
            None => told.push((why, vec![name])),
        }
    }
    for (why, names) in told {
        out.push(PictureLine { depth: 0, text: format!("{}: {why}", crate::plural::list(&names)), counts: false });
    }
    out
}

fn add(stretch: &Stretch, depth: usize, out: &mut Vec<PictureLine>) {
    let mut notes: Vec<String> = Vec::new();
    let first = (stretch.end.is_some() && !stretch.off.is_empty())
        .then(|| en::first(&crate::plural::some(&stretch.off, FIRST)));
    let plain = stretch.end.is_none() && stretch.off.is_empty();
    for mark in stretch.marks.iter().filter(|m| !(plain && **m == Mark::Plug)) {
        let [plug, heat, solvent] = en::MARKS;
        notes.push(match mark {
            Mark::Plug => plug.to_owned(),
            Mark::Safe => en::safe(stretch.end.is_some()).to_owned(),
            Mark::Together => en::SAFE_TOGETHER.to_owned(),
            Mark::Heat => heat.to_owned(),
            Mark::Solvent => solvent.to_owned(),
            Mark::Glue => en::to_cut(&stretch.stuck),
        });
    }
    match stretch.known {
        Known::Done => {}
        Known::Drafted => notes.push(en::DRAFTED.to_owned()),
        Known::Told => notes.push(en::TOLD.to_owned()),
        Known::Untried => notes.push(en::NOBODY_TRIED.to_owned()),
    }
    let failed = stretch.end.as_ref().and_then(|e| e.failed.clone());
    let (name, counts) = match &stretch.end {
        Some(end) => {
            if !end.destroys.is_empty() {
                notes.push(en::destroys(&end.destroys));
            }
            (end.name.clone(), true)
        }
        // What it is called says more than how many there are.
        None if plain => (crate::plural::some(&stretch.undone, FIRST), false),
        None => (crate::plural::list(&stretch.off), false),
    };
    let mut text = tree_line(&name, stretch.steps[1], counts);
    // What comes off first is a list of its own.
    let marks = (!notes.is_empty()).then(|| notes.join(", "));
    let told: Vec<String> = [first, marks, failed].into_iter().flatten().collect();
    if !told.is_empty() {
        text.push_str(&format!(": {}", told.join("; ")));
    }
    out.push(PictureLine { depth, text, counts });
    let mut next: Vec<&Stretch> = stretch.next.iter().collect();
    next.sort_by_key(|s| std::cmp::Reverse(s.behind));
    next.into_iter().for_each(|n| add(n, depth + 1, out));
}
