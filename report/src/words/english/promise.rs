//! English: what makers promise, and what is asked of it.

use scoring::vocab::Promise;

/// Some promise without a phrase of its own, at its best.
pub const BEST: &str = "every promise were at its best";

/// A promise at its best, after `if`: `every spare part were sold to anyone`.
pub fn if_promised(promise: Promise, term: &str) -> String {
    match promise {
        Promise::To => "every spare part were sold to anyone".to_owned(),
        Promise::Years => format!("every spare part were on offer for {term}"),
        Promise::Delivery => format!("every spare part came within {term}"),
        Promise::Price => format!("no spare part cost over {term} of the device"),
        Promise::PricePublished => "the price of every spare part were published".to_owned(),
        Promise::Interface => format!("every spare part were a {term}"),
        Promise::Pairing => "no spare part needed pairing".to_owned(),
        Promise::InformationTo => "anyone got the repair information".to_owned(),
        Promise::InformationCost => "the repair information were free of charge".to_owned(),
        Promise::InformationScope => "the repair information left nothing out".to_owned(),
        Promise::Updates => format!("updates came for {term}"),
        Promise::SecurityUpdates => format!("security updates came for {term}"),
        Promise::Diagnosis => format!("faults made themselves known by {term}"),
        Promise::Returns => format!("the ways to hand the device back were {term}"),
        Promise::Data => format!("moving and deleting data were {term}"),
        Promise::Reset => format!("the reset were {term}"),
        other => format!("{} were {term}", other.label()),
    }
}

/// All that can be promised of repair information.
pub const ALL_INFORMATION: &str = "anyone got all repair information free of charge";

/// What is open about spare parts, after `Open:`; `parts` are those asked about.
pub fn asked_of_spares(promise: Promise, parts: &str, one: bool) -> String {
    match promise {
        Promise::To => format!("who can buy {parts}"),
        Promise::Years => format!("how long {parts} can be bought"),
        Promise::Delivery => format!("how fast {parts} {}", if one { "comes" } else { "come" }),
        Promise::Price | Promise::PricePublished => format!("what {parts} {}", if one { "costs" } else { "cost" }),
        Promise::Interface if one => format!("whether {parts} is a standard part"),
        Promise::Interface => format!("whether {parts} are standard parts"),
        Promise::Pairing => format!("who may pair {parts}"),
        other => format!("{} of {parts}", other.label()),
    }
}

/// What is open about the device, after `Open:`; `None` where no phrase is at hand.
pub fn asked(promise: Promise) -> Option<&'static str> {
    Some(match promise {
        Promise::InformationTo => "who gets the repair information",
        Promise::InformationCost => "what the repair information costs",
        Promise::InformationScope => "how much repair information there is",
        Promise::SecurityUpdates => "how long security updates come",
        Promise::Updates => "how long updates come",
        Promise::Diagnosis => "how faults make themselves known",
        Promise::Returns => "what the maker takes back",
        Promise::Data => "how data are moved and deleted",
        Promise::Reset => "how it is reset",
        Promise::PowerKey | Promise::VolumeKeys | Promise::PortEndurance => "how long keys and sockets last",
        Promise::BatteryCycles | Promise::Capacity500 | Promise::Capacity1000 => "how long the battery lasts",
        Promise::IngressDust | Promise::IngressWater => "how well it keeps out dust and water",
        _ => return None,
    })
}

/// Where all that is said of a spare part comes from.
pub const SOURCE: &str = "source";

/// A promise beside its value, on the card of a part.
pub fn promised(promise: Promise) -> &'static str {
    match promise {
        Promise::Years => "available for",
        Promise::Pairing => "access to pairing",
        other => other.label(),
    }
}
