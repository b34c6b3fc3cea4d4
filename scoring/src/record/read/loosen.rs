//! `loosen`: the fasteners an action opens.

use super::facts;
use super::words::{STICKY, Vocabulary, implied_kind};
use crate::exact::Exact;
use crate::record::forms::fasteners::counted;
use crate::record::{Fact, Known, Loosened, tables};
use crate::text::fields::{Bad, Fields, Item, Reader};
use crate::text::fold;
use crate::text::yaml::NodeKind;
use crate::vocab::Kind;

/// The fasteners of an action.
pub(super) fn loosen(fields: &Fields<'_>, words: &Vocabulary, reader: &mut Reader<'_>) -> Vec<Loosened> {
    let Some(item) = fields.get("loosen") else { return Vec::new() };
    match item.node.text().map(fold).as_deref() {
        Some("nothing") => return Vec::new(),
        Some("unknown") => return vec![anything(&item)],
        _ => {}
    }
    let items = item.one_or_many();
    items.iter().filter_map(|i| one_item(i, words, reader)).collect()
}

fn anything(item: &Item<'_>) -> Loosened {
    let mut count = Fact::missing(item.span(), format!("{}.count", item.path));
    let mut kind = Fact::missing(item.span(), format!("{}.kind", item.path));
    (count.stated, kind.stated) = (true, true);
    Loosened {
        text: "unknown".to_owned(),
        fastener: String::new(),
        count,
        drive: None,
        kind,
        adhesive: false,
        anything: true,
        note: None,
        span: item.span(),
        path: item.path.clone(),
    }
}

fn one_item(item: &Item<'_>, words: &Vocabulary, reader: &mut Reader<'_>) -> Option<Loosened> {
    if let NodeKind::Map(_) = item.node.kind {
        return mapping(item, words, reader);
    }
    let read = |text: &str| -> Result<_, Bad> {
        if matches!(&*fold(text), "nothing" | "unknown") {
            return Err(Bad::new(0..text.len(), format!("`{}` can't be one of several fasteners", text.trim()))
                .mend("write it alone: `loosen: nothing` or `loosen: unknown`"));
        }
        let counted = counted(text)?;
        let name = &text[counted.name.clone()];
        let found = words.fastener(name).map_err(|bad| bad.shifted(counted.name.start))?;
        Ok((counted.count, found, name.to_owned()))
    };
    let (count, found, text) = item.parse("a fastener such as `5 x screw PH0`", read, reader)?.value;
    let (span, path) = (item.span(), item.path.clone());
    let count_path = format!("{path}.count");
    let count = match count {
        Some(known) => Fact { stated: true, ..Fact::implied(known, span, count_path) },
        None => Fact::implied(Known::Is(Exact::one()), span, count_path),
    };
    let kind = implied_kind(&found, span, &format!("{path}.kind"));
    Some(Loosened {
        text,
        fastener: found.name,
        count,
        drive: found.drive,
        kind,
        adhesive: found.adhesive,
        anything: false,
        note: None,
        span,
        path,
    })
}

fn mapping(item: &Item<'_>, words: &Vocabulary, reader: &mut Reader<'_>) -> Option<Loosened> {
    let fields = item.fields(&tables::LOOSEN, reader)?;
    let margin = (facts::basis(&fields, reader), fields.text("source", reader).map(|s| s.value));
    let note = fields.text("note", reader).map(|n| n.value);
    let found = fields.get("fastener").and_then(|f| f.parse("a fastener", |t| words.fastener(t.trim()), reader));
    let drive = fields.get("drive").and_then(|d| {
        let read = |t: &str| match crate::vocab::drive::drive(t) {
            Some(drive) => Ok(drive.name),
            None => Err(super::words::no_drive(t, 0)),
        };
        d.parse("a screw drive", read, reader)
    });
    let mut count = facts::stated(&fields, "count", "a count", &facts::count, reader)
        .unwrap_or_else(|| Fact::implied(Known::Is(Exact::one()), fields.head, fields.path_of("count")));
    let stated = facts::stated(&fields, "kind", "a fastener kind", &facts::words::<Kind>, reader);
    let found = found?;
    let mut kind = match stated {
        Some(mut kind) => {
            let sticky = found.value.kind.is_none();
            if sticky && kind.known == Known::Unknown {
                kind.known = Known::OneOf(STICKY.to_vec());
            }
            kind
        }
        None => implied_kind(&found.value, fields.head, &fields.path_of("kind")),
    };
    for (basis, source) in [(&mut count.basis, &mut count.source), (&mut kind.basis, &mut kind.source)] {
        *basis = basis.or(margin.0);
        if source.is_none() {
            source.clone_from(&margin.1);
        }
    }
    let name = fields.get("fastener").and_then(|f| f.node.text().map(|t| t.trim().to_owned())).unwrap_or_default();
    let drive = drive.map(|d| d.value).or(found.value.drive);
    let text = match &drive {
        Some(drive) if !fold(&name).contains(&fold(drive)) => format!("{name} {drive}"),
        _ => name,
    };
    Some(Loosened {
        text,
        fastener: found.value.name,
        count,
        drive,
        kind,
        adhesive: found.value.adhesive,
        anything: false,
        note,
        span: item.head(),
        path: item.path.clone(),
    })
}
