//! Fault codes of how a formula or a line is written.

codes! {
    EXPECTED = "expected", Error,
        "The text breaks off or goes on with something that cannot stand there.",
        "2 * ", "2 * 3";
    TOO_LONG = "too-long", Error,
        "A formula may have 8000 bytes, 200 levels of brackets and 1000 operators, so that it can be read and signed by a person.",
        "√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√√16", "√16";
    NUMBER_FORM = "number-form", Error,
        "Numbers have digits on both sides of a decimal point and nothing between the digits: 1.5, 0.5, 1200.",
        "1,5 kW", "1.5 kW";
    NUMBER_SIZE = "number-size", Error,
        "A number may have 28 digits and be as large as 7.9e28.",
        "1e40", "1e20";
    FRACTION = "fraction", Error,
        "A fraction before a unit can be read in two ways, so a formula takes decimals only.",
        "3/4 in", "0.75 in";
    GLUED_TO_UNIT = "glued-to-unit", Error,
        "Symbols joined to a unit without blanks belong to the unit; a name does not.",
        "15 kW/eta", "15 kW / eta";
    OPERATOR_FORM = "operator-form", Error,
        "The operator is written in another way here.",
        "a == b", "a = b";
    UNCLOSED_TEXT = "unclosed-text", Error,
        "A text in quotes ends with a quote sign on the same line.",
        "\"star", "\"star\"";
    UNCLOSED_BRACKET = "unclosed-bracket", Error,
        "Every opened bracket is closed.",
        "2 * (a + b", "2 * (a + b)";
    TEXT_ESCAPE = "text-escape", Error,
        "In a text a backslash stands before a quote sign, a backslash or an n (new line) only.",
        "\"C:\\motors\"", "\"C:\\\\motors\"";
    MISPLACED_COMMA = "misplaced-comma", Error,
        "Commas stand between the arguments of a function and between the arms of a choice only.",
        "(1, 2) + 3", "(1 + 2) + 3";
    GATHERS_ROWS = "gathers-rows", Error,
        "sum, mean, only and first gather the rows of a list and need to be told which.",
        "sum(P_in)", "sum(P_in for motors)";
}
