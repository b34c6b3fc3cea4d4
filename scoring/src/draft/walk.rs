//! A draft gone through with a person, place by place in the order of the talk: what was drafted is confirmed, put right or
//! dropped, and what was only mentioned becomes an action where something came off. Word lists find the places; which of
//! them are work is for somebody who was there to say.

use std::collections::BTreeSet;

use super::Draft;
use super::actions::Aside;
use super::segment::{DraftedAction, Status, same};
use super::sheet::{Quote, Sheet, SheetRow};
use super::spot::{ARTICLES, LISTS, What, spots};
use super::tokens::{Stop, Token, tokens};
use crate::text::{fold, near};
use crate::vocab::Category;

/// Longest talk shown as one place, milliseconds; longest silence inside it.
const PLACE: u32 = 20_000;
const SILENCE: u32 = 8_000;
/// Cues without a trade word inside one place.
const BETWEEN: usize = 3;
/// Names offered at one place: as many as one key can take.
const NAMES: usize = 6;

/// One place of the talk.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// First and last second; none where the source has no times.
    pub at: Option<(u32, u32)>,
    /// What was said there; left out is `…`.
    pub words: String,
    /// What was drafted of it.
    pub drafted: Option<SheetRow>,
    /// Names heard in these words, that of the drafted row apart.
    pub heard: Vec<String>,
    /// What stands as a comment: where nothing is made of a mention, and always what was said in the midst of a drafted row.
    asides: Vec<(Aside, Quote)>,
}

/// What a person says of a place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Said {
    /// Nothing: the row stays a draft, a mention stays one.
    Nothing,
    /// None of it was done.
    Dropped,
    /// It belongs to the action before.
    Joined,
    /// This was done, in order.
    Done(Vec<SheetRow>),
}

/// Why an answer can't be taken, and what to write instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotTaken {
    /// What is wrong.
    pub what: String,
    /// What to write.
    pub mend: String,
}

impl NotTaken {
    fn new(what: impl Into<String>, mend: impl Into<String>) -> Self {
        Self { what: what.into(), mend: mend.into() }
    }
}

/// A draft with its places.
#[derive(Clone, Debug)]
pub struct Walk {
    sheet: Sheet,
    places: Vec<Place>,
}

/// What is done with a drafted row, as offered: `seen`, `told`, `drop`. Names heard are numbered behind these.
pub const OFFERS: [&str; 3] = ["seen", "told", "drop"];

impl Walk {
    /// The places of a draft; `sheet` holds its rows. They stand in the order of its actions, what was only mentioned where it
    /// was said.
    pub fn of(draft: &Draft, sheet: Sheet) -> Self {
        let entries = &draft.sorted.entries;
        let first = |entry: &DraftedAction| entry.rests_on.first().or(entry.cues.first()).copied().unwrap_or(0);
        let mut groups = groups(draft, &entries.iter().map(first).collect());
        let mut rows: Vec<Place> = Vec::new();
        for (entry, row) in entries.iter().zip(&sheet.rows) {
            let mut cues: BTreeSet<usize> = entry.cues.union(&entry.rests_on).copied().collect();
            // What was said in the midst of it and names nothing ("and they're all out") is no place of its own.
            let span = cues.first().copied().zip(cues.last().copied());
            let within = |group: &Vec<usize>| {
                span.is_some_and(|(a, b)| group.iter().all(|c| (a..b).contains(c)))
                    && heard(draft, &group.iter().copied().collect()).is_empty()
            };
            let (inside, rest): (Vec<_>, Vec<_>) = groups.into_iter().partition(within);
            groups = rest;
            let inside: Vec<usize> = inside.into_iter().flatten().collect();
            cues.extend(&inside);
            let asides = inside.iter().map(|cue| (draft.sorted.asides[cue], draft.quote(*cue))).collect();
            let mut heard = heard(draft, &cues);
            heard.retain(|n| !same(n, &row.name));
            let (words, at) = (talk(draft, &cues), draft.at(entry).map(|(a, b)| (a / 1000, b / 1000)));
            rows.push(Place { at, words, drafted: Some(row.clone()), heard, asides });
        }
        let mut mentioned = groups.into_iter().map(|group| (group[0], mention(draft, &group))).peekable();
        let mut places = Vec::new();
        for (entry, row) in entries.iter().zip(rows) {
            while let Some((_, place)) = mentioned.next_if(|(cue, _)| *cue < first(entry)) {
                places.push(place);
            }
            places.push(row);
        }
        places.extend(mentioned.map(|(_, place)| place));
        Self { sheet, places }
    }

    /// The places, in order.
    pub fn places(&self) -> &[Place] {
        &self.places
    }

    /// Reads an answer for a place; `said` is what was said of those before it.
    ///
    /// Nothing leaves the place as it is. `seen`, `told`, `drop` or their numbers are said of a drafted row; `join` adds a place
    /// to the action before; a name, or the number of one heard, is a part that came off. Fields follow apart by `;`
    /// (`with: PH0; loosen: 2 x clip`; also `do`, `at`, `outcome`, `because`); several actions stand apart by ` + `, and what
    /// begins with `+` comes besides the drafted row, which stays a draft.
    ///
    /// # Errors
    /// What is no answer here. Words a record would refuse are not looked at: see [`Walk::alone`].
    pub fn read(&self, at: usize, answer: &str, said: &[Said]) -> Result<Said, NotTaken> {
        let place = &self.places[at];
        let answer = answer.trim();
        match (&*fold(answer), &place.drafted) {
            ("", _) => return Ok(Said::Nothing),
            ("3", Some(_)) | ("drop" | "no" | "n" | "none" | "nothing", _) => return Ok(Said::Dropped),
            ("join", _) => {
                let none = || NotTaken::new("there is no action before this one to join", "name what came off");
                return if self.rows_before(said) > 0 { Ok(Said::Joined) } else { Err(none()) };
            }
            _ => {}
        }
        let mut rows = Vec::new();
        for (i, piece) in format!(" {answer}").split(" +").map(str::trim).enumerate() {
            match (piece, &place.drafted) {
                ("", Some(row)) if i == 0 => rows.push(row.clone()),
                ("", _) if i == 0 => {}
                ("", _) => return Err(NotTaken::new("nothing stands behind `+`", "name what else came off")),
                (piece, Some(row)) if i == 0 => rows.push(place.row(piece, row.clone())?),
                (piece, _) => {
                    // The words stand once, above the first.
                    let blank = place.blank();
                    let words = if rows.is_empty() { blank.words.clone() } else { Vec::new() };
                    rows.push(place.row(piece, SheetRow { words, ..blank })?);
                }
            }
        }
        Ok(Said::Done(rows))
    }

    /// Actions of the record that stand before the place asked about next.
    pub fn rows_before(&self, said: &[Said]) -> usize {
        let of = |(said, place): (&Said, &Place)| match said {
            Said::Nothing => usize::from(place.drafted.is_some()),
            Said::Done(rows) => rows.len(),
            Said::Dropped | Said::Joined => 0,
        };
        said.iter().zip(&self.places).map(of).sum()
    }

    /// The actions of an answer alone, to be held against the rules of a record before it is taken.
    pub fn alone(&self, said: &Said) -> Sheet {
        let rows = if let Said::Done(rows) = said { &rows[..] } else { &[] };
        Sheet {
            rows: rows.iter().map(|r| SheetRow { words: Vec::new(), ..r.clone() }).collect(),
            asides: Vec::new(),
            proposed: Vec::new(),
            remarks: Vec::new(),
            verdict: None,
            price: None,
            ends: None,
            works: None,
            // One of one's own asks for roles, which stand elsewhere.
            category: Category::OTHER,
            ..self.sheet.clone()
        }
    }

    /// The draft with what was said of its first places; the rest is as drafted.
    pub fn with(&self, said: &[Said]) -> Sheet {
        let mut sheet = Sheet { rows: Vec::new(), asides: Vec::new(), ..self.sheet.clone() };
        let mut renamed: Vec<(String, Option<String>)> = Vec::new();
        for (i, place) in self.places.iter().enumerate() {
            if place.drafted.is_some() {
                sheet.put_aside(&place.asides);
            }
            match (said.get(i).unwrap_or(&Said::Nothing), &place.drafted) {
                (Said::Nothing, Some(row)) => sheet.rows.push(row.clone()),
                (Said::Nothing | Said::Dropped, None) => sheet.put_aside(&place.asides),
                (Said::Dropped, Some(row)) => {
                    let quotes: Vec<_> = row.words.iter().map(|q| (Aside::Mentioned, q.clone())).collect();
                    sheet.put_aside(&quotes);
                    renamed.push((row.name.clone(), None));
                }
                (Said::Joined, drafted) => {
                    let more = drafted.clone().unwrap_or_else(|| place.blank());
                    renamed.extend(drafted.iter().map(|row| (row.name.clone(), None)));
                    match sheet.rows.last_mut() {
                        Some(above) => above.join(more),
                        None => sheet.rows.push(more),
                    }
                }
                (Said::Done(rows), drafted) => {
                    if let (Some(row), Some(first)) = (drafted, rows.first()) {
                        renamed.push((row.name.clone(), Some(first.name.clone())));
                    }
                    sheet.rows.extend(rows.iter().cloned());
                }
            }
        }
        sheet.asides.sort_by_key(|(why, _)| *why);
        sheet.asides.iter_mut().for_each(|(_, quotes)| quotes.sort_by_key(|q| q.at));
        // What was left aside for good stays as it was: parts put back are no places.
        let back = self.sheet.asides.iter().filter(|(why, _)| *why == Aside::Back);
        sheet.asides.extend(back.cloned());
        let frees = |name: &str| sheet.rows.iter().any(|r| r.frees && r.name == name);
        for proposed in &mut sheet.proposed {
            if frees(&proposed.part) {
                continue;
            }
            // Under its new name, or where another place names the same part ("pack", "battery pack").
            let renamed = renamed.iter().find(|(old, _)| *old == proposed.part).and_then(|(_, new)| new.as_ref());
            let alike = || sheet.rows.iter().find(|r| r.frees && same(&r.name, &proposed.part)).map(|r| &r.name);
            if let Some(name) = renamed.or_else(alike) {
                proposed.part = name.clone();
            }
        }
        let mut seen: Vec<String> = Vec::new();
        sheet.proposed.retain(|p| {
            let first = frees(&p.part) && !seen.contains(&p.part);
            seen.push(p.part.clone());
            first
        });
        sheet
    }
}

impl Place {
    /// A row for what nobody drafted: all of it unknown but its time and its words.
    fn blank(&self) -> SheetRow {
        let words = match &self.drafted {
            Some(_) => Vec::new(),
            None => self.asides.iter().map(|(_, quote)| quote.clone()).collect(),
        };
        SheetRow {
            at: self.at,
            frees: true,
            name: String::new(),
            tools: Vec::new(),
            fasteners: None,
            status: Status::Done,
            because: None,
            also: Vec::new(),
            words,
            refit: Vec::new(),
            reviewed: true,
        }
    }

    /// One action: its name, or the number of one heard, and fields apart by `;`.
    fn row(&self, text: &str, from: SheetRow) -> Result<SheetRow, NotTaken> {
        let mut row = reviewed(from);
        let number = |text: &str| {
            let behind = if self.drafted.is_some() { OFFERS.len() } else { 0 };
            let n = text.parse::<usize>().ok()?;
            Some(n.checked_sub(behind + 1).and_then(|n| self.heard.get(n)))
        };
        for (i, piece) in text.split(';').map(str::trim).filter(|p| !p.is_empty()).enumerate() {
            let field = piece.split_once(':').map(|(field, value)| (fold(field), value.trim()));
            let several = |value: &str| -> Vec<String> {
                let bare = value.strip_prefix('[').and_then(|v| v.strip_suffix(']')).unwrap_or(value);
                bare.split(',').map(str::trim).filter(|v| !v.is_empty()).map(str::to_owned).collect()
            };
            match field.as_ref().map(|(f, v)| (&**f, *v)) {
                Some((field, "")) => {
                    return Err(NotTaken::new(format!("`{field}:` says nothing"), "write its value, or leave it out"));
                }
                Some((how @ ("free" | "do"), name)) => {
                    (row.frees, row.status) = (how == "free", Status::Done);
                    name.clone_into(&mut row.name);
                }
                Some(("because", text)) => row.because = Some(text.to_owned()),
                Some(("at", time)) => match super::cues::span_of(time) {
                    Some(at) => row.at = Some(at),
                    None => {
                        return Err(NotTaken::new(format!("`{time}` is not a time"), "write `4:10` or `4:10..4:25`"));
                    }
                },
                Some(("with", value)) => {
                    row.tools = if fold(value) == "unknown" { Vec::new() } else { several(value) };
                }
                Some(("loosen", value)) => {
                    row.fasteners = match &*fold(value) {
                        "unknown" => None,
                        "nothing" => Some(Vec::new()),
                        _ => Some(several(value)),
                    };
                }
                Some(("outcome", value)) => {
                    row.status = match &*fold(value) {
                        "done" => Status::Done,
                        "failed" => Status::Failed,
                        "not attempted" => Status::NotAttempted,
                        _ => {
                            let what = format!("`{value}` is no outcome");
                            return Err(NotTaken::new(what, "write done, failed or not attempted"));
                        }
                    };
                }
                None if i == 0 => match (&*fold(piece), number(piece)) {
                    ("seen" | "yes" | "y" | "1", _) if !row.name.is_empty() => {}
                    ("told" | "2", _) if !row.name.is_empty() => row.status = Status::Told,
                    (word @ ("seen" | "yes" | "y" | "told"), _) => {
                        let what = format!("nothing was drafted here that `{word}` could be said of");
                        return Err(NotTaken::new(what, "name what came off, or press Enter where nothing did"));
                    }
                    // A name says that it came off, whatever was drafted.
                    (_, Some(Some(name))) => (row.frees, row.name, row.status) = (true, name.clone(), Status::Done),
                    (_, Some(None)) => {
                        let what = format!("nothing here has the number {piece}");
                        return Err(NotTaken::new(what, "take one that is offered, or write the name"));
                    }
                    (name, None) => {
                        self.slip(name)?;
                        (row.frees, row.name, row.status) = (true, piece.to_owned(), Status::Done);
                    }
                },
                _ => {
                    return Err(NotTaken::new(
                        format!("`{piece}` is no field of an action"),
                        "write the name first, then fields apart by `;`: `battery; with: PH0; loosen: 2 x clip`",
                    ));
                }
            }
        }
        if row.name.is_empty() {
            return Err(NotTaken::new("what came off has no name", "write it first: `battery; with: PH0`"));
        }
        let gives_up = matches!(row.status, Status::Failed | Status::NotAttempted);
        row.because = row.because.or_else(|| gives_up.then(|| self.words.clone())).filter(|_| gives_up);
        Ok(row)
    }
}

/// What may be said of a place beside names.
const WORDS: [&str; 4] = ["seen", "told", "drop", "join"];

/// Words people type to be helped or to go back, which are no parts.
const COMMANDS: [&str; 6] = ["help", "undo", "quit", "exit", "next", "skip"];

impl Place {
    /// A name that is more likely something else: a command, numbers, several things, a slip of the keyboard. `free: NAME` is
    /// taken as it stands.
    fn slip(&self, name: &str) -> Result<(), NotTaken> {
        let forced = format!("a part of this name is `free: {name}`");
        let letters = name.chars().filter(|c| c.is_alphabetic()).count();
        if name.contains(',') {
            let what = format!("`{name}` is several things");
            return Err(NotTaken::new(what, "write several actions apart by ` + `, fields by `;`"));
        }
        if letters < 2 || COMMANDS.contains(&name) || name.split(' ').count() > 5 || name.starts_with("seen ") {
            let mend = format!("write {}, a number offered, or a name; {forced}", WORDS.join(", "));
            return Err(NotTaken::new(format!("`{name}` names no part"), mend));
        }
        let spoken = |name: &str| format!(" {} ", fold(&self.words)).contains(&format!(" {name} "));
        if spoken(name) || LISTS.heads.contains(name) {
            return Ok(());
        }
        let own = self.drafted.as_ref().map(|row| &*row.name);
        let heard = self.heard.iter().map(String::as_str).chain(own);
        // One letter of a short name off, two of a long one.
        let close = |meant: &&str| {
            let most = if letters > 8 { 2 } else { 1 };
            *meant != name && letters > 4 && strsim::damerau_levenshtein(meant, name) <= most
        };
        let word = near(name, WORDS).filter(|_| !name.contains(' '));
        match word.or_else(|| heard.into_iter().find(close)) {
            Some(meant) => {
                let mend = format!("did you mean `{meant}`? If not, {forced}");
                Err(NotTaken::new(format!("nobody spoke of `{name}` here"), mend))
            }
            None => Ok(()),
        }
    }
}

fn reviewed(row: SheetRow) -> SheetRow {
    SheetRow { reviewed: true, ..row }
}

impl Sheet {
    fn put_aside(&mut self, quotes: &[(Aside, Quote)]) {
        for (why, quote) in quotes {
            match self.asides.iter_mut().find(|(w, _)| w == why) {
                Some((_, list)) => list.push(quote.clone()),
                None => self.asides.push((*why, vec![quote.clone()])),
            }
        }
    }
}

/// The place of cues that stand in no action.
fn mention(draft: &Draft, group: &[usize]) -> Place {
    let (first, last) = (group[0], group[group.len() - 1]);
    let cues: BTreeSet<usize> = (first..=last).collect();
    let start = |cue: usize| draft.cues[cue].start.map(|s| s / 1000);
    Place {
        at: start(first).zip(start(last)),
        words: talk(draft, &cues),
        drafted: None,
        heard: heard(draft, &cues),
        asides: group.iter().map(|cue| (draft.sorted.asides[cue], draft.quote(*cue))).collect(),
    }
}

/// Cues that stand in no action, in runs, none of them empty, that are asked about as one place: close together, no action begun between them.
fn groups(draft: &Draft, starts: &BTreeSet<usize>) -> Vec<Vec<usize>> {
    let mut out: Vec<Vec<usize>> = Vec::new();
    let start = |cue: usize| draft.cues[cue].start;
    for (&cue, _) in draft.sorted.asides.iter().filter(|(_, why)| **why != Aside::Back) {
        let joins = |run: &Vec<usize>| {
            let (Some(&first), Some(&last)) = (run.first(), run.last()) else { return false };
            let near = |from: usize, most: u32| match (start(from), start(cue)) {
                (Some(a), Some(b)) => b.saturating_sub(a) <= most,
                _ => false,
            };
            !draft.kind.by_line()
                && cue - last <= BETWEEN
                && near(last, SILENCE)
                && near(first, PLACE)
                && starts.range(last..=cue).next().is_none()
        };
        match out.last_mut().filter(|run| joins(run)) {
            Some(run) => run.push(cue),
            None => out.push(vec![cue]),
        }
    }
    out
}

/// What was said in some cues; `…` where others lie between.
fn talk(draft: &Draft, cues: &BTreeSet<usize>) -> String {
    let mut out = String::new();
    let mut last: Option<usize> = None;
    for &cue in cues {
        let text = draft.cues[cue].text.trim();
        if text.is_empty() {
            continue;
        }
        match last {
            None => {}
            Some(before) if (before + 1..cue).all(|c| draft.cues[c].text.trim().is_empty()) => out.push(' '),
            Some(_) => out.push_str(" … "),
        }
        out.push_str(text);
        last = Some(cue);
    }
    out
}

/// Names of parts in some cues, in order: those of the lists, then nouns behind an article that no list has.
fn heard(draft: &Draft, cues: &BTreeSet<usize>) -> Vec<String> {
    let (Some(&first), Some(&last)) = (cues.first(), cues.last()) else { return Vec::new() };
    let words: Vec<Token> = tokens(&draft.cues, first..last + 1)
        .into_iter()
        .filter(|t| (t.cues.0..=t.cues.1).any(|c| cues.contains(&c)))
        .collect();
    let mut found: Vec<String> = Vec::new();
    let mut taken = vec![false; words.len()];
    for spot in spots(&words) {
        taken[spot.from..spot.to].fill(true);
        match spot.what {
            What::Part(name) => found.push(name),
            What::Fastener { of, .. } if !of.is_empty() => found.push(of),
            _ => {}
        }
    }
    for at in 1..words.len() {
        if !ARTICLES.contains(&&*words[at - 1].text) {
            continue;
        }
        let unknown = |t: &Token| LISTS.noun(t) && !LISTS.words.verbs.contains_key(&t.text);
        let mut to = at;
        while to < words.len() && to < at + 3 && !taken[to] && unknown(&words[to]) {
            to += 1;
            if words[to - 1].stop != Stop::None {
                break;
            }
        }
        if to > at {
            found.push(words[at..to].iter().map(|t| &*t.text).collect::<Vec<_>>().join(" "));
        }
    }
    let mut out: Vec<String> = Vec::new();
    for name in found {
        if out.len() < NAMES && !LISTS.no_part(&name) && !out.contains(&name) {
            out.push(name);
        }
    }
    out
}
