//! How a value is shown: digits, rounding half away from zero, digit groups, unit.
//!
//! For: screen, terminal, files. Rounding happens here and nowhere else.
//! Not known here: where it is shown.
