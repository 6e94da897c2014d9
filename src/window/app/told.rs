//! What is said to the user, until it is put away.
//!
//! Always: of one thing only the last word stands: what went well later takes the place of what went wrong before.
//! Not known here: what happened.

use std::time::{Duration, Instant};

use super::Window;

/// How long good news stays at least.
const NEWS: Duration = Duration::from_secs(4);

/// Notices shown at once at most.
const MOST: usize = 5;

/// What something is said about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum About {
    /// Opening a workbook, reading a list.
    Opening,
    /// Writing the workbook to its file.
    Saving,
    /// Handing over, keeping a map or a report.
    HandingOver,
    /// A change of the workbook, or why there was none.
    Change,
    /// A step that was taken back or done again.
    Step,
    /// Rows in sight and their order.
    Rows,
    /// A text that is looked for.
    Find,
    /// Where the choice went.
    Going,
    /// The units that values are shown in.
    Units,
    /// Nothing that is said twice.
    Else,
}

/// Something said to the user, until it is put away.
#[derive(Clone, Debug)]
pub(super) struct Notice {
    pub(super) text: String,
    pub(super) bad: bool,
    pub(super) about: About,
    pub(super) since: Instant,
    /// What stands behind it, for who asks.
    pub(super) more: Vec<String>,
    /// Somebody has asked.
    pub(super) all: bool,
}

impl Window {
    /// Says something of its own.
    pub(super) fn say(&mut self, text: impl Into<String>, bad: bool) {
        self.tell(About::Else, text, bad);
    }

    /// Says something about a thing, in place of what was said of it before.
    pub(super) fn tell(&mut self, about: About, text: impl Into<String>, bad: bool) {
        let text = text.into();
        self.well(about);
        self.notices.retain(|notice| notice.text != text);
        self.notices.push(Notice {
            text,
            bad,
            about,
            since: Instant::now(),
            more: Vec::new(),
            all: false,
        });
        if self.notices.len() > MOST {
            let _ = self.notices.remove(0);
        }
    }

    /// What stands behind the last thing said: shown when somebody asks.
    pub(super) fn tell_more(&mut self, more: Vec<String>) {
        if let Some(notice) = self.notices.last_mut() {
            notice.more = more;
        }
    }

    /// A thing went well without a word: what was said of it before is over.
    pub(super) fn well(&mut self, about: About) {
        self.notices
            .retain(|notice| about == About::Else || notice.about != about);
    }

    /// Good news that was there to be read goes when the work goes on.
    pub(super) fn old_news(&mut self) {
        self.notices
            .retain(|notice| notice.bad || notice.since.elapsed() < NEWS);
    }
}
