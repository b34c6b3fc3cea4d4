//! How much of a text is read. Every cap stands here with its reason; work below them grows with the size of the text.

/// Largest text accepted, bytes. A record of a hundred actions is about 40 000.
pub const LARGEST: usize = 4 * 1024 * 1024;
/// How deep mappings and lists may nest. The deepest thing a record or method needs is about 12.
pub const DEEPEST: usize = 64;
/// How many values a text may have; a record of a hundred actions has about 3 000.
pub const MOST_NODES: usize = 400_000;
/// Items of one list, or fields of one mapping; the longest list of a record has a few hundred.
pub const MOST_ITEMS: usize = 10_000;
/// Characters of one name, note or other value: some twenty printed pages.
pub const LONGEST_TEXT: usize = 50_000;
/// Alternatives, ways or tools in one value (`a | b`, `a or b`, `a + b`).
pub const MOST_CHOICES: usize = 1_000;
/// Roles of one part; a piece that does everything fills a dozen.
pub const MOST_ROLES: usize = 100;
/// Lines of a support table about one device: a few facts for each of its parts.
pub const MOST_LINES: usize = 2_000;
/// Complaints kept; after that reading goes on and one complaint says how many more there are.
pub const MOST_DIAGNOSTICS: usize = 300;
/// Complaints after which a text is given up: what is left is not looked at for more.
pub const MOST_MISTAKES: usize = 2_000;
