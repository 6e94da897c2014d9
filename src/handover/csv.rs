//! A sheet or list as text with commas (RFC 4180).
//!
//! Always: UTF-8, quotes where a field needs them; commas and decimal points, or what the list that came as text uses, so that one
//! file never holds two decimal signs. Text that a program could take for a formula gets a `'` before
//! it, which import takes off again; a number never does.
//! Not known here: what stands in the table.

use std::borrow::Cow;
use std::io::{self, Write};

use csv::{Terminator, WriterBuilder};

use super::table::{Field, Table};
use crate::plates::store::Dress;

/// Writes the table.
pub fn write(table: &Table, dress: Dress, out: &mut dyn Write) -> io::Result<()> {
    let mut writer = WriterBuilder::new()
        .terminator(Terminator::CRLF)
        .delimiter(dress.delimiter)
        .flexible(true)
        .from_writer(out);
    let width = table.columns();
    for row in 0..table.rows {
        let mut fields = table.row(row);
        // Every record as long as the longest, so that the table stays one.
        fields.resize(width.max(fields.len()), Field::Blank);
        let record = fields.iter().map(|field| {
            let text = field.plain();
            match field {
                Field::Text(_) => guarded(&text).into_owned(),
                Field::Number(..) | Field::Double(_) if dress.comma => text.replace('.', ","),
                _ => text,
            }
        });
        writer.write_record(record).map_err(io::Error::from)?;
    }
    writer.flush()
}

/// Text with a `'` before it where it begins like a formula.
///
/// Not where it is a number with its sign, and not where it holds nothing but dashes, as lists write for "none".
pub fn guarded(text: &str) -> Cow<'_, str> {
    let begins = text.starts_with(['=', '+', '-', '@', '\t', '\r']);
    if begins && !is_number(text) && !text.trim().chars().all(|c| c == '-') {
        Cow::Owned(format!("'{text}"))
    } else {
        Cow::Borrowed(text)
    }
}

/// A sign, digits with points or commas, at most an exponent.
fn is_number(text: &str) -> bool {
    let text = text.trim_end();
    let Some(digits) = text.strip_prefix(['-', '+']) else {
        return false;
    };
    let (digits, exponent) = digits.split_once(['e', 'E']).unwrap_or((digits, "0"));
    let exponent = exponent.strip_prefix(['-', '+']).unwrap_or(exponent);
    digits.contains(|c: char| c.is_ascii_digit())
        && digits.chars().all(|c| c.is_ascii_digit() || c == '.' || c == ',')
        && !exponent.is_empty()
        && exponent.chars().all(|c| c.is_ascii_digit())
}

#[cfg(test)]
mod tests {
    use super::guarded;

    /// Text that a spreadsheet would work out (the usual list of first signs: = + - @, tab, carriage return).
    #[test]
    fn formulas_are_guarded_and_numbers_are_not() {
        for text in [
            "=1+1",
            "+49 30 1234",
            "-1+2",
            "@SUM(A1)",
            "\t=1",
            "\r=1",
            "-P-101",
            "--1",
            "-1e",
            "+A1",
        ] {
            assert_eq!(guarded(text), format!("'{text}"));
        }
        for text in [
            "-5", "-5.25", "+3", "-1,5", "-1.5e-7", "-", "--", "1-2", "P-101", "", "'=1",
        ] {
            assert_eq!(guarded(text), text);
        }
    }
}
