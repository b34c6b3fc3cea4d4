//! The commands that guide: unknowns, changes, compare, diff, verify, and reports of many records.

use crate::command_support;

use std::fs;

use command_support::{fits, project, text_of, unfasten};
use rstest::rstest;
use unfasten_cli::Exit;

fn json(arguments: &[&str]) -> serde_json::Value {
    let ran = unfasten(arguments);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    serde_json::from_str(&ran.out).expect("one JSON document")
}

/// An answer that is taken leads where the question said it would.
#[test]
fn an_answer_leads_where_the_question_says() {
    let phone = project("samples/bar-phone.yaml");
    let guide = json(&["unknowns", &phone, "--format", "json"]);
    let questions = guide["unknowns"][0]["guide"]["questions"].as_array().unwrap();
    let back = questions.iter().find(|q| q["path"] == "actions[1].loosen.kind").unwrap();
    let leads = back["answers"].as_array().unwrap().iter().find(|a| a["answer"] == "removable").unwrap();
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("answered.yaml");
    let text = text_of("samples/bar-phone.yaml");
    fs::write(&file, text.replacen("kind: removable | neither", "kind: removable", 1)).unwrap();
    let scored = json(&["score", file.to_str().unwrap(), "--method", "en-45554", "--format", "json"]);
    let assessment = &scored["devices"][0]["assessments"][0];
    assert_eq!((&assessment["low"], &assessment["high"]), (&leads["shown"][0], &leads["shown"][1]));
}

#[rstest]
#[case(&["unknowns", "samples/bar-phone.yaml", "--firm"])]
#[case(&["unknowns", "samples/slate-tablet.yaml"])]
#[case(&["changes", "samples/slate-tablet.yaml", "--method", "eu-2023-1669", "--target", "4.8"])]
#[case(&["changes", "samples/bar-phone.yaml"])]
#[case(&["compare", "samples/bar-phone.yaml", "samples/slate-tablet.yaml", "--mixed", "--samples", "2000"])]
#[case(&["diff", "samples/bar-phone.yaml", "samples/bar-phone.yaml"])]
fn text_fits_a_terminal(#[case] arguments: &[&str]) {
    let arguments: Vec<String> =
        arguments.iter().map(|a| if a.starts_with("samples/") { format!("../{a}") } else { (*a).to_owned() }).collect();
    let ran = unfasten(&arguments.iter().map(String::as_str).collect::<Vec<_>>());
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    fits(&arguments.join(" "), &ran.out);
}

#[test]
fn a_target_is_reached_or_the_exit_code_says_no() {
    let tablet = project("samples/slate-tablet.yaml");
    let ask = |target: &str| unfasten(&["changes", &tablet, "--method", "eu-2023-1669", "--target", target]);
    let reached = ask("4.8");
    assert!(reached.out.contains("cheapest set, proved; 1 change, cost 1"), "{}", reached.out);
    let now = ask("A");
    assert!(now.out.contains("reached as things stand (4.60, class A)"), "{}", now.out);
    // The highest mark of every criterion takes more than the listed changes can give.
    let beyond = unfasten(&["changes", &tablet, "--method", "en-45554", "--target", "10"]);
    assert_eq!(beyond.exit, Exit::NotMet, "{}", beyond.out);
    assert_eq!(ask("Z").exit, Exit::WrongInput);
    let folder = tempfile::tempdir().unwrap();
    let costs = folder.path().join("costs.txt");
    // What was the one cheapest change becomes dear.
    fs::write(&costs, "# ours\n1000, order actions[2].after -> without back\n").unwrap();
    let dear = |target: &str| {
        let costs = costs.to_str().unwrap();
        unfasten(&["changes", &tablet, "--method", "eu-2023-1669", "--target", target, "--costs", costs])
    };
    let ran = dear("4.62");
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    let set = ran.out.rsplit("cost ").next().unwrap();
    assert!(set.starts_with("1;"), "another change reaches it cheaper: {}", ran.out);
    // What makes the device safe is not left out without a word. Unplugging counts no step by itself, so leaving it out
    // buys something only together with another change.
    let words = dear("4.65").out.split_whitespace().collect::<Vec<_>>().join(" ");
    let left_out = words.contains("without `unplug cell`, which makes the device safe (only where it is safe without)")
        || words.contains("without `unplug cell` and what that needs first, which makes the device safe");
    assert!(left_out, "{words}");
    fs::write(&costs, "cheap, order actions[2].after -> without back\n").unwrap();
    let wrong = dear("4.65");
    assert_eq!(wrong.exit, Exit::WrongInput);
    assert!(wrong.err.contains(":1:1"), "{}", wrong.err);
}

/// Every change is tried under every method that fits without trouble, whatever the method reads: parts, promises, marks.
#[test]
fn changes_work_under_all_methods_at_once() {
    let laptop = project("samples/laptop.yaml");
    let ran =
        unfasten(&["changes", &laptop, "--method", "en-45554", "--method", "eu-2023-1542-11", "--method", "fr-index"]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    for method in ["en-45554 now: ", "eu-2023-1542-11 now: ", "fr-index now: "] {
        assert!(ran.out.contains(method), "{method}: {}", ran.out);
    }
}

#[test]
fn unlike_devices_are_not_compared_unless_one_insists() {
    let (phone, tablet) = (project("samples/bar-phone.yaml"), project("samples/slate-tablet.yaml"));
    let refused = unfasten(&["compare", &phone, &tablet]);
    assert_eq!(refused.exit, Exit::WrongInput);
    assert!(refused.err.contains("--mixed"), "{}", refused.err);
    for format in ["text", "md", "csv", "json"] {
        let compare = |draw: &str| {
            unfasten(&["compare", &phone, &tablet, "--mixed", "--samples", "2000", "--draw", draw, "--format", format])
        };
        let ran = compare("7");
        assert_eq!(ran.exit, Exit::Done, "{format}: {}", ran.err);
        assert!(ran.out.contains("Yarrow") && ran.out.contains("Disassembly depth"), "{format}: {}", ran.out);
        assert_eq!(compare("7"), ran, "the same draw gives the same shares");
    }
    assert_eq!(unfasten(&["compare", &phone]).exit, Exit::WrongInput);
}

#[test]
fn a_comparison_as_csv_is_a_table() {
    let (phone, tablet) = (project("samples/bar-phone.yaml"), project("samples/slate-tablet.yaml"));
    let ran = unfasten(&["compare", &phone, &tablet, "--mixed", "--samples", "100", "--format", "csv"]);
    let mut reader = csv::Reader::from_reader(ran.out.as_bytes());
    let columns = reader.headers().unwrap().len();
    // Low, high, sheet and whether the rule binds, for each device.
    assert_eq!(columns, 3 + 4 * 2 + 2);
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert!(rows.len() > 20 && rows.iter().all(|r| r.len() == columns));
}

#[test]
fn a_correction_names_what_changed_and_what_it_did() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("new.yaml");
    let text = text_of("samples/bar-phone.yaml");
    fs::write(&file, text.replacen("updates: {is: 5 years", "updates: {is: 7 years", 1)).unwrap();
    let (old, new) = (project("samples/bar-phone.yaml"), file.to_str().unwrap().to_owned());
    let ran = unfasten(&["diff", &old, &new, "--method", "eu-2023-1669"]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    for part in ["1 difference", "5 years -> 7 years", "eu-2023-1669 becomes"] {
        assert!(ran.out.contains(part), "{part}: {}", ran.out);
    }
    let agreement = unfasten(&["diff", &old, &new, "--agreement", "--method", "en-45554"]);
    assert!(agreement.out.contains("overlap"), "{}", agreement.out);
    assert!(unfasten(&["diff", &old, &old]).out.contains("No value differs."));
    // Two devices are no correction of each other.
    let ran = unfasten(&["diff", &old, &project("samples/folding-tablet.yaml")]);
    assert_eq!(ran.exit, Exit::WrongInput);
    assert!(ran.err.contains("unfasten compare"), "{}", ran.err);
}

/// All that is wrong with costs is said at once, each at its line.
#[test]
fn costs_are_checked_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let costs = folder.path().join("costs.txt");
    let tablet = project("samples/slate-tablet.yaml");
    let id = "order actions[2].after -> without back";
    fs::write(&costs, format!("# ours\n-2, {id}\n3, {id}\nmuch, {}\nnothing\n", id.replace("back", "bakc"))).unwrap();
    let costs = costs.to_str().unwrap();
    let ran = unfasten(&[
        "changes",
        &tablet,
        "--method",
        "eu-2023-1669",
        "--target",
        "4.8",
        "--costs",
        costs,
        "--problems",
        "line",
    ]);
    assert_eq!(ran.exit, Exit::WrongInput);
    for part in
        ["costs.txt:2:", "below nought", "costs.txt:3:", "two costs", "costs.txt:4:", "did you mean", "costs.txt:5:"]
    {
        assert!(ran.err.contains(part) || ran.out.contains(part), "{part}: {}{}", ran.out, ran.err);
    }
}

/// The note is CommonMark with a table, says what the text says, and takes nothing of a record for markup.
#[test]
fn a_correction_is_a_note_to_publish() {
    use pulldown_cmark::{Event, Options, Parser, Tag, html};
    let folder = tempfile::tempdir().unwrap();
    let text = text_of("samples/bar-phone.yaml");
    let [old, new] = [("old.yaml", "by hand | <b>*"), ("new.yaml", "clean")].map(|(name, condition)| {
        let file = folder.path().join(name);
        let years = if name == "old.yaml" { "5 years" } else { "7 years" };
        let text = text.replacen("updates: {is: 5 years", &format!("updates: {{is: {years}"), 1).replacen(
            "device:",
            &format!("remarks: [{{for: \"{condition}\"}}]\ndevice:"),
            1,
        );
        let text = text.replacen("\nremarks:\n", "\n# remarks:\n", 1);
        let kept: Vec<&str> = text.lines().take_while(|l| !l.starts_with("# remarks:")).collect();
        fs::write(&file, kept.join("\n")).unwrap();
        file.to_str().unwrap().to_owned()
    });
    for more in [&[][..], &["--agreement"]] {
        let mut arguments = vec!["diff", &old, &new, "--method", "eu-2023-1669", "--format", "md"];
        arguments.extend(more);
        let ran = unfasten(&arguments);
        assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
        let events: Vec<Event<'_>> = Parser::new_ext(&ran.out, Options::ENABLE_TABLES).collect();
        let rows = events.iter().filter(|e| matches!(e, Event::Start(Tag::TableRow))).count();
        assert_eq!(rows, 1, "one method: {}", ran.out);
        assert!(
            !events.iter().any(|e| matches!(e, Event::Html(_) | Event::InlineHtml(_) | Event::Start(Tag::Emphasis)))
        );
        let mut page = String::new();
        html::push_html(&mut page, events.into_iter());
        for part in ["5 years -&gt; 7 years", "by hand | &lt;b&gt;*", "eu-2023-1669 becomes", "Unofficial"] {
            assert!(page.contains(part), "{part}: {page}");
        }
    }
}

/// What is published can be recomputed from anywhere, and a changed number is found.
#[test]
fn a_report_is_verified_and_a_forged_one_found() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    let phone = project("samples/bar-phone.yaml");
    // One method: what is forged and found is the same with several, each of which would be worked out seven times.
    let method = "eu-2023-1669";
    assert_eq!(unfasten(&["report", &phone, "--method", method, "--out", out.to_str().unwrap()]).exit, Exit::Done);
    for form in ["html", "md", "json"] {
        let report = out.join(format!("bar-phone.{form}"));
        let report = report.to_str().unwrap();
        // The same record by another path.
        let ran = unfasten(&["verify", report, "../samples/bar-phone.yaml", method]);
        assert_eq!(ran.exit, Exit::Done, "{form}: {}{}", ran.out, ran.err);
        let text = fs::read_to_string(report).unwrap();
        assert!(!text.contains(&project("")), "{form} tells where the record stood");
        let forged = text.replacen("1.69", "2.69", 1);
        assert_ne!(forged, text, "{form} shows the total");
        fs::write(report, forged).unwrap();
        let ran = unfasten(&["verify", report, &phone, method]);
        assert_eq!(ran.exit, Exit::NotMet, "{form}: {}", ran.out);
        assert!(ran.out.contains("2.69") && ran.out.contains("1.69"), "{form}: {}", ran.out);
    }
    assert_eq!(unfasten(&["verify", &project("README.md"), &phone]).exit, Exit::WrongInput);
}

/// A layout of one's own is held to its data and to the verdicts its template marks.
#[test]
fn a_verdict_forged_in_a_layout_of_ones_own_is_found() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    assert_eq!(unfasten(&["template", &at("looks")]).exit, Exit::Done);
    let page = folder.path().join("looks/report.html");
    fs::write(&page, fs::read_to_string(&page).unwrap().replacen("<footer", "<p>Ostrel Bench Letter</p><footer", 1))
        .unwrap();
    let phone = project("samples/bar-phone.yaml");
    let made =
        ["report", &phone, "--to", "html", "--method", "eu-2023-1669", "--template", &at("looks"), "--out", &at("out")];
    assert_eq!(unfasten(&made).exit, Exit::Done);
    let report = at("out/bar-phone.html");
    let verify = ["verify", &report, &phone, "eu-2023-1669", "--own-layout"];
    let ran = unfasten(&verify);
    assert_eq!(ran.exit, Exit::Done, "{}{}", ran.out, ran.err);
    let text = fs::read_to_string(&report).unwrap();
    let mark = text.find("data-check=").unwrap();
    let start = mark + text[mark..].find('>').unwrap() + 1;
    let forged = format!("{}9{}", &text[..start], &text[start..]);
    fs::write(&report, forged).unwrap();
    let ran = unfasten(&verify);
    assert_eq!(ran.exit, Exit::NotMet, "{}", ran.out);
}

#[test]
fn many_records_make_a_site() {
    let folder = tempfile::tempdir().unwrap();
    let (records, site) = (folder.path().join("records"), folder.path().join("site"));
    fs::create_dir(&records).unwrap();
    for name in ["lamp-two.yaml", "laptop.yaml"] {
        fs::copy(project(&format!("samples/{name}")), records.join(name)).unwrap();
    }
    fs::write(records.join("wrong.yaml"), "unfasten: 1\n").unwrap();
    let ran = unfasten(&["report", records.to_str().unwrap(), "--out", site.to_str().unwrap(), "--method", "en-45554"]);
    // The good ones are delivered, the bad one is said.
    assert_eq!(ran.exit, Exit::WrongInput);
    assert!(ran.err.contains("wrong.yaml"), "{}", ran.err);
    let index = fs::read_to_string(site.join("index.html")).unwrap();
    for page in ["lamp-two.html", "laptop.html"] {
        assert!(site.join(page).is_file() && index.contains(page), "{page}");
    }
}
