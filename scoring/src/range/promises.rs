//! Unknowns of support: what the maker promises, and facts of battery, keys and ingress.

use std::borrow::Cow;
use std::collections::BTreeMap;

use super::case::{Answer, Builder, Touches, tables, vocabulary};
use super::edit::{Edit, SpareFact, SupportFact};
use super::numbers::cells;
use crate::exact::Exact;
use crate::method::Measure;
use crate::record::complete::NOT_SOLD;
use crate::record::forms::numbers::ingress_digit;
use crate::record::{Fact, Known, Money, Spare};
use crate::text::Span;
use crate::text::number::{a_new, many};
use crate::vocab::Access;
use crate::vocab::class::{Words, fold};

impl Builder<'_> {
    pub(super) fn support(&mut self) {
        self.pairing();
        self.spares();
        self.device_promises();
        self.device_facts();
        self.marks();
    }

    fn pairing(&mut self) {
        // Where remote authorisation costs nothing, pairing is a fact nobody reads.
        let read = self.reads(&Measure::Paired)
            || self.reads(&Measure::Pairing)
            || self.method.steps.remote.counts() && self.reads(&Measure::Depth);
        if !read {
            return;
        }
        for fill in 0..self.base.fills.len() {
            let part = self.base.fills[fill].part;
            // One piece is paired or not, whatever roles it fills.
            let same = |f: &usize| *f == fill || part.is_some() && self.base.fills[*f].part == part;
            let fills: Vec<usize> = (0..self.base.fills.len()).filter(same).collect();
            if fills[0] < fill {
                continue;
            }
            let (path, span, known) = match part {
                Some(part) => {
                    let fact = &self.record.parts[part].paired;
                    (fact.path.clone(), fact.span, fact.known.clone())
                }
                None => (format!("parts ({}) paired", self.base.fills[fill].role), self.nowhere(), Known::Unknown),
            };
            let name = self.fill_name(fill);
            let question = || format!("{} {} need software pairing?", does(&name), a_new(&name));
            let answers = yes_no(&known, |is| Edit::Paired(fills.clone(), is));
            self.ask(&path, span, question, Touches::Paired(fills), answers);
        }
    }

    fn nowhere(&self) -> Span {
        self.record.device.name.span
    }

    fn fill_name(&self, fill: usize) -> String {
        let fill = &self.base.fills[fill];
        match fill.part {
            Some(part) => self.record.parts[part].name.value.clone(),
            None => fill.role.clone(),
        }
    }

    /// The entry that speaks for a part: by its name, by its role, or for every part.
    fn spare_entry(&self, fill: usize) -> Option<Cow<'_, Spare>> {
        let (name, role) = (self.fill_name(fill), &self.base.fills[fill].role);
        self.record.support.spare([&*name, role, "every part"])
    }

    fn spares(&mut self) {
        let read: Vec<Measure> = self.measures.iter().filter(|m| is_spare(m)).cloned().collect();
        if read.is_empty() {
            return;
        }
        for measure in read {
            let settled = match measure {
                Measure::SparePrice => self.device_price(&self.offered()),
                _ => Vec::new(),
            };
            // One variable per place in the record: `every part` is one place for many parts.
            let mut places: BTreeMap<(String, Span), Vec<usize>> = BTreeMap::new();
            for fill in (0..self.base.fills.len()).filter(|f| !settled.contains(f)) {
                let (path, span) = match self.spare_entry(fill) {
                    Some(entry) => place_of(&entry, &measure),
                    None => {
                        let path = format!("support.spare parts.{} ({})", self.fill_name(fill), measure.word());
                        (path, self.record.support.spares_span)
                    }
                };
                places.entry((path, span)).or_default().push(fill);
            }
            for ((path, span), fills) in places {
                let answers = self.spare_answers(&measure, &fills);
                let names: Vec<String> = fills.iter().map(|&f| self.fill_name(f)).collect();
                let question = || spare_question(&measure, &names);
                self.ask(&path, span, question, Touches::Spare(fills, spare_measure(&measure)), answers);
            }
        }
    }

    /// Parts that somebody can have at a settled price.
    fn offered(&self) -> Vec<(usize, Money)> {
        let price = |fill: usize| {
            let entry = self.spare_entry(fill)?;
            let refused = entry.to.settled() == Some(&Access::None) && !entry.price.stated;
            entry.price.settled().filter(|_| !refused).map(|m| (fill, m.clone()))
        };
        (0..self.base.fills.len()).filter_map(price).collect()
    }

    fn spare_answers(&self, measure: &Measure, fills: &[usize]) -> Vec<Answer> {
        let entry = self.spare_entry(fills[0]);
        let entry = entry.as_deref();
        // A part offered to nobody has no years, no delivery and no price.
        let refused = entry.is_some_and(|e| e.to.settled() == Some(&Access::None));
        let none = refused || self.record.support.no_spares && entry.is_none();
        let fact = |f: SpareFact| vec![Edit::Spare(fills.to_vec(), f)];
        match measure {
            Measure::SpareTo | Measure::SparesOffered => {
                let known = known_or(entry.map(|e| &e.to), none.then_some(Access::None));
                vocabulary(&known)
                    .into_iter()
                    .map(|a| Answer { label: a.word().to_owned(), edits: fact(SpareFact::To(a)) })
                    .collect()
            }
            Measure::SpareYears => {
                let known = known_or(entry.map(|e| &e.years), none.then(Exact::zero));
                self.number(measure, &known, None, |v| fact(SpareFact::Years(v)))
            }
            Measure::SpareDelivery => {
                // Never delivered is longer than any bound.
                let known = known_or(entry.map(|e| &e.delivery), none.then(|| Exact::from(NOT_SOLD)));
                self.number(measure, &known, None, |v| fact(SpareFact::Delivery(v)))
            }
            Measure::SparePrice => {
                let known = if none { Known::Is(Exact::from(NOT_SOLD)) } else { self.price_share(entry) };
                self.number(measure, &known, None, |v| fact(SpareFact::PriceShare(v)))
            }
            Measure::PricePublished => {
                let known = known_or(entry.map(|e| &e.price_published), none.then_some(false));
                yes_no(&known, |is| Edit::Spare(fills.to_vec(), SpareFact::PricePublished(is)))
            }
            Measure::SpareInterface => {
                let known = known_or(entry.map(|e| &e.interface), None);
                word_ranks(measure, &known, |r| fact(SpareFact::Interface(r)))
            }
            Measure::Pairing => {
                let known = known_or(entry.map(|e| &e.pairing), None);
                word_ranks(measure, &known, |r| fact(SpareFact::Pairing(r)))
            }
            _ => Vec::new(),
        }
    }

    fn number(
        &self,
        measure: &Measure,
        known: &Known<Exact>,
        most: Option<&Exact>,
        edits: impl Fn(Exact) -> Vec<Edit>,
    ) -> Vec<Answer> {
        cells(known, &tables(self.method, measure), &Exact::zero(), most)
            .into_iter()
            .map(|c| Answer { label: c.label, edits: edits(c.value) })
            .collect()
    }

    fn device_number(&mut self, measure: Measure, fact: &Fact<Exact>, question: &str, edit: fn(Exact) -> SupportFact) {
        if !self.reads(&measure) {
            return;
        }
        let answers = self.number(&measure, &fact.known, None, |v| vec![Edit::Support(edit(v))]);
        self.ask(&fact.path, fact.span, || question.to_owned(), Touches::Device(vec![measure]), answers);
    }

    fn device_word(&mut self, measure: Measure, fact: &Fact<String>, question: &str, edit: fn(u8) -> SupportFact) {
        if !self.reads(&measure) {
            return;
        }
        let answers = word_ranks(&measure, &fact.known, |r| vec![Edit::Support(edit(r))]);
        self.ask(&fact.path, fact.span, || question.to_owned(), Touches::Device(vec![measure]), answers);
    }

    fn device_promises(&mut self) {
        use SupportFact as S;
        let s = &self.record.support;
        let reads_group = self.reads(&Measure::Information) || self.reads(&Measure::InformationTo);
        if reads_group {
            let to = &s.information_to;
            let answers = vocabulary(&to.known)
                .into_iter()
                .map(|a| Answer { label: a.word().to_owned(), edits: vec![Edit::Support(S::InformationTo(a))] })
                .collect();
            let touches = Touches::Device(vec![Measure::Information, Measure::InformationTo]);
            self.ask(&to.path, to.span, || "Who gets repair information?".to_owned(), touches, answers);
        }
        if self.reads(&Measure::Information) {
            let free = &s.information_free;
            let answers = yes_no(&free.known, |is| Edit::Support(S::InformationFree(is)));
            let touches = Touches::Device(vec![Measure::Information]);
            self.ask(&free.path, free.span, || "Is repair information free of charge?".to_owned(), touches, answers);
        }
        self.device_word(
            Measure::InformationScope,
            &s.information_scope,
            "How much does the repair information hold?",
            S::InformationScope,
        );
        self.device_number(
            Measure::Updates,
            &s.updates,
            "For how many years are operating-system updates promised?",
            S::Updates,
        );
        self.device_number(
            Measure::SecurityUpdates,
            &s.security_updates,
            "For how many years are security updates promised?",
            S::SecurityUpdates,
        );
        self.device_word(Measure::Diagnosis, &s.diagnosis, "How can a fault be diagnosed?", S::Diagnosis);
        self.device_word(Measure::Returns, &s.returns, "What does the maker offer for returned devices?", S::Returns);
        self.device_word(Measure::Data, &s.data, "How can data be moved and deleted?", S::Data);
        self.device_word(Measure::Reset, &s.reset, "How can passwords and settings be reset?", S::Reset);
    }

    fn device_facts(&mut self) {
        use SupportFact as S;
        let d = &self.record.device;
        self.device_number(
            Measure::BatteryCycles,
            &d.battery_cycles,
            "After how many full cycles is 80 % of the battery's capacity left?",
            S::BatteryCycles,
        );
        self.device_number(
            Measure::Capacity500,
            &d.capacity_500,
            "How much capacity is left after 500 cycles, in percent?",
            S::Capacity500,
        );
        self.device_number(
            Measure::Capacity1000,
            &d.capacity_1000,
            "How much capacity is left after 1 000 cycles, in percent?",
            S::Capacity1000,
        );
        for (index, (measure, key)) in [
            (Measure::PowerKey, "power key"),
            (Measure::VolumeKeys, "volume keys"),
            (Measure::PortEndurance, "charging port"),
        ]
        .into_iter()
        .enumerate()
        {
            if !self.reads(&measure) {
                continue;
            }
            let fact = d.endurance.get(key);
            let (path, span) =
                fact.map_or_else(|| (format!("device.endurance.{key}"), d.name.span), |f| (f.path.clone(), f.span));
            let known = fact.map_or(Known::Unknown, |f| f.known.clone());
            let answers = self.number(&measure, &known, None, |v| vec![Edit::Support(S::Endurance(index, v))]);
            let question =
                || format!("How many operations {} the {key} endure?", if many(key) { "do" } else { "does" });
            self.ask(&path, span, question, Touches::Device(vec![measure]), answers);
        }
        self.ingress();
    }

    fn ingress(&mut self) {
        use SupportFact as S;
        let d = &self.record.device;
        let digits =
            [(Measure::IngressDust, 0, S::IngressDust as fn(u8) -> S), (Measure::IngressWater, 1, S::IngressWater)];
        let read: Vec<_> = digits.into_iter().filter(|(measure, ..)| self.reads(measure)).collect();
        // Alternatives are whole codes: the dust digit of one never goes with the water digit of another.
        if let Known::OneOf(codes) = &d.ingress.known
            && !read.is_empty()
        {
            let edit = |code: &String, at: usize, make: fn(u8) -> S| Edit::Support(make(ingress_digit(code, at)));
            let answers = codes
                .iter()
                .map(|code| Answer {
                    label: code.clone(),
                    edits: read.iter().map(|(_, at, make)| edit(code, *at, *make)).collect(),
                })
                .collect();
            let touches = Touches::Device(read.iter().map(|(measure, ..)| measure.clone()).collect());
            let question = || "Which protection code does the device have?".to_owned();
            self.ask(&d.ingress.path, d.ingress.span, question, touches, answers);
            return;
        }
        for (measure, at, make) in read {
            let known = match &d.ingress.known {
                Known::Is(code) => Known::Is(Exact::from(i64::from(ingress_digit(code, at)))),
                _ => Known::Unknown,
            };
            let most = Exact::from(8);
            let answers = cells(&known, &tables(self.method, &measure), &Exact::zero(), Some(&most))
                .into_iter()
                .map(|c| {
                    let digit = c.value.round(0, crate::exact::Rounding::Up).plain().parse().unwrap_or(0);
                    Answer { label: c.label, edits: vec![Edit::Support(make(digit))] }
                })
                .collect();
            let what = if at == 0 { "dust" } else { "water" };
            let question = || format!("Which {what} protection does the device have (digit of its IP code)?");
            let path = format!("{} ({what})", d.ingress.path);
            self.ask(&path, d.ingress.span, question, Touches::Device(vec![measure]), answers);
        }
    }

    fn marks(&mut self) {
        let rows: Vec<String> = self
            .measures
            .iter()
            .filter_map(|m| if let Measure::Mark(row) = m { Some(row.clone()) } else { None })
            .collect();
        for row in rows {
            let fact = self.record.marks.get(&self.method.id.value).and_then(|m| m.get(&row));
            let (path, span, known) = match fact {
                Some(f) => (f.path.clone(), f.span, f.known.clone()),
                None => (format!("marks.{}.{row}", self.method.id.value), self.nowhere(), Known::Unknown),
            };
            let measure = Measure::Mark(row.clone());
            let ten = Exact::from(10);
            let answers = cells(&known, &tables(self.method, &measure), &Exact::zero(), Some(&ten))
                .into_iter()
                .map(|c| Answer { label: c.label, edits: vec![Edit::Support(SupportFact::Mark(row.clone(), c.value))] })
                .collect();
            let question = || format!("Which mark out of 10 has row {row}?");
            self.ask(&path, span, question, Touches::Device(vec![measure]), answers);
        }
    }
}

fn is_spare(measure: &Measure) -> bool {
    matches!(
        measure,
        Measure::SpareTo
            | Measure::SparesOffered
            | Measure::SpareYears
            | Measure::SpareDelivery
            | Measure::SparePrice
            | Measure::PricePublished
            | Measure::SpareInterface
            | Measure::Pairing
    )
}

/// `spare part to` and `spares offered` read one fact.
fn spare_measure(measure: &Measure) -> Measure {
    if *measure == Measure::SparesOffered { Measure::SpareTo } else { measure.clone() }
}

fn place_of(entry: &Spare, measure: &Measure) -> (String, Span) {
    let at = |path: &String, span| (path.clone(), span);
    match measure {
        Measure::SpareYears => at(&entry.years.path, entry.years.span),
        Measure::SpareDelivery => at(&entry.delivery.path, entry.delivery.span),
        Measure::SparePrice => at(&entry.price.path, entry.price.span),
        Measure::PricePublished => at(&entry.price_published.path, entry.price_published.span),
        Measure::SpareInterface => at(&entry.interface.path, entry.interface.span),
        Measure::Pairing => at(&entry.pairing.path, entry.pairing.span),
        _ => at(&entry.to.path, entry.to.span),
    }
}

/// `Does` one, `Do` several.
fn does(name: &str) -> &'static str {
    if many(name) { "Do" } else { "Does" }
}

fn spare_question(measure: &Measure, names: &[String]) -> String {
    let (parts, several) = match names {
        [one] => (a_new(one), many(one)),
        [first, second] if first == second => (a_new(first), many(first)),
        [first, second] => (format!("{} and {}", a_new(first), a_new(second)), true),
        _ => ("each other spare part".to_owned(), false),
    };
    let is = if several { "are" } else { "is" };
    let does = if several { "do" } else { "does" };
    match measure {
        Measure::SpareYears => format!("For how many years {is} {parts} available?"),
        Measure::SpareDelivery => format!("Within how many working days {is} {parts} delivered?"),
        Measure::SparePrice => format!("What {does} {parts} cost, as a share of the device's price?"),
        Measure::PricePublished => format!("Is the price of {parts} published?"),
        Measure::SpareInterface if several => format!("Do {parts} have a standard interface?"),
        Measure::SpareInterface => format!("Does {parts} have a standard interface?"),
        Measure::Pairing => format!("Who gets access to the software pairing of {parts}?"),
        _ => format!("To whom {is} {parts} offered?"),
    }
}

fn known_or<T: Clone>(fact: Option<&Fact<T>>, otherwise: Option<T>) -> Known<T> {
    match (fact, otherwise) {
        (Some(f), None) => f.known.clone(),
        (Some(f), Some(_)) if f.stated => f.known.clone(),
        (_, Some(v)) => Known::Is(v),
        (None, None) => Known::Unknown,
    }
}

fn yes_no(known: &Known<bool>, edit: impl Fn(bool) -> Edit) -> Vec<Answer> {
    let list = match known {
        Known::Is(b) => vec![*b],
        _ => vec![true, false],
    };
    list.into_iter().map(|b| Answer { label: if b { "yes" } else { "no" }.to_owned(), edits: vec![edit(b)] }).collect()
}

fn word_ranks(measure: &Measure, known: &Known<String>, edits: impl Fn(u8) -> Vec<Edit>) -> Vec<Answer> {
    let words = measure.words();
    let ranks: Vec<usize> = match known {
        Known::Is(w) => words.iter().position(|x| fold(x) == fold(w)).into_iter().collect(),
        Known::OneOf(list) => (0..words.len()).filter(|&i| list.iter().any(|w| fold(w) == fold(words[i]))).collect(),
        _ => (0..words.len()).collect(),
    };
    ranks
        .into_iter()
        .map(|r| Answer { label: words[r].to_owned(), edits: edits(u8::try_from(r).unwrap_or(u8::MAX)) })
        .collect()
}
