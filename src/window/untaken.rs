//! What was typed and not yet taken in, in the copy that is kept against a crash.
//!
//! Always: such a copy is a workbook with remarks at its end, one for each text; without them it is the work as it stood.
//! Not known here: where the copy is kept, and when.

/// How such a remark begins.
const TYPED: &str = "# not taken in: ";

/// The text of a workbook with what was typed and not taken in, and where.
pub fn with(mut text: String, typed: &[String]) -> String {
    if !typed.is_empty() && !text.is_empty() && !text.ends_with('\n') {
        text.push('\n');
    }
    for one in typed {
        text.push_str(TYPED);
        // A remark is one line.
        text.push_str(&one.replace(['\r', '\n'], " "));
        text.push('\n');
    }
    text
}

/// A kept text without its remarks, and what they say.
pub fn parted(text: &str) -> (&str, Vec<String>) {
    let mut rest = text;
    let mut typed = Vec::new();
    loop {
        let whole = rest.strip_suffix('\n').unwrap_or(rest);
        let start = whole.rfind('\n').map_or(0, |at| at + 1);
        let Some(said) = whole.get(start..).and_then(|line| line.strip_prefix(TYPED)) else {
            break;
        };
        typed.push(said.to_owned());
        rest = whole.get(..start).unwrap_or("");
    }
    typed.reverse();
    (rest, typed)
}

/// In words, beside what is said of the kept work; `None` where there is nothing.
pub fn in_words(typed: &[String]) -> Option<String> {
    (!typed.is_empty()).then(|| format!("Typed then and not taken in: {}.", typed.join("; ")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn remarks_come_off_as_they_were_put_on() {
        let book = "polepair 1\nsheet a\n  given x = 1\n# the end\n";
        let typed = ["`199` at Q_m, dry".to_owned(), "`note \"half` in the lines".to_owned()];
        let kept = with(book.to_owned(), &typed);
        assert_eq!(parted(&kept), (book, typed.to_vec()));
        assert_eq!(parted(book), (book, Vec::new()));
        assert_eq!(with(book.to_owned(), &[]), book);
        assert_eq!(parted(""), ("", Vec::new()));
        let one_line = with(book.to_owned(), &["a\nb".to_owned()]);
        assert_eq!(parted(&one_line), (book, vec!["a b".to_owned()]));
    }
}
