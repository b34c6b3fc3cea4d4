//! A method, loaded.

use super::problems::Problems;
use crate::method::{self, Method};
use crate::range::form_of;
use crate::text::{Source, Sources};

/// A method as a file says it: what is measured, how it becomes points, and where each number comes from.
#[derive(Clone, Debug)]
pub struct Rules {
    pub(super) method: Method,
    /// Of its file and of those it extends.
    text: String,
}

impl Rules {
    /// Ids of the methods that ship, the default verdict first.
    pub fn ids() -> impl Iterator<Item = &'static str> {
        method::shipped().iter().map(|s| s.id)
    }

    /// A method that ships, by id.
    ///
    /// ```
    /// use scoring::{Rules, Teardown};
    /// assert!(Rules::ids().eq(Rules::ids().filter(|id| Rules::shipped(id).is_ok())));
    /// let wrong = Rules::shipped("en-45").unwrap_err();
    /// assert!(wrong.iter().next().unwrap().mend.as_ref().unwrap().contains("en-45554"));
    /// let lantern = Teardown::read("lantern.yaml", scoring::front::LANTERN)?;
    /// assert!(Rules::shipped("en-45554")?.fit(&lantern));
    /// assert!(!Rules::shipped("eu-2023-1669")?.fit(&lantern)); // for smartphones and slate tablets
    /// # Ok::<(), scoring::Problems>(())
    /// ```
    ///
    /// # Errors
    /// There is none of this id; the mend lists those there are.
    pub fn shipped(id: &str) -> Result<Self, Problems> {
        let Some(source) = method::shipped_source(id) else {
            let known: Vec<&str> = Self::ids().collect();
            let mend = format!("name one of {}", known.join(", "));
            return Err(Problems::asked("unknown-method", id, format!("no method `{id}` ships"), mend));
        };
        Self::of(source)
    }

    /// A method of one's own, from the text of its file. It may extend one that ships.
    ///
    /// ```
    /// let mine = "unfasten method: 1\nextends: en-45554\nid: mine\ntitle: Mine\n";
    /// assert_eq!(scoring::Rules::read("mine.yaml", mine)?.id(), "mine");
    /// # Ok::<(), scoring::Problems>(())
    /// ```
    ///
    /// # Errors
    /// Every mistake of the file, as `unfasten methods check` lists them.
    pub fn read(name: &str, text: &str) -> Result<Self, Problems> {
        Self::of(Source::new(name, text))
    }

    fn of(source: Source) -> Result<Self, Problems> {
        let mut sources = Sources::new();
        let mut text = source.text.to_string();
        let file = sources.add(source);
        let mut base = |id: &str| {
            let found = method::shipped_source(id)?;
            text.push_str(&found.text);
            Some(found)
        };
        let (method, found) = method::read(&mut sources, file, &mut base);
        method.map(|method| Self { method, text }).ok_or_else(|| Problems::of(&found, &sources))
    }

    /// With another option of one of its open readings (`switch`, `option` as `unfasten methods ID` lists them).
    ///
    /// # Errors
    /// The method has no such switch or option.
    pub fn reading(mut self, switch: &str, option: &str) -> Result<Self, Problems> {
        let Some(method) = self.method.with_switch(switch, option) else {
            let known: Vec<String> = self
                .method
                .switches
                .iter()
                .map(|s| {
                    format!("{}={}", s.id, s.options.iter().map(|(id, _)| id.as_str()).collect::<Vec<_>>().join("|"))
                })
                .collect();
            let mend = format!("it has {}", known.join(", "));
            let said = format!("no reading `{switch}={option}`");
            return Err(Problems::asked("unknown-reading", self.id(), said, mend));
        };
        self.method = method;
        Ok(self)
    }

    /// Whether the method is made for such a device. One that isn't can be applied; it misses every part it asks for.
    pub fn fit(&self, teardown: &super::Teardown) -> bool {
        let (record, scope) = (&teardown.record, &self.method.scope);
        scope.categories.contains(&record.device.category.value) && !scope.without_forms.contains(&form_of(record))
    }

    /// Id (`eu-2023-1669`).
    pub fn id(&self) -> &str {
        &self.method.id.value
    }

    /// Title.
    pub fn title(&self) -> &str {
        &self.method.title
    }

    /// The text of its file and of those it extends, which a report's fingerprint covers.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The method itself, for the other crates of this workspace.
    #[doc(hidden)]
    pub fn method(&self) -> &Method {
        &self.method
    }
}
