//! Drafts gone through place by place by a person who knows what was done: what ends up in the record, and what it takes.

use scoring::draft::walk::{Said, Walk};
use scoring::draft::{Draft, sheet::Sheet};
use scoring::vocab::Category;
use serde_json::Value;

use crate::narration::{NEAR, actions, matched, named, near, words};

/// How such a walk fares.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Walked {
    /// Places asked about.
    pub places: usize,
    /// Places at which nothing was typed; one word or number; a name that was not offered.
    pub answers: [usize; 3],
    /// Gold actions in the record afterwards.
    pub found: usize,
    /// Gold actions at no place asked about, by name.
    pub missed: Vec<String>,
    /// Actions of the record that are none.
    pub wrong: usize,
}

/// Goes through a draft as somebody would who has its gold list in mind: drafted rows that are right are `seen`, others
/// dropped or named right, and what is missing is named at the place nearest to its time.
///
/// # Panics
/// Where an answer such a person would give is refused.
pub fn walked(draft: &Draft, gold: &Value) -> (Walked, Sheet) {
    let walk = Walk::of(draft, draft.sheet("talk", "Thing", Category::OTHER));
    let list = actions(gold);
    let entries: Vec<Option<usize>> = {
        let taken = matched(draft, list);
        (0..draft.sorted.entries.len()).map(|i| taken.iter().position(|t| *t == Some(i))).collect()
    };
    let mut right: Vec<Option<usize>> = Vec::new();
    let mut spare: Vec<(String, Option<usize>)> =
        draft.sorted.entries.iter().map(|e| e.name.clone()).zip(entries.iter().copied()).collect();
    for place in walk.places() {
        // Rows of one name stand in the order of the draft.
        let of = place.drafted.as_ref().and_then(|row| spare.iter().position(|(name, _)| *name == row.name));
        right.push(of.and_then(|i| spare.remove(i).1));
    }
    let mut here: Vec<Vec<usize>> = vec![Vec::new(); right.len()];
    let mut out = Walked { places: right.len(), ..Walked::default() };
    for (n, action) in list.iter().enumerate().filter(|(n, _)| !right.contains(&Some(*n))) {
        if action["optional"] == true || action["may_join"].is_array() {
            continue;
        }
        let far = |p: usize| match (walk.places()[p].at, action["time"].as_f64()) {
            (Some((from, to)), Some(t)) => (f64::from(from) - t).max(t - f64::from(to)).max(0.0),
            // Without times: by its words.
            _ => {
                let said = words(&walk.places()[p].words);
                let all = |name: &str| words(name).iter().all(|w| said.contains(w));
                let names = action["names"].as_array().into_iter().flatten().filter_map(Value::as_str);
                if names.into_iter().any(all) { 0.0 } else { f64::INFINITY }
            }
        };
        // A place where nothing right is drafted yet first.
        let nearest = (0..right.len()).filter(|p| far(*p) <= NEAR).min_by(|a, b| {
            (far(*a), right[*a].is_some())
                .partial_cmp(&(far(*b), right[*b].is_some()))
                .unwrap_or(std::cmp::Ordering::Equal)
        });
        match nearest {
            Some(p) => here[p].push(n),
            None => out.missed.push(action["names"][0].as_str().unwrap_or_default().to_owned()),
        }
    }
    let mut said: Vec<Said> = Vec::new();
    for (p, place) in walk.places().iter().enumerate() {
        let behind = if place.drafted.is_some() { scoring::draft::walk::OFFERS.len() } else { 0 };
        let mut typed = false;
        let name = |n: &usize, typed: &mut bool| {
            let action = &list[*n];
            let number = place.heard.iter().position(|h| named(h, &action["names"]));
            *typed |= number.is_none();
            let called = action["names"][0].as_str().unwrap_or_default();
            let mut text = match number {
                Some(i) if action["kind"] != "do" => (behind + i + 1).to_string(),
                _ if action["kind"] == "do" => format!("do: {called}"),
                _ => called.to_owned(),
            };
            if let (Some((from, _)), Some(t)) = (place.at, action["time"].as_f64())
                && (f64::from(from) - t).abs() > NEAR
            {
                text += &format!("; at: {:.0}:{:02.0}", (t / 60.0).floor(), (t % 60.0).floor());
            }
            text
        };
        let more: Vec<String> = here[p].iter().map(|n| name(n, &mut typed)).collect();
        let more = more.join(" + ");
        let answer = match (right[p], &place.drafted, more.is_empty()) {
            (Some(_), _, true) => "seen".to_owned(),
            (Some(_), _, false) => format!("+ {more}"),
            (None, Some(_), true) => "drop".to_owned(),
            (None, _, _) => more,
        };
        out.answers[if answer.is_empty() { 0 } else { 1 + usize::from(typed) }] += 1;
        match walk.read(p, &answer, &said) {
            Ok(one) => said.push(one),
            Err(no) => panic!("{answer}: {no:?}"),
        }
    }
    let sheet = walk.with(&said);
    let mut left: Vec<&Value> = list.iter().collect();
    for row in &sheet.rows {
        let time = row.at.map(|(from, _)| f64::from(from));
        match left.iter().position(|g| named(&row.name, &g["names"]) && near(time, g)) {
            Some(i) => {
                left.remove(i);
                out.found += 1;
            }
            None => out.wrong += 1,
        }
    }
    (out, sheet)
}
