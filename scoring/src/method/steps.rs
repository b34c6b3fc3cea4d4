//! What counts as a step: the switches of the step rule, as method files and the command line name them.

use super::{Rule, Setting};
use crate::text::fold;

/// The most steps a surcharge may add.
const MOST: u32 = 100;

/// What counts as a step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StepRule {
    /// Tools used at once.
    pub simultaneous: Simultaneous,
    /// Heating and cleaning. [`Heating::Step`] asks for [`Simultaneous::Each`]; see [`StepRule::unfit`].
    pub heating: Heating,
    /// Laying a part aside ends a step.
    pub aside_is_step: bool,
    /// Unplugging mains equipment ends a step.
    pub mains_is_step: bool,
    /// A part whose replacement needs remote authorisation.
    pub remote: Remote,
    /// A destructive route may be scored.
    pub destructive_scored: bool,
    /// Where that is said.
    pub rule: Rule,
}

/// What tools used at once count.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Simultaneous {
    /// As one tool.
    One,
    /// Each beyond the first counts a step more, when they are taken up or used after a step ended.
    Each,
}

/// What heating and cleaning count.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Heating {
    /// A heat source is a tool like any other; cleaning ends nothing.
    Tool,
    /// Each ends a step of its own.
    Step,
    /// Left out of the count.
    Nothing,
}

/// What remote authorisation of a part costs its depth.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Remote {
    /// Nothing.
    Nothing,
    /// So many steps more, at least one.
    Steps(u32),
    /// The depth scores the least points of its table.
    LeastPoints,
}

/// One switch of the step rule with an option.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum StepSetting {
    /// What tools used at once count.
    Simultaneous(Simultaneous),
    /// What heating and cleaning count.
    Heating(Heating),
    /// Whether laying a part aside ends a step.
    Aside(bool),
    /// Whether unplugging mains equipment ends a step.
    Mains(bool),
    /// What remote authorisation costs.
    Remote(Remote),
    /// Whether a destructive route may be scored.
    DestructiveScored(bool),
}

/// Names of the switches with their options, in words.
pub const STEP_SWITCHES: [(&str, &str); 6] = [
    ("simultaneous tools", "`one` or `each`"),
    ("heating", "`tool`, `step` or `nothing`"),
    ("aside", "`nothing` or `step`"),
    ("mains", "`nothing` or `step`"),
    ("remote authorisation", "`nothing`, `1 more step` to `100 more steps`, or `least points`"),
    ("destructive scored", "`no` or `yes`"),
];

impl StepSetting {
    /// Reads an option of a switch, both as method files write them.
    ///
    /// # Errors
    /// What could be written instead: options, or switches if there is no such switch.
    pub fn read(switch: &str, option: &str) -> Result<Self, String> {
        let at = STEP_SWITCHES.iter().position(|(name, _)| *name == fold(switch));
        let Some(at) = at else {
            let all: Vec<String> = STEP_SWITCHES.iter().map(|(name, _)| format!("`{name}`")).collect();
            return Err(format!("the switches are {}", all.join(", ")));
        };
        let option = fold(option);
        let is_step = || match option.as_str() {
            "nothing" => Some(false),
            "step" => Some(true),
            _ => None,
        };
        let found = match at {
            0 => match option.as_str() {
                "one" => Some(Self::Simultaneous(Simultaneous::One)),
                "each" => Some(Self::Simultaneous(Simultaneous::Each)),
                _ => None,
            },
            1 => match option.as_str() {
                "tool" => Some(Self::Heating(Heating::Tool)),
                "step" => Some(Self::Heating(Heating::Step)),
                "nothing" => Some(Self::Heating(Heating::Nothing)),
                _ => None,
            },
            2 => is_step().map(Self::Aside),
            3 => is_step().map(Self::Mains),
            4 => remote(&option).map(Self::Remote),
            _ => match option.as_str() {
                "yes" | "true" => Some(Self::DestructiveScored(true)),
                "no" | "false" => Some(Self::DestructiveScored(false)),
                _ => None,
            },
        };
        found.ok_or_else(|| format!("write {}", STEP_SWITCHES[at].1))
    }

    /// Name of the switch.
    pub fn name(self) -> &'static str {
        let at = match self {
            Self::Simultaneous(_) => 0,
            Self::Heating(_) => 1,
            Self::Aside(_) => 2,
            Self::Mains(_) => 3,
            Self::Remote(_) => 4,
            Self::DestructiveScored(_) => 5,
        };
        STEP_SWITCHES[at].0
    }
}

fn remote(option: &str) -> Option<Remote> {
    match option {
        "nothing" => return Some(Remote::Nothing),
        "least points" => return Some(Remote::LeastPoints),
        _ => {}
    }
    let number = option.strip_suffix(" more steps").or_else(|| option.strip_suffix(" more step"))?;
    number.parse().ok().filter(|n| (1..=MOST).contains(n)).map(Remote::Steps)
}

impl Remote {
    /// Whether it makes any difference.
    pub fn counts(self) -> bool {
        self != Self::Nothing
    }

    /// Steps it adds.
    pub fn steps(self) -> u32 {
        if let Self::Steps(more) = self { more } else { 0 }
    }
}

impl StepRule {
    /// Tools at once count as one, heat sources are tools, nothing but removals and changes ends a step, remote
    /// authorisation costs nothing, destructive routes are not scored.
    pub fn usual(rule: Rule) -> Self {
        Self {
            simultaneous: Simultaneous::One,
            heating: Heating::Tool,
            aside_is_step: false,
            mains_is_step: false,
            remote: Remote::Nothing,
            destructive_scored: false,
            rule,
        }
    }

    /// Another option of one switch.
    pub fn set(&mut self, setting: StepSetting) {
        match setting {
            StepSetting::Simultaneous(simultaneous) => self.simultaneous = simultaneous,
            StepSetting::Heating(heating) => self.heating = heating,
            StepSetting::Aside(yes) => self.aside_is_step = yes,
            StepSetting::Mains(yes) => self.mains_is_step = yes,
            StepSetting::Remote(remote) => self.remote = remote,
            StepSetting::DestructiveScored(yes) => self.destructive_scored = yes,
        }
    }

    /// Why two switches don't go together, if they don't.
    pub fn unfit(&self) -> Option<&'static str> {
        let unfit = self.heating == Heating::Step && self.simultaneous == Simultaneous::One;
        unfit.then_some("`heating: step` asks for `simultaneous tools: each`")
    }

    /// In words, a sentence a switch that makes a difference.
    pub fn words(&self) -> Vec<String> {
        let mut text: Vec<String> = Vec::new();
        if self.simultaneous == Simultaneous::Each {
            text.push(
                "Of several tools used at once each beyond the first counts one more step, when they are taken up or used \
                 after a step ended."
                    .to_owned(),
            );
        }
        text.push(
            match self.heating {
                Heating::Tool => "Heat sources count as tools.",
                Heating::Step => "Every heating and every cleaning is a step.",
                Heating::Nothing => "Heating and cleaning are not counted.",
            }
            .to_owned(),
        );
        if self.aside_is_step {
            text.push("Laying a part aside is a step.".to_owned());
        }
        if self.mains_is_step {
            text.push("Unplugging mains equipment is a step.".to_owned());
        }
        match self.remote {
            Remote::Nothing => {}
            Remote::Steps(more) => text.push(format!("A part that needs remote authorisation gets {more} more.")),
            Remote::LeastPoints => text.push(
                "The depth of a part that needs remote authorisation scores the least points there are.".to_owned(),
            ),
        }
        if self.destructive_scored {
            text.push("A part whose every way destroys something is scored on that way.".to_owned());
        }
        text
    }

    /// Applies a setting, if it is one of the step rule's.
    pub(super) fn apply(&mut self, setting: &Setting) {
        if let Setting::Steps(setting) = setting {
            self.set(*setting);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Remote, STEP_SWITCHES, StepSetting};

    #[test]
    fn every_option_named_in_a_mend_is_read() {
        for (switch, options) in STEP_SWITCHES {
            let named: Vec<&str> = options.split('`').skip(1).step_by(2).collect();
            assert!(named.len() > 1, "{switch}");
            for option in named {
                assert_eq!(StepSetting::read(switch, option).map(StepSetting::name), Ok(switch), "{option}");
            }
            assert!(StepSetting::read(switch, "elsewhere").unwrap_err().contains(options));
        }
        assert!(StepSetting::read("glue", "step").unwrap_err().contains("`heating`"));
    }

    #[test]
    fn a_surcharge_has_one_to_a_hundred_steps() {
        let read = |text: &str| StepSetting::read("Remote-Authorisation", text).ok();
        assert_eq!(read("2 more steps"), Some(StepSetting::Remote(Remote::Steps(2))));
        assert_eq!(read("2-more-steps"), Some(StepSetting::Remote(Remote::Steps(2))));
        for wrong in ["0 more steps", "101 more steps", "more steps", "2"] {
            assert_eq!(read(wrong), None, "{wrong}");
        }
    }
}
