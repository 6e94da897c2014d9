//! One writer at a time: a lock on a side file, held as long as the value lives.

use std::fs::{self, File, TryLockError};
use std::io::{Read as _, Write as _};
use std::path::{Path, PathBuf};
use std::time::Duration;

use super::{Action, FileError};

/// How often a lock that somebody has is asked for again, and how long after: a look at it is over by then.
const AGAIN: (u32, Duration) = (6, Duration::from_millis(20));

/// The right to change a file. Given back when dropped, or by the system when the program ends.
#[derive(Debug)]
pub struct Lock {
    file: File,
    side: PathBuf,
}

/// Who holds a lock; it is written in the side file, for the one who comes second.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holder {
    /// A window in which the file is open.
    Window,
    /// A command that writes the file.
    Command,
}

impl Holder {
    fn word(self) -> &'static str {
        match self {
            Holder::Window => "window",
            Holder::Command => "command",
        }
    }

    /// Who wrote itself into a side file, where that can be read.
    fn of(side: &Path) -> Option<Holder> {
        let mut word = String::new();
        let _ = File::open(side).ok()?.take(64).read_to_string(&mut word).ok()?;
        [Holder::Window, Holder::Command]
            .into_iter()
            .find(|holder| word.trim() == holder.word())
    }
}

impl Lock {
    /// Takes the lock of `path` for this holder, or says who has it. It waits for nobody but one who only looks.
    pub fn take(path: &Path, holder: Holder) -> Result<Lock, FileError> {
        let failed = |e: &std::io::Error| FileError::of(path, Action::Write, e);
        let side = side_of(path).ok_or_else(|| failed(&std::io::ErrorKind::IsADirectory.into()))?;
        for _ in 0..10 {
            let file = File::options()
                .create(true)
                .truncate(false)
                .write(true)
                .open(&side)
                .map_err(|e| failed(&e))?;
            match patiently(&file) {
                Ok(()) => {}
                Err(TryLockError::WouldBlock) => {
                    let (why, help) = match Holder::of(&side) {
                        Some(Holder::Window) => (
                            "it is open in another Polepair window",
                            "go on in that window, or close it there and open it here again",
                        ),
                        Some(Holder::Command) => ("another Polepair command is writing it", "try again in a moment"),
                        None => ("another program is changing it", "close it there, then try again"),
                    };
                    return Err(FileError::new(path, Action::Write, why).help(help));
                }
                // A disk without locks: one program alone is the usual case, so work goes on.
                Err(TryLockError::Error(_)) => {}
            }
            // The one before may have taken the side file away between our opening and our lock.
            if same_file(&file, &side) {
                // Who it is helps the one who comes second; without it the lock holds as well.
                let _ = file.set_len(0);
                let _ = (&file).write_all(holder.word().as_bytes());
                return Ok(Lock { file, side });
            }
        }
        Err(FileError::new(path, Action::Write, "another program is changing it").help("try again"))
    }
}

/// Whether nobody has the lock of a file. Nothing is left or changed by looking.
pub fn is_free(path: &Path) -> bool {
    let Some(Ok(file)) = side_of(path).map(File::open) else {
        return true;
    };
    // One of several who look; it is let go with the file.
    !matches!(file.try_lock_shared(), Err(TryLockError::WouldBlock))
}

/// The file beside a file that its lock is on.
fn side_of(path: &Path) -> Option<PathBuf> {
    let real = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    let name = real.file_name()?;
    Some(real.with_file_name(format!(".{}.lock", name.to_string_lossy())))
}

fn patiently(file: &File) -> Result<(), TryLockError> {
    let (times, pause) = AGAIN;
    for _ in 0..times {
        match file.try_lock() {
            Err(TryLockError::WouldBlock) => std::thread::sleep(pause),
            other => return other,
        }
    }
    file.try_lock()
}

impl Drop for Lock {
    fn drop(&mut self) {
        let _ = fs::remove_file(&self.side);
        let _ = self.file.unlock();
    }
}

#[cfg(unix)]
fn same_file(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt as _;
    match (file.metadata(), fs::metadata(path)) {
        (Ok(a), Ok(b)) => a.dev() == b.dev() && a.ino() == b.ino(),
        _ => false,
    }
}

#[cfg(not(unix))]
fn same_file(_file: &File, path: &Path) -> bool {
    // An open file cannot be taken away here.
    path.exists()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn only_one_has_it_and_nothing_stays() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.pole");
        fs::write(&path, "x").unwrap();
        for (holder, words) in [
            (Holder::Window, "open in another Polepair window"),
            (Holder::Command, "another Polepair command"),
        ] {
            let first = Lock::take(&path, holder).unwrap();
            let why = Lock::take(&path, Holder::Window).unwrap_err().why;
            // Where a locked file cannot be read, nobody is named.
            assert!(why.contains(words) || cfg!(windows), "{why}");
            drop(first);
        }
        // What somebody else wrote there names nobody.
        fs::write(folder.path().join(".a.pole.lock"), "xyz").unwrap();
        let other = File::open(folder.path().join(".a.pole.lock")).unwrap();
        other.try_lock().unwrap();
        let why = Lock::take(&path, Holder::Window).unwrap_err().why;
        assert!(why.contains("another program"), "{why}");
        drop(other);
        let again = Lock::take(&path, Holder::Window).unwrap();
        drop(again);
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    /// Who looks whether a file is free keeps nobody from it.
    #[test]
    fn a_look_holds_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.pole");
        fs::write(&path, "x").unwrap();
        assert!(is_free(&path) && fs::read_dir(folder.path()).unwrap().count() == 1);
        let held = Lock::take(&path, Holder::Window).unwrap();
        assert!(!is_free(&path));
        drop(held);
        // What is left of a program that came to an end.
        let side = folder.path().join(".a.pole.lock");
        fs::write(&side, "window").unwrap();
        assert!(is_free(&path) && fs::read_to_string(&side).unwrap() == "window");
        // While somebody looks.
        let look = File::open(&side).unwrap();
        look.try_lock_shared().unwrap();
        let goes = std::thread::spawn(move || {
            std::thread::sleep(Duration::from_millis(30));
            drop(look);
        });
        assert!(is_free(&path));
        let taken = Lock::take(&path, Holder::Window);
        goes.join().unwrap();
        assert!(taken.is_ok(), "{taken:?}");
    }
}
