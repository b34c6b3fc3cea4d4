//! The words of the trade as lists a person can look a word up in.

use std::collections::BTreeMap;
use std::io::{self, Write};

use scoring::vocab::words::{DriveWord, all_roles, drives, fasteners, hazards, tools};
use scoring::vocab::{Category, Kind, ToolClass, Words};

use crate::terminal::hang;
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
    let also = (!also.is_empty()).then(|| format!("also {}", also.join(", ")));
    also.into_iter().chain(more).collect::<Vec<_>>().join("; ")
}

fn of_tools(out: &mut dyn Write) -> io::Result<()> {
    let head = "Tools, by class. A size or settings may follow: `hex 2 mm`, `heat pad 70 °C 4 min`. Any tool of yours goes \
                under `tools:` in the record, with its class.";
    write!(out, "{}", hang("", head, WIDTH))?;
    // A class nobody can tell from the word alone stands last.
    let place = |class: Option<ToolClass>| class.map_or(u8::MAX, Words::rank);
    let mut listed: Listed<u8> = BTreeMap::new();
    for tool in tools() {
        let more = [
            tool.sized.then_some("takes a size in mm"),
            tool.heat.then_some("a heat source"),
            tool.solvent.then_some("a solvent"),
        ];
        listed.entry(place(tool.class)).or_default().insert(tool.name.clone(), said(&tool.also, &more));
    }
    for drive in drives() {
        listed.entry(place(Some(drive.class))).or_default().insert(drive_name(drive), of_drive(drive));
    }
    let class = |rank: &u8| {
        let found = ToolClass::ALL.iter().find(|c| c.rank() == *rank);
        found.map_or("class not told by the word alone, so write the drive".to_owned(), |c| c.word().to_owned())
    };
    sections(listed, class, out)?;
    writeln!(out)?;
    write!(out, "{}", hang("", "No tool at all is `hands`. Other classes are for tools of your own.", WIDTH))
}

fn drive_name(drive: &DriveWord) -> String {
    let standard = if drive.standard.is_empty() { String::new() } else { format!(" ({})", drive.standard) };
    format!("{} for {}{standard}", drive.tool, drive.name)
}

fn of_drive(drive: &DriveWord) -> String {
    let short = |size: &String| match (&drive.prefix, &drive.word) {
        (Some(prefix), _) => format!("{prefix}{size}"),
        (None, word) => format!("{} {size}", word.as_ref().unwrap_or(&drive.name)),
    };
    let written = if drive.mm {
        format!("written {} 2 mm, any width", drive.word.as_ref().unwrap_or(&drive.name))
    } else {
        format!("written {}", drive.sizes.iter().map(short).collect::<Vec<_>>().join(", "))
    };
    said(&drive.also, &[Some(&written)])
}

fn of_fasteners(out: &mut dyn Write) -> io::Result<()> {
    let head = "Fasteners, by kind. A screw, bolt or nut takes its drive: `5 x screw PH0`. Where the kind is not told by the \
                word, say it in the record, `{fastener: gasket, kind: removable}`; left out it is unknown. Any fastener of \
                yours goes under `fasteners:`.";
    write!(out, "{}", hang("", head, WIDTH))?;
    let mut listed: Listed<u8> = BTreeMap::new();
    for fastener in fasteners() {
        let more = [
            fastener.driven.then_some("takes a drive"),
            fastener.adhesive.then_some("an adhesive"),
            fastener.seal.then_some("a seal"),
        ];
        let rank = fastener.kind.map_or(u8::MAX, Words::rank);
        listed.entry(rank).or_default().insert(fastener.name.clone(), said(&fastener.also, &more));
    }
    let kind = |rank: &u8| {
        let found = Kind::ALL.iter().find(|k| k.rank() == *rank);
        found.map_or("kind not told by the word".to_owned(), |k| k.word().to_owned())
    };
    sections(listed, kind, out)
}

fn of_hazards(out: &mut dyn Write) -> io::Result<()> {
    let head = "Hazards, with the usual caution of each. The maker's safety information and local rules come first; leave \
                what you are not sure of to a qualified repairer. Any hazard of yours goes under `hazards:`.";
    writeln!(out, "{}", hang("", head, WIDTH))?;
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
    let head = "Roles, by category. `secondary` are words for a lesser one of the same role. A record of a category \
                without roles here, or of one of your own, knows them all and names its own under `roles:`.";
    write!(out, "{}", hang("", head, WIDTH))?;
    let mut listed: Listed<Category> = BTreeMap::new();
    for role in all_roles() {
        let secondary = (!role.secondary.is_empty()).then(|| format!("secondary {}", role.secondary.join(", ")));
        let folding = role.folding.then_some("only where the display folds");
        for category in &role.categories() {
            let more = [secondary.as_deref(), folding];
            listed.entry(*category).or_default().insert(role.name.clone(), said(&role.also, &more));
        }
    }
    sections(listed, ToString::to_string, out)
}
