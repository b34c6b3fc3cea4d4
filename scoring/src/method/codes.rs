//! Every complaint a method file can get of its own, explained.
//!
//! Complaints any file can get (unknown fields, wrong values, YAML) are registered with the text they come from.

/// A code explained.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Code {
    /// The code, `weights-sum`.
    pub code: &'static str,
    /// What it says, in a few words.
    pub title: &'static str,
    /// Why, and what to do.
    pub text: &'static str,
    /// An extract of a method that gets the complaint; empty where something is missing.
    pub wrong: &'static str,
    /// The same extract mended.
    pub right: &'static str,
}

impl Code {
    /// The example as text: the bad extract, then the mended one.
    pub fn example(&self) -> String {
        let wrong = if self.wrong.trim().is_empty() { "(nothing)" } else { self.wrong.trim_matches('\n') };
        let right = if self.right.trim().is_empty() { "(nothing)" } else { self.right.trim_matches('\n') };
        format!("Instead of\n\n{wrong}\n\nwrite\n\n{right}\n")
    }
}

/// All codes, in the order of a method file.
pub static ALL: &[Code] = &[
    Code {
        code: "missing-source",
        title: "a rule says nowhere where it comes from",
        text: "Every rule and number of a method has a source: its own, that of a block around it, or the one at the top of the file. Without it nobody can check the number, and a verdict that rests on it can't be defended.",
        wrong: "",
        right: "source: our house, own choice\n",
    },
    Code {
        code: "missing-certainty",
        title: "a rule says nowhere how sure it is",
        text: "Every rule and number of a method has a certainty (read, secondary, memory high, memory medium, memory low, derived, own): its own, that of a block around it, or the one at the top of the file. Write `own` for a choice of yours.",
        wrong: "",
        right: "certainty: own\n",
    },
    Code {
        code: "method-version",
        title: "another version of the method format",
        text: "This program reads version 1 of the format. A file of another version may mean something else by the same words.",
        wrong: "unfasten method: 2",
        right: "unfasten method: 1",
    },
    Code {
        code: "not-a-method",
        title: "a record where a method is wanted",
        text: "A method file starts with `unfasten method: 1`, a record with `unfasten: 1`. The two were probably swapped on the command line.",
        wrong: "unfasten: 1",
        right: "unfasten method: 1",
    },
    Code {
        code: "extends-circle",
        title: "methods that extend one another in a circle",
        text: "A method with `extends` starts from another one. Where the chain comes back to a file it has been at (or is longer than eight files), there is nothing to start from.",
        wrong: "title: House\nextends: house\n",
        right: "title: House\n",
    },
    Code {
        code: "extends-unknown",
        title: "a base that can't be found",
        text: "`extends` takes the id of a shipped method or the path of a method file.",
        wrong: "title: House\nextends: hosue\n",
        right: "title: House\n",
    },
    Code {
        code: "duplicate-id",
        title: "two criteria or switches with one id",
        text: "Switches, changes by `extends`, sub-scores and becauses name criteria by id, so every id stands for one.",
        wrong: "- id: steps",
        right: "- id: adhesives",
    },
    Code {
        code: "criterion-kind",
        title: "a criterion that is not exactly one thing",
        text: "A criterion combines others (`of`), scores each part (`each` with `score`, or with `measure`), or reads one measure (`measure`).",
        wrong: "",
        right: "          measure: skill\n",
    },
    Code {
        code: "criterion-empty",
        title: "a criterion with nothing to combine",
        text: "A group without criteria below, a cap or gate without a limit, or an `each` without roles has no value of its own.",
        wrong: "each: []",
        right: "each: highest",
    },
    Code {
        code: "criterion-unknown",
        title: "an id that is no criterion",
        text: "`sub scores`, `headline without support`, `change` and the settings of switches name criteria by id.",
        wrong: "sub scores: [meen]",
        right: "sub scores: [mean]",
    },
    Code {
        code: "each-combine",
        title: "parts combined in a way that has no meaning",
        text: "How many parts there are depends on the device. Their values can be combined by mean, worst or best.",
        wrong: "combine: sum",
        right: "combine: worst",
    },
    Code {
        code: "each-in-each",
        title: "going through parts inside a part",
        text: "Below `each` everything is read for one part, which has no parts of its own.",
        wrong: "          score:\n            each: highest\n            measure: depth\n            bands: {up to 2: 10, up to 6: 5, more: 0}",
        right: "          measure: depth\n          bands: {up to 2: 10, up to 6: 5, more: 0}",
    },
    Code {
        code: "part-measure-outside",
        title: "a measure of a part outside `each`",
        text: "Depth, tools, fasteners and their like are read for one part. Outside `each` there is no part to read them for.",
        wrong: "          measure: skill",
        right: "          each: priority\n          measure: skill",
    },
    Code {
        code: "measure-unknown",
        title: "an unknown measure",
        text: "Measures are a closed set, listed in criteria/README.md.",
        wrong: "measure: skil",
        right: "measure: skill",
    },
    Code {
        code: "reading-unused",
        title: "a place to read where nothing is read on a route",
        text: "`read at` chooses between the whole route and the part. Measures that are not read on a route have neither.",
        wrong: "measure: update years\n          read at: part",
        right: "measure: update years",
    },
    Code {
        code: "points-kind",
        title: "points written in a way the measure can't take",
        text: "Words take `levels`; numbers take `bands`, `linear` or `as is`; offers take `rungs`. Exactly one of them stands in a criterion with a measure.",
        wrong: "bands: {up to 1: 10, more: 0}",
        right: "levels: {layman: 10, generalist: 6, expert: 2, manufacturer: 0}",
    },
    Code {
        code: "band-name",
        title: "a band nobody can read",
        text: "Where fewer is better, bands are named `up to N` and the last `more`; where more is better, `from N` and the last `less`.",
        wrong: "until 6: 5",
        right: "up to 6: 5",
    },
    Code {
        code: "band-order",
        title: "bands that overlap or stand in the wrong order",
        text: "`up to` bounds ascend, `from` bounds descend, and the rest comes last. Otherwise a value would be in two bands.",
        wrong: "up to 6: 10, up to 2: 5",
        right: "up to 2: 10, up to 6: 5",
    },
    Code {
        code: "band-gap",
        title: "bands that leave a value without points",
        text: "The last band takes all that is left: `more`, or `less`.",
        wrong: "up to 6: 5",
        right: "up to 6: 5, more: 0",
    },
    Code {
        code: "band-never",
        title: "a band no value falls into",
        text: "Its bounds leave no value the measure can have, so its points can never count. A whole number has nothing between 2 and 2.5; a part on the closed device takes at least one step.",
        wrong: "up to 0: 10",
        right: "up to 2: 10",
    },
    Code {
        code: "level-missing",
        title: "levels that skip a word",
        text: "A record can say every word of the measure, so every word has points. Give a word below the lowest level the lowest points and a `note` that says so.",
        wrong: "",
        right: "expert: 2, ",
    },
    Code {
        code: "level-unknown",
        title: "a level that is no word of the measure",
        text: "The words of each measure are listed in criteria/README.md.",
        wrong: "exprt: 2",
        right: "expert: 2",
    },
    Code {
        code: "corner-name",
        title: "a corner that is no number",
        text: "A line runs between corners written as value and points.",
        wrong: "linear: {none: 10, 4: 0}",
        right: "linear: {0: 10, 4: 0}",
    },
    Code {
        code: "corner-order",
        title: "corners that do not ascend",
        text: "A line runs from the smallest value to the largest, and has at least two corners.",
        wrong: "linear: {4: 0, 0: 10}",
        right: "linear: {0: 10, 4: 0}",
    },
    Code {
        code: "rung-floor",
        title: "rungs without a floor",
        text: "An offer that meets no rung needs points too: the last rung asks nothing, `{all of: [], points: …}`.",
        wrong: "",
        right: ", {all of: [], points: 0}",
    },
    Code {
        code: "rung-never",
        title: "a rung below the floor",
        text: "The floor asks nothing, so whatever stands after it is never the highest rung met.",
        wrong: "{all of: [], points: 5}, {all of: [battery], points: 0}",
        right: "{all of: [battery], points: 5}, {all of: [], points: 0}",
    },
    Code {
        code: "points-order",
        title: "points that rise as things get worse",
        text: "Improving a device must never lower its score. Words and bands run from best to worst, so their points fall or stay.",
        wrong: "generalist: 2, expert: 6",
        right: "generalist: 6, expert: 2",
    },
    Code {
        code: "points-outside",
        title: "points or totals outside the scale",
        text: "Means, worsts, bests and limits combine values of the scale, so points lie on it. With sums, the total of all best and of all worst must lie on it.",
        wrong: "layman: 12",
        right: "layman: 10",
    },
    Code {
        code: "verdict-points",
        title: "points between pass and fail",
        text: "A method with `verdict: yes` knows two totals. What lies between would be neither.",
        wrong: "scale: {from: 0, to: 10, verdict: yes}",
        right: "scale: {from: 0, to: 10}",
    },
    Code {
        code: "weights-sum",
        title: "weights that do not sum to what they must",
        text: "Where the source says what weights sum to (`sum`, `weights sum to`), they do, for every device in scope. Weights that are all zero have no mean.",
        wrong: "weights: {battery: 6, back cover: 3}",
        right: "weights: {battery: 6, back cover: 4}",
    },
    Code {
        code: "weight-missing",
        title: "a criterion without a weight where weights count",
        text: "Means and sums weigh every criterion below them.",
        wrong: "          only for",
        right: "          weight: 1\n          only for",
    },
    Code {
        code: "weight-unused",
        title: "a weight without effect",
        text: "Worst, best, cap and gate do not weigh.",
        wrong: "    - id: out of reach\n      weight: 1\n",
        right: "    - id: out of reach\n",
    },
    Code {
        code: "weight-negative",
        title: "a weight below zero",
        text: "With it, a better part would lower the score.",
        wrong: "battery: 3, fan: -1",
        right: "battery: 3, fan: 1",
    },
    Code {
        code: "role-unknown",
        title: "a role no category in scope has",
        text: "Methods and records name parts by the roles of the vocabulary; a role nobody can have would only widen the result.",
        wrong: "back lid: 4",
        right: "back cover: 4",
    },
    Code {
        code: "only-for-never",
        title: "a criterion for no device in scope",
        text: "`only for` leaves no category and form of the scope.",
        wrong: "only for: {categories: [washing machine]}",
        right: "only for: {categories: [smartphone, laptop]}",
    },
    Code {
        code: "limit-never",
        title: "a limit that never limits",
        text: "Its lowest value is not below what it limits.",
        wrong: "levels: {yes: 10, only by damage: 10, no: 10}",
        right: "levels: {yes: 10, only by damage: 3, no: 2}",
    },
    Code {
        code: "limit-always",
        title: "a limit that always limits",
        text: "Even its best value is below what it limits could reach. A limit has the top of the scale where it does not limit.",
        wrong: "levels: {yes: 8, only by damage: 3, no: 2}",
        right: "levels: {yes: 10, only by damage: 3, no: 2}",
    },
    Code {
        code: "scale-empty",
        title: "a scale without room",
        text: "The best total lies above the worst.",
        wrong: "scale: {from: 10, to: 0}",
        right: "scale: {from: 0, to: 10}",
    },
    Code {
        code: "class-order",
        title: "classes that overlap",
        text: "Classes stand best first, each with a lower bound than the one before.",
        wrong: "fair: 8",
        right: "fair: 4",
    },
    Code {
        code: "class-never",
        title: "a class no total can be in",
        text: "Its bound lies above every total the method can give, or the class above it takes all that is left.",
        wrong: "good: 11",
        right: "good: 7",
    },
    Code {
        code: "class-gap",
        title: "totals without a class",
        text: "The last class starts at the lowest total the method can give.",
        wrong: "poor: 1",
        right: "poor: 0",
    },
    Code {
        code: "part-set-never",
        title: "a part set that is never used",
        text: "The first set that fits a device is used; this one fits none in scope, or none that an earlier set leaves.",
        wrong: "  - for: [smartphone]\n",
        right: "  - for: [laptop]\n",
    },
    Code {
        code: "part-set-missing",
        title: "a device without priority parts",
        text: "The method goes through priority parts, and a category in scope has no set of them.",
        wrong: "",
        right: "  - for: [laptop]\n    weights: {battery: 3, fan: 1}\n",
    },
    Code {
        code: "switch-never",
        title: "a switch that changes nothing",
        text: "All its options set the same, so they are one reading.",
        wrong: "off: {means: it does not, sets: {include: {out of reach: yes}}}",
        right: "off: {means: it does not, sets: {include: {out of reach: no}}}",
    },
    Code {
        code: "switch-uneven",
        title: "options that do not set the same things",
        text: "Going from one option to another must undo everything the first one set, so all options set the same things to different values.",
        wrong: "off: {means: it does not, sets: {}}",
        right: "off: {means: it does not, sets: {include: {out of reach: no}}}",
    },
    Code {
        code: "switch-target",
        title: "a setting that can't be made",
        text: "Only criteria read on a route have a reading; only criteria after the first of their group can be left out; only a method with classes takes them from one total or the other.",
        wrong: "sets: {reading: {updates: part}}",
        right: "sets: {include: {out of reach: no}}",
    },
    Code {
        code: "switch-unknown",
        title: "a rule that depends on no switch",
        text: "`switch:` names one of the method's switches by id, so that a reader finds the other reading.",
        wrong: "      measure: reachable\n      switch: far-part\n",
        right: "      measure: reachable\n",
    },
];

/// The explanation of a code.
pub fn code(code: &str) -> Option<&'static Code> {
    ALL.iter().find(|c| c.code == code)
}
