//! What is told of a place of the grid where the pointer rests on it.
//!
//! Always: it goes as soon as one types, and comes again when the pointer moves; what is told of a heading or a margin covers no
//! values.
//! Not known here: the words.

use eframe::egui::{Context, Event, Id, RectAlign, Response, Tooltip};

fn typed_id() -> Id {
    Id::unique("typed last")
}

/// Notes that something was typed in this frame.
pub fn note_typing(ctx: &Context) {
    let typed = ctx.input(|input| {
        let keys = |event: &Event| {
            matches!(
                event,
                Event::Text(_) | Event::Paste(_) | Event::Key { pressed: true, .. }
            )
        };
        input.events.iter().any(keys).then_some(input.time)
    });
    if let Some(time) = typed {
        ctx.data_mut(|data| data.insert_temp(typed_id(), time));
    }
}

/// Whether something was typed since the pointer moved.
fn typed_since(ctx: &Context) -> bool {
    let Some(typed): Option<f64> = ctx.data(|data| data.get_temp(typed_id())) else {
        return false;
    };
    ctx.input(|input| input.time - typed <= f64::from(input.pointer.time_since_last_movement()))
}

fn told(response: &Response, words: &str, align: RectAlign) {
    if typed_since(&response.ctx) {
        return;
    }
    let mut tooltip = Tooltip::for_enabled(response);
    tooltip.popup = tooltip.popup.align(align);
    let _ = tooltip.show(|ui| ui.label(words));
}

/// Over it, where a title is and no value.
pub fn above(response: &Response, words: &str) {
    told(response, words, RectAlign::TOP_START);
}

/// At its left, where there is a margin and no value.
pub fn beside(response: &Response, words: &str) {
    told(response, words, RectAlign::LEFT);
}

/// Under it.
pub fn below(response: &Response, words: &str) {
    told(response, words, RectAlign::BOTTOM_START);
}
