//! The one list of commands: word, keys, help. Menus, the keyboard list, the search for commands and the tests read it.
//!
//! Always: every command has a word of its own and a line of help; no two share keys.
//! Not known here: what a command does.

use eframe::egui::{Key, KeyboardShortcut, Modifiers};

/// Where a command stands in the menus.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Group {
    /// Files.
    Workbook,
    /// Typing and taking back.
    Typing,
    /// Quantities, rows, cases, sheets.
    Lines,
    /// Order and choice of what is seen.
    Arrange,
    /// Panels and look.
    Look,
}

impl Group {
    /// All groups in the order of the menus.
    pub const ALL: [Group; 5] = [
        Group::Workbook,
        Group::Typing,
        Group::Lines,
        Group::Arrange,
        Group::Look,
    ];

    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            Group::Workbook => "Workbook",
            Group::Typing => "Typing",
            Group::Lines => "Quantities and rows",
            Group::Arrange => "Arrange",
            Group::Look => "Look",
        }
    }
}

/// A command.
#[derive(Clone, Copy, Debug)]
pub struct Command {
    /// What it does.
    pub act: Act,
    /// Its menu.
    pub group: Group,
    /// Its word.
    pub word: &'static str,
    /// Its keys.
    pub keys: Option<KeyboardShortcut>,
    /// One line of help.
    pub help: &'static str,
    /// Further words of plain language by which it is looked for.
    pub also: &'static str,
}

impl Command {
    /// How well it answers to a text in small letters: 0 by its whole word, 1 by a part of it, 2 by a further word, 3 by its help, 4 by
    /// words that stand apart from one another.
    pub fn answers(&self, wanted: &str) -> Option<u8> {
        let texts = [self.word, self.also, self.help].map(str::to_lowercase);
        if texts.first().is_some_and(|word| word == wanted) {
            return Some(0);
        }
        if let Some(at) = texts.iter().position(|text| text.contains(wanted)) {
            return u8::try_from(at + 1).ok();
        }
        let apart = |word: &str| texts.iter().any(|text| text.contains(word));
        wanted.split_whitespace().all(apart).then_some(4)
    }
}

const NONE: Modifiers = Modifiers::NONE;
const CTRL: Modifiers = Modifiers::COMMAND;
const SHIFT: Modifiers = Modifiers::SHIFT;
const ALT: Modifiers = Modifiers::ALT;
const ALT_SHIFT: Modifiers = Modifiers::ALT.plus(Modifiers::SHIFT);
const CTRL_SHIFT: Modifiers = Modifiers::COMMAND.plus(Modifiers::SHIFT);

const fn on(modifiers: Modifiers, key: Key) -> Option<KeyboardShortcut> {
    Some(KeyboardShortcut::new(modifiers, key))
}

macro_rules! commands {
    ($($group:ident { $($act:ident $word:literal $keys:expr, $help:literal $(also $also:literal)?;)* })*) => {
        /// What can be asked for.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
        pub enum Act {$($(
            #[doc = $help]
            $act,
        )*)*}

        /// All commands in the order of the menus.
        pub static COMMANDS: &[Command] = &[$($(
            Command { act: Act::$act, group: Group::$group, word: $word, keys: $keys, help: $help, also: concat!("" $(, $also)?) },
        )*)*];
    };
}

commands! {
    Workbook {
        Start "First page" None, "Shows the first page: shipped workbooks, the last files, a list to read." also "examples, samples, recent, welcome, home";
        NewWorkbook "Empty workbook" on(CTRL, Key::N), "Begins an empty workbook with one worked sheet." also "new, create, blank";
        Open "Open…" on(CTRL, Key::O), "Opens a workbook file." also "load";
        Save "Save" on(CTRL, Key::S), "Writes the workbook to its file." also "store, write";
        SaveAs "Save under another name…" on(CTRL_SHIFT, Key::S), "Writes the workbook to another file and goes on with that." also "save as, copy of the file";
        Import "Read an equipment list…" on(CTRL, Key::I), "Reads motors from an xlsx, xls, ods or csv file; the file itself stays as it is." also "import, load a spreadsheet, table";
        Newer "Read the list again…" on(CTRL_SHIFT, Key::I), "Reads the list of this workbook as it is now, or a newer one; what was typed since stays." also "refresh, update, reload";
        KeptMap "Read with a kept map…" None, "Reads the list of this workbook again, its columns as a column map says that was kept of a list of the same origin." also "column map, columns, headings";
        TakeKept "Take the kept work" on(ALT, Key::K), "Takes the work that a window kept when it ended without saving." also "recover, restore, crash, lost, autosave";
        Export "Hand over…" on(CTRL, Key::E), "Writes the worked values to xlsx, csv or json." also "export, spreadsheet, print, share";
        Close "Close" on(CTRL, Key::Q), "Closes the window." also "quit, exit, leave";
    }
    Typing {
        Undo "Take back" on(CTRL, Key::Z), "Takes the last change back." also "undo, revert, back";
        Redo "Do again" on(CTRL_SHIFT, Key::Z), "Does again what was taken back." also "redo, repeat";
        Edit "Type here" on(NONE, Key::F2), "Opens the chosen place with the text as it was typed." also "edit, change";
        EditLine "Type the whole line" on(SHIFT, Key::F2), "Opens the whole line of the quantity: value, unit, kind, title, source." also "edit the line, statement, declaration";
        Copy "Copy" on(CTRL, Key::C), "Copies the chosen places with their units, for here and for other programs." also "clipboard";
        Cut "Cut" on(CTRL, Key::X), "Copies the chosen places and empties them. A line, row, column or case that is chosen as a whole stays until it is pasted: there it is moved." also "move, take along";
        Paste "Paste" on(CTRL, Key::V), "Types what was copied from the chosen place on; whole lines that were copied, and what was cut as a whole, go before it." also "insert, clipboard";
        ChooseColumn "Choose the column" on(ALT, Key::C), "Chooses the column of the chosen place, from its first row to its last; Shift with the arrows goes on. Its heading pressed does the same." also "select column, whole column";
        ChooseLine "Choose the line" on(ALT, Key::L), "Chooses the line or the row of the chosen place with all its columns; Shift with the arrows goes on. Its margin pressed does the same." also "select row, whole row";
        ChooseAll "Choose all" on(CTRL, Key::A), "Chooses every place of the sheet, or every row of the list." also "select all, mark all";
        FillDown "Fill down" on(CTRL, Key::D), "Types the first of the chosen places into those under it; of the cases of one line, into those at its right." also "copy down, repeat, extend";
        Clear "Empty" on(NONE, Key::Delete), "Empties the chosen places." also "delete, erase, remove, blank";
        Rename "Rename" on(NONE, Key::F6), "Gives the quantity another symbol; every formula follows." also "name, symbol";
        Role "Given or worked" on(ALT, Key::R), "Makes a given a worked quantity, or the other way round." also "input, result, switch";
        Find "Find" on(CTRL, Key::F), "Finds a text in symbols, labels and values." also "search, look for";
        FindNext "Find the next" on(NONE, Key::F3), "Goes to the next place with the text.";
    }
    Lines {
        Insert "Insert before" on(ALT, Key::Insert), "Puts a new quantity or row before the chosen one." also "add, new row, new quantity, column";
        InsertAfter "Insert after" on(NONE, Key::Insert), "Puts a new quantity or row after the chosen one." also "add, new row, new quantity, column";
        CopyLines "Copy of the line" on(CTRL_SHIFT, Key::D), "Puts a copy of the chosen quantities or rows behind them, with names of their own." also "duplicate, clone, repeat, twice";
        Delete "Delete what is chosen" on(CTRL, Key::Delete), "Takes the chosen quantities or rows away." also "remove, erase, row, column, line";
        MoveBack "Move back" on(ALT, Key::ArrowUp), "Moves the chosen quantity or row one place back." also "up, reorder";
        MoveOn "Move on" on(ALT, Key::ArrowDown), "Moves the chosen quantity or row one place on." also "down, reorder";
        InsertCase "New case" on(CTRL_SHIFT, Key::C), "Puts a new case after the chosen one: it begins with the values common to all cases, else with blanks. On a sheet without cases the values there are become the first one." also "add, variant, alternative, candidate";
        CopyCase "Copy of the case" None, "Puts a copy of the chosen case behind it, with all its own values." also "duplicate, clone, variant";
        DeleteCase "Delete the case" None, "Takes the chosen case away." also "remove";
        RenameCase "Rename the case" on(ALT, Key::F6), "Gives the chosen case another name; every formula follows.";
        CaseBack "Move the case back" on(ALT_SHIFT, Key::ArrowLeft), "Moves the chosen case one place back.";
        CaseOn "Move the case on" on(ALT_SHIFT, Key::ArrowRight), "Moves the chosen case one place on.";
        NewSheet "New sheet" on(CTRL_SHIFT, Key::N), "Puts a worked sheet behind this one." also "add a sheet, page";
        NewList "New list" on(CTRL_SHIFT, Key::L), "Puts an empty list behind this sheet." also "add a table";
        RenameSheet "Rename the sheet" on(SHIFT, Key::F6), "Gives the sheet or list another name; every formula follows.";
        TitleSheet "Title of the sheet" on(CTRL, Key::F6), "Gives the sheet or list another title in words." also "rename, caption, heading";
        TitleBook "Title of the workbook" on(CTRL_SHIFT, Key::F6), "Gives the workbook another title in words." also "rename, caption, heading";
        CopySheet "Copy of the sheet" None, "Puts a copy of the sheet or list behind it, under a name of its own." also "duplicate, clone, same drive with another motor";
        SheetBack "Move the sheet back" on(CTRL_SHIFT, Key::PageUp), "Moves the sheet or list one place back." also "up, reorder, order of sheets";
        SheetOn "Move the sheet on" on(CTRL_SHIFT, Key::PageDown), "Moves the sheet or list one place on." also "down, reorder, order of sheets";
        DeleteSheet "Delete the sheet" None, "Takes the whole sheet or list away." also "remove";
        NextSheet "Next sheet" on(CTRL, Key::PageDown), "Goes to the next sheet or list.";
        PreviousSheet "Previous sheet" on(CTRL, Key::PageUp), "Goes to the sheet or list before.";
    }
    Arrange {
        SortUp "Smallest first" on(ALT, Key::A), "Shows the rows by the chosen quantity, smallest first. The workbook stays as it is." also "sort, order, ascending, rank";
        SortDown "Largest first" on(ALT, Key::Z), "Shows the rows by the chosen quantity, largest first. The workbook stays as it is." also "sort, order, descending, rank";
        SortNone "In the order of the list" on(ALT, Key::O), "Shows the rows as they stand in the workbook." also "unsorted, original order";
        Filter "Only rows where…" on(ALT, Key::W), "Shows only rows for which a condition holds, such as: load > 100 %." also "filter, condition, choose rows";
        Group "Group with sums" on(ALT, Key::G), "Puts rows with the same value of the chosen quantity together, with sums under each group; the sums stand in a list of groups of their own behind this one. Once more: without groups." also "subtotals, totals, summary";
        Fold "Fold the group" on(ALT, Key::F), "Shows of the chosen group only its sums, or its rows again." also "collapse, expand, unfold";
        Headings "Headings" on(ALT, Key::E), "Unfolds or folds the lines over a list: label, symbol, unit, kind, source and formula of its columns." also "kind, source, formula, columns";
        Hide "Hide" on(ALT, Key::H), "Hides the chosen quantities." also "hide columns";
        ShowAll "Show all" on(ALT, Key::J), "Shows every quantity and every row again." also "unhide, without filter";
        Pin "Pin" on(ALT, Key::P), "Keeps the quantities up to the chosen one in sight, or lets them go." also "freeze, lock, fixed columns";
        Wider "Wider" on(ALT, Key::ArrowRight), "Makes the chosen column wider." also "width, column";
        Narrower "Narrower" on(ALT, Key::ArrowLeft), "Makes the chosen column narrower." also "width, column";
    }
    Look {
        Faults "Faults" on(NONE, Key::F7), "Faults and warnings, with what to try." also "errors, problems, mistakes";
        Lines "Lines" on(NONE, Key::F11), "Checks, flags, curves, plots, definitions and notes: typed, changed and taken away." also "statements, formulas, add a check, comment";
        Checks "Checks" on(NONE, Key::F8), "Checks with value, limit and margin." also "limits, requirements";
        Assumptions "Assumptions" on(NONE, Key::F9), "Everything that is assumed, in all sheets." also "guesses, estimates, sources";
        Curves "Curves" on(NONE, Key::F10), "The plots of the sheet." also "chart, graph, diagram";
        NextDoubt "Next doubt" on(SHIFT, Key::F4), "Goes to the next reading of the list that is doubted, the worst first." also "doubts, open readings, step through";
        Report "Reading of the list" on(NONE, Key::F4), "What was read from the list and what is doubtful." also "import report";
        Keys "Keys" on(NONE, Key::F1), "All commands with their keys." also "help, shortcuts, keyboard";
        Functions "Functions" on(NONE, Key::F12), "Functions, series, published tables and words of formulas, found by plain words; pressed, one is put into what is typed." also "library, reference, formulas, help, torque, breakdown, fan, load";
        IntoPanel "Into the panel" on(NONE, Key::F5), "Gives the keys to the open panel: Tab goes on, Enter presses, Esc goes back to the grid." also "focus";
        Wide "Wide panel" on(SHIFT, Key::F10), "Gives the open panel nearly the whole middle, or the grid its room back." also "enlarge, large plot, full screen, maximise";
        Commands "Search a command" on(CTRL, Key::K), "Finds a command by its words." also "help, menu";
        AsWritten "Units as written" on(ALT, Key::Num0), "Shows every value in the unit of its quantity.";
        InSi "Units: SI" on(ALT, Key::Num1), "Shows values in usual SI units. Only what is shown changes." also "metric, convert";
        InUs "Units: US customary" on(ALT, Key::Num2), "Shows values in US customary units. Only what is shown changes." also "imperial, inches, horsepower, convert";
        Night "Light or dark" on(ALT, Key::N), "Changes between light and dark." also "theme, colours, mode";
        Larger "Larger" on(CTRL, Key::Plus), "Makes everything larger." also "zoom in, bigger, font";
        Smaller "Smaller" on(CTRL, Key::Minus), "Makes everything smaller." also "zoom out, font";
        UsualSize "Usual size" on(CTRL, Key::Num0), "Gives everything its usual size." also "zoom, reset";
    }
}

/// The entry of a command.
pub fn of(act: Act) -> Option<&'static Command> {
    COMMANDS.iter().find(|command| command.act == act)
}

/// The word of a command where it is known what it acts on: `row`, `column`, `lines`. As in the list where that says nothing.
pub fn word_for(command: &Command, what: &str) -> String {
    match command.act {
        Act::Insert => format!("Insert a {} before", what.trim_end_matches('s')),
        Act::InsertAfter => format!("Insert a {} after", what.trim_end_matches('s')),
        Act::Delete => format!("Delete the {what}"),
        Act::CopyLines => format!("Copy of the {what}"),
        Act::MoveBack => format!("Move the {} back", what.trim_end_matches('s')),
        Act::MoveOn => format!("Move the {} on", what.trim_end_matches('s')),
        _ => command.word.to_owned(),
    }
}

/// The keys in words: `Ctrl+Shift+Z`.
pub fn keys(shortcut: &KeyboardShortcut) -> String {
    let names = eframe::egui::ModifierNames::NAMES;
    shortcut.format(&names, false)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_keys_and_acts_are_unique_and_all_have_help() {
        for (index, command) in COMMANDS.iter().enumerate() {
            assert!(
                command.help.ends_with('.') || command.help.ends_with('%'),
                "{}",
                command.word
            );
            for other in COMMANDS.iter().skip(index + 1) {
                assert_ne!(command.act, other.act);
                assert_ne!(command.word, other.word);
                assert!(
                    command.keys.is_none() || command.keys != other.keys,
                    "{} and {} share keys",
                    command.word,
                    other.word
                );
            }
        }
    }
}
