//! The one list of commands: word, line of help, what it does, examples.
//!
//! For: `--help`, the README and the tests, which walk the list.

/// What is told about a command.
#[derive(Debug)]
pub struct CommandEntry {
    /// The word.
    pub word: &'static str,
    /// How it is called.
    pub usage: &'static str,
    /// One line.
    pub line: &'static str,
    /// What it does and what it gives back, in a few sentences.
    pub about: &'static str,
    /// Examples: a command and what it is good for.
    pub examples: &'static [(&'static str, &'static str)],
}

/// All commands.
pub static COMMANDS: &[CommandEntry] = &[
    CommandEntry {
        word: "work",
        usage: "polepair work FILE.pole [--trace] [--json]",
        line: "Work a workbook: values, checks, faults",
        about: "Works every sheet and list of a workbook and prints it as a page: what was given and where it comes from, what was \
                worked, whether the checks hold and by which margin, and every fault with its line and what to try. A faulty line \
                stops only what needs it.\n\nStatus 0: all well, warnings included. 1: a check does not hold or is in doubt. 2: the workbook has \
                faults. 3: the file could not be read. The highest applies. A check that cannot be worked because data are missing \
                is shown as not worked and does not change the status.",
        examples: &[
            (
                "polepair work workbooks/conveyor-drive.pole",
                "the page, for reading and signing",
            ),
            (
                "polepair work workbooks/conveyor-drive.pole --trace",
                "also the way to every result: formula, numbers with units, inputs it rests on",
            ),
            (
                "polepair work workbooks/small-motor.pole --json",
                "one JSON object for other programs",
            ),
        ],
    },
    CommandEntry {
        word: "import",
        usage: "polepair import LIST [--to F.pole] [--report R.json|txt] [--export OUT.xlsx] [--sheet NAME] [--map FILE] [--words FILE] [--write-map FILE]",
        line: "Read an equipment list and work its load columns",
        about: "Finds the table of motors in an xlsx, xls, ods or csv file, understands its headings and units, and works \
                synchronous speed, rated slip, rated torque and the load of each motor by every method its readings allow. What \
                cannot be trusted is refused with the reason. Every row of the list is accounted for. The list itself is never \
                changed.\n\nWhere a heading was misread, --write-map FILE keeps what every column was taken for as a small text \
                file; change a line, and --map FILE reads this list and the next ones of the same origin as it says. --words FILE adds \
                words that your lists use. Of several sheets with motors the one with the most is read and the others are named; --sheet NAME \
                reads another.\n\nWhere F.pole is there already, the newer list goes into it: what was typed since is \
                kept, and what changed, came and went is told.\n\nStatus 0: all well, doubts included. 2: the workbook made from the list has faults. 3: the file could not be \
                read or written, or no table of motors was found (the report is still written).",
        examples: &[
            (
                "polepair import motors.xlsx",
                "what was understood, what is doubtful, the loads",
            ),
            (
                "polepair import motors.xlsx --export motors-with-load.xlsx",
                "the same list with load columns beside the originals",
            ),
            (
                "polepair import motors.csv --to motors.pole --report motors.json",
                "a workbook to go on with, and all readings with their doubts",
            ),
        ],
    },
    CommandEntry {
        word: "export",
        usage: "polepair export FILE.pole --to OUT.xlsx|csv|json",
        line: "Write a worked workbook for other programs",
        about: "Works a workbook and writes it as a table or as JSON; the ending of OUT decides which. A list that was read from an \
                xlsx file is given back as that file with the worked columns added and everything else untouched, as long as the \
                file is still there and unchanged. Where values rest on tolerances, their limits stand beside them in columns \
                named low and high.\n\nStatus as for work; 3 also when OUT could not be written.",
        examples: &[
            (
                "polepair export workbooks/conveyor-drive.pole --to conveyor-drive.xlsx",
                "a table to hand on",
            ),
            (
                "polepair export workbooks/small-motor.pole --to small-motor.csv",
                "plain text, one table after the other",
            ),
        ],
    },
    CommandEntry {
        word: "tidy",
        usage: "polepair tidy FILE.pole [--check]",
        line: "Bring the text of a workbook into its one canonical form",
        about: "Rewrites the file in place: indent, blanks, the order of clauses and the spelling of units become one, comments \
                and order stay. Formulas stay as typed. A line with a fault is kept as it is, letter by letter. Doing it twice \
                changes nothing more.\n\nWith --check nothing is \
                written; the lines that would change are shown, and the status is 1 when there are any. \
                Status 2: lines have faults. 3: the file could not be read or written.",
        examples: &[
            ("polepair tidy workbooks/small-motor.pole", "rewrite in place"),
            (
                "polepair tidy workbooks/small-motor.pole --check",
                "only say what would change",
            ),
        ],
    },
    CommandEntry {
        word: "calc",
        usage: "polepair calc \"EXPRESSION\"",
        line: "Work one expression, units included",
        about: "Works one expression of the language with its units and functions, without a workbook. Put it in quotes, so that the \
                shell leaves it alone. A shown value has four significant digits; when it is rounded, the unrounded one \
                follows.\n\nStatus 0: worked. 2: the expression has a fault.",
        examples: &[
            (
                "polepair calc \"60 Hz / (4 pole) in r/min\"",
                "synchronous speed: 1800 r/min",
            ),
            ("polepair calc \"15 kW / (1465 r/min) in N·m\"", "torque at the shaft"),
            ("polepair calc \"7.5 hp in kW\"", "another unit"),
        ],
    },
    CommandEntry {
        word: "units",
        usage: "polepair units [WORD]",
        line: "Look up units and kinds of quantities",
        about: "Lists the units whose symbol, other spelling, name or kind holds WORD, with their exact factor and its source, and the \
                kinds of quantities with their usual units. Without WORD it lists all.",
        examples: &[
            ("polepair units torque", "all units of torque"),
            ("polepair units hp", "which horsepower is which"),
        ],
    },
    CommandEntry {
        word: "tables",
        usage: "polepair tables [WORD]",
        line: "Look up published tables: ratings, currents, efficiency, torque, tolerances",
        about: "Lists the published tables whose name, title, edition or columns hold WORD, and prints the one that is named: title, \
                edition, source, what was read and what is from memory, what stands between two rows, columns with units, rows. In a \
                formula a table is a read-only list: `only(I for nec_430_250 where P = 50 hp and V = 460 V)`, \
                `next_up(I for nec_430_250 at P = 45 hp where V = 460 V)`. Rows from memory have to be checked against the standard. \
                Schedules of tolerances, written behind a value as `93 % ± iec_60034_1(P_r)`, stand with their tables.",
        examples: &[
            ("polepair tables efficiency", "which tables of efficiency there are"),
            (
                "polepair tables nec_430_250",
                "full-load currents, as a formula reads them",
            ),
        ],
    },
    CommandEntry {
        word: "explain",
        usage: "polepair explain CODE",
        line: "Say what a fault means, what a function does, what a schedule allows",
        about: "Every fault carries a code in words. This tells what it means, shows a text that raises it, and the same text put right. \
                The name of a function or motor formula tells its arguments, formula, example and source; the name of a schedule \
                of tolerances what it allows for each kind; another word lists the functions and schedules that speak of it.",
        examples: &[
            ("polepair explain unknown-name", "about a name that is not known"),
            ("polepair explain run_up_time", "about a function of the library"),
            ("polepair explain hoist", "all functions that speak of hoists"),
            (
                "polepair explain iec_60034_1",
                "a schedule of tolerances, for ± behind a value",
            ),
        ],
    },
];

/// The entry of a word.
pub fn find(word: &str) -> Option<&'static CommandEntry> {
    COMMANDS.iter().find(|entry| entry.word == word)
}
