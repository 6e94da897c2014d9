//! What stands in the folder of a path that is being written, so that a file is found where the system has no dialogue for files.
//!
//! Always: a folder is read beside the frames; what is offered is a folder, or a file that fits what is asked for.
//! Not known here: what is done with the path.

use std::path::{Path, PathBuf, is_separator};

use eframe::egui::{self, Key, Modifiers, RichText, Ui};

use super::Window;
use super::dialog::at_home;
use crate::window::door::Arrived;
use crate::window::look;

/// Names offered at once at most.
const MOST: usize = 12;

/// Names that are read of a folder at most.
const READ: usize = 5000;

/// A folder that was looked into, or is being looked into.
#[derive(Debug, Default)]
pub(super) struct Beside {
    folder: Option<PathBuf>,
    names: Vec<String>,
}

impl Beside {
    /// What stands there has been read.
    pub(super) fn came(&mut self, folder: &Path, names: Vec<String>) {
        if self.folder.as_deref() == Some(folder) {
            self.names = names;
        }
    }

    /// The names that go on with what was begun; hidden ones only for who asks for them.
    fn offers(&self, begun: &str, endings: &[&str]) -> Vec<&str> {
        let begun = begun.to_lowercase();
        let fits = |name: &&str| {
            let ending = Path::new(name).extension().unwrap_or_default();
            let is_wanted =
                name.ends_with(is_separator) || endings.iter().any(|known| ending.eq_ignore_ascii_case(known));
            is_wanted && name.to_lowercase().starts_with(&begun) && (begun.starts_with('.') || !name.starts_with('.'))
        };
        self.names.iter().map(String::as_str).filter(fits).collect()
    }
}

/// A path that is being written: its folder with the sign that ends it, and the name that is begun.
fn parted(text: &str) -> (&str, &str) {
    let at = text.rfind(is_separator).map_or(0, |at| at + 1);
    text.split_at_checked(at).unwrap_or(("", text))
}

/// Names of what stands in a folder, folders first; those end in a separator.
fn names_in(folder: &Path) -> Vec<String> {
    let Ok(entries) = std::fs::read_dir(folder) else {
        return Vec::new();
    };
    let mut names: Vec<(bool, String)> = entries
        .flatten()
        .take(READ)
        .filter_map(|entry| {
            let name = entry.file_name().into_string().ok()?;
            let is_file = !entry.path().is_dir();
            let end = if is_file { "" } else { std::path::MAIN_SEPARATOR_STR };
            Some((is_file, format!("{name}{end}")))
        })
        .collect();
    names.sort_by_cached_key(|(is_file, name)| (*is_file, name.to_lowercase()));
    names.into_iter().map(|(_, name)| name).collect()
}

/// What all of some names begin with.
fn common(names: &[&str]) -> String {
    let Some((first, rest)) = names.split_first() else {
        return String::new();
    };
    let mut common = (*first).to_owned();
    for name in rest {
        let alike = common.chars().zip(name.chars()).take_while(|(one, other)| one == other);
        let length = alike.map(|(letter, _)| letter.len_utf8()).sum();
        common.truncate(length);
    }
    common
}

impl Window {
    /// Offers what goes on with a path; gives the path with what was pressed, or completed by Tab, and whether one of the names has the keys.
    pub(super) fn path_offers(
        &mut self,
        ui: &mut Ui,
        text: &str,
        endings: &[&str],
        field: &egui::Response,
    ) -> (Option<String>, bool) {
        let (folder, begun) = parted(text);
        let looked = if folder.is_empty() {
            PathBuf::from(".")
        } else {
            at_home(folder)
        };
        if self.beside.folder.as_ref() != Some(&looked) {
            self.beside = Beside {
                folder: Some(looked.clone()),
                names: Vec::new(),
            };
            self.door.quietly(move || {
                let names = names_in(&looked);
                Arrived::Beside(looked, names)
            });
        }
        let offers = self.beside.offers(begun, endings);
        let completed = Some(common(&offers)).filter(|whole| whole.len() > begun.len());
        // While there is something to complete, Tab does that and does not go on to the buttons.
        if field.has_focus() {
            let filter = egui::EventFilter {
                tab: completed.is_some(),
                horizontal_arrows: true,
                vertical_arrows: true,
                escape: false,
            };
            ui.memory_mut(|memory| memory.set_focus_lock_filter(field.id, filter));
        }
        let is_struck = |ui: &Ui| ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Tab));
        let mut taken = completed.filter(|_| field.has_focus() && is_struck(ui));
        let mut held = false;
        let _ = ui.horizontal_wrapped(|ui| {
            for name in offers.iter().take(MOST) {
                let button = ui.small_button(*name);
                held |= button.has_focus();
                if button.clicked() {
                    taken = Some((*name).to_owned());
                }
            }
            if let Some(more) = offers.len().checked_sub(MOST).filter(|more| *more > 0) {
                let words = RichText::new(format!("and {more} more")).color(look::of(ui).words);
                let _ = ui.label(words.size(13.0));
            }
        });
        (taken.map(|name| format!("{folder}{name}")), held)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn what_goes_on_with_a_path_is_offered() {
        let folder = tempfile::tempdir().unwrap();
        for name in ["Pumps.pole", "pumps-2.pole", "plan.txt", ".kept.pole", "Motör.pole"] {
            std::fs::write(folder.path().join(name), "").unwrap();
        }
        std::fs::create_dir(folder.path().join("plant")).unwrap();
        let mut beside = Beside {
            folder: Some(folder.path().to_owned()),
            names: Vec::new(),
        };
        beside.came(Path::new("elsewhere"), vec!["other.pole".to_owned()]);
        assert_eq!(beside.names, Vec::<String>::new());
        beside.came(folder.path(), names_in(folder.path()));
        let plant = format!("plant{}", std::path::MAIN_SEPARATOR);
        let all = beside.offers("", &["pole"]);
        assert_eq!(all, [plant.as_str(), "Motör.pole", "pumps-2.pole", "Pumps.pole"]);
        assert_eq!(beside.offers("PU", &["pole"]), ["pumps-2.pole", "Pumps.pole"]);
        assert_eq!(beside.offers("p", &["txt"]), [plant.as_str(), "plan.txt"]);
        assert_eq!(beside.offers(".k", &["pole"]), [".kept.pole"]);
        assert_eq!(names_in(&folder.path().join("nowhere")), Vec::<String>::new());
    }

    #[test]
    fn a_path_is_completed_as_far_as_it_is_sure() {
        assert_eq!(parted("/a/b/pu"), ("/a/b/", "pu"));
        assert_eq!(parted("pu"), ("", "pu"));
        assert_eq!(parted("~/"), ("~/", ""));
        assert_eq!(common(&["motör-1", "motör-2"]), "motör-");
        assert_eq!(common(&["only"]), "only");
        assert_eq!(common(&[]), "");
        assert_eq!(common(&["é", "è"]), "");
    }
}
