//! The short run of the mutation loop: fixed draws, so that it finds the same every time. The long one is
//! `cargo run --release -p unfasten-tests --example fuzz -- SECONDS [SEED]`.

use outside::fuzz::targets::TARGETS;
use outside::fuzz::{Draws, mutated, tried};
use rstest::rstest;

#[rstest]
fn nothing_panics_or_runs_on_and_all_say_the_same_twice(
    #[values(
        "record",
        "method",
        "table",
        "JSON Lines",
        "answers",
        "bench sheet",
        "captions",
        "template",
        "verify",
        "photo",
        "command"
    )]
    name: &str,
) {
    let target = TARGETS.iter().find(|t| t.name == name).expect("a target");
    let seeds = (target.seeds)();
    assert!(seeds.len() > 1, "{name} has texts to start from");
    for seed in &seeds {
        tried(target, seed).unwrap_or_else(|f| panic!("{name} as it stands: {}", f.what));
    }
    let mut draws = Draws::new(1);
    for number in 0..target.draws {
        let text = mutated(&seeds, &mut draws);
        if let Err(fault) = tried(target, &text) {
            panic!("{name}, draw {number}: {}\n{}", fault.what, String::from_utf8_lossy(&fault.text));
        }
    }
}

#[test]
fn every_target_is_run() {
    assert_eq!(TARGETS.len(), 11, "name the new one above");
}

/// The draws do change texts, and in every way they can.
#[test]
fn draws_change_texts() {
    let seeds = vec![b"a: 1\nb: 22\nc: [3, 4]\n".to_vec(), b"x\ny\n".to_vec()];
    let mut draws = Draws::new(1);
    let made: std::collections::BTreeSet<Vec<u8>> = (0..500).map(|_| mutated(&seeds, &mut draws)).collect();
    assert!(made.len() > 400, "{}", made.len());
    assert!(made.iter().any(|t| std::str::from_utf8(t).is_err()) && made.iter().any(|t| t.len() > 1_000));
}
