//! Pointer and keys, in the order they came.
//!
//! The grid takes the keys of a frame before its places are pressed, so a press and the letters after it, or letters that wait and
//! the press after them, may not come in one frame: the letters would go where the choice was before.
//!
//! Always: nothing overtakes anything, and nothing is lost.
//! Not known here: what is pressed, what the keys mean.

use std::collections::VecDeque;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use eframe::egui::{Context, Event, Plugin, RawInput};

use super::typing::is_typed;

/// What the window and its order know of each other.
#[derive(Clone, Debug, Default)]
pub struct Turn {
    /// Keys wait in the window: a press has to wait behind them.
    keys_wait: Arc<AtomicBool>,
    /// Something waits here.
    waits: Arc<AtomicBool>,
}

impl Turn {
    /// Says whether keys wait in the window.
    pub fn keys_wait(&self, wait: bool) {
        self.keys_wait.store(wait, Ordering::Relaxed);
    }

    /// Whether something came that the window has not seen.
    pub fn waits(&self) -> bool {
        self.waits.load(Ordering::Relaxed)
    }
}

/// Hands the window what came, as much of it at once as cannot change places.
#[derive(Debug, Default)]
pub struct Order {
    turn: Turn,
    coming: VecDeque<Event>,
}

impl Order {
    /// Beside a window.
    pub fn beside(turn: &Turn) -> Order {
        Order {
            turn: turn.clone(),
            coming: VecDeque::new(),
        }
    }

    /// What a frame gets.
    fn next(&mut self) -> Vec<Event> {
        let keys_wait = self.turn.keys_wait.load(Ordering::Relaxed);
        let (mut pressed, mut typed, mut moved) = (false, false, false);
        let end = self.coming.iter().position(|event| match event {
            Event::PointerButton { pressed: true, .. } => {
                let waits = keys_wait || typed || pressed;
                pressed = true;
                waits
            }
            // What is drawn is drawn to its end before it is let go.
            Event::PointerButton { pressed: false, .. } => moved && !pressed,
            Event::PointerMoved(_) => {
                moved = true;
                false
            }
            event if is_typed(event) => {
                typed = true;
                pressed
            }
            _ => false,
        });
        self.coming.drain(..end.unwrap_or(self.coming.len())).collect()
    }
}

impl Plugin for Order {
    fn debug_name(&self) -> &'static str {
        "order of pointer and keys"
    }

    fn input_hook(&mut self, ctx: &Context, input: &mut RawInput) {
        for event in std::mem::take(&mut input.events) {
            // Of a long way only its end is of use.
            if let (Event::PointerMoved(_), Some(Event::PointerMoved(_))) = (&event, self.coming.back()) {
                let _ = self.coming.pop_back();
            }
            self.coming.push_back(event);
        }
        input.events = self.next();
        self.turn.waits.store(!self.coming.is_empty(), Ordering::Relaxed);
        if !self.coming.is_empty() {
            ctx.request_repaint();
        }
    }
}
