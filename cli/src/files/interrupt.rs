//! An interrupted run leaves nothing behind: what is being made ready is thrown away, and files that are taking their
//! names all take them first.

use std::fs;
use std::path::PathBuf;
use std::sync::{Mutex, MutexGuard, PoisonError};

/// Folders of files that are being made ready. Held while one of them is made, filled or removed and while files take their
/// names, so that an end waits for that.
static UNDER_WAY: Mutex<Vec<PathBuf>> = Mutex::new(Vec::new());

/// An end waits for as long as this lives.
pub(super) type Holding = MutexGuard<'static, Vec<PathBuf>>;

/// Keeps an interrupt from ending the program for a moment.
pub(super) fn hold() -> Holding {
    UNDER_WAY.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Throws away what is being made ready, once nothing is taking its name any more. What is returned keeps anything
/// else from beginning.
#[cfg_attr(not(unix), allow(dead_code, reason = "only signals call it"))]
pub(crate) fn sweep() -> MutexGuard<'static, Vec<PathBuf>> {
    let mut under_way = hold();
    for folder in under_way.drain(..) {
        // Nothing can be done about one that stays; the next run sweeps it.
        let _ = fs::remove_dir_all(folder);
    }
    under_way
}

/// From now on SIGINT and SIGTERM end the program as they usually do, but only after a `sweep`.
#[cfg(unix)]
pub fn watch() {
    use signal_hook::consts::{SIGINT, SIGTERM};
    use signal_hook::iterator::Signals;
    use signal_hook::low_level::emulate_default_handler;

    // Without the thread signals do what they always do, and left-overs are swept by the next run.
    let Ok(mut signals) = Signals::new([SIGINT, SIGTERM]) else { return };
    let wait = move || {
        for signal in signals.forever() {
            let _held = sweep();
            let _ = emulate_default_handler(signal);
        }
    };
    let _ = std::thread::Builder::new().name("signals".to_owned()).spawn(wait);
}

/// Nothing to watch for here: left-overs are swept by the next run.
#[cfg(not(unix))]
pub fn watch() {}
