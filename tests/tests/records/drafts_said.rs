//! What a draft makes of what is said: nothing more, nothing lost. The law behind each test stands in the issue that asked for
//! drafts: every cue with a trade word appears exactly once, and nothing is drafted that its stretch doesn't say.

use rstest::rstest;
use scoring::draft::segment::DraftedAction;
use scoring::draft::sheet::Sheet;
use scoring::draft::{Draft, list, write};
use scoring::text::Source;
use scoring::vocab::Category;

/// Captions of lines that follow one another without a pause; an empty one is a pause.
fn captions(lines: &[&str]) -> Draft {
    let mut text = String::new();
    for (i, line) in lines.iter().enumerate().filter(|(_, l)| !l.is_empty()) {
        let (at, end) = (i * 4, i * 4 + 4);
        text += &format!(
            "{}\n00:{:02}:{:02},000 --> 00:{:02}:{:02},000\n{line}\n\n",
            i + 1,
            at / 60,
            at % 60,
            end / 60,
            end % 60
        );
    }
    Draft::of(&Source::new("talk.srt", &text))
}

fn record(draft: &Draft) -> String {
    write::record(&sheet(draft))
}

fn sheet(draft: &Draft) -> Sheet {
    draft.sheet("talk.srt", "Thing", Category::OTHER)
}

/// `free lid`, `do unplug fan`.
fn named(draft: &Draft) -> Vec<String> {
    let word = |e: &DraftedAction| if e.frees { "free" } else { "do" };
    draft.sorted.entries.iter().map(|e| format!("{} {}", word(e), e.name)).collect()
}

fn held(draft: &Draft, name: &str) -> Vec<&'static str> {
    let entry = draft.sorted.entries.iter().find(|e| e.name == name).unwrap();
    entry.fasteners.iter().flatten().map(|f| f.name).collect()
}

/// Unplugging frees nothing, whatever else is said of the plug; the part comes off where that is said, however much later.
#[rstest]
#[case(&["now disconnect the power board", "that's a four pin at the back", "", "next the fan", "two screws ph0 and the fan comes out"],
       &["do unplug power board", "free fan"])]
#[case(&["i disconnect the display with a spudger, there is a latch", "", "the fan comes out, two screws", "", "now the display comes off"],
       &["do unplug display", "free fan", "free display"])]
#[case(&["so the battery is disconnected first", "", "now it's got two screws ph0", "and the battery comes out"],
       &["do unplug battery", "free battery"])]
fn what_is_unplugged_is_taken_off_later(#[case] lines: &[&str], #[case] wanted: &[&str]) {
    assert_eq!(named(&captions(lines)), wanted);
}

/// Screws of a part undone, another part in between, and then the part: its removal is not lost.
#[test]
fn a_removal_told_later_is_kept() {
    let draft = captions(&[
        "okay the battery first two screws ph0 on the side",
        "",
        "now the speaker",
        "one screw ph0 and out it comes",
        "",
        "and the battery comes out",
    ]);
    assert_eq!(named(&draft), ["free battery", "free speaker"]);
    assert!(draft.sorted.entries[0].off, "{:#?}", draft.sorted.entries[0]);
    let text = record(&draft);
    let above = text.split("- free: battery").next().unwrap();
    assert!(above.contains("and the battery comes out"), "{text}");
}

/// What is named in passing stands in the draft, once.
#[rstest]
#[case("there's a metal comb under here")]
#[case("and an ostrel badge on the front")]
#[case("the steel doofer just slides out")]
#[case("i take the gubbins off with a spudger")]
fn what_is_named_in_passing_is_not_lost(#[case] line: &str) {
    let text = record(&captions(&["the lid is off four screws ph0", "", line, "", "see you next week"]));
    assert_eq!(text.matches(line).count(), 1, "{text}");
}

/// A word of the trade that is a verb, a look or a place is no joint.
#[rstest]
#[case("i snap a photo and the fan comes out three screws", "fan", &["screw"])]
#[case("catch you later, the fan comes out, three screws", "fan", &["screw"])]
#[case("past the clipped corner the fan comes out, three screws", "fan", &["screw"])]
#[case("the fan lifts out", "fan", &[])]
fn no_joint_is_drafted_that_is_not_said(#[case] line: &str, #[case] part: &str, #[case] wanted: &[&str]) {
    let draft = captions(&["the lid is off four screws ph0", "", line]);
    assert_eq!(held(&draft, part), wanted, "{}", record(&draft));
}

/// A cable pushed aside with a tool is not unplugged.
#[test]
fn a_cable_pushed_aside_is_not_unplugged() {
    let draft = captions(&["the lid is off four screws ph0", "", "there's a cable here i push it aside with tweezers"]);
    assert_eq!(named(&draft), ["free lid"]);
}

/// A number put right is no number denied, and a plug of four pins is held by none.
#[rstest]
#[case("the fan has four no five screws t10 and comes out", "fan", "5 x screw T10")]
#[case("the fan has three screws t8 no sorry t10 and comes out", "fan", "3 x screw T10")]
#[case("unplug the drive two cables data and power", "unplug drive", "2 x connector")]
#[case("the speakers come out two screws each", "speakers", "unknown x screw")]
fn counts_are_as_said(#[case] line: &str, #[case] name: &str, #[case] wanted: &str) {
    let draft = captions(&["the lid is off six screws ph0", "", line]);
    let sheet = sheet(&draft);
    let row = sheet.rows.iter().find(|r| r.name == name).unwrap_or_else(|| panic!("{}", write::record(&sheet)));
    assert_eq!(row.fasteners.as_deref().unwrap_or_default(), [wanted]);
}

/// "Those" and "that" behind screws are what was pointed at just before; a size with a point counts nothing.
#[test]
fn what_was_pointed_at_is_what_lifts_out() {
    let draft = captions(&[
        "the lid is off six screws ph0",
        "",
        "under there it's a heat shield",
        "so four more screws phillips two",
        "and that lifts out too",
        "",
        "now a two point three triangle bit and two screws",
        "and the fan comes out",
    ]);
    assert_eq!(named(&draft), ["free lid", "free heat shield", "free fan"]);
    let sheet = sheet(&draft);
    assert_eq!(sheet.rows[1].fasteners.as_deref(), Some(&["4 x screw PH2".to_owned()][..]));
    assert_eq!(sheet.rows[2].tools, ["triangle 2.3 mm"]);
}

/// Captions that end at a width, as programs that caption by themselves write them: sentences are found by their words, so
/// that what is said of one part isn't drafted of the next.
#[test]
fn captions_that_break_at_a_width_are_cut_at_words() {
    let talk = "okay so the back cover has six screws torx five and then it lifts off now the battery is glued down i pull the \
                two tabs and it comes out so the fan is three screws ph one and the fan comes out then disconnect the display \
                cable and the display is held by four clips go round with the spudger and the display comes off now the main \
                board has five screws ph zero and the main board lifts out and the camera just lifts out as well";
    let mut lines: Vec<String> = vec![String::new()];
    for word in talk.split(' ') {
        let last = lines.last_mut().unwrap();
        if last.len() + 1 + word.len() > 30 {
            lines.push(word.to_owned());
        } else {
            *last = format!("{last} {word}").trim().to_owned();
        }
    }
    let draft = captions(&lines.iter().map(String::as_str).collect::<Vec<_>>());
    assert_eq!(
        named(&draft),
        [
            "free back cover",
            "free battery",
            "free fan",
            "do unplug display cable",
            "free display",
            "free main board",
            "free camera"
        ]
    );
    assert_eq!(held(&draft, "fan"), ["screw"]);
    assert_eq!(held(&draft, "display"), ["clip"]);
}

/// A list that was changed by hand: what is not marked makes no role, and words of a row that is dropped stay.
#[test]
fn a_row_of_a_list_makes_a_role_only_where_it_says_so() {
    let text = "use,time,part,role,off,with,held by,words\n\
                keep,0:10,lid,,yes,,,lid off\n\
                keep,0:20,battery,yes,yes,,,battery out\n\
                keep,0:30,fan,,no,,glue,fan stays\n\
                drop,0:40,badge,,,,,a badge here\n\
                drop,0:44,comb,,,,,\n\
                against,0:50,,,,,,so annoying\n\
                verdict,1:00,6/10,,,,,six out of ten\n";
    let sheet = list::read(&Source::new("l.csv", text), 0, "Thing", Category::OTHER).unwrap();
    let text = write::record(&sheet);
    let roles: Vec<&str> = text.lines().filter(|l| l.contains("weight: 1")).map(str::trim).collect();
    assert_eq!(roles.len(), 1, "{text}");
    assert!(roles[0].starts_with("battery:"), "{text}");
    for said in ["# 0:40 a badge here\n", "0:44 comb\n", "against: \"so annoying\"", "own verdict: 6/10"] {
        assert!(text.replace("#   0", "# 0").contains(said), "{said} in\n{text}");
    }
}

/// Nothing is drafted that was not done: what is only judged at the end, left in place, told as how things stand, or to be undone later.
#[rstest]
#[case(&["the lid comes off four screws ph1", "", "so yeah not bad", "the tape ring is annoying but it's all screws", "i'd say six out of ten"], &["free lid"])]
#[case(&["the lid comes off four screws ph1", "", "i'm not taking the motor out", "it's held with two screws"], &["free lid", "free motor"])]
#[case(&["the filter comes out", "", "there are six screws in the grille", "and with the filter out the grille lifts away"], &["free filter", "free grille"])]
#[case(&["the lid has one screw under the sticker", "i peel the sticker off", "and now the lid comes off"], &["free sticker", "free lid"])]
#[case(&["the belt just slips off the pulley"], &["free belt"])]
#[case(&["the lid comes off two screws", "there's one plug on it which i unplug"], &["free lid"])]
#[case(&["the battery", "it's stuck in there with some tape", "unplug it first", "and then the pick goes under", "and the battery comes out"], &["do unplug battery", "free battery"])]
#[case(&["the board comes out two screws", "", "the usb board has two screws", "and the usb board lifts out"], &["free board", "free usb board"])]
fn what_is_only_said_is_not_done(#[case] lines: &[&str], #[case] wanted: &[&str]) {
    assert_eq!(named(&captions(lines)), wanted);
}

/// A line of notes is about what stands first on it, whether a list has it or not; several sentences of one are of the same part,
/// several removals are several.
#[rstest]
#[case("0:10 planetary: roll pin driven out with a pin punch", &["free planetary"])]
#[case("0:10 unplug speed board - 6 spades", &["do unplug speed board"])]
#[case("0:10 drip tray lifted out, water tank off (just sits)", &["free drip tray", "free water tank"])]
#[case("0:10 belt taken off the pulley by hand", &["free belt"])]
#[case("0:10 back plate pulled straight out of its slot, no screws", &["free back plate"])]
#[case("Mixer, unplugged since yesterday\n0:10 lid, 2 clips\n0:20 fan, 2 screws", &["free lid", "free fan"])]
#[case("time,name\n0:10,lid\n0:20,battery\n0:30,doofer\n0:40,coffee\n0:50,unplug fan\n", &["free lid", "free battery", "free doofer", "do unplug fan"])]
fn a_line_is_about_what_stands_first_on_it(#[case] text: &str, #[case] wanted: &[&str]) {
    assert_eq!(named(&Draft::of(&Source::new("notes.txt", text))), wanted);
}

/// Numbers belong to one kind of fastener each, sizes to their drive.
#[rstest]
#[case("0:10 lid: 2 screws, tape", &["2 x screw", "1 x film adhesive"])]
#[case("0:10 lid: 4x PH1 + ground screw (PH2)", &["4 x screw PH1", "1 x screw PH2"])]
#[case("0:10 lid: 6x T20, one of them TR20", &["5 x screw T20", "1 x screw TR20"])]
#[case("0:10 lid: 4 allen bolts 5 mm", &["4 x bolt hex 5 mm"])]
#[case("0:10 lid: four bolts with a nut each", &["4 x bolt", "4 x nut"])]
#[case("0:10 lid: a clip on either side", &["2 x clip"])]
fn a_number_is_spent_once(#[case] text: &str, #[case] wanted: &[&str]) {
    let sheet = sheet(&Draft::of(&Source::new("notes.txt", text)));
    let held: Vec<&str> = sheet.rows[0].fasteners.iter().flatten().map(|s| &**s).collect();
    assert_eq!(held, wanted);
}
