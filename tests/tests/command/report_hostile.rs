//! Hostile text in every free-text field of a record: nothing of it is markup, script, formula or layout in any output.

use crate::report_common;

use pulldown_cmark::{Event, Options, Parser, Tag};
use report::template::Templates;
use report_common::Case;
use scraper::{Html, Selector};

/// Script, markup, template, formula, control, right-to-left and very long text. Own list; the kinds are those issue
/// trackers of templating and spreadsheet programs know (memory high).
fn strings() -> Vec<String> {
    let mut out: Vec<String> = [
        "<script>alert(1)</script>",
        "</script><script>alert(1)</script>",
        "</template><script>alert(1)</script>",
        "</style><img src=x onerror=alert(1)>",
        "</title><svg onload=alert(1)>",
        "\"><img src=x onerror=alert(1)>",
        "' onmouseover='alert(1)",
        "\" onfocus=\"alert(1)\" autofocus=\"",
        "<img src=http://192.0.2.1/x.png>",
        "<iframe src=javascript:alert(1)>",
        "<svg><script>alert(1)</script></svg>",
        "<math><mi xlink:href=javascript:alert(1)>",
        "<!-- comment",
        "-->",
        "--> <script>alert(1)</script>",
        "<![CDATA[x]]>",
        "&lt;script&gt;",
        "&#60;script&#62;",
        "&amp;amp;",
        "javascript:alert(1)",
        "[link](javascript:alert(1))",
        "![picture](http://192.0.2.1/x.png)",
        "<http://192.0.2.1>",
        "| cell | cell |",
        "|---|---|",
        "# heading",
        "- item",
        "1. item",
        "> quote",
        "```",
        "~~~",
        "***",
        "===",
        "`code",
        "**bold",
        "__bold__",
        "[ref]: http://192.0.2.1",
        "{{ 7777 * 777 }}",
        "{% for x in view %}{{ x }}{% endfor %}",
        "{# comment #}",
        "{{ view.data|safe }}",
        "=1+1",
        "=cmd|' /C calc'!A0",
        "+1+1",
        "-1+1",
        "@SUM(1)",
        "=HYPERLINK(\"http://192.0.2.1\")",
        "%3Cscript%3E",
        "\u{202e}gpj.exe",
        "\u{2066}isolate",
        "\u{200f}mark",
        "abc\u{200b}def",
        "\u{2028}line",
        "\u{7f}delete",
        "עברית ואנגלית",
        "العربية مع أرقام 123",
        "日本語の文字列",
        "👩‍🔧 repairer",
        "e\u{301}\u{301}\u{301}\u{301}\u{301}\u{301}\u{301}\u{301}",
        "url(http://192.0.2.1/x)",
        "expression(alert(1))",
        "@import 'http://192.0.2.1'",
        "C:\\path\\to",
        "../../../etc/passwd",
        "%s%n%x",
        "$(touch x)",
        "; rm -rf",
        "null",
        "undefined",
        "0x1F",
    ]
    .map(str::to_owned)
    .to_vec();
    // Every plain string also between words, and doubled.
    let more: Vec<String> = out.iter().flat_map(|t| [format!("before {t} after"), format!("{t}{t}")]).collect();
    out.extend(more);
    // Long ones once: they take most of the time.
    out.extend(["long".repeat(2_000), "many words ".repeat(500), "W".repeat(300)]);
    out
}

fn quoted(text: &str) -> String {
    serde_json::to_string(text).unwrap()
}

/// A record with one string in every free-text field.
pub(crate) fn record(text: &str) -> String {
    let t = quoted(text);
    // `|` has a meaning of its own where names stand, and is refused there.
    let name = quoted(&format!("part {}", text.replace('|', "/")));
    let doing = quoted(&format!("do {}", text.replace('|', "/")));
    format!(
        "unfasten: 1
device: {{name: {t}, maker: {t}, model: {t}, variant: {t}, region: {t}, condition: {t}, register number: {t}, category: other}}
teardown: {{by: {t}, video: {t}, place of work: {t}, place: use, skill: layman}}
parts:
  lid: {{role: lid, note: {t}, source: {t}}}
  cell: {{role: cell, hazard: lithium cell}}
roles: {{lid: {{weight: 1}}, cell: {{weight: 2}}}}
actions:
  - free: lid
    at: 0:10
    with: PH0
    loosen: [{{fastener: screw PH0, note: {t}}}]
    after: []
    note: {t}
    source: {t}
    refit: {{buy: {t}, care: {t}, check: {t}, if skipped: {t}}}
    photo: {{file: pic.png, alt: {t}}}
  - do: {doing}
    with: hands
    loosen: connector
    after: lid
  - free: {name}
    with: hands
    after: lid
  - free: cell
    with: hands
    loosen: connector
    after: [lid, {doing}]
    outcome: not attempted
    because: {t}
support:
  information: {{to: public, cost: free, scope: basic}}
own verdict: {t}
remarks:
  - {{for: {t}, at: 0:10}}
  - {{against: {t}}}
notes: {t}
"
    )
}

/// Elements a report of an innocent record has; a hostile one may have no others.
fn elements(html: &str) -> std::collections::BTreeSet<String> {
    let page = Html::parse_document(html);
    let any = Selector::parse("*").unwrap();
    page.select(&any)
        .flat_map(|e| {
            let name = e.value().name().to_owned();
            let attributes = e.value().attrs().map(|(k, _)| format!("{name} {k}")).collect::<Vec<_>>();
            std::iter::once(name.clone()).chain(attributes)
        })
        .collect()
}

#[test]
fn nothing_in_a_record_is_markup() {
    let templates = Templates::shipped();
    let mut allowed =
        elements(&report::html::report(&Case::new("plain.yaml", &record("plain")).view(), &templates).unwrap());
    // Notes may hold Markdown: these are its elements.
    for name in ["em", "strong", "blockquote", "pre", "hr", "ol start", "h5", "h6", "ol", "ul", "li", "code", "br"] {
        allowed.insert(name.to_owned());
    }
    // Long texts stand in a box of a few lines.
    for name in ["span tabindex", "span role", "span aria-label"] {
        allowed.insert(name.to_owned());
    }
    let texts = strings();
    assert!(texts.len() >= 200, "{}", texts.len());
    for text in texts {
        let case = Case::with("hostile.yaml", &record(&text), |m| m.id.value == "en-45554");
        let view = case.view();
        let html = report::html::report(&view, &templates).unwrap();
        let found = elements(&html);
        let odd: Vec<_> = found.difference(&allowed).collect();
        assert!(odd.is_empty(), "{text:.80}: {odd:?}");
        assert!(!html.contains("6042729"), "{text}: a template ran");

        let md = report::markdown::report(&view, &templates).unwrap();
        for event in Parser::new_ext(&md, Options::ENABLE_TABLES) {
            match event {
                Event::Html(t) => {
                    let block = t.starts_with("<!-- unfasten-data {") && t.trim_end().ends_with("} -->");
                    assert!(block && t.matches("-->").count() == 1, "{text:.80}: {t:.200}");
                }
                Event::InlineHtml(t) => panic!("{text:.80}: {t}"),
                Event::Start(Tag::Link { dest_url, .. }) => {
                    assert!(!dest_url.starts_with("javascript"), "{text}");
                }
                Event::Start(Tag::Image { dest_url, .. }) => {
                    assert!(!dest_url.contains("://"), "{text}: {dest_url}");
                }
                _ => {}
            }
        }

        let csv = report::csv::header() + &report::csv::scores(&case.job());
        for row in csv::ReaderBuilder::new().has_headers(false).from_reader(csv.as_bytes()).records() {
            for cell in &row.unwrap() {
                let number = cell
                    .strip_prefix('-')
                    .is_some_and(|n| !n.is_empty() && n.bytes().all(|b| b.is_ascii_digit() || b".,/".contains(&b)));
                assert!(number || !cell.starts_with(['=', '+', '-', '@', '\t', '\r']), "{text:.80}: {cell:.80}");
            }
        }

        let card = report::svg::card::card(&view);
        for svg in report::markdown::pictures(&view).into_iter().map(|(_, t)| t).chain([card]) {
            let found = elements(&svg);
            let odd: Vec<_> =
                found.iter().filter(|e| e.contains(" on") || e.starts_with("script") || e.contains("href")).collect();
            assert!(odd.is_empty(), "{text:.80}: {odd:?}");
        }
    }
}
