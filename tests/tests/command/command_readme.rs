//! The README tells the truth: its first record, what is said to come out, its commands and exit codes.

use crate::command_support;

use std::fs;

use command_support::{fits, text_of, unfasten};
use unfasten_cli::Exit;

fn blocks(language: &str) -> Vec<String> {
    let page = text_of("README.md");
    let fence = format!("```{language}\n");
    let mut out = Vec::new();
    let mut rest = page.as_str();
    while let Some(at) = rest.find(&fence) {
        rest = &rest[at + fence.len()..];
        let end = rest.find("```").expect("fences are closed");
        out.push(rest[..end].lines().map(str::trim_start).collect::<Vec<_>>().join("\n"));
        rest = &rest[end + 3..];
    }
    out
}

#[test]
fn the_first_record_gives_what_the_page_says() {
    let page = text_of("README.md");
    let yaml = page.split("```yaml\n").nth(1).unwrap().split("```").next().unwrap();
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("fan.yaml");
    fs::write(&file, yaml).unwrap();
    let file = file.to_str().unwrap();
    let check = unfasten(&["check", file]);
    assert_eq!(check.exit, Exit::Done);
    assert!(check.out.ends_with("no problems\n"), "{}", check.out);
    let (route, score) = (unfasten(&["route", file, "cell"]), unfasten(&["score", file]));
    let said = blocks("text");
    for (shown, ran) in [(&said[0], route), (&said[1], score)] {
        assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
        fits("output", &ran.out.replace(file, "fan.yaml"));
        for shown in shown.lines() {
            assert!(ran.out.lines().any(|l| l.trim() == shown.trim()), "`{shown}` is not in\n{}", ran.out);
        }
    }
}

#[test]
fn every_method_that_ships_is_named() {
    let page = text_of("README.md");
    for shipped in scoring::method::shipped() {
        assert!(page.contains(&format!("{} ", shipped.id)), "{}", shipped.id);
    }
}

#[test]
fn exit_codes_are_those_of_the_program() {
    let page = text_of("README.md");
    for exit in [Exit::Done, Exit::Failed, Exit::WrongInput, Exit::NotMet] {
        assert!(page.contains(&format!("\n| {} | ", exit.code())), "{exit:?}");
    }
    let help = unfasten(&["--help"]).out;
    assert!(help.contains("Exit codes:"), "{help}");
    assert_eq!([Exit::Done, Exit::Failed, Exit::WrongInput, Exit::NotMet].map(Exit::code), [0, 1, 2, 3]);
}

/// Every command has its line on the page, and every line on the page its command.
#[test]
fn commands_are_those_of_the_program() {
    let help = unfasten(&["--help"]).out;
    let listed: Vec<&str> = help
        .lines()
        .skip_while(|l| *l != "Commands:")
        .skip(1)
        .take_while(|l| !l.is_empty())
        .filter(|l| l.starts_with("  ") && !l.starts_with("   "))
        .filter_map(|l| l.split_whitespace().next())
        .collect();
    let page = text_of("README.md");
    assert!(listed.len() > 5, "{help}");
    for command in &listed {
        assert!(page.contains(&format!("unfasten {command}")), "{command} is not in the README");
    }
    for line in page.lines().filter(|l| l.starts_with("unfasten ") && !l.starts_with("unfasten COMMAND")) {
        let command = line.split_whitespace().nth(1).unwrap();
        assert!(listed.contains(&command), "`{line}` is no command");
    }
}

/// The gate runs the command that the page promises.
#[test]
fn the_two_commands_of_the_page_are_there() {
    let commands = blocks("console").concat();
    assert!(
        commands.contains("cargo run --release -q -p unfasten-cli -- report samples/bar-phone.yaml --out "),
        "{commands}"
    );
    assert!(commands.contains("cargo test --workspace"), "{commands}");
    assert!(text_of(".ci/run").contains("README.md"));
}

/// Runs the five commands of the lead as they stand on the page, in a folder with the samples, and holds each against the output shown.
#[test]
fn the_five_commands_give_what_the_page_says() {
    let page = text_of("README.md");
    let lead = page.split("## From footage").nth(1).unwrap().split("\n## ").next().unwrap();
    let folder = tempfile::tempdir().unwrap();
    let samples = folder.path().join("samples");
    fs::create_dir(&samples).unwrap();
    for name in ["bedside-radio.vtt", "bedside-radio-answers.csv"] {
        fs::write(samples.join(name), text_of(&format!("samples/{name}"))).unwrap();
    }
    let shown =
        |text: &str| text.lines().map(str::trim).filter(|l| !l.is_empty()).map(str::to_owned).collect::<Vec<_>>();
    let pieces: Vec<(&str, &str)> = lead
        .split("```console\n")
        .skip(1)
        .map(|p| (p.split("```").next().unwrap(), p.split("```output\n").nth(1).unwrap().split("```").next().unwrap()))
        .collect();
    assert_eq!(pieces.len(), 5);
    for (command, output) in pieces {
        let command = command.trim();
        let words: Vec<String> = command
            .split(" > ")
            .next()
            .unwrap()
            .replace("\"Bedside Radio\"", "Bedside_Radio")
            .split_whitespace()
            .skip(1)
            .map(|w| w.replace("Bedside_Radio", "Bedside Radio"))
            .collect();
        let ran = std::process::Command::new(command_support::program_path())
            .args(&words)
            .current_dir(folder.path())
            .output()
            .unwrap();
        let (out, err) = (String::from_utf8(ran.stdout).unwrap(), String::from_utf8(ran.stderr).unwrap());
        assert!(ran.status.success(), "{command}: {err}");
        for line in shown(output) {
            assert!(
                out.lines().chain(err.lines()).any(|l| l.trim() == line),
                "{command}: `{line}` is not in\n{out}{err}"
            );
        }
    }
    let score = std::process::Command::new(command_support::program_path())
        .args(["score", "radio.yaml"])
        .current_dir(folder.path())
        .output()
        .unwrap();
    let score = String::from_utf8(score.stdout).unwrap();
    let last = lead.rsplit("```output\n").next().unwrap().split("```").next().unwrap();
    for line in shown(last) {
        assert!(score.lines().any(|l| l.trim() == line), "`{line}` is not in\n{score}");
    }
}
