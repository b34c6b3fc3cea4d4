//! Files made ready under passing names, in a folder of their own beside where they belong, and moved to their names
//! when all are there.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use tempfile::TempDir;

use super::interrupt;

/// What the names of such folders begin with.
const PREFIX: &str = ".unfasten-";
/// A file in each that is locked for as long as its run lives.
const LOCK: &str = "lock";

/// Letters and figures drawn for a name.
const DRAWN: usize = 6;
/// Folders made before giving up, where other runs sweep each at the moment it is made.
const TURNS: usize = 20;

/// Files that are ready.
pub(super) struct Stage {
    folder: TempDir,
    /// Keeps other runs from sweeping the folder.
    _lock: File,
    count: usize,
}

impl Stage {
    /// A place for files that belong into a folder, which must exist. What killed runs left there is swept.
    pub(super) fn new(folder: &Path) -> io::Result<Self> {
        sweep(folder);
        // An interrupt comes before the folder is there, or once it is known and whole: never in between, where it would stay.
        let mut under_way = interrupt::hold();
        for _ in 0..TURNS {
            let folder = tempfile::Builder::new().prefix(PREFIX).rand_bytes(DRAWN).tempdir_in(folder)?;
            if let Some(lock) = locked(folder.path())? {
                under_way.push(folder.path().to_owned());
                return Ok(Self { folder, _lock: lock, count: 0 });
            }
        }
        Err(io::Error::other(crate::words::files::SWEPT))
    }

    /// Makes a file ready; gives its passing name.
    pub(super) fn add(&mut self, content: &[u8]) -> io::Result<PathBuf> {
        // A folder that is being thrown away gets no new files: it could not be removed.
        let _held = interrupt::hold();
        let path = self.folder.path().join(self.count.to_string());
        self.count += 1;
        let mut file = OpenOptions::new().write(true).create_new(true).open(&path)?;
        file.write_all(content)?;
        file.flush()?;
        Ok(path)
    }
}

impl Drop for Stage {
    fn drop(&mut self) {
        // Known until it is gone, so that an interrupt in the middle waits and finds nothing.
        let mut under_way = interrupt::hold();
        let _ = fs::remove_dir_all(self.folder.path());
        under_way.retain(|f| f != self.folder.path());
    }
}

/// Locks a folder just made; nothing where another run has swept it before that.
fn locked(folder: &Path) -> io::Result<Option<File>> {
    let path = folder.join(LOCK);
    let lock = match File::create(&path) {
        Ok(lock) => lock,
        Err(e) if e.kind() == io::ErrorKind::NotFound => return Ok(None),
        Err(e) => return Err(e),
    };
    // Where a file system knows no locks, nobody can sweep either.
    let swept = matches!(lock.try_lock(), Err(TryLockError::WouldBlock)) || !path.exists();
    Ok((!swept).then_some(lock))
}

/// Throws away what runs left that were killed before they could, at whatever moment.
fn sweep(folder: &Path) {
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let name = entry.file_name();
        let drawn = name.to_str().and_then(|n| n.strip_prefix(PREFIX));
        let ours = drawn.is_some_and(|d| d.len() == DRAWN && d.bytes().all(|b| b.is_ascii_alphanumeric()));
        if !ours || !entry.file_type().is_ok_and(|t| t.is_dir()) {
            continue;
        }
        let lock = entry.path().join(LOCK);
        if !fs::symlink_metadata(&lock).is_ok_and(|m| m.is_file()) {
            // Killed before the lock was there, when it was empty. Whoever is about to put it there makes another folder.
            let _ = fs::remove_dir(entry.path());
            continue;
        }
        // Whoever made it lives as long as it can't be locked. Held until all is gone, so that nobody else takes it meanwhile.
        if let Ok(held) = File::open(&lock)
            && held.try_lock().is_ok()
        {
            let _ = fs::remove_dir_all(entry.path());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn left_overs_are_swept_and_what_is_under_way_is_not() {
        let folder = tempfile::tempdir().unwrap();
        let left = folder.path().join(".unfasten-killed");
        fs::create_dir(&left).unwrap();
        fs::write(left.join(LOCK), "").unwrap();
        fs::write(left.join("0"), "half").unwrap();
        let theirs = folder.path().join(".unfasten-notes");
        fs::create_dir(&theirs).unwrap();
        let early = folder.path().join(".unfasten-a1B2c3");
        fs::create_dir(&early).unwrap();
        let mut living = Stage::new(folder.path()).unwrap();
        assert!(!left.exists() && !early.exists() && theirs.exists());
        let ready = living.add(b"x").unwrap();
        let other = Stage::new(folder.path()).unwrap();
        assert_eq!(fs::read(&ready).unwrap(), b"x");
        drop((living, other));
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "only what isn't ours stays");
    }
}
