//! Answers as changes of a record's text.

use super::{Ask, Of, To, same};
use crate::record::{Record, Side};
use crate::text::edit::{TextChange, written};
use crate::text::{NotTaken, fold};
use crate::vocab::class::Words;
use crate::vocab::{Kind, Place, Skill};

type Changes = Result<Vec<TextChange>, NotTaken>;

impl Ask {
    /// What an answer changes; nothing for one that only says where to go on (`none`, whether anybody looked).
    ///
    /// # Errors
    /// What of the answer can't be understood, and the mend. Whether the record still reads with it is for the caller to see.
    pub fn changes(&self, answer: &str, record: &Record) -> Changes {
        let answer = answer.trim();
        match &self.to {
            To::Same(of) => Ok(self.of_each(of, answer)),
            To::Each(paths) => each(paths, answer),
            To::Review(path) => self.review(path, answer, record),
            To::Remark(path) => self.remark(path, answer, record),
            To::Order(cover, of) => Self::ticked(cover.as_deref(), of, answer),
            To::Parts(names) => self.counted(names, answer, record),
            To::Role(role, names) => self.role(role, names, answer, record),
            To::Twin(path, other) => match &*fold(&self.one(answer)) {
                "one part" | "yes" => Ok(vec![set(path, written(other))]),
                "two parts" | "no" => Ok(vec![TextChange::Remove(path.clone())]),
                _ => Err(NotTaken::new(
                    format!("`{answer}` does not say whether they are one"),
                    "answer one part or two parts",
                )),
            },
            To::Choice(of) => {
                let said = self.one(answer);
                let found = of.iter().find(|(word, _)| same(word, &said));
                let words: Vec<&str> = of.iter().map(|(word, _)| &**word).collect();
                found.map(|(_, change)| vec![change.clone()]).ok_or_else(|| {
                    NotTaken::new(format!("`{answer}` is none of these"), format!("answer {}", words.join(" or ")))
                })
            }
            To::Looked if matches!(&*fold(answer), "yes" | "no" | "1" | "2") => Ok(Vec::new()),
            To::Looked => Err(NotTaken::new(format!("`{answer}` is neither yes nor no"), "answer yes or no")),
        }
    }

    /// An answer as it is written: one offered by number, a kind in the words of the record.
    fn one(&self, answer: &str) -> String {
        let offered = answer.parse::<usize>().ok().and_then(|n| self.offers.get(n.checked_sub(1)?));
        let short = ["yes", "no"].into_iter().find(|word| fold(answer) == word[..1]);
        let short = short.filter(|word| self.offers.iter().any(|o| o.answer == *word));
        let answer = offered.map_or(short.unwrap_or(answer), |o| &o.answer);
        if !self.key.ends_with(".kind") {
            return answer.to_owned();
        }
        let word = |piece: &str| {
            let found = Kind::ALL.iter().find(|k| same(k.means(), piece));
            found.map_or_else(|| piece.trim().to_owned(), |k| k.word().to_owned())
        };
        answer.split('|').map(word).collect::<Vec<_>>().join(" | ")
    }

    /// The same; of several things apart by commas a list, where one can stand.
    fn listed(&self, answer: &str) -> String {
        if answer.contains(',') && self.key.ends_with(".after") { several_of(answer) } else { self.one(answer) }
    }

    /// One answer for all, or `battery: 12 EUR; motor: 30 EUR`.
    fn of_each(&self, of: &[Of], answer: &str) -> Vec<TextChange> {
        let named: Option<Vec<(&Of, &str)>> = answer
            .split(';')
            .map(|piece| {
                let (name, value) = piece.split_once(':')?;
                Some((of.iter().find(|o| same(&o.name, name))?, value.trim()))
            })
            .collect();
        if let Some(named) = named {
            return named.into_iter().map(|(o, value)| set(&o.path, self.one(value))).collect();
        }
        if of.len() == 1 && self.key == of[0].path {
            return vec![set(&self.key, self.listed(answer))];
        }
        let value = self.one(answer);
        // All of them at one place, or each at its own.
        if !self.key.contains("; ") {
            return vec![set(&self.key, value)];
        }
        of.iter().map(|o| set(&o.path, value.clone())).collect()
    }

    fn review(&self, path: &str, answer: &str, record: &Record) -> Changes {
        let word = self.one(answer);
        let action = record.actions.iter().find(|a| a.path == path);
        let unreviewed = action.is_some_and(crate::record::Action::unreviewed);
        let mut out = match &*fold(&word) {
            "seen" | "yes" | "y" => vec![set(&format!("{path}.basis"), "seen".to_owned())],
            "told" => vec![set(&format!("{path}.basis"), "told".to_owned())],
            "drop" | "no" | "n" => return Ok(vec![TextChange::Remove(path.to_owned())]),
            _ => {
                let mut fields = Vec::new();
                for piece in answer.split(';').map(str::trim).filter(|p| !p.is_empty()) {
                    let field = piece.split_once(':').map(|(f, v)| (fold(f), v.trim()));
                    let known = ["free", "do", "at", "with", "loosen", "after", "outcome", "because", "id"];
                    let Some((field, value)) = field.filter(|(f, v)| known.contains(&&**f) && !v.is_empty()) else {
                        return Err(NotTaken::new(
                            format!("`{piece}` does not say whether it was so"),
                            "answer seen, told, drop, or what is wrong set right: `with: PH0; loosen: 2 x clip`",
                        ));
                    };
                    let list = matches!(&*field, "with" | "loosen" | "after");
                    let value = if list { several_of(value) } else { value.to_owned() };
                    fields.push(set(&format!("{path}.{field}"), value));
                }
                fields.push(set(&format!("{path}.basis"), "seen".to_owned()));
                fields
            }
        };
        if unreviewed {
            out.push(TextChange::Remove(format!("{path}.reviewed")));
        }
        Ok(out)
    }

    fn remark(&self, path: &str, answer: &str, record: &Record) -> Changes {
        let Some(remark) = record.remarks.iter().find(|r| r.path == path) else { return Ok(Vec::new()) };
        let word = self.one(answer);
        if fold(&word) == "drop" {
            return Ok(vec![TextChange::Remove(path.to_owned())]);
        }
        let (side, text) =
            word.split_once(':').map_or((&*word, &*remark.text.value), |(side, text)| (side, text.trim()));
        let side = fold(side);
        if !matches!(&*side, "for" | "against" | "note") || text.is_empty() {
            return Err(NotTaken::new(
                format!("`{answer}` does not say whom the remark speaks for"),
                "answer for, against, note or drop, or in words of your own: `against: the foot is torn each time`",
            ));
        }
        let now = match remark.side {
            Side::For => "for",
            Side::Against => "against",
            Side::Neither => "note",
        };
        let mut out = Vec::new();
        if side != now || text != remark.text.value {
            out.push(set(&format!("{path}.{side}"), written(text)));
        }
        if side != now {
            out.push(TextChange::Remove(format!("{path}.{now}")));
        }
        out.push(TextChange::Remove(format!("{path}.basis")));
        Ok(out)
    }

    /// Names or numbers of what is offered, apart by commas.
    fn several<'n>(names: &'n [&'n str], answer: &str) -> Result<Vec<(&'n str, Option<u32>)>, NotTaken> {
        let mut out: Vec<(&str, Option<u32>)> = Vec::new();
        for piece in answer.split([',', ';']).map(str::trim).filter(|p| !p.is_empty()) {
            let (said, share) = match piece.split_once('=') {
                Some((name, share)) => {
                    let share = share.trim();
                    let number = share.parse::<u32>().ok().filter(|n| *n > 0);
                    let number = number.ok_or_else(|| {
                        NotTaken::new(format!("`{share}` is no share"), "write a whole number from 1: `battery = 2`")
                    })?;
                    (name.trim(), Some(number))
                }
                None => (piece, None),
            };
            let by_name = names.iter().find(|n| same(n, said));
            let by_number = said.parse::<usize>().ok().and_then(|n| names.get(n.checked_sub(1)?));
            let Some(name) = by_name.or(by_number).or_else(|| meant(names, said)) else {
                return Err(match crate::text::near(said, names.iter().copied()) {
                    Some(near) => {
                        NotTaken::new(format!("`{said}` is not in the list"), format!("did you mean `{near}`?"))
                    }
                    None => NotTaken::new(
                        format!("`{said}` is not in the list"),
                        "write numbers or names of the list, apart by commas",
                    ),
                });
            };
            if !out.iter().any(|(n, _)| n == name) {
                out.push((name, share));
            }
        }
        Ok(out)
    }

    fn ticked(cover: Option<&str>, of: &[Of], answer: &str) -> Changes {
        let names: Vec<&str> = of.iter().map(|o| &*o.name).collect();
        let ticked: Vec<&str> = match &*fold(answer) {
            "none" => Vec::new(),
            "all" => names.clone(),
            _ => Self::several(&names, answer)?.into_iter().map(|(n, _)| n).collect(),
        };
        let value = cover.map_or_else(|| "[]".to_owned(), written);
        let path = |name: &str| of.iter().find(|o| o.name == name).map(|o| set(&o.path, value.clone()));
        Ok(ticked.into_iter().filter_map(path).collect())
    }

    fn counted(&self, names: &[String], answer: &str, record: &Record) -> Changes {
        let names: Vec<&str> = names.iter().map(String::as_str).collect();
        let fills = |name: &str| {
            let part = record.parts.iter().find(|p| same(&p.name.value, name));
            part.and_then(|p| p.roles.first()).map(|r| r.value.name.clone())
        };
        let proposed = |role: &str| record.proposed.iter().any(|p| same(&p.value, role));
        let last = self.offers.len().to_string();
        let as_proposed = same(answer, "as proposed") || self.offers.len() > names.len() && answer == last;
        if as_proposed && !record.proposed.is_empty() {
            return Ok(record
                .proposed
                .iter()
                .map(|p| TextChange::Remove(format!("roles.{}.basis", p.value)))
                .collect());
        }
        let chosen = Self::several(&names, answer)?;
        if chosen.is_empty() {
            return Err(NotTaken::new("no part is named", "name at least one part of the list"));
        }
        let mut out = Vec::new();
        let mut kept: Vec<String> = Vec::new();
        for (name, share) in chosen {
            let role = fills(name).unwrap_or_else(|| name.to_owned());
            let known = record.own_roles.iter().any(|(r, _)| same(&r.value, &role));
            if !known || share.is_some() {
                out.push(set(&format!("roles.{role}.weight"), share.unwrap_or(1).to_string()));
            }
            if proposed(&role) {
                out.push(TextChange::Remove(format!("roles.{role}.basis")));
            }
            if fills(name).is_none() {
                out.push(set(&format!("parts.{name}.role"), written(&role)));
            }
            kept.push(role);
        }
        // What was proposed and not named counts no longer.
        for role in record.proposed.iter().filter(|p| !kept.iter().any(|k| same(k, &p.value))) {
            out.push(TextChange::Remove(format!("roles.{}", role.value)));
            for part in record.parts.iter().filter(|p| p.roles.iter().any(|r| same(&r.value.name, &role.value))) {
                out.push(TextChange::Remove(format!("parts.{}.role", part.name.value)));
            }
        }
        Ok(out)
    }

    fn role(&self, role: &str, names: &[String], answer: &str, record: &Record) -> Changes {
        let answer = self.one(answer);
        match &*fold(&answer) {
            "none" => {
                let mut absent: Vec<String> = record.absent.iter().map(|a| written(&a.value)).collect();
                absent.push(written(role));
                Ok(vec![set("absent", format!("[{}]", absent.join(", ")))])
            }
            "not tried" | "not attempted" => {
                Ok(vec![set(&format!("parts.{role}"), format!("{{role: {}, outcome: not attempted}}", written(role)))])
            }
            _ => {
                let Some(name) = names.iter().find(|n| same(n, &answer)) else {
                    let near = crate::text::near(&answer, names.iter().map(String::as_str));
                    let mend = near.map_or_else(
                        || "name a part that some action frees, `none` or `not tried`".to_owned(),
                        |n| format!("did you mean `{n}`?"),
                    );
                    return Err(NotTaken::new(format!("no action frees a part called `{answer}`"), mend));
                };
                let part = record.parts.iter().find(|p| same(&p.name.value, name));
                let mut roles: Vec<String> =
                    part.map_or_else(Vec::new, |p| p.roles.iter().map(|r| written(&r.value.name)).collect());
                roles.push(written(role));
                let value = if let [one] = &*roles { one.clone() } else { format!("[{}]", roles.join(", ")) };
                Ok(vec![set(&format!("parts.{}.role", part.map_or(name, |p| &p.name.value)), value)])
            }
        }
    }
}

/// The only name of a list that has all words of a shorter one: "battery" where there is a `battery pack` alone.
fn meant<'n>(names: &'n [&'n str], said: &str) -> Option<&'n &'n str> {
    let said: Vec<String> = fold(said).split_whitespace().map(str::to_owned).collect();
    let mut found = names.iter().filter(|name| {
        let name = fold(name);
        let words: Vec<&str> = name.split_whitespace().collect();
        !said.is_empty() && said.iter().all(|w| words.contains(&&**w))
    });
    found.next().filter(|_| found.next().is_none())
}

/// Several things apart by commas, as the list a record has.
fn several_of(value: &str) -> String {
    let plain = value.contains(',') && !value.starts_with(['[', '{', '"', '\'']);
    if plain { format!("[{value}]") } else { value.to_owned() }
}

fn set(path: &str, value: String) -> TextChange {
    TextChange::Set(path.to_owned(), value)
}

/// Place and skill, in either order: each word goes where it is known.
fn each(paths: &[String], answer: &str) -> Changes {
    let mut words: Vec<&str> = answer.split([',', ';']).map(str::trim).filter(|w| !w.is_empty()).collect();
    // "use layman": both are one word each.
    let apart: Vec<&str> = answer.split_whitespace().collect();
    if words.len() == 1 && apart.len() == paths.len() {
        words = apart;
    }
    if words.len() != paths.len() {
        let mend = if paths.len() == 2 { "write both, apart by a comma: `use, layman`" } else { "write one" };
        return Err(NotTaken::new(format!("{} answers are wanted, and there are {}", paths.len(), words.len()), mend));
    }
    let all = |path: &str| -> Vec<&'static str> {
        if path.ends_with("place") {
            Place::ALL.iter().map(|w| w.word()).collect()
        } else {
            Skill::ALL.iter().map(|w| w.word()).collect()
        }
    };
    let mut out: Vec<TextChange> = Vec::new();
    // Numbers run on from the first list to the second.
    let offered: Vec<&str> = paths.iter().flat_map(|p| all(p)).collect();
    for said in words {
        let by_number = said.parse::<usize>().ok().and_then(|n| offered.get(n.checked_sub(1)?).copied());
        let word = by_number.unwrap_or(said);
        let first = word.split('|').next().unwrap_or(word);
        let path = paths.iter().find(|p| all(p).iter().any(|w| same(w, first)));
        let Some(path) = path else {
            let near = crate::text::near(word, offered.iter().copied());
            let mend =
                near.map_or_else(|| format!("write of {}", offered.join(", ")), |n| format!("did you mean `{n}`?"));
            return Err(NotTaken::new(format!("`{word}` is neither a place nor a skill asked for"), mend));
        };
        if out.iter().any(|c| c.path() == path) {
            return Err(NotTaken::new(
                format!("`{word}` is the second of its kind"),
                "write one place and one skill: `use, layman`",
            ));
        }
        out.push(set(path, word.to_owned()));
    }
    Ok(out)
}

#[cfg(test)]
mod tests {
    use super::meant;
    use rstest::rstest;

    #[rstest]
    #[case("battery", Some("battery pack"))]
    #[case("Pack", Some("battery pack"))]
    #[case("left", Some("left driver"))]
    #[case("driver", None)]
    #[case("bat", None)]
    #[case("", None)]
    fn a_part_is_known_by_a_word_only_it_has(#[case] said: &str, #[case] wanted: Option<&str>) {
        assert_eq!(meant(&["battery pack", "left driver", "right driver"], said).copied(), wanted);
    }
}
