//! The French statutory sheet, held against two published ones (read on the sheets; coefficients read there too). A printed
//! figure stands for all values that round to it: marks ± 0.05, or ± 0.5 on a sheet in whole numbers.

use scoring::assess::sheet::{self, AuditedLine, Sheet};
use scoring::exact::Exact;
use scoring::method::load_shipped;
use scoring::range::{Assessment, Effort};
use scoring::record;
use scoring::text::{Diagnostic, Source, Sources};

/// Published sheet 1: electric mower, printed in whole numbers, index in tenths.
const MOWER: [(&str, &str); 17] = [
    ("1.1", "5"),
    ("2.1", "9"),
    ("2.2", "10"),
    ("2.3", "9"),
    ("3.1", "8"),
    ("3.2", "8"),
    ("3.3", "10"),
    ("3.4", "10"),
    ("4.1", "0"),
    ("5.1", "10"),
    ("c1", "10"),
    ("c2", "19"),
    ("c3", "16"),
    ("c4", "0"),
    ("c5", "20"),
    ("total", "65"),
    ("index", "6.5"),
];
/// Published sheet 2: cordless vacuum cleaner, criteria 1 to 3; 3.4 is not printed.
const VACUUM: [(&str, &str); 10] = [
    ("1.1", "7.7"),
    ("2.1", "7.8"),
    ("2.2", "10"),
    ("2.3", "10"),
    ("3.1", "10"),
    ("3.2", "10"),
    ("3.3", "9.2"),
    ("c1", "15.4"),
    ("c2", "17.8"),
    ("c3", "19.6"),
];

fn read(text: &str) -> (Vec<Sheet>, Vec<Diagnostic>, Sources) {
    let mut sources = Sources::new();
    let file = sources.add(Source::new("sheets.csv", text));
    let (sheets, found) = sheet::read(&sources, file);
    (sheets, found, sources)
}

fn table(category: &str, rows: &[(&str, &str)], change: &[(&str, &str)]) -> String {
    let mut out = "sheet,category,row,printed\n".to_owned();
    for (row, printed) in rows {
        let printed = change.iter().find(|(r, _)| r == row).map_or(printed, |(_, p)| p);
        out += &format!("one,{category},{row},{printed}\n");
    }
    out
}

fn audit(category: &str, rows: &[(&str, &str)], change: &[(&str, &str)]) -> Vec<AuditedLine> {
    let (sheets, found, _) = read(&table(category, rows, change));
    assert!(found.is_empty(), "{found:#?}");
    sheet::audit(&sheets[0], &load_shipped("fr-index").unwrap())
}

fn impossible(lines: &[AuditedLine]) -> Vec<&str> {
    lines.iter().filter(|l| !l.possible).map(|l| l.row.as_str()).collect()
}

#[test]
fn the_mower_is_possible_only_below_a_rounded_mark() {
    let lines = audit("mower", &MOWER, &[]);
    assert_eq!(impossible(&lines), Vec::<&str>::new());
    let third = lines.iter().find(|l| l.row == "c3").unwrap();
    // From the printed marks it is 17; 16 needs 3.1 below 8 before rounding, whatever 3.2 is.
    assert!(!third.as_printed);
    let (row, interval) = &third.narrowed[0];
    assert_eq!((row.as_str(), interval.words().as_str()), ("3.1", "7.5 to below 8"));
    let others: Vec<&str> = lines.iter().filter(|l| !l.as_printed).map(|l| l.row.as_str()).collect();
    assert_eq!(others, ["c3"]);
}

#[test]
fn a_sheet_that_can_not_follow_names_the_line() {
    // With 3.1 and 3.2 printed in tenths, 8.0 leaves no room: criterion 3 is at least 16.75.
    let tenths = [("3.1", "8.0"), ("3.2", "8.0"), ("3.3", "10.0"), ("3.4", "10.0")];
    assert_eq!(impossible(&audit("mower", &MOWER, &tenths)), ["c3"]);
    assert_eq!(impossible(&audit("mower", &MOWER, &[("total", "70"), ("index", "7.0")])), ["total"]);
    assert_eq!(impossible(&audit("mower", &MOWER, &[("index", "6.7")])), ["index"]);
    assert_eq!(impossible(&audit("mower", &MOWER, &[("c1", "12"), ("total", "67"), ("index", "6.7")])), ["c1"]);
}

#[test]
fn the_vacuum_cleaner_is_possible() {
    let lines = audit("cordless vacuum cleaner", &VACUUM, &[]);
    assert_eq!(impossible(&lines), Vec::<&str>::new());
    let third = lines.iter().find(|l| l.row == "c3").unwrap();
    // 3.4 is not printed: 19.6 = 10 + 5 + 0.3 x 9.2 + 0.2 x 3.4 puts it near 9.2.
    let (_, interval) = third.narrowed.iter().find(|(row, _)| row == "3.4").unwrap();
    let near = Exact::parse("9.2").unwrap();
    assert!(interval.low < near && near < interval.high, "{}", interval.words());
    assert_eq!(impossible(&audit("cordless vacuum cleaner", &VACUUM, &[("c3", "17.6")])), ["c3"]);
}

#[test]
fn marks_alone_are_assessed() {
    let (sheets, found, _) = read(&table("mower", &MOWER, &[]));
    assert!(found.is_empty());
    let mut sources = Sources::new();
    let file = sources.add(Source::new("sheet", &sheet::as_record(&sheets[0], "fr-index")));
    let record = record::read(&sources, file).record.unwrap();
    let found = Assessment::new(&record, &load_shipped("fr-index").unwrap(), Effort::default());
    // 10 + 18.5 + 17 + 0 + 20 = 65.5 from the marks as printed; printed is 65.
    assert_eq!(found.root.low, Exact::parse("6.55"));
    assert_eq!(found.root.high, Exact::parse("6.55"));
}

#[test]
fn one_mistake_in_a_table_does_not_hide_the_next() {
    let text = "sheet,category,row,printed\none,mower,1.1,11\n\"one\",mower,9.9,5\ntwo,teapot,1.1,5\none,mower,2.1,5\none,mower,2.1,6\n";
    let (_, found, sources) = read(text);
    let said: Vec<String> = found.iter().map(|d| format!("{}: {}", sources.place(d.at.span), d.message)).collect();
    assert_eq!(
        said,
        [
            "sheets.csv:2:15: `11` is not a figure from 0 to 10",
            "sheets.csv:3:13: `9.9` is not a row of the sheet",
            "sheets.csv:4:5: `teapot` is not a category",
            "sheets.csv:6:11: row `2.1` of sheet `one` stands twice",
        ]
    );
    assert_eq!(read("sheet,row\n").1.len(), 2);
}

/// Coefficients nobody read may stand in the table (invented here): 7 x 1.2 + 5 x 0.8 = 12.4 of criterion 5.
#[test]
fn a_table_may_give_coefficients() {
    let table = "sheet,category,row,printed,coefficient\n\
        one,television,5.1,7.0,1.2\none,television,5.2,5.0,0.8\none,television,c5,12.4,\none,television,4.1,3,\n";
    let (sheets, found, _) = read(table);
    assert!(found.is_empty(), "{found:#?}");
    let method = load_shipped("fr-index").unwrap();
    let rows = sheet::computed(&sheets[0], &method);
    let exact = |row: &str| rows.iter().find(|r| r.row == row).unwrap().exact.as_ref().map(Exact::plain);
    assert_eq!(exact("c5").as_deref(), Some("12.4"));
    // Of criterion 4 nobody gives the coefficient, so neither it nor the total follows.
    assert_eq!((exact("c4"), exact("total")), (None, None));
    let lines = sheet::audit(&sheets[0], &method);
    assert_eq!(lines.iter().map(|l| (l.row.as_str(), l.possible)).collect::<Vec<_>>(), [("c5", true)]);
    assert!(sheet::uneven(&sheets[0]).is_empty() && sheet::unread(&sheets[0], &method).is_empty());
    let (wrong, _, _) = read(&table.replace("c5,12.4", "c5,13.4"));
    assert_eq!(impossible(&sheet::audit(&wrong[0], &method)), ["c5"]);
    let (uneven, _, _) = read(&table.replace("5.0,0.8", "5.0,0.7"));
    assert_eq!(sheet::uneven(&uneven[0]).iter().map(|d| d.code).collect::<Vec<_>>(), ["weights-sum"]);
    let (_, found, _) = read(&table.replace("7.0,1.2", "7.0,2.5"));
    assert_eq!(found.iter().map(|d| d.code).collect::<Vec<_>>(), ["wrong-value"]);
}
