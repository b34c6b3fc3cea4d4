//! `device`, `teardown`, `put back`.

use super::facts;
use crate::record::forms::known::yes_no;
use crate::record::forms::{numbers, times};
use crate::record::{Device, Fact, Facts, PutBack, Teardown, tables};
use crate::text::fields::{Bad, Fields, Item, Reader, short};
use crate::text::yaml::NodeKind;
use crate::text::{Spanned, near};
use crate::vocab::category::LONGEST_CATEGORY;
use crate::vocab::promise::Of;
use crate::vocab::{Basis, Category};

/// The category alone, which other readers need first; `None` where it is missing or wrong. Complains about nothing.
pub(super) fn category(root: &Fields<'_>) -> Option<Category> {
    let text = root.get("device")?.node.get("category")?.value.text()?;
    named_category(text, root).ok()
}

/// The category a text names: one of the vocabulary, or one of the record's own, which names its roles.
fn named_category(text: &str, root: &Fields<'_>) -> Result<Category, Bad> {
    if let Some(category) = Category::from_word(text) {
        return Ok(category);
    }
    let names = || Category::shipped().iter().map(Category::word);
    let bad = |mend: String| Bad::new(0..text.len(), format!("`{}` is not a category", short(text))).mend(mend);
    if let Some(name) = near(text, names()) {
        return Err(bad(format!("did you mean `{name}`?")));
    }
    let roles =
        root.get("roles").is_some_and(|r| matches!(&r.node.kind, NodeKind::Map(entries) if !entries.is_empty()));
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
pub(super) fn device(root: &Fields<'_>, reader: &mut Reader<'_>) -> Option<Device> {
    let fields = root.get("device")?.fields(&tables::DEVICE, reader)?;
    let mut text = |name: &str| fields.text(name, reader);
    let name = text("name");
    let (maker, model, variant) = (text("maker"), text("model"), text("variant"));
    let (region, register_number, condition) = (text("region"), text("register number"), text("condition"));
    let category = fields.get("category").and_then(|c| c.parse("a category", |t| named_category(t, root), reader));
    let battery = fields.get("battery").and_then(|b| b.fields(&tables::BATTERY, reader));
    let endurance = fields.get("endurance").and_then(|e| e.fields(&tables::ENDURANCE, reader));
    // What nobody wrote down of keys and port is missing from the device as a whole.
    let nowhere = name.as_ref().map_or(fields.head, |n| n.span);
    let figures = Facts::each(&[Of::Battery, Of::Endurance], |p| {
        let (own, missing) = if p.row().of == Of::Battery { (&battery, fields.head) } else { (&endurance, nowhere) };
        match own {
            Some(own) if own.get(p.row().field).is_some() || p.row().of == Of::Battery => {
                facts::promise(own, p, reader)
            }
            _ => Fact::missing(missing, p.path()),
        }
    });
    let code = |t: &str| crate::record::forms::known::known(t, &numbers::ingress);
    let price = facts::stated(&fields, "price", "a price such as `79 EUR`", &facts::money, reader);
    let ingress = facts::field(&fields, "ingress", "a protection code such as `IP67`", &code, reader);
    let day = |t: &str| crate::record::forms::known::known_number(t, &times::date);
    let on_market = facts::field(&fields, "on market", "a date such as 2026-03-02", &day, reader);
    let released = |t: &str| crate::record::forms::known::known_number(t, &times::release);
    let released = facts::field(&fields, "released", "a year, month or day such as 2026-03", &released, reader);
    let weight = facts::field(&fields, "weight", "a weight such as `174 g`", &facts::grams, reader);
    let form = facts::stated(&fields, "form", "a form", &facts::words, reader);
    Some(Device {
        name: name?,
        maker,
        model,
        variant,
        region,
        register_number,
        condition,
        category: category?,
        form,
        price,
        weight,
        released,
        on_market,
        ingress,
        facts: figures,
    })
}

/// A device for checks of a record whose own could not be read.
pub(super) fn nameless(root: &Fields<'_>, category: Category) -> Device {
    Device {
        name: Spanned::new(String::new(), root.head),
        maker: None,
        model: None,
        variant: None,
        region: None,
        register_number: None,
        condition: None,
        category: Spanned::new(category, root.head),
        form: None,
        price: None,
        weight: Fact::missing(root.head, "device.weight"),
        released: Fact::missing(root.head, "device.released"),
        on_market: Fact::missing(root.head, "device.on market"),
        ingress: Fact::missing(root.head, "device.ingress"),
        facts: Facts::each(&[Of::Battery, Of::Endurance], |p| Fact::missing(root.head, p.path())),
    }
}

/// `teardown`; nothing stated where it is left out.
pub(super) fn teardown(root: &Fields<'_>, reader: &mut Reader<'_>) -> Teardown {
    let missing = Teardown {
        date: None,
        by: None,
        video: None,
        place_of_work: None,
        place: Fact::missing(root.head, "teardown.place"),
        skill: Fact::missing(root.head, "teardown.skill"),
        ends: None,
        basis: Basis::Seen,
        uncut: false,
    };
    let Some(fields) = root.get("teardown").and_then(|t| t.fields(&tables::TEARDOWN, reader)) else { return missing };
    Teardown {
        date: fields.get("date").and_then(|d| d.parse("a date such as 2026-03-02", times::date, reader)),
        by: fields.text("by", reader),
        video: fields.text("video", reader),
        place_of_work: fields.text("place of work", reader),
        place: facts::field(&fields, "place", "a working environment", &facts::words, reader),
        skill: facts::field(&fields, "skill", "a skill level", &facts::words, reader),
        ends: fields.get("ends").and_then(|e| e.parse("a time such as `14:05`", times::time, reader)),
        basis: facts::basis(&fields, reader).unwrap_or(Basis::Seen),
        uncut: fields.yes_no("uncut", reader).is_some_and(|y| y.value),
    }
}

/// `put back`.
pub(super) fn put_back(root: &Fields<'_>, reader: &mut Reader<'_>) -> PutBack {
    let fields = root.get("put back").and_then(|p| unless_unknown(&p)?.fields(&tables::PUT_BACK, reader));
    let mut fact = |name: &str| match &fields {
        Some(fields) => facts::field(fields, name, "yes or no", &yes_no, reader),
        None => Fact::missing(root.head, format!("put back.{name}")),
    };
    PutBack { done: fact("done"), powered_on: fact("powered on"), tested: fact("tested") }
}

/// `own verdict`, and why.
pub(super) fn own_verdict(
    root: &Fields<'_>,
    reader: &mut Reader<'_>,
) -> (Option<Spanned<String>>, Option<Spanned<String>>) {
    let Some(item) = root.get("own verdict") else { return (None, None) };
    if !matches!(item.node.kind, NodeKind::Map(_)) {
        return (item.text("text", reader), None);
    }
    let Some(fields) = item.fields(&tables::OWN_VERDICT, reader) else { return (None, None) };
    (fields.text("is", reader), fields.text("because", reader))
}

/// The item, unless it says `unknown`: then all in it is unknown.
pub(super) fn unless_unknown<'t>(item: &Item<'t>) -> Option<Item<'t>> {
    let unknown = matches!(&item.node.kind, NodeKind::Scalar(s) if crate::text::fold(&s.text) == "unknown");
    (!unknown).then(|| item.clone())
}
