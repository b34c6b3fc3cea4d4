//! The fields of method files, each described once: its name, what it is, what may stand there.
//!
//! What these structs say is read by serde (see [`text::fields`](crate::text::fields)), and from it come the JSON Schema, the
//! tables of fields of the format page, and the names that a misspelt field is near to. The doc comment of a field is what
//! is said of it there. A field whose value depends on what else the file says is [`Unread`]: its reader is under `read/`.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Deserialize;

use super::written::{
    CategoryForm, CriterionId, Decimals, FormatVersion, MethodId, NineLetters, Plain, PlainOrUnread, RoleName,
    StepOption, Total,
};
use super::{Absent, BasicTools, Combine, Group, Instances, Measure, Reading, RouteOrder, Start};
use crate::exact::Rounding;
use crate::text::fields::{Either, ListOf, Many, Needed, Stated, Unread};
use crate::text::{Day, Spanned};
use crate::vocab::{Certainty, Form, ToolClass};

/// The rule of a block, and where it comes from.
pub(super) struct RuleSaid<'f> {
    pub(super) rule: Option<&'f String>,
    pub(super) clause: Option<&'f String>,
    pub(super) source: &'f Stated<String>,
    pub(super) certainty: &'f Stated<Certainty>,
    pub(super) switch: Option<&'f Spanned<String>>,
}

/// A block with a rule of its own.
pub(super) trait Ruled {
    fn said(&self) -> RuleSaid<'_>;
}

/// Structs whose last fields are the rule and where it comes from.
macro_rules! ruled {
    ($($(#[$meta:meta])* struct $name:ident { $($(#[$about:meta])* $field:ident: $type:ty,)* })+) => {
        $(#[derive(Debug, Deserialize, JsonSchema)]
        $(#[$meta])*
        pub(super) struct $name {
            $($(#[$about])* pub(super) $field: $type,)*
            /// The rule in plain words.
            rule: Option<String>,
            /// Clause of the source, `Annex IV point 5`; not taken over by a block with a source of its own.
            clause: Option<String>,
            /// Where it comes from.
            ///
            /// Left out: as the block around it.
            source: Stated<String>,
            /// How sure: `read` (read in the source named), `secondary` (in a text that restates it), `memory high`,
            /// `memory medium`, `memory low`, `derived` (arithmetic on others; takes the weakest), `own` (a choice).
            ///
            /// Left out: as the block around it.
            certainty: Stated<Certainty>,
            /// Id of the switch the rule depends on.
            switch: Option<Spanned<String>>,
        }

        impl Ruled for $name {
            fn said(&self) -> RuleSaid<'_> {
                RuleSaid {
                    rule: self.rule.as_ref(),
                    clause: self.clause.as_ref(),
                    source: &self.source,
                    certainty: &self.certainty,
                    switch: self.switch.as_ref(),
                }
            }
        })+
    };
}

/// A number, alone or with where it comes from.
pub(super) type Number = Either<NumberFields, PlainOrUnread>;

/// Names with a number each.
pub(super) type Numbers = BTreeMap<String, Number>;

/// A method.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(rename = "a method")]
pub(super) struct MethodFields {
    /// `1`, the version of this format.
    #[serde(rename = "unfasten method")]
    #[expect(dead_code, reason = "what is wrong with it has been said")]
    version: Needed<FormatVersion>,
    /// Id: lower-case letters, digits, hyphens.
    pub(super) id: Needed<Spanned<MethodId>>,
    /// A shipped id or a file this method starts from (see *Extending a method*).
    pub(super) extends: Option<Spanned<String>>,
    /// With `extends`: criteria by id, and the fields to replace.
    #[expect(dead_code, reason = "merged into the base before anything is read")]
    change: Option<Unread<BTreeMap<String, CriterionFields>>>,
    /// Title.
    pub(super) title: Needed<String>,
    /// Edition of the source.
    ///
    /// Left out: empty.
    pub(super) edition: Option<String>,
    /// From which day and to which devices, below.
    ///
    /// Left out: always, to all.
    pub(super) applies: Option<Unread<DaysFields>>,
    /// What it is and is not, Markdown.
    ///
    /// Left out: empty.
    pub(super) about: Option<String>,
    /// Where everything comes from that says nothing else.
    ///
    /// Left out: each rule must say its own.
    pub(super) source: Stated<String>,
    /// How sure everything is that says nothing else.
    ///
    /// Left out: each rule must say its own.
    pub(super) certainty: Stated<Certainty>,
    /// Categories the vocabulary lacks, each with its roles, `{bread maker: [kneading blade, heating element]}`.
    ///
    /// Left out: none.
    #[serde(rename = "own categories")]
    pub(super) own_categories: Option<Unread<BTreeMap<String, Many<String>>>>,
    /// What it applies to.
    pub(super) scope: Needed<Unread<ScopeFields>>,
    /// Scale of the total and how it is shown.
    pub(super) scale: Needed<Unread<ScaleFields>>,
    /// List of part sets: priority parts and weights; the first that fits the device is used.
    ///
    /// Left out: none; then `each: priority` is an error.
    pub(super) parts: Option<Unread<ListOf<PartSetFields>>>,
    /// `{points}` and a rule: points of a part the device does not have, in everything asked once for each part;
    /// `{points: left out}`: not asked for.
    ///
    /// Left out: left out.
    pub(super) absent: Option<Unread<AbsentFields>>,
    /// `{instances}` and a rule: what several parts of one role count as.
    ///
    /// Left out: worst per measure.
    pub(super) repeated: Option<Unread<RepeatedFields>>,
    /// Classes of the total, `{from total, bounds}` and a rule.
    ///
    /// Left out: no classes.
    pub(super) classes: Option<Unread<ClassesFields>>,
    /// The step rule, below and in [STEPS.md](STEPS.md).
    ///
    /// Left out: one, tool, nothing, nothing, nothing, no.
    pub(super) steps: Option<Unread<StepsFields>>,
    /// Which route to a part is read, `{official first, order, start}` and a rule, below.
    ///
    /// Left out: no, highest total, as used.
    pub(super) routes: Option<Unread<RoutesFields>>,
    /// Which list of basic tools counts: `law` (Regulation (EU) 2023/1670, Annex I) or `standard` (what EN 45554 is
    /// believed to list besides, too).
    ///
    /// Left out: law.
    #[serde(rename = "basic tools")]
    pub(super) basic_tools: Option<BasicTools>,
    /// Tool class to the class it is read as, where a source has terms of its own: `{product-group specific:
    /// proprietary}`.
    ///
    /// Left out: each as itself.
    #[serde(rename = "read tools as")]
    pub(super) read_as: Option<Unread<BTreeMap<String, ToolClass>>>,
    /// List of where weights come from for some categories, below.
    ///
    /// Left out: as written.
    #[serde(rename = "weights for")]
    pub(super) weights_for: Option<Unread<ListOf<WeightsForFields>>>,
    /// List of roles that may share one part, for the measure `bundling`.
    ///
    /// Left out: none may.
    pub(super) company: Option<Unread<ListOf<CompanyFields>>>,
    /// List of open readings.
    ///
    /// Left out: none.
    pub(super) switches: Option<Unread<ListOf<SwitchFields>>>,
    /// List of ids of criteria shown beside the total.
    ///
    /// Left out: none.
    #[serde(rename = "sub scores")]
    pub(super) sub_scores: Option<Unread<ListOf<CriterionId>>>,
    /// The topmost criterion.
    pub(super) criteria: Needed<Unread<CriterionFields>>,
    /// List of what the source asks and the method does not cover.
    ///
    /// Left out: none.
    #[serde(rename = "not covered")]
    pub(super) not_covered: Option<Unread<ListOf<String>>>,
    /// List of texts, Markdown.
    ///
    /// Left out: none.
    pub(super) notes: Option<Unread<ListOf<String>>>,
}

ruled! {
    /// What every block says of its rule.
    #[serde(rename = "a rule")]
    struct RuleFields {}

    /// `applies`.
    #[serde(rename = "the days of a method")]
    struct DaysFields {
        /// First day of the rule.
        from: Option<Day>,
        /// The day from which devices must have been first supplied to be bound by it.
        #[serde(rename = "supplied from")]
        supplied_from: Option<Day>,
        /// Last day, in words.
        until: Option<String>,
    }

    /// `scope`.
    #[serde(rename = "the scope")]
    struct ScopeFields {
        /// A category it applies to, or a list of them.
        categories: Needed<Unread<Many<CategoryForm>>>,
        /// A form it does not apply to, or a list of them.
        #[serde(rename = "without forms")]
        without_forms: Many<Stated<Form>>,
        /// `{for: [categories], because: ...}`: devices for which another rule prevails; their verdict is shown as
        /// information.
        #[serde(rename = "information only")]
        information_only: Option<InformationOnlyFields>,
    }

    /// `scale`.
    #[serde(rename = "the scale")]
    struct ScaleFields {
        /// Worst total.
        from: Needed<Plain>,
        /// Best total.
        to: Needed<Spanned<Plain>>,
        /// Digits after the point when shown, 0 to 6.
        ///
        /// Left out: 1; 0 of a verdict.
        decimals: Option<Decimals>,
        /// How the total is rounded for display, once, at the end: `half up`, `half even`, `down`, `up`.
        ///
        /// Left out: half up.
        rounding: Option<Rounding>,
        /// Yes/no: the best total reads as pass, the worst as fail and anything between two ends as not settled; points
        /// are then only those two.
        ///
        /// Left out: no.
        verdict: Stated<bool>,
    }

    /// An entry of `parts`.
    #[serde(rename = "a part set")]
    struct PartSetFields {
        /// Id, where a switch chooses among sets.
        id: Option<String>,
        /// A category it is for, or a list of them.
        r#for: Needed<Unread<Many<CategoryForm>>>,
        /// A form it is for, or a list of them.
        ///
        /// Left out: any.
        forms: Many<Stated<Form>>,
        /// What the weights must sum to.
        ///
        /// Left out: anything.
        sum: Stated<Plain>,
        /// Role to weight, or `not read`. A role written `hinge assembly | display folding mechanism` is the first or,
        /// where the device has none, the second.
        weights: Option<Unread<Numbers>>,
        /// Yes/no: roles and shares come from the record, where its category has no roles of the vocabulary.
        ///
        /// Left out: no.
        #[serde(rename = "own roles")]
        own_roles: Stated<bool>,
    }

    /// `absent`.
    #[serde(rename = "the rule for absent parts")]
    struct AbsentFields {
        /// Points of an absent part in every measure of a part, or `left out`.
        points: Needed<Spanned<Absent>>,
    }

    /// `repeated`.
    #[serde(rename = "the rule for repeated parts")]
    struct RepeatedFields {
        /// `worst per measure` (two measures may take two parts), or `lowest as a whole` (the part of the lowest score
        /// counts in every measure); limits read all of them either way.
        ///
        /// Left out: worst per measure.
        instances: Option<Instances>,
    }

    /// `classes`.
    #[serde(rename = "the classes")]
    struct ClassesFields {
        /// Whether classes are taken from the `exact` or the `rounded` total.
        ///
        /// Left out: exact.
        #[serde(rename = "from total")]
        from_total: Option<Total>,
        /// Class to the lowest total it has, from best to worst; the last must reach the worst total.
        bounds: Needed<Unread<Numbers>>,
    }

    /// `steps`.
    #[serde(rename = "the step rule")]
    struct StepsFields {
        /// What tools used at once count: `one`, or `each`.
        ///
        /// Left out: one.
        #[serde(rename = "simultaneous tools")]
        simultaneous: Stated<StepOption<0>>,
        /// What heating and cleaning count: `tool`, `step` (which asks for `simultaneous tools: each`) or `nothing`.
        ///
        /// Left out: tool.
        heating: Stated<StepOption<1>>,
        /// What laying a part aside counts: `nothing` or `step`.
        ///
        /// Left out: nothing.
        aside: Stated<StepOption<2>>,
        /// What unplugging mains equipment counts: `nothing` or `step`.
        ///
        /// Left out: nothing.
        mains: Stated<StepOption<3>>,
        /// What remote authorisation costs the depth of a part: `nothing`, `2 more steps` (1 to 100), or `least points`
        /// of its table.
        ///
        /// Left out: nothing.
        #[serde(rename = "remote authorisation")]
        remote: Stated<StepOption<4>>,
        /// Yes/no: a part whose every way destroys something is scored on that way.
        ///
        /// Left out: no.
        #[serde(rename = "destructive scored")]
        destructive_scored: Stated<StepOption<5>>,
    }

    /// `routes`.
    #[serde(rename = "the choice of routes")]
    struct RoutesFields {
        /// Yes/no: the maker's own route (`official` of a record) is read, where there is one that reaches the part; of
        /// alternatives in it `order` takes its pick.
        ///
        /// Left out: no.
        #[serde(rename = "official first")]
        official_first: Stated<bool>,
        /// `highest total` takes the routes that together give the total the most; `fewest steps first` takes the
        /// shortest to each part, whatever else is met on it.
        ///
        /// Left out: highest total.
        order: Stated<RouteOrder>,
        /// The state in which counting starts: `disconnected` means that the device is off the mains before; `as used`
        /// counts from the plug on.
        ///
        /// Left out: as used.
        start: Stated<Start>,
    }

    /// An entry of `company`.
    #[serde(rename = "a company of roles")]
    struct CompanyFields {
        /// A role, or a list of them.
        roles: Needed<Many<Spanned<RoleName>>>,
        /// A role they may share one part with, a list of them, or `any`.
        with: Needed<Many<Spanned<RoleName>>>,
        /// Yes/no: only if ingress protection and endurance limits are met.
        ///
        /// Left out: no.
        #[serde(rename = "if sealed")]
        if_sealed: bool,
    }

    /// A criterion: `criteria`, an entry of `of`, or a `score`.
    #[serde(rename = "a criterion")]
    struct CriterionFields {
        /// Id, unique in the method.
        ///
        /// Left out: error; below `score` that of the criterion above with `/part`.
        id: Stated<Spanned<String>>,
        /// Title.
        ///
        /// Left out: the id.
        title: Option<String>,
        /// One word of at most nine letters, for drawings.
        ///
        /// Left out: the start of the title.
        short: Option<NineLetters>,
        /// Weight in the criterion above, where that combines by `mean` or `sum`; `not read` where nobody could.
        weight: Option<Unread<Number>>,
        /// `product-related` (what the bench shows) or `support-related` (what the maker promises), for all below too.
        ///
        /// Left out: as the criterion above.
        group: Option<Group>,
        /// `{categories, forms}`; for other devices it is left out, its weight with it.
        ///
        /// Left out: all devices.
        #[serde(rename = "only for")]
        only_for: Stated<AppliesFields>,
        /// How the criteria below, or the parts, become one.
        ///
        /// Left out: mean.
        combine: Stated<Combine>,
        /// List of the criteria below.
        of: Option<Unread<ListOf<CriterionFields>>>,
        /// What the weights below must sum to.
        ///
        /// Left out: anything.
        #[serde(rename = "weights sum to")]
        weights_sum: Option<Spanned<Plain>>,
        /// Once for each part: `priority` (the part set's roles), `highest` (those of the highest weight), or a list of
        /// roles (those that the category has).
        each: Option<Unread<Many<RoleName>>>,
        /// A criterion that is scored for each part, where that is more than one measure.
        score: Option<Unread<CriterionFields>>,
        /// What is read, a word of *Measures*.
        measure: Stated<Measure>,
        /// On the whole reference `route`, or at the `part`: the freeing action with what it needs.
        ///
        /// Left out: route.
        #[serde(rename = "read at")]
        read_at: Option<Spanned<Reading>>,
        /// Points of numbers: `up to N` and `more`, or `from N` and `less`.
        bands: Option<Unread<Numbers>>,
        /// Points of words.
        levels: Option<Unread<Numbers>>,
        /// Points of numbers: value to points, straight between, level outside.
        linear: Option<Unread<Numbers>>,
        /// Points of offers: list of sets of roles, best first.
        rungs: Option<Unread<ListOf<RungFields>>>,
        /// Yes: the number itself is the points.
        #[serde(rename = "as is")]
        as_is: Option<Unread<bool>>,
        /// `{source, certainty}` of the points, where they differ from the rule's.
        #[serde(rename = "points from")]
        points_from: Option<PointsFromFields>,
    }
}

/// `information only` of a scope.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(rename = "the devices for information")]
pub(super) struct InformationOnlyFields {
    /// A category, or a list of them.
    pub(super) r#for: Needed<Unread<Many<CategoryForm>>>,
    /// Which rule prevails, and how sure that is.
    pub(super) because: Needed<String>,
}

/// An entry of `weights for`.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(rename = "the origin of weights")]
pub(super) struct WeightsForFields {
    /// A category, or a list of them.
    pub(super) r#for: Needed<Unread<Many<CategoryForm>>>,
    /// Id of the criterion above the weights, or a list of them.
    pub(super) below: Needed<Many<Spanned<CriterionId>>>,
    /// Where they come from, where that differs.
    pub(super) source: Stated<String>,
    /// How sure they are, where that differs.
    pub(super) certainty: Stated<Certainty>,
    /// `no`: nobody could read them, as `not read`.
    ///
    /// Left out: yes.
    pub(super) read: Option<bool>,
}

/// An entry of `switches`.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(rename = "a switch")]
pub(super) struct SwitchFields {
    /// Id.
    pub(super) id: Needed<String>,
    /// What is open: the question.
    pub(super) open: Needed<String>,
    /// The option in force.
    pub(super) chosen: Needed<Unread<String>>,
    /// Options by id, `{means, sets, source}` each.
    pub(super) options: Needed<Unread<BTreeMap<String, OptionFields>>>,
    /// Clause of the source.
    pub(super) clause: Option<String>,
    /// Where the choice comes from.
    ///
    /// Left out: that of the file.
    pub(super) source: Stated<String>,
    /// How sure the choice is.
    ///
    /// Left out: that of the file.
    pub(super) certainty: Stated<Certainty>,
}

/// An option of a switch.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(rename = "an option")]
pub(super) struct OptionFields {
    /// The reading in words.
    pub(super) means: Needed<String>,
    /// What it sets.
    pub(super) sets: Needed<Unread<SetsFields>>,
    /// Where this reading comes from.
    #[expect(dead_code, reason = "for who reads the file")]
    source: Option<String>,
}

/// `sets` of an option.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(rename = "the settings of an option")]
pub(super) struct SetsFields {
    /// `{some-criterion: route}` or `part`: its `read at`.
    pub(super) reading: Option<Unread<BTreeMap<String, Reading>>>,
    /// `{some-criterion: yes}` or `no`: whether it counts (not the first of its group).
    pub(super) include: Option<Unread<BTreeMap<String, bool>>>,
    /// Any field of `steps`.
    pub(super) steps: Stated<StepsFields>,
    /// As `points` of `absent`.
    pub(super) absent: Stated<Absent>,
    /// As `instances` of `repeated`.
    pub(super) instances: Stated<Instances>,
    /// As `read tools as`: `{supplied with part: proprietary}`.
    #[serde(rename = "read tools as")]
    pub(super) read_as: Option<Unread<BTreeMap<String, ToolClass>>>,
    /// `{some-set: yes}` or `no`: whether a part set of that `id` is used.
    #[serde(rename = "part sets")]
    pub(super) part_sets: Option<Unread<BTreeMap<String, bool>>>,
    /// As `basic tools`.
    #[serde(rename = "basic tools")]
    pub(super) basic_tools: Stated<BasicTools>,
    /// Any field of `routes`.
    pub(super) routes: Stated<RoutesFields>,
    /// As `from total` of `classes`.
    #[serde(rename = "class from total")]
    pub(super) class_from_total: Stated<Total>,
}

/// `only for` of a criterion.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(rename = "the devices of a criterion")]
pub(super) struct AppliesFields {
    /// A category, or a list of them.
    ///
    /// Left out: any.
    pub(super) categories: Option<Unread<Many<CategoryForm>>>,
    /// A form, or a list of them.
    ///
    /// Left out: any.
    pub(super) forms: Many<Stated<Form>>,
}

/// An entry of `rungs`.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(rename = "a rung")]
pub(super) struct RungFields {
    /// A role that must be offered, a list of roles that must all be, or `priority parts`; `[]` asks nothing.
    #[serde(rename = "all of")]
    pub(super) all_of: Needed<Unread<Many<RoleName>>>,
    /// Points.
    pub(super) points: Needed<Unread<Number>>,
}

/// `points from` of a criterion.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(rename = "the origin of points")]
pub(super) struct PointsFromFields {
    /// Source of the points.
    pub(super) source: Stated<String>,
    /// How sure the points are.
    pub(super) certainty: Stated<Certainty>,
}

/// A number with where it comes from.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(rename = "a number")]
pub(super) struct NumberFields {
    /// The number.
    pub(super) is: Needed<Plain>,
    /// Its source, where it differs from that of the rule around it.
    pub(super) source: Stated<String>,
    /// Its certainty, where it differs.
    pub(super) certainty: Stated<Certainty>,
    /// Shown beside it.
    pub(super) note: Option<String>,
}

/// Fields of a criterion that say how a measure becomes points.
pub(super) const POINTS: [&str; 5] = ["bands", "levels", "linear", "rungs", "as is"];
