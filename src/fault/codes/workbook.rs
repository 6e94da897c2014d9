//! Fault codes of the text of a workbook.
//!
//! The examples are lines of a workbook; where one does not begin with `polepair`, the lines of a small sheet stand around it.

codes! {
    NOT_TEXT = "not-text", Error,
        "The file is not a text in UTF-8, so it cannot be a workbook.",
        "a picture renamed to .pole", "polepair 1";
    NO_VERSION = "no-version", Error,
        "A workbook begins with the line `polepair 1`, which says how its text is to be read.",
        "workbook \"Pumps\"", "polepair 1\nworkbook \"Pumps\"";
    OTHER_VERSION = "other-version", Error,
        "The workbook is written in a version of the text form that this program does not know.",
        "polepair 7", "polepair 1";
    UNKNOWN_STATEMENT = "unknown-statement", Error,
        "A line begins with a word that says what it is: given, work, seek, check and so on.",
        "wrok P = 2 kW", "work P = 2 kW";
    LINE_MISPLACED = "line-misplaced", Error,
        "The line is fine, but it cannot stand here: quantities belong to a sheet, rows to a list, cases to a worked sheet.",
        "rows tag | P", "given P = 2 kW";
    CLAUSE_TWICE = "clause-twice", Error,
        "Each part of a line may stand once.",
        "work P = 2 kW in kW in hp", "work P = 2 kW in hp";
    CLAUSE_MISPLACED = "clause-misplaced", Error,
        "A part of the line does not go with its first word: a source belongs to a given, an equation to a seek.",
        "work P = 2 kW measured", "given P = 2 kW measured";
    CLAUSE_MISSING = "clause-missing", Error,
        "The line lacks what its first word promises: a work needs a formula, a seek an equation.",
        "work P in kW", "work P = 2 kW in kW";
    UNKNOWN_KIND = "unknown-kind", Error,
        "The words after the colon are no kind of the table.",
        "given P = 2 kW : shaft powr", "given P = 2 kW : shaft power";
    DEFINED_TWICE = "defined-twice", Error,
        "A name may stand for one quantity of a sheet only.",
        "given P = 2 kW\ngiven P = 3 kW", "given P = 2 kW\ngiven P_2 = 3 kW";
    CASE_COUNT = "case-count", Error,
        "A quantity has one value for all cases or one for each case.",
        "cases winter | summer\ngiven P = 2 kW | 3 kW | 4 kW", "cases winter | summer\ngiven P = 2 kW | 3 kW";
    ROUNDING = "rounding", Error,
        "A result is shown with 1 to 28 digits, or to a step larger than zero.",
        "work P = 2 kW to 0 digits", "work P = 2 kW to 3 digits";
    CELL_COUNT = "cell-count", Error,
        "A row has one cell for each column that the `rows` line names.",
        "list motors\ngiven tag : text\ngiven P in kW\nrows tag | P\n\"P-1\" | 2 kW | 3 kW",
        "list motors\ngiven tag : text\ngiven P in kW\nrows tag | P\n\"P-1\" | 2 kW";
    CELL_SORT = "cell-sort", Error,
        "The cell holds something else than its column: a number in a column of texts, a text in a column of numbers.",
        "list motors\ngiven tag : text\ngiven P in kW\nrows tag | P\n\"P-1\" | \"two\"",
        "list motors\ngiven tag : text\ngiven P in kW\nrows tag | P\n\"P-1\" | 2 kW";
    UNKNOWN_COLUMN = "unknown-column", Error,
        "The `rows` line names a column that is no given of the list.",
        "list motors\ngiven tag : text\nrows tga\n\"P-1\"", "list motors\ngiven tag : text\nrows tag\n\"P-1\"";
    UNKNOWN_ITEM = "unknown-item", Error,
        "No row of the list has this key or number.",
        "list motors\ngiven tag : text\ngiven P in kW\nrows tag\n\"P-1\"\nat \"P-2\" P = 3 kW",
        "list motors\ngiven tag : text\ngiven P in kW\nrows tag\n\"P-1\"\nat \"P-1\" P = 3 kW";
    UNKNOWN_CODE = "unknown-code", Error,
        "`accept` names a warning by its code.",
        "accept look-alik \"both are wanted\"", "accept look-alike \"both are wanted\"";
    LOOK_ALIKE = "look-alike", Warning,
        "Two names of the sheet look the same but are written with letters of different alphabets.",
        "given P = 2 kW\ngiven Ρ = 3 kW", "given P = 2 kW\ngiven P_2 = 3 kW";
    CHANGE_REFUSED = "change-refused", Error,
        "The change cannot be made: what it is about is not there, or a name is taken.",
        "rename P to Q where Q exists", "rename P to P_2";
}
