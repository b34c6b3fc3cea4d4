//! `unfasten completions` and `unfasten manual`: what a shell and `man` want to know, told from the arguments themselves.

use clap::CommandFactory;

use crate::arguments::{Arguments, Completions, Manual};
use crate::failure::Failure;
use crate::files::folder::{self, Files};
use crate::terminal::{hang, tame};
use crate::words::shell as say;
use crate::world::{WIDTH, World};

pub(crate) fn completions(arguments: &Completions, world: &mut World<'_>) -> Result<(), Failure> {
    let mut script = Vec::new();
    clap_complete::generate(arguments.shell, &mut Arguments::command(), "unfasten", &mut script);
    world.out.write_all(&script)?;
    Ok(())
}

pub(crate) fn manual(arguments: &Manual, world: &mut World<'_>) -> Result<(), Failure> {
    let mut command = Arguments::command();
    command.build();
    let mut files = Files::new();
    let mut waiting = vec![command];
    while let Some(command) = waiting.pop() {
        let name = command.get_display_name().unwrap_or_else(|| command.get_name()).to_owned();
        // What `help` says stands in every page.
        let below = command.get_subcommands().filter(|c| c.get_name() != "help").cloned();
        waiting.extend(below);
        let mut page = Vec::new();
        clap_mangen::Man::new(command).render(&mut page)?;
        files.insert(format!("{name}.1"), page);
    }
    folder::write(&arguments.folder, &files, arguments.force)?;
    let text = say::wrote(files.len(), &arguments.folder.display().to_string());
    write!(world.err, "{}", hang("", &tame(&text), WIDTH))?;
    Ok(())
}
