//! How it looks: inks, paper, type, and the marks that tell a typed value from a worked, missing, doubtful or failed one.
//!
//! For: every other file of the window.
//! Always: what must be told apart differs in mark and type beside ink, so that it reads in grey as well.
//! Not known here: what is shown.

use std::sync::{Arc, OnceLock};

use eframe::egui::{
    self, Color32, FallbackRequest, FontData, FontDefinitions, FontFamily, FontId, FontInsert, FontProvider, Stroke,
};
use egui_system_font_provider::SystemFontProvider;

/// What a reader has to tell apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Default)]
pub enum State {
    /// Words about a quantity: label, unit, source.
    #[default]
    Words,
    /// A value that was typed.
    Typed,
    /// A value that was worked.
    Worked,
    /// Worked by a formula of this place alone.
    Own,
    /// No value, and no fault.
    Missing,
    /// Worked, but a warning stands.
    Doubtful,
    /// Not worked because of a fault.
    Failed,
}

impl State {
    /// What is said of a value that a check reads which does not hold.
    pub const UNMET: &str = "read by a check that does not hold";

    /// All of them, for the legend and the tests.
    pub const ALL: [State; 7] = [
        State::Words,
        State::Typed,
        State::Worked,
        State::Own,
        State::Missing,
        State::Doubtful,
        State::Failed,
    ];

    /// The mark beside the value.
    pub fn mark(self) -> &'static str {
        match self {
            State::Words => "",
            State::Typed => "▪",
            State::Worked => "▫",
            State::Own => "◆",
            State::Missing => "○",
            State::Doubtful => "△",
            State::Failed => "✕",
        }
    }

    /// In a word.
    pub fn word(self) -> &'static str {
        match self {
            State::Words => "",
            State::Typed => "typed",
            State::Worked => "worked",
            State::Own => "worked by a formula of its own",
            State::Missing => "missing",
            State::Doubtful => "doubtful",
            State::Failed => "failed",
        }
    }

    /// The type it is set in.
    pub fn font(self, size: f32) -> FontId {
        match self {
            State::Typed => bold(size),
            State::Own | State::Missing | State::Failed => oblique(size),
            State::Words | State::Worked | State::Doubtful => FontId::proportional(size),
        }
    }

    /// Its ink.
    pub fn ink(self, inks: &Inks) -> Color32 {
        match self {
            State::Words => inks.words,
            State::Typed => inks.typed,
            State::Worked | State::Own => inks.ink,
            State::Missing => inks.faint,
            State::Doubtful => inks.doubtful,
            State::Failed => inks.failed,
        }
    }
}

/// Width and height of a mark, in points.
const MARK: f32 = 7.0;

/// Draws the mark of a state around a point: as large as it can be seen on a far wall.
pub fn mark(painter: &egui::Painter, at: egui::Pos2, state: State, ink: Color32) {
    let half = MARK / 2.0;
    let line = Stroke::new(1.5, ink);
    let by = |x: f32, y: f32| egui::pos2(at.x + x * half, at.y + y * half);
    match state {
        State::Words => {}
        State::Typed => {
            let _ = painter.rect_filled(egui::Rect::from_center_size(at, egui::Vec2::splat(MARK)), 0.0, ink);
        }
        State::Worked => {
            let frame = egui::Rect::from_center_size(at, egui::Vec2::splat(MARK - 1.0));
            let _ = painter.rect_stroke(frame, 0.0, Stroke::new(1.2, ink), egui::StrokeKind::Middle);
        }
        State::Own => {
            let corners = vec![by(0.0, -1.3), by(1.3, 0.0), by(0.0, 1.3), by(-1.3, 0.0)];
            let _ = painter.add(egui::Shape::convex_polygon(corners, ink, Stroke::NONE));
        }
        State::Missing => {
            let _ = painter.circle_stroke(at, half, line);
        }
        State::Doubtful => {
            let corners = vec![by(0.0, -1.2), by(1.2, 1.0), by(-1.2, 1.0)];
            let _ = painter.add(egui::Shape::closed_line(corners, line));
        }
        State::Failed => {
            for (from, to) in [(by(-1.0, -1.0), by(1.0, 1.0)), (by(-1.0, 1.0), by(1.0, -1.0))] {
                let _ = painter.line_segment([from, to], Stroke::new(2.0, ink));
            }
        }
    }
}

/// Draws the mark of a value that a check reads which does not hold: a cross in a ring.
pub fn unmet(painter: &egui::Painter, at: egui::Pos2, inks: &Inks) {
    let half = MARK / 2.0;
    let line = Stroke::new(1.4, inks.failed);
    let _ = painter.circle_stroke(at, half + 0.5, line);
    let reach = half * 0.55;
    for (x, y) in [(reach, reach), (reach, -reach)] {
        let by = egui::vec2(x, y);
        let _ = painter.line_segment([at - by, at + by], line);
    }
}

/// Inks on paper.
#[derive(Clone, Copy, Debug)]
pub struct Inks {
    /// Text.
    pub ink: Color32,
    /// Words about a quantity.
    pub words: Color32,
    /// Typed values.
    pub typed: Color32,
    /// What is there to be read last.
    pub faint: Color32,
    /// Doubtful.
    pub doubtful: Color32,
    /// Failed.
    pub failed: Color32,
    /// Good.
    pub good: Color32,
    /// The page.
    pub paper: Color32,
    /// Behind the page.
    pub desk: Color32,
    /// Behind headings.
    pub band: Color32,
    /// Thin lines.
    pub rule: Color32,
    /// The chosen place.
    pub chosen: Color32,
    /// The places chosen with it.
    pub range: Color32,
}

const DAY: Inks = Inks {
    ink: Color32::from_rgb(0x26, 0x2a, 0x2e),
    words: Color32::from_rgb(0x45, 0x4b, 0x50),
    typed: Color32::from_rgb(0x6d, 0x2b, 0x5b),
    faint: Color32::from_rgb(0x64, 0x68, 0x68),
    doubtful: Color32::from_rgb(0x7d, 0x57, 0x00),
    failed: Color32::from_rgb(0x9c, 0x2f, 0x1f),
    good: Color32::from_rgb(0x2b, 0x61, 0x5e),
    paper: Color32::from_rgb(0xfc, 0xfa, 0xf5),
    desk: Color32::from_rgb(0xef, 0xec, 0xe4),
    band: Color32::from_rgb(0xf4, 0xf0, 0xe7),
    rule: Color32::from_rgb(0xdd, 0xd8, 0xcc),
    chosen: Color32::from_rgb(0x6d, 0x2b, 0x5b),
    range: Color32::from_rgb(0xec, 0xdf, 0xe8),
};

const NIGHT: Inks = Inks {
    ink: Color32::from_rgb(0xdf, 0xdc, 0xd4),
    words: Color32::from_rgb(0xb9, 0xb6, 0xae),
    typed: Color32::from_rgb(0xe0, 0xa5, 0xcf),
    faint: Color32::from_rgb(0x93, 0x93, 0x8d),
    doubtful: Color32::from_rgb(0xdc, 0xb4, 0x5a),
    failed: Color32::from_rgb(0xf0, 0x8f, 0x7c),
    good: Color32::from_rgb(0x86, 0xc5, 0xbf),
    paper: Color32::from_rgb(0x1d, 0x1f, 0x20),
    desk: Color32::from_rgb(0x15, 0x16, 0x17),
    band: Color32::from_rgb(0x26, 0x28, 0x29),
    rule: Color32::from_rgb(0x37, 0x3a, 0x3b),
    chosen: Color32::from_rgb(0xe0, 0xa5, 0xcf),
    range: Color32::from_rgb(0x3d, 0x2f, 0x39),
};

/// The inks of day or night.
pub fn inks(night: bool) -> &'static Inks {
    if night { &NIGHT } else { &DAY }
}

/// The inks in use.
pub fn of(ui: &egui::Ui) -> &'static Inks {
    inks(ui.visuals().dark_mode)
}

const BOLD: &str = "bold";
const OBLIQUE: &str = "oblique";

/// Bold type.
pub fn bold(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name(BOLD.into()))
}

/// Oblique type.
pub fn oblique(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name(OBLIQUE.into()))
}

/// Upright type.
pub fn upright(size: f32) -> FontId {
    FontId::proportional(size)
}

/// A heading inside a panel: bold, with a thin line under it.
pub fn heading(ui: &mut egui::Ui, text: &str) {
    let inks = of(ui);
    let label = ui.label(egui::RichText::new(text).font(bold(SIZE)).color(inks.words));
    let y = label.rect.max.y + 1.0;
    ui.painter()
        .hline(label.rect.min.x..=ui.max_rect().max.x, y, Stroke::new(1.0, inks.rule));
    ui.add_space(2.0);
}

/// The font files, by name.
static FONTS: [(&str, &[u8]); 3] = [
    ("upright", include_bytes!("fonts/DejaVuSansCondensed.ttf")),
    (BOLD, include_bytes!("fonts/DejaVuSansCondensed-Bold.ttf")),
    (OBLIQUE, include_bytes!("fonts/DejaVuSansCondensed-Oblique.ttf")),
];

fn fonts() -> FontDefinitions {
    let mut fonts = FontDefinitions::default();
    let others = fonts
        .families
        .get(&FontFamily::Proportional)
        .cloned()
        .unwrap_or_default();
    for (name, bytes) in FONTS {
        let _ = fonts
            .font_data
            .insert(name.to_owned(), Arc::new(FontData::from_static(bytes)));
    }
    for (family, name) in [
        (FontFamily::Proportional, "upright"),
        (FontFamily::Monospace, "upright"),
        (FontFamily::Name(BOLD.into()), BOLD),
        (FontFamily::Name(OBLIQUE.into()), OBLIQUE),
    ] {
        let list = fonts.families.entry(family).or_default();
        list.insert(0, name.to_owned());
        if name != "upright" {
            list.push("upright".to_owned());
        }
        // Pictures that stand for a word stand among bold and slanted ones too.
        let others = others.iter().filter(|other| !list.contains(other)).cloned();
        list.extend(others.collect::<Vec<_>>());
    }
    fonts
}

/// Fonts of the system, for letters that ours have not: labels of a list may be in any script. They are looked for when the first such
/// letter is drawn, so that a start without one pays nothing; where the system has none either, a box stands for it, and the text
/// stays as it was typed. A font for all scripts would be many times as large as the program.
#[derive(Default)]
pub struct OfSystem(OnceLock<SystemFontProvider>);

impl FontProvider for OfSystem {
    fn font_for(&self, request: &FallbackRequest<'_>) -> Option<FontInsert> {
        self.0.get_or_init(SystemFontProvider::new).font_for(request)
    }
}

/// Size of text in the grid.
pub const SIZE: f32 = 14.0;

/// Puts fonts and style in place, for day and night.
pub fn dress(ctx: &egui::Context) {
    ctx.set_fonts(fonts());
    // Where the system does not say, it is day.
    ctx.options_mut(|options| options.fallback_theme = egui::Theme::Light);
    for (theme, night) in [(egui::Theme::Light, false), (egui::Theme::Dark, true)] {
        let inks = inks(night);
        ctx.style_mut_of(theme, |style| {
            for (text, size) in [
                (egui::TextStyle::Small, 12.0),
                (egui::TextStyle::Body, SIZE),
                (egui::TextStyle::Button, SIZE),
                (egui::TextStyle::Monospace, SIZE),
            ] {
                let _ = style.text_styles.insert(text, FontId::proportional(size));
            }
            let _ = style.text_styles.insert(egui::TextStyle::Heading, bold(19.0));
            style.spacing.item_spacing = egui::vec2(8.0, 5.0);
            style.spacing.button_padding = egui::vec2(7.0, 3.0);
            style.animation_time = 0.0;
            let visuals = &mut style.visuals;
            visuals.panel_fill = inks.desk;
            visuals.window_fill = inks.paper;
            visuals.extreme_bg_color = inks.paper;
            visuals.faint_bg_color = inks.band;
            visuals.override_text_color = Some(inks.ink);
            visuals.weak_text_color = Some(inks.faint);
            visuals.hyperlink_color = inks.typed;
            visuals.selection.bg_fill = inks.range;
            visuals.selection.stroke = Stroke::new(1.0, inks.chosen);
            visuals.window_stroke = Stroke::new(1.0, inks.rule);
            visuals.window_shadow = egui::Shadow::NONE;
            visuals.popup_shadow = egui::Shadow::NONE;
            visuals.widgets.noninteractive.bg_stroke = Stroke::new(1.0, inks.rule);
            visuals.widgets.inactive.weak_bg_fill = Color32::TRANSPARENT;
            visuals.widgets.inactive.bg_fill = inks.rule;
            visuals.widgets.inactive.bg_stroke = Stroke::new(1.0, inks.rule);
            visuals.widgets.hovered.weak_bg_fill = inks.range;
            visuals.widgets.hovered.bg_stroke = Stroke::NONE;
            visuals.widgets.active.weak_bg_fill = inks.range;
            visuals.widgets.open.weak_bg_fill = inks.range;
            for widget in [
                &mut visuals.widgets.noninteractive,
                &mut visuals.widgets.inactive,
                &mut visuals.widgets.hovered,
                &mut visuals.widgets.active,
                &mut visuals.widgets.open,
            ] {
                widget.corner_radius = egui::CornerRadius::ZERO;
            }
        });
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing)]
mod tests {
    use super::*;

    /// Contrast of two inks by the formula of WCAG 2.1, success criterion 1.4.3: at least 4.5 for text.
    #[test]
    fn every_ink_reads_on_its_paper() {
        let part = |value: u8| {
            let value = f64::from(value) / 255.0;
            if value <= 0.03928 {
                value / 12.92
            } else {
                ((value + 0.055) / 1.055).powf(2.4)
            }
        };
        let light = |c: Color32| 0.2126 * part(c.r()) + 0.7152 * part(c.g()) + 0.0722 * part(c.b());
        for night in [false, true] {
            let inks = inks(night);
            for ink in [
                inks.ink,
                inks.words,
                inks.typed,
                inks.faint,
                inks.doubtful,
                inks.failed,
                inks.good,
            ] {
                for paper in [inks.paper, inks.band, inks.desk] {
                    let (a, b) = (light(ink).max(light(paper)), light(ink).min(light(paper)));
                    let contrast = (a + 0.05) / (b + 0.05);
                    assert!(contrast >= 4.0, "{ink:?} on {paper:?}: {contrast:.2}");
                    assert!(
                        contrast >= 4.5 || paper != inks.paper,
                        "{ink:?} on {paper:?}: {contrast:.2}"
                    );
                }
            }
        }
    }

    #[test]
    fn states_differ_without_colour() {
        for (index, one) in State::ALL.iter().enumerate() {
            for other in &State::ALL[index + 1..] {
                assert_ne!(one.mark(), other.mark());
            }
        }
    }

    /// What stands in the files of a folder but for comments and tests.
    fn written(folder: &std::path::Path) -> String {
        let mut text = String::new();
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let ending = path.extension().unwrap_or_default().to_string_lossy().into_owned();
            if path.is_dir() {
                text.push_str(&written(&path));
            } else if ["rs", "csv", "txt", "toml", "pole"].contains(&&*ending) {
                let whole = std::fs::read_to_string(&path).unwrap();
                let told = whole.split("#[cfg(test)]").next().unwrap_or_default();
                let lines = told.lines().filter(|line| !line.trim_start().starts_with("//"));
                text.extend(lines);
            }
        }
        text
    }

    /// Everything the program may show has a glyph in each of the embedded fonts, without the fonts that come with the toolkit:
    /// units with their aliases, kinds, help of functions, fault codes, marks, signs of the language.
    #[test]
    fn every_sign_that_is_shown_has_a_glyph() {
        use crate::fault::Code;
        use crate::language::functions;
        use crate::quantity::{Kind, Unit};
        let mut text = String::from("′ₛₙₘₐₓ₀₁₂₃₄₅₆₇₈₉⁰¹²³⁴⁵⁶⁷⁸⁹⁻⁺→←↑↓∠√≤≥≠±×·÷ΩµμπηθφωΔ°–—…“”‘’∞≈²³");
        text.extend(('!'..='~').chain('Α'..='Ρ').chain('Σ'..='ω').chain('À'..='ÿ'));
        for state in State::ALL {
            text.push_str(state.mark());
        }
        for command in crate::window::command::COMMANDS {
            text.push_str(command.word);
            text.push_str(command.help);
        }
        for unit in Unit::all() {
            text.push_str(&unit.symbol);
            text.push_str(&unit.unit.text);
            text.push_str(&unit.quantity);
            text.extend(unit.aliases.iter().map(String::as_str));
        }
        for kind in Kind::all() {
            text.push_str(kind.words());
            text.push_str(kind.entry().help);
        }
        for function in functions::all() {
            text.push_str(function.name);
            text.push_str(function.help);
        }
        for code in Code::all() {
            let entry = code.entry();
            text.push_str(entry.meaning);
            text.push_str(entry.example);
            text.push_str(entry.mended);
        }
        // Faults, remarks of an import, headings: every text that stands in the program, its tables and its workbooks.
        let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
        let written = written(&root.join("src")) + &written(&root.join("workbooks"));
        assert!(written.contains("cannot become") && written.contains("nominal speed was probably typed"));
        text.push_str(&written);
        let shown: std::collections::BTreeSet<char> = text.chars().collect();
        let text: String = shown
            .into_iter()
            .filter(|letter| !letter.is_control() && !letter.is_whitespace())
            // A sign of repetition that is read in lists and never written.
            .filter(|letter| *letter != '〃')
            .collect();
        for (name, bytes) in FONTS {
            let mut alone = FontDefinitions::empty();
            let _ = alone
                .font_data
                .insert(name.to_owned(), Arc::new(FontData::from_static(bytes)));
            for family in [FontFamily::Proportional, FontFamily::Monospace] {
                let _ = alone.families.insert(family, vec![name.to_owned()]);
            }
            let ctx = egui::Context::default();
            ctx.set_fonts(alone);
            ctx.run_ui(egui::RawInput::default(), |_| {}).textures_delta.clear();
            let lacking: String = ctx.fonts_mut(|fonts| {
                text.chars()
                    .filter(|letter| !fonts.has_glyph(&FontId::proportional(14.0), *letter))
                    .collect()
            });
            assert!(lacking.is_empty(), "{name} lacks {lacking}");
        }
    }

    /// A picture in a label has a sign in every type: a row that is chosen or doubted says the same.
    #[test]
    fn every_type_has_pictures() {
        let ctx = egui::Context::default();
        dress(&ctx);
        ctx.run_ui(egui::RawInput::default(), |_| {}).textures_delta.clear();
        for font in [upright(SIZE), bold(SIZE), oblique(SIZE)] {
            assert!(ctx.fonts_mut(|fonts| fonts.has_glyph(&font, '🌟')), "{font:?}");
        }
    }
}
