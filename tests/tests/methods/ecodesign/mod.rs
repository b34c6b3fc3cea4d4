//! The requirements of Regulation (EU) 2023/1670 once more, as plain arithmetic on a random device. Annex I and Annex II B
//! (smartphones) and D (slate tablets): read in a consolidated copy. Own readings are named where they stand.

use std::collections::BTreeMap;

use crate::oracle_world::{
    ACCESS, CLASSES, Counting, Coverage, KINDS, PAIRINGS, PLACES, Reach, SKILLS, Way, World, best_way,
};

/// To professional repairers when present; the battery is on this list for spare parts but has a row of its own for
/// replacement.
pub(crate) const PROFESSIONAL: [&str; 9] = [
    "front camera",
    "rear camera",
    "audio connector",
    "charging port",
    "button",
    "microphone",
    "speaker",
    "hinge assembly",
    "display folding mechanism",
];
/// To professional repairers and end users.
pub(crate) const END_USER: [&str; 7] =
    ["battery", "back cover", "protective foil", "display assembly", "charger", "sim tray", "memory tray"];
/// "Other user parts": neither battery nor display assembly; the charger is no part of the closed device (own reading).
pub(crate) const USER_REPLACED: [&str; 4] = ["back cover", "protective foil", "sim tray", "memory tray"];

/// On whose terms a part must come off.
struct Terms {
    fasteners: &'static [&'static str],
    tools: &'static [&'static str],
    places: &'static [&'static str],
    skills: &'static [&'static str],
}
/// Display assembly and professional list; second way of the battery. The law has no product-group specific tools: read
/// as commercially available (own).
const WORKSHOP: Terms = Terms {
    fasteners: &["removable", "resupplied", "reusable"],
    tools: &[
        "none",
        "supplied with part",
        "supplied with product",
        "basic",
        "commercially available",
        "product-group specific",
    ],
    places: &["use", "workshop"],
    skills: &["layman", "generalist"],
};
const AT_HOME: Terms = Terms {
    fasteners: &["removable", "resupplied", "reusable"],
    tools: &["none", "supplied with part", "supplied with product", "basic"],
    places: &["use"],
    skills: &["layman"],
};
const BATTERY_FIRST: Terms = Terms { fasteners: &["resupplied", "reusable"], ..AT_HOME };

/// Pairs that may come in one spare part: microphone with speaker or (charging) port, shared audio and charging port, hinge
/// within a folding mechanism.
const PAIRS: [(&str, &str); 4] = [
    ("microphone", "speaker"),
    ("microphone", "charging port"),
    ("audio connector", "charging port"),
    ("hinge assembly", "display folding mechanism"),
];
/// In a larger assembly if sealed and enduring.
pub(crate) const IN_LARGER: [&str; 5] = ["microphone", "speaker", "button", "charging port", "audio connector"];

/// Protection digits, power key, volume keys, port: the least for a larger assembly.
fn sealed_limits(category: &str) -> [(&'static str, i64); 5] {
    if category == "smartphone" {
        [("dust", 6), ("water", 7), ("power", 225_000), ("volume", 100_000), ("port", 12_000)]
    } else {
        [("dust", 4), ("water", 2), ("power", 20_000), ("volume", 10_000), ("port", 3_000)]
    }
}

/// Met, missed, or not asked because the device has no such part.
pub(crate) type Verdict = Option<bool>;

fn every(list: impl IntoIterator<Item = Verdict>) -> Verdict {
    list.into_iter().flatten().reduce(|a, b| a && b)
}

fn either(list: impl IntoIterator<Item = Verdict>) -> Verdict {
    list.into_iter().flatten().reduce(|a, b| a || b)
}

fn word(verdict: Verdict) -> &'static str {
    match verdict {
        Some(true) => "met",
        Some(false) => "missed",
        None => "not asked",
    }
}

/// How many requirements of replacement a way to a part passes, and which of their rows it meets.
fn serves(world: &World, part: usize, way: &Way, at_part: bool) -> (usize, Vec<bool>) {
    let near = if at_part { &way.part } else { &way.route };
    let yes = way.reach == Reach::Yes;
    let on = |terms: &Terms| -> Vec<bool> {
        let fasteners = terms.fasteners.contains(&KINDS[near.kind]);
        let tools = terms.tools.contains(&CLASSES[near.class]);
        let place = terms.places.contains(&PLACES[way.route.place]);
        let skill = terms.skills.contains(&SKILLS[way.route.skill]);
        [true, fasteners, tools, place, skill].map(|met| yes && met).to_vec()
    };
    let (dust, water) = if world.category == "smartphone" { (6, 7) } else { (4, 2) };
    let sealed = world.ingress.0 >= dust && world.ingress.1 >= water;
    let lasting = world.capacity.0 >= 83 && world.capacity.1 >= 80 && sealed;
    let whole = |rows: &Vec<bool>| rows.iter().all(|met| *met);
    let (mut passes, mut rows) = (0, Vec::new());
    for role in world.parts[part].roles.iter().map(String::as_str) {
        if role == "battery" {
            let (first, second) = (on(&BATTERY_FIRST), on(&WORKSHOP));
            passes += usize::from(whole(&first) || lasting && whole(&second));
            rows.extend(first);
            rows.extend(second);
            continue;
        }
        let met = if USER_REPLACED.contains(&role) {
            on(&AT_HOME)
        } else if role == "display assembly" || PROFESSIONAL.contains(&role) {
            on(&WORKSHOP)
        } else {
            continue;
        };
        passes += usize::from(whole(&met));
        rows.extend(met);
    }
    (passes, rows)
}

pub(crate) struct Oracle<'w> {
    world: &'w World,
    at_part: bool,
    /// Access to the pairing of a lasting battery may be limited to repairers.
    limited: bool,
    ways: Vec<Way>,
    rows: BTreeMap<String, Verdict>,
    cover: &'w mut Coverage,
}

impl<'w> Oracle<'w> {
    /// `None` where only record order could tell equally good routes apart.
    pub(crate) fn new(world: &'w World, (at_part, limited): (bool, bool), cover: &'w mut Coverage) -> Option<Self> {
        let mut ways = Vec::new();
        for part in 0..world.parts.len() {
            let shared = world.parts[part].roles.iter().any(|role| world.instances(role).len() > 1);
            let all = world.all_ways(part, Counting::USUAL);
            ways.push(best_way(all, shared, |way| serves(world, part, way, at_part))?);
        }
        Some(Self { world, at_part, limited, ways, rows: BTreeMap::new(), cover })
    }

    fn phone(&self) -> bool {
        self.world.category == "smartphone"
    }

    fn row(&mut self, id: &str, verdict: Verdict) -> Verdict {
        let (row, role) = id.split_once('/').map_or((id, ""), |(row, rest)| (row, rest.trim_start_matches("part/")));
        self.cover.hit(format!("{row} {}", word(verdict)));
        if ["listed-part", "user-part", "duration", "delivery", "price", "bundling"].contains(&row)
            || id.contains("/part/")
        {
            self.cover.hit(format!("{row} {role} {}", word(verdict)));
        }
        let before = self.rows.insert(id.to_owned(), verdict);
        assert_eq!(before, None, "{id} twice");
        verdict
    }

    /// Each instance must meet it; more than one with different answers is worth hitting.
    fn instances(&mut self, role: &str, met: impl Fn(&Self, usize) -> bool) -> Verdict {
        let parts = self.world.instances(role);
        let verdicts: Vec<bool> = parts.iter().map(|p| met(self, *p)).collect();
        if verdicts.contains(&true) && verdicts.contains(&false) {
            self.cover.hit("one instance met, another missed");
        }
        every(verdicts.into_iter().map(Some))
    }

    fn replacement(&mut self, prefix: &str, terms: &Terms, role: &str, more: Vec<(String, Verdict)>) -> Verdict {
        let reached = self.instances(role, |o, p| o.ways[p].reach == Reach::Yes);
        let mut all = vec![self.row(&format!("{prefix}-way/{role}"), reached)];
        for part in self.world.instances(role) {
            let way = &self.ways[part];
            let state = match way.reach {
                Reach::Yes => format!("steps {}", way.steps.min(2)),
                Reach::Damage => "only by damage".to_owned(),
                Reach::No => "no way".to_owned(),
            };
            let met = if self.at_part { &way.part } else { &way.route };
            if way.reach == Reach::Yes {
                self.cover.hit(format!("{prefix} {}", KINDS[met.kind]));
                self.cover.hit(format!("{prefix} {}", CLASSES[met.class]));
                self.cover.hit(format!("{prefix} {}", PLACES[way.route.place]));
                self.cover.hit(format!("{prefix} {}", SKILLS[way.route.skill]));
            }
            self.cover.hit(format!("{prefix} {state}"));
        }
        // Environment and skill are those of the whole route in either reading.
        let near = |o: &Self, p: usize| if o.at_part { o.ways[p].part.clone() } else { o.ways[p].route.clone() };
        let yes = |o: &Self, p: usize| o.ways[p].reach == Reach::Yes;
        let fasteners = self.instances(role, |o, p| yes(o, p) && terms.fasteners.contains(&KINDS[near(o, p).kind]));
        let tools = self.instances(role, |o, p| yes(o, p) && terms.tools.contains(&CLASSES[near(o, p).class]));
        let place = self.instances(role, |o, p| yes(o, p) && terms.places.contains(&PLACES[o.ways[p].route.place]));
        let skill = self.instances(role, |o, p| yes(o, p) && terms.skills.contains(&SKILLS[o.ways[p].route.skill]));
        for (what, verdict) in [("fasteners", fasteners), ("tools", tools), ("environment", place), ("skill", skill)] {
            all.push(self.row(&format!("{prefix}-{what}/{role}"), verdict));
        }
        for (id, verdict) in more {
            all.push(self.row(&id, verdict));
        }
        every(all)
    }

    fn disassembly(&mut self) -> Verdict {
        let mut listed = Vec::new();
        for role in ["display assembly"].iter().chain(&PROFESSIONAL) {
            let verdict = self.replacement("listed", &WORKSHOP, role, vec![]);
            listed.push(self.row(&format!("listed-part/{role}"), verdict));
        }
        let listed = every(listed);
        let mut user = Vec::new();
        for role in USER_REPLACED {
            let verdict = self.replacement("user", &AT_HOME, role, vec![]);
            user.push(self.row(&format!("user-part/{role}"), verdict));
        }
        let user = every(user);
        let first = self.replacement("way-1", &BATTERY_FIRST, "battery", vec![]);
        let first = self.row("way-1/battery", first);
        // At least 83 % after 500 cycles, 80 % after 1 000; dust-tight and 30 minutes under 1 m of water, tablets IP42.
        let there = !self.world.instances("battery").is_empty();
        let world = self.world;
        let (kind, dust, water) = if self.phone() { ("phone", 6, 7) } else { ("tablet", 4, 2) };
        let more = [
            ("capacity-500".to_owned(), world.capacity.0 >= 83),
            ("capacity-1000".to_owned(), world.capacity.1 >= 80),
            (format!("dust-{kind}"), world.ingress.0 >= dust),
            (format!("water-{kind}"), world.ingress.1 >= water),
        ];
        let more = more.into_iter().map(|(id, met)| (format!("way-2-{id}/battery"), there.then_some(met)));
        let second = self.replacement("way-2", &WORKSHOP, "battery", more.collect());
        let second = self.row("way-2/battery", second);
        self.cover.hit(format!("battery: first way {}, second {}", word(first), word(second)));
        let battery = either([first, second]);
        let battery = self.row("battery-ways/battery", battery);
        let all = [self.row("listed", listed), self.row("user", user), self.row("battery", battery)];
        self.row("disassembly", every(all))
    }

    /// 0 alone, 1 an allowed pair with everything else in it, 2 only in a larger assembly, 3 not at all.
    fn company(&self, part: usize, role: &str) -> usize {
        let others = self.world.parts[part].roles.iter().filter(|r| *r != role);
        let rank = |other: &String| {
            if PAIRS.iter().any(|(a, b)| (*a, *b) == (role, other) || (*b, *a) == (role, other)) {
                1
            } else if IN_LARGER.contains(&role) || IN_LARGER.contains(&other.as_str()) {
                2
            } else {
                3
            }
        };
        others.map(rank).max().unwrap_or(0)
    }

    fn terms(&mut self, role: &str) -> Verdict {
        let world = self.world;
        let spare = |p: usize| world.spare(p, role);
        let there = !world.instances(role).is_empty();
        for part in world.instances(role) {
            self.cover.hit(format!("years {}", spare(part).years));
            self.cover.hit(format!("delivery {}", spare(part).delivery));
            let key = &spare(part).key;
            self.cover.hit(format!("promise {}", if key == role { "by role" } else { key }));
        }
        let duration = self.instances(role, |_, p| spare(p).years >= 7);
        let duration = self.row(&format!("duration/{role}"), duration);
        // Within 5 working days in the first 5 years, then 10: a record has one figure, held against the stricter (own reading).
        let delivery = self.instances(role, |_, p| spare(p).delivery <= 5);
        let delivery = self.row(&format!("delivery/{role}"), delivery);
        let price = self.instances(role, |_, p| spare(p).published);
        let price = self.row(&format!("price/{role}"), price);

        let company = world.instances(role).iter().map(|p| self.company(*p, role)).max();
        let alone = company.map(|c| c <= 1);
        let alone = self.row(&format!("unbundled/{role}"), alone);
        let values = [
            i64::from(world.ingress.0),
            i64::from(world.ingress.1),
            world.endurance[0],
            world.endurance[1],
            world.endurance[2],
        ];
        let limits = sealed_limits(world.category);
        let below: Vec<&str> =
            limits.iter().zip(values).filter(|((_, least), value)| value < least).map(|((n, _), _)| *n).collect();
        let kind = if self.phone() { "phone" } else { "tablet" };
        let mut sealed = vec![self.row(&format!("sealed-company/{role}"), company.map(|c| c <= 2))];
        for ((name, least), value) in limits.into_iter().zip(values) {
            let id = match name {
                "dust" | "water" => format!("sealed-{name}-{kind}"),
                "power" => format!("power-key-{kind}"),
                "volume" => format!("volume-keys-{kind}"),
                _ => format!("port-{kind}"),
            };
            sealed.push(self.row(&format!("{id}/{role}"), there.then_some(value >= least)));
        }
        if let Some(company) = company {
            self.cover.hit(format!("company {company}"));
            if company == 2 {
                let state = match below.as_slice() {
                    [] => "sealed".to_owned(),
                    [one] => format!("but for {one}"),
                    _ => "not sealed".to_owned(),
                };
                self.cover.hit(format!("larger assembly {kind}: {state}"));
            }
            if company == 3 && below.is_empty() {
                self.cover.hit("sealed in vain");
            }
        } else if below.is_empty() {
            self.cover.hit("no such part, sealed");
        } else {
            self.cover.hit("no such part, not sealed");
        }
        let sealed = every(sealed);
        let sealed = self.row(&format!("sealed/{role}"), sealed);
        let bundling = self.row(&format!("bundling/{role}"), either([alone, sealed]));
        self.row(&format!("terms-of-the-part/{role}"), every([duration, delivery, price, bundling]))
    }

    fn each(&mut self, id: &str, roles: &[&str], met: impl Fn(&Self, usize, &str) -> bool) -> Verdict {
        let mut all = Vec::new();
        for role in roles {
            let verdict = self.instances(role, |o, p| met(o, p, role));
            all.push(self.row(&format!("{id}/part/{role}"), verdict));
        }
        self.row(id, every(all))
    }

    fn spare_parts(&mut self) -> Verdict {
        let world = self.world;
        for list in [&PROFESSIONAL[..], &END_USER[..]] {
            for role in list {
                for part in world.instances(role) {
                    let (to, paired) = (ACCESS[world.spare(part, role).to], world.parts[part].paired);
                    let access = if paired { PAIRINGS[world.spare(part, role).pairing] } else { "no pairing" };
                    let list = if list.len() == 9 { "professional" } else { "user" };
                    self.cover.hit(format!("{list} to {to}"));
                    self.cover.hit(format!("{list} pairing {access}"));
                }
            }
        }
        let professional: Vec<&str> = ["battery"].into_iter().chain(PROFESSIONAL).collect();
        let to_repairers = self.each("to-professionals", &professional, |o, p, role| {
            ["public", "independent repairers"].contains(&ACCESS[o.world.spare(p, role).to])
        });
        let to_users =
            self.each("to-end-users", &END_USER[1..], |o, p, role| ACCESS[o.world.spare(p, role).to] == "public");
        let battery = self.battery_offer();
        let mut terms = Vec::new();
        for role in END_USER.iter().chain(&PROFESSIONAL) {
            terms.push(self.terms(role));
        }
        let terms = self.row("terms", every(terms));
        let pairing = |allowed: &'static [&'static str]| {
            move |o: &Self, p: usize, role: &str| {
                !o.world.parts[p].paired || allowed.contains(&PAIRINGS[o.world.spare(p, role).pairing])
            }
        };
        let repairers = self.each(
            "pairing-professionals",
            &PROFESSIONAL,
            pairing(&["not needed", "public", "independent repairers"]),
        );
        let users = self.each("pairing-end-users", &END_USER[1..], pairing(&["not needed", "public"]));
        let cell = self.battery_pairing();
        self.row("spare-parts", every([to_repairers, to_users, battery, terms, repairers, users, cell]))
    }

    /// What lets the battery be offered to professional repairers only (point 1(c)(ii), read): 83 % after 500 and 80 % after
    /// 1 000 cycles, IP67, tablets IP42. Not asked where there is no battery.
    fn lasting(&mut self, prefix: &str) -> Vec<Verdict> {
        let there = !self.world.instances("battery").is_empty();
        let world = self.world;
        let (kind, dust, water) = if self.phone() { ("phone", 6, 7) } else { ("tablet", 4, 2) };
        let met = [
            ("capacity-500".to_owned(), world.capacity.0 >= 83),
            ("capacity-1000".to_owned(), world.capacity.1 >= 80),
            (format!("dust-{kind}"), world.ingress.0 >= dust),
            (format!("water-{kind}"), world.ingress.1 >= water),
        ];
        met.into_iter().map(|(id, met)| self.row(&format!("{prefix}-{id}/battery"), there.then_some(met))).collect()
    }

    fn battery_offer(&mut self) -> Verdict {
        let to = |o: &Self, p: usize| ACCESS[o.world.spare(p, "battery").to];
        let public = self.instances("battery", |o, p| to(o, p) == "public");
        let public = self.row("battery-to-end-users/battery", public);
        let repairers = self.instances("battery", |o, p| ["public", "independent repairers"].contains(&to(o, p)));
        let mut all = vec![self.row("battery-to-professionals/battery", repairers)];
        all.extend(self.lasting("lasting"));
        let lasting = self.row("battery-lasting/battery", every(all));
        if public == Some(false) {
            self.cover.hit(format!("battery not to end users, lasting {}", word(lasting)));
        }
        let offered = self.row("battery-offered/battery", either([public, lasting]));
        self.row("battery-offer", offered)
    }

    /// Whether pairing may be limited where the battery lasts is not said: `limited` reads that it may.
    fn battery_pairing(&mut self) -> Verdict {
        let access = |o: &Self, p: usize, allowed: &[&str]| {
            !o.world.parts[p].paired || allowed.contains(&PAIRINGS[o.world.spare(p, "battery").pairing])
        };
        let users = self.instances("battery", |o, p| access(o, p, &["not needed", "public"]));
        let users = self.row("pairing-battery-end-users/battery", users);
        let mut ways = vec![users];
        if self.limited {
            let repairers =
                self.instances("battery", |o, p| access(o, p, &["not needed", "public", "independent repairers"]));
            let mut all = vec![self.row("pairing-battery-professionals/battery", repairers)];
            all.extend(self.lasting("pairing-lasting"));
            let lasting = self.row("pairing-lasting/battery", every(all));
            if users == Some(false) {
                self.cover.hit(format!("pairing limited, lasting {}", word(lasting)));
            }
            ways.push(lasting);
        }
        let paired = self.row("battery-paired/battery", either(ways));
        self.row("battery-pairing", paired)
    }

    /// That the law asks for both is read; on what terms is an own reading.
    fn information_and_reset(&mut self) -> Verdict {
        let (to, ..) = self.world.information;
        let information = ["public", "independent repairers"].contains(&ACCESS[to]);
        let information = self.row("repair-information", Some(information));
        let reset = self.row("factory-reset", Some(self.world.reset < 2));
        self.row("information-and-reset", every([information, reset]))
    }

    pub(crate) fn rows(mut self) -> BTreeMap<String, Verdict> {
        let disassembly = self.disassembly();
        let spares = self.spare_parts();
        // Free for at least 5 years, if provided; functionality, and security with corrective ones.
        let functions = self.row("functionality-updates", Some(self.world.updates >= 5));
        let security = self.row("security-updates", Some(self.world.security >= 5));
        let software = self.row("software", every([functions, security]));
        let information = self.information_and_reset();
        let cycles = self.row("battery-endurance", Some(self.world.cycles >= 800));
        self.row("all", every([disassembly, spares, information, software, cycles]));
        self.rows
    }
}
