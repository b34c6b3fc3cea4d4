//! An output folder: files written whole or not at all, and nothing replaced that isn't ours.
//!
//! A manifest in the folder lists every file written there with the hash of its content. A file is replaced only if it
//! is listed and still has that hash, or already holds exactly what would be written. All files are made ready first and
//! then moved to their names in one go, which an interrupt waits for; should the machine stop in the middle of it, the
//! manifest tells of both the old files and the new.

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};

use super::interrupt;
use super::stage::Stage;
use crate::failure::Failure;
use crate::words::files::{self as say, NoList};

/// Name of the manifest.
pub(crate) const MANIFEST: &str = "unfasten-files.json";

/// Files to be written: path below the folder, with `/`, to content.
pub(crate) type Files = BTreeMap<String, Vec<u8>>;

/// What the manifest says.
#[derive(Debug, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct Manifest {
    /// Version of this shape.
    unfasten: u32,
    /// File name to SHA-256 of its content, hexadecimal.
    files: BTreeMap<String, String>,
    /// The same of files that are about to be written over them.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    writing: BTreeMap<String, String>,
}

impl Manifest {
    /// Whether a file of this content was written by the command.
    fn lists(&self, name: &str, hash: &str) -> bool {
        [&self.files, &self.writing].iter().any(|list| list.get(name).is_some_and(|h| h == hash))
    }

    fn text(&self) -> io::Result<Vec<u8>> {
        Ok((serde_json::to_string_pretty(self)? + "\n").into_bytes())
    }
}

/// Writes files into a folder, making it where it is missing. All is checked before anything is written.
pub(crate) fn write(folder: &Path, files: &Files, force: bool) -> Result<(), Failure> {
    if folder.exists() && !folder.is_dir() {
        return Err(Failure::said(say::no_folder(&folder.display().to_string())));
    }
    let mut manifest = read_manifest(folder, force)?;
    let mut strange = Vec::new();
    for (name, content) in files {
        let path = folder.join(name);
        match fs::symlink_metadata(&path) {
            Err(_) => {}
            Ok(found) if found.is_dir() => {
                return Err(Failure::said(say::is_a_folder(&path.display().to_string())));
            }
            Ok(_) if force => {}
            Ok(found) => {
                // Links, pipes and devices are nothing the command writes, and reading them could take for ever.
                let now = if found.is_file() { hash_of(&path).unwrap_or_default() } else { String::new() };
                if !manifest.lists(name, &now) && hash(content) != now {
                    strange.push(path);
                }
            }
        }
    }
    if !strange.is_empty() {
        return Err(refused(&strange));
    }
    fs::create_dir_all(folder).map_err(|e| failed(folder, &e))?;
    let mut stage = Stage::new(folder).map_err(|e| failed(folder, &e))?;
    let mut ready = Vec::new();
    manifest.writing.clear();
    for (name, content) in files {
        let path = folder.join(name);
        let parent = path.parent().unwrap_or(folder);
        fs::create_dir_all(parent).map_err(|e| failed(parent, &e))?;
        ready.push((stage.add(content).map_err(|e| failed(&path, &e))?, path.clone()));
        manifest.writing.insert(name.clone(), hash(content));
    }
    let list = folder.join(MANIFEST);
    let mut staged = |manifest: &Manifest| -> Result<PathBuf, Failure> {
        stage.add(&manifest.text().map_err(|e| failed(&list, &e))?).map_err(|e| failed(&list, &e))
    };
    let before = staged(&manifest)?;
    let writing = std::mem::take(&mut manifest.writing);
    manifest.files.extend(writing);
    let after = staged(&manifest)?;
    let steps = std::iter::once((before, list.clone())).chain(ready).chain([(after, list.clone())]);
    move_all(steps, &mut || {}).map_err(|(path, e)| failed(&path, &e))
}

/// Gives files that are ready their names, one after the other; an interrupt waits until all have theirs. `between` runs
/// before each.
fn move_all(
    files: impl Iterator<Item = (PathBuf, PathBuf)>,
    between: &mut dyn FnMut(),
) -> Result<(), (PathBuf, io::Error)> {
    let _held = interrupt::hold();
    for (ready, path) in files {
        between();
        fs::rename(ready, &path).map_err(|e| (path, e))?;
    }
    Ok(())
}

/// Writes one file that must not exist yet.
pub(crate) fn write_new(path: &Path, content: &[u8], force: bool) -> Result<(), Failure> {
    if !force && fs::symlink_metadata(path).is_ok() {
        return Err(refused(&[path.to_owned()]));
    }
    let parent = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    let failed = |e: io::Error| failed(path, &e);
    let mut stage = Stage::new(parent).map_err(failed)?;
    let ready = stage.add(content).map_err(failed)?;
    // A second name fails where something came up in between; not every file system has second names.
    let linked = if force { Err(io::ErrorKind::Unsupported.into()) } else { fs::hard_link(&ready, path) };
    match linked {
        Ok(()) => Ok(()),
        Err(e) if e.kind() == io::ErrorKind::AlreadyExists => Err(refused(&[path.to_owned()])),
        Err(_) => move_all(std::iter::once((ready, path.to_owned())), &mut || {}).map_err(|(_, e)| failed(e)),
    }
}

/// Replaces a file, whole or not at all; who may read and write it stays as it was.
pub(crate) fn replace(path: &Path, content: &[u8]) -> Result<(), Failure> {
    let failed = |e: io::Error| failed(path, &e);
    let rights = fs::metadata(path).map_err(failed)?.permissions();
    let mut stage = Stage::new(path.parent().unwrap_or(Path::new("."))).map_err(failed)?;
    let ready = stage.add(content).map_err(failed)?;
    fs::set_permissions(&ready, rights).map_err(failed)?;
    move_all(std::iter::once((ready, path.to_owned())), &mut || {}).map_err(|(_, e)| failed(e))
}

fn failed(path: &Path, error: &dyn std::fmt::Display) -> Failure {
    Failure::Failed(say::cannot_be_written(&path.display().to_string(), error))
}

fn read_manifest(folder: &Path, force: bool) -> Result<Manifest, Failure> {
    let fresh = Manifest { unfasten: 1, ..Manifest::default() };
    let path = folder.join(MANIFEST);
    if fs::symlink_metadata(&path).is_err() {
        return Ok(fresh);
    }
    match listed(&path) {
        Ok(manifest) => Ok(manifest),
        Err(_) if force => Ok(fresh),
        Err(failure) => Err(failure),
    }
}

/// The manifest at a path.
fn listed(path: &Path) -> Result<Manifest, Failure> {
    let wrong = |why: &NoList<'_>| Failure::said(say::no_list(&path.display().to_string(), why));
    let metadata = fs::metadata(path).map_err(|e| wrong(&NoList::Unreadable(&e)))?;
    if !metadata.is_file() || metadata.len() > 16 << 20 {
        return Err(wrong(&NoList::Other));
    }
    let text = fs::read(path).map_err(|e| wrong(&NoList::Unreadable(&e)))?;
    let manifest: Manifest = serde_json::from_slice(&text).map_err(|e| wrong(&NoList::Unreadable(&e)))?;
    if manifest.unfasten == 1 { Ok(manifest) } else { Err(wrong(&NoList::Version(manifest.unfasten))) }
}

fn refused(paths: &[PathBuf]) -> Failure {
    let list: Vec<String> = paths.iter().map(|p| format!("`{}`", p.display())).collect();
    Failure::said(say::not_ours(&list))
}

/// SHA-256, hexadecimal.
fn hash(bytes: &[u8]) -> String {
    hexadecimal(&Sha256::digest(bytes))
}

/// The same of a file, however large it has become.
fn hash_of(path: &Path) -> io::Result<String> {
    let mut sum = Sha256::new();
    io::copy(&mut fs::File::open(path)?, &mut sum)?;
    Ok(hexadecimal(&sum.finalize()))
}

fn hexadecimal(bytes: &[u8]) -> String {
    bytes.iter().map(|b| format!("{b:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn files(list: &[(&str, &str)]) -> Files {
        list.iter().map(|(n, c)| ((*n).to_owned(), c.as_bytes().to_vec())).collect()
    }

    #[test]
    fn replaces_only_its_own() {
        let folder = tempfile::tempdir().unwrap();
        let at = folder.path().join("out");
        write(&at, &files(&[("a.md", "1"), ("b.md", "1")]), false).unwrap();
        write(&at, &files(&[("a.md", "2")]), false).unwrap();
        assert_eq!(fs::read(at.join("a.md")).unwrap(), b"2");
        // Changed by hand: refused, and the other file stays as it was.
        fs::write(at.join("a.md"), "by hand").unwrap();
        let refused = write(&at, &files(&[("a.md", "3"), ("b.md", "3")]), false);
        assert!(matches!(refused, Err(Failure::Wrong(..))), "{refused:?}");
        assert_eq!(fs::read(at.join("a.md")).unwrap(), b"by hand");
        assert_eq!(fs::read(at.join("b.md")).unwrap(), b"1");
        write(&at, &files(&[("a.md", "3")]), true).unwrap();
        assert_eq!(fs::read(at.join("a.md")).unwrap(), b"3");
    }

    #[test]
    fn a_file_of_somebody_else_is_left_alone() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("a.md"), "notes").unwrap();
        assert!(write(folder.path(), &files(&[("a.md", "1"), ("b.md", "1")]), false).is_err());
        assert!(!folder.path().join("b.md").exists());
        assert!(!folder.path().join(MANIFEST).exists());
        // The same content is no harm.
        write(folder.path(), &files(&[("a.md", "notes")]), false).unwrap();
    }

    /// The machine stops after some files took their names: whatever the next run writes, nothing is in its way.
    #[test]
    fn a_run_that_was_killed_half_way_is_no_obstacle() {
        let folder = tempfile::tempdir().unwrap();
        let at = folder.path();
        write(at, &files(&[("a.md", "1"), ("b.md", "1")]), false).unwrap();
        let mut manifest = listed(&at.join(MANIFEST)).unwrap();
        manifest.writing = [("a.md".to_owned(), hash(b"2")), ("b.md".to_owned(), hash(b"2"))].into();
        fs::write(at.join(MANIFEST), manifest.text().unwrap()).unwrap();
        fs::write(at.join("a.md"), "2").unwrap();
        write(at, &files(&[("a.md", "3"), ("b.md", "3")]), false).unwrap();
        let held: Vec<_> = ["a.md", "b.md"].iter().map(|n| fs::read(at.join(n)).unwrap()).collect();
        assert_eq!(held, [b"3", b"3"]);
        assert!(listed(&at.join(MANIFEST)).unwrap().writing.is_empty());
    }

    /// An interrupt in the middle of the write phase, held open: it waits until every file has its name.
    #[test]
    fn an_interrupt_waits_for_files_that_take_their_names() {
        let folder = tempfile::tempdir().unwrap();
        let names: Vec<PathBuf> = (0..4).map(|i| folder.path().join(format!("{i}.md"))).collect();
        let mut stage = Stage::new(folder.path()).unwrap();
        let ready: Vec<PathBuf> = names.iter().map(|_| stage.add(b"new").unwrap()).collect();
        let (ask, asked) = std::sync::mpsc::channel();
        let interrupt = {
            let names = names.clone();
            std::thread::spawn(move || {
                asked.recv().unwrap();
                let held = interrupt::hold();
                let whole = names.iter().filter(|n| n.exists()).count();
                drop(held);
                whole
            })
        };
        let mut moved = 0;
        let mut between = || {
            if moved == 2 {
                ask.send(()).unwrap();
                // Long enough for the interrupt to come through if nothing held it.
                std::thread::sleep(std::time::Duration::from_millis(300));
            }
            moved += 1;
        };
        move_all(ready.into_iter().zip(names.clone()), &mut between).unwrap();
        assert_eq!(interrupt.join().unwrap(), names.len());
        drop(stage);
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), names.len(), "nothing else is left");
    }

    #[cfg(unix)]
    #[test]
    fn links_and_pipes_in_the_way_are_refused_at_once() {
        let folder = tempfile::tempdir().unwrap();
        let at = folder.path();
        std::os::unix::fs::symlink("/dev/zero", at.join("a.md")).unwrap();
        let made = std::process::Command::new("mkfifo").arg(at.join("b.md")).status();
        assert!(made.is_ok_and(|s| s.success()), "mkfifo is part of every Unix");
        for name in ["a.md", "b.md"] {
            assert!(matches!(write(at, &files(&[(name, "1")]), false), Err(Failure::Wrong(..))), "{name}");
            write(at, &files(&[(name, "1")]), true).unwrap();
            assert!(fs::symlink_metadata(at.join(name)).unwrap().is_file(), "replaced, not written through");
        }
    }

    #[test]
    fn a_broken_manifest_stops_the_run() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join(MANIFEST), "[").unwrap();
        assert!(matches!(write(folder.path(), &files(&[("a", "1")]), false), Err(Failure::Wrong(..))));
        assert!(!folder.path().join("a").exists());
        write(folder.path(), &files(&[("a", "1")]), true).unwrap();
    }
}
