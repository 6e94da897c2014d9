//! A frame of the main screen in the middle of a list of 100 000 and of 1 000 000 rows, and a keystroke that reaches 1 000 cells.
//! Prints times and their ratio; fails nothing. All data is invented.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, missing_docs)]

use std::fmt::Write as _;
use std::time::Instant;

use eframe::egui;
use polepair::window::Window;
use polepair::window::spot::{Field, Spot};

fn list(rows: usize) -> String {
    let mut text = String::from(
        "polepair 1
list motors
  given tag : text
  given area : text
  given P_r in kW : shaft power
  given n_r in r/min : rated speed
  given p in pole : poles
  given n in r/min : measured speed
  given f = 50 Hz : frequency
  work n_s = f / p in r/min
  work s_r = (n_s - n_r) / n_s in %
  work s = (n_s - n) / n_s in %
  work load = (n_s - n) / (n_s - n_r) in %
  work P_2 = load * P_r in kW
  rows tag | area | P_r | n_r | p | n
",
    );
    for row in 0..rows {
        let _ = writeln!(
            text,
            "    \"M-{row}\" | \"Hall\" | {} kW | {} r/min | 4 pole | {} r/min",
            1 + row % 90,
            1400 + row % 80,
            1480 + row % 15
        );
    }
    text
}

struct Screen {
    ctx: egui::Context,
    window: Window,
}

impl Screen {
    fn open(text: &str) -> Screen {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("bench.pole");
        std::fs::write(&path, text).unwrap();
        let ctx = egui::Context::default();
        let window = Window::new(&ctx, Some(path), None);
        let mut screen = Screen { ctx, window };
        loop {
            let _ = screen.frame(Vec::new());
            let there = screen
                .window
                .session()
                .is_some_and(|session| !session.results().sheets.is_empty());
            if there && screen.window.is_idle() {
                return screen;
            }
            std::thread::sleep(std::time::Duration::from_millis(20));
        }
    }

    /// Layout and tessellation, in seconds.
    fn frame(&mut self, events: Vec<egui::Event>) -> f64 {
        let input = egui::RawInput {
            screen_rect: Some(egui::Rect::from_min_size(egui::Pos2::ZERO, egui::vec2(1280.0, 1000.0))),
            events,
            focused: true,
            ..egui::RawInput::default()
        };
        let begin = Instant::now();
        let output = self.ctx.run_ui(input, |ui| self.window.show(ui));
        let _ = self.ctx.tessellate(output.shapes, output.pixels_per_point);
        begin.elapsed().as_secs_f64()
    }
}

fn median(mut times: Vec<f64>) -> f64 {
    times.sort_by(f64::total_cmp);
    times[times.len() / 2] * 1e3
}

fn main() {
    let mut medians = Vec::new();
    for rows in [1_000, 100_000, 1_000_000] {
        let mut screen = Screen::open(&list(rows));
        screen.window.go(
            0,
            Spot {
                quantity: 3,
                field: Field::Value(rows / 2),
            },
        );
        for _ in 0..10 {
            let _ = screen.frame(Vec::new());
        }
        let still = median((0..200).map(|_| screen.frame(Vec::new())).collect());
        let key = |key| egui::Event::Key {
            key,
            physical_key: None,
            pressed: true,
            repeat: false,
            modifiers: egui::Modifiers::NONE,
        };
        let moving = median((0..200).map(|_| screen.frame(vec![key(egui::Key::PageDown)])).collect());
        println!("{rows:9} rows: a frame {still:6.3} ms, turning pages {moving:6.3} ms (target 2 ms at 100 000)");
        medians.push(still);
    }
    println!("growth from 100 000 to 1 000 000 rows: {:.2}", medians[2] / medians[1]);

    let mut chain = String::from("polepair 1\nsheet bench\n  given c_0 = 1 kW : shaft power\n");
    for link in 1..=1000 {
        let _ = writeln!(chain, "  work c_{link} = c_{} + 2 W in kW", link - 1);
    }
    let mut screen = Screen::open(&chain);
    let mut times = Vec::new();
    for turn in 0..40 {
        screen.window.go(
            0,
            Spot {
                quantity: 0,
                field: Field::Value(0),
            },
        );
        let _ = screen.frame(Vec::new());
        let _ = screen.frame(vec![egui::Event::Text(format!("{turn}.5 kW"))]);
        let enter = egui::Event::Key {
            key: egui::Key::Enter,
            physical_key: None,
            pressed: true,
            repeat: false,
            modifiers: egui::Modifiers::NONE,
        };
        let begin = Instant::now();
        let _ = screen.frame(vec![enter]);
        let mut frames = 1;
        while !screen.window.is_idle() {
            let _ = screen.frame(Vec::new());
            frames += 1;
        }
        let _ = screen.frame(Vec::new());
        times.push(begin.elapsed().as_secs_f64());
        if turn == 39 {
            println!("Enter to 1 000 new values: worked within {frames} frame(s)");
        }
    }
    println!("Enter to 1 000 new values on the screen: {:.2} ms", median(times));
}
