//! The tables of fields of method files, and their JSON Schema.

use std::sync::LazyLock;

use super::entries::{
    AbsentFields, AppliesFields, ClassesFields, CompanyFields, CriterionFields, DaysFields, InformationOnlyFields,
    MethodFields, NumberFields, OptionFields, PartSetFields, PointsFromFields, RepeatedFields, RoutesFields,
    RuleFields, RungFields, ScaleFields, ScopeFields, SetsFields, StepsFields, SwitchFields, WeightsForFields,
};
use crate::text::fields::{self, Described, Table};

/// The structs that describe the fields.
pub(super) static DESCRIBED: LazyLock<Described> = LazyLock::new(|| {
    Described::new()
        .with::<MethodFields>()
        .with::<RuleFields>()
        .with::<DaysFields>()
        .with::<ScopeFields>()
        .with::<InformationOnlyFields>()
        .with::<ScaleFields>()
        .with::<PartSetFields>()
        .with::<AbsentFields>()
        .with::<RepeatedFields>()
        .with::<ClassesFields>()
        .with::<StepsFields>()
        .with::<RoutesFields>()
        .with::<WeightsForFields>()
        .with::<CompanyFields>()
        .with::<SwitchFields>()
        .with::<OptionFields>()
        .with::<SetsFields>()
        .with::<CriterionFields>()
        .with::<AppliesFields>()
        .with::<RungFields>()
        .with::<PointsFromFields>()
        .with::<NumberFields>()
});

/// The fields at the top of a method.
pub(super) static METHOD: LazyLock<&'static Table> = LazyLock::new(|| DESCRIBED.named("a method"));
/// The fields of a criterion.
pub(super) static CRITERION: LazyLock<&'static Table> = LazyLock::new(|| DESCRIBED.named("a criterion"));

/// The tables of fields of method files, for the format page.
pub fn tables() -> impl Iterator<Item = &'static Table> {
    DESCRIBED.tables().iter().copied()
}

/// The JSON Schema (2020-12) of a method file that stands alone, from the structs it is read by.
///
/// A file with `extends` may leave out what its base has; the schema then asks only for `unfasten method`, `id`, `title`.
pub fn schema() -> serde_json::Value {
    let named: Vec<_> = tables().collect();
    let mut schema = fields::schema("urn:unfasten:method:1", "A method for unfasten", *METHOD, &[], &named);
    let required = schema["required"].take();
    if let Some(object) = schema.as_object_mut() {
        object.remove("required");
        object.insert("if".to_owned(), serde_json::json!({ "required": ["extends"] }));
        object.insert("then".to_owned(), serde_json::json!({ "required": ["unfasten method", "id", "title"] }));
        object.insert("else".to_owned(), serde_json::json!({ "required": required }));
    }
    schema
}
