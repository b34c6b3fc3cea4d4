//! The command `unfasten`. Everything it does is in the library beside it; here are only the real streams.

use std::io::{self, IsTerminal, Write};
use std::process::ExitCode;

use anstream::{AutoStream, ColorChoice};
use unfasten_cli::{Streams, run};

#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    unfasten_cli::watch();
    let (out, err) = (io::stdout(), io::stderr());
    let styled = |choice: ColorChoice| !matches!(choice, ColorChoice::Never);
    let (out_styled, err_styled) = (styled(AutoStream::choice(&out)), styled(AutoStream::choice(&err)));
    let (mut out, mut err) = (AutoStream::auto(out.lock()), AutoStream::auto(err.lock()));
    let mut streams = Streams {
        input: &mut io::stdin(),
        out: &mut out,
        err: &mut err,
        out_styled,
        err_styled,
        err_terminal: io::stderr().is_terminal(),
    };
    let exit = run(std::env::args_os(), &mut streams);
    // A run that found fault with its input flushes here; whatever fails now, its code says what matters.
    let _ = out.flush();
    ExitCode::from(exit.code())
}
