//! The command `unfasten`: arguments, files, exit codes and terminal output around the libraries `scoring` and `report`.
//!
//! [`run`] is the whole command as a function of its arguments and streams, so that tests can call it without a process.

#![forbid(unsafe_code)]

mod arguments;
mod both;
mod codes;
mod commands;
mod documents;
mod ends;
mod exit;
mod failure;
mod files;
mod job;
mod many;
mod problems;
mod requirement;
mod skeleton;
mod support;
mod terminal;
mod vocabulary;
mod words;
mod world;

use std::ffi::OsString;

use clap::Parser;
use report::json::Layout;

pub use exit::Exit;
pub use files::interrupt::watch;
pub use problems::Form;
pub use words::files::OUTPUT_CLOSED;
pub use world::{Streams, WIDTH};

use terminal::shown::{Drawn, Shown, Tamed};
use world::World;

use arguments::{Arguments, Command};
use failure::Failure;

/// Runs the command.
///
/// `arguments` starts with the name of the program, as a process gets it. Results go to `streams.out`, problems to
/// `streams.err` (those `check` lists are its result). Never panics on what it is given.
pub fn run<A: Into<OsString> + Clone>(arguments: impl IntoIterator<Item = A>, streams: &mut Streams<'_>) -> Exit {
    let world = &mut World {
        input: Some(&mut *streams.input),
        out: &mut Tamed::new(&mut *streams.out),
        err: &mut Tamed::new(&mut *streams.err),
        out_styled: streams.out_styled,
        err_styled: streams.err_styled,
        err_terminal: streams.err_terminal,
        base: None,
        layout: Layout::Compact,
    };
    let arguments = match Arguments::try_parse_from(arguments) {
        Ok(arguments) => arguments,
        Err(error) => return misunderstood(&error, world),
    };
    let form = arguments.problems.laid_out(arguments.pretty);
    world.layout = if arguments.pretty { Layout::Indented } else { Layout::Compact };
    world.base = arguments.base.as_deref();
    let done = match arguments.command {
        Command::New(a) => commands::new::run(&a, form, world),
        Command::Draft(a) => commands::draft::run(&a, form, world),
        Command::Check(a) => commands::check::run(&a, form, world),
        Command::Score(a) => commands::score::run(&a, form, world),
        Command::Report(a) => commands::report::run(&a, form, world),
        Command::Route(a) => commands::route::run(&a, form, world),
        Command::Unknowns(a) => commands::unknowns::run(&a, form, world),
        Command::Answer(a) => commands::answer::run(&a, form, world),
        Command::Changes(a) => commands::changes::run(&a, form, world),
        Command::Compare(a) => commands::compare::run(&a, form, world),
        Command::Diff(a) => commands::diff::run(&a, form, world),
        Command::Methods(a) => commands::methods::run(&a, form, world),
        Command::Verify(a) => commands::verify::run(&a, form, world),
        Command::Template(a) => commands::template::run(&a, world),
        Command::Schema(a) => commands::schema::run(&a, world),
        Command::About(a) => commands::about::run(&a, world),
        Command::Completions(a) => commands::shell::completions(&a, world),
        Command::Manual(a) => commands::shell::manual(&a, world),
    };
    // What doesn't fit a full disk may only show when the last of it is written.
    match done.and_then(|()| Ok(world.out.flush()?)) {
        Ok(()) => Exit::Done,
        Err(failure) => end(failure, form, world),
    }
}

/// Lines no wider than a terminal: help is made so, but lists of possible values are not.
fn narrow(text: &str) -> String {
    let lines = text.split_inclusive('\n').map(|line| {
        if line.chars().count() <= world::WIDTH + 1 {
            return line.to_owned();
        }
        let words = line.trim_start();
        terminal::hang(&line[..line.len() - words.len()], words.trim_end(), world::WIDTH)
    });
    lines.collect()
}

/// What `clap` has to say: help and version go to the output, the rest is wrong input.
fn misunderstood(error: &clap::Error, world: &mut World<'_>) -> Exit {
    let text = error.render();
    let show = |to: &mut dyn Shown, styled: bool| {
        let shown = if styled {
            to.drawn(&Drawn::styled(&narrow(&text.ansi().to_string())))
        } else {
            write!(to, "{}", narrow(&text.to_string()))
        };
        shown.and_then(|()| to.flush())
    };
    if error.use_stderr() {
        // The exit code says the same.
        let _ = show(world.err, world.err_styled);
        return Exit::WrongInput;
    }
    match show(world.out, world.out_styled).map_err(Failure::from) {
        Ok(()) => Exit::Done,
        Err(failure) => end(failure, Form::default(), world),
    }
}

/// Says why a run stopped, where that wasn't said yet.
pub(crate) fn end(failure: Failure, form: Form, world: &mut World<'_>) -> Exit {
    let exit = failure.exit();
    // The error stream is the last resort: if it fails too, the exit code has to do.
    let _ = match failure {
        Failure::Problems(sources, list) => problems::show(form, world.err_styled, &sources, &list, world.err),
        Failure::Wrong(what, mend) => write!(world.err, "{}", failure::told(&what, &mend)),
        Failure::Failed(what) => write!(world.err, "{}", failure::failed(&what)),
        Failure::Shown | Failure::NotMet | Failure::Closed => Ok(()),
    };
    exit
}
