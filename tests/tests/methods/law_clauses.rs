//! What the files of legal methods say of themselves: each row its clause or that nobody read the point, the total what it
//! covers, and what it does not cover; and published sheets of every kind of product the French statute names.
//!
//! Reference: the ecodesign and index acts as read in a public mirror (`read` unless said); Regulation (EU) 2023/1670, point
//! 1(c)(ii) of Annex II B and D is the one point of that annex whose number was read.

use rstest::rstest;
use scoring::assess::sheet;
use scoring::method::{load_shipped, shipped};
use scoring::text::{Source, Sources};
use scoring::vocab::{Category, Certainty, Form};

const LAWS: [&str; 4] = ["eu-2023-1670", "eu-2023-1542-11", "eu-2023-2533", "eu-2019-2023"];

#[test]
fn every_row_cites_a_clause_or_says_that_none_was_read() {
    for id in LAWS {
        let method = load_shipped(id).unwrap();
        for node in method.root.all() {
            assert!(!node.rule.clause.is_empty(), "{id}: {}", node.id);
            let read = ["point 1(c)(ii)", "Annex I", "Art."].iter().any(|c| node.rule.clause.contains(c));
            assert!(
                id != "eu-2023-1670" || read || node.rule.clause.contains("point not read"),
                "{}",
                node.rule.clause
            );
        }
    }
    let phone = load_shipped("eu-2023-1670").unwrap();
    for id in ["battery-offer", "battery-lasting", "battery-to-end-users", "lasting-capacity-500"] {
        assert_eq!(phone.node(id).unwrap().rule.clause, "Annex II B and D, point 1(c)(ii)", "{id}");
    }
}

#[test]
fn totals_are_titled_as_what_they_cover() {
    for id in ["eu-2023-1670", "eu-2023-2533", "eu-2019-2023"] {
        let method = load_shipped(id).unwrap();
        assert_eq!(method.root.title, "Requirements covered here", "{id}");
    }
    for id in LAWS {
        assert!(!load_shipped(id).unwrap().not_covered.is_empty(), "{id}");
    }
    // What the reference lists as not covered by the rows of 2023/1670 is named, or has rows.
    let phone = load_shipped("eu-2023-1670").unwrap();
    let listed = phone.not_covered.join("; ");
    for what in ["repair information", "encryption", "free-access list", "drops", "scratches"] {
        assert!(listed.contains(what), "{what}: {listed}");
    }
    assert!(phone.node("information-and-reset").is_some());
}

/// Terms that are not the law's are marked so, in every table that has a row for them: `expert`, `manufacturer` and
/// `product-group specific` stand in no act read here.
#[test]
fn terms_that_are_not_the_laws_are_own() {
    for id in ["eu-2023-1670", "eu-2023-2533"] {
        let method = load_shipped(id).unwrap();
        let mut met = 0;
        for node in method.root.all() {
            let scoring::method::CriterionKind::Leaf { points: scoring::method::Points::Levels(rows), .. } = &node.kind
            else {
                continue;
            };
            for (word, points) in rows {
                if ["expert", "manufacturer", "product-group specific"].contains(&word.as_str()) {
                    assert_eq!(points.certainty, Some(Certainty::Own), "{id}: {}: {word}", node.id);
                    met += 1;
                }
            }
        }
        assert!(met > 0, "{id}");
    }
}

/// Numbers of our own are no clauses of the standard, whose text nobody here has read.
#[test]
fn the_default_method_cites_no_numbers_of_its_own() {
    let text = shipped().iter().find(|s| s.id == "en-45554").unwrap().text;
    let method = load_shipped("en-45554").unwrap();
    for node in method.root.all() {
        assert!(!node.rule.clause.to_lowercase().starts_with("criterion"), "{}: {}", node.id, node.rule.clause);
    }
    assert!(text.contains("Fasteners and connectors") && text.contains("basic tools: law"));
    // Where the finding on limiting factors stands (reference: not in the article it was first laid to).
    assert!(text.contains("2770ade0-47d4-4237-b032-ffd8bd8d55c8") && !text.contains("8634"));
}

/// Kinds of product that had a sheet (`secondary`). Of marks of 7 throughout, whatever the coefficients: each criterion is 14, the
/// total 70, the index 7.0.
#[rstest]
fn the_audit_works_for_each_kind(
    #[values(
        "smartphone",
        "laptop",
        "television",
        "washing machine",
        "mower",
        "dishwasher",
        "vacuum cleaner",
        "cordless vacuum cleaner",
        "robot vacuum cleaner",
        "high-pressure cleaner"
    )]
    category: &str,
) {
    let method = load_shipped("fr-index").unwrap();
    let found = Category::from_word(category).unwrap_or_else(|| panic!("{category}"));
    assert!(method.scope.categories.contains(&found), "{category}");
    let fitted = method.for_device(found, Form::NotFolding);
    let mut rows = Vec::new();
    for criterion in fitted.root.all().into_iter().filter(|n| ["c1", "c2", "c3", "c4", "c5"].contains(&n.id.as_str())) {
        let scoring::method::CriterionKind::Group { of, .. } = &criterion.kind else { panic!("{}", criterion.id) };
        let open: Vec<_> = of.iter().filter(|n| n.weight.as_ref().is_some_and(|w| w.unread)).collect();
        for node in of {
            let row = node.id.split(' ').next().unwrap();
            // What nobody read is given: the last takes what the others leave of 2.
            let given = if open.is_empty() {
                String::new()
            } else if std::ptr::eq(*open.last().unwrap(), node) {
                format!("{}", 2.0 - 0.25 * (of.len() - 1) as f64)
            } else {
                "0.25".to_owned()
            };
            rows.push(format!("one,{category},{row},7,{given}"));
        }
        rows.push(format!("one,{category},{},14,", criterion.id));
    }
    rows.push(format!("one,{category},total,70,"));
    rows.push(format!("one,{category},index,7.0,"));
    let table = format!("sheet,category,row,printed,coefficient\n{}\n", rows.join("\n"));
    let audit = |table: &str| {
        let mut sources = Sources::new();
        let file = sources.add(Source::new("sheets.csv", table));
        let (sheets, found) = sheet::read(&sources, file);
        assert!(found.is_empty(), "{category}: {found:#?}");
        let lines = sheet::audit(&sheets[0], &method);
        let odd: Vec<String> = lines.iter().filter(|l| !l.possible).map(|l| l.row.clone()).collect();
        (lines.len(), odd)
    };
    assert_eq!(audit(&table), (7, Vec::new()), "{table}");
    for (row, right, wrong) in [("c1", "14", "17"), ("c5", "14", "11"), ("total", "70", "75"), ("index", "7.0", "7.4")]
    {
        let changed = table.replace(&format!("{category},{row},{right},"), &format!("{category},{row},{wrong},"));
        assert_ne!(changed, table);
        assert!(audit(&changed).1.contains(&row.to_owned()), "{category}: {row}");
    }
}
