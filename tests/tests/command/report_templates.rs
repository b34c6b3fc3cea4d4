//! Templates of one's own, verification of published reports, chapters, gallery, pictures.

use crate::report_common;

use std::collections::BTreeMap;
use std::time::{Duration, Instant};

use report::template::{SHIPPED, TemplateError, Templates};
use report::verify::{Verified, verify};
use report::view::{Photo, View};
use report_common::{Case, names, sample, sample_view, samples};
use rstest::rstest;

fn lamp() -> &'static View {
    sample_view("lamp-two.yaml")
}

#[test]
fn a_user_template_replaces_a_piece() {
    let own = "{% for a in view.assessments %}{{ view.title }}, {{ a.method }}: {{ a.range }}\n{% endfor %}";
    let templates = Templates::with(BTreeMap::from([("report.md".to_owned(), own.to_owned())])).unwrap();
    let view = lamp();
    let text = report::markdown::report(view, &templates).unwrap();
    assert!(text.starts_with("Ostrel Lamp Two, en-45554: "), "{text}");
    assert_eq!(view.unfasten, report::view::VERSION);
}

#[test]
fn a_template_can_walk_the_tree() {
    let own = "{% set r = view.assessments[0].root %}{{ r.id }} {{ r.children[0].title }} {{ r.settled is defined }} {{ r|length }}\n\
               {% for key in r %}{{ key }} {% endfor %}";
    let templates = Templates::with(BTreeMap::from([("report.html".to_owned(), own.to_owned())])).unwrap();
    let view = lamp();
    let text = report::html::report(view, &templates).unwrap();
    let root = &view.assessments[0].root;
    let fields = serde_json::to_value(&**root).unwrap();
    let wanted = format!("{} {} no {}\n", root.id, root.children[0].title, fields.as_object().unwrap().len());
    assert!(text.starts_with(&wanted), "{text}");
    assert!(fields.as_object().unwrap().keys().all(|k| text.contains(&format!("{k} "))), "{text}");
}

#[test]
fn the_documented_view_is_the_view() {
    // Every field a template can name is in the page that documents them, and nothing else is.
    let readme = include_str!("../../../report/templates/README.md");
    let json = serde_json::to_value(lamp()).unwrap();
    for field in json.as_object().unwrap().keys() {
        assert!(readme.contains(&format!("`{field}`")), "view.{field} is not documented");
    }
    for field in json["assessments"][0].as_object().unwrap().keys() {
        assert!(readme.contains(&format!("`{field}`")), "assessment {field} is not documented");
    }
    for (name, _) in SHIPPED {
        assert!(readme.contains(&format!("`{name}`")), "{name} is not documented");
    }
}

/// Templates are layout: what stands outside of tags and blocks has no words, so every sentence comes from the table of the
/// language or from the view. `of`, `by` and the like would be the start of one.
#[test]
fn templates_hold_no_sentences() {
    for (name, text) in SHIPPED.iter().filter(|(n, _)| !n.ends_with(".css")) {
        let mut bare = String::new();
        let mut rest = *text;
        while let Some(at) = rest.find("{{").into_iter().chain(rest.find("{%")).chain(rest.find("{#")).min() {
            bare.push_str(&rest[..at]);
            let close = match &rest[at..at + 2] {
                "{{" => "}}",
                "{%" => "%}",
                _ => "#}",
            };
            let end = rest[at..].find(close).unwrap() + at + 2;
            // Texts inside of expressions are keys, tests and anchors: one word, or a pattern without blanks.
            for literal in rest[at..end].split('"').skip(1).step_by(2).filter(|_| close != "#}") {
                assert!(!literal.trim().contains(' '), "{name}: {literal}");
            }
            rest = &rest[end..];
        }
        bare.push_str(rest);
        // Style is nothing to read.
        if let Some((before, after)) = bare.split_once("<style>") {
            bare = format!("{before}{}", after.split_once("</style>").map_or("", |(_, rest)| rest));
        }
        let words: String = if name.ends_with(".html") {
            // An attribute that is read aloud would have to be filled by an expression.
            for told in ["aria-label=\"", "alt=\"", "title=\""] {
                for value in bare.split(told).skip(1).filter_map(|v| v.split('"').next()) {
                    assert!(!value.chars().any(char::is_alphabetic), "{name}: {told}{value}");
                }
            }
            let mut inside = false;
            bare.chars()
                .filter(|c| {
                    match c {
                        '<' => inside = true,
                        '>' => inside = false,
                        _ => {}
                    }
                    !inside
                })
                .collect()
        } else {
            bare.replace("<!-- unfasten-data", "").replace("--range.svg", "").replace("-.svg", "")
        };
        let letters: Vec<&str> = words.split_whitespace().filter(|w| w.chars().any(char::is_alphabetic)).collect();
        assert!(letters.is_empty(), "{name}: {letters:?}");
    }
}

/// Every fixed text is used, and every key a template names is there.
#[test]
fn fixed_texts_are_used() {
    let all: String = SHIPPED.iter().map(|(_, t)| *t).collect();
    for key in report::words::layout::keys() {
        assert!(all.contains(&format!("\"{key}\"")), "{key}");
    }
}

#[test]
fn wrong_templates_name_the_place() {
    let with = |name: &str, text: &str| Templates::with(BTreeMap::from([(name.to_owned(), text.to_owned())]));
    assert!(matches!(with("page.html", ""), Err(TemplateError::Unknown { .. })));
    // A piece of another name is used where one takes it in.
    let pieces = [("report.md", "{% include \"mine.md\" %}"), ("mine.md", "as I like it")];
    let own = Templates::with(pieces.map(|(n, t)| (n.to_owned(), t.to_owned())).into()).unwrap();
    assert_eq!(report::markdown::report(lamp(), &own).unwrap().trim(), "as I like it");
    let broken = with("report.md", "a\nb\n{% for %}\n").unwrap_err();
    assert!(broken.to_string().starts_with("report.md:3: "), "{broken}");
    let view = lamp();
    let render =
        |text: &str| report::markdown::report(view, &with("report.md", text).unwrap()).unwrap_err().to_string();
    assert!(render("x\n{{ view.nothing }}").starts_with("report.md:2: "), "{}", render("x\n{{ view.nothing }}"));
}

/// Joining lists is not counted by the engine, so a list that doubles is refused before anything is rendered.
#[rstest]
#[case::doubled(
    "x\n{% set n = namespace(s=[1, 2]) %}{% for i in range(60) %}{% set n.s = n.s + n.s %}{% endfor %}{{ n.s|list|length }}",
    "report.md:2: `+` needs a number"
)]
#[case::chained(
    "x\n{% set n = namespace(s=[1, 2]) %}{% for i in range(60) %}{% set n.s = n.s|chain(n.s) %}{% endfor %}",
    "report.md:2: "
)]
#[case::summed(
    "x\n{% set n = namespace(s=[1, 2]) %}{% for i in range(60) %}{% set n.s = [n.s, n.s]|sum(start=[]) %}{% endfor %}",
    "report.md:2: "
)]
fn a_template_that_joins_lists_is_refused(#[case] text: &str, #[case] said: &str) {
    let with = Templates::with(BTreeMap::from([("report.md".to_owned(), text.to_owned())]));
    let wrong = with.and_then(|t| report::markdown::report(lamp(), &t)).unwrap_err().to_string();
    assert!(wrong.starts_with(said), "{wrong}");
}

/// What would fill the memory is stopped like what would never end: text that doubles, lists that are repeated.
#[rstest]
#[case::doubled_text(
    "{% set n = namespace(s='0123456789abcdef') %}{% for i in range(60) %}{% set n.s = n.s ~ n.s %}{% endfor %}{{ n.s|length }}"
)]
#[case::repeated_list("{{ ([0] * 90000000)|list|length }}")]
#[case::repeated_text("{{ 'x' * 90000000 ~ 'y' * 90000000 ~ 'z' * 90000000 }}")]
#[case::joined("{{ (['0123456789abcdef'] * 90000000)|join }}")]
#[case::endless(
    "{% for a in range(9999) %}{% for b in range(9999) %}{% for c in range(9999) %}.{% endfor %}{% endfor %}{% endfor %}"
)]
#[case::replaced(
    "{% set n = namespace(s='aa') %}{% for i in range(40) %}{% set n.s = n.s|replace('a', 'aaaaaaaa') %}{% endfor %}{{ n.s }}"
)]
fn a_template_that_grows_is_stopped(#[case] text: &str) {
    let templates = Templates::with(BTreeMap::from([("report.md".to_owned(), text.to_owned())])).unwrap();
    let started = Instant::now();
    let wrong = report::markdown::report(lamp(), &templates).unwrap_err().to_string();
    assert!(wrong.starts_with("report.md:1: "), "{wrong}");
    assert!(wrong.contains("makes too much") || wrong.contains("too large"), "{wrong}");
    // A build without optimisation on a busy machine; it takes a second or two alone.
    assert!(started.elapsed() < Duration::from_secs(30), "{:?}", started.elapsed());
}

#[test]
fn published_reports_verify_and_changed_ones_do_not() {
    let view = lamp();
    let t = Templates::shipped();
    let html = report::html::report(view, &t).unwrap();
    let md = report::markdown::report(view, &t).unwrap();
    let json = report::json::devices(std::slice::from_ref(view), report::json::Layout::Compact);
    // Laid out for people it says the same.
    let indented = report::json::devices(std::slice::from_ref(view), report::json::Layout::Indented);
    assert_ne!(json, indented);
    assert_eq!(verify(&indented, view, true), Verified::Same);
    for text in [&html, &md, &json] {
        assert_eq!(verify(text, view, true), Verified::Same);
    }
    // A number that readers see, but the block does not repeat.
    let range = &view.assessments[0].sub_scores[0].range;
    for text in [&html, &md] {
        let changed = text.replacen(range.as_str(), "9.99", 1);
        assert_ne!(&changed, text);
        assert!(matches!(verify(&changed, view, true), Verified::Differs(d) if d.published.contains("9.99")));
    }
    // The block itself.
    let low = format!("\"shown\":[\"{}\"", view.assessments[0].low);
    let changed = html.replacen(&low, "\"shown\":[\"9.9\"", 1);
    assert_ne!(changed, html);
    let Verified::Differs(found) = verify(&changed, view, true) else { panic!() };
    assert_eq!((found.what.as_str(), found.published.as_str()), ("en-45554, low end", "9.9"));
    // Another record.
    let (name, text) = samples().into_iter().find(|(n, _)| n == "lamp-two.yaml").unwrap();
    let other = Case::new(&name, &text.replace("5 x screw PH0", "5 x clip")).view();
    assert!(matches!(verify(&html, &other, true), Verified::Differs(_)));
    let changed = json.replacen("\"attained\":true", "\"attained\":false", 1);
    let Verified::Differs(found) = verify(&changed, view, true) else { panic!() };
    assert!(found.what.starts_with("devices[0].headline"), "{found:?}");
    assert_eq!(verify("nothing here", view, true), Verified::NoClaim);
    // Another version of the program: the numbers follow, or the first that doesn't is named with it.
    let older = html.replace("unfasten 0.1.0", "unfasten 0.0.9");
    assert_eq!(verify(&older, view, true), Verified::OtherVersion("unfasten 0.0.9".to_owned()));
    let Verified::Differs(found) = verify(&older.replacen(&low, "\"shown\":[\"9.9\"", 1), view, true) else { panic!() };
    assert_eq!((found.published.as_str(), found.made_by.as_deref()), ("9.9", Some("unfasten 0.0.9")));
    // Own templates: the block decides.
    let own = "{{ view.title }} <template id=\"unfasten-data\">{{ view.data|safe }}</template>";
    let own = Templates::with(BTreeMap::from([("report.html".to_owned(), own.to_owned())])).unwrap();
    assert_eq!(verify(&report::html::report(view, &own).unwrap(), view, false), Verified::Follows);
}

#[test]
fn chapters_start_at_zero_and_stand_apart() {
    for name in names() {
        let case = sample(name);
        let chapters = report::chapters::chapters(&case.record);
        assert_eq!(chapters[0].0, 0, "{name}");
        assert!(chapters.windows(2).all(|w| w[1].0 >= w[0].0 + report::chapters::APART), "{name}: {chapters:?}");
        let words = report::chapters::description(&case.record, sample_view(name));
        assert!(words.contains("Tools in hand") && words.contains("Sources"), "{name}");
    }
}

#[test]
fn the_gallery_lists_every_device_once() {
    let views: Vec<_> = names().map(|n| (n.replace(".yaml", "/report.html"), sample_view(n))).collect();
    let reports: Vec<_> = views.iter().map(|(n, v)| (n.as_str(), *v)).collect();
    let page = report::gallery::index(&report::gallery::gallery("Devices", &reports), &Templates::shipped()).unwrap();
    for (link, view) in &views {
        assert_eq!(
            page.matches(&format!("<th scope=\"row\"><a class=\"clip\" href=\"{link}\">{}</a>", view.title)).count(),
            1,
            "{link}"
        );
    }
    // The order of the files doesn't matter.
    let backwards: Vec<_> = reports.iter().rev().copied().collect();
    assert_eq!(
        report::gallery::index(&report::gallery::gallery("Devices", &backwards), &Templates::shipped()).unwrap(),
        page
    );
}

#[test]
fn pictures_are_linked_embedded_or_missing() {
    let (name, text) = samples().into_iter().find(|(n, _)| n == "bar-phone.yaml").unwrap();
    let case = Case::with(&name, &text, |m| m.id.value == "en-45554");
    let bytes = std::fs::read(concat!(env!("CARGO_MANIFEST_DIR"), "/../samples/photos/yarrow-rim.png")).unwrap();
    let mut job = case.job();
    let embedded = report::photo::strip(&bytes).unwrap();
    let size = embedded.bytes().len();
    job.photos.insert("photos/yarrow-rim.png".to_owned(), Photo::Embedded(embedded));
    job.photos.insert("photos/yarrow-inside.png".to_owned(), Photo::Missing("no such file".to_owned()));
    let view = report::view::build(&job);
    let html = report::html::report(&view, &Templates::shipped()).unwrap();
    assert!(html.contains("src=\"data:image/png;base64,iVBOR"));
    assert!(html.contains("yarrow-inside.png: no such file"));
    // Shown twice in the record, counted as often as it is in the page.
    let shown = view.photos.iter().filter(|p| p.source.starts_with("data:")).count();
    assert_eq!(view.photo_size.unwrap(), format!("{} kB", (size * shown).div_ceil(1000)));
}
