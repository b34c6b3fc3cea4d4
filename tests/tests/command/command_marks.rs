//! `unfasten score --marks`, end to end, with the two published sheets that `fr_sheets` holds the library against: electric
//! mower, printed in whole numbers, and cordless vacuum cleaner, criteria 1 to 3
//! (figures `read` on the sheets). What is checked is that printed figures lie in the intervals the marks allow, never that
//! they are equal.

use crate::command_support;

use command_support::{fits, unfasten, unfasten_reading};
use rstest::rstest;
use scoring::exact::Exact;
use serde_json::Value;
use unfasten_cli::Exit;

const MOWER: &str = "1.1 5, 2.1 9, 2.2 10, 2.3 9, 3.1 8, 3.2 8, 3.3 10, 3.4 10, 4.1 0, 5.1 10, c1 10, c2 19, c3 16, c4 0, \
                     c5 20, total 65, index 6.5";
const VACUUM: &str = "1.1 7.7, 2.1 7.8, 2.2 10, 2.3 10, 3.1 10, 3.2 10, 3.3 9.2, c1 15.4, c2 17.8, c3 19.6";

fn lines(name: &str, category: &str, rows: &str, change: &[(&str, &str)]) -> String {
    let mut out = String::new();
    for (row, printed) in rows.split(", ").map(|r| r.split_once(' ').expect("row and figure")) {
        let printed = change.iter().find(|(r, _)| *r == row).map_or(printed, |(_, p)| p);
        out += &format!("{name},{category},{row},{printed}\n");
    }
    out
}

/// The two sheets in one table, with some figures of the first or the second altered.
fn table(mower: &[(&str, &str)], vacuum: &[(&str, &str)]) -> String {
    format!(
        "sheet,category,row,printed\n{}{}",
        lines("mower", "mower", MOWER, mower),
        lines("vacuum", "cordless vacuum cleaner", VACUUM, vacuum)
    )
}

fn marked(table: &str, format: &str) -> command_support::Ran {
    unfasten_reading(&["score", "--method", "fr-index", "--marks", "-", "--format", format], table.as_bytes())
}

#[test]
fn published_sheets_follow_from_their_marks() {
    let ran = marked(&table(&[], &[]), "json");
    assert_eq!((ran.exit, ran.err.as_str()), (Exit::Done, ""));
    let value: Value = serde_json::from_str(&ran.out).unwrap();
    let exact = |v: &Value| Exact::parse(v.as_str().expect("a ratio")).expect("a ratio");
    let mut held = 0;
    for sheet in value["sheets"].as_array().unwrap() {
        assert_eq!(sheet["follows"], true);
        for row in sheet["rows"].as_array().unwrap() {
            let interval = &row["interval"];
            let (low, high) = (exact(&interval["low"]), exact(&interval["high"]));
            assert!(low <= high);
            let Some(printed) = row["printed"].as_str() else { continue };
            // The printed figure stands for half a unit to either side.
            let half = Exact::parse(if printed.contains('.') { "0.05" } else { "0.5" }).unwrap();
            let printed = Exact::parse(printed).unwrap();
            assert!(&printed + &half >= low && &printed - &half <= high, "{row}");
            held += 1;
        }
    }
    assert_eq!(held, 7 + 3);
    // 10 + 18.5 + 17 + 0 + 20 from the marks as printed.
    let total = &value["sheets"][0]["rows"][5];
    assert_eq!(
        (&total["row"], &total["from_marks"], &total["printed"]),
        (&"total".into(), &"131/2".into(), &"65".into())
    );
    let text = marked(&table(&[], &[]), "text");
    fits("marks", &text.out);
    insta::assert_snapshot!(text.out);
}

/// An altered figure is named: line, row, what is printed, what would be possible.
#[rstest]
#[case(&[("c3", "15")], &[], "-:14:16: `c3` can't follow: printed 15, the marks allow 16 to below 17.75")]
#[case(&[("total", "70"), ("index", "7.0")], &[], "-:17:19: `total` can't follow: printed 70, the criteria allow 63.5 to below 66.75")]
#[case(&[("index", "6.7")], &[], "-:18:19: `index` can't follow: printed 6.7, the total allows 6.45 to below 6.55")]
#[case(&[], &[("c3", "17.6")], "-:28:35: `c3` can't follow: printed 17.6, the marks allow 17.67 to below 19.775")]
fn an_altered_sheet_is_named(#[case] mower: &[(&str, &str)], #[case] vacuum: &[(&str, &str)], #[case] said: &str) {
    let table = table(mower, vacuum);
    let text = marked(&table, "text");
    assert_eq!(text.exit, Exit::NotMet);
    let words = |t: &str| t.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words(&text.out).contains(said), "{}", text.out);
    assert!(words(&text.out).contains("2 sheets, of which 1 can't follow"), "{}", text.out);
    let csv = marked(&table, "csv");
    assert_eq!(csv.exit, Exit::NotMet);
    let mut rows = csv::Reader::from_reader(csv.out.as_bytes());
    let bad: Vec<String> = rows
        .records()
        .map(Result::unwrap)
        .filter(|r| &r[9] == "no")
        .map(|r| format!("{}: {}", &r[10], &r[11]))
        .collect();
    // A cell that starts with a dash is made harmless for spreadsheets.
    assert_eq!(bad, [format!("'{said}")]);
    let json: Value = serde_json::from_str(&marked(&table, "json").out).unwrap();
    let sheets = json["sheets"].as_array().unwrap();
    assert_eq!(sheets.iter().filter(|s| s["follows"] == false).count(), 1);
    let lines = marked(&table, "jsonl").out;
    let mut lines: Vec<Value> = lines.lines().map(|l| serde_json::from_str(l).unwrap()).collect();
    for line in &mut lines {
        assert_eq!(line.as_object_mut().unwrap().remove("unfasten"), Some(1.into()));
    }
    assert_eq!(lines, *sheets);
}

/// A total beyond its scale follows from no marks; the other sheets and the line above it are judged all the same.
#[test]
fn a_sum_beyond_its_scale_is_found() {
    let text = table(&[("total", "150")], &[]);
    let ran = marked(&text, "csv");
    assert_eq!(ran.exit, Exit::NotMet, "{}", ran.err);
    let bad: Vec<&str> = ran.out.lines().filter(|l| l.contains("can't follow")).collect();
    assert!(bad.len() == 1 && bad[0].contains(",total,"), "{bad:?}");
}

#[test]
fn wrong_tables_and_methods_are_refused() {
    let broken = table(&[("1.1", "11")], &[("c1", "many")]);
    let ran = unfasten_reading(&["--problems", "line", "score", "--marks", "-"], broken.as_bytes());
    assert_eq!((ran.exit, ran.out.as_str(), ran.err.lines().count()), (Exit::WrongInput, "", 2), "{}", ran.err);
    let other = unfasten_reading(&["score", "--method", "en-45554", "--marks", "-"], table(&[], &[]).as_bytes());
    assert!(other.exit == Exit::WrongInput && other.err.contains("does not add up marks"), "{}", other.err);
    let tablet = table(&[], &[]).replace(",mower,", ",slate tablet,");
    let strange = unfasten_reading(&["score", "--marks", "-"], tablet.as_bytes());
    assert!(strange.exit == Exit::WrongInput && strange.err.contains("is not for a slate tablet"), "{}", strange.err);
    assert_eq!(unfasten(&["score", "x.yaml", "--marks", "-"]).exit, Exit::WrongInput);
    assert_eq!(unfasten(&["score"]).exit, Exit::WrongInput);
}

#[test]
fn a_thousand_sheets_are_one_table() {
    let mut text = "sheet,category,row,printed\n".to_owned();
    for i in 0..1000 {
        text += &lines(
            &format!("mower {i}"),
            "mower",
            MOWER,
            if i == 611 { &[("c1", "12"), ("total", "67"), ("index", "6.7")] } else { &[] },
        );
    }
    let ran = marked(&text, "csv");
    assert_eq!((ran.exit, ran.out.lines().count()), (Exit::NotMet, 1 + 7 * 1000));
    let bad: Vec<&str> = ran.out.lines().filter(|l| l.contains("can't follow")).collect();
    assert!(bad.len() == 1 && bad[0].starts_with("mower 611,mower,c1,"), "{bad:?}");
}

/// Every mistake of a table is told in one run, each with its mend, and none twice.
#[test]
fn every_mistake_of_a_table_of_marks_is_told() {
    let table = "sheat,category,row,printed,seen\n\
                 m,teapot,1.1,5,\n\
                 m,teapot,c1,10,\n\
                 v,cordless vacum cleaner,1.1,7,\n\
                 v,cordless vacuum cleaner,totl,60,\n\
                 v,cordless vacuum cleaner,Index,\"6,1\",\n\
                 v,cordless vacuum cleaner,1.1,11,,,\n\
                 ,other,2.1,9,\n\
                 v,other,2.1,9,\n\
                 v,cordless vacuum cleaner,2.1,8,\n";
    let ran = unfasten_reading(&["--problems", "line", "score", "--marks", "-"], table.as_bytes());
    assert_eq!((ran.exit, ran.out.as_str()), (Exit::WrongInput, ""));
    let marked = unfasten_reading(&["score", "--marks", "-"], table.as_bytes());
    assert_eq!(marked.err.matches("= mend:").count(), marked.err.matches("= why:").count());
    insta::assert_snapshot!(ran.err);
}

/// A mark that a sheet of the category does not have is passed over, and that is said.
#[test]
fn a_mark_that_counts_for_nothing_is_told() {
    let text = table(&[], &[]) + "mower,mower,5.2,9\n";
    let ran = marked(&text, "text");
    assert!(ran.exit == Exit::Done && ran.err.contains("a sheet of category mower has no mark `5.2`"), "{}", ran.err);
}

/// Two tables beside each other: the figure that was printed otherwise with both its places, and what the marks give of it,
/// also where the printed total stays as it was. The marks are those of the sheets above; that only the criterion of a changed
/// mark, the total and the index can move follows from how a sheet adds up.
#[test]
fn two_tables_are_told_apart_figure_by_figure() {
    let folder = tempfile::tempdir().unwrap();
    let put = |name: &str, text: &str| {
        let path = folder.path().join(name);
        std::fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    };
    let old = put("old.csv", &table(&[], &[]));
    let same = put("same.csv", &table(&[], &[]));
    let ran = unfasten(&["diff", &old, &same, "--marks"]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    assert!(ran.out.contains("2 sheets in both, none changed."), "{}", ran.out);

    let extra = format!("{}{}", table(&[("2.1", "8")], &[]), lines("third", "mower", MOWER, &[]));
    let new = put("new.csv", &extra);
    let ran = unfasten(&["diff", &old, &new, "--marks", "--format", "json"]);
    let value: Value = serde_json::from_str(&ran.out).unwrap();
    let changed = value["changed"].as_array().unwrap();
    assert_eq!(
        (changed.len(), &value["same"], &value["only_new"]),
        (1, &Value::from(1), &serde_json::json!(["third"]))
    );
    let rows = |key: &str| -> Vec<(String, String, String)> {
        let text = |v: &Value| v.as_str().unwrap_or_default().to_owned();
        let figures = changed[0][key].as_array().unwrap();
        figures.iter().map(|f| (text(&f["row"]), text(&f["before"]), text(&f["after"]))).collect()
    };
    assert_eq!(rows("printed"), [("2.1".to_owned(), "9".to_owned(), "8".to_owned())]);
    assert!(changed[0]["printed"][0]["after_place"].as_str().unwrap().ends_with("new.csv:3:17"));
    let moved = rows("from_marks");
    let names: Vec<&str> = moved.iter().map(|(row, ..)| row.as_str()).collect();
    assert_eq!(names, ["c2", "total", "index"]);
    for (row, before, after) in &moved {
        let [before, after] = [before, after].map(|t| Exact::parse(t).unwrap_or_else(|| panic!("{row}: {t}")));
        assert!(after < before, "{row}");
    }
    let text = unfasten(&["diff", &old, &new, "--marks"]).out;
    assert!(text.contains("2.1 printed: 9 -> 8") && text.contains("Only in the new table: third."), "{text}");
    let note = unfasten(&["diff", &old, &new, "--marks", "--format", "md"]).out;
    assert!(note.contains("\n- 2.1 printed: 9") && note.contains("c2 from the marks"), "{note}");
    // A table that can't be read names its place and nothing is told.
    let broken = put("broken.csv", "sheet,category,row,printed\nmower,mower,2.1,nine\n");
    let ran = unfasten(&["diff", &old, &broken, "--marks"]);
    assert!(ran.exit == Exit::WrongInput && ran.out.is_empty() && ran.err.contains("broken.csv:2"), "{}", ran.err);
}
