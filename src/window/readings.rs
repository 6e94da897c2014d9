//! The readings that a workbook was made of, one after the other: a list read again with other columns, or a newer one.
//!
//! Always: the reading that is shown is that of the step at which the workbook is; taking a step back or doing it again brings the
//! one that belongs there, with the columns that were chosen in it. One that cannot be done again any more is gone.
//! Not known here: what a reading says.

use super::newer::ListRead;
use super::panels::report::Reading;

/// A reading and its list; none of either where the workbook came without.
pub type Read = (Option<Reading>, Option<ListRead>);

/// See the module. The one that is shown is not kept here.
#[derive(Debug, Default)]
pub struct Readings {
    /// How many edits were done when each but the first had come.
    came: Vec<usize>,
    /// All of them in their order; nothing in the place of the one that is shown.
    kept: Vec<Read>,
    shown: usize,
}

impl Readings {
    /// A reading takes the place of the one that was shown, with the edit that makes so many. Gives nothing to show: it is there.
    pub fn came(&mut self, edits: usize, before: Read) {
        let at = self.shown;
        self.came.truncate(at);
        self.kept.truncate(at);
        self.kept.push(before);
        self.kept.push((None, None));
        self.came.push(edits);
        self.shown = at + 1;
    }

    /// The workbook is at another step; `edited`: by an edit that was made anew, after which nothing can be done again. What is shown is
    /// exchanged where another reading belongs there: whether that was done.
    pub fn step(&mut self, edits: usize, edited: bool, now: &mut Read) -> bool {
        let reached = |came: &usize| *came < edits || *came == edits && !edited;
        let at = self.came.iter().take_while(|came| reached(came)).count();
        let other = at != self.shown;
        if other && let Some(entry) = self.kept.get_mut(self.shown) {
            *entry = std::mem::take(now);
            if let Some(entry) = self.kept.get_mut(at) {
                *now = std::mem::take(entry);
            }
            self.shown = at;
        }
        if edited {
            self.came.truncate(at);
            self.kept.truncate(at + 1);
        }
        other
    }
}

#[cfg(test)]
mod tests {
    use std::path::{Path, PathBuf};

    use super::*;

    fn of(name: &str) -> Read {
        let list = ListRead {
            path: PathBuf::from(name),
            own: None,
            as_read: Vec::new(),
        };
        (None, Some(list))
    }

    fn name(read: &Read) -> &Path {
        read.1.as_ref().map_or(Path::new("-"), |list| &list.path)
    }

    #[test]
    fn the_reading_is_that_of_the_step() {
        let mut readings = Readings::default();
        let mut now = of("first");
        // Edit 1, then the list read again as edit 2, edit 3, and once more as edit 4.
        assert!(!readings.step(1, true, &mut now));
        readings.came(2, std::mem::replace(&mut now, of("second")));
        assert!(!readings.step(3, true, &mut now));
        readings.came(4, std::mem::replace(&mut now, of("third")));
        for (edits, other, shown) in [
            (3, true, "second"),
            (2, false, "second"),
            (1, true, "first"),
            (0, false, "first"),
            (1, false, "first"),
            (2, true, "second"),
            (4, true, "third"),
            (0, true, "first"),
            (4, true, "third"),
            (3, true, "second"),
        ] {
            assert_eq!(readings.step(edits, false, &mut now), other, "{edits} {readings:?}");
            assert_eq!(name(&now), Path::new(shown), "{edits}");
        }
        // Another edit in the place of the third reading: it is gone.
        assert!(!readings.step(4, true, &mut now));
        assert!(!readings.step(5, true, &mut now));
        assert_eq!(name(&now), Path::new("second"));
        assert!(readings.step(1, false, &mut now));
        assert_eq!(name(&now), Path::new("first"));
        // Taken back and edited anew before anybody looked.
        assert!(readings.step(2, false, &mut now));
        assert!(readings.step(2, true, &mut now));
        assert_eq!(name(&now), Path::new("first"));
        assert!(!readings.step(3, false, &mut now));
    }
}
