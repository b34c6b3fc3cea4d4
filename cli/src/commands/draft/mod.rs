//! `unfasten draft`: from captions, notes or labels to a record to be reviewed.

mod ask;

use std::io::IsTerminal;
use std::path::Path;

use scoring::draft::{Draft, list, write};
use scoring::text::Sources;
use scoring::vocab::Category;

use super::new::category;
use crate::arguments::{Draft as Arguments, DraftForm};
use crate::failure::Failure;
use crate::files::{folder, read};
use crate::problems::Form;
use crate::terminal::{hang, tame};
use crate::words::draft as say;
use crate::world::{WIDTH, World};

pub(crate) fn run(arguments: &Arguments, _form: Form, world: &mut World<'_>) -> Result<(), Failure> {
    if arguments.ask && matches!(arguments.to, DraftForm::List) {
        return Err(ask::not_a_list());
    }
    if arguments.ask && !std::io::stdin().is_terminal() {
        return Err(Failure::said(say::NO_TERMINAL));
    }
    let category = if arguments.category.is_empty() { Category::OTHER } else { category(&arguments.category)? };
    let mut sources = Sources::new();
    let name = arguments.from.as_ref().or(arguments.source.as_ref()).map_or("-", String::as_str);
    let file = match read::text(name, read::Kind::Table, world, &mut sources) {
        Ok(file) => file,
        Err(problem) => return Err(Failure::Problems(sources, vec![*problem])),
    };
    let device = arguments.device.clone().unwrap_or_else(|| stem(name));
    let sheet = if arguments.from.is_some() {
        match list::read(sources.get(file), file, &device, category) {
            Ok(sheet) => sheet,
            Err(problems) => return Err(Failure::Problems(sources, problems)),
        }
    } else {
        let draft = Draft::of(sources.get(file));
        let sheet = draft.sheet(name, &device, category);
        match arguments.out.as_ref().filter(|_| arguments.ask) {
            Some(path) => {
                let sheet = ask::walk(&draft, sheet, path, arguments.player.as_deref(), world)?;
                let left = sheet.rows.iter().filter(|r| !r.reviewed).count();
                let told = say::went_through(&tame(&path.display().to_string()), sheet.rows.len(), left);
                write!(world.err, "{}", hang("", &told, WIDTH))?;
                return Ok(());
            }
            None => sheet,
        }
    };
    let text = match arguments.to {
        DraftForm::Record => write::record(&sheet),
        DraftForm::List => list::table(&sheet),
    };
    match &arguments.out {
        None => write!(world.out, "{text}")?,
        Some(path) => {
            folder::write_new(path, text.as_bytes(), false)?;
            let beside: usize = sheet.asides.iter().map(|(_, quotes)| quotes.len()).sum();
            let path = tame(&path.display().to_string());
            let told = say::wrote(&path, sheet.rows.len(), beside, matches!(arguments.to, DraftForm::Record));
            write!(world.err, "{}", hang("", &told, WIDTH))?;
        }
    }
    Ok(())
}

/// What a file is called, without folder and ending.
fn stem(name: &str) -> String {
    let stem = Path::new(name).file_stem().map(|s| s.to_string_lossy().into_owned()).unwrap_or_default();
    if stem.is_empty() || stem == "-" { say::UNNAMED.to_owned() } else { stem }
}
