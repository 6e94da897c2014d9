//! The window, without a screen: what a user finds by its accessible name, presses and types.
//!
//! `grid` typing and moving in sheets and lists; `columns` headings, whole columns and lines, groups, notes, menus; `typing` what is typed is seen and not lost; `completion` what could stand at the cursor; `pasting` what comes from the clipboard; `headings` tables with headings pasted over what is there; `unknown` those that say that nothing is known of a place; `pointing` what the mouse finds beyond pressing; `sight` what stays in sight; `commands` every command of the list; `panels` and `beside` what stands beside the grid; `curves` plots;
//! `live` what is said of a text before it is taken in; `files` open, save, import, hand over, recover; `looks` main screens as pictures. Values are compared with `polepair work --json` of the saved file: what the window shows is what the program works.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    missing_docs
)]

mod beside;
mod columns;
mod commands;
mod curves;
mod equipment;
mod files;
mod completion;
mod grid;
mod headings;
mod lines;
mod live;
mod looks;
mod moving;
mod narrowed;
mod panels;
mod pasting;
mod pointing;
mod sight;
mod typing;
mod units;
mod unknown;
mod whole;

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use eframe::egui::{self, Event, Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use polepair::window::command::{Act, Command};
use polepair::window::spot::{Field, Spot};
use polepair::window::{Window, look};

/// A window under test.
pub struct Screen {
    harness: Harness<'static, Option<Window>>,
    copied: Option<String>,
}

impl Screen {
    /// A window with a file.
    pub fn with_file(file: &Path) -> Screen {
        let mut screen = Screen::made(Some(file.to_owned()), None, None);
        screen.settle();
        screen
    }

    /// A window with a file, and a folder for work that has none.
    pub fn with_state(file: &Path, state: &Path) -> Screen {
        let mut screen = Screen::made(Some(file.to_owned()), Some(state.to_owned()), None);
        screen.settle();
        screen
    }

    /// A window with the text of a workbook in a file of its own.
    pub fn with(folder: &Path, text: &str) -> (Screen, PathBuf) {
        let path = folder.join("test.pole");
        std::fs::write(&path, text).unwrap();
        (Screen::with_file(&path), path)
    }

    /// A window with the text of a workbook, and a text that is pasted at the place of a quantity there.
    pub fn pasted(folder: &Path, text: &str, (sheet, quantity, field): (&str, &str, Field), table: &str) -> Screen {
        let (mut screen, _) = Screen::with(folder, text);
        screen.go(sheet, quantity, field);
        paste(&mut screen, table);
        screen
    }

    /// A window with the first page.
    pub fn first(state: Option<PathBuf>) -> Screen {
        let mut screen = Screen::made(None, state, None);
        screen.settle();
        screen
    }

    /// A list that is read in a window; without a folder it is one of the project.
    pub fn of_list(list: impl AsRef<Path>) -> Screen {
        let mut screen = Screen::first(None);
        let list = Path::new(env!("CARGO_MANIFEST_DIR")).join(list);
        screen.keys(Modifiers::COMMAND, Key::I);
        screen.answer(&list.display().to_string());
        screen
    }

    /// A window with a file that remembers its looks in another one.
    pub fn with_habits(file: &Path, habits: &Path) -> Screen {
        let mut screen = Screen::made(Some(file.to_owned()), None, Some(habits.to_owned()));
        screen.settle();
        screen
    }

    fn made(file: Option<PathBuf>, state: Option<PathBuf>, habits: Option<PathBuf>) -> Screen {
        let harness = Harness::builder()
            .with_size(egui::vec2(1280.0, 800.0))
            .with_os(egui::os::OperatingSystem::Nix)
            .with_context_setup(look::dress)
            .build_ui_state(
                move |ui, window: &mut Option<Window>| {
                    window
                        .get_or_insert_with(|| {
                            let mut window = Window::new(ui.ctx(), file.clone(), state.clone());
                            // The program of the tests is none that reads lists.
                            window.read_with(env!("CARGO_BIN_EXE_polepair").into());
                            if let Some(habits) = habits.clone() {
                                window.remember_in(ui.ctx(), habits);
                            }
                            window
                        })
                        .show(ui);
                },
                None,
            );
        Screen { harness, copied: None }
    }

    pub fn window(&mut self) -> &mut Window {
        self.harness.state_mut().as_mut().unwrap()
    }

    /// Draws until everything asked for is done.
    pub fn settle(&mut self) {
        let begin = Instant::now();
        let mut quiet = 0;
        while quiet < 3 {
            self.harness.step();
            for command in &self.harness.output().platform_output.commands {
                if let egui::OutputCommand::CopyText(text) = command {
                    self.copied = Some(text.clone());
                }
            }
            let idle = self.window().is_idle();
            quiet = if idle { quiet + 1 } else { 0 };
            if !idle {
                std::thread::sleep(Duration::from_millis(2));
            }
            assert!(
                begin.elapsed() < Duration::from_secs(180),
                "the window does not come to rest"
            );
        }
    }

    pub fn text(&mut self) -> String {
        self.settle();
        flat(&self.window().session().unwrap().text())
    }

    /// Chooses a place by the symbol of its quantity.
    pub fn go(&mut self, sheet: &str, quantity: &str, field: Field) {
        let results = self.window().session().unwrap().results();
        let at = results.sheets.iter().position(|known| &*known.name == sheet).unwrap();
        let quantity = results.sheets[at]
            .quantities
            .iter()
            .position(|known| &*known.name == quantity)
            .unwrap_or_else(|| panic!("no quantity {quantity}"));
        self.window().go(at, Spot { quantity, field });
        self.settle();
        assert_eq!(self.window().chosen(), Some((at, Spot { quantity, field })));
    }

    pub fn ask(&mut self, act: Act) {
        self.window().ask(act);
        self.settle();
    }

    pub fn key(&mut self, key: Key) {
        self.harness.key_press(key);
        self.settle();
    }

    pub fn keys(&mut self, modifiers: Modifiers, key: Key) {
        self.harness.key_press_modifiers(modifiers, key);
        self.settle();
    }

    /// Letters as they come from a keyboard.
    pub fn letters(&mut self, text: &str) {
        self.harness.event(Event::Text(text.to_owned()));
        self.settle();
    }

    /// All in one frame, as when the machine is slower than the fingers.
    pub fn at_once(&mut self, events: Vec<Event>) {
        self.harness.input_mut().events.extend(events);
        self.settle();
    }

    /// Each in a frame of its own, as they come from fingers.
    pub fn one_by_one(&mut self, events: Vec<Event>) {
        for event in events {
            self.harness.input_mut().events.push(event);
            self.harness.step();
        }
        self.settle();
    }

    /// Types a text in the chosen place and goes on.
    pub fn enter(&mut self, text: &str) {
        self.letters(text);
        self.key(Key::Enter);
    }

    /// The value of a place as those who listen hear it.
    pub fn hears(&self, label: &str) -> Option<String> {
        self.harness.query_all_by_label(label).find_map(|node| node.value())
    }

    /// What is told of a place to those who listen, behind its value.
    pub fn described(&self, label: &str) -> Option<String> {
        let mut nodes = self.harness.query_all_by_label(label);
        nodes.find_map(|node| node.accesskit_node().description())
    }

    /// What was copied last, once.
    pub fn copied(&mut self) -> Option<String> {
        self.copied.take()
    }

    /// Where a place stands on the screen.
    pub fn rect(&self, label: &str) -> Option<egui::Rect> {
        self.harness.query_all_by_label(label).next().map(|node| node.rect())
    }

    /// Where everything of a name stands on the screen.
    pub fn rects(&self, label: &str) -> Vec<egui::Rect> {
        self.harness.query_all_by_label(label).map(|node| node.rect()).collect()
    }

    /// Where something stands on the screen, by a part of its name.
    pub fn part_rect(&self, part: &str) -> Option<egui::Rect> {
        let mut found = self.harness.query_all_by_label_contains(part);
        found.next().map(|node| node.rect())
    }

    /// The system asks the window to close.
    pub fn cross(&mut self) {
        let id = egui::ViewportId::ROOT;
        let input = self.harness.input_mut();
        input
            .viewports
            .entry(id)
            .or_default()
            .events
            .push(egui::ViewportEvent::Close);
        self.harness.step();
        let input = self.harness.input_mut();
        input.viewports.entry(id).or_default().events.clear();
        self.settle();
    }

    /// Makes the window larger or smaller.
    pub fn resize(&mut self, width: f32, height: f32) {
        self.harness.set_size(egui::vec2(width, height));
        self.settle();
    }

    pub fn has(&self, label: &str) -> bool {
        self.harness.query_all_by_label(label).next().is_some()
    }

    pub fn has_part(&self, part: &str) -> bool {
        self.harness.query_all_by_label_contains(part).next().is_some()
    }

    pub fn click(&mut self, label: &str) {
        {
            let mut found: Vec<_> = self.harness.query_all_by_label(label).collect();
            assert!(!found.is_empty(), "nothing is called {label}");
            found.remove(0).click();
        }
        self.settle();
    }

    /// Presses something while other keys are held down.
    pub fn click_held(&mut self, label: &str, modifiers: Modifiers) {
        {
            let mut found: Vec<_> = self.harness.query_all_by_label(label).collect();
            assert!(!found.is_empty(), "nothing is called {label}");
            found.remove(0).click_modifiers(modifiers);
        }
        self.settle();
    }

    /// Opens the menu of something with the right button; what it offers.
    pub fn menu_of(&mut self, label: &str) -> Vec<String> {
        let before = self.buttons();
        {
            let mut found: Vec<_> = self.harness.query_all_by_label(label).collect();
            assert!(!found.is_empty(), "nothing is called {label}");
            found.remove(0).click_secondary();
        }
        self.settle();
        let mut now = self.buttons();
        for known in before {
            if let Some(at) = now.iter().position(|label| *label == known) {
                let _ = now.remove(at);
            }
        }
        now
    }

    fn buttons(&self) -> Vec<String> {
        let all = self.harness.root().children_recursive();
        all.filter(|node| node.accesskit_node().role() == egui::accesskit::Role::Button)
            .filter_map(|node| node.accesskit_node().label())
            .collect()
    }

    /// Brings something into sight, for what a panel has further down.
    pub fn reveal(&mut self, label: &str) {
        {
            let mut found: Vec<_> = self.harness.query_all_by_label(label).collect();
            assert!(!found.is_empty(), "nothing is called {label}");
            found.remove(0).scroll_to_me();
        }
        self.settle();
    }

    pub fn click_part(&mut self, part: &str) {
        {
            let mut found: Vec<_> = self.harness.query_all_by_label_contains(part).collect();
            assert!(!found.is_empty(), "nothing has {part} in its name");
            found.remove(0).click();
        }
        self.settle();
    }

    /// Presses a command in the open menu.
    pub fn click_command(&mut self, command: &Command) {
        {
            let keys = command
                .keys
                .as_ref()
                .map(polepair::window::command::keys)
                .unwrap_or_default();
            let names = [command.word.to_owned(), format!("{} {keys}", command.word)];
            let found = self.harness.query_all_by_label_contains(command.word).find(|node| {
                let label = node.accesskit_node().label().unwrap_or_default();
                names.contains(&label)
            });
            let found = found.unwrap_or_else(|| panic!("{names:?} is not in {:?}", self.labels()));
            found.click();
        }
        self.settle();
    }

    /// Types in the question that is open.
    pub fn answer(&mut self, text: &str) {
        self.harness.event(Event::Text(text.to_owned()));
        self.settle();
        self.click("Do it");
        self.settle();
    }

    /// Takes hold of something by its name and draws it along its width, in a few steps.
    pub fn drag_to(&mut self, label: &str, from: f32, to: f32) {
        let rect = self.harness.query_all_by_label(label).next().unwrap().rect();
        let at = |share: f32| egui::pos2(rect.min.x + rect.width() * share, rect.center().y);
        self.harness.hover_at(at(from));
        self.harness.drag_at(at(from));
        self.settle();
        for step in 1_u8..=4 {
            self.harness.hover_at(at(from + (to - from) * f32::from(step) / 4.0));
            self.settle();
        }
        self.harness.drop_at(at(to));
        self.settle();
    }

    /// Takes hold of a place and draws it to the right, in a few steps.
    pub fn drag_by(&mut self, at: egui::Pos2, by: f32) {
        self.harness.hover_at(at);
        self.settle();
        self.harness.drag_at(at);
        self.settle();
        for step in 1_u8..=4 {
            self.harness.hover_at(at + egui::vec2(by * f32::from(step) / 4.0, 0.0));
            self.settle();
        }
        self.harness.drop_at(at + egui::vec2(by, 0.0));
        self.settle();
    }

    /// Takes hold of a place and draws it away, in a few steps, without letting go.
    pub fn take_hold(&mut self, at: egui::Pos2, by: egui::Vec2) {
        self.harness.hover_at(at);
        self.settle();
        self.harness.drag_at(at);
        self.settle();
        for step in 1_u8..=12 {
            self.harness.hover_at(at + by * (f32::from(step).min(4.0) / 4.0));
            self.settle();
        }
    }

    /// Lets go of what is held.
    pub fn let_go(&mut self, at: egui::Pos2) {
        self.harness.drop_at(at);
        self.settle();
    }

    /// Presses something twice: the last of that name.
    pub fn double_click(&mut self, label: &str) {
        let at = self.harness.query_all_by_label(label).last().unwrap().rect().center();
        self.harness.hover_at(at);
        self.harness.step();
        let events = [true, false, true, false].map(|pressed| Event::PointerButton {
            pos: at,
            button: egui::PointerButton::Primary,
            pressed,
            modifiers: Modifiers::NONE,
        });
        self.at_once(events.to_vec());
    }

    /// Turns the wheel over something until it comes to rest.
    pub fn scroll_over(&mut self, label: &str, delta: egui::Vec2) {
        let at = self.rect(label).unwrap().center();
        self.harness.hover_at(at);
        self.settle();
        self.harness.event(Event::MouseWheel {
            unit: egui::MouseWheelUnit::Point,
            delta,
            phase: egui::TouchPhase::Move,
            source: egui::MouseWheelSource::Unknown,
            modifiers: Modifiers::NONE,
        });
        for _ in 0..20 {
            self.harness.step();
        }
        self.settle();
    }

    /// Turns the wheel over something; the numbers of which a part was cut off in any frame until it comes to rest.
    pub fn cut_while_scrolled(&mut self, label: &str, delta: egui::Vec2) -> Vec<String> {
        let at = self.rect(label).unwrap().center();
        self.harness.hover_at(at);
        self.settle();
        self.harness.event(Event::MouseWheel {
            unit: egui::MouseWheelUnit::Point,
            delta,
            phase: egui::TouchPhase::Move,
            source: egui::MouseWheelSource::Unknown,
            modifiers: Modifiers::NONE,
        });
        let mut cut = Vec::new();
        for _ in 0..20 {
            self.harness.step();
            cut.extend(self.cut_numbers());
        }
        cut
    }

    /// Numbers that are drawn within a part of the screen, and where the point of each stands, or its end where it has none.
    pub fn points_within(&self, part: egui::Rect) -> Vec<(String, f32)> {
        let mut points = Vec::new();
        for clipped in &self.harness.output().shapes {
            let egui::Shape::Text(text) = &clipped.shape else {
                continue;
            };
            let words = text.galley.text();
            let rect = text.visual_bounding_rect();
            if words.parse::<f64>().is_err() || !part.contains(rect.center()) {
                continue;
            }
            let glyphs = text.galley.rows.iter().flat_map(|row| &row.row.glyphs);
            let point = glyphs.clone().find(|glyph| glyph.chr == '.');
            let x = match (point, glyphs.last()) {
                (Some(point), _) => point.pos.x,
                (None, Some(last)) => last.pos.x + last.advance_width,
                _ => 0.0,
            };
            points.push((words.to_owned(), text.pos.x + x));
        }
        points
    }

    /// How many places the lines have that are drawn with this width; a line of two is a stroke and none.
    pub fn drawn_lines(&self, width: f32) -> Vec<usize> {
        let shapes = self.harness.output().shapes.iter();
        let places = shapes.filter_map(|clipped| match &clipped.shape {
            egui::Shape::Path(path) if (path.stroke.width - width).abs() < 0.01 => Some(path.points.len()),
            _ => None,
        });
        places.filter(|count| *count > 2).collect()
    }

    /// Whether a text is drawn as a whole, somewhere on the screen.
    pub fn draws(&self, words: &str) -> bool {
        self.harness.output().shapes.iter().any(|clipped| match &clipped.shape {
            egui::Shape::Text(text) => {
                let rect = text.visual_bounding_rect();
                let seen = clipped.clip_rect.expand(1.0).contains_rect(rect);
                text.galley.text() == words && !text.galley.elided && seen
            }
            _ => false,
        })
    }

    /// Whether a text with these words is drawn, at least at its beginning.
    pub fn draws_part(&self, words: &str) -> bool {
        self.harness.output().shapes.iter().any(|clipped| match &clipped.shape {
            egui::Shape::Text(text) => {
                let rect = text.visual_bounding_rect();
                text.galley.text().contains(words) && clipped.clip_rect.expand(1.0).contains(rect.left_bottom())
            }
            _ => false,
        })
    }

    /// How often a text is drawn.
    pub fn times_drawn(&self, words: &str) -> usize {
        let shapes = self.harness.output().shapes.iter();
        let is = |shape: &egui::Shape| matches!(shape, egui::Shape::Text(text) if text.galley.text() == words);
        shapes.filter(|clipped| is(&clipped.shape)).count()
    }

    /// Numbers on the screen of which only a part is drawn.
    pub fn cut_numbers(&self) -> Vec<String> {
        let mut cut = Vec::new();
        for clipped in &self.harness.output().shapes {
            let egui::Shape::Text(text) = &clipped.shape else {
                continue;
            };
            let words = text.galley.text();
            let rect = text.visual_bounding_rect();
            let clip = clipped.clip_rect;
            let seen = rect.intersect(clip);
            let whole = clip.min.x <= rect.min.x + 1.0 && clip.max.x >= rect.max.x - 1.0;
            if words.parse::<f64>().is_ok() && seen.is_positive() && (!whole || text.galley.elided) {
                cut.push(words.to_owned());
            }
        }
        cut
    }

    /// Texts right of `left` that are drawn beyond the place they have or behind another part, and those that stand on one another.
    pub fn crowded(&self, left: f32) -> Vec<String> {
        let mut seen: Vec<(String, egui::Rect)> = Vec::new();
        let mut crowded = Vec::new();
        let shapes = &self.harness.output().shapes;
        let covers = |clipped: &egui::epaint::ClippedShape, at: egui::Pos2| match &clipped.shape {
            egui::Shape::Rect(part) => part.fill.is_opaque() && part.rect.intersect(clipped.clip_rect).contains(at),
            _ => false,
        };
        for (index, clipped) in shapes.iter().enumerate() {
            let egui::Shape::Text(text) = &clipped.shape else {
                continue;
            };
            if text.angle.abs() > 0.0 {
                continue;
            }
            let clip = clipped.clip_rect;
            for row in text.galley.rows.iter().filter(|row| !row.glyphs.is_empty()) {
                let rect = row
                    .visuals
                    .mesh_bounds
                    .translate(text.pos.to_vec2() + row.pos.to_vec2());
                // What is scrolled out of sight is cut below or above.
                let in_sight = clip.intersects(rect) && clip.y_range().contains(rect.center().y);
                if rect.max.x < left || rect.height() < 4.0 || !in_sight {
                    continue;
                }
                let words = row.text();
                if rect.min.x < clip.min.x - 1.0 || rect.max.x > clip.max.x + 1.0 {
                    crowded.push(format!("cut: {words} {rect:?}"));
                }
                let begins = egui::pos2(rect.min.x + 1.0, rect.center().y);
                if shapes.iter().skip(index + 1).any(|later| covers(later, begins)) {
                    crowded.push(format!("behind: {words} {rect:?}"));
                }
                // A slanted sign reaches over its neighbours.
                if words.chars().count() < 2 {
                    continue;
                }
                for (other, place) in &seen {
                    if place.shrink(1.0).intersects(rect.shrink(1.0)) {
                        crowded.push(format!("{other} | {words}"));
                    }
                }
                seen.push((words, rect));
            }
        }
        crowded
    }

    /// Holds the pointer over something.
    pub fn point_at(&mut self, label: &str) {
        let at = self.rect(label).unwrap().center();
        self.point_to(at);
    }

    /// Holds the pointer at a place of the screen.
    pub fn point_to(&mut self, at: egui::Pos2) {
        self.harness.hover_at(at);
        self.settle();
    }

    /// Rests with the pointer on something until what is told of it stands there.
    pub fn rest_on(&mut self, label: &str) {
        self.point_at(label);
        for _ in 0..60 {
            self.harness.step();
        }
    }

    /// Lets a file fall on the window.
    pub fn drop_file(&mut self, path: &Path) {
        self.drop_files(&[path]);
    }

    /// Lets files fall on the window, all at once.
    pub fn drop_files(&mut self, paths: &[&Path]) {
        for path in paths {
            let file = std::sync::Arc::new(Dropped((*path).to_owned()));
            self.harness.input_mut().dropped_files.push(file);
        }
        self.settle();
    }

    /// What could stand at the cursor: its words and where they stand.
    pub fn offered(&self) -> Vec<(String, egui::Rect)> {
        let all = self.harness.root().children_recursive();
        all.filter(|node| node.accesskit_node().toggled().is_some())
            .map(|node| (node.accesskit_node().label().unwrap_or_default(), node.rect()))
            .collect()
    }

    /// The name of what has the keys.
    pub fn focused(&self) -> Option<String> {
        let mut all = self.harness.root().children_recursive();
        all.find(|node| node.accesskit_node().is_focused())
            .and_then(|node| node.accesskit_node().label())
    }

    pub fn dark(&self) -> bool {
        self.harness.ctx.global_style().visuals.dark_mode
    }

    pub fn zoom(&self) -> f32 {
        self.harness.ctx.zoom_factor()
    }

    /// Takes the pointer and the blinking cursor away.
    pub fn still(&mut self) {
        self.harness.event(Event::PointerGone);
        self.settle();
    }

    /// Compares the screen with its picture.
    pub fn picture(&mut self, name: &str, options: &egui_kittest::SnapshotOptions) {
        self.harness.snapshot_options(name, options);
    }

    pub fn labels(&self) -> Vec<String> {
        self.harness
            .root()
            .children_recursive()
            .filter_map(|node| node.accesskit_node().label().or_else(|| node.value()))
            .collect()
    }
}

/// A file as it comes with a drop.
#[derive(Debug)]
struct Dropped(PathBuf);

impl egui::DroppedFile for Dropped {
    fn path(&self) -> &Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        std::fs::read(&self.0).map_err(|error| error.to_string())
    }
}

/// Pastes a text where the keys are.
pub fn paste(screen: &mut Screen, text: &str) {
    screen.at_once(vec![Event::Paste(text.to_owned())]);
}

/// A text without the blanks that align it.
pub fn flat(text: &str) -> String {
    let mut out = String::new();
    for letter in text.chars() {
        if letter != ' ' || !out.ends_with(' ') {
            out.push(letter);
        }
    }
    out
}

/// A key event.
pub fn press(key: Key) -> Event {
    held(Modifiers::NONE, key)
}

/// What a pointer sends when something is pressed.
pub fn pressed(at: egui::Pos2) -> [Event; 3] {
    let button = |pressed| Event::PointerButton {
        pos: at,
        button: egui::PointerButton::Primary,
        pressed,
        modifiers: Modifiers::NONE,
    };
    [Event::PointerMoved(at), button(true), button(false)]
}

/// A key event with others held down.
pub fn held(modifiers: Modifiers, key: Key) -> Event {
    Event::Key {
        key,
        physical_key: None,
        pressed: true,
        repeat: false,
        modifiers,
    }
}

/// `work --json` of a file.
pub fn worked(path: &Path) -> serde_json::Value {
    let output = std::process::Command::new(env!("CARGO_BIN_EXE_polepair"))
        .args(["work", "--json"])
        .arg(path)
        .output()
        .unwrap();
    serde_json::from_slice(&output.stdout).unwrap_or_else(|error| {
        panic!("{error}: {}", String::from_utf8_lossy(&output.stderr));
    })
}

/// The shown value of a cell in that JSON.
pub fn json_value(json: &serde_json::Value, sheet: &str, quantity: &str, item: usize) -> Option<String> {
    let sheets = json["sheets"].as_array().unwrap();
    let sheet = sheets.iter().find(|known| known["name"] == sheet).unwrap();
    let quantities = sheet["quantities"].as_array().unwrap();
    let quantity = quantities.iter().find(|known| known["name"] == quantity).unwrap();
    quantity["cells"][item]["value"].as_str().map(str::to_owned)
}
