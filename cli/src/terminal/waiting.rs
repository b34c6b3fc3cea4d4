//! Work that may take long says on a terminal how far it is, in one line that is wiped when it ends.

use std::panic::resume_unwind;
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::thread;
use std::time::{Duration, Instant};

use scoring::assess::{Kept, Work};

use super::shown::Drawn;
use crate::failure::Failure;
use crate::many::STACK;
use crate::words;
use crate::world::World;

/// How long work goes on before anything is said of it.
const SOON: Duration = Duration::from_millis(500);
/// Time between two looks at it.
const OFTEN: Duration = Duration::from_millis(200);

/// A line on a terminal that is written over.
#[derive(Debug, Default)]
pub(crate) struct StatusLine {
    /// Columns drawn, to be wiped before anything else is written.
    drawn: usize,
}

impl StatusLine {
    /// Draws it anew.
    pub(crate) fn draw(&mut self, text: &str, world: &mut World<'_>) -> std::io::Result<()> {
        let wiped = " ".repeat(self.drawn.saturating_sub(text.len()));
        world.err.drawn(&Drawn::over(&format!("{text}{wiped}")))?;
        self.drawn = text.len();
        world.err.flush()
    }

    /// Wipes it.
    pub(crate) fn clear(&mut self, world: &mut World<'_>) -> std::io::Result<()> {
        if self.drawn > 0 {
            world.err.drawn(&Drawn::over(&" ".repeat(self.drawn)))?;
            world.err.drawn(&Drawn::over(""))?;
            world.err.flush()?;
            self.drawn = 0;
        }
        Ok(())
    }
}

/// Does some work; where it takes longer than a moment, a terminal shows what is counted of it in `kept`.
pub(crate) fn watched<T: Send>(
    kept: &Kept,
    world: &mut World<'_>,
    work: impl FnOnce() -> T + Send,
) -> Result<T, Failure> {
    if !world.err_terminal {
        return Ok(work());
    }
    thread::scope(|scope| {
        let (done, end) = channel::<()>();
        let run = move || {
            // Dropped when the work ends, whichever way.
            let _done = done;
            work()
        };
        let running = thread::Builder::new().stack_size(STACK).spawn_scoped(scope, run);
        let running = running.map_err(|e| Failure::Failed(words::failure::no_thread(&e)))?;
        let (begun, mut line) = (Instant::now(), StatusLine::default());
        while end.recv_timeout(OFTEN) == Err(RecvTimeoutError::Timeout) {
            if begun.elapsed() >= SOON {
                line.draw(&told(kept.work()), world)?;
            }
        }
        line.clear(world)?;
        Ok(running.join().unwrap_or_else(|panic| resume_unwind(panic)))
    })
}

fn told(work: Work) -> String {
    let count = |n: u64| grouped(usize::try_from(n).unwrap_or(usize::MAX));
    words::many::working(&count(work.looks), &count(work.searches))
}

/// A count with a space between thousands.
pub(crate) fn grouped(n: usize) -> String {
    let digits = n.to_string();
    let mut out = String::new();
    for (i, digit) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            out.push(' ');
        }
        out.push(digit);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_are_told_in_groups() {
        let work = Work { looks: 1_234_567, searches: 89, ..Work::default() };
        assert_eq!(told(work), "working: 1 234 567 looks, 89 ways searched");
    }
}
