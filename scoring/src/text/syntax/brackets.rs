//! Lines of YAML apart: indentation, key and value, and which brackets and quotes are open where.

/// Whether a line holds more than a comment.
pub(super) fn significant(line: &str) -> bool {
    let body = line.trim();
    !body.is_empty() && !body.starts_with('#')
}

pub(super) fn indent(line: &str) -> usize {
    line.len() - line.trim_start_matches(' ').len()
}

/// Where a comment begins on a line, quotes aside.
pub(super) fn comment(line: &str) -> Option<usize> {
    line.match_indices('#').map(|(n, _)| n).find(|n| *n == 0 || line[..*n].ends_with([' ', '\t']))
}

/// Where a line's key begins, behind dashes, and its value, behind the colon.
pub(super) struct Parts {
    pub(super) key: usize,
    pub(super) value: Option<usize>,
}

pub(super) fn parts(line: &str) -> Parts {
    let mut key = indent(line);
    while line[key..].starts_with("- ") {
        key += 2;
        key += indent(&line[key..]);
    }
    let body = &line[key..];
    if body.starts_with(['[', '{', '"', '\'', '#']) {
        return Parts { key, value: None };
    }
    let value = body.match_indices(':').map(|(n, _)| n).find_map(|n| {
        let behind = &body[n + 1..];
        if behind.trim().is_empty() {
            Some(line.len())
        } else if behind.starts_with([' ', '\t']) {
            Some(key + n + 1 + (behind.len() - behind.trim_start().len()))
        } else {
            None
        }
    });
    Parts { key, value }
}

/// A bracket or quote that is not closed.
pub(super) struct Unclosed {
    pub(super) line: usize,
    pub(super) at: usize,
    pub(super) sign: char,
    /// Last line it reaches to.
    pub(super) last: usize,
    /// What closes it and what it stands in, the innermost last.
    pub(super) closers: Vec<char>,
}

/// The first bracket or quote that is open where a line begins that belongs to something else.
pub(super) fn unclosed(lines: &[String]) -> Option<Unclosed> {
    // Open signs: line, byte, sign; the column of the key they belong to.
    let mut open: Vec<(usize, usize, char)> = Vec::new();
    let mut column = 0;
    let mut block: Option<usize> = None;
    let mut last = 0;
    let left = |open: &[(usize, usize, char)], last: usize| {
        let (line, at, sign) = *open.last()?;
        let closers = open.iter().map(|(_, _, s)| closer(*s)).collect();
        Some(Unclosed { line, at, sign, last, closers })
    };
    for (i, line) in lines.iter().enumerate() {
        let own = indent(line);
        if block.is_some_and(|b| own > b || line.trim().is_empty()) {
            continue;
        }
        block = None;
        let mut at = 0;
        let quoted = open.last().is_some_and(|(_, _, s)| matches!(s, '"' | '\''));
        if open.is_empty() {
            if !significant(line) {
                continue;
            }
            let parts = parts(line);
            column = parts.key;
            at = parts.value.unwrap_or(parts.key);
            if line[at..].starts_with(['|', '>']) {
                block = Some(column);
                continue;
            }
            if !line[at..].starts_with(['[', '{', '"', '\'']) {
                continue;
            }
        } else {
            if !quoted && !significant(line) {
                continue;
            }
            let parts = parts(line);
            let body = line.trim();
            // `loosen film adhesive`, `after:[]`: a field with a mistake of its own, not another item.
            let item = body.ends_with(',')
                || body.starts_with([',', ']', '}'])
                || body.ends_with([']', '}']) && !body.contains(':');
            let other = parts.value.is_some() || line[own..].starts_with("- ") || !quoted && !item;
            if significant(line) && own <= column && other {
                return left(&open, last);
            }
        }
        last = i;
        run(line, i, at, &mut open);
    }
    left(&open, last)
}

pub(super) fn closer(sign: char) -> char {
    match sign {
        '[' => ']',
        '{' => '}',
        quote => quote,
    }
}

/// Goes through one line behind a place, opening and closing; stops where nothing is open any more.
pub(super) fn run(line: &str, number: usize, from: usize, open: &mut Vec<(usize, usize, char)>) -> usize {
    let mut chars = line[from..].char_indices().map(|(n, c)| (n + from, c)).peekable();
    let mut before = ' ';
    while let Some((at, c)) = chars.next() {
        match open.last().map(|(_, _, s)| *s) {
            Some('"') => match c {
                '\\' => {
                    chars.next();
                }
                '"' => {
                    open.pop();
                }
                _ => {}
            },
            Some('\'') => {
                if c == '\'' {
                    if chars.peek().is_some_and(|(_, n)| *n == '\'') {
                        chars.next();
                    } else {
                        open.pop();
                    }
                }
            }
            _ => {
                let begins = matches!(before, ' ' | '\t' | '[' | '{' | ',');
                match c {
                    '#' if matches!(before, ' ' | '\t') => return at,
                    '[' | '{' => open.push((number, at, c)),
                    ']' | '}' => {
                        open.pop();
                    }
                    '"' | '\'' if begins => open.push((number, at, c)),
                    _ => {}
                }
            }
        }
        if open.is_empty() {
            return at + c.len_utf8();
        }
        before = c;
    }
    line.len()
}

/// Where a comma may be missing between brackets of a line, the likeliest first; and the bytes of what stands there without one.
pub(super) fn commas(line: &str) -> Option<(Vec<usize>, (usize, usize))> {
    // Of each open bracket: where the value of its entry begins, once there is one.
    let mut open: Vec<Option<usize>> = Vec::new();
    let mut quote: Option<char> = None;
    let mut before = ' ';
    let mut ended: Option<usize> = None;
    for (at, c) in line.char_indices() {
        if let Some(q) = quote {
            if c == q {
                (quote, ended) = (None, Some(at + 1));
            }
            before = c;
            continue;
        }
        // Behind a bracket or a quote that ended only a sign may stand.
        match ended {
            Some(end) if !open.is_empty() && !matches!(c, ' ' | '\t' | ',' | ']' | '}' | ':') => {
                return (c != '#').then_some((vec![end], (end - 1, at + c.len_utf8())));
            }
            Some(_) if !matches!(c, ' ' | '\t') => ended = None,
            _ => {}
        }
        match c {
            '#' if matches!(before, ' ' | '\t') => return None,
            '"' | '\'' if matches!(before, ' ' | '[' | '{' | ',') => quote = Some(c),
            '[' | '{' => open.push(None),
            ']' | '}' => {
                open.pop();
                ended = Some(at + 1);
            }
            ',' => open.iter_mut().last().into_iter().for_each(|entry| *entry = None),
            ' ' if before == ':' => match open.last_mut() {
                Some(Some(value)) => {
                    let (from, name) = (*value, line[..at - 1].trim_end());
                    let gaps = name.get(from..)?.match_indices(' ').map(|(n, _)| from + n);
                    let gaps: Vec<usize> = gaps.filter(|n| !name[*n..].starts_with("  ")).collect();
                    return Some((gaps.into_iter().rev().collect(), (from, at)));
                }
                Some(entry) => *entry = Some(at + 1 + indent(&line[at + 1..])),
                None => {}
            },
            _ => {}
        }
        before = c;
    }
    None
}

/// A closing bracket on a line that nothing opened: where it stands, its sign, and where what it closes may begin, the likeliest
/// first.
pub(super) fn unopened(line: &str) -> Option<(usize, char, Vec<usize>)> {
    let mut open: Vec<char> = Vec::new();
    let mut quote: Option<char> = None;
    let mut before = ' ';
    let mut values = Vec::new();
    let mut found = None;
    for (at, c) in line.char_indices() {
        match quote {
            Some(q) => quote = if c == q { None } else { Some(q) },
            None => match c {
                '#' if matches!(before, ' ' | '\t') => break,
                '"' | '\'' if matches!(before, ' ' | '[' | '{' | ',') => quote = Some(c),
                '[' | '{' => open.push(c),
                ']' | '}' if open.last().is_some_and(|sign| closer(*sign) == c) => {
                    open.pop();
                }
                ']' | '}' => {
                    found = Some((at, c));
                    break;
                }
                ' ' if before == ':' => values.push(at + 1 + indent(&line[at + 1..])),
                _ => {}
            },
        }
        before = c;
    }
    let (at, sign) = found?;
    values.reverse();
    let key = parts(line).key;
    let bare = |from: &usize| *from <= at && !line[*from..].starts_with(['[', '{', '"', '\'']);
    let begins = match sign {
        // What stands between braces are fields.
        '}' => std::iter::once(key)
            .chain(values)
            .filter(|from| bare(from) && (*from == at || line[*from..at].contains(": ")))
            .collect(),
        _ => values.into_iter().filter(bare).collect(),
    };
    Some((at, sign, begins))
}

/// A bracket whose inner one is closed by another's sign: where the inner one stands, its sign, and where the wrong sign does.
pub(super) fn crossed(line: &str) -> Option<(usize, char, usize)> {
    let mut open: Vec<(usize, char)> = Vec::new();
    let mut quote: Option<char> = None;
    let mut before = ' ';
    for (at, c) in line.char_indices() {
        match quote {
            Some(q) => quote = if c == q { None } else { Some(q) },
            None => match c {
                '#' if before == ' ' => return None,
                '"' | '\'' if matches!(before, ' ' | '[' | '{' | ',') => quote = Some(c),
                '[' | '{' => open.push((at, c)),
                ']' | '}' => match open.pop() {
                    Some((from, sign)) if closer(sign) != c && !open.is_empty() => return Some((from, sign, at)),
                    _ => {}
                },
                _ => {}
            },
        }
        before = c;
    }
    None
}

/// An item of a list in brackets that begins with a sign no text may begin with: from and to.
pub(super) fn reserved_item(line: &str) -> Option<(usize, usize)> {
    let from = line.match_indices(['@', '`', '%']).map(|(n, _)| n).find(|n| {
        let before = line[..*n].trim_end();
        before.ends_with(['[', ',']) || before.is_empty()
    })?;
    let to = line[from..].find([',', ']', '}']).map_or(line.trim_end().len(), |n| from + n);
    Some((from, from + line[from..to].trim_end().len()))
}
