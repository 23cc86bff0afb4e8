//! What is only read: the help, and what came of taking in another book.

use super::super::keys::Act;
use super::super::model::Model;
use super::super::msg::Effect;

/// Does what a key asks for.
pub fn acted(model: &mut Model, act: Act) -> Vec<Effect> {
    if let Some(sum) = &mut model.sum {
        match act {
            Act::Back => sum.from = sum.from.saturating_sub(1),
            Act::Forth => sum.from = sum.from.saturating_add(1),
            _ => model.sum = None,
        }
        return vec![];
    }
    if model.help.is_none() {
        if act == Act::Out {
            model.form = None;
        }
        return vec![];
    }
    model.help = match (act, model.help) {
        (Act::Back, Some(at)) => Some(at.saturating_sub(1)),
        (Act::Forth, Some(at)) => Some(at.saturating_add(1)),
        _ => None,
    };
    vec![]
}
