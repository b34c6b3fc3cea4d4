//! What a bench sheet supplies: only what a record leaves open, as an assumption whose place is the sheet.

use scoring::range::{Assessment, Case, Effort};
use scoring::record::{self, Known, Record};
use scoring::text::{Source, Sources};
use scoring::vocab::{Basis, Kind, Place, Skill};

const SHEET: &str = "unfasten bench: 1
name: bench A
place: workshop
skill: layman
tools:
  screw: the driver that fits
  clip: opening pick
  connector: hands
  film adhesive: [heat pad 70 °C 4 min, opening pick]
  screw five-lobe 1: five-lobe 1
  nothing: hands
kinds:
  film adhesive: removable
";

fn read(actions: &str, more: &str) -> (Option<Record>, Vec<String>, Sources) {
    let text = format!(
        "unfasten: 1\ndevice: {{name: Box, maker: Ostrel, category: other}}\n{more}roles: {{cell: {{weight: 1}}}}\nparts: {{cell: {{role: cell, paired: no}}}}\nactions:\n{actions}"
    );
    let mut sources = Sources::new();
    let file = sources.add(Source::new("box.yaml", &text));
    let mut load = |path: &str| match path {
        "bench-a.yaml" => Ok(Source::new(path, SHEET)),
        _ => Err("there is no such file".to_owned()),
    };
    let read = record::read_with(&mut sources, file, &mut load);
    let said = read.diagnostics.iter().map(|d| format!("{} {}", d.code, sources.excerpt(d.at.span))).collect();
    (read.record, said, sources)
}

fn filled(actions: &str, more: &str) -> (Record, Record) {
    let (record, said, _) = read(actions, more);
    let without = record.unwrap_or_else(|| panic!("{said:?}"));
    (without.on_bench().expect("the sheet adds something"), without)
}

fn tools(record: &Record, action: usize) -> Vec<String> {
    let name = |known: &Known<record::Ways>| match known {
        Known::Is(ways) => ways
            .iter()
            .map(|s| s.tools.iter().map(|t| record.tools[t.tool].name.clone()).collect::<Vec<_>>().join(" + "))
            .collect::<Vec<_>>()
            .join(" or "),
        other => format!("{other:?}"),
    };
    record.actions[action].with.iter().map(|w| name(&w.ways.known)).collect()
}

const NAMED: &str = "bench: bench-a.yaml\n";

#[test]
fn it_fills_what_is_missing_or_unknown_and_nothing_else() {
    let actions = "  - {free: lid, loosen: [2 x screw T5, 3 x clip, connector], after: []}
  - {free: shield, with: unknown, loosen: screw five-lobe 1, after: lid}
  - {free: fan, with: spudger, loosen: {fastener: film adhesive, kind: neither}, after: lid, place: use}
  - {free: foam, loosen: film adhesive, after: lid, skill: unknown}
  - {do: fold out, after: lid}
  - {free: cell, loosen: [screw, clip], after: fold out}
";
    let (with, without) = filled(actions, NAMED);
    assert_eq!(tools(&with, 0), ["screwdriver T5", "opening pick", ""]);
    assert_eq!(tools(&with, 1), ["screwdriver five-lobe 1"]);
    assert_eq!(tools(&with, 2), ["spudger"]);
    assert_eq!(tools(&with, 3), ["heat pad", "opening pick"]);
    assert_eq!(tools(&with, 4), [""]);
    // A screw whose drive nobody stated takes a driver nobody can name, so the whole stays open.
    assert_eq!(tools(&with, 5), ["Unknown"]);
    let kind = |record: &Record, a: usize| record.actions[a].loosen[0].kind.known.clone();
    assert_eq!((kind(&with, 2), kind(&with, 3)), (Known::Is(Kind::Neither), Known::Is(Kind::Removable)));
    assert_eq!(with.teardown.place.settled(), Some(&Place::Workshop));
    assert_eq!(with.actions[2].place.as_ref().unwrap().settled(), Some(&Place::Use));
    assert_eq!(with.actions[3].skill.as_ref().unwrap().settled(), Some(&Skill::Layman));
    // Assumed, from the sheet; and the record itself is as it was.
    let fact = &with.actions[0].with[0].ways;
    assert_eq!((fact.basis, fact.source.as_deref()), (Some(Basis::Assumed), Some("bench A")));
    assert!(without.actions[0].with[0].ways.known == Known::Unknown && without.tools.len() < with.tools.len());
    // Heat the sheet brings in is cautioned of.
    assert!(with.actions[3].hazards.iter().any(|h| h.value == "heat"));
}

/// What a sheet adds is one of the answers, so the verdict with it lies in the range without it; and it is listed.
#[test]
fn the_verdict_with_it_lies_in_the_range_without_it() {
    let actions = "  - {free: lid, loosen: 2 x screw PH0, after: []}\n  - {free: cell, loosen: [connector, film adhesive], after: lid}\n";
    let (with, without) = filled(actions, NAMED);
    let method = scoring::method::load_shipped("en-45554").unwrap();
    let range = |record: &Record| Assessment::new(record, &method, Effort::default()).range();
    let (a, b) = (range(&with), range(&without));
    assert!(b.low <= a.low && a.high <= b.high && b.low < a.low, "{a:?} {b:?}");
    let assumed: Vec<String> = Case::new(&with, &method).assumed.into_iter().map(|a| a.text).collect();
    for wanted in [
        "the place is workshop, by the sheet of bench A",
        "`lid` takes screwdriver PH0, by the sheet of bench A",
        "the film adhesive of `cell` is removable, by the sheet of bench A",
    ] {
        assert!(assumed.iter().any(|a| a == wanted), "{wanted}: {assumed:?}");
    }
}

/// Order is no habit of a bench, and a record that leaves nothing open gains nothing.
#[test]
fn it_says_nothing_of_order_and_nothing_where_nothing_is_open() {
    let (record, _, _) = read(
        "  - {free: cell, with: hands, loosen: clip, after: []}\n",
        "bench: bench-a.yaml\nteardown: {place: use, skill: layman}\n",
    );
    assert!(record.unwrap().on_bench().is_none());
    let (with, _) = filled("  - {free: cell, loosen: clip}\n", NAMED);
    assert_eq!(with.actions[0].after.value, record::After::Unknown);
}

#[test]
fn a_sheet_is_read_below_the_folder_of_the_file_that_names_it() {
    let action = "  - {free: cell, with: hands, loosen: clip, after: []}\n";
    for path in ["../bench-a.yaml", "/etc/bench-a.yaml", "x/../../bench-a.yaml", "nowhere.yaml"] {
        let (record, said, _) = read(action, &format!("bench: {path}\n"));
        assert!(record.is_none() && said.iter().any(|s| s == &format!("bench-missing {path}")), "{path}: {said:?}");
    }
    assert!(read(action, "bench: ./bench-a.yaml\n").0.is_some());
}

/// A mistake in the sheet is placed in the sheet.
#[test]
fn mistakes_of_a_sheet_are_placed_in_it() {
    let text = "unfasten: 1\ndevice: {name: Box, category: other}\n";
    for (sheet, wanted) in [
        ("unfasten bench: 1\nname: A\ntools: {srew: PH0}\n", "unknown-fastener srew"),
        ("unfasten bench: 1\nname: A\ntools: {screw: PH9}\n", "unknown-tool PH9"),
        ("unfasten bench: 1\nname: A\nkinds: {screw: reuse}\n", "wrong-value reuse"),
        ("unfasten bench: 1\nname: A\norder: as logged\n", "unknown-field order"),
        ("unfasten bench: 2\nname: A\n", "not-a-bench-sheet unfasten bench"),
        ("unfasten: 1\n", "not-a-bench-sheet "),
    ] {
        let mut sources = Sources::new();
        let bench = sources.add(Source::new("bench.yaml", sheet));
        let file = sources.add(Source::new("box.yaml", text));
        let read = record::read_beside(&mut sources, file, &mut |_| Err(String::new()), &[], Some(bench));
        let found = read.diagnostics.iter().find(|d| d.at.span.file == bench).unwrap_or_else(|| panic!("{sheet}"));
        assert_eq!(format!("{} {}", found.code, sources.excerpt(found.at.span)), wanted);
    }
}
