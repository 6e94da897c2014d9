//! Fault codes of equipment lists from outside.

codes! {
    NO_MOTOR_TABLE = "no-motor-table", Error,
        "No table of motors was found in the file.",
        "a list of invoices", "a list with a rating, a speed or a current for each motor";
}
