//! Drafts gone through with a person: what answers do, that none is lost and none doubled, and how much of what was done is
//! asked about.

use outside::walked::{Walked, walked};
use proptest::prelude::*;
use rstest::rstest;
use scoring::draft::walk::{Said, Walk};
use scoring::draft::{Draft, sheet::Sheet, write};
use scoring::text::Source;
use scoring::vocab::Category;

use crate::drafts::{errors, narration, sheet, talk, told_once};

/// A talk of three places: a cover that comes off, a fan nobody drafts, a battery.
const TALK: &str = "WEBVTT

00:10.000 --> 00:14.000
okay four screws and the back cover comes off

00:30.000 --> 00:34.000
that fan there is a fiddly one

01:00.000 --> 01:04.000
unscrew the battery and the battery lifts out with the spudger
";

fn asked(text: &str) -> (Draft, Walk) {
    let draft = Draft::of(&Source::new("talk.vtt", text));
    let sheet = draft.sheet("talk.vtt", "Thing", Category::OTHER);
    let walk = Walk::of(&draft, sheet);
    (draft, walk)
}

/// Answers in order; the sheet they make.
fn answered(walk: &Walk, answers: &[&str]) -> Sheet {
    let mut said: Vec<Said> = Vec::new();
    for answer in answers {
        said.push(walk.read(said.len(), answer, &said).unwrap_or_else(|no| panic!("{answer}: {no:?}")));
    }
    walk.with(&said)
}

fn names(sheet: &Sheet) -> Vec<&str> {
    sheet.rows.iter().map(|r| &*r.name).collect()
}

#[rstest]
// Nothing said: as drafted.
#[case(&["", "", ""], &["back cover", "battery"], 0)]
#[case(&["seen", "", "1"], &["back cover", "battery"], 2)]
#[case(&["told", "fan", "drop"], &["back cover", "fan"], 2)]
// The first name heard at the second place; the third is more of it.
#[case(&["drop", "1", "join"], &["fan"], 1)]
#[case(&["seen; with: hands", "free: sene", "told"], &["back cover", "sene", "battery"], 3)]
// What stands beside a draft leaves it one.
#[case(&["lid; with: [PH0, hands]", "", "+ speaker; loosen: 2 x clip"], &["lid", "battery", "speaker"], 2)]
#[case(&["seen", "fan + do: drain the tank; outcome: failed", "seen"], &["back cover", "fan", "drain the tank", "battery"], 4)]
fn answers_make_the_record(#[case] answers: &[&str], #[case] left: &[&str], #[case] reviewed: usize) {
    let (draft, walk) = asked(TALK);
    let drafted: Vec<bool> = walk.places().iter().map(|p| p.drafted.is_some()).collect();
    assert_eq!(drafted, [true, false, true]);
    let sheet = answered(&walk, answers);
    assert_eq!(names(&sheet), left);
    assert_eq!(sheet.rows.iter().filter(|r| r.reviewed).count(), reviewed);
    told_once(&draft, &sheet);
    let record = write::record(&sheet);
    assert_eq!(errors(&record), Vec::<String>::new(), "{record}");
    assert_eq!(record.matches("    basis: drafted").count(), left.len() - reviewed, "{record}");
}

/// A name says that the part came off, also where the draft has it that nobody tried.
#[test]
fn what_is_named_came_off() {
    let talk = concat!(env!("CARGO_MANIFEST_DIR"), "/../samples/bedside-radio.vtt");
    let (_, walk) = asked(&std::fs::read_to_string(talk).unwrap());
    let at = walk.places().iter().position(|p| p.drafted.as_ref().is_some_and(|r| r.name == "speaker")).unwrap();
    let answered = |answer: &str| match walk.read(at, answer, &[]).unwrap() {
        Said::Done(rows) => (format!("{:?}", rows[0].status), rows[0].because.clone()),
        said => panic!("{said:?}"),
    };
    assert_eq!(answered("seen").0, "NotAttempted");
    assert_eq!(answered("speaker; with: hands"), ("Done".to_owned(), None));
    assert_eq!(answered("free: speaker"), ("Done".to_owned(), None));
    assert_eq!(answered("; with: hands").0, "NotAttempted");
    let failed = ("Failed".to_owned(), Some("it is pressed in".to_owned()));
    assert_eq!(answered("speaker; outcome: failed; because: it is pressed in"), failed);
}

#[test]
fn what_is_said_of_an_action_stands_in_it() {
    let (_, walk) = asked(TALK);
    let sheet = answered(
        &walk,
        &[
            "lid; with: PH0, hands; loosen: 2 x clip; at: 0:12",
            "fan; outcome: failed",
            "; with: unknown; loosen: nothing",
        ],
    );
    let [lid, fan, battery] = &sheet.rows[..] else { panic!("{sheet:#?}") };
    assert_eq!(
        (lid.at, &lid.tools[..], lid.fasteners.as_deref()),
        (Some((12, 12)), &["PH0".to_owned(), "hands".to_owned()][..], Some(&["2 x clip".to_owned()][..]))
    );
    assert_eq!(fan.because.as_deref(), Some("that fan there is a fiddly one"));
    assert_eq!(
        (battery.name.as_str(), battery.tools.len(), battery.fasteners.as_deref()),
        ("battery", 0, Some(&[][..]))
    );
}

/// What can't be taken says why and what to write; the place is asked again.
#[rstest]
#[case(0, "4711", "nothing here has the number 4711")]
#[case(1, "seen", "nothing was drafted here")]
#[case(0, "join", "no action before")]
#[case(0, "lid; with", "`with` is no field")]
#[case(0, "lid; with:", "`with:` says nothing")]
#[case(0, "lid; at: noon", "`noon` is not a time")]
#[case(0, "lid; outcome: perhaps", "`perhaps` is no outcome")]
#[case(1, "; with: PH0", "has no name")]
#[case(0, "seen +", "nothing stands behind `+`")]
// Slips of the keyboard; `free: sene` would be a part of that name.
#[case(0, "sene", "nobody spoke of `sene`")]
#[case(0, "back covre", "nobody spoke of `back covre`")]
#[case(1, "d", "`d` names no part")]
#[case(1, "?", "`?` names no part")]
#[case(1, "help", "`help` names no part")]
#[case(0, "seen and with T10", "`seen and with t10` names no part")]
#[case(0, "1, 2", "`1, 2` is several things")]
fn what_is_no_answer_says_so(#[case] at: usize, #[case] answer: &str, #[case] what: &str) {
    let (_, walk) = asked(TALK);
    let no = walk.read(at, answer, &[]).unwrap_err();
    assert!(no.what.contains(what), "{no:?}");
    assert!(!no.mend.is_empty());
}

/// Somebody who knows what was done goes through every source, also those of speakers who knew nothing of the program: the
/// record holds what the gold list holds, but for what no place asked about.
#[test]
fn going_through_finds_what_was_done() {
    let folder = format!("{}/data/narrations", env!("CARGO_MANIFEST_DIR"));
    let mut sums: std::collections::BTreeMap<&str, (Walked, usize)> = std::collections::BTreeMap::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        let (case, ending) = name.split_once('.').unwrap();
        if !matches!(ending, "vtt" | "srt" | "txt" | "tsv") {
            continue;
        }
        let gold = serde_json::from_str(&narration(&format!("{case}.gold.json"))).unwrap();
        let draft = Draft::of(&Source::new(&name, &narration(&name)));
        let (told, sheet) = walked(&draft, &gold);
        told_once(&draft, &sheet);
        assert_eq!(errors(&write::record(&sheet)), Vec::<String>::new(), "{name}");
        let kind = if ending == "srt" { "vtt" } else { &ending.to_owned()[..] };
        let kind = ["vtt", "txt", "tsv"].into_iter().find(|k| *k == kind).unwrap();
        let sum = sums.entry(kind).or_default();
        sum.0.found += told.found;
        sum.0.wrong += told.wrong;
        sum.0.places += told.places;
        sum.0.missed.extend(told.missed.iter().map(|m| format!("{name}: {m}")));
        sum.1 += 1;
    }
    for (kind, (sum, sources)) in sums {
        let all = sum.found + sum.missed.len();
        assert!(sum.found * 100 >= all * 98, "{kind}: {sum:?}");
        assert!(sum.wrong * 100 <= all, "{kind}: {sum:?}");
        assert!(sum.places <= 26 * sources, "{kind}: {} places of {sources} sources", sum.places);
    }
}

/// The page of figures says what is so: a row for every source of a speaker who knew nothing of the program.
#[test]
fn the_page_of_figures_holds() {
    let page = std::fs::read_to_string(format!("{}/performance/draft.md", env!("CARGO_MANIFEST_DIR"))).unwrap();
    let (_, table) = page.split_once("| source | places |").unwrap();
    let rows: Vec<&str> = table.lines().skip(2).take_while(|l| l.starts_with('|')).collect();
    assert_eq!(rows.len(), 22);
    for row in rows {
        let (case, kind) = (row.split('`').nth(1).unwrap(), if row.contains(", notes") { "txt" } else { "vtt" });
        let name = format!("{case}.{kind}");
        let gold = serde_json::from_str(&narration(&format!("{case}.gold.json"))).unwrap();
        let (told, _) = walked(&Draft::of(&Source::new(&name, &narration(&name))), &gold);
        let [nothing, offered, written] = told.answers;
        let all = told.found + told.missed.len();
        let cells =
            format!("| {} | {nothing}, {offered}, {written} | {} of {all} | {} |", told.places, told.found, told.wrong);
        assert!(row.ends_with(&cells), "{row} {cells}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Whatever is answered: no cue with a trade word is lost or doubled, the record reads, what nobody spoke of stays as it was.
    #[test]
    fn no_answer_loses_anything(text in talk(), picks in prop::collection::vec(0_usize..9, 1..40)) {
        let (draft, walk) = asked(&text);
        let answers = ["", "seen", "told", "drop", "join", "1", "lid; with: PH0", "+ ring; at: 0:01", "do: drain it + cap; outcome: failed"];
        let mut said: Vec<Said> = Vec::new();
        for pick in picks.iter().take(walk.places().len()) {
            said.push(walk.read(said.len(), answers[*pick], &said).unwrap_or(Said::Nothing));
        }
        let made = walk.with(&said);
        told_once(&draft, &made);
        let record = write::record(&made);
        prop_assert_eq!(errors(&record), Vec::<String>::new(), "{}", record);
        let (_, drafted) = sheet("talk.vtt", &text);
        let nothing = vec![Said::Nothing; said.len()];
        prop_assert_eq!(write::record(&walk.with(&nothing)), write::record(&drafted));
    }
}
