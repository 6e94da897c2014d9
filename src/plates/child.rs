//! The reader in a process of its own.
//!
//! For: formats whose reader can be driven into taking all memory. The program calls itself with a hidden word; the child sets
//! its own limit of address space before it opens the file and hands the cells back over its standard output.
//! Always: an abort, a kill or a time-out of the child is an ordinary error of the list. Where the system knows no such limit,
//! the counters and caps of `guard` and `open` remain.
//! Not known here: what the file holds.

use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode, Stdio};
use std::time::{Duration, Instant};

use super::error::{FileError, Trouble};
use super::guard::Limits;
use super::store::Book;

/// The hidden word with which the program calls itself.
pub const WORD: &str = "read-list-child";

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
    let result = super::open::read_here(&path, &limits);
    let Ok(bytes) = postcard::to_stdvec(&result) else {
        return Some(ExitCode::from(3));
    };
    let mut out = std::io::stdout().lock();
    let written = out.write_all(&bytes).and_then(|()| out.flush());
    Some(if written.is_ok() {
        ExitCode::SUCCESS
    } else {
        ExitCode::from(3)
    })
}

/// Reads a file in a child process of `program`.
///
/// # Errors
/// What the child found, or that it was stopped or could not be started.
pub fn read(program: &Path, path: &Path, limits: &Limits) -> Result<Book, FileError> {
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
    let Some(mut output) = child.stdout.take() else {
        return Err(stopped(path, "its output is closed"));
    };
    let reader = std::thread::spawn(move || {
        let mut bytes = Vec::new();
        // What the child may hand back is bounded by its own address space.
        output.read_to_end(&mut bytes).map(|_| bytes)
    });
    let deadline = Instant::now() + Duration::from_secs(limits.seconds);
    let mut pause = Duration::from_millis(1);
    let status = loop {
        match child.try_wait() {
            Ok(Some(status)) => break status,
            Ok(None) if Instant::now() < deadline => {
                std::thread::sleep(pause);
                pause = (pause * 2).min(Duration::from_millis(20));
            }
            Ok(None) => {
                let _ = child.kill();
                let _ = child.wait();
                return Err(stopped(path, &format!("it took longer than {} s", limits.seconds)));
            }
            Err(error) => {
                let _ = child.kill();
                let _ = child.wait();
                return Err(stopped(path, &error.to_string()));
            }
        }
    };
    let bytes = match reader.join() {
        Ok(Ok(bytes)) => bytes,
        _ => return Err(stopped(path, "its output broke off")),
    };
    if !status.success() {
        return Err(match status.code() {
            // Ended by a signal: the limit of its address space, as a rule.
            None => stopped(path, "it asked for more memory than a list needs"),
            Some(code) => stopped(path, &format!("the reading process ended with status {code}")),
        });
    }
    match postcard::from_bytes::<Result<Book, FileError>>(&bytes) {
        Ok(result) => result,
        Err(_) => Err(FileError::new(
            Trouble::NoReader,
            path,
            format!("{} does not answer as a reading process.", program.display()),
            "Start the program again, or save the list as csv.",
        )),
    }
}

fn stopped(path: &Path, why: &str) -> FileError {
    FileError::new(
        Trouble::Stopped,
        path,
        format!("Reading was stopped: {why}."),
        "Save the sheet with the list alone as xlsx or csv and read that.",
    )
}
