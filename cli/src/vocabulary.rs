//! The words of the trade as lists a person can look a word up in.

use std::collections::BTreeMap;
use std::io::{self, Write};

use scoring::vocab::words::{DriveWord, all_roles, drives, fasteners, hazards, tools};
use scoring::vocab::{Category, Kind, ToolClass, Words};

use crate::terminal::hang;
use crate::words::about as say;
use crate::world::WIDTH;

/// The lists there are.
pub(crate) const LISTS: [&str; 4] = ["tools", "fasteners", "hazards", "roles"];

/// Writes a list; false when there is none of this name.
pub(crate) fn write(list: &str, out: &mut dyn Write) -> io::Result<bool> {
    match list {
        "tools" => of_tools(out)?,
        "fasteners" => of_fasteners(out)?,
        "hazards" => of_hazards(out)?,
        "roles" => of_roles(out)?,
        _ => return Ok(false),
    }
    Ok(true)
}

/// Words under headings, in the order of the headings and then of the alphabet.
type Listed<K> = BTreeMap<K, BTreeMap<String, String>>;

fn sections<K: Ord>(listed: Listed<K>, heading: impl Fn(&K) -> String, out: &mut dyn Write) -> io::Result<()> {
    for (key, words) in listed {
        write!(out, "\n{}", hang("", &heading(&key), WIDTH))?;
        for (name, rest) in words {
            let text = if rest.is_empty() { name } else { format!("{name}: {rest}") };
            write!(out, "{}", entry(&text))?;
        }
    }
    Ok(())
}

/// One word of a list, further lines set in.
fn entry(text: &str) -> String {
    hang("  ", text, WIDTH - 4).replace("\n  ", "\n      ")
}

/// Other words, and what else there is to say.
fn said(also: &[String], more: &[Option<&str>]) -> String {
    let more = more.iter().flatten().map(|m| (*m).to_owned());
    let also = (!also.is_empty()).then(|| say::also(also));
    also.into_iter().chain(more).collect::<Vec<_>>().join("; ")
}

fn of_tools(out: &mut dyn Write) -> io::Result<()> {
    write!(out, "{}", hang("", say::TOOLS, WIDTH))?;
    // A class nobody can tell from the word alone stands last.
    let place = |class: Option<ToolClass>| class.map_or(u8::MAX, Words::rank);
    let mut listed: Listed<u8> = BTreeMap::new();
    for tool in tools() {
        let more =
            [tool.sized.then_some(say::SIZED), tool.heat.then_some(say::HEAT), tool.solvent.then_some(say::SOLVENT)];
        listed.entry(place(tool.class)).or_default().insert(tool.name.clone(), said(&tool.also, &more));
    }
    for drive in drives() {
        listed.entry(place(Some(drive.class))).or_default().insert(drive_name(drive), of_drive(drive));
    }
    let class = |rank: &u8| {
        let found = ToolClass::ALL.iter().find(|c| c.rank() == *rank);
        found.map_or(say::NO_CLASS, |c| c.word()).to_owned()
    };
    sections(listed, class, out)?;
    writeln!(out)?;
    write!(out, "{}", hang("", say::NO_TOOL, WIDTH))
}

fn drive_name(drive: &DriveWord) -> String {
    say::driver(&drive.tool, &drive.name, Some(&*drive.standard).filter(|s| !s.is_empty()))
}

fn of_drive(drive: &DriveWord) -> String {
    let short = |size: &String| match (&drive.prefix, &drive.word) {
        (Some(prefix), _) => format!("{prefix}{size}"),
        (None, word) => format!("{} {size}", word.as_ref().unwrap_or(&drive.name)),
    };
    let written = if drive.mm {
        say::written_any(drive.word.as_ref().unwrap_or(&drive.name))
    } else {
        say::written(&drive.sizes.iter().map(short).collect::<Vec<_>>())
    };
    said(&drive.also, &[Some(&written)])
}

fn of_fasteners(out: &mut dyn Write) -> io::Result<()> {
    write!(out, "{}", hang("", say::FASTENERS, WIDTH))?;
    let mut listed: Listed<u8> = BTreeMap::new();
    for fastener in fasteners() {
        let more = [
            fastener.driven.then_some(say::DRIVEN),
            fastener.adhesive.then_some(say::ADHESIVE),
            fastener.seal.then_some(say::SEAL),
        ];
        let rank = fastener.kind.map_or(u8::MAX, Words::rank);
        listed.entry(rank).or_default().insert(fastener.name.clone(), said(&fastener.also, &more));
    }
    let kind = |rank: &u8| {
        let found = Kind::ALL.iter().find(|k| k.rank() == *rank);
        found.map_or(say::NO_KIND, |k| k.word()).to_owned()
    };
    sections(listed, kind, out)
}

fn of_hazards(out: &mut dyn Write) -> io::Result<()> {
    writeln!(out, "{}", hang("", say::HAZARDS, WIDTH))?;
    let mut all: Vec<_> = hazards().iter().collect();
    all.sort_by(|a, b| a.name.cmp(&b.name));
    for hazard in all {
        let also = said(&hazard.also, &[]);
        let also = if also.is_empty() { also } else { format!(" ({also})") };
        write!(out, "{}", entry(&format!("{}{also}: {}", hazard.name, hazard.caution)))?;
    }
    Ok(())
}

fn of_roles(out: &mut dyn Write) -> io::Result<()> {
    write!(out, "{}", hang("", say::ROLES, WIDTH))?;
    let mut listed: Listed<Category> = BTreeMap::new();
    for role in all_roles() {
        let secondary = (!role.secondary.is_empty()).then(|| say::secondary(&role.secondary));
        let folding = role.folding.then_some(say::FOLDING);
        for category in &role.categories() {
            let more = [secondary.as_deref(), folding];
            listed.entry(*category).or_default().insert(role.name.clone(), said(&role.also, &more));
        }
    }
    sections(listed, ToString::to_string, out)
}
