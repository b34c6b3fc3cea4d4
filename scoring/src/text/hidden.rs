//! Characters that do something instead of showing something.

/// Whether a character changes how others are shown, or shows nothing itself: C0 and C1 controls other than space, tab
/// and line breaks, marks and overrides of direction, zero-width spaces, line and paragraph separators, tags,
/// interlinear anchors, and the code points that are no characters. The joiners U+200C and U+200D are not among them:
/// scripts and emoji need them.
///
/// Sources (memory high): control codes and noncharacters, Unicode 15, sections 23.1 and 23.7; directional formatting,
/// Unicode Standard Annex 9, table 4. U+FFFE and U+FFFF can't stand in XML at all (XML 1.0, production 2).
pub fn hides(c: char) -> bool {
    matches!(c,
        '\u{0}'..='\u{8}' | '\u{b}' | '\u{c}' | '\u{e}'..='\u{1f}' | '\u{7f}'..='\u{9f}'
        | '\u{61c}' | '\u{180e}' | '\u{200b}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}'
        | '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e0fff}'
        | '\u{fdd0}'..='\u{fdef}')
        || u32::from(c) & 0xfffe == 0xfffe
}

#[cfg(test)]
mod tests {
    use super::hides;

    #[test]
    fn letters_space_and_joiners_show() {
        for c in " \t\n\ra~\u{a0}é漢\u{200c}\u{200d}\u{fffd}👩".chars() {
            assert!(!hides(c), "{c:?}");
        }
    }

    #[test]
    fn controls_direction_and_no_characters_hide() {
        for c in
            "\u{0}\u{1b}\u{7f}\u{9b}\u{200b}\u{202e}\u{2069}\u{feff}\u{fdd0}\u{fffe}\u{ffff}\u{1fffe}\u{10ffff}".chars()
        {
            assert!(hides(c), "{c:?}");
        }
    }
}
