//! An output folder: files written whole or not at all, and nothing replaced that isn't ours.
//!
//! A manifest in the folder lists every file written there with the hash of its content. A file is replaced only if it
//! is listed and still has that hash, or already holds exactly what would be written.

use std::collections::BTreeMap;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};
use tempfile::NamedTempFile;

use crate::failure::Failure;

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
}

/// Writes files into a folder, making it where it is missing. All is checked before anything is written.
pub(crate) fn write(folder: &Path, files: &Files, force: bool) -> Result<(), Failure> {
    if folder.exists() && !folder.is_dir() {
        return Err(Failure::wrong(
            format!("`{}` is not a folder", folder.display()),
            "name another folder with --out",
        ));
    }
    let mut manifest = read_manifest(folder, force)?;
    let mut strange = Vec::new();
    for (name, content) in files {
        let path = folder.join(name);
        match fs::symlink_metadata(&path) {
            Err(_) => {}
            Ok(found) if found.is_dir() => {
                return Err(Failure::wrong(format!("`{}` is a folder", path.display()), "move it out of the way"));
            }
            Ok(_) if force => {}
            Ok(_) => {
                let now = fs::read(&path).map(|bytes| hash(&bytes)).unwrap_or_default();
                if manifest.files.get(name) != Some(&now) && hash(content) != now {
                    strange.push(path);
                }
            }
        }
    }
    if !strange.is_empty() {
        return Err(refused(&strange));
    }
    let failed =
        |path: &Path, e: &dyn std::fmt::Display| Failure::Failed(format!("`{}` can't be written: {e}", path.display()));
    fs::create_dir_all(folder).map_err(|e| failed(folder, &e))?;
    let mut ready = Vec::new();
    for (name, content) in files {
        let path = folder.join(name);
        let parent = path.parent().unwrap_or(folder);
        fs::create_dir_all(parent).map_err(|e| failed(parent, &e))?;
        ready.push((beside(parent, content).map_err(|e| failed(&path, &e))?, path.clone()));
        manifest.files.insert(name.clone(), hash(content));
    }
    let text = serde_json::to_string_pretty(&manifest).map_err(|e| failed(folder, &e))? + "\n";
    // Written last: should the machine stop before, the next run finds exactly what it would write, and goes on.
    ready.push((beside(folder, text.as_bytes()).map_err(|e| failed(folder, &e))?, folder.join(MANIFEST)));
    for (file, path) in ready {
        file.persist(&path).map_err(|e| failed(&path, &e))?;
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
    let failed = |e: &dyn std::fmt::Display| Failure::Failed(format!("`{}` can't be written: {e}", path.display()));
    let file = beside(parent, content).map_err(|e| failed(&e))?;
    file.persist(path).map_err(|e| failed(&e))?;
    Ok(())
}

/// A finished file under a passing name, ready to take its own.
fn beside(folder: &Path, content: &[u8]) -> std::io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".unfasten-");
    #[cfg(unix)]
    let builder = {
        use std::os::unix::fs::PermissionsExt;
        // As any new file: readable to whom the user's mask allows.
        builder.permissions(fs::Permissions::from_mode(0o666))
    };
    let mut file = builder.tempfile_in(folder)?;
    file.write_all(content)?;
    file.flush()?;
    Ok(file)
}

fn read_manifest(folder: &Path, force: bool) -> Result<Manifest, Failure> {
    let fresh = Manifest { unfasten: 1, files: BTreeMap::new() };
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
    let wrong = |why: String| {
        Failure::wrong(
            format!("`{}` can't be used: {why}", path.display()),
            "delete it, name another folder with --out, or replace everything with --force",
        )
    };
    let metadata = fs::metadata(path).map_err(|e| wrong(e.to_string()))?;
    if !metadata.is_file() || metadata.len() > 16 << 20 {
        return Err(wrong("it is not a list of files".to_owned()));
    }
    let text = fs::read(path).map_err(|e| wrong(e.to_string()))?;
    let manifest: Manifest = serde_json::from_slice(&text).map_err(|e| wrong(e.to_string()))?;
    if manifest.unfasten == 1 { Ok(manifest) } else { Err(wrong(format!("it is of version {}", manifest.unfasten))) }
}

fn refused(paths: &[PathBuf]) -> Failure {
    let list: Vec<String> = paths.iter().map(|p| format!("`{}`", p.display())).collect();
    Failure::wrong(
        format!("{} would be replaced, but was not written by unfasten or was changed since", list.join(", ")),
        "move it, choose another place, or replace it with --force",
    )
}

/// SHA-256, hexadecimal.
pub(crate) fn hash(bytes: &[u8]) -> String {
    use std::fmt::Write as _;
    Sha256::digest(bytes).iter().fold(String::with_capacity(64), |mut out, b| {
        let _ = write!(out, "{b:02x}");
        out
    })
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

    #[test]
    fn a_broken_manifest_stops_the_run() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join(MANIFEST), "[").unwrap();
        assert!(matches!(write(folder.path(), &files(&[("a", "1")]), false), Err(Failure::Wrong(..))));
        assert!(!folder.path().join("a").exists());
        write(folder.path(), &files(&[("a", "1")]), true).unwrap();
    }
}
