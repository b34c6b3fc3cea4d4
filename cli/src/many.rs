//! One piece of work for each of many records: done on several threads, delivered in the order of the input as it
//! becomes ready, with no more in memory than a fixed number of records.

use std::any::Any;
use std::collections::BTreeMap;
use std::num::NonZeroUsize;
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::path::Path;
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::sync::{Mutex, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

use report::json::Layout;

use crate::failure::{Failure, told, warned};
use crate::files::inputs::{Input, Inputs};
use crate::problems::{self, Form, Said};
use crate::terminal::hang;
use crate::terminal::shown::{Drawn, Tamed};
use crate::terminal::waiting::{StatusLine, grouped};
use crate::words;
use crate::world::{WIDTH, World};

/// Records under way for each thread: enough that a slow one seldom keeps the others waiting.
const WINDOW: usize = 8;
/// Stack of a thread, bytes; as much as the first thread of a program usually has.
pub(crate) const STACK: usize = 8 << 20;

/// How to go about it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct How {
    /// Threads to work on; `None`: as many as the machine runs at once.
    pub(crate) threads: Option<NonZeroUsize>,
    /// How problems are shown.
    pub(crate) form: Form,
}

/// What came of one record: what it wrote, and its result.
struct Done<T> {
    out: Drawn,
    err: Drawn,
    result: thread::Result<Result<T, Failure>>,
}

/// Work on one record. It writes to a world of its own, whose streams are passed on in the order of the input.
type Work<'w, T> = &'w (dyn Fn(&Input, &mut World<'_>) -> Result<T, Failure> + Sync);
/// Takes a result, in the order of the input.
type Deliver<'w, T> = &'w mut dyn FnMut(T, &mut World<'_>) -> Result<(), Failure>;

/// What a world of its own takes from the real one: whether either stream is styled, `--base`, and how JSON is laid out.
type Outside<'w> = (bool, bool, Option<&'w Path>, Layout);

/// Works on every record. A bad one is said and passed over; true when there was one.
///
/// # Errors
/// When a result can't be delivered, or the program itself fails.
pub(crate) fn each<T: Send>(
    mut inputs: Inputs<'_>,
    how: How,
    world: &mut World<'_>,
    work: Work<'_, T>,
    deliver: Deliver<'_, T>,
) -> Result<bool, Failure> {
    for note in inputs.notes() {
        write!(world.err, "{}", warned(note))?;
    }
    let several = inputs.several();
    let threads = how.threads.or_else(|| thread::available_parallelism().ok()).map_or(1, NonZeroUsize::get);
    let progress = Progress::new(&inputs, world);
    let mut end = Delivery { how, several, progress, bad: false, said: Said::default(), deliver };
    if threads == 1 || !several {
        while let Some(input) = inputs.next() {
            let outside = (world.out_styled, world.err_styled, world.base, world.layout);
            end.take(input.name(), one(&input, outside, work), world)?;
        }
    } else {
        shared(inputs, threads, world, work, &mut end)?;
    }
    end.progress.clear(world)?;
    let left = end.said.end();
    if !left.is_empty() {
        write!(world.err, "{}", hang("", &left, WIDTH))?;
    }
    Ok(end.bad)
}

/// The same on several threads: one reads, some work, this one writes. Reading stops while the window is full.
fn shared<T: Send>(
    mut inputs: Inputs<'_>,
    threads: usize,
    world: &mut World<'_>,
    work: Work<'_, T>,
    end: &mut Delivery<'_, T>,
) -> Result<(), Failure> {
    let window = threads * WINDOW;
    let outside = (world.out_styled, world.err_styled, world.base, world.layout);
    let (send, jobs) = sync_channel::<(usize, Input)>(window);
    let (answer, answers) = sync_channel::<(usize, String, Done<T>)>(window);
    // One turn for each record that may be under way.
    let (give, turns) = sync_channel::<()>(window);
    (0..window).try_for_each(|_| give.send(())).map_err(|e| Failure::Failed(e.to_string()))?;
    let jobs = Mutex::new(jobs);
    thread::scope(|scope| {
        // Dropped when this block ends, whichever way; then the other threads end too.
        let (give, answers) = (give, answers);
        start(scope, move || {
            let mut number = 0;
            while turns.recv().is_ok() {
                let Some(input) = inputs.next() else { return };
                if send.send((number, input)).is_err() {
                    return;
                }
                number += 1;
            }
        })?;
        for _ in 0..threads {
            let (jobs, answer) = (&jobs, answer.clone());
            start(scope, move || worker(jobs, &answer, outside, work))?;
        }
        drop(answer);
        let mut waiting: BTreeMap<usize, (String, Done<T>)> = BTreeMap::new();
        let mut delivered = 0;
        while let Ok((number, name, done)) = answers.recv() {
            waiting.insert(number, (name, done));
            while let Some((name, done)) = waiting.remove(&delivered) {
                delivered += 1;
                end.take(name, done, world)?;
                // Nobody waits for a turn once all is read.
                let _ = give.send(());
            }
        }
        Ok(())
    })
}

fn start<'scope>(scope: &'scope thread::Scope<'scope, '_>, run: impl FnOnce() + Send + 'scope) -> Result<(), Failure> {
    let started = thread::Builder::new().stack_size(STACK).spawn_scoped(scope, run);
    started.map(|_| ()).map_err(|e| Failure::Failed(words::failure::no_thread(&e)))
}

fn worker<T>(
    jobs: &Mutex<Receiver<(usize, Input)>>,
    answer: &SyncSender<(usize, String, Done<T>)>,
    outside: Outside<'_>,
    work: Work<'_, T>,
) {
    loop {
        // The lock is held while waiting: one thread at a time is next.
        let job = jobs.lock().unwrap_or_else(PoisonError::into_inner).recv();
        let Ok((number, input)) = job else { return };
        let done = one(&input, outside, work);
        if answer.send((number, input.name(), done)).is_err() {
            return;
        }
    }
}

/// Works on one record, in a world of its own.
fn one<T>(input: &Input, (out_styled, err_styled, base, layout): Outside<'_>, work: Work<'_, T>) -> Done<T> {
    let (mut out, mut err) = (Tamed::new(Vec::new()), Tamed::new(Vec::new()));
    let mut world =
        World { input: None, out: &mut out, err: &mut err, out_styled, err_styled, err_terminal: false, base, layout };
    let result = catch_unwind(AssertUnwindSafe(|| work(input, &mut world)));
    Done { out: out.into_drawn(), err: err.into_drawn(), result }
}

/// Where results go, in order.
struct Delivery<'d, T> {
    how: How,
    several: bool,
    progress: Progress,
    bad: bool,
    said: Said,
    deliver: Deliver<'d, T>,
}

impl<T> Delivery<'_, T> {
    fn take(&mut self, name: String, done: Done<T>, world: &mut World<'_>) -> Result<(), Failure> {
        self.progress.clear(world)?;
        if self.said.beside(self.how.form, &done.err) {
            world.err.drawn(&done.err)?;
        }
        world.out.drawn(&done.out)?;
        let result = done.result.unwrap_or_else(|panic: Box<dyn Any + Send>| resume_unwind(panic));
        match result {
            Ok(result) => (self.deliver)(result, world)?,
            Err(failure @ (Failure::Failed(_) | Failure::Closed)) => return Err(failure),
            Err(failure) => {
                self.bad = true;
                match failure {
                    Failure::Problems(sources, found) => {
                        let found = self.said.few(self.how.form, found);
                        problems::show(self.how.form, world.err_styled, &sources, &found, world.err)?;
                    }
                    Failure::Wrong(what, mend) if self.said.one() => {
                        let what = if self.several { format!("{name}: {what}") } else { what };
                        world.err.write_all(told(&what, &mend).as_bytes())?;
                    }
                    _ => {}
                }
            }
        }
        self.progress.one_more(world)?;
        Ok(())
    }
}

/// Least time between two drawings of the progress.
const OFTEN: Duration = Duration::from_millis(100);

/// `412 of 1 000 records`, on a terminal only.
struct Progress {
    /// How many there are; `None`: not known, or not shown.
    total: Option<usize>,
    done: usize,
    line: StatusLine,
    last: Instant,
}

impl Progress {
    fn new(inputs: &Inputs<'_>, world: &World<'_>) -> Self {
        let total = (world.err_terminal && inputs.several()).then(|| inputs.count()).flatten();
        Self { total, done: 0, line: StatusLine::default(), last: Instant::now() }
    }

    fn one_more(&mut self, world: &mut World<'_>) -> std::io::Result<()> {
        self.done += 1;
        let Some(total) = self.total else { return Ok(()) };
        if self.last.elapsed() < OFTEN {
            return Ok(());
        }
        self.last = Instant::now();
        self.line.draw(&told_progress(self.done, total), world)
    }

    fn clear(&mut self, world: &mut World<'_>) -> std::io::Result<()> {
        self.line.clear(world)
    }
}

fn told_progress(done: usize, total: usize) -> String {
    words::many::progress(&grouped(done), &grouped(total))
}
