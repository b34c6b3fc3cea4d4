//! Reports of the samples: schemas, sums, links, validity, and the same bytes every time.

use crate::report_common;

use std::collections::BTreeSet;

use pulldown_cmark::{Options, Parser};
use report::json::Layout;
use report::template::Templates;
use report_common::{Case, names, sample_view, samples};
use scoring::exact::Exact;
use scraper::{ElementRef, Html, Selector};

fn all(html: &Html, css: &str) -> Vec<String> {
    html.select(&Selector::parse(css).unwrap()).map(words).collect()
}

fn words(element: ElementRef<'_>) -> String {
    element.text().collect::<String>().trim().to_owned()
}

/// Largest page of a phone with every method that fits, without pictures, bytes.
const LARGEST: usize = 250_000;

/// Largest JSON of a phone with every method that fits, bytes: what the project asks for.
const LARGEST_JSON: usize = 250_000;

/// One pass over all samples, since assessing them is most of the time.
#[test]
fn samples_make_sound_documents() {
    let templates = Templates::shipped();
    let assessments = jsonschema::validator_for(&report::json::schema_of::<report::json::Devices>("")).unwrap();
    let (mut phones, mut points_of_percent) = (0, false);
    for name in names() {
        let view = sample_view(name);
        let json = report::json::devices(std::slice::from_ref(view), Layout::Compact);
        let value: serde_json::Value = serde_json::from_str(&json).unwrap();
        let wrong: Vec<_> = assessments.iter_errors(&value).map(|e| format!("{}: {e}", e.instance_path())).collect();
        assert!(wrong.is_empty(), "{name}: {wrong:#?}");

        let html = report::html::report(view, &templates).unwrap();
        // Pages travel by mail and load on phones; pictures are links here.
        if view.device.iter().any(|p| p.what == "category" && p.said == "smartphone") {
            assert!(html.len() < LARGEST, "{name}: {} bytes", html.len());
            assert!(json.len() < LARGEST_JSON, "{name}: {} bytes of JSON", json.len());
            phones += 1;
        }
        check_html(name, &html);
        check_sums(name, &html);
        // 12 % that should be 10 % is 2 percentage points too much, not 2 %.
        points_of_percent |= html.contains("percentage point");
        for way in ["less", "more"] {
            assert!(!html.contains(&format!(" % {way} would give")), "{name}: {way}");
        }

        let md = report::markdown::report(view, &templates).unwrap();
        check_markdown(name, &md, &report::markdown::pictures(view));
    }
    assert!(phones >= 1 && points_of_percent);
}

/// Requirements that stand one after the other are told apart by their titles.
fn check_titles(name: &str, page: &Html) {
    let [details, head, title] = ["details", "h2", "h3"].map(|css| Selector::parse(css).unwrap());
    let lists = page
        .select(&details)
        .filter(|d| d.select(&head).next().is_some_and(|h| words(h).starts_with("Requirements one by one")));
    for list in lists {
        let mut seen = BTreeSet::new();
        for title in list.select(&title).map(words) {
            assert!(seen.insert(title.clone()), "{name}: two requirements are called {title}");
        }
        assert!(!seen.is_empty(), "{name}");
    }
}

/// Parses without errors; ids are unique; every link inside leads somewhere; nothing is asked from outside.
fn check_html(name: &str, html: &str) {
    let page = Html::parse_document(html);
    assert!(page.errors.is_empty(), "{name}: {:?}", page.errors);
    check_titles(name, &page);
    let any = Selector::parse("[id]").unwrap();
    let mut ids = BTreeSet::new();
    for element in page.select(&any) {
        let id = element.value().id().unwrap();
        assert!(ids.insert(id.to_owned()), "{name}: id {id} twice");
    }
    for link in page.select(&Selector::parse("a").unwrap()) {
        let to = link.value().attr("href").unwrap();
        if let Some(id) = to.strip_prefix('#') {
            assert!(ids.contains(id), "{name}: {to} leads nowhere");
        } else {
            assert!(
                to.starts_with("https://") || to.starts_with("http://") || to.starts_with("mailto:"),
                "{name}: {to}"
            );
        }
        assert!(!words(link).is_empty(), "{name}: {to} has no words");
    }
    for labelled in page.select(&Selector::parse("[aria-labelledby]").unwrap()) {
        let by = labelled.value().attr("aria-labelledby").unwrap();
        assert!(ids.contains(by), "{name}: {by}");
    }
    for picture in page.select(&Selector::parse("svg").unwrap()) {
        assert_eq!(picture.value().attr("role"), Some("img"));
        assert!(!picture.value().attr("aria-label").unwrap().is_empty());
    }
    assert!(all(&page, "script").is_empty());
    // A pattern of the page itself is a link inside.
    let fetched = html.replace("url(#open-points", "");
    for bad in [" onclick", "@import", "url(", "<link", "<iframe", "src=\"http"] {
        assert!(!fetched.contains(bad), "{name}: {bad}");
    }
}

/// Every sum shown adds up as shown: shares and rounding make the total, and rounding is no more than rounding: half a unit
/// of the last place for each share, and for the total.
fn check_sums(name: &str, html: &str) {
    let page = Html::parse_document(html);
    let tables: Vec<_> = page.select(&Selector::parse("table.sum").unwrap()).map(|t| t.html()).collect();
    assert!(!tables.is_empty(), "{name}");
    let (row, cell) = (Selector::parse("tbody tr").unwrap(), Selector::parse("td").unwrap());
    for table in tables {
        let table = Html::parse_fragment(&format!("<table>{table}</table>"));
        let rows: Vec<(String, Vec<String>)> = table
            .select(&row)
            .map(|r| (r.value().attr("class").unwrap_or("").to_owned(), r.select(&cell).map(words).collect()))
            .collect();
        let ends = (rows[0].1.len() - 1) / 2;
        for end in 0..ends {
            let at = 2 + 2 * end;
            let number = |r: &(String, Vec<String>)| Exact::parse(&r.1[at]).unwrap_or_else(Exact::zero);
            let shares: Exact = rows.iter().filter(|r| r.0.is_empty() || r.0 == "rounding").map(number).sum();
            let total = rows.iter().find(|r| r.0 == "total").unwrap();
            if total.1[at] != "left out" {
                assert_eq!(shares, number(total), "{name}: {rows:?}");
            }
            let figure = |r: &(String, Vec<String>)| r.1[at].replace('\u{2212}', "-").parse::<f64>().unwrap_or(0.0);
            let places = |r: &(String, Vec<String>)| r.1[at].split_once('.').map_or(0, |(_, d)| d.len());
            let of_shares = rows.iter().filter(|r| r.0.is_empty()).map(places).max().unwrap_or(0);
            let unit = 10_f64.powi(-i32::try_from(of_shares.min(places(total).max(1))).unwrap());
            let most = unit / 2.0 * (rows.len() + 1) as f64;
            for rounding in rows.iter().filter(|r| r.0 == "rounding").map(figure) {
                assert!(rounding.abs() <= most + 1e-9, "{name}: {rounding} of {} shares: {rows:?}", rows.len());
            }
        }
    }
}

/// What a Markdown reader makes of it: headings, tables without broken rows, pictures that exist, no raw HTML but the
/// data block.
fn check_markdown(name: &str, text: &str, pictures: &[(String, String)]) {
    use pulldown_cmark::{Event, Tag, TagEnd};
    let mut raw = String::new();
    let (mut cells, mut head) = (0, 0);
    for event in Parser::new_ext(text, Options::ENABLE_TABLES) {
        match event {
            Event::Html(t) | Event::InlineHtml(t) => raw.push_str(&t),
            Event::Start(Tag::TableHead | Tag::TableRow) => cells = 0,
            Event::Start(Tag::TableCell) => cells += 1,
            Event::End(TagEnd::TableHead) => head = cells,
            Event::End(TagEnd::TableRow) => assert_eq!(cells, head, "{name}"),
            Event::Start(Tag::Image { dest_url, .. }) => {
                let shipped = pictures.iter().any(|(n, _)| **n == *dest_url);
                assert!(shipped || dest_url.starts_with("photos/"), "{name}: {dest_url}");
            }
            Event::Text(t) => assert!(!t.contains("|---"), "{name}: a table that is none: {t}"),
            _ => {}
        }
    }
    assert!(raw.starts_with("<!-- unfasten-data {") && raw.trim_end().ends_with("} -->"), "{name}: {raw:.200}");
    assert_eq!(raw.matches("-->").count(), 1, "{name}");
}

#[test]
fn the_same_bytes_every_time() {
    let (name, text) = &samples()[0];
    let render = || {
        let view = Case::new(name, text).view();
        let t = Templates::shipped();
        (
            report::html::report(&view, &t).unwrap(),
            report::markdown::report(&view, &t).unwrap(),
            report::json::devices(&[view], Layout::Indented),
        )
    };
    assert_eq!(render(), render());
}
