//! What is open as questions: which come first, which are asked once, and that answers, one after the other, make the record
//! somebody would have written by hand.

use proptest::prelude::*;
use rstest::rstest;
use scoring::method::{Method, load_shipped};
use scoring::range::asking::{Ask, Found, To, asks, asks_of, most};
use scoring::range::{Effort, Study, fitted};
use scoring::record::{self, Record};
use scoring::text::edit::change;
use scoring::text::{Severity, Source, Sources};

fn method(record: &Record) -> Method {
    fitted(&load_shipped("en-45554").unwrap(), record)
}

fn read(text: &str) -> Result<(Sources, Record), String> {
    let mut sources = Sources::new();
    let file = sources.add(Source::new("x.yaml", text));
    let read = record::read(&sources, file);
    match read.diagnostics.iter().find(|d| d.severity == Severity::Error) {
        Some(error) => Err(error.message.clone()),
        None => Ok((sources, read.record.unwrap())),
    }
}

fn open(text: &str) -> Vec<Ask> {
    let (sources, record) = read(text).unwrap();
    asks(&record, &sources, &method(&record))
}

/// A draft as somebody gets it, and the record they would write: everything `seen`, everything filled in, nothing else touched.
const OPEN: &str = "unfasten: 1   # mine
device: {name: Lantern, category: other}
teardown: {place: unknown, skill: unknown}   # where?
roles:
  cell: {weight: 1, basis: drafted}   # what the speaker came for
  board: {weight: 1, basis: drafted}   # named 4 times
parts:
  cell: {role: cell}
  board: {role: board}
actions:
  # 0:10 lid off
  - free: lid
    at: 0:10
    with: unknown   # by hand?
    loosen: 2 x clip
    after: unknown
    basis: drafted

  - do: unplug cell
    at: 0:15
    with: unknown
    loosen: connector
    after: unknown
    basis: drafted
  - free: cell
    at: 0:20
    with: spudger
    loosen: adhesive   # which?
    after: unknown
    basis: drafted
  - do: unplug lamp
    at: 0:25
    with: unknown
    loosen: connector
    after: unknown
    basis: drafted
  - free: board
    at: 0:30
    with: PH0
    loosen: 3 x screw PH0
    after: unknown
    basis: drafted
# the end
";

/// What each question is answered, by the start of its key.
const SAID: [(&str, &str); 19] = [
    ("roles", "cell = 2, board"),
    ("teardown.place; teardown.skill", "layman, use"),
    ("actions[0].basis", "seen"),
    ("actions[1].basis", "seen"),
    ("actions[2].basis", "seen"),
    ("actions[3].basis", "seen"),
    ("actions[4].basis", "seen"),
    ("closed device", "none"),
    ("once off or done: lid", "unplug cell, 3"),
    ("once off or done: unplug cell", "cell"),
    ("once off or done: cell", "none"),
    ("once off or done: unplug lamp", "board"),
    ("actions[0].with", "[hands, spudger]"),
    ("actions[1].with; actions[3].with", "hands"),
    ("actions[2].loosen.kind", "comes off clean"),
    ("parts.cell.paired", "yes"),
    ("support.spare parts.every part.to", "public"),
    ("support.spare parts.every part.interface", "standard part"),
    ("support.information.to", "none"),
];

#[test]
fn question_by_question_makes_the_record_written_by_hand() {
    let by_hand = OPEN
        .replace("{place: unknown, skill: unknown}", "{place: use, skill: layman}")
        .replace("cell: {weight: 1, basis: drafted}", "cell: {weight: 2}")
        .replace("board: {weight: 1, basis: drafted}", "board: {weight: 1}")
        .replace("with: unknown   # by hand?", "with: [hands, spudger]   # by hand?")
        .replace("with: unknown\n", "with: hands\n")
        .replace("loosen: adhesive   # which?", "loosen: {fastener: adhesive, kind: removable}   # which?")
        .replace("  cell: {role: cell}", "  cell: {role: cell, paired: yes}")
        .replace("basis: drafted\n", "basis: seen\n");
    let mut lines: Vec<String> = by_hand.lines().map(str::to_owned).collect();
    // Orders, action by action; that of the first one is not open.
    for (action, after) in
        [("unplug cell", "lid"), ("cell", "unplug cell"), ("unplug lamp", "lid"), ("board", "unplug lamp")]
    {
        let at = lines.iter().position(|l| l.ends_with(&format!(": {action}")) && l.starts_with("  - ")).unwrap();
        let line = lines[at..].iter().position(|l| l.contains("after: unknown")).unwrap();
        lines[at + line] = format!("    after: {after}");
    }
    let by_hand = lines.join("\n")
        + "\nsupport: {spare parts: {every part: {to: public, interface: standard part}}, information: {to: none}}\n";
    // A field nobody had is written behind the last entry.
    let by_hand = by_hand.replace("# the end\n", "") + "# the end\n";
    let mut text = OPEN.to_owned();
    let mut passed: Vec<String> = Vec::new();
    for _ in 0..60 {
        let Some(ask) = open(&text).into_iter().find(|a| !passed.contains(&a.key)) else { break };
        let said = SAID.iter().find(|(key, _)| *key == ask.key);
        // Lists are ticked once; what nobody knows is passed over.
        if said.is_none() || matches!(ask.to, To::Order(..) | To::Looked) {
            passed.push(ask.key.clone());
        }
        let Some((_, answer)) = said else { continue };
        let (_, record) = read(&text).unwrap();
        let changes = ask.changes(answer, &record).unwrap_or_else(|no| panic!("{}: {}", ask.key, no.what));
        text = change(&Source::new("x", &text), &changes).unwrap_or_else(|e| panic!("{}: {e:?}", ask.key));
        read(&text).unwrap_or_else(|e| panic!("{}: {e}\n{text}", ask.key));
    }
    let left: Vec<String> = open(&text).into_iter().map(|a| a.key).collect();
    assert_eq!(text, by_hand, "{left:?}");
    let (_, record) = read(&text).unwrap();
    assert_eq!(record.drafted().count() + record.proposed.len(), 0);
}

#[test]
fn the_order_is_that_of_a_bench() {
    let asked = open(OPEN);
    let keys: Vec<&str> = asked.iter().map(|a| &*a.key).collect();
    assert_eq!(keys[..3], ["roles", "teardown.place; teardown.skill", "actions[0].basis"], "{keys:#?}");
    let groups: Vec<Found> = asked.iter().map(|a| a.found).collect();
    assert!(groups.is_sorted(), "{groups:?}");
    // In the footage in its order, lists to tick among it; times only go back for orders asked one by one.
    let times: Vec<u32> = asked.iter().filter(|a| a.found == Found::Footage && !a.last).filter_map(|a| a.at).collect();
    assert!(times.is_sorted(), "{times:?}");
    // Promises behind one question.
    let gate = keys.iter().position(|k| *k == "support").unwrap();
    assert!(asked.iter().enumerate().all(|(i, a)| !a.promise || i > gate));
    // Alike ones once: two plugs, two parts.
    assert!(keys.contains(&"actions[1].with; actions[3].with"), "{keys:#?}");
    assert!(keys.contains(&"parts.cell.paired; parts.board.paired"), "{keys:#?}");
    let plugs = asked.iter().find(|a| a.key.starts_with("actions[1].with")).unwrap();
    assert!(plugs.question.starts_with("2 times connectors"), "{}", plugs.question);
    assert_eq!(plugs.apart().len(), 2);
    // Kinds in the words of a bench, skill with what it means.
    let kind = asked.iter().find(|a| a.key.ends_with(".kind")).unwrap();
    let words: Vec<&str> = kind.offers.iter().map(|o| &*o.answer).collect();
    assert_eq!(
        words,
        ["a new one comes with the spare", "a new one must be bought", "comes off clean", "leaves residue or damage"]
    );
    let place = &asked[1];
    assert!(place.form.contains("not who you are") && place.offers.iter().all(|o| !o.means.is_empty()), "{place:#?}");
}

/// Order is asked only where it lies before a part that counts: behind the last of them nothing is asked.
#[test]
fn order_is_asked_before_parts_that_count_only() {
    let text = OPEN.replace(
        "# the end\n",
        "  - free: foot\n    at: 0:40\n    with: unknown\n    loosen: unknown\n    after: unknown\n",
    );
    for ask in open(&text) {
        assert!(!ask.key.contains("actions[5]"), "{}", ask.key);
        if let To::Order(_, of) = &ask.to {
            assert!(of.iter().all(|o| o.name != "foot"), "{}", ask.key);
        }
    }
}

#[rstest]
#[case("roles", "cell, wick", "`wick` is not in the list")]
#[case("roles", "bord", "`bord` is not in the list")]
#[case("roles", "cell = none", "`none` is no share")]
#[case("teardown.place; teardown.skill", "use", "2 answers are wanted")]
#[case("teardown.place; teardown.skill", "use, workshop", "the second of its kind")]
#[case("teardown.place; teardown.skill", "use, wizard", "neither a place nor a skill")]
#[case("actions[0].basis", "maybe", "does not say whether it was so")]
#[case("once off or done: lid", "foot", "`foot` is not in the list")]
#[case("support", "perhaps", "neither yes nor no")]
fn answers_that_cannot_stand_say_why(#[case] key: &str, #[case] answer: &str, #[case] said: &str) {
    let (_, record) = read(OPEN).unwrap();
    let ask = open(OPEN).into_iter().find(|a| a.key == key).unwrap();
    let no = ask.changes(answer, &record).unwrap_err();
    assert!(no.what.contains(said) && !no.mend.is_empty(), "{no:?}");
}

#[test]
fn a_drafted_action_is_dropped_or_set_right() {
    let (_, record) = read(OPEN).unwrap();
    let ask = open(OPEN).into_iter().find(|a| a.key == "actions[3].basis").unwrap();
    let dropped = change(&Source::new("x", OPEN), &ask.changes("drop", &record).unwrap()).unwrap();
    let gone = "  - do: unplug lamp\n    at: 0:25\n    with: unknown\n    loosen: connector\n    after: unknown\n    basis: drafted\n";
    assert_eq!(dropped, OPEN.replace(gone, ""));
    let right = ask.changes("with: tweezers; loosen: 2 x connector", &record).unwrap();
    let right = change(&Source::new("x", OPEN), &right).unwrap();
    let mended = gone
        .replace("unknown\n    loosen: connector", "tweezers\n    loosen: 2 x connector")
        .replace("drafted", "seen");
    assert_eq!(right, OPEN.replace(gone, &mended));
}

/// Questions of a device whose parts are given: which part fills each role nobody filled.
#[test]
fn roles_nobody_filled_are_asked_first() {
    let text = "unfasten: 1\ndevice: {name: Slab, category: smartphone}\nteardown: {place: use, skill: layman}\nactions:\n  - {free: pack, with: hands, loosen: nothing, after: []}\n";
    let asked = open(text);
    assert_eq!(asked[0].found, Found::Parts);
    let battery = asked.iter().find(|a| a.key == "parts (battery)").unwrap();
    let (_, record) = read(text).unwrap();
    let made = |answer: &str| change(&Source::new("x", text), &battery.changes(answer, &record).unwrap()).unwrap();
    assert!(made("pack").ends_with("parts: {pack: {role: battery}}\n"), "{}", made("pack"));
    assert!(made("none").ends_with("absent: [battery]\n"));
    assert!(made("not tried").ends_with("parts: {battery: {role: battery, outcome: not attempted}}\n"));
    for answer in ["pack", "none", "not tried"] {
        assert!(open(&made(answer)).iter().all(|a| a.key != "parts (battery)"), "{answer}");
    }
}

/// Of a part that is offered to nobody there is nothing to buy: how long, how fast and for how much is not asked, whether the record
/// leaves it out or says `unknown` beside `to: none`. Who pairs it, and how it is made, is asked where a method reads that.
#[rstest]
fn what_nobody_can_buy_has_no_years_price_or_delivery(
    #[values("en-45554", "eu-2023-1670")] id: &str,
    #[values("", ", years: unknown, price: unknown, delivery: unknown")] said: &str,
) {
    let phone = std::fs::read_to_string(format!("{}/../samples/bar-phone.yaml", env!("CARGO_MANIFEST_DIR"))).unwrap();
    let (from, to) = (phone.find("  spare parts:\n").unwrap(), phone.find("  information: {").unwrap());
    let spares = |line: &str| format!("{}  spare parts:\n    every part: {line}\n{}", &phone[..from], &phone[to..]);
    let keys = |line: &str| -> Vec<String> {
        let (sources, record) = read(&spares(line)).unwrap();
        let method = fitted(&load_shipped(id).unwrap(), &record);
        asks(&record, &sources, &method).into_iter().map(|a| a.key).filter(|k| k.contains("spare parts")).collect()
    };
    let bought = |k: &String| ["years", "price", "delivery"].iter().any(|f| k.ends_with(f));
    let refused = keys(&format!("{{to: none{said}}}"));
    assert!(!refused.iter().any(bought), "{refused:?}");
    // Offered to somebody, they are asked.
    let offered = keys("{to: public}");
    assert!(offered.iter().any(bought), "{offered:?}");
}

/// What the questions that matter most would do lies within what is open now: answers never widen a range.
#[test]
fn the_most_useful_questions_narrow() {
    let text = OPEN.replace("basis: drafted}", "basis: seen}");
    let (sources, record) = read(&text).unwrap();
    let method = method(&record);
    let study = Study::new(&record, &method, Effort::default());
    let asked = asks_of(&record, &sources, &method, &study.case);
    let found = most(&study, &asked, 3).unwrap();
    assert_eq!(found.asks.len(), 3);
    let (low, high) = (found.now.low.clone().unwrap(), found.now.high.clone().unwrap());
    for then in &found.then {
        assert!(then.low.as_ref().unwrap() >= &low && then.high.as_ref().unwrap() <= &high, "{then:?}");
    }
    assert!(found.then[0].high < found.now.high && found.then[1].low > found.now.low, "{:?}", found.then);
}

/// Answers offered, picked at random: the record reads, comments stand as they stood, and no line changes but those that an
/// answer is about.
fn picks() -> impl Strategy<Value = Vec<(prop::sample::Index, usize)>> {
    prop::collection::vec((any::<prop::sample::Index>(), 0_usize..4), 1..14)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(8))]

    #[test]
    fn any_offered_answer_keeps_all_else(picks in picks()) {
        let mut text = OPEN.to_owned();
        for (which, offer) in picks {
            let asked = open(&text);
            let ask = which.get(&asked);
            let (_, record) = read(&text).unwrap();
            let answer = match ask.offers.get(offer % ask.offers.len().max(1)) {
                Some(offer) => offer.answer.clone(),
                None => "unknown".to_owned(),
            };
            let Ok(changes) = ask.changes(&answer, &record) else {
                prop_assert!(matches!(ask.to, To::Each(_)), "{} refuses its own answer {answer}", ask.key);
                continue;
            };
            let Ok(after) = change(&Source::new("x", &text), &changes) else {
                return Err(TestCaseError::fail(format!("{}: {answer}: {changes:?}\n{text}", ask.key)));
            };
            // Dropping an action that something needs is refused by the reading, and then nothing is written.
            if read(&after).is_err() {
                prop_assert!(answer == "drop", "{}: {answer}\n{after}", ask.key);
                continue;
            }
            let kept = |t: &str| -> Vec<String> { t.lines().filter(|l| l.trim_start().starts_with('#')).map(str::to_owned).collect() };
            prop_assert_eq!(kept(&text), kept(&after));
            // As many lines differ as there are places, and what an entry of its own adds or takes.
            let (old, new): (Vec<&str>, Vec<&str>) = (text.lines().collect(), after.lines().collect());
            let same_head = old.iter().zip(&new).take_while(|(a, b)| a == b).count();
            let same_tail = old.iter().rev().zip(new.iter().rev()).take_while(|(a, b)| a == b).count();
            if changes.len() == 1 && answer != "drop" {
                let touched = old.len().saturating_sub(same_head.min(old.len()) + same_tail.min(old.len() - same_head.min(old.len())));
                prop_assert!(touched <= 1, "{}: {answer}\n{after}", ask.key);
            }
            if changes.is_empty() {
                prop_assert_eq!(&text, &after);
            }
            text = after;
        }
    }
}

/// A remark a draft took from the talk is confirmed, turned round, put into words of one's own or taken out; all else stays.
#[rstest]
#[case("for", "{for: good don't, at: 1:36}")]
#[case("1", "{for: good don't, at: 1:36}")]
#[case("against", "{at: 1:36, against: good don't}")]
#[case("against: the foot, torn", "{at: 1:36, against: \"the foot, torn\"}")]
#[case("note: sealed", "{at: 1:36, note: sealed}")]
fn a_drafted_remark_is_put_right(#[case] answer: &str, #[case] then: &str) {
    let text =
        OPEN.to_owned() + "remarks:\n  - {for: good don't, at: 1:36, basis: drafted}\n  - {for: light, at: 2:00}\n";
    let ask = open(&text).into_iter().find(|a| a.key == "remarks[0]").unwrap();
    let (_, record) = read(&text).unwrap();
    let changes = ask.changes(answer, &record).unwrap();
    let made = change(&Source::new("x.yaml", &text), &changes).unwrap();
    assert_eq!(made, text.replace("{for: good don't, at: 1:36, basis: drafted}", then));
    let (_, record) = read(&made).unwrap();
    assert_eq!((record.drafted_remarks().count(), record.remarks.len()), (0, 2));
    assert!(!open(&made).iter().any(|a| a.key.starts_with("remarks")));
}

#[test]
fn a_drafted_remark_that_is_none_is_taken_out() {
    let text = OPEN.to_owned() + "remarks:\n  - {for: good don't, at: 1:36, basis: drafted}\n";
    let ask = open(&text).into_iter().find(|a| a.key == "remarks[0]").unwrap();
    let (_, record) = read(&text).unwrap();
    let made = change(&Source::new("x.yaml", &text), &ask.changes("drop", &record).unwrap()).unwrap();
    assert!(read(&made).unwrap().1.remarks.is_empty(), "{made}");
    assert!(ask.changes("perhaps", &record).unwrap_err().what.contains("whom the remark speaks for"));
}

/// A role of one's own by another name of a known one is that role, unless two of them would be one.
#[rstest]
#[case("battery pack: {weight: 2}\n  motor: {weight: 1}", &["battery", "motor"])]
#[case("battery pack: {weight: 2}\n  battery: {weight: 1}", &["battery pack", "battery"])]
#[case("burr: {weight: 1}", &["burr"])]
fn own_roles_are_called_by_their_names(#[case] roles: &str, #[case] named: &[&str]) {
    let text = format!("unfasten: 1\ndevice: {{name: Mill, category: other}}\nroles:\n  {roles}\n");
    let (_, record) = read(&text).unwrap();
    let own: Vec<&str> = record.own_roles.iter().map(|(name, _)| &*name.value).collect();
    assert_eq!(own, named);
}

/// As much open as a record can have: opened perhaps (in a list, alone, with fields of its own), parts that nobody tried or
/// mentioned, names that may be one part, places in the order, tools, kinds, counts.
const MOST_OPEN: &str = "unfasten: 1
device: {name: Slab, maker: Ostrel, category: smartphone}
teardown: {}
parts:
  lid: {role: back cover}
  pack: {role: battery}
  front eye: {role: front camera, outcome: not attempted}
  sounder: {role: speaker, same as: perhaps buzzer}
actions:
  - {free: lid, with: unknown, loosen: [2 x clip, perhaps connector], after: []}
  - {free: pack, with: hands, loosen: perhaps screw PH0, after: perhaps lid}
  - {free: board, with: PH0 | PH1, loosen: [{fastener: perhaps film adhesive, kind: neither | removable}], after: lid | pack}
  - {free: sounder, with: hands, loosen: {fastener: foam tape, count: unknown}, after: unknown}
  - {free: buzzer, with: hands, loosen: [], after: lid}
  - {free: port, with: spudger, loosen: connector, after: lid, outcome: not attempted}
";

/// Every answer offered to every question can be given: the record reads with it, and is not asked the same again.
#[test]
fn every_answer_offered_settles_its_question() {
    let asked = open(MOST_OPEN);
    let (_, record) = read(MOST_OPEN).unwrap();
    let keys = |list: &[Ask]| list.iter().map(|a| a.key.clone()).collect::<Vec<_>>();
    for wanted in [
        "actions[0].loosen[1]: perhaps connector",
        "actions[1].loosen: perhaps screw PH0",
        "actions[2].loosen[0]: perhaps film adhesive",
        "parts (display assembly)",
    ] {
        assert!(asked.iter().any(|a| a.key == wanted), "{wanted}: {:#?}", keys(&asked));
    }
    // No word answers whether a part nobody tried comes off, and nothing is asked of how one would that nobody mentioned.
    let odd = |k: &String| k == "parts.front eye" || k.contains(") (");
    assert!(!keys(&asked).iter().any(odd), "{:#?}", keys(&asked));
    let mut given = 0;
    for ask in
        asked.iter().filter(|a| !a.promise && !matches!(a.to, To::Order(..) | To::Parts(_) | To::Each(_) | To::Looked))
    {
        for offer in &ask.offers {
            let changes = ask.changes(&offer.answer, &record);
            let changes = changes.unwrap_or_else(|e| panic!("{}: {}: {}", ask.key, offer.answer, e.what));
            let made = change(&Source::new("x.yaml", MOST_OPEN), &changes);
            let made = made.unwrap_or_else(|e| panic!("{}: {}: {e:?}", ask.key, offer.answer));
            read(&made).unwrap_or_else(|e| panic!("{}: {}: {e}\n{made}", ask.key, offer.answer));
            let again = open(&made).iter().any(|a| a.key == ask.key && a.question == ask.question);
            assert!(!again, "{}: {} leaves it open\n{made}", ask.key, offer.answer);
            given += 1;
        }
    }
    assert!(given > 40, "{given}");
}

/// What the line below a question about a promise shows as an answer is one, for one part as for several, asked together or one
/// by one.
#[rstest]
fn answers_shown_as_examples_can_be_given(#[values("en-45554", "eu-2023-1669", "eu-2023-1670")] id: &str) {
    let (sources, record) = read(MOST_OPEN).unwrap();
    let method = fitted(&load_shipped(id).unwrap(), &record);
    let together = asks(&record, &sources, &method);
    let apart: Vec<Ask> = together.iter().filter(|a| a.many() > 1).flat_map(Ask::apart).collect();
    let mut named = 0;
    for ask in together.iter().chain(&apart).filter(|a| a.promise) {
        let forms = ask.forms();
        // Every other piece stands between the marks.
        for example in forms.split('`').skip(1).step_by(2).filter(|e| e.trim() != "|") {
            let changes =
                ask.changes(example, &record).unwrap_or_else(|e| panic!("{}: {example}: {}", ask.key, e.what));
            let made = change(&Source::new("x.yaml", MOST_OPEN), &changes);
            let made = made.unwrap_or_else(|e| panic!("{}: {example}: {e:?}", ask.key));
            read(&made).unwrap_or_else(|e| panic!("{}: {example}: {e}\n{made}", ask.key));
            if example.contains(';') {
                named += 1;
                assert_eq!(changes.len(), 2, "{}: {example}", ask.key);
            } else if let To::Same(of) = &ask.to {
                // One part may be named too.
                let one = ask.clone().apart().remove(0);
                let with_name = one.changes(&format!("{}: {example}", of[0].name), &record);
                assert_eq!(with_name, one.changes(example, &record), "{}: {example}", ask.key);
            }
        }
    }
    assert!(named > 0);
}

#[rstest]
#[case("actions[0].loosen[1]: perhaps connector", "yes", "[2 x clip, connector]")]
#[case("actions[0].loosen[1]: perhaps connector", "no", "[2 x clip]")]
#[case("actions[1].loosen: perhaps screw PH0", "yes", "loosen: screw PH0,")]
#[case("actions[1].loosen: perhaps screw PH0", "2", "loosen: screw PH0,")]
#[case("actions[1].loosen: perhaps screw PH0", "n", "with: hands, loosen: [], after: perhaps lid")]
#[case("actions[2].loosen[0]: perhaps film adhesive", "yes", "{fastener: film adhesive, kind: neither | removable}")]
fn what_was_perhaps_opened_was_or_was_not(#[case] key: &str, #[case] answer: &str, #[case] then: &str) {
    let ask = open(MOST_OPEN).into_iter().find(|a| a.key == key).unwrap();
    let (_, record) = read(MOST_OPEN).unwrap();
    let made = change(&Source::new("x.yaml", MOST_OPEN), &ask.changes(answer, &record).unwrap()).unwrap();
    assert!(made.contains(then), "{made}");
}
