//! Support tables of a run: read once, joined to every record, and what nothing was joined to said at the end.

use std::collections::BTreeSet;
use std::sync::{Mutex, MutexGuard, PoisonError};

use scoring::record::{Beside, Key, Record, SupportTable, device_keys};
use scoring::text::{Diagnostic, FileId, Sources, Span};

use crate::arguments::Joined;
use crate::failure::Failure;
use crate::files::inputs::Input;
use crate::files::read::{self, Kind};
use crate::job::{self, Taken};
use crate::problems::{self, Form, any_error};
use crate::world::World;

/// The tables of a run.
#[derive(Debug, Default)]
pub(crate) struct Tables {
    /// Texts of the tables; every record's texts start with them.
    sources: Sources,
    list: Vec<SupportTable>,
    /// The bench sheet all records are read on.
    bench: Option<FileId>,
    /// What reading them found, by code and place: joining reads them again and would say it again.
    told: BTreeSet<(&'static str, Span)>,
    /// Records are read on several threads.
    seen: Mutex<Seen>,
}

/// Which devices came by.
#[derive(Debug, Default)]
struct Seen {
    /// What the devices of the records read so far answer to.
    keys: BTreeSet<Key>,
    /// A record could not be read, so nobody knows what would have matched.
    lost: bool,
}

impl Tables {
    /// Reads the tables named; warnings are shown, errors of any of them end the run.
    pub(crate) fn read(joined: &Joined, form: Form, world: &mut World<'_>) -> Result<Self, Failure> {
        let (out, found) = Self::with_mistakes(joined, world);
        if any_error(&found) {
            return Err(Failure::Problems(out.sources, found));
        }
        problems::show(form, world.err_styled, &out.sources, &found, world.err)?;
        Ok(out)
    }

    /// Reads the tables named as far as they can be read, with everything found in them.
    pub(crate) fn with_mistakes(joined: &Joined, world: &mut World<'_>) -> (Self, Vec<Diagnostic>) {
        let mut out = Self::default();
        let mut found = Vec::new();
        for name in &joined.support {
            match read::text(name, Kind::Table, world, &mut out.sources) {
                Ok(file) => {
                    let (table, problems) = SupportTable::read(&out.sources, file);
                    found.extend(problems);
                    out.list.push(table);
                }
                Err(problem) => found.push(*problem),
            }
        }
        if let Some(name) = &joined.on.bench {
            match read::text(name, Kind::Sheet, world, &mut out.sources) {
                Ok(file) => out.bench = Some(file),
                Err(problem) => found.push(*problem),
            }
        }
        out.told = found.iter().map(|d| (d.code, d.at.span)).collect();
        (out, found)
    }

    /// The texts of the tables.
    pub(crate) fn sources(&self) -> &Sources {
        &self.sources
    }

    /// Reads a record, joined to what the tables say of its device.
    pub(crate) fn record(&self, name: &str, world: &mut World<'_>) -> Taken {
        self.note(job::record_joined(name, self.sources.clone(), self.beside(), world))
    }

    /// Reads one of many records likewise.
    pub(crate) fn one_of(&self, input: &Input, world: &mut World<'_>) -> Taken {
        self.note(job::one_of(input, self.sources.clone(), self.beside(), world))
    }

    /// What records are read beside; the texts are those of [`sources`](Self::sources).
    pub(crate) fn beside(&self) -> Beside<'_> {
        Beside { tables: &self.list, bench: self.bench }
    }

    /// Notes records that were read otherwise, by what their devices answer to.
    pub(crate) fn note_both(&self, records: [&Record; 2]) {
        self.seen().keys.extend(records.iter().flat_map(|r| device_keys(&r.device)));
    }

    fn note(&self, mut taken: Taken) -> Taken {
        taken.problems.retain(|d| !self.told.contains(&(d.code, d.at.span)));
        if !self.list.is_empty() {
            let mut seen = self.seen();
            match &taken.record {
                Some(record) => seen.keys.extend(device_keys(&record.device)),
                None => seen.lost = true,
            }
        }
        taken
    }

    fn seen(&self) -> MutexGuard<'_, Seen> {
        self.seen.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The texts of the tables, and warnings about devices no record of the run is of; nothing where a record could
    /// not be read.
    pub(crate) fn unmatched(&self) -> (Sources, Vec<Diagnostic>) {
        let seen = self.seen();
        let tables = self.list.iter().filter(|_| !seen.lost);
        (self.sources.clone(), tables.flat_map(|t| t.unmatched(&seen.keys)).collect())
    }

    /// Shows those warnings.
    pub(crate) fn finish(&self, form: Form, world: &mut World<'_>) -> Result<(), Failure> {
        let (sources, found) = self.unmatched();
        problems::show(form, world.err_styled, &sources, &found, world.err)?;
        Ok(())
    }
}
