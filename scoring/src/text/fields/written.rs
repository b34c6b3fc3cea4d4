//! Types that are written in a form of their own.

/// Types that are written in a form: what is wanted, how it is read, what the schema says of it.
macro_rules! written {
    ($($type:ty: $what:expr, $read:expr $(, $shape:expr)?;)+) => {
        $(impl<'de> serde::Deserialize<'de> for $type {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                $crate::text::fields::form(deserializer, $what, $read)
            }
        }
        $($crate::text::fields::shaped!($type: $shape);)?)+
    };
}

/// What the schema says of a type.
macro_rules! shaped {
    ($type:ty: $shape:expr) => {
        impl schemars::JsonSchema for $type {
            fn inline_schema() -> bool {
                true
            }

            fn schema_name() -> std::borrow::Cow<'static, str> {
                stringify!($type).into()
            }

            fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
                $crate::text::fields::leaf($shape)
            }
        }
    };
}

pub(crate) use {shaped, written};
