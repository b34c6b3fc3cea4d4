//! What a file may make the program read and show: nothing outside of its folder, and nothing of what is no record.
#![cfg(unix)]

use crate::command_support;

use std::fs;
use std::os::unix::fs::symlink;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use command_support::{Ran, program_path, project, text_of, unfasten};
use rstest::rstest;
use unfasten_cli::Exit;

const SECRET: &str = "root:x:0:0:secret";

/// A folder with a secret, a record and a method in it, and a folder below.
struct Place(tempfile::TempDir);

impl Place {
    fn new() -> Self {
        let place = Self(tempfile::tempdir().unwrap());
        fs::create_dir_all(place.at("bench/deep")).unwrap();
        place.put("secret", &format!("{SECRET}\nother: [\n"));
        place.put("base.yaml", &text_of("samples/lamp-two.yaml"));
        place.put("bench/near.yaml", &text_of("samples/lamp-two.yaml"));
        place.put("bench/noise.yaml", &format!("{SECRET}\nother: [\n"));
        place.put("bench/keys.yaml", &format!("token: \"{SECRET}\"\n\"{SECRET}\": 1\n"));
        symlink(place.at("secret"), place.at("bench/link.yaml")).unwrap();
        symlink(place.at("base.yaml"), place.at("bench/link-to-record.yaml")).unwrap();
        place
    }

    fn at(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn text(&self, name: &str) -> String {
        self.at(name).to_str().unwrap().to_owned()
    }

    fn put(&self, name: &str, text: &str) {
        fs::write(self.at(name), text).unwrap();
    }
}

fn said(ran: &Ran) -> String {
    // As one line: messages are wrapped.
    (ran.out.clone() + &ran.err).split_whitespace().collect::<Vec<_>>().join(" ")
}

#[rstest]
#[case::above("../base.yaml", "outside of the folder")]
#[case::secret_above("../secret", "outside of the folder")]
#[case::whole_path("/etc/passwd", "outside of the folder")]
#[case::not_there("/no/such/file", "outside of the folder")]
#[case::not_there_above("../no-such-file", "outside of the folder")]
#[case::round_about("deep/../../secret", "outside of the folder")]
#[case::by_a_link("link.yaml", "outside of the folder")]
#[case::record_by_a_link("link-to-record.yaml", "outside of the folder")]
#[case::no_record("noise.yaml", "noise.yaml")]
#[case::other_fields("keys.yaml", "not-a-record")]
#[case::missing("missing.yaml", "there is no file")]
fn a_record_extends_nothing_outside_of_its_folder(#[case] path: &str, #[case] why: &str) {
    let place = Place::new();
    place.put("bench/study.yaml", &format!("unfasten: 1\nextends: {path}\n"));
    for form in ["marked", "line", "json"] {
        let ran = unfasten(&["--problems", form, "check", &place.text("bench/study.yaml")]);
        assert_eq!(ran.exit, Exit::WrongInput, "{ran:?}");
        assert!(!said(&ran).contains(SECRET), "{form}: {}", said(&ran));
        assert!(form == "line" || said(&ran).contains(why), "{form}: {}", said(&ran));
    }
}

#[test]
fn a_folder_named_with_base_may_be_read() {
    let place = Place::new();
    place.put("bench/study.yaml", "unfasten: 1\nextends: ../base.yaml\ndevice: {variant: study}\n");
    place.put("bench/near-study.yaml", "unfasten: 1\nextends: near.yaml\ndevice: {variant: study}\n");
    let (study, near, base) = (place.text("bench/study.yaml"), place.text("bench/near-study.yaml"), place.text(""));
    assert_eq!(unfasten(&["check", &near]).exit, Exit::Done);
    assert_eq!(unfasten(&["check", &study]).exit, Exit::WrongInput);
    let ran = unfasten(&["check", &study, "--base", &base]);
    assert_eq!(ran.exit, Exit::Done, "{}", said(&ran));
    assert_eq!(unfasten(&["--base", &base, "score", &study, "--method", "en-45554"]).exit, Exit::Done);
    // Named, it is that folder and no other.
    assert_eq!(unfasten(&["check", &near, "--base", &place.text("bench/deep")]).exit, Exit::WrongInput);
}

#[test]
fn a_method_extends_nothing_outside_of_its_folder() {
    let place = Place::new();
    let method = |base: &str| {
        format!(
            "unfasten method: 1\nid: own\ntitle: Own\nedition: \"1\"\nextends: {base}\nsource: own\ncertainty: own\n"
        )
    };
    place.put("own.yaml", &text_of("criteria/en-45554.yaml").replacen("id: en-45554", "id: first", 1));
    place.put("bench/second.yaml", &method("../own.yaml"));
    let second = place.text("bench/second.yaml");
    let refused = unfasten(&["methods", "check", &second]);
    assert!(said(&refused).contains("extends-unknown"), "{}", said(&refused));
    let taken = unfasten(&["methods", "check", &second, "--base", &place.text("")]);
    assert!(!said(&taken).contains("extends-unknown"), "{}", said(&taken));
    for other in ["link.yaml", "keys.yaml", "noise.yaml"] {
        place.put("bench/second.yaml", &method(other));
        assert!(!said(&unfasten(&["methods", "check", &second])).contains(SECRET));
        assert!(!said(&unfasten(&["methods", "check", &place.text(&format!("bench/{other}"))])).contains(SECRET));
    }
}

/// What is named on the command line or found in a folder and is no record is not shown either.
#[test]
fn what_is_no_record_is_not_quoted() {
    let place = Place::new();
    for form in ["marked", "line", "json"] {
        let ran = unfasten(&["--problems", form, "check", &place.text("bench"), &place.text("secret")]);
        assert_eq!(ran.exit, Exit::WrongInput);
        assert!(!said(&ran).contains("secret:") && !said(&ran).contains(SECRET), "{}", said(&ran));
    }
    // A record is, wherever it is wrong.
    place.put("bench/wrong.yaml", "unfasten: 1\ndevice: {name: Lamp, categry: other}\n");
    assert!(said(&unfasten(&["check", &place.text("bench/wrong.yaml")])).contains("categry: other"));
}

#[test]
fn a_picture_is_not_taken_through_a_link_out_of_the_folder() {
    let place = Place::new();
    let picture = Path::new(&project("samples/photos/yarrow-rim.png")).to_owned();
    fs::copy(&picture, place.at("private.png")).unwrap();
    fs::copy(&picture, place.at("bench/open picture.png")).unwrap();
    symlink(place.at("private.png"), place.at("bench/private.png")).unwrap();
    symlink(place.at("bench/open picture.png"), place.at("bench/again.png")).unwrap();
    let record = |photo: &str| {
        place.put(
            "bench/lamp.yaml",
            &format!(
                "unfasten: 1\ndevice: {{name: Lamp, category: other}}\nparts: {{lid: {{role: lid, photo: {{{photo}: the lid}}}}}}\n\
                 roles: {{lid: {{weight: 1}}}}\nactions:\n  - {{free: lid, with: hands, loosen: clip, after: []}}\n"
            ),
        );
        unfasten(&["report", &place.text("bench/lamp.yaml"), "--to", "html", "--method", "en-45554"])
    };
    for (photo, shown) in [("open picture.png", true), ("again.png", true), ("private.png", false)] {
        let ran = record(photo);
        assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
        assert_eq!(ran.out.contains("data:image/png"), shown, "{photo}: {}", ran.err);
        assert_eq!(said(&Ran { out: String::new(), ..ran }).contains("only paths below"), !shown);
    }
}

#[test]
fn templates_that_would_not_be_used_are_named() {
    let place = Place::new();
    let report =
        || unfasten(&["report", &place.text("base.yaml"), "--to", "md", "--template", &place.text("bench/deep")]);
    place.put("bench/deep/reprot.md", "{{ view.title }}");
    let misspelt = report();
    assert_eq!(misspelt.exit, Exit::WrongInput);
    assert!(said(&misspelt).contains("did you mean `report.md`?"), "{}", said(&misspelt));
    fs::remove_file(place.at("bench/deep/reprot.md")).unwrap();
    symlink(place.at("base.yaml"), place.at("bench/deep/report.md")).unwrap();
    let linked = report();
    assert_eq!(linked.exit, Exit::WrongInput);
    assert!(said(&linked).contains("`report.md` is a link"), "{}", said(&linked));
}

/// Names that differ only in case are one to many file systems; the index and the list of files have their names.
#[test]
fn reports_get_names_of_their_own() {
    let place = Place::new();
    for name in ["Lamp", "lamp", "index", "unfasten-files"] {
        fs::create_dir_all(place.at("many")).unwrap();
        place.put(&format!("many/{name}.yaml"), &text_of("samples/lamp-two.yaml"));
    }
    let out = place.text("out");
    let ran = unfasten(&["report", &place.text("many"), "--to", "html,json", "--method", "en-45554", "--out", &out]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    let mut names: Vec<String> =
        fs::read_dir(&out).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap().to_lowercase()).collect();
    names.sort();
    let count = names.len();
    names.dedup();
    // Two files for each of four records, the index, the list.
    assert_eq!((count, names.len()), (10, 10), "{names:?}");
}

/// What doesn't fit a full disk is a failure, also of help.
#[cfg(target_os = "linux")]
#[rstest]
#[case(&["--help"])]
#[case(&["--version"])]
#[case(&["help", "score"])]
#[case(&["methods"])]
fn a_full_disk_is_said(#[case] arguments: &[&str]) {
    let full = || Stdio::from(fs::OpenOptions::new().write(true).open("/dev/full").unwrap());
    let ran = Command::new(program_path()).args(arguments).stdout(full()).output().unwrap();
    assert_eq!(ran.status.code(), Some(1), "{arguments:?}");
    assert!(String::from_utf8_lossy(&ran.stderr).starts_with("failed: "), "{ran:?}");
}
