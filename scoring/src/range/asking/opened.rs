//! `perhaps connector`: whether something was opened at all.

use super::{Ask, Asking, Found, Offer, Placed, To, time};
use crate::record::{Action, Loosened};
use crate::text::edit::TextChange;

impl Asking<'_> {
    /// What was perhaps opened: it stays without the word, or goes.
    pub(super) fn opened(&self, open: &[usize], out: &mut Vec<Placed>) {
        for &u in open {
            let unknown = self.unknown(u);
            let Some((place, _)) = self.action(&unknown.path) else { continue };
            let action = &self.record.actions[place];
            let perhaps = |l: &&Loosened| l.perhaps && l.count.path == unknown.path;
            let Some(loosened) = action.loosen.iter().find(perhaps) else { continue };
            let choices = vec![("no".to_owned(), without(action, loosened)), ("yes".to_owned(), self.surely(loosened))];
            let question = format!("Does `{}` open the {} too?", action.id, loosened.text);
            let offers = choices.iter().map(|(word, _)| Offer::plain(word.clone())).collect();
            out.push((
                3 * place + 1,
                Ask {
                    key: format!("{}: perhaps {}", loosened.path, loosened.text),
                    question,
                    found: Found::Footage,
                    at: time(action),
                    line: self.line(u),
                    offers,
                    form: "no or yes; what else `loosen` names stays".to_owned(),
                    of_several: String::new(),
                    to: To::Choice(choices),
                    promise: false,
                    last: false,
                    unknowns: vec![u],
                },
            ));
        }
    }

    /// The same without the word.
    fn surely(&self, loosened: &Loosened) -> TextChange {
        let text = self.sources.excerpt(loosened.span).trim();
        let bare = text.trim_matches(['"', '\'']).trim_start();
        match crate::record::forms::perhaps(bare) {
            Some(at) => TextChange::Set(loosened.path.clone(), bare[at..].trim().to_owned()),
            // One with fields of its own.
            None => TextChange::Set(format!("{}.fastener", loosened.path), loosened.text.clone()),
        }
    }
}

fn without(action: &Action, loosened: &Loosened) -> TextChange {
    if action.loosen.len() == 1 {
        return TextChange::Set(format!("{}.loosen", action.path), "[]".to_owned());
    }
    TextChange::Unlist(loosened.path.clone())
}
