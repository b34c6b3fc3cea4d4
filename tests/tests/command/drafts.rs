//! From footage to a verdict: `draft`, `check`, `answer`, `report`, end to end.

use crate::command_support;

use std::fs;
use std::path::Path;

use rstest::rstest;

use command_support::{fits, program_path, project, unfasten};
use unfasten_cli::Exit;

const CAPTIONS: &str = "tests/data/narrations/a.vtt";

/// A draft of invented captions in a folder of its own.
fn drafted(folder: &Path) -> String {
    let file = folder.join("pellet.yaml").to_str().unwrap().to_owned();
    let ran = unfasten(&["draft", &project(CAPTIONS), "--device", "Pellet", "--out", &file]);
    assert_eq!((ran.exit, &*ran.out), (Exit::Done, ""), "{}", ran.err);
    // Where the line breaks depends on the folder's name.
    assert!(ran.err.replace('\n', " ").contains("nobody has reviewed it"), "{}", ran.err);
    fits("draft", &ran.err.replace(&file, "pellet.yaml"));
    file
}

#[test]
fn a_draft_is_checked_with_one_warning_and_reported_only_as_a_draft() {
    let folder = tempfile::tempdir().unwrap();
    let file = drafted(folder.path());
    let check = unfasten(&["check", &file]);
    assert_eq!(check.exit, Exit::Done, "{}", check.out);
    assert!(check.out.ends_with(": 1 warning\n"), "{}", check.out);
    assert!(check.out.contains("21 actions were drafted, and which parts count; nobody"), "{}", check.out);
    // It must not exist yet.
    assert_eq!(unfasten(&["draft", &project(CAPTIONS), "--out", &file]).exit, Exit::WrongInput);
}

/// A short record with drafted actions: small enough to be scored at once.
const SMALL: &str = "unfasten: 1   # mine\ndevice: {name: Lantern, category: other}\nteardown: {place: use, skill: unknown}\nroles: {cell: {weight: 1}}\nparts: {cell: {role: cell, paired: no}}   # the cell\nactions:\n  # 0:10 lid off\n  - free: lid\n    at: 0:10\n    with: unknown   # by hand?\n    loosen: 2 x clip\n    after: unknown\n    basis: drafted\n\n  - free: cell\n    at: 0:20\n    with: hands\n    loosen: connector\n    after: lid\n# the end\n";

fn small(folder: &Path) -> String {
    let file = folder.join("lantern.yaml");
    fs::write(&file, SMALL).unwrap();
    file.to_str().unwrap().to_owned()
}

#[test]
fn a_report_of_a_draft_says_so() {
    let folder = tempfile::tempdir().unwrap();
    let file = small(folder.path());
    let refused = unfasten(&["report", &file, "--to", "md"]);
    assert_eq!(refused.exit, Exit::WrongInput);
    assert!(refused.err.contains("is a draft: 1 action nobody has reviewed"), "{}", refused.err);
    let shown = unfasten(&["report", &file, "--to", "md", "--draft"]);
    assert_eq!(shown.exit, Exit::Done, "{}", shown.err);
    let head: String = shown.out.lines().take(12).collect::<Vec<_>>().join("\n");
    assert!(shown.out.contains("Draft: 1 of 2 actions"), "{head}");
    let score = unfasten(&["score", &file]);
    assert!(score.out.replace('\n', " ").contains("nobody has reviewed them"), "{}", score.out);
}

#[test]
fn a_list_makes_the_same_record() {
    let folder = tempfile::tempdir().unwrap();
    let list = folder.path().join("list.csv").to_str().unwrap().to_owned();
    let captions = project(CAPTIONS);
    assert_eq!(unfasten(&["draft", &captions, "--to", "list", "--out", &list]).exit, Exit::Done);
    let direct = unfasten(&["draft", &captions, "--device", "Pellet"]).out;
    let back = unfasten(&["draft", "--from", &list, "--device", "Pellet"]);
    assert_eq!(back.exit, Exit::Done, "{}", back.err);
    let lines = |text: &str, start: &str| {
        text.lines().map(str::trim).filter(|l| l.starts_with(start)).map(str::to_owned).collect::<Vec<_>>()
    };
    for start in ["- free:", "- do:", "at:", "with:", "loosen:", "outcome:"] {
        assert_eq!(lines(&direct, start), lines(&back.out, start));
    }
}

/// Every fact answered by a table equals the record written by hand, and comments stay.
#[test]
fn answers_of_a_table_go_into_the_file() {
    let folder = tempfile::tempdir().unwrap();
    let file = small(folder.path());
    let open = unfasten(&["unknowns", &file, "--format", "csv"]);
    assert_eq!(open.exit, Exit::Done, "{}", open.err);
    let asked: Vec<&str> = open.out.lines().skip(1).filter_map(|l| l.split(',').next()).collect();
    assert_eq!(asked[..3], ["teardown.skill", "actions[0].basis", "actions[0].with"], "{}", open.out);
    // What was done first on the closed device needs nothing: not asked, but an answer is taken.
    assert!(!asked.contains(&"actions[0].after"), "{}", open.out);
    let answers = folder.path().join("answers.csv").to_str().unwrap().to_owned();
    fs::write(&answers, "path,answer\nteardown.skill,layman\nactions[0].with,\"[opening pick, hands]\"\nactions[0].after,[]\nactions[0].basis,seen\nsupport.updates,\n").unwrap();
    let ran = unfasten(&["answer", &file, "--from", &answers]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    let by_hand = SMALL
        .replace("skill: unknown", "skill: layman")
        .replace("with: unknown   # by", "with: [opening pick, hands]   # by")
        .replace("after: unknown", "after: []")
        .replace("basis: drafted", "basis: seen");
    assert_eq!(fs::read_to_string(&file).unwrap(), by_hand);
    assert!(unfasten(&["check", &file]).out.ends_with("no problems\n"));
}

#[test]
fn a_wrong_answer_writes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let file = small(folder.path());
    let answers = folder.path().join("answers.csv").to_str().unwrap().to_owned();
    fs::write(
        &answers,
        "path,answer\nteardown.skill,layman\nactions[0].with,hammer time\nactions[9].with,hands\nteardown.place,: [\n",
    )
    .unwrap();
    let ran = unfasten(&["answer", &file, "--from", &answers]);
    assert_eq!(ran.exit, Exit::WrongInput, "{}", ran.err);
    for line in ["answers.csv:3", "answers.csv:4", "answers.csv:5"] {
        assert!(ran.err.contains(line), "{line} in\n{}", ran.err);
    }
    // Each names the row by what it answers, and the line of the record that stands behind.
    let said = ran.err.split_whitespace().collect::<Vec<_>>().join(" ");
    for whose in ["actions[0].with: ", "actions[9].with: ", "answers line 10 of", "teardown.place: "] {
        assert!(said.contains(whose), "{whose} in\n{said}");
    }
    assert_eq!(fs::read_to_string(&file).unwrap(), SMALL);
    // What can't be taken out names its row as well.
    fs::write(&answers, "path,answer\nactions[0].basis,drop\n").unwrap();
    let ran = unfasten(&["answer", &file, "--from", &answers]);
    assert_eq!(ran.exit, Exit::WrongInput, "the cell needs the lid off: {}", ran.err);
    assert!(ran.err.contains("answers.csv:2") && ran.err.contains("actions[0].basis: "), "{}", ran.err);
    assert_eq!(fs::read_to_string(&file).unwrap(), SMALL);
    // Without a terminal nothing is asked.
    assert_eq!(unfasten(&["answer", "-"]).exit, Exit::WrongInput);
}

/// The loop at a terminal: a wrong answer is told, a right one stands in the file at once, undo takes it back.
#[cfg(unix)]
#[test]
fn questions_are_answered_at_a_terminal() {
    let folder = tempfile::tempdir().unwrap();
    let file = small(folder.path());
    let command = format!("{} answer {file}", program_path().display());
    let mut terminal = rexpect::spawn(&command, Some(60_000)).unwrap();
    let held = || fs::read_to_string(&file).unwrap();
    // Place and skill first.
    terminal.exp_string("teardown.skill").unwrap();
    terminal.exp_string("answer").unwrap();
    terminal.send_line("wizard").unwrap();
    terminal.exp_string("error").unwrap();
    assert_eq!(held(), SMALL);
    terminal.exp_string("answer").unwrap();
    terminal.send_line("1").unwrap();
    terminal.exp_string("actions[0].basis").unwrap();
    terminal.exp_string("answer").unwrap();
    assert_eq!(held(), SMALL.replace("skill: unknown", "skill: layman"));
    terminal.send_line("u").unwrap();
    terminal.exp_string("teardown.skill").unwrap();
    terminal.exp_string("answer").unwrap();
    assert_eq!(held(), SMALL);
    terminal.send_line("generalist").unwrap();
    terminal.exp_string("actions[0].basis").unwrap();
    terminal.exp_string("answer").unwrap();
    // Left for later.
    terminal.send_line("").unwrap();
    terminal.exp_string("actions[0].with").unwrap();
    terminal.exp_string("answer").unwrap();
    terminal.send_line("hands").unwrap();
    // Nothing can stand before the first action. Of the maker's offer it is asked first whether anybody looked.
    terminal.exp_string("Did you look up").unwrap();
    terminal.exp_string("answer").unwrap();
    terminal.send_line("yes").unwrap();
    terminal.exp_string("support.spare parts.cell.to").unwrap();
    terminal.exp_string("answer").unwrap();
    terminal.send_line("q").unwrap();
    terminal.exp_eof().unwrap();
    assert_eq!(held(), SMALL.replace("skill: unknown", "skill: generalist").replace("with: unknown", "with: hands"));
}

/// The footage opens at the time asked; a command that names its file itself needs no `video` in the record.
#[cfg(unix)]
#[test]
fn the_footage_opens_at_the_time_asked() {
    let folder = tempfile::tempdir().unwrap();
    let file = small(folder.path());
    let at = |name: &str| folder.path().join(name).display().to_string();
    for (player, opened) in [(at("at-{time}"), Some(at("at-10"))), (at("{video}-at-{time}"), None)] {
        let command = format!("{} answer {file} --player 'touch {player}'", program_path().display());
        let mut terminal = rexpect::spawn(&command, Some(60_000)).unwrap();
        terminal.exp_string("teardown.skill").unwrap();
        terminal.exp_string("answer").unwrap();
        terminal.send_line("p").unwrap();
        terminal.exp_string("no time in the footage").unwrap();
        terminal.exp_string("answer").unwrap();
        terminal.send_line("").unwrap();
        terminal.exp_string("actions[0].basis").unwrap();
        terminal.exp_string("answer").unwrap();
        terminal.send_line("p").unwrap();
        if opened.is_none() {
            terminal.exp_string("names no `video`").unwrap();
        }
        terminal.exp_string("answer").unwrap();
        terminal.send_line("q").unwrap();
        terminal.exp_eof().unwrap();
        if let Some(opened) = opened {
            let there = || std::path::Path::new(&opened).exists();
            let waited = (0..100).any(|_| {
                std::thread::sleep(std::time::Duration::from_millis(50));
                there()
            });
            assert!(waited, "{opened} was not made");
        }
    }
}

/// The table: alike ones and lists to tick on a line each, bench words, a list ticked by numbers; an action ticked twice is told.
#[test]
fn lists_and_alike_ones_are_answered_by_a_table() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("lantern.yaml").to_str().unwrap().to_owned();
    let text = "unfasten: 1\ndevice: {name: Lantern, category: other}\nteardown: {place: unknown, skill: unknown}\nroles: {cell: {weight: 1}}\nparts: {cell: {role: cell, paired: no}}\nactions:\n  - {free: lid, with: hands, loosen: clip, after: []}\n  - {do: unplug lamp, with: unknown, loosen: connector, after: unknown}\n  - {do: unplug cell, with: unknown, loosen: connector, after: unknown}\n  - {free: cell, with: spudger, loosen: {fastener: glue}, after: unknown}\n";
    fs::write(&file, text).unwrap();
    let open = unfasten(&["unknowns", &file, "--format", "csv"]);
    assert_eq!(open.exit, Exit::Done, "{}", open.err);
    let keys = [
        "teardown.place; teardown.skill",
        "once off or done: lid",
        "actions[1].with; actions[2].with",
        "actions[3].loosen.kind",
        "support",
    ];
    for key in keys {
        assert!(open.out.lines().any(|l| l.starts_with(&format!("{key},"))), "{key} in\n{}", open.out);
    }
    assert!(open.out.contains("1 unplug lamp / 2 unplug cell / 3 cell"), "{}", open.out);
    let answers = folder.path().join("answers.csv").to_str().unwrap().to_owned();
    let table = "path,answer\nteardown.place; teardown.skill,\"use, layman\"\nonce off or done: lid,\"1, 2\"\nonce off or done: unplug cell,cell\nactions[1].with; actions[2].with,hands\nactions[3].loosen.kind,leaves residue or damage\nsupport,no\n";
    fs::write(&answers, table.replace("unplug cell,cell", "unplug cell,cell\nonce off or done: unplug lamp,cell"))
        .unwrap();
    let twice = unfasten(&["answer", &file, "--from", &answers]);
    let said = twice.err.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(twice.exit == Exit::WrongInput && said.contains("has an answer above already"), "{}", twice.err);
    assert_eq!(fs::read_to_string(&file).unwrap(), text, "nothing was written");
    fs::write(&answers, table).unwrap();
    let ran = unfasten(&["answer", &file, "--from", &answers]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    let by_hand = text
        .replace("place: unknown, skill: unknown", "place: use, skill: layman")
        .replace("with: unknown", "with: hands")
        .replace(
            "lamp, with: hands, loosen: connector, after: unknown",
            "lamp, with: hands, loosen: connector, after: lid",
        )
        .replace(
            "cell, with: hands, loosen: connector, after: unknown",
            "cell, with: hands, loosen: connector, after: lid",
        )
        .replace("{fastener: glue}, after: unknown", "{fastener: glue, kind: neither}, after: unplug cell");
    assert_eq!(fs::read_to_string(&file).unwrap(), by_hand);
}

/// The few that matter most, and what they would leave.
#[test]
fn the_most_useful_questions_are_told() {
    let folder = tempfile::tempdir().unwrap();
    let file = small(folder.path());
    let told = unfasten(&["unknowns", &file, "--most", "2"]);
    assert_eq!(told.exit, Exit::Done, "{}", told.err);
    let flat = told.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("The 2 questions that matter most, of")
            && flat.contains("Answered for the worst they would leave"),
        "{}",
        told.out
    );
    assert!(told.out.lines().all(|l| l.chars().count() <= 80), "{}", told.out);
    let table = unfasten(&["unknowns", &file, "--most", "2", "--format", "csv"]);
    assert_eq!(table.out.lines().count(), 3, "{}", table.out);
}

/// What a record says beside the verdict stands in the report: corrections, a remark for neither side, weight, the reason of the own
/// verdict, times of the way back, and that only both actions together make it safe.
#[test]
fn reports_show_what_stands_beside_the_verdict() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("lamp.yaml").to_str().unwrap().to_owned();
    let text = "unfasten: 1\ndevice: {name: Lamp, category: other, weight: 1.2 kg, released: 2026-03}\nteardown: {place: use, skill: layman, ends: 3:00}\nroles: {board: {weight: 1}}\nparts:\n  board: {role: board, paired: no}\n  speed board: {same as: perhaps board}\nactions:\n  - {do: unplug mains, at: 0:20, with: hands, loosen: connector, after: [], makes safe: together}\n  - {do: short capacitor, at: 0:30, with: screwdriver, loosen: nothing, after: unplug mains, makes safe: together}\n  - {free: speed board, at: 0:40, with: pull strap, loosen: foam tape, after: short capacitor}\n  - {free: board, at: 0:50, with: PH0, loosen: screw PH0, after: [short capacitor, unplug mains]}\nback:\n  - {do: fold the cable, at: 3:20}\nown verdict: {is: 6/10, because: the glue}\ncorrections:\n  - {on: 2026-04-02, by: a viewer, what: four clips not five, line: 9}\nremarks:\n  - {note: it smells of lavender, at: 0:05}\n";
    fs::write(&file, text).unwrap();
    assert!(unfasten(&["check", &file]).out.contains("no problems"), "{}", unfasten(&["check", &file]).out);
    let md = unfasten(&["report", &file, "--to", "md"]);
    assert_eq!(md.exit, Exit::Done, "{}", md.err);
    for said in [
        "- weight: 1200 g",
        "- released: 2026-03",
        "- taking apart ends at: 3:00",
        "may be one part; nobody established it",
        "- safe only after all of: unplug mains, short capacitor",
        "**note** it smells of lavender",
        "2 April 2026: four clips not five (line 9 of the record as it was published). Pointed out by a viewer.",
        "fold the cable (3:20)",
        "because the glue",
        "Safe to work on after: short capacitor.",
    ] {
        assert!(md.out.contains(said), "{said} in\n{}", md.out);
    }
    let html = unfasten(&["report", &file, "--to", "html"]).out;
    for said in ["it smells of lavender", "four clips not five", "because the glue", "1200 g", "(3:20)"] {
        assert!(html.contains(said), "{said}");
    }
}

/// A need that is only perhaps, and one of two, are asked each by itself; what else the line names stays. Saying no to all of a
/// list leaves `[]` ("nothing"), since a line that is missing means that nobody knows.
#[test]
fn needs_that_are_only_perhaps_are_asked_one_by_one() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("lantern.yaml").to_str().unwrap().to_owned();
    let lines = |pad: &str, cell: &str| {
        format!(
            "unfasten: 1\ndevice: {{name: Lantern, category: other}}\nteardown: {{place: use, skill: layman}}\nroles: {{cell: {{weight: 1}}}}\nparts: {{cell: {{role: cell, paired: no}}}}\nactions:\n  - {{free: lid, with: PH1, loosen: 2 x screw PH1, after: []}}\n  - {{free: fan, with: PH1, loosen: 2 x screw PH1, after: lid}}\n  - {{free: pad, with: PH1, loosen: 2 x screw PH1, after: {pad}}}\n  - free: cell\n    with: PH1\n    loosen: 2 x screw PH1\n    after: {cell}   # not sure\n"
        )
    };
    fs::write(&file, lines("[perhaps lid, perhaps fan]", "[lid | pad, perhaps fan, perhaps pad]")).unwrap();
    let open = unfasten(&["unknowns", &file, "--format", "csv"]).out;
    let asked: Vec<&str> = open.lines().filter_map(|l| l.split(",,").next()).filter(|k| k.contains(".after")).collect();
    let wanted = [
        "actions[2].after: perhaps lid",
        "actions[2].after: perhaps fan",
        "actions[3].after: lid or pad",
        "actions[3].after: perhaps fan",
        "actions[3].after: perhaps pad",
    ];
    assert_eq!(asked, wanted, "{open}");
    let answers = folder.path().join("answers.csv").to_str().unwrap().to_owned();
    let table = |said: [&str; 5]| {
        let rows: String = wanted.iter().zip(said).map(|(key, said)| format!("{key},{said}\n")).collect();
        fs::write(&answers, format!("path,answer\n{rows}")).unwrap();
        unfasten(&["answer", &file, "--from", &answers])
    };
    let wrong = table(["no", "maybe", "2", "yes", "no"]);
    assert!(wrong.exit == Exit::WrongInput && wrong.err.contains("answer no or yes"), "{}", wrong.err);
    let ran = table(["no", "1", "2", "yes", "no"]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    assert_eq!(fs::read_to_string(&file).unwrap(), lines("[]", "[pad, fan]"));
}

/// That a draft awaits review is told once it was answered, in a line, not before.
#[test]
fn what_is_not_reviewed_is_said_last_and_shortly() {
    let folder = tempfile::tempdir().unwrap();
    let file = small(folder.path());
    let answers = folder.path().join("answers.csv").to_str().unwrap().to_owned();
    fs::write(&answers, "path,answer\nteardown.skill,layman\n").unwrap();
    let ran = unfasten(&["answer", &file, "--from", &answers]);
    let flat = ran.err.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.starts_with("wrote 1 answer into") && !flat.contains("warning"), "{}", ran.err);
    assert!(
        flat.ends_with("1 action was drafted and nobody has reviewed it; `unfasten check` names the place"),
        "{flat}"
    );
    fs::write(&answers, "path,answer\nactions[0].basis,seen\n").unwrap();
    let ran = unfasten(&["answer", &file, "--from", &answers]);
    assert!(!ran.err.contains("reviewed"), "{}", ran.err);
}

/// `draft --ask` at a terminal: places in the order of the talk, the record whole after every answer; the block of the README.
#[test]
fn a_draft_is_gone_through_at_a_terminal() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("radio.yaml");
    let opened = folder.path().join("at-44");
    let samples = format!("{}/../samples", env!("CARGO_MANIFEST_DIR"));
    let command = format!(
        "{} draft {samples}/bedside-radio.vtt --device Radio --ask --player 'touch {}/at-{{time}}' --out {}",
        program_path().display(),
        folder.path().display(),
        file.display()
    );
    let mut terminal = rexpect::spawn(&command, Some(60_000)).unwrap();
    let held = || fs::read_to_string(&file).unwrap();
    terminal.exp_string("1 of 4 at 0:05").unwrap();
    terminal.exp_string("answer").unwrap();
    let drafted = held();
    assert_eq!(drafted.matches("    basis: drafted").count(), 3, "{drafted}");
    // What is wrong is said, and the place asked again.
    terminal.send_line("seen").unwrap();
    terminal.exp_string("nothing was drafted here").unwrap();
    terminal.exp_string("1 of 4").unwrap();
    terminal.exp_string("answer").unwrap();
    assert_eq!(held(), drafted);
    terminal.send_line("").unwrap();
    terminal.exp_string("2 of 4").unwrap();
    terminal.exp_string("answer").unwrap();
    terminal.send_line("1").unwrap();
    terminal.exp_string("3 of 4").unwrap();
    let shown = terminal.exp_string("answer").unwrap();
    let readme = fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../README.md")).unwrap();
    let block = readme.split("   ```talk\n   3 of 4").nth(1).unwrap().split("   answer:").next().unwrap();
    let lines = |text: &str| text.lines().map(|l| l.trim().to_owned()).filter(|l| !l.is_empty()).collect::<Vec<_>>();
    assert_eq!(lines(&shown), lines(block));
    assert_eq!(held(), drafted.replacen("basis: drafted\n  # 0:39", "basis: seen\n  # 0:39", 1));
    terminal.send_line("p").unwrap();
    terminal.exp_string("3 of 4").unwrap();
    terminal.exp_string("answer").unwrap();
    assert!((0..100).any(|_| {
        std::thread::sleep(std::time::Duration::from_millis(50));
        opened.exists()
    }));
    // What a record would refuse is said with its mend.
    terminal.send_line("lid; loosen: 3 x wibble").unwrap();
    terminal.exp_string("`wibble` is not a known fastener").unwrap();
    terminal.exp_string("answer").unwrap();
    // Taken back, and another name with what held it.
    terminal.send_line("u").unwrap();
    terminal.exp_string("2 of 4").unwrap();
    terminal.exp_string("answer").unwrap();
    assert_eq!(held(), drafted);
    terminal.send_line("rear shell; loosen: 4 x screw PH1 + foam; with: hands").unwrap();
    terminal.exp_string("3 of 4").unwrap();
    terminal.exp_string("answer").unwrap();
    assert!(held().contains("- free: rear shell\n") && held().contains("- free: foam\n"), "{}", held());
    terminal.send_line("q").unwrap();
    terminal.exp_string("4 actions, 2 of them as drafted").unwrap();
    terminal.exp_eof().unwrap();
    let checked = assert_cmd::Command::new(program_path()).arg("check").arg(&file).output().unwrap();
    assert_eq!(checked.status.code(), Some(0), "{}", String::from_utf8_lossy(&checked.stderr));
}

/// Where it can't be had, that is said before anything is written.
#[rstest]
#[case(&["--ask"], "--out")]
#[case(&["--ask", "--out", "x.yaml"], "this is none")]
#[case(&["--ask", "--out", "x.yaml", "--to", "list"], "makes a record")]
#[case(&["--player", "true"], "--ask")]
fn going_through_needs_a_terminal_and_a_file(#[case] arguments: &[&str], #[case] said: &str) {
    let folder = tempfile::tempdir().unwrap();
    let source = concat!(env!("CARGO_MANIFEST_DIR"), "/../samples/bedside-radio.vtt");
    let run = assert_cmd::Command::new(program_path())
        .current_dir(folder.path())
        .args(["draft", source])
        .args(arguments)
        .output()
        .unwrap();
    let told = String::from_utf8(run.stderr).unwrap();
    assert_eq!(run.status.code(), Some(2), "{told}");
    assert!(told.contains(said), "{told}");
    assert!(!folder.path().join("x.yaml").exists());
}
