//! `device`, `teardown`, `put back`.

use super::{Root, facts};
use crate::record::{Device, DeviceFields, Fact, Facts, PutBack, Teardown, field_tables};
use crate::text::fields::{Bad, Item, Reader, left_out, short};
use crate::text::yaml::YamlKind;
use crate::text::{Spanned, near};
use crate::vocab::Category;
use crate::vocab::category::LONGEST_CATEGORY;
use crate::vocab::promise::Of;

/// The category alone, which other readers need first; of a misspelt one what it is nearly called, so that the rest is checked as
/// it is meant. `None` where it is missing or nothing like one. Complains about nothing.
pub(super) fn category(root: &Root<'_>) -> Option<Category> {
    let text = root.get(&root.device.0)?.node.get("category")?.value.text()?;
    let meant = || near(text, Category::shipped().iter().map(Category::word)).and_then(Category::from_word);
    named_category(text, root).ok().or_else(meant)
}

/// The category a text names: one of the vocabulary, or one of the record's own, which names its roles.
fn named_category(text: &str, root: &Root<'_>) -> Result<Category, Bad> {
    if let Some(category) = Category::from_word(text) {
        return Ok(category);
    }
    let names = || Category::shipped().iter().map(Category::word);
    let bad = |mend: String| Bad::new(0..text.len(), format!("`{}` is not a category", short(text))).mend(mend);
    if let Some(name) = near(text, names()) {
        return Err(bad(format!("did you mean `{name}`?")));
    }
    let roles =
        root.get(&root.roles).is_some_and(|r| matches!(&r.node.kind, YamlKind::Map(entries) if !entries.is_empty()));
    let own = Category::own(text);
    own.filter(|_| roles).ok_or_else(|| {
        let list = names().collect::<Vec<_>>().join(", ");
        match own {
            Some(_) => bad(format!("write one of: {list}; or name the roles of a category of your own under `roles`")),
            None => bad(format!(
                "write one of: {list}; a name of your own has letters, digits and spaces, at most {LONGEST_CATEGORY}"
            )),
        }
    })
}

/// `device`.
pub(super) fn device(root: &Root<'_>, reader: &mut Reader<'_>) -> Option<Device> {
    let item = root.get(&root.device.0)?;
    let (mut fields, items) = item.typed::<DeviceFields>(&field_tables::DESCRIBED, reader)?;
    let head = item.head();
    let category = items.get(&fields.category.0);
    let category = category.and_then(|c| c.parse("a category", |t| named_category(t, root), reader));
    let battery = items.get(&fields.battery).and_then(|b| b.fields(&field_tables::BATTERY, reader));
    let endurance = items.get(&fields.endurance).and_then(|e| e.fields(&field_tables::ENDURANCE, reader));
    // What nobody wrote down of keys and port is missing from the device as a whole.
    let nowhere = fields.name.0.as_ref().map_or(head, |n| n.span);
    let figures = Facts::each(&[Of::Battery, Of::Endurance], |p| {
        let (own, missing) = if p.row().of == Of::Battery { (&battery, head) } else { (&endurance, nowhere) };
        match own {
            Some(own) if own.get(p.row().field).is_some() || p.row().of == Of::Battery => {
                facts::promise(own, p, reader)
            }
            _ => Fact::missing(missing, p.path()),
        }
    });
    Some(Device { name: fields.name.0.take()?, category: category?, facts: figures, fields })
}

/// A device for checks of a record whose own could not be read; none where a device can't be without something.
pub(super) fn nameless(root: &Root<'_>, category: Category) -> Option<Device> {
    Some(Device {
        name: Spanned::new(String::new(), root.head),
        category: Spanned::new(category, root.head),
        facts: Facts::each(&[Of::Battery, Of::Endurance], |p| Fact::missing(root.head, p.path())),
        fields: left_out(root.head, "device")?,
    })
}

/// `teardown`; nothing stated where it is left out.
pub(super) fn teardown(root: &Root<'_>, reader: &mut Reader<'_>) -> Option<Teardown> {
    let read = root.get(&root.teardown).and_then(|t| t.typed(&field_tables::DESCRIBED, reader));
    read.map(|(teardown, _)| teardown).or_else(|| left_out(root.head, "teardown"))
}

/// `put back`.
pub(super) fn put_back(root: &Root<'_>, reader: &mut Reader<'_>) -> Option<PutBack> {
    let read = root.get(&root.put_back).and_then(|p| unless_unknown(&p)?.typed(&field_tables::DESCRIBED, reader));
    read.map(|(put_back, _)| put_back).or_else(|| left_out(root.head, "put back"))
}

/// The item, unless it says `unknown`: then all in it is unknown.
pub(super) fn unless_unknown<'t>(item: &Item<'t>) -> Option<Item<'t>> {
    let unknown = matches!(&item.node.kind, YamlKind::Scalar(s) if crate::text::fold(&s.text) == "unknown");
    (!unknown).then(|| item.clone())
}
