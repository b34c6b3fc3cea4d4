//! Bad input to the real program: one clear error, exit code 2, nothing written, within a second of processor time and
//! 200 MB. The list of inputs is the one the project promises for bad input.
#![cfg(unix)]

use crate::command_support;

use std::fs;
use std::process::{Command, Output, Stdio};

use command_support::{fits, program_path, project, unfasten, unfasten_reading};
use rstest::rstest;
use unfasten_cli::Exit;

fn lamp() -> String {
    command_support::text_of("samples/lamp-two.yaml")
}

/// Ten levels of ten aliases each: 10^10 nodes if followed.
fn many_levels() -> String {
    let mut text = "unfasten: 1\na0: &a0 [x, x, x, x, x, x, x, x, x, x]\n".to_owned();
    for level in 1..10 {
        let aliases = vec![format!("*a{}", level - 1); 10].join(", ");
        text.push_str(&format!("a{level}: &a{level} [{aliases}]\n"));
    }
    text
}

/// One large anchor used very often: few jumps, many nodes.
fn large_anchor() -> String {
    let (items, uses) = (vec!["x"; 1000].join(", "), vec!["*big"; 4000].join(", "));
    format!("unfasten: 1\nbig: &big [{items}]\nlist: [{uses}]\n")
}

fn hostile(name: &str) -> Vec<u8> {
    match name {
        "not-yaml" => b"{[}]: : : \n\t- x".to_vec(),
        "prose" => b"Dear reader, the back was glued.\n".to_vec(),
        "empty" => Vec::new(),
        "blank" => b" \n\n\t\n".to_vec(),
        // A pseudo-random run of bytes, the same each time (xorshift).
        "binary" => {
            let mut x = 0x9e37_79b9_u32;
            (0..5_000)
                .map(|_| {
                    x ^= x << 13;
                    x ^= x >> 17;
                    x ^= x << 5;
                    x.to_le_bytes()[0]
                })
                .collect()
        }
        "one-line-of-4-mb" => format!("unfasten: 1\nnotes: {}", "x".repeat(4_190_000)).into_bytes(),
        "nested-lists" => format!("unfasten: 1\nactions: {}", "[".repeat(10_000)).into_bytes(),
        "nested-blocks" => format!("unfasten: 1\nactions: {}x", "- ".repeat(10_000)).into_bytes(),
        "alias-levels" => many_levels().into_bytes(),
        "alias-anchor" => large_anchor().into_bytes(),
        "other-version" => lamp().replace("unfasten: 1 ", "unfasten: 7 ").into_bytes(),
        "two-documents" => format!("{}---\n{}", lamp(), lamp()).into_bytes(),
        "list" => b"- unfasten: 1\n".to_vec(),
        _ => unreachable!("{name}"),
    }
}

/// Runs the real program under limits of processor time and memory.
fn limited(arguments: &[&str]) -> Output {
    // Seconds of processor time, kilobytes of address space.
    let script = "ulimit -t 1; ulimit -v 200000; exec \"$0\" \"$@\"";
    let mut command = Command::new("bash");
    command.args(["-c", script]).arg(program_path()).args(arguments).stdin(Stdio::null());
    command.output().expect("bash runs")
}

#[rstest]
#[case::not_yaml("not-yaml", "yaml-syntax")]
#[case::prose("prose", "not-a-record")]
#[case::empty("empty", "empty-file")]
#[case::blank("blank", "empty-file")]
#[case::binary("binary", "not-utf8")]
#[case::one_line("one-line-of-4-mb", "missing-field")]
#[case::nested_lists("nested-lists", "yaml-")]
#[case::nested_blocks("nested-blocks", "yaml-")]
#[case::alias_levels("alias-levels", "yaml-anchor")]
#[case::alias_anchor("alias-anchor", "yaml-anchor")]
#[case::other_version("other-version", "other-version")]
#[case::two_documents("two-documents", "yaml-")]
#[case::list("list", "not-a-record")]
fn bad_text_gives_one_error_and_writes_nothing(#[case] name: &str, #[case] code: &str) {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("record.yaml");
    fs::write(&file, hostile(name)).unwrap();
    let file = file.to_str().unwrap();
    let out = folder.path().join("out");
    for arguments in [
        vec!["--problems", "line", "check", file],
        vec!["--problems", "line", "score", file],
        vec!["--problems", "line", "route", file],
        vec!["--problems", "line", "report", file, "--out", out.to_str().unwrap()],
    ] {
        let ran = limited(&arguments);
        let text = String::from_utf8_lossy(&ran.stdout) + String::from_utf8_lossy(&ran.stderr);
        assert_eq!(ran.status.code(), Some(2), "{name} {arguments:?}: {}\n{text}", ran.status);
        let errors: Vec<&str> = text.lines().filter(|l| l.contains(": error: ")).collect();
        assert_eq!(errors.len(), if name == "one-line-of-4-mb" { errors.len().max(1) } else { 1 }, "{name}:\n{text}");
        assert!(errors[0].contains(&format!(": error: {code}")), "{name}:\n{text}");
        assert!(errors[0].starts_with(file), "the error names its file: {text}");
        assert!(!out.exists(), "{name}: something was written");
        assert!(!text.contains("panicked"), "{text}");
    }
    // Marked, the same fits a terminal.
    let ran = limited(&["score", file]);
    let text = String::from_utf8_lossy(&ran.stderr).replace(file, "record.yaml");
    assert_eq!(ran.status.code(), Some(2), "{name}: {text}");
    fits(name, &text);
}

/// 100 MB of one line: refused by its size, before it is read.
#[test]
fn a_file_too_large_is_not_read() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("large.yaml");
    // A sparse file: as large as it says, but quick to make.
    fs::File::create(&file).unwrap().set_len(100_000_000).unwrap();
    let ran = limited(&["check", file.to_str().unwrap()]);
    assert_eq!(ran.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&ran.stdout).contains("file-too-large"));
}

/// Devices are refused; a stream has no size to ask for, and reading it stops by itself.
#[test]
fn an_endless_stream_is_not_followed() {
    let ran = limited(&["check", "/dev/zero"]);
    assert_eq!(ran.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&ran.stdout).contains("unreadable-file"));
    let ran = unfasten_reading(&["check", "-"], &vec![b'a'; 5 << 20]);
    assert_eq!(ran.exit, Exit::WrongInput);
    assert!(ran.out.contains("file-too-large"), "{}", ran.out);
}

#[test]
fn a_byte_order_mark_is_no_harm() {
    let marked = format!("\u{feff}{}", lamp());
    let ran = unfasten_reading(&["check", "-"], marked.as_bytes());
    assert_eq!((ran.exit, ran.out.as_str()), (Exit::Done, "-: no problems\n"));
    let plain = unfasten_reading(&["score", "-"], lamp().as_bytes());
    assert_eq!(unfasten_reading(&["score", "-"], marked.as_bytes()), plain);
}

#[rstest]
#[case::missing("no-such-record.yaml", "missing-file")]
#[case::directory("src", "directory")]
fn what_is_no_file_is_said(#[case] name: &str, #[case] code: &str) {
    for arguments in [["check", name], ["score", name], ["route", name], ["report", name]] {
        let ran = unfasten(&arguments);
        assert_eq!(ran.exit, Exit::WrongInput, "{arguments:?}");
        assert!((ran.out + &ran.err).contains(&format!("error[{code}]")), "{arguments:?}");
    }
    let ran = unfasten(&["methods", "check", &format!("./{name}")]);
    assert_eq!(ran.exit, Exit::WrongInput);
    assert!(ran.out.contains(code), "{}", ran.out);
}

#[test]
fn a_record_is_not_a_method_and_a_method_not_a_record() {
    let (record, method) = (project("samples/lamp-two.yaml"), project("criteria/en-45554.yaml"));
    let ran = unfasten(&["score", &record, "--method", &record]);
    assert_eq!(ran.exit, Exit::WrongInput);
    assert!(ran.err.contains("error["), "{}", ran.err);
    assert_eq!(unfasten(&["check", &method]).exit, Exit::WrongInput);
}

#[rstest]
#[case(&["score"])]
#[case(&["score", "x.yaml", "--format", "xml"])]
#[case(&["no-such-command"])]
#[case(&["schema", "world"])]
#[case(&["new", "toaster"])]
#[case(&["about", "no-such-code"])]
#[case(&["methods", "no-such-method"])]
#[case(&["check", "x.yaml", "--require", "beauty=7"])]
fn wrong_arguments_exit_2_and_fit_a_terminal(#[case] arguments: &[&str]) {
    let ran = unfasten(arguments);
    assert_eq!(ran.exit, Exit::WrongInput, "{arguments:?}");
    assert!(ran.out.is_empty(), "{}", ran.out);
    assert!(!ran.err.is_empty());
    fits("error", &ran.err);
}

/// A reader who stops reading is not an error of the program.
#[test]
fn a_closed_pipe_ends_quietly() {
    let script = "\"$0\" score \"$1\" --format json | head -c 10 >/dev/null; echo \"${PIPESTATUS[0]}\"";
    let ran = Command::new("bash")
        .args(["-c", script])
        .arg(program_path())
        .arg(project("samples/bar-phone.yaml"))
        .output()
        .unwrap();
    assert_eq!(String::from_utf8_lossy(&ran.stdout).trim(), "0", "{}", String::from_utf8_lossy(&ran.stderr));
}
