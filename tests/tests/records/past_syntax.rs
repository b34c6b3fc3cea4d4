//! Behind a mistake of syntax the rest of a record is read on: what is wrong elsewhere is told at once, and nothing that
//! follows from a guess. Held against the samples, which are right: of a sample with one sign taken out nothing may be told
//! but that sign, and a word nobody knows, put in elsewhere by hand, must be told where it stands. What is YAML is decided
//! by another reader, `serde_yaml` (libyaml by its descent).

use rstest::rstest;
use scoring::text::{Source, Sources};

/// A word no vocabulary has.
const WORD: &str = "frobnicator";

fn text(name: &str) -> String {
    let path = format!("{}/../samples/{name}.yaml", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(path).expect("a sample").replace("extends:", "x:")
}

/// Errors, each with its line, code and the text it marks.
fn errors(text: &str) -> Vec<(u32, &'static str, String)> {
    let mut sources = Sources::new();
    let file = sources.add(Source::new("sample.yaml", text));
    let found = scoring::record::read(&sources, file).diagnostics;
    let error = found.iter().filter(|d| d.severity == scoring::text::Severity::Error);
    error
        .map(|d| (sources.get(file).position(d.at.span.start).line, d.code, sources.excerpt(d.at.span).to_owned()))
        .collect()
}

fn is_yaml(text: &str) -> bool {
    serde_yaml::from_str::<serde_yaml::Value>(text).is_ok()
}

fn line_of(text: &str, at: usize) -> u32 {
    u32::try_from(text[..at].matches('\n').count() + 1).expect("few lines")
}

/// With the tool of an action some lines away put wrong: the text and the line.
fn planted(text: &str, far_from: u32, seed: usize) -> Option<(String, u32)> {
    let places: Vec<usize> = text
        .match_indices("with: ")
        .map(|(at, word)| at + word.len())
        .filter(|at| line_of(text, *at).abs_diff(far_from) > 3)
        .filter(|at| text[*at..].starts_with(|c: char| c.is_ascii_alphanumeric()))
        .collect();
    let at = *places.get(seed % places.len().max(1))?;
    let end = at + text[at..].find([',', '}', '\n'])?;
    Some((format!("{}{WORD}{}", &text[..at], &text[end..]), line_of(text, at)))
}

/// Every so many closing and opening brackets and quotes of a sample are taken out, one at a time.
#[rstest]
#[case("bar-phone")]
#[case("cordless-vacuum")]
#[case("folding-tablet")]
#[case("headphones")]
#[case("lamp-two")]
#[case("laptop")]
#[case("slate-tablet")]
#[case("tumble-dryer")]
#[case("washing-machine")]
fn a_sign_left_out_hides_nothing_and_invents_nothing(#[case] name: &str) {
    let good = text(name);
    let before = errors(&good);
    let signs: Vec<usize> = good.match_indices(['}', ']', '{', '[', '"']).map(|(at, _)| at).collect();
    let (mut broken, mut told) = (0, 0);
    for (seed, &at) in signs.iter().enumerate().step_by(signs.len() / 40 + 1) {
        let bad = format!("{}{}", &good[..at], &good[at + 1..]);
        if is_yaml(&bad) {
            continue;
        }
        let line = line_of(&good, at);
        let found = errors(&bad);
        assert!(found.iter().any(|(_, code, _)| *code == "yaml-syntax"), "{name}, line {line}: {found:?}");
        let invented: Vec<_> = found.iter().filter(|e| e.1 != "yaml-syntax" && !before.contains(e)).collect();
        assert!(invented.is_empty(), "{name}, line {line}: {invented:?}");
        let Some((worse, elsewhere)) = planted(&bad, line, seed) else { continue };
        broken += 1;
        told += usize::from(errors(&worse).contains(&(elsewhere, "unknown-tool", WORD.to_owned())));
    }
    // What was meant can't always be guessed; then reading ends, as it must.
    assert!(broken >= 10 && told * 10 >= broken * 9, "{name}: {told} of {broken}");
}

const GOOD: &str = "unfasten: 1
device: {name: Lamp, maker: Ostrel, category: other}
parts: {lid: {role: lid}, cell: {role: cell}}
roles: {lid: {weight: 1}, cell: {weight: 2}}
actions:
  - {free: lid, with: PH0, loosen: 3 x screw PH0, after: []}
  - {free: cell, with: hands, loosen: [2 x clip, connector], after: [lid]}
";

/// A mistake of syntax on one line and others on others: all lines, and the mend of the first kind.
#[rstest]
#[case(&[("cell: {role: cell}}", "cell: {role: cell}"), ("PH0, l", "PH99, l"), ("[lid]", "[lidd]")], &[3, 6, 7], "`}`")]
#[case(&[("{free: lid, with", "{free: lid with"), ("2 x clip", "2 x klips")], &[6, 7], "`lid, with:`")]
#[case(&[("[2 x clip, connector]", "2 x clip, connector]"), ("name: Lamp", "nam: Lamp")], &[2, 7], "`[2 x clip, connector]`")]
#[case(&[("{free: lid,", "free: lid,"), ("weight: 2", "weight: two")], &[4, 6], "`{free: lid, with: PH0, loosen: 3 x screw PH0, after: []}`")]
#[case(&[("{role: lid}, cell", "{role: lid} cell"), ("hands", "hadns")], &[3, 7], "`}, c`")]
#[case(&[("hands, loosen: [2 x clip, connector], after: [lid]}", "hadns, loosen: clip, after: lid")], &[7, 7], "`}`")]
#[case(&[("device: {name: Lamp, maker: Ostrel, category: other}", "device:\n   name: Lamp\n  maker: Ostrel\n  category: other"), ("hands", "hadns")], &[3, 10], "indent it by 2 spaces")]
#[case(&[("device: {", "device:{"), ("3 x screw PH0", "3 x skrew PH0")], &[2, 6], "`device: {name: Lamp, maker: Ostrel, category: other}`")]
fn mistakes_of_all_kinds_are_told_at_once(#[case] changes: &[(&str, &str)], #[case] lines: &[u32], #[case] mend: &str) {
    let bad = changes.iter().fold(GOOD.to_owned(), |text, (from, to)| {
        assert!(text.contains(from), "{from}");
        text.replacen(from, to, 1)
    });
    assert!(is_yaml(GOOD) && !is_yaml(&bad), "{bad}");
    let mut sources = Sources::new();
    let file = sources.add(Source::new("lamp.yaml", &bad));
    let found = scoring::record::read(&sources, file);
    assert!(found.record.is_none());
    let told: Vec<u32> = found.diagnostics.iter().map(|d| sources.get(file).position(d.at.span.start).line).collect();
    assert_eq!(told, lines, "{:#?}", found.diagnostics);
    let mends: Vec<&str> =
        found.diagnostics.iter().filter(|d| d.code == "yaml-syntax").filter_map(|d| d.mend.as_deref()).collect();
    assert!(mends.len() == 1 && mends[0].contains(mend), "{mends:?}");
}

/// Places of a line that was put right are places of the text as it stands: never in the middle of a letter.
#[rstest]
#[case("parts: {lid: {role: lid} cell: {note: éé, source: öü}}\n")]
#[case("parts: {lid: role: lid, note: éé}, cell: {note: ü}}\n")]
#[case("notes: [é, ö\nremarks: [{for: ü}]\n")]
#[case("é: {ü: [ö}\n")]
fn places_are_never_inside_a_letter(#[case] bad: &str) {
    use scoring::text::yaml::{Tree, YamlKind, YamlNode};
    fn spans(node: &YamlNode, out: &mut Vec<scoring::text::Span>) {
        out.push(node.span);
        match &node.kind {
            YamlKind::Scalar(_) => {}
            YamlKind::List(items) => items.iter().for_each(|n| spans(n, out)),
            YamlKind::Map(entries) => entries.iter().for_each(|e| {
                out.push(e.key_span);
                spans(&e.value, out);
            }),
        }
    }
    let mut sources = Sources::new();
    let file = sources.add(Source::new("accents.yaml", bad));
    let tree = Tree::past_mistakes(sources.get(file), file);
    assert!(!is_yaml(bad) && !tree.diagnostics.is_empty());
    let mut found: Vec<_> = tree.diagnostics.iter().map(|d| d.at.span).collect();
    spans(&tree.root.expect("a root past the mistake"), &mut found);
    for span in found {
        assert!(bad.get(span.start as usize..span.end as usize).is_some(), "{span:?}");
    }
}
