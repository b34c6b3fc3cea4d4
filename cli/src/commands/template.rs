//! `unfasten template`: the shipped report templates, to be changed.

use crate::arguments::Template;
use crate::failure::Failure;
use crate::files::folder::{self, Files};
use crate::terminal::hang;
use crate::world::{WIDTH, World};

pub(crate) fn run(arguments: &Template, world: &mut World<'_>) -> Result<(), Failure> {
    let files: Files = report::template::SHIPPED
        .iter()
        .chain([&report::template::README])
        .map(|(name, text)| ((*name).to_owned(), text.as_bytes().to_vec()))
        .collect();
    folder::write(&arguments.folder, &files, arguments.force)?;
    let folder = arguments.folder.display();
    let text = format!(
        "wrote {} templates to {folder} and a README.md that tells what they receive; change them, then: unfasten report RECORD --template {folder} --out DIR",
        report::template::SHIPPED.len()
    );
    write!(world.err, "{}", hang("", &text, WIDTH))?;
    Ok(())
}
