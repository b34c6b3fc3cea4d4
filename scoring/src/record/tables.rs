//! The fields of a record: the one list that reading, the JSON Schema and the format page are held against.

use std::sync::LazyLock;

use super::{ActionFields, Photo, Refit};
use crate::text::fields::{Described, Field, Shape, Table};
use crate::vocab::Category;
use crate::vocab::class::{Basis, Form, Kind, Place, Skill, ToolClass, Words};
use crate::vocab::promise::{MONEY, Of, Promise, ROWS};

fn words<W: Words>() -> Vec<&'static str> {
    W::ALL.iter().map(|w| w.word()).collect()
}

/// The shipped categories.
fn categories() -> Vec<&'static str> {
    Category::shipped().iter().map(Category::word).collect()
}

/// Words of `outcome`.
pub const OUTCOMES: &[&str] = &["done", "failed", "not attempted"];
const fn field(name: &'static str, doc: &'static str, shape: &'static Shape) -> Field {
    Field { name, doc, shape, required: false }
}

const fn required(name: &'static str, doc: &'static str, shape: &'static Shape) -> Field {
    Field { name, doc, shape, required: true }
}

/// The fields of the facts that stand in one place, by their names there or in a support table.
const fn facts<const N: usize>(of: Of, columns: bool) -> [Field; N] {
    let mut out = [field("", "", &Shape::Anything); N];
    let (mut at, mut i) = (0, 0);
    while i < ROWS.len() {
        let row = &ROWS[i];
        if row.of as u8 == of as u8 {
            out[at] = field(if columns { row.column } else { row.field }, row.doc, row.holds.shape());
            at += 1;
        }
        i += 1;
    }
    out
}

/// Some fields after others.
const fn joined<const N: usize>(lists: &[&[Field]]) -> [Field; N] {
    let mut out = [field("", "", &Shape::Anything); N];
    let (mut at, mut list) = (0, 0);
    while list < lists.len() {
        let mut i = 0;
        while i < lists[list].len() {
            out[at] = lists[list][i];
            at += 1;
            i += 1;
        }
        list += 1;
    }
    out
}

const PARTS: usize = Promise::count(Of::Part);
const INFORMATIONS: usize = Promise::count(Of::Information);
const SUPPORTS: usize = Promise::count(Of::Support);
const BATTERIES: usize = Promise::count(Of::Battery);
const ENDURANCES: usize = Promise::count(Of::Endurance);

const TEXT: &Shape = &Shape::Text;
const YES_NO: &Shape = &Shape::YesNo;
const YES_NO_FACT: &Shape = &Shape::Fact(YES_NO);
const NUMBER_FACT: &Shape = &Shape::Fact(&Shape::Number);
const TEXTS: &Shape = &Shape::OneOrMany(TEXT);
const CATEGORY: &Shape = &Shape::Either(&[Shape::Words(categories), Shape::Text]);
const BASIS: &Shape = &Shape::Words(words::<Basis>);
const PLACE: &Shape = &Shape::Fact(&Shape::Words(words::<Place>));
const SKILL: &Shape = &Shape::Fact(&Shape::Words(words::<Skill>));
pub(super) const TIME: &Shape =
    &Shape::Form("a time in the footage, `0:41` or `1:02:03`; a span `1:10..1:18`; `about 4:10`; `within 4:00..4:30`");
const PHOTOS: &Shape = &Shape::OneOrMany(&Shape::Either(&[Shape::Text, Shape::Named(|| DESCRIBED.named("a photo"))]));
pub(super) const TOOLS: &Shape = &Shape::OneOrMany(&Shape::Either(&[
    Shape::Form("a tool, `a + b` at once, `a or b` either, `a | b` not established, `hands`, `one unknown`, `unknown`"),
    Shape::Mapping(&FACT),
]));
pub(super) const AFTER: &Shape = &Shape::Either(&[
    Shape::Form("a part that is off or a `do` that is done, `perhaps a`, `nothing`, `unknown`, `a | b`"),
    Shape::List(&Shape::Either(&[Shape::Text, Shape::Mapping(&ANY)])),
    Shape::Mapping(&ANY),
]);

pub(super) const FASTENERS: &Shape = &Shape::OneOrMany(&Shape::Either(&[
    Shape::Form("`[perhaps] [COUNT x] FASTENER [DRIVE] [LENGTH mm]`, `nothing`, `one unknown`, `unknown`"),
    Shape::Mapping(&LOOSEN),
]));

/// The words of `basis`.
pub(super) fn bases() -> Vec<&'static str> {
    words::<Basis>()
}

/// `{is, basis, source}`.
pub static FACT: Table = Table {
    name: "a fact",
    fields: &[
        required("is", "The value, as well as it is known.", &Shape::Anything),
        field("basis", "Where it comes from: seen, told, stated, planned, drafted, assumed.", BASIS),
        field("source", "Where it can be checked.", TEXT),
    ],
};

/// `{any: [...]}`.
pub static ANY: Table = Table {
    name: "an alternative",
    fields: &[required(
        "any",
        "One of these is needed; a member may be a list (all of it).",
        &Shape::List(&Shape::Anything),
    )],
};

/// The top level.
pub static RECORD: Table = Table {
    name: "a record",
    fields: &[
        required("unfasten", "Version of the format: 1.", &Shape::Number),
        field("extends", "Path of the record this one is a variant of, relative to this one.", TEXT),
        field("without", "In a variant: ids of actions of the base that it does not have.", TEXTS),
        required("device", "Identity of the device.", &Shape::Mapping(&DEVICE)),
        field("teardown", "Circumstances of the teardown.", &Shape::Mapping(&TEARDOWN)),
        field("parts", "Names of parts to their roles.", &Shape::Names(&Shape::Mapping(&PART))),
        field("absent", "Roles this device does not have.", TEXTS),
        field("tools", "Tools of your own.", &Shape::Names(&Shape::Mapping(&OWN_TOOL))),
        field("fasteners", "Fasteners of your own.", &Shape::Names(&Shape::Mapping(&OWN_FASTENER))),
        field("hazards", "Hazards of your own: name to caution text.", &Shape::Names(TEXT)),
        field(
            "roles",
            "Roles of your own, where the category has none of the vocabulary.",
            &Shape::Names(&Shape::Mapping(&OWN_ROLE)),
        ),
        field("bench", "Path of a bench sheet: what this bench takes for granted, relative to this file.", TEXT),
        field(
            "order",
            "`as logged`: an action that states no `after` needs the one above it.",
            &Shape::Words(|| vec!["as logged"]),
        ),
        field("actions", "What was done, in order.", &Shape::List(&Shape::Named(|| DESCRIBED.named("an action")))),
        field(
            "back",
            "Actions that exist only on the way back, `do` only.",
            &Shape::List(&Shape::Named(|| DESCRIBED.named("an action"))),
        ),
        field("official", "Ids of the actions of the maker's own route.", TEXTS),
        field("support", "What the maker promises.", &Shape::Mapping(&SUPPORT)),
        field("put back", "Whether it was put back.", &Shape::Mapping(&PUT_BACK)),
        field(
            "own verdict",
            "Your gut feeling, shown beside, never mixed in; with its reason as `{is, because}`.",
            &Shape::Either(&[Shape::Text, Shape::Mapping(&OWN_VERDICT)]),
        ),
        field(
            "marks",
            "Method id to rows to marks, 0 to 10, for methods that take marks as given.",
            &Shape::Names(&Shape::Names(NUMBER_FACT)),
        ),
        field("remarks", "What speaks for or against the device, or neither.", &Shape::List(&Shape::Mapping(&REMARK))),
        field(
            "corrections",
            "What was put right since the record was first published, the oldest first.",
            &Shape::List(&Shape::Mapping(&CORRECTION)),
        ),
        field("notes", "Free text in Markdown.", TEXT),
    ],
};

/// `device`.
pub static DEVICE: Table = Table {
    name: "the device",
    fields: &[
        required("name", "What the device is called.", TEXT),
        field("maker", "Who makes it.", TEXT),
        field("model", "Model.", TEXT),
        field("variant", "Variant, such as memory size or colour.", TEXT),
        field("region", "Where it is sold.", TEXT),
        field("register number", "Its number in a public register.", TEXT),
        field("condition", "Condition of the unit.", TEXT),
        required(
            "category",
            "Product category; roles and methods depend on it. One of your own, with `roles`.",
            CATEGORY,
        ),
        field(
            "form",
            "folding, not folding, rollable (smartphones and slate tablets).",
            &Shape::Fact(&Shape::Words(words::<Form>)),
        ),
        field("price", "Price when new: amount and ISO 4217 currency.", MONEY),
        field("weight", "Its weight.", &Shape::Fact(&Shape::Form("a weight: `174 g`, `2.1 kg`"))),
        field(
            "released",
            "When the product was released.",
            &Shape::Fact(&Shape::Form("a year, month or day: `2026`, `2026-03`, `2026-03-02`")),
        ),
        field(
            "on market",
            "Day this unit was first supplied, for rules that apply from a day on.",
            &Shape::Fact(&Shape::Form("a date: `2026-03-02`")),
        ),
        field("ingress", "Protection code such as IP67.", &Shape::Fact(&Shape::Form("a protection code: `IP67`"))),
        field("battery", "Endurance of the battery.", &Shape::Mapping(&BATTERY)),
        field("endurance", "Endurance of keys and port, operations.", &Shape::Mapping(&ENDURANCE)),
    ],
};

/// `device.battery`.
pub static BATTERY: Table = Table { name: "the battery's endurance", fields: &facts::<BATTERIES>(Of::Battery, false) };

/// `device.endurance`.
pub static ENDURANCE: Table =
    Table { name: "the endurance of keys and port", fields: &facts::<ENDURANCES>(Of::Endurance, false) };

/// `teardown`.
pub static TEARDOWN: Table = Table {
    name: "the teardown",
    fields: &[
        field("date", "Day of the teardown, such as 2026-03-02.", &Shape::Form("a date: `2026-03-02`")),
        field("by", "Who took it apart.", TEXT),
        field("video", "The footage.", TEXT),
        field("place of work", "Where, in words.", TEXT),
        field("place", "Working environment of every action that states none.", PLACE),
        field("skill", "Skill level of every action that states none.", SKILL),
        field("ends", "Time in the footage where taking apart ends.", &Shape::Form("a time: `14:05`")),
        field("basis", "Basis of every bench fact that states none.", BASIS),
        field("uncut", "The footage is uncut, so spans are observed times.", YES_NO),
    ],
};

/// An entry of `parts`.
pub static PART: Table = Table {
    name: "a part",
    fields: &[
        field("role", "A role of the category, or a list of roles.", TEXTS),
        field(
            "same as",
            "Another part that this is; `perhaps NAME` where two mentions may be one part.",
            &Shape::Form("a part: `main board`, `perhaps main board`"),
        ),
        field("outcome", "`not attempted`: nobody tried to free it.", &Shape::Words(|| vec!["not attempted"])),
        field("because", "Why it was not attempted.", TEXT),
        field("paired", "Coded to this one device: a replacement needs software pairing.", YES_NO_FACT),
        field("hazard", "One or a list of hazards.", TEXTS),
        field("basis", "Basis of all the entry says.", BASIS),
        field("source", "Source of all the entry says.", TEXT),
        field("note", "A note.", TEXT),
        field("photo", "A file name, {file, alt}, or a list of those.", PHOTOS),
    ],
};

/// A fastener written as a mapping.
pub static LOOSEN: Table = Table {
    name: "a fastener",
    fields: &[
        required("fastener", "Which fastener.", TEXT),
        field("count", "How many.", NUMBER_FACT),
        field("drive", "Its drive, such as PH0.", TEXT),
        field("length", "Its length.", &Shape::Form("millimetres: `6 mm`")),
        field("kind", "What becomes of it when opened.", &Shape::Fact(&Shape::Words(words::<Kind>))),
        field("note", "A note.", TEXT),
        field("basis", "Basis of all the entry says.", BASIS),
        field("source", "Source of all the entry says.", TEXT),
    ],
};

/// An entry of `tools`.
pub static OWN_TOOL: Table = Table {
    name: "a tool of your own",
    fields: &[
        required("class", "Tool class.", &Shape::Fact(&Shape::Words(words::<ToolClass>))),
        field("drive", "Its drive and size.", TEXT),
        field("heat", "It is a heat source.", YES_NO),
        field("solvent", "It is a solvent.", YES_NO),
    ],
};

/// An entry of `fasteners`.
pub static OWN_FASTENER: Table = Table {
    name: "a fastener of your own",
    fields: &[
        field("kind", "What becomes of it when opened.", &Shape::Fact(&Shape::Words(words::<Kind>))),
        field("adhesive", "It sticks by adhesion.", YES_NO),
        field("seal", "It seals.", YES_NO),
    ],
};

/// An entry of `roles`.
pub static OWN_ROLE: Table = Table {
    name: "a role of your own",
    fields: &[
        field("weight", "Its share, a whole number of 1 or more.", &Shape::Number),
        field("basis", "`drafted`: a draft proposed it, and nobody has confirmed it.", BASIS),
    ],
};

/// `support`.
pub static SUPPORT: Table = Table {
    name: "the support",
    fields: &joined::<{ 2 + SUPPORTS }>(&[
        &[
            field(
                "spare parts",
                "Part or role to what is promised; `every part` speaks for those not named.",
                &Shape::Either(&[
                    Shape::Words(|| vec!["unknown", "none"]),
                    Shape::Names(&Shape::Either(&[Shape::Words(|| vec!["unknown", "none"]), Shape::Mapping(&SPARE)])),
                ]),
            ),
            field(
                "information",
                "Repair information: to whom, at what cost, how much.",
                &Shape::Either(&[Shape::Words(|| vec!["unknown", "none"]), Shape::Mapping(&INFORMATION)]),
            ),
        ],
        &facts::<SUPPORTS>(Of::Support, false),
    ]),
};

/// An entry of `support.spare parts`.
pub static SPARE: Table = Table {
    name: "a spare part",
    fields: &joined::<{ PARTS + 2 }>(&[
        &facts::<PARTS>(Of::Part, false),
        &[
            field("basis", "Basis of all the entry says.", BASIS),
            field("source", "Source of all the entry says.", TEXT),
        ],
    ]),
};

/// `support.information`.
pub static INFORMATION: Table =
    Table { name: "the information", fields: &facts::<INFORMATIONS>(Of::Information, false) };

/// A bench sheet.
pub static BENCH: Table = Table {
    name: "a bench sheet",
    fields: &[
        required("unfasten bench", "Version of the format: 1.", &Shape::Number),
        required("name", "What the sheet is called: the source of what it supplies.", TEXT),
        field("place", "Working environment, where a record states none.", PLACE),
        field("skill", "Skill level, where a record states none.", SKILL),
        field(
            "tools",
            "Fastener, with its drive where it matters, to tools; `the driver that fits`; `nothing`: where nothing is loosened.",
            &Shape::Names(TOOLS),
        ),
        field(
            "kinds",
            "Fastener to its kind, where a record states none.",
            &Shape::Names(&Shape::Fact(&Shape::Words(words::<Kind>))),
        ),
    ],
};

/// The columns of a support table.
pub static SUPPORT_TABLE: Table = Table {
    name: "a support table",
    fields: &joined::<{ 6 + PARTS + INFORMATIONS + SUPPORTS }>(&[
        &[
            required("maker", "The maker, as records have it.", TEXT),
            required("model", "The model or name of the device, as records have it.", TEXT),
            field("part", "The spare part the line is about; empty: the whole device.", TEXT),
        ],
        &facts::<PARTS>(Of::Part, true),
        &facts::<INFORMATIONS>(Of::Information, true),
        &facts::<SUPPORTS>(Of::Support, true),
        &[
            field("basis", "Basis of all the line says.", BASIS),
            field("source", "Source of all the line says.", TEXT),
            field("note", "Anything; not read.", TEXT),
        ],
    ]),
};

/// `put back`.
pub static PUT_BACK: Table = Table {
    name: "the way back",
    fields: &[
        field("done", "It was put back together.", YES_NO_FACT),
        field("powered on", "It powers on.", YES_NO_FACT),
        field("tested", "It was tested.", YES_NO_FACT),
    ],
};

/// An entry of `remarks`.
pub static REMARK: Table = Table {
    name: "a remark",
    fields: &[
        field("for", "What speaks for the device.", TEXT),
        field("against", "What speaks against it.", TEXT),
        field("note", "What speaks neither for nor against it.", TEXT),
        field("at", "Time in the footage.", TIME),
        field("photo", "A file name, {file, alt}, or a list of those.", PHOTOS),
    ],
};

/// `own verdict` with its reason.
pub static OWN_VERDICT: Table =
    Table { name: "your own verdict", fields: &[required("is", "The verdict.", TEXT), field("because", "Why.", TEXT)] };

/// An entry of `corrections`.
pub static CORRECTION: Table = Table {
    name: "a correction",
    fields: &[
        field("on", "Day of the correction, such as 2026-05-02.", &Shape::Form("a date: `2026-05-02`")),
        field("by", "Who pointed it out.", TEXT),
        required("what", "What was put right, in a sentence.", TEXT),
        field("line", "Line of the record it was about, as it was published.", &Shape::Number),
    ],
};

/// The fields that structs describe.
pub static DESCRIBED: LazyLock<Described> =
    LazyLock::new(|| Described::new(&FACT).with::<ActionFields>().with::<Refit>().with::<Photo>());

/// Every table, for tests that hold the documentation against them.
pub fn all() -> impl Iterator<Item = &'static Table> {
    OTHERS.iter().chain(DESCRIBED.tables()).copied()
}

static OTHERS: &[&Table] = &[
    &RECORD,
    &DEVICE,
    &BATTERY,
    &ENDURANCE,
    &TEARDOWN,
    &PART,
    &LOOSEN,
    &OWN_TOOL,
    &OWN_FASTENER,
    &OWN_ROLE,
    &SUPPORT,
    &SPARE,
    &INFORMATION,
    &BENCH,
    &SUPPORT_TABLE,
    &PUT_BACK,
    &REMARK,
    &OWN_VERDICT,
    &CORRECTION,
    &FACT,
    &ANY,
];
