//! Everything that reads what somebody else wrote.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use report::template::{SHIPPED, Templates};
use report::view::{Applied, Job, Outlook, View, build};
use scoring::assess::sheet;
use scoring::assess::time::Times;
use scoring::method::{Method, load_shipped, shipped, shipped_source};
use scoring::range::{Assessment, Effort};
use scoring::record::{self, SupportTable};
use scoring::text::hidden::hides;
use scoring::text::{Diagnostic, Source, Sources};
use unfasten_cli::{Exit, Streams};

/// Something that reads bytes.
pub struct Target {
    /// Its name.
    pub name: &'static str,
    /// Texts somebody wrote for it.
    pub seeds: fn() -> Vec<Vec<u8>>,
    /// Reads some bytes; a line about what came of it.
    pub run: fn(&[u8]) -> String,
    /// Texts tried by the short run.
    pub draws: usize,
}

/// All of them.
pub const TARGETS: [Target; 11] = [
    Target { name: "record", seeds: records, run: record, draws: 120 },
    Target { name: "method", seeds: methods, run: method, draws: 60 },
    Target { name: "table", seeds: tables, run: table, draws: 200 },
    Target { name: "JSON Lines", seeds: json_lines, run: lines, draws: 40 },
    Target { name: "answers", seeds: answers, run: answered, draws: 20 },
    Target { name: "bench sheet", seeds: sheets, run: on_a_sheet, draws: 100 },
    Target { name: "captions", seeds: captions, run: draft, draws: 120 },
    Target { name: "template", seeds: templates, run: template, draws: 40 },
    Target { name: "verify", seeds: reports, run: verify, draws: 60 },
    Target { name: "photo", seeds: photos, run: photo, draws: 200 },
    Target { name: "command", seeds: records, run: command, draws: 30 },
];

fn project(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..").join(path)
}

/// The files of some folders that end so, each at most as long as a text may be.
fn files(folders: &[&str], ending: &str) -> Vec<Vec<u8>> {
    let mut paths: Vec<PathBuf> = folders
        .iter()
        .flat_map(|f| fs::read_dir(project(f)).expect("a folder of the project"))
        .map(|e| e.expect("readable").path())
        .filter(|p| p.extension().is_some_and(|e| e == ending))
        .collect();
    paths.sort();
    paths.iter().map(|p| fs::read(p).expect("a file of the project")).filter(|t| t.len() <= super::LONGEST).collect()
}

fn records() -> Vec<Vec<u8>> {
    files(&["tests/fixtures", "tests/fixtures/err", "tests/fixtures/measures", "samples"], "yaml")
}

fn methods() -> Vec<Vec<u8>> {
    files(&["criteria"], "yaml")
}

fn tables() -> Vec<Vec<u8>> {
    let mut out = files(&["tests/fixtures/err", "samples"], "csv");
    out.push(b"maker,model,part,to,years,price,source\nOstrel,Lamp Two,cell,everyone,7 years,19 EUR,letter\n".to_vec());
    out.push(b"sheet,category,row,mark\nA,smartphone,1.1,7\n".to_vec());
    out.push(b"- {for: screw, seconds: 6.5, certainty: own, source: \"20 screws, watch\"}\n".to_vec());
    out
}

fn json_lines() -> Vec<Vec<u8>> {
    let one = |text: &[u8]| {
        let value: serde_yaml::Value = serde_yaml::from_slice(text).ok()?;
        serde_json::to_string(&value).ok()
    };
    let lines: Vec<String> = files(&["samples"], "yaml").iter().filter_map(|t| one(t)).take(6).collect();
    vec![(lines.join("\n") + "\n").into_bytes(), b"{\"unfasten\": 1}\n\n[]\n".to_vec()]
}

fn captions() -> Vec<Vec<u8>> {
    [
        "1\n00:00:01,000 --> 00:00:04,500\nFirst we take out the five Phillips screws\n\n2\n00:00:05,000 --> 00:00:09,000\n\
         and then the back cover comes off. Careful, there is a lithium cell.\n",
        "WEBVTT\n\n00:01.000 --> 00:04.000\n<v Speaker>now heat the edge for four minutes\n\n00:05.000 --> 00:06.000\nand lift the display\n",
        "0:10\tback cover\n0:41\tbattery\n1:02\tscreen\n",
        "took off the lid, 4 clips\npull tab under the battery tore\n5 x Torx T5 around the board\n",
    ]
    .map(|t| t.as_bytes().to_vec())
    .to_vec()
}

fn templates() -> Vec<Vec<u8>> {
    let short = SHIPPED.iter().filter(|(name, _)| *name != "report.css").map(|(_, text)| text.as_bytes().to_vec());
    let own = [
        "{% for a in view.assessments %}{{ view.title }}, {{ a.method }}: {{ a.range }}\n{% endfor %}",
        "{% set n = namespace(s='ab') %}{% for i in range(20) %}{% set n.s = n.s ~ n.s %}{% endfor %}{{ n.s|length }}",
    ];
    short.chain(own.map(|t| t.as_bytes().to_vec())).collect()
}

const LAMP: &str = "unfasten: 1
device: {name: Lamp Two, maker: Ostrel, category: other}
parts: {cell: {role: cell, hazard: lithium cell}}
roles: {lid: {weight: 1}, cell: {weight: 2}}
actions:
  - {free: lid, with: PH0, loosen: [5 x screw PH0], after: []}
  - {free: cell, with: hands | spudger, loosen: 2..4 x clip, after: lid, outcome: done}
support: {spare parts: {cell: {to: public, years: 5 years}}}
";

fn en_45554() -> &'static (Method, &'static str) {
    static ONE: OnceLock<(Method, &'static str)> = OnceLock::new();
    ONE.get_or_init(|| {
        let text = shipped().iter().find(|s| s.id == "en-45554").expect("it ships").text;
        (load_shipped("en-45554").expect("it ships"), text)
    })
}

fn lamp() -> &'static View {
    static VIEW: OnceLock<View> = OnceLock::new();
    VIEW.get_or_init(|| {
        let mut sources = Sources::new();
        let file = sources.add(Source::new("lamp.yaml", LAMP));
        let record = record::read(&sources, file).record.expect("a record");
        let (method, text) = en_45554();
        let assessment = Assessment::new(&record, method, Effort::default());
        let outlook = Outlook::new(&record, &assessment);
        let applied = vec![Applied::new(&assessment, text, &outlook)];
        let job = Job { record: &record, sources: &sources, applied, version: "0.1.0", photos: BTreeMap::new() };
        build(&job)
    })
}

fn reports() -> Vec<Vec<u8>> {
    let shipped = Templates::shipped();
    vec![
        report::html::report(lamp(), &shipped).expect("it renders").into_bytes(),
        report::markdown::report(lamp(), &shipped).expect("it renders").into_bytes(),
        report::json::devices(std::slice::from_ref(lamp()), report::json::Layout::Compact).into_bytes(),
    ]
}

fn photos() -> Vec<Vec<u8>> {
    let mut out = files(&["samples/photos"], "png");
    let jpeg: &[&[u8]] = &[
        b"\xff\xd8\xff\xe0\x00\x10JFIF\0\x01\x01\0\0\x01\0\x01\0\0\xff\xe1\x00\x22Exif\0\0MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03",
        b"\0\0\0\x01\0\x06\0\0\0\0\0\0\xff\xdb\x00\x04\x01\x02\xff\xda\x00\x04\x01\x02\x09\xff\x00\x08\xff\xd0\x07\xff\xd9tail",
    ];
    out.push(jpeg.concat());
    let chunks: &[&[u8]] =
        &[b"VP8X\x0a\0\0\0\x2c\0\0\0\x01\0\0\x01\0\0", b"VP8 \x04\0\0\0wxyz", b"EXIF\x08\0\0\0II*\0\x08\0\0\0"];
    let body = [b"WEBP", &*chunks.concat()].concat();
    let length = u32::try_from(body.len()).expect("short").to_le_bytes();
    out.push([b"RIFF", &length[..], &body].concat());
    out
}

/// Complaints in a line; what they point at must stand in the text.
fn told(sources: &Sources, found: &[Diagnostic]) -> String {
    let mut out = String::new();
    for problem in found {
        let place = sources.place(problem.at.span);
        problem.also.iter().for_each(|l| drop(sources.place(l.span)));
        let _ = write!(out, "{place} {} {}; ", problem.code, problem.message);
    }
    out
}

/// A source, or what is said of bytes that are none.
fn source(bytes: &[u8]) -> Result<Source, String> {
    Source::checked("fuzz", bytes).map_err(|refusal| refusal.diagnostic(0).message)
}

fn record(bytes: &[u8]) -> String {
    let source = match source(bytes) {
        Ok(source) => source,
        Err(said) => return said,
    };
    let mut sources = Sources::new();
    let file = sources.add(source);
    let read = record::read(&sources, file);
    let mut out = told(&sources, &read.diagnostics);
    if let Some(record) = &read.record {
        let effort = Effort { looks: 200, ..Effort::default() };
        let found = Assessment::new(record, &en_45554().0, effort);
        let _ = write!(out, "{:?} to {:?}, {} open", found.root.low, found.root.high, found.unknowns.len());
        assert!(found.root.low <= found.root.high, "a range upside down");
    }
    out
}

fn method(bytes: &[u8]) -> String {
    let source = match source(bytes) {
        Ok(source) => source,
        Err(said) => return said,
    };
    let mut sources = Sources::new();
    let file = sources.add(source);
    let (method, found) = scoring::method::read(&mut sources, file, &mut |id| shipped_source(id));
    format!("{} {}", method.is_some(), told(&sources, &found))
}

fn table(bytes: &[u8]) -> String {
    let source = match source(bytes) {
        Ok(source) => source,
        Err(said) => return said,
    };
    let mut sources = Sources::new();
    let file = sources.add(source);
    let (_, support) = SupportTable::read(&sources, file);
    let (sheets, marks) = sheet::read(&sources, file);
    let times = Times::read(&sources, file, &["screw"]).err().unwrap_or_default();
    let said = [&support, &marks, &times].map(|found| told(&sources, found));
    format!("{} {}", sheets.len(), said.concat())
}

/// The command on a text, and nothing in what it says that a terminal would obey.
fn commanded(arguments: &[&str], input: &[u8]) -> String {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let mut input = input;
    let mut streams = Streams {
        input: &mut input,
        out: &mut out,
        err: &mut err,
        out_styled: false,
        err_styled: false,
        err_terminal: false,
    };
    let exit = unfasten_cli::run(std::iter::once("unfasten").chain(arguments.iter().copied()), &mut streams);
    assert_ne!(exit, Exit::Failed, "{}", String::from_utf8_lossy(&err));
    let said = String::from_utf8([out, err].concat()).expect("output is UTF-8");
    assert!(!said.chars().any(hides), "{said:?}");
    assert!(said.len() < 4 << 20, "{} bytes of output", said.len());
    format!("{exit:?} {said}")
}

fn lines(bytes: &[u8]) -> String {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("many.jsonl");
    fs::write(&path, bytes).expect("written");
    let path = path.to_str().expect("UTF-8");
    let said = commanded(&["score", path, "--method", "en-45554", "--format", "csv", "--threads", "1"], b"");
    // Its name is new each time, whole or as seen from the folder worked in.
    let own = folder.path().file_name().and_then(|n| n.to_str()).expect("UTF-8");
    said.replace(folder.path().to_str().expect("UTF-8"), "").replace(own, "")
}

/// Answers to what the lamp's record leaves open: a table as `unknowns --format csv` makes it, filled in.
fn answers() -> Vec<Vec<u8>> {
    let first = "path,answer\nactions[1].with,hands\nactions[1].loosen,2 x clip\nsupport.updates,5 years\n";
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("lamp.yaml");
    fs::write(&path, LAMP).expect("written");
    let path = path.to_str().expect("UTF-8");
    let table = commanded(&["unknowns", path, "--method", "en-45554", "--format", "csv"], b"");
    let (_, table) = table.split_once(' ').expect("the exit, then the table");
    let filled: Vec<String> = table.lines().map(|l| l.replacen(",,", ",unknown,", 1)).collect();
    vec![first.as_bytes().to_vec(), (filled.join("\n") + "\n").into_bytes()]
}

/// A table of answers taken into a record: all of them, and then it still reads, or none, and then not a byte is changed.
fn answered(bytes: &[u8]) -> String {
    let folder = tempfile::tempdir().expect("a folder");
    let [record, answers] = ["lamp.yaml", "answers.csv"].map(|n| folder.path().join(n));
    fs::write(&record, LAMP).expect("written");
    fs::write(&answers, bytes).expect("written");
    let at = |path: &Path| path.to_str().expect("UTF-8").to_owned();
    let said = commanded(&["answer", &at(&record), "--method", "en-45554", "--from", &at(&answers)], b"");
    let after = fs::read_to_string(&record).expect("the record is there");
    if said.starts_with("Done") {
        let mut sources = Sources::new();
        let file = sources.add(Source::new("lamp.yaml", &after));
        let read = record::read(&sources, file);
        assert!(read.record.is_some(), "{}\n{after}", told(&sources, &read.diagnostics));
    } else {
        assert_eq!(after, LAMP, "a refused table changed the record");
    }
    let left = fs::read_dir(folder.path()).expect("readable").count();
    assert_eq!(left, 2, "something was left beside the record");
    said.replace(folder.path().to_str().expect("UTF-8"), "") + &after
}

fn sheets() -> Vec<Vec<u8>> {
    let own = "unfasten bench: 1\nname: q\nplace: use\nskill: layman\ntools: {screw: the driver that fits, clip: hands, nothing: hands}\n\
        kinds: {film adhesive: removable}\n";
    vec![own.as_bytes().to_vec(), fs::read(project("samples/bench-a.yaml")).expect("a file of the project")]
}

/// A bench sheet under a record that leaves much open.
fn on_a_sheet(bytes: &[u8]) -> String {
    let sheet = match source(bytes) {
        Ok(source) => source,
        Err(said) => return said,
    };
    let mut sources = Sources::new();
    let bench = sources.add(sheet);
    let open = LAMP.replace("with: PH0, ", "").replace("with: hands | spudger, ", "");
    let file = sources.add(Source::new("lamp.yaml", &open));
    let mut none = |_: &str| Err("none".to_owned());
    let read = record::read_beside(&mut sources, file, &mut none, &[], Some(bench));
    let on = read.record.as_ref().and_then(record::Record::on_bench);
    format!("{} {} {}", read.record.is_some(), on.is_some(), told(&sources, &read.diagnostics))
}

fn command(bytes: &[u8]) -> String {
    ["check", "route"].map(|c| commanded(&[c, "-"], bytes)).concat()
}

fn draft(bytes: &[u8]) -> String {
    source(bytes).map_or_else(|said| said, |source| format!("{:?}", scoring::draft::Draft::of(&source)))
}

fn template(bytes: &[u8]) -> String {
    let Ok(text) = std::str::from_utf8(bytes) else { return "not UTF-8".to_owned() };
    match Templates::with(BTreeMap::from([("report.md".to_owned(), text.to_owned())])) {
        Ok(templates) => match report::markdown::report(lamp(), &templates) {
            Ok(page) => format!("{} bytes", page.len()),
            Err(wrong) => wrong.to_string(),
        },
        Err(wrong) => wrong.to_string(),
    }
}

fn verify(bytes: &[u8]) -> String {
    let Ok(text) = std::str::from_utf8(bytes) else { return "not UTF-8".to_owned() };
    [true, false].map(|plain| format!("{:?}", report::verify::verify(text, lamp(), plain))).concat()
}

fn photo(bytes: &[u8]) -> String {
    match report::photo::strip(bytes) {
        Ok(kept) => {
            // What was cleaned is clean.
            assert_eq!(report::photo::strip(kept.bytes()).as_ref(), Ok(&kept));
            format!("{} of {} bytes", kept.media_type(), kept.bytes().len())
        }
        Err(refused) => refused.to_string(),
    }
}
