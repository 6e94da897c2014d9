//! One writer at a time: a lock on a side file, held as long as the value lives.

use std::fs::{self, File, TryLockError};
use std::path::{Path, PathBuf};

use super::{Action, FileError};

/// The right to change a file. Given back when dropped, or by the system when the program ends.
#[derive(Debug)]
pub struct Lock {
    file: File,
    side: PathBuf,
}

impl Lock {
    /// Takes the lock of `path`, or says that another program has it. Never waits.
    pub fn take(path: &Path) -> Result<Lock, FileError> {
        let failed = |e: &std::io::Error| FileError::of(path, Action::Write, e);
        let real = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
        let name = real
            .file_name()
            .ok_or_else(|| failed(&std::io::ErrorKind::IsADirectory.into()))?;
        let side = real.with_file_name(format!(".{}.lock", name.to_string_lossy()));
        for _ in 0..10 {
            let file = File::options()
                .create(true)
                .truncate(false)
                .write(true)
                .open(&side)
                .map_err(|e| failed(&e))?;
            match file.try_lock() {
                Ok(()) => {}
                Err(TryLockError::WouldBlock) => {
                    return Err(FileError::new(path, Action::Write, "another program is changing it")
                        .help("close it there, then try again"));
                }
                // A disk without locks: one program alone is the usual case, so work goes on.
                Err(TryLockError::Error(_)) => {}
            }
            // The one before may have taken the side file away between our opening and our lock.
            if same_file(&file, &side) {
                return Ok(Lock { file, side });
            }
        }
        Err(FileError::new(path, Action::Write, "another program is changing it").help("try again"))
    }
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
        let first = Lock::take(&path).unwrap();
        assert!(Lock::take(&path).unwrap_err().why.contains("another program"));
        drop(first);
        let again = Lock::take(&path).unwrap();
        drop(again);
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }
}
