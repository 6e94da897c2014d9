//! Fault codes of units and their text.

codes! {
    UNKNOWN_UNIT = "unknown-unit", Error,
        "No unit of this name is known.",
        "15 kv", "15 kV";
}
