//! Records that are heavy to work out, made by fixed rules: what `tests/benches/quick.rs` measures. `cargo run -p
//! unfasten-tests --example heavy -- DIR` writes them as files.
//!
//! Invented throughout; nothing is drawn from the clock, so every machine makes the same bytes.
#![allow(unreachable_pub, dead_code, reason = "taken in by a bench, an example and a test, each of which uses some")]
#![allow(clippy::missing_panics_doc, reason = "indices of lists made here")]

use std::fmt::Write as _;

/// Roles a smartphone is asked for; the last parts of a record fill them.
const ROLES: [&str; 9] = [
    "battery",
    "display assembly",
    "back cover",
    "rear camera",
    "front camera",
    "charging port",
    "button",
    "microphone",
    "speaker",
];

/// Ways to loosen something: tools, fastener.
const WAYS: [(&str, &str); 7] = [
    ("PH0", "2 x screw PH0"),
    ("hands", "3 x clip"),
    ("[heat pad, opening pick]", "{fastener: film adhesive, kind: removable}"),
    ("T5", "3 x screw T5"),
    ("spudger", "connector"),
    ("[isopropyl alcohol, prying lever]", "{fastener: film adhesive, kind: neither}"),
    ("tweezers + spudger", "2 x spring"),
];

/// A fixed sequence of draws (Knuth's multiplicative step; the high bits pick).
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).expect("31 bits") % n.max(1)
    }
}

/// All places a phone is asked for and has no part for.
const ABSENT: &str = "absent: [memory tray, audio connector, protective foil, charger, hinge assembly, display folding \
                      mechanism, sim tray, vibration motor]";

fn head(name: &str, parts: usize) -> String {
    let mut out = format!(
        "unfasten: 1\ndevice: {{name: {name}, maker: Ostrel, category: smartphone, form: not folding, price: 300 EUR}}\nteardown: {{place: use, \
         skill: generalist}}\nparts:\n"
    );
    for (place, role) in ROLES.iter().enumerate() {
        writeln!(out, "  p{}: {{role: {role}, paired: no}}", parts - 1 - place).expect("a text grows");
    }
    writeln!(out, "{ABSENT}\nactions:").expect("a text grows");
    out
}

/// A phone of `parts` parts, each with several ways that need one or two of the six parts before it. At least ten parts.
pub fn many_ways(parts: usize, ways: usize) -> String {
    let mut dice = Dice(1);
    let mut out = head(&format!("{parts} x {ways}"), parts);
    for part in 0..parts {
        for way in 0..ways {
            let (with, loosen) = WAYS[(dice.below(WAYS.len()) + way) % WAYS.len()];
            let mut near = |few: usize| part - 1 - dice.below(part.min(few));
            let after = match part {
                0 => String::new(),
                1 => "p0".to_owned(),
                _ => format!("p{}, p{}", near(3), near(6)),
            };
            writeln!(out, "  - {{id: p{part} {way}, free: p{part}, with: {with}, loosen: {loosen}, after: [{after}]}}")
                .expect("a text grows");
        }
    }
    out
}

/// A phone of so many actions, each of which frees a part and needs one of three parts before it, or two others.
pub fn alternatives(actions: usize) -> String {
    let mut dice = Dice(2);
    let mut out = head(&format!("{actions} with any"), actions);
    for part in 0..actions {
        let (with, loosen) = WAYS[dice.below(WAYS.len())];
        let mut near = || format!("p{}", part - 1 - dice.below(part.min(40)));
        let after = if part < 4 {
            String::new()
        } else {
            format!("{{any: [{}, {}, [{}, {}]]}}", near(), near(), near(), near())
        };
        writeln!(out, "  - {{free: p{part}, with: {with}, loosen: {loosen}, after: [{after}]}}").expect("a text grows");
    }
    out
}

/// Covers over latches: a point of the affine space of this dimension over three elements is a cover, each line a latch
/// that opens once one of its three covers is off; the core needs all latches. The fewest covers are all points but a largest
/// set without a line: of 27 points 27 - 9, of 81 points 81 - 20 (sequence A090245 of the encyclopedia of integer sequences).
pub fn covers(dimension: u32) -> String {
    let points = 3_usize.pow(dimension);
    let digit = |point: usize, place: u32| point / 3_usize.pow(place) % 3;
    // The third point of the line through two: the digits add up to nought.
    let third = |a: usize, b: usize| -> usize {
        (0..dimension).map(|d| (6 - digit(a, d) - digit(b, d)) % 3 * 3_usize.pow(d)).sum()
    };
    let mut out = format!(
        "unfasten: 1\ndevice: {{name: Covers {points}, maker: Ostrel, category: other}}\nteardown: {{place: use, skill: \
         layman}}\nroles: {{core: {{weight: 1}}}}\nparts: {{core: {{role: core, paired: no}}}}\nactions:\n"
    );
    for point in 0..points {
        writeln!(out, "  - {{free: cover {point}, with: hands, loosen: clip, after: []}}").expect("a text grows");
    }
    let mut latches = Vec::new();
    for a in 0..points {
        for b in a + 1..points {
            let c = third(a, b);
            if c > b {
                let latch = format!("latch {a} {b} {c}");
                writeln!(
                    out,
                    "  - {{do: {latch}, with: hands, loosen: clip, after: [{{any: [cover {a}, cover {b}, cover {c}]}}]}}"
                )
                .expect("a text grows");
                latches.push(latch);
            }
        }
    }
    writeln!(out, "  - {{free: core, with: hands, loosen: clip, after: [{}]}}", latches.join(", "))
        .expect("a text grows");
    out
}

/// The first draft of a phone: what came off in which order and what held it, nothing else.
pub fn first_draft() -> String {
    let roles = ["cell", "cam", "fcam", "spk", "port", "mic", "btn", "disp"];
    let mut out = String::from(
        "unfasten: 1\ndevice: {name: P, maker: Ostrel, category: smartphone}\nteardown: {place: use, skill: layman}\nparts: \
         {back: {role: back cover}, cell: {role: battery}, disp: {role: display assembly}, port: {role: charging port}, cam: \
         {role: rear camera}, spk: {role: speaker}, mic: {role: microphone}, fcam: {role: front camera}, btn: {role: \
         button}}\nactions:\n",
    );
    for part in ["back", "frame", "shield"].into_iter().chain(roles) {
        writeln!(out, "  - {{free: {part}, loosen: screw}}").expect("a text grows");
    }
    out
}

/// A phone of the samples as its record stands, but for the line that says which parts the device doesn't have.
pub fn without_absent(sample: &str) -> String {
    sample.lines().filter(|l| !l.starts_with("absent:")).map(|l| format!("{l}\n")).collect()
}

/// Every one with the name of its file.
pub fn all(phone: &str) -> Vec<(&'static str, String)> {
    vec![
        ("first-draft.yaml", first_draft()),
        ("without-absent.yaml", without_absent(phone)),
        ("ways-30-5.yaml", many_ways(30, 5)),
        ("ways-400-5.yaml", many_ways(400, 5)),
        ("any-2000.yaml", alternatives(2000)),
        ("covers-27.yaml", covers(3)),
        ("covers-81.yaml", covers(4)),
    ]
}
