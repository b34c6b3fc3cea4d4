//! `compare --format html`: one page that stands alone, names everything the other forms say, and runs nothing.

use crate::command_support;

use std::path::Path;

use command_support::{project, unfasten};
use scraper::{Html, Selector};
use unfasten_cli::Exit;

/// Two lamps: one better on the bench, one better in what its maker promises.
fn lamps(folder: &Path, names: [&str; 2]) -> [String; 2] {
    let facts = [
        ["layman", "hands", "2 x clip", "hands", "3", "none"],
        ["generalist", "PH0", "{fastener: film adhesive, kind: removable}", "[PH1, PH0, PH1]", "7", "public"],
    ];
    let mut out = [String::new(), String::new()];
    for (i, [skill, lid, fastener, cell, years, information]) in facts.into_iter().enumerate() {
        let name = serde_json::to_string(names[i]).unwrap();
        let text = format!(
            "unfasten: 1\ndevice: {{name: {name}, maker: Ostrel, category: other, price: 79 EUR}}\n\
             roles:\n  battery: {{weight: 2}}\n  back cover: {{weight: 1}}\n\
             parts:\n  cell: {{role: battery, paired: no}}\n  lid: {{role: back cover, paired: no}}\n\
             teardown: {{place: use, skill: {skill}}}\n\
             actions:\n  - {{free: lid, after: [], with: {lid}, loosen: {fastener}}}\n  - {{free: cell, after: lid, with: {cell}, loosen: clip}}\n\
             support:\n  spare parts: {{every part: {{to: public, years: {years}, price: 9 EUR, interface: standard part, pairing: not needed}}}}\n  \
             information: {{to: {information}, cost: free, scope: basic}}\n  diagnosis: public codes\n  return options: basic\n  \
             data transfer and deletion: built in\n  reset: integrated\n"
        );
        let path = folder.join(format!("lamp{i}.yaml"));
        std::fs::write(&path, text).unwrap();
        out[i] = path.to_str().unwrap().to_owned();
    }
    out
}

fn compared(records: &[&str], more: &[&str]) -> String {
    let ran = unfasten(&[&["compare", "--samples", "2000"], records, more].concat());
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    ran.out
}

fn all<'h>(page: &'h Html, selector: &str) -> Vec<scraper::ElementRef<'h>> {
    page.select(&Selector::parse(selector).unwrap()).collect()
}

fn words(element: scraper::ElementRef<'_>) -> String {
    element.text().collect::<String>().split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Nothing runs, nothing is fetched, every table can be read aloud.
fn stands_alone(text: &str) -> Html {
    let page = Html::parse_document(text);
    for bad in ["script", "iframe", "object", "embed", "link", "img", "form", "base", "a[href^='http']"] {
        assert!(all(&page, bad).is_empty(), "{bad}");
    }
    // A pattern of the page itself is no request.
    assert!(!text.replace("url(#", "").contains("url(") && !text.contains("@import"));
    for element in all(&page, "*") {
        assert!(element.value().attrs().all(|(name, _)| !name.starts_with("on")), "{element:?}");
    }
    assert_eq!(all(&page, "html[lang=en]").len(), 1);
    assert_eq!((all(&page, "h1").len(), all(&page, "main").len()), (1, 1));
    for table in all(&page, "table") {
        let inside = |s: &str| table.select(&Selector::parse(s).unwrap()).count();
        assert_eq!(inside("caption"), 1);
        assert_eq!(inside("th"), inside("th[scope]"));
        let columns = inside("thead th");
        for row in table.select(&Selector::parse("tbody tr").unwrap()) {
            assert_eq!(row.select(&Selector::parse("td, th").unwrap()).count(), columns);
        }
    }
    page
}

#[test]
fn the_page_says_what_the_other_forms_say() {
    let folder = tempfile::tempdir().unwrap();
    let [a, b] = lamps(folder.path(), ["Bench", "Promise"]);
    let text = compared(&[&a, &b], &["--format", "html"]);
    assert_eq!(text, compared(&[&a, &b], &["--format", "html"]), "the same bytes again");
    let page = stands_alone(&text);
    let captions: Vec<String> = all(&page, "caption").into_iter().map(words).collect();
    assert_eq!(captions.len(), 7, "{captions:?}");
    let json: serde_json::Value = serde_json::from_str(&compared(&[&a, &b], &["--format", "json"])).unwrap();
    let spans = json["ranking"]["spans"]["weights"].as_array().unwrap();
    let moving = spans.iter().filter(|s| s["order"]["gives_way"] != serde_json::json!([null, null])).count();
    assert!(moving > 4 && spans.len() > moving);
    let rows = |caption: &str| {
        let table = all(&page, "table").into_iter().find(|t| words(*t).starts_with(caption)).expect(caption);
        table.select(&Selector::parse("tbody tr").unwrap()).map(words).collect::<Vec<_>>()
    };
    assert_eq!(rows("Weights that change the order").len(), moving);
    assert_eq!(rows("Points").len(), json["table"]["rows"].as_array().unwrap().len());
    // The plain sentences, and the bounds, stand in the page, in Markdown and in the terminal alike.
    let markdown = compared(&[&a, &b], &["--format", "md"]);
    let terminal = compared(&[&a, &b], &[]);
    let flat = |t: &str| t.split_whitespace().collect::<Vec<_>>().join(" ");
    let (on_page, terminal) = (flat(&all(&page, "body").into_iter().map(words).collect::<String>()), flat(&terminal));
    for sentence in json["ranking"]["sentences"].as_array().unwrap() {
        let sentence = sentence.as_str().unwrap();
        assert!(on_page.contains(sentence) && markdown.contains(sentence) && terminal.contains(sentence), "{sentence}");
    }
    for said in ["draws level with Ostrel Promise", "How far one weight could move", "Ostrel Bench"] {
        assert!(on_page.contains(said) && markdown.contains(said) && terminal.contains(said), "{said}");
    }
}

/// What each is surely ahead in, as a table of its own: the better one in the first column, whatever was named first.
#[test]
fn the_better_one_is_named_first() {
    let folder = tempfile::tempdir().unwrap();
    let [a, b] = lamps(folder.path(), ["Bench", "Promise"]);
    let json: serde_json::Value = serde_json::from_str(&compared(&[&a, &b], &["--format", "json"])).unwrap();
    let markdown = compared(&[&a, &b], &["--format", "md"]);
    let page = stands_alone(&compared(&[&a, &b], &["--format", "html"]));
    let cells = |row: scraper::ElementRef<'_>| {
        row.select(&Selector::parse("th, td").unwrap()).map(words).collect::<Vec<String>>()
    };
    let names = ["Ostrel Bench", "Ostrel Promise"];
    let mut seen = 0;
    for (better, worse) in [(0, 1), (1, 0)] {
        let head = format!("Ahead whatever the open answers: {}", names[better]);
        assert!(all(&page, "h2").into_iter().any(|h| words(h) == head) && markdown.contains(&format!("## {head}\n")));
        let table = all(&page, "table.ahead").into_iter().nth(better).unwrap();
        let rows: Vec<Vec<String>> = table.select(&Selector::parse("tr").unwrap()).map(cells).collect();
        assert_eq!(rows[0], ["criterion", names[better], names[worse], "points"]);
        for row in json["table"]["rows"].as_array().unwrap() {
            let why = &row["reason"];
            if why["better"] != better {
                continue;
            }
            let [good, bad] = [0, 1].map(|i| why["read"][i].as_str().unwrap());
            let title = row["title"].as_str().unwrap();
            let found = rows.iter().any(|r| r[0].starts_with(title) && r[1] == good && r[2].starts_with(bad));
            assert!(found, "{title}: {good}, {bad}: {rows:?}");
            assert!(markdown.contains(&format!("| {good} | {bad}")), "{good}, {bad}");
            seen += 1;
        }
    }
    assert!(seen > 5, "{seen}");
}

#[test]
fn samples_side_by_side_are_a_page() {
    let samples = ["bar-phone", "folding-tablet", "slate-tablet"].map(|s| project(&format!("samples/{s}.yaml")));
    let [a, b, c] = samples.each_ref().map(String::as_str);
    let page = stands_alone(&compared(&[a, b, c], &["--mixed", "--format", "html"]));
    let text = all(&page, "main").into_iter().map(words).collect::<String>();
    for said in ["Ostrel Yarrow", "tier", "Why they differ", "steps against", "100.0 %"] {
        assert!(text.to_lowercase().contains(&said.to_lowercase()), "{said}");
    }
    assert_eq!(all(&page, "svg.bar[role=img]").len(), 3);
    // Verdicts of pass and fail have no bars and no weightings.
    let law = compared(&[a, b], &["--method", "eu-2023-1670", "--mixed", "--format", "html"]);
    stands_alone(&law);
}

#[test]
fn hostile_names_stay_text() {
    let folder = tempfile::tempdir().unwrap();
    let names =
        ["<script>alert(1)</script><img src=x onerror=alert(1)>", "\"><svg onload=alert(1)> {{ 7*7 }} \u{202e}gpj"];
    let [a, b] = lamps(folder.path(), names);
    let text = compared(&[&a, &b], &["--format", "html"]);
    let page = stands_alone(&text);
    let shown = all(&page, "main").into_iter().map(words).collect::<String>();
    assert!(shown.contains("<script>alert(1)</script>") && shown.contains("{{ 7*7 }}"), "{shown}");
    assert!(!text.contains('\u{202e}') && all(&page, "svg[onload]").is_empty());
}

#[test]
fn the_layout_can_be_ones_own() {
    let folder = tempfile::tempdir().unwrap();
    let [a, b] = lamps(folder.path(), ["Bench", "Promise"]);
    std::fs::write(
        folder.path().join("compare.html"),
        "<p>{% for d in view.devices %}{{ d.name }}: {{ d.verdict }}. {% endfor %}</p>",
    )
    .unwrap();
    let own = compared(&[&a, &b], &["--format", "html", "--template", folder.path().to_str().unwrap()]);
    assert_eq!(own, "<p>Ostrel Promise: 8.2. Ostrel Bench: 8.1. </p>\n");
    std::fs::write(folder.path().join("compare.html"), "{{ view.colour }}").unwrap();
    let broken = unfasten(&["compare", &a, &b, "--format", "html", "--template", folder.path().to_str().unwrap()]);
    assert!(
        broken.exit == Exit::WrongInput && broken.out.is_empty() && broken.err.contains("compare.html:1"),
        "{}",
        broken.err
    );
}

/// A fan whose cell is taped down; `kind` of the tape, and the skill it takes.
fn fan(folder: &Path, name: &str, kind: &str, skill: &str) -> String {
    let text = format!(
        "unfasten: 1\ndevice: {{name: {name}, maker: Ostrel, category: other, price: 49 EUR}}\n\
         teardown: {{place: use, skill: {skill}}}\nroles: {{motor: {{weight: 1}}, battery: {{weight: 2}}}}\n\
         parts:\n  motor: {{role: motor, paired: no}}\n  cell: {{role: battery, paired: no}}\n\
         actions:\n  - {{free: grille, with: hands, loosen: 4 x clip, after: []}}\n  \
         - {{do: unplug cell, with: hands, loosen: connector, after: grille, makes safe: yes}}\n  \
         - {{free: cell, with: spudger, loosen: {{fastener: foam tape, kind: {kind}}}, after: unplug cell}}\n  \
         - {{free: motor, with: PH1, loosen: 2 x screw PH1, after: [grille, unplug cell]}}\n"
    );
    let path = folder.join(format!("{}.yaml", name.to_lowercase()));
    std::fs::write(&path, text).unwrap();
    path.to_str().unwrap().to_owned()
}

/// A question that settles an order: writing each of its answers into the record puts the device above that is named.
#[test]
fn what_settles_an_order_does_when_it_is_written_into_the_record() {
    let folder = tempfile::tempdir().unwrap();
    let open = fan(folder.path(), "Breeze", "removable | neither", "layman");
    let other = fan(folder.path(), "Gust", "removable", "generalist");
    let bench = ["--verdict", "bench", "--format", "json"];
    let json: serde_json::Value = serde_json::from_str(&compared(&[&open, &other], &bench)).unwrap();
    assert_eq!(json["ranking"]["above"], serde_json::json!([]), "the ranges overlap");
    let found = &json["undecided"][0];
    assert_eq!((&found["pair"], &found["exact"]), (&serde_json::json!([0, 1]), &serde_json::json!(true)));
    let alone = found["alone"].as_array().unwrap();
    assert_eq!(alone.len(), 1, "{found}");
    assert_eq!(
        (&alone[0]["device"], &alone[0]["path"]),
        (&serde_json::json!(0), &serde_json::json!("actions[2].loosen.kind"))
    );
    let mut seen = Vec::new();
    for answer in alone[0]["answers"].as_array().unwrap() {
        let kind = answer["answer"].as_str().unwrap();
        let answered = fan(folder.path(), "Breeze", kind, "layman");
        let json: serde_json::Value = serde_json::from_str(&compared(&[&answered, &other], &bench)).unwrap();
        let above = &json["ranking"]["above"][0];
        assert_eq!(above[0], answer["above"], "{kind}: {above}");
        assert_eq!(json["undecided"], serde_json::json!([]), "nothing is left to settle");
        seen.push(answer["above"].as_u64().unwrap());
    }
    assert_eq!(seen, [0, 1], "one answer each way");
    // Every form says so, with who stands above.
    let open = fan(folder.path(), "Breeze", "removable | neither", "layman");
    for form in ["text", "md", "html"] {
        let text = compared(&[&open, &other], &["--verdict", "bench", "--format", form]);
        let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
        for part in [
            "What would settle the order",
            "settled by one answer",
            "removable: Ostrel Breeze above; neither: Ostrel Gust above",
        ] {
            assert!(flat.contains(part), "{form}: {part}");
        }
    }
    // Where nothing is open it is said that nothing would; where both are in order nothing is.
    let [same, again] = ["Calm", "Lull"].map(|n| fan(folder.path(), n, "removable", "layman"));
    let text = compared(&[&same, &again], &["--verdict", "bench"]);
    assert!(text.contains("nothing would. Both come to the same"), "{text}");
    assert!(!compared(&[&same, &other], &["--verdict", "bench"]).contains("What would settle"));
}

/// Readings are taken as `score` takes them: the verdicts are those `score` gives under the same reading.
#[test]
fn readings_are_those_of_score() {
    let folder = tempfile::tempdir().unwrap();
    let [a, b] = lamps(folder.path(), ["Bench", "Promise"]);
    let unknown = unfasten(&["compare", &a, &b, "--reading", "nothing=such"]);
    assert_eq!(unknown.exit, Exit::WrongInput);
    assert!(unknown.err.contains("there are: "), "{}", unknown.err);
    let readings =
        ["where-worst-is-met=part", "instances=lowest as a whole", "route-read=fewest steps", "limit-price=off"];
    let total = |record: &str, reading: &str| {
        let ran = unfasten(&["score", record, "--method", "en-45554", "--reading", reading]);
        let line =
            ran.out.lines().find(|l| l.trim_start().starts_with("full verdict")).expect("a full verdict").to_owned();
        line.trim().trim_start_matches("full verdict").trim().trim_end_matches(" of 10").to_owned()
    };
    let mut moved = 0;
    for reading in readings {
        let plain = compared(&[&a, &b], &[]);
        let text = compared(&[&a, &b], &["--reading", reading]);
        for (name, record) in [("Bench", &a), ("Promise", &b)] {
            assert!(text.contains(&format!("Ostrel {name} ({})", total(record, reading))), "{reading}: {text}");
        }
        moved += usize::from(text != plain);
    }
    assert!(moved > 0, "the lid's glue counts on the way to the cell only where the route is read");
}
