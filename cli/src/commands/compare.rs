//! `unfasten compare`: devices side by side by one method, ranked as far as it goes.

use std::io::Write;

use report::comparison::{self, Compared, SETTLED_FOR, Section, points, reason, sections, title};
use report::json::VERSION;
use scoring::compare::rank::SAMPLES;
use scoring::compare::undecided::{Standing, undecided};
use scoring::compare::{RankedDevice, Ranking, SideBySide, Undecided};
use scoring::range::{Assessment, Effort, Range};
use scoring::record::Record;

use super::report::{broken_template, templates};
use crate::arguments::{Choice, Compare, CompareFormat};
use crate::both::Both;
use crate::documents::Comparison;
use crate::failure::Failure;
use crate::files::inputs::Inputs;
use crate::job;
use crate::many::{self, How};
use crate::problems::Form;
use crate::support::Tables;
use crate::terminal::markdown::escaped;
use crate::terminal::{column, hang, tame};
use crate::words::compare as say;
use crate::world::{WIDTH, World};

/// Devices whose criteria fit beside each other in a terminal.
const BESIDE: usize = 4;
/// Weights and differences shown in a terminal.
const SHOWN: usize = 8;

/// A device to compare.
struct Device {
    name: String,
    assessment: Assessment,
    category: scoring::vocab::Category,
    /// Its verdicts, bench and full, and what they are without its bench sheet.
    both: Both,
    /// Its record, as long as the devices are few enough to ask what would settle their order.
    record: Option<Box<Record>>,
}

pub(crate) fn run(arguments: &Compare, form: Form, world: &mut World<'_>) -> Result<(), Failure> {
    let choice = Choice { methods: vec![arguments.method.clone()], readings: arguments.readings.clone() };
    let mut chosen = job::methods(&choice, form, world)?;
    let chosen = chosen.remove(0);
    let templates = templates(arguments.template.as_deref())?;
    let tables = Tables::read(&arguments.joined, form, world)?;
    let mut devices: Vec<Device> = Vec::new();
    let inputs = Inputs::new(&arguments.records, world);
    let bad = many::each(
        inputs,
        How { threads: arguments.many.threads, form },
        world,
        &|input, world| {
            let (_, _, record) = tables.one_of(input, world).usable(form, world)?;
            job::must_fit(&record, &chosen)?;
            let assessment = Assessment::new(&record, &chosen.of(arguments.verdict), Effort::default());
            let both = Both::of(&record, &chosen, &assessment.kept);
            let name = report::view::title(&record);
            let category = record.device.category.value;
            let record = Some(Box::new(record));
            Ok((job::shown_name(&input.name()), Device { name, assessment, category, both, record }))
        },
        &mut |(name, mut device): (String, Device), _| {
            if devices.iter().any(|d| d.name == device.name) {
                device.name = say::of_file(&device.name, &name);
            }
            devices.push(device);
            if devices.len() > SETTLED_FOR {
                devices.iter_mut().for_each(|d| d.record = None);
            }
            Ok(())
        },
    )?;
    tables.finish(form, world)?;
    if devices.len() < 2 {
        return if bad { Err(Failure::Shown) } else { Err(Failure::said(say::ONE_ALONE)) };
    }
    let marked = mark(&mut devices);
    let verdicts: Vec<String> = devices.iter().map(|d| format!("{}: {}", d.name, d.both.said())).collect();
    let entries: Vec<RankedDevice<'_>> = devices
        .iter()
        .map(|d| RankedDevice { name: &d.name, category: d.category, assessment: &d.assessment })
        .collect();
    let refused = |e: scoring::compare::Refusal| Failure::said(say::unlike(&e.to_string()));
    let ranking = Ranking::new(&entries, arguments.mixed, arguments.samples.unwrap_or(SAMPLES), arguments.draw)
        .map_err(refused)?;
    let table = SideBySide::new(&entries, arguments.mixed).map_err(refused)?;
    let method = &chosen.of(arguments.verdict);
    let open = open_orders(&devices, &ranking);
    let assessments: Vec<&Assessment> = devices.iter().map(|d| &d.assessment).collect();
    let version = env!("CARGO_PKG_VERSION");
    let compared = Compared {
        ranking: &ranking,
        table: &table,
        assessments: &assessments,
        method,
        version,
        verdicts: &verdicts,
        verdict: arguments.verdict.word(),
        sheets: &marked,
        undecided: &open,
    };
    match arguments.format {
        CompareFormat::Json => {
            let both: Vec<&Both> = devices.iter().map(|d| &d.both).collect();
            world.json(&Comparison {
                unfasten: VERSION,
                method: &method.id.value,
                edition: &method.edition,
                verdict: arguments.verdict.word(),
                both,
                sheets_differ: !marked.is_empty(),
                ranking: &ranking,
                undecided: &open,
                table: &table,
            })?;
        }
        CompareFormat::Csv => {
            let of = |d: &Device| report::csv::Circumstances {
                sheet: d.both.sheet.clone().unwrap_or_default(),
                binds: d.both.binds.to_owned(),
            };
            let each: Vec<_> = devices.iter().map(of).collect();
            let day = devices.iter().find_map(|d| d.both.supplied_from.as_deref());
            world.out.write_all(report::csv::comparison(&table, &each, day).as_bytes())?;
        }
        CompareFormat::Md => markdown(&compared, world.out)?,
        CompareFormat::Text => text(&compared, world.out)?,
        CompareFormat::Html => {
            let text = comparison::render(&comparison::page(&compared), &templates).map_err(|e| broken_template(&e))?;
            world.out.write_all(text.as_bytes())?;
        }
    }
    if bad { Err(Failure::Shown) } else { Ok(()) }
}

/// What would settle the order of devices whose ranges overlap; nothing where they are many.
fn open_orders(devices: &[Device], ranking: &Ranking) -> Vec<Undecided> {
    let pairs = devices.len() * (devices.len() - 1) / 2;
    if devices.len() > SETTLED_FOR || ranking.above.len() == pairs {
        return Vec::new();
    }
    let standing = |d: &Device| {
        let a = &d.assessment;
        let range = Range {
            low: a.root.low.clone(),
            high: a.root.high.clone(),
            exact: a.attained == [true; 2],
            attained: a.attained,
            reached: a.reached.clone(),
        };
        Standing { range, questions: d.record.as_ref().and_then(|record| report::view::Outlook::asked(record, a)) }
    };
    undecided(&devices.iter().map(standing).collect::<Vec<_>>())
}

/// Marks devices judged by different sheets, which are different benches: what they supply may be all that tells two devices
/// apart. Says so in a sentence; nothing where all are judged alike.
fn mark(devices: &mut [Device]) -> String {
    if devices.iter().all(|d| d.both.sheet == devices[0].both.sheet) {
        return String::new();
    }
    for device in devices {
        device.name = say::by_sheet(&device.name, device.both.sheet.as_deref());
    }
    say::DIFFERENT_SHEETS.to_owned()
}

fn text(compared: &Compared<'_>, out: &mut dyn Write) -> Result<(), Failure> {
    let Compared { table, method, .. } = compared;
    let what = say::devices_by(table.names.len(), &method.id.value, &method.edition);
    write!(out, "{}", hang("", &tame(&what), WIDTH))?;
    let head = comparison::verdicts_head(compared);
    write!(out, "\n{}", hang("", &say::head(&head), WIDTH))?;
    for one in compared.verdicts {
        write!(out, "{}", hang("  ", &tame(one), WIDTH))?;
    }
    if !compared.sheets.is_empty() {
        write!(out, "{}", hang("  ", compared.sheets, WIDTH))?;
    }
    for Section { head, lines, named, long, .. } in sections(compared) {
        // A heading that ends in a name is whole.
        let head = if named { head } else { say::head(&head) };
        write!(out, "\n{}", hang("", &tame(&head), WIDTH))?;
        let most = if long { SHOWN } else { usize::MAX };
        for one in lines.iter().take(most) {
            write!(out, "{}", hang("  ", &tame(one), WIDTH))?;
        }
        if let Some(more) = lines.len().checked_sub(most).filter(|n| *n > 0) {
            writeln!(out, "  {}", say::more(more))?;
        }
    }
    writeln!(out)?;
    if table.names.len() <= BESIDE {
        let wide = (WIDTH - 30) / table.names.len();
        let heads: Vec<String> = short(&table.names).iter().map(|n| column(&tame(n), wide - 1)).collect();
        writeln!(out, "{}{}", column(say::CRITERION, 30), heads.join(" ").trim_end())?;
        // Parts below their criterion stand in the Markdown and CSV forms.
        for row in table.rows.iter().filter(|r| r.role.is_none()) {
            let lead = format!("{}{}", " ".repeat(row.depth.min(4)), tame(&row.title));
            let cells: Vec<String> = row.cells.iter().map(|c| column(&points(c.as_ref(), method), wide - 1)).collect();
            writeln!(out, "{} {}", column(&lead, 29), cells.join(" ").trim_end())?;
        }
    } else {
        writeln!(out, "{}", say::SIDE_BY_SIDE)?;
    }
    write!(out, "\n{}", hang("", say::NOTICE, WIDTH))?;
    Ok(())
}

/// Names without the words that all of them begin with, so that what tells them apart fits a column.
fn short(names: &[String]) -> Vec<String> {
    let words: Vec<Vec<&str>> = names.iter().map(|n| n.split(' ').collect()).collect();
    let least = words.iter().map(Vec::len).min().unwrap_or_default();
    let alike = (0..least.saturating_sub(1)).take_while(|&i| words.iter().all(|w| w[i] == words[0][i])).count();
    words.iter().map(|w| w[alike..].join(" ")).collect()
}

fn markdown(compared: &Compared<'_>, out: &mut dyn Write) -> Result<(), Failure> {
    let Compared { table, method, .. } = compared;
    let what = say::title(table.names.len(), &escaped(&method.title));
    writeln!(out, "# {what}\n\n{}\n", escaped(&method.edition))?;
    writeln!(out, "## {}\n", comparison::verdicts_head(compared))?;
    compared.verdicts.iter().try_for_each(|one| writeln!(out, "- {}", escaped(one)))?;
    writeln!(out)?;
    if !compared.sheets.is_empty() {
        writeln!(out, "{}\n", compared.sheets)?;
    }
    for Section { head, lines, table, .. } in sections(compared) {
        writeln!(out, "## {}\n", escaped(&head))?;
        match table {
            Some(table) => {
                let row = |cells: &[String; 4]| cells.each_ref().map(|c| escaped(c)).join(" | ");
                writeln!(out, "| {} |\n|---|---|---|--:|", row(&table.columns))?;
                table.rows.iter().try_for_each(|cells| writeln!(out, "| {} |", row(cells)))?;
            }
            None => lines.iter().try_for_each(|one| writeln!(out, "- {}", escaped(one)))?,
        }
        writeln!(out)?;
    }
    writeln!(out, "## {}\n", say::CRITERIA)?;
    let heads: Vec<String> = table.names.iter().map(|n| escaped(n)).collect();
    writeln!(out, "| {} | {} | {} |", say::CRITERION, heads.join(" | "), say::WHY)?;
    writeln!(out, "|---|{}---|", "---|".repeat(heads.len()))?;
    for row in &table.rows {
        let cells: Vec<String> = row.cells.iter().map(|c| points(c.as_ref(), method)).collect();
        let reason = reason(row, &table.names).map(|r| escaped(&r)).unwrap_or_default();
        writeln!(out, "| {} | {} | {reason} |", escaped(&title(row)), cells.join(" | "))?;
    }
    writeln!(out, "\n{}", say::NOTICE)?;
    Ok(())
}
