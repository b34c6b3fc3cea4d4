//! The comparison as one HTML file: no outside request, whole without script.

use scoring::compare::rank::Stretch;
use scoring::exact::{Exact, Rounding};
use serde::Serialize;

use super::{
    Compared, Differences, Section, between, differences, drawn, gives_way, holds_everywhere, named, nearest, percent,
};
use crate::clean::line;
use crate::template::{TemplateError, Templates};
use crate::words::{compare as say, english as en};

/// What the template `compare.html` receives, version 1.
#[derive(Clone, Debug, Serialize)]
pub struct Page {
    /// Version of this view.
    pub unfasten: u32,
    /// Program and version.
    pub program: String,
    /// Title of the page.
    pub title: String,
    /// Title of the method.
    pub method: String,
    /// Its edition.
    pub edition: String,
    /// What a comparison is not.
    pub status: String,
    /// Names of the devices, in the order given.
    pub names: Vec<String>,
    /// Devices in order, with their verdicts.
    pub devices: Vec<Device>,
    /// All verdicts of each device, bench and full, with its bench sheet and without, and which is compared.
    pub verdicts: Section,
    /// That devices are judged by different bench sheets, in words; empty where all are judged alike.
    pub sheets: String,
    /// What would settle the order of devices whose ranges overlap, with a heading; no lines where none overlap.
    pub settles: Section,
    /// Limits that hold devices down, with a heading; no lines where none does.
    pub held: Section,
    /// Where a device is surely ahead, the difference worth most first; empty where nothing is sure.
    pub differences: Vec<Differences>,
    /// What holds under any weights; empty where nothing does.
    pub dominance: Vec<String>,
    /// What other weights would say, where weights were drawn.
    pub drawn: Option<Drawn>,
    /// How far weights could move; empty where no pair is in order.
    pub moves: Vec<Move>,
    /// What more is to say on that, and its heading.
    pub moves_said: Section,
    /// Criteria and parts side by side.
    pub rows: Vec<PageRow>,
}

/// A device in the order.
#[derive(Clone, Debug, Serialize)]
pub struct Device {
    /// Tier, from 1.
    pub tier: usize,
    /// Name.
    pub name: String,
    /// Verdict.
    pub verdict: String,
    /// Range bar, SVG; empty for verdicts of pass and fail.
    pub bar: String,
    /// Lost points by criterion, SVG, all devices on one scale; empty for verdicts of pass and fail.
    pub strip: String,
    /// The same in a line, for where the strip has no room.
    pub lost: String,
}

/// Weightings drawn.
#[derive(Clone, Debug, Serialize)]
pub struct Drawn {
    /// What the weights are of.
    pub head: String,
    /// How they were drawn, or why not; each a sentence.
    pub how: Vec<String>,
    /// Ranks: `rank 1`, `rank 2`.
    pub ranks: Vec<String>,
    /// One for each device.
    pub devices: Vec<Accepted>,
}

/// What weightings say of a device.
#[derive(Clone, Debug, Serialize)]
pub struct Accepted {
    /// Name.
    pub name: String,
    /// The plain sentence.
    pub sentence: String,
    /// Share of weightings in which it gets each rank.
    pub ranks: Vec<String>,
    /// Share in which it stands above each device; a dash for itself.
    pub wins: Vec<String>,
}

/// How far one weight could move.
#[derive(Clone, Debug, Serialize)]
pub struct Move {
    /// Criterion or part.
    pub what: String,
    /// Share now.
    pub share: String,
    /// Where the order stays.
    pub order: String,
    /// Where the first place stays; empty where none is claimed.
    pub first: String,
    /// What happens beyond.
    pub beyond: String,
}

/// A criterion, or a part of one.
#[derive(Clone, Debug, Serialize)]
pub struct PageRow {
    /// Title.
    pub title: String,
    /// The part it is about; empty for a criterion.
    pub part: String,
    /// How far below the verdict, at most 6.
    pub depth: usize,
    /// One cell for each device: points, and what was read.
    pub cells: Vec<[String; 2]>,
    /// Why they differ; empty where they don't.
    pub reason: String,
}

/// Makes the page's view.
pub fn page(c: &Compared<'_>) -> Page {
    let names: Vec<String> = c.ranking.names.iter().map(|n| line(n)).collect();
    let devices = c.ranking.tiers.iter().enumerate().flat_map(|(t, list)| list.iter().map(move |&i| (t, i)));
    let points = !c.method.scale.verdict && c.method.no_total().is_none();
    let losses: Vec<_> =
        if points { c.assessments.iter().map(|a| crate::facts::losses(a)).collect() } else { Vec::new() };
    let strips = crate::svg::strip::beside(&losses);
    let devices = devices.map(|(t, i)| Device {
        strip: strips.get(i).cloned().unwrap_or_default(),
        lost: losses.get(i).map(crate::words::lost_list).unwrap_or_default(),
        tier: t + 1,
        name: names[i].clone(),
        verdict: line(&super::verdict(c.assessments[i])),
        bar: bar(c, i),
    });
    let said = super::moves(c);
    let found = nearest(&c.ranking.spans);
    Page {
        unfasten: crate::view::VERSION,
        program: format!("unfasten {}", line(c.version)),
        title: en::devices_by(c.ranking.names.len(), &line(&c.method.title)),
        method: line(&c.method.title),
        edition: line(&c.method.edition),
        status: say::NOTICE.to_owned(),
        devices: devices.collect(),
        verdicts: Section::said(&super::verdicts_head(c), c.verdicts.iter().map(|v| line(v)).collect()),
        sheets: c.sheets.to_owned(),
        settles: Section::said(say::SETTLES, super::settles(c)),
        held: Section::said(say::HELD, super::held(c)),
        differences: differences(c).into_iter().map(|(_, table)| table).collect(),
        dominance: super::dominance(c.ranking),
        drawn: drawn(c).map(|d| weightings(c, d, &names)),
        // Sentences on weights that change something are rows of the table.
        moves_said: Section::said(say::MOVES, said.into_iter().skip(found.len()).collect()),
        moves: found
            .into_iter()
            .map(|s| {
                let stays = |f: &Stretch| if holds_everywhere(f) { say::WHATEVER_IT_IS.to_owned() } else { between(f) };
                Move {
                    what: named(s),
                    share: percent(&s.share, Rounding::HalfUp),
                    order: stays(&s.order),
                    first: s.first.as_ref().map_or_else(String::new, stays),
                    beyond: gives_way(&s.order, &c.ranking.names).join("; "),
                }
            })
            .collect(),
        rows: rows(c),
        names,
    }
}

/// The page. Ends in a line break.
pub fn render(page: &Page, templates: &Templates) -> Result<String, TemplateError> {
    let mut out = templates.render("compare.html", page)?;
    if !out.ends_with('\n') {
        out.push('\n');
    }
    Ok(out)
}

fn bar(c: &Compared<'_>, device: usize) -> String {
    let a = c.assessments[device];
    let scale = &a.method.scale;
    let (Some(low), Some(high), false) = (&a.root.low, &a.root.high, scale.verdict) else { return String::new() };
    let (least, most) = (&scale.low, &scale.high);
    let share = |v: &Exact| {
        let share = (v - least).checked_div(&(most - least)).unwrap_or_else(Exact::zero);
        (&share.max(Exact::zero()).min(Exact::one()) * &Exact::from(100)).display(1, Rounding::HalfUp)
    };
    let ends = [least.plain(), most.plain()];
    let text = say::of_scale(&super::verdict(a), ends.each_ref().map(String::as_str));
    crate::svg::bar::bar(&share(low), &share(high), &ends, &line(&text), &[])
}

fn weightings(c: &Compared<'_>, said: super::Drawn, names: &[String]) -> Drawn {
    let drawn = c.ranking.acceptability.as_ref();
    let share = |[least, most]: [f64; 2]| {
        let one = |s: f64| format!("{:.1}", s * 100.0);
        if one(least) == one(most) {
            format!("{} %", one(least))
        } else {
            en::to(&one(least), &format!("{} %", one(most)))
        }
    };
    let devices = drawn.into_iter().flat_map(|a| {
        names.iter().enumerate().map(move |(i, name)| Accepted {
            name: name.clone(),
            sentence: c.ranking.sentences.get(i).map_or_else(String::new, |s| line(s)),
            ranks: a.ranks[i].iter().map(|r| share(*r)).collect(),
            wins: (0..names.len()).map(|j| if i == j { "–".to_owned() } else { share(a.wins[i][j]) }).collect(),
        })
    });
    let ranks = (1..=names.len()).map(say::rank).collect();
    Drawn { head: said.head, how: said.how, ranks, devices: devices.collect() }
}

fn rows(c: &Compared<'_>) -> Vec<PageRow> {
    let one = |r: &scoring::compare::side_by_side::CriterionRow| PageRow {
        title: line(&r.title),
        part: r.role.as_deref().map(line).unwrap_or_default(),
        depth: r.depth.min(6),
        cells: r
            .cells
            .iter()
            .map(|cell| {
                let said = cell.as_ref().map_or_else(String::new, |c| match &c.said {
                    [low, high] if low == high => line(low),
                    [low, high] => line(&en::to(low, high)),
                });
                [super::points(cell.as_ref(), c.method), said]
            })
            .collect(),
        reason: super::reason(r, &c.table.names).unwrap_or_default(),
    };
    c.table.rows.iter().map(one).collect()
}
