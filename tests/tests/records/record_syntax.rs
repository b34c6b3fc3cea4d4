//! Every mistake that makes a text no YAML is named at once, at its place and with its mend, and none is invented. What is
//! YAML and what not is decided by another reader, `serde_yaml` (libyaml by its descent): the text as it was is read by it,
//! each broken one is not.

use proptest::prelude::*;
use rstest::rstest;
use scoring::text::{Source, yaml::Tree};

const GOOD: &str = "unfasten: 1
device:
  name: Lamp Two
  maker: Ostrel
  category: other
teardown:
  place: use
  skill: layman
actions:
  - free: base ring
    at: 0:41
    with: [heat pad 70 °C 4 min, opening pick]
    loosen: film adhesive
    after: []
  - do: unplug cell
    at: 1:10..1:18
    with: hands
    loosen: connector
    after: base ring
  - free: cell
    at: 1:32
    with: PH0
    loosen: 5 x screw PH0
    after: [base ring, unplug cell]
own verdict: patient work
remarks:
  - {for: cell in its own tray, at: 1:40}
";

/// What is written instead of what, and where the complaint stands: line and column, a word of what it says, one of its mend.
type Break = (&'static str, &'static str, (u32, u32), &'static str, &'static str);

const BREAKS: [Break; 15] = [
    ("  name: Lamp Two\n", "  name: Lamp: Two\n", (3, 9), "a colon and a space", "`\"Lamp: Two\"`"),
    ("  maker: Ostrel\n", "\tmaker: Ostrel\n", (4, 1), "a tab", "spaces"),
    ("  skill: layman\n", "   skill: layman\n", (8, 4), "indented by 3", "indent it by 2 spaces"),
    ("    at: 0:41\n", "    at:0:41\n", (11, 7), "no space", "`at: 0:41`"),
    ("opening pick]\n", "opening pick\n", (12, 11), "`[` is not closed", "`]`"),
    ("    after: []\n", "    after: [}\n", (14, 12), "", ""),
    ("- do: unplug cell\n", "- do unplug cell\n", (15, 5), "no colon", "`do: unplug cell`"),
    ("    with: hands\n", "      with: hands\n", (17, 7), "indented by 6", "indent it by 4 spaces"),
    ("    loosen: connector\n", "\t loosen: connector\n", (18, 1), "a tab", "spaces"),
    ("  - free: cell\n", " - free: cell\n", (20, 2), "indented by 1", "indent it by 2 spaces"),
    ("    with: PH0\n", "   with: PH0\n", (22, 4), "indented by 3", "indent it by 4 spaces"),
    ("unplug cell]\n", "unplug cell\n", (24, 12), "`[` is not closed", "`[base ring, unplug cell]`"),
    (
        "own verdict: patient work\n",
        "own verdict: \"patient work\n",
        (25, 14),
        "`\"` is not closed",
        "`\"patient work\"`",
    ),
    ("at: 1:40}\n", "at: 1:40\n", (27, 5), "`{` is not closed", "`}`"),
    // Right below the bracket of line 12.
    ("    loosen: film adhesive\n", "    loosen film adhesive\n", (13, 5), "no colon", "`loosen: film adhesive`"),
];

/// Line, column, what is said and the mend of every complaint.
fn told(text: &str) -> Vec<(u32, u32, String, String)> {
    let source = Source::new("r.yaml", text);
    let tree = Tree::parse(&source, 0);
    tree.diagnostics
        .iter()
        .map(|d| {
            assert_eq!(d.code, "yaml-syntax");
            let at = source.position(d.at.span.start);
            (at.line, at.column, d.at.text.clone(), d.mend.clone().unwrap_or_default())
        })
        .collect()
}

fn is_yaml(text: &str) -> bool {
    serde_yaml::from_str::<serde_yaml::Value>(text).is_ok()
}

#[rstest]
fn each_mistake_is_told_where_it_is(#[values(0, 1, 2, 3, 4, 6, 7, 8, 9, 10, 11, 12, 13, 14)] n: usize) {
    let (good, bad, place, what, mend) = BREAKS[n];
    let text = GOOD.replacen(good, bad, 1);
    assert!(is_yaml(GOOD) && !is_yaml(&text));
    let told = told(&text);
    assert_eq!(told.len(), 1, "{told:#?}");
    assert_eq!((told[0].0, told[0].1), place, "{told:#?}");
    assert!(told[0].2.contains(what) && told[0].3.contains(mend), "{told:#?}");
}

/// A first field beside its name, and values that begin or end with a sign of YAML.
#[rstest]
#[case("  place: use\n", "place: use\n", 7, "indent it by 2 spaces")]
#[case("patient work\n", "@home\n", 25, "\"@home\"")]
#[case("patient work\n", "[patient] work\n", 25, "take it out")]
fn other_mistakes_are_told_where_they_are(
    #[case] good: &str,
    #[case] bad: &str,
    #[case] line: u32,
    #[case] mend: &str,
) {
    let text = GOOD.replacen(good, bad, 1);
    let told = told(&text);
    assert_eq!(told.iter().map(|t| t.0).collect::<Vec<_>>(), [line], "{told:#?}");
    assert!(told[0].3.contains(mend), "{told:#?}");
}

/// Mistakes right below, or inside, a bracket that is not closed: line of each, in order. What is written is what people write:
/// no outside list of such slips was at hand.
#[rstest]
#[case("    with: [heat pad, opening pick\n    loosen film adhesive\n    after: []\n", &[12, 13])]
#[case("    with: [heat pad, opening pick\n    loosen:film adhesive\n    after:[]\n", &[12, 13, 14])]
#[case("    with: [heat pad, opening pick\n    loosen: [film adhesive\n    after: []\n", &[12, 13])]
#[case("    with: [heat pad, opening pick\n\tloosen: film adhesive\n    after []\n", &[12, 13, 14])]
#[case("    with: [heat pad, opening pick\n      loosen: film adhesive\n    after: []\n", &[12, 13])]
#[case("    with: [heat pad, opening pick\n    loosen: film: adhesive\n    after: []]\n", &[12, 13, 14])]
#[case("    with: [heat pad, {a: b]\n    loosen film adhesive\n    after: []\n", &[12, 13])]
#[case("    with: [heat pad, @pick\n    loosen: film adhesive\n    after: []\n", &[12, 12])]
#[case("    with: [heat pad,\n      @pick\n    loosen: film adhesive\n    after: []\n", &[12, 13])]
fn mistakes_beside_an_open_bracket_are_all_told(#[case] bad: &str, #[case] lines: &[u32]) {
    let good = "    with: [heat pad 70 °C 4 min, opening pick]\n    loosen: film adhesive\n    after: []\n";
    let text = GOOD.replacen(good, bad, 1);
    assert!(!is_yaml(&text) && text != GOOD);
    let told = told(&text);
    assert_eq!(told.iter().map(|t| t.0).collect::<Vec<_>>(), lines, "{told:#?}");
    assert!(told.iter().all(|t| !t.3.is_empty()));
}

/// What a mend says to write, or by how much to indent, is YAML once it is done.
#[rstest]
fn a_mend_done_is_a_mend(#[values(2, 7, 9, 10)] n: usize) {
    let (good, bad, (line, ..), ..) = BREAKS[n];
    let text = GOOD.replacen(good, bad, 1);
    let mend = told(&text)[0].3.clone();
    let spaces: usize = mend.trim_start_matches("indent it by ").split(' ').next().unwrap().parse().unwrap();
    let lines = text.lines().enumerate().map(|(i, l)| {
        if i + 1 == line as usize { format!("{}{}\n", " ".repeat(spaces), l.trim_start()) } else { format!("{l}\n") }
    });
    assert_eq!(lines.collect::<String>(), GOOD);
}

/// Old line ends and comments beside a value move nothing.
#[test]
fn places_hold_with_old_line_ends_and_comments() {
    let text = GOOD.replace("opening pick]", "opening pick # hot").replace('\n', "\r\n");
    assert_eq!(told(&text).iter().map(|t| (t.0, t.1)).collect::<Vec<_>>(), [(12, 11)]);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Any of them together: each once, none besides.
    #[test]
    fn no_mistake_hides_another(chosen in prop::collection::btree_set(0_usize..15, 1..8)) {
        // The one whose sign closes another bracket is told, whatever its column.
        let chosen: Vec<usize> = chosen.into_iter().filter(|n| *n != 5).collect();
        let text = chosen.iter().fold(GOOD.to_owned(), |t, n| t.replacen(BREAKS[*n].0, BREAKS[*n].1, 1));
        let mut wanted: Vec<(u32, u32)> = chosen.iter().map(|n| BREAKS[*n].2).collect();
        wanted.sort_unstable();
        let told: Vec<(u32, u32)> = if chosen.is_empty() { Vec::new() } else { told(&text).iter().map(|t| (t.0, t.1)).collect() };
        prop_assert_eq!(told, wanted, "{}", text);
    }

    /// Any text gets a complaint where it is no YAML, with a place and a mend, and never a panic.
    #[test]
    fn any_text_is_told_something(text in "(a: |- |\\[|\\]|\\{|\\}|\"|'|\n|\n  |\n    |\t|b|: |, |#|°|\r\n|\\|\n|@|%){0,24}") {
        let source = Source::new("r.yaml", &text);
        let tree = Tree::parse(&source, 0);
        prop_assert!(tree.root.is_some() || !tree.diagnostics.is_empty());
        for d in &tree.diagnostics {
            prop_assert!(d.mend.is_some() && d.at.span.start <= d.at.span.end);
            let _ = source.excerpt(d.at.span);
        }
    }
}

/// Found by draws: a closing sign put in before the place where reading stopped moved that place, and passed for progress, for
/// ever.
#[rstest]
#[case("x]!t? #, *aé---{#*a*a}width#boxes*a*a}>|&a]: \"|>? {|? *aé\n{{'\n*a]x>}|é}1|widthboxes\"][: *a\n&ax")]
#[case("\", 1&a  \n['width]- 1: #x1!t- , - '!t---{")]
#[case("'1\n['? : 1  : #!t'|[*a---&a- , [, : boxes  ]'width\n#ééboxesx}}}é\néboxesboxesx\n1]!t\"[x'\n*a\"é? &a  ")]
#[case("boxes]#- , [|*a!t'- #- |  &a}width------é---1: {: *a&a|\n'1\n#*a#- , {!t|>[? \"*a|>")]
fn brackets_in_a_tangle_come_to_an_end(#[case] bad: &str) {
    let before = outside::fuzz::processor();
    let told = told(bad);
    let took = before.and_then(|b| Some(outside::fuzz::processor()? - b));
    assert!(!told.is_empty() && told.len() <= 21, "{told:#?}");
    assert!(took.is_none_or(|t| t < 2.0), "{took:?} s");
}
