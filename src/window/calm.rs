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
