//! What a person may answer at a place: words, numbers, names with their fields.

use super::{Place, Said, Walk};
use crate::draft::cues::span_of;
use crate::draft::segment::Status;
use crate::draft::sheet::{SheetRow, fasteners, several};
use crate::draft::spot::LISTS;
use crate::text::{NotTaken, fold, near, slip};

/// What is done with a drafted row, as offered: `seen`, `told`, `drop`. Names heard are numbered behind these.
pub const OFFERS: [&str; 3] = ["seen", "told", "drop"];

impl Walk {
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
}

impl Place {
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
            // As a record writes a list, or without its brackets.
            let bare =
                |value: &str| value.strip_prefix('[').and_then(|v| v.strip_suffix(']')).unwrap_or(value).to_owned();
            match field.as_ref().map(|(f, v)| (&**f, *v)) {
                Some((field, "")) => {
                    return Err(NotTaken::new(format!("`{field}:` says nothing"), "write its value, or leave it out"));
                }
                Some((how @ ("free" | "do"), name)) => {
                    (row.frees, row.status) = (how == "free", Status::Done);
                    name.clone_into(&mut row.name);
                }
                Some(("because", text)) => row.because = Some(text.to_owned()),
                Some(("at", time)) => match span_of(time) {
                    Some(at) => row.at = Some(at),
                    None => {
                        return Err(NotTaken::new(format!("`{time}` is not a time"), "write `4:10` or `4:10..4:25`"));
                    }
                },
                Some(("with", value)) => row.tools = several(&bare(value), ','),
                Some(("loosen", value)) => row.fasteners = fasteners(&bare(value), ','),
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
                        self.likely(name)?;
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
    fn likely(&self, name: &str) -> Result<(), NotTaken> {
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
        let word = near(name, WORDS).filter(|_| !name.contains(' '));
        match word.or_else(|| slip(name, heard)) {
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
