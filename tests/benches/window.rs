//! A frame of the main screen in the middle of a list of 100 000 and of 1 000 000 rows, and a keystroke that reaches 1 000 cells.
//! On a screen (`xvfb-run cargo bench --features window --bench window` makes one) also the time from start to the first
//! frame, beside that of an empty window in the same run; and tables that are pasted into a new list, alone with `-- pasted`. Prints times and their ratio; fails nothing. All data is invented.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, missing_docs)]

use std::fmt::Write as _;
use std::sync::Arc;
use std::time::Instant;

use eframe::egui;
use polepair::session::{Command, Session};
use polepair::window::Window;
use polepair::window::command::Act;
use polepair::window::panels::doubts::Watch;
use polepair::window::spot::{Field, Spot};
use polepair::workbook::change::Change;

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
    /// The longest frame since something was asked for, in seconds.
    longest: f64,
    /// Where its file is.
    _folder: tempfile::TempDir,
}

impl Screen {
    fn open(text: &str) -> Screen {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("bench.pole");
        std::fs::write(&path, text).unwrap();
        let ctx = egui::Context::default();
        let window = Window::new(&ctx, Some(path), None);
        let mut screen = Screen {
            ctx,
            window,
            longest: 0.0,
            _folder: folder,
        };
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

    fn rows(&self) -> usize {
        self.window.session().unwrap().results().sheets[0].items.len()
    }

    /// Has something done, and says how long it took and what the longest frame was meanwhile.
    fn done(&mut self, what: &str, ask: impl FnOnce(&mut Screen)) {
        self.longest = 0.0;
        let begin = Instant::now();
        ask(self);
        loop {
            self.longest = self.longest.max(self.frame(Vec::new()));
            if self.window.is_idle() {
                break;
            }
            std::thread::sleep(std::time::Duration::from_millis(5));
        }
        let took = begin.elapsed().as_secs_f64() * 1e3;
        // What comes back is read in the frame behind it; then what it leads to may still be looked at.
        let mut quiet = 0;
        while quiet < 3 {
            self.longest = self.longest.max(self.frame(Vec::new()));
            let here = self.window.is_idle() && self.window.session().is_some();
            quiet = if here { quiet + 1 } else { 0 };
            std::thread::sleep(std::time::Duration::from_millis(u64::from(!here) * 5));
        }
        println!(
            "          {what:34} there after {took:6.0} ms, the longest frame meanwhile {:6.1} ms",
            self.longest * 1e3
        );
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
        let mut output = self.ctx.run_ui(input, |ui| self.window.show(ui));
        output.textures_delta.clear();
        let _ = self.ctx.tessellate(output.shapes, output.pixels_per_point);
        begin.elapsed().as_secs_f64()
    }
}

fn median(mut times: Vec<f64>) -> f64 {
    times.sort_by(f64::total_cmp);
    times[times.len() / 2] * 1e3
}

/// An app that closes once it has drawn.
struct Once<D: FnMut(&mut egui::Ui)>(D, u32);

impl<D: FnMut(&mut egui::Ui)> eframe::App for Once<D> {
    fn ui(&mut self, ui: &mut egui::Ui, _: &mut eframe::Frame) {
        (self.0)(ui);
        self.1 += 1;
        if self.1 == 1 {
            ui.ctx().send_viewport_cmd(egui::ViewportCommand::Close);
        }
    }
}

/// What the bench does when it calls itself: one window, one frame.
fn child(what: &str) {
    let options = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default().with_inner_size([1280.0, 800.0]),
        ..Default::default()
    };
    let whole = what == "whole";
    let made = eframe::run_native(
        "bench",
        options,
        Box::new(move |made| {
            let mut window = whole.then(|| Window::new(&made.egui_ctx, None, None));
            let draw = move |ui: &mut egui::Ui| match &mut window {
                Some(window) => window.show(ui),
                None => {
                    let _ = ui.label("empty");
                }
            };
            Ok(Box::new(Once(draw, 0)))
        }),
    );
    made.unwrap();
}

/// From start to the first frame and out again: the whole window beside an empty one, in turn.
fn starts() {
    let screens = ["DISPLAY", "WAYLAND_DISPLAY"];
    if !screens.iter().any(|name| std::env::var_os(name).is_some()) {
        println!("start: not measured, there is no screen (xvfb-run makes one)");
        return;
    }
    let this = std::env::current_exe().unwrap();
    let mut times = [Vec::new(), Vec::new()];
    for _ in 0..11 {
        for (what, times) in ["empty", "whole"].iter().zip(&mut times) {
            let begin = Instant::now();
            let status = std::process::Command::new(&this).env(CHILD, what).status().unwrap();
            assert!(status.success());
            times.push(begin.elapsed().as_secs_f64());
        }
    }
    let [empty, whole] = times.map(median);
    println!(
        "start to first frame: {whole:.0} ms, an empty window {empty:.0} ms, apart {:.0} ms (target 200 ms)",
        whole - empty
    );
}

/// A list of motors as text, each tenth of them doubted.
fn motors(rows: usize) -> String {
    let mut list = String::from("Tag;kW;rpm;poles;Hz;Efficiency %;Measured kW;Measured rpm\n");
    for row in 0..rows {
        let speed = if row % 10 == 0 { 1500 } else { 1465 };
        let _ = writeln!(list, "A-{row};15;{speed};4;50;90;10;1480");
    }
    list
}

/// A list read into a window.
fn read(rows: usize) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("list.csv");
    std::fs::write(&path, motors(rows)).unwrap();
    let mut screen = Screen::open("polepair 1\nsheet a\n  given b = 1\n");
    screen.window.read_with(env!("CARGO_BIN_EXE_polepair").into());
    let enter = egui::Event::Key {
        key: egui::Key::Enter,
        physical_key: None,
        pressed: true,
        repeat: false,
        modifiers: egui::Modifiers::NONE,
    };
    println!("{rows:9} rows of a list:");
    screen.done("read into the window", |screen| {
        screen.window.ask(Act::Import);
        let _ = screen.frame(Vec::new());
        let _ = screen.frame(Vec::new());
        let _ = screen.frame(vec![egui::Event::Text(path.display().to_string())]);
        let _ = screen.frame(vec![enter.clone()]);
    });
    assert_eq!(screen.rows(), rows);
    let field = Field::Value(rows / 2);
    for name in ["P_r", "tag"] {
        let quantities = &screen.window.session().unwrap().results().sheets[0].quantities;
        let quantity = quantities.iter().position(|known| *known.name == *name).unwrap();
        let text = if name == "tag" { "B-1" } else { "66" };
        screen.window.go(0, Spot { quantity, field });
        let _ = screen.frame(Vec::new());
        let _ = screen.frame(vec![egui::Event::Text(text.to_owned())]);
        screen.done(&format!("{name} typed, with its rules"), |screen| {
            screen.longest = screen.longest.max(screen.frame(vec![enter.clone()]));
        });
    }
    let session = screen.window.session().unwrap();
    let begin = Instant::now();
    let text = session.text();
    println!(
        "          the text of a copy against a crash: {:.0} ms for {:.1} MB",
        begin.elapsed().as_secs_f64() * 1e3,
        text.len() as f64 / 1e6
    );
}

/// A list read from a file, each tenth of its motors doubted; a reading typed again and again, without and with the look at the rules
/// that the thread of the session takes after it.
fn doubts_of(rows: usize) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("list.csv");
    std::fs::write(&path, motors(rows)).unwrap();
    let options = polepair::plates::Options {
        program: None,
        ..polepair::plates::Options::of_this_program()
    };
    let mut import = polepair::plates::import(&path, &options).unwrap();
    let mut session = Session::with(std::mem::take(&mut import.workbook));
    import.take(session.results());
    let doubts = import.report.doubts.len();
    let begin = Instant::now();
    let mut watch = Watch::new(Arc::new(import.report), &session);
    let first = begin.elapsed().as_secs_f64() * 1e3;
    let mut typed = |turn: usize, watch: Option<&mut Watch>| {
        let change = Change::SetCell {
            list: "motors".into(),
            row: rows / 2 + 1,
            quantity: "P_in".into(),
            text: if turn.is_multiple_of(2) { "100 kW" } else { "10 kW" }.into(),
        };
        let begin = Instant::now();
        let _ = session.apply(Command::one("set", change)).unwrap();
        if let Some(watch) = watch {
            watch.step(&mut session);
        }
        begin.elapsed().as_secs_f64()
    };
    let alone = median((0..20).map(|turn| typed(turn, None)).collect());
    // The first doubt gives the list what its loads need to look at trust; later ones find it there.
    let begins = typed(0, Some(&mut watch)) * 1e3;
    let after = median((1..21).map(|turn| typed(turn, Some(&mut watch))).collect());
    println!(
        "{rows:9} rows, {doubts} doubts: first look {first:.0} ms; a reading typed {alone:.2} ms, with its rules {after:.2} ms, the first time {begins:.0} ms"
    );
}

/// With the word `still` behind it the bench draws nothing else than frames of one list, for a profiler to look at.
fn still() {
    let mut screen = Screen::open(&list(100_000));
    let field = Field::Value(50_000);
    screen.window.go(0, Spot { quantity: 3, field });
    for _ in 0..10 {
        let _ = screen.frame(Vec::new());
    }
    let times = median((0..4_000).map(|_| screen.frame(Vec::new())).collect());
    println!("a frame {times:6.3} ms");
}

/// A table of motors pasted into a new list, with its headings and without them.
fn pasted(rows: usize) {
    println!("{rows:9} rows pasted into a new list");
    for headed in [true, false] {
        let mut screen = Screen::open("polepair 1\nlist new\n  given tag : text\n  rows tag\n");
        let mut table = String::from(if headed { "Tag\tP\tn\tI\n" } else { "" });
        for row in 0..rows {
            let (power, speed, current) = (1 + row % 90, 1440 + row % 55, 2 + row % 150);
            let _ = match headed {
                true => writeln!(table, "M-{}\t{power} kW\t{speed} r/min\t{current} A", row / 3),
                false => writeln!(table, "M-{row}"),
            };
        }
        let what = if headed {
            "four columns, with headings"
        } else {
            "one column, without"
        };
        screen.done(what, |screen| {
            screen.longest = screen.longest.max(screen.frame(vec![egui::Event::Paste(table)]));
        });
        assert!(screen.rows() >= rows, "{}", screen.rows());
        for (quantity, what) in [
            (1, "grouped by a column of 90 values"),
            (0, "grouped by one of rows / 3 values"),
        ] {
            let place = Spot {
                quantity,
                field: Field::Symbol,
            };
            if headed {
                screen.window.go(0, place);
                screen.done(what, |screen| screen.window.ask(Act::Group));
                assert_eq!(screen.window.session().unwrap().results().sheets.len(), 3 - quantity);
            }
        }
        screen.done("taken back", |screen| screen.window.ask(Act::Undo));
    }
}

/// Says to the bench that it was called by itself.
const CHILD: &str = "POLEPAIR_BENCH_WINDOW";

fn main() {
    if let Ok(what) = std::env::var(CHILD) {
        child(&what);
        return;
    }
    if std::env::args().any(|arg| arg == "still") {
        still();
        return;
    }
    if std::env::args().any(|arg| arg == "pasted") {
        [1_000, 10_000, 100_000].into_iter().for_each(pasted);
        return;
    }
    starts();
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
        let load = Spot {
            quantity: 10,
            field: Field::Value(rows / 2),
        };
        let pasted: String = (0..1_000)
            .map(|row| format!("N-{row}\tYard\t11 kW\t1460 r/min\t4 pole\t1478 r/min\n"))
            .collect();
        screen.done("a row put in", |screen| screen.window.ask(Act::InsertAfter));
        assert_eq!(screen.rows(), rows + 1);
        screen.window.go(0, load);
        screen.done("rows ordered by a worked value", |screen| {
            screen.window.ask(Act::SortDown)
        });
        screen.done("back in the order of the list", |screen| {
            screen.window.ask(Act::SortNone)
        });
        screen.done("only rows where load > 60 %", |screen| {
            screen.window.ask(Act::Filter);
            let _ = screen.frame(Vec::new());
            let _ = screen.frame(Vec::new());
            let _ = screen.frame(vec![egui::Event::Text("load > 60 %".to_owned())]);
            let _ = screen.frame(vec![key(egui::Key::Enter)]);
        });
        screen.done("all rows again", |screen| screen.window.ask(Act::ShowAll));
        screen.window.go(
            0,
            Spot {
                quantity: 0,
                field: Field::Value(rows),
            },
        );
        screen.done("1 000 rows pasted behind the last", |screen| {
            screen.longest = screen.longest.max(screen.frame(vec![egui::Event::Paste(pasted)]));
        });
        assert!(screen.rows() > rows + 900, "{}", screen.rows());
        screen.window.go(
            0,
            Spot {
                quantity: 2,
                field: Field::Symbol,
            },
        );
        screen.done("a column renamed", |screen| {
            screen.window.ask(Act::Rename);
            let _ = screen.frame(Vec::new());
            let _ = screen.frame(vec![egui::Event::Text("P_plate".to_owned())]);
            screen.longest = screen.longest.max(screen.frame(vec![key(egui::Key::Enter)]));
        });
        screen.done("a column taken away", |screen| screen.window.ask(Act::Delete));
        screen.done("and back", |screen| screen.window.ask(Act::Undo));
        let session = screen.window.session().unwrap();
        assert!(
            session.results().sheets[0]
                .quantities
                .iter()
                .any(|known| &*known.name == "P_plate")
        );
        screen.done("saved", |screen| screen.window.ask(Act::Save));
        let session = screen.window.session().unwrap();
        let begin = Instant::now();
        let text = session.text();
        println!(
            "          the text of a copy against a crash: {:.0} ms for {:.1} MB",
            begin.elapsed().as_secs_f64() * 1e3,
            text.len() as f64 / 1e6
        );
    }
    pasted(10_000);
    read(5_000);
    read(100_000);
    doubts_of(5_000);
    doubts_of(100_000);
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
