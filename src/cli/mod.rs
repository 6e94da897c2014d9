//! The command line: arguments in, a page or a file out, an exit status.
//!
//! For: people at a terminal, scripts, and programs that read `--json`.
//! Always: results go to stdout, everything else to stderr; the status is that of [`Status`] and never 100 or above.
//! Not known here: how anything is read, worked or written; this is the outermost layer, which turns outcomes into words.

mod arguments;
mod calc;
pub mod commands;
mod explain;
mod export;
mod import;
mod tables;
mod terminal;
mod tidy;
mod units;
mod work;

use std::ffi::OsString;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::process::ExitCode;

use arguments::Command;
use clap::error::ErrorKind;
use terminal::Terminal;

/// What the program ends with. The highest that applies is given.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Status {
    /// All well. Warnings and doubts are no reason for another status.
    Well = 0,
    /// A check does not hold or is in doubt; with `tidy --check`, the text is not canonical.
    CheckFails = 1,
    /// The workbook or the expression has faults.
    Faults = 2,
    /// A file could not be read or written, or holds no table of motors.
    File = 3,
    /// Wrong usage.
    Usage = 64,
    /// A mistake of the program itself.
    Broken = 70,
}

impl Status {
    /// The number.
    pub fn number(self) -> u8 {
        self as u8
    }
}

/// Runs with the arguments of the process.
pub fn main() -> ExitCode {
    // Whatever goes wrong inside, the status stays below 100 and no file is left half written: saving replaces whole files.
    let status = catch_unwind(AssertUnwindSafe(|| run(std::env::args_os()))).unwrap_or_else(|_| {
        Terminal::of_process().complain(
            "the program made a mistake of its own and stopped; the files are as they were",
            Some("please report the lines above together with the command"),
        );
        Status::Broken
    });
    ExitCode::from(status.number())
}

/// Runs with these arguments, the first being the name of the program.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> Status {
    let terminal = Terminal::of_process();
    let command = match arguments::read(arguments, &terminal) {
        Ok(command) => command,
        Err(error) => {
            let _ = error.print();
            return match error.kind() {
                ErrorKind::DisplayHelp | ErrorKind::DisplayVersion => Status::Well,
                _ => Status::Usage,
            };
        }
    };
    match command {
        Command::Work { file, trace, json } => work::run(&terminal, &file, trace, json),
        Command::Import(asked) => import::run(&terminal, &asked),
        Command::Export { file, to } => export::run(&terminal, &file, &to),
        Command::Tidy { file, check } => tidy::run(&terminal, &file, check),
        Command::Calc { expression } => calc::run(&terminal, &expression),
        Command::Units { word } => units::run(&terminal, word.as_deref()),
        Command::Tables { word } => tables::run(&terminal, word.as_deref()),
        Command::Explain { code } => explain::run(&terminal, &code),
        Command::Window { file } => window(&terminal, file),
        Command::Unknown { word } => arguments::unknown(&terminal, &word),
    }
}

/// Opens the window. Where it cannot be opened, says what can be done without one.
#[cfg(feature = "window")]
fn window(terminal: &Terminal, file: Option<std::path::PathBuf>) -> Status {
    match crate::window::run(file.clone()) {
        Ok(()) => Status::Well,
        Err(why) => {
            terminal.complain(&why, None);
            arguments::no_window(terminal, file.as_deref())
        }
    }
}

#[cfg(not(feature = "window"))]
fn window(terminal: &Terminal, file: Option<std::path::PathBuf>) -> Status {
    arguments::no_window(terminal, file.as_deref())
}
