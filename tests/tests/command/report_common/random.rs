//! Records drawn at random, for pages nobody wrote by hand.

use proptest::prelude::*;

const ROLES: [&str; 12] = [
    "battery",
    "keyboard",
    "display assembly",
    "storage drive",
    "fan",
    "memory module",
    "charging port",
    "bottom cover",
    "touchpad",
    "hinge assembly",
    "wireless card",
    "speaker",
];
const NAMES: [&str; 12] = [
    "main cell",
    "keyboard with backlight",
    "panel",
    "drive in the second bay",
    "left fan",
    "memory stick",
    "power socket board",
    "bottom cover",
    "touchpad",
    "left hinge with its very long and winding name",
    "wireless card",
    "right speaker",
];
const TOOLS: [&str; 7] = [
    "hands",
    "PH0",
    "T5",
    "spudger",
    "[heat pad 80 °C 5 min, opening pick]",
    "[isopropyl alcohol, prying lever]",
    "PH00 or PH0",
];
const HELD: [&str; 5] = [
    "4 x clip",
    "7 x screw PH0",
    "{fastener: film adhesive, kind: neither}",
    "{fastener: film adhesive, kind: removable | neither}",
    "[2 x screw T5, clip]",
];

/// A laptop of random ways: what is needed first, tools, fasteners, what failed, what nobody tried, what is destroyed.
pub(crate) fn random() -> impl Strategy<Value = String> {
    let one = (any::<u8>(), any::<u8>(), 0usize..7, 0usize..5, 0u8..12);
    prop::collection::vec(one, 3..12).prop_map(|list| {
        let mut parts = String::new();
        let mut actions = String::new();
        for (i, (need, more, tool, held, odd)) in list.iter().enumerate() {
            let (name, role) = (NAMES[i], ROLES[i]);
            parts.push_str(&format!("  {name}: {{role: {role}, paired: no}}\n"));
            let needs: Vec<String> = (0..i)
                .filter(|j| *j == usize::from(*need) % (i + 1) || *j == usize::from(*more) % (2 * i + 1))
                .map(|j| NAMES[j].to_owned())
                .collect();
            if *odd == 0 {
                actions.push_str(&format!("  - {{free: {name}, id: by force {i}, with: hands, loosen: clip, after: [], outcome: failed, because: it would not move at all}}\n"));
            }
            let mut needs = needs;
            if odd % 3 == 1 {
                actions.push_str(&format!("  - {{do: unplug {i}, with: spudger, loosen: connector, after: [{}], makes safe: {}}}\n", needs.join(", "), if *odd == 4 { "yes" } else { "no" }));
                needs.push(format!("unplug {i}"));
            }
            let end = match odd {
                2 => ", outcome: not attempted",
                3 => ", destroys: [lid film]",
                _ => "",
            };
            actions.push_str(&format!("  - {{free: {name}, at: {}:{:02}, with: {}, loosen: {}, after: [{}]{end}}}\n", i + 1, i, TOOLS[*tool], HELD[*held], needs.join(", ")));
        }
        format!(
            "unfasten: 1\ndevice: {{name: Draw, maker: Ostrel, category: laptop, price: 500 EUR}}\nteardown: {{date: 2026-05-02, place: use, skill: layman}}\nparts:\n  lid film: {{}}\n{parts}actions:\n{actions}"
        )
    })
}
