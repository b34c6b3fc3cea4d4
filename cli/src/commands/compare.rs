//! `unfasten compare`: devices side by side by one method, ranked as far as it goes.

use std::io::Write;

use scoring::compare::rank::SAMPLES;
use scoring::compare::table::{Cell, Row};
use scoring::compare::{Entry, Ranking, Table};
use scoring::exact::{Exact, Rounding};
use scoring::method::Method;
use scoring::range::{Assessment, Effort};
use serde_json::json;

use crate::arguments::{Compare, CompareFormat};
use crate::failure::Failure;
use crate::files::inputs::Inputs;
use crate::job;
use crate::many::{self, How};
use crate::problems::Form;
use crate::terminal::{column, hang, print_json, tame};
use crate::world::{WIDTH, World};

/// Devices whose criteria fit beside each other in a terminal.
const BESIDE: usize = 4;
/// Reasons shown in a terminal.
const REASONS: usize = 12;

/// A device to compare.
struct Device {
    name: String,
    assessment: Assessment,
    category: scoring::vocab::Category,
}

pub(crate) fn run(arguments: &Compare, form: Form, world: &mut World<'_>) -> Result<(), Failure> {
    let chosen = job::method(&arguments.method, form, world)?;
    let mut devices: Vec<Device> = Vec::new();
    let bad = many::each(
        Inputs::new(&arguments.records),
        How { threads: arguments.many.threads, form },
        world,
        &|input, world| {
            let (_, _, record) = job::one_of(input, world).usable(form, world)?;
            job::must_fit(&record, &chosen)?;
            let assessment = Assessment::new(&record, &chosen.method, Effort::default());
            let name = report::view::title(&record);
            Ok((input.name(), Device { name, assessment, category: record.device.category.value }))
        },
        &mut |(name, mut device): (String, Device), _| {
            if devices.iter().any(|d| d.name == device.name) {
                device.name = format!("{} ({name})", device.name);
            }
            devices.push(device);
            Ok(())
        },
    )?;
    if devices.len() < 2 {
        return if bad {
            Err(Failure::Shown)
        } else {
            Err(Failure::wrong("one device alone can't be compared", "name two records or more"))
        };
    }
    let entries: Vec<Entry<'_>> =
        devices.iter().map(|d| Entry { name: &d.name, category: d.category, assessment: &d.assessment }).collect();
    let refused = |e: scoring::compare::Refusal| {
        Failure::wrong(format!("the devices are {e}"), "compare like with like, or insist with --mixed")
    };
    let ranking = Ranking::new(&entries, arguments.mixed, arguments.samples.unwrap_or(SAMPLES), arguments.seed)
        .map_err(refused)?;
    let table = Table::new(&entries, arguments.mixed).map_err(refused)?;
    let method = &chosen.method;
    match arguments.format {
        CompareFormat::Json => {
            print_json(
                &json!({ "unfasten": 1, "method": method.id.value, "edition": method.edition, "ranking": ranking, "table": table }),
                world.out,
            )?;
        }
        CompareFormat::Csv => world.out.write_all(report::csv::comparison(&table).as_bytes())?,
        CompareFormat::Md => markdown(&ranking, &table, &devices, method, world.out)?,
        CompareFormat::Text => text(&ranking, &table, &devices, method, world.out)?,
    }
    if bad { Err(Failure::Shown) } else { Ok(()) }
}

/// The verdict of a device.
fn verdict(device: &Device) -> String {
    let a = &device.assessment;
    let show = |v: &Option<Exact>| v.as_ref().map_or_else(|| "nothing scored".to_owned(), |v| a.show(v));
    let (low, high) = (show(&a.root.low), show(&a.root.high));
    let range = match (low == high, a.method.scale.verdict) {
        (true, _) => low,
        (false, true) => "not settled".to_owned(),
        (false, false) => format!("{low} to {high}"),
    };
    match &a.classes {
        Some([l, h]) if l == h => format!("{range}, class {l}"),
        Some([l, h]) => format!("{range}, class {l} to {h}"),
        None => range,
    }
}

/// Tiers, dominance and weightings as sentences, the same for every form of text.
fn sentences(ranking: &Ranking, devices: &[Device]) -> Vec<(String, Vec<String>)> {
    let name = |i: usize| tame(&ranking.names[i]);
    let mut out = Vec::new();
    let tiers = ranking
        .tiers
        .iter()
        .enumerate()
        .map(|(t, list)| {
            let who: Vec<String> = list.iter().map(|&i| format!("{} ({})", name(i), verdict(&devices[i]))).collect();
            format!("tier {}: {}", t + 1, who.join("; "))
        })
        .collect();
    out.push(("Order, as far as the ranges allow one (within a tier none is claimed)".to_owned(), tiers));
    let dominates: Vec<String> = ranking
        .dominates
        .iter()
        .map(|&(a, b)| format!("{} is at least as good as {} in every criterion and better in one", name(a), name(b)))
        .collect();
    if !dominates.is_empty() {
        out.push(("Under any weights".to_owned(), dominates));
    }
    if let Some(drawn) = &ranking.acceptability {
        let who = ranking.sentences.iter().enumerate().map(|(i, s)| format!("{}: {s}", name(i))).collect();
        let half = Exact::parse(&format!("{:.4}", drawn.half_width * 100.0)).unwrap_or_else(Exact::zero);
        out.push((
            format!(
                "With other weights of {} criteria ({} weightings drawn alike from all there are, seed {}, shares to {} percent points)",
                ranking.criteria.len(),
                drawn.samples,
                drawn.seed,
                half.display(2, Rounding::Up)
            ),
            who,
        ));
    }
    out
}

fn points(cell: Option<&Cell>) -> String {
    let Some(cell) = cell else { return "-".to_owned() };
    let show = |v: &Option<Exact>| v.as_ref().map_or_else(|| "-".to_owned(), |v| v.display(2, Rounding::HalfUp));
    let (low, high) = (show(&cell.low), show(&cell.high));
    if low == high { low } else { format!("{low}..{high}") }
}

fn title(row: &Row) -> String {
    match &row.role {
        Some(role) => format!("{}: {role}", row.title),
        None => row.title.clone(),
    }
}

fn text(
    ranking: &Ranking,
    table: &Table,
    devices: &[Device],
    method: &Method,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    write!(
        out,
        "{}",
        hang("", &tame(&format!("{} devices by {} ({})", devices.len(), method.id.value, method.edition)), WIDTH)
    )?;
    for (head, list) in sentences(ranking, devices) {
        write!(out, "\n{}", hang("", &format!("{head}:"), WIDTH))?;
        for one in list {
            write!(out, "{}", hang("  ", &tame(&one), WIDTH))?;
        }
    }
    writeln!(out)?;
    if devices.len() <= BESIDE {
        let wide = (WIDTH - 30) / BESIDE;
        let heads: Vec<String> = table.names.iter().map(|n| column(&tame(n), wide - 1)).collect();
        writeln!(out, "{}{}", column("criterion", 30), heads.join(" ").trim_end())?;
        // Parts below their criterion stand in the Markdown and CSV forms.
        for row in table.rows.iter().filter(|r| r.role.is_none()) {
            let lead = format!("{}{}", " ".repeat(row.depth.min(4)), tame(&row.title));
            let cells: Vec<String> = row.cells.iter().map(|c| column(&points(c.as_ref()), wide - 1)).collect();
            writeln!(out, "{} {}", column(&lead, 29), cells.join(" ").trim_end())?;
        }
    } else {
        writeln!(out, "Criteria side by side: --format md or csv.")?;
    }
    let reasons: Vec<&Row> = table.rows.iter().filter(|r| r.reason.is_some()).collect();
    if !reasons.is_empty() {
        writeln!(out, "\nWhy they differ:")?;
        for row in reasons.iter().take(REASONS) {
            let text = format!("{}: {}", title(row), row.reason.as_deref().unwrap_or_default());
            write!(out, "{}", hang("  - ", &tame(&text), WIDTH))?;
        }
        if let Some(more) = reasons.len().checked_sub(REASONS).filter(|n| *n > 0) {
            writeln!(out, "    and {more} more: --format md")?;
        }
    }
    write!(out, "\n{}", hang("", NOTICE, WIDTH))?;
    Ok(())
}

const NOTICE: &str = "Unofficial pre-checks, each computed from one teardown record; not declared classes.";

/// Text in a Markdown table or sentence.
fn escaped(text: &str) -> String {
    let mut out = String::new();
    for c in tame(text).chars() {
        match c {
            '<' => out.push_str("&lt;"),
            '&' => out.push_str("&amp;"),
            '\\' | '`' | '*' | '_' | '[' | ']' | '|' | '#' | '!' | '~' => {
                out.push('\\');
                out.push(c);
            }
            c => out.push(c),
        }
    }
    out
}

fn markdown(
    ranking: &Ranking,
    table: &Table,
    devices: &[Device],
    method: &Method,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    writeln!(out, "# {} devices by {}\n\n{}\n", devices.len(), escaped(&method.title), escaped(&method.edition))?;
    for (head, list) in sentences(ranking, devices) {
        writeln!(out, "## {}\n", escaped(&head))?;
        list.iter().try_for_each(|one| writeln!(out, "- {}", escaped(one)))?;
        writeln!(out)?;
    }
    writeln!(out, "## Criteria\n")?;
    let heads: Vec<String> = table.names.iter().map(|n| escaped(n)).collect();
    writeln!(out, "| criterion | {} | why they differ |", heads.join(" | "))?;
    writeln!(out, "|---|{}---|", "---|".repeat(heads.len()))?;
    for row in &table.rows {
        let cells: Vec<String> = row.cells.iter().map(|c| points(c.as_ref())).collect();
        let reason = row.reason.as_deref().map(escaped).unwrap_or_default();
        writeln!(out, "| {} | {} | {reason} |", escaped(&title(row)), cells.join(" | "))?;
    }
    writeln!(out, "\n{NOTICE}")?;
    Ok(())
}
