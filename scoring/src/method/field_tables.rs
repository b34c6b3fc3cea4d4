//! The fields of method files, once: reading, the JSON Schema and the format page are held against these tables.

use crate::text::fields::{Field, Shape, Table};
use crate::vocab::class::Words;
use crate::vocab::{Category, Certainty, Form, ToolClass};

macro_rules! required {
    () => {
        false
    };
    (required) => {
        true
    };
}

macro_rules! table {
    ($id:ident = $name:literal, with rule { $($field:literal $($req:ident)? : $shape:expr, $doc:literal;)* }) => {
        table!($id = $name, {
            $($field $($req)? : $shape, $doc;)*
            "rule": Shape::Text, "The rule in plain words.";
            "clause": Shape::Text, "Clause of the source.";
            "source": Shape::Text, "Where it comes from; left out: that of the block around it.";
            "certainty": Shape::Words(words::<Certainty>), "How sure; left out: that of the block around it.";
            "switch": Shape::Text, "Id of the switch this rule depends on.";
        });
    };
    ($id:ident = $name:literal, { $($field:literal $($req:ident)? : $shape:expr, $doc:literal;)* }) => {
        pub(super) static $id: Table = Table { name: $name, fields: &[
            $(Field { name: $field, doc: $doc, left_out: "", shape: &$shape, required: required!($($req)?) }),*
        ] };
    };
}

/// The words of a vocabulary.
fn words<W: Words>() -> Vec<&'static str> {
    W::ALL.iter().map(|w| w.word()).collect()
}

fn categories() -> Vec<&'static str> {
    Category::shipped().iter().map(Category::word).collect()
}

const NUMBER_SHAPES: &[Shape] =
    &[Shape::Form("a decimal such as 0.30, or a fraction such as 1/3"), Shape::Mapping(&NUMBER)];
const A_NUMBER: Shape = Shape::Either(NUMBER_SHAPES);
const TEXTS: Shape = Shape::List(&Shape::Text);
const CATEGORIES: Shape = Shape::OneOrMany(&Shape::Either(&[Shape::Words(categories), Shape::Text]));
const FORMS: Shape = Shape::OneOrMany(&Shape::Words(words::<Form>));

pub(super) const COMBINES: [&str; 7] = ["mean", "sum", "worst", "best", "cap", "gate", "apart"];
pub(super) const BASIC_TOOLS: [&str; 2] = ["law", "standard"];
pub(super) const ROUNDINGS: [&str; 4] = ["half up", "half even", "down", "up"];
pub(super) const READINGS: [&str; 2] = ["route", "part"];
pub(super) const INSTANCES: [&str; 2] = ["worst per measure", "lowest as a whole"];
pub(super) const ORDERS: [&str; 2] = ["highest total", "fewest steps first"];
pub(super) const STARTS: [&str; 2] = ["as used", "disconnected"];
pub(super) const TOTALS: [&str; 2] = ["exact", "rounded"];
pub(super) const GROUPS: [&str; 2] = ["product-related", "support-related"];

/// Fields of a criterion that say how a measure becomes points.
pub(super) const POINTS: [&str; 5] = ["bands", "levels", "linear", "rungs", "as is"];

table!(METHOD = "a method", {
    "unfasten method" required: Shape::Form("1"), "Version of this format: 1.";
    "id" required: Shape::Text, "Id, lower case, digits, hyphens.";
    "extends": Shape::Text, "A shipped id or a file this method starts from.";
    "change": Shape::Names(&Shape::Mapping(&NODE)), "With `extends`: criteria by id, and the fields to replace.";
    "title" required: Shape::Text, "Title.";
    "edition": Shape::Text, "Edition of the source.";
    "applies": Shape::Mapping(&DAYS), "From which day, to which devices.";
    "about": Shape::Text, "What it is and is not, Markdown.";
    "source": Shape::Text, "Where everything below comes from that says nothing else.";
    "certainty": Shape::Words(words::<Certainty>), "How sure everything below is that says nothing else.";
    "own categories": Shape::Names(&TEXTS), "Categories the vocabulary lacks, each with its roles.";
    "scope" required: Shape::Mapping(&SCOPE), "What it applies to.";
    "scale" required: Shape::Mapping(&SCALE), "Scale of the total and how it is shown.";
    "parts": Shape::List(&Shape::Mapping(&PART_SET)), "Priority parts and weights; the first set that fits the device is used.";
    "absent": Shape::Mapping(&ABSENT), "What a priority part scores that the device does not have; left out: it is left out.";
    "repeated": Shape::Mapping(&REPEATED), "What several parts of one role count as; left out: the worst per measure.";
    "classes": Shape::Mapping(&CLASSES), "Classes of the total.";
    "steps": Shape::Mapping(&STEPS), "The step rule.";
    "routes": Shape::Mapping(&ROUTES), "Which route to a part is read; left out: that of the highest total.";
    "basic tools": Shape::Words(|| BASIC_TOOLS.to_vec()), "Which list of basic tools counts; left out: law.";
    "read tools as": Shape::Names(&Shape::Words(words::<ToolClass>)), "Tool class to the class it is read as.";
    "weights for": Shape::List(&Shape::Mapping(&WEIGHTS_FOR)), "Where weights come from for some categories.";
    "company": Shape::List(&Shape::Mapping(&COMPANY)), "Roles that may share one part, for the measure `bundling`.";
    "switches": Shape::List(&Shape::Mapping(&SWITCH)), "Open readings.";
    "sub scores": TEXTS, "Ids of criteria shown beside the total.";
    "criteria" required: Shape::Mapping(&NODE), "The tree of criteria.";
    "not covered": TEXTS, "What its source asks and the method does not cover.";
    "notes": TEXTS, "Notes, Markdown.";
});

table!(DAYS = "the days of a method", with rule {
    "from": Shape::Form("a date such as 2027-02-18"), "First day of the rule.";
    "supplied from": Shape::Form("a date such as 2027-02-18"), "It binds devices first supplied on this day or later.";
    "until": Shape::Text, "Last day.";
});

table!(SCOPE = "the scope", with rule {
    "categories" required: CATEGORIES, "Categories it applies to.";
    "without forms": FORMS, "Forms it does not apply to.";
    "information only": Shape::Mapping(&INFORMATION_ONLY), "Devices for which another rule prevails.";
});

table!(INFORMATION_ONLY = "the devices for information", {
    "for" required: CATEGORIES, "Categories.";
    "because" required: Shape::Text, "Which rule prevails, and how sure that is.";
});

table!(SCALE = "the scale", with rule {
    "from" required: A_NUMBER, "Worst total.";
    "to" required: A_NUMBER, "Best total.";
    "decimals": Shape::Number, "Digits after the point when shown, 0 to 6; left out: 1.";
    "rounding": Shape::Words(|| ROUNDINGS.to_vec()), "How the total is rounded for display, once; left out: half up.";
    "verdict": Shape::YesNo, "The best total reads pass, the worst fail; left out: no.";
});

table!(PART_SET = "a part set", with rule {
    "id": Shape::Text, "Id, where a switch chooses among sets.";
    "for" required: CATEGORIES, "Categories it is for.";
    "forms": FORMS, "Forms it is for; left out: any.";
    "sum": A_NUMBER, "What the weights must sum to.";
    "weights": Shape::Names(&A_NUMBER), "Role to weight, or `not read`; `one role | another`: either.";
    "own roles": Shape::YesNo, "Use the record's own roles and shares, where its category has no roles of the vocabulary.";
});

table!(ABSENT = "the rule for absent parts", with rule {
    "points" required: Shape::Form("a number, or `left out`"), "Points of an absent part in every measure of a part, or `left out`.";
});

table!(REPEATED = "the rule for repeated parts", with rule {
    "instances": Shape::Words(|| INSTANCES.to_vec()), "Whether each measure takes the worst of them, or the one of the lowest total counts in all; left out: worst per measure.";
});

table!(CLASSES = "the classes", with rule {
    "from total": Shape::Words(|| TOTALS.to_vec()), "Whether classes are taken from the exact or the rounded total; left out: exact.";
    "bounds" required: Shape::Names(&A_NUMBER), "Class to its lower bound, best first.";
});

table!(STEPS = "the step rule", with rule {
    "simultaneous tools": Shape::Words(|| vec!["one", "each"]), "What tools used at once count; left out: one.";
    "heating": Shape::Words(|| vec!["tool", "step", "nothing"]), "What heating and cleaning count; `step` asks for `simultaneous tools: each`; left out: tool.";
    "aside": Shape::Words(|| vec!["nothing", "step"]), "What laying a part aside counts; left out: nothing.";
    "mains": Shape::Words(|| vec!["nothing", "step"]), "What unplugging mains equipment counts; left out: nothing.";
    "remote authorisation": Shape::Form("`nothing`, `2 more steps` (1 to 100), or `least points`"), "What remote authorisation costs the depth of a part: nothing, steps, or all but the least points of its table; left out: nothing.";
    "destructive scored": Shape::YesNo, "A part whose every way destroys something is scored on that way; left out: no.";
});

table!(ROUTES = "the choice of routes", with rule {
    "official first": Shape::YesNo, "The maker's own route goes first, where a record gives it; left out: no.";
    "order": Shape::Words(|| ORDERS.to_vec()), "Which route is read otherwise; left out: highest total.";
    "start": Shape::Words(|| STARTS.to_vec()), "The state in which counting starts; left out: as used.";
});

table!(WEIGHTS_FOR = "the origin of weights", {
    "for" required: CATEGORIES, "Categories.";
    "below" required: TEXTS, "Ids of the criteria above the weights.";
    "source": Shape::Text, "Where they come from.";
    "certainty": Shape::Words(words::<Certainty>), "How sure they are.";
    "read": Shape::YesNo, "`no`: nobody could read them, as `not read`; left out: yes.";
});

table!(COMPANY = "a company of roles", with rule {
    "roles" required: Shape::OneOrMany(&Shape::Text), "These roles.";
    "with" required: Shape::OneOrMany(&Shape::Text), "May share one part with these roles, or with `any`.";
    "if sealed": Shape::YesNo, "Only if ingress protection and endurance limits are met; left out: no.";
});

table!(SWITCH = "a switch", {
    "id" required: Shape::Text, "Id.";
    "open" required: Shape::Text, "What is open, in words.";
    "chosen" required: Shape::Text, "Option in force.";
    "options" required: Shape::Names(&Shape::Mapping(&OPTION)), "Options by id.";
    "clause": Shape::Text, "Clause of the source.";
    "source": Shape::Text, "Where the choice comes from; left out: that of the file.";
    "certainty": Shape::Words(words::<Certainty>), "How sure the choice is; left out: that of the file.";
});

table!(OPTION = "an option", {
    "means" required: Shape::Text, "The reading in words.";
    "sets" required: Shape::Mapping(&SETS), "What it sets.";
    "source": Shape::Text, "Where this reading comes from.";
});

table!(SETS = "the settings of an option", {
    "reading": Shape::Names(&Shape::Words(|| READINGS.to_vec())), "Criterion to where it is read.";
    "include": Shape::Names(&Shape::YesNo), "Criterion to whether it counts.";
    "steps": Shape::Mapping(&STEPS), "Fields of the step rule.";
    "absent": Shape::Form("a number, or `left out`"), "As `points` of `absent`.";
    "instances": Shape::Words(|| INSTANCES.to_vec()), "As `instances` of `repeated`.";
    "read tools as": Shape::Names(&Shape::Words(words::<ToolClass>)), "As `read tools as`.";
    "part sets": Shape::Names(&Shape::YesNo), "Part set to whether it is used.";
    "basic tools": Shape::Words(|| BASIC_TOOLS.to_vec()), "As `basic tools`.";
    "routes": Shape::Mapping(&ROUTES), "Fields of `routes`.";
    "class from total": Shape::Words(|| TOTALS.to_vec()), "As `from total` of `classes`.";
});

table!(NODE = "a criterion", with rule {
    "id": Shape::Text, "Id, unique in the method; below `score` left out: that of the criterion above with `/part`.";
    "title": Shape::Text, "Title; left out: the id.";
    "short": Shape::Text, "One word of at most nine letters for drawings; left out: the start of the title.";
    "weight": A_NUMBER, "Weight in the criterion above, where that is a mean or a sum; `not read` where nobody could.";
    "group": Shape::Words(|| GROUPS.to_vec()), "`product-related` or `support-related`, also for all below.";
    "only for": Shape::Mapping(&APPLIES), "Devices it is for; for others it is left out, its weight with it.";
    "combine": Shape::Words(|| COMBINES.to_vec()), "How the criteria below become one; left out: mean.";
    "of": Shape::List(&Shape::Mapping(&NODE)), "The criteria below.";
    "weights sum to": A_NUMBER, "What the weights below must sum to.";
    "each": Shape::OneOrMany(&Shape::Text), "Once for each part: `priority`, `highest`, or a list of roles.";
    "score": Shape::Mapping(&NODE), "What is scored for each part, where it is more than one measure.";
    "measure": Shape::Text, "What is read.";
    "read at": Shape::Words(|| READINGS.to_vec()), "On the whole `route` or at the `part`; left out: route.";
    "bands": Shape::Names(&A_NUMBER), "`up to N` and `more`, or `from N` and `less`, to points.";
    "levels": Shape::Names(&A_NUMBER), "Word to points.";
    "linear": Shape::Names(&A_NUMBER), "Value to points, straight between, level outside.";
    "rungs": Shape::List(&Shape::Mapping(&RUNG)), "Sets of roles offered, best first.";
    "as is": Shape::YesNo, "The number itself is the points.";
    "points from": Shape::Mapping(&POINTS_FROM), "Source and certainty of the points, where they differ from the rule's.";
});

table!(APPLIES = "the devices of a criterion", {
    "categories": CATEGORIES, "Categories; left out: any.";
    "forms": FORMS, "Forms; left out: any.";
});

table!(RUNG = "a rung", {
    "all of" required: Shape::OneOrMany(&Shape::Text), "Roles that must all be offered, or `priority parts`; `[]` asks nothing.";
    "points" required: A_NUMBER, "Points.";
});

table!(POINTS_FROM = "the origin of points", {
    "source": Shape::Text, "Source of the points.";
    "certainty": Shape::Words(words::<Certainty>), "How sure the points are.";
});

table!(NUMBER = "a number", {
    "is" required: Shape::Form("a decimal such as 0.30, or a fraction such as 1/3"), "The number.";
    "source": Shape::Text, "Its source, where it differs from that of the rule around it.";
    "certainty": Shape::Words(words::<Certainty>), "Its certainty, where it differs.";
    "note": Shape::Text, "Shown beside it.";
});

/// All tables, for the test that the format page names every field.
#[cfg(test)]
pub(super) static ALL: &[&Table] = &[
    &METHOD,
    &DAYS,
    &SCOPE,
    &INFORMATION_ONLY,
    &SCALE,
    &PART_SET,
    &ABSENT,
    &REPEATED,
    &CLASSES,
    &STEPS,
    &ROUTES,
    &WEIGHTS_FOR,
    &COMPANY,
    &SWITCH,
    &OPTION,
    &SETS,
    &NODE,
    &APPLIES,
    &RUNG,
    &POINTS_FROM,
    &NUMBER,
];
