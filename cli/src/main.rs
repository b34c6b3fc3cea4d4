//! The command `unfasten`. Everything it does is in the library beside it; here are only the real streams.

use std::io::{self, IsTerminal, Write};
use std::process::ExitCode;
use std::sync::atomic::{AtomicBool, Ordering};

use anstream::{AutoStream, ColorChoice};
use unfasten_cli::{Streams, run};

#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

/// The program was started without a standard output.
static WITHOUT_OUTPUT: AtomicBool = AtomicBool::new(false);

/// Looks before `main`: the standard library puts the null device in the place of a closed stream, and then nobody can tell any
/// more that what is written goes nowhere.
#[cfg(unix)]
#[allow(unsafe_code, reason = "how the attribute has this run so early; what is run is safe")]
#[ctor::ctor(unsafe)]
fn look_at_output() {
    WITHOUT_OUTPUT.store(rustix::io::fcntl_getfd(rustix::stdio::stdout()).is_err(), Ordering::Relaxed);
}

/// A standard output that isn't there.
struct Nowhere;

impl Write for Nowhere {
    fn write(&mut self, _: &[u8]) -> io::Result<usize> {
        Err(io::Error::other(unfasten_cli::OUTPUT_CLOSED))
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

fn main() -> ExitCode {
    unfasten_cli::watch();
    let (out, err) = (io::stdout(), io::stderr());
    let styled = |choice: ColorChoice| !matches!(choice, ColorChoice::Never);
    let (out_styled, err_styled) = (styled(AutoStream::choice(&out)), styled(AutoStream::choice(&err)));
    let (mut out, mut err) = (AutoStream::auto(out.lock()), AutoStream::auto(err.lock()));
    let out: &mut dyn Write = if WITHOUT_OUTPUT.load(Ordering::Relaxed) { &mut Nowhere } else { &mut out };
    let mut streams = Streams {
        input: &mut io::stdin(),
        out: &mut *out,
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
