use super::*;
use crate::text::limits::{DEEPEST, MOST_DIAGNOSTICS};
use crate::text::yaml::Tree;
use crate::text::{Source, Sources};
use proptest::prelude::*;
use rstest::rstest;
use schemars::JsonSchema;
use serde::Deserialize;
use std::sync::LazyLock;

static INNER: Table = Table {
    name: "a box",
    fields: &[
        Field { name: "width", doc: "Width in cm.", left_out: "", shape: &Shape::Number, required: true },
        Field {
            name: "put back",
            doc: "Whether it was put back.",
            left_out: "",
            shape: &Shape::YesNo,
            required: false,
        },
        Field {
            name: "boxes",
            doc: "Boxes inside.",
            left_out: "",
            shape: &Shape::List(&Shape::Mapping(&INNER)),
            required: false,
        },
    ],
};

fn number(text: &str) -> Result<u32, Bad> {
    let bad = |_| Bad::new(0..text.len(), format!("`{}` is not a whole number", short(text))).mend("write one");
    text.trim().parse().map_err(bad)
}

struct Number;

impl<'de> Deserialize<'de> for Number {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        form(deserializer, "a whole number", number).map(|_| Self)
    }
}

impl JsonSchema for Number {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "number".into()
    }

    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        leaf(&Shape::Number)
    }
}

/// The same as the table.
#[derive(Deserialize, JsonSchema)]
#[serde(rename = "a box")]
#[expect(dead_code, reason = "read for what is wrong with it")]
struct Boxed {
    /// Width in cm.
    width: Needed<Number>,
    /// Whether it was put back.
    #[serde(rename = "put back")]
    put_back: bool,
    /// Boxes inside.
    boxes: Option<Unread<ListOf<Boxed>>>,
}

static DESCRIBED: LazyLock<Described> = LazyLock::new(|| Described::new().with::<Boxed>());

/// A struct describes what a table lists: names in order, what is required, what is said of them, and the schema.
#[test]
fn a_struct_makes_the_table() {
    let made = DESCRIBED.named("a box");
    for (field, wanted) in made.fields.iter().zip(INNER.fields) {
        assert_eq!((field.name, field.doc, field.required), (wanted.name, wanted.doc, wanted.required));
    }
    assert_eq!(made.fields.len(), INNER.fields.len());
    let schemas = [&INNER, made].map(|table| schema("urn:box", "Boxes", table, &[], DESCRIBED.tables()));
    assert_eq!(schemas[0], schemas[1]);
}

/// Reads boxes and gives `code line:column excerpt` of every complaint.
///
/// Whatever a reader by hand complains of, reading the struct complains of, at the same places, and of nothing else.
fn complaints(text: &str) -> Vec<String> {
    fn typed(item: &Item<'_>, reader: &mut Reader<'_>) {
        let Some((fields, items)) = item.typed::<Boxed>(&DESCRIBED, reader) else { return };
        for inner in items.get(&fields.boxes).and_then(|b| b.list("a list of boxes", reader)).unwrap_or_default() {
            typed(&inner, reader);
        }
    }
    let short_form = complaints_of(text, &|item, reader| {
        by_hand(item, reader, &|width, reader| {
            width.parse("a whole number", number, reader);
        });
    });
    assert_eq!(complaints_of(text, &typed), short_form, "{text}");
    complaints_of(text, &|item, reader| {
        by_hand(item, reader, &|width, reader| {
            width.read::<u32>("a whole number", reader);
        });
    })
}

/// What can't be read stays known as that, though other mistakes have the mapping read again; and what is left out is no mistake.
#[test]
fn what_cannot_be_read_is_told_from_what_is_left_out() {
    #[derive(Deserialize, JsonSchema)]
    #[serde(rename = "a crate")]
    #[expect(dead_code, reason = "read for what is wrong with it")]
    struct Crate {
        width: Stated<Number>,
        height: Option<Number>,
        depth: Stated<Number>,
        lids: Many<Stated<Number>>,
        weight: Stated<Number>,
    }
    static CRATES: LazyLock<Described> = LazyLock::new(|| Described::new().with::<Crate>());
    assert!(CRATES.named("a crate").fields.iter().all(|f| !f.required));
    let mut sources = Sources::new();
    let file = sources.add(Source::new("t.yaml", "width: wide\nheight: high\ndepth: 3\nlids: [1, flat]\n"));
    let tree = Tree::parse(sources.get(file), file);
    let mut reader = Reader::new(&sources);
    let (read, _) = Item::root(tree.root.as_ref().unwrap()).typed::<Crate>(&CRATES, &mut reader).unwrap();
    assert!(matches!((&read.width, &read.depth, &read.weight), (Stated::Unread, Stated::Read(_), Stated::LeftOut)));
    assert_eq!(read.lids.iter().map(Stated::is_unread).collect::<Vec<_>>(), [false, true]);
    let places: Vec<_> = reader.finish().iter().map(|d| sources.excerpt(d.at.span)).map(str::to_owned).collect();
    assert_eq!(places, ["wide", "high", "flat"]);
}

type Reads<'f> = &'f dyn Fn(&Item<'_>, &mut Reader<'_>);

fn by_hand(item: &Item<'_>, reader: &mut Reader<'_>, width: Reads<'_>) {
    let Some(fields) = item.fields(&INNER, reader) else { return };
    if let Some(given) = fields.get("width") {
        width(&given, reader);
    }
    fields.yes_no("put back", reader);
    for inner in fields.get("boxes").and_then(|b| b.list("a list of boxes", reader)).unwrap_or_default() {
        by_hand(&inner, reader, width);
    }
}

fn complaints_of(text: &str, read: Reads<'_>) -> Vec<String> {
    let mut sources = Sources::new();
    let file = sources.add(Source::new("t.yaml", text));
    let tree = Tree::parse(sources.get(file), file);
    let mut reader = Reader::new(&sources);
    for diagnostic in tree.diagnostics {
        reader.complain(diagnostic);
    }
    if let Some(root) = &tree.root {
        read(&Item::root(root), &mut reader);
    }
    let shown = |d: &crate::text::Diagnostic| {
        let at = sources.position(d.at.span);
        format!("{} {}:{} {}", d.code, at.line, at.column, sources.excerpt(d.at.span))
    };
    reader.finish().iter().map(shown).collect()
}

#[rstest]
#[case::fine("width: 3\nPut_Back: yes\nboxes: [{width: 1}]\n", &[])]
#[case::unknown("width: 3\ncolour: red\n", &["unknown-field 2:1 colour"])]
#[case::misspelt("wdith: 3\nboxs: 1\n", &["unknown-field 1:1 wdith", "unknown-field 2:1 boxs", "wrong-shape 2:7 1"])]
#[case::misspelt_and_right("width: 3\nwdith: wide\n", &["unknown-field 2:1 wdith"])]
#[case::missing("boxes:\n  - put back: no\n", &["missing-field 1:1 boxes", "missing-field 2:5 put back"])]
#[case::kinds("width: wide\nput back: perhaps\nboxes: 7\n", &["wrong-value 1:8 wide", "wrong-value 2:11 perhaps", "wrong-shape 3:8 7"])]
#[case::list("- a\n- b\n", &["wrong-shape 1:1 - a\n- b"])]
#[case::empty("width:\nboxes: ~\n", &["empty-value 1:1 width", "empty-value 2:1 boxes"])]
#[case::twice("width: 1\nWidth: 2\n", &["duplicate-field 2:1 Width"])]
#[case::non_ascii("width: \"é€\"   # é\nput back: é\n", &["wrong-value 1:8 \"é€\"", "wrong-value 2:11 é"])]
#[case::crlf("width: x\r\nput back: y\r\n", &["wrong-value 1:8 x", "wrong-value 2:11 y"])]
#[case::anchor("width: &a 1\nput back: *a\n", &["yaml-anchor 1:8 &a"])]
#[case::unknown_alias("width: *a\n", &["yaml-anchor 1:8 *a"])]
#[case::tag("width: !!int 1\n", &["yaml-tag 1:8 !!int"])]
#[case::second("width: 1\n---\nwidth: 2\n", &["yaml-documents 2:1 ---"])]
#[case::bracket("boxes: [a, b\nwidth: 1\n", &["yaml-syntax 1:8 ["])]
#[case::complex_key("? [a]\n: 1\nwidth: 1\n", &["yaml-key 1:3 [a]"])]
fn complains(#[case] text: &str, #[case] wanted: &[&str]) {
    assert_eq!(complaints(text), wanted);
}

#[test]
fn depth_is_refused_at_once() {
    for text in ["[".repeat(10_000), "- ".repeat(10_000), "{a: ".repeat(10_000)] {
        let found = complaints(&text);
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(found[0].starts_with("yaml-depth"), "{found:?}");
    }
    let deep = format!("{}{}", "[".repeat(DEEPEST), "]".repeat(DEEPEST));
    assert!(complaints(&deep)[0].starts_with("wrong-shape"));
}

/// Ten levels of ten aliases, and one big anchor with many aliases: the two ways a small file grows.
#[test]
fn alias_bombs_are_refused() {
    let mut levels = vec!["a0: &a0 [x, x]\n".to_owned()];
    for i in 1..10 {
        let many = vec![format!("*a{}", i - 1); 10].join(", ");
        levels.push(format!("a{i}: &a{i} [{many}]\n"));
    }
    let big = format!("big: &big [{}]\nuse: [{}]\n", vec!["x"; 3000].join(", "), vec!["*big"; 3000].join(", "));
    for text in [levels.concat(), big] {
        let found = complaints(&text);
        assert_eq!(found.len(), 1);
        assert!(found[0].starts_with("yaml-anchor 1:"), "{found:?}");
    }
}

#[test]
fn complaints_are_counted_past_the_limit() {
    let text = (0..1000).map(|i| format!("x{i}: 1")).collect::<Vec<_>>().join("\n");
    let found = complaints(&text);
    assert_eq!(found.len(), MOST_DIAGNOSTICS + 1);
    assert!(found[MOST_DIAGNOSTICS].starts_with("too-many-problems"));
}

fn leaves(value: &serde_yaml::Value) -> usize {
    match value {
        serde_yaml::Value::Sequence(items) => items.iter().map(leaves).sum(),
        serde_yaml::Value::Mapping(entries) => entries.values().map(leaves).sum(),
        _ => 1,
    }
}

fn document() -> impl Strategy<Value = serde_yaml::Value> {
    use serde_yaml::Value;
    let leaf = prop_oneof![
        "[a-zé€ #:|\\-\n\"']{0,12}".prop_map(Value::String),
        any::<i64>().prop_map(Value::from),
        any::<bool>().prop_map(Value::from),
        Just(Value::Null),
    ];
    leaf.prop_recursive(4, 40, 5, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..5).prop_map(Value::Sequence),
            prop::collection::btree_map("[a-z]{1,6}", inner, 0..5)
                .prop_map(|m| Value::Mapping(m.into_iter().map(|(k, v)| (Value::String(k), v)).collect())),
        ]
    })
}

proptest! {
    /// The tree and `serde_yaml` (another YAML reader) see the same values.
    #[test]
    fn the_tree_agrees_with_serde_yaml(value in document()) {
        let text = serde_yaml::to_string(&value).unwrap();
        let source = Source::new("t", &text);
        let tree = Tree::parse(&source, 0);
        let root = tree.root.expect("valid YAML");
        prop_assert_eq!(root.leaves(), leaves(&value));
        prop_assert_eq!(root.value(), value);
    }

    #[test]
    fn any_text_is_safe(text in "[ -~\n\tàé€\u{feff}]{0,200}") {
        complaints(&text);
    }

    #[test]
    fn any_yaml_like_text_is_safe(text in "(width|boxes|- |  |: |\\[|\\]|\\{|\\}|, |\n|\"|'|[|]|>|[?] |#|1|x|&a|\\*a|!t|---|é){0,60}") {
        complaints(&text);
    }
}
