//! Several reports in one folder.

use std::fs;

use rstest::rstest;
use unfasten_cli::Exit;

use crate::command_support::{text_of, unfasten};

/// File name of every picture that a Markdown report shows.
fn shown(text: &str) -> Vec<String> {
    let links = text.lines().filter_map(|l| l.strip_prefix("![")?.strip_suffix(".svg)")?.rsplit_once("]("));
    links.map(|(_, link)| format!("{link}.svg")).collect()
}

/// Reports share a folder, and every Markdown page shows its own pictures: parts and methods have the same names in all of them.
#[rstest]
#[case::one_after_the_other(false)]
#[case::together(true)]
fn reports_in_one_folder_show_their_own_pictures(#[case] together: bool) {
    let folder = tempfile::tempdir().unwrap();
    let clipped = text_of("samples/slate-tablet.yaml");
    let glued = clipped.replacen("loosen: clip\n", "loosen: film adhesive\n", 1);
    assert_ne!(clipped, glued);
    let records = [("x/slate.yaml", clipped), ("y/slate.yaml", glued)];
    let records = records.map(|(name, text)| {
        let path = folder.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    });
    let site = folder.path().join("site");
    let out = site.to_str().unwrap();
    if together {
        let ran = unfasten(&["report", &records[0], &records[1], "--to", "html,md", "--out", out]);
        assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    } else {
        let other = folder.path().join("y/slate-2.yaml");
        fs::rename(&records[1], &other).unwrap();
        for record in [&records[0], other.to_str().unwrap()] {
            let ran = unfasten(&["report", record, "--to", "html,md", "--out", out]);
            assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
        }
        fs::rename(&other, &records[1]).unwrap();
    }
    let mut all = Vec::new();
    for (name, record) in [("slate", &records[0]), ("slate-2", &records[1])] {
        let alone = tempfile::tempdir().unwrap();
        let ran = unfasten(&["report", record, "--to", "md", "--out", alone.path().to_str().unwrap()]);
        assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
        let page = site.join(format!("{name}.md"));
        let [here, there] =
            [page.clone(), alone.path().join("slate.md")].map(|p| shown(&fs::read_to_string(p).unwrap()));
        assert!(here.len() > 2 && here.len() == there.len(), "{here:?} {there:?}");
        for (here, there) in here.iter().zip(&there) {
            let [one, other] = [site.join(here), alone.path().join(there)].map(|p| fs::read_to_string(p).unwrap());
            assert_eq!(one, other, "{here}");
        }
        all.extend(here);
        if together {
            let ran = unfasten(&["verify", page.to_str().unwrap(), record]);
            assert_eq!(ran.exit, Exit::Done, "{}{}", ran.out, ran.err);
        }
    }
    let number = all.len();
    all.sort();
    all.dedup();
    assert_eq!(all.len(), number);
    // What one page shows is not what the other shows.
    let drawn = |stem: &str| fs::read_to_string(site.join(format!("{stem}-en-45554-range.svg"))).unwrap();
    assert_ne!(drawn("slate"), drawn("slate-2"));
}
