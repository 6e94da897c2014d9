//! The reader in a process of its own.
//!
//! For: formats whose reader can be driven into taking all memory. The program calls itself with a hidden word; the child sets
//! its own limit of address space before it opens the file and hands the cells back over its standard output.
//! The cells go over in parts while the file is still being read: the child keeps none of them, and the parent puts them together
//! at the same time.
//! Always: an abort, a kill or a time-out of the child is an ordinary error of the list. Where the system knows no such limit,
//! the counters and caps of `guard` and `open` remain.
//! Not known here: what the file holds.

use std::io::{BufReader, BufWriter, Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, ExitCode, ExitStatus, Stdio};
use std::sync::mpsc;
use std::time::{Duration, Instant};

use super::error::{FileError, Trouble};
use super::guard::Limits;
use super::open::{Ended, Outlet, hand_over};
use super::store::{Book, Grid, Head, Part};
use super::{Step, Watch};

use serde::{Deserialize, Serialize};

/// The hidden word with which the program calls itself.
pub const WORD: &str = "read-list-child";

/// What the child says, each piece behind its length in four bytes.
#[derive(Serialize, Deserialize)]
enum Piece<'a> {
    /// A sheet begins.
    Begins(Head),
    /// Cells of it.
    #[serde(borrow)]
    Cells(Part<'a>),
    /// It is whole.
    Whole,
    /// It could not be read to its end and does not count.
    BrokenOff,
    /// The end of the file, or why there is none.
    End(Result<Ended, FileError>),
}

/// Serves as the reading process if the program was called as one. Call it before anything else in `main`.
pub fn called() -> Option<ExitCode> {
    let mut arguments = std::env::args_os().skip(1);
    if arguments.next()? != WORD {
        return None;
    }
    let path = PathBuf::from(arguments.next()?);
    let limits = Limits::default();
    let memory = limits.memory;
    #[cfg(unix)]
    if rlimit::setrlimit(rlimit::Resource::AS, memory, memory).is_err() {
        // Without the limit the caps remain; the parent's time-out too.
    }
    let _ = memory;
    let mut parent = ToParent {
        out: BufWriter::with_capacity(1 << 16, std::io::stdout().lock()),
        path: &path,
        begun: false,
        lost: false,
    };
    let end = hand_over(&path, &limits, &mut parent);
    let told = !parent.lost && parent.say(&Piece::End(end)).is_ok() && parent.out.flush().is_ok();
    Some(if told { ExitCode::SUCCESS } else { ExitCode::from(3) })
}

/// The way from the child to its parent.
struct ToParent<'a, W: Write> {
    out: W,
    path: &'a Path,
    /// The head of this sheet is over.
    begun: bool,
    /// The parent does not listen any more.
    lost: bool,
}

impl<W: Write> ToParent<'_, W> {
    fn say(&mut self, piece: &Piece<'_>) -> Result<(), FileError> {
        let said = postcard::to_stdvec(piece).ok().and_then(|bytes| {
            let length = u32::try_from(bytes.len()).ok()?;
            self.out.write_all(&length.to_le_bytes()).ok()?;
            self.out.write_all(&bytes).ok()
        });
        if said.is_none() {
            self.lost = true;
            return Err(stopped(self.path, "nobody takes what was read"));
        }
        Ok(())
    }

    fn begin(&mut self, grid: &Grid) -> Result<(), FileError> {
        if !std::mem::replace(&mut self.begun, true) {
            self.say(&Piece::Begins(grid.head()))?;
        }
        Ok(())
    }
}

impl<W: Write> Outlet for ToParent<'_, W> {
    fn gathered(&mut self, grid: &mut Grid) -> Result<(), FileError> {
        self.begin(grid)?;
        self.say(&Piece::Cells(grid.part()))
    }

    fn whole(&mut self, mut grid: Grid) -> Result<(), FileError> {
        self.gathered(&mut grid)?;
        self.begun = false;
        self.say(&Piece::Whole)
    }

    fn broken_off(&mut self) -> Result<(), FileError> {
        if std::mem::replace(&mut self.begun, false) {
            self.say(&Piece::BrokenOff)?;
        }
        Ok(())
    }
}

/// Puts together what a child says; `None` where that is not what a reading process says.
fn listen(from: &mut impl Read, limits: &Limits, watch: &Watch) -> Option<Result<Book, FileError>> {
    let mut sheets: Vec<Grid> = Vec::new();
    let mut open: Option<Grid> = None;
    let (mut cells, mut text) = (0, 0);
    let mut bytes = Vec::new();
    loop {
        let mut length = [0; 4];
        from.read_exact(&mut length).ok()?;
        let length = u64::from(u32::from_le_bytes(length));
        bytes.clear();
        // The room grows with what comes, not with what is promised.
        if from.by_ref().take(length).read_to_end(&mut bytes).ok()? as u64 != length {
            return None;
        }
        match postcard::from_bytes(&bytes).ok()? {
            Piece::Begins(head) if open.is_none() => open = Some(Grid::begun(head)),
            Piece::Cells(part) => {
                let grid = open.as_mut()?;
                let before = grid.filled();
                text += grid.take_on(part)?;
                cells += grid.filled() - before;
                watch.tell(Step::Cells(cells));
                // The child keeps these limits itself; one that does not is not believed.
                if cells > limits.cells || text > limits.text_bytes.saturating_mul(2) {
                    return None;
                }
            }
            Piece::Whole => sheets.push(open.take()?),
            Piece::BrokenOff => open = None,
            Piece::Begins(_) => return None,
            Piece::End(end) => {
                return Some(end.map(|Ended { sort, remarks, dress }| Book {
                    sort,
                    sheets,
                    remarks,
                    dress,
                }));
            }
        }
    }
}

/// Reads a file in a child process of `program`.
///
/// # Errors
/// What the child found, or that it was stopped or could not be started.
pub fn read(program: &Path, path: &Path, limits: &Limits, watch: &Watch) -> Result<Book, FileError> {
    let mut child = Command::new(program)
        .arg(WORD)
        .arg(path)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .map_err(|error| {
            FileError::new(
                Trouble::NoReader,
                path,
                format!(
                    "The reading process could not be started from {}: {error}.",
                    program.display()
                ),
                "Start the program again, or save the list as csv.",
            )
        })?;
    let Some(output) = child.stdout.take() else {
        return Err(stopped(path, "its output is closed"));
    };
    let (sender, receiver) = mpsc::channel();
    let (limits_there, watch_there) = (*limits, watch.clone());
    std::thread::spawn(move || {
        let mut output = BufReader::with_capacity(1 << 16, output);
        let book = listen(&mut output, &limits_there, &watch_there);
        if book.is_none() {
            // A child that cannot get rid of its output would never end by itself, and how it ends tells why.
            let _ = std::io::copy(&mut output, &mut std::io::sink());
        }
        let _ = sender.send(book);
    });
    let deadline = Instant::now() + Duration::from_secs(limits.seconds);
    let late = || stopped(path, &format!("it took longer than {} s", limits.seconds));
    let Ok(book) = receiver.recv_timeout(Duration::from_secs(limits.seconds)) else {
        end(&mut child);
        return Err(late());
    };
    let status = match wait(&mut child, deadline) {
        Ok(Some(status)) => status,
        Ok(None) => {
            end(&mut child);
            return Err(late());
        }
        Err(error) => {
            end(&mut child);
            return Err(stopped(path, &error.to_string()));
        }
    };
    if !status.success() {
        return Err(match status.code() {
            // Ended by a signal: the limit of its address space, as a rule.
            None => stopped(path, "it asked for more memory than a list needs"),
            Some(code) => stopped(path, &format!("the reading process ended with status {code}")),
        });
    }
    book.unwrap_or_else(|| {
        Err(FileError::new(
            Trouble::NoReader,
            path,
            format!("{} does not answer as a reading process.", program.display()),
            "Start the program again, or save the list as csv.",
        ))
    })
}

/// Waits for a child that has said everything; `None` where it does not end in time.
fn wait(child: &mut Child, deadline: Instant) -> std::io::Result<Option<ExitStatus>> {
    let mut pause = Duration::from_micros(100);
    loop {
        if let Some(status) = child.try_wait()? {
            return Ok(Some(status));
        }
        if Instant::now() >= deadline {
            return Ok(None);
        }
        std::thread::sleep(pause);
        pause = (pause * 2).min(Duration::from_millis(20));
    }
}

fn end(child: &mut Child) {
    let _ = child.kill();
    let _ = child.wait();
}

fn stopped(path: &Path, why: &str) -> FileError {
    FileError::new(
        Trouble::Stopped,
        path,
        format!("Reading was stopped: {why}."),
        "Save the sheet with the list alone as xlsx or csv and read that.",
    )
}
