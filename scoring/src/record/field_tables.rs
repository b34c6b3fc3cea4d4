//! The tables of fields of a record, for reading, the JSON Schema and the format page: those made from the structs of
//! [`entries`](super::entries), and those of single facts, made from their rows.

use std::sync::LazyLock;

use super::entries::{
    ActionFields, AnyFields, BenchFields, DeviceFields, FactFields, FastenerFields, LoosenFields, Mended, OwnVerdict,
    PartFields, Photo, PutBack, RecordFields, Refit, RemarkFields, RoleFields, Teardown, ToolFields,
};
use crate::text::fields::{Described, Field, Shape, Table};
use crate::vocab::Category;
use crate::vocab::class::{Basis, Words};
use crate::vocab::promise::{Of, Promise, ROWS};

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
    Field { name, doc, left_out: "", shape, required: false }
}

const fn required(name: &'static str, doc: &'static str, shape: &'static Shape) -> Field {
    Field { name, doc, left_out: "", shape, required: true }
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
pub(super) const CATEGORY: &Shape = &Shape::Either(&[Shape::Words(categories), Shape::Text]);
const BASIS: &Shape = &Shape::Words(words::<Basis>);
pub(super) const TIME: &Shape =
    &Shape::Form("a time in the footage, `0:41` or `1:02:03`; a span `1:10..1:18`; `about 4:10`; `within 4:00..4:30`");
pub(super) const TOOLS: &Shape = &Shape::OneOrMany(&Shape::Either(&[
    Shape::Form("a tool, `a + b` at once, `a or b` either, `a | b` not established, `hands`, `one unknown`, `unknown`"),
    Shape::Named("a fact"),
]));
pub(super) const AFTER: &Shape = &Shape::Either(&[
    Shape::Form("a part that is off or a `do` that is done, `perhaps a`, `nothing`, `unknown`, `a | b`"),
    Shape::List(&Shape::Either(&[Shape::Text, Shape::Named("an alternative")])),
    Shape::Named("an alternative"),
]);

pub(super) const FASTENERS: &Shape = &Shape::OneOrMany(&Shape::Either(&[
    Shape::Form("`[perhaps] [COUNT x] FASTENER [DRIVE] [LENGTH mm]`, `nothing`, `one unknown`, `unknown`"),
    Shape::Named("a fastener"),
]));

/// The words of `basis`.
pub(super) fn bases() -> Vec<&'static str> {
    words::<Basis>()
}

/// `device.battery`.
pub static BATTERY: Table = Table { name: "the battery's endurance", fields: &facts::<BATTERIES>(Of::Battery, false) };

/// `device.endurance`.
pub static ENDURANCE: Table =
    Table { name: "the endurance of keys and port", fields: &facts::<ENDURANCES>(Of::Endurance, false) };

pub(super) static OF_BATTERY: &Shape = &Shape::Mapping(&BATTERY);
pub(super) static OF_ENDURANCE: &Shape = &Shape::Mapping(&ENDURANCE);

pub(super) static OF_SUPPORT: &Shape = &Shape::Mapping(&SUPPORT);

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

/// The fields that structs describe.
pub static DESCRIBED: LazyLock<Described> = LazyLock::new(|| {
    Described::new()
        .with::<RecordFields>()
        .with::<ToolFields>()
        .with::<FastenerFields>()
        .with::<RoleFields>()
        .with::<LoosenFields>()
        .with::<BenchFields>()
        .with::<ActionFields>()
        .with::<Refit>()
        .with::<Photo>()
        .with::<DeviceFields>()
        .with::<Teardown>()
        .with::<PartFields>()
        .with::<PutBack>()
        .with::<OwnVerdict>()
        .with::<RemarkFields>()
        .with::<Mended>()
        .with::<FactFields>()
        .with::<AnyFields>()
});

/// Every table, for tests that hold the documentation against them.
pub fn all() -> impl Iterator<Item = &'static Table> {
    OTHERS.iter().chain(DESCRIBED.tables()).copied()
}

static OTHERS: &[&Table] = &[&BATTERY, &ENDURANCE, &SUPPORT, &SPARE, &INFORMATION, &SUPPORT_TABLE];
