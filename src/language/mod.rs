//! The formula language: `syntax` (text to tree) → `check` (dimension, kind, unit, roles) → `work` (numbers).
//!
//! Always: each station returns a result and a list of faults, never one or the other; no station calls the one after it.
//! Not known here: workbooks. What a name means is asked through `check::Scope`.

pub mod syntax;
pub mod functions;
pub mod check;
pub mod work;
