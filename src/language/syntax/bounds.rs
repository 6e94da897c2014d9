//! Bounds of a formula, looked at before anything recurses.

use crate::fault::{Code, Fault, Span};

/// Bytes of a formula.
pub const LONGEST: usize = 8000;
/// Levels of brackets, signs, powers and `else` inside each other.
pub const MOST_LEVELS: usize = 200;
/// Operators of a formula.
pub const MOST_OPERATORS: usize = 1000;

/// Whether the text may be parsed at all.
pub(super) fn check(text: &str) -> Result<(), Fault> {
    let whole = Span::new(0, text.len());
    if text.len() > LONGEST {
        return Err(too_long(
            whole,
            format!("the formula has {} bytes; at most {LONGEST} can be read", text.len()),
        ));
    }
    levels(text)
}

/// Whether the brackets of a text are not too deep.
pub(super) fn levels(text: &str) -> Result<(), Fault> {
    let mut depth = 0usize;
    let mut bytes = text.bytes().enumerate();
    while let Some((at, byte)) = bytes.next() {
        match byte {
            b'"' => {
                let mut escaped = false;
                for (_, inner) in bytes.by_ref() {
                    if inner == b'\n' || (inner == b'"' && !escaped) {
                        break;
                    }
                    escaped = inner == b'\\' && !escaped;
                }
            }
            b'#' => {
                for (_, inner) in bytes.by_ref() {
                    if inner == b'\n' {
                        break;
                    }
                }
            }
            b'(' => {
                depth += 1;
                if depth > MOST_LEVELS {
                    return Err(too_deep(Span::new(at, at + 1)));
                }
            }
            b')' => depth = depth.saturating_sub(1),
            _ => {}
        }
    }
    Ok(())
}

/// The fault for too many operators.
pub(super) fn too_many(text: &str) -> Fault {
    too_long(
        Span::new(0, text.len()),
        format!("the formula has more than {MOST_OPERATORS} operators"),
    )
}

/// The fault for too many levels.
pub(super) fn too_deep(span: Span) -> Fault {
    too_long(
        span,
        format!("here the formula goes deeper than {MOST_LEVELS} levels of brackets, signs and powers"),
    )
}

pub(super) fn too_long(span: Span, message: String) -> Fault {
    Fault::new(Code::TOO_LONG, span, message).help("work it in several named steps, each on a line of its own")
}
