//! Fault codes of dimension, kind and role of a formula.

codes! {
    UNKNOWN_NAME = "unknown-name", Error,
        "No quantity, function or definition of this name can be reached from here.",
        "work x = P_shaf * 2", "work x = P_shaft * 2";
}
