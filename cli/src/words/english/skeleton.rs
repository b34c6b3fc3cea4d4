//! English: comments of a record to fill in. What stands in it to be read by the program is the format, not words.

/// For what editors read beside a record.
pub(crate) fn schema(file: &str) -> String {
    format!("For completion in an editor: unfasten schema record > {file}")
}

/// What a record is of, for which methods, and how it is filled in.
pub(crate) fn head(category: &str, methods: &[&str]) -> String {
    format!(
        "A record of one {category} taken apart, for {}. Fill in what you established; leave `unknown` what nobody did: it widens the \
         result instead of being guessed. Facts may also be written `a | b`, `3..5` or `at least 3`. Every field, unit and short form \
         is described in samples/README.md. See how far you are with `unfasten check FILE --method {}`.",
        methods.join(", "),
        methods.first().copied().unwrap_or("METHOD"),
    )
}

/// What the reviewer says in the end, and why it is asked for.
pub(crate) const OWN_VERDICT: [&str; 2] =
    ["patient work, nothing breaks", "your gut feeling: shown beside, never mixed in"];

/// A remark against a device, and one for it.
pub(crate) const REMARKS: [&str; 2] = ["no way in without heat", "one screw head throughout"];

/// What a device is called of which nobody knows the name, and what the field is for.
pub(crate) const NAME: [&str; 2] = ["unnamed", "what it is called"];

/// What may be written, beside fields.
pub(crate) const FORM: &str = "or: folding, rollable";
pub(crate) const CONDITION: &str = "new, used, repaired before";
pub(crate) const PRICE: &str = "such as 389 EUR";
pub(crate) const INGRESS: &str = "protection code such as IP67";
pub(crate) const BATTERY: &str = "full cycles to 80 %; capacity left, such as 83 %";
pub(crate) const ENDURANCE: &str = "operations";
pub(crate) const VIDEO: &str = "then `at: 1:20` in an action points into it";
pub(crate) const PLACE: &str = "use, workshop, production-equivalent";
pub(crate) const SKILL: &str = "layman, generalist, expert, manufacturer";

pub(crate) const PARTS: &str = "Parts by names of your own. A part that fills several roles takes a list: {role: [charging port, \
                                microphone]}.";
pub(crate) const PAIRED: &str = "`paired: yes`: coded to this one device, a replacement needs software pairing.";
pub(crate) const UNCOMMENT_PARTS: &str =
    "Take the `# ` off `parts:` and off each part the device has: what stays a comment was never looked at.";

/// What a role weighs, by method.
pub(crate) fn weighs(weights: &[String]) -> String {
    format!("weighs {}", weights.join(", "))
}

/// A weight and its method.
pub(crate) fn weight(weight: &str, method: &str) -> String {
    format!("{weight} ({method})")
}

pub(crate) fn folding(roles: &[String]) -> String {
    format!("A folding device (`form: folding`) has more: move {} up from `absent`.", roles.join(", "))
}

pub(crate) const ABSENT: &str =
    "Roles this device does not have: name them here, and leave their parts and actions out.";
pub(crate) const OWN_ROLES: &str = "Roles of your own and their shares, for methods without weights for this category:";

pub(crate) const ACTIONS: &str = "What was done, in order; take the `# ` off what you did. Each action frees a part (`free:`) or \
                                  does something needed (`do: unplug cell`). Sort them, add what else comes off, and say of each:";

/// What is said of an action: examples of its fields, each with words to be put in their place.
pub(crate) const ACTION: [&str; 5] = [
    "with:    hands; PH0; [heat pad 70 °C 4 min, opening pick]; spudger + tweezers; PH0 or PH1",
    "loosen:  5 x screw PH0; clip; nothing; {fastener: film adhesive, kind: removable | neither}",
    "after:   [] on the closed device; a part or a `do` that comes first; [both, of these]",
    "also:    at: 1:20, makes safe: yes, hazard: lithium cell, refit: {buy: new gasket},",
    "         outcome: failed, outcome: not attempted, because: cable likely to tear",
];

pub(crate) const PER_PART: &str = "one entry a part or role where they differ; `every part` speaks for the rest";

pub(crate) const SUPPORT: &str =
    "What the maker promises. Say where it comes from: {is: 5 years, source: update page of the maker}.";

/// What a fact is, with an example.
pub(crate) fn such_as(what: &str, example: &str) -> String {
    format!("{what}, such as {example}")
}

pub(crate) const MARKS: &str = "Marks out of 10 from a sheet, for methods that take marks as given.";
