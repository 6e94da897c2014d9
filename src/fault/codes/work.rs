//! Fault codes of working a checked formula with numbers.

codes! {
    DIVISION_BY_ZERO = "division-by-zero", Error,
        "A divisor is zero for this item.",
        "1 / 0", "1 / 2";
}
