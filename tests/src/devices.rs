//! Random small devices with random unknowns: four parts, a `do`, three tools.

use proptest::prelude::*;
use scoring::exact::Exact;
use scoring::method::Measure;
use scoring::range::{Answer, Case, Edit, Touches, Unknown};
use scoring::record::Term;
use scoring::record::complete::{
    Complete, CompleteAction, CompleteFastener, CompleteSupport, CompleteTool, Fill, Promised,
};
use scoring::route::{Need, Thing};
use scoring::text::Span;
use scoring::vocab::{Access, Category, Form, Kind, Place, Promise, Skill, ToolClass, Words};

const ROLES: [&str; 9] = [
    "battery",
    "display assembly",
    "back cover",
    "speaker",
    "front camera",
    "rear camera",
    "charging port",
    "button",
    "microphone",
];

/// Rows of the French sheet.
pub const ROWS: [&str; 12] = ["1.1", "2.1", "2.2", "2.3", "3.1", "3.2", "3.3", "3.4", "4.1", "5.1", "5.2", "5.3"];

fn number(n: i64) -> Term {
    Term::Number(Exact::from(n))
}

fn promised(facts: &[(Promise, Term)]) -> Promised {
    let mut out = Promised::unread(facts[0].0.of_part());
    facts.iter().for_each(|(promise, value)| out.set(*promise, value.clone()));
    out
}

fn spare(to: Access) -> Promised {
    promised(&[
        (Promise::To, Term::Word(to.rank())),
        (Promise::Years, number(7)),
        (Promise::Delivery, number(5)),
        (Promise::Price, number(20)),
        (Promise::PricePublished, Term::Word(0)),
        (Promise::Interface, Term::Word(1)),
        (Promise::Pairing, Term::Word(0)),
    ])
}

/// What a random device is made of.
#[derive(Clone, Debug)]
pub struct Seed {
    /// Tool classes.
    pub classes: Vec<u8>,
    /// Tool, kind, needs, adhesive, second operation.
    pub actions: Vec<(u8, u8, u8, bool, u8)>,
    /// What is unknown, about which place, and a variation.
    pub unknowns: Vec<(u8, u8, u8)>,
    /// Bits for odds and ends.
    pub present: u8,
}

/// Seeds, questions possibly about one place.
pub fn seed() -> impl Strategy<Value = Seed> {
    (
        prop::collection::vec(1u8..7, 3),
        prop::collection::vec((any::<u8>(), any::<u8>(), any::<u8>(), any::<bool>(), any::<u8>()), 5),
        prop::collection::vec((0u8..9, any::<u8>(), any::<u8>()), 1..5),
        any::<u8>(),
    )
        .prop_map(|(classes, actions, unknowns, present)| Seed { classes, actions, unknowns, present })
}

const CLASSES: [ToolClass; 8] = [
    ToolClass::None,
    ToolClass::Basic,
    ToolClass::WithPart,
    ToolClass::WithProduct,
    ToolClass::GroupSpecific,
    ToolClass::Commercial,
    ToolClass::Proprietary,
    ToolClass::NotFeasible,
];
const KINDS: [Kind; 4] = [Kind::Reusable, Kind::Resupplied, Kind::Removable, Kind::Neither];

/// Four parts and a `do`; each action may need earlier ones.
pub fn case(seed: &Seed) -> Case {
    let tools = seed
        .classes
        .iter()
        .enumerate()
        .map(|(i, c)| CompleteTool {
            name: format!("t{i}").into(),
            class: CLASSES[usize::from(*c)],
            heat: i == 2,
            solvent: false,
            many: false,
        })
        .collect();
    let mut actions = Vec::new();
    for (i, (tool, kind, need, adhesive, second)) in seed.actions.iter().enumerate() {
        let after = (0..i).filter(|j| need >> j & 1 == 1).map(|j| Need::Thing(thing(j))).collect();
        let set = |t: u8| if t % 4 == 3 { vec![] } else { vec![usize::from(t % 4)] };
        let mut operations = vec![vec![set(*tool)]];
        if second % 3 == 0 {
            operations.push(vec![set(second / 3)]);
        }
        let own = thing(i);
        actions.push(CompleteAction {
            written: None,
            exists: true,
            frees: if i < 4 { vec![own] } else { vec![] },
            does: (i == 4).then_some(own),
            operations,
            fasteners: vec![CompleteFastener {
                written: None,
                kind: KINDS[usize::from(kind % 4)],
                adhesive: *adhesive,
                count: 1,
            }],
            after,
            destroys: vec![],
            aside: Vec::new(),
            cleans: false,
            mains: false,
            place: Place::Use,
            skill: Skill::Generalist,
        });
    }
    // The cell waits for the `do` in half of the cases.
    if seed.present & 16 == 16 {
        actions[0].after.retain(|n| *n != Need::Thing(4));
        actions[3].after.push(Need::Thing(4));
    }
    // In a quarter of the cases the maker gives a route, of some of the actions or of all.
    let given = seed.actions.first().map_or(0, |a| a.4);
    let official = [0, 1, 2, 4, 3].into_iter().filter(|a| seed.present & 0xc0 == 0xc0 && given >> a & 1 == 1).collect();
    let fills = ROLES
        .iter()
        .enumerate()
        .map(|(i, role)| Fill {
            role: (*role).to_owned(),
            part: None,
            thing: thing(i.min(3)),
            present: i < 4,
            several_roles: false,
            paired: false,
            spare: spare(Access::Public),
        })
        .collect();
    let base = Complete {
        category: Category::of("smartphone"),
        form: Form::NotFolding,
        tools,
        things: std::sync::Arc::new((0..5).map(|i| format!("x{i}")).collect()),
        actions: actions.into(),
        official,
        fills,
        support: CompleteSupport {
            facts: promised(&[
                (Promise::InformationTo, Term::Word(0)),
                (Promise::InformationCost, Term::Word(0)),
                (Promise::InformationScope, Term::Word(0)),
                (Promise::Updates, number(6)),
                (Promise::SecurityUpdates, number(6)),
                (Promise::Diagnosis, Term::Word(1)),
                (Promise::Returns, Term::Word(1)),
                (Promise::Data, Term::Word(1)),
                (Promise::Reset, Term::Word(1)),
                (Promise::BatteryCycles, number(800)),
                (Promise::Capacity500, number(80)),
                (Promise::Capacity1000, number(80)),
                (Promise::IngressDust, number(6)),
                (Promise::IngressWater, number(7)),
                (Promise::PowerKey, number(1)),
                (Promise::VolumeKeys, number(1)),
                (Promise::PortEndurance, number(1)),
            ]),
            marks: ROWS.iter().map(|row| ((*row).to_owned(), Exact::from(5))).collect(),
        },
    };
    let unknowns = seed.unknowns.iter().map(|u| unknown(&base, *u)).collect();
    Case { base, unknowns, assumed: Vec::new(), own_roles: Vec::new(), asleep: Vec::new(), done: Vec::new() }
}

fn unknown(base: &Complete, (what, which, extra): (u8, u8, u8)) -> Unknown {
    let action = usize::from(which) % 5;
    let fill = usize::from(which) % 4;
    let answer = |label: &str, edit: Edit| Answer { label: label.to_owned(), edits: vec![edit] };
    let (touches, answers) = match what {
        0 => {
            let above: Vec<Need> = (0..action).map(|j| Need::Thing(thing(j))).collect();
            let last = above.last().cloned().into_iter().collect();
            let list = [vec![], last, above];
            let answers = list.into_iter().map(|n| answer("order", Edit::After(action, n))).collect();
            (Touches::Routes(vec![action]), answers)
        }
        1 => {
            let ways: Vec<Vec<usize>> = vec![vec![], vec![0], vec![1], vec![2]];
            let answers = ways.into_iter().map(|w| answer("tool", Edit::Ways(action, 0, vec![w]))).collect();
            (Touches::Routes(vec![action]), answers)
        }
        2 => {
            let answers = KINDS.iter().map(|k| answer("kind", Edit::Fastener(action, 0, *k))).collect();
            (Touches::Routes(vec![action]), answers)
        }
        3 => {
            let answers = [true, false].map(|e| answer("exists", Edit::Exists(action, e))).to_vec();
            (Touches::Routes(vec![action]), answers)
        }
        4 => {
            let answers = [true, false].map(|e| answer("present", Edit::Present(fill, e))).to_vec();
            (Touches::Part(fill), answers)
        }
        5 => {
            let list = if extra % 2 == 0 { vec![fill] } else { vec![fill, (fill + 1) % 4] };
            let answers = [Access::Public, Access::Authorised, Access::None]
                .map(|a| answer("to", Edit::Spare(list.clone(), Promise::To, Term::Word(a.rank()))))
                .to_vec();
            (Touches::Spare(list, Measure::Promise(Promise::To)), answers)
        }
        6 => {
            let answers = [4, 5, 7].map(|y| answer("years", Edit::Support(Promise::Updates, number(y)))).to_vec();
            (Touches::Device(vec![Measure::Promise(Promise::Updates)]), answers)
        }
        8 => {
            let row = ROWS[usize::from(which) % ROWS.len()].to_owned();
            let mark = |m: i64| Edit::Mark(row.clone(), Exact::from(m));
            let answers = [0, i64::from(extra % 11), 10].map(|m| answer("mark", mark(m))).to_vec();
            (Touches::Device(vec![Measure::Mark(row.clone())]), answers)
        }
        _ => {
            let all: Vec<usize> = (0..base.actions.len()).collect();
            let answers = [Skill::Layman, Skill::Expert].map(|s| answer("skill", Edit::Skill(all.clone(), s))).to_vec();
            (Touches::Routes(all), answers)
        }
    };
    Unknown {
        path: format!("u{what}.{which}"),
        span: Span::default(),
        question: String::new(),
        touches,
        answers,
        between: false,
    }
}

fn thing(index: usize) -> Thing {
    Thing::try_from(index).unwrap_or(Thing::MAX)
}

/// Seeds with no place asked twice: a record never does that.
pub fn distinct() -> impl Strategy<Value = Seed> {
    seed().prop_map(|mut s| {
        let mut seen = std::collections::BTreeSet::new();
        s.unknowns.retain(|(what, which, _)| {
            let place = match what {
                0..=3 => (*what, which % 5),
                4 => (4, which % 4),
                5 => (5, 0),
                8 => (8, which % 12),
                other => (*other, 0),
            };
            seen.insert(place)
        });
        s
    })
}
