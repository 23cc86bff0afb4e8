//! The whole screen, drawn from the model. Nothing here changes it.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::keys::{self, Act, Binding, Place};
use super::look::{Meaning, style};
use super::model::{Model, Page};
use super::msg::Target;
use super::pen::{Drawn, Pen, row, stretch};
use super::views;

/// The least size at which the pages make sense.
pub const LEAST: (u16, u16) = (40, 10);

/// Draws the model; gives back what can be pressed, and the cursor.
pub fn view(model: &Model, buf: &mut Buffer) -> Drawn {
    let area = *buf.area();
    let mut pen = Pen::new(buf);
    if area.width < LEAST.0 || area.height < LEAST.1 {
        let text = format!("Make the window {}x{} or larger; nothing is lost.", LEAST.0, LEAST.1);
        for (at, line) in super::parts::cells::wrap(&text, usize::from(area.width)).iter().enumerate() {
            pen.line(row(area, at as u16), line, Meaning::Plain);
        }
        return pen.drawn;
    }
    let foot = row(area, area.height - 1);
    let body = Rect { height: area.height - 1, ..area };
    if let Some((were, scroll)) = &model.were {
        views::were::draw(model, were, *scroll, body, &mut pen);
    } else if let Some(scroll) = model.help {
        views::help::draw(model, scroll, body, &mut pen);
    } else if let Some(sum) = &model.sum {
        views::stores::draw_sum(sum, body, &mut pen);
    } else if let Some(form) = model.form.as_ref().filter(|f| f.is_long()) {
        views::form::draw_page(form, model, body, &mut pen);
    } else {
        // What lies under a form stays in sight: half of it, or the ladder's
        // nine stages and the heading.
        let most = (body.height / 2).max(body.height.saturating_sub(10));
        let height = model.form.as_ref().map_or(0, |f| views::form::height(f, model, body.width).min(most));
        let above = Rect { height: body.height - height, ..body };
        match &model.page {
            Page::Row(page) => views::row::draw(model, page, above, &mut pen),
            Page::House(page) => views::house::draw(model, page, above, &mut pen),
            Page::DayBook(page) => views::daybook::draw(model, page, above, &mut pen),
            Page::Stores(page) => views::stores::draw(model, page, above, &mut pen),
            Page::Days(page) => match page.crews {
                Some(shown) => views::crews::draw(model, shown, above, &mut pen),
                None => views::days::draw(model, page, above, &mut pen),
            },
            Page::Pieces(page) => views::pieces::draw(model, page, above, &mut pen),
            Page::Holds(page) => views::holds::draw(model, page, above, &mut pen),
        }
        if let Some(form) = &model.form {
            let under = Rect { y: above.bottom(), height, ..body };
            views::form::draw_panel(form, model, under, &mut pen);
        }
    }
    foot_line(model, foot, &mut pen);
    pen.drawn
}

/// The keys of the place, from the one table, as many as there is room for in
/// its order. The way out and the list of all keys always have their place.
fn foot_line(model: &Model, area: Rect, pen: &mut Pen<'_>) {
    let place = model.place();
    let wide = |b: &Binding| (b.shown.len() + 1 + b.foot.len()) as u16;
    let always = |b: &Binding| match b.act {
        Act::Help | Act::Out => true,
        Act::Leave => matches!(place, Place::Row | Place::House),
        _ => false,
    };
    let shown: Vec<&Binding> =
        keys::of(place).filter(|b| !b.foot.is_empty() && is_of_use(model, b.act)).collect();
    let mut kept_free: u16 = shown.iter().filter(|b| always(b)).map(|b| wide(b) + 2).sum();
    let mut at = 1;
    for binding in shown {
        if always(binding) {
            kept_free -= wide(binding) + 2;
        }
        if at + wide(binding) + kept_free > area.width {
            continue;
        }
        pen.styled(stretch(area, at, binding.shown.len() as u16), binding.shown, style(Meaning::Key));
        let word = stretch(area, at + binding.shown.len() as u16 + 1, binding.foot.len() as u16);
        pen.line(word, binding.foot, Meaning::Quiet);
        pen.target(stretch(area, at, wide(binding)), Target::Key(binding.code));
        at += wide(binding) + 2;
    }
}

/// Whether a key does something where the page stands.
fn is_of_use(model: &Model, act: Act) -> bool {
    if model.place() == Place::Help {
        return act != Act::Forth || model.help.is_some();
    }
    let Page::House(page) = &model.page else { return true };
    let stage = page.house.as_ref().and_then(|house| house.stages.get(page.stage)).map(|now| now.stage.id);
    match act {
        Act::Moved => stage == Some("set-out"),
        Act::LayRow => page.slope().is_some(),
        _ => true,
    }
}
