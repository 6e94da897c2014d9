//! Tables on a page of fixed-width letters: aligned columns, wrapped texts, bands where a table is wider than the page.
//!
//! Always: widths are counted in cells of the terminal, so Ω, ³ and wide letters keep the columns straight; styling never
//! changes a width.
//! Not known here: what stands in the cells.

use anstyle::{AnsiColor, Style};
use unicode_width::{UnicodeWidthChar as _, UnicodeWidthStr as _};

/// Blanks between two columns.
const GAP: usize = 2;

/// How a piece of text is set. Each differs from the others by weight or by a mark beside it, never by colour alone.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Ink {
    /// As it is: what was typed.
    #[default]
    Plain,
    /// What was worked.
    Strong,
    /// Beside the point: units of a heading, sources, what is missing.
    Faint,
    /// A check that holds.
    Good,
    /// A check that does not hold, a fault.
    Bad,
    /// In doubt, a warning.
    Doubt,
    /// A title.
    Title,
}

impl Ink {
    fn style(self) -> Style {
        let colour = |c: AnsiColor| Style::new().fg_color(Some(c.into()));
        match self {
            Ink::Plain => Style::new(),
            Ink::Strong => Style::new().bold(),
            Ink::Faint => Style::new().dimmed(),
            Ink::Good => colour(AnsiColor::Green),
            Ink::Bad => colour(AnsiColor::Red).bold(),
            Ink::Doubt => colour(AnsiColor::Yellow).bold(),
            Ink::Title => Style::new().bold().underline(),
        }
    }

    /// The text in this ink, bare where the page has no colour.
    pub fn on(self, text: &str, colour: bool) -> String {
        if !colour || text.is_empty() || self == Ink::Plain {
            return text.to_owned();
        }
        let style = self.style();
        format!("{style}{text}{style:#}")
    }
}

/// Where the text of a column stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Align {
    /// At the left.
    Left,
    /// At the right.
    Right,
    /// Decimal points under each other, texts at the right.
    Point,
}

/// One cell.
#[derive(Clone, Debug, Default)]
pub struct Cell {
    /// The text.
    pub text: String,
    /// How it is set.
    pub ink: Ink,
    /// A small mark hung behind it that does not count for alignment (`¹`, `*`).
    pub tail: String,
}

impl Cell {
    /// A cell.
    pub fn new(text: impl Into<String>, ink: Ink) -> Cell {
        Cell {
            text: text.into(),
            ink,
            tail: String::new(),
        }
    }
}

/// One column.
#[derive(Clone, Debug)]
pub struct Column {
    /// Alignment of the cells.
    pub align: Align,
    /// Whether its texts may be wrapped to make room, and down to which width.
    pub least: Option<usize>,
}

impl Column {
    /// A column that keeps its width.
    pub fn firm(align: Align) -> Column {
        Column { align, least: None }
    }

    /// A column of texts that may be wrapped, down to `least` cells.
    pub fn soft(least: usize) -> Column {
        Column {
            align: Align::Left,
            least: Some(least),
        }
    }
}

/// A table.
#[derive(Clone, Debug, Default)]
pub struct Table {
    /// Columns.
    pub columns: Vec<Column>,
    /// How many columns at the left are repeated in each band.
    pub left: usize,
    /// How many columns at the right are repeated in each band.
    pub right: usize,
    /// How many rows at the top are headings, repeated in each band.
    pub headings: usize,
    /// Rows, each with a cell for every column. A row with one cell runs across.
    pub rows: Vec<Vec<Cell>>,
}

/// Width of a text in cells of the terminal.
pub fn width(text: &str) -> usize {
    text.width()
}

/// A text cut to a width, with `…` where something is left out.
pub fn cut(text: &str, most: usize) -> String {
    if text.width() <= most {
        return text.to_owned();
    }
    let mut out = String::new();
    let mut used = 0;
    for c in text.chars() {
        let w = c.width().unwrap_or(0);
        if used + w + 1 > most {
            break;
        }
        used += w;
        out.push(c);
    }
    out.push('…');
    out
}

/// A text as lines of at most `most` cells, broken at blanks where there are any.
pub fn wrap(text: &str, most: usize) -> Vec<String> {
    let most = most.max(1);
    let mut lines = Vec::new();
    for paragraph in text.split('\n') {
        let mut line = String::new();
        for mut word in paragraph.split(' ') {
            // Counted once: a word may be as long as a cell of a foreign file.
            let mut width = word.width();
            if !line.is_empty() && line.width() + 1 + width > most {
                lines.push(std::mem::take(&mut line));
            }
            // A word longer than the line is broken where it must be.
            let long = width > most;
            while width > most {
                let (head, rest, taken) = split_at_width(word, most);
                lines.push(head.to_owned());
                word = rest;
                width = if rest.is_empty() {
                    0
                } else {
                    width.saturating_sub(taken)
                };
            }
            if long && word.is_empty() {
                continue;
            }
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(word);
        }
        if !line.is_empty() || paragraph.is_empty() {
            lines.push(line);
        }
    }
    lines
}

/// The first signs of a word that fit, the others, and the width of the first.
fn split_at_width(word: &str, most: usize) -> (&str, &str, usize) {
    let mut used = 0;
    for (i, c) in word.char_indices() {
        let wide = c.width().unwrap_or(0);
        if used + wide > most && i > 0 {
            let (head, rest) = word.split_at(i);
            return (head, rest, used);
        }
        used += wide;
    }
    (word, "", used)
}

/// Widths of a column: before the decimal point, from it on, of the hung mark.
#[derive(Clone, Copy, Default)]
struct Widths {
    whole: usize,
    fraction: usize,
    text: usize,
    tail: usize,
}

impl Widths {
    fn body(self) -> usize {
        (self.whole + self.fraction).max(self.text)
    }

    fn all(self) -> usize {
        self.body() + self.tail
    }
}

/// A number's text split at its decimal point; `None` for a text that is no number.
fn at_point(text: &str) -> Option<(&str, &str)> {
    let first = text.trim_start_matches(['-', '−']).chars().next()?;
    if !first.is_ascii_digit() {
        return None;
    }
    Some(text.find('.').map_or((text, ""), |i| text.split_at(i)))
}

impl Table {
    /// The table as lines without trailing blanks, each with `indent` blanks before it.
    pub fn lines(&self, page: usize, indent: usize, colour: bool) -> Vec<String> {
        let room = page.saturating_sub(indent).max(20);
        let mut widths: Vec<Widths> = (0..self.columns.len()).map(|c| self.measure(c)).collect();
        self.shrink(&mut widths, room);
        let bands = self.bands(&widths, room);
        let mut out = Vec::new();
        for (number, band) in bands.iter().enumerate() {
            if number > 0 {
                out.push(String::new());
            }
            for row in &self.rows {
                if let ([only], true) = (row.as_slice(), self.columns.len() > 1) {
                    for line in wrap(&only.text, room) {
                        out.push(
                            format!("{}{}", " ".repeat(indent), only.ink.on(&line, colour))
                                .trim_end()
                                .to_owned(),
                        );
                    }
                    continue;
                }
                out.extend(self.row_lines(row, band, &widths, indent, colour));
            }
        }
        out
    }

    fn measure(&self, column: usize) -> Widths {
        let align = self.columns.get(column).map_or(Align::Left, |c| c.align);
        let mut out = Widths::default();
        for (index, row) in self.rows.iter().enumerate() {
            if row.len() != self.columns.len() {
                continue;
            }
            let Some(cell) = row.get(column) else { continue };
            out.tail = out.tail.max(cell.tail.width());
            match at_point(&cell.text) {
                Some((whole, fraction)) if align == Align::Point && index >= self.headings => {
                    out.whole = out.whole.max(whole.width());
                    out.fraction = out.fraction.max(fraction.width());
                }
                _ => out.text = out.text.max(cell.text.width()),
            }
        }
        out
    }

    /// Takes room from the soft columns, the widest first, until the table fits or nothing can be taken.
    fn shrink(&self, widths: &mut [Widths], room: usize) {
        let total =
            |widths: &[Widths]| widths.iter().map(|w| w.all()).sum::<usize>() + GAP * widths.len().saturating_sub(1);
        while total(widths) > room {
            let widest = self
                .columns
                .iter()
                .zip(widths.iter_mut())
                .filter_map(|(column, w)| (w.text > column.least?).then_some(w))
                .max_by_key(|w| w.text);
            match widest {
                Some(w) => w.text -= 1,
                None => break,
            }
        }
    }

    /// Which columns stand beside each other.
    fn bands(&self, widths: &[Widths], room: usize) -> Vec<Vec<usize>> {
        let count = self.columns.len();
        let left: Vec<usize> = (0..self.left.min(count)).collect();
        let right: Vec<usize> = (count.saturating_sub(self.right).max(left.len())..count).collect();
        let middle = left.len()..count - right.len();
        let wide = |columns: &[usize]| {
            columns
                .iter()
                .filter_map(|c| widths.get(*c))
                .map(|w| w.all() + GAP)
                .sum::<usize>()
        };
        let fixed = wide(&left) + wide(&right);
        let mut bands: Vec<Vec<usize>> = Vec::new();
        let mut band: Vec<usize> = Vec::new();
        for column in middle {
            if !band.is_empty() && fixed + wide(&band) + wide(&[column]) > room + GAP {
                bands.push(std::mem::take(&mut band));
            }
            band.push(column);
        }
        if !band.is_empty() || bands.is_empty() {
            bands.push(band);
        }
        bands
            .into_iter()
            .map(|band| left.iter().copied().chain(band).chain(right.iter().copied()).collect())
            .collect()
    }

    fn row_lines(&self, row: &[Cell], band: &[usize], widths: &[Widths], indent: usize, colour: bool) -> Vec<String> {
        let mut wrapped: Vec<Vec<String>> = Vec::new();
        for column in band {
            let (Some(cell), Some(w)) = (row.get(*column), widths.get(*column)) else {
                wrapped.push(Vec::new());
                continue;
            };
            let soft = self.columns.get(*column).is_some_and(|c| c.least.is_some());
            wrapped.push(if soft {
                wrap(&cell.text, w.body().max(1))
            } else {
                vec![cell.text.clone()]
            });
        }
        let height = wrapped.iter().map(Vec::len).max().unwrap_or(1).max(1);
        (0..height)
            .map(|level| {
                let mut line = " ".repeat(indent);
                for (position, column) in band.iter().enumerate() {
                    if position > 0 {
                        line.push_str(&" ".repeat(GAP));
                    }
                    let (Some(cell), Some(w)) = (row.get(*column), widths.get(*column)) else {
                        continue;
                    };
                    let align = self.columns.get(*column).map_or(Align::Left, |c| c.align);
                    let text = wrapped
                        .get(position)
                        .and_then(|l| l.get(level))
                        .map_or("", String::as_str);
                    let tail = if level == 0 { cell.tail.as_str() } else { "" };
                    let (before, after) = padding(text, align, *w);
                    line.push_str(&" ".repeat(before));
                    line.push_str(&cell.ink.on(text, colour));
                    // The hung mark stands right behind its number.
                    line.push_str(tail);
                    line.push_str(&" ".repeat((after + w.tail).saturating_sub(tail.width())));
                }
                line.trim_end().to_owned()
            })
            .collect()
    }
}

/// Blanks before and behind a text in a column.
fn padding(text: &str, align: Align, w: Widths) -> (usize, usize) {
    let free = w.body().saturating_sub(text.width());
    match align {
        Align::Left => (0, free),
        Align::Right => (free, 0),
        Align::Point => match at_point(text) {
            Some((_, fraction)) => {
                let after = w.fraction.saturating_sub(fraction.width()).min(free);
                (free - after, after)
            }
            None => (free, 0),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table(columns: Vec<Column>, headings: usize, rows: &[&[&str]]) -> Table {
        Table {
            columns,
            left: 1,
            right: 0,
            headings,
            rows: rows
                .iter()
                .map(|r| r.iter().map(|t| Cell::new(*t, Ink::Plain)).collect())
                .collect(),
        }
    }

    #[test]
    fn points_stand_under_each_other() {
        let t = table(
            vec![Column::firm(Align::Left), Column::firm(Align::Point)],
            1,
            &[
                &["tag", "load"],
                &["P-1", "98.25"],
                &["P-2", "101"],
                &["P-3", "-7.5"],
                &["P-4", "—"],
            ],
        );
        assert_eq!(
            t.lines(80, 0, false),
            ["tag    load", "P-1   98.25", "P-2  101", "P-3   -7.5", "P-4       —"]
        );
    }

    #[test]
    fn widths_are_counted_in_cells() {
        let t = table(
            vec![
                Column::firm(Align::Left),
                Column::firm(Align::Left),
                Column::firm(Align::Left),
            ],
            0,
            &[&["m³/h", "電動機", "a"], &["Ω", "R", "b"]],
        );
        assert_eq!(t.lines(80, 2, false), ["  m³/h  電動機  a", "  Ω     R       b"]);
    }

    #[test]
    fn a_hung_mark_does_not_move_the_number() {
        let mut t = table(
            vec![Column::firm(Align::Left), Column::firm(Align::Right)],
            0,
            &[&["a", "10"], &["b", "200"]],
        );
        if let Some(cell) = t.rows.get_mut(0).and_then(|r| r.get_mut(1)) {
            cell.tail = "¹".to_owned();
        }
        assert_eq!(t.lines(80, 0, false), ["a   10¹", "b  200"]);
    }

    #[test]
    fn a_wide_table_goes_on_below_with_its_key() {
        let t = table(
            vec![
                Column::firm(Align::Left),
                Column::firm(Align::Right),
                Column::firm(Align::Right),
                Column::firm(Align::Right),
            ],
            0,
            &[&["key", "11111111", "22222222", "33333333"]],
        );
        assert_eq!(t.lines(24, 0, false), ["key  11111111  22222222", "", "key  33333333"]);
    }

    #[test]
    fn soft_columns_are_wrapped_to_make_room() {
        let t = table(
            vec![Column::firm(Align::Left), Column::soft(8)],
            0,
            &[&["a", "one two three four"]],
        );
        assert_eq!(t.lines(20, 0, false), ["a  one two three", "   four"]);
    }

    #[test]
    fn words_longer_than_the_line_are_broken() {
        assert_eq!(wrap("abcdefgh ij", 3), ["abc", "def", "gh", "ij"]);
        assert_eq!(wrap("", 3), [""]);
        assert_eq!(wrap("電動機", 1), ["電", "動", "機"]);
        assert_eq!(cut("Brine pump", 6), "Brine…");
    }

    #[test]
    fn styling_changes_no_width() {
        let t = table(
            vec![Column::firm(Align::Left), Column::soft(8)],
            0,
            &[&["a", "bcd"], &["bb", "c"]],
        );
        let mut bold = t.clone();
        for cell in bold.rows.iter_mut().flatten() {
            cell.ink = Ink::Strong;
        }
        let bare: Vec<String> = bold
            .lines(40, 0, true)
            .iter()
            .map(|l| anstream::adapter::strip_str(l).to_string().trim_end().to_owned())
            .collect();
        assert_eq!(bare, t.lines(40, 0, false));
    }
}
