//! What a user chose for the looks, remembered from one run to the next: light or dark, size, unit system.
//!
//! Always: a small file of its own in the user's folder for settings, never part of a workbook. A file that cannot be read, in
//! whole or in part, never stops the start: what is not understood stays as it is without it.
//! Not known here: when it is read and written.

use std::path::{Path, PathBuf};

use eframe::egui;
use etcetera::BaseStrategy as _;
use serde_json::{Value, json};

use crate::files::{self, FileError};
use crate::quantity::System;

/// Sizes a user may choose, as a share of the usual one.
pub const SIZES: std::ops::RangeInclusive<f32> = 0.5..=3.0;

/// Most bytes of the file that are looked at.
const LONGEST: u64 = 64 * 1024;

/// What was chosen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Habits {
    /// Light or dark; `System`: as the system says.
    pub theme: egui::ThemePreference,
    /// Size, as a share of the usual one.
    pub size: f32,
    /// Unit system.
    pub system: System,
}

impl Default for Habits {
    fn default() -> Habits {
        Habits {
            theme: egui::ThemePreference::System,
            size: 1.0,
            system: System::AsWritten,
        }
    }
}

const THEMES: [(&str, egui::ThemePreference); 3] = [
    ("as the system", egui::ThemePreference::System),
    ("light", egui::ThemePreference::Light),
    ("dark", egui::ThemePreference::Dark),
];

const SYSTEMS: [(&str, System); 3] = [
    ("as written", System::AsWritten),
    ("SI", System::Si),
    ("US customary", System::Us),
];

/// What a word stands for.
fn meant<T: Copy>(words: &[(&str, T)], word: Option<&Value>) -> Option<T> {
    let word = word?.as_str()?;
    words.iter().find(|(known, _)| *known == word).map(|(_, meant)| *meant)
}

/// The word that stands for something.
fn word_for<T: PartialEq>(words: &[(&'static str, T)], wanted: &T) -> &'static str {
    words
        .iter()
        .find(|(_, meant)| meant == wanted)
        .map_or("", |(word, _)| word)
}

impl Habits {
    /// As they are in use.
    pub fn of(ctx: &egui::Context, system: System) -> Habits {
        Habits {
            theme: ctx.options(|options| options.theme_preference),
            size: ctx.zoom_factor(),
            system,
        }
    }

    /// Takes them into use, but for the unit system.
    pub fn put_on(&self, ctx: &egui::Context) {
        ctx.set_theme(self.theme);
        ctx.set_zoom_factor(self.size);
    }

    /// From the text of the file.
    fn read(text: &str) -> Habits {
        let told: Value = serde_json::from_str(text).unwrap_or_default();
        let usual = Habits::default();
        #[allow(clippy::cast_possible_truncation)] // A share between 0.5 and 3.
        let size = told.get("size").and_then(Value::as_f64).map(|size| size as f32);
        Habits {
            theme: meant(&THEMES, told.get("look")).unwrap_or(usual.theme),
            size: size.filter(|size| SIZES.contains(size)).unwrap_or(usual.size),
            system: meant(&SYSTEMS, told.get("units")).unwrap_or(usual.system),
        }
    }

    /// From the file; as usual where there is none.
    pub fn load(path: &Path) -> Habits {
        let small = std::fs::metadata(path).is_ok_and(|about| about.is_file() && about.len() <= LONGEST);
        let bytes = if small { std::fs::read(path).ok() } else { None };
        bytes.map_or_else(Habits::default, |bytes| Habits::read(&String::from_utf8_lossy(&bytes)))
    }

    /// As the text of the file.
    fn write(&self) -> String {
        let told = json!({
            "look": word_for(&THEMES, &self.theme),
            "size": self.size,
            "units": word_for(&SYSTEMS, &self.system),
        });
        format!("{told:#}\n")
    }

    /// Into the file.
    ///
    /// # Errors
    /// Where the file cannot be written.
    pub fn save(&self, path: &Path) -> Result<(), FileError> {
        if let Some(folder) = path.parent() {
            let _ = std::fs::create_dir_all(folder);
        }
        files::save(path, self.write().as_bytes())
    }
}

/// The folders of this user, as the system has them.
fn folders() -> Option<impl etcetera::BaseStrategy> {
    etcetera::choose_base_strategy().ok()
}

/// The file for these.
pub fn file() -> Option<PathBuf> {
    Some(folders()?.config_dir().join("polepair").join("window.json"))
}

/// The folder for work that has no file yet.
pub fn state_folder() -> Option<PathBuf> {
    let folders = folders()?;
    let state = folders.state_dir().unwrap_or_else(|| folders.data_dir());
    Some(state.join("polepair"))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn what_was_chosen_comes_back() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("new").join("window.json");
        assert_eq!(Habits::load(&path), Habits::default());
        for (theme, size, system) in [
            (egui::ThemePreference::Dark, 1.331, System::Us),
            (egui::ThemePreference::Light, 0.5, System::Si),
            (egui::ThemePreference::System, 3.0, System::AsWritten),
        ] {
            let habits = Habits { theme, size, system };
            habits.save(&path).unwrap();
            assert_eq!(Habits::load(&path), habits);
        }
    }

    #[test]
    fn a_broken_file_is_as_none_and_what_is_sound_in_it_holds() {
        let usual = Habits::default();
        for text in [
            "",
            "{",
            "\u{0}\u{1}",
            "[1, 2]",
            "null",
            "{\"look\": 7, \"size\": \"big\", \"units\": null}",
            "{\"size\": 1e300}",
            "{\"size\": -1}",
            "{\"look\": \"pink\", \"size\": 0}",
        ] {
            assert_eq!(Habits::read(text), usual, "{text}");
        }
        let part = Habits::read("{\"look\": \"dark\", \"size\": 99, \"units\": \"SI\", \"later\": {}}");
        assert_eq!(
            (part.theme, part.size, part.system),
            (egui::ThemePreference::Dark, 1.0, System::Si)
        );
        let folder = tempfile::tempdir().unwrap();
        assert_eq!(Habits::load(folder.path()), usual, "a folder in its place");
        let path = folder.path().join("window.json");
        std::fs::write(&path, [0xff, 0xfe, 0x00]).unwrap();
        assert_eq!(Habits::load(&path), usual);
        std::fs::write(&path, vec![b'['; 200_000]).unwrap();
        assert_eq!(Habits::load(&path), usual);
    }
}
