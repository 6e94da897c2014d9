//! Whether anything can have changed since the lines in sight were read: while nothing comes in, they stand as they were read last.
//!
//! Always: whatever comes in or is done is stirring, and so is the frame after it, in which what was done is drawn.
//! Not known here: what is read, and what comes in.

use eframe::egui;

/// Frames without anything new before what was read stands: one draws what was done in the last, one what came of drawing it.
const ENOUGH: u8 = 2;

/// For how many frames nothing came in and nothing was done.
#[derive(Clone, Copy, Debug, Default)]
pub struct Calm(u8);

impl Calm {
    /// Something was done or has arrived.
    pub fn stir(&mut self) {
        self.0 = 0;
    }

    /// A frame begins; `still`: nothing came in with it.
    pub fn begin(&mut self, still: bool) {
        self.0 = if still { self.0.saturating_add(1) } else { 0 };
    }

    /// Whether what was read last stands.
    pub fn stands(self) -> bool {
        self.0 > ENOUGH
    }
}

/// Whether something moves the pointer alone.
fn is_move(event: &egui::Event) -> bool {
    use egui::Event::{MouseMoved, PointerGone, PointerMoved};
    matches!(event, PointerMoved(_) | MouseMoved(_) | PointerGone)
}

/// Whether nothing comes in with a frame but moves of the pointer.
pub fn is_still(ctx: &egui::Context) -> bool {
    ctx.input(|input| input.events.iter().all(is_move) && input.raw.dropped_files.is_empty())
}

/// Whether a hand draws something, or something still glides from it.
pub fn is_in_hand(ctx: &egui::Context) -> bool {
    ctx.input(|input| input.pointer.any_down() || input.smooth_scroll_delta() != egui::Vec2::ZERO)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Begins a frame with some events, as a window does; whether nothing comes in with it, and whether a hand is in it.
    fn frame(ctx: &egui::Context, events: Vec<egui::Event>) -> (bool, bool) {
        let input = egui::RawInput {
            events,
            ..egui::RawInput::default()
        };
        let mut told = (false, false);
        let mut drawn = ctx.run_ui(input, |ui| told = (is_still(ui.ctx()), is_in_hand(ui.ctx())));
        drawn.textures_delta.clear();
        told
    }

    /// A frame draws what was done in the last one, and one more what came of drawing it: the third without anything new stands.
    #[test]
    fn what_was_read_stands_from_the_third_frame_on() {
        let mut calm = Calm::default();
        let mut stands = |still: bool| {
            calm.begin(still);
            calm.stands()
        };
        assert_eq!([true, true, true, true].map(&mut stands), [false, false, true, true]);
        assert_eq!([false, true, true, true].map(&mut stands), [false, false, false, true]);
        calm.stir();
        assert!(!calm.stands());
    }

    /// A pointer that goes over the window brings nothing; a button, a key and a file that falls on it do.
    #[test]
    fn a_pointer_that_goes_over_brings_nothing() {
        let ctx = egui::Context::default();
        let at = egui::pos2(5.0, 5.0);
        let button = |pressed| egui::Event::PointerButton {
            pos: at,
            button: egui::PointerButton::Primary,
            pressed,
            modifiers: egui::Modifiers::NONE,
        };
        assert_eq!(frame(&ctx, Vec::new()), (true, false));
        assert_eq!(frame(&ctx, vec![egui::Event::PointerMoved(at)]), (true, false));
        assert_eq!(frame(&ctx, vec![egui::Event::Text("5".to_owned())]), (false, false));
        assert_eq!(frame(&ctx, vec![button(true)]), (false, true));
        // What is held is drawn on by moves alone.
        assert_eq!(frame(&ctx, vec![egui::Event::PointerMoved(at)]), (true, true));
        assert_eq!(frame(&ctx, vec![button(false)]), (false, false));
    }
}
