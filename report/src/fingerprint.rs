//! A fingerprint of record, method and program, so that anyone can recompute.

use scoring::method::Method;
use sha2::{Digest, Sha256};

use crate::view::{Applied, Job};

/// SHA-256, in hexadecimal, over record text, texts of the records it is a variant of, texts of the support tables joined to
/// it, of its bench sheet, method text, options in force and program version.
///
/// Every piece is preceded by its length in bytes (decimal, then a line break), so no two lists of pieces hash alike.
pub fn of(job: &Job<'_>, applied: &Applied<'_>) -> String {
    let record = &job.sources.get(job.record.span.file).text;
    let switches = switches(&applied.assessment.method);
    let mut hash = Sha256::new();
    let bases = job.record.bases.iter().map(|b| &*job.sources.get(b.file).text);
    let tables = job.record.support.tables.iter().map(|t| &*job.sources.get(*t).text);
    let sheet = job.record.bench.as_ref().map(|b| &*job.sources.get(b.file).text);
    let texts = std::iter::once(&**record).chain(bases).chain(tables).chain(sheet);
    for piece in texts.chain([applied.text, &*switches, job.version]) {
        hash.update(format!("{}\n", piece.len()));
        hash.update(piece);
    }
    hex(&hash.finalize())
}

/// Options in force, one a line.
fn switches(method: &Method) -> String {
    let option = |s: &scoring::method::Switch| s.options.get(s.chosen).map_or_else(String::new, |(id, _)| id.clone());
    let mut out = String::new();
    for s in &method.switches {
        out.push_str(&format!("{}={}\n", s.id, option(s)));
    }
    out
}

/// Bytes in hexadecimal, lower case.
pub(crate) fn hex(bytes: &[u8]) -> String {
    let mut out = String::with_capacity(2 * bytes.len());
    for byte in bytes {
        out.push_str(&format!("{byte:02x}"));
    }
    out
}
