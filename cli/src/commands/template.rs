//! `unfasten template`: the shipped report templates, to be changed.

use crate::arguments::Template;
use crate::failure::Failure;
use crate::files::folder::{self, Files};
use crate::terminal::hang;
use crate::words::template as say;
use crate::world::{WIDTH, World};

pub(crate) fn run(arguments: &Template, world: &mut World<'_>) -> Result<(), Failure> {
    let files: Files = report::template::SHIPPED
        .iter()
        .chain([&report::template::README])
        .map(|(name, text)| ((*name).to_owned(), text.as_bytes().to_vec()))
        .collect();
    folder::write(&arguments.folder, &files, arguments.force)?;
    let text = say::wrote(report::template::SHIPPED.len(), &arguments.folder.display().to_string());
    write!(world.err, "{}", hang("", &text, WIDTH))?;
    Ok(())
}
