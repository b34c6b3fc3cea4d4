//! `loosen`: the fasteners an action opens.

use super::words::{Vocabulary, implied_kind};
use crate::exact::Exact;
use crate::record::entries::LoosenFields;
use crate::record::forms::fasteners::counted;
use crate::record::{Fact, Known, Loosened, Named, field_tables};
use crate::text::fields::{Bad, Item, Reader};
use crate::text::fold;
use crate::text::yaml::YamlKind;
use crate::vocab::{Family, Kind};

/// The fasteners of an action.
pub(super) fn loosen(item: &Item<'_>, words: &Vocabulary, reader: &mut Reader<'_>) -> Vec<Loosened> {
    if let Some("nothing") = item.node.text().map(fold).as_deref() {
        return Vec::new();
    }
    let items = item.one_or_many();
    items.iter().filter_map(|i| one_item(i, words, reader)).collect()
}

/// Whether a text begins with the word `perhaps`, and the byte behind it.
fn perhaps(text: &str) -> (bool, usize) {
    let lead = text.len() - text.trim_start().len();
    match crate::record::forms::perhaps(text.trim_start()) {
        Some(at) => (true, lead + at),
        None => (false, 0),
    }
}

/// `unknown` or `one unknown`.
fn nameless(item: &Item<'_>, named: Named) -> Loosened {
    let mut count = Fact::missing(item.span(), format!("{}.count", item.path));
    let mut kind = Fact::missing(item.span(), format!("{}.kind", item.path));
    (count.stated, kind.stated) = (true, true);
    let text = if named == Named::One { "one unknown" } else { "unknown" };
    Loosened {
        text: text.to_owned(),
        named,
        fastener: String::new(),
        family: Family::Other,
        count,
        drive: None,
        length: None,
        perhaps: false,
        kind,
        adhesive: false,
        note: None,
        span: item.span(),
        path: item.path.clone(),
    }
}

fn one_item(item: &Item<'_>, words: &Vocabulary, reader: &mut Reader<'_>) -> Option<Loosened> {
    if let YamlKind::Map(_) = item.node.kind {
        return mapping(item, words, reader);
    }
    match item.node.text().map(fold).as_deref() {
        Some("unknown") => return Some(nameless(item, Named::Any)),
        Some("one unknown") => return Some(nameless(item, Named::One)),
        _ => {}
    }
    let read = |text: &str| -> Result<_, Bad> {
        if fold(text) == "nothing" {
            return Err(Bad::new(0..text.len(), "`nothing` can't be one of several fasteners")
                .mend("write it alone: `loosen: nothing`"));
        }
        let (perhaps, at) = perhaps(text);
        let text = &text[at..];
        let counted = counted(text).map_err(|bad| bad.shifted(at))?;
        let name = &text[counted.name.clone()];
        let found = words.fastener(name).map_err(|bad| bad.shifted(at + counted.name.start))?;
        Ok((counted.count, found, name.to_owned(), perhaps))
    };
    let (count, found, text, perhaps) = item.parse("a fastener such as `5 x screw PH0`", read, reader)?.value;
    let (span, path) = (item.span(), item.path.clone());
    let count_path = format!("{path}.count");
    let count = match count {
        Some(known) => Fact { stated: true, ..Fact::implied(known, span, count_path) },
        None => Fact::implied(Known::Is(Exact::one()), span, count_path),
    };
    let kind = implied_kind(&found, span, &format!("{path}.kind"));
    let family = Family::of(if found.drive.is_some() { &found.name } else { &text });
    let text = shown(&found.name, found.drive.as_deref(), found.length.as_ref(), text);
    Some(Loosened {
        text,
        named: Named::Fastener,
        fastener: found.name,
        family,
        count,
        drive: found.drive,
        length: found.length,
        perhaps,
        kind,
        adhesive: found.adhesive,
        note: None,
        span,
        path,
    })
}

/// A fastener as it is shown: of a drive the one name it has in the vocabulary, however the record spells it, and the length;
/// anything else in the words of the record.
fn shown(fastener: &str, drive: Option<&str>, length: Option<&Exact>, written: String) -> String {
    let Some(drive) = drive else { return written };
    let mut text = format!("{fastener} {drive}");
    if let Some(length) = length {
        text.push_str(&format!(" {} mm", length.plain()));
    }
    text
}

fn mapping(item: &Item<'_>, words: &Vocabulary, reader: &mut Reader<'_>) -> Option<Loosened> {
    let (fields, items) = item.typed::<LoosenFields>(&field_tables::DESCRIBED, reader)?;
    let named = |text: &str| {
        let (perhaps, at) = perhaps(text);
        let found = words.fastener(text[at..].trim()).map_err(|bad| bad.shifted(at))?;
        Ok((found, perhaps, text[at..].trim().to_owned()))
    };
    let found = items.item(&fields.fastener).parse("a fastener", named, reader);
    let one = || Fact::implied(Known::Is(Exact::one()), item.head(), format!("{}.count", item.path));
    let mut count = fields.count.map_or_else(one, |count| count.map(|count| count.0.clone()));
    let (found, perhaps, name) = found?.value;
    let mut kind = match fields.kind {
        Some(mut kind) => {
            let sticky = found.kind.is_none();
            if sticky && kind.known == Known::Unknown {
                kind.known = Known::OneOf(Kind::STICKY.to_vec());
            }
            kind
        }
        None => implied_kind(&found, item.head(), &format!("{}.kind", item.path)),
    };
    for (basis, source) in [(&mut count.basis, &mut count.source), (&mut kind.basis, &mut kind.source)] {
        *basis = basis.or(fields.basis);
        if source.is_none() {
            source.clone_from(&fields.source);
        }
    }
    let family = Family::of(if found.drive.is_some() { &found.name } else { &name });
    let drive = fields.drive.map(|d| d.0).or(found.drive);
    let length = fields.length.map(|l| l.0).or(found.length);
    let text = shown(&found.name, drive.as_deref(), length.as_ref(), name);
    Some(Loosened {
        text,
        named: Named::Fastener,
        fastener: found.name,
        family,
        count,
        drive,
        length,
        perhaps,
        kind,
        adhesive: found.adhesive,
        note: fields.note,
        span: item.head(),
        path: item.path.clone(),
    })
}
