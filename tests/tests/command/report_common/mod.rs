//! A view of a record text with every shipped method that fits it.
#![allow(dead_code, reason = "each test file uses its part")]

pub(crate) mod random;

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::{LazyLock, OnceLock};

use report::view::{Applied, Job, Others, Outlook, View, build};
use scoring::method::Method;
use scoring::range::{Assessment, Effort};
use scoring::record::Record;
use scoring::text::{Source, Sources};

/// A record with its assessments.
pub(crate) struct Case {
    pub(crate) sources: Sources,
    pub(crate) record: Record,
    pub(crate) assessments: Vec<(Assessment, &'static str, Outlook, Others)>,
}

impl Case {
    pub(crate) fn new(name: &str, text: &str) -> Self {
        Self::with(name, text, |_| true)
    }

    /// With some of the methods only.
    pub(crate) fn with(name: &str, text: &str, wanted: impl Fn(&Method) -> bool) -> Self {
        let mut sources = Sources::new();
        let file = sources.add(Source::new(name, text));
        let read = scoring::record::read(&sources, file);
        let record = read.record.unwrap_or_else(|| panic!("{name}: {:#?}", read.diagnostics));
        let category = record.device.category.value;
        let effort = Effort { looks: 200, ..Effort::default() };
        let assessments = scoring::method::shipped()
            .iter()
            .map(|s| (scoring::method::load_shipped(s.id).unwrap(), s.text))
            .filter(|(m, _)| m.scope.categories.contains(&category) && wanted(m))
            .enumerate()
            .map(|(i, (m, text))| {
                let assessment = Assessment::new(&record, &m, effort);
                let others = Others::new(&record, &m, effort);
                let outlook = match i {
                    0 => Outlook::leading(&record, &assessment, &others),
                    _ => Outlook::new(&record, &assessment),
                };
                (assessment, text, outlook, others)
            })
            .collect();
        Self { sources, record, assessments }
    }

    pub(crate) fn job(&self) -> Job<'_> {
        let applied = self
            .assessments
            .iter()
            .map(|(assessment, text, outlook, others)| Applied { others, ..Applied::new(assessment, text, outlook) })
            .collect();
        Job { record: &self.record, sources: &self.sources, applied, version: "0.1.0", photos: BTreeMap::new() }
    }

    pub(crate) fn view(&self) -> View {
        build(&self.job())
    }
}

/// A sample with every method that fits it, worked out when first asked for: most of what these checks cost.
#[derive(Default)]
struct Kept {
    case: OnceLock<Case>,
    view: OnceLock<View>,
}

static KEPT: LazyLock<BTreeMap<String, (String, Kept)>> =
    LazyLock::new(|| samples().into_iter().map(|(name, text)| (name, (text, Kept::default()))).collect());

/// A sample by file name, shared by all checks.
pub(crate) fn sample(name: &str) -> &'static Case {
    let (text, kept) = &KEPT[name];
    kept.case.get_or_init(|| Case::new(name, text))
}

/// Its view.
pub(crate) fn sample_view(name: &str) -> &'static View {
    KEPT[name].1.view.get_or_init(|| sample(name).view())
}

/// Names of all samples.
pub(crate) fn names() -> impl Iterator<Item = &'static str> {
    KEPT.keys().map(String::as_str)
}

/// The samples, by file name.
pub(crate) fn samples() -> Vec<(String, String)> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../samples");
    let mut out: Vec<(String, String)> = std::fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "yaml") && !p.ends_with("bench-a.yaml"))
        .map(|p| (p.file_name().unwrap().to_string_lossy().into_owned(), std::fs::read_to_string(p).unwrap()))
        .collect();
    out.sort();
    out
}

/// What no phrase has: places where a word is missing, one said twice, a number that doesn't agree, a value that is none.
pub(crate) fn whole(name: &str, text: &str) {
    let padded = format!(" {text} ");
    for odd in [
        "  ",
        " ,",
        " .",
        " ;",
        "..",
        ",,",
        ";;",
        "()",
        "\"\"",
        " a a ",
        " the the ",
        " a new new ",
        " 1 steps",
        " one steps",
        " 1 parts",
        " 1 plugs",
        " unknown ",
        "unknown x",
        " with . ",
        " with , ",
        " and . ",
        " of . ",
        " by . ",
        ": .",
        ": ;",
        "Does new ",
        " a bearings",
        " a new bearings",
        " a hinges",
        " a opening",
        " a audio",
        " it are ",
        " they is ",
        "alike likely",
        "the full one",
        "those named too",
        "if the maker promised",
        " and 1 more",
        "full verdict: if",
        "(heat or solvent)",
        "one plug",
        "Memorys",
        "( ",
        " )",
        "points points",
        "steps steps",
        "°C °C",
        "min min",
        "EUR EUR",
        " in in ",
        " of of ",
        " and and ",
        " is is ",
        " to to ",
    ] {
        assert!(!padded.contains(odd), "{name}: `{odd}` in {text}");
    }
    assert!(!text.trim().is_empty() && !text.ends_with([' ', ',', ':', ';', '-']), "{name}: {text}");
    for word in ["with", "and", "of", "the", "by", "a"] {
        assert!(!text.trim_end_matches('.').ends_with(&format!(" {word}")), "{name}: {text}");
    }
    // After a comma a sentence goes on in small letters, but for names of screws and tools.
    let mut rest = text;
    while let Some((_, after)) = rest.split_once(", ") {
        let word = after.split(' ').next().unwrap_or_default();
        let tool = word.chars().any(|c| c.is_ascii_digit()) || word.chars().all(|c| !c.is_lowercase());
        assert!(tool || !word.starts_with(char::is_uppercase), "{name}: {word} in {text}");
        rest = after;
    }
}
