//! Which roles may share one part: what the measure `bundling` reads.

use super::Method;
use crate::text::fold;

impl Method {
    /// Rank in the words of the measure `bundling` (0 `alone`, 1 `allowed company`, 2 `allowed if sealed`, 3 `other company`)
    /// for a role whose part also fills `others`. The worst pair decides; a pair is allowed in either order.
    ///
    /// ```
    /// let method = scoring::method::load_shipped("eu-2023-1670").unwrap();
    /// assert_eq!(method.bundling("microphone", &["charging port"]), 1);
    /// assert_eq!(method.bundling("display assembly", &["microphone"]), 2);
    /// assert_eq!(method.bundling("battery", &["back cover"]), 3);
    /// ```
    pub fn bundling(&self, role: &str, others: &[&str]) -> u8 {
        let others = others.iter().filter(|o| fold(o) != fold(role));
        others.map(|other| self.pair(role, other)).max().unwrap_or(0)
    }

    fn pair(&self, a: &str, b: &str) -> u8 {
        let names = |list: &[String], role: &str| list.iter().any(|r| fold(r) == fold(role));
        let ranks = self.company.iter().filter_map(|company| {
            let one_way =
                |a: &str, b: &str| names(&company.roles, a) && company.with.as_ref().is_none_or(|with| names(with, b));
            (one_way(a, b) || one_way(b, a)).then_some(if company.if_sealed { 2 } else { 1 })
        });
        ranks.min().unwrap_or(3)
    }
}

#[cfg(test)]
mod tests {
    use crate::method::load_shipped;
    use rstest::rstest;

    /// Regulation (EU) 2023/1670, Annex II, bundling row (`read`).
    #[rstest]
    #[case("battery", &[], 0)]
    #[case("battery", &["battery"], 0)]
    #[case("microphone", &["speaker"], 1)]
    #[case("speaker", &["microphone"], 1)]
    #[case("charging port", &["audio connector"], 1)]
    #[case("display folding mechanism", &["hinge assembly"], 1)]
    #[case("speaker", &["charging port"], 2)]
    #[case("microphone", &["speaker", "display assembly"], 2)]
    #[case("front camera", &["display assembly"], 3)]
    #[case("microphone", &["microphone", "Button"], 2)]
    fn pairs(#[case] role: &str, #[case] others: &[&str], #[case] rank: u8) {
        assert_eq!(load_shipped("eu-2023-1670").unwrap().bundling(role, others), rank);
    }

    /// Where a method says nothing about company, none is allowed.
    #[test]
    fn no_company_is_none() {
        assert_eq!(load_shipped("en-45554").unwrap().bundling("microphone", &["speaker"]), 3);
    }
}
