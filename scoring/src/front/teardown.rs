//! A record, read.

use super::open::{self, Gain, Open};
use super::problems::Problems;
use super::rules::Rules;
use super::verdict::Verdict;
use crate::compare::Changes;
use crate::range::{Assessment, Effort, Guide, fitted};
use crate::record::{self, Record};
use crate::text::{FileId, Source, Sources, edit};

/// The record of one device taken apart once, with the texts it was read from.
#[derive(Clone, Debug)]
pub struct Teardown {
    pub(super) record: Record,
    pub(super) sources: Sources,
    file: FileId,
    warnings: Problems,
}

impl Teardown {
    /// Reads and checks a record. `name` is what places are called by (`lantern.yaml:9:6`); no file is opened.
    ///
    /// ```
    /// use scoring::Teardown;
    /// let lantern = Teardown::read("lantern.yaml", scoring::front::LANTERN)?;
    /// assert_eq!((lantern.device(), lantern.warnings().len()), ("Lantern", 0));
    /// let wrong = Teardown::read("lantern.yaml", &lantern.text().replace("after: base", "after: bass")).unwrap_err();
    /// let first = wrong.iter().next().unwrap();
    /// assert_eq!((first.position.line, first.mend.as_deref()), (8, Some("did you mean `base`?")));
    /// # Ok::<(), scoring::Problems>(())
    /// ```
    ///
    /// # Errors
    /// Every mistake, in file order. What only deserves a look is in [`Teardown::warnings`] of a record that could be read.
    pub fn read(name: &str, text: &str) -> Result<Self, Problems> {
        Self::read_with(name, text, &mut |_| Err("it is not at hand here".to_owned()))
    }

    /// As [`Teardown::read`], for a record that names others (`extends`, `bench`): `load` gets their texts by path, joined
    /// to the name of the text that names them, or says in a few words why it can't.
    ///
    /// ```
    /// use scoring::Teardown;
    /// let variant = "unfasten: 1\nextends: lantern.yaml\ndevice: {name: Lantern Two}\n";
    /// let mut load = |path: &str| match path {
    ///     "lantern.yaml" => Ok(scoring::front::LANTERN.to_owned()),
    ///     _ => Err("nobody has it".to_owned()),
    /// };
    /// assert_eq!(Teardown::read_with("two.yaml", variant, &mut load)?.device(), "Lantern Two");
    /// # Ok::<(), scoring::Problems>(())
    /// ```
    ///
    /// # Errors
    /// As [`Teardown::read`]; a text that could not be had is one of the mistakes.
    pub fn read_with(
        name: &str,
        text: &str,
        load: &mut dyn FnMut(&str) -> Result<String, String>,
    ) -> Result<Self, Problems> {
        let mut sources = Sources::new();
        let file = match Source::checked(name, text.as_bytes()) {
            Ok(source) => sources.add(source),
            Err(refusal) => {
                let file = sources.add(refusal.source.clone());
                return Err(Problems::of(&[refusal.diagnostic(file)], &sources));
            }
        };
        let mut texts = |path: &str| load(path).map(|text| Source::new(path, &text));
        let read = record::read_with(&mut sources, file, &mut texts);
        let problems = Problems::of(&read.diagnostics, &sources);
        match read.record {
            Some(record) => Ok(Self { record, sources, file, warnings: problems }),
            None => Err(problems),
        }
    }

    /// What deserves a look, in file order.
    pub fn warnings(&self) -> &Problems {
        &self.warnings
    }

    /// Name of the device.
    pub fn device(&self) -> &str {
        &self.record.device.name.value
    }

    /// The text of the record.
    pub fn text(&self) -> &str {
        &self.sources.get(self.file).text
    }

    /// Applies a method: the verdict with its range, and a because for every number in it.
    pub fn assess<'t>(&'t self, rules: &Rules) -> Verdict<'t> {
        Verdict { teardown: self, assessment: Assessment::new(&self.record, &rules.method, Effort::default()) }
    }

    /// What to find out next, the most useful first; empty once the verdict hangs on nothing that is open.
    ///
    /// ```
    /// use scoring::{Rules, Teardown};
    /// let teardown = Teardown::read("lantern.yaml", scoring::front::LANTERN)?;
    /// let open = teardown.open(&Rules::shipped("en-45554")?);
    /// assert!(open.iter().any(|o| o.path == "actions[1].loosen.kind")); // what the foam tape is, nobody said
    /// # Ok::<(), scoring::Problems>(())
    /// ```
    pub fn open(&self, rules: &Rules) -> Vec<Open> {
        let method = fitted(&rules.method, &self.record);
        Guide::new(&self.record, &method, Effort::default()).questions.into_iter().map(Open::from).collect()
    }

    /// The record with one value set in its text, every other byte as it was: an answer to an [`Open`] question, or a
    /// change of one's own. `path` is a data path (`actions[1].loosen.kind`), `value` YAML on one line.
    ///
    /// ```
    /// use scoring::{Rules, Teardown};
    /// let rules = Rules::shipped("en-45554")?;
    /// let before = Teardown::read("lantern.yaml", scoring::front::LANTERN)?;
    /// let after = before.with("actions[1].loosen.kind", "removable")?;
    /// assert!(after.assess(&rules).width() < before.assess(&rules).width());
    /// # Ok::<(), scoring::Problems>(())
    /// ```
    ///
    /// # Errors
    /// The path names no place, the value is no YAML on one line, or the record with it is wrong.
    pub fn with(&self, path: &str, value: &str) -> Result<Self, Problems> {
        let source = self.sources.get(self.file);
        let edit = edit::set(source, path, value).map_err(|refused| {
            let (message, mend) = match refused {
                edit::Refused::NoPlace => {
                    (format!("`{path}` names no place in this record"), "take a path from a question")
                }
                edit::Refused::NotYaml | edit::Refused::NoValue => {
                    (format!("`{value}` is no value that fits at `{path}`"), "write YAML on one line")
                }
            };
            Problems::asked("edit-refused", &source.name, message, mend.to_owned())
        })?;
        Self::read(&source.name, &edit.apply(&source.text))
    }

    /// Every single change of the design or of a promise that moves a criterion, the one that buys most first.
    ///
    /// ```
    /// use scoring::{Rules, Teardown};
    /// let teardown = Teardown::read("lantern.yaml", scoring::front::LANTERN)?;
    /// let rules = Rules::shipped("en-45554")?;
    /// let best = &teardown.changes(&rules)[0];
    /// assert!(best.shown[0] >= teardown.assess(&rules).shown()[0]);
    /// # Ok::<(), scoring::Problems>(())
    /// ```
    pub fn changes(&self, rules: &Rules) -> Vec<Gain> {
        let method = fitted(&rules.method, &self.record);
        open::gains(Changes::new(&self.record, &[method], Effort::default()))
    }

    /// The record and its texts, for the other crates of this workspace.
    #[doc(hidden)]
    pub fn parts(&self) -> (&Record, &Sources) {
        (&self.record, &self.sources)
    }
}
