//! A draft gone through with a person, place by place in the order of the talk: what was drafted is confirmed, put right or
//! dropped, and what was only mentioned becomes an action where something came off. Word lists find the places; which of
//! them are work is for somebody who was there to say. `places` finds them, `answers` reads what is said of one.

mod answers;
mod places;

use super::actions::Aside;
use super::segment::same;
use super::sheet::{Quote, Sheet, SheetRow};
use crate::vocab::Category;

pub use answers::OFFERS;

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

/// A draft with its places.
#[derive(Clone, Debug)]
pub struct Walk {
    sheet: Sheet,
    places: Vec<Place>,
}

impl Walk {
    /// The places, in order.
    pub fn places(&self) -> &[Place] {
        &self.places
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
        // A category of one's own asks for roles, which stand elsewhere.
        let blank = Sheet::blank(&self.sheet.source, &self.sheet.device, Category::OTHER);
        let rows = rows.iter().map(|r| SheetRow { words: Vec::new(), ..r.clone() }).collect();
        Sheet { rows, ..blank }
    }

    /// The draft with what was said of its first places; the rest is as drafted.
    pub fn with(&self, said: &[Said]) -> Sheet {
        let mut sheet = Sheet { rows: Vec::new(), asides: Vec::new(), ..self.sheet.clone() };
        let mut renamed: Vec<(String, Option<String>)> = Vec::new();
        for (i, place) in self.places.iter().enumerate() {
            if place.drafted.is_some() {
                place.asides.iter().for_each(|(why, quote)| sheet.put_aside(*why, quote.clone()));
            }
            match (said.get(i).unwrap_or(&Said::Nothing), &place.drafted) {
                (Said::Nothing, Some(row)) => sheet.rows.push(row.clone()),
                (Said::Nothing | Said::Dropped, None) => {
                    place.asides.iter().for_each(|(why, quote)| sheet.put_aside(*why, quote.clone()));
                }
                (Said::Dropped, Some(row)) => {
                    row.words.iter().for_each(|quote| sheet.put_aside(Aside::Mentioned, quote.clone()));
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
        SheetRow { reviewed: true, ..SheetRow::blank(self.at, words) }
    }
}
