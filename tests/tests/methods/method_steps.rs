//! The counted examples of `criteria/STEPS.md`, through the engine. The counts are by hand from the rule as that page states it
//! (own), so the page, the switches and the engine hold one another.

use scoring::assess::{Reach, Router};
use scoring::exact::Exact;
use scoring::method::{StepRule, load_shipped};
use scoring::record::complete::{Complete, CompleteAction, CompleteSupport, CompleteTool};
use scoring::route::{Limits, Need};
use scoring::vocab::{Access, Category, Form, Place, Skill, ToolClass};

const PAGE: &str = include_str!("../../../criteria/STEPS.md");
const RING: u32 = 0;
const CELL_UNPLUGGED: u32 = 1;
const CELL: u32 = 2;
const UNPLUGGED: u32 = 3;
const HEAT: usize = 0;
const PICK: usize = 1;
const PH0: usize = 2;

fn action(frees: &[u32], does: Option<u32>, operations: &[&[usize]], after: &[u32]) -> CompleteAction {
    CompleteAction {
        written: None,
        exists: true,
        frees: frees.to_vec(),
        does,
        operations: operations.iter().map(|tools| vec![tools.to_vec()]).collect(),
        fasteners: Vec::new(),
        after: after.iter().map(|&t| Need::Thing(t)).collect(),
        destroys: Vec::new(),
        aside: Vec::new(),
        cleans: false,
        mains: false,
        place: Place::Use,
        skill: Skill::Layman,
    }
}

/// The lamp of the page: ring with heat pad and pick, unplug by hand, cell with PH0; `mains` puts an unplugging before everything.
fn lamp(mains: bool) -> Complete {
    let tool =
        |name: &str, class, heat| CompleteTool { name: name.to_owned(), class, heat, solvent: false, many: false };
    let first: &[u32] = if mains { &[UNPLUGGED] } else { &[] };
    let mut actions = vec![
        action(&[RING], None, &[&[HEAT], &[PICK]], first),
        action(&[], Some(CELL_UNPLUGGED), &[&[]], &[RING]),
        action(&[CELL], None, &[&[PH0]], &[RING, CELL_UNPLUGGED]),
    ];
    if mains {
        actions.insert(0, CompleteAction { mains: true, ..action(&[], Some(UNPLUGGED), &[&[]], &[]) });
    }
    let n = |v: i64| Exact::from(v);
    Complete {
        category: Category::OTHER,
        form: Form::NotFolding,
        tools: vec![
            tool("heat pad", ToolClass::Commercial, true),
            tool("opening pick", ToolClass::Basic, false),
            tool("screwdriver PH0", ToolClass::Basic, false),
        ],
        things: ["base ring", "unplug cell", "cell", "unplug the mains cord"].map(str::to_owned).to_vec(),
        actions,
        official: Vec::new(),
        fills: Vec::new(),
        support: CompleteSupport {
            information_to: Access::Public,
            information_free: true,
            information_scope: 0,
            updates: n(0),
            security_updates: n(0),
            diagnosis: 0,
            returns: 0,
            data: 0,
            reset: 0,
            battery_cycles: n(0),
            capacity_500: n(0),
            capacity_1000: n(0),
            ingress: (0, 0),
            endurance: [n(0), n(0), n(0)],
            marks: std::collections::BTreeMap::new(),
        },
    }
}

fn rule(id: &str) -> StepRule {
    load_shipped(id).unwrap().steps
}

fn steps(device: &Complete, rule: &StepRule) -> (Reach, u32) {
    let route = Router::new(device, rule, Limits::default()).to(CELL);
    (route.reach, route.steps)
}

#[test]
fn the_example_counts_three() {
    assert!(PAGE.contains("The cell is at depth 3."));
    for id in ["en-45554", "eu-2023-1669", "eu-2023-1670", "eu-2023-1542-11", "fr-index"] {
        assert_eq!(steps(&lamp(false), &rule(id)), (Reach::Yes, 3), "{id}");
    }
}

#[test]
fn heat_is_a_tool_or_is_not_counted() {
    assert!(PAGE.contains(
        "`yes`: 3. `no`: the heat pad is left out of the count, the pick is the first tool, so the cell is at 2"
    ));
    let method = load_shipped("eu-2023-1669").unwrap().with_switch("heat-as-tool", "no").unwrap();
    assert_eq!(steps(&lamp(false), &method.steps), (Reach::Yes, 2));
}

#[test]
fn mains_is_a_step_or_none() {
    assert!(PAGE.contains("`no` 3, `yes` 4"));
    assert_eq!(steps(&lamp(true), &rule("en-45554")), (Reach::Yes, 3));
    assert_eq!(steps(&lamp(true), &rule("fr-index")), (Reach::Yes, 4));
}

#[test]
fn a_destructive_way_is_scored_only_if_the_rule_says_so() {
    assert!(PAGE.contains("leaves the cell without a route (worst points), `yes` gives 3"));
    let mut device = lamp(false);
    device.actions[0].destroys = vec![RING];
    let usual = rule("en-45554");
    let router = Router::new(&device, &usual, Limits::default());
    let route = router.to(CELL);
    assert_eq!((route.reach, route.steps, router.scored(&route)), (Reach::Damage, 3, false));
    let kind = StepRule { destructive_scored: true, ..usual };
    let router = Router::new(&device, &kind, Limits::default());
    assert!(router.scored(&router.to(CELL)));
}
