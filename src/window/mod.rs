//! The window: a grid people like to work in, over a session.
//!
//! For: `polepair` and `polepair FILE.pole`.
//! Always: a frame reads an unchanging result, draws, and collects commands; commands run after drawing, on another thread.
//! Nothing is computed here: every value comes from the session, every change goes through it. How a sheet is arranged
//! (order, rows in sight, hidden, pinned, widths) is not saved, and taken back in one line with the changes; what is looked at
//! (choice, scroll, half-typed text) is neither.
//! Not known here: how anything is worked.

pub mod look;
mod hint;
mod calm;
pub mod command;
mod library;
mod comma;
pub mod spot;
mod emptied;
mod whole;
mod live;
pub mod offers;
pub mod arrange;
mod renames;
mod wrong;
mod steps;
mod clip;
mod daylight;
mod table;
mod lent;
mod unknown;
mod pasted;
mod over;
mod headed;
mod many;
mod copied;
mod moved;
mod paper;
mod plated;
mod sheets;
mod twice;
mod commas;
mod conditions;
mod groups;
mod maps;
mod newer;
mod untaken;
pub mod door;
pub mod typing;
mod order;
pub mod grid;
mod habits;
mod last;
mod lefts;
pub mod panels;
mod readings;
pub mod start;
mod app;

pub use app::{Asked, SystemDialog, Window, run};
