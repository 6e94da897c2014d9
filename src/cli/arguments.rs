//! What was typed, as a command. The wording of the help is in `commands`.

use std::ffi::OsString;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use clap::{CommandFactory as _, FromArgMatches as _, Parser, Subcommand};

use super::commands::{COMMANDS, CommandEntry};
use super::terminal::Terminal;
use super::{Status, commands, terminal};
use crate::quantity::nearest::nearest;

/// A motor calculation notebook: formulas with units, worked sheets, equipment lists
#[derive(Debug, Parser)]
#[command(name = "polepair", version, disable_help_subcommand = true)]
struct Arguments {
    #[command(subcommand)]
    typed: Option<Typed>,
}

#[derive(Debug, Subcommand)]
enum Typed {
    Work {
        /// The workbook
        #[arg(value_name = "FILE.pole")]
        file: PathBuf,
        /// For every worked line: formula, substitution with units, result, the inputs it rests on
        #[arg(long)]
        trace: bool,
        /// Print one JSON object instead of the page
        #[arg(long)]
        json: bool,
    },
    Import {
        /// The equipment list: xlsx, xls, ods or csv
        #[arg(value_name = "LIST")]
        list: PathBuf,
        /// Write the list as a workbook; where it is there already, what was typed in it since is kept
        #[arg(long, value_name = "F.pole")]
        to: Option<PathBuf>,
        /// Write every row, reading, doubt and worked load: as JSON, or as text where the name ends in .txt
        #[arg(long, value_name = "R.json|txt")]
        report: Option<PathBuf>,
        /// Write the list with its load columns: xlsx, csv or json
        #[arg(long, value_name = "OUT")]
        export: Option<PathBuf>,
        /// Read the columns as this file says (write one with --write-map, then change it)
        #[arg(long, value_name = "FILE")]
        map: Option<PathBuf>,
        /// Read this sheet, not the one with the most motors
        #[arg(long, value_name = "NAME")]
        sheet: Option<String>,
        /// Know further words of headings and cells: lines such as tag;de;Betriebsmittel
        #[arg(long, value_name = "FILE")]
        words: Option<PathBuf>,
        /// Write what the columns were taken for, to be changed and kept for the next list of the same origin
        #[arg(long, value_name = "FILE")]
        write_map: Option<PathBuf>,
    },
    Export {
        /// The workbook
        #[arg(value_name = "FILE.pole")]
        file: PathBuf,
        /// Where to write; the ending xlsx, csv or json decides the form
        #[arg(long, value_name = "OUT")]
        to: PathBuf,
    },
    Tidy {
        /// The workbook
        #[arg(value_name = "FILE.pole")]
        file: PathBuf,
        /// Write nothing; show what would change
        #[arg(long)]
        check: bool,
    },
    Calc {
        /// The expression, in quotes
        #[arg(value_name = "EXPRESSION", allow_hyphen_values = true)]
        expression: String,
    },
    Units {
        /// Part of a symbol, a name or a kind
        #[arg(value_name = "WORD")]
        word: Option<String>,
    },
    Tables {
        /// The name of a table, or a part of a name, a title or an edition
        #[arg(value_name = "WORD")]
        word: Option<String>,
    },
    Explain {
        /// The code of a fault
        #[arg(value_name = "CODE")]
        code: String,
    },
    #[command(external_subcommand)]
    Other(Vec<OsString>),
}

/// What is to be done.
#[derive(Debug)]
pub enum Command {
    /// `work`
    Work { file: PathBuf, trace: bool, json: bool },
    /// `import`
    Import(super::import::Asked),
    /// `export`
    Export { file: PathBuf, to: PathBuf },
    /// `tidy`
    Tidy { file: PathBuf, check: bool },
    /// `calc`
    Calc { expression: String },
    /// `units`
    Units { word: Option<String> },
    /// `tables`
    Tables { word: Option<String> },
    /// `explain`
    Explain { code: String },
    /// No command, or a workbook alone: the window.
    Window { file: Option<PathBuf> },
    /// A word that is no command.
    Unknown { word: String },
}

/// The arguments as a command, or what clap has to say about them (help included).
pub fn read(arguments: impl IntoIterator<Item = OsString>, terminal: &Terminal) -> Result<Command, clap::Error> {
    let matches = definition(terminal).try_get_matches_from(arguments)?;
    let typed = Arguments::from_arg_matches(&matches)?.typed;
    Ok(match typed {
        None => Command::Window { file: None },
        Some(Typed::Work { file, trace, json }) => Command::Work { file, trace, json },
        Some(Typed::Import {
            list,
            to,
            report,
            export,
            map,
            sheet,
            words,
            write_map,
        }) => Command::Import(super::import::Asked {
            list,
            to,
            report,
            export,
            map,
            sheet,
            words,
            write_map,
        }),
        Some(Typed::Export { file, to }) => Command::Export { file, to },
        Some(Typed::Tidy { file, check }) => Command::Tidy { file, check },
        Some(Typed::Calc { expression }) => Command::Calc { expression },
        Some(Typed::Units { word }) => Command::Units { word },
        Some(Typed::Tables { word }) => Command::Tables { word },
        Some(Typed::Explain { code }) => Command::Explain { code },
        Some(Typed::Other(words)) => other(&words),
    })
}

/// A workbook alone, or a word that is no command.
fn other(words: &[OsString]) -> Command {
    let first = words.first().map(PathBuf::from).unwrap_or_default();
    let is_file = first.extension().is_some_and(|e| e.eq_ignore_ascii_case("pole")) || first.is_file();
    if words.len() == 1 && is_file {
        Command::Window { file: Some(first) }
    } else {
        Command::Unknown {
            word: first.to_string_lossy().into_owned(),
        }
    }
}

/// The arguments as clap reads them, with the help of the list of commands.
fn definition(terminal: &Terminal) -> clap::Command {
    let mut definition = Arguments::command().term_width(terminal.width.min(110)).after_help(
        "Exit status: 0 all well; 1 a check does not hold or is in doubt; 2 faults; 3 a file could not be read or written, or holds no table of \
         motors; 64 wrong usage. The highest applies.\n\nResults are estimates for qualified people. Plate, maker's data and local \
         code govern.",
    );
    for entry in COMMANDS {
        definition = definition.mut_subcommand(entry.word, |sub| {
            sub.about(entry.line)
                .long_about(format!("{}.\n\n{}", entry.line, entry.about))
                .after_help(examples(entry))
        });
    }
    definition
}

fn examples(entry: &CommandEntry) -> String {
    let mut text = "Examples:".to_owned();
    for (command, purpose) in entry.examples {
        let _ = write!(text, "\n  {command}\n      {purpose}");
    }
    text
}

/// Without a command the window would open; this program has none.
pub fn no_window(terminal: &Terminal, file: Option<&Path>) -> Status {
    let mut text = String::new();
    match file {
        Some(file) => {
            let file = terminal::quoted(file);
            let _ = writeln!(text, "There is no window to open {file} in. At the command line:\n");
            let _ = writeln!(
                text,
                "  polepair work {file}\n      work it and print the page: values, checks, faults"
            );
            let _ = writeln!(
                text,
                "  polepair work {file} --trace\n      also the way to every result"
            );
        }
        None => {
            text.push_str(
                "polepair works motor calculations: formulas whose units are checked, sheets with checks and margins, and \
                 equipment\nlists in xlsx or csv that come back with load columns.\n\n",
            );
            for word in ["import", "work"] {
                if let Some((command, purpose)) =
                    commands::find(word).and_then(|e| e.examples.get(usize::from(word == "import")))
                {
                    let _ = writeln!(text, "  {command}\n      {purpose}");
                }
            }
        }
    }
    text.push_str("\nAll commands: polepair --help\n");
    terminal.say(&text);
    Status::Usage
}

/// A word that is no command: the nearest ones.
pub fn unknown(terminal: &Terminal, word: &str) -> Status {
    let words: Vec<&str> = COMMANDS.iter().map(|entry| entry.word).collect();
    let near = nearest(word, words.iter().copied(), 1)
        .first()
        .and_then(|word| commands::find(word));
    let help = match near {
        Some(entry) => format!("did you mean {}? {}", entry.word, entry.usage),
        None => {
            format!("commands are {}; more with polepair --help", words.join(", "))
        }
    };
    terminal.complain(&format!("{word} is no command"), Some(&help));
    Status::Usage
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn definition_holds_together_and_every_command_is_in_the_list() {
        let definition = definition(&Terminal::bare(100));
        definition.clone().debug_assert();
        let typed: Vec<&str> = definition.get_subcommands().map(clap::Command::get_name).collect();
        let listed: Vec<&str> = COMMANDS.iter().map(|e| e.word).collect();
        assert_eq!(typed, listed);
        for entry in COMMANDS {
            assert!(!entry.examples.is_empty(), "{} has no example", entry.word);
            for (command, _) in entry.examples {
                assert!(command.starts_with(&format!("polepair {}", entry.word)), "{command}");
            }
            assert!(
                entry.usage.starts_with(&format!("polepair {}", entry.word)),
                "{}",
                entry.usage
            );
        }
    }
}
