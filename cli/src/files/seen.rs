//! Which files a run looked at, so that a watch knows what to look at again: nobody has to list them, and a bench sheet or a
//! picture that a record starts to name is watched from then on.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};
use std::time::SystemTime;

/// What tells that a file is another one than before; nothing where it is not there.
type Mark = Option<(SystemTime, u64)>;

static SEEN: Mutex<BTreeMap<PathBuf, Mark>> = Mutex::new(BTreeMap::new());

fn mark(path: &Path) -> Mark {
    let metadata = fs::metadata(path).ok()?;
    Some((metadata.modified().ok()?, metadata.len()))
}

/// A file is looked at now. Noted before it is read: what is saved in between is seen as a change.
pub(crate) fn note(path: &Path) {
    let mark = mark(path);
    SEEN.lock().unwrap_or_else(PoisonError::into_inner).entry(path.to_owned()).or_insert(mark);
}

/// Everything that was looked at, and a fresh start.
pub(crate) fn take() -> BTreeMap<PathBuf, Mark> {
    std::mem::take(&mut *SEEN.lock().unwrap_or_else(PoisonError::into_inner))
}

/// Whether any of these files is another one now.
pub(crate) fn changed(seen: &BTreeMap<PathBuf, Mark>) -> bool {
    seen.iter().any(|(path, before)| mark(path) != *before)
}
