//! Which parts a rule for the heaviest ones reads.

use super::Assessment;
use crate::exact::Exact;
use crate::method::{CriterionKind, Roles};

impl Assessment {
    /// The roles that rules for the heaviest parts read: several where their weights tie, since then each counts. Empty
    /// where the method has no such rule.
    pub fn heaviest(&self) -> Vec<&str> {
        let asks = |kind: &CriterionKind| matches!(kind, CriterionKind::Each { roles: Roles::Highest, .. });
        if !self.method.root.all().iter().any(|n| asks(&n.kind)) {
            return Vec::new();
        }
        let most: Option<&Exact> = self.roles.iter().filter_map(|r| r.weight.as_ref()).max();
        self.roles.iter().filter(|r| r.weight.is_some() && r.weight.as_ref() == most).map(|r| &*r.role).collect()
    }

    /// The same in words: `the heaviest part, the battery`; `the heaviest parts, which tie: battery and motor`.
    pub fn heaviest_said(&self) -> Option<String> {
        match self.heaviest().as_slice() {
            [] => None,
            [one] => Some(format!("the heaviest part: {one}")),
            [rest @ .., last] => Some(format!("the heaviest parts, which tie: {} and {last}", rest.join(", "))),
        }
    }
}
