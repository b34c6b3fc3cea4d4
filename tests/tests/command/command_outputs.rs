//! Every command end to end on the sample records.

use crate::command_support;

use command_support::{fits, program, program_path, project, samples, text_of, unfasten, unfasten_reading};
use rstest::rstest;
use unfasten_cli::Exit;

/// A sample that is small in every respect, for output that is compared whole.
const LAMP: &str = "samples/lamp-two.yaml";

/// Output with the project's folder taken out of names.
fn local(text: &str) -> String {
    text.replace(&project(""), "")
}

#[test]
fn every_sample_is_read_and_scored_in_80_columns() {
    for sample in samples() {
        let checked = unfasten(&["check", &sample]);
        assert_eq!(checked.exit, Exit::Done, "{}", checked.out);
        fits(&sample, &local(&checked.out));
        let scored = unfasten(&["score", &sample, "--method", "en-45554"]);
        assert_eq!(scored.exit, Exit::Done, "{}", scored.err);
        fits(&sample, &local(&scored.out));
        for part in ["verdict", "why", "certainty", "Unofficial pre-check"] {
            assert!(scored.out.contains(part), "{part} missing:\n{}", scored.out);
        }
    }
}

/// The real program gives what it gave. All methods once as data and once as a page; other forms of one method.
#[rstest]
#[case(&["score", "samples/bar-phone.yaml", "--method", "en-45554"])]
#[case(&["score", "samples/bar-phone.yaml", "--format", "json"])]
#[case(&["score", "samples/bar-phone.yaml", "--format", "csv", "--method", "eu-2023-1669"])]
#[case(&["route", "samples/bar-phone.yaml"])]
#[case(&["route", "samples/bar-phone.yaml", "--format", "json"])]
#[case(&["report", "samples/bar-phone.yaml", "--method", "en-45554"])]
#[case(&["report", "samples/bar-phone.yaml", "--to", "html"])]
#[case(&["new", "washing", "machine"])]
#[case(&["methods"])]
fn the_same_bytes_every_time(#[case] arguments: &[&str]) {
    let ran = |seed: &str| {
        let root = project("");
        // Neither clock nor locale nor the number of processors may show.
        let output = program()
            .current_dir(root)
            .args(arguments)
            .env("LC_ALL", if seed == "a" { "C" } else { "tr_TR.UTF-8" })
            .env("TZ", if seed == "a" { "UTC" } else { "Asia/Tokyo" })
            .env("RAYON_NUM_THREADS", if seed == "a" { "1" } else { "2" })
            .output()
            .unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        output.stdout
    };
    let first = ran("a");
    assert!(!first.is_empty());
    assert_eq!(first, ran("b"));
}

#[test]
fn nothing_is_coloured_that_is_not_a_terminal() {
    let output = program().current_dir(project("")).args(["check", "Cargo.toml"]).output().unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(!output.stdout.contains(&0x1b), "{}", String::from_utf8_lossy(&output.stdout));
}

#[rstest]
#[case("score", &["score", LAMP, "--method", "en-45554"])]
#[case("lacking", &["check", "samples/bar-phone.yaml", "--method", "eu-2023-1669"])]
#[case("route", &["route", LAMP])]
#[case("methods", &["methods"])]
#[case("new", &["new", "cordless", "vacuum", "cleaner"])]
#[case("about", &["about", "order-circle"])]
#[case("compare", &["compare", "samples/slate-tablet.yaml", "samples/folding-tablet.yaml", "--method", "eu-2023-1669"])]
#[case("verdicts", &["compare", "samples/slate-tablet.yaml", "samples/folding-tablet.yaml", "--method", "eu-2023-1542-11"])]
#[case("about_tools", &["about", "tools"])]
#[case("about_fasteners", &["about", "fasteners"])]
#[case("about_hazards", &["about", "hazards"])]
#[case("about_roles", &["about", "roles"])]
#[case("help", &["--help"])]
fn text_is_as_reviewed(#[case] name: &str, #[case] arguments: &[&str]) {
    // Relative to the folder tests run in: where lines break must not depend on where the project stands.
    let arguments: Vec<String> =
        arguments.iter().map(|a| if a.starts_with("samples/") { format!("../{a}") } else { (*a).to_owned() }).collect();
    let ran = unfasten(&arguments.iter().map(String::as_str).collect::<Vec<_>>());
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    if name != "new" {
        fits(name, &ran.out);
    }
    insta::assert_snapshot!(name, ran.out);
}

/// What `new` writes reads back without a complaint, for every category and for each method alone; and `check` then asks
/// for facts, so that the skeleton doesn't settle anything.
#[test]
fn a_new_record_reads_back() {
    for category in scoring::vocab::Category::shipped() {
        new_reads_back(*category);
    }
}

fn new_reads_back(known: scoring::vocab::Category) {
    let category = known.word();
    let whole = unfasten(&["new", category]);
    assert_eq!(whole.exit, Exit::Done, "{}", whole.err);
    let checked = unfasten_reading(&["check", "-"], whole.out.as_bytes());
    assert_eq!(checked.out, "-: no problems\n", "{}", whole.out);
    for shipped in scoring::method::shipped() {
        let method = scoring::method::load_shipped(shipped.id).unwrap();
        let fits = known.is_among(&method.scope.categories);
        let new = unfasten(&["new", category, "--method", shipped.id]);
        assert_eq!(new.exit == Exit::Done, fits, "{} {category}", shipped.id);
        if fits {
            let checked = unfasten_reading(&["check", "-", "--method", shipped.id], new.out.as_bytes());
            assert_eq!(checked.exit, Exit::Done, "{}", checked.out);
            assert!(checked.out.contains("still lacks"), "{} {category}: {}", shipped.id, checked.out);
        }
    }
}

/// A form nobody filled in says nothing of any part, so no gate passes on it: every role is missing, and the whole scale
/// is open.
#[rstest]
#[case("smartphone", "eu-2023-1669", "class=D")]
#[case("smartphone", "eu-2023-1669", "score=2")]
#[case("slate tablet", "eu-2023-1669", "class=D")]
#[case("smartphone", "eu-2023-1670", "pass")]
#[case("smartphone", "eu-2023-1542-11", "pass")]
fn a_blank_form_passes_no_gate(#[case] category: &str, #[case] method: &str, #[case] wanted: &str) {
    let new = unfasten(&["new", category]).out;
    let ran = unfasten_reading(&["check", "-", "-m", method, "--require", wanted], new.as_bytes());
    assert_eq!(ran.exit, Exit::NotMet, "{}{}", ran.out, ran.err);
}

/// Every fact a method asks for has its place in the skeleton: no question points at an omission, except for roles, which
/// are comments until somebody finds the part.
#[test]
fn a_new_record_asks_for_every_fact() {
    for (category, method) in
        [("laptop", "en-45554"), ("smartphone", "eu-2023-1669"), ("smartphone", "eu-2023-1670"), ("laptop", "fr-index")]
    {
        let new = unfasten(&["new", category, "--method", method]).out;
        let mut sources = scoring::text::Sources::new();
        let file = sources.add(scoring::text::Source::new("new.yaml", &new));
        let record = scoring::record::read(&sources, file).record.unwrap();
        let method = scoring::method::load_shipped(method).unwrap();
        let effort = scoring::range::Effort { looks: 1, ..Default::default() };
        for unknown in &scoring::range::Assessment::new(&record, &method, effort).unknowns {
            let said = sources.excerpt(unknown.span);
            if unknown.path.starts_with("parts (") {
                continue;
            }
            assert!(said.contains("unknown"), "{category} {}: {} points at `{said}`", method.id.value, unknown.path);
        }
    }
}

#[test]
fn a_bad_record_does_not_keep_good_ones_from_their_verdict() {
    let lamp = project(LAMP);
    let ran = unfasten(&["score", &lamp, "no-such-file.yaml", &lamp, "--method", "en-45554"]);
    assert_eq!(ran.exit, Exit::WrongInput);
    assert_eq!(ran.out.matches("Lamp Two").count(), 2);
    assert!(ran.err.contains("missing-file"));
}

#[rstest]
#[case(&["--require", "score=5"], Exit::Done)]
#[case(&["--require", "score=9.5"], Exit::NotMet)]
#[case(&["--require", "class=E"], Exit::Done)]
#[case(&["--require", "class=B"], Exit::NotMet)]
#[case(&["--require", "class=E", "--require", "score=9.5"], Exit::NotMet)]
#[case(&["--require", "class=Q"], Exit::WrongInput)]
#[case(&["--require", "pass", "--method", "eu-2023-1542-11"], Exit::NotMet)]
#[case(&["--require", "pass", "--method", "en-45554"], Exit::WrongInput)]
#[case(&["--require", "score=4", "--method", "eu-2023-1669"], Exit::NotMet)]
#[case(&["--require", "class=B", "--method", "en-45554"], Exit::WrongInput)]
fn requirements_gate_by_exit_code(#[case] more: &[&str], #[case] exit: Exit) {
    let phone = project("samples/bar-phone.yaml");
    let mut arguments = vec!["check", phone.as_str()];
    arguments.extend(more);
    let ran = unfasten(&arguments);
    assert_eq!(ran.exit, exit, "{}{}", ran.out, ran.err);
}

#[test]
fn warnings_pass_unless_strict() {
    let vacuum = project("samples/cordless-vacuum.yaml");
    assert_eq!(unfasten(&["check", &vacuum]).exit, Exit::Done);
    assert_eq!(unfasten(&["check", &vacuum, "--strict"]).exit, Exit::WrongInput);
}

#[test]
fn problems_as_json_are_one_document_with_places() {
    let (lamp, vacuum) = (project(LAMP), project("samples/cordless-vacuum.yaml"));
    let ran = unfasten(&["--problems", "json", "check", &lamp, &vacuum, "no-such-file.yaml"]);
    let value: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(value["unfasten"], 1);
    let codes: Vec<&str> = value["problems"].as_array().unwrap().iter().map(|p| p["code"].as_str().unwrap()).collect();
    assert_eq!(codes, ["order-unstated", "missing-file"]);
    assert!(value["problems"][0]["line"].as_u64().unwrap() > 1);
}

#[rstest]
#[case("record")]
#[case("bench")]
#[case("method")]
fn schemas_are_schemas(#[case] what: &str) {
    let ran = unfasten(&["schema", what]);
    let schema: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    assert!(jsonschema::meta::is_valid(&schema), "{what}");
    assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
}

#[test]
fn scores_as_json_validate_and_name_both_ends() {
    let schema: serde_json::Value = serde_json::from_str(&unfasten(&["schema", "score"]).out).unwrap();
    let scored = unfasten(&["score", &project(LAMP), &project("samples/slate-tablet.yaml"), "--format", "json"]);
    let value: serde_json::Value = serde_json::from_str(&scored.out).unwrap();
    let errors: Vec<String> =
        jsonschema::validator_for(&schema).unwrap().iter_errors(&value).map(|e| e.to_string()).collect();
    assert!(errors.is_empty(), "{errors:#?}");
    let tablet = value["devices"][1]["assessments"].as_array().unwrap();
    let tablet = tablet.iter().find(|a| a["method"] == "eu-2023-1669").unwrap();
    for field in ["low", "high", "exact_low", "exact_high", "class_low", "class_high", "edition"] {
        assert!(tablet[field].is_string(), "{field}: {}", tablet[field]);
    }
}

#[test]
fn routes_as_json_add_up() {
    let ran = unfasten(&["route", &project("samples/bar-phone.yaml"), "--format", "json"]);
    let value: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    for route in value["routes"].as_array().unwrap() {
        let counted: u64 = route["ledger"].as_array().unwrap().iter().map(|l| l["counted"].as_u64().unwrap()).sum();
        if route["steps_low"].is_u64() {
            assert_eq!(route["steps_low"], counted, "{}", route["target"]);
        }
        assert_eq!(route["certificate"], "proved", "{}", route["target"]);
    }
}

/// `about` knows every code any part of the program can give.
#[test]
fn about_knows_every_code() {
    let all = unfasten(&["about"]).out;
    fits("about", &all);
    for line in all.lines().take_while(|l| !l.is_empty()).filter(|l| !l.starts_with(' ')) {
        let code = line.split_whitespace().next().unwrap();
        let ran = unfasten(&["about", code]);
        assert_eq!(ran.exit, Exit::Done, "{code}");
        assert!(ran.out.starts_with(code), "{code}");
    }
    // Every word of the vocabulary is in its list, and a misspelt list is found.
    let tools = unfasten(&["about", "tools"]).out;
    for word in ["spudger", "PH000", "TR8", "allen key", "tri-lobe 2", "heat gun"] {
        assert!(tools.contains(word), "{word}");
    }
    assert!(unfasten(&["about", "fastenrs"]).err.contains("fasteners"));
    for code in ["missing-file", "directory", "order-circle", "weights-sum"] {
        assert!(all.contains(code), "{code}");
    }
}

#[test]
fn another_reading_is_taken_and_an_unknown_one_refused() {
    let phone = project("samples/bar-phone.yaml");
    let score = |more: &[&str]| {
        let mut arguments = vec!["score", phone.as_str(), "--method", "eu-2023-1669", "--format", "json"];
        arguments.extend(more);
        unfasten(&arguments)
    };
    let (usual, other) = (score(&[]), score(&["--reading", "where-worst-is-met=part"]));
    assert_eq!(other.exit, Exit::Done, "{}", other.err);
    assert_ne!(usual.out, other.out);
    let wrong = score(&["--reading", "where-worst-is-met=nowhere"]);
    assert_eq!(wrong.exit, Exit::WrongInput);
    assert!(wrong.err.contains("where-worst-is-met=part"), "{}", wrong.err);
}

#[test]
fn a_method_of_ones_own_works_everywhere() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("house.yaml");
    // The example of the page that teaches writing one.
    let page = text_of("criteria/README.md");
    let example = page.split("```yaml\n").nth(1).unwrap().split("```").next().unwrap();
    std::fs::write(&file, example).unwrap();
    let file = file.to_str().unwrap();
    assert_eq!(unfasten(&["methods", "check", file]).exit, Exit::Done);
    assert_eq!(unfasten(&["methods", file]).exit, Exit::Done);
    let scored = unfasten(&["score", &project("samples/laptop.yaml"), "--method", file]);
    assert_eq!(scored.exit, Exit::Done, "{}", scored.err);
    assert!(scored.out.contains("workshop-evening"), "{}", scored.out);
}

/// Standard output that was closed before the start is said: the standard library would let the result vanish without a word.
#[cfg(unix)]
#[rstest]
#[case::score(&["score", "samples/lamp-two.yaml"])]
#[case::json(&["score", "samples/lamp-two.yaml", "--format", "json"])]
#[case::route(&["route", "samples/lamp-two.yaml", "cell"])]
#[case::report(&["report", "samples/lamp-two.yaml"])]
#[case::methods(&["methods"])]
#[case::check(&["check", "samples/lamp-two.yaml"])]
#[case::help(&["--help"])]
fn a_closed_output_is_said(#[case] arguments: &[&str]) {
    let run = |redirect: &str| {
        let mut shell = std::process::Command::new("sh");
        shell.args(["-c", &format!("exec \"$0\" \"$@\" {redirect}")]).arg(program_path()).args(arguments);
        let done = shell.current_dir(project("")).output().unwrap();
        (done.status.code(), String::from_utf8(done.stderr).unwrap())
    };
    let (code, said) = run(">&-");
    assert_eq!(code, Some(i32::from(Exit::Failed.code())), "{said}");
    assert!(said.contains("closed"), "{said}");
    // The null device is somebody's choice, however it was opened.
    assert_eq!(run(">/dev/null"), (Some(0), String::new()));
    assert_eq!(run("1<>/dev/null"), (Some(0), String::new()));
    // What goes into a file needs no output.
    if arguments[0] == "report" {
        let folder = tempfile::tempdir().unwrap();
        let out = folder.path().to_str().unwrap();
        assert_eq!(run(&format!("--to json --out '{out}' >&-")).0, Some(0));
    }
}
