//! A placed fault as text: with its source line underlined, or in one line.
//!
//! For: the terminal page, `calc`, `tidy --check`, files that list faults.
//! Always: the place is exact in front of Ω, ², tabs and wide characters; a long line is cut around the place; control
//! characters of a foreign text never reach the terminal.
//! Not known here: where the text goes, and whether that place shows colour.

use std::fmt::Write as _;
use std::ops::Range;

use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};

use super::{Placed, Severity};

/// How many characters of a long line are kept before the place.
const BEFORE: usize = 60;
/// How many are kept from the start of the place on.
const AFTER: usize = 120;

/// How faults are shown.
#[derive(Clone, Copy, Debug)]
pub struct Style<'a> {
    /// Name of the file the text is from; `None` for a text that is in no file.
    pub file: Option<&'a str>,
    /// Whether colour and bold may be used.
    pub colour: bool,
    /// Columns of the terminal.
    pub width: usize,
    /// Whether a last line says how to read more about the code.
    pub explain: bool,
}

/// The fault with its source line, the place underlined, the help below.
pub fn full(placed: &Placed, style: &Style<'_>) -> String {
    let fault = &placed.fault;
    let level = match fault.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
        Severity::Note => Level::NOTE,
    };
    // A heading has no full stop; several sentences keep theirs.
    let message = match clean(&fault.message) {
        text if text.contains(". ") => text,
        text => text.strip_suffix('.').map(str::to_owned).unwrap_or(text),
    };
    let cut = Cut::of(&placed.source, fault.span.start as usize..fault.span.end as usize);
    let mut group = Group::with_title(level.primary_title(message));
    let file = style.file.map(clean);
    let here = |origin: Origin<'static>| match placed.line {
        0 => origin,
        line => origin.line(line as usize).char_column(placed.column as usize),
    };
    if cut.text.trim().is_empty() {
        group = group.elements(file.map(|file| here(Origin::path(file))));
    } else {
        let mut place = AnnotationKind::Primary.span(cut.place.clone());
        if let Some(item) = placed.item.as_ref().filter(|item| !item.is_empty()) {
            place = place.label(format!("for {}", clean(item)));
        }
        let before = placed.source.get(..fault.span.start as usize).unwrap_or("");
        let mut snippet = Snippet::source(cut.text.as_str())
            .line_start(
                (placed.line as usize)
                    .saturating_sub(before.matches('\n').count())
                    .max(1),
            )
            .line_numbering(file.is_some())
            .annotation(place);
        for (span, text) in &fault.notes {
            if let Some(place) = cut.moved(span.start as usize..span.end as usize) {
                snippet = snippet.annotation(AnnotationKind::Context.span(place).label(clean(text)));
            }
        }
        match file {
            // The renderer counts the column in the text it shows; in a cut line that would be wrong.
            Some(file) if cut.shortened => group = group.element(here(Origin::path(file))),
            file => snippet = snippet.path(file),
        }
        group = group.element(snippet);
    }
    if let Some(help) = &fault.help {
        group = group.element(Level::HELP.with_name("try").message(clean(help)));
    }
    if style.explain {
        let more = format!("polepair explain {}", fault.code);
        group = group.element(Level::NOTE.with_name("more").message(more));
    }
    let renderer = if style.colour {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    let renderer = renderer
        .term_width(style.width.max(40))
        .decor_style(DecorStyle::Unicode);
    let text = renderer.render(&[group]);
    text.lines().map(str::trim_end).collect::<Vec<_>>().join("\n")
}

/// The fault in one line: `rink.pole:12:18: error: P_shaf is not known here (unknown-name)`.
pub fn line(placed: &Placed, file: Option<&str>) -> String {
    let mut out = String::new();
    if let Some(file) = file {
        let _ = write!(out, "{}:", clean(file));
    }
    if placed.line > 0 {
        let _ = write!(out, "{}:{}:", placed.line, placed.column);
    }
    if !out.is_empty() {
        out.push(' ');
    }
    let fault = &placed.fault;
    let _ = write!(
        out,
        "{}: {} ({})",
        fault.severity.word(),
        clean(&fault.message),
        fault.code
    );
    out
}

/// A text without control characters, so that a file from outside cannot steer the terminal. Line ends are kept.
pub fn clean(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '\n' => '\n',
            '\t' => ' ',
            c if c.is_control() => '\u{fffd}',
            // Marks that turn the direction of writing can make a line read as what it is not.
            '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => '\u{fffd}',
            c => c,
        })
        .collect()
}

/// A source text whose long lines are cut around a place, and the place in it.
struct Cut {
    text: String,
    place: Range<usize>,
    /// Whether anything was left out.
    shortened: bool,
    /// Kept pieces: where each began in the source and where it begins in `text`.
    pieces: Vec<(Range<usize>, usize)>,
}

impl Cut {
    fn of(source: &str, place: Range<usize>) -> Cut {
        let start = floor_char(source, place.start);
        let end = floor_char(source, place.end.max(start));
        let mut cut = Cut {
            text: String::new(),
            place: 0..0,
            shortened: false,
            pieces: Vec::new(),
        };
        let mut at = 0;
        for (index, line) in source.split('\n').enumerate() {
            if index > 0 {
                cut.text.push('\n');
            }
            let range = at..at + line.len();
            at = range.end + 1;
            // The line the place begins in is cut around it, others around their own beginning.
            let here = start.clamp(range.start, range.end);
            let kept = window(source, range.clone(), here, end);
            if kept.start > range.start {
                cut.text.push('…');
            }
            cut.shortened |= kept != range;
            cut.pieces.push((kept.clone(), cut.text.len()));
            cut.text.push_str(source.get(kept.clone()).unwrap_or(""));
            if kept.end < range.end {
                cut.text.push('…');
            }
        }
        cut.place = cut.moved(start..end).unwrap_or(0..0);
        cut
    }

    /// A place of the source in the cut text; `None` where its beginning was cut away.
    fn moved(&self, place: Range<usize>) -> Option<Range<usize>> {
        let find = |byte: usize| {
            self.pieces
                .iter()
                .find(|(kept, _)| kept.start <= byte && byte <= kept.end)
                .map(|(kept, to)| to + (byte - kept.start))
        };
        let start = find(place.start)?;
        // A place that goes on behind the cut ends with the piece it begins in.
        let end = find(place.end).unwrap_or_else(|| {
            self.pieces
                .iter()
                .find(|(kept, _)| kept.start <= place.start && place.start <= kept.end)
                .map_or(start, |(kept, to)| to + kept.len())
        });
        Some(start..end.max(start)).filter(|r| self.text.is_char_boundary(r.start) && self.text.is_char_boundary(r.end))
    }
}

/// What is kept of a line: all of it when short, else some of it around `here`.
fn window(source: &str, line: Range<usize>, here: usize, end: usize) -> Range<usize> {
    let text = source.get(line.clone()).unwrap_or("");
    if text.len() <= BEFORE + AFTER {
        return line;
    }
    let before = source.get(line.start..here).unwrap_or("");
    let start = before
        .char_indices()
        .rev()
        .nth(BEFORE - 1)
        .map_or(line.start, |(i, _)| line.start + i);
    let after = source.get(here..line.end).unwrap_or("");
    let length = end.saturating_sub(here).min(AFTER) + BEFORE;
    let stop = after.char_indices().nth(length).map_or(line.end, |(i, _)| here + i);
    start..stop
}

fn floor_char(text: &str, byte: usize) -> usize {
    let mut byte = byte.min(text.len());
    while !text.is_char_boundary(byte) {
        byte -= 1;
    }
    byte
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]
mod tests {
    use super::*;
    use crate::fault::{Code, Fault, Span, Stands};

    fn placed(source: &str, part: &str) -> Placed {
        let start = source.find(part).unwrap();
        let line_start = source[..start].rfind('\n').map_or(0, |i| i + 1);
        Placed {
            fault: Fault::new(
                Code::UNKNOWN_NAME,
                Span::new(start, start + part.len()),
                format!("{part} is not known"),
            )
            .help("did you mean P_sh?"),
            sheet: Some("brine".to_owned()),
            item: None,
            line: 7 + u32::try_from(source[..start].matches('\n').count()).unwrap(),
            column: u32::try_from(source[line_start..start].chars().count()).unwrap() + 1,
            source: source.to_owned(),
            stands: Stands::Nowhere,
        }
    }

    fn plain() -> Style<'static> {
        Style {
            file: Some("rink.pole"),
            colour: false,
            width: 100,
            explain: true,
        }
    }

    /// The column where the underline begins must be the column where the name stands, counted in cells of the terminal.
    fn underline_stands_under(source: &str, part: &str) {
        use unicode_width::UnicodeWidthStr as _;
        let text = full(&placed(source, part), &plain());
        let lines: Vec<&str> = text.lines().collect();
        let at = lines
            .iter()
            .position(|l| l.contains('━'))
            .unwrap_or_else(|| panic!("no underline in\n{text}"));
        let shown = lines[at - 1];
        let name = shown
            .find(part)
            .unwrap_or_else(|| panic!("{part} not above the line in\n{text}"));
        let mark = lines[at].find('━').unwrap();
        assert_eq!(shown[..name].width(), lines[at][..mark].width(), "\n{text}");
        let marks = lines[at].matches('━').count();
        assert_eq!(marks, part.width(), "\n{text}");
    }

    #[test]
    fn underline_is_exact_before_signs_of_the_trade() {
        underline_stands_under("  work P = 3·I²·R_Ω * P_shaf", "P_shaf");
        underline_stands_under("  work\tP = P_shaf", "P_shaf");
        underline_stands_under("  given 電動機 = P_shaf", "P_shaf");
        underline_stands_under("  work x = a\n    + P_shaf * Ω", "P_shaf");
        underline_stands_under("  work x = 2 * µ′ + Ω", "Ω");
    }

    #[test]
    fn long_line_is_cut_around_the_place() {
        let source = format!("  work x = {}P_shaf{}", "a + ".repeat(50_000), " + b".repeat(50_000));
        let text = full(&placed(&source, "P_shaf"), &plain());
        assert!(text.len() < 3000, "{} bytes", text.len());
        assert!(text.contains("P_shaf") && text.contains('…'), "\n{text}");
        assert!(
            text.contains("rink.pole:7:200012"),
            "the column is that of the whole line\n{text}"
        );
        underline_stands_under(&source, "P_shaf");
    }

    #[test]
    fn says_file_line_column_sheet_help_and_code() {
        let text = full(&placed("  work P = P_shaf", "P_shaf"), &plain());
        for part in [
            "error: P_shaf is not known",
            "rink.pole:7:12",
            "did you mean P_sh?",
            "explain unknown-name",
        ] {
            assert!(text.contains(part), "{part} missing in\n{text}");
        }
        assert!(!text.contains('\u{1b}'), "no colour asked for");
    }

    #[test]
    fn line_number_is_that_of_the_place_in_a_formula_over_several_lines() {
        let text = full(&placed("  work x = a\n    + P_shaf", "P_shaf"), &plain());
        let shown = text.lines().find(|l| l.contains("+ P_shaf")).unwrap();
        assert!(shown.trim_start().starts_with('8'), "\n{text}");
    }

    #[test]
    fn places_that_do_not_fit_are_shown_without_harm() {
        for span in [
            Span::new(5, 900),
            Span::new(900, 901),
            Span::new(10, 11),
            Span::new(0, 0),
        ] {
            let mut p = placed("  work Ω = P_shaf", "P_shaf");
            p.fault.span = span;
            p.fault.notes.push((Span::new(8, 700), "here".to_owned()));
            assert!(full(&p, &plain()).contains("is not known"));
        }
        let mut p = placed("x", "x");
        p.source = String::new();
        assert!(full(&p, &plain()).contains("is not known"));
    }

    #[test]
    fn control_characters_do_not_reach_the_terminal() {
        let mut p = placed("  work P = \u{1b}[31mP_shaf", "P_shaf");
        p.fault.message = "\u{1b}]0;title\u{7} found".into();
        p.fault.help = Some("\u{1b}[2J".into());
        let text = full(&p, &plain());
        assert!(!text.contains('\u{1b}') && !text.contains('\u{7}'), "\n{text:?}");
        assert!(!line(&p, Some("\u{1b}.pole")).contains('\u{1b}'));
    }

    #[test]
    fn a_fault_of_one_item_names_it() {
        let mut p = placed("  work P = P_shaf", "P_shaf");
        p.item = Some("P-102".to_owned());
        assert!(full(&p, &plain()).contains("for P-102"));
    }

    #[test]
    fn one_line_form() {
        assert_eq!(
            line(&placed("  work P = P_shaf", "P_shaf"), Some("rink.pole")),
            "rink.pole:7:12: error: P_shaf is not known (unknown-name)"
        );
    }
}
