//! A file is written as a whole or not at all.
//!
//! Always: written beside the target under another name, brought to the disk, then renamed; a failure leaves the target as it
//! was and no scrap behind. A target that is a link keeps being one.

use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use super::ExportError;

/// A file on its way to its place.
pub(super) struct Whole {
    target: PathBuf,
    file: NamedTempFile,
}

impl Whole {
    /// Begins a file that will stand at `target`.
    pub fn begin(target: &Path) -> Result<Whole, ExportError> {
        let place = fs::canonicalize(target).unwrap_or_else(|_| target.to_owned());
        let folder = folder(&place);
        let mut builder = tempfile::Builder::new();
        builder.prefix(".polepair-").suffix(".part");
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            // The usual rights of a new file; the system takes its mask off.
            builder.permissions(fs::Permissions::from_mode(0o666));
        }
        let file = builder
            .tempfile_in(folder)
            .map_err(|error| ExportError::write(target, error))?;
        Ok(Whole { target: place, file })
    }

    /// Where to write.
    pub fn file(&mut self) -> &mut File {
        self.file.as_file_mut()
    }

    /// Brings it to the disk and to its place.
    pub fn finish(self) -> Result<(), ExportError> {
        let Whole { target, file } = self;
        let failed = |error| ExportError::write(&target, error);
        file.as_file().sync_all().map_err(failed)?;
        if let Ok(old) = fs::metadata(&target) {
            file.as_file().set_permissions(old.permissions()).map_err(failed)?;
        }
        file.persist(&target).map_err(|error| failed(error.error))?;
        sync_folder(folder(&target)).map_err(failed)
    }
}

fn folder(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

#[cfg(unix)]
fn sync_folder(folder: &Path) -> io::Result<()> {
    File::open(folder)?.sync_all()
}

#[cfg(not(unix))]
fn sync_folder(_folder: &Path) -> io::Result<()> {
    Ok(())
}

/// Whether both name the same file.
pub(super) fn same_file(one: &Path, other: &Path) -> bool {
    match (fs::canonicalize(one), fs::canonicalize(other)) {
        (Ok(one), Ok(other)) => one == other,
        _ => false,
    }
}
