//! The two streams: results on stdout, everything else on stderr.
//!
//! Always: colour only on a terminal that wants it (`NO_COLOR` and a dumb terminal do not); a reader that goes away is no
//! fault; progress is shown only where a person looks on.

use std::io::{self, ErrorKind, IsTerminal as _, Write as _};
use std::path::Path;
use std::time::Duration;

use anstream::ColorChoice;
use indicatif::{ProgressBar, ProgressStyle};

use super::Status;
use crate::fault::render::clean;
use crate::files::FileError;
use crate::handover::page::{Ink, Look};
use crate::plates::{Step, Watch};

/// Columns where the output is no terminal.
const WIDTH_OF_PAPER: usize = 100;
/// Beyond this a page becomes hard to read.
const WIDEST: usize = 180;

/// Where words go.
#[derive(Clone, Copy, Debug)]
pub struct Terminal {
    /// Columns.
    pub width: usize,
    /// Whether stdout takes colour.
    pub colour: bool,
    /// Whether stderr takes colour.
    pub colour_of_errors: bool,
    /// Whether a person sees stderr.
    watched: bool,
}

impl Terminal {
    /// That of this process.
    pub fn of_process() -> Terminal {
        let out = io::stdout();
        let errors = io::stderr();
        let columns = terminal_size::terminal_size_of(&out).map(|(w, _)| usize::from(w.0));
        Terminal {
            width: columns.unwrap_or(WIDTH_OF_PAPER).clamp(40, WIDEST),
            colour: out.is_terminal() && anstream::AutoStream::choice(&out) != ColorChoice::Never,
            colour_of_errors: errors.is_terminal() && anstream::AutoStream::choice(&errors) != ColorChoice::Never,
            watched: errors.is_terminal(),
        }
    }

    /// One without colour and without anybody watching.
    #[cfg(test)]
    pub fn bare(width: usize) -> Terminal {
        Terminal {
            width,
            colour: false,
            colour_of_errors: false,
            watched: false,
        }
    }

    /// How a page is set here.
    pub fn look<'a>(&self, file: Option<&'a str>) -> Look<'a> {
        Look {
            width: self.width,
            colour: self.colour,
            file,
        }
    }

    /// Prints a result. A reader that has gone away is no fault; a full disk is.
    #[must_use]
    pub fn print(&self, text: &str) -> Status {
        self.print_with(|out| out.write_all(text.as_bytes()))
    }

    /// Prints a result that is made while it is written.
    #[must_use]
    pub fn print_with(&self, write: impl FnOnce(&mut dyn io::Write) -> io::Result<()>) -> Status {
        let mut out = io::stdout().lock();
        match write(&mut out).and_then(|()| out.flush()) {
            Ok(()) => Status::Well,
            Err(error) if error.kind() == ErrorKind::BrokenPipe => Status::Well,
            Err(error) => {
                self.complain(
                    &format!("cannot write to the output: {error}"),
                    Some("check the disk or the program that reads"),
                );
                Status::File
            }
        }
    }

    /// Says something that is no result.
    pub fn say(&self, text: &str) {
        let _ = io::stderr().lock().write_all(text.as_bytes());
    }

    /// Says what went wrong and what to try.
    pub fn complain(&self, what: &str, help: Option<&str>) {
        let mut text = format!("{} {}\n", Ink::Bad.on("polepair:", self.colour_of_errors), clean(what));
        if let Some(help) = help {
            text.push_str(&format!("  try: {}\n", clean(help)));
        }
        self.say(&text);
    }

    /// Says what went wrong with a file.
    pub fn complain_of_file(&self, error: &FileError) -> Status {
        self.complain(&error.to_string(), error.help.as_deref());
        Status::File
    }

    /// A word on what is being done, while it is done. Shown only to a person, and only when it takes a while.
    pub fn progress(&self, what: &'static str) -> Progress {
        let bar = if self.watched {
            ProgressBar::new_spinner()
        } else {
            ProgressBar::hidden()
        };
        if let Ok(style) = ProgressStyle::with_template("{spinner} {msg} {elapsed}") {
            bar.set_style(style.tick_strings(&["·  ", "·· ", "···", " ··", "  ·", "   "]));
        }
        bar.set_message(what);
        if self.watched {
            bar.enable_steady_tick(Duration::from_millis(150));
        }
        Progress(bar)
    }
}

/// A word on what is being done; gone when dropped.
pub struct Progress(ProgressBar);

impl Progress {
    /// What is done now.
    pub fn now(&self, what: &'static str) {
        self.0.set_message(what);
    }

    /// Told how far a list is read.
    pub fn of_list(&self) -> Watch {
        let bar = self.0.clone();
        Watch::new(move |step| match step {
            Step::Cells(cells) => bar.set_message(format!("reading the list: {cells} cells")),
            Step::Understanding => bar.set_message("understanding the list"),
        })
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.0.finish_and_clear();
    }
}

/// A path as it can be typed again.
pub fn quoted(path: &Path) -> String {
    let text = clean(&path.display().to_string());
    if text.contains([' ', '\'', '"', '(', ')', '&', ';', '$']) {
        format!("\"{text}\"")
    } else {
        text
    }
}
