//! `unfasten draft --ask`: the places of the talk one by one, and what a person says of each. The record is written anew after
//! every answer, whole, so that stopping at any moment loses none.

use std::path::Path;

use scoring::draft::Draft;
use scoring::draft::sheet::{Sheet, SheetRow};
use scoring::draft::walk::{Place, Said, Walk};
use scoring::draft::write;
use scoring::record;
use scoring::text::{NotTaken, Severity, Source, Sources};

use crate::failure::Failure;
use crate::files::folder;
use crate::terminal::{hang, player, tame};
use crate::words::answer as asked;
use crate::words::draft as say;
use crate::world::{WIDTH, World};

/// Goes through a draft with a person; the file, which must not exist, holds the record as far as it got.
pub(super) fn walk(
    draft: &Draft,
    sheet: Sheet,
    path: &Path,
    player: Option<&str>,
    world: &mut World<'_>,
) -> Result<Sheet, Failure> {
    folder::write_new(path, write::record(&sheet).as_bytes(), false)?;
    let walk = Walk::of(draft, sheet);
    write!(world.out, "{}", hang("", say::HOW, WIDTH))?;
    let mut said: Vec<Said> = Vec::new();
    while let Some(place) = walk.places().get(said.len()) {
        show(place, said.len() + 1, walk.places().len(), world)?;
        // What can't be asked any more (the terminal is gone, or somebody pressed Ctrl-C) ends the talk; all is written.
        let Ok(line) = dialoguer::Input::<String>::new().with_prompt(asked::PROMPT).allow_empty(true).interact_text()
        else {
            break;
        };
        match line.trim() {
            "q" | "quit" => break,
            "?" | "help" => {
                write!(world.out, "{}", hang("", say::HOW, WIDTH))?;
                continue;
            }
            "u" | "undo" => {
                if said.pop().is_none() {
                    write!(world.out, "{}", hang("", asked::NOTHING_TO_UNDO, WIDTH))?;
                }
            }
            "p" => {
                play(place, player, world)?;
                continue;
            }
            answer => match walk.read(said.len(), answer, &said).and_then(|one| sound(&walk, one)) {
                Ok(one) => {
                    tell(&walk, &said, &one, world)?;
                    said.push(one);
                }
                Err(NotTaken { what, mend }) => {
                    write!(world.out, "{}", crate::failure::told(&what, &mend))?;
                    continue;
                }
            },
        }
        folder::replace(path, write::record(&walk.with(&said)).as_bytes())?;
    }
    Ok(walk.with(&said))
}

/// An answer, if a record may hold what it says.
fn sound(walk: &Walk, said: Said) -> Result<Said, NotTaken> {
    let mut sources = Sources::new();
    let file = sources.add(Source::new("answer", &write::record(&walk.alone(&said))));
    let wrong = record::read(&sources, file).diagnostics.into_iter().find(|d| d.severity == Severity::Error);
    match wrong {
        Some(error) => {
            Err(NotTaken { what: error.message, mend: error.mend.unwrap_or_else(|| say::AS_A_RECORD.to_owned()) })
        }
        None => Ok(said),
    }
}

fn show(place: &Place, number: usize, of: usize, world: &mut World<'_>) -> Result<(), Failure> {
    let at = place.at.map(|(from, _)| from);
    write!(world.out, "\n{}", hang("", &say::place(number, of, at), WIDTH))?;
    write!(world.out, "{}", hang("  ", &tame(&say::words(&place.words)), WIDTH))?;
    match &place.drafted {
        Some(row) => write!(world.out, "{}", hang("  ", &tame(&say::as_drafted(&action(row))), WIDTH))?,
        None => write!(world.out, "{}", hang("  ", say::NOTHING_DRAFTED, WIDTH))?,
    }
    let offers = if place.drafted.is_some() { &say::OFFERS[..] } else { &[] };
    let heard = place.heard.iter().map(|name| say::came_off(name));
    for (i, offer) in offers.iter().map(|o| (*o).to_owned()).chain(heard).enumerate() {
        write!(world.out, "{}", hang(&format!("  {:>2}  ", i + 1), &tame(&offer), WIDTH))?;
    }
    world.out.flush()?;
    Ok(())
}

/// What became of an answer, so that nobody has to open the file to see.
fn tell(walk: &Walk, said: &[Said], one: &Said, world: &mut World<'_>) -> Result<(), Failure> {
    let before = walk.with(said);
    let mut begun: Vec<&SheetRow> = before.rows.iter().take(walk.rows_before(said)).collect();
    let mut lines = Vec::new();
    match one {
        Said::Nothing => {}
        Said::Dropped => lines.push(say::DROPPED.to_owned()),
        Said::Joined => lines.extend(begun.last().map(|row| say::joined(&row.name))),
        Said::Done(rows) => {
            // What stands beside a draft leaves it one.
            for row in rows.iter().filter(|r| r.reviewed) {
                let again = row.frees && begun.iter().any(|b| b.frees && b.name == row.name);
                lines.push(say::taken(&action(row), again));
                begun.push(row);
            }
        }
    }
    for line in lines {
        write!(world.out, "{}", hang("  ", &tame(&line), WIDTH))?;
    }
    Ok(())
}

/// A row in the words an answer takes.
fn action(row: &SheetRow) -> String {
    let with = if row.tools.is_empty() { None } else { Some(row.tools.join(", ")) };
    let loosen = row.fasteners.as_ref().map(|list| list.join(", "));
    say::action(row.frees, &row.name, row.status, with.as_deref(), loosen.as_deref())
}

fn play(place: &Place, command: Option<&str>, world: &mut World<'_>) -> Result<(), Failure> {
    let told = match (command, place.at) {
        (None, _) => Some(say::NO_PLAYER.to_owned()),
        (_, None) => Some(asked::NO_TIME.to_owned()),
        (Some(command), _) if command.contains("{video}") => Some(say::NO_VIDEO.to_owned()),
        (Some(command), Some((from, _))) => {
            player::open(command, from, Path::new("")).err().map(|(program, e)| asked::not_run(&program, &e))
        }
    };
    if let Some(told) = told {
        write!(world.out, "{}", hang("", &tame(&told), WIDTH))?;
    }
    Ok(())
}

/// What `--ask` can't be had with.
pub(super) fn not_a_list() -> Failure {
    Failure::wrong(say::NOT_A_LIST, say::LEAVE_OUT_TO)
}
