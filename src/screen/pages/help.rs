//! What is only read: the help, and what came of taking in another book.

use super::super::keys::Act;
use super::super::model::Model;
use super::super::msg::Effect;

/// Does what a key asks for.
pub fn acted(model: &mut Model, act: Act) -> Vec<Effect> {
    if let Some(sum) = &mut model.sum {
        match act.leads(sum.from, usize::MAX) {
            Some(to) => sum.from = to,
            None => model.sum = None,
        }
        return vec![];
    }
    if let Some(at) = model.help {
        model.help = act.leads(at, usize::MAX);
        return vec![];
    }
    if act == Act::Out {
        model.form = None;
    }
    vec![]
}
