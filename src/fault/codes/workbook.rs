//! Fault codes of the text of a workbook.

codes! {
    DEFINED_TWICE = "defined-twice", Error,
        "A name may stand for one quantity of a sheet only.",
        "given f = 50 Hz, twice", "two names";
}
