//! Where the work was: shown once over the page, when the book is opened.

use super::super::keys::Act;
use super::super::model::Model;
use super::super::msg::Effect;

/// How far a page goes, lines.
const FAR: usize = 10;

/// Does what a key asks for.
pub fn acted(model: &mut Model, act: Act) -> Vec<Effect> {
    let Some((were, at)) = &mut model.were else { return vec![] };
    *at = match act {
        Act::Back => at.saturating_sub(1),
        Act::Forth => at.saturating_add(1),
        Act::PageBack => at.saturating_sub(FAR),
        Act::PageForth => at.saturating_add(FAR),
        Act::Out => {
            let saw = were.upto.map(Effect::Saw);
            model.were = None;
            return saw.into_iter().collect();
        }
        _ => *at,
    };
    vec![]
}
