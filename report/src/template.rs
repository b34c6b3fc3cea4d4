//! Templates: the shipped pieces, and anyone's own in their place.

mod guard;

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::fmt;
use std::sync::{Arc, OnceLock};

use minijinja::syntax::SyntaxConfig;
use minijinja::value::{Enumerator, Kwargs, Object, Rest, Serde, ValueKind};
use minijinja::{AutoEscape, Environment, ErrorKind, Output, State, UndefinedBehavior, Value, context};

use crate::notes;
use crate::svg::escape;
use crate::view::types::ReasonedNode;
use crate::words::english;
use crate::words::layout::say;

/// A set of templates by file name.
#[derive(Clone, Debug)]
pub struct Templates {
    texts: BTreeMap<String, String>,
    /// The texts compiled, once one is rendered.
    compiled: OnceLock<Environment<'static>>,
}

impl PartialEq for Templates {
    fn eq(&self, other: &Self) -> bool {
        self.texts == other.texts
    }
}

impl Eq for Templates {}

/// Why templates can't be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum TemplateError {
    /// No shipped template has this name and no piece takes it in, so nothing would use it.
    Unknown {
        /// The name.
        name: String,
        /// Names that would be used.
        known: Vec<&'static str>,
    },
    /// A template is wrong: its name, the line where known, and what is wrong.
    Wrong {
        /// The template.
        name: String,
        /// Line, from 1.
        line: Option<usize>,
        /// What is wrong.
        message: String,
    },
}

impl fmt::Display for TemplateError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unknown { name, known } => {
                let near = scoring::text::near(name, known.iter().copied());
                f.write_str(&english::verify::no_template(name, near, known))
            }
            Self::Wrong { name, line: Some(line), message } => write!(f, "{name}:{line}: {message}"),
            Self::Wrong { name, line: None, message } => write!(f, "{name}: {message}"),
        }
    }
}

impl std::error::Error for TemplateError {}

/// The page that documents the templates; written beside them.
pub const README: (&str, &str) = ("README.md", include_str!("../templates/README.md"));

macro_rules! shipped {
    ($($name:literal),+) => {
        /// The shipped templates: name and text, in reading order.
        pub const SHIPPED: &[(&str, &str)] = &[$(($name, include_str!(concat!("../templates/", $name)))),+];
    };
}
shipped!(
    "report.html",
    "report.css",
    "summary.html",
    "verdict.html",
    "part.html",
    "route.html",
    "because.html",
    "method.html",
    "report.md",
    "because.md",
    "summary.md",
    "index.html",
    "compare.html"
);

/// What a template may do before it is stopped, in instructions; 64 bytes it makes cost as much as one, so this caps its
/// memory too, at some 256 MB. The largest shipped report takes about a tenth of it.
const FUEL: u64 = 4_000_000;
/// Bytes of a view that add one instruction: a page of many devices, or with pictures in it, is long for a good reason.
const BYTES_A_STEP: u64 = 2;

/// How long a view is when written out, in bytes.
fn length(view: &impl serde::Serialize) -> u64 {
    struct Counter(u64);
    impl std::io::Write for Counter {
        fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
            self.0 += bytes.len() as u64;
            Ok(bytes.len())
        }
        fn flush(&mut self) -> std::io::Result<()> {
            Ok(())
        }
    }
    let mut counter = Counter(0);
    // Counting can't fail; what can't be written is told when it is rendered.
    let _ = serde_json::to_writer(&mut counter, view);
    counter.0
}

/// Characters from which a text stands in a box of its own that scrolls, so that no name fills a page.
const LONG: usize = 400;

/// A long text in a box of a few lines that the keyboard reaches. On paper it ends after some lines, since the record at the
/// end of the page has it whole.
fn boxed(escaped: &str) -> String {
    format!("<span class=\"long\" tabindex=\"0\" role=\"group\" aria-label=\"Long text\">{escaped}</span>")
}

impl Default for Templates {
    fn default() -> Self {
        Self::shipped()
    }
}

impl Templates {
    /// The shipped set.
    pub fn shipped() -> Self {
        let texts = SHIPPED.iter().map(|(n, t)| ((*n).to_owned(), (*t).to_owned())).collect();
        Self { texts, compiled: OnceLock::new() }
    }

    /// The shipped set with some pieces replaced, and pieces of other names that one of them takes in; every piece must
    /// compile.
    pub fn with(replaced: BTreeMap<String, String>) -> Result<Self, TemplateError> {
        let mut set = Self::shipped();
        let named = |name: &str| [format!("\"{name}\""), format!("'{name}'")];
        let unused = |name: &String| !replaced.values().any(|text| named(name).iter().any(|n| text.contains(n)));
        // What nothing takes in would be passed over unseen.
        if let Some(name) = replaced.keys().find(|name| !set.texts.contains_key(*name) && unused(name)) {
            let known = SHIPPED.iter().map(|(n, _)| *n).collect();
            return Err(TemplateError::Unknown { name: name.clone(), known });
        }
        for (name, text) in replaced {
            if let Some(line) = guard::joined_at(&text) {
                let message = english::verify::NO_JOINING.to_owned();
                return Err(TemplateError::Wrong { name, line: Some(line), message });
            }
            set.texts.insert(name, text);
        }
        set.compiled = OnceLock::from(set.environment()?);
        Ok(set)
    }

    /// Whether nothing is replaced.
    pub fn is_shipped(&self) -> bool {
        *self == Self::shipped()
    }

    fn environment(&self) -> Result<Environment<'static>, TemplateError> {
        let mut env = Environment::new();
        env.set_undefined_behavior(UndefinedBehavior::Strict);
        let syntax = SyntaxConfig::builder().trim_blocks(true).lstrip_blocks(true).build();
        env.set_syntax(syntax.map_err(|e| wrong(&e))?);
        env.set_auto_escape_callback(|name| match name.rsplit_once('.') {
            Some((_, "html")) => AutoEscape::Html,
            Some((_, "md")) => AutoEscape::Custom("md".into()),
            _ => AutoEscape::None,
        });
        env.set_formatter(formatter);
        // The two filters that join lists uncounted; see `guard`.
        env.remove_filter("chain");
        env.add_filter("sum", |state: &State<'_, '_>, values: Value, kwargs: Kwargs| {
            if kwargs.has("start") {
                return Err(minijinja::Error::new(ErrorKind::TooManyArguments, english::verify::SUM_FROM_NOUGHT));
            }
            minijinja::filters::sum(state, values, None, None, kwargs)
        });
        env.add_filter("notes", |state: &State<'_, '_>, text: &str| {
            Value::from_safe_string(match state.auto_escape() {
                AutoEscape::Html => notes::html(text),
                _ => notes::markdown(text),
            })
        });
        env.add_filter("long", |state: &State<'_, '_>, text: &Value| match (state.auto_escape(), text.as_str()) {
            (AutoEscape::Html, Some(long)) if long.chars().count() > LONG => {
                // What a macro returns is escaped already.
                let escaped = if text.is_safe() { long.into() } else { Cow::from(escape(long)) };
                Value::from_safe_string(boxed(&escaped))
            }
            _ => text.clone(),
        });
        // Fixed texts stand in the table of the language.
        env.add_function("say", |key: &str, arguments: Rest<Value>| {
            let arguments: Vec<String> = arguments.iter().map(ToString::to_string).collect();
            say(key, &arguments)
                .ok_or_else(|| minijinja::Error::new(ErrorKind::InvalidOperation, english::verify::no_text(key)))
        });
        for (name, text) in &self.texts {
            env.add_template_owned(name.clone(), text.clone()).map_err(|e| wrong(&e))?;
        }
        Ok(env)
    }

    /// Renders one piece with `view` as its one variable.
    pub fn render<V: serde::Serialize>(&self, name: &str, view: &V) -> Result<String, TemplateError> {
        let env = match self.compiled.get() {
            Some(env) => env,
            None => {
                let env = self.environment()?;
                self.compiled.get_or_init(|| env)
            }
        };
        let context = context! { view => Value::from(Serde(view)) };
        let within = |fuel: u64| {
            let mut env = env.clone();
            env.set_fuel(Some(fuel));
            env.get_template(name).and_then(|template| template.render(&context))
        };
        let rendered = within(FUEL).or_else(|e| match deepest(&e).kind() {
            // Only then is it worth knowing how long the view is.
            ErrorKind::OutOfFuel => within(FUEL + length(view) / BYTES_A_STEP),
            _ => Err(e),
        });
        rendered.map_err(|e| wrong(&e))
    }
}

/// The tree of criteria for a template: made into values when one asks for it. The shipped templates don't, and it is most
/// of a view.
#[derive(Debug)]
struct Tree {
    root: Arc<ReasonedNode>,
    value: OnceLock<Value>,
}

impl Tree {
    fn value(&self) -> &Value {
        self.value.get_or_init(|| Value::from(Serde(&*self.root)))
    }
}

impl Object for Tree {
    fn get_value(self: &Arc<Self>, key: &Value) -> Option<Value> {
        self.value().get_item(key).ok().filter(|v| !v.is_undefined())
    }

    fn enumerate(self: &Arc<Self>) -> Enumerator {
        Enumerator::Values(self.value().try_iter().map(Iterator::collect).unwrap_or_default())
    }
}

/// Whether something is written that is no page: what pages alone need is left out there.
pub(crate) fn outside<T>(_: &T) -> bool {
    !minijinja::value::serializing_for_value()
}

/// Serialises a tree whole, but for a template only a way to ask for it.
pub(crate) fn when_asked<S: serde::Serializer>(root: &Arc<ReasonedNode>, serializer: S) -> Result<S::Ok, S::Error> {
    use serde::Serialize;
    if minijinja::value::serializing_for_value() {
        Value::from_object(Tree { root: Arc::clone(root), value: OnceLock::new() }).serialize(serializer)
    } else {
        root.as_ref().serialize(serializer)
    }
}

/// An error inside an included piece is wrapped by the piece that includes it.
fn deepest(error: &minijinja::Error) -> &minijinja::Error {
    let mut deepest = error;
    while let Some(inner) = std::error::Error::source(deepest).and_then(|e| e.downcast_ref::<minijinja::Error>()) {
        deepest = inner;
    }
    deepest
}

fn wrong(error: &minijinja::Error) -> TemplateError {
    let deepest = deepest(error);
    TemplateError::Wrong {
        name: deepest.name().unwrap_or("template").to_owned(),
        line: deepest.line(),
        message: match (deepest.kind(), deepest.detail()) {
            (ErrorKind::OutOfFuel, _) => english::verify::TOO_MUCH.to_owned(),
            (kind, Some(detail)) => format!("{kind}: {detail}"),
            (kind, None) => kind.to_string(),
        },
    }
}

/// Writes a value: nothing for none, `yes` and `no`, strings escaped for the format.
fn formatter(out: &mut Output<'_>, state: &mut State<'_, '_>, value: &Value) -> Result<(), minijinja::Error> {
    if value.is_undefined() {
        return Err(minijinja::Error::from(ErrorKind::UndefinedError));
    }
    if value.is_none() {
        return Ok(());
    }
    let text: Cow<'_, str> = match value.as_str() {
        Some(text) => text.into(),
        None if value.kind() == ValueKind::Bool => if value.is_true() { "yes" } else { "no" }.into(),
        None => value.to_string().into(),
    };
    let special = |text: &str| text.contains(['&', '<', '>', '"', '\'']);
    let shown = match state.auto_escape() {
        _ if value.is_safe() => text,
        AutoEscape::Html if special(&text) => escape(&text).into(),
        AutoEscape::Custom(_) => notes::escape_markdown(&text).into(),
        _ => text,
    };
    out.write_str(&shown).map_err(|_| minijinja::Error::new(ErrorKind::WriteFailure, english::verify::NOT_WRITTEN))
}
