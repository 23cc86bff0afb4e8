//! Where the work was: shown once over the page, when the book is opened.

use super::super::keys::Act;
use super::super::model::Model;
use super::super::msg::Effect;

/// Does what a key asks for.
pub fn acted(model: &mut Model, act: Act) -> Vec<Effect> {
    let Some((were, at)) = &mut model.were else { return vec![] };
    if let Some(to) = act.leads(*at, usize::MAX) {
        *at = to;
        return vec![];
    }
    if act == Act::Out {
        let saw = were.upto.map(Effect::Saw);
        model.were = None;
        return saw.into_iter().collect();
    }
    vec![]
}
