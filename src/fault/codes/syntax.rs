//! Fault codes of how a formula or a line is written.

codes! {
    EXPECTED = "expected", Error,
        "The text breaks off or goes on with something that cannot stand there.",
        "work x = 2 * ", "work x = 2 * 3";
    TOO_LONG = "too-long", Error,
        "A formula may have 8000 bytes, 200 levels of brackets and 1000 operators.",
        "an endless formula", "the same in named steps";
}
