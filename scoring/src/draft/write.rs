//! A draft as the text of a record: every action with the words it rests on above it, and below all of them what else
//! was said with a trade word.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use super::actions::Aside;
use super::segment::Status;
use super::sheet::{Quote, Sheet, SheetRow, clock, span};
use crate::text::hidden::hides;
use crate::vocab;

/// The record. It ends in a line break.
pub fn record(sheet: &Sheet) -> String {
    let mut out = String::new();
    let _ = write!(
        out,
        "# A draft made from {} by word lists; nobody has reviewed what has the basis `drafted`.\n\
         # Above each action stands what was said. Set right what is wrong, take out what was not done, then delete its line\n\
         # `basis: drafted` (of what was told: `reviewed: no`). What else was said with a trade word stands at the end. Then: unfasten check, unfasten answer.\n",
        comment(&sheet.source)
    );
    let _ =
        write!(out, "unfasten: 1\ndevice:\n  name: {}\n  category: {}\n", scalar(&sheet.device), sheet.category.word());
    if let Some((price, quote)) = &sheet.price {
        let _ = writeln!(out, "  # {}\n  price: {{is: {price}, basis: drafted}}", quoted(quote));
    }
    out.push_str("teardown:\n  place: unknown\n  skill: unknown\n");
    // What follows is putting back.
    if let Some(at) = sheet.ends.as_ref().and_then(|q| q.at).filter(|at| !late(sheet, *at)) {
        let _ = writeln!(out, "  ends: {}", clock(at));
    }
    parts(sheet, &mut out);
    actions(sheet, &mut out);
    if let Some(ends) = &sheet.ends {
        let _ = write!(out, "\n# {}\nput back:\n  done: {{is: yes, basis: drafted}}\n", quoted(ends));
        if let Some(works) = &sheet.works {
            let _ = writeln!(out, "  # {}\n  powered on: {{is: yes, basis: drafted}}", quoted(works));
        }
    }
    if let Some((mark, quote)) = &sheet.verdict {
        let _ = write!(out, "\n# {}\nown verdict: {mark}\n", quoted(quote));
    }
    if !sheet.remarks.is_empty() {
        out.push_str("\nremarks:\n");
        for (good, quote) in &sheet.remarks {
            let at = quote.at.map_or_else(String::new, |s| format!(", at: {}", clock(s)));
            let _ = writeln!(
                out,
                "  - {{{}: {}{at}, basis: drafted}}",
                if *good { "for" } else { "against" },
                text(&quote.words)
            );
        }
    }
    if !sheet.asides.is_empty() {
        out.push_str("\n# What else was said with a trade word, and is in no action above:\n");
        for (why, quotes) in &sheet.asides {
            let _ = writeln!(out, "#\n# {}", title(*why));
            for quote in quotes {
                let _ = writeln!(out, "#   {}", quoted(quote));
            }
        }
    }
    out
}

/// Whether some action was drafted from behind a time.
fn late(sheet: &Sheet, at: u32) -> bool {
    sheet.rows.iter().filter_map(|r| r.at).any(|(from, _)| from > at)
}

fn title(why: Aside) -> &'static str {
    match why {
        Aside::Mentioned => "mentioned, pointed at, wished for, or told of another device:",
        Aside::Twice => "said again of something that stands above:",
        Aside::Corrected => "taken back by the speaker:",
        Aside::Denied => "said not to be there (check by ear: captions lose a \"not\" as easily as they add one):",
        Aside::Back => "put back together:",
    }
}

/// `parts`, and for a category without parts of its own the roles proposed.
fn parts(sheet: &Sheet, out: &mut String) {
    let mut roles: BTreeMap<String, String> = BTreeMap::new();
    if sheet.category.names_own_roles() {
        if sheet.proposed.is_empty() {
            return;
        }
        out.push_str(
            "\n# Which parts count, and how much, is for you to say: these are proposed because of what was said of them.\nroles:\n",
        );
        for proposed in &sheet.proposed {
            let _ = writeln!(out, "  {}: {{weight: 1, basis: drafted}}   # {}", scalar(&proposed.part), proposed.why);
            roles.insert(proposed.part.clone(), proposed.part.clone());
        }
    } else {
        for row in sheet.rows.iter().filter(|r| r.frees) {
            let named = std::iter::once(&row.name).chain(&row.also).find_map(|n| vocab::role(sheet.category, n));
            if let Some((role, _)) = named {
                roles.insert(row.name.clone(), role.name.clone());
            }
        }
    }
    if !roles.is_empty() {
        out.push_str("parts:\n");
        let mut seen: Vec<&str> = Vec::new();
        for row in sheet.rows.iter().filter(|r| r.frees) {
            if let Some(role) = roles.get(&row.name).filter(|_| !seen.contains(&&*row.name)) {
                let _ = writeln!(out, "  {}: {{role: {}}}", scalar(&row.name), scalar(role));
                seen.push(&row.name);
            }
        }
    }
}

fn actions(sheet: &Sheet, out: &mut String) {
    if sheet.rows.is_empty() {
        out.push_str("\n# No action was found; write them by hand: `unfasten new` shows how.\n");
        return;
    }
    out.push_str("\nactions:\n");
    let mut used: Vec<&str> = Vec::new();
    for row in &sheet.rows {
        for quote in &row.words {
            let _ = writeln!(out, "  # {}", quoted(quote));
        }
        if !row.also.is_empty() {
            let _ = writeln!(out, "  # also called: {}", comment(&row.also.join(", ")));
        }
        let _ = writeln!(out, "  - {}: {}", if row.frees { "free" } else { "do" }, scalar(&row.name));
        // A second way to the same part needs a name of its own.
        let times = used.iter().filter(|n| **n == row.name).count();
        if row.frees && times > 0 {
            let _ = writeln!(out, "    id: {}", scalar(&format!("{} way {}", row.name, times + 1)));
        }
        used.push(&row.name);
        fields(row, out);
    }
}

fn fields(row: &SheetRow, out: &mut String) {
    if let Some(at) = row.at {
        let _ = writeln!(out, "    at: {}", span(at));
    }
    let _ = writeln!(out, "    with: {}", if row.tools.is_empty() { "unknown".to_owned() } else { many(&row.tools) });
    let loosen = match &row.fasteners {
        None => "unknown".to_owned(),
        Some(list) if list.is_empty() => "nothing".to_owned(),
        Some(list) => many(list),
    };
    let _ = writeln!(out, "    loosen: {loosen}");
    out.push_str("    after: unknown\n");
    match row.status {
        Status::Done => {}
        Status::Failed => out.push_str("    outcome: failed\n"),
        Status::NotAttempted => out.push_str("    outcome: not attempted\n"),
        Status::Told => out.push_str("    source: told by the speaker, not done here\n"),
    }
    if let Some(because) = &row.because {
        let _ = writeln!(out, "    because: {}", text(because));
    }
    for (buy, kind) in [(true, "buy"), (false, "care")] {
        let texts: Vec<String> = row.refit.iter().filter(|(b, _)| *b == buy).map(|(_, words)| text(words)).collect();
        let lead = if kind == "buy" || !row.refit.iter().any(|(b, _)| *b) { "    refit:\n" } else { "" };
        match &*texts {
            [] => {}
            [one] => {
                let _ = writeln!(out, "{lead}      {kind}: {one}");
            }
            many => {
                let _ = writeln!(out, "{lead}      {kind}: [{}]", many.join(", "));
            }
        }
    }
    // What was told keeps its basis once it is reviewed; until then it is a draft as much as any other.
    out.push_str(match (row.status == Status::Told, row.reviewed) {
        (true, false) => "    basis: told\n    reviewed: no\n",
        (true, true) => "    basis: told\n",
        (false, false) => "    basis: drafted\n",
        (false, true) => "    basis: seen\n",
    });
}

fn many(list: &[String]) -> String {
    match list {
        [one] => scalar(one),
        many => format!("[{}]", many.iter().map(|m| scalar(m)).collect::<Vec<_>>().join(", ")),
    }
}

fn quoted(quote: &Quote) -> String {
    let words = comment(&quote.words);
    quote.at.map_or_else(|| words.clone(), |s| format!("{} {words}", clock(s)))
}

/// Words on one line of a comment.
fn comment(words: &str) -> String {
    words.chars().map(|c| if c.is_control() || hides(c) { ' ' } else { c }).collect::<String>().trim().to_owned()
}

/// A short value, in quotes only where YAML would read it as something else.
fn scalar(value: &str) -> String {
    let value = comment(value);
    let plain = value.chars().all(|c| c.is_alphanumeric() || matches!(c, ' ' | '.' | '-' | '\'' | '°'))
        && value.starts_with(char::is_alphanumeric)
        && !value.ends_with(' ')
        && !matches!(&*value.to_lowercase(), "null" | "true" | "false" | "yes" | "no" | "on" | "off")
        && value.parse::<f64>().is_err();
    if plain { value } else { text(&value) }
}

/// Any text, in double quotes.
fn text(value: &str) -> String {
    let mut out = String::from("\"");
    for c in comment(value).chars() {
        if matches!(c, '"' | '\\') {
            out.push('\\');
        }
        out.push(c);
    }
    out + "\""
}
