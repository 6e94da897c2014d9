//! Saving: the new text beside the old file, flushed, then put in its place in one step.

use std::fs::{self, File};
use std::io::{BufWriter, Write};
use std::path::{Path, PathBuf};

use super::{Action, FileError};

/// Writes `bytes` to `path`. Whatever happens on the way, the file holds either the old content or the new one, whole.
///
/// A link is followed, the mode of an existing file is kept, a file marked read-only is left alone.
pub fn save(path: &Path, bytes: &[u8]) -> Result<(), FileError> {
    save_by(path, |out| out.write_all(bytes))
}

/// The same for what is written piece by piece: a large text need not be whole in memory.
pub fn save_by(path: &Path, write: impl FnOnce(&mut dyn Write) -> std::io::Result<()>) -> Result<(), FileError> {
    let failed = |e: &std::io::Error| FileError::of(path, Action::Write, e);
    let target = target_of(path).map_err(|e| failed(&e))?;
    let old = fs::metadata(&target).ok();
    if let Some(old) = &old {
        if old.is_dir() {
            return Err(failed(&std::io::ErrorKind::IsADirectory.into()));
        }
        if !old.is_file() {
            // A device or a pipe cannot be replaced: write into it.
            let mut file = fs::OpenOptions::new()
                .write(true)
                .open(&target)
                .map_err(|e| failed(&e))?;
            return written(&mut file, write).map_err(|e| failed(&e));
        }
        if old.permissions().readonly() {
            return Err(FileError::new(path, Action::Write, "the file is marked read-only")
                .help("write to another name, or allow writing to this one"));
        }
    }
    let folder = target
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let mut draft = new_file(folder).map_err(|e| failed(&e))?;
    if let Some(old) = &old {
        draft
            .as_file()
            .set_permissions(old.permissions())
            .map_err(|e| failed(&e))?;
    }
    written(&mut draft, write).map_err(|e| failed(&e))?;
    draft.as_file().sync_all().map_err(|e| failed(&e))?;
    draft.persist(&target).map_err(|e| failed(&e.error))?;
    // The new name itself is safe only once the folder is flushed. Not every system can open a folder; then it does it itself.
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
    Ok(())
}

fn written(file: &mut impl Write, write: impl FnOnce(&mut dyn Write) -> std::io::Result<()>) -> std::io::Result<()> {
    let mut out = BufWriter::with_capacity(1 << 16, file);
    write(&mut out)?;
    out.flush()
}

/// The file a path leads to, whether it exists or not.
fn target_of(path: &Path) -> std::io::Result<PathBuf> {
    if let Ok(real) = fs::canonicalize(path) {
        return Ok(real);
    }
    // A link to a file that is not there yet: write there.
    if let Ok(to) = fs::read_link(path) {
        return Ok(path.parent().unwrap_or(Path::new("")).join(to));
    }
    let folder = path
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let name = path.file_name().ok_or(std::io::ErrorKind::IsADirectory)?;
    Ok(fs::canonicalize(folder)?.join(name))
}

/// A file of a passing name in the folder, with the rights a new file of this user has.
fn new_file(folder: &Path) -> std::io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".polepair-").suffix(".part");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder.tempfile_in(folder)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn names(folder: &Path) -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(folder)
            .unwrap()
            .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }

    #[test]
    fn writes_and_replaces_and_leaves_nothing_else() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.pole");
        save(&path, b"one").unwrap();
        save(&path, b"two").unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"two");
        assert_eq!(names(folder.path()), ["a.pole"]);
    }

    #[test]
    fn what_breaks_off_leaves_the_old_file() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.pole");
        save_by(&path, |out| out.write_all(b"one")).unwrap();
        let broken = save_by(&path, |out| {
            out.write_all(&[b'x'; 200_000])?;
            Err(std::io::ErrorKind::Other.into())
        });
        assert!(broken.is_err());
        assert_eq!(fs::read(&path).unwrap(), b"one");
        assert_eq!(names(folder.path()), ["a.pole"]);
    }

    #[cfg(unix)]
    #[test]
    fn keeps_the_mode_and_follows_links() {
        use std::os::unix::fs::PermissionsExt as _;
        let folder = tempfile::tempdir().unwrap();
        let real = folder.path().join("real.pole");
        let link = folder.path().join("link.pole");
        fs::write(&real, "one").unwrap();
        fs::set_permissions(&real, fs::Permissions::from_mode(0o640)).unwrap();
        std::os::unix::fs::symlink("real.pole", &link).unwrap();
        save(&link, b"two").unwrap();
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(fs::read(&real).unwrap(), b"two");
        assert_eq!(fs::metadata(&real).unwrap().permissions().mode() & 0o777, 0o640);
        // A link to nothing yet makes the file it names.
        let dangling = folder.path().join("later.pole");
        std::os::unix::fs::symlink("made.pole", &dangling).unwrap();
        save(&dangling, b"three").unwrap();
        assert_eq!(fs::read(folder.path().join("made.pole")).unwrap(), b"three");
        // A new file may be read by others as far as the user's mask allows, unlike a bare temporary file.
        let plain = folder.path().join("plain");
        fs::write(&plain, "").unwrap();
        let made = fs::metadata(folder.path().join("made.pole"))
            .unwrap()
            .permissions()
            .mode();
        assert_eq!(made, fs::metadata(&plain).unwrap().permissions().mode());
    }

    #[test]
    fn what_cannot_be_written_says_so_and_keeps_the_old() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.pole");
        fs::write(&path, "one").unwrap();
        let mut mode = fs::metadata(&path).unwrap().permissions();
        mode.set_readonly(true);
        fs::set_permissions(&path, mode).unwrap();
        let error = save(&path, b"two").unwrap_err();
        assert!(error.why.contains("read-only"), "{error}");
        assert_eq!(fs::read(&path).unwrap(), b"one");
        let error = save(&folder.path().join("nowhere/a.pole"), b"x").unwrap_err();
        assert!(error.why.contains("folder does not exist"), "{error}");
        let error = save(folder.path(), b"x").unwrap_err();
        assert!(error.why.contains("folder, not a file"), "{error}");
    }
}
