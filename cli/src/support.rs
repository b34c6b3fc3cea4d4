//! Support tables of a run: read once, joined to every record, and what nothing was joined to said at the end.

use std::collections::BTreeSet;

use scoring::record::{Key, SupportTable, device_keys};
use scoring::text::{Diagnostic, Sources};

use crate::arguments::Joined;
use crate::failure::Failure;
use crate::files::read;
use crate::job::{self, Taken};
use crate::problems::{self, Form, any_error};
use crate::world::World;

/// The tables of a run.
#[derive(Debug, Default)]
pub(crate) struct Tables {
    /// Texts of the tables; every record's texts start with them.
    sources: Sources,
    list: Vec<SupportTable>,
    /// What the devices of the records read so far answer to.
    seen: BTreeSet<Key>,
    /// A record could not be read, so nobody knows what would have matched.
    lost: bool,
}

impl Tables {
    /// Reads the tables named; warnings are shown, errors of any of them end the run.
    pub(crate) fn read(joined: &Joined, form: Form, world: &mut World<'_>) -> Result<Self, Failure> {
        let mut out = Self::default();
        let mut found = Vec::new();
        for name in &joined.support {
            match read::text(name, world, &mut out.sources) {
                Ok(file) => {
                    let (table, problems) = SupportTable::read(&out.sources, file);
                    found.extend(problems);
                    out.list.push(table);
                }
                Err(problem) => found.push(*problem),
            }
        }
        if any_error(&found) {
            return Err(Failure::Problems(out.sources, found));
        }
        problems::show(form, world.err_styled, &out.sources, &found, world.err)?;
        Ok(out)
    }

    /// Reads a record, joined to what the tables say of its device.
    pub(crate) fn record(&mut self, name: &str, world: &mut World<'_>) -> Taken {
        let taken = job::record_joined(name, self.sources.clone(), &self.list, world);
        match &taken.record {
            Some(record) if !self.list.is_empty() => self.seen.extend(device_keys(&record.device)),
            Some(_) => {}
            None => self.lost = true,
        }
        taken
    }

    /// The texts of the tables, and warnings about devices no record of the run is of; nothing where a record could
    /// not be read.
    pub(crate) fn unmatched(&self) -> (Sources, Vec<Diagnostic>) {
        let tables = self.list.iter().filter(|_| !self.lost);
        (self.sources.clone(), tables.flat_map(|t| t.unmatched(&self.seen)).collect())
    }

    /// Shows those warnings.
    pub(crate) fn finish(&self, form: Form, world: &mut World<'_>) -> Result<(), Failure> {
        let (sources, found) = self.unmatched();
        problems::show(form, world.err_styled, &sources, &found, world.err)?;
        Ok(())
    }
}
