//! Cell addresses of a sheet's XML: `K12` and `A1:K40`. Rows and columns count from 1.

/// Last column of a sheet (XFD).
pub const LAST_COLUMN: u32 = 16_384;
/// Last row of a sheet.
pub const LAST_ROW: u32 = 1_048_576;

/// A block of cells, both ends inside.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Area {
    /// First row.
    pub top: u32,
    /// First column.
    pub left: u32,
    /// Last row.
    pub bottom: u32,
    /// Last column.
    pub right: u32,
}

impl Area {
    /// Reads `A1:K40` or `A1`; `$` is passed over.
    pub fn parse(text: &str) -> Option<Area> {
        let (start, end) = text.split_once(':').unwrap_or((text, text));
        let (top, left) = cell(start)?;
        let (bottom, right) = cell(end)?;
        (top <= bottom && left <= right).then_some(Area {
            top,
            left,
            bottom,
            right,
        })
    }

    /// The smallest block that holds both.
    pub fn join(self, other: Area) -> Area {
        Area {
            top: self.top.min(other.top),
            left: self.left.min(other.left),
            bottom: self.bottom.max(other.bottom),
            right: self.right.max(other.right),
        }
    }
}

impl std::fmt::Display for Area {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}{}", letters(self.left), self.top)?;
        if (self.top, self.left) != (self.bottom, self.right) {
            write!(f, ":{}{}", letters(self.right), self.bottom)?;
        }
        Ok(())
    }
}

/// Row and column of `K12`; none for an address outside of a sheet.
pub fn cell(text: &str) -> Option<(u32, u32)> {
    let text = text.replace('$', "");
    let digits = text.find(|c: char| c.is_ascii_digit())?;
    let (column, row) = text.split_at_checked(digits)?;
    if column.is_empty() || column.len() > 3 || row.len() > 7 {
        return None;
    }
    let mut number = 0;
    for letter in column.bytes() {
        if !letter.is_ascii_alphabetic() {
            return None;
        }
        number = number * 26 + u32::from(letter.to_ascii_uppercase() - b'A') + 1;
    }
    let row: u32 = row.parse().ok()?;
    ((1..=LAST_COLUMN).contains(&number) && (1..=LAST_ROW).contains(&row)).then_some((row, number))
}

/// Letters of a column: 1 is A, 27 is AA.
pub fn letters(mut column: u32) -> String {
    let mut text = Vec::new();
    while column > 0 {
        column -= 1;
        text.push(char::from(b'A' + u8::try_from(column % 26).unwrap_or(0)));
        column /= 26;
    }
    text.iter().rev().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Addresses by hand: A is 1, Z 26, AA 27, ZZ 702, AAA 703, XFD 16384.
    #[test]
    fn addresses() {
        for (text, number) in [
            ("A", 1),
            ("Z", 26),
            ("AA", 27),
            ("ZZ", 702),
            ("AAA", 703),
            ("XFD", 16_384),
        ] {
            assert_eq!(letters(number), text);
            assert_eq!(cell(&format!("{text}7")), Some((7, number)));
        }
        assert_eq!(cell("$K$12"), Some((12, 11)));
        for wrong in [
            "",
            "A",
            "1",
            "A0",
            "XFE1",
            "A1048577",
            "ABCD1",
            "A1B",
            "Ä1",
            "A99999999999",
        ] {
            assert_eq!(cell(wrong), None, "{wrong}");
        }
        assert_eq!(
            Area::parse("B2:D9").map(|area| area.to_string()),
            Some("B2:D9".to_owned())
        );
        assert_eq!(Area::parse("B2").map(|area| area.to_string()), Some("B2".to_owned()));
        assert_eq!(Area::parse("D9:B2"), None);
    }
}
